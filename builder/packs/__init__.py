"""What a teacher takes along, one file a kind: name of the kind → its options and how it is made."""

from __future__ import annotations

import argparse
from contextlib import suppress
from pathlib import Path
from typing import Protocol

from builder.packs import drawing, gift, lesson, moodle, moving, repair, satchel, scorm, worksheet
from builder.packs.error import PackError
from builder.packs.stock import Made, Stock, Told


class Kind(Protocol):
    """The duties of a kind; a file has them as functions."""

    HELP: str

    def arguments(self, parser: argparse.ArgumentParser) -> None:
        """Tell the parser what this kind can be told."""

    def make(self, stock: Stock, options: argparse.Namespace, told: Told) -> Made:
        """The pack. Raises PackError."""


KINDS: dict[str, Kind] = {
    "drawing": drawing,
    "film": moving,
    "gift": gift,
    "lesson": lesson,
    "moodle": moodle,
    "repair": repair,
    "satchel": satchel,
    "scorm": scorm,
    "worksheet": worksheet,
}


def put(made: Made, out: Path | None) -> Path:
    """The pack in its file, or under its own name in a folder, whole or not at all. Raises PackError: it cannot be written."""
    place = Path(made.name) if out is None else out / made.name if out.is_dir() else out
    part = place.with_name(f".{place.name}.part")
    try:
        part.write_bytes(made.data)
        part.replace(place)
    except OSError as error:
        raise PackError(f"{place} cannot be written: {error.strerror}.") from None
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return place
