"""The picture as SVG: layers from left to right, shapes that tell kinds apart without color."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from textwrap import wrap

from fast_sugiyama import from_edges

from stepstop.picture.flow import Box, Edge, Flow, Key

WIDTH, HEIGHT = 176.0, 62.0
"""Of a box."""
ACROSS, DOWN = 262.0, 78.0
"""From layer to layer, and from box to box within one: many endings stand below each other."""
MARGIN = 24.0
HEAD = 56.0
"""Above all boxes."""
_LINE, _LETTERS, _LINES = 13.0, 28, 2
_SPACING = 100.0
"""Of the layout, before it is scaled."""
_CUT = 12.0

KINDS = {
    "question": "question",
    "check": "CHECK",
    "note": "note",
    "use": "shared steps",
    "elsewhere": "goes on in",
    "danger": "DANGER, leave",
    "call": "STOP AND CALL",
    "watch": "works, watch it",
    "solved": "SOLVED",
}
"""Shape -> how the box says it in words."""

_STYLE = """
text { font: 11px system-ui, sans-serif; fill: #111 }
.kind { font-weight: 700; font-size: 9.5px }
.box { fill: #fff; stroke: #333; stroke-width: 1.4 }
.check { fill: #fff3c4; stroke-width: 2.6 }
.note, .use, .elsewhere { fill: #eef1f4 }
.note { stroke-dasharray: 2 3 }
.danger { fill: #f9d4d4; stroke: #8c1022; stroke-width: 4 }
.call { fill: #dbe6fb; stroke-width: 2.6 }
.watch { fill: #e6f3e2; stroke-dasharray: 7 4 }
.solved { fill: #cfe9c6 }
.way { fill: none; stroke: #555; stroke-width: 1.2 }
.share { font-size: 10px; paint-order: stroke; stroke: #fff; stroke-width: 6px }
.title { font-size: 16px; font-weight: 700 }
a:focus .box, a:hover .box { stroke-width: 4 }
"""

Point = tuple[float, float]
Link = Callable[[Box], str]
"""Where a box leads, or empty."""


@dataclass(frozen=True, slots=True)
class _Layout:
    places: Mapping[Key, Point]
    """Middles of boxes."""
    bends: Mapping[tuple[Key, Key], tuple[Point, ...]]
    width: float
    height: float


def drawing(flow: Flow, *, page: Link = lambda _: "", line: Link = lambda _: "") -> str:
    """The SVG; `page` and `line` say where a box and its name lead."""
    laid = _laid(flow)
    said = "Shares are of simulated callers, not field results." if _is_counted(flow) else ""
    about = (
        f"The tree {flow.tree.id} as a picture: {len(flow.boxes)} boxes, from left to right. "
        "Thick red octagons are dangers, boxes with cut corners stop and call, double frames are "
        f"checks. {said}"
    )
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {laid.width:.0f} {laid.height:.0f}" '
        f'width="{laid.width:.0f}" height="{laid.height:.0f}" role="img" '
        'aria-labelledby="title about">',
        f'<title id="title">{escape(flow.tree.title)}</title>',
        f'<desc id="about">{escape(about)}</desc>',
        f"<style>{_STYLE}</style>",
        '<defs><marker id="tip" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="10" '
        'markerHeight="10" markerUnits="userSpaceOnUse" '
        'orient="auto"><path d="M0 0L8 4L0 8z" fill="#555"/></marker></defs>',
        f'<rect width="{laid.width:.0f}" height="{laid.height:.0f}" fill="#fff"/>',
        f'<text class="title" x="{MARGIN:g}" y="26">{escape(flow.tree.title)}</text>',
        f'<text x="{MARGIN:g}" y="43">{escape(f"{flow.tree.id}. {said}".rstrip())}</text>',
        *(_way(edge, laid) for edge in flow.edges),
        *(_share(edge, laid) for edge in flow.edges if edge.share is not None),
        *(part for box in flow.boxes for part in _box(box, laid.places[box.key], page, line)),
        "</svg>\n",
    ]
    return "\n".join(filter(None, parts))


def _is_counted(flow: Flow) -> bool:
    return any(edge.share is not None for edge in flow.edges)


# ---- layout ----


def _laid(flow: Flow) -> _Layout:
    """Sugiyama's layers: every way leads on, and ways over several layers bend between boxes."""
    keys = [box.key for box in flow.boxes]
    number = {key: i for i, key in enumerate(keys)}
    pairs = [(number[edge.tail], number[edge.head]) for edge in flow.edges]
    if not pairs:
        return _Layout({keys[0]: (MARGIN + WIDTH / 2, HEAD + HEIGHT / 2)}, {}, 260.0, 160.0)
    raw: dict[int, Point] = {}
    after: dict[int, list[int]] = {}
    shift = 0.0
    for positions, width, _, edges in from_edges(pairs, vertex_spacing=_SPACING).to_list():
        raw |= {int(n): (x + shift, y) for n, (x, y) in positions}
        shift += width + _SPACING
        for tail, head in edges or pairs:
            after.setdefault(int(tail), []).append(int(head))
    layers = {y: i for i, y in enumerate(sorted({y for _, y in raw.values()}, reverse=True))}
    top = min(x for x, _ in raw.values())
    points = {
        n: (
            MARGIN + WIDTH / 2 + layers[y] * ACROSS,
            HEAD + HEIGHT / 2 + (x - top) / _SPACING * DOWN,
        )
        for n, (x, y) in raw.items()
    }
    bends = {
        (edge.tail, edge.head): _bends(
            number[edge.tail], number[edge.head], after, len(keys), points
        )
        for edge in flow.edges
    }
    width = MARGIN + WIDTH + (len(layers) - 1) * ACROSS + MARGIN
    height = max(y for _, y in points.values()) + HEIGHT / 2 + MARGIN
    return _Layout({key: points[number[key]] for key in keys}, bends, width, height)


def _bends(
    tail: int, head: int, after: Mapping[int, list[int]], real: int, points: Mapping[int, Point]
) -> tuple[Point, ...]:
    """The places that a way takes between its boxes: those of the layout's stand-ins for it."""
    for first in after.get(tail, []):
        chain, here = [], first
        while here >= real:
            chain.append(points[here])
            here = after[here][0]
        if here == head:
            return tuple(chain)
    return ()


# ---- marks ----


def _way(edge: Edge, laid: _Layout) -> str:
    (x1, y1), (x2, y2) = laid.places[edge.tail], laid.places[edge.head]
    points = [(x1 + WIDTH / 2, y1), *laid.bends[edge.tail, edge.head], (x2 - WIDTH / 2, y2)]
    d = f"M{points[0][0]:.1f} {points[0][1]:.1f}"
    for (ax, ay), (bx, by) in pairwise(points):
        middle = (ax + bx) / 2
        d += f"C{middle:.1f} {ay:.1f} {middle:.1f} {by:.1f} {bx:.1f} {by:.1f}"
    thick = "" if edge.share is None else f' style="stroke-width:{1 + 6 * edge.share:.1f}"'
    said = " / ".join(edge.answers)
    title = f"<title>{escape(said)}</title>" if said else ""
    return f'<path class="way" d="{d}" marker-end="url(#tip)"{thick}>{title}</path>'


def _share(edge: Edge, laid: _Layout) -> str:
    (x1, y1), (x2, y2) = laid.places[edge.tail], laid.places[edge.head]
    bends = laid.bends[edge.tail, edge.head]
    nx, ny = bends[0] if bends else (x2 - WIDTH / 2, y2)
    x = x1 + WIDTH / 2
    # Near the head, where ways from one box have parted.
    x, y = x + (nx - x) * 0.72, y1 + (ny - y1) * 0.86 + 3.0
    return (
        f'<text class="share" x="{x:.1f}" y="{y:.1f}" text-anchor="middle">'
        f"{percent(edge.share)}</text>"
    )


def percent(share: float | None) -> str:
    """A share as it is written beside a way."""
    if not share:
        return "nobody"
    return "&lt;1 %" if share < 0.01 else f"{share:.0%}".replace("%", " %")


def _box(box: Box, middle: Point, page: Link, line: Link) -> Iterator[str]:
    x, y = middle[0] - WIDTH / 2, middle[1] - HEIGHT / 2
    to, where = page(box), line(box)
    at = f"{box.spot.file}:{box.spot.line}" if box.spot else ""
    title = f"{KINDS[box.shape]}: {box.text}" + (f" ({at})" if at else "")
    shape = _SHAPES[box.shape](x, y)
    lines = wrap(box.text, _LETTERS)
    if len(lines) > _LINES:
        lines = [*lines[: _LINES - 1], _short(f"{lines[_LINES - 1]} {lines[_LINES]}", _LETTERS)]
    texts = [
        f'<text x="{middle[0]:.1f}" y="{y + 31 + i * _LINE:.1f}" text-anchor="middle">'
        f"{escape(each)}</text>"
        for i, each in enumerate(lines)
    ]
    name = (
        f'<text class="kind" x="{middle[0]:.1f}" y="{y + 16:.1f}" text-anchor="middle">'
        f"{escape(_short(f'{KINDS[box.shape]} · {box.name}', _LETTERS))}</text>"
    )
    body = f"<title>{escape(title)}</title>{shape}" + "".join(texts)
    yield f'<a href="{escape(to)}">{body}</a>' if to else f"<g>{body}</g>"
    yield f'<a href="{escape(where)}"><title>{escape(at)}</title>{name}</a>' if where else name


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _rounded(name: str, radius: float) -> Callable[[float, float], str]:
    def made(x: float, y: float) -> str:
        return (
            f'<rect class="box {name}" x="{x:.1f}" y="{y:.1f}" width="{WIDTH:g}" '
            f'height="{HEIGHT:g}" rx="{radius:g}"/>'
        )

    return made


def _doubled(x: float, y: float) -> str:
    """A frame in a frame."""
    return _rounded("check", 2.0)(x, y) + (
        f'<rect fill="none" stroke="#333" x="{x + 4:.1f}" y="{y + 4:.1f}" '
        f'width="{WIDTH - 8:g}" height="{HEIGHT - 8:g}"/>'
    )


def _polygon(name: str, corners: tuple[Point, ...]) -> Callable[[float, float], str]:
    def made(x: float, y: float) -> str:
        points = " ".join(f"{x + dx:.1f},{y + dy:.1f}" for dx, dy in corners)
        return f'<polygon class="box {name}" points="{points}"/>'

    return made


def _cut(by: float) -> tuple[Point, ...]:
    w, h = WIDTH, HEIGHT
    return (
        (by, 0.0), (w - by, 0.0), (w, by), (w, h - by),
        (w - by, h), (by, h), (0.0, h - by), (0.0, by),
    )  # fmt: skip


_SHAPES: Mapping[str, Callable[[float, float], str]] = {
    "question": _rounded("question", 6.0),
    "check": _doubled,
    "note": _rounded("note", 0.0),
    "use": _polygon(
        "use", ((0.0, 0.0), (WIDTH - 16, 0.0), (WIDTH, 16.0), (WIDTH, HEIGHT), (0.0, HEIGHT))
    ),
    "elsewhere": _polygon(
        "elsewhere", ((14.0, 0.0), (WIDTH, 0.0), (WIDTH - 14, HEIGHT), (0.0, HEIGHT))
    ),
    "danger": _polygon("danger", _cut(18.0)),
    "call": _polygon("call", _cut(9.0)),
    "watch": _rounded("watch", HEIGHT / 2),
    "solved": _rounded("solved", HEIGHT / 2),
}
