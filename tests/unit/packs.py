"""The files that let a site work offline, as its worker takes them."""

import gzip
import json
from dataclasses import dataclass


@dataclass(frozen=True)
class Kept:
    """A whole site with what its worker is told, and the files of pages by number."""

    files: dict[str, bytes]
    plan: dict
    packs: list[dict]

    def page(self, number, name):
        """A page put together as the worker does it."""
        before = self.packs[1]["pieces"] if number > 1 else []
        pieces = [*before, *self.packs[number]["pieces"]]
        return "\n".join(pieces[n] for n in self.packs[number]["pages"][name]).encode()

    def size(self, number):
        """Bytes of a file of pages on the wire."""
        return len(gzip.compress(self.files[place(self.plan["files"][number])], 9))

    def needs(self, number):
        """Numbers of the files that walks in one of them may lead to, and of its own table."""
        found = [1, number]
        for each in found:
            found += [n for n in self.plan["next"][each] if n not in found]
        stem = self.plan["files"][number].rpartition("/")[2].split(".")[0]
        return {*found, self.plan["places"].get(f"{stem}/likely.js", number)}

    @property
    def tables(self):
        """Numbers of the files with tables of causes."""
        return {number for name, number in self.plan["places"].items() if "/" in name}

    @property
    def apart(self):
        """Numbers of these, and of what only an agent's page needs."""
        return set(self.plan["apart"])


def place(label):
    return f"offline/{label}.json"


def plan_of(files):
    head = files["worker.js"].decode().split(";\n")[0]
    return json.loads(head.removeprefix("const PLAN = "))


def kept(files):
    plan = plan_of(files)
    return Kept(files, plan, [json.loads(files[place(label)]) for label in plan["files"]])
