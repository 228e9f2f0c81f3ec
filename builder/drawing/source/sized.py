"""What the drawings of the winding take from the file, and how the table says it."""

from __future__ import annotations

from collections.abc import Callable

from builder.going.going import Going
from builder.going.placed import Toothing
from builder.ground.wording import Wording
from builder.ground.words import figure
from builder.movement.model import Movement
from builder.parts.source.coils import Coils
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.spring import Spring


def names(wording: Wording) -> dict[str, str]:
    """Part → its name."""
    return {part: table["name"] for part, table in wording["drawings.winding.parts"].items()}


def lays(source: OpenSpring | GoingBarrel | Fusee) -> Callable[[float], Coils]:
    """The coils at turns left. The turns of the train are rounded: the last bit of one too many is held at wound."""
    most = source.usable_turns
    assert most is not None, "its sizes are known"

    def at(left: float) -> Coils:
        coils = source.coils(min(left, most))
        assert coils is not None, "its sizes are known"
        return coils

    return at


def great_wheel(going: Going) -> Toothing:
    """The toothed part that the source turns."""
    return next(t for t in going.plan.toothings if t.arbor == going.movement.source.arbor and t.wheel)


def wound_from_back(movement: Movement) -> bool:
    """Whether the winding square stands at the back: as the file says, else in a watch."""
    side = movement.heights.winding
    return movement.movement.sort == "watch" if side is None else side == "back"


def say(wording: Wording, key: str, **facts: object) -> str:
    """A text of the table's figures; numbers with three digits."""
    told = {name: figure(value) if isinstance(value, float) else value for name, value in facts.items()}
    return wording.say(f"drawings.winding.sizes.{key}", **told)


def teeth_said(wording: Wording, teeth: int) -> str:
    return say(wording, "teeth", teeth=teeth)


def strip_said(wording: Wording, strip: Spring) -> str:
    return say(
        wording, "strip", length=f"{strip.length_mm:g}", thickness=f"{strip.thickness_mm:g}", height=f"{strip.height_mm:g}"
    )


def coils_said(wording: Wording, coils: Coils) -> str:
    """How the coils lie."""
    on_arbor, free, on_wall = (f"{part:.1f}" for part in (coils.on_arbor, coils.free, coils.on_wall))
    return say(wording, "coils", on_arbor=on_arbor, free=free, on_wall=on_wall)
