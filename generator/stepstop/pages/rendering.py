"""Views to HTML, with an environment of our own: everything escaped, nothing undefined."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from jinja2.compiler import CodeGenerator, Frame
from jinja2.nodes import Expr
from markupsafe import Markup, escape

from stepstop.edition import look_files, look_folders
from stepstop.language.phrases import AtOnce, Word, in_script, in_sheet, phrases
from stepstop.language.prose import Text
from stepstop.language.tongue import ENGLISH, Tongue
from stepstop.pages.drawings import icon, read_drawings
from stepstop.pages.slots import slot
from stepstop.pages.style import Inline, hash_of, script_of, style_of
from stepstop.pages.words import PageError, Said, plain
from stepstop.units import own_first

LOOKS = {
    "page": ("page",),
    "start": ("page", "start", "fields"),
    "counter": ("page", "counter"),
    "tables": ("page", "tables"),
    "call": ("page", "fields", "call"),
    "booklet": ("booklet",),
    "waiting": ("page", "fields", "tables", "waiting"),
    "end": ("page", "end", "fields"),
    "pocket": ("page", "end", "pocket"),
}
"""Style sheets of a kind of page, in their order: a page comes with no rule for another kind."""
LAST = ("aloud", "offline")
"""Scripts at the end of every page."""


class Renderer:
    """Renders views with the templates, drawings and style sheet of one site."""

    def __init__(self, overrides: tuple[Path, ...], tongue: Tongue = ENGLISH) -> None:
        files = look_files(overrides)
        folders, drawings = look_folders(overrides), read_drawings(files, tongue.worded)
        self._env = _environment(folders, drawings, tongue.worded)
        self._env.globals["tongue"] = tongue
        texts = {name: path.read_text("utf-8") for name, path in files.items() if _is_used(name)}
        self._sheets = {
            look: in_sheet("".join(texts[f"{sheet}.css"] for sheet in sheets), tongue.worded)
            for look, sheets in LOOKS.items()
        }
        self._company = texts["company.css"]
        self._styles = {look: style_of(sheet) for look, sheet in self._sheets.items()}
        self._env.globals["styles"] = self._styles
        self._env.globals["slot"] = slot
        self._scripts = {
            name.removesuffix(".js"): script_of(in_script(text, tongue.worded))
            for name, text in texts.items()
            if name.endswith(".js")
        }
        self._scripts["last"] = script_of("".join(texts[f"{name}.js"] for name in LAST))
        self._env.globals["scripts"] = self._scripts
        self._made: dict[tuple[str, int], tuple[Any, Markup]] = {}
        self._env.globals["once"] = self._once
        self._prints: dict[tuple[int, ...], tuple[Any, Markup]] = {}
        self._env.globals["small_print"] = self._small_print
        self._env.globals["policy"] = lru_cache(self._policy)
        self._env.globals["inline"] = lru_cache(self._inline)

    def render(self, template: str, view: Any) -> bytes:
        """The page that `template` makes of `view`."""
        text: str = self._env.get_template(template).render(v=view, frame=view.frame)
        return (text.strip() + "\n").encode()

    def style(self, look: str, after: str) -> Inline:
        """The style sheet of a kind of page in a company's edition, followed by `after`."""
        return style_of(self._sheets[look] + self._company + after)

    def piece(self, name: str, *given: Any) -> Markup:
        """What a macro of `company.html` makes of `given`."""
        return Markup(getattr(self._env.get_template("company.html").module, name)(*given))

    def words(self, id: str) -> Markup:
        """The words of an account, as an element with this id."""
        brief: Any = self._env.get_template("brief.html").module
        return Markup(brief.words(id))

    def knows(self, words: str) -> None:
        """Let pages hold the words of an account in the company's language, too."""
        self._env.globals["their_words"] = lambda: words

    def script(self, *names: str) -> bytes:
        """The scripts of these names as one file."""
        return "".join(f"{self._scripts[name].text}\n" for name in names).encode()

    def _once(self, macro: str, view: Any) -> Markup:
        """What a macro of `steps.html` makes of `view`, made once for all files that hold it."""
        known = self._made.get((macro, id(view)))
        if known is None:
            made = Markup(getattr(self._env.get_template("steps.html").module, macro)(view))
            # With its view, whose identity stays its own only as long as it is there.
            known = self._made[macro, id(view)] = (view, made)
        return known[1]

    def _small_print(self, frame: Any) -> Markup:
        """What a macro of `parts.html` makes of the frame's small print, the same on most pages."""
        given = (frame.never, frame.disclaimer, frame.emergency)
        key = tuple(map(id, given))
        if key not in self._prints:
            parts: Any = self._env.get_template("parts.html").module
            self._prints[key] = given, Markup(parts.small_print(frame))
        return self._prints[key][1]

    def _policy(self, look: str, branded: bool, loads: str, *names: str) -> Markup:
        """The Content-Security-Policy of a page: its style sheet, its scripts, nothing foreign."""
        style = slot("style-hash", look) if branded else self._styles[look].hash
        sources = [f"'{self._scripts[name].hash}'" for name in names if name]
        scripts = " ".join(["script-src", *["'self'"] * bool(loads), *sources])
        types = "trusted-types worker" + " stepstop" * bool(loads)
        return Markup(
            f"default-src 'none'; style-src '{style}'; {scripts}; "
            f"require-trusted-types-for 'script'; {types}; worker-src 'self'; "
            "manifest-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; "
            "form-action 'none'"
        )

    def _inline(self, *names: str) -> Markup:
        """Scripts in a page, each an element of its own."""
        return Markup("\n".join(f"<script>{self._scripts[name].text}</script>" for name in names))


