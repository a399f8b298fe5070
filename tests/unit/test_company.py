"""A company's file: read whole or not at all, with every mistake and nothing that could hurt."""

import pytest

from browser.sites import REAL, small_library
from stepstop import companies
from stepstop.companies import for_company
from stepstop.company.colours import RED, TEXT, on, problems, sheet
from stepstop.company.logo import MOST_READ, MOST_SHOWN, read_logo
from stepstop.company.model import Colours
from stepstop.company.narrowed import course_for, prove
from stepstop.company.reading import MAX_NAME, read_company
from stepstop.company.shapes import shown
from stepstop.contrast import contrast_ratio
from stepstop.course import lay_out
from stepstop.graph import reachable
from stepstop.loader import load
from stepstop.shipped import drawing_names, folder
from stepstop.source import Located, Spot
from unit.companies import BEHIND, PICTURE, SAMPLE, read, write_company

SPOT = Spot("sample.yml", 1, 1)
DEMO = REAL / "companies" / "pinefold.yml"


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    library, found = load(
        small_library(tmp_path_factory.mktemp("small")),
        drawings=drawing_names((folder("site_overrides"),)),
    )
    assert library is not None, found
    return library


def test_the_least_that_a_company_may_say_is_enough(small, tmp_path):
    brand, found = read(tmp_path, small)
    assert found == []
    company = brand.company
    assert company.name == SAMPLE["name"]
    assert company.ways("today") == ("call",)
    assert (company.after, company.colours, company.hosts, brand.logo) == (None, None, (), "")
    assert company.opening.zone == "America/Chicago"
    assert [(s.day, s.start, s.end) for s in company.opening.spans] == [
        (0, 480, 1020),
        (4, 480, 1020),
    ]


def test_the_demo_company_is_read_and_proven_on_the_shipped_trees(course):
    made = for_company(DEMO, course)
    assert made.problems == ()
    assert made.brand.company.name.endswith("(demo)")
    assert "<path" in made.brand.logo
    assert len(made.course.pages) < len(course.pages)
    left_out = made.brand.company.leave_out.checks
    assert left_out
    assert not {page.check.id for page in made.course.pages.values() if page.check} & {*left_out}


