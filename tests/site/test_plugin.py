"""The MkDocs plugin in real runs of MkDocs, each on a small site of its own."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from project.small_site import CONFIG, Project, environment_for, files_in
from stepstop.overlay.seen import look, put_down


@pytest.fixture
def project(tmp_path: Path) -> Project:
    return Project(tmp_path)


def test_question_pages_stubs_and_hand_written_pages_are_one_site(project: Project) -> None:
    built = project.built()
    assert {"index.html", "404.html", "cold/index.html", "danger/index.html"} <= built.keys()
    assert {"about.html", "complaints/cold.html", "search/search_index.json"} <= built.keys()
    assert b"The heat is out" in built["index.html"]
    assert b"md-header" not in built["index.html"] + built["404.html"] + built["cold/index.html"]


def test_a_build_says_that_its_trees_are_not_rehearsed(project: Project) -> None:
    run = project.build()
    assert run.returncode == 0, run.stderr
    said = "not rehearsed: the pages show the causes that the trees name; stepstop rehearse --write"
    assert said in run.stderr


def test_a_stub_leads_to_its_complaint_and_says_what_people_say(project: Project) -> None:
    page = BeautifulSoup(project.built()["complaints/cold.html"], "html.parser")
    article = page.article
    assert article is not None
    assert article.h1 is not None
    assert article.h1.get_text().startswith("The heat is out")
    assert "no heat" in article.get_text()
    assert [a["href"] for a in article.select("strong a")] == ["../cold/index.html"]


def test_complaints_are_searched_and_question_pages_are_not(project: Project) -> None:
    index = json.loads(project.built()["search/search_index.json"])
    places = {entry["location"].partition("#")[0] for entry in index["docs"]}
    assert places == {"about.html", "complaints/cold.html"}


def test_titles_of_a_tree_are_text_and_not_markup(project: Project) -> None:
    odd = "Heat <b>is</b> *out* & [cold](x) _now_ `y`"
    project.edit("decision_trees/complaints/cold.yml", "title: The heat is out", f'title: "{odd}"')
    built = project.built()
    page = BeautifulSoup(built["complaints/cold.html"], "html.parser")
    assert page.article is not None
    assert page.article.h1 is not None
    assert page.article.h1.get_text().startswith(odd)
    start = BeautifulSoup(built["index.html"], "html.parser")
    assert odd in start.get_text()


@pytest.mark.parametrize("theme", ["material", "readthedocs"])
def test_no_element_or_attribute_on_hand_written_pages_comes_of_a_text(
    project: Project, theme: str
) -> None:
    odd = """</title></script><x-odd></x-odd><script>odd()</script> " onfocus="odd()" ' & $odd"""
    quoted, tree = odd.replace("'", "''"), "decision_trees/complaints/cold.yml"
    project.edit(tree, "title: The heat is out", f"title: '{quoted}'")
    project.edit(tree, "words: [no heat]", f"words: ['{quoted}']")
    config = CONFIG if theme == "material" else CONFIG.replace("material, font: false", theme)
    project.write("mkdocs.yml", f"{config}nav: [complaints/cold.md, about.md]\n")
    built = project.built()
    for name in ("complaints/cold.html", "about.html"):
        page = BeautifulSoup(built[name], "html.parser")
        assert not page.find_all("x-odd"), name
        assert not [each for each in page.find_all("script") if each.get_text() == "odd()"]
        assert not [e for e in page.find_all(True) if "onfocus" in e.attrs]
        assert odd in page.get_text(), name
    stub = BeautifulSoup(built["complaints/cold.html"], "html.parser")
    assert stub.title is not None
    assert odd in stub.title.get_text()


def test_both_kinds_of_address_work(project: Project) -> None:
    plain = project.built()
    nested = project.built("--use-directory-urls")
    ours = [name for name in plain if b"Edition:" in plain[name]]
    assert len(ours) > 10
    assert {name: nested[name] for name in ours} == {name: plain[name] for name in ours}
    assert "complaints/cold/index.html" in nested
    page = BeautifulSoup(nested["about/index.html"], "html.parser")
    links = [a["href"] for a in page.select("article p a")]
    assert links == ["../complaints/cold/", "../danger/"]


def test_two_builds_are_equal_byte_for_byte(project: Project) -> None:
    once = project.built(SOURCE_DATE_EPOCH="1790000000", TZ="Asia/Tokyo", PYTHONHASHSEED="1")
    again = project.built(SOURCE_DATE_EPOCH="1790000000", TZ="UTC", PYTHONHASHSEED="2")
    assert once == again


