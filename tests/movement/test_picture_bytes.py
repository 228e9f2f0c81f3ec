"""Pictures without what only tells about them, with Pillow as another reader of both."""

import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from builder.movement.picture_bytes import CutShort, without_details
from builder.movement.pictures import LARGEST_BYTES, Unfit, stripped

PLACE = b"51 deg 28 min north"
MAKER = b"CAMERA-OF-THE-OWNER"
GPS, GPS_LATITUDE, ORIENTATION, MAKE = 0x8825, 2, 0x0112, 0x010F


def photograph(sort: str, turned: int = 1) -> bytes:
    """A picture of the sort with GPS position, maker, comment and orientation, as a telephone writes it."""
    pixels = np.random.default_rng(5).integers(0, 255, (40, 60, 3), dtype=np.uint8)
    exif = Image.Exif()
    exif[MAKE], exif[ORIENTATION] = MAKER.decode(), turned
    exif.get_ifd(GPS)[1], exif.get_ifd(GPS)[GPS_LATITUDE] = "N", (51.0, 28.0, 40.0)
    exif.get_ifd(GPS)[29] = PLACE.decode()
    made = io.BytesIO()
    more = {"JPEG": {"quality": 80, "comment": MAKER}, "WEBP": {"lossless": True, "xmp": b"<x>" + MAKER + b"</x>"}, "PNG": {}}[
        sort
    ]
    Image.fromarray(pixels).save(made, sort, exif=exif, **more)
    data = made.getvalue()
    if sort == "PNG":  # and a text, before the image's end
        body = b"tEXtComment\0" + MAKER
        chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
        data = data[:-12] + chunk + data[-12:]
    return data


def opened(data: bytes) -> Image.Image:
    """The picture as Pillow reads it, decoded to its end."""
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


@pytest.mark.parametrize("sort", ["JPEG", "PNG", "WEBP"])
def test_place_and_maker_are_gone_and_the_picture_is_the_same(sort: str):
    """Pillow finds the position before and none after; no byte of place, maker, comment or XMP is left; the pixels are alike."""
    before = photograph(sort)
    assert dict(Image.open(io.BytesIO(before)).getexif().get_ifd(GPS)) and MAKER in before
    after = without_details(before)
    exif = opened(after).getexif()
    assert not dict(exif.get_ifd(GPS)) and not dict(exif)
    assert MAKER not in after and PLACE not in after
    assert "comment" not in opened(after).info and "xmp" not in opened(after).info
    assert np.array_equal(np.asarray(opened(before)), np.asarray(opened(after)))


@pytest.mark.parametrize("turned", [3, 6, 8])
def test_a_photograph_stays_upright(turned: int):
    """How a JPEG is to be turned is shown, not told: it stays, and is all that stays."""
    exif = opened(without_details(photograph("JPEG", turned))).getexif()
    assert dict(exif) == {ORIENTATION: turned}


def test_colours_and_progressive_scans_are_kept():
    """An ICC profile belongs to what is seen; a progressive JPEG has several scans, one after another with markers between."""
    pixels = Image.fromarray(np.random.default_rng(2).integers(0, 255, (64, 64, 3), dtype=np.uint8))
    made = io.BytesIO()
    pixels.save(made, "JPEG", progressive=True, icc_profile=b"profile" * 20, restart_marker_blocks=2)
    after = without_details(made.getvalue())
    assert opened(after).info["icc_profile"] == b"profile" * 20
    assert np.array_equal(np.asarray(opened(made.getvalue())), np.asarray(opened(after)))


def test_a_preview_is_no_way_round():
    """The small picture in a JFIF or JFXX header, or in Exif, can show what was cropped away: none stays."""
    plain = photograph("JPEG")
    assert plain[2:4] == b"\xff\xe0" and plain[6:11] == b"JFIF\0"
    pixels = b"PREVIEWPREVIEWPREVIEWPREVIEW" * 3
    header = plain[6:18] + bytes([4, 7]) + pixels  # 4 × 7 pixels of three bytes
    extra = b"JFXX\0\x13" + bytes([4, 7]) + pixels
    after = plain[20:]
    segments = b"".join(b"\xff\xe0" + struct.pack(">H", len(body) + 2) + body for body in (header, extra))
    clean = without_details(plain[:2] + segments + after)
    assert b"PREVIEW" not in clean
    assert np.array_equal(np.asarray(opened(clean)), np.asarray(opened(plain)))


def test_what_hangs_on_behind_is_cut_off():
    """A film, a second picture or anything else after the end of the image is not passed on."""
    for sort in ("JPEG", "PNG", "WEBP"):
        assert b"SECRET" not in without_details(photograph(sort) + b"SECRET" * 9)


@pytest.mark.parametrize("sort", ["JPEG", "PNG", "WEBP"])
def test_a_file_cut_short_is_refused(sort: str):
    """Cut anywhere, a file is either refused or still a whole picture: never an error of another kind, never half filtered."""
    whole = photograph(sort)
    for end in [*range(60), *range(60, len(whole), 397)]:
        try:
            assert MAKER not in without_details(whole[:end])
        except CutShort:
            continue


def test_a_repairs_picture_is_checked_and_filtered(tmp_path: Path):
    """From its folder or below, of a sort that is shown, not too heavy, no link that leads out; then without its details."""
    (tmp_path / "repairs").mkdir()
    (tmp_path / "repairs/spring.jpg").write_bytes(photograph("JPEG"))
    (tmp_path / "outside.jpg").write_bytes(photograph("JPEG"))
    (tmp_path / "repairs/link.jpg").symlink_to(tmp_path / "outside.jpg")
    (tmp_path / "repairs/heavy.jpg").write_bytes(photograph("JPEG") + b"\0" * LARGEST_BYTES)
    (tmp_path / "repairs/broken.png").write_bytes(photograph("PNG")[:200])
    fit = stripped(tmp_path / "repairs", "spring.jpg")
    assert isinstance(fit, bytes) and MAKER not in fit and opened(fit).size == (60, 40)
    for name in ("../outside.jpg", "link.jpg", "heavy.jpg", "broken.png", "none.jpg", "/etc/passwd", "%2e%2e/outside.jpg"):
        assert isinstance(stripped(tmp_path / "repairs", name), Unfit), name
