"""A picture that a movement's author names: inside the folder, of a known sort, not too heavy."""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from posixpath import normpath
from urllib.parse import unquote

from builder.movement.picture_bytes import CutShort, without_details

LARGEST_BYTES = 2 * 1024 * 1024
"""A photograph of 2000 px across needs less; common practice, no source."""

_BEGINNINGS = {
    ".png": rb"\x89PNG\r\n\x1a\n",
    ".jpg": rb"\xff\xd8\xff",
    ".jpeg": rb"\xff\xd8\xff",
    ".webp": rb"RIFF....WEBP",
}
"""First bytes of each sort: PNG (ISO/IEC 15948, 5.2), JPEG (ITU-T T.81, B.1.1.3: SOI, then a marker), WebP (RFC 9649, 2.4)."""


_PLAIN = re.compile(r"[A-Za-z0-9._/-]+")


@dataclass(frozen=True)
class Unfit:
    """Why a picture cannot be shown: what may be, and what to do."""

    allowed: str
    advice: str


def picture(folder: Path, source: str) -> PurePosixPath | Unfit:
    """The picture's path from `folder` on, or why it cannot be shown. `source` is a path as in a web address (%20)."""
    inside = "a picture in this folder or below"
    path = unquote(source)
    if not path or re.match(r"[a-z][a-z0-9+.-]*:|/", path, re.I) or re.search(r"[\x00-\x1f\x7f\\?#]", path):
        return Unfit(inside, "Put the picture in this folder and name it from here on: pictures/name.jpg.")
    if not _PLAIN.fullmatch(path):
        return Unfit("a name of letters, digits, . _ and -", "Give the file a plain name: spaces and signs trip up some hosts.")
    outside = Unfit(inside, "The path leads out of this folder: put the picture itself here.")
    if normpath(path).startswith(".."):
        return outside
    sort = PurePosixPath(path).suffix.lower()
    if sort not in _BEGINNINGS:
        return Unfit(f"a picture of the sort {', '.join(_BEGINNINGS)}", "Save it as PNG, JPEG or WebP.")
    try:
        target, home = (folder / path).resolve(), folder.resolve()
        if not target.is_relative_to(home):
            return outside
        size = target.stat()
        if not stat.S_ISREG(size.st_mode):
            return Unfit(inside, "There is no picture under this name, but a folder or a device.")
        if size.st_size > LARGEST_BYTES:
            advice = f"It has {size.st_size / 1024**2:.1f} MB: save it smaller, some 1600 pixels across."
            return Unfit(f"at most {LARGEST_BYTES // 1024**2} MB", advice)
        with target.open("rb") as stream:
            beginning = stream.read(16)
    except FileNotFoundError:
        return Unfit(inside, "There is no such file: correct the name (capitals count), or put the picture there.")
    except (OSError, RuntimeError, ValueError):  # no permission, a loop of links, a name that no disk can hold
        return Unfit(inside, "The file cannot be read: check its name and permissions.")
    if not re.match(_BEGINNINGS[sort], beginning, re.S):
        return Unfit(f"what {sort} says", "The file holds something else than its name says: save it again as a picture.")
    return PurePosixPath(target.relative_to(home).as_posix())


def stripped(folder: Path, source: str) -> bytes | Unfit:
    """The picture's bytes without what only tells about it (place, camera, author), or why it cannot be shown."""
    found = picture(folder, source)
    if isinstance(found, Unfit):
        return found
    try:
        return without_details((folder / found).read_bytes())
    except (CutShort, OSError) as cause:
        return Unfit("a picture that can be read to its end", f"Save it again as PNG, JPEG or WebP: {cause}.")