def test_a_broken_tree_ends_the_build_and_leaves_the_last_site(project: Project) -> None:
    before = project.built()
    project.break_tree()
    run = project.build()
    assert run.returncode == 1
    assert "decision_trees/complaints/cold.yml:" in run.stderr
    assert "unmet-requirement" in run.stderr
    assert "mend:" in run.stderr
    assert "Traceback" not in run.stderr
    assert files_in(project.site) == before
    assert beside(project) == ["content", "decision_trees", "mkdocs.yml", "site"]


def beside(project: Project) -> list[str]:
    return sorted(path.name for path in project.folder.iterdir())


def test_a_tree_that_is_no_yaml_ends_the_first_build_without_a_site(project: Project) -> None:
    project.write("decision_trees/complaints/cold.yml", "tree: [cold\n")
    run = project.build()
    assert run.returncode == 1
    assert "decision_trees/complaints/cold.yml:" in run.stderr
    assert beside(project) == ["content", "decision_trees", "mkdocs.yml"]


def test_a_warning_in_strict_mode_leaves_the_last_site(project: Project) -> None:
    before = project.built()
    project.write("content/about.md", "# About\n\n[gone](gone.md)\n")
    run = project.build()
    assert run.returncode == 1
    assert "Aborted with 1 warnings in strict mode" in run.stdout + run.stderr
    assert "is as it was" in run.stderr
    assert files_in(project.site) == before
    assert beside(project) == ["content", "decision_trees", "mkdocs.yml", "site"]


def test_a_warning_without_strict_mode_publishes(project: Project) -> None:
    project.write("content/about.md", "# About\n\n[gone](gone.md)\n")
    assert "about.html" in project.built("--no-strict")


def test_an_error_of_another_part_leaves_the_last_site(project: Project) -> None:
    before = project.built()
    project.write("hook.py", "def on_post_build(config):\n    raise OSError(28, 'disk is full')\n")
    project.write("mkdocs.yml", f"{CONFIG}hooks: [hook.py]\n")
    run = project.build()
    assert run.returncode != 0
    assert "disk is full" in run.stderr
    assert files_in(project.site) == before


