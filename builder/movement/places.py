"""Where each key of a TOML text stands, and what stands there as the person wrote it.

tomllib gives values without places; tree-sitter gives places without TOML's rules. The text is assumed to be one that
tomllib accepts, or accepts but for keys given twice; in any other text the places are only a good guess.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

from builder.ground.faults import Key

_LANGUAGE = Language(tree_sitter_toml.language())
_KEYS = ("bare_key", "quoted_key", "dotted_key")
_NOT_ITEMS = ("comment", "ERROR")


@dataclass(frozen=True)
class Place:
    """Line and column of a key (both from 1, columns in characters), and its value's text (empty for a [table])."""

    line: int
    column: int
    written: str = ""


@dataclass(frozen=True)
class Repeat:
    """A key given a second time, with where it stood first; `first_line` to `last_line` is the whole second statement."""

    key: Key
    place: Place
    before: Place
    first_line: int
    last_line: int
    alone: bool
    """True for a line of its own; False inside { braces } or for a [table] header, which more hangs on."""


class Places:
    """The places of every key, table and array item of one TOML text."""

    def __init__(self, text: str) -> None:
        source = text.encode("utf-8", "replace")
        self._lines = source.split(b"\n")
        self._at: dict[Key, Place] = {(): Place(1, 1)}
        self._pairs: set[Key] = set()
        self._headers: set[Key] = set()
        self._counts: dict[Key, int] = {}
        self.repeats: list[Repeat] = []
        for node in Parser(_LANGUAGE).parse(source).root_node.children:
            if node.type == "pair":
                self._pair(node, (), alone=True)
            elif node.type in ("table", "table_array_element"):
                self._table(node)

    def at(self, key: Key) -> Place | None:
        """The place of exactly this key, None where the text does not have it."""
        return self._at.get(key)

    def nearest(self, key: Key) -> Place:
        """The place of this key or, where it is absent, of the nearest table that would hold it."""
        while key not in self._at:
            key = key[:-1]
        return self._at[key]

    def _place(self, node: Node, written: str = "") -> Place:
        row, column = node.start_point
        return Place(row + 1, len(self._lines[row][:column].decode("utf-8", "ignore")) + 1, written)

    def _table(self, node: Node) -> None:
        listed = node.type == "table_array_element"
        names = [child for child in node.children if child.type in _KEYS][:1]
        parts = _parts(names[0]) if names else []
        key: Key = ()
        for index, part in enumerate(parts):
            key += (_name(part),)
            place = self._place(part)
            last = index == len(parts) - 1
            if last and not listed and (key in self._headers or key in self._pairs or key in self._counts):
                self.repeats.append(self._repeat(key, place, node, alone=False))
            self._at.setdefault(key, place)
            if last and listed:
                self._counts[key] = self._counts.get(key, 0) + 1
            elif last:
                self._headers.add(key)
            if key in self._counts:
                key += (self._counts[key] - 1,)
                self._at.setdefault(key, self._place(node))
        for child in node.children:
            if child.type == "pair":
                self._pair(child, key, alone=True)

    def _pair(self, node: Node, table: Key, alone: bool) -> None:
        children = [child for child in node.children if child.type not in _NOT_ITEMS]
        if len(children) < 3 or children[0].type not in _KEYS:
            return
        value = children[-1]
        written = (value.text or b"").decode("utf-8", "replace")
        key, parts = table, _parts(children[0])
        for part in parts:
            key += (_name(part),)
            place = self._place(part, written if part is parts[-1] else "")
            if part is parts[-1]:
                if key in self._pairs or key in self._headers or key in self._counts:
                    self.repeats.append(self._repeat(key, place, node, alone))
                    return
                self._pairs.add(key)
            self._at.setdefault(key, place)
        self._value(value, key)

    def _value(self, node: Node, key: Key) -> None:
        if node.type == "inline_table":
            for child in node.children:
                if child.type == "pair":
                    self._pair(child, key, alone=False)
        elif node.type == "array":
            items = [child for child in node.children if child.is_named and child.type not in _NOT_ITEMS]
            for index, item in enumerate(items):
                here = (*key, index)
                self._at.setdefault(here, self._place(item, (item.text or b"").decode("utf-8", "replace")))
                self._value(item, here)

    def _repeat(self, key: Key, place: Place, node: Node, alone: bool) -> Repeat:
        return Repeat(key, place, self._at.get(key, place), node.start_point[0] + 1, node.end_point[0] + 1, alone)


def _parts(node: Node) -> list[Node]:
    """a.b.c as its three parts (the grammar nests them to the left)."""
    parts = []
    while node.type == "dotted_key":
        named = [child for child in node.children if child.type in _KEYS]
        parts.append(named[-1])
        node = named[0]
    return [node, *reversed(parts)]


def _name(node: Node) -> str:
    text = (node.text or b"").decode("utf-8", "replace")
    if node.type == "bare_key":
        return text
    try:
        return next(iter(tomllib.loads(f"{text} = 0")))
    except ValueError:
        return text.strip("\"'")
