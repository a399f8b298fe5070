"""Spanish pages in a real browser: the switch, the account in two languages, access, offline."""

import json
import re
from itertools import chain

import pytest
from jsonschema import Draft202012Validator
from playwright.sync_api import expect

from browser.axe import looked_over
from browser.bilingual import atlases, both
from browser.conftest import Site
from browser.host import Host, folder_served, until, watched_tab
from browser.sites import REAL, TODAY, course_of, write_site
from browser.test_call import GUARD, SCHEMA, some_call
from browser.test_layout import OVERFLOW, TARGET
from browser.test_offline import KEPT, sign_of, stems, text_of, visit
from browser.test_trail import linked, minutes, some_trail
from browser.test_walk import ENDS, shortest_walk, take
from stepstop.offline import FOLDER
from stepstop.pages.spoken import Spoken
from stepstop.pages.step import choices
from stepstop.shipped import folder
from stepstop.trail import Trail, in_groups


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The shipped site in both languages, on disk; its samples are the Spanish pages."""
    folder = write_site(both(), tmp_path_factory.mktemp("both"))
    spanish = {n.removeprefix("es/"): c for n, c in both().items() if n.startswith("es/")}
    return Site(course_of(REAL), folder / "es", spanish)


@pytest.fixture(scope="module")
def home(site):
    """The address of a server for it."""
    with folder_served(site.folder.parent) as (address, _):
        yield address


@pytest.fixture
def tab(browser):
    with watched_tab(browser, permissions=["clipboard-read", "clipboard-write"]) as page:
        yield page


def test_the_card_for_the_phone_is_large_and_read_in_its_own_language(tab, home):
    tab.add_init_script(
        "self.said = []; speechSynthesis.speak = (it) => self.said.push([it.lang, it.text]);"
    )
    for name, own, gated in (
        ("danger-screen/co", "en", ""),
        ("es/danger-screen/gas", "es", "#away"),
    ):
        tab.goto(f"{home}{name}.html")
        tab.click("#aloud")
        if gated:
            assert "send help" not in str(tab.evaluate("said"))
            tab.click(".gate a")
            tab.evaluate("said.length = 0")
            tab.click("#aloud")
        said = tab.evaluate("said")
        assert {lang for lang, _ in said} == {"en", "es"}
        assert said[0][0] == own
        line = "Please send help. I am outside. I will give you the address."
        assert "en" in {lang for lang, text in said if line in text}
        assert ["es", "Por favor, mande ayuda. Estoy afuera. Le voy a dar la dirección."] in said
        sizes = "all => all.map(each => parseFloat(getComputedStyle(each).fontSize))"
        assert min(tab.eval_on_selector_all(".card dt", sizes)) >= 24


def test_the_switch_keeps_the_step_and_the_trail_both_ways(tab, home):
    tab.goto(f"{home}no-heat/index.html")
    tab.click(".answers a >> nth=-1")
    tab.wait_for_selector("html.on")
    address, trail = tab.url.removeprefix(home).split("#")
    words = trail.split(".")[-1]
    assert words
    assert tab.locator(".tongue").inner_text() == "Español"
    tab.click(".tongue")
    tab.wait_for_selector("html[lang=es].on")
    assert tab.url.removeprefix(home).split("#")[0] == f"es/{address}"
    assert tab.url.endswith(words)
    tab.click(".answers a >> nth=-2")
    until(tab, "location.hash.split('.').at(-1).length", lambda length: length == len(words) + 5)
    longer = tab.url.split(".")[-1]
    assert len(longer) == len(words) + 5
    address = tab.url.removeprefix(home + "es/").split("#")[0]
    tab.click(".tongue")
    tab.wait_for_selector("html[lang=en].on")
    assert tab.url.removeprefix(home).split("#")[0] == address
    assert tab.url.endswith(longer)


def test_without_scripts_the_switch_keeps_the_step(browser, home):
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    tab = context.new_page()
    tab.goto(f"{home}no-heat/index.html")
    tab.click(".answers a >> nth=-1")
    address = tab.url.removeprefix(home)
    tab.click(".tongue")
    assert tab.url.removeprefix(home) == f"es/{address}"
    assert not tab.locator(".lost").is_visible()
    context.close()


def test_in_the_file_of_a_whole_complaint_the_switch_keeps_the_step(tab, home):
    tab.goto(f"{home}no-heat/pocket.html")
    tab.click("section .answers a:visible >> nth=-1")
    mark = tab.url.split("#")[1]
    tab.click(".tongue")
    tab.wait_for_selector("html[lang=es]")
    assert tab.url == f"{home}es/no-heat/pocket.html#{mark}"
    assert tab.locator("main > section:visible h1").count() == 1


def test_the_account_is_read_in_spanish_and_handed_on_in_english(tab, home):
    english, spanish = atlases()["en"], atlases()["es"]
    trail, page_id = some_trail(
        english.ways, lambda page: page.outcome is not None and page.outcome.kind == "call"
    )
    trail = Trail(trail.root, trail.words, begun=minutes())
    tab.goto(f"{home}es/{linked(english.ways, page_id, trail)}")
    expect(tab.locator("#code")).not_to_be_empty()
    tab.wait_for_load_state("networkidle")
    title = spanish.course.library.trees[trail.root].title
    assert spanish.plain(title) in tab.locator("#fails").inner_text()
    tab.click("#brief summary")
    tab.fill("#f-name", "Demo Caller")
    tab.click("#copy")
    expect(tab.locator("#handed")).not_to_be_empty()
    text = tab.evaluate("navigator.clipboard.readText()")
    assert f"What fails: {english.plain(english.course.library.trees[trail.root].title)}" in text
    assert "Name: Demo Caller" in text
    assert tab.locator("#code").inner_text() in text
    outcome = english.pages[page_id].outcome
    assert english.plain(outcome.title) in text
    body = tab.evaluate("decodeURIComponent(document.querySelector('#sms').href.split('body=')[1])")
    assert english.plain(outcome.title) in body
    tab.click("p.copy a[href*=technician]")
    tab.wait_for_selector("html[lang=en] #account h3")
    assert (
        english.plain(english.course.library.trees[trail.root].title)
        in tab.locator("#fails").inner_text()
    )


def test_without_the_company_s_data_the_account_is_handed_on_as_it_is_read(browser, home):
    context = browser.new_context(
        permissions=["clipboard-read", "clipboard-write"], service_workers="block"
    )
    tab = context.new_page()
    spanish = atlases()["es"]
    trail, page_id = some_trail(
        spanish.ways, lambda page: page.outcome is not None and page.outcome.kind == "call"
    )
    tab.route(f"{home}trail.js", lambda route: route.abort())
    tab.goto(f"{home}es/{linked(spanish.ways, page_id, Trail(trail.root, trail.words))}")
    expect(tab.locator("#code")).not_to_be_empty()
    tab.wait_for_load_state("networkidle")
    tab.click("#copy")
    expect(tab.locator("#handed")).not_to_be_empty()
    text = tab.evaluate("navigator.clipboard.readText()")
    assert spanish.plain(spanish.course.library.trees[trail.root].title) in text
    context.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_spanish_pages_keep_the_rules_of_access_and_fit_a_small_phone(site, scripted, theme):
    tab = scripted[theme]
    kinds = site.samples()
    assert len(kinds) > 15
    if theme == "dark":  # The same colours as in English, where each kind is looked at.
        kinds = {kind: kinds[kind] for kind in ("start", "gas", "danger", "call")}
    for kind, name in kinds.items():
        tab.goto(site.url(name))
        assert tab.evaluate(OVERFLOW) <= 0, kind
        broken, _ = looked_over(tab)
        assert broken == [], kind
        for link in tab.locator(".tongue").all():
            assert link.bounding_box()["height"] >= TARGET, kind
            assert link.bounding_box()["y"] < 250, kind


def test_an_agent_s_page_works_in_spanish(tab, home):
    tab.goto(f"{home}es/call.html")
    tab.wait_for_selector("main h1")
    first = atlases()["es"].course.library.catalogue.calls.first
    expect(tab.locator("main")).to_contain_text(first)


def test_a_walk_in_spanish_goes_on_without_a_network(browser):
    course, host = atlases()["es"].course, Host(both())
    context = browser.new_context(viewport={"width": 360, "height": 740})
    tab = context.new_page()
    visit(tab, host, course, "fan-never-stops/index", "es/")
    # What the account needs in the company's language comes slowly, after all that walks need.
    theirs = {"theirs/trail", "theirs/fan-never-stops"}
    until(tab, KEPT, lambda entries: theirs <= stems(entries))
    scope = tab.evaluate("async () => (await navigator.serviceWorker.ready).scope")
    assert scope == host.url("es/")
    host.kill()
    _, moves = shortest_walk(course, ENDS["call"], starts=["fan-never-stops/index"])
    for move in moves:
        take(tab, move)
        tab.wait_for_url(f"**/es/{move.to}.html#on*")
        title = text_of(both(), f"es/{move.to}.html")
        expect(tab.locator("html[lang=es] h1").first).to_have_text(title)
    expect(tab.locator("#offline")).to_have_text(re.compile(r"^Sin conexión\. Estas páginas"))
    expect(tab.locator("#code")).not_to_be_empty()
    tab.locator("p.copy a[href*=technician]").click()
    expect(tab.locator("html[lang=en] #brief")).to_be_visible()
    expect(tab.locator("#by-hand")).to_be_hidden()
    expect(tab.locator("#brief")).to_contain_text("Before swapping parts:")
    tab.goto(host.url("es/endings/stop-and-call.html"))
    tab.locator(".strip").click()
    tab.wait_for_url("**/es/danger/index.html*")
    assert sign_of(tab).startswith(f"Esta es la página guardada, con fecha {TODAY}.")
    assert tab.locator("h1").first.text_content() == text_of(both(), "es/danger/index.html")
    tab.goto(host.url("es/rules/nobody-knows.html"))
    assert tab.locator("html[lang=es] h1").first.inner_text() == "Esta página no está aquí"
    assert sign_of(tab) == "Sin conexión. Esta página no está guardada en su teléfono."
    tab.locator("main a[href$='index.html']").last.click()
    tab.wait_for_url(host.url("es/") + "*")
    expect(tab.locator("html[lang=es] h1").first).to_be_visible()
    context.close()


CUT = """() => [...document.querySelectorAll('select')].filter((box) => {
  const style = getComputedStyle(box), pen = document.createElement('canvas').getContext('2d');
  pen.font = style.font;
  const arrow = 20, room = box.clientWidth - 2 * parseFloat(style.paddingInlineStart) - arrow;
  return pen.measureText(box.selectedOptions[0].text).width > room;
}).map((box) => box.id)"""


@pytest.mark.parametrize("house", ["cold", "hot"])
def test_what_a_box_shows_at_first_is_whole_and_paper_has_no_switch(tab, home, house):
    tab.goto(f"{home}es/{house}-house.html")
    assert tab.locator("select").count() > 1
    tab.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert tab.evaluate(CUT) == []
    assert tab.locator(".tongue").is_visible()
    tab.emulate_media(media="print")
    assert not tab.locator(".tongue").is_visible()


# ---- an agent's page, with the caller's language beside the agent's ----

PAIRS = """[...document.querySelectorAll('#step .both')].filter(e => e.querySelector('.theirs'))
  .map(e => [e.querySelector('.meant').textContent, e.querySelector('.theirs').textContent])"""
ALONE = """[...document.querySelectorAll('#step .both:not(input, textarea)')]
  .filter(e => !e.querySelector('.theirs[lang][dir=ltr]')).map(e => e.textContent)"""
"""What is said or heard and stands in one language, where it should in both."""


def key(tab, *names):
    for name in names:
        tab.clock.run_for(GUARD)
        tab.keyboard.press(name)


def answer_calls(tab, address):
    """Open an agent's page, whose clock `key` moves on."""
    tab.clock.install()
    tab.goto(address)