def test_a_build_that_is_killed_leaves_the_last_site_and_the_next_one_tidies_up(
    project: Project,
) -> None:
    before = project.built()
    kill = (
        "import os, signal\ndef on_post_build(config):\n    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    project.write("hook.py", kill)
    project.write("mkdocs.yml", f"{CONFIG}hooks: [hook.py]\n")
    assert project.build().returncode == -signal.SIGKILL
    assert files_in(project.site) == before
    assert [name for name in beside(project) if name.startswith(".site.stepstop-")]
    project.write("mkdocs.yml", CONFIG)
    assert project.built() == before
    assert not [name for name in beside(project) if name.startswith(".")]


@pytest.mark.parametrize("name", ["index.md", "404.html", "cold/index.md", "complaints/cold.md"])
def test_a_page_that_would_take_our_place_is_refused_with_both_names(
    project: Project, name: str
) -> None:
    before = project.built()
    project.write(f"content/{name}", "# Mine\n")
    run = project.build()
    assert run.returncode == 1
    assert f"content/{name}: name-taken: `{name}` would be written to" in run.stderr
    assert "mend: " in run.stderr
    assert files_in(project.site) == before


def test_a_page_that_is_left_out_takes_no_place(project: Project) -> None:
    project.write("content/index.md", "# Mine\n")
    project.write("mkdocs.yml", f"{CONFIG}exclude_docs: index.md\n")
    assert b"# Mine" not in project.built()["index.html"]


def test_another_folder_may_be_named(project: Project) -> None:
    run = project.build("-d", "out/deep")
    assert run.returncode == 0, run.stderr
    assert "index.html" in files_in(project.folder / "out/deep")
    assert not project.site.exists()


def test_a_folder_of_somebody_else_is_not_replaced(project: Project) -> None:
    project.write("site/thesis.txt", "years of work")
    run = project.build()
    assert run.returncode == 1
    assert "was not written by Stepstop" in run.stderr
    assert files_in(project.site) == {"thesis.txt": b"years of work"}


def test_the_options_are_typed_and_come_from_the_environment_and_a_parent(
    project: Project,
) -> None:
    (project.folder / "decision_trees").rename(project.folder / "woods")
    project.write("parent.yml", CONFIG)
    child = (
        "INHERIT: parent.yml\n"
        "plugins:\n"
        "  search: {}\n"
        "  stepstop: {trees: woods, place: !ENV [TRY_PLACE, us], today: 2026-11-25}\n"
    )
    project.write("parent.yml", CONFIG.replace("plugins: [search, stepstop]\n", ""))
    project.write("mkdocs.yml", child)
    assert b"2026-11-25" in project.built()["cold/index.html"]
    wrong = project.build(TRY_PLACE="atlantis")
    assert wrong.returncode == 1
    assert "mkdocs.yml: wrong-option: no place `atlantis`; known: us" in wrong.stderr


def test_trees_that_are_not_there_are_a_mistake_of_the_configuration(project: Project) -> None:
    (project.folder / "decision_trees").rename(project.folder / "woods")
    run = project.build()
    assert run.returncode == 1
    assert "'trees'" in run.stdout + run.stderr
    assert "decision_trees' isn't an existing directory" in run.stdout + run.stderr


def test_the_date_is_that_of_the_epoch_or_none(project: Project) -> None:
    assert b"undated" in project.built()["index.html"]
    assert b"2026-09-21" in project.built(SOURCE_DATE_EPOCH="1790000000")["index.html"]


def test_the_nav_takes_stubs_with_their_titles_and_whole_folders(project: Project) -> None:
    project.write("content/rules/b.md", "# Rule b\n")
    project.write("content/rules/a.md", "# Rule a\n")
    nav = "[{Start: index.html}, about.md, complaints/cold.md, {Rules: rules/}]"
    project.write("mkdocs.yml", f"{CONFIG}nav: {nav}\nvalidation: {{omitted_files: warn}}\n")
    page = BeautifulSoup(project.built()["about.html"], "html.parser")
    entries = page.select("nav.md-nav--primary a.md-nav__link")
    assert {a["href"]: a.get_text(strip=True) for a in entries} == {
        "about.html": "About",
        "index.html": "Start",
        "complaints/cold.html": "The heat is out",
        "rules/a.html": "Rule a",
        "rules/b.html": "Rule b",
    }


@pytest.mark.parametrize(
    ("where", "expected"),
    [
        (
            "repo_url: https://code.test/me/trees\nedit_uri: edit/main/content/\n",
            "https://code.test/me/trees/edit/main/decision_trees/complaints/cold.yml#L3",
        ),
        (
            "edit_uri_template: https://code.test/edit/main/content/{path}\n",
            "https://code.test/edit/main/content/../decision_trees/complaints/cold.yml#L3",
        ),
    ],
)
def test_the_edit_link_of_a_stub_leads_to_the_line_in_the_tree(
    project: Project, where: str, expected: str
) -> None:
    action = "theme: {name: material, font: false, features: [content.action.edit]}"
    config = CONFIG.replace("theme: {name: material, font: false}", action)
    project.write("mkdocs.yml", config + where)
    page = BeautifulSoup(project.built()["complaints/cold.html"], "html.parser")
    assert [a["href"] for a in page.select("a.md-content__button")] == [expected]
    tree = (project.folder / "decision_trees/complaints/cold.yml").read_text().splitlines()
    assert tree[2].startswith("title:")


def test_a_template_of_the_theme_folder_comes_before_ours_and_is_not_published(
    project: Project,
) -> None:
    theme = "theme: {name: material, font: false, custom_dir: look}"
    project.write("mkdocs.yml", CONFIG.replace("theme: {name: material, font: false}", theme))
    project.write("look/stepstop/start.html", "<!doctype html><title>My own</title>\n")
    project.write("look/stepstop/drawings/mine.svg", "<svg/>")
    project.write("look/hello.txt", "hello")
    project.write(
        "look/main.html",
        '{% extends "base.html" %}{% block announce %}Edition {{ stepstop.hash }}{% endblock %}',
    )
    built = project.built()
    assert built["index.html"] == b"<!doctype html><title>My own</title>\n"
    assert "hello.txt" in built
    assert not [name for name in built if name.startswith("stepstop/")]
    hashes = BeautifulSoup(built["about.html"], "html.parser").select_one(".md-banner")
    assert hashes is not None
    assert hashes.get_text(strip=True).encode() in b"Edition " + _hash(built["cold/index.html"])


def _hash(page: bytes) -> bytes:
    return page.split(b"Edition: ")[1].split(b".")[0].rsplit(b", ", 1)[1]


HOOK = """
from mkdocs.commands.build import build

nested = False


def on_post_page(output, page, config):
    return output.replace("\\n", "")


def on_post_template(output_content, template_name, config):
    return output_content


def on_post_build(config):
    global nested
    if not nested:
        nested = True
        build(config, dirty=True)
"""


def test_it_lives_with_parts_that_squeeze_pages_or_build_within_the_build(
    project: Project,
) -> None:
    alone = project.built("--no-strict")
    project.write("hook.py", HOOK)
    project.write("mkdocs.yml", f"{CONFIG}hooks: [hook.py]\n")
    beside_them = project.built("--no-strict")
    assert beside_them.keys() == alone.keys()
    ours = [name for name in alone if b"Edition:" in alone[name]]
    assert {name: beside_them[name] for name in ours} == {name: alone[name] for name in ours}
    assert b"\n" not in beside_them["about.html"]
    assert not [name for name in beside(project) if name.startswith(".")]


def test_a_dirty_build_goes_straight_into_the_site(project: Project) -> None:
    before = project.built()
    assert project.built("--dirty", "--no-strict").keys() == before.keys()


def test_the_branch_of_a_code_host_gets_the_new_site(project: Project) -> None:
    def git(*words: str, where: Path = project.folder) -> str:
        name = ("-c", "user.name=demo", "-c", "user.email=demo@example.org")
        command = ["git", *name, *words]
        return subprocess.run(command, cwd=where, check=True, capture_output=True, text=True).stdout

    remote = project.folder / "remote.git"
    git("init", "--bare", "-q", str(remote))
    git("init", "-q", "-b", "main")
    git("remote", "add", "origin", str(remote))
    git("add", "mkdocs.yml")
    git("commit", "-q", "-m", "demo")
    author = {f"GIT_{who}_{what}": "demo@example.org" for who in ("AUTHOR", "COMMITTER")
              for what in ("NAME", "EMAIL")}  # fmt: skip
    run = subprocess.run(
        [sys.executable, "-m", "mkdocs", "gh-deploy", "--strict"],
        cwd=project.folder,
        env=environment_for(**author),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    pushed = git("ls-tree", "-r", "--name-only", "gh-pages", where=remote).splitlines()
    assert {"index.html", "cold/index.html", "about.html"} <= set(pushed)


@contextmanager
def serving(project: Project) -> Iterator[Callable[[str], str]]:
    """A preview of `project` on a free port; yields a function from path to page."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{free.getsockname()[1]}"
    with (project.folder / "log").open("w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address],
            cwd=project.folder,
            env=environment_for(),
            stdout=log,
            stderr=log,
        )

        def page(path: str) -> str:
            try:
                with urllib.request.urlopen(f"http://{address}/{path}", timeout=30) as answer:
                    return str(answer.read().decode())
            except urllib.error.HTTPError as error:
                return str(error.read().decode())

        try:
            yield page
        finally:
            server.terminate()
            server.wait(timeout=30)


def awaited(page: Callable[[str], str], path: str, text: str) -> str:
    """The page at `path` as soon as it has `text`; fails after a minute."""
    deadline = time.monotonic() + 60
    got = ""
    while time.monotonic() < deadline:
        try:
            got = page(path)
        except OSError:
            got = "no answer"
        if text in got:
            return got
        time.sleep(0.2)
    raise AssertionError(f"{path} did not come to have {text!r}: {got[:2000]}")


STEP = "Set the heat higher"


def test_a_preview_shows_the_problems_and_comes_back_when_they_are_mended(
    project: Project,
) -> None:
    with serving(project) as page:
        awaited(page, "cold/set-heat.html", STEP)
        project.break_tree()
        for path in ("index.html", "cold/index.html", "cold/set-heat.html", "nowhere.html"):
            shown = awaited(page, path, " to mend")
            assert "decision_trees/complaints/cold.yml:" in shown
            assert "unmet-requirement" in shown
            assert "mend:" in shown
        assert "About" in page("about.html")
        project.mend_tree()
        awaited(page, "cold/set-heat.html", STEP)
        project.edit("decision_trees/complaints/cold.yml", "title: The heat is out", "title: &x Hm")
        shown = awaited(page, "cold/index.html", "to mend")
        assert "title: &amp;x Hm" in shown
        project.edit("decision_trees/complaints/cold.yml", "title: &x Hm", "title: Cold again")
        awaited(page, "index.html", "Cold again")
        project.write("content/index.md", "# Mine\n")
        awaited(page, "index.html", "content/index.md: name-taken")
        (project.folder / "content/index.md").unlink()
        awaited(page, "index.html", "Cold again")


@pytest.fixture
def overlay(project: Project, tmp_path_factory: pytest.TempPathFactory) -> Project:
    """The project with its trees in a folder of somebody else, and one change over them."""
    below = tmp_path_factory.mktemp("theirs") / "trees"
    (project.folder / "decision_trees").rename(below)
    project.write("decision_trees/over.yml", f"over: {below}\n")
    project.write("decision_trees/changes/complaints/cold.yml", "title: It is cold\n")
    found, problems = look(project.folder / "decision_trees")
    assert found is not None, problems
    put_down(found)
    return project


def test_an_overlay_is_published_and_edit_links_lead_to_what_is_the_authors_own(
    overlay: Project,
) -> None:
    action = "theme: {name: material, font: false, features: [content.action.edit]}"
    config = CONFIG.replace("theme: {name: material, font: false}", action)
    where = "repo_url: https://code.test/me/trees\nedit_uri: edit/main/content/\n"
    overlay.write("mkdocs.yml", config + where)
    built = overlay.built()
    assert "It is cold" in built["index.html"].decode()
    page = BeautifulSoup(built["complaints/cold.html"], "html.parser")
    assert [a["href"] for a in page.select("a.md-content__button")] == [
        "https://code.test/me/trees/edit/main/decision_trees/changes/complaints/cold.yml#L1"
    ]
    overlay.write("decision_trees/changes/complaints/cold.yml", "words: [brr]\n")
    page = BeautifulSoup(overlay.built()["complaints/cold.html"], "html.parser")
    assert page.select("a.md-content__button") == []


def test_what_changes_below_an_overlay_stops_a_build_and_shows_in_a_preview(
    overlay: Project,
) -> None:
    good = overlay.built()
    trees = overlay.folder / "decision_trees"
    below = Path((trees / "over.yml").read_text("utf-8").removeprefix("over: ").strip())
    path = below / "complaints/cold.yml"
    with serving(overlay) as page:
        awaited(page, "index.html", "It is cold")
        path.write_text(path.read_text("utf-8").replace("The heat is out", "No heat now"), "utf-8")
        assert "below-changed" in awaited(page, "cold/index.html", "to mend")
        assert overlay.build().returncode != 0
        assert files_in(overlay.site) == good
        found, _ = look(trees)
        assert found is not None
        put_down(found)
        awaited(page, "index.html", "It is cold")
    assert overlay.build().returncode == 0


def test_a_preview_begins_with_problems_and_recovers(project: Project) -> None:
    project.break_tree()
    with serving(project) as page:
        awaited(page, "index.html", " to mend")
        awaited(page, "danger/index.html", " to mend")
        project.mend_tree()
        awaited(page, "cold/set-heat.html", STEP)


def test_only_a_preview_relaxes_the_policy_of_a_page(project: Project) -> None:
    strict = _policy(project.built()["cold/index.html"].decode())
    assert "default-src 'none'" in strict
    assert "script-src 'sha256-" in strict
    with serving(project) as page:
        shown = awaited(page, "cold/index.html", "livereload(")
    opened = ("script-src", "connect-src")
    kept = [rule for rule in strict.split("; ") if not rule.startswith(opened)]
    relaxed = ["script-src 'unsafe-inline'", "connect-src 'self'"]
    assert _policy(shown).split("; ") == kept + relaxed


def _policy(page: str) -> str:
    found = BeautifulSoup(page, "html.parser").select("meta[http-equiv=Content-Security-Policy]")
    assert len(found) == 1
    return str(found[0]["content"])


def test_a_preview_has_no_worker_and_takes_that_of_a_site_away(project: Project) -> None:
    built = project.built()
    assert b'rel="manifest"' in built["cold/index.html"]
    with serving(project) as page:
        shown = awaited(page, "cold/index.html", "livereload(")
        worker = page("worker.js")
    assert 'rel="manifest"' not in shown
    assert "unregister" in worker
    assert "PLAN" not in worker
    assert "unregister" not in built["worker.js"].decode()


def test_a_preview_leaves_the_site_folder_alone(project: Project) -> None:
    with serving(project) as page:
        awaited(page, "index.html", "The heat is out")
        assert not project.site.exists()
