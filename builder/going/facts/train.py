"""Beat and turns, exactly as the counts make them."""

from __future__ import annotations

from builder.going.facts.fact import Fact
from builder.going.going import Going
from builder.ground import words


def beat(going: Going) -> list[Fact]:
    """The beat that the counts ask for."""
    train = going.train
    escape = train[train.path[-1]]
    turns = words.whole_and_part(abs(escape.turns_per_hour))
    beats = train.beats_per_hour
    said = words.whole_and_part
    from_beats = (("beats_per_hour", said(beats)),)
    (periods, whole_ms), drift = going.motion.repetition, going.motion.drift_s_per_day
    return [
        Fact(
            "beat.beats_per_hour", "beat", "beats_per_hour", escape.title, beats, "1/h", said(beats),
            (("turns_per_hour", turns), ("teeth", str(train.escape_teeth)), ("beats_per_tooth", str(train.beats_per_tooth))),
        ),
        Fact(
            "beat.beats_per_second", "beat", "beats_per_second", escape.title, beats / 3600, "1/s", said(beats / 3600), from_beats
        ),
        Fact("beat.beat_s", "beat", "beat_s", escape.title, train.beat_s, "s", said(train.beat_s), from_beats),
        Fact(
            "beat.teeth_per_minute", "beat", "teeth_per_minute", escape.title, train.teeth_per_minute, "1/min",
            said(train.teeth_per_minute), (*from_beats, ("beats_per_tooth", str(train.beats_per_tooth))),
        ),
        Fact(
            "beat.drawing_drift_s_per_day", "beat", "drawing_drift", escape.title, drift, "s", words.signed(float(drift), 2),
            (("repetition", f"{periods} × {said(going.motion.period_ms)} ms"), ("kept_as", f"{whole_ms} ms")),
        ),
    ]  # fmt: skip


def arbors(going: Going) -> list[Fact]:
    """Turns, period and sense of every arbor."""
    found = []
    for arbor in going.train.arbors:
        inputs: tuple[tuple[str, str], ...] = ()
        if arbor.driven_by is not None:
            pair = going.train.pairs[arbor.driven_by]
            driver = going.train[pair.driver]
            inputs = (
                ("driver_turns", words.whole_and_part(abs(driver.turns_per_hour))),
                ("driver_count", str(pair.driver_count)),
                ("driven_count", str(pair.driven_count)),
            )
        turns = abs(arbor.turns_per_hour)
        sense = "clockwise" if arbor.clockwise else "counter-clockwise"
        text = words.whole_and_part(turns)
        start = f"train.{arbor.id}"
        kind = "turns_per_hour" if arbor.driven_by is not None else "turns_per_hour_first"
        found += [
            Fact(f"{start}.turns_per_hour", "train", kind, arbor.title, turns, "1/h", text, inputs),
            Fact(
                f"{start}.period_s", "train", "period", arbor.title, arbor.hours_per_turn * 3600, "s",
                words.period(arbor.hours_per_turn), (("turns_per_hour", text),),
            ),
            Fact(f"{start}.sense", "train", "sense", arbor.title, sense, "", sense),
        ]  # fmt: skip
    return found


def meshes(going: Going) -> list[Fact]:
    """The ratio of every mesh and of the whole train."""
    found = []
    for pair in going.train.pairs:
        subject = f"{going.train[pair.driver].title} – {going.train[pair.driven].title}"
        inputs = (("driver_count", str(pair.driver_count)), ("driven_count", str(pair.driven_count)))
        key = f"mesh.{pair.driver}.{pair.driven}.ratio"
        found.append(Fact(key, "train", "ratio", subject, pair.ratio, "", words.whole_and_part(pair.ratio), inputs))
    ratio = going.train.whole_ratio
    product = " × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in going.train.path_pairs) or "1"
    ends = f"{going.train[going.train.path[0]].title} – {going.train[going.train.path[-1]].title}"
    found.append(
        Fact("train.ratio", "train", "whole_ratio", ends, ratio, "", words.whole_and_part(ratio), (("product", product),))
    )
    return found
