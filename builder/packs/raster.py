"""Drawings as pixels. Letters come from the fonts of the machine: the same machine, the same bytes."""

from __future__ import annotations

from io import BytesIO

from builder.packs.error import no_pictures


def png(svg: str, width_px: int, background: str) -> bytes:
    """A PNG of an SVG that has everything written out; its height follows."""
    try:
        import resvg_py
    except ImportError:
        raise no_pictures() from None
    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg,
            width=width_px,
            background=background,
            sans_serif_family="Liberation Sans",
            font_family="Liberation Sans",
        )
    )


def few_colours(data: bytes, colours: int) -> bytes:
    """The same PNG in so many flat colours at most: a third of the size."""
    try:
        from PIL import Image
    except ImportError:
        raise no_pictures() from None
    out = BytesIO()
    Image.open(BytesIO(data)).convert("RGB").quantize(colours, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
    return out.getvalue()
