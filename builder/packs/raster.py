"""Drawings as pixels. Letters come from the fonts of the machine: the same machine, the same bytes."""

from __future__ import annotations

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
