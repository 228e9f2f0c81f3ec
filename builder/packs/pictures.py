"""Pictures in pixels as files: what they are called and whose they are stands in them, and single ones become a film."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from builder.drawing.sheet import Sheet
from builder.packs.error import no_pictures
from builder.pages.embed import Outfit

if TYPE_CHECKING:
    from PIL.Image import Image

Form = Literal["gif", "webp", "apng"]
COLOURS = 64
"""A drawing has a dozen, and the shades between two of them along an edge."""
NEAR = 5
"""Shades of red, green or blue by which the eye does not tell a colour from the paper."""
KEPT = COLOURS
"""Number of the colour that stands for: as it was in the picture before."""
NOWHERE = (255, 0, 255)
"""Its shade, which no drawing has: Pillow must not take it for another."""
HEAD = 33
"""Bytes of a PNG's signature and its first chunk (ISO/IEC 15948, 5.2 and 11.2.2)."""
XMP = """<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">\
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>\
<dc:rights><rdf:Alt><rdf:li xml:lang="x-default">{rights}</rdf:li></rdf:Alt></dc:rights>\
</rdf:Description></rdf:RDF></x:xmpmeta>"""
"""ISO 16684-1."""


@dataclass(frozen=True)
class Signed:
    """What a picture's file says of itself."""

    title: str
    rights: str

    @classmethod
    def of(cls, sheet: Sheet, wear: Outfit) -> Signed:
        """A drawing's title, and publisher and licence as every other of its files says them."""
        credit = wear.credit
        return cls(sheet.title, f"{credit.publisher}, {credit.licence}, {credit.address}")


def signed_png(png: bytes, signed: Signed) -> bytes:
    """The PNG with title and rights in it (iTXt; ISO/IEC 15948, 11.3.4.5)."""
    said = {"Title": signed.title, "Copyright": signed.rights}
    return png[:HEAD] + b"".join(_text_chunk(key, text) for key, text in said.items()) + png[HEAD:]


def _text_chunk(key: str, text: str) -> bytes:
    data = b"iTXt" + key.encode("latin-1") + b"\0\0\0\0\0" + text.encode("utf-8")
    return struct.pack(">I", len(data) - 4) + data + struct.pack(">I", zlib.crc32(data))


def assembled(frames: Iterable[bytes], samples: Sequence[bytes], paper: str, form: Form, frame_ms: int, signed: Signed) -> bytes:
    """PNGs as one film that runs for ever. `samples` are some of them, for the colours; `paper` is kept to the bit.

    Raises PackError where the package for it is not installed.
    """
    try:
        from PIL import Image
    except ImportError:
        raise no_pictures() from None
    palette = _palette([Image.open(io.BytesIO(sample)).convert("RGB") for sample in samples], paper)
    few = (Image.open(io.BytesIO(frame)).convert("RGB").quantize(palette=palette, dither=Image.Dither.NONE) for frame in frames)
    first = next(few)
    out = io.BytesIO()
    if form == "gif":
        said = f"{signed.title}. {signed.rights}".encode()
        first.save(out, "GIF", save_all=True, append_images=few, duration=frame_ms, loop=0, optimize=True, comment=said)
        return out.getvalue()
    if form == "webp":
        xmp = XMP.format(**{key: _escaped(text) for key, text in vars(signed).items()}).encode()
        coloured = (image.convert("RGB") for image in few)
        first.convert("RGB").save(
            out, "WEBP", save_all=True, append_images=coloured, duration=frame_ms, loop=0, lossless=True, method=3, xmp=xmp
        )
        return out.getvalue()
    changes = list(_changes(first, few))
    first.save(
        out, "PNG", save_all=True, append_images=changes, duration=frame_ms, loop=0, disposal=0, blend=1, transparency=KEPT
    )
    return signed_png(out.getvalue(), signed)


def _palette(samples: Sequence[Image], paper: str) -> Image:
    """A picture whose colours serve for all, the paper's own among them."""
    from PIL import Image, ImageColor

    width, height = samples[0].size
    sheet = Image.new("RGB", (width, height * len(samples)))
    for n, sample in enumerate(samples):
        sheet.paste(sample, (0, n * height))
    made = sheet.quantize(COLOURS, dither=Image.Dither.NONE)
    table, wanted = made.getpalette() or [], ImageColor.getrgb(paper)[:3]
    colours = [tuple(table[n : n + 3]) for n in range(0, len(table), 3)]
    # Pillow looks colours up in steps of a few shades: what is all but the paper must be the paper.
    colours = [wanted if max(abs(a - b) for a, b in zip(each, wanted, strict=True)) <= NEAR else each for each in colours]
    colours = [*colours[:COLOURS], *[NOWHERE] * (KEPT + 1 - len(colours))]
    made.putpalette([part for colour in colours for part in colour])
    return made


def _changes(first: Image, others: Iterable[Image]) -> Iterator[Image]:
    """Of each picture what is not as it was in the one before."""
    from PIL import ImageChops

    before = first
    for image in others:
        same = ImageChops.difference(_numbers(image), _numbers(before)).point([255] + [0] * 255)
        changed = image.copy()
        changed.paste(KEPT, mask=same)
        before = image
        yield changed


def _numbers(image: Image) -> Image:
    """The numbers of its colours as shades of grey."""
    from PIL import Image

    return Image.frombytes("L", image.size, image.tobytes())


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
