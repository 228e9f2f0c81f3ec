"""The pipeline, readable on one screen: files to movements, movements to goings, goings to drawings, drawings to pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

from builder.drawing.diagrams import plates
from builder.going.going import Going, going
from builder.going.parts_tree import tree
from builder.ground.faults import Complaint, Fault, FaultsFound, Refused
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.movement.model import Movement
from builder.movement.notes import read_notes
from builder.movement.reading import Opened, opened, read
from builder.packs.stock import Stock
from builder.pages import compare
from builder.pages.press import Press
from builder.pages.shown import Shown
from builder.pages.site import Site, shelf, unit

TEMPLATES = Path(__file__).parent.parent / "templates"

Told = Callable[[str], None]
T = TypeVar("T")


def build_site(models: Path, only: Iterable[str] | None = None, told: Told = lambda _: None) -> Site:
    """The whole site in memory. Raises FaultsFound with every fault of every file; nothing is written here."""
    press, movements = _all_read(models, only, told)
    units = [unit(movement, press) for movement in movements]
    made = {path: data for each in units for path, data in each.files.items() if len(units) > 1 or not path.endswith(BESIDE)}
    return made | shelf(lambda page: [each.told[page] for each in units], made, press)


BESIDE = f"/{compare.FILE}"
"""What only a movement that has others beside it needs."""


def stock(models: Path, slug: str) -> Stock:
    """One movement with all that can be packed of it. Raises FaultsFound."""
    press, (one,) = _all_read(models, [slug], lambda _: None)
    return Stock(press, one)


def _all_read(models: Path, only: Iterable[str] | None, told: Told) -> tuple[Press, list[Shown]]:
    """Every movement that is asked for, read, solved and drawn. Raises FaultsFound."""
    faults: list[Fault] = []
    collection = _told(lambda: read(models / "collection.toml", Collection, models, _spoken), faults)
    movements: list[Shown] = []
    wording = Wording.load(TEMPLATES / "wording" / (collection.language if collection else "en"))
    for slug in chosen(models, collection, only):
        told(slug)
        try:
            movements.append(shown(models, slug, wording))
        except FaultsFound as found:
            faults += found.faults
    if faults or collection is None:
        raise FaultsFound(faults)
    return Press(collection, TEMPLATES, wording), movements


def shown(models: Path, slug: str, wording: Wording) -> Shown:
    """One movement, read, solved and drawn. Raises FaultsFound: those of its notes together with those of its file."""
    faults: list[Fault] = []
    notes = _told(lambda: noted(models, slug), faults)
    solved = _told(lambda: solve(slug, opened(models / slug / "movement.toml", Movement, models)), faults)
    if notes is None or solved is None:
        raise FaultsFound(faults)
    text, pictures = notes
    return Shown(solved, plates(solved, wording), text, pictures)


def noted(models: Path, slug: str) -> tuple[str, dict[str, bytes]]:
    """The author's notes as clean HTML, and the pictures they show. Raises FaultsFound."""
    folder = models / slug
    if not (folder / "notes.md").exists():
        return "", {}
    notes = read_notes(folder / "notes.md", models)
    return notes.html, {str(path): (folder / path).read_bytes() for path in notes.pictures}


def _spoken(collection: Collection) -> list[Complaint]:
    """A language is one that there is wording for."""
    there = sorted(path.name for path in (TEMPLATES / "wording").iterdir() if path.is_dir())
    if collection.language in there:
        return []
    advice = "Write one of these, or add the folder with the wording."
    return [Complaint(("language",), collection.language, f"one of: {', '.join(there)}", advice)]


def _told(read_it: Callable[[], T], faults: list[Fault]) -> T | None:
    """What is read, or None with its faults added to the others."""
    try:
        return read_it()
    except FaultsFound as found:
        faults += found.faults
        return None


def solve(slug: str, file: Opened[Movement]) -> Going:
    """The movement running, its parts in their tree. Raises FaultsFound: what cannot be, at its place in the file."""
    try:
        solved = going(slug, file.model)
        tree(solved)
        return solved
    except Refused as refused:
        raise FaultsFound(file.located(refused.complaints)) from None


def chosen(models: Path, collection: Collection | None, only: Iterable[str] | None) -> list[str]:
    """Slugs in the order of the shelf; only those named, where some are."""
    found = sorted(path.parent.name for path in models.glob("*/movement.toml"))
    order = collection.order if collection else ()
    ranked = sorted(found, key=lambda slug: (order.index(slug) if slug in order else len(order), slug))
    return ranked if only is None else [slug for slug in ranked if slug in set(only)]