def speak(tab, code):
    """Choose the language that the caller speaks."""
    tab.locator(f"#tongue option[lang={code}]").wait_for(state="attached")
    tab.select_option("#tongue", tab.locator(f"#tongue option[lang={code}]").get_attribute("value"))
    expect(tab.locator("#step .theirs").first).to_be_visible()


def greet(tab, words):
    """From the first words to the complaint, or the code, that is typed."""
    key(tab, "2")
    tab.locator("#step h1").focus()
    key(tab, "1")
    tab.keyboard.type(words)
    tab.keyboard.press("Enter")


def of_a_body(body):
    """Each text that is said or heard on a page, in its order."""
    for part in ("say", "before", "stop", "do", "never", "outside"):
        yield from body.get(part, ())
    yield from (text for text, _ in body.get("answers", ()) if body["kind"] != "note")
    yield from chain.from_iterable((f"“{they}”", ask) for they, _, ask in body.get("hear", ()))
    yield from (text for _, text in body.get("signs", ()))


def assert_both(tab, page_id, own, other):
    """Whatever is said on a page stands on the screen in both languages."""
    one, two = (of_a_body(Spoken(each).body(each.pages[page_id])) for each in (own, other))
    assert set(zip(one, two, strict=True)) <= {tuple(pair) for pair in tab.evaluate(PAIRS)}
    assert tab.evaluate(ALONE) == []


