"""A site is put in its place as a whole, whatever is killed, refused or built at the same time."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import time
from pathlib import Path
from typing import IO

import pytest

from bench import kills
from stepstop import publish as module
from stepstop.publish import MARKER, PublishError, begin, publish, swap

OLD = {"index.html": b"old", "a/index.html": b"old a", "only-old.html": b"old"}
NEW = {"index.html": b"new", "a/index.html": b"new a", "b/c/d.html": b"new d"}


def held(folder: Path) -> dict[str, bytes]:
    """Relative path -> content of every file but the marker."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != MARKER)
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def beside(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.parent.iterdir())


@pytest.fixture
def site(tmp_path: Path) -> Path:
    publish(OLD.items(), tmp_path / "site")
    return tmp_path / "site"


@pytest.fixture(params=["one step", "two renames"])
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both ways to swap, the second also where the system knows the first."""
    way: str = request.param
    if way == "two renames":
        monkeypatch.setattr(module, "_exchanged", lambda new, target: False)
    return way


def test_a_first_site_is_written_whole(tmp_path: Path) -> None:
    publish(NEW.items(), tmp_path / "deep" / "er" / "site")
    assert held(tmp_path / "deep" / "er" / "site") == NEW
    assert beside(tmp_path / "deep" / "er" / "site") == ["site"]


@pytest.mark.usefixtures("way")
def test_a_second_site_replaces_the_first_as_a_whole(site: Path) -> None:
    publish(NEW.items(), site)
    assert held(site) == NEW
    assert beside(site) == ["site"]


@pytest.mark.usefixtures("way")
def test_swap_leaves_the_old_site_under_the_new_ones_name(site: Path, tmp_path: Path) -> None:
    publish(NEW.items(), tmp_path / "other")
    swap(tmp_path / "other", site)
    assert (held(site), held(tmp_path / "other")) == (NEW, OLD)


def test_an_empty_folder_may_be_filled(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    publish(NEW.items(), tmp_path / "site")
    assert held(tmp_path / "site") == NEW


def test_a_link_to_a_folder_stays_a_link(site: Path, tmp_path: Path) -> None:
    link = tmp_path / "www"
    link.symlink_to(site, target_is_directory=True)
    publish(NEW.items(), link)
    assert link.is_symlink()
    assert held(site) == NEW


def test_everybody_may_read_what_the_umask_lets_them(site: Path) -> None:
    umask = os.umask(0)
    os.umask(umask)
    assert site.stat().st_mode & 0o777 == 0o777 & ~umask


def test_a_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "cat.txt").write_text("a cat")
    with pytest.raises(PublishError, match=r"was not written by Stepstop.*choose another folder"):
        publish(NEW.items(), tmp_path / "photos")
    assert held(tmp_path / "photos") == {"cat.txt": b"a cat"}
    assert beside(tmp_path / "photos") == ["photos"]


def test_a_git_work_tree_is_refused_though_it_has_the_marker(site: Path) -> None:
    (site / ".git").mkdir()
    with pytest.raises(PublishError, match="git work tree"):
        publish(NEW.items(), site)
    assert held(site) == OLD


def test_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "site").write_text("a file")
    with pytest.raises(PublishError, match="is a file"):
        publish(NEW.items(), tmp_path / "site")
    assert (tmp_path / "site").read_text() == "a file"


@pytest.mark.parametrize("name", ["../out.html", "/etc/out.html", "a/../../out.html", "a\\b.html"])
def test_a_path_out_of_the_site_is_our_own_mistake(site: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a path inside a site"):
        publish({**NEW, name: b""}.items(), site)
    assert held(site) == OLD
    assert beside(site) == ["site"]


def test_a_full_disk_is_told_and_leaves_the_old_site(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def opened(path: str, mode: str) -> IO[bytes]:
        if path.endswith("d.html"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), path)
        return open(path, mode)

    monkeypatch.setattr(module, "open", opened, raising=False)
    with pytest.raises(PublishError, match=r"No space left on device.*it is as it was"):
        publish(NEW.items(), site)
    assert held(site) == OLD
    assert beside(site) == ["site"]


def test_a_mount_point_is_told_with_a_way_out(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(path: Path, target: Path) -> Path:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY), str(path))

    monkeypatch.setattr(Path, "rename", busy)
    with pytest.raises(PublishError, match=r"mount point.*a folder inside it"):
        publish(NEW.items(), site)
    assert held(site) == OLD


def test_a_refused_second_rename_brings_the_old_site_back(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = Path.rename
    calls: list[Path] = []

    def rename(path: Path, target: Path) -> Path:
        calls.append(path)
        if len(calls) == 3:
            raise OSError(errno.EACCES, os.strerror(errno.EACCES), str(path))
        return whole(path, target)

    monkeypatch.setattr(module, "_exchanged", lambda new, target: False)
    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(PublishError, match="Permission denied"):
        publish(NEW.items(), site)
    assert held(site) == OLD
    assert beside(site) == ["site"]


def test_leftovers_of_killed_builds_are_removed_and_no_other_folder(site: Path) -> None:
    for name in (".site.stepstop-dead1", ".site.stepstop-dead2.old", ".site2.stepstop-x", "site2"):
        (site.parent / name).mkdir()
    publish(NEW.items(), site)
    assert beside(site) == [".site2.stepstop-x", "site", "site2"]


def test_a_draft_that_lives_is_left_alone_and_both_builds_end_whole(site: Path) -> None:
    draft = begin(site)
    (draft.folder / "index.html").write_bytes(b"first build")
    publish(NEW.items(), site)
    assert draft.folder.is_dir()
    assert held(site) == NEW
    draft.publish()
    assert held(site) == {"index.html": b"first build"}
    assert beside(site) == ["site"]


def test_a_site_caught_between_two_renames_is_put_back(site: Path) -> None:
    site.rename(site.with_name(".site.stepstop-dead.old"))
    begin(site).discard()
    assert held(site) == OLD
    assert beside(site) == ["site"]


def test_a_build_killed_at_any_moment_leaves_the_old_site_or_the_new_one(tmp_path: Path) -> None:
    site = tmp_path / "site"
    draw = random.Random(20261125)
    kinds = [kills.files(kind) for kind in kills.KINDS]
    publish(kinds[0].items(), site)
    seen = set()
    for turn in range(60):
        if turn >= 12 and len(seen) == 2:
            break
        child = kills.builds(site)
        time.sleep(draw.uniform(0.0, kills.LONGEST))
        child.send_signal(signal.SIGKILL)
        child.communicate()
        assert held(site) in kinds
        seen.add(held(site)["0/index.html"][:3])
    assert seen == {b"old", b"new"}
    publish(NEW.items(), site)
    assert held(site) == NEW
    assert beside(site) == ["site"]


def test_builds_at_the_same_time_never_mix(tmp_path: Path) -> None:
    site = tmp_path / "site"
    pair: list[subprocess.Popen[bytes]] = []
    try:
        for _ in range(2):
            pair.append(kills.builds(site))
        deadline = time.monotonic() + 1.0
        glances = set()
        while time.monotonic() < deadline:
            assert [child.poll() for child in pair] == [None, None]
            glances.add(_at_a_glance(site))
        assert {1} <= glances <= {0, 1}
    finally:
        for child in pair:
            child.kill()
            child.communicate()
    assert len(set(held(site).values())) == 1


def _at_a_glance(site: Path) -> int:
    """How many kinds of pages are below one open descriptor of the site: 1, or 0 when removed."""
    try:
        held_open = os.open(site, os.O_RDONLY)
    except FileNotFoundError:
        return 0
    try:
        kinds = set()
        for number in range(40):
            file = os.open(f"{number}/index.html", os.O_RDONLY, dir_fd=held_open)
            kinds.add(os.read(file, 3))
            os.close(file)
        return len(kinds)
    except FileNotFoundError:
        return 0
    finally:
        os.close(held_open)
