"""A tree as a picture: every box and way of the tree, layers downward, shapes that tell apart."""

import re
from itertools import combinations
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from browser.sites import REAL, laid_out, small_library
from stepstop.cli import main
from stepstop.effort import survey
from stepstop.effort.carry import World
from stepstop.picture import shares as shares_of
from stepstop.picture.drawing import HEIGHT, KINDS, WIDTH, _laid, drawing, percent
from stepstop.picture.flow import ELSEWHERE, END, ENDS, LIST, STEP, flow
from unit.rehearsed import bench, write

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return laid_out(small_library(tmp_path_factory.mktemp("drawn") / "trees"))


@pytest.fixture(scope="module")
def trees(course):
    """Every tree that has pages of its own."""
    return [tree for tree in course.library.written() if tree.role != "shared"]


def test_every_step_and_outcome_of_the_tree_is_a_box(course, trees):
    for tree in trees:
        found = flow(course, tree)
        keys = {box.key for box in found.boxes}
        reached = {
            p.name.split(".")[0] for p in course.pages.values() if p.tree == tree.id and p.step
        }
        assert {name for kind, name in keys if kind == STEP} == reached
        ends = {p.outcome.id for p in course.pages.values() if p.tree == tree.id and p.outcome}
        drawn = {name for kind, name in keys if kind == END}
        assert drawn <= ends
        assert {kind for kind, _ in keys} <= {STEP, END, ENDS, ELSEWHERE, LIST}


def test_every_way_is_drawn_once_with_all_its_answers(small):
    tree = small.library.trees["cold"]
    found = flow(small, tree)
    pairs = [(edge.tail, edge.head) for edge in found.edges]
    assert len(pairs) == len(set(pairs))
    said = {(e.tail[1], e.head[1]): set(e.answers) for e in found.edges if e.tail[0] == STEP}
    assert said["ready", "call"] == {"No, I can't", "I'm not sure I can"}
    assert said["ready", "tried"] == {"Yes, I can"}
    assert said["screen", "set-heat"] == set()


def test_boxes_lie_apart_and_every_way_leads_on(course, trees):
    for tree in trees:
        laid = _laid(flow(course, tree))
        layers = {}
        for x, y in laid.places.values():
            layers.setdefault(x, []).append(y)
            assert WIDTH / 2 <= x <= laid.width - WIDTH / 2
            assert HEIGHT / 2 <= y <= laid.height - HEIGHT / 2
        for layer in layers.values():
            for one, other in combinations(layer, 2):
                assert abs(one - other) > HEIGHT, tree.id
        for (tail, head), bends in laid.bends.items():
            way = [laid.places[tail][0], *(x for x, _ in bends), laid.places[head][0]]
            assert way == sorted(set(way)), (tree.id, tail, head)


def test_a_long_way_passes_beside_the_boxes_of_the_layers_between(course):
    laid = _laid(flow(course, course.library.trees["no-heat"]))
    assert any(laid.bends.values())
    for bends in laid.bends.values():
        for x, y in bends:
            for bx, by in laid.places.values():
                assert bx != x or abs(by - y) > HEIGHT / 2


def test_a_tree_of_sixty_boxes_is_read_on_one_sheet(course, trees):
    """On A3 (420 mm x 297 mm, either way) letters of 11 px are at least 1.1 mm high."""
    sizes = {}
    for tree in trees:
        found = flow(course, tree)
        laid = _laid(found)
        long, short = sorted((laid.width, laid.height), reverse=True)
        sizes[tree.id] = 11 * min(400 / long, 277 / short)
        if len(found.boxes) <= 60:
            assert sizes[tree.id] >= 1.1, tree.id
    assert len(sizes) > 20


def test_it_is_the_same_each_time_and_whole_xml(course):
    tree = course.library.trees["no-heat"]
    one, other = (drawing(flow(course, tree)) for _ in range(2))
    assert one == other
    root = ElementTree.fromstring(one)
    assert root.find(f"{SVG}title").text == tree.title
    assert "dangers" in root.find(f"{SVG}desc").text


def test_kinds_are_told_apart_by_shape_and_word(course, trees):
    """Each kind has an element, a count of corners or a frame that no other kind has."""
    seen = {}
    for tree in trees:
        found = flow(course, tree)
        root = ElementTree.fromstring(drawing(found))
        text = " ".join(root.itertext())
        for box in found.boxes:
            assert KINDS[box.shape] in text
        for element in root.iter():
            kind = (element.get("class") or "").removeprefix("box ")
            if kind in KINDS:
                points = len((element.get("points") or "").split())
                cut = _corner(element)
                seen.setdefault(kind, set()).add((element.tag, points, element.get("rx"), cut))
    assert set(seen) == set(KINDS)
    assert all(len(each) == 1 for each in seen.values())
    shapes = [next(iter(each)) for kind, each in seen.items() if kind not in ("watch", "solved")]
    assert len(shapes) == len(set(shapes))


def _corner(element):
    """How far the first corner lies from the box's own, so that two polygons are told apart."""
    points = [tuple(map(float, each.split(","))) for each in (element.get("points") or "").split()]
    return round(points[0][0] - min(x for x, _ in points), 1) if points else 0


def test_texts_are_escaped(small):
    tree = small.library.trees["cold"]
    found = flow(small, tree)
    odd = SimpleNamespace(
        tree=tree,
        edges=found.edges,
        boxes=tuple(
            type(box)(box.key, box.shape, "<b>&", "<script>alert(1)</script>", box.page, box.spot)
            for box in found.boxes
        ),
    )
    text = drawing(odd, page=lambda box: '"><script>')
    assert "<script" not in text
    ElementTree.fromstring(text)


