"""What no kind of finding fits: words only, nothing is computed from it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint
from builder.parts.finding.found import Found, Seen


class Other(Found):
    """A finding in words."""

    kind: Literal["other"]
    """What kind of finding this is."""
    part: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,60}$", title="the anchor of a part")] = "movement"
    """The part that it is about, by the anchor that the page of parts gives it: great-wheel, balance, frame."""

    def complaints(self, seen: Seen) -> list[Complaint]:
        if self.words is None:
            return [Complaint(("words",), "nothing", "what was seen, in words", "Without words this finding says nothing.")]
        return []

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        return (self.part,)
