"""A drawing that moves in programs that do not play moving SVG: GIF, WebP or APNG, over whole periods, without a seam."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from builder.drawing.sheet import Figure, Sheet
from builder.packs.error import PackError
from builder.packs.literal import Cascade
from builder.packs.loop import loop_ms, orders, standing
from builder.packs.pictures import Form, Signed, assembled
from builder.packs.posed import Look, Posed, dressed, in_state
from builder.packs.raster import png
from builder.packs.stock import Told

CALM_S = 12.0
"""A loop that is chosen for the teacher is no longer: a class has seen it, and the file is small enough to mail."""
MOST_FRAMES = 600
MOST_PIXELS = 200_000_000
"""In all pictures together: they are held in memory, a byte each, while the file is made."""
LADDER = tuple(step * 10.0**power for power in range(-3, 6) for step in (1, 2, 5))
"""Speeds that are tried, one after the other, where the drawing's own makes no short loop."""


@dataclass(frozen=True)
class Plan:
    """One loop: what of the clock's time it shows, in how many frames, each for how long; with wheels' arms or without, and
    the ids of what is too quick to be shown moving."""

    shown_ms: Fraction
    frames: int
    frame_ms: int
    arms: bool
    standing: frozenset[str]

    @property
    def speed(self) -> float:
        """Seconds shown in a second, as it comes out in whole frames."""
        return float(self.shown_ms / (self.frames * self.frame_ms))

    @property
    def length_s(self) -> float:
        """How long the film is."""
        return self.frames * self.frame_ms / 1000


@dataclass(frozen=True)
class Wish:
    """What was asked for: speed (None: the drawing's own, or the next that makes a short loop), how long each picture stands,
    and wheels with arms or without (None: with them where that makes a short loop too)."""

    speed: float | None = None
    frame_ms: int = 50
    arms: bool | None = None


def film(
    sheet: Sheet, look: Look, css: str, width_px: int, form: Form, wish: Wish, signed: Signed, told: Told
) -> tuple[bytes, Plan]:
    """The file, and what loop it shows. Raises PackError; KeyError for a state that the drawing has not."""
    cascade = Cascade(css, look.dark)
    looks = {arms: replace(look, arms=arms) for arms in ((True, False) if wish.arms is None else (wish.arms,))}
    posed = {arms: dressed(in_state(sheet, look.winding), each) for arms, each in looks.items()}
    if len(posed) == 2 and posed[True] == posed[False]:
        del posed[False]  # no wheel in it has arms
    _, _, width, height = sheet.box
    most = min(MOST_FRAMES, int(MOST_PIXELS / (width_px * width_px * height / width)))
    plan = chosen(posed, wish, most, css)
    seen = Posed(posed[plan.arms], looks[plan.arms], cascade, plan.standing, width_px)
    paper = cascade.token("--paper")

    def frame(n: int) -> bytes:
        return png(seen.at(look.time_s + float(plan.shown_ms * n / plan.frames) / 1000), width_px, paper)

    def frames() -> Iterator[bytes]:
        for n in range(plan.frames):
            yield frame(n)
            told(n + 1, plan.frames)

    samples = [frame(n) for n in sorted({plan.frames * k // 6 for k in range(6)})]
    return assembled(frames(), samples, paper, form, plan.frame_ms, signed), plan


def chosen(posed: dict[bool, Sheet], wish: Wish, most: int, css: str) -> Plan:
    """The loop at the speed that is wished; where none is, at the drawing's own, or the next at which a short loop fits.

    `posed`: the drawing with arms (True) and without, or one of them; with arms is preferred at the same speed.
    Raises PackError: nothing moves, or it takes more than `most` frames.
    """
    sheet, bare = next(iter(posed.values())), Cascade(css)
    if not sheet.moves():
        raise PackError("Nothing in this drawing moves; take a still picture: pack drawing … --as png.")
    seen: dict[Figure, int] = {}

    def raster(alone: Sheet, width_px: int) -> bytes:
        return png(Posed(alone, Look(labels=False), bare).at(0), width_px, "#fff")

    known = {arms: orders(each, raster, seen) for arms, each in posed.items()}
    own = wish.speed or sheet.speed
    calm = min(most, int(CALM_S * 1000 / wish.frame_ms))

    def loops(speed: float) -> list[Plan]:
        """Where something is seen to move at this speed."""
        shown = {arms: loop_ms(each, speed, known[arms]) for arms, each in posed.items()}
        return [
            Plan(ms, max(2, round(float(ms) / speed / wish.frame_ms)), wish.frame_ms, arms, standing(posed[arms], speed))
            for arms, ms in shown.items()
            if ms
        ]

    at_own = loops(own)
    if not at_own:
        raise PackError("Nothing in this drawing is seen to move at this speed; take a lower --speed, or a still picture.")
    faster = [(speed, plan) for speed in LADDER if speed > own for plan in loops(speed)]
    tried = at_own if wish.speed else [*at_own, *(plan for _, plan in faster)]
    short = next((plan for plan in tried if plan.frames <= calm), None)
    fitting = short or min((plan for plan in tried if plan.frames <= most), key=lambda plan: plan.frames, default=None)
    if fitting is not None:
        return fitting
    least = min(at_own, key=lambda plan: plan.frames)
    from_here = next((speed for speed, plan in faster if plan.frames <= most), None)
    advice = f"From --speed {from_here:g} on it fits." if from_here else "Take a lower --rate or a smaller --width."
    raise PackError(
        f"At this speed all parts stand as at the start after {_long(float(least.shown_ms) / own)} only: {least.frames} pictures,"
        f" and {most} are the most of this size. {advice}"
    )


def _long(ms: float) -> str:
    return f"{ms / 1000:.0f} s" if ms < 120_000 else f"{ms / 60_000:.0f} min" if ms < 7_200_000 else f"{ms / 3_600_000:.0f} h"
