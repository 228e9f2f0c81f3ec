"""What a reader's connection carries for a page: as a host sends it, compressed by brotli (RFC 7932)."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Mapping
from functools import cache

import brotli  # type: ignore[import-untyped]
import pytest

from tests.conftest import BuiltSite

PAGE = 100_000
"""Bytes of a page with its drawings in it."""
SCRIPT, STYLE = 15_000, 10_000
"""Bytes of all scripts that a page runs, and of all its style sheets."""

HEAVY = {
    r"/lesson\.html$": (230_000, "no page but a download: seven pages with all their drawings, styles and scripts in one file"),
}
"""Pages that may be heavier: how heavy, and the reason."""

LINKED = {
    "script": r'<script src="([^"]+)"',
    "style": r'<link rel="stylesheet" href="([^"]+)"',
}


@cache
def sent(data: bytes, most: int) -> int:
    """Bytes on the way, or a little more: the best compression is slow, and is only tried where a quick one does not do."""
    quick = len(brotli.compress(data, quality=5))
    return quick if quick <= most else len(brotli.compress(data))


def linked(files: Mapping[str, bytes], path: str, kind: str) -> list[bytes]:
    """The files of a kind that a page asks for."""
    found = re.findall(LINKED[kind], files[path].decode("utf-8"))
    return [files[posixpath.normpath(posixpath.join(posixpath.dirname(path), href))] for href in found]


def too_heavy(files: Mapping[str, bytes]) -> list[str]:
    """Pages over their bounds, with what they weigh."""
    found = []
    for path in sorted(path for path in files if path.endswith(".html")):
        most = next((bound for pattern, (bound, _) in HEAVY.items() if re.search(pattern, path)), PAGE)
        if (weight := sent(files[path], most)) > most:
            found.append(f"{path}: {weight} bytes")
        for kind, bound in (("script", SCRIPT), ("style", STYLE)):
            weight = sum(sent(data, bound // 4) for data in linked(files, path, kind))
            if weight > bound:
                found.append(f"{path}: {kind} of {weight} bytes")
    return found


def test_every_page_is_light(built_site: BuiltSite) -> None:
    """A page, drawings and all, is at most 100 kB as sent, its scripts 15 kB, its styles 10 kB; the exceptions have a reason."""
    assert too_heavy(built_site.files) == []


def test_exceptions_are_needed(built_site: BuiltSite) -> None:
    """Every page that may be heavy is one of a kind of which at least one passes the common bound."""
    for pattern in HEAVY:
        heavy = [path for path in built_site.files if re.search(pattern, path)]
        assert heavy and any(sent(built_site.files[path], PAGE) > PAGE for path in heavy), pattern


def noise(size: int) -> bytes:
    """Text that hardly compresses, the same in each run."""
    state, made = 1, bytearray()
    while len(made) < size:
        state = state * 6364136223846793005 + 1442695040888963407 & (1 << 64) - 1
        made.append(97 + (state >> 33) % 26)
    return bytes(made)


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (lambda: {"a.html": noise(200_000)}, "a.html: "),
        (lambda: {"b/lesson.html": noise(200_000)}, ""),
        (lambda: {"b/c.html": b'<script src="../s.js"></script>', "s.js": noise(40_000)}, "b/c.html: script of "),
        (lambda: {"c.html": b'<link rel="stylesheet" href="s.css">', "s.css": noise(40_000)}, "c.html: style of "),
    ],
)
def test_what_is_too_heavy_is_told(files: Callable[[], dict[str, bytes]], said: str) -> None:
    """Negative control: a page, its script and its style that are too heavy are each named; a lesson may weigh more."""
    found = too_heavy(files())
    assert (len(found) == 1 and found[0].startswith(said)) if said else found == []
