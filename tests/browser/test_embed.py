"""A complaint in a frame of another site: two origins, a strict policy, only a height is told.

Host names are led to this machine; to the browser they are two sites like any others.
"""

import gzip
import threading
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from itertools import pairwise

import pytest
from playwright.sync_api import expect

from browser.axe import looked_over
from browser.sites import rehearse, small_library
from browser.test_arrival import TWO_FRAMES, WATCH
from stepstop.language.tongue import ENGLISH
from stepstop.pages.address import EMBED
from stepstop.pages.embedding import HEIGHT, SANDBOX, element, frame
from stepstop.pages.embedding import Shown as Complaints
from unit.companies import site_for, write_company

MESSAGES = 3
"""Heights that may be told until a step has settled."""
SIZE = 2_000
"""Bytes of the script, gzip -9."""

HEARD = """
window.heard = [];
addEventListener('message', (event) => heard.push(event.data));
"""


class Server(ThreadingHTTPServer):
    """Files by path, with the headers that each needs, and the paths that it was asked for."""

    def __init__(self):
        self.files, self.headers, self.asked = {}, {}, []
        super().__init__(("127.0.0.1", 0), Handler)


class Handler(BaseHTTPRequestHandler):
    def do_GET(self):
        server = self.server
        server.asked.append((self.path, dict(self.headers)))
        path = self.path.split("?")[0].lstrip("/")
        content = server.files.get(path)
        self.send_response(404 if content is None else 200)
        kind = "text/javascript" if path.endswith(".js") else "text/html"
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        for name, value in server.headers.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(content or b"")

    def log_message(self, *_):
        pass


@contextmanager
def running():
    with Server() as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server
        server.shutdown()


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A company with its pages."""
    trees = rehearse(small_library(tmp_path_factory.mktemp("embed-trees")))
    changes = {"address": "https://guide.example.com/", "hosts": ["https://www.example.com"]}
    path = write_company(tmp_path_factory.mktemp("embed-company"), changes)
    return site_for(path, trees)


@pytest.fixture(scope="module")
def servers(made):
    """(the site that shows the frame, the guide)."""
    with running() as host, running() as guide:
        guide.files = made[1]
        yield host, guide


class Shown:
    """A page of the host that shows a complaint."""

    def __init__(self, page, host, guide):
        self.page, self._host, self._guide = page, host, guide
        self.said = []
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))

    def address(self, name=""):
        return f"http://guide.test:{self._guide.server_address[1]}/{name}"

    def open(self, body, *, policy="", script="/embed.js"):
        frames = f"frame-src {self.address()[:-1]} tel: sms:"
        self._host.headers = {
            "Content-Security-Policy": policy
            or f"default-src 'self'; {frames}; require-trusted-types-for 'script'"
        }
        self._host.files = {
            "page.html": f'<!DOCTYPE html><html lang="en"><title>Host</title><main><h1>Host</h1>'
            f'{body}<p>After it.</p></main><script src="{script}" defer></script>'.encode(),
            "embed.js": self._guide.files[EMBED],
            "favicon.ico": b"",
        }
        self.page.goto(f"http://host.test:{self._host.server_address[1]}/page.html")
        return self

    @property
    def inside(self):
        return self.page.frame_locator("iframe")

    def answer(self):
        """Take the answer that goes on: danger ends a walk."""
        answers = self.inside.locator("section:visible .answers a:visible")
        texts = answers.all_inner_texts()
        calm = [number for number, text in enumerate(texts) if text.startswith("No")]
        answers.nth(calm[0] if calm else 0).click()
        self.page.wait_for_timeout(200)
        self.even()

    def even(self):
        """Wait until the frame is as high as what it shows, which two processes have to settle."""
        for _ in range(100):
            if self.height() == self.content():
                return
            self.page.wait_for_timeout(50)

    def heights(self, since=0):
        """The heights that were told, each as often as it changed: some are told again."""
        told = [each["height"] for each in self.page.evaluate("heard")]
        changes = [now for was, now in pairwise([None, *told]) if now != was]
        return changes[since:]

    def height(self):
        return self.page.evaluate("document.querySelector('iframe').offsetHeight")

    def content(self):
        frame = self.page.frames[1]
        return frame.evaluate("Math.ceil(document.documentElement.getBoundingClientRect().height)")


@pytest.fixture
def shown(browser, servers):
    context = browser.new_context(viewport={"width": 800, "height": 740})
    page = context.new_page()
    page.add_init_script(HEARD)
    page.add_init_script(WATCH)
    yield Shown(page, *servers)
    context.close()


@pytest.fixture(scope="module")
def tree(made):
    return next(made[0].course.library.complaints())


def put(shown, tree):
    """The snippet with the guide's address here."""
    return element(shown.address(), Complaints(ENGLISH, "", (tree,)), tree)