REFUSED = [
    ({"name": "x" * (MAX_NAME + 1)}, "text-too-long", "61 characters"),
    ({"name": None}, "missing-key", "`name`"),
    ({"company": "other"}, "wrong-name", "stands in the file `sample.yml`"),
    ({"place": "mars"}, "unknown-name", "no place is called `mars`"),
    ({"languages": "xx"}, "unknown-word", "`xx`"),
    ({"phone": "202-555-0143"}, "wrong-type", "is not a whole telephone number"),
    ({"phone": "911"}, "wrong-type", "is not a whole telephone number"),
    ({"phone": "+1202555014"}, "wrong-type", "is not a whole telephone number"),
    ({"phone": "+12025550143;ext=1"}, "wrong-type", "is not a whole telephone number"),
    ({"text": "javascript:alert(1)"}, "wrong-type", "is not a whole telephone number"),
    ({"time-zone": "Mars/Base"}, "unknown-word", "is not a time zone"),
    ({"time-zone": "../../etc/passwd"}, "unknown-word", "is not a time zone"),
    ({"hours": [{"days": "monday", "from": "17:00", "until": "08:00"}]}, "contradiction", "end"),
    ({"hours": [{"days": "monday", "from": "8", "until": "17:00"}]}, "wrong-type", "time of day"),
    ({"hours": [{"days": "someday", "from": "08:00", "until": "17:00"}]}, "unknown-word", "some"),
    ({"hours": [{"days": "monday", "from": "08:00", "until": "24:01"}]}, "wrong-type", "24:01"),
    (
        {"hours": [{"days": "monday", "from": f"{h}:00", "until": "17:00"} for h in ("08", "16")]},
        "contradiction",
        "hours on monday overlap",
    ),
    ({"closed": ["2026-02-30"]}, "wrong-type", "is no date"),
    ({"book": "javascript:alert(1)"}, "unsafe-link", "does not begin with `https://`"),
    ({"book": "http://www.example.com/"}, "unsafe-link", "does not begin with `https://`"),
    ({"book": 'https://www.example.com/"onclick="x'}, "unsafe-link", "signs that no address has"),
    ({"book": "https://user@www.example.com/"}, "unsafe-link", "names no host"),
    ({"book": "https://localhost/"}, "unsafe-link", "names no host"),
    ({"book": "https://www.example.com:99999/"}, "unsafe-link", "is no address"),
    ({"book": f"https://www.example.com/{'x' * 300}"}, "unsafe-link", "more than 300"),
    ({"hosts": ["https://www.example.com/path"]}, "unsafe-link", "is more than a host"),
    ({"hosts": ["https://*.example.com"]}, "unsafe-link", "names no host"),
    ({"hosts": ["https://www.example.com"]}, "contradiction", "`address` doesn't say"),
    ({"address": "https://www.example.com/help?a=1"}, "unsafe-link", "the address of one page"),
    ({"address": "https://www.example.com/#help"}, "unsafe-link", "the address of one page"),
    ({"address": "https://www.example.com/index.html"}, "unsafe-link", "the address of one page"),
    ({"offers": {"today": ["text"]}, "text": "+12025550171"}, "less-urgent", "not first called"),
    ({"offers": {"can-wait": ["book"]}}, "contradiction", "the key `book` is missing"),
    ({"offers": {"soon": ["call"]}}, "unknown-name", "no urgency is called `soon`"),
    ({"offers": {"can-wait": ["fax"]}}, "unknown-word", "`fax`"),
    ({"sooner": {"today": "can-wait"}}, "less-urgent", "`can-wait` is not more urgent"),
    ({"sooner": {"today": "today"}}, "less-urgent", "`today` is not more urgent"),
    ({"sooner": {"cold/call": "can-wait"}}, "less-urgent", "not more urgent than `today`, as"),
    ({"sooner": {"cold/call": "today"}}, "less-urgent", "not more urgent than `today`, as"),
    ({"sooner": {"cold/nowhere": "now"}}, "unknown-name", "no urgency or outcome"),
    ({"leave-out": {"checks": ["seat-pannel"]}}, "unknown-name", "no check is called"),
    ({"leave-out": {"hazards": ["lava"]}}, "unknown-name", "no hazard is called"),
    ({"leave-out": {"locations": ["moon"]}}, "unknown-name", "no location is called"),
    ({"unserved": {"trees": ["warm"], "say": "Not us."}}, "unknown-name", "no tree of a complaint"),
    ({"colours": {"light": "blue", "dark": "#aaddff"}}, "wrong-type", "is not a color"),
    ({"logo": "../logo.svg"}, "odd-name", "is not the name of an SVG file"),
    ({"logo": "none.svg"}, "missing-file", "can't be opened"),
    ({"nobody-can-come": "Bypass the switch."}, "forbidden-words", "'Bypass'"),
    ({"nobody-can-come": "Smell gas? Wait for us."}, "speaks-of-danger", "`Smell`"),
    ({"nobody-can-come": "It is completely safe."}, "speaks-of-danger", "`completely safe`"),
    ({"nobody-can-come": "Open the furnace."}, "unlisted-action", "'Open'"),
    ({"nobody-can-come": "It must be the actuator."}, "hard-words", "'actuator'"),
    ({"nobody-can-come": "It must be the board."}, "certain-cause", "'It must be'"),
    ({"nobody-can-come": "Call 202-555-0199 then."}, "number-before-danger", "a phone number"),
    ({"nobody-can-come": "{phone} is open."}, "unknown-word", "`{phone}`"),
    (
        {"after-hours": {"phone": "+12025550143", "say": "We answer."}},
        "contradiction",
        "is the one in the hours",
    ),
    ({"boundary": "wide"}, "unknown-key", "`boundary`"),
    ({"emergency": "+12025550143"}, "unknown-key", "`emergency`"),
]


@pytest.mark.parametrize(("changes", "flaw", "words"), REFUSED, ids=lambda x: str(x)[:40])
def test_each_mistake_is_named_with_its_mend(changes, flaw, words, small, tmp_path):
    brand, found = read(tmp_path, small, changes)
    assert brand is None
    told = [line for line in found if line.startswith(f"{flaw}: ") and words in line]
    assert told, found
    assert all(line.partition(" | ")[2] for line in told)


def test_all_mistakes_are_found_in_one_run(small, tmp_path):
    changes = {
        "name": None,
        "phone": "911",
        "book": "javascript:alert(1)",
        "colours": {"light": "#f6f4ee", "dark": "#1d2226"},
        "logo": "logo.svg",
        "place": "mars",
    }
    picture = PICTURE.replace("<path", '<script>alert(1)</script><path onload="alert(1)"')
    found = read(tmp_path, small, changes, picture=picture)[1]
    flaws = sorted(line.partition(":")[0] for line in found)
    assert flaws == [
        "low-contrast",
        "low-contrast",
        "missing-key",
        "unknown-name",
        "unsafe-link",
        "unsafe-picture",
        "unsafe-picture",
        "wrong-type",
    ]


