"""A drawing that moves in programs that do not play moving SVG: GIF, WebP or APNG, over whole periods, without a seam."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from builder.drawing.sheet import Sheet
from builder.packs.error import PackError, no_pictures
from builder.packs.literal import Cascade
from builder.packs.loop import loop_ms, orders, standing
from builder.packs.posed import Look, Posed, in_state, without_arms
from builder.packs.raster import png

if TYPE_CHECKING:
    from PIL.Image import Image

Form = Literal["gif", "webp", "apng"]
MOST_FRAMES = 600
MOST_PIXELS = 150_000_000
"""In all pictures together: they are held in memory, three bytes each, while the file is made."""
COLOURS = 255

Told = Callable[[int, int], None]
"""Frames that are done, and frames in all."""


@dataclass(frozen=True)
class Plan:
    """One loop: what of the clock's time it shows, in how many frames, each for how long."""

    shown_ms: Fraction
    frames: int
    frame_ms: int

    @property
    def speed(self) -> float:
        """Seconds shown in a second, as it comes out in whole frames."""
        return float(self.shown_ms / (self.frames * self.frame_ms))


def plan(sheet: Sheet, speed: float | None, frame_ms: int, most: int, known: dict[str, int]) -> Plan:
    """The loop at about this speed; at the drawing's own, or the next at which one fits, where none is given.

    Raises PackError: nothing moves, or it takes more than `most` frames.
    """
    wanted = speed or sheet.speed
    shown = loop_ms(sheet, wanted, known)
    if not shown:
        raise PackError("Nothing in this drawing is seen to move at this speed; take a still picture, or a lower --speed.")
    frames = max(2, round(float(shown) / wanted / frame_ms))
    if frames <= most:
        return Plan(shown, frames, frame_ms)
    faster = _first(sheet, wanted, frame_ms, most, known)
    if faster is not None and speed is None:
        return plan(sheet, faster, frame_ms, most, known)
    advice = f"From --speed {faster:g} on it fits." if faster else "Take a lower --rate or a smaller --width."
    raise PackError(
        f"At this speed all parts stand as at the start after {_long(float(shown) / wanted)} only: {frames} pictures, and "
        f"{most} are the most of this size. {advice}"
    )


def _first(sheet: Sheet, speed: float, frame_ms: int, most: int, known: dict[str, int]) -> float | None:
    """The next higher speed, of 1, 2, 5, 10 …, at which a loop fits."""
    tried = (step * 10.0**power for power in range(-3, 6) for step in (1, 2, 5))
    for faster in tried:
        if faster > speed and 0 < float(loop_ms(sheet, faster, known)) / faster / frame_ms <= most:
            return faster
    return None


def _long(ms: float) -> str:
    return f"{ms / 1000:.0f} s" if ms < 120_000 else f"{ms / 60_000:.0f} min" if ms < 7_200_000 else f"{ms / 3_600_000:.0f} h"


def film(
    sheet: Sheet, look: Look, css: str, width_px: int, form: Form, told: Told, speed: float | None = None, frame_ms: int = 40
) -> tuple[bytes, Plan]:
    """The file, and what loop it shows. Raises PackError; KeyError for a state that the drawing has not."""
    cascade = Cascade(css, look.dark)
    posed = in_state(sheet if look.arms else without_arms(sheet), look.winding)
    bare = Cascade(css)
    known = orders(posed, lambda alone, width: png(Posed(alone, Look(labels=False), bare).at(0), width, "#fff"))
    _, _, width, height = posed.box
    most = min(MOST_FRAMES, int(MOST_PIXELS / (width_px * width_px * height / width)))
    chosen = plan(posed, speed, frame_ms, most, known)
    seen = Posed(posed, look, cascade, standing(posed, chosen.speed))
    paper = cascade.token("--paper")

    def frames() -> Iterator[bytes]:
        for n in range(chosen.frames):
            yield png(seen.at(look.time_s + float(chosen.shown_ms * n / chosen.frames) / 1000), width_px, paper)
            told(n + 1, chosen.frames)

    return _assembled(frames(), form, chosen), chosen


def _assembled(frames: Iterator[bytes], form: Form, chosen: Plan) -> bytes:
    try:
        from PIL import Image
    except ImportError:
        raise no_pictures() from None
    images = (Image.open(io.BytesIO(frame)).convert("RGB") for frame in frames)
    first = next(images)
    out = io.BytesIO()
    if form == "gif":
        palette = first.quantize(COLOURS, dither=Image.Dither.NONE)

        def few(image: Image.Image) -> Image.Image:
            return image.quantize(palette=palette, dither=Image.Dither.NONE)

        few(first).save(
            out, "GIF", save_all=True, append_images=map(few, images), duration=chosen.frame_ms, loop=0, optimize=False
        )
    elif form == "webp":
        first.save(out, "WEBP", save_all=True, append_images=images, duration=chosen.frame_ms, loop=0, quality=82, method=4)
    else:
        first.save(out, "PNG", save_all=True, append_images=list(images), duration=chosen.frame_ms, loop=0)
    return out.getvalue()