def settled(shown):
    """Wait until the frame is as high as what it shows."""
    shown.page.wait_for_load_state("load")
    expect(shown.page.locator("stepstop-help > p")).to_be_hidden()
    shown.page.evaluate(TWO_FRAMES)
    shown.even()


def test_the_frame_is_as_high_as_the_step_and_nothing_moves(shown, tree):
    shown.open(put(shown, tree))
    settled(shown)
    assert shown.height() == shown.content()
    assert 1 <= len(shown.heights()) <= MESSAGES
    assert shown.page.evaluate("moved") == []
    assert shown.said == []


@pytest.mark.parametrize("width", [320, 800, 1280])
def test_it_follows_each_step_up_and_down_and_the_width(shown, tree, width):
    shown.page.set_viewport_size({"width": width, "height": 740})
    shown.open(put(shown, tree))
    settled(shown)
    heights = [shown.height()]
    for _ in range(3):
        before = len(shown.heights())
        shown.answer()
        assert shown.height() == shown.content()
        assert len(shown.heights(before)) <= MESSAGES
        heights.append(shown.height())
    assert any(b < a for a, b in pairwise(heights)), "shrinks"
    shown.page.set_viewport_size({"width": 360 if width != 320 else 1000, "height": 740})
    shown.page.wait_for_timeout(200)
    shown.even()
    assert shown.height() == shown.content()


def test_a_step_is_seen_from_its_upper_end(shown, tree):
    shown.open(put(shown, tree))
    settled(shown)
    shown.page.evaluate("scrollTo(0, 400)")
    assert shown.page.evaluate("document.querySelector('iframe').getBoundingClientRect().top") < 0
    shown.answer()
    top = shown.page.evaluate("document.querySelector('iframe').getBoundingClientRect().top")
    assert top >= -1


def call(shown, body):
    """Go to an ending with the company's number and tap it; what the console says of it."""
    shown.open(body)
    settled(shown)
    number = ".calls a[href^=tel]"
    shown.page.frames[1].evaluate(
        f"location.hash = document.querySelector('{number}').closest('section').id"
    )
    shown.inside.locator(f"{number}:visible").first.click()
    shown.page.wait_for_timeout(300)
    return [text for text in shown.said if "block" in text.lower()]


def test_the_number_can_be_called_from_the_frame(shown, made):
    """Chromium says "blocked" in the console where a sandbox keeps a number from being called."""
    assert call(shown, put(shown, made[0].course.library.trees["hot"])) == []


def test_a_sandbox_that_keeps_it_from_being_called_would_be_told(shown, made):
    """So that the test above can fail."""
    body = put(shown, made[0].course.library.trees["hot"])
    assert call(shown, body.replace("allow-popups allow-popups-to-escape-sandbox ", ""))


@pytest.mark.parametrize(
    "message",
    [
        "{type: 'stepstop', version: 1, height: 5000}",
        "{type: 'stepstop', version: 1, height: 5000, top: true}",
    ],
)
def test_a_message_from_elsewhere_is_not_heard(shown, tree, message):
    shown.open(put(shown, tree))
    settled(shown)
    before = shown.height()
    shown.page.evaluate(f"postMessage({message}, '*')")
    other = "document.body.append(Object.assign(document.createElement('iframe'), {id: 'o'}))"
    shown.page.evaluate(other)
    shown.page.frames[-1].evaluate(f"parent.postMessage({message}, '*')")
    shown.page.wait_for_timeout(200)
    assert shown.height() == before
    assert {"type": "stepstop", "version": 1, "height": 5000} in [
        {k: v for k, v in each.items() if k != "top"} for each in shown.page.evaluate("heard")
    ]


