"""The oscillator: what counts the time, how far it swings, what drives and what delays it."""

from __future__ import annotations

import math

from builder.going.going import Going
from builder.going.steady import Running, Stopped
from builder.going.uncertain import Open, left_open
from builder.ground import words
from builder.ground.constants import ROOM_C
from builder.ground.wording import Wording
from builder.pages import sounds
from builder.pages.shown import Context, Shown
from builder.parts.escapement import DetachedLever
from builder.parts.oscillator.counted import Counted


def context(shown: Shown, wording: Wording) -> Context | None:
    """None where no beat is solved."""
    if "oscillator" not in shown.plates:
        return None
    going, say = shown.going, wording.say
    beat = going.beat
    assert beat is not None
    oscillator = going.movement.oscillator
    assert not isinstance(oscillator, Counted)
    kind = oscillator.kind
    states = []
    for winding in beat.windings:
        name = say(f"site.player.state_names.{winding.name}")
        if isinstance(winding.beat, Stopped):
            states.append({"state": name, "text": say("pages.oscillator.stops", reason=winding.beat.text)})
            continue
        running = winding.beat
        key = "rebanks" if running.rebanks else "runs"
        states.append(
            {
                "state": name,
                "text": say(
                    f"pages.oscillator.{key}",
                    amplitude=words.figure(running.amplitude_deg, 3),
                    rate=words.signed(running.rate_s_per_day),
                    least=words.figure(math.degrees(running.least_rad), 3),
                    error=words.figure(running.beat_error_ms, 2),
                ),
            }
        )
    if len({item["text"] for item in states}) == 1:  # a weight drives alike all the way down
        states = [{"state": say("pages.oscillator.always"), "text": states[0]["text"]}]
    sentences = _estimates(going, wording)
    rated = next((w.beat for w in beat.windings if isinstance(w.beat, Running)), None)
    if rated is not None:
        sentences.append(
            say(
                f"pages.oscillator.errors_{kind}",
                circular=words.signed(rated.circular_s_per_day),
                escapement=words.signed(rated.escapement_s_per_day),
            )
        )
        sentences.append(
            say(
                "pages.oscillator.energy",
                given=words.figure(rated.given_j * 1e6, 3),
                reaches=words.figure(rated.work.oscillator * 1e6, 3),
                share=words.figure(100 * rated.efficiency, 2),
            )
        )
    sentences += _rating(shown, wording)
    return {
        "title": f"{going.name}: {say('pages.stations.oscillator').lower()}",
        "lede": say(f"pages.oscillator.lede_{_led(going)}"),
        "oscillator": shown.plate("oscillator"),
        "heard": sounds.context(going, "oscillator", wording),
        "chart": shown.plate("beat-chart") if "beat-chart" in shown.plates else None,
        "states": states,
        "sentences": sentences,
    }


def _led(going: Going) -> str:
    """What the first sentence is about: a balance that no lever sets free is told of by its escapement."""
    escapement, kind = going.movement.escapement, going.movement.oscillator.kind
    return escapement.kind if kind == "balance" and not isinstance(escapement, DetachedLever) else kind


def _estimates(going: Going, wording: Wording) -> list[str]:
    """The quality factor, and what is left open where it or a spring's torque was not measured."""
    oscillator, beat, say = going.movement.oscillator, going.beat, wording.say
    assert beat is not None
    assert not isinstance(oscillator, Counted)
    ends = {one.cause: one for one in left_open(going)}
    q = words.figure(beat.terms.q_factor, 2)
    if oscillator.q_factor is not None:
        found = [say("pages.oscillator.quality_given", q=q)]
    elif (quality := ends.get("quality")) is not None:
        least, most = words.figure(quality.least, 2), words.figure(quality.most, 2)
        found = [say(f"pages.oscillator.quality_{oscillator.kind}", q=q, least=least, most=most, **_would(quality, wording))]
    else:
        found = [say("pages.oscillator.quality_alone", q=q)]
    drive = going.movement.source.drive
    if drive is not None and (torque := ends.get("torque")) is not None:
        percent = words.figure(100 * drive.uncertainty, 2)
        found.append(say("pages.oscillator.torque_open", percent=percent, **_would(torque, wording)))
    return found


def _would(one: Open, wording: Wording) -> dict[str, str]:
    """What it would do at either end of an estimate."""
    done = {}
    for name, beat in (("at_least", one.at_least), ("at_most", one.at_most)):
        if isinstance(beat, Stopped):
            key = "would_be_too_wide" if beat.reason == "swings too wide" else "would_stop"
            done[name] = wording.say(f"pages.oscillator.{key}")
            continue
        key = "would_rebank" if beat.rebanks else "would_swing"
        done[name] = wording.say(f"pages.oscillator.{key}", amplitude=words.figure(beat.amplitude_deg, 3))
    return done


def _rating(shown: Shown, wording: Wording) -> list[str]:
    """What nut or regulator, warmth, air and a heavy spot do to the rate."""
    oscillator = shown.going.movement.oscillator
    assert not isinstance(oscillator, Counted)
    facts = {fact.kind: fact.text for fact in shown.facts if fact.group == "rating"}

    def said(key: str, **names: str) -> str:
        return wording.say(f"pages.oscillator.{key}", **names)

    if oscillator.kind == "pendulum":
        found = [said("rating_pendulum", centre=facts["bob_centre"], warmth=facts["warmth_pendulum"], air=facts["air"])]
        found += [said("rating_nut", turn=facts["nut_turn"].removeprefix("+"))] if "nut_turn" in facts else []
    else:
        found = [said("rating_balance", warmth=facts.get("warmth_balance") or facts["warmth_cut"])]
        found += [said("rating_regulator", gain=facts["regulator"].removeprefix("+"))] if "regulator" in facts else []
    if oscillator.temperature_c != ROOM_C:
        found.append(said("rating_warm", room=f"{ROOM_C:g}", at=f"{oscillator.temperature_c:g}"))
    spots = [fact.text for fact in shown.facts if fact.kind == "poise"]
    return [*found, *([said("rating_poise", gains=", ".join(spots))] if spots else [])]
