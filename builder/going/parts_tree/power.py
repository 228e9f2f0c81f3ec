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
        barrel = part("barrel", None, *features("barrel", "barrel_hook"), material="brass")
        return [barrel, *_cover(source), _barrel_arbor(), _spring(source)]
    if isinstance(source, Fusee):
        barrel = part("barrel", "fusee-barrel", *features("barrel", "barrel_hook"), material="brass")
        fusee = part("fusee", None, *features("fusee", "fusee_groove", "stop_piece"), material="brass")
        line = source.line.kind if source.line else "chain"
        chain = part("chain", "chain" if line == "chain" else "line", material=line.replace(" ", "_"))
        return [barrel, *_cover(source), _barrel_arbor(), _spring(source), chain, fusee, part("set-up-ratchet", material="steel")]
    cord = part("cord", material=source.cord.replace(" ", "_"))
    pulley = [part("pulley", None, *features("pulley", "pivots"), material="brass")] if source.lines == 2 else []
    return [
        part("weight", material="lead"),
        *pulley,
        cord,
        part("drum", None, *features("drum", "drum_flanges"), material="brass"),
    ]


def _cover(source: GoingBarrel | Fusee) -> list[Node]:
    return [] if source.barrel and source.barrel.cover == "none" else [part("cover", material="brass")]


def _barrel_arbor() -> Node:
    return part("barrel-arbor", None, *features("barrel-arbor", "arbor_hook", "pivots"), material="steel")


def _held(movement: Movement) -> list[Node]:
    """Ratchet and click, and what takes the key where no crown winds."""
    source = movement.source
    count = (source.ratchet.teeth, "teeth") if source.ratchet else None
    made = [part("ratchet-wheel", None, material="steel", count=count)]
    if isinstance(source, GoingBarrel):
        made.append(part("ratchet-screw", material="steel"))
    made += [part("click", material="steel"), part("click-spring", material="steel")]
    if isinstance(source, Fusee | Weight):
        made.append(part("great-key", material="brass"))
    return [*made, part("winding-square", "winding-square" if movement.keyless is None else "ratchet-square", material="steel")]


def drives(movement: Movement, first: str) -> list[Drive]:
    """From the source to the first toothed wheel of the train, and from the key to the source."""
    source = movement.source
    key = [] if movement.keyless else ["winding-square"]
    if isinstance(source, OpenSpring):
        wind = [*key, "mainspring"]
        return [Drive("mainspring", first, "click"), *_wound(wind, ["hand"])]
    if isinstance(source, GoingBarrel):
        return [
            Drive("mainspring", "barrel", "spring"),
            Drive("barrel", first, "arbor"),
            *_wound([*key, "barrel-arbor", "mainspring"], ["hand", "spring"] if key else ["spring"]),
        ]
    if isinstance(source, Fusee):
        going = [
            Drive("mainspring", "barrel", "spring"),
            Drive("barrel", "chain", "pull"),
            Drive("chain", "fusee", "pull"),
            Drive("fusee", first, "click"),
        ]
        return [*going, *_wound([*key, "fusee", "chain", "barrel", "mainspring"], ["hand", "pull", "pull", "spring"])]
    rope = ["weight", "pulley", "cord", "drum"] if source.lines == 2 else ["weight", "cord", "drum"]
    going = [Drive(a, b, "pull") for a, b in pairwise(rope)]
    return [*going, Drive("drum", first, "click"), *_wound([*key, *reversed(rope)], ["hand", *["pull"] * (len(rope) - 1)])]


def _wound(chain: list[str], how: list[str]) -> list[Drive]:
    ways = how[-(len(chain) - 1) :] if len(chain) > 1 else []
    return [Drive(a, b, way, "winding") for a, b, way in zip(chain, chain[1:], ways, strict=False)]  # type: ignore[arg-type]
