"""Pictures in pixels beside the browser: the same drawing, and films that a decoder of other hands reads frame by frame."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from tests.packs.platform_packs import SLUG, made

WIDTH = 800
TYPES = {"gif": "image/gif", "webp": "image/webp", "apng": "image/png"}
DECODED = """async ([data, type, wanted]) => {
  const bytes = Uint8Array.from(atob(data), (sign) => sign.charCodeAt());
  const decoder = new ImageDecoder({ data: bytes, type });
  await decoder.tracks.ready;
  const { frameCount, repetitionCount } = decoder.tracks.selectedTrack, seen = [], lasts = [];
  for (let n = 0; n < frameCount; n++) {
    const { image } = await decoder.decode({ frameIndex: n });
    lasts.push(image.duration);
    if (wanted.includes(n)) {
      const canvas = new OffscreenCanvas(image.displayWidth, image.displayHeight), brush = canvas.getContext("2d");
      brush.drawImage(image, 0, 0);
      const sum = await crypto.subtle.digest("SHA-256", brush.getImageData(0, 0, canvas.width, canvas.height).data);
      seen.push([...new Uint8Array(sum)].join(" "));
    }
    image.close();
  }
  return { frames: frameCount, forever: repetitionCount === Infinity, lasts, seen };
}"""
"""Chromium's decoders by WebCodecs (W3C working draft, ImageDecoder): durations in microseconds, sums of the pixels wanted."""


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """A page from disk as wide as the pictures, in a context of its own."""
    context = browser.new_context(viewport={"width": WIDTH, "height": WIDTH})
    page = context.new_page()
    (tmp_path / "empty.html").write_text("<!doctype html><title>Nothing</title>")
    page.goto((tmp_path / "empty.html").as_uri())
    yield page
    context.close()


def pixels(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), dtype=float)


def shade(picture: np.ndarray) -> np.ndarray:
    """Means of 4 × 4 pixels, which even out how each program softens an edge."""
    high, wide = (size // 4 * 4 for size in picture.shape[:2])
    return picture[:high, :wide].reshape(high // 4, 4, wide // 4, 4, 3).mean(axis=(1, 3))


@pytest.mark.parametrize(
    ("drawing", "more"), [("train-front", ("--mark", "third-wheel")), ("escapement", ()), ("power-flow", ())]
)
def test_a_picture_is_what_the_browser_shows(page: Page, tmp_path: Path, drawing: str, more: tuple[str, ...]) -> None:
    """The still file in Chromium and the PNG differ by no more than softened edges and letters; other drawings do."""
    still = made("drawing", drawing, "--as", "still", *more).data.decode("utf-8")
    ours = pixels(made("drawing", drawing, "--as", "png", "--width", str(WIDTH), *more).data)
    wide = float(re.findall(r'viewBox="\S+ \S+ (\S+)', still)[0])
    unit = max(1.0, wide / WIDTH)
    style = f"body {{ margin: 0; background: #fbf8f0 }} svg {{ display: block; width: {WIDTH}px; height: auto }}"
    style += f".drawing {{ --unit: {unit} !important }}"
    (tmp_path / "still.html").write_text(f'<!doctype html><meta charset="utf-8"><style>{style}</style>{still}', "utf-8")
    page.goto((tmp_path / "still.html").as_uri())
    theirs = pixels(page.locator("svg").screenshot())
    high = min(len(ours), len(theirs))
    off = np.abs(shade(ours[:high]) - shade(theirs[:high])).max(axis=2)
    assert abs(len(ours) - len(theirs)) <= 1
    assert np.mean(off > 40) < 0.004 and np.mean(off) < 1.5
    bare = pixels(made("drawing", drawing, "--as", "png", "--width", str(WIDTH), "--bare", *more).data)
    other = np.abs(shade(bare[:high]) - shade(theirs[:high])).max(axis=2)
    assert np.mean(other > 40) > 2 * np.mean(off > 40) + 0.0005, "negative control: without its labels it is another"


def test_films_of_each_kind_are_read_alike(page: Page) -> None:
    """Chromium finds as many pictures in each as Pillow wrote, each as long, without end, and the same pixels in all three."""
    heard: dict[str, dict[str, Any]] = {}
    for form, kind in TYPES.items():
        film = made("film", "oscillator", "--width", "120", "--rate", "10", "--no-arms", "--as", form).data
        heard[form] = page.evaluate(DECODED, [base64.b64encode(film).decode("ascii"), kind, [0, 7, 19]])
    for form, told in heard.items():
        assert (told["frames"], told["forever"], set(told["lasts"])) == (20, True, {100_000}), form
        assert told["seen"] == heard["gif"]["seen"], form
    first, later, _ = heard["gif"]["seen"]
    assert first != later, SLUG
