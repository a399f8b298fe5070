"""A library whose every text is hostile, found by the shapes: new keys come by themselves.

Each text gets a mark of its own and then `HOSTILE`, so that a page tells which texts it shows, and
whether they stand there letter by letter.
"""

import dataclasses
from dataclasses import dataclass, replace
from pathlib import Path

from browser.sites import laid_over, read_texts, small_library, write_texts
from stepstop.company.model import Brand
from stepstop.company.schema import COMPANY
from stepstop.loader import CATALOGUE_FOLDER, TREE_FOLDERS
from stepstop.schema import CATALOGUE_FILES, TREE
from stepstop.shapes import Desk, ListOf, MapOf, Record, Text, wrapped
from stepstop.source import Located
from stepstop.yaml_reader import read_text
from unit.companies import SAMPLE

HOSTILE = (
    "</title></style></script></textarea></template></svg><x-hostile></x-hostile>"
    "<script>pwned=1</script><img src=http://hostile.test/ onerror=pwned=1>"
    "\" data-hostile='1'onfocus=\"pwned=1\"autofocus='' 'data-hostile=' "
    "javascript:pwned=1 [x](javascript:pwned) ${pwned=1} {{7*7}} {%x%} {#x#} &lt;b> --> ]]> <!--"
)
"""An element, a handler, ends of quotes and of what it stands in, a link, templates, a comment."""

BRACES = {"{": "\u2983", "}": "\u2984"}
"""Stand-ins until it is read: the reader refuses braces, and pages must not rely on that."""
_HIDDEN = str.maketrans(BRACES)
_SHOWN = {ord(other): brace for brace, other in BRACES.items()}

MORE = {
    "calls": {"calls": {"hedges": ["Well now."]}},
    "findings": {
        "findings": {
            "bang": {
                "taps": "yes",
                "hear": [
                    {"they-say": "It popped", "may-be": "a trip", "ask": "Did a switch move?"}
                ],
            }
        }
    },
    "waiting": {"waiting": {"cold": {"lead": ["A house cools down slowly."]}}},
    "danger-screen": {"steps": {"smell": {"speak": ["Is there a smell of gas?"]}}},
}
"""By file, what the small library doesn't use and other libraries may."""

COMPANY_FILE = {
    **SAMPLE,
    "after-hours": {"phone": "+12025550144", "say": "Somebody calls.", "fee": "It costs more."},
    "text": "+12025550145",
    # As odd as an address may be: what it holds is no sign of HTML, and must not become one.
    "book": "https://book.sample.example/?a=(1)&lt;b&quot;=$2&#39;",
    "address": "https://help.sample.example/guide/&lt;/",
    "colours": {"light": "#0a4b9c", "dark": "#9cc4ff"},
    "offers": {"can-wait": ["book", "text", "call"], "today": ["call", "text"]},
    "closed": ["2026-12-25"],
    "unserved": {"trees": ["cold"], "say": "We do not work on it."},
    "review": {
        "role": "reviewer", "licence": "demo", "on": "2026-01-02", "due": "2027-01-02",
    },
    "languages": ["en", "es"],
    "translations": {
        "es": {
            "after-hours": {"say": "Alguien llama.", "fee": "Cuesta más."},
            "unserved": {"say": "No trabajamos con eso."},
            "nobody-can-come": "Llame entonces a otra empresa.",
            "licences": [{"kind": "contratista", "holder": "la empresa"}],
            "area": ["Condado Demo"],
            "review": {
                "role": "revisora", "licence": "de prueba", "on": "2026-01-02", "due": "2027-01-02",
            },
        },
    },
}  # fmt: skip
"""A company that uses every key with a text."""


def files_of_shapes():
    """Name of a kind of file -> the shapes at its top."""
    trees = {name: key.shape for name, key in TREE.keys.items()}
    company = {name: key.shape for name, key in COMPANY.keys.items()}
    return {**CATALOGUE_FILES, "tree": trees, "company": company}


def kind_of(path):
    """The kind of a file of the trees, as `files_of_shapes` names it."""
    if path.parent.name == CATALOGUE_FOLDER:
        return path.stem
    assert path.parent.name in TREE_FOLDERS, path
    return "tree"


