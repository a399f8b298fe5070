"""Stepstop inside MkDocs: its pages beside hand-written ones, proven before anything is written.

The only module that knows MkDocs. A build goes into a hidden folder beside the site's and takes
its place at the very end, so that a build which fails or is killed leaves the last good site.
"""

from __future__ import annotations

import datetime
import logging
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import repeat
from pathlib import Path
from typing import Any, Literal
from urllib.parse import urlsplit

from mkdocs.config import base
from mkdocs.config import config_options as c
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel, file_sort_key
from mkdocs.utils import CountHandler

from stepstop.bundle import STUBS, Bundle, BundleError, Order, Stub, bundle, fingerprint
from stepstop.collecting import makes_one_site
from stepstop.loader import TREE_FOLDERS
from stepstop.overlay.layers import files_of, folders
from stepstop.preview import problem_page, relaxed
from stepstop.problems import Problem
from stepstop.publish import Draft, PublishError, begin
from stepstop.rehearsed import not_rehearsed
from stepstop.report import as_text
from stepstop.source import Spot

log = get_plugin_logger("stepstop")

COMPANY = "STEPSTOP_COMPANY"
"""Names a company's file in the environment, as `stepstop build --company` sets it."""
_FIRST, _LATE, _LAST = 100, -200, -1000
"""Event priorities: before any other plugin; after those that sort files; after all that write."""


class Options(base.Config):  # type: ignore[no-untyped-call]
    """What stands below `stepstop:` in mkdocs.yml."""

    trees = c.Dir(default="decision_trees", exists=True)
    """Folder of the trees, relative to mkdocs.yml."""
    place = c.Type(str, default="us")
    """Id of the place whose numbers and words the pages use."""
    today = c.Optional(c.Type((str, datetime.date)))
    """Date on the pages; that of SOURCE_DATE_EPOCH where it is left out."""
    rehearsal_page = c.Type(bool, default=True)
    """Whether a page tells how the edition was rehearsed."""
    offline = c.Type(bool, default=True)
    """Whether phones keep the pages for a time without a network; never in a preview."""
    languages = c.ListOfItems(c.Type(str), default=["en"])
    """Codes of the languages, the company's own first: its pages lie at the site's root."""
    company = c.Optional(c.File(exists=True))
    """File of the company whose edition is built; `COMPANY` in the environment comes first."""


@dataclass(frozen=True, slots=True)
class _Detour:
    """A build that goes into a draft instead of its site."""

    config: MkDocsConfig
    site_dir: str
    draft: Draft

    def end(self) -> None:
        """Let the configuration name the real folder again."""
        self.config.site_dir = self.site_dir


class StepstopPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]
    """Adds the question pages and a stub page for each complaint."""

    def __init__(self) -> None:
        self._is_preview = False
        self._is_partial = False
        self._depth = 0
        """Builds under way: another plugin may start one within ours, for instance a language."""
        self._detour: _Detour | None = None
        self._known: tuple[str, Bundle] | None = None
        """The last bundle with its fingerprint: saving a hand-written page proves nothing anew."""
        self._good = Bundle()
        """The last bundle without problems."""
        self._bundle = Bundle()

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Note what MkDocs was asked for; also keeps this object between previews."""
        self._is_preview = command == "serve"
        self._is_partial = dirty
        if not self._is_preview:
            makes_one_site()

    @event_priority(_FIRST)
    def on_config(self, config: MkDocsConfig) -> None:
        """Prove the trees; without a problem, send what is written now into a draft."""
        self._depth += 1
        if self._depth > 1:
            return
        config.theme.static_templates.discard("404.html")
        if not config.use_directory_urls:
            config.extra.setdefault("homepage", "index.html")
        watched = (*folders(Path(self.config.trees)), *_overrides(config))
        config.watch.extend(str(folder) for folder in watched)
        if self._company() is not None:
            config.watch.append(str(self._company()))
        self._bundle = self._ordered(config)
        if not self._is_preview:
            _refuse(self._bundle.problems)
            if not self._bundle.is_rehearsed:
                log.info(not_rehearsed(self._company()))
            self._leave_for_draft(config)

    def _ordered(self, config: MkDocsConfig) -> Bundle:
        today = self.config.today
        order = Order(
            trees=_short(self.config.trees),
            place=self.config.place,
            today=None if today is None else str(today),
            overrides=_overrides(config),
            home=urlsplit(config.site_url or "").path,
            rehearsal_page=self.config.rehearsal_page,
            offline=self.config.offline and not self._is_preview,
            company=self._company(),
            address=_with_slash(config.site_url or ""),
            languages=tuple(self.config.languages),
            named=_short(config.config_file_path or "mkdocs.yml").as_posix(),
        )
        key = fingerprint(order)
        if self._known is None or self._known[0] != key:
            self._known = (key, bundle(order, keep=self._is_preview))
        return self._known[1]

    def _company(self) -> Path | None:
        chosen = os.environ.get(COMPANY) or self.config.company
        return _short(os.path.abspath(chosen)) if chosen else None

    def _leave_for_draft(self, config: MkDocsConfig) -> None:
        if self._is_partial:
            return
        try:
            draft = begin(Path(config.site_dir))
        except PublishError as error:
            raise PluginError(error.message) from error
        self._detour = _Detour(config, config.site_dir, draft)
        config.site_dir = str(draft.folder)

    @event_priority(_LATE)
    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add our pages and stubs; refuse a file of somebody else that would take their place."""
        _drop_templates(files, config)
        unspoken = self._unspoken()
        for file in [each for each in files if each.src_uri.startswith(unspoken)]:
            files.remove(file)
        ours = self._ours(config, self._bundle)
        taken = [_clash(file) for file in self._in_the_way(files, ours)]
        if self._is_preview:
            ours = self._ours(config, self._shown([*self._bundle.problems, *taken]))
        else:
            _refuse(taken)
        for file in self._in_the_way(files, ours):
            files.remove(file)
        for file in ours:
            files.append(file)
        if config.nav is not None:
            config.nav = _unfolded(_without(config.nav, unspoken), files)
        return files

    def _unspoken(self) -> tuple[str, ...]:
        """Folders of languages that this edition has no pages in, as a company's may have none."""
        facts = self._bundle.facts
        if facts is None:
            return ()
        codes = self.config.languages[1:]
        return tuple(f"{code}/" for code in codes if code not in facts.in_language)

    def _ours(self, config: MkDocsConfig, shown: Bundle) -> list[File]:
        """Our files; where there is a draft the pages stand in it already."""
        made = map(self._placed, repeat(config), shown.pages())
        try:
            return [*made, *_stub_files(config, shown)]
        except BundleError as error:
            _refuse([error.problem])
            raise

    def _placed(self, config: MkDocsConfig, page: tuple[str, bytes]) -> File:
        """A page as a file of the site: in the draft, or else in memory until all are written."""
        name, content = page
        if self._detour is None:
            return _generated(config, name, content=content)
        try:
            path = self._detour.draft.write(name, content)
        except PublishError as error:
            raise PluginError(error.message) from error
        return _generated(config, name, kind=_Written, abs_src_path=path)

    def _in_the_way(self, files: Iterable[File], ours: list[File]) -> list[File]:
        """The files of others that would be written where ours are."""
        lowest = InclusionLevel.DRAFT if self._is_preview else InclusionLevel.NOT_IN_NAV
        sources = {file.src_uri for file in ours}
        places = {file.dest_uri for file in ours}
        return [
            file
            for file in files
            if file.inclusion.value >= lowest.value
            and (file.src_uri in sources or file.dest_uri in places)
        ]

    def _shown(self, problems: list[Problem]) -> Bundle:
        """The bundle to publish: in a preview with problems, a page of them wherever one may be."""
        if not self._is_preview:
            return self._bundle
        if not problems:
            self._good = self._bundle
            return replace(self._bundle, pages=partial(_relaxed, self._bundle))
        _tell(problems)
        page = problem_page(problems)
        made = (name for each in (self._good, self._bundle) for name, _ in each.pages())
        names = sorted({*made, *_beginnings(Path(self.config.trees))})
        stubs = {**_bare_stubs(Path(self.config.trees)), **self._good.stubs, **self._bundle.stubs}
        pages = [(name, page) for name in names if name.endswith(".html")]
        return Bundle(pages=lambda: iter(pages), stubs=stubs)

    def on_env(self, env: Any, config: MkDocsConfig, files: Files) -> None:
        """Let templates of the theme say which edition this is: `stepstop`, none without one."""
        env.globals["stepstop"] = self._bundle.facts

    @event_priority(_LAST)
    def on_post_build(self, config: MkDocsConfig) -> None:
        """Put the draft in the site's place, unless a strict build has had a warning."""
        self._depth -= 1
        if self._depth or self._detour is None:
            return
        if config.strict and _was_warned():
            self._give_up()
            return
        detour, self._detour = self._detour, None
        detour.end()
        try:
            detour.draft.publish()
        except PublishError as error:
            raise PluginError(error.message) from error
        log.info(f"The site in {detour.site_dir} is now this one")

    def on_build_error(self, error: Exception) -> None:
        """Leave the last good site as it is."""
        self._depth = 0
        self._give_up()

    def on_shutdown(self) -> None:
        """Leave nothing behind when a build is broken off."""
        self._give_up()

    def _give_up(self) -> None:
        detour, self._detour = self._detour, None
        if detour is not None:
            detour.end()
            detour.draft.discard()
            log.info(f"Nothing was published: {detour.site_dir} is as it was")


def _refuse(problems: Iterable[Problem]) -> None:
    """Show `problems`, if any, and end the build."""
    found = list(problems)
    if found:
        _tell(found)
        count = f"{len(found)} problem{'s' * (len(found) > 1)}"
        raise PluginError(f"{count}, so nothing was written and the last good site stays")


