"""Bytes of the pages beside a floor: the same pages with every blank that means nothing taken out, both as brotli sends them."""

from __future__ import annotations

import re
import statistics
from pathlib import Path

import brotli

KEPT = re.compile(r"<(pre|script|style|textarea)\b.*?</\1>", re.DOTALL)
BETWEEN = re.compile(r">\s+<")
BLANKS = re.compile(r"\s{2,}")
COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)


def stripped(page: str) -> str:
    """Without comments, blanks between elements, and more than one blank anywhere; a floor, not a page that reads the same."""
    pieces, at = [], 0
    for kept in KEPT.finditer(page):
        pieces += [_thin(page[at : kept.start()]), kept[0]]
        at = kept.end()
    return "".join([*pieces, _thin(page[at:])])


def _thin(text: str) -> str:
    return BLANKS.sub(" ", BETWEEN.sub("><", COMMENT.sub("", text)))


def sizes(site: Path) -> dict[str, object]:
    """KiB of all pages, of the largest, and the ratios to the floor."""
    sent, floor, largest = 0, 0, ("", 0)
    ratios = []
    for path in sorted(site.rglob("*.html")):
        page = path.read_text("utf-8")
        own, least = (len(brotli.compress(text.encode("utf-8"), quality=9)) for text in (page, stripped(page)))
        sent, floor = sent + own, floor + least
        ratios.append(own / least)
        alone = path.parent.name == "embed" or path.name == "lesson.html"  # files that carry everything inside
        if own > largest[1] and not alone:
            largest = (path.relative_to(site).as_posix(), own)
    return {
        "pages": len(ratios),
        "sent_kib": round(sent / 1024),
        "to_floor": round(sent / floor, 3),
        "to_floor_median": round(statistics.median(ratios), 3),
        "largest_page": largest[0],
        "largest_kib": round(largest[1] / 1024, 1),
    }
