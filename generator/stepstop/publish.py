"""Putting a built site in its place as a whole: whoever looks sees the old one or the new one.

A site is written into a draft, a hidden folder beside its place, and then the two folders trade
names in one step of the system. A build that is killed leaves a draft behind; the next build into
the same place removes it, unless another build is still at work in it.
"""

from __future__ import annotations

import ctypes
import errno
import glob
import os
import secrets
import shutil
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import click

MARKER = ".stepstop"
"""File in every site that we wrote; a folder without it is not ours to replace."""
_MARKER_TEXT = b"Written by Stepstop: the next build replaces this folder as a whole.\n"

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
"""Both from memory of Linux's <fcntl.h> and <linux/fs.h>; tests trade two real folders by them."""
_NO_EXCHANGE = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)
"""What a system or file system answers that can't trade two names in one step."""
_OLD = ".old"
"""Ending of a draft's name under which the fallback keeps the old site for a moment."""


class PublishError(click.ClickException):
    """The site could not be put in its place; what was there is as it was."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A folder in which a site is being written, locked while its process lives."""

    folder: Path
    target: Path
    """Where the site goes, symbolic links followed."""
    lock: int | None
    """Open file descriptor that holds the lock; None where the system has no such locks."""
    _made: set[str] = field(default_factory=set, compare=False, repr=False)
    """Folders below it that are there."""

    def write(self, name: str, content: bytes) -> str:
        """Write one file, `name` below the site's root; returns where it stands now."""
        if name.startswith("/") or ".." in name.split("/") or "\\" in name:
            raise ValueError(f"{name!r} is not a path inside a site")
        path = os.path.join(self.folder, name)
        inner = name.rpartition("/")[0]
        with _told(self.target):
            if inner not in self._made:
                os.makedirs(os.path.dirname(path), exist_ok=True)
                self._made.add(inner)
            with open(path, "wb") as file:
                file.write(content)
        return path

    def publish(self) -> None:
        """Put the site in its place and give up the draft."""
        try:
            swap(self.folder, self.target)
        finally:
            self.discard()

    def discard(self) -> None:
        """Remove the draft, or the old site once it was published."""
        shutil.rmtree(self.folder, ignore_errors=True)
        if self.lock is not None:
            with suppress(OSError):
                os.close(self.lock)


def publish(files: Iterable[tuple[str, bytes]], folder: Path) -> int:
    """Make `folder` hold just `files` (relative path, content), all or none; how many they are.

    They may be made while they are written. Raises `PublishError` where the folder isn't a site of
    ours or the disk refuses.
    """
    draft, count = begin(folder), 0
    try:
        for name, content in files:
            draft.write(name, content)
            count += 1
    except BaseException:
        draft.discard()
        raise
    draft.publish()
    return count


def begin(folder: Path) -> Draft:
    """A new, empty draft beside `folder`; leftovers of killed builds are removed first."""
    target = Path(os.path.realpath(folder))
    with _told(target):
        _refuse_foreign(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        _clear_leftovers(target)
        draft = _new_draft(target)
        (draft.folder / MARKER).write_bytes(_MARKER_TEXT)
    return draft


def swap(new: Path, target: Path) -> None:
    """Make the folder `new` stand at `target`; the old one, if any, then stands at `new`.

    In one step where the system can (Linux), else in two renames, after which a build that was
    killed between them is put right by the next one. Raises `PublishError`.
    """
    with _told(target):
        _refuse_foreign(target)
        try:
            new.rename(target)
        except OSError as error:
            if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
                raise
            if not _exchanged(new, target):
                _two_renames(new, target)


def _exchanged(new: Path, target: Path) -> bool:
    """Whether the two names were traded in one step; raises OSError where the disk refuses."""
    if not sys.platform.startswith("linux"):
        return False
    rename = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if rename is None:
        return False
    names = (os.fsencode(new), os.fsencode(target))
    if rename(_AT_FDCWD, names[0], _AT_FDCWD, names[1], ctypes.c_uint(_RENAME_EXCHANGE)) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NO_EXCHANGE:
        return False
    raise OSError(number, os.strerror(number), str(target))


def _two_renames(new: Path, target: Path) -> None:
    old = new.with_name(new.name + _OLD)
    target.rename(old)
    try:
        new.rename(target)
    except OSError:
        old.rename(target)
        raise
    old.rename(new)


def _refuse_foreign(target: Path) -> None:
    """Raise `PublishError` unless `target` is missing, an empty folder or a site of ours."""
    if not target.exists():
        return
    if not target.is_dir():
        raise PublishError(f"{target} is a file, not a folder; choose another place")
    if (target / ".git").exists():
        raise PublishError(f"{target} is a git work tree, which a build must not replace")
    if any(target.iterdir()) and not (target / MARKER).is_file():
        raise PublishError(
            f"{target} has files and was not written by Stepstop, so it is left as it is; "
            f"choose another folder, or remove this one yourself"
        )


def _clear_leftovers(target: Path) -> None:
    """Remove drafts that no living process holds; put back a site caught between two renames."""
    for left in sorted(target.parent.glob(f"{glob.escape(_prefix(target))}*")):
        if left.name.endswith(_OLD) and not target.exists():
            left.rename(target)
        elif not _in_use(left):
            shutil.rmtree(left, ignore_errors=True)


def _in_use(folder: Path) -> bool:
    """Whether a living process holds `folder`, or there are no locks here that would tell."""
    try:
        lock = _locked(folder, wait=False)
    except (BlockingIOError, FileNotFoundError):
        return True
    if lock is not None:
        os.close(lock)
    return lock is None


def _new_draft(target: Path) -> Draft:
    """A draft that we hold, however soon another build took its folder for a leftover."""
    while True:
        folder = target.parent / f"{_prefix(target)}{secrets.token_hex(4)}"
        folder.mkdir()
        with suppress(FileNotFoundError):
            lock = _locked(folder, wait=True)
            if lock is None or os.path.samestat(os.fstat(lock), folder.stat()):
                return Draft(folder, target, lock)


def _prefix(target: Path) -> str:
    return f".{target.name}.stepstop-"


def _locked(folder: Path, *, wait: bool) -> int | None:
    """A descriptor that holds the lock on `folder`, or None where the system has no such locks.

    Raises BlockingIOError where another process holds it and `wait` is off, and FileNotFoundError.
    """
    if sys.platform == "win32":
        return None
    import fcntl

    descriptor = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except BlockingIOError:
        os.close(descriptor)
        raise
    except OSError:
        os.close(descriptor)
        return None
    return descriptor


@contextmanager
def _told(target: Path) -> Iterator[None]:
    """Errors of the disk as a `PublishError` that says what stands there now."""
    try:
        yield
    except OSError as error:
        raise PublishError(
            f"{target} could not be written ({_why(error)}); it is as it was"
        ) from error


def _why(error: OSError) -> str:
    if error.errno in (errno.EBUSY, errno.EXDEV):
        return "it is a mount point, which can't be replaced: use a folder inside it"
    return error.strerror or str(error)