@pytest.mark.parametrize(
    "message",
    [
        "null",
        "'stepstop'",
        "{type: 'other', version: 1, height: 5000}",
        "{type: 'stepstop', version: 2, height: 5000}",
        "{type: 'stepstop', version: 1, height: '5000'}",
        "{type: 'stepstop', version: 1, height: NaN}",
        "{type: 'stepstop', version: 1, height: Infinity}",
    ],
)
def test_a_message_of_another_form_is_not_heard_even_from_the_frame(shown, tree, message):
    shown.open(put(shown, tree))
    settled(shown)
    before = shown.height()
    shown.page.frames[1].evaluate(f"parent.postMessage({message}, '*')")
    shown.page.wait_for_timeout(200)
    assert shown.height() == before
    assert shown.said == []


@pytest.mark.parametrize(("height", "kept"), [(1, 100), (10**9, 60_000)])
def test_an_absurd_height_is_cut(shown, tree, height, kept):
    shown.open(put(shown, tree))
    settled(shown)
    message = f"{{type: 'stepstop', version: 1, height: {height}}}"
    shown.page.frames[1].evaluate(f"parent.postMessage({message}, '*')")
    shown.page.wait_for_timeout(100)
    assert shown.height() == kept


def test_the_host_learns_a_height_and_not_one_answer(shown, tree, servers):
    shown.open(put(shown, tree))
    settled(shown)
    servers[1].asked.clear()
    for _ in range(3):
        shown.answer()
    assert "#" in shown.page.frames[1].url
    for each in shown.page.evaluate("heard"):
        assert set(each) == {"type", "version", "height", "top"}
    tries = [
        "document.querySelector('iframe').contentWindow.location.href",
        "document.querySelector('iframe').contentWindow.document",
        "document.querySelector('iframe').contentWindow.history",
    ]
    for each in tries:
        with pytest.raises(Exception, match=r"SecurityError|Blocked a frame"):
            shown.page.evaluate(each)
    assert "#" not in shown.page.evaluate("document.querySelector('iframe').src")
    assert servers[1].asked == []


def test_nothing_is_stored_and_nothing_says_who_comes(shown, tree, servers):
    servers[1].asked.clear()
    shown.open(put(shown, tree))
    settled(shown)
    assert shown.page.context.cookies() == []
    assert [path for path, _ in servers[1].asked] == [f"/{tree.id}/pocket.html"]
    for _, headers in servers[1].asked:
        assert "Referer" not in headers
        assert "Cookie" not in headers
    with pytest.raises(Exception, match=r"SecurityError|Access is denied|sandboxed"):
        shown.page.frames[1].evaluate("localStorage.length")


def test_the_link_stays_where_the_guide_does_not_answer(shown, tree):
    body = put(shown, tree).replace("/pocket.html", "/nowhere.html")
    shown.open(body)
    shown.page.wait_for_timeout(500)
    expect(shown.page.locator("stepstop-help > p a")).to_be_visible()
    assert shown.height() == HEIGHT


def test_the_link_stays_where_the_policy_of_the_host_allows_no_frame(shown, tree):
    shown.open(put(shown, tree), policy="default-src 'self'")
    shown.page.wait_for_timeout(500)
    expect(shown.page.locator("stepstop-help > p a")).to_be_visible()
    assert shown.page.evaluate("heard") == []


def test_without_a_script_there_is_the_frame_and_the_link(browser, servers, tree):
    context = browser.new_context(java_script_enabled=False)
    shown = Shown(context.new_page(), *servers)
    shown.open(put(shown, tree))
    expect(shown.page.locator("stepstop-help > p a")).to_be_visible()
    shown.inside.locator(".answers a:visible").last.click()
    expect(shown.inside.locator("section:visible h1").first).to_be_visible()
    context.close()


def test_only_the_hosts_that_are_named_may_show_it(shown, tree, servers, made):
    """By a header, which a file can't set for itself (CSP Level 3, frame-ancestors)."""
    lines = made[1]["embed/headers.txt"].decode()
    assert "frame-ancestors 'self' https://www.example.com" in lines
    servers[1].headers = {"Content-Security-Policy": "frame-ancestors 'self' http://other.test"}
    try:
        shown.open(put(shown, tree))
        shown.page.wait_for_timeout(500)
        assert shown.page.evaluate("heard") == []
        expect(shown.page.locator("stepstop-help > p a")).to_be_visible()
    finally:
        servers[1].headers = {}


