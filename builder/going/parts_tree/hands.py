"""Motion work with the friction that carries it, hands and dial, keyless work."""

from __future__ import annotations

from builder.going.going import Going
from builder.going.parts_tree.node import Drive, Node, features, group, part
from builder.going.parts_tree.train import entry
from builder.going.setting import usual
from builder.parts.clutch import BowSpring, SpringWasher
from builder.parts.motion_work import CANNON, HOUR, HourOnly, MinuteAndHour


def motion_work(going: Going) -> list[Node]:
    """The wheels before the plate; nothing for a movement whose hands sit straight on its train."""
    work = going.movement.motion_work
    if work is None:
        return []
    own = {t.id: t for t in going.plan.toothings if t.key[0] == "motion_work"}
    made: list[Node] = []
    for id_, toothing in own.items():
        inner = features(id_, toothing.noun, *(("pipe",) if id_ in ("cannon-pinion", "hour-wheel") else ()))
        kind = "cannon-wheel" if id_ == "cannon-pinion" and toothing.wheel else id_
        count = (toothing.gear.teeth, toothing.noun)
        made.append(part(id_, kind, *inner, title=toothing.title, material=toothing.material.replace(" ", "_"), count=count))
    return [group("motion-work", *made, *_friction(going), *_post(work))]


def _friction(going: Going) -> list[Node]:
    """What carries the hands, by its kind."""
    work = going.movement.motion_work
    assert work is not None
    clutch = work.clutch or usual(going)
    if isinstance(clutch, SpringWasher):
        washer = part("spring-washer", material=clutch.material)
        return [washer, part("clutch-collet", material="brass"), part("centre-bush", material="brass")]
    if isinstance(clutch, BowSpring):
        bow = part("tension-spring", material=clutch.material)
        return [bow, part("hand-collet", material="brass"), part("hand-pin", material="steel")]
    kind = "snap" if clutch.kind == "snapped_pinion" else "slits"
    return list(features("cannon-pinion", kind))


def _post(work: MinuteAndHour | HourOnly) -> list[Node]:
    return [
        part(
            "minute-post",
            "minute-post" if isinstance(work, MinuteAndHour) else "hour-post",
            *features("minute-post", "post_pin"),
            material="steel",
        )
    ]


def dial(going: Going) -> list[Node]:
    """Dial and hands; nothing for a movement that shows nothing."""
    shown = {shows for shows, _ in going.train.hands}
    order = [shows for shows in ("hours", "minutes", "seconds") if shows in shown]
    names = ["seconds-hand" if shows == "seconds" else f"{shows[:-1]}-hand" for shows in order]
    hands = [part(name, None, *features(name, "hand_boss", "hand_tip"), material="blued") for name in names]
    if not hands and going.movement.dial is None:
        return []
    feet = part("dial-feet", None, *features("dial-feet", "feet_pins"), material="brass")
    return [group("hands", *hands, part("dial"), feet)]


def keyless(going: Going) -> list[Node]:
    """Nothing where a key winds."""
    made = going.movement.keyless
    if made is None:
        return []
    wheels = [
        part(
            f"setting-wheel-{n}",
            "setting-wheel",
            *features(f"setting-wheel-{n}", "wheel_stud"),
            material="steel",
            count=(teeth, "teeth"),
        )
        for n, teeth in enumerate(made.setting, 1)
    ]
    stem = part("stem", None, *features("stem", "stem_pivot", "stem_square", "stem_groove", "stem_thread"), material="steel")
    clutch = part(
        "sliding-clutch",
        None,
        *features("sliding-clutch", "coupling_teeth", "clutch_groove"),
        material="steel",
        count=(made.clutch, "teeth"),
    )
    return [
        group(
            "keyless",
            part("crown", material="brass"),
            stem,
            part("winding-pinion", material="steel", count=(made.winding_pinion, "teeth")),
            clutch,
            part(
                "crown-wheel",
                None,
                *features("crown-wheel", "crown_wheel_ring", "crown_wheel_screw"),
                material="steel",
                count=(made.crown_wheel, "teeth"),
            ),
            part(
                "setting-lever",
                None,
                *features("setting-lever", "setting_lever_pin", "setting_lever_screw", "setting_lever_spring"),
                material="steel",
            ),
            part("yoke", material="steel"),
            part("yoke-spring", material="steel"),
            *wheels,
        )
    ]


def drives(going: Going) -> list[Drive]:
    """From the train to the hands, and from the crown."""
    found = []
    named = {(t.arbor, t.part): t.id for t in going.plan.toothings}
    work = going.movement.motion_work
    first = _first_on(going)
    if isinstance(work, MinuteAndHour):
        found.append(Drive(first[work.on], "cannon-pinion", "friction"))
    carriers = {CANNON: "cannon-pinion", HOUR: "hour-wheel"}
    for shows, carrier in going.train.hands:
        hand = "seconds-hand" if shows == "seconds" else f"{shows[:-1]}-hand"
        how = "friction" if carrier == HOUR and isinstance(work, HourOnly) else "carries"
        found.append(Drive(carriers.get(carrier) or first[carrier], hand, how))  # type: ignore[arg-type]
    made = going.movement.keyless
    if made is not None:
        winds = ["crown", "stem", "sliding-clutch", "winding-pinion", "crown-wheel", "ratchet-wheel", "barrel-arbor"]
        if going.movement.source.kind != "going_barrel":
            winds = winds[:-1]
        ways = ["hand", "square", "mesh", "mesh", "mesh", "square"]
        found += [Drive(a, b, how, "winding") for a, b, how in zip(winds, winds[1:], ways, strict=False)]  # type: ignore[arg-type]
        sets = ["crown", "stem", "sliding-clutch", *(f"setting-wheel-{n}" for n in range(1, len(made.setting) + 1))]
        if (minute := named.get(("minute_wheel", "wheel"))) is not None:
            sets += [minute, "cannon-pinion"]
        ways = ["hand", "square", *["mesh"] * len(sets)]
        found += [Drive(a, b, how, "setting") for a, b, how in zip(sets, sets[1:], ways, strict=False)]  # type: ignore[arg-type]
        found += [
            Drive("stem", "setting-lever", "pull", "setting"),
            Drive("setting-lever", "yoke", "push", "setting"),
            Drive("yoke", "sliding-clutch", "push", "setting"),
            Drive("yoke-spring", "yoke", "push", "winding"),
        ]
    return found


def _first_on(going: Going) -> dict[str, str]:
    """By arbor, the part through which it is turned."""
    found: dict[str, str] = {}
    for toothing in going.plan.toothings:
        found.setdefault(toothing.arbor, toothing.id)
    for pair in going.train.pairs:
        found[pair.driven] = going.plan.of(pair.driven, pair.driven_part).id
    found[going.train.path[0]] = entry(going)
    return found