def test_a_problem_names_the_line(small, tmp_path):
    path = write_company(tmp_path, {"place": "mars"})
    [problem] = read_company(path, small, BEHIND)[1]
    line = path.read_text("utf-8").splitlines().index('"place": "mars"') + 1
    assert (problem.spot.file, problem.spot.line) == (path.as_posix(), line)


def test_what_no_file_holds_is_told(small, tmp_path):
    empty = tmp_path / "sample.yml"
    for content in (b"", b"- a list\n", b"\xff\xfe", b"company: &a sample\nname: *a\n"):
        empty.write_bytes(content)
        brand, found = read_company(empty, small, BEHIND)
        assert brand is None
        assert found
    brand, found = read_company(tmp_path / "none.yml", small, BEHIND)
    assert brand is None
    assert found


def test_a_company_offers_less_and_sooner_and_never_more(small, tmp_path):
    changes = {"leave-out": {"checks": ["reset-breaker"]}, "sooner": {"can-wait": "today"}}
    brand, found = read(tmp_path, small, changes)
    assert found == []
    whole, own = lay_out(small), course_for(brand.company, small)
    offered = [{p.check.id for p in c.pages.values() if p.check} for c in (whole, own)]
    assert offered[0] - offered[1] == {"reset-breaker"}
    assert offered[1] < offered[0]
    ranks = {u.id: u.rank for u in small.catalogue.urgencies.values()}
    before = {p.id: p.outcome for p in whole.pages.values() if p.outcome}
    sooner = 0
    for page in own.pages.values():
        if page.outcome and page.outcome.urgency:
            was, now = before[page.id].urgency, page.outcome.urgency
            assert ranks[now] <= ranks[was]
            assert now != "can-wait"
            sooner += now != was
    assert sooner
    assert prove(brand.company, whole)[1] == ()


def test_a_company_works_on_what_it_does_not_leave_to_others_as_a_whole(small, tmp_path):
    brand, _ = read(tmp_path, small, {"unserved": {"trees": ["cold"], "say": "Ask another."}})
    assert not brand.company.works_on(("cold",))
    assert brand.company.works_on(("cold", "hot"))
    assert brand.company.works_on(())
    assert read(tmp_path, small)[0].company.works_on(("cold",))


def test_an_outcome_alone_can_be_made_sooner_and_its_hurry_with_it(small, tmp_path):
    tree, outcome = next(
        (t.id, o)
        for t in small.trees.values()
        for o in t.outcomes.values()
        if o.kind == "call" and o.urgency == "today"
    )
    brand, found = read(tmp_path, small, {"sooner": {f"{tree}/{outcome.id}": "now"}})
    assert found == []
    own = course_for(brand.company, small).library.trees[tree].outcomes[outcome.id]
    assert own.urgency == "now"
    assert own.hurry_urgency in ("", "now")


def test_the_questions_about_danger_can_not_be_left_out(course, tmp_path):
    path = write_company(tmp_path, {"leave-out": {"locations": ["chair"]}})
    made = for_company(path, course)
    assert made.course is None
    [problem] = made.problems
    assert problem.flaw == "danger-left-out"
    assert "questions about danger are not asked" in problem.message
    assert problem.spot.file == path.as_posix()


def test_a_part_without_which_another_is_not_safe_can_not_be_left_out_alone(course, tmp_path):
    """After looking at the outdoor unit, clearing it settles what a later check must know."""
    path = write_company(tmp_path, {"leave-out": {"checks": ["clear-outdoor-unit"]}})
    made = for_company(path, course)
    assert made.course is None
    assert {problem.flaw for problem in made.problems} == {"unmet-requirement"}
    for problem in made.problems:
        assert problem.related[0].spot.file == path.as_posix()


@pytest.mark.parametrize("place", ["panel", "unit", "outside"])
def test_nobody_need_go_to_the_breakers_to_the_unit_or_outside(place, course, tmp_path):
    """All rules hold on the shipped trees where a company keeps people away from there."""
    path = write_company(tmp_path, {"leave-out": {"locations": [place]}})
    made = for_company(path, course)
    assert made.problems == ()
    assert place in {page.at for page in course.pages.values()}
    assert place not in {page.at for page in made.course.pages.values()}


