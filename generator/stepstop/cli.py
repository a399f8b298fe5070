"""The `stepstop` command."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from stepstop import __version__, explain
from stepstop.callers import MODELS
from stepstop.course import Course
from stepstop.listing import PARTS
from stepstop.places import course_in
from stepstop.practice import MANNERS
from stepstop.problems import Problem, near, sorted_once
from stepstop.rehearsal.choices import HALVES, PAIRS, VARIATIONS
from stepstop.report import as_json, as_text
from stepstop.verify import Verified, unreviewed, verify
from stepstop.walk import walk

if TYPE_CHECKING:
    from stepstop.company.model import Brand
    from stepstop.edition import Edition
    from stepstop.labels.sheet import Sheet
    from stepstop.tongues import Languages

_TREES = click.argument(
    "trees",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default="decision_trees",
)


_TREES_OPTION = click.option(
    "--trees",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default="decision_trees",
    show_default=True,
    help="Folder of the trees.",
)

_PLACE = click.option(
    "--place", default="us", show_default=True, help="Whose numbers and words to use."
)

_TODAY = click.option("--today", default=None, help="Date in it (or SOURCE_DATE_EPOCH).")

_COMPANY = click.option(
    "--company",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    default=None,
    help="File of the company whose edition it is.",
)

_LANGUAGE = click.option(
    "--language",
    default=None,
    help="Code of the language that it is in.  [default: en, or the company's own]",
)

_COMPANIES = click.option(
    "--companies",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=None,
    help="Folder of companies' files.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="stepstop")
def main() -> None:
    """Decision trees in, proven question pages out.

    \b
    stepstop new my-site               a site of your own, with all trees or one, to change
    stepstop schemas decision_trees    JSON Schemas, by which editors complete and check
    stepstop verify decision_trees     prove every path, or show each mistake with its mend
    stepstop walk no-heat              go through a tree here in the terminal
    stepstop walk --practice           a simulated caller for agents to practice with
    stepstop build                     verify, then build the whole site with MkDocs
    stepstop export pages/             the question pages alone, without MkDocs
    stepstop labels --company FILE     printable labels with a code, to stick near the equipment
    stepstop diff OLD/ NEW/            what a change of trees does to callers
    stepstop catalogue                 what trees may use: checks and what they need, findings, ...
    stepstop touched                   what your changes lie over, and what changed there since
    stepstop draw no-heat              a tree as a picture, with how many callers go where
    stepstop closed calls.csv          what was found on visits, beside what the pages pointed to
    stepstop explain done-twice        what a flaw is, what it could do, how it is mended
    stepstop rehearse                  simulated homeowners walk the trees: how calls end
    stepstop booklet                   all scripts for calls on paper
    stepstop changes OLD/              what agents say otherwise since an earlier export
    stepstop effort                    steps and minutes of a walk, idle questions, better orders

    Exit status: 0 all well, 1 problems in the trees, 2 misuse of the command.
    """


@main.command("verify")
@_TREES
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@_COMPANY
@click.option(
    "--strict-review", is_flag=True, help="A tree without a review in force is a problem."
)
@click.option("--today", default=None, help="The date for that (or SOURCE_DATE_EPOCH, or today).")
def verify_command(
    trees: Path, form: str, company: Path | None, strict_review: bool, today: str | None
) -> None:
    """Read TREES and prove the safety rules on every path.

    All problems of all files are shown at once, each with its line, the shortest walk that shows
    it, and how to mend it. With --format json the count of places that each rule examined comes
    too: a rule that examined nothing has proven nothing.

    With --company the company's file is read, too, and what it changes is proven anew.

    With --strict-review each tree must have been looked over by a licensed technician, and its
    next review must not be past: `review` in its file.
    """
    if today is not None and not strict_review:
        raise click.UsageError("--today needs --strict-review")
    date = _date(today) if strict_review else ""
    found = _verified(trees, shown=form == "text")
    if company is not None and found.is_proven:
        found = _verified_for(company, found, trees)
    if strict_review and found.course is not None:
        late = unreviewed(found.course.library, date)
        found = replace(found, problems=tuple(sorted_once((*found.problems, *late))))
    if form == "json":
        click.echo(as_json(found.problems, found.examined))
    else:
        click.echo(_summary(found))
    sys.exit(1 if found.problems else 0)


def _date(today: str | None) -> str:
    """The date that reviews are judged by, YYYY-MM-DD."""
    from datetime import UTC, datetime

    from stepstop.edition import EditionError, edition_date

    try:
        return edition_date(today, os.environ) or datetime.now(UTC).date().isoformat()
    except EditionError as error:
        raise click.BadParameter(str(error)) from None


def _fail(problems: Sequence[Problem]) -> NoReturn:
    """Show problems that leave nothing to go on with."""
    click.echo(as_text(problems), err=True)
    sys.exit(1)


def _edition_at(course: Course, trees: Path, place: str) -> Edition:
    """The edition of nobody's own for a place that was given."""
    from stepstop.edition import EditionError, edition_for

    try:
        return edition_for(course, trees, place=place)
    except EditionError as error:
        raise click.ClickException(str(error)) from None


def _listed(problems: Sequence[Problem]) -> str:
    count = len(problems)
    tail = f"{count} problem{'s' * (count > 1)}; `stepstop explain FLAW` says more of each"
    return f"{as_text(problems)}\n\n{tail}"


def _summary(found: Verified) -> str:
    if found.problems:
        return _listed(found.problems)
    assert found.course is not None
    places = sum(found.examined.values())
    trees = sum(1 for tree in found.course.library.trees.values() if tree.role != "shared")
    return (
        f"checked against our safety rules: {trees} trees, {len(found.course.pages)} pages, "
        f"{len(found.examined)} rules, {places:,} places examined, no problem"
    )


