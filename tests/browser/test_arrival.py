"""A page that arrives in pieces over a real connection: one request, and nothing moves."""

import re
import threading
import time
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from browser.host import until

PIECE = 700
"""Bytes that come at once: they end in the middle of words, answers and drawings."""
PAUSE = 0.02
"""Seconds between two pieces: longer than a frame of the screen takes."""
WITH_AN_ACCOUNT = ("call", "watch", "technician", "stop and call", "code")
"""Kinds of pages that load a script and data, once they can be read."""
RECKONING = ("cold", "hot")
"""Kinds that load a script which reckons."""
DATA = {"agent": ("trail.js", "calls.js")}
"""Kind of page that is made of data -> these, in their order."""
ASIDE = ("serviceworker", "manifest")
"""What a page may ask for beside itself, once it can be read (Fetch Standard, destinations)."""

WATCH = """
window.moved = [];
new PerformanceObserver(list => {
  for (const shift of list.getEntries())
    for (const { node } of shift.sources)
      moved.push([shift.value, (node?.outerHTML ?? node?.data ?? '').slice(0, 80)]);
}).observe({ type: 'layout-shift', buffered: true });
"""
"""Every move that the Layout Instability API (WICG) sees, however small."""

TWO_FRAMES = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


@contextmanager
def served(files, held=None):
    """The address of a server of `files` in small pieces, and a list of what it was asked for.

    `held` is a text and an event: from that text on, a page waits until the event has come.
    """
    asked = []

    class Pieces(BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append((self.path, self.headers.get("Sec-Fetch-Dest")))
            content = files.get(self.path.lstrip("/"))
            self.send_response(200 if content else 404)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            for start in range(0, len(content or b""), PIECE):
                if held and held[0] in content[start : start + PIECE]:
                    held[1].wait()
                self.wfile.write(content[start : start + PIECE])
                self.wfile.flush()
                if b"</style>" in content[: start + PIECE]:
                    time.sleep(PAUSE)

        def log_message(self, *_):
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Pieces) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/", asked
        server.shutdown()


@pytest.fixture(scope="module")
def watched(browser):
    """A page that notes every move."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    context.add_init_script(WATCH)
    yield context.new_page()
    context.close()


def test_nothing_moves_while_a_page_arrives_and_it_is_one_request(site, watched):
    with served(site.files) as (address, asked):
        for kind, name in site.samples().items():
            asked.clear()
            watched.goto(f"{address}{name}", wait_until="load")
            if kind in DATA:
                watched.wait_for_selector("#step h1")
            watched.evaluate(TWO_FRAMES)
            assert watched.evaluate("moved") == [], kind
            own = [path for path, use in asked if use not in ASIDE]
            loaded = re.findall(r'src="(?:\.\./)*(\w+\.js)" defer', site.files[name].decode())
            assert own == [f"/{each}" for each in (name, *loaded, *DATA.get(kind, ()))], kind
            assert bool(loaded) == (kind in {*WITH_AN_ACCOUNT, *RECKONING, *DATA}), kind
            if answers := watched.locator(".answers:not(.gate) a").all():
                assert answers[0].is_visible(), kind


def test_a_move_would_be_seen(sites, watched):
    page = re.sub(rb"<meta http-equiv=[^>]*>", b"", sites["small"].files["index.html"])
    style = b"<style>main { padding-block: 9rem }</style>"
    late = page.replace(b"</footer>", b"</footer>" + b" " * PIECE + style)
    seen = threading.Event()
    with served({"late.html": late}, (style, seen)) as (address, _):
        watched.goto(f"{address}late.html", wait_until="commit")
        watched.wait_for_selector("footer")
        watched.evaluate(TWO_FRAMES)
        seen.set()
        until(watched, "moved.length", bool)
