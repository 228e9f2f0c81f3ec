"""What a chapter's text may name: a movement's figures, written as a person writes them, under plain names.

    {{ train.first.wheel.teeth }} teeth drive {{ train.meshes[0].leaves }} leaves

Each function below makes one name. What a movement does not have is None; what its text asks for and nobody made is an error.
"""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

from builder.going.going import Going
from builder.going.plan import Toothing
from builder.going.train import HAND_NAMES, Pair
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.chapters import told_escapement, told_oscillator, told_power
from builder.parts.motion_work import CANNON, HOUR, MINUTE, MinuteAndHour

DAY_H = 24
USUAL_DIAL = 12
"""Hours of a dial; the other sort has twice as many."""


def told(going: Going, wording: Wording) -> dict[str, Any]:
    """All names."""
    arbors = {arbor.id: _arbor(going, arbor.id, wording) for arbor in going.train.arbors}
    return {
        "movement": _movement(going, wording),
        "beat": _beat(going),
        "train": _train(going, arbors),
        "hands": _hands(going, arbors),
        "work": _work(going, arbors),
        "source": told_power.source(going, arbors),
        "power": told_power.power(going, wording),
        "escapement": told_escapement.escapement(going, wording),
        "oscillator": told_oscillator.oscillator(going, wording),
        "in_words": lambda count: wording["learn.numbers"][count] if count < len(wording["learn.numbers"]) else str(count),
    }


def _movement(going: Going, wording: Wording) -> SimpleNamespace:
    about = going.movement.movement
    return SimpleNamespace(
        name=about.name,
        summary=about.summary,
        sort=wording.say(f"pages.sorts.{about.sort}").lower(),
        watch=about.sort == "watch",
        plates=going.movement.plates is not None,
        dial=going.movement.dial is not None,
    )


def _beat(going: Going) -> SimpleNamespace:
    said, train = words.whole_and_part, going.train
    first = going.windings[0].beat if going.windings else None
    return SimpleNamespace(
        an_hour=said(train.beats_per_hour),
        a_minute=said(train.beats_per_hour / 60),
        a_second=said(train.beats_per_hour / 3600),
        a_day=said(train.beats_per_hour * DAY_H),
        a_tooth=train.beats_per_tooth,
        takes=f"{said(train.beat_s)}{words.THIN}s",
        period=f"{said(2 * train.beat_s)}{words.THIN}s",
        a_turn=said(Fraction(train.escape_teeth * train.beats_per_tooth)),
        solved=first is not None,
        runs=going.motion.solved and told_power.running(going) is not None,
        stops_because=getattr(first, "text", None),
        reason=getattr(first, "reason", None),
    )


def _arbor(going: Going, name: str, wording: Wording) -> SimpleNamespace:
    train = going.train
    arbor = train[name]
    parts = {t.part: t for t in going.plan.toothings if t.arbor == name}
    wheel = _toothed(parts.get("wheel") or parts.get("cannon"))
    if name == going.movement.source.arbor and going.movement.source.kind == "going_barrel" and wheel:
        wheel.name = arbor.title.lower()  # the trade says the barrel drives, not the barrel wheel
    if name == train.path[-1]:
        wheel = SimpleNamespace(part="escape-wheel", teeth=train.escape_teeth, name=wording.say("parts.escape-wheel").lower())
    return SimpleNamespace(
        id=name,
        title=arbor.title,
        name=arbor.title.lower(),
        turns=words.whole_and_part(abs(arbor.turns_per_hour)),
        period=words.period(arbor.hours_per_turn),
        a_day=told_power.turns_text(abs(arbor.turns_per_hour) * DAY_H),
        clockwise=arbor.clockwise,
        sense=wording.say("drawings.clockwise" if arbor.clockwise else "drawings.counter_clockwise"),
        wheel=wheel,
        pinion=_toothed(parts.get("pinion")),
        hand=next((HAND_NAMES[shows] for shows, carrier in train.hands if carrier == name), None),
    )


def _toothed(toothing: Toothing | None) -> SimpleNamespace | None:
    if toothing is None:
        return None
    return SimpleNamespace(part=toothing.id, teeth=toothing.gear.teeth, name=toothing.title.lower())


def _train(going: Going, arbors: dict[str, SimpleNamespace]) -> SimpleNamespace:
    train = going.train
    flow = {mesh.driven: mesh for mesh in going.windings[0].power.meshes} if going.windings else {}
    first = arbors[train.path[0]]
    return SimpleNamespace(
        path=[arbors[name] for name in train.path],
        first=first,
        last=arbors[train.path[-1]],
        meshes=[_mesh(going, pair, arbors, flow) for pair in train.path_pairs],
        ratio=words.whole_and_part(train.whole_ratio),
        product=" × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in train.path_pairs),
        teeth_a_minute=words.whole_and_part(train.teeth_per_minute),
        wheels=len(train.path),
        between=len(train.path) - 2,
        parts=[part for name in train.path for part in _parts(arbors[name])],
        leaf_less=_leaf_less(going) if train.hands and train.path_pairs else None,
        beats_a_first_turn=words.whole_and_part(train.beats_per_hour * train[train.path[0]].hours_per_turn),
    )


