"""Modules, centre distances and diameters."""

from __future__ import annotations

from builder.going.facts.fact import Fact
from builder.going.going import Going
from builder.ground import words


def sizes(going: Going) -> list[Fact]:
    """Of every mesh and of every toothed part."""
    found = []
    for one in going.plan.sized:
        pair = one.pair
        subject = f"{going.train[pair.driver].title} – {going.train[pair.driven].title}"
        start = f"mesh.{pair.driver}.{pair.driven}"
        module = words.figure(one.module_mm, 3)
        counts = (("driver_count", str(pair.driver_count)), ("driven_count", str(pair.driven_count)))
        distance = words.figure(one.distance_mm, 4)
        found += [
            Fact(f"{start}.module_mm", "sizes", "module", subject, one.module_mm, "mm", module, (("measured", one.measured),)),
            Fact(
                f"{start}.distance_mm", "sizes", "distance", subject, one.distance_mm, "mm", distance,
                (("module", module), *counts),
            ),
        ]  # fmt: skip
    for toothing in going.plan.toothings:
        outside = 2 * toothing.gear.tip_mm
        inputs = (("module", words.figure(toothing.gear.module_mm, 3)), ("count", str(toothing.gear.teeth)))
        found.append(
            Fact(
                f"{toothing.id}.outside_diameter_mm", "sizes", "outside_diameter", toothing.title, outside, "mm",
                words.figure(outside, 4), inputs,
            )
        )  # fmt: skip
    return found
