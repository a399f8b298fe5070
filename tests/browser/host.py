"""A host of static files on 127.0.0.1 that a test can change, slow down, and kill."""

import mimetypes
import threading
from contextlib import contextmanager
from functools import partial
from http.server import BaseHTTPRequestHandler, SimpleHTTPRequestHandler, ThreadingHTTPServer

LONGEST = 30
"""Seconds that a stalled answer waits at the most, should a test forget it."""

mimetypes.add_type("application/manifest+json", ".webmanifest")


SOON = 20_000
"""Milliseconds after which a test gives up waiting."""


def until(page, script, wanted):
    """Wait until `script` gives what `wanted` takes for enough, and return it.

    A page's policy forbids what `wait_for_function` does where it has to look a second time.
    """
    for _ in range(SOON // 50):
        found = page.evaluate(script)
        if wanted(found):
            return found
        page.wait_for_timeout(50)
    raise AssertionError(f"still {found}")


class _Quiet(SimpleHTTPRequestHandler):
    """Serves a folder and keeps what was asked of it."""

    def log_message(self, *_):
        self.server.asked.append(self.path)


@contextmanager
def folder_served(folder):
    """(address, what was asked) of a server for a folder."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=folder))
    server.asked = []
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/", server.asked
    server.shutdown()


@contextmanager
def watched_tab(browser, **options):
    """A page as wide as a small phone; an error or a message in it fails the test at its end."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, **options)
    page = context.new_page()
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("console", lambda message: page.wrong.append(message.text))
    page.set_default_timeout(15_000)
    yield page
    assert page.wrong == []
    context.close()


class Host:
    """Serves `files` (path below `below` -> content) and a plain page at every other address."""

    def __init__(self, files, below="/guide/"):
        self.files = dict(files)
        self.below = below
        self.asked = []
        """Names below `below`, in the order of the requests."""
        self.stalled = {}
        """Name -> whether the head of its answer comes; its body never does until `go_on`."""
        self._moving = threading.Event()
        self._server = None
        self._port = 0
        self.start()

    def start(self):
        """Listen, again at the same port after `kill`."""
        self._server = _Server(("127.0.0.1", self._port), _handler(self))
        self._port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()

    def kill(self):
        """Answer nobody any more."""
        self.go_on()
        self._server.shutdown()
        self._server.server_close()

    def stall(self, name, *, head=False):
        """Let no answer for `name` come, or no more than its head."""
        self._moving.clear()
        self.stalled[name] = head

    def go_on(self):
        """Let all answers come."""
        self.stalled.clear()
        self._moving.set()

    def url(self, name="", host="127.0.0.1"):
        """The address of a file."""
        return f"http://{host}:{self._port}{self.below}{name}"

    def outside(self, host="127.0.0.1"):
        """The address of a page that is none of ours, on the same host."""
        return f"http://{host}:{self._port}/other.html"

    def answer(self, path):
        """(name, content or None) for a path."""
        if not path.startswith(self.below):
            return "", b"<!doctype html><title>Other</title>"
        name = path.removeprefix(self.below)
        content = self.files.get(name, self.files.get(f"{name}index.html"))
        self.asked.append(name)
        return name, content

    def wait(self):
        """Wait until answers may come."""
        self._moving.wait(LONGEST)


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False
    allow_reuse_address = True


def _handler(host):
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            path = self.path.partition("?")[0]
            name, content = host.answer(path)
            if host.stalled.get(name) is False:
                host.wait()
            found = b"not here" if content is None else content
            self.send_response(404 if content is None else 200)
            kind = mimetypes.guess_type(name or "index.html")[0] or "text/html"
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(found)))
            self.end_headers()
            if host.stalled.get(name):
                host.wait()
            self.wfile.write(found)

        def handle(self):
            try:
                super().handle()
            except OSError:
                self.close_connection = True

        def log_message(self, *_):
            pass

    return Handler
