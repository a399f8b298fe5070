"""Without a network, in a browser whose host is really gone: kept pages, updates, the sign."""

import re
from functools import cache
from urllib.parse import urlsplit

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import expect

from browser.axe import looked_over
from browser.conftest import ARGUMENTS, chromium
from browser.host import SOON, Host, until
from browser.sites import REAL, TODAY, course_of, small_library, whole_site_of
from browser.test_walk import ENDS, shortest_walk, take
from stepstop.graph import reachable

LATER = "2026-12-24"
"""Date of a later edition."""
IDLE = 5_000
"""Milliseconds without a tap in which a worker ends what it still does, so that another could
take its place if it wanted to."""

KEPT = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    for (const { url } of await (await caches.open(name)).keys()) found.push([name, url]);
  }
  return found;
}"""
STATE = """async () => {
  const found = await navigator.serviceWorker.getRegistration();
  return found && ['installing', 'waiting', 'active'].filter((each) => found[each]).join(' ');
}"""


@cache
def whole(trees, today=TODAY, offline=True):
    """All files of the site of the trees in a folder."""
    others = {} if (today, offline) == (TODAY, True) else {"today": today, "offline": offline}
    return whole_site_of(trees, **others)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return small_library(tmp_path_factory.mktemp("small"))


@pytest.fixture
def host(small):
    """The small site."""
    with_files = Host(whole(small))
    yield with_files
    with_files.kill()


@pytest.fixture
def context(browser):
    opened = browser.new_context(viewport={"width": 360, "height": 740})
    opened.set_default_timeout(SOON)
    yield opened
    opened.close()


@pytest.fixture
def page(context):
    opened = context.new_page()
    opened.complaints = []
    opened.on("pageerror", lambda error: opened.complaints.append(str(error)))
    return opened


def until_asked(page, host, name):
    """Wait until a file of the host has been asked for."""
    for _ in range(SOON // 50):
        if name in host.asked:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"nobody asked for {name}")


def stems(entries):
    return {urlsplit(url).path.partition("/offline/")[2].rsplit(".", 2)[0] for _, url in entries}


def folders(course, root):
    """The files of pages that a walk from `root` needs, told from the course alone."""
    found = [course.pages[name] for name in reachable(course.graph(), [root])]
    asking = {page.tree for page in course.pages.values() if page.step}
    danger = reachable(course.graph(), ["danger/index"])
    return {f"trees/{p.tree}" for p in found if p.tree in asking and p.id not in danger}


def visit(page, host, course, root, folder=""):
    """Open a complaint in a language's folder, and wait until all its walks may need is kept."""
    page.goto(host.url(f"{folder}{root}.html"))
    wanted = {"core", "common"} | folders(course, root)
    table = f"{folder}{course.pages[root].tree}/likely.js"
    wanted |= {f"tables/{course.pages[root].tree}"} if table in host.files else set()
    until(page, KEPT, lambda entries: wanted <= stems(entries))


def date_of(page):
    return re.search(r"Edition: .*(\d{4}-\d{2}-\d{2})", page.locator(".edition").inner_text())[1]


def text_of(files, name):
    return BeautifulSoup(files[name], "html.parser").h1.get_text()


def sign_of(page):
    return page.locator("#offline").inner_text()


def dangers(course):
    """Files of the danger tree and of all endings in danger."""
    pages = course.pages.values()
    ends = {p.id for p in pages if p.outcome and p.outcome.kind == "danger"}
    return {f"{name}.html" for name in ends | {p.id for p in pages if p.tree == "danger"}}


def test_after_one_visit_every_page_of_the_complaint_and_of_danger_opens_without_a_host(
    page, host, small
):
    course = course_of(small)
    visit(page, host, course, "hot/index")
    host.kill()
    names = {f"{i}.html" for i in reachable(course.graph(), ["hot/index"]) if i != "start-page"}
    names |= {n for n in (f"{name[:-5]}.technician.html" for name in names) if n in host.files}
    assert len(names) > 20
    for name in sorted({*names, *dangers(course), "index.html", "endings/stop-and-call.html"}):
        page.goto(host.url(name))
        assert page.locator("h1").first.text_content() == text_of(host.files, name), name
    assert not page.complaints
    host.start()


