"""The oscillator: what counts the time, how far it swings, what drives and what delays it."""

from __future__ import annotations

import math

from builder.going.steady import Running, Stopped
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages import sounds
from builder.pages.shown import Context, Shown
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
    sentences = [
        say(
            f"pages.oscillator.quality_{'given' if oscillator.q_factor is not None else 'estimated'}",
            q=words.figure(beat.terms.q_factor, 2),
        )
    ]
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
    return {
        "title": f"{going.name}: {say('pages.stations.oscillator').lower()}",
        "lede": say(f"pages.oscillator.lede_{kind}"),
        "oscillator": shown.plate("oscillator"),
        "heard": sounds.context(going, "oscillator", wording),
        "chart": shown.plate("beat-chart") if "beat-chart" in shown.plates else None,
        "states": states,
        "sentences": sentences,
    }