@pytest.mark.parametrize(
    ("page", "theirs", "seed"), [("call.html", "es", 3), ("es/call.html", "en", 4)]
)
def test_a_whole_call_stands_in_both_languages(tab, home, page, theirs, seed):
    other = atlases()[theirs]
    own = next(each for each in atlases().values() if each is not other)
    calls = own.course.library.catalogue.calls, other.course.library.catalogue.calls
    answer_calls(tab, f"{home}{page}")
    speak(tab, theirs)
    assert [calls[0].first, calls[1].first] in tab.evaluate(PAIRS)
    assert tab.evaluate(ALONE) == []
    key(tab, "2")
    assert [calls[0].there, calls[1].there] in tab.evaluate(PAIRS)
    assert tab.evaluate(ALONE) == []
    tab.locator("#step h1").focus()
    key(tab, "1")
    call = some_call(own.ways, "no-heat", seed=seed)
    titles = [own.plain(each.course.library.trees["no-heat"].title) for each in (own, other)]
    assert titles in tab.evaluate(PAIRS)
    tab.keyboard.type(other.course.library.trees["no-heat"].words[0])
    tab.keyboard.press("Enter")
    assert tab.locator("#path b").first.inner_text() == titles[0]
    for at, move in call.walked:
        assert_both(tab, at.id, own, other)
        number = choices(at).index(move)
        tab.evaluate(f"document.querySelectorAll('#step .choices button')[{number}].click()")
    assert_both(tab, call.end.id, own, other)
    key(tab, "i")
    card = [each.cards["interpreter"].say[0] for each in calls]
    assert card in tab.evaluate(PAIRS)
    assert tab.evaluate(ALONE) == []