def test_the_complaint_can_be_chosen_and_nothing_else(shown, tree, made):
    other = next(each for each in made[0].course.library.complaints() if each.id != tree.id)
    shown.open(put(shown, tree))
    settled(shown)
    change = "word => document.querySelector('stepstop-help').setAttribute('complaint', word)"
    shown.page.evaluate(change, other.id)
    expect(shown.inside.locator(".complaint").first).to_have_text(other.title)
    source = "document.querySelector('iframe').src"
    assert shown.page.evaluate(source) == shown.address(f"{other.id}/pocket.html")
    for word in ("javascript:alert(1)", "../../x", "//other.test", "", "a b"):
        shown.page.evaluate(change, word)
        assert shown.page.evaluate(source) == shown.address(f"{other.id}/pocket.html")


def test_it_can_be_reached_and_left_by_keyboard_in_the_order_of_the_page(shown, tree):
    before = '<p><a href="#before" id="before">Before</a></p>'
    shown.open(before + put(shown, tree) + '<p><a href="#last" id="last">Last</a></p>')
    settled(shown)
    shown.page.locator("#before").focus()
    assert shown.page.evaluate("document.activeElement.id") == "before"
    shown.page.keyboard.press("Tab")
    expect(shown.inside.locator(".strip")).to_be_focused()
    assert shown.page.evaluate("document.activeElement.tagName") == "IFRAME"
    for _ in range(len(shown.inside.locator("a, button, summary").all())):
        if not shown.page.frames[1].evaluate("document.hasFocus()"):
            break
        shown.page.keyboard.press("Tab")
        # The frame is another process: the focus takes a moment to come out of it.
        shown.page.wait_for_timeout(50)
    expect(shown.page.locator("#last")).to_be_focused()


def test_the_rules_of_access_are_kept(shown, tree):
    shown.open(put(shown, tree))
    settled(shown)
    broken, _ = looked_over(shown.page)
    assert broken == []


def test_it_opens_on_a_page_of_its_own_and_prints(shown, tree):
    shown.open(put(shown, tree))
    settled(shown)
    shown.page.frames[1].evaluate("self.print = () => { self.printed = true; }")
    shown.inside.locator("#alone button").click()
    assert shown.page.frames[1].evaluate("self.printed") is True
    with shown.page.context.expect_page() as opened:
        shown.inside.locator("#alone a").click()
    own = opened.value
    own.wait_for_load_state()
    assert own.url == shown.address(f"{tree.id}/pocket.html")
    assert not own.locator("#alone").is_visible()
    assert own.evaluate("self.origin") == shown.address()[:-1], "not in a sandbox any more"


def test_other_files_open_beside_the_frame(shown, tree):
    shown.open(put(shown, tree))
    settled(shown)
    outward = shown.inside.locator('a[href]:not([href^="#"], [href^=tel], [href^=sms])')
    assert outward.count()
    for link in outward.all():
        assert link.get_attribute("target") == "_blank"


def test_a_plain_frame_needs_nothing(shown, tree):
    shown.open(frame(shown.address(f"{tree.id}/pocket.html"), "Steps"))
    shown.page.wait_for_timeout(300)
    assert shown.height() == HEIGHT
    shown.inside.locator(".answers a:visible").last.click()
    expect(shown.inside.locator("section:visible h1").first).to_be_visible()


def test_the_script_is_small_and_what_is_handed_on_names_what_it_must(made):
    files = made[1]
    assert len(gzip.compress(files[EMBED], 9, mtime=0)) < SIZE
    snippets = files["embed/snippets.txt"].decode()
    assert SANDBOX in snippets
    assert "https://guide.example.com/" in snippets
    for each in made[0].course.library.complaints():
        assert f"{each.id}  ({each.title})" in snippets
    assert "frame-src https://guide.example.com tel: sms:\n" in files["embed/note.txt"].decode()
    policy = "\"frame-ancestors 'self' https://www.example.com\""
    nginx, apache = (files[f"embed/{name}.conf"].decode() for name in ("nginx", "apache"))
    assert f"add_header Content-Security-Policy {policy} always;" in nginx
    assert f"Header always set Content-Security-Policy {policy}" in apache