def gathered(files: Mapping[str, Path]) -> list[Text]:
    """Every phrase of the look files (name -> path) and of the modules that make pages."""
    return list(phrases(files, lambda word: _environment((), {}, word)))


def _is_used(name: str) -> bool:
    return name.endswith((".css", ".js"))


class _Code(CodeGenerator):
    """Escapes what templates show by `_Environment.escaped`."""

    def _output_child_pre(self, node: Expr, frame: Frame, finalize: Any) -> None:
        if frame.eval_ctx.autoescape and not frame.eval_ctx.volatile:
            self.write("environment.escaped(")
        else:
            super()._output_child_pre(node, frame, finalize)


_escaped = lru_cache(maxsize=65536)(escape)


class _Environment(Environment):
    """Finds each template once: all pages are made of the same few, with the same globals."""

    code_generator_class = _Code

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self._found: dict[Any, Template] = {}

    @staticmethod
    def escaped(value: Any) -> str:
        """What `escape` gives, without looking again at what is escaped or was just met."""
        if type(value) is Markup:
            return value
        return _escaped(value) if type(value) is str else escape(value)

    def get_template(self, name: Any, *given: Any, **named: Any) -> Template:
        """The template of this name."""
        if name not in self._found:
            self._found[name] = super().get_template(name, *given, **named)
        return self._found[name]

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """Those of all templates, since none has its own: looking through two takes long."""
        assert not d
        return self.globals


def _environment(
    folders: tuple[Path, ...], drawings: Mapping[str, str], worded: Word
) -> Environment:
    env = _Environment(
        loader=FileSystemLoader(folders),
        extensions=[AtOnce],
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.policies["ext.i18n.trimmed"] = True
    env.globals["worded"] = worded
    whole = {name: Markup(text) for name, text in drawings.items()}
    small = {name: Markup(icon(text)) for name, text in drawings.items()}
    env.filters |= {"words": plain, "dials": dials, "hash": hash_of}
    env.filters |= {
        "said": said,
        "own_first": lambda markup, *units: Markup(own_first(markup, *units)),
        "picture": lambda name: _drawing(name, whole),
        "icon": lambda name: _drawing(name, small),
    }
    return env


@lru_cache(maxsize=16384)
def said(text: Said) -> Markup:
    """The text, its numbers as links that call."""
    link = Markup('<a class="tel" href="tel:{}">{}</a>')
    return Markup("").join(
        link.format(part.tel, part.text) if part.tel else escape(part.text) for part in text
    )


@lru_cache(maxsize=16384)
def dials(text: Said) -> bool:
    """Whether the text has a number to call."""
    return any(part.tel for part in text)


def _drawing(name: str, drawings: Mapping[str, Markup]) -> Markup:
    if name not in drawings:
        raise PageError(f"no drawing is called {name}")
    return drawings[name]