def _tell(problems: Iterable[Problem]) -> None:
    for problem in problems:
        log.error(as_text([problem]))


def _was_warned() -> bool:
    """Whether MkDocs has counted a warning, which ends a strict build after all is written."""
    handlers = logging.getLogger("mkdocs").handlers
    return any(each.get_counts() for each in handlers if isinstance(each, CountHandler))


def _overrides(config: MkDocsConfig) -> tuple[Path, ...]:
    folder = config.theme.custom_dir
    return (Path(folder),) if folder else ()


def _with_slash(address: str) -> str:
    return address if not address or address.endswith("/") else f"{address}/"


def _short(path: str) -> Path:
    """`path` from the working directory if it is below it, for messages."""
    full, here = Path(path), Path.cwd()
    return full.relative_to(here) if full.is_relative_to(here) else full


def _drop_templates(files: Files, config: MkDocsConfig) -> None:
    """Keep the sources of our pages, which stand in the theme's folder, out of the site."""
    folders = tuple(str(folder) for folder in _overrides(config))
    for file in list(files):
        if file.src_dir in folders and file.src_uri.startswith("stepstop/"):
            files.remove(file)


class _Written(File):
    """A file that stands in its place in the draft already."""

    def copy_file(self, dirty: bool = False) -> None:
        """Write it only if another plugin has changed it since."""
        if self.abs_src_path != self.abs_dest_path:
            super().copy_file(dirty)


def _generated(config: MkDocsConfig, name: str, *, kind: type[File] = File, **given: Any) -> File:
    return kind.generated(config, name, inclusion=InclusionLevel.INCLUDED, **given)


def _stub_files(config: MkDocsConfig, shown: Bundle) -> Iterator[File]:
    for name, stub in sorted(shown.stubs.items()):
        file = File.generated(config, name, content=stub.markdown)
        file.edit_uri = _edit_uri(config, stub)
        yield file


def _edit_uri(config: MkDocsConfig, stub: Stub) -> str | None:
    """The complaint's file from the folder of hand-written pages, which edit links start from.

    None where it is not the author's own: an overlay's pages are mostly from the trees below.
    """
    here = Path(config.config_file_path or "mkdocs.yml").absolute().parent
    if not stub.spot.line or not Path(os.path.abspath(stub.spot.file)).is_relative_to(here):
        return None
    path = Path(os.path.relpath(stub.spot.file, config.docs_dir)).as_posix()
    return f"{path}#L{stub.spot.line}"


def _clash(file: File) -> Problem:
    name = _short(file.abs_src_path) if file.abs_src_path else Path(file.src_uri)
    return Problem(
        Spot(name.as_posix(), 0, 0),
        "name-taken",
        f"`{file.src_uri}` would be written to `{file.dest_uri}`, where Stepstop puts its own page",
        "give it another name, or take it away",
    )


def _relaxed(shown: Bundle) -> Iterator[tuple[str, bytes]]:
    for name, page in shown.pages():
        yield name, relaxed(page) if name.endswith(".html") else page


def _beginnings(trees: Path) -> Iterator[str]:
    """Pages that somebody may look at while the trees can't be read."""
    yield from ("index.html", "404.html")
    yield from (f"{stem}/index.html" for stem in _stems(trees))


def _bare_stubs(trees: Path) -> dict[str, Stub]:
    """Stubs for complaints that can't be read, so that links to them hold."""
    return {f"{STUBS}/{stem}.md": Stub(f"# {stem}\n", Spot("", 0, 0)) for stem in _stems(trees)}


def _stems(trees: Path) -> list[str]:
    """Names of the trees that may have a page, as far as their files can be found."""
    part = f"{TREE_FOLDERS[0]}/"
    return sorted(each.path.stem for each in files_of(trees) if each.name.startswith(part))


def _without(nav: Any, folders: tuple[str, ...]) -> Any:
    """`nav` without entries in `folders`, and without parts that have nothing else."""
    if isinstance(nav, list):
        return [left for left in (_without(item, folders) for item in nav) if left]
    if isinstance(nav, dict):
        kept = {title: _without(item, folders) for title, item in nav.items()}
        return {title: left for title, left in kept.items() if left}
    return "" if isinstance(nav, str) and nav.startswith(folders) else nav


def _unfolded(nav: Any, files: Files) -> Any:
    """`nav` with each entry `folder/` replaced by the pages in that folder, index first."""
    if isinstance(nav, list):
        return [_unfolded(item, files) for item in nav]
    if isinstance(nav, dict):
        return {title: _unfolded(item, files) for title, item in nav.items()}
    if isinstance(nav, str) and nav.endswith("/") and "://" not in nav:
        pages = sorted(files.documentation_pages(), key=file_sort_key)
        return [file.src_uri for file in pages if file.src_uri.startswith(nav)]
    return nav
