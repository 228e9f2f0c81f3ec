"""What every finding has: how bad it is, words and a picture; and what a finding may ask of the movement it was made on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Part
from builder.parts.finding.condition import Condition
from builder.parts.motion_work import HourOnly, MinuteAndHour
from builder.parts.oscillator import Oscillator
from builder.parts.source import Source

Text = Annotated[str, Field(min_length=1, max_length=600)]
Severity = Literal["slight", "marked", "severe"]


@dataclass(frozen=True)
class Seen:
    """A movement as a finding sees it."""

    toothed: dict[str, tuple[str, ...]]
    """By arbor, its toothed parts: 'wheel', 'pinion', names under `more`; the escape wheel is not among them."""
    meshes: tuple[tuple[str, str, str, str], ...]
    """(driver, its part, driven, its part), those of the motion work left out."""
    path: tuple[str, ...]
    """Arbors from the source to the escape wheel."""
    source: Source
    escapement: Any
    """A Working kind, or only counted."""
    oscillator: Oscillator
    motion_work: MinuteAndHour | HourOnly | None

    def no_arbor(self, arbor: str, key: Key = ("arbor",), also: tuple[str, ...] = ()) -> list[Complaint]:
        """The complaint that the movement has no such arbor, if it has none."""
        names = (*self.toothed, *also)
        if arbor in names:
            return []
        return [Complaint(key, arbor, f"one of: {', '.join(names)}", "Name an arbor of this movement by its id.")]

    def no_toothed(self, arbor: str, part: str) -> list[Complaint]:
        """The complaint that there are no such teeth or leaves in a mesh, if there are none."""
        if found := self.no_arbor(arbor):
            return found
        if part not in self.toothed[arbor]:
            there = ", ".join(self.toothed[arbor]) or "nothing with teeth"
            return [Complaint(("part",), part, f"one of: {there}", f"The {arbor} arbor carries no {part}.")]
        if not any((arbor, part) in ((a, b), (c, d)) for a, b, c, d in self.meshes):
            return [Complaint(("part",), part, "a toothed part that meshes", f"The {part} of {arbor} meshes with nothing.")]
        return []


class Found(Part):
    """The keys that all findings share."""

    kind: str
    """What kind of finding this is."""
    severity: Severity
    """How bad it is: slight, marked or severe."""
    words: Text | None = None
    """What was seen, in your own words, for the customer to read."""
    picture: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    """A picture in the folder repairs or below, by its path from there on. Location data are left out."""
    picture_shows: Text | None = None
    """What the picture shows, for those who cannot see it; needed with a picture."""
    left: bool = False
    """true where it was left as it is: it then remains after the repair."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        """What it says something of: two findings on one quantity contradict each other."""
        return ()

    def complaints(self, seen: Seen) -> list[Complaint]:
        """All that cannot be on this movement, keys relative to the finding's own table."""
        return []

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        """The condition with this finding in it; the finding must have no complaints."""
        return condition

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        """The parts that it is about, by their anchors in the tree of parts: what a drawing marks."""
        return ()


def anchor(arbor: str, part: str) -> str:
    """The anchor of a wheel or pinion in the tree of parts."""
    return f"{arbor}-{part}".replace("_", "-") if part in ("wheel", "pinion") else f"{arbor}-{part}-wheel".replace("_", "-")