@main.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--starter",
    type=click.Choice(["all", "one", "over"]),
    default="all",
    show_default=True,
    help="Begin with a copy of every tree that comes with Stepstop, with one, or with none: "
    "only what you change, laid over ours.",
)
def new_command(folder: Path, starter: str) -> None:
    """Make a site of your own in FOLDER: trees, a company's file, mkdocs.yml. It builds at once.

    The trees are copies, yours to change; with --starter over there are none, and files of your
    own say what differs from ours. Beside them are JSON Schemas, by which editors complete keys and
    mark mistakes.
    """
    from stepstop.new import NotNew, new_site

    try:
        files = new_site(folder, starter=starter)
    except (NotNew, OSError) as error:
        raise click.ClickException(str(error)) from None
    click.echo(f"{len(files)} files in {folder}; next:")
    click.echo(f"  cd {folder}")
    click.echo("  stepstop build        then open site/index.html")


@main.command("schemas")
@_TREES
def schemas_command(trees: Path) -> None:
    """Write JSON Schemas for the files of TREES into TREES/.schemas, for editors to complete by.

    `stepstop new` has done so for a new site; do it again after taking a newer release.
    """
    from stepstop.new import SCHEMAS, write_schemas

    click.echo(f"{len(write_schemas(trees))} schemas in {trees / SCHEMAS}")


@main.command("walk")
@click.argument("complaint", required=False)
@_TREES_OPTION
@_PLACE
@click.option("--practice", is_flag=True, help="For agents: a simulated caller answers.")
@click.option(
    "--caller",
    "manner",
    type=click.Choice([*MANNERS, "any"]),
    default="any",
    show_default=True,
    help="How the caller of a practice tells things.",
)
@click.option("--cause", default="", help="What is wrong in the practice; left out: any.")
@click.option("--seed", type=int, default=None, help="Draws the same caller again.")
def walk_command(
    complaint: str | None,
    trees: Path,
    place: str,
    practice: bool,
    manner: str,
    cause: str,
    seed: int | None,
) -> None:
    """Walk COMPLAINT in the terminal: answer with the number of a choice.

    Type the answers, or pipe them in, one a line: `printf '10\\n1\\n' | stepstop walk no-heat`.
    `b` goes back one page, `q` ends.

    With --practice somebody calls who has a fault in a simulated house: the script is shown as an
    agent reads it, they answer in their words, and you choose what it means. At the end it is told
    what was wrong, and where the way first went wrong. COMPLAINT is left out: they say it.
    """
    found = _proven(trees)
    assert found.course is not None
    if place not in found.course.library.catalogue.places:
        places = ", ".join(found.course.library.catalogue.places)
        raise click.BadParameter(f"no place `{place}`; known: {places}")
    course = course_in(found.course, place)
    if practice:
        _refuse_uncalled(found.course, course)
        if complaint is not None:
            raise click.UsageError("with --practice the caller says what it is about: leave it out")
        _practice(course, trees, place, manner=manner, cause=cause, seed=seed)
        return
    for name in ("manner", "cause", "seed"):
        if _is_chosen(name):
            raise click.UsageError(f"--{'caller' if name == 'manner' else name} needs --practice")
    known = {root.split("/")[0]: root for root in course.roots}
    if complaint is None:
        raise click.UsageError(f"which complaint? Known: {', '.join(known)}")
    if complaint not in known:
        raise click.BadParameter(f"no complaint `{complaint}`; known: {', '.join(known)}")
    walk(course, known[complaint], course.library.catalogue.places[place])


def _practice(
    course: Course, trees: Path, place: str, *, manner: str, cause: str, seed: int | None
) -> None:
    """Let a simulated caller call."""
    from stepstop.practice.caller import NobodySuch
    from stepstop.practice.line import practice
    from stepstop.rehearsal.prepare import prepare
    from stepstop.rehearsed import inputs

    if cause and cause not in course.library.catalogue.causes:
        raise click.BadParameter(f"no cause `{cause}` in the catalogue")
    edition = _edition_at(course, trees, place)
    ready, problems = prepare(course, inputs(trees), progress=_progress(shown=True))
    if ready is None:
        _fail(problems)
    _clear(shown=True)
    try:
        practice(ready.bench, edition, manner=manner, cause=cause, seed=seed)
    except NobodySuch as error:
        raise click.ClickException(str(error)) from None


@main.command("trail")
@click.argument("given", metavar="LINK-OR-CODE")
@_TREES
@_PLACE
def trail_command(given: str, trees: Path, place: str) -> None:
    """Read LINK-OR-CODE: what was answered, where the walk stands, and what it points to.

    A link is that of a page with its part from `#on=`; a code is the number that a page gives to
    say, with or without its spaces. Both belong to the trees that they were made with.
    """
    from stepstop.follow import read_trail, trail_text
    from stepstop.trail import BadTrail, Ways

    found = _proven(trees)
    assert found.course is not None
    course = course_in(found.course, place)
    ways = Ways(course)
    edition = _edition_at(course, trees, place)
    try:
        click.echo(trail_text(ways, edition, read_trail(ways, given)))
    except BadTrail as error:
        raise click.ClickException(str(error)) from None


