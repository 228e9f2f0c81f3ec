"""Modules, centre distances, diameters and centres."""

from __future__ import annotations

from builder.going.facts.fact import Fact
from builder.going.going import Going
from builder.ground import words
from builder.parts.motion_work import CANNON, HOUR


def sizes(going: Going) -> list[Fact]:
    """Of every mesh, of every toothed part, and the centres of the arbors."""
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
    return found + _centres(going)


def _centres(going: Going) -> list[Fact]:
    """Where each arbor stands; those of the hands but the minute wheel's stand where the arbor does that carries them."""
    return [
        Fact(
            f"arbor.{arbor.id}.{axis}_mm",
            "sizes",
            f"centre_{axis}",
            arbor.title,
            round(value, 9) + 0.0,
            "mm",
            words.signed(value, 2),
        )
        for arbor in going.train.arbors
        if arbor.id not in (CANNON, HOUR)
        for axis, value in zip("xy", going.plan.centres[arbor.id], strict=True)
    ]
