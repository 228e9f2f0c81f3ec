"""The whole pipeline under watch: it ends with a site or with faults, in bounded time, and with no figure that is none."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Literal
from xml.etree import ElementTree

from builder.build import TEMPLATES, build_site, shown
from builder.drawing.table import Plate
from builder.ground.faults import FaultsFound
from builder.ground.wording import Wording
from builder.linkcheck import check_links
from tests.conftest import PROJECT
from tests.fuzz.clock import in_time
from tests.fuzz.reading import told
from tests.movement_texts import Data, toml, write_collection, write_movement

MOST_DRAWING_S = 60
"""Of work, for one movement with drawings and pages."""
NOT_A_FIGURE = re.compile(r"(?<![\w-])-?(nan|inf)(?![\w-])")
NOTHING = re.compile(r"\bNone\b")
WORDING = Wording.load(TEMPLATES / "wording" / "en")

Ended = Literal["drawn", "refused"]


def run(models: Path, movement: Data | str, pages: bool = False) -> Ended:
    """Read, solve and draw a movement, with its pages where asked. Raises whatever is not a fault with its place."""
    write_collection(models)
    text = movement if isinstance(movement, str) else toml(movement)
    write_movement(models, text)
    with in_time(MOST_DRAWING_S):
        try:
            for plate in shown(models, "counted", WORDING).plates.values():
                sound(plate)
            if pages:
                site = build_site(models)
                assert check_links(site) == []
                for path, data in site.items():
                    if path.endswith((".html", ".svg")) and path.startswith("counted/"):
                        assert not NOT_A_FIGURE.search(_said(data)), path
        except FaultsFound as found:
            told(found.faults, "counted/movement.toml", text.count("\n") + 1)
            return "refused"
    return "drawn"


def repaired(models: Path, slug: str, repair: Data) -> Ended:
    """A repair of a movement with all its pages. Raises whatever is not a fault with its place."""
    write_collection(models)
    (models / slug / "repairs").mkdir(parents=True)
    shutil.copy(PROJECT / "models" / slug / "movement.toml", models / slug / "movement.toml")
    alone = {key: value for key, value in repair.items() if not isinstance(value, dict) and not _tables(value)}
    text = toml({"x": alone}).removeprefix("[x]\n") + toml({key: each for key, each in repair.items() if key not in alone})
    (models / slug / "repairs" / "2026-03-14.toml").write_text(text, "utf-8")
    with in_time(MOST_DRAWING_S):
        try:
            site = build_site(models)
        except FaultsFound as found:
            told(found.faults, f"{slug}/repairs/2026-03-14.toml", text.count("\n") + 1)
            return "refused"
    assert check_links(site) == []
    for path, data in site.items():
        if path.endswith(".html") and path.startswith(f"{slug}/repair"):
            assert not NOT_A_FIGURE.search(_said(data)), path
    return "drawn"


def _tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


def _said(page: bytes) -> str:
    """The words of a page."""
    return re.sub(r"<[^>]*>", " ", re.sub(r"(?s)<(script|style)\b.*?</\1>", " ", page.decode("utf-8")))


def sound(plate: Plate) -> None:
    """A drawing is well-formed and holds no number that is none."""
    svg = plate.sheet.svg()
    root = ElementTree.fromstring(svg)  # nosec B314
    for element in root.iter():
        for name, value in element.attrib.items():
            if name not in ("class", "id", "data-part", "aria-label") and not name.startswith("aria"):
                assert not (NOT_A_FIGURE.search(value) or NOTHING.search(value)), (plate.sheet.slug, name, value[:200])
        assert not NOT_A_FIGURE.search(element.text or ""), (plate.sheet.slug, element.text)
    for row in plate.rows:
        assert not any(NOT_A_FIGURE.search(str(cell)) for cell in row.cells.values()), row
