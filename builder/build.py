"""The pipeline, readable on one screen: files to movements, movements to goings, goings to drawings, drawings to pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache, partial
from pathlib import Path
from typing import Any, TypeVar

from builder.bench.mended import Mended, mended
from builder.drawing.diagrams import plates
from builder.going.going import Going
from builder.going.parts_tree import tree
from builder.ground.faults import Complaint, Fault, FaultsFound, Refused
from builder.ground.project import TEMPLATES as TEMPLATES
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.movement.folders import misnamed, movements
from builder.movement.model import Movement
from builder.movement.notes import dead_links, read_notes
from builder.movement.reading import Opened, opened, read
from builder.movement.repair import repairs
from builder.packs.stock import Stock
from builder.pages.press import Press
from builder.pages.shown import Shown
from builder.pages.site import Site, Unit, shelf, unit
from builder.starter.usual import running

Told = Callable[[str], None]
T = TypeVar("T")


def build_site(models: Path, only: Iterable[str] | None = None, told: Told = lambda _: None) -> Site:
    """The whole site in memory, one movement after the other. Raises FaultsFound with every fault of every file."""
    units: list[Unit] = []
    faults: list[Fault] = []
    for slug in movements(models, only):
        told(slug)
        if (made := _told(partial(movement, models, slug), faults)) is not None:
            units.append(made)
    if faults:
        raise FaultsFound(faults)
    files = {path: data for each in units for path, data in each.files.items()}
    return files | round_them(models, lambda page: [each.told[page] for each in units], files)


def movement(models: Path, slug: str) -> Unit:
    """One movement's files and what the shelf is told of it. Raises FaultsFound, with what is wrong with the collection too."""
    stocked = stock(models, slug)
    made = unit(stocked.shown, stocked.press)
    if stocked.shown.notes and (dead := dead_links(models / slug / "notes.md", models, _within(slug, made.files))):
        raise FaultsFound(dead)
    return made


def _within(slug: str, paths: Iterable[str]) -> set[str]:
    """Paths from the movement's own folder on; the folder itself leads to its first page."""
    return {".", *(path.removeprefix(f"{slug}/") for path in paths)}


def round_them(models: Path, told: Callable[[str], Iterable[Any]], paths: Iterable[str]) -> Site:
    """The shelf round the movements' files. `told` gives what a page is told of each. Raises FaultsFound."""
    return shelf(told, paths, _press(_collection(models), TEMPLATES))


def stock(models: Path, slug: str) -> Stock:
    """One movement read, solved and drawn, and what its pages are printed with. Raises FaultsFound."""
    faults: list[Fault] = []
    collection = _told(lambda: _collection(models), faults)
    wording = _press(collection, TEMPLATES).wording if collection else Wording.load(TEMPLATES / "wording" / "en")
    one = _told(lambda: shown(models, slug, wording), faults)
    if collection is None or one is None:
        raise FaultsFound(faults)
    return Stock(_press(collection, TEMPLATES), one)


def _collection(models: Path) -> Collection:
    return read(models / "collection.toml", Collection, models, _spoken)


@lru_cache(maxsize=1)
def _press(collection: Collection, templates: Path) -> Press:
    """One for all movements of a collection."""
    return Press.of(collection, templates)


def shown(models: Path, slug: str, wording: Wording) -> Shown:
    """One movement, read, solved and drawn. Raises FaultsFound: those of its notes together with those of its file."""
    faults: list[Fault] = []
    notes = _told(lambda: noted(models, slug), faults)
    file = _told(lambda: opened(models / slug / "movement.toml", Movement, models), faults)
    solved = _told(lambda: solve(slug, file), faults) if file else None
    faults += misnamed(slug)
    if notes is None or file is None or solved is None or faults:
        raise FaultsFound(faults)
    text, pictures = notes
    worth_knowing = file.remarked(solved.stops + solved.findings)
    return Shown(solved, plates(solved, wording), text, pictures, repaired(models, solved), worth_knowing)


def repaired(models: Path, solved: Going) -> tuple[Mended, ...]:
    """The movement's repairs, solved, the oldest first. Raises FaultsFound with every fault of every file of theirs."""
    faults: list[Fault] = []
    jobs = repairs(models, solved.slug, solved.movement)
    folder = models / solved.slug / "repairs"
    found = [_told(lambda job=job: mended(solved, job, folder, models), faults) for job in jobs]  # type: ignore[misc]
    if faults:
        raise FaultsFound(faults)
    return tuple(one for one in found if one is not None)


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
        solved = running(slug, file.model)
        tree(solved)
        return solved
    except Refused as refused:
        raise FaultsFound(file.located(refused.complaints)) from None