def test_after_one_visit_of_the_real_site_all_that_a_walk_may_need_is_there(page):
    course, files = course_of(REAL), whole(REAL)
    host = Host(files)
    visit(page, host, course, "no-heat/index")
    host.kill()
    page.goto(host.url("no-heat/index.html"))
    core = {f"{i}.html" for i in reachable(course.graph(), ["danger/index"])}
    names = sorted(
        f"{i}.html"
        for i in reachable(course.graph(), ["no-heat/index"]) - {"start-page"}
        if f"{i}.html" not in dangers(course) | core
    )
    assert len(names) > 2000
    names = names[::7]
    texts = page.evaluate(
        """names => Promise.all(names.map(async (name) => (await fetch('../' + name)).text()))""",
        names,
    )
    wrong = [n for n, text in zip(names, texts, strict=True) if text.encode() != files[n]]
    assert wrong == []
    for name in sorted({*names[::200], *dangers(course)}):
        page.goto(host.url(name))
        assert page.locator("h1").first.text_content() == text_of(files, name), name
    page.goto(host.url("no-heat/index.html"))
    for _ in range(5):
        page.locator(".answers a").first.click()
        page.wait_for_load_state()
        assert page.locator("h1").first.text_content() == text_of(files, here(page, host))
    assert not page.complaints


def here(page, host):
    return urlsplit(page.url).path.removeprefix(host.below)


