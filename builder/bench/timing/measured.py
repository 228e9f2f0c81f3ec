"""Beats that were taken down at the bench: a CSV with the time of each beat, and where it is known of its last noise.

A line is `time` or `time,last`, in seconds with a decimal point, rising. A first line of words is a heading, a line that begins
with # is a note, an empty line is nothing. Beats that were not heard are bridged and counted; a noise that comes too soon after
a beat to be the next one is left out and counted. Nothing is smoothed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from builder.bench.timing.noises import Noises
from builder.ground.faults import Fault, FaultsFound
from builder.movement.textfile import shortened, shown, text_of

LARGEST_BYTES = 512 * 1024
"""Two hours of a watch."""
FEWEST = 20
"""Fewer beats tell little of a rate; common practice, no source."""
MOST = 20_000
TOO_SOON = 0.3
"""A noise within this part of a beat after the one before is no beat; a clock so far out of beat would hardly go."""
OTHER_BEAT = 0.02
"""A mean beat that is off by more than this part (half an hour a day) belongs to another movement."""
WIDEST_S = 1e6
MOST_FAULTS = 40

Row = tuple[int, float, float]
"""(line, time s, time of the last noise s or nan)."""


@dataclass(frozen=True)
class Measured:
    """Beats as they were taken down."""

    noises: Noises
    missed: int
    """Beats that were bridged."""
    left_out: int
    """Noises that were no beat."""


def read_beats(path: Path, root: Path, beat_s: float) -> Measured:
    """The beats of a file; `beat_s` is the movement's own. Messages name the file from `root` on.

    Raises FaultsFound with every fault: what is no time, what does not rise, too few beats, another movement's beat.
    """
    text = text_of(path, root, LARGEST_BYTES)
    reader = _Reader(shown(path, root))
    rows = [row for number, line in enumerate(text.split("\n"), 1) if (row := reader.row(number, line)) is not None]
    reader.rising(rows)
    reader.enough(rows)
    if reader.faults:
        raise FaultsFound(reader.faults[:MOST_FAULTS])
    kept, numbers, left_out = _numbered(rows, beat_s)
    if len(kept) < FEWEST:
        reader.few(len(kept), rows[-1][0])
    else:
        reader.same_beat(kept, numbers, beat_s)
    if reader.faults:
        raise FaultsFound(reader.faults)
    times, last = (np.array([row[k] for row in kept]) for k in (1, 2))
    missed = numbers[-1] + 1 - len(numbers)
    return Measured(Noises(np.array(numbers), times, last if np.isfinite(last).any() else None), missed, left_out)


def _numbered(rows: list[Row], beat_s: float) -> tuple[list[Row], list[int], int]:
    """(beats, their numbers, how many noises were left out)."""
    kept, numbers, left_out = rows[:1], [0], 0
    for row in rows[1:]:
        passed = (row[1] - kept[-1][1]) / beat_s
        if passed < TOO_SOON:
            left_out += 1
            continue
        kept.append(row)
        numbers.append(numbers[-1] + max(1, round(passed)))
    return kept, numbers, left_out


class _Reader:
    """A file being read: its faults so far."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.begun = False

    def fault(self, line: int, column: int, value: str, allowed: str, advice: str) -> None:
        self.faults.append(Fault(self.file, line, column, "", shortened(value) or "nothing", allowed, advice))

    def row(self, number: int, line: str) -> Row | None:
        """One line; None for a heading, a note, an empty line, and for what is wrong (then there is a fault)."""
        if not line.strip() or line.lstrip().startswith("#"):
            return None
        cells = line.split(",")
        heading = not self.begun and not any(letter.isdigit() for letter in line)
        self.begun = True
        if heading:
            return None
        if len(cells) > 2:
            advice = "A point, not a comma, goes before the decimals; keep one or two columns."
            self.fault(number, 1, line, "the time of a beat, or that and the time of its last noise", advice)
            return None
        found: list[float | None] = []
        column = 1
        for cell in cells:
            found.append(self.time(number, column + len(cell) - len(cell.lstrip()), cell.strip(), optional=bool(found)))
            column += len(cell) + 1
        time = found[0]
        last = found[1] if len(found) > 1 else math.nan
        if time is None or last is None:
            return None
        if last < time:
            self.fault(
                number, line.index(",") + 2, cells[1].strip(), f"after the beat's first noise, {time:g} s", "Read it again."
            )
            return None
        return number, time, last

    def time(self, line: int, column: int, text: str, optional: bool) -> float | None:
        """A time, s; nan where it is left open and may be."""
        if not text and optional:
            return math.nan
        try:
            value = float(text) if text.isascii() and "_" not in text else math.nan
        except ValueError:
            value = math.nan
        if not 0.0 <= value <= WIDEST_S:
            self.fault(line, column, text, "seconds since the start, as 12.345", "Write the time as a plain number.")
            return None
        return value

    def rising(self, rows: list[Row]) -> None:
        """Each beat comes after the one before."""
        for (_, before, _), (line, time, _) in pairwise(rows):
            if time <= before:
                self.fault(line, 1, f"{time:g}", f"later than the beat before, {before:g} s", "Put the beats in order.")

    def enough(self, rows: list[Row]) -> None:
        """Neither too few nor too many."""
        if not self.faults and len(rows) < FEWEST:
            self.few(len(rows), rows[-1][0] if rows else 1)
        elif len(rows) > MOST:
            advice = "Some minutes are enough: keep those."
            self.fault(rows[MOST][0], 1, f"{len(rows)} beats", f"at most {MOST} beats", advice)

    def few(self, count: int, line: int) -> None:
        self.fault(line, 1, f"{count} beats", f"at least {FEWEST} beats", "Listen a little longer.")

    def same_beat(self, kept: list[Row], numbers: list[int], beat_s: float) -> None:
        """The movement's own beat."""
        mean = (kept[-1][1] - kept[0][1]) / (numbers[-1] - numbers[0])
        if abs(mean / beat_s - 1.0) > OTHER_BEAT:
            advice = "Is it another movement's, or are the times not in seconds?"
            self.fault(kept[-1][0], 1, f"a beat every {mean:.4g} s", f"about {beat_s:.4g} s, this movement's beat", advice)