@main.command("draw")
@click.argument("name", metavar="TREE")
@_TREES_OPTION
@click.option(
    "--into",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    help="The file.  [default: TREE.svg]",
)
@click.option("--shares/--no-shares", default=True, help="How many simulated callers go each way.")
@click.option("--site", default="", help="Folder or address of the pages that boxes lead to.")
def draw_command(name: str, trees: Path, into: Path | None, shares: bool, site: str) -> None:
    """Draw TREE as a picture (SVG): what leads where, and how many callers go there.

    Dangers, checks, questions and endings have shapes of their own. A box leads to its page, where
    --site says where the pages are, and its name to its line in the YAML file. Shares are those of
    simulated callers. Where trees have changed since `rehearse --write`, they are counted anew: the
    first time, houses are simulated for some minutes.
    """
    from stepstop.picture.drawing import drawing
    from stepstop.picture.flow import Box, flow
    from stepstop.picture.shares import shares as counted

    found = _proven(trees)
    assert found.course is not None
    known = {t.id: t for t in found.course.library.written() if t.role != "shared"}
    if name not in known:
        hint = near(name, known) or f"known: {', '.join(sorted(known))}"
        raise click.BadParameter(f"no tree `{name}` with pages of its own; {hint}")
    tree, gone = known[name], None
    if shares:
        gone, problems = counted(found.course, trees, tree, progress=_progress(shown=True))
        _clear(shown=True)
        if problems:
            # A site may have no simulated callers, or none yet that know a new cause.
            few = f"{problems[0].spot}: {problems[0].message}"
            more = f", and {len(problems) - 1} more" if len(problems) > 1 else ""
            click.echo(f"drawn without shares, since there are no callers: {few}{more}", err=True)
    target = into or Path(f"{name}.svg")

    def line(box: Box) -> str:
        where = os.path.relpath(box.spot.file, target.parent) if box.spot else ""
        return f"{where}#L{box.spot.line}" if box.spot else ""

    base = site.rstrip("/")
    picture = drawing(
        flow(found.course, tree, gone),
        page=lambda box: f"{base}/{box.page}.html" if base and box.page else "",
        line=line,
    )
    try:
        target.write_text(picture, "utf-8")
    except OSError as error:
        raise click.ClickException(f"{target}: {error.strerror}") from None
    click.echo(f"wrote {target}")