def test_a_language_is_chosen_by_keys_amid_a_call_and_nothing_is_lost(tab, home):
    english, spanish = atlases()["en"], atlases()["es"]
    trail, page_id = some_trail(english.ways, lambda page: bool(page.check and page.check.stop_if))
    answer_calls(tab, f"{home}call.html")
    greet(tab, in_groups(english.ways.code(trail)))
    title = tab.locator("#step h1").inner_text()
    tab.fill("#raw", "ya no sé")
    tab.focus("#tongue")
    tab.keyboard.press("ArrowDown")
    expect(tab.locator("#step .theirs").first).to_be_visible()
    assert_both(tab, page_id, english, spanish)
    assert tab.input_value("#raw") == "ya no sé"
    assert tab.evaluate("document.activeElement.id") == "tongue"
    key(tab, "E")  # No letter chooses "English" as long as letters are keys.
    assert tab.input_value("#tongue") == "es/"
    tab.keyboard.press("ArrowUp")
    assert tab.locator(".theirs").count() == 0
    assert tab.input_value("#raw") == "ya no sé"
    tab.keyboard.press("ArrowDown")
    expect(tab.locator("#step .theirs").first).to_be_visible()
    key(tab, "1")
    assert tab.locator("#step h1").inner_text() != title
    assert "“ya no sé”" in tab.locator("#path").inner_text()
    assert tab.evaluate(ALONE) == []


