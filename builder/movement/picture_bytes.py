"""What of a picture file is shown, kept; all that only tells about it (place, camera, author, preview), left out.

A filter by segments and chunks: nothing is decoded or changed, so what is seen stays bit for bit the same. What turns a
photograph upright is kept: an orientation of its own making takes the place of the Exif that held it.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"cICP", b"pHYs"}
"""Of ISO/IEC 15948 (PNG), what the image itself and its colours need; text, time and Exif chunks are not among them."""

WEBP_KEPT = {b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"}
"""Of RFC 9649, section 2.7, all but Exif and XMP."""
WEBP_SAYS_EXIF, WEBP_SAYS_XMP = 0x08, 0x04
"""Bits of VP8X that announce what is left out (RFC 9649, 2.7.1)."""

ORIENTATION = 0x0112
"""Tag of Exif's first directory (JEITA CP-3451, 4.6.4 A)."""


class CutShort(ValueError):  # noqa: N818  # it is the picture's fault
    """The file does not hold together as a picture of its sort."""


def without_details(data: bytes) -> bytes:
    """The picture without what only tells about it. Raises CutShort."""
    try:
        if data.startswith(PNG_SIGNATURE):
            return _png(data)
        if data.startswith(b"\xff\xd8"):
            return _jpeg(data)
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return _webp(data)
    except (struct.error, IndexError):
        raise CutShort("the file ends too early") from None
    raise CutShort("neither PNG nor JPEG nor WebP")


def _png(data: bytes) -> bytes:
    kept, at = [PNG_SIGNATURE], len(PNG_SIGNATURE)
    while True:
        (length,) = struct.unpack_from(">I", data, at)
        end, name = at + 12 + length, data[at + 4 : at + 8]
        if end > len(data):
            raise CutShort("a chunk is longer than the file")
        if name in PNG_KEPT:
            kept.append(data[at:end])
        elif name[:1].isupper():
            raise CutShort(f"an unknown chunk {name!r}")
        if name == b"IEND":
            return b"".join(kept)
        at = end


def _jpeg(data: bytes) -> bytes:
    """Kept: all but APP0 to APP15 (previews, Exif, XMP, makers' notes) and comments; of these the JFIF header, an ICC profile
    (APP2) and Adobe's colours (APP14, ITU-T T.872) stay. Markers: ITU-T T.81, table B.1. What follows the end of the image is
    left out too."""
    kept, at, turned = [b"\xff\xd8"], 2, b""
    while True:
        if data[at] != 0xFF:
            raise CutShort("a marker is missing")
        while data[at + 1] == 0xFF:  # fill bytes (B.1.1.2)
            at += 1
        marker = data[at + 1]
        if marker == 0xD9:
            return b"".join([kept[0], turned, *kept[1:], b"\xff\xd9"])
        if marker == 0x01 or 0xD0 <= marker <= 0xD8 or marker == 0x00:
            raise CutShort("a marker stands where none may")
        (length,) = struct.unpack_from(">H", data, at + 2)
        end = at + 2 + length
        if length < 2 or end > len(data):
            raise CutShort("a segment is longer than the file")
        body = data[at + 4 : end]
        if marker == 0xE1 and body.startswith(b"Exif\0\0") and not turned:
            turned = _orientation(body[6:])
        if marker == 0xE0:
            kept += [_without_preview(data[at:end])] if body.startswith(b"JFIF\0") and length >= 16 else []
            at = end
            continue
        said = 0xE1 <= marker <= 0xEF or marker == 0xFE
        if not said or (marker == 0xE2 and body.startswith(b"ICC_PROFILE\0")) or (marker == 0xEE and body.startswith(b"Adobe")):
            kept.append(data[at:end])
        at = end
        if marker == 0xDA:
            end = _scan_end(data, at)
            kept.append(data[at:end])
            at = end


def _without_preview(segment: bytes) -> bytes:
    """A JFIF header without the small picture that it may hold, which can show more than the large one (ITU-T T.871, 10.1)."""
    return segment[:2] + struct.pack(">H", 16) + segment[4:16] + b"\0\0"


def _scan_end(data: bytes, at: int) -> int:
    """Where the entropy-coded data end: at the next marker that is neither a stuffed 00 nor a restart (B.1.1.5)."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0:
            raise CutShort("the file ends too early")
        if data[at + 1] == 0x00 or 0xD0 <= data[at + 1] <= 0xD7:
            at += 2
        elif data[at + 1] == 0xFF:
            at += 1
        else:
            return at


def _orientation(tiff: bytes) -> bytes:
    """A JPEG segment with an Exif that says nothing but how the picture is to be turned; empty where it stands upright."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return b""
    for tag, sort, value in _entries(tiff, order):
        if tag == ORIENTATION and sort == 3 and 2 <= value <= 8:
            exif = b"Exif\0\0MM\0\x2a" + struct.pack(">IHHHIHHI", 8, 1, ORIENTATION, 3, 1, value, 0, 0)
            return b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
    return b""


def _entries(tiff: bytes, order: str) -> Iterator[tuple[int, int, int]]:
    """(tag, type, value of a short) of the first directory."""
    try:
        (at,) = struct.unpack_from(f"{order}I", tiff, 4)
        (count,) = struct.unpack_from(f"{order}H", tiff, at)
        for index in range(count):
            tag, sort, _, value, _ = struct.unpack_from(f"{order}HHIHH", tiff, at + 2 + 12 * index)
            yield tag, sort, value
    except struct.error:
        return


def _webp(data: bytes) -> bytes:
    (size,) = struct.unpack_from("<I", data, 4)
    stop = min(8 + size, len(data))
    kept, at = [], 12
    while at + 8 <= stop:
        name = data[at : at + 4]
        (length,) = struct.unpack_from("<I", data, at + 4)
        end = at + 8 + length
        if end > len(data):
            raise CutShort("a chunk is longer than the file")
        chunk = data[at:end] + b"\0" * (length % 2)
        if name == b"VP8X":
            flags = chunk[8] & ~(WEBP_SAYS_EXIF | WEBP_SAYS_XMP)
            chunk = chunk[:8] + bytes([flags]) + chunk[9:]
        if name in WEBP_KEPT:
            kept.append(chunk)
        at = end + length % 2
    if not kept:
        raise CutShort("there is no image in it")
    body = b"WEBP" + b"".join(kept)
    return b"RIFF" + struct.pack("<I", len(body)) + body
