"""What the motion work's page says of setting: the drawing to turn, the friction, and what hands and train ask of it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from builder.drawing.diagrams.keyless import STATES
from builder.drawing.diagrams.setting import set_turns
from builder.going.going import Going
from builder.going.setting import Held, Setting, clock, crown_nmm, setting, wound_nmm
from builder.ground import words
from builder.ground.faults import sentences
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown
from builder.parts.motion_work import MINUTE, HourOnly, MinuteAndHour

LITTLE = 50.0
"""A friction that holds more than this many times the hands' weight is not there for their weight."""
MINUTES = (1, 5, 60)
"""What the keys turn the minute hand by."""


def hands(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement without motion work."""
    going = shown.going
    solved = setting(going)
    if solved is None or "setting" not in shown.plates:
        return None
    say = wording.say
    single = isinstance(going.movement.motion_work, HourOnly)
    return {
        "drawing": shown.plate("setting"),
        "words": {
            **wording["site.player"],
            "shown": say("setting.panel.train_shown"),
            "scrub": say("setting.panel.train_scrub"),
        },
        "lede": say("setting.panel.lede_single" if single else "setting.panel.lede"),
        "hand": say("setting.panel.only_hand" if single else "setting.panel.hand"),
        "hours": int(solved.reduction),
        "keys": [-m for m in reversed(MINUTES)] + list(MINUTES),
        "follow": _follow(going, wording),
        "minute_wheel": _minute_wheel(going, wording),
        "clutch": _clutch(going, solved, wording),
        "states": _states(solved, wording),
        "findings": sentences(solved.findings()),
    }


def _follow(going: Going, wording: Wording) -> list[Context]:
    """A row for each part that a reader sets, then one for what stays with the train."""
    toothings = {t.id: t for t in going.plan.toothings}
    carriers = {f"{shows.rstrip('s')}-hand": carrier for shows, carrier in going.train.hands}
    rows = []
    for part, turn in set_turns(going).items():
        arbor = going.train[toothings[part].arbor if part in toothings else carriers[part]]
        name = toothings[part].title if part in toothings else wording.say(f"parts.{part}")
        ratio = words.whole_and_part(turn)
        rows.append({"part": part, "name": name, "turn": str(turn), "ratio": ratio, "period": words.period(arbor.hours_per_turn)})
    work = going.movement.motion_work
    assert work is not None
    stays = work.on if isinstance(work, MinuteAndHour) else going.train.pairs[-1].driven
    own = next((t for t in toothings.values() if t.arbor == stays and t.wheel), None)
    name = own.title if own else going.train[stays].title
    row = {"part": own.id if own else None, "name": wording.say("setting.follow.train", name=name), "turn": None}
    return [*rows, {**row, "ratio": "0", "period": words.period(going.train[stays].hours_per_turn)}]


def _minute_wheel(going: Going, wording: Wording) -> str | None:
    work = going.movement.motion_work
    if not isinstance(work, MinuteAndHour):
        return None
    arbor = going.train[MINUTE]
    return wording.say(
        f"setting.minute_wheel.{'alike' if work.cannon_leaves == work.minute_wheel_teeth else 'slower'}",
        period=words.period(arbor.hours_per_turn),
        sense=wording.say("drawings.clockwise" if arbor.clockwise else "drawings.counter_clockwise"),
        ratio=words.whole_and_part(Fraction(work.cannon_leaves, work.minute_wheel_teeth)),
    )


def _clutch(going: Going, solved: Setting, wording: Wording) -> list[str]:
    """What holds the hands, how fast, what they ask for, and what setting takes."""
    say, grip = wording.say, solved.grip
    said = [say(f"setting.clutch.{solved.clutch.kind}")]
    force = None if grip.force_n is None else words.figure(grip.force_n, 2)
    said.append(say(f"setting.clutch.{grip.origin}", torque=words.figure(grip.torque_nmm, 2), force=force))
    minute, need = solved.worst
    if solved.margin is None:
        said.append(say("setting.clutch.not_known"))
    else:
        key = "asks_little" if solved.margin > LITTLE else "asks"
        facts = {"need": words.figure(need, 2), "time": clock(minute), "margin": words.figure(solved.margin, 2)}
        said.append(say(f"setting.clutch.{key}", **facts))
        if any(hand.supposed for hand in solved.hands):
            said.append(say("setting.clutch.hands_supposed"))
    torque = words.figure(solved.set_nmm, 2)
    if solved.finger_n is None:
        said.append(say("setting.clutch.finger_none", torque=torque))
    else:
        said.append(say("setting.clutch.finger", torque=torque, force=words.figure(solved.finger_n, 2)))
    if solved.in_efficiency is not None:
        parts = {"out": solved.out_efficiency, "inwards": solved.in_efficiency}
        said.append(say("setting.clutch.meshes", **{name: words.figure(100 * part, 2) for name, part in parts.items()}))
    return said


def _states(solved: Setting, wording: Wording) -> list[Context]:
    """A row for each state of winding; one alone where all are alike, as under a weight."""
    rows = [_state(solved, held, wording) for held in solved.held]
    alike = all({**row, "state": ""} == {**rows[0], "state": ""} for row in rows)
    return [{**rows[0], "state": wording.say("pages.oscillator.always")}] if rows and alike else rows


def _state(solved: Setting, held: Held, wording: Wording) -> Context:
    does = solved.set_back(held)
    part = words.figure(100 * (1 - solved.grip.torque_nmm / held.given_nmm), 2) if does == "goes on" else ""
    return {
        "state": wording.say(f"site.player.state_names.{held.name}"),
        "given": words.figure(held.given_nmm, 3),
        "back": words.figure(held.back_nmm, 3),
        "on": wording.say("setting.clutch.cells.times", times=words.figure(solved.pushed_on(held), 3)),
        "does": wording.say(f"setting.clutch.cells.{does}", part=part),
    }


def keyless(shown: Shown, wording: Wording) -> Context | None:
    """None where the file says nothing of keyless work."""
    going, say = shown.going, wording.say
    made, solved = going.movement.keyless, setting(going)
    work, ratchet = going.movement.motion_work, going.movement.source.ratchet
    if "keyless" not in shown.plates or made is None or solved is None or ratchet is None:
        return None
    assert isinstance(work, MinuteAndHour)
    per_turn = made.crown_turns_per_ratchet_turn(ratchet.teeth)
    winds = [
        say("keyless.winds.crown-in"),
        say("keyless.winds.turns", turns=words.whole_and_part(per_turn), ratchet=ratchet.teeth, pinion=made.winding_pinion),
    ]
    turns, drive = going.train.source_turns, going.movement.source.drive
    if turns is not None:
        facts = {"barrel": words.figure(float(turns), 3), "crown": words.figure(float(turns * per_turn), 2)}
        winds.append(say("keyless.winds.whole", **facts))
    if drive is not None:
        torque = wound_nmm(going) / float(per_turn)
        winds.append(say("keyless.winds.torque", torque=words.figure(torque, 2)))
    by_turn = made.minute_hand_turns_per_crown_turn(work.cannon_leaves)
    sets = [
        say("keyless.sets.crown-out"),
        say(
            "keyless.sets.turns", minutes=words.whole_and_part(60 * by_turn), clutch=made.clutch, cannon=work.cannon_leaves,
            crown=words.whole_and_part(1 / by_turn),
        ),
        say("keyless.sets.on" if made.clockwise_sets_on else "keyless.sets.back"),
        say("keyless.sets.torque", torque=words.figure(crown_nmm(going, solved), 2)),
    ]  # fmt: skip
    sheet = shown.plate("keyless")
    return {
        "drawing": {**sheet, "sheet": replace(sheet["sheet"], states={})},
        "words": {**wording["site.player"], "standing": say("keyless.page.standing", speed="{speed}")},
        "states": [(state, say(f"keyless.states.{state}")) for state in STATES],
        "winds": [*winds, say("keyless.winds.back")],
        "sets": sets,
        "supposed": say("keyless.sets.supposed") if made.supposed else None,
    }