def text_keys(shape, where):
    """The place of every text that a shape takes: names of keys, `*` for any name."""
    if isinstance(shape, Text):
        yield where
    elif isinstance(shape, ListOf):
        yield from text_keys(shape.item, where)
    elif isinstance(shape, MapOf):
        assert not isinstance(shape.key, Text)
        yield from text_keys(shape.value, f"{where}/*")
    elif isinstance(shape, Record):
        for name, key in shape.keys.items():
            yield from text_keys(key.shape, f"{where}/{name}")
    elif hasattr(shape, "records"):
        for each in shape.records.values():
            yield from text_keys(each, where)
    elif wrapped(shape) is not None:
        yield from text_keys(wrapped(shape), where)


def all_text_keys():
    """Every key of a file with a text that pages may show."""
    return {
        place
        for kind, shapes in files_of_shapes().items()
        for name, shape in shapes.items()
        for place in text_keys(shape, f"{kind}/{name}")
    }


class Sower:
    """Puts hostile texts in the place of texts, and notes where each mark went."""

    def __init__(self):
        self.places = []
        """By mark less one, the place of its key."""

    def file(self, kind, data):
        """What a file holds, with hostile texts."""
        shapes = files_of_shapes()[kind]
        return {
            name: self.put(shapes[name], value, f"{kind}/{name}") for name, value in data.items()
        }

    def put(self, shape, data, where):
        """`data`, which a shape reads, with hostile texts."""
        if isinstance(shape, Text):
            return self.text(data, where, is_short=shape.most_words > 0)
        if isinstance(shape, ListOf):
            items = data if isinstance(data, list) else [data]
            return [self.put(shape.item, each, where) for each in items]
        if isinstance(shape, MapOf):
            return {name: self.put(shape.value, each, f"{where}/*") for name, each in data.items()}
        if isinstance(shape, Record):
            given = data if isinstance(data, dict) else {shape.short: data}
            return {k: self.put(shape.keys[k].shape, v, f"{where}/{k}") for k, v in given.items()}
        if hasattr(shape, "records"):
            [mark] = shape.records.keys() & data.keys()
            return self.put(shape.records[mark], data, where)
        return data if wrapped(shape) is None else self.put(wrapped(shape), data, where)

    def text(self, text, where, *, is_short):
        """The hostile text for a place; where few words may stand it stands alone."""
        self.places.append(where)
        marked = f"M{len(self.places)}M {HOSTILE.translate(_HIDDEN)}"
        return marked if is_short else f"{text} {marked}"


@dataclass(frozen=True)
class Hostile:
    """A folder of trees with hostile texts, and a company's file."""

    trees: Path
    company: Path
    sower: Sower


def hostile_library(target):
    """Write the small library, with `MORE` and hostile texts, into the folder `target`."""
    trees, sower = small_library(target / "trees"), Sower()
    for path in sorted(trees.rglob("*.yml")):
        data = laid_over(read_texts(path), MORE.get(path.stem, {}))
        write_texts(sower.file(kind_of(path), data), path)
    company = target / "sample.yml"
    write_texts(sower.file("company", COMPANY_FILE), company)
    return Hostile(trees, company, sower)


def brand_of(path):
    """The company in a file, without the rules about its words; its texts have their braces."""
    desk = Desk()
    node, problems = read_text(path.read_text("utf-8"), path.as_posix())
    company = COMPANY.read(node, desk)
    assert (problems, desk.problems) == ([], [])
    return Brand(with_braces(company), "", path.read_bytes())


def with_braces(value):
    """A model with the stand-ins turned into braces."""
    if isinstance(value, str):
        text = value.translate(_SHOWN)
        return Located(text, value.spot) if isinstance(value, Located) else text
    if isinstance(value, tuple) and type(value) is tuple:
        return tuple(with_braces(item) for item in value)
    if isinstance(value, dict):
        return {with_braces(key): with_braces(item) for key, item in value.items()}
    if dataclasses.is_dataclass(value):
        names = [field.name for field in dataclasses.fields(value)]
        return replace(value, **{name: with_braces(getattr(value, name)) for name in names})
    return value
