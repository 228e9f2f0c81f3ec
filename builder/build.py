"""The pipeline, readable on one screen: files to movements, movements to goings, goings to drawings, drawings to pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from builder.bench.mended import repaired
from builder.drawing.diagrams import plates
from builder.going.going import Going
from builder.going.parts_tree import tree
from builder.ground.faults import FaultsFound, Gathered, Refused
from builder.ground.project import TEMPLATES as TEMPLATES
from builder.ground.wording import Wording
from builder.movement.folders import misnamed, movements
from builder.movement.model import Movement
from builder.movement.notes import dead_links, noted
from builder.movement.reading import Opened, opened
from builder.packs.stock import Stock
from builder.pages.press import press_of
from builder.pages.shown import Shown
from builder.pages.site import Site, Unit, apart, shelf, unit
from builder.starter.usual import running


def movement(models: Path, slug: str) -> Unit:
    """One movement's files and what the shelf is told of it. Raises FaultsFound, with what is wrong with the collection too."""
    stocked = stock(models, slug)
    made = unit(stocked.shown, stocked.press)
    there = {".", *(path.removeprefix(f"{slug}/") for path in made.files)}  # the folder itself leads to its first page
    if stocked.shown.notes and (dead := dead_links(models / slug / "notes.md", models, there)):
        raise FaultsFound(dead)
    return made


def stock(models: Path, slug: str) -> Stock:
    """One movement read, solved and drawn, and what its pages are printed with. Raises FaultsFound."""
    with Gathered() as faults:
        press = faults.of(lambda: press_of(models))
        one = faults.of(lambda: shown(models, slug, press.wording if press else Wording.load(TEMPLATES / "wording" / "en")))
    assert press is not None and one is not None
    return Stock(press, one)


def shown(models: Path, slug: str, wording: Wording) -> Shown:
    """One movement, read, solved and drawn. Raises FaultsFound: those of its notes together with those of its file."""
    with Gathered(misnamed(slug)) as faults:
        notes = faults.of(lambda: noted(models / slug, models))
        file = faults.of(lambda: opened(models / slug / "movement.toml", Movement, models))
        solved = faults.of(lambda: solve(slug, file)) if file else None
    assert notes is not None and file is not None and solved is not None
    worth_knowing = file.remarked(solved.stops + solved.findings)
    return Shown(solved, plates(solved, wording), *notes, repaired(models, solved), worth_knowing)


def solve(slug: str, file: Opened[Movement]) -> Going:
    """The movement running, its parts in their tree. Raises FaultsFound: what cannot be, at its place in the file."""
    try:
        solved = running(slug, file.model)
        tree(solved)
        return solved
    except Refused as refused:
        raise FaultsFound(file.located(refused.complaints)) from None


def beside(models: Path) -> Unit:
    """The files that know of no movement. Raises FaultsFound."""
    return Unit(apart(press_of(models)), {})


def round_them(models: Path, told: Callable[[str], Iterable[Any]], paths: Iterable[str]) -> Site:
    """The shelf round all other files. `told` gives what a page is told of each movement. Raises FaultsFound."""
    return shelf(told, paths, press_of(models))


def build_site(models: Path, only: Iterable[str] | None = None) -> Site:
    """The whole site in memory, one movement after the other. Raises FaultsFound with every fault of every file."""
    with Gathered() as faults:
        units = [faults.of(lambda slug=slug: movement(models, slug)) for slug in movements(models, only)]  # type: ignore[misc]
    made = [each for each in units if each is not None]
    files = {path: data for each in (*made, beside(models)) for path, data in each.files.items()}
    return files | round_them(models, lambda page: [each.told[page] for each in made], files)
