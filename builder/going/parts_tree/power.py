"""What holds and gives the power, by the kind of source."""

from __future__ import annotations

from itertools import pairwise

from builder.going.going import Going
from builder.going.parts_tree.node import Drive, Node, features, group, part
from builder.movement.model import Movement
from builder.parts.source import Source
from builder.parts.source.fusee import Fusee
from builder.parts.source.going_barrel import GoingBarrel
from builder.parts.source.open_spring import OpenSpring
from builder.parts.source.weight import Weight


def power(going: Going) -> Node:
    """The assembly of the source; its toothed wheel is on the first arbor of the train."""
    source = going.movement.source
    return group("power", *_holder(source), *_held(going.movement))


def _spring(source: OpenSpring | GoingBarrel | Fusee) -> Node:
    ends = (part("inner-end", material="steel"), part("outer-end", "outer-end-pillar" if source.kind == "open_spring" else None))
    return part("mainspring", None, *ends, material="steel")


def _holder(source: Source) -> list[Node]:
    if isinstance(source, OpenSpring):
        return [_spring(source)]
    if isinstance(source, GoingBarrel):
        barrel = part("barrel", None, *features("barrel", "barrel_wall", "barrel_hook"), material="brass")
        return [barrel, *_cover(source), _barrel_arbor(), _spring(source)]
    if isinstance(source, Fusee):
        holds = features("barrel", "barrel_wall", "barrel_hook", "line_hole")
        barrel = part("barrel", "fusee-barrel", *holds, material="brass")
        fusee = part("fusee", None, *features("fusee", "fusee_groove", "stop_piece"), material="brass")
        line = source.line.kind if source.line else "chain"
        inner = features("chain", *(("chain_links", "chain_hooks") if line == "chain" else ("line_knots",)))
        chain = part("chain", "chain" if line == "chain" else "line", *inner, material=line.replace(" ", "_"))
        stop = part("stop-iron", None, *features("stop-iron", "iron_spring"), material="steel")
        click = part("set-up-click", None, *features("set-up-click", "click_screw"), material="steel")
        set_up = [part("set-up-ratchet", material="steel"), click]
        return [barrel, *_cover(source), _barrel_arbor(), _spring(source), chain, fusee, stop, *set_up]
    hung = ("cord_knot", "cord_end") if source.lines == 2 else ("cord_knot",)
    cord = part("cord", None, *features("cord", *hung), material=source.cord.replace(" ", "_"))
    held = features("pulley", "pulley_pin", "pulley_stirrup")
    pulley = [part("pulley", None, *held, material="brass")] if source.lines == 2 else []
    return [
        part("weight", None, *features("weight", "weight_hook"), material="lead"),
        *pulley,
        cord,
        part("drum", None, *features("drum", "drum_flanges"), material="brass"),
    ]


def _cover(source: GoingBarrel | Fusee) -> list[Node]:
    if source.barrel and source.barrel.cover == "none":
        return []
    return [part("cover", None, *features("cover", "cover_notch"), material="brass")]


def _barrel_arbor() -> Node:
    return part("barrel-arbor", None, *features("barrel-arbor", "arbor_hook", "pivots"), material="steel")


def _held(movement: Movement) -> list[Node]:
    """Ratchet and click, and what takes the key where no crown winds."""
    source = movement.source
    count = (source.ratchet.teeth, "teeth") if source.ratchet else None
    made = [part("ratchet-wheel", None, material="steel", count=count)]
    if isinstance(source, GoingBarrel):
        made.append(part("ratchet-screw", material="steel"))
    made.append(part("click", None, *features("click", "click_screw"), material="steel"))
    made.append(part("click-spring", None, *features("click-spring", "spring_foot"), material="steel"))
    if isinstance(source, Fusee | Weight):
        made.append(part("great-key", None, *features("great-key", "key_pin"), material="brass"))
    return [*made, part("winding-square", "winding-square" if movement.keyless is None else "ratchet-square", material="steel")]


def drives(movement: Movement, first: str) -> list[Drive]:
    """From the source over ratchet and click to the first toothed wheel of the train, and from the key to the source."""
    source = movement.source
    click = [Drive("ratchet-wheel", "click", "push", "winding"), Drive("click-spring", "click", "push", "winding")]
    key = [] if movement.keyless else ["winding-square"]
    if isinstance(source, GoingBarrel):
        return [
            Drive("mainspring", "barrel", "spring"),
            Drive("barrel", first, "arbor"),
            *_wound([*key, "barrel-arbor", "mainspring"], ["arbor", "spring"][1 - len(key) :]),
            *([Drive("barrel-arbor", "ratchet-wheel", "square", "winding")] if key else []),
            *click,
        ]
    if isinstance(source, OpenSpring):
        arbor = f"{source.arbor}-arbor".replace("_", "-")
        return [
            Drive("mainspring", arbor, "spring"),
            *_over_the_click(arbor, first),
            *_wound([*key, arbor, "mainspring"], ["arbor", "spring"][1 - len(key) :]),
            *click,
        ]
    if isinstance(source, Fusee):
        rope, ways = ["mainspring", "barrel", "chain", "fusee"], ["spring", "pull", "pull"]
    else:
        rope = ["weight", "pulley", "cord", "drum"] if source.lines == 2 else ["weight", "cord", "drum"]
        ways = ["pull"] * (len(rope) - 1)
    going = [Drive(a, b, how) for (a, b), how in zip(pairwise(rope), ways, strict=True)]  # type: ignore[arg-type]
    back = _wound([*key, *reversed(rope)], ["arbor"] * len(key) + ways[::-1])
    return [*going, *_over_the_click(rope[-1], first), *back, *click]


def _over_the_click(driver: str, first: str) -> list[Drive]:
    """What the ratchet wheel is fixed to pushes the first wheel, on which the click is pivoted, before it."""
    ratchet: list[Drive] = [Drive(driver, "ratchet-wheel", "arbor"), Drive("ratchet-wheel", "click", "push")]
    return [*ratchet, Drive("click", first, "push")]


def _wound(chain: list[str], ways: list[str]) -> list[Drive]:
    return [Drive(a, b, way, "winding") for (a, b), way in zip(pairwise(chain), ways, strict=True)]  # type: ignore[arg-type]
