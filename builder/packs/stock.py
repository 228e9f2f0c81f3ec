"""What a pack is made from: one movement, its drawings, and the site of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from jinja2 import Environment

from builder.drawing.sheet import Sheet
from builder.drawing.table import Plate
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.packs.error import PackError
from builder.pages.embed import Outfit
from builder.pages.press import Press
from builder.pages.shown import Context, Shown
from builder.pages.site import Site, unit

STYLES = ("drawing.css", "embed.css")
Told = Callable[[int, int], None]
"""Is told of a long work what is done of it, and what there is in all."""


@dataclass(frozen=True)
class Made:
    """A pack: the name that its file has if no other is given, its bytes, and a sentence on it."""

    name: str
    data: bytes
    said: str = ""


@dataclass(frozen=True)
class Stock:
    """One movement with all that its pages and drawings are made of."""

    press: Press
    shown: Shown

    @property
    def slug(self) -> str:
        """The movement's."""
        return self.shown.going.slug

    @cached_property
    def site(self) -> Site:
        """The pages and drawings of this movement alone."""
        return unit(self.shown, self.press).files

    @property
    def collection(self) -> Collection:
        """Whose movement it is."""
        return self.press.collection

    @property
    def templates(self) -> Path:
        """Where the templates lie."""
        return self.press.templates

    @property
    def wording(self) -> Wording:
        """Every sentence."""
        return self.press.wording

    @property
    def env(self) -> Environment:
        """The templates."""
        return self.press.env

    @property
    def frame(self) -> Context:
        """What every page is given."""
        return self.press.frame

    @property
    def wear(self) -> Outfit:
        """What every drawing takes along."""
        return self.press.wear

    @property
    def css(self) -> str:
        """The drawings' style sheets."""
        return "\n".join((self.templates / "static" / name).read_text("utf-8") for name in STYLES)

    def plate(self, drawing: str) -> Plate:
        """A drawing with its table. Raises PackError where the movement has none of this name."""
        if drawing not in self.shown.plates:
            raise PackError(f"{self.slug} has no drawing {drawing}. There are: {', '.join(self.shown.plates)}.")
        return self.shown.plates[drawing]

    def states(self, sheet: Sheet) -> dict[str, str]:
        """Names of the states of winding as an option says them → as the drawing does."""
        return {name.replace(" ", "-"): name for name in sheet.states}
