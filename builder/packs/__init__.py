"""What a teacher takes along, one file a kind: name of the kind → its options and how it is made."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Protocol

from builder.packs import drawing, gift, lesson, moodle, moving, repair, satchel, scorm, worksheet
from builder.packs.error import PackError
from builder.packs.film import Told
from builder.packs.stock import Made, Stock


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
    """The pack in its file, whole or not at all. Raises PackError where it cannot be written."""
    place = out or Path(made.name)
    part = place.with_name(f".{place.name}.part")
    try:
        part.write_bytes(made.data)
        part.replace(place)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise PackError(f"{place} cannot be written: {error.strerror}.") from None
    return place
