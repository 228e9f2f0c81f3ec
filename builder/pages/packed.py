"""The drawings of a file that must be small: each once, thinned, and packed where there is no room for them as they are."""

from __future__ import annotations

import base64
import re
import zlib
from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

from builder.drawing.thin import thinned
from builder.pages.section import ID

FIGURE = re.compile(r'(<figure class="plate[^"]*" data-drawing="([\w-]+)"[^>]*>)(.*?)</figure>', re.DOTALL)
STATES = re.compile(r'<fieldset>.*?</fieldset>\s*<script type="application/json" class="states">.*?</script>', re.DOTALL)
TITLE = re.compile(r"<title[^>]*>([^<]*)")
ANCHOR = re.compile(r'\bhref="#([^"]*)"')
STANDS_IN, STOOD_IN = "\ue000%d\ue001", re.compile("\ue000(\\d+)\ue001")
"""Where a drawing stood while the text round it is worked on."""
LONG = re.compile(r'(?<=")[^"]{60,}(?=")')
"""Outlines and key frames, most of all; what else is so long does no harm."""
FIRST, LAST, AGAIN = "\x01", "\x02", "\x03%d\x02"
"""Round what comes again where it stands for the first time, and what stands for it later."""
HEAVY = 60_000
"""Bytes of what moves otherwise in other states of winding that are too many where room is short."""


@dataclass(frozen=True)
class Said:
    """What stands for a drawing: that is there already; that is packed; whose other states of winding were left out."""

    again: str
    packed: str
    wound: str


@dataclass
class Figures:
    """The drawings in the order of the pages, each once: how each opens, and what is in it."""

    said: Said
    opening: list[str] = field(default_factory=list)
    inner: list[str] = field(default_factory=list)
    at: dict[str, int] = field(default_factory=dict)

    def taken(self, text: str) -> str:
        """The text with a stand-in for each drawing, and a link where it is there already."""
        return FIGURE.sub(self._take, text)

    def _take(self, found: re.Match[str]) -> str:
        opening, slug, inner = found.groups()
        if slug in self.at:
            title = TITLE.search(inner)
            return f'<p class="again"><a href="#plate-{slug}">{self.said.again}: {title[1] if title else slug}</a></p>'
        self.at[slug] = len(self.opening)
        self.opening.append(opening.replace("<figure ", f'<figure id="plate-{slug}" ', 1))
        self.inner.append(thinned(inner))
        return STANDS_IN % self.at[slug]

    @cached_property
    def _ids(self) -> list[list[str]]:
        """Those in each drawing, once all are taken."""
        return [ID.findall(inner) for inner in self.inner]

    @property
    def ids(self) -> set[str]:
        """Every id of a drawing or in one."""
        return {f"plate-{slug}" for slug in self.at}.union(*self._ids)

    def lean(self) -> Figures:
        """The same without other states of winding where they weigh most."""
        note = f'<p class="note">{self.said.wound}</p>'
        inner = [STATES.sub("", each) + note if _heavy(each) else each for each in self.inner]
        return Figures(self.said, self.opening, inner, self.at)

    def put_back(self, text: str, clear: int) -> str:
        """Every drawing in its place, the first `clear` of them as they are, of the others the room that they will have."""
        # What is in a packed drawing cannot be led to; the drawing can.
        home = {id_: f"plate-{slug}" for slug, n in self.at.items() if n >= clear for id_ in self._ids[n]}
        if home:
            text = ANCHOR.sub(lambda found: f'href="#{home.get(found[1], found[1])}"', text)
        return STOOD_IN.sub(lambda found: self._put(int(found[1]), clear), text)

    def _put(self, n: int, clear: int) -> str:
        if n < clear:
            return f"{self.opening[n]}{self.inner[n]}</figure>"
        return f'{self.opening[n][:-1]} data-packed><p class="note">{self.said.packed}</p></figure>'

    def pack(self, clear: int) -> str:
        """All but the first `clear` drawings, deflated (RFC 1950), in base64."""
        return base64.b64encode(zlib.compress(once("\0".join(self.inner[clear:])).encode("utf-8"), 9)).decode("ascii")


def once(text: str) -> str:
    """The text with whatever long string comes again in it written once, its number in order of coming for it later.

    Deflate looks back over 32 KiB (RFC 1951, 2.1), which is less than a drawing; the same wheel is in many of them.
    """
    often = Counter(LONG.findall(text))
    number: dict[str, int] = {}

    def short(found: re.Match[str]) -> str:
        whole = found[0]
        if often[whole] == 1:
            return whole
        if whole in number:
            return AGAIN % number[whole]
        number[whole] = len(number)
        return f"{FIRST}{whole}{LAST}"

    return LONG.sub(short, text)


def _heavy(inner: str) -> bool:
    states = STATES.search(inner)
    return states is not None and len(states[0]) > HEAVY
