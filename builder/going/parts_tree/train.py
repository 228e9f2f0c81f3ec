"""The train: arbor by arbor, with what is fixed to each."""

from __future__ import annotations

from builder.going.going import Going
from builder.going.parts_tree.node import Drive, Node, features, group, part
from builder.going.plan import Toothing
from builder.going.setting import usual
from builder.movement.model import Wheel
from builder.parts.clutch import BowSpring
from builder.parts.motion_work import HourOnly, MinuteAndHour
from builder.parts.source.going_barrel import GoingBarrel


def train(going: Going) -> Node:
    """All arbors between the plates, from the source to the escape arbor and along the branches."""
    arbors = [arbor.id for arbor in going.train.arbors if arbor.role != "motion work"]
    return group("train", *(_arbor(going, name) for name in arbors))


def _arbor(going: Going, name: str) -> Node:
    """An arbor with its wheels and pinions. A going barrel's arbor is no arbor of the train: only its wheel turns with it."""
    toothed = [_toothed(going, t) for t in going.plan.toothings if t.arbor == name and t.key[0] == "arbors"]
    title = going.train[name].title
    slug = name.replace("_", "-")
    source = going.movement.source
    if isinstance(source, GoingBarrel) and name == source.arbor:
        named = "barrel-in-train" if slug == "barrel" else f"{slug}-arbor"
        return Node(named, "barrel_in_train", title, drawn=slug != "barrel", inner=tuple(toothed))
    hook = ["arbor_hook"] if name == source.arbor and source.kind == "open_spring" else []
    own = features(f"{slug}-arbor", "pivots", "shoulders", *hook, *_front(going, name))
    return Node(f"{slug}-arbor", "arbor", title, material="steel", inner=(*toothed, *_escape(going, name), *own))


def _front(going: Going, name: str) -> list[str]:
    """What an arbor has before the front plate."""
    work = going.movement.motion_work
    if isinstance(work, MinuteAndHour) and work.on == name:
        pinned = isinstance(work.clutch or usual(going), BowSpring)
        return ["cannon_seat", *(["pin_hole"] if pinned else [])]
    if isinstance(work, HourOnly) and work.on == name:
        return ["report_square"]
    return ["hand_pivot"] if name in {carrier for _, carrier in going.train.hands} else []


def _toothed(going: Going, toothing: Toothing) -> Node:
    """A wheel or a pinion; one that a hand's arbor carries before the plate counts as well."""
    count = (toothing.gear.teeth, toothing.noun)
    material = toothing.material.replace(" ", "_")
    if not toothing.wheel:
        return part(toothing.id, "pinion", *features(toothing.id, "leaves"), title=toothing.title, material=material, count=count)
    own = going.movement.toothed(toothing.arbor, toothing.part) if toothing.key[0] == "arbors" else None
    kinds = ["teeth", "rim"] if toothing.arms else ["teeth"]
    inner = list(features(toothing.id, *kinds))
    if toothing.arms:
        arms = Node(f"{toothing.id}-arms", "arms", drawn=False, count=(toothing.arms, "arms"))
        inner += [arms, *features(toothing.id, "collet")]
    kind = "wheel" if isinstance(own, Wheel) or own is None else "pinion"
    return part(toothing.id, kind, *inner, title=toothing.title, material=material, count=count)


def _escape(going: Going, name: str) -> list[Node]:
    """The escape wheel stands on the last arbor; what it does is said with the escapement."""
    if name != going.train.path[-1]:
        return []
    draft = going.plan.draft
    material = draft.wheel.material if draft else "brass"
    kind = f"escape-wheel-{going.movement.escapement.kind}"
    made = features("escape-wheel", "escape_teeth", "rim", "arms", "collet")
    return [part("escape-wheel", kind, *made, material=material, count=(going.train.escape_teeth, "teeth"))]


def drives(going: Going) -> list[Drive]:
    """Every mesh; and on each arbor, from what is driven to what drives on."""
    found = []
    named = {(t.arbor, t.part): t.id for t in going.plan.toothings}
    driven = {}
    for pair in going.train.pairs:
        found.append(Drive(named[pair.driver, pair.driver_part], named[pair.driven, pair.driven_part], "mesh"))
        driven[pair.driven] = named[pair.driven, pair.driven_part]
    for (arbor, _), id_ in named.items():
        first = driven.get(arbor, entry(going) if arbor == going.train.path[0] else id_)
        if id_ != first:
            found.append(Drive(first, id_, "arbor"))
    if (last := driven.get(going.train.path[-1])) is not None:
        found.append(Drive(last, "escape-wheel", "arbor"))
    return found


def entry(going: Going) -> str:
    """The part by which the power enters the train: the first arbor's wheel, or what else is on it."""
    first = going.train.path[0]
    own = [t for t in going.plan.toothings if t.arbor == first]
    return next((t.id for t in own if t.part == "wheel"), own[0].id if own else "escape-wheel")
