"""What a company hands to whoever runs its web site: a snippet, header lines, a short note.

The pages go into a frame, which a small script makes as high as the step that shows. The script is
a file that the site copies, so that a strict policy there has to allow one frame, nothing else.
"""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import urljoin

from stepstop.company.model import Company
from stepstop.language.tongue import Tongue
from stepstop.model import Tree
from stepstop.pages.address import EMBED, pocket_file
from stepstop.pages.atlas import Atlas

FOLDER = EMBED.rpartition("/")[0]
SANDBOX = "allow-scripts allow-popups allow-popups-to-escape-sandbox allow-modals"
"""What the frame may do. Without `allow-popups` a number in it can't be called (seen in Chromium);
`allow-modals` lets it be printed. It gets no origin, so that it can store and read nothing."""
HEIGHT = 1600
"""CSS pixels that the frame has before it tells its own: below them, nothing is seen to move."""

_FRAME = """\
<iframe src="{src}" title="{title}"
  sandbox="{sandbox}" referrerpolicy="no-referrer"
  width="100%" height="{height}" frameborder="0"></iframe>"""


@dataclass(frozen=True, slots=True)
class Shown:
    """The complaints in a language of the site."""

    tongue: Tongue
    folder: str
    """Of its pages below the site's root."""
    trees: tuple[Tree, ...]

    @classmethod
    def of(cls, atlas: Atlas) -> Shown:
        """Those of an atlas."""
        edition = atlas.edition
        return cls(edition.tongue, edition.folder, tuple(atlas.course.library.complaints()))


def embedding(company: Company, shown: Sequence[Shown]) -> Iterator[tuple[str, bytes]]:
    """(file, content) of what is handed on; nothing where the company names no address.

    `shown` is what there is in each language, the company's own first.
    """
    if not company.address or not shown[0].trees:
        return
    base = company.address if company.address.endswith("/") else f"{company.address}/"
    texts = {
        "snippets.txt": _snippets(base, shown),
        "note.txt": _note(company, base),
        "headers.txt": _headers(company),
        "nginx.conf": _nginx(company),
        "apache.conf": _apache(company),
    }
    for name, text in texts.items():
        yield f"{FOLDER}/{name}", text.encode()


def frame(src: str, title: str) -> str:
    """The frame that shows the file at `src`."""
    return _FRAME.format(
        src=html.escape(src), title=html.escape(title), sandbox=SANDBOX, height=HEIGHT
    )


def _snippets(base: str, shown: Sequence[Shown]) -> str:
    own, *further = shown
    trees, first = own.trees, own.trees[0]
    parts = [
        "Three ways to show the steps on your own site. Each complaint has its own address.",
        "1. A frame that is as high as the step that shows. Copy embed.js to your site.",
        element(base, own, first) + '\n<script src="/embed.js" defer></script>',
        "2. The frame alone, for sites that take no scripts. It has a scroll bar of its own.",
        frame(urljoin(base, pocket_file(first.id)), title_of(own, first)),
        "3. A link, for sites that take no frames.",
        _link(base, own),
        "In place of the first complaint you may write another one, in both addresses:",
        "\n".join(f"{tree.id}  ({tree.title})" for tree in trees),
        f'With the script, `complaint` changes it too: <stepstop-help complaint="{trees[-1].id}">',
    ]
    for other in further:
        parts += [
            f"In the language {other.tongue.code} ({other.tongue.name}), the first and the last:",
            element(base, other, other.trees[0]),
            _link(base, other),
        ]
    return "\n\n".join(parts) + "\n"


def element(base: str, shown: Shown, tree: Tree) -> str:
    """The frame with what is shown until it has told its height."""
    address = urljoin(base, f"{shown.folder}{pocket_file(tree.id)}")
    said = shown.tongue.worded("Open the steps on a page of their own")
    link = f'<p><a href="{html.escape(address)}">{html.escape(said)}</a></p>'
    return f"<stepstop-help>\n{frame(address, title_of(shown, tree))}\n{link}\n</stepstop-help>"


def title_of(shown: Shown, tree: Tree) -> str:
    """What a screen reader calls the frame."""
    return shown.tongue.worded("Steps before you call: {complaint}", complaint=tree.title)


def _link(base: str, shown: Shown) -> str:
    address = urljoin(base, f"{shown.folder}index.html")
    said = shown.tongue.worded("Heating or cooling stopped? What to look at before you call")
    return f'<a href="{html.escape(address)}">{html.escape(said)}</a>'


def _note(company: Company, base: str) -> str:
    hosts = ", ".join(company.hosts) or "(none is named: see `hosts` in the company's file)"
    return f"""\
To whoever runs the web site of {company.name}

Please put the first part of snippets.txt into a page, and copy embed.js beside it.

- What it is: a guide for people whose heating or cooling has stopped. It lies at {base}
- It shows in a frame. The frame may run its own scripts, open a page and print; it can't read
  your page, and your page can't read what people answer. It sets no cookie and stores nothing.
- The frame tells its height, and nothing else, by a message with the type `stepstop`.
- If your site has a Content-Security-Policy, allow the frame, and calls and texts from it:
  frame-src {_origin(base)} tel: sms:
  The script is a file of your own site: script-src 'self' is enough.
- Only these sites may show the pages: {hosts}
  The host of the pages must say so: headers.txt, nginx.conf and apache.conf have the lines. A host
  that can't set headers can't choose who shows its pages.
- If the pages can't be reached, the link below the frame stays.
"""


def _origin(address: str) -> str:
    return "/".join(address.split("/")[:3])


def _ancestors(company: Company) -> str:
    return " ".join(["frame-ancestors 'self'", *company.hosts])


def _lines(company: Company) -> dict[str, str]:
    return {
        "Content-Security-Policy": _ancestors(company),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "same-origin",
    }


def _headers(company: Company) -> str:
    lines = [f"{name}: {value}" for name, value in _lines(company).items()]
    return "\n".join(["For every file of the pages:", "", *lines]) + "\n"


def _nginx(company: Company) -> str:
    lines = [f'add_header {name} "{value}" always;' for name, value in _lines(company).items()]
    note = "# Inside the `server` or `location` of the pages."
    small = (
        "# Small TLS records: on a weak signal text shows while the rest is on its way.\n"
        "ssl_buffer_size 1400;"
    )
    return "\n".join([note, *lines, small]) + "\n"


def _apache(company: Company) -> str:
    lines = [f'Header always set {name} "{value}"' for name, value in _lines(company).items()]
    note = "# In the .htaccess of the pages, or inside their <Directory>; needs mod_headers."
    return "\n".join([note, *lines]) + "\n"