@pytest.mark.parametrize(
    "left_out", [("switch-off",), ("reset-breaker",), ("set-heat", "seat-panel")]
)
def test_no_page_leads_to_more_where_something_is_left_out(left_out, small, tmp_path):
    """So that doubt, which is held against the whole course, can't have become riskier."""
    brand, found = read(tmp_path, small, {"leave-out": {"checks": list(left_out)}})
    assert found == []
    whole = lay_out(small)
    own, problems = prove(brand.company, whole)
    assert problems == ()
    before, after = _ahead(whole), _ahead(own)
    assert after.keys() & before.keys()
    for page in after.keys() & before.keys():
        assert after[page] <= before[page], page


def _ahead(course):
    """Page -> the checks and outcomes that can come after it."""
    return {
        start: {
            (page.check.id if page.check else page.outcome.id)
            for page in map(course.pages.get, reachable(course.graph(), [start]))
            if page.check or page.outcome
        }
        for start in course.pages
    }


def test_a_flaw_that_a_sooner_visit_brings_is_found(small, tmp_path):
    """An urgency that makes doubt less urgent than a sure answer is refused like any tree's."""
    course = lay_out(small)
    ends = {page.outcome.id: page for page in course.pages.values() if page.outcome}
    found = set()
    for page in ends.values():
        if page.outcome.kind == "call":
            changes = {"sooner": {f"{page.tree}/{page.outcome.id}": "now"}}
            brand = read(tmp_path, small, changes)[0]
            found |= {problem.flaw for problem in prove(brand.company, course)[1]}
    assert found == {"unsure-goes-riskier"}


SAFE_BEHIND = ("paper", "card")


@pytest.mark.parametrize("colour", ["#777777", "#6f8f3f", "#3a7bd5", "#8a5a9e", "#c0c0c0"])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_colour_that_is_suggested_passes(colour, theme):
    grounds = getattr(BEHIND, theme)
    other = {"light": "#0a4b9c", "dark": "#9ccbff"}
    given = {**other, theme: colour}
    found = list(problems(_colours(given), BEHIND))
    worst = min(contrast_ratio(colour, grounds[each]) for each in SAFE_BEHIND)
    if worst >= TEXT:
        assert found == []
        return
    [problem] = found
    assert f"{worst:.2f}" in problem.message
    better = problem.mend.rpartition(" ")[2]
    assert list(problems(_colours({**given, theme: better}), BEHIND)) == []


def _colours(given):
    return Colours(Located(given["light"], SPOT), Located(given["dark"], SPOT), SPOT)


def test_our_own_colours_would_pass():
    own = _colours({"light": BEHIND.light["accent"], "dark": BEHIND.dark["accent"]})
    assert list(problems(own, BEHIND)) == []


@pytest.mark.parametrize("colour", ["#93102a", "#7a0000", "#8c2a00"])
def test_a_red_is_refused_since_red_stands_for_danger(colour):
    found = list(problems(_colours({"light": colour, "dark": "#9ccbff"}), BEHIND))
    assert [p.flaw for p in found] == ["looks-like-danger"]
    assert RED > 0


def test_the_company_s_sheet_leaves_paper_alone_and_can_be_read_on():
    made = sheet(_colours({"light": "#0a4b9c", "dark": "#9ccbff"}))
    assert made.count("@media screen") == 2
    assert contrast_ratio("#0a4b9c", on("#0a4b9c")) >= TEXT
    assert contrast_ratio("#9ccbff", on("#9ccbff")) >= TEXT
    assert on("#808080") == ""


HOSTILE_PICTURES = {
    "script": "<script>alert(1)</script>",
    "script by another name": '<s:script xmlns:s="http://www.w3.org/2000/svg">x</s:script>',
    "event": '<path d="M0 0h1" onload="alert(1)"/>',
    "event in capitals": '<path d="M0 0h1" ONCLICK="alert(1)"/>',
    "link": '<a href="https://www.example.com/"><path d="M0 0h1"/></a>',
    "javascript": '<a href="javascript:alert(1)"><path d="M0 0h1"/></a>',
    "use": '<use href="other.svg#x"/>',
    "old link": '<use xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="other.svg#x"/>',
    "image": '<image href="https://www.example.com/a.png"/>',
    "foreign": '<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>',
    "style": "<style>@import url(https://www.example.com/a.css)</style>",
    "style attribute": '<path d="M0 0h1" style="fill:url(https://www.example.com/)"/>',
    "paint from elsewhere": '<path d="M0 0h1" fill="url(https://www.example.com/a#b)"/>',
    "data": '<path d="M0 0h1" fill="data:text/html,x"/>',
    "moves": '<path d="M0 0h1"><animate attributeName="x"/></path>',
    "text": '<text x="0" y="9">Name</text>',
    "filter": "<filter><feImage/></filter>",
}