def _leaf_less(going: Going) -> SimpleNamespace:
    """An escape pinion with a leaf less: the same beats turn the wheel below by fewer turns, and the hands with it."""
    pair = going.train.path_pairs[-1]
    leaves = pair.driven_count - 1
    return SimpleNamespace(
        teeth=pair.driver_count,
        leaves=leaves,
        ratio=words.whole_and_part(Fraction(pair.driver_count, leaves)),
        loses=words.duration(Fraction(DAY_H, pair.driven_count)),
    )


def _parts(arbor: SimpleNamespace) -> list[str]:
    return [toothed.part for toothed in (arbor.pinion, arbor.wheel) if toothed]


def _mesh(going: Going, pair: Pair, arbors: dict[str, SimpleNamespace], flow: dict[str, Any]) -> SimpleNamespace:
    sized = next(one for one in going.plan.sized if one.pair == pair)
    seen = flow.get(pair.driven)
    return SimpleNamespace(
        driver=arbors[pair.driver],
        driven=arbors[pair.driven],
        teeth=pair.driver_count,
        leaves=pair.driven_count,
        ratio=words.whole_and_part(pair.ratio),
        wheel=next(t.id for t in going.plan.toothings if (t.arbor, t.part) == (pair.driver, pair.driver_part)),
        pinion=next(t.id for t in going.plan.toothings if (t.arbor, t.part) == (pair.driven, pair.driven_part)),
        distance=f"{words.figure(sized.distance_mm, 4)}{words.THIN}mm",
        passes=f"{words.figure(100 * seen.efficiency, 3)}{words.THIN}%" if seen else None,
        torque=f"{words.figure(seen.torque_out_nmm, 3)}{words.THIN}N·mm" if seen else None,
        loss=f"{pair.driver}-{pair.driven}-teeth".replace("_", "-"),
    )


def _hands(going: Going, arbors: dict[str, SimpleNamespace]) -> SimpleNamespace:
    carriers = dict(going.train.hands)
    return SimpleNamespace(
        seconds=arbors.get(carriers.get("seconds", "")),
        minutes=arbors.get(carriers.get("minutes", "")),
        hours=arbors.get(carriers.get("hours", "")),
        parts=[f"{shows.rstrip('s')}-hand" if shows != "seconds" else "seconds-hand" for shows in carriers],
        any=bool(carriers),
    )


def _work(going: Going, arbors: dict[str, SimpleNamespace]) -> SimpleNamespace | None:
    work = going.movement.motion_work
    if work is None:
        return None
    on = arbors[work.on]
    usual = work.dial_hours == USUAL_DIAL
    other = Fraction(2) if usual else Fraction(1, 2)
    told_all = SimpleNamespace(
        kind=work.kind,
        on=on,
        on_path=work.on in going.train.path,
        ratio=words.whole_and_part(work.reduction),
        dial_hours=work.dial_hours,
        usual_dial=usual,
        hour_wheel=work.hour_wheel_teeth,
        other_ratio=words.whole_and_part(work.reduction * other),
        other_hour_wheel=words.whole_and_part(work.hour_wheel_teeth * other),
        hour_turn=words.period(going.train[HOUR].hours_per_turn),
    )
    if isinstance(work, MinuteAndHour):
        told_all.cannon, told_all.cannon_part = work.cannon_leaves, _id(going, CANNON, "cannon")
        told_all.minute_wheel, told_all.minute_pinion = work.minute_wheel_teeth, work.minute_pinion_leaves
        told_all.first = words.whole_and_part(Fraction(work.minute_wheel_teeth, work.cannon_leaves))
        told_all.second = words.whole_and_part(Fraction(work.hour_wheel_teeth, work.minute_pinion_leaves))
        told_all.same = work.minute_wheel_teeth == work.cannon_leaves
        told_all.minute_turn = words.period(going.train[MINUTE].hours_per_turn)
        first = next(one for one in going.plan.sized if one.pair.key == ("motion_work",))
        told_all.distance = f"{words.figure(first.distance_mm, 4)}{words.THIN}mm"
        told_all.counts = f"{work.minute_wheel_teeth} × {work.hour_wheel_teeth}"
        told_all.over = f"{work.cannon_leaves} × {work.minute_pinion_leaves}"
    else:
        told_all.pinion = work.pinion_leaves
    return told_all


def _id(going: Going, arbor: str, part: str) -> str:
    return next(t.id for t in going.plan.toothings if (t.arbor, t.part) == (arbor, part))