def test_boxes_lead_to_their_pages_and_names_to_their_lines(small):
    tree = small.library.trees["cold"]
    root = ElementTree.fromstring(
        drawing(
            flow(small, tree), page=lambda b: f"{b.page}.html", line=lambda b: f"#L{b.spot.line}"
        )
    )
    hrefs = {a.get("href") for a in root.iter(f"{SVG}a")}
    assert {"cold/ready.html", "cold/call.html"} <= hrefs
    assert f"#L{tree.steps['ready'].spot.line}" in hrefs


@pytest.mark.parametrize(
    ("share", "said"),
    [(0.0, "nobody"), (None, "nobody"), (0.004, "&lt;1 %"), (0.374, "37 %"), (1.0, "100 %")],
)
def test_shares_are_told_in_percent(share, said):
    assert percent(share) == said


# ---- shares ----


@pytest.fixture
def called(tmp_path, monkeypatch):
    """(small library that is called about, its course); no house is simulated."""
    folder = write(tmp_path / "trees")
    world = bench(folder)
    course, errors = world.journey.course, world.callers.errors_of("both")
    ready = SimpleNamespace(complaints=world.complaints, world=SimpleNamespace(), survey=None)
    ready.world = World(world, errors)
    monkeypatch.setattr(survey, "prepare", lambda *_, **__: (ready, []))
    return folder, course


def test_shares_leave_a_box_as_they_enter_it(called):
    folder, course = called
    tree = course.library.trees["cold"]
    found, problems = shares_of.shares(course, folder, tree)
    assert problems == []
    into, out = {}, {}
    for (tail, head), share in found.items():
        out[tail] = out.get(tail, 0.0) + share
        into[head] = into.get(head, 0.0) + share
    first = (STEP, tree.starts_with)
    assert out[first] == pytest.approx(1.0)
    for key, share in out.items():
        if key != first:
            assert share == pytest.approx(into[key]), key
    ends = sum(share for key, share in into.items() if key not in out)
    assert ends == pytest.approx(1.0)
    counted = flow(course, tree, found)
    assert all(edge.share is not None for edge in counted.edges)
    text = drawing(counted)
    assert "not field results" in text
    assert len(re.findall('class="share"', text)) == len(counted.edges)


def test_shares_are_kept_and_then_nothing_is_counted(called, monkeypatch):
    folder, course = called
    tree = course.library.trees["cold"]
    counted, _ = shares_of.shares(course, folder, tree)
    (folder / "rehearsal").mkdir(exist_ok=True)
    path, trees = shares_of.keep(course, folder)
    assert (path, trees) == (folder / "rehearsal" / "shares.json", 1)
    first = path.read_bytes()
    shares_of.keep(course, folder)
    assert path.read_bytes() == first
    monkeypatch.setattr(survey, "prepare", lambda *_, **__: pytest.fail("counted"))
    found, problems = shares_of.shares(course, folder, tree)
    assert problems == []
    assert found == pytest.approx(counted, abs=1e-4)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: "",
        lambda text: text[: len(text) // 2],
        lambda text: text.replace('"of": "', '"of": "0'),
        lambda text: text.replace('"format": 1', '"format": 2'),
        lambda text: text.replace('"step"', '"step", "step"'),
        lambda text: "[]",
    ],
)
def test_shares_that_are_of_another_state_or_damaged_are_not_shown(called, damage):
    folder, course = called
    (folder / "rehearsal").mkdir(exist_ok=True)
    path, _ = shares_of.keep(course, folder)
    assert set(shares_of.kept(course, folder)) == {"cold"}
    path.write_text(damage(path.read_text("utf-8")), "utf-8")
    assert shares_of.kept(course, folder) == {}


# ---- the command ----


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_the_command_writes_the_picture_with_lines_of_the_trees(tmp_path):
    trees = small_library(tmp_path / "trees")
    into = tmp_path / "out.svg"
    result = run(
        "draw",
        "cold",
        "--trees",
        trees,
        "--no-shares",
        "--into",
        into,
        "--site",
        "https://x.example/",
    )
    assert result.exit_code == 0, result.output
    text = into.read_text("utf-8")
    assert 'href="https://x.example/cold/ready.html"' in text
    assert 'href="trees/complaints/cold.yml#L' in text


def test_without_callers_it_is_drawn_without_shares_and_says_why(tmp_path):
    trees, into = small_library(tmp_path / "trees"), tmp_path / "cold.svg"
    result = run("draw", "cold", "--trees", trees, "--into", into)
    assert result.exit_code == 0, result.output
    assert "drawn without shares, since there are no callers" in result.output
    assert "rehearsal/verdicts.yml" in result.output
    assert 'class="share"' not in into.read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("colt",), 2, "did you mean `cold`"),
        (("danger-screen",), 2, "no tree `danger-screen` with pages of its own"),
        (("cold", "--into", "gone/out.svg"), 1, "No such file"),
    ],
)
def test_what_can_not_be_drawn_is_told(tmp_path, words, status, said, monkeypatch):
    monkeypatch.chdir(tmp_path)
    trees = small_library(tmp_path / "trees")
    result = run("draw", *words, "--trees", trees, "--no-shares")
    assert result.exit_code == status
    assert said in result.output


def test_the_page_of_a_complaint_has_its_picture():
    from stepstop.bundle import Order, bundle

    made = bundle(Order(REAL, "us", None, (), "", True, False, None, "mkdocs.yml"))
    files = dict(made.pages())
    for name, stub in made.stubs.items():
        picture = name.replace(".md", ".svg")
        assert f"({picture.rpartition('/')[2]})" in stub.markdown
        root = ElementTree.fromstring(files[picture])
        assert b'class="share"' in files[picture]
        for link in root.iter(f"{SVG}a"):
            page = link.get("href").removeprefix("../")
            assert page in files, page