@main.command("diff")
@click.argument("old", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.argument("new", type=click.Path(exists=True, file_okay=False, path_type=Path))
def diff_command(old: Path, new: Path) -> None:
    """Tell what the change from the trees in OLD to those in NEW does to callers.

    Ways gained and lost, endings and urgencies that change by cause, steps and figures before and
    after; what is worse for safety comes first, and then the exit status is 1. Callers and houses
    are simulated: the first time for some minutes.
    """
    from stepstop.effect import as_text as told
    from stepstop.effect import effect, is_worse

    proven = [(folder, _proven(folder, seen=False).course) for folder in (old, new)]
    effects = []
    for folder, course in proven:
        assert course is not None
        counted, problems = effect(course, folder, progress=_progress(shown=True))
        if counted is None:
            _fail(problems)
        effects.append(counted)
    _clear(shown=True)
    click.echo(told(*effects))
    sys.exit(1 if is_worse(*effects) else 0)


@main.command("catalogue")
@_TREES
@click.option("--part", type=click.Choice([*PARTS, "all"]), default="all", show_default=True)
def catalogue_command(trees: Path, part: str) -> None:
    """List what the TREES may use: checks and what they need, findings, causes, shared trees.

    As tables in Markdown; an editor's search finds what is wanted.
    """
    from stepstop.listing import lines

    found = _verified(trees, shown=True, seen=False)
    if found.course is None:
        _fail(found.problems)
    for each in PARTS if part == "all" else (part,):
        for line in lines(found.course.library, each):
            click.echo(line)


@main.command("touched")
@_TREES
@click.option("--seen", is_flag=True, help="Put down that you have looked at all of it.")
def touched_command(trees: Path, seen: bool) -> None:
    """List what the changes in the overlay TREES lie over, and what changed there since you looked.

    After taking a newer release: what it changed below your changes is shown, old and new, beside
    what you made of it. Exit status 1 then; nothing is published until somebody has looked, changed
    what needs it, and said so with --seen.
    """
    from stepstop.overlay.layers import FILE
    from stepstop.overlay.seen import look, put_down
    from stepstop.overlay.telling import as_text as told

    found, problems = look(trees)
    if problems:
        _fail(problems)
    if found is None:
        raise click.BadParameter(f"{trees} lies over nothing: it has no {FILE}")
    click.echo(told(found))
    if seen:
        try:
            put_down(found)
        except OSError as error:
            raise click.ClickException(f"{found.where}: {error.strerror}") from None
        click.echo(f"put down in {found.where}")
    elif found.touched and (not found.is_recorded or any(each.is_due for each in found.touched)):
        if not found.is_recorded:
            click.echo("nobody has put this down yet: `stepstop touched --seen`")
        sys.exit(1)


@main.command("translate")
@click.argument("code")
@_TREES
@click.option("--write", is_flag=True, help="Bring the file up to date with the trees.")
@click.option("--pages", is_flag=True, help="The phrases of the pages in place of the trees.")
@click.option(
    "--overrides",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=None,
    help="With --pages: the phrases of your own templates in this folder.",
)
def translate_command(
    code: str, trees: Path, write: bool, pages: bool, overrides: Path | None
) -> None:
    """Look over the words of the language CODE (`es`) for the texts of TREES.

    They stand in languages/CODE.po below the trees, a gettext file that any translator's tool
    opens: each text with its kind, its file and its line. An overlay's has only what the folders
    below have no words for, and what it says otherwise. With --pages it is the phrases of
    templates and scripts, in languages/CODE.po beside them. Exit status 1 where a text has no
    words, where words have other numbers, placeholders or markup, are too long, or belong to no
    text any more, or where the rules about words find something by the lists in languages/CODE.yml.
    """
    from stepstop.language.messages import LanguageError, file_of, problems, update
    from stepstop.language.prose import texts
    from stepstop.language.worded import worded_wrong
    from stepstop.tongues import lists_folder, own_phrases, own_texts, words_of

    if overrides is not None and not pages:
        raise click.UsageError("--overrides goes with --pages")
    course = None if pages else _proven(trees).course
    if course is None:
        path, gathered = own_phrases(code, overrides)
    else:
        path, gathered = file_of(trees, code), own_texts(texts(course.library), trees, code)
    is_needed = bool(gathered) or path.exists()
    if write and is_needed:
        try:
            count, missing = update(gathered, path)
        except LanguageError as error:
            raise click.ClickException(str(error)) from error
        click.echo(f"wrote {path}: {count} texts, {missing} without words")
    wrong = problems(gathered, path) if is_needed else []
    words = None if course is None else words_of(trees, code)[0]
    if course is not None and words is not None:
        wrong = sorted_once((*wrong, *worded_wrong(course, words, lists_folder(trees, code))))
    if wrong:
        click.echo(_listed(wrong), err=True)
        sys.exit(1)
    click.echo(f"{path}: every text has its words, and the rules hold for them")


@main.command("closed")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@_TREES_OPTION
@_PLACE
@click.option(
    "--strength",
    type=click.FloatRange(1.0, 1e6),
    default=None,
    help="How many calls the catalogue's frequencies are worth.  [default: 50]",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def closed_command(file: Path, trees: Path, place: str, strength: float | None, form: str) -> None:
    """Compare closed calls in FILE with what the pages pointed to, cause by cause.

    FILE is a table (CSV) with the columns code and cause: the code or link of a call, and the id of
    the cause that was found, or something-else. Hits, misses and dangerous misses are counted, the
    weights of the frequency classes are estimated anew, and it is told how much hangs on them.
    Nothing of anybody belongs into the file.
    """
    import json

    from stepstop import closed
    from stepstop.plain import plain
    from stepstop.trail import Ways

    found = _proven(trees)
    assert found.course is not None
    course = course_in(found.course, place)
    library, ways = course.library, Ways(course)
    calls, problems = closed.read(file, ways, trees)
    if calls is None:
        _fail(problems)
    edition = _edition_at(course, trees, place)
    worth = closed.STRENGTH if strength is None else strength
    account = closed.account(calls, ways, edition.rankings, strength=worth)
    if form == "json":
        click.echo(json.dumps(plain(account, digits=4), indent=1, sort_keys=True))
    else:
        click.echo(closed.as_text(account, library.catalogue, worth))


@main.command("explain")
@click.argument("flaw", required=False)
def explain_command(flaw: str | None) -> None:
    """Say what FLAW means, with a tree that has it and the tree mended; without FLAW, list all."""
    if flaw is None:
        click.echo(explain.listing())
        return
    page = explain.page(flaw)
    if page is None:
        raise click.BadParameter(explain.unknown(flaw))
    click.echo(page)


@main.command("rehearse")
@_TREES
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@click.option("--calls", type=click.IntRange(0), default=0, help="Calls drawn as a cross-check.")
@click.option("--seed", type=int, default=1, show_default=True, help="Of what is drawn.")
@click.option(
    "--callers",
    "model",
    type=click.Choice([*MODELS, "all"]),
    default="all",
    show_default=True,
    help="Who calls: how they err.",
)
@click.option(
    "--half",
    type=click.Choice([*HALVES, "all"]),
    default="all",
    show_default=True,
    help="Houses that trees were mended on, or those held out.",
)
@click.option(
    "--vary",
    type=click.Choice([*VARIATIONS, PAIRS]),
    default="nothing",
    show_default=True,
    help="The same figures in another world.",
)
@click.option("--withhold", default="", help="A cause that nothing shown knows of.")
@click.option("--write", is_flag=True, help="Keep it for the pages: all callers, all worlds.")
@_COMPANY
@_COMPANIES
@_PLACE
def rehearse_command(
    trees: Path,
    form: str,
    calls: int,
    seed: int,
    model: str,
    half: str,
    vary: str,
    withhold: str,
    write: bool,
    company: Path | None,
    companies: Path | None,
    place: str,
) -> None:
    """Let simulated homeowners walk TREES, and judge how their calls end.

    Exact: shares of all callers are carried through every page. With --calls so many single calls
    are drawn besides, and have to agree within their error. Figures are simulated, not field
    results. Exit status 1 if the trees have problems, or if drawn and exact figures differ.

    With --write nothing else is chosen: likely causes and figures of all callers, in the declared
    world and in others, go into TREES/rehearsal/, which pages are made with. That takes a while:
    half an hour or more for the trees that come with Stepstop.

    With --company the walks are those of the company's pages. --write keeps them once for all
    companies that leave out the same; with --companies, for each in a folder that has none yet.
    With --place they are those of a place that leaves complaints out.
    """
    from stepstop.rehearsal import account, prepare, tell
    from stepstop.rehearsed import inputs

    if write:
        _refuse_beside("write", "company", "companies", "place")
    elif companies is not None:
        raise click.UsageError("--companies is an option of --write")
    files = _company_files(company, companies)
    found = _proven(trees)
    assert found.course is not None
    if write:
        _keep(trees, found.course, files, place)
        return
    course, _, _ = _for(company, found, trees, (), place)
    _refuse_uncalled(found.course, course)
    if withhold and withhold not in course.library.catalogue.causes:
        raise click.BadParameter(f"no cause `{withhold}` in the catalogue")
    ready, problems = prepare.prepare(
        course,
        inputs(trees),
        vary=vary,
        withheld=withhold,
        seed=seed,
        progress=_progress(shown=True),
    )
    if ready is None:
        _fail(problems)
    _clear(shown=True)
    wish = ready.wish(model, calls=calls, seed=seed, half="" if half == "all" else half)
    ticks, hidden = wish.ticks(ready.bench), not sys.stderr.isatty()
    label = "rehearsing"
    with click.progressbar(length=ticks, label=label, file=sys.stderr, hidden=hidden) as bar:
        data = account.account(ready.bench, ready.shown, wish, tick=bar.update)
    click.echo(tell.as_json(data) if form == "json" else tell.as_text(data))
    sys.exit(1 if account.disagreements(data) else 0)


def _refuse_beside(option: str, *allowed: str) -> None:
    """Refuse what was chosen besides `option` and the `allowed` ones."""
    for name in click.get_current_context().params.keys() - {"trees", option, *allowed}:
        if _is_chosen(name):
            raise click.UsageError(f"--{option} takes no other option")


def _is_chosen(name: str) -> bool:
    """Whether somebody gave this option."""
    source = click.get_current_context().get_parameter_source(name)
    return source is not click.core.ParameterSource.DEFAULT


def _keep(trees: Path, course: Course, companies: Sequence[Path], place: str) -> None:
    """Rehearse all for the pages: the course, or those of companies that aren't kept yet."""
    from stepstop.companies import each_made
    from stepstop.keep import is_kept
    from stepstop.tongues import Languages

    if not companies:
        own = course_in(course, place)
        _refuse_uncalled(course, own)
        _keep_rehearsal(own, trees, less=own is not course)
        return
    is_broken = False
    speaking = Languages(course.library, trees)
    for made in each_made(companies, course, library_in=speaking.library_in):
        if made.course is None:
            is_broken = True
            click.echo(_listed(made.problems), err=True)
        elif is_kept(made.course, trees):
            click.echo(f"{made.path}: its pages are rehearsed")
        elif uncalled := _uncalled(course, made.course):
            click.echo(f"{made.path}: not rehearsed, since {uncalled}")
        else:
            _keep_rehearsal(made.course, trees, less=made.course is not course)
    if is_broken:
        sys.exit(1)


def _uncalled(whole: Course, own: Course) -> str:
    """Why what is left in a place can't be rehearsed: callers would not find their complaint."""
    from stepstop.house.complaints import PULLS

    gone = whole.library.trees.keys() - own.library.trees.keys()
    names = [name for name in PULLS if name in gone]
    return f"simulated callers call about `{names[0]}`, which is left out there" if names else ""


def _refuse_uncalled(whole: Course, own: Course) -> None:
    uncalled = _uncalled(whole, own)
    if uncalled:
        raise click.ClickException(f"no rehearsal: {uncalled}")


def _keep_rehearsal(course: Course, trees: Path, *, less: bool) -> None:
    """Rehearse all, write it for the pages, and print what was written."""
    from stepstop.keep import keep
    from stepstop.picture import shares

    written, problems = keep(course, trees, less=less, progress=_progress(shown=True))
    if problems:
        _fail(problems)
    path, count = shares.keep(course, trees, progress=_progress(shown=True))
    _clear(shown=True)
    for each in written:
        click.echo(f"wrote {each.path}: {each.about}")
    click.echo(f"wrote {path}: shares of callers on the ways of {count} trees")


@main.command("effort")
@_TREES
@click.option("--complaint", default=None, help="Only the walks of this one.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def effort_command(trees: Path, complaint: str | None, form: str) -> None:
    """Count the steps and minutes of walks through TREES, expected and worst.

    It names questions that change nothing, answers that are true of nobody, and neighbouring steps
    that would cost less the other way round, as far as the safety rules allow. Figures are
    simulated, not field results; trees are not changed.
    """
    from stepstop.effort import account, tell
    from stepstop.effort.survey import prepare

    found = _proven(trees)
    assert found.course is not None
    progress = _progress(shown=True)
    ready, problems = prepare(found.course, trees, progress=progress)
    if ready is None:
        _fail(problems)
    if complaint is not None and complaint not in ready.complaints:
        known = ", ".join(ready.complaints)
        raise click.BadParameter(f"nobody calls about `{complaint}`; known: {known}")
    counted = ready.survey([complaint] if complaint else ready.complaints, progress=progress)
    _clear(shown=True)
    data = account.account(counted, ready.world)
    click.echo(tell.as_json(data) if form == "json" else tell.as_text(data))


@main.command("export")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@_TREES_OPTION
@click.option("--place", default="us", show_default=True, help="Numbers, words, disclaimer.")
@click.option("--today", default=None, help="Date on the pages (or SOURCE_DATE_EPOCH).")
@click.option(
    "--overrides",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=None,
    help="A folder whose stepstop/ templates and drawings come first.",
)
@click.option(
    "--rehearsal-page/--no-rehearsal-page",
    default=True,
    help="Whether a page tells how the edition was rehearsed.",
)
@click.option(
    "--offline/--no-offline",
    default=True,
    help="Whether phones keep the pages for a time without a network.",
)
@click.option(
    "--language",
    "languages",
    multiple=True,
    default=("en",),
    show_default=True,
    help="Code of a language; again for each further one, whose pages lie in a folder. Not with "
    "--company, whose file says its languages.",
)
@_COMPANY
def export_command(
    folder: Path,
    trees: Path,
    place: str,
    today: str | None,
    overrides: Path | None,
    rehearsal_page: bool,
    offline: bool,
    languages: tuple[str, ...],
    company: Path | None,
) -> None:
    """Write the question pages into FOLDER, without MkDocs.

    FOLDER is replaced as a whole once the trees are proven; with problems it stays as it is.
    A company's edition has its name, numbers and limits, for its own place and in its languages.
    """
    from stepstop.edition import EditionError, edition_for
    from stepstop.language.tongue import NoWords
    from stepstop.pages.words import PageError
    from stepstop.publish import publish
    from stepstop.site import site_files

    if company is not None and _is_chosen("languages"):
        raise click.UsageError("--language: `languages` in the company's file says them")
    over = (overrides,) if overrides else ()
    found = _proven(trees, overrides=over)
    course, brand, spoken_in = _for(company, found, trees, over, place)
    try:
        edition = edition_for(
            course,
            trees,
            place=place,
            today=today,
            rehearsal_page=rehearsal_page,
            offline=offline,
            overrides=over,
            brand=brand,
        )
        codes = languages if brand is None else brand.company.languages
        [(own, first), *others] = _spoken(spoken_in, course, edition, codes)
    except EditionError as error:
        raise click.BadParameter(str(error)) from error
    try:
        count = publish(site_files(own, first, overrides=over, others=others), folder)
    except (PageError, NoWords) as error:
        raise click.ClickException(str(error)) from error
    click.echo(f"{count} files in {folder}; open {folder / 'index.html'}")
    if company is not None:
        _tell_unrehearsed(edition, company)


def _tell_unrehearsed(edition: Edition, company: Path) -> None:
    """Say how a company's pages come to show the causes that their own answers point to."""
    from stepstop.rehearsed import not_rehearsed

    if edition.rehearsed is None:
        click.echo(f"{company.name}: {not_rehearsed(company)}")


def _company_files(company: Path | None, companies: Path | None) -> list[Path]:
    """The files that either option names; only one may be given."""
    from stepstop.companies import company_files

    if company is not None and companies is not None:
        raise click.UsageError("--company and --companies don't go together")
    if companies is None:
        return [] if company is None else [company]
    paths = company_files(companies)
    if not paths:
        raise click.BadParameter(f"no company's file (.yml) is in {companies}")
    return paths


@main.command("labels")
@click.option(
    "--company",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    required=True,
    help="File of the company whose pages the labels lead to.",
)
@click.option(
    "--sheet",
    "sheet_name",
    default="letter-10",
    show_default=True,
    help="A ready sheet (letter-10, letter-30, a4-8, a4-21, a4-24), or FILE.yml with sizes in mm.",
)
@click.option(
    "--equipment", multiple=True, help="Of which unit; all that the company works on if left out."
)
@click.option(
    "--into",
    type=click.Path(dir_okay=False, path_type=Path),
    default="labels.pdf",
    show_default=True,
    help="The file: .pdf, or .svg (one a page, numbered where there are several).",
)
@click.option("--pages", type=click.IntRange(1, 100), default=1, show_default=True)
@click.option(
    "--first",
    type=click.IntRange(1),
    default=1,
    show_default=True,
    help="Where to begin on the first sheet, counted row by row.",
)
@click.option("--grid", is_flag=True, help="Outlines of the labels, to try on plain paper.")
@click.option(
    "--nudge", default="0,0", show_default=True, help="Move all by X,Y mm: right and down."
)
@click.option(
    "--font",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    default=None,
    help="A TrueType file to set and embed in a PDF, for signs that are in no common font.",
)
@_LANGUAGE
@click.option("--today", default=None, help="Date in the PDF file (or SOURCE_DATE_EPOCH).")
@_TREES_OPTION
@click.option(
    "--overrides",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=None,
    help="The folder with templates and drawings of your own that the pages are made with.",
)
def labels_command(
    company: Path,
    sheet_name: str,
    equipment: tuple[str, ...],
    into: Path,
    pages: int,
    first: int,
    grid: bool,
    nudge: str,
    font: Path | None,
    language: str | None,
    today: str | None,
    trees: Path,
    overrides: Path | None,
) -> None:
    """Write printable labels for COMPANY's customers: a code that leads to the page of their unit.

    They are in the company's own language, or another one of its file, and lead to pages in it.

    The pages must lie at the company's `address`, so build them as well. Print at 100 percent, and
    try one sheet on plain paper first.
    """
    from stepstop.company.model import NoLanguage
    from stepstop.edition import EditionError, edition_date
    from stepstop.labels.drawing import Wish, drawn
    from stepstop.labels.errors import LabelError
    from stepstop.labels.face import Face
    from stepstop.labels.files import written
    from stepstop.labels.order import labels_for, read_for

    moved = _nudge(nudge)
    sheet, flaws = _sheet(sheet_name)
    try:
        read = read_for(company, trees, (overrides,) if overrides else (), language)
    except NoLanguage as error:
        raise click.BadParameter(f"--language: {error}") from error
    if sheet is None or read.company is None or read.catalogue is None:
        click.echo(_listed((*read.problems, *flaws)), err=True)
        sys.exit(1)
    if first > sheet.count:
        raise click.BadParameter(f"--first: the sheet has {sheet.count} labels")
    wish = Wish(pages, first, grid, moved)
    try:
        labels = labels_for(read.company, read.catalogue, equipment, read.tongue)
        face, title = (
            Face(font),
            read.tongue.worded("Labels of {company}", company=read.company.name),
        )
        drawing = drawn(title, labels, sheet, wish, face, language=read.tongue.code)
        paths = written(drawing, into, face, edition_date(today, os.environ))
    except (LabelError, EditionError) as error:
        raise click.ClickException(str(error)) from None
    count = sheet.count * pages - (first - 1)
    click.echo(f"{count} labels in {', '.join(map(str, paths))}; print at 100 percent")


def _sheet(name: str) -> tuple[Sheet | None, tuple[Problem, ...]]:
    """The ready sheet of this name, or that of a file, or all problems of the file."""
    from stepstop.labels.sheet import READY, read_sheet

    if name in READY:
        return READY[name], ()
    path = Path(name)
    if path.suffix not in (".yml", ".yaml") or not path.is_file():
        hint = near(name, READY) or f"known: {', '.join(READY)}, or the .yml file of your own"
        raise click.BadParameter(f"no sheet `{name}`; {hint}")
    return read_sheet(path)


def _nudge(given: str) -> tuple[float, float]:
    """The two lengths of `X,Y`."""
    from stepstop.labels.sheet import MOST_NUDGE

    try:
        across, down = (float(each) for each in given.split(","))
    except ValueError:
        raise click.BadParameter(f"--nudge: `{given}` is not X,Y, like 0.5,-1") from None
    if not max(abs(across), abs(down)) <= MOST_NUDGE:
        raise click.BadParameter(f"--nudge: more than {MOST_NUDGE:g} mm is another sheet")
    return across, down


def _spoken(
    languages: Languages, course: Course, edition: Edition, codes: Sequence[str]
) -> tuple[tuple[Course, Edition], ...]:
    """`Languages.spoken`; ends with all words that a language lacks."""
    from stepstop.tongues import MissingWords

    try:
        return languages.spoken(course, edition, codes)
    except MissingWords as error:
        _fail(error.problems)


def _in_one(
    languages: Languages, course: Course, edition: Edition, code: str | None
) -> tuple[Course, Edition]:
    """A course and its edition in one language: the company's own, if none was asked for."""
    from stepstop.company.model import NoLanguage

    try:
        chosen = edition.brand.company.language(code) if edition.brand else code or "en"
    except NoLanguage as error:
        raise click.BadParameter(f"--language: {error}") from error
    [found] = _spoken(languages, course, edition, [chosen])
    return found


def _for(
    company: Path | None,
    found: Verified,
    trees: Path,
    overrides: tuple[Path, ...],
    place: str,
) -> tuple[Course, Brand | None, Languages]:
    """The course of `company`, or of a place, and its languages; ends with all its problems."""
    from stepstop.companies import for_company
    from stepstop.tongues import Languages

    assert found.course is not None
    course = found.course if company else course_in(found.course, place)
    languages = Languages(course.library, trees, overrides)
    if company is None:
        return course, None, languages
    made = for_company(company, course, overrides, languages.library_in)
    if made.course is None:
        click.echo(_listed(made.problems), err=True)
        sys.exit(1)
    return made.course, made.brand, languages


def _verified_for(company: Path, found: Verified, trees: Path) -> Verified:
    """The proven trees with the company's problems, and with its own course."""
    from stepstop.companies import for_company
    from stepstop.tongues import Languages

    assert found.course is not None
    speaking = Languages(found.course.library, trees)
    made = for_company(company, found.course, library_in=speaking.library_in)
    return Verified(made.problems, found.examined, made.course or found.course)


@main.command("booklet")
@_COMPANY
@click.option("--complaint", "complaints", multiple=True, help="Only this one (repeatable).")
@click.option(
    "--paper",
    type=click.Choice(["letter", "a4"]),
    default=None,
    help="Size of the paper; by the place if left out.",
)
@click.option(
    "--into",
    type=click.Path(dir_okay=False, path_type=Path),
    default="booklet.pdf",
    show_default=True,
    help="The file: .pdf (by a Chromium on the PATH), or .html to print from a browser.",
)
@_LANGUAGE
@_PLACE
@_TODAY
@_TREES_OPTION
def booklet_command(
    company: Path | None,
    complaints: tuple[str, ...],
    paper: str | None,
    into: Path,
    language: str | None,
    place: str,
    today: str | None,
    trees: Path,
) -> None:
    """Print all scripts for calls: for the day when the network is down.

    Every step has a number, and answers tell which one to go to. Danger and the first words stand
    in front, then contents, a sheet to write on, and an index of what callers say.
    """
    from stepstop.edition import EditionError, edition_for
    from stepstop.pages.booklet import booklet
    from stepstop.printing import PrintError, printed

    if into.suffix not in (".pdf", ".html"):
        raise click.BadParameter(f"{into} ends neither in .pdf nor in .html")
    if not into.parent.is_dir():
        raise click.BadParameter(f"no folder {into.parent}")
    found = _proven(trees)
    course, brand, languages = _for(company, found, trees, (), place)
    known = [tree.id for tree in course.library.complaints()]
    for complaint in complaints:
        if complaint not in known:
            raise click.BadParameter(f"no complaint `{complaint}`; known: {', '.join(known)}")
    try:
        edition = edition_for(course, trees, place=place, today=today, brand=brand)
        course, edition = _in_one(languages, course, edition, language)
        size = paper or ("letter" if edition.place.id in ("us", "ca") else "a4")
        page = booklet(course, edition, paper=size, complaints=complaints)
        into.write_bytes(printed(page, edition.date) if into.suffix == ".pdf" else page)
    except (EditionError, PrintError) as error:
        raise click.ClickException(str(error)) from error
    click.echo(f"wrote {into}")


@main.command("changes")
@click.argument("since", type=click.Path(exists=True, file_okay=False, path_type=Path))
@_COMPANY
@click.option(
    "--into",
    type=click.Path(dir_okay=False, path_type=Path),
    default="changes.html",
    show_default=True,
    help="The page that is written.",
)
@_LANGUAGE
@_PLACE
@_TODAY
@_TREES_OPTION
def changes_command(
    since: Path,
    company: Path | None,
    into: Path,
    language: str | None,
    place: str,
    today: str | None,
    trees: Path,
) -> None:
    """Tell agents what changed since the edition in the folder SINCE, on one page for the shift.

    SINCE is what an earlier export or build wrote. New, gone and changed steps are listed by
    complaint, with what was said before and what is said now. In an edition of several languages
    it is the pages of this language that are compared.
    """
    from stepstop.edition import EditionError, edition_for
    from stepstop.pages.changes import NoEdition, changes_page, read_told

    if not into.parent.is_dir():
        raise click.BadParameter(f"no folder {into.parent}")
    found = _proven(trees)
    course, brand, languages = _for(company, found, trees, (), place)
    try:
        edition = edition_for(course, trees, place=place, today=today, brand=brand)
        course, edition = _in_one(languages, course, edition, language)
        before = read_told(since, edition.tongue.code)
    except (EditionError, NoEdition) as error:
        raise click.BadParameter(str(error)) from error
    page, count = changes_page(course, edition, before)
    into.write_bytes(page)
    click.echo(f"wrote {into}: {count} change{'' if count == 1 else 's'}")


@main.command("build", context_settings={"ignore_unknown_options": True})
@_COMPANY
@_COMPANIES
@click.option(
    "--into",
    type=click.Path(file_okay=False, path_type=Path),
    default="sites",
    show_default=True,
    help="With --companies: where their folders go.",
)
@_TREES_OPTION
@click.option("--today", default=None, help="With --companies: date on the pages.")
@click.argument("mkdocs_options", nargs=-1, type=click.UNPROCESSED)
def build_command(
    company: Path | None,
    companies: Path | None,
    into: Path,
    trees: Path,
    today: str | None,
    mkdocs_options: tuple[str, ...],
) -> None:
    """Verify, then build the whole site: `mkdocs build --strict`, with MKDOCS_OPTIONS passed on.

    With a problem in the trees or in the company's file, the last good site stays untouched.

    With --companies the question pages of every company in a folder are written, what they share
    done once. One with a problem is named, and its pages stay as they are; the others are written.
    """
    if companies is not None:
        if company is not None or mkdocs_options:
            raise click.UsageError("--companies builds without MkDocs and takes no --company")
        _build_companies(companies, into, trees, today)
        return
    for name in ("into", "trees", "today"):
        if _is_chosen(name):
            raise click.UsageError(f"--{name} is an option of --companies")
    environment = {"NO_MKDOCS_2_WARNING": "1", **os.environ}
    if company is not None:
        environment["STEPSTOP_COMPANY"] = str(company.resolve())
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", *mkdocs_options]
    sys.exit(subprocess.run(command, env=environment, check=False).returncode)


def _build_companies(folder: Path, into: Path, trees: Path, today: str | None) -> None:
    """Write the pages of every company in `folder`; exit status 1 if one has a problem."""
    from stepstop.companies import each_made
    from stepstop.edition import EditionError, Editions
    from stepstop.pages.words import PageError
    from stepstop.publish import publish
    from stepstop.site import Forms
    from stepstop.tongues import Languages

    paths = _company_files(None, folder)
    try:
        editions = Editions(trees, today=today)
    except EditionError as error:
        raise click.BadParameter(str(error)) from error
    found = _proven(trees)
    assert found.course is not None
    broken, forms = [], None
    languages = Languages(found.course.library, trees)
    for made in each_made(paths, found.course, library_in=languages.library_in):
        if made.course is None or made.brand is None:
            broken.append(made.path.name)
            click.echo(_listed(made.problems), err=True)
            continue
        try:
            edition = editions.of(made.course, brand=made.brand)
            spoken = _spoken(languages, made.course, edition, made.brand.company.languages)
            if forms is None or not forms.fit(spoken):
                forms = None  # One at a time: they are large.
                forms = Forms(spoken)
            files = forms.site([each for _, each in spoken])
        except (EditionError, PageError) as error:
            raise click.ClickException(str(error)) from error
        target = into / made.path.stem
        publish(files.items(), target)
        click.echo(f"{len(files)} files in {target}")
        _tell_unrehearsed(edition, made.path)
    if broken:
        names = ", ".join(sorted(broken))
        click.echo(f"not written, because of problems: {names}", err=True)
        sys.exit(1)


def _verified(
    trees: Path, *, shown: bool, overrides: tuple[Path, ...] = (), seen: bool = True
) -> Verified:
    found = verify(trees, overrides=overrides, seen=seen, progress=_progress(shown=shown))
    _clear(shown=shown)
    return found


def _clear(*, shown: bool) -> None:
    """Take the line of progress away."""
    if shown and sys.stderr.isatty():
        click.echo("\r\033[K", err=True, nl=False)


def _proven(trees: Path, *, overrides: tuple[Path, ...] = (), seen: bool = True) -> Verified:
    found = _verified(trees, shown=True, overrides=overrides, seen=seen)
    if found.problems:
        click.echo(_summary(found), err=True)
        sys.exit(1)
    return found


def _progress(*, shown: bool) -> Callable[[str], None]:
    if not (shown and sys.stderr.isatty()):
        return lambda _: None
    return lambda what: click.echo(f"\r\033[K{what} ...", err=True, nl=False)