def test_answers_reload_and_going_back_keep_the_fragment_without_a_host(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    host.kill()
    page.locator(".answers a").first.click()
    there = page.url
    assert there.endswith("#on")
    page.reload()
    assert page.url == there
    page.locator(".answers a").first.click()
    page.go_back()
    assert page.url == there
    page.goto(there.replace("#on", "#on.7x2"))
    page.reload()
    assert page.url.endswith("#on.7x2")
    host.start()


def test_walks_without_a_host_end_as_with_one_and_make_their_account(page):
    """By taps alone, from one complaint to each kind of outcome."""
    course = course_of(REAL)
    host = Host(whole(REAL))
    visit(page, host, course, "no-heat/index")
    host.kill()
    for end, wanted in ENDS.items():
        root, moves = shortest_walk(course, wanted, starts=["no-heat/index"])
        page.goto(host.url(f"{root}.html"))
        for move in moves:
            take(page, move)
            page.wait_for_url(f"**/{move.to}.html#on*")
        outcome = course.pages[moves[-1].to].outcome
        assert page.locator("h1").first.is_visible(), end
        if outcome.kind != "danger":
            expect(page.locator("#offline")).to_have_text(re.compile(r"^No connection\."))
        if outcome.kind in ("call", "watch"):
            page.wait_for_selector("#brief", state="visible")
            assert re.fullmatch(r"[\d ]{6,26}", page.locator("#code").inner_text())
            page.locator("p.copy a").click()
            page.wait_for_selector("#account h3")
            page.wait_for_selector(".ranked", state="hidden")
            assert "ranked by simulated calls" in page.locator("#account").inner_text()
    assert not page.complaints
    host.start()


def test_other_spellings_of_an_address_are_the_same_page(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    host.kill()
    names = {"": "index", "hot/": "hot/index", "hot": "hot/index", "hot/who": "hot/who"}
    names["danger"] = "danger/index"
    for spelling, name in names.items():
        page.goto(host.url(f"{spelling}?from=paper"))
        assert page.locator("h1").first.text_content() == text_of(host.files, f"{name}.html")
        link = page.locator(".strip").evaluate("e => e.href")
        assert link == host.url("danger/index.html"), spelling
    host.start()


def test_below_any_path_it_keeps_to_its_own(context, small):
    host = Host(whole(small), below="/a%20b/c/")
    page = context.new_page()
    visit(page, host, course_of(small), "hot/index")
    scope = page.evaluate("async () => (await navigator.serviceWorker.ready).scope")
    assert scope == host.url()
    assert all(name.startswith(f"stepstop {scope} ") for name, _ in page.evaluate(KEPT))
    host.kill()
    page.goto(host.url("hot/who.html"))
    assert page.locator("h1").first.text_content() == text_of(host.files, "hot/who.html")


def test_the_rest_comes_by_itself(page, host, small):
    page.goto(host.url())
    wanted = {p.partition("/")[2].rsplit(".", 2)[0] for p in host.files if p.startswith("offline/")}
    assert {"core", "common", "trees/cold", "trees/hot", "calls"} <= wanted
    wanted.remove("calls")  # Only an agent's page asks for that.
    until(page, KEPT, lambda entries: wanted <= stems(entries))


def test_a_page_that_is_not_kept_gives_a_lean_one_that_leads_on(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    host.kill()
    page.goto(host.url("rules/nobody-knows.html"))
    assert page.locator("h1").first.inner_text() == "This page is not here"
    assert sign_of(page) == "No connection. This page is not kept on your phone."
    page.get_by_role("link", name="The list: what do you notice?").click()
    assert page.url == host.url("index.html")
    assert page.locator("h1").first.text_content() == text_of(host.files, "index.html")
    host.start()


def update(page, host, files):
    """Put another edition on the host, and let the open page notice."""
    host.files = dict(files)
    host.asked.clear()
    page.reload()


def test_an_update_with_one_file_missing_changes_nothing(page, host, small):
    course = course_of(small)
    visit(page, host, course, "hot/index")
    before = page.evaluate(KEPT)
    later = dict(whole(small, LATER))
    missing = next(name for name in later if name.startswith("offline/common."))
    del later[missing]
    update(page, host, later)
    until_asked(page, host, missing)
    assert until(page, STATE, lambda state: "installing" not in state) == "active"
    assert {name for name, _ in page.evaluate(KEPT)} == {name for name, _ in before}
    host.kill()
    for name in ("hot/index.html", "danger/index.html", "hot/who.html"):
        page.goto(host.url(name))
        assert date_of(page) == TODAY
    host.start()


def test_a_changed_file_under_an_old_name_is_not_taken(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    later = dict(whole(small, LATER))
    spoilt = next(name for name in later if name.startswith("offline/core."))
    later[spoilt] = b"<h1>Sign in to use this network</h1>"
    update(page, host, later)
    until_asked(page, host, spoilt)
    assert until(page, STATE, lambda state: "installing" not in state) == "active"


def test_a_good_update_waits_until_all_pages_are_closed_and_then_is_alone(
    context, page, host, small
):
    course = course_of(small)
    visit(page, host, course, "hot/index")
    [old] = {name for name, _ in page.evaluate(KEPT)}
    update(page, host, whole(small, LATER))
    until(page, STATE, lambda state: state == "waiting active")
    names = {f"{i}.html" for i in reachable(course.graph(), ["hot/index"])} - {"start-page.html"}
    assert len(names - dangers(course)) > 10
    second = context.new_page()
    for opened in (page, second):
        for name in sorted(names - dangers(course)):
            opened.goto(host.url(name))
            assert date_of(opened) == TODAY, name
    page.wait_for_timeout(IDLE)
    page.goto(host.url("hot/index.html"))
    assert (page.evaluate(STATE), date_of(page)) == ("waiting active", TODAY)
    for opened in (page, second):
        opened.close()
    other = context.new_page()
    other.goto(host.outside())
    [new] = until(
        other,
        "async () => (await caches.keys())",
        lambda names: old not in names,
    )
    assert new.startswith(f"stepstop {host.url()} ")
    host.kill()
    other.goto(host.url("hot/who.html"))
    assert date_of(other) == LATER
    host.start()


def test_an_unchanged_file_is_not_fetched_again(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    update(page, host, whole(small, LATER))
    until(page, STATE, lambda state: state == "waiting active")
    asked = {name.rsplit(".", 2)[0] for name in host.asked if name.startswith("offline/")}
    assert asked == {"offline/core", "offline/common"}


def test_a_complaint_that_is_only_half_kept_is_not_finished_with_another_edition(page, host, small):
    files = dict(host.files)
    half = next(name for name in files if name.startswith("offline/trees/hot."))
    del host.files[half]
    page.goto(host.url("hot/index.html"))
    until(page, KEPT, lambda entries: {"core", "common"} <= stems(entries))
    host.files = dict(whole(small, LATER))
    page.goto(host.url("hot/who.html"))
    assert date_of(page) == LATER
    until(page, KEPT, lambda entries: "stale" in {url.rpartition("/")[2] for _, url in entries})
    host.files |= {half: files[half]}
    host.asked.clear()
    page.goto(host.url("hot/all-parts.html"))
    assert date_of(page) == LATER
    until(page, STATE, lambda state: state == "waiting active")
    page.goto(host.url("hot/who.html"))
    assert date_of(page) == LATER
    assert half not in host.asked


def test_danger_pages_come_from_the_network_where_it_answers(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    host.files["danger/index.html"] = whole(small, LATER)["danger/index.html"]
    page.locator(".strip").click()
    page.wait_for_url("**/danger/index.html*")
    assert date_of(page) == LATER
    assert sign_of(page) == ""


@pytest.mark.parametrize("head", [False, True], ids=["nothing comes", "only the head comes"])
def test_a_danger_page_whose_host_stalls_is_the_kept_one_with_its_date(page, host, small, head):
    visit(page, host, course_of(small), "hot/index")
    host.stall("danger/index.html", head=head)
    page.locator(".strip").click()
    page.wait_for_url("**/danger/index.html*")
    assert "danger/index.html" in host.asked
    assert sign_of(page) == f"This is the saved page of {TODAY}. The network gave no answer."
    assert date_of(page) == TODAY
    assert page.locator("h1").first.text_content() == text_of(host.files, "danger/index.html")


def test_a_danger_page_that_the_host_has_lost_is_the_kept_one(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    del host.files["danger/index.html"]
    page.goto(host.url("danger/index.html"))
    assert page.locator("h1").first.text_content() == text_of(whole(small), "danger/index.html")


SHIFTS = """() => {
  window.shifts = [];
  new PerformanceObserver((list) => window.shifts.push(...list.getEntries().map((e) => e.value)))
    .observe({ type: 'layout-shift', buffered: true });
}"""
PLACES = """() => [...document.querySelectorAll('body *:not(#offline)')]
  .map((e) => JSON.stringify(e.getBoundingClientRect()))"""


def test_the_sign_comes_and_goes_and_nothing_moves(context, page, host, small):
    visit(page, host, course_of(small), "hot/index")
    page.evaluate(SHIFTS)
    places = page.evaluate(PLACES)
    assert sign_of(page) == ""
    context.set_offline(True)
    expect(page.locator("#offline")).not_to_be_empty()
    assert sign_of(page) == "No connection. These pages work without it. Calls may still work."
    assert page.locator("#offline").get_attribute("role") == "status"
    box = page.locator("#offline").bounding_box()
    assert box["y"] + box["height"] == 740
    assert page.evaluate(PLACES) == places
    context.set_offline(False)
    expect(page.locator("#offline")).to_be_empty()
    assert page.evaluate(PLACES) == places
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")
    assert page.evaluate("window.shifts") == []


def test_the_sign_lets_taps_through_and_the_page_end_above_it(context, page, host, small):
    visit(page, host, course_of(small), "hot/index")
    context.set_offline(True)
    expect(page.locator("#offline")).not_to_be_empty()
    hit = "document.elementFromPoint(180, 738).closest('#offline')"
    assert page.evaluate(hit) is None
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    last, sign = page.locator(".edition").bounding_box(), page.locator("#offline").bounding_box()
    assert last["y"] + last["height"] <= sign["y"]


FOCUSED = """() => new Promise((done) => requestAnimationFrame(() => setTimeout(() => {
  const now = document.activeElement;
  done([now.tagName, now.getBoundingClientRect().bottom]);
})))"""


def test_the_sign_hides_nothing_that_has_the_focus_and_keeps_the_rules_of_access(
    context, page, host, small
):
    visit(page, host, course_of(small), "hot/index")
    context.set_offline(True)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(host.url("hot/all-parts.html#on"))
        expect(page.locator("#offline")).not_to_be_empty()
        broken, _ = looked_over(page)
        assert broken == []
    sign = page.locator("#offline").bounding_box()["y"]
    ends = []
    for _ in range(page.locator("a, summary").count()):
        page.keyboard.press("Tab")
        ends.append(page.evaluate(FOCUSED))
    found = [end for name, end in ends if name != "BODY"]
    assert len(found) > 5
    assert max(found) <= sign


def test_the_sign_is_there_when_the_host_is_gone_though_the_phone_believes_otherwise(
    page, host, small
):
    visit(page, host, course_of(small), "hot/index")
    host.kill()
    page.goto(host.url("hot/who.html"))
    assert page.evaluate("navigator.onLine")
    expect(page.locator("#offline")).not_to_be_empty()
    assert sign_of(page).startswith("No connection.")
    host.start()


def test_before_the_gate_of_a_gas_page_the_sign_says_nothing_of_calls(context, page, host, small):
    course = course_of(small)
    gated = [f"{p.id}.html" for p in course.pages.values() if p.outcome and p.outcome.gate]
    visit(page, host, course, "hot/index")
    context.set_offline(True)
    for name in gated:
        page.goto(host.url(name))
        assert sign_of(page).startswith("This is the saved page")
        assert "all" not in sign_of(page).split()
        assert "call" not in page.locator("#offline").get_attribute("data-say").lower()


def test_without_a_host_of_its_own_there_is_no_worker_and_no_complaint(browser, small, tmp_path):
    for name, content in whole(small).items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(content)
    page, said = browser.new_page(), []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto((tmp_path / "hot/index.html").as_uri())
    page.locator(".answers a").first.click()
    assert page.locator("h1").first.text_content()
    assert said == []
    page.close()


def test_in_a_frame_of_another_site_there_is_no_worker(page, host):
    page.goto(host.outside(host="localhost"))
    page.evaluate(
        """url => new Promise((done) => {
          const frame = document.createElement('iframe');
          frame.onload = done;
          frame.src = url;
          document.body.append(frame);
        })""",
        host.url("hot/index.html"),
    )
    frame = page.frames[1]
    assert frame.locator("h1").first.text_content() == text_of(host.files, "hot/index.html")
    page.wait_for_load_state("networkidle")
    assert "worker.js" not in host.asked
    assert not page.complaints


def test_a_withdrawn_worker_takes_all_away_with_it(page, host, small):
    visit(page, host, course_of(small), "hot/index")
    assert page.evaluate(KEPT)
    update(page, host, whole(small, LATER, offline=False))
    until(page, KEPT, lambda entries: not entries)
    until(page, STATE, lambda state: not state)
    page.goto(host.url("hot/who.html"))
    assert date_of(page) == LATER
    assert page.evaluate(STATE) is None


def test_what_others_keep_on_the_same_host_is_left_alone(context, page, host, small):
    page.goto(host.outside())
    page.evaluate("async () => { await caches.open('somebody else'); }")
    page.evaluate("async () => { await caches.open('stepstop http://127.0.0.1/fr/ 1'); }")
    visit(page, host, course_of(small), "hot/index")
    update(page, host, whole(small, LATER, offline=False))
    until(page, STATE, lambda state: not state)
    names = page.evaluate("caches.keys()")
    assert sorted(names) == ["somebody else", "stepstop http://127.0.0.1/fr/ 1"]


def test_a_phone_may_install_it(browser, host, tmp_path):
    kind, path = browser.browser_type, chromium()
    lasting = kind.launch_persistent_context(tmp_path, executable_path=path, args=ARGUMENTS)
    page = lasting.new_page()
    page.goto(host.url())
    page.evaluate("async () => { await navigator.serviceWorker.ready; }")
    session = lasting.new_cdp_session(page)
    assert session.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    manifest = session.send("Page.getAppManifest")
    assert manifest["errors"] == []
    assert manifest["url"] == host.url("app.webmanifest")
    lasting.close()


@pytest.mark.parametrize("size", [192, 512])
def test_the_icons_are_one_picture(browser, host, size):
    page = browser.new_page(viewport={"width": size, "height": size})
    shots = []
    for name in ("icon.svg", f"icon-{size}.png"):
        page.goto(host.outside())
        page.evaluate(
            """([url, size]) => new Promise((done) => {
              const picture = new Image(size, size);
              document.body.style.margin = 0;
              picture.onload = done;
              picture.src = url;
              document.body.append(picture);
            })""",
            [host.url(name), size],
        )
        shots.append(page.screenshot())
    assert shots[0] == shots[1]
    page.close()


def test_an_agents_page_is_kept_with_all_that_it_needs_and_only_where_it_was_opened(
    page, context, host
):
    page.goto(host.url("call.html"))
    wanted = {"core", "common", "calls"}
    until(page, KEPT, lambda found: wanted <= stems(found))
    host.kill()
    page.reload()
    expect(page.locator("#step h1")).to_have_text("First words of every call")
    page.keyboard.press("Escape")
    expect(page.locator("#step h1")).to_have_text("Do you smell gas?")
    assert page.complaints == []
