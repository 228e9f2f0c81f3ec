"""What another mainspring does to one movement: torque, turns, hours and amplitude, by the solver of its pages.

Each spring is put in, the whole movement is solved again at three states of winding, and the two stand side by side. Regulator or
nut, where the file leaves them open, are set anew for each: what remains of rate is not compared.

What the solution neglects is said in going/power.py, going/swing.py and parts/source/spring.py; torque from sizes is known to
30 %, but the same unknown lies in both springs, so that their ratio is known far better.
"""

from __future__ import annotations

from math import degrees
from typing import Annotated

from pydantic import Field

from builder.bench.working.lines import Steps, Working
from builder.bench.working.once import cannot
from builder.bench.working.units import Value
from builder.going.beat import Winding, windings, workings
from builder.going.going import Going
from builder.going.plan import plan
from builder.going.steady import Running
from builder.going.train import train
from builder.ground.part import Part
from builder.movement.model import Movement
from builder.parts.source import Fusee, Weight
from builder.parts.source.spring import Spring


class OtherSpring(Part):
    """A spring of other sizes in a movement; what is left out stays as it is."""

    thickness_mm: Annotated[float, Field(gt=0.01, le=5)] | None = None
    """Thickness of the other strip."""
    height_mm: Annotated[float, Field(gt=0.1, le=200)] | None = None
    """Height of the other strip."""
    length_mm: Annotated[float, Field(gt=5, le=20_000)] | None = None
    """Length of the other strip."""

    def working(self, going: Going) -> Working:
        """Both springs in each state of winding. Raises Refused where there is no spring of known sizes, or it cannot be."""
        sizes = {name: value for name, value in self if value is not None}
        old = _spring_of(going)
        if not sizes:
            raise cannot("thickness_mm", "nothing", "a size that is to change", "Give thickness_mm, height_mm or length_mm.")
        new = old.model_copy(update=sizes)
        put_in = with_spring(going.movement, new)
        counted = train(put_in)
        works = workings(put_in, counted, plan(put_in, counted))
        assert going.beat is not None and works is not None, "a spring of known sizes drives"
        steps = Steps("other_spring", self, {f"old_{name}": getattr(old, name) for name in sizes})
        steps.line(
            "pull_ratio", new.pull_nmm_per_turn / old.pull_nmm_per_turn,
            old_thickness_mm=old.thickness_mm, new_thickness_mm=new.thickness_mm, old_height_mm=old.height_mm,
            new_height_mm=new.height_mm, old_length_mm=old.length_mm, new_length_mm=new.length_mm,
        )  # fmt: skip
        steps.table("states", [*_rows("old spring", going.beat.windings), *_rows("new spring", windings(works))], solved=True)
        return steps.done()


def _spring_of(going: Going) -> Spring:
    source = going.movement.source
    spring = None if isinstance(source, Weight) else source.spring
    if spring is None or source.measured is not None or going.beat is None:
        advice = "Its force must follow from the spring's and the barrel's sizes, and its beat must be solved."
        raise cannot("source", source.kind, "a movement with a mainspring of known sizes", advice)
    return spring


def with_spring(movement: Movement, spring: Spring) -> Movement:
    """The movement with another spring; turns that were counted belong to the old one and are dropped."""
    source = movement.source
    told = {name: getattr(source, name) for name in type(source).model_fields} | {"spring": spring}
    told |= {} if isinstance(source, Fusee) else {"turns": None}
    return movement.model_copy(update={"source": type(source).model_validate(told)})


def _rows(spring: str, solved: tuple[Winding, ...]) -> list[dict[str, Value | None]]:
    rows: list[dict[str, Value | None]] = []
    for winding in solved:
        running = winding.beat if isinstance(winding.beat, Running) else None
        rows.append(
            {
                "spring": spring,
                "state": winding.name,
                "turns_left": winding.turns_left,
                "hours_left": winding.hours_left,
                "source_nmm": winding.power.source_torque_nmm,
                "escape_nmm": winding.power.escape_torque_nmm,
                "amplitude_deg": degrees(running.amplitude_rad) if running else None,
                "how": "stops" if running is None else "rebanks" if running.rebanks else "goes",
            }
        )
    return rows
