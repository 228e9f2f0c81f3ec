"""What carries the hands and lets them be set; winding and setting by a crown."""

from __future__ import annotations

from builder.going.facts.fact import Fact, Inputs, quantity
from builder.going.facts.power import state_key
from builder.going.going import Going
from builder.going.setting import Setting, clock, crown_nmm, wound_nmm
from builder.going.setting import setting as solve
from builder.going.train import HAND_NAMES
from builder.ground import words
from builder.parts.motion_work import MinuteAndHour

GROUP, KEYLESS = "setting", "keyless"


def setting(going: Going) -> list[Fact]:
    """Nothing without motion work."""
    solved = solve(going)
    if solved is None:
        return []
    return [*_friction(solved), *_hands(going, solved), *_states(solved), *_keyless(going, solved)]


def _torque(key: str, kind: str, value: float, inputs: Inputs = (), state: str | None = None, subject: str = "") -> Fact:
    return Fact(key, GROUP, kind, subject, value, "N·mm", words.figure(value, 3), inputs, state)


def _friction(solved: Setting) -> list[Fact]:
    grip = solved.grip
    if grip.force_n is None or grip.radius_mm is None or grip.friction is None:
        return [_torque("setting.slip_nmm", "slip_measured", grip.torque_nmm)]
    inputs = (
        ("faces", str(grip.faces)),
        ("friction", words.figure(grip.friction, 2)),
        ("force", quantity(grip.force_n, "N", 3)),
        ("radius", quantity(grip.radius_mm, "mm", 3)),
    )
    return [
        Fact("setting.force_n", GROUP, f"force_{solved.clutch.kind}", "", grip.force_n, "N", words.figure(grip.force_n, 3)),
        _torque("setting.slip_nmm", f"slip_{grip.origin}", grip.torque_nmm, inputs),
    ]


def _hands(going: Going, solved: Setting) -> list[Fact]:
    found = []
    for hand in solved.hands:
        inputs = (("mass", quantity(hand.mass_g, "g", 3)), ("balance_at", quantity(hand.centre_mm, "mm", 3)))
        kind = "unbalance_supposed" if hand.supposed else "unbalance"
        subject = f"{HAND_NAMES[hand.shows].capitalize()} hand"
        found.append(_torque(f"setting.{hand.shows}.unbalance_nmm", kind, hand.unbalance_nmm, inputs, subject=subject))
    for name, value in (("out", solved.out_efficiency), ("in", solved.in_efficiency)):
        if value is not None and solved.in_efficiency is not None:
            text = f"{words.figure(100 * value, 3)}{words.THIN}%"
            friction = (("friction", words.figure(going.movement.friction.teeth, 2)),)
            found.append(Fact(f"setting.efficiency_{name}", GROUP, f"efficiency_{name}", "", value, "", text, friction))
    if solved.margin is not None:
        minute, need = solved.worst
        slip = ("slip", quantity(solved.grip.torque_nmm, "N·mm", 3))
        asked = ("asked", quantity(need, "N·mm", 3))
        found += [
            _torque("setting.asked_nmm", "asked", need, (("at", clock(minute)),)),
            Fact("setting.margin", GROUP, "hand_margin", "", solved.margin, "", words.figure(solved.margin, 2), (slip, asked)),
            _torque("setting.set_nmm", "set", solved.set_nmm, (slip, asked)),
        ]
    return found


def _states(solved: Setting) -> list[Fact]:
    found = []
    for held in solved.held:
        start = f"setting.{state_key(held.name)}"
        on = solved.pushed_on(held)
        inputs = (("slip", quantity(solved.grip.torque_nmm, "N·mm", 3)), ("given", quantity(held.given_nmm, "N·mm", 3)))
        found += [
            _torque(f"{start}.given_nmm", "given", held.given_nmm, state=held.name),
            _torque(f"{start}.back_nmm", "turned_back", held.back_nmm, state=held.name),
            Fact(f"{start}.pushed_on", GROUP, "pushed_on", "", on, "", words.figure(on, 3), inputs, held.name),
        ]
    return found


def _keyless(going: Going, solved: Setting) -> list[Fact]:
    made, work, ratchet = going.movement.keyless, going.movement.motion_work, going.movement.source.ratchet
    if made is None or not isinstance(work, MinuteAndHour):
        return []
    found = []
    hand = 60 * made.minute_hand_turns_per_crown_turn(work.cannon_leaves)
    counts: Inputs = (("clutch", str(made.clutch)), ("cannon", str(work.cannon_leaves)))
    crown = crown_nmm(going, solved)
    if ratchet is not None:
        turns = made.crown_turns_per_ratchet_turn(ratchet.teeth)
        inputs = (("ratchet", str(ratchet.teeth)), ("winding_pinion", str(made.winding_pinion)))
        found.append(Fact("keyless.crown_turns", KEYLESS, "crown_turns", "", turns, "", words.whole_and_part(turns), inputs))
        whole = going.train.source_turns
        if whole is not None:
            value = whole * turns
            facts = (("source_turns", words.whole_and_part(whole)), ("crown_turns", words.whole_and_part(turns)))
            found.append(Fact("keyless.whole", KEYLESS, "crown_whole", "", value, "", words.figure(float(value), 3), facts))
        if going.movement.source.drive is not None:
            torque = wound_nmm(going) / float(turns)
            found.append(Fact("keyless.wind_nmm", KEYLESS, "crown_wind", "", torque, "N·mm", words.figure(torque, 2)))
    text = f"{words.whole_and_part(hand)}{words.THIN}min"
    found.append(Fact("keyless.minutes", KEYLESS, "crown_minutes", "", hand, "min", text, counts))
    found.append(Fact("keyless.set_nmm", KEYLESS, "crown_set", "", crown, "N·mm", words.figure(crown, 2)))
    return found
