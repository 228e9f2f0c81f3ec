"""The answers worked out a second time, from the counts of the file alone; nothing is shared with builder/lessons.

Laws used: tooth goes by tooth, so turns are as the counts turned round; meshes reverse the sense; a minute hand turns once an
hour, clockwise as seen from the front; both pallets stop each tooth (trade knowledge: D. Beckett Denison, W. J. Gazeley).
"""

from __future__ import annotations

import re
from fractions import Fraction
from math import prod
from typing import Any

from builder.ground import words

THIN = words.THIN
HOURS = {"s": Fraction(1, 3600), "min": Fraction(1, 60), "h": Fraction(1), "days": Fraction(24), "day": Fraction(24)}
NUMBER = rf"\d[\d{THIN}]*(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+"


def number(text: str) -> Fraction:
    """7 1/2, 18 000, 44.4 as they are written."""
    whole = Fraction(0)
    for part in text.strip(f" {THIN}").split(" "):
        whole += Fraction(part.replace(THIN, ""))
    return whole


def numbers(text: str) -> list[Fraction]:
    """All figures of a text, in order."""
    return [number(found) for found in re.findall(rf"\d+/\d+|{NUMBER}", text)]


def hours(text: str) -> Fraction:
    """'7 1/2 min', '2 days 2 h' in hours."""
    found = re.findall(rf"(\d+/\d+|{NUMBER}){THIN}(s|min|h|days?)\b", text)
    assert found, text
    return sum((number(value) * HOURS[unit] for value, unit in found), Fraction(0))


class Counted:
    """A movement file's counts, followed from the minute hand."""

    def __init__(self, raw: dict[str, Any]) -> None:
        self.raw = raw
        self.teeth: dict[str, int] = {}
        self.leaves: dict[str, int] = {}
        for arbor in raw["arbors"]:
            if "wheel" in arbor:
                self.teeth[arbor["id"]] = arbor["wheel"]["teeth"]
            if "pinion" in arbor:
                self.leaves[arbor["id"]] = arbor["pinion"]["leaves"]
        self.path = [raw["source"]["arbor"]]
        drives = {mesh["driver"]: mesh["driven"] for mesh in raw["meshes"]}
        while self.path[-1] in drives:
            self.path.append(drives[self.path[-1]])
        self.hand = raw["motion_work"]["on"]
        self.escape_teeth = raw["escapement"]["teeth"]
        self.work = raw["motion_work"]

    def ratio(self, start: str, end: str) -> Fraction:
        """Turns of one arbor of the train for one of another."""
        first, last = sorted((self.path.index(start), self.path.index(end)))
        steps = zip(self.path[first:last], self.path[first + 1 : last + 1], strict=True)
        up = prod((Fraction(self.teeth[a], self.leaves[b]) for a, b in steps), start=Fraction(1))
        return up if self.path.index(start) <= self.path.index(end) else 1 / up

    def turns_per_hour(self, arbor: str) -> Fraction:
        """By the minute hand, which turns once."""
        if arbor == "cannon":
            return Fraction(1)
        if arbor == "minute_wheel":
            return Fraction(self.work["cannon_leaves"], self.work["minute_wheel_teeth"])
        if arbor == "hour_wheel":
            return self.turns_per_hour("minute_wheel") * Fraction(
                self.work["minute_pinion_leaves"], self.work["hour_wheel_teeth"]
            )
        return self.ratio(self.hand, arbor)

    def clockwise(self, arbor: str) -> bool:
        """From the front: an even number of meshes from the minute hand's arbor."""
        meshes = {"cannon": 0, "minute_wheel": 1, "hour_wheel": 2}.get(arbor)
        if meshes is None:
            meshes = abs(self.path.index(arbor) - self.path.index(self.hand))
        return meshes % 2 == 0

    @property
    def beats_per_hour(self) -> Fraction:
        """Two for each tooth."""
        return 2 * self.escape_teeth * self.turns_per_hour(self.path[-1])

    def gain_min(self, changed: Counted) -> Fraction:
        """Minutes an hour that the minute hand gains with other counts, the oscillator beating as before."""
        return 60 * (self.beats_per_hour / changed.beats_per_hour - 1)
