"""Oil that has dried up or grown thick: more friction where it was, and more loss at the oscillator."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.faults import Complaint, Key
from builder.ground.part import Listed, Slug
from builder.parts.finding.condition import Condition, times
from builder.parts.finding.found import Found, Seen

Group = Literal["pivots", "teeth", "pallets", "oscillator"]

USUAL: dict[str, dict[str, float]] = {
    "dry": {"pivots": 1.8, "teeth": 1.3, "pallets": 1.6, "oscillator": 1.3},
    "thick": {"pivots": 1.5, "teeth": 1.5, "pallets": 1.3, "oscillator": 1.5},
}
"""By how much friction grows where nothing was measured: orders only, from memory."""


class PoorOil(Found):
    """Dry or thick oil in one or several groups of places."""

    kind: Literal["poor_oil"]
    """What kind of finding this is."""
    state: Literal["dry", "thick"]
    """Whether the oil has gone or has grown thick and sticky."""
    where: Annotated[Listed[Group], Field(min_length=1, max_length=4)]
    """Where: pivots, teeth, pallets, oscillator (the balance's pivots, or whatever brakes a pendulum)."""
    arbors: Annotated[Listed[Slug], Field(max_length=24)] = ()
    """Only these arbors, for pivots and teeth (the arbor that drives); left out: the whole train."""
    friction_times: Annotated[float, Field(ge=1, le=6)] | None = None
    """How many times the clean friction; left out: a usual order."""

    def quantities(self, seen: Seen) -> tuple[Key, ...]:
        found: list[Key] = [("oil", group) for group in self.where if group in ("pallets", "oscillator")]
        named = self.arbors or seen.path
        return (*found, *(("oil", group, arbor) for group in self.where if group in ("pivots", "teeth") for arbor in named))

    def complaints(self, seen: Seen) -> list[Complaint]:
        found = []
        for index, arbor in enumerate(self.arbors):
            if arbor not in seen.path:
                advice = "Name arbors that carry the power, or leave `arbors` out."
                found.append(Complaint(("arbors", index), arbor, f"one of: {', '.join(seen.path)}", advice))
        if self.arbors and not {"pivots", "teeth"} & set(self.where):
            advice = "Take it out, or add pivots or teeth to `where`."
            found.append(
                Complaint(("arbors",), ", ".join(self.arbors), "left out where neither pivots nor teeth are meant", advice)
            )
        if len(set(self.where)) < len(self.where):
            found.append(Complaint(("where",), ", ".join(self.where), "each group once", "Take the second one out."))
        return found

    def times(self, group: Group) -> float:
        """Factor of the friction in a group."""
        return self.friction_times if self.friction_times is not None else USUAL[self.state][group]

    def onto(self, condition: Condition, seen: Seen) -> Condition:
        arbors = self.arbors or seen.path
        if "pivots" in self.where:
            condition = replace(condition, pivot_friction=times(condition.pivot_friction, arbors, self.times("pivots")))
        if "teeth" in self.where:
            condition = replace(condition, teeth_friction=times(condition.teeth_friction, arbors, self.times("teeth")))
        if "pallets" in self.where:
            condition = replace(condition, pallet_friction=condition.pallet_friction * self.times("pallets"))
        if "oscillator" in self.where:
            condition = replace(condition, loss=condition.loss * self.times("oscillator"))
        return condition

    def anchors(self, seen: Seen) -> tuple[str, ...]:
        arbors = self.arbors or seen.path
        found = [f"{arbor}-arbor-pivots" for arbor in arbors] if "pivots" in self.where else []
        if "teeth" in self.where:
            found += [f"{arbor}-wheel" for arbor in arbors if "wheel" in seen.toothed[arbor]]
        found += ["pallets"] if "pallets" in self.where else []
        found += [seen.oscillator.kind] if "oscillator" in self.where else []
        return tuple(name.replace("_", "-") for name in found)