@pytest.mark.parametrize("inside", HOSTILE_PICTURES.values(), ids=HOSTILE_PICTURES)
def test_a_picture_that_could_act_or_load_is_refused(inside):
    content = PICTURE.replace("</svg>", f"{inside}</svg>").encode()
    logo = read_logo(content)
    assert logo.markup == ""
    assert logo.faults
    assert all(mend for _, mend in logo.faults)


def test_what_is_no_picture_is_refused(small, tmp_path):
    bomb = '<!DOCTYPE svg [<!ENTITY a "x"><!ENTITY b "&a;&a;">]>' + PICTURE
    deep = PICTURE.replace("<path", "<g>" * 40 + "<path").replace("/></svg>", "/>" + "</g>" * 40)
    many = PICTURE.replace("</svg>", '<path d="M0 0h1"/>' * 500 + "</svg>")
    for content in (
        b"",
        b"GIF89a",
        b"\xff\xfe",
        b"<html/>",
        bomb.encode(),
        deep.encode() + b"</svg>",
        many.encode(),
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"/>',
        PICTURE.replace('viewBox="0 0 40 20"', "").encode(),
        PICTURE.replace("0 0 40 20", "0 0 0 20").encode(),
        PICTURE.replace("0 0 40 20", "0 0 nan nan").encode(),
    ):
        logo = read_logo(content)
        assert logo.markup == "", content
        assert logo.faults, content
    assert len(many) > MOST_SHOWN


def test_a_picture_of_ten_megabytes_is_not_read(small, tmp_path):
    big = b"<svg>" + b" " * 10_000_000
    found = read(tmp_path, small, {"logo": "logo.svg"}, picture=big)[1]
    assert found == [
        f"file-too-large: the picture has 10,000,005 bytes, more than {MOST_READ:,} | "
        "save a small vector picture, without photos in it"
    ]


def test_a_picture_is_written_anew_from_plain_shapes():
    content = (
        '<?xml version="1.0"?><!-- note --><svg xmlns="http://www.w3.org/2000/svg" '
        'xmlns:k="urn:x" k:tool="1" width="80px" height="20"><metadata>m</metadata>'
        '<title>&lt;b&gt;</title><defs><linearGradient id="on"><stop offset="0" '
        'stop-color="#123456"/></linearGradient></defs>'
        '<g data-x="1" class="lost"><path d="M0 0h80v20z" fill="url(#on)"/></g></svg>'
    )
    logo = read_logo(content.encode())
    assert logo.faults == []
    assert logo.markup == (
        '<svg aria-hidden="true" width="160" height="40" viewBox="0 0 80 20"><defs>'
        '<linearGradient id="logo-on"><stop offset="0" stop-color="#123456"/></linearGradient>'
        '</defs><g><path d="M0 0h80v20z" fill="url(#logo-on)"/></g></svg>'
    )


def test_numbers_are_written_as_people_write_them():
    """ITU-T E.164 in, national form out; 555-0100 to 0199 are reserved for fiction."""
    assert shown("+12025550143") == "(202) 555-0143"
    assert shown("+442079460123") == "+44 20 7946 0123"


# ---- several ----


def company(folder, name, changes):
    return write_company(folder, {"company": name, **changes}, name=name)


def test_companies_that_leave_out_the_same_are_proven_once(small, tmp_path, monkeypatch):
    course = lay_out(small)
    less, least = ({"leave-out": {"checks": [check]}} for check in ("reset-breaker", "seat-panel"))
    files = [
        company(tmp_path, name, changes)
        for name, changes in (
            ("a", less),
            ("b", {}),
            ("c", less),
            ("d", least),
            ("e", {"text": "1"}),
        )
    ]
    proven = []
    prove = companies.prove
    monkeypatch.setattr(
        companies, "prove", lambda one, whole: proven.append(str(one.id)) or prove(one, whole)
    )
    made = list(companies.each_made(files, course))
    assert len(proven) == 2
    assert made[0].path.stem == "e"
    by_name = {each.path.stem: each for each in made}
    assert by_name["a"].course is by_name["c"].course is not course
    assert by_name["b"].course is course
    assert by_name["d"].course not in (None, course, by_name["a"].course)


def test_the_same_problem_is_told_of_each_company_in_its_own_file(tmp_path, course):
    changes = {"leave-out": {"locations": ["chair"]}}
    files = [company(tmp_path, name, changes) for name in ("one", "other")]
    made = list(companies.each_made(files, course))
    assert [each.problems[0].spot.file.rpartition("/")[2] for each in made] == [
        "one.yml",
        "other.yml",
    ]
    assert made[0].problems[0].message == made[1].problems[0].message
