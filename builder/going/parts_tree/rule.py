"""Wheels and pinions, teeth and leaves: what holds in this movement, and where the words and the rule part."""

from __future__ import annotations

from dataclasses import dataclass

from builder.going.going import Going
from builder.going.parts_tree import Tree
from builder.going.plan import Toothing
from builder.ground import words
from builder.parts.motion_work import MINUTE, HourOnly, MinuteAndHour
from builder.parts.oscillator.balance import Balance
from builder.parts.source.going_barrel import GoingBarrel


@dataclass(frozen=True)
class Rule:
    """What is said of it: counts by name, and the exceptions that apply, each a key of the wording with its facts."""

    wheels: tuple[tuple[str, int], ...]
    pinions: tuple[tuple[str, int], ...]
    exceptions: tuple[tuple[str, dict[str, str]], ...]


def rule(going: Going, tree: Tree) -> Rule:
    """The rule applied to a movement."""
    toothed = going.plan.toothings
    wheels = tuple((t.title, t.gear.teeth) for t in toothed if t.wheel)
    pinions = tuple((t.title, t.gear.teeth) for t in toothed if not t.wheel)
    found = [*_train(going), *_motion_work(going), *_others(going, tree)]
    return Rule(wheels, pinions, tuple(found))


def _train(going: Going) -> list[tuple[str, dict[str, str]]]:
    """The first wheel, the escape wheel, and those that are named by their place."""
    found: list[tuple[str, dict[str, str]]] = []
    first = next((t for t in going.plan.toothings if t.arbor == going.train.path[0] and t.wheel), None)
    if first is not None:
        barrel = isinstance(going.movement.source, GoingBarrel)
        found.append(("barrel" if barrel else "great", {"name": first.title.lower()}))
    found.append(("escape", {"count": str(going.train.escape_teeth)}))
    placed = [going.train[name].title for name in going.train.path if name in ("second", "third", "fourth", "fifth")]
    if placed:
        found.append(("numbered", {"names": ", ".join(title.lower() for title in placed)}))
    return found


def _motion_work(going: Going) -> list[tuple[str, dict[str, str]]]:
    work = going.movement.motion_work
    if isinstance(work, HourOnly):
        return [("report", {})]
    if not isinstance(work, MinuteAndHour):
        return []
    own: dict[str, Toothing] = {t.id: t for t in going.plan.toothings if t.key[0] == "motion_work"}
    cannon = own["cannon-pinion"]
    key = "cannon_wheel" if cannon.wheel else "cannon_pinion"
    order = ("cannon-pinion", "minute-wheel", "minute-pinion", "hour-wheel")
    names = [own[name].title.lower() for name in order]
    return [
        (key, {"count": str(cannon.gear.teeth)}),
        ("reversed", dict(zip(("first", "second", "third", "fourth"), names, strict=True))),
        ("minute_pinion", {}),
        ("minute_name", {"period": words.period(going.train[MINUTE].hours_per_turn)}),
        ("hour", {}),
    ]


def _others(going: Going, tree: Tree) -> list[tuple[str, dict[str, str]]]:
    """Toothed parts that are no part of the going train, and a wheel without teeth."""
    keyless = going.movement.keyless
    found: list[tuple[str, dict[str, str]]] = [("ratchet_crown" if keyless else "ratchet", {})]
    if isinstance(going.movement.oscillator, Balance):
        found.append(("balance", {}))
    if keyless is not None:
        found.append(("keyless", {"pinion": str(keyless.winding_pinion), "wheel": str(keyless.setting[0])}))
    return found
