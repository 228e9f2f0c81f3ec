"""Free places for numbered balloons about a drawing that leaves its margins to parts: near what they point at, on nothing."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

ROOM_PX = 36.0
"""Radius kept free for a balloon: it grows on narrow screens (drawing.css)."""
REACHES_PX = tuple(range(56, 320, 14))
WAYS = 36
STEPS = 16
OVER = 5.0
"""How much dearer a leader is where it runs over something."""


@dataclass(frozen=True)
class Mark:
    """A balloon's place and where its leader ends."""

    at: complex
    tip: complex


def free(tips: dict[str, complex], taken: list[tuple[complex, float]]) -> dict[str, Mark]:
    """A place for each tip: off all `taken` circles and other balloons, no leaders crossing, a short leader over little else.

    Those with least room are placed first. Where none is free, the longest leader straight up.
    """
    marks: dict[str, Mark] = {}
    free_of = {part: [at for at in _tries(tip) if _clear(at, taken, [])] for part, tip in tips.items()}
    for part in sorted(tips, key=lambda part: (len(free_of[part]), part)):
        tip, others = tips[part], list(marks.values())
        best, least = tip + 1j * REACHES_PX[-1], math.inf
        for at in free_of[part]:
            if abs(at - tip) >= least:  # none further out can be cheaper
                break
            if not _clear(at, [], others) or any(_meets(at, tip, one) for one in others):
                continue
            if (cost := _cost(at, tip, taken)) < least:
                best, least = at, cost
        marks[part] = Mark(best, tip)
    return marks


def _cost(at: complex, tip: complex, taken: list[tuple[complex, float]]) -> float:
    """Length of a leader, what runs over other things than its own counting several times."""
    others = [(centre, radius) for centre, radius in taken if abs(tip - centre) > radius]
    places = [tip + (at - tip) * k / STEPS for k in range(STEPS)]
    over = sum(any(abs(place - centre) < radius for centre, radius in others) for place in places)
    return round(abs(at - tip) * (1 + OVER * over / STEPS), 3)


def _tries(tip: complex) -> list[complex]:
    return [tip + cmath.rect(reach, 2 * math.pi * k / WAYS) for reach in REACHES_PX for k in range(WAYS)]


def _clear(at: complex, taken: list[tuple[complex, float]], others: list[Mark]) -> bool:
    far = all(abs(at - centre) > radius + ROOM_PX for centre, radius in taken)
    return far and all(abs(at - one.at) > 2 * ROOM_PX and _off(at, one) > ROOM_PX for one in others)


def _off(at: complex, one: Mark) -> float:
    """Distance of a place from a leader."""
    way = one.tip - one.at
    share = max(0.0, min(1.0, ((at - one.at) * way.conjugate()).real / abs(way) ** 2))
    return abs(at - one.at - share * way)


def _meets(at: complex, tip: complex, one: Mark) -> bool:
    """Whether a leader crosses another, or runs through its balloon."""

    def side(p: complex, q: complex, r: complex) -> float:
        return ((q - p).conjugate() * (r - p)).imag

    a, b = (side(at, tip, one.at), side(at, tip, one.tip)), (side(one.at, one.tip, at), side(one.at, one.tip, tip))
    return (a[0] * a[1] < 0 and b[0] * b[1] < 0) or _off(one.at, Mark(at, tip)) < ROOM_PX