def test_the_notes_tell_which_language_a_caller_speaks_and_a_new_call_forgets_it(tab, home):
    answer_calls(tab, f"{home}call.html")
    greet(tab, "no heat")
    key(tab, ".")
    assert "speaks" not in tab.input_value("#notes")
    speak(tab, "es")
    assert "\nThe caller speaks: Español\n" in tab.input_value("#notes")
    key(tab, "d")
    expect(tab.locator("#step .notes [role=status]")).to_have_text("Copied.")
    data = json.loads(tab.evaluate("navigator.clipboard.readText()"))
    Draft202012Validator(SCHEMA).validate(data)
    assert data["caller"]["speaks"] == "es"
    key(tab, "a")
    assert tab.input_value("#tongue") == ""
    assert tab.locator(".theirs").count() == 0
    greet(tab, "no heat")
    key(tab, ".", "d")
    expect(tab.locator("#step .notes [role=status]")).to_have_text("Copied.")
    assert "speaks" not in tab.evaluate("navigator.clipboard.readText()")


def test_without_the_words_of_that_language_a_call_goes_on(browser, home):
    context = browser.new_context(service_workers="block")
    tab = context.new_page()
    told = f'"version":"{atlases()["en"].ways.version}"'
    of_another_course = both()["calls.js"].decode().replace(told, '"version":""')
    answers = [None, of_another_course]

    def answered(route):
        body = answers.pop(0)
        if body is None:
            route.abort()
        else:
            route.fulfill(body=body, content_type="text/javascript")

    tab.route(f"{home}calls.js", answered)
    answer_calls(tab, f"{home}es/call.html")
    while answers:
        tab.select_option("#tongue", "")
        tab.select_option("#tongue", "../")
        expect(tab.locator("#tongue-status")).to_contain_text("no se pudieron cargar")
    assert tab.locator(".theirs").count() == 0
    greet(tab, "no hay calefacción")
    key(tab, ".")
    assert "Idioma de quien llama: English" in tab.input_value("#notes")
    context.close()


def test_a_call_in_two_languages_keeps_the_rules_of_access(tab, home):
    ways = atlases()["en"].ways
    trail, _ = some_trail(ways, lambda page: bool(page.check and page.check.cautions))
    answer_calls(tab, f"{home}call.html")
    speak(tab, "es")
    assert tab.locator("#tongue").bounding_box()["y"] < tab.locator("#step h1").bounding_box()["y"]
    assert tab.locator("#tongue").bounding_box()["height"] >= TARGET
    greet(tab, in_groups(ways.code(trail)))
    assert tab.locator("#step .sign .theirs").count() >= 2
    assert tab.evaluate(OVERFLOW) <= 0
    for theme in ("light", "dark"):
        tab.emulate_media(color_scheme=theme)
        broken, _ = looked_over(tab)
        assert broken == []


def test_only_words_of_calls_are_loaded_from_folders_of_other_languages(tab):
    source = (folder("site_overrides") / "stepstop" / "loading.js").read_text("utf-8")
    folders = ["es/", "../", "../pt_BR/", "//x.test/", "https://x.test/", "../../", "/", "a/b/"]
    names = [f"{each}calls.js" for each in folders] + ["fr/calls.js", "es/trail.js", "calls.js"]
    loaded = tab.evaluate(
        """async ([source, folders, names]) => {
          document.head.append = (script) => script.onload();
          const load = new Function(source + '; return loaderOf')()('', folders), found = [];
          for (const name of names) await load(name).then(() => found.push(name), () => {});
          return found;
        }""",
        [source, folders, names],
    )
    assert loaded == ["es/calls.js", "../calls.js", "../pt_BR/calls.js", "calls.js"]


@pytest.mark.parametrize(
    ("root", "name", "file"),
    [("", "es/calls.js", "es/calls.js"), ("es/", "../calls.js", "calls.js")],
)
def test_an_agent_s_page_keeps_the_words_of_the_other_language_for_a_time_without_network(
    root, name, file
):
    script = both()[f"{root}worker.js"].decode()
    plan = json.loads(script.partition(" = ")[2].partition(";\n")[0])
    number = plan["places"][name]
    assert number in plan["next"][plan["places"]["call.html"]]
    assert number in plan["apart"]
    pack = json.loads(both()[f"{root}{FOLDER}/{plan['files'][number]}.json"])
    common = json.loads(both()[f"{root}{FOLDER}/{plan['files'][1]}.json"])["pieces"]
    pieces = [*common, *pack["pieces"]]
    assert "\n".join(pieces[each] for each in pack["pages"][name]).encode() == both()[file]
