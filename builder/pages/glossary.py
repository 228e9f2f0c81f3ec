"""The trade's words: the page that lists them, and links to it from their first use in a text."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from builder.ground.wording import Wording

UNLINKED = re.compile(r"<(a|h\d|summary|code)\b.*?</\1>", re.DOTALL)
"""Where no link may stand, or would be in the way."""


@dataclass(frozen=True)
class Term:
    """One word as terms.toml has it: what it means, its other names, what to look up next, how it shows in a text."""

    id: str
    name: str
    means: str
    also: tuple[str, ...] = ()
    british: tuple[str, ...] = ()
    american: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    """How a text uses it. Left out: its name, and the name with an s."""
    figure: dict[str, Any] | None = None
    """The drawing that shows it (see drawing/cutout.py)."""

    @property
    def used_as(self) -> tuple[str, ...]:
        return self.forms or (self.name, f"{self.name}s")

    @property
    def letter(self) -> str:
        return self.name[0].upper()


def _tuples(entry: dict[str, Any]) -> Any:
    return {name: tuple(value) if isinstance(value, list) else value for name, value in entry.items()}


@dataclass(frozen=True)
class Glossary:
    """All terms of a language, by their names in alphabetical order."""

    terms: tuple[Term, ...]

    @classmethod
    def of(cls, wording: Wording) -> Glossary:
        """From terms.toml. Raises TypeError for a key that a term does not have."""
        made = (Term(key, **_tuples(entry)) for key, entry in wording["terms"].items())
        return cls(tuple(sorted(made, key=lambda term: term.name.casefold())))

    @cached_property
    def by_form(self) -> dict[str, Term]:
        return {form.casefold(): term for term in self.terms for form in term.used_as}

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """Any form of any term as a whole word, the longest first."""
        forms = sorted(self.by_form, key=lambda form: (-len(form), form))
        return re.compile(r"(?<![\w-])(?:" + "|".join(map(re.escape, forms)) + r")(?![\w-])", re.IGNORECASE)

    def linker(self, page: str) -> Callable[[str], str]:
        """A function over HTML that links each term where it is met first, counting all HTML it has been given before.

        `page` is the glossary's address as seen from the HTML's page.
        """
        met: set[str] = set()

        def word(found: re.Match[str]) -> str:
            term = self.by_form[found[0].casefold()]
            if term.id in met:
                return found[0]
            met.add(term.id)
            return f'<a class="term" href="{page}#{term.id}">{found[0]}</a>'

        def text(piece: str) -> str:
            parts = re.split("(<[^>]*>)", piece)
            return "".join(part if part.startswith("<") else self.pattern.sub(word, part) for part in parts)

        def link(html: str) -> str:
            pieces, at = [], 0
            for shut in UNLINKED.finditer(html):
                pieces += [text(html[at : shut.start()]), shut[0]]
                at = shut.end()
            return "".join([*pieces, text(html[at:])])

        return link
