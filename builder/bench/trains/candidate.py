"""One way to fill what is missing: its counts, its sizes, and its place among the others."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from builder.bench.trains.cutting import Cut
from builder.bench.trains.stretches import Hole
from builder.bench.working.units import Value

USUAL_LEAVES = (6, 7, 8, 10, 12, 14, 16)
"""Leaves that makers mostly used (common practice, no source)."""


@dataclass(frozen=True)
class Candidate:
    """Counts for every hole."""

    filled: Mapping[Hole, int]
    meshes: int
    """Meshes of the train; a hole past the last is the escape wheel."""
    sizes: Mapping[int, Cut]
    """By the number of the mesh, from 1; only meshes of which something was measured."""
    off: Fraction | None
    """Part by which the ratio is off, where it may be."""
    comes_to: Mapping[str, Fraction]
    """What beat or hours that makes."""
    remaining_leaves: frozenset[int]

    @property
    def rank(self) -> tuple[object, ...]:
        """What fits comes first, then what is nearer, then leaves like those that remain, then usual ones, then more leaves."""
        misfits = sum(size.fits is False for size in self.sizes.values())
        leaves = [count for (_, side), count in sorted(self.filled.items()) if side == 1]
        strange = sum((n not in self.remaining_leaves) + (n not in USUAL_LEAVES) for n in leaves)
        return misfits, abs(self.off or 0), strange, [-n for n in leaves], [n for _, n in sorted(self.filled.items())]

    def row(self) -> dict[str, Value | None]:
        """Its cells: counts by arbor, then what they come to, then sizes by mesh."""
        row: dict[str, Value | None] = {}
        for (k, side), count in sorted(self.filled.items()):
            row["escape_teeth" if k == self.meshes else f"{('driver', 'driven')[side]}.{k + 1 + side}"] = count
        if self.off is not None:
            row["off_percent"] = float(100 * self.off)
        row |= self.comes_to
        for number, size in self.sizes.items():
            row |= {
                f"module_mm.{number}": size.module_mm,
                f"centres_mm.{number}": size.distance_mm,
                f"driver_diameter_mm.{number}": size.driver_mm,
                f"driven_diameter_mm.{number}": size.driven_mm,
            }
            if size.misfit is not None:
                row |= {f"misfit_percent.{number}": 100 * size.misfit, f"fits.{number}": bool(size.fits)}
        return row
