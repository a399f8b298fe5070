"""No style sheet and no script says "left" where it means the beginning of a line.

Where text runs from right to left, a page is mirrored by what is logical in it; what is physical
stays where it was, under the text. Pictures are not mirrored, and no margin of paper has a logical
name (`@top-left`): neither is a property, so neither is found.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from project.repository import ROOT, kept_files

SIDE = "(left|right|top|bottom)"
PHYSICAL = {
    "css": re.compile(
        rf"(?<![\w-])((scroll-)?(margin|padding)|border|inset)-{SIDE}(?![\w]|-\w+-\w+-)"
        rf"|(?<![\w-]){SIDE}\s*:"
        r"|(text-align(-last)?|float|clear|caption-side)\s*:\s*(left|right)\b"
        r"|(background|transform)[\w-]*\s*:[^;}]*\b(left|right)\b"
        r"|translateX|(?<![\w-])(min-|max-)?(width|height)\s*:(?![^()]*\))"
    ),
    "js": re.compile(
        rf"\.style\.{SIDE}\b|(margin|padding|border)(Left|Right|Top|Bottom)"
        r"|textAlign\W+(left|right)\b|(offset|scroll|client|page)(Left|X)\b|Arrow(Left|Right)"
        r"|getBoundingClientRect\(\)\.(left|right)\b"
    ),
}
SHORT = re.compile(
    r"(?<![\w-])((?:scroll-)?(?:margin|padding)|inset|border-(?:width|style|color|radius))\s*:"
    r"([^;}]*)"
)
COMMENT = re.compile(r"/\*.*?\*/|\{#.*?#\}", re.DOTALL)
IN_TEMPLATE = re.compile(
    r"<style>(.*?)</style>|\{% set margins %\}(.*?)\{% endset %\}|\sstyle=\"([^\"]*)\"", re.DOTALL
)


def physical(text: str, kind: str) -> Iterator[tuple[int, str]]:
    """(line, what stands there) of each place in a file of a kind that knows left from right."""
    text = COMMENT.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), text)
    if kind == "html":
        for sheet in IN_TEMPLATE.finditer(text):
            group = sheet.lastindex or 0
            above = text.count("\n", 0, sheet.start(group))
            yield from ((above + line, said) for line, said in physical(sheet[group], "css"))
        return
    found = [(each.start(), each[0]) for each in PHYSICAL[kind].finditer(text)]
    if kind == "css":
        found += [(e.start(), e[0]) for e in SHORT.finditer(text) if is_lopsided(e[1], e[2])]
    for start, said in sorted(found):
        yield text.count("\n", 0, start) + 1, said.strip()


def is_lopsided(name: str, values: str) -> bool:
    """Whether a shorthand has one value for the left, and another for the right."""
    each = re.findall(r"(?:[^\s()]|\([^()]*(?:\([^()]*\)[^()]*)*\))+", values)
    if name == "border-radius":
        return len(set(each)) > 1
    return len(each) == 4 and each[1] != each[3]


def test_nothing_is_left_or_right() -> None:
    files = [
        ROOT / path
        for path in kept_files()
        if path.parts[0] == "site_overrides" and path.suffix in (".css", ".js", ".html")
    ]
    assert {".css", ".js", ".html"} == {path.suffix for path in files}
    found = [
        f"{path.relative_to(ROOT)}:{line}: {said}"
        for path in files
        for line, said in physical(path.read_text("utf-8"), path.suffix[1:])
    ]
    assert found == []


@pytest.mark.parametrize(
    ("kind", "text", "line"),
    [
        ("css", "a { b: c; }\na { margin-left: 1px; }", 2),
        ("css", "/* left:\n */ a { left: 0; }", 2),
        ("css", "a{border-top-right-radius:1px}", 1),
        ("css", "a { text-align: right; }", 1),
        ("css", "a { float: left; }", 1),
        ("css", "a { padding: 0 1px 0 calc(1px + max(2px, 3px)); }", 1),
        ("css", "a { border-width: 3px 3px 0 0; }", 1),
        ("css", "a { border-radius: 1px 2px; }", 1),
        ("css", "a { inset: 0 auto 0 0; }", 1),
        ("css", "a { transform-origin: left; }", 1),
        ("css", "a { background: url(x) right no-repeat; }", 1),
        ("css", "a { max-width: 3px; }", 1),
        ("js", "x;\na.style.left = '0'", 2),
        ("js", "a.style.marginLeft = '0'", 1),
        ("js", "a.style.textAlign = 'right'", 1),
        ("js", "if (event.key === 'ArrowLeft') back()", 1),
        ("js", "a.scrollLeft = 0", 1),
        ("html", "<p>left: x</p>\n<style>\na { right: 0 }</style>", 3),
        ("html", '<p\n style="margin-right: 0">', 2),
    ],
)
def test_it_would_be_found(kind: str, text: str, line: int) -> None:
    assert [found for found, _ in physical(text, kind)] == [line]


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("css", "@media (min-width: 4rem) { a { margin: 0 1px 2px 1px; } }"),
        ("css", "a { padding: 0 max(1px, 2px) 0 max(1px, 2px); inset-inline-end: 0; }"),
        ("css", "a { clip-path: inset(0 0 0 5ch); direction: ltr; text-align: start; }"),
        ("css", "a { grid-template-columns: minmax(1px, 2px) 1fr 1fr 2fr; border: solid; }"),
        ("js", "end.left || word('left') + frame.style.height"),
        ("html", "<p>What is left: nothing.</p>"),
    ],
)
def test_nothing_else_is_found(kind: str, text: str) -> None:
    assert list(physical(text, kind)) == []
