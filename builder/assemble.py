"""The whole site from its units: what was made before is taken from the store, the rest is made side by side.

A unit is one movement's files; two more are what knows of no movement, and the shelf round them all. Which bytes come out
depends on what goes in alone, and not on what was in the store, in how many processes it was made, or in how many parts.
"""

from __future__ import annotations

import json
from collections import ChainMap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from tempfile import TemporaryDirectory

from builder.ground.faults import Fault, FaultsFound
from builder.ground.project import AUTHORITIES, CODE, TEMPLATES
from builder.linkcheck import faults_of
from builder.movement.folders import movements
from builder.side_by_side import Helpers
from builder.store import Entry, Packed, Store, StoreError, Together, fingerprint, fingerprint_of, platform

APART, SHELF = "_apart", "_shelf"
"""The names of two units: no movement's begins so."""

Told = Callable[[str], None]


@dataclass(frozen=True)
class How:
    """How a site is made, which does not change what comes out."""

    store: Path | None = None
    """Where units are kept from build to build; None keeps none."""
    jobs: int | None = None
    """Processes at once; None is one for each core."""
    told: Told = lambda _: None
    """Hears the name of each movement."""


@contextmanager
def assembled(
    models: Path, only: Iterable[str] | None = None, how: How = How(), parts: Sequence[Path] = ()
) -> Iterator[tuple[Together, list[str]]]:
    """The site, read from the store when it is asked for, and the faults of its links.

    With `parts`, folders of units made elsewhere, no movement is made here. Raises FaultsFound with every fault of
    every file; StoreError where a movement is in none of the parts, or the store cannot be used.
    """
    with _opened(how.store) as store:
        base = _base(models)
        keys, apart = _keys(base, models, movements(models, only)), {APART: _apart_key(base)}
        with Helpers(how.jobs) as helpers:
            ready = _from_parts(keys, [*map(Store, parts), store]) if parts else []
            units = [*ready, *_made(models, apart if parts else keys | apart, store, helpers, how.told)]
            every = [*units, _shelf(models, _shelf_key(base, keys), units, store, helpers)]
        yield Together(every), faults_of(lambda: (entry.links() for entry in every))
        store.sweep()


@contextmanager
def part(models: Path, number: int, of: int, how: How = How()) -> Iterator[Mapping[str, bytes]]:
    """The units of every `of`-th movement from the `number`-th (counted from 1) on, as files for a folder of their own."""
    with _opened(how.store) as store:
        slugs = movements(models)[number - 1 :: of]
        with Helpers(how.jobs) as helpers:
            units = _made(models, _keys(_base(models), models, slugs), store, helpers, how.told)
        said = json.dumps({"part": number, "of": of, "movements": slugs}, indent=2) + "\n"
        yield ChainMap({"part.json": said.encode("utf-8")}, Packed(units))  # type: ignore[arg-type]  # only read
        store.sweep()


@contextmanager
def _opened(folder: Path | None) -> Iterator[Store]:
    """The store in a folder; where there is none, or it cannot be written, one that goes when it is no longer used."""
    if folder is not None:
        try:
            folder.mkdir(exist_ok=True)
            with TemporaryDirectory(dir=folder, suffix=".half"):
                pass
        except OSError:
            folder = None
    if folder is not None:
        yield Store(folder)
        return
    with TemporaryDirectory(prefix="between-plates-") as passing:
        yield Store(Path(passing))


def _keys(base: str, models: Path, slugs: Sequence[str]) -> dict[str, str]:
    """Movement → fingerprint of all that goes into its files."""
    return {slug: fingerprint(base, slug, fingerprint_of(models / slug)) for slug in slugs}


def _base(models: Path) -> str:
    """Fingerprint of what goes into every unit."""
    collection = models / "collection.toml"
    given = collection.read_bytes() if collection.is_file() else b""
    return fingerprint(platform(), fingerprint_of(CODE, "*.py"), fingerprint_of(TEMPLATES), given)


def _apart_key(base: str) -> str:
    """Fingerprint of all that goes into the files that know of no movement."""
    return fingerprint(base, fingerprint_of(AUTHORITIES, "*.toml"))


def _shelf_key(base: str, keys: dict[str, str]) -> str:
    """Fingerprint of all that goes into the shelf's files."""
    return fingerprint(base, *(text for pair in keys.items() for text in pair))


def _made(models: Path, keys: dict[str, str], store: Store, helpers: Helpers, told: Told) -> list[Entry]:
    """Every unit, from the store or made now. Raises FaultsFound with the faults of all of them."""
    found = {name: store.kept(name, key) for name, key in keys.items()}
    calls = [(models, name, key, store.folder) for name, key in keys.items() if found[name] is None]
    moving, still = [call for call in calls if call[1] != APART], [call for call in calls if call[1] == APART]
    making = chain(helpers.each(_make, moving), helpers.each(_make, still))  # for what stands still no helper is begun
    faults: set[Fault] = set()
    for name in keys:
        if name != APART:
            told(name)
        if found[name] is None:
            faults |= next(making)
    if faults:
        raise FaultsFound(list(faults))
    return [found[name] or _kept(store, name, key) for name, key in keys.items()]


def _make(models: Path, name: str, key: str, folder: Path) -> frozenset[Fault]:
    """Make one unit and put it into the store; what is wrong with it is handed back. Runs in a process of its own."""
    from builder.build import beside, movement  # all that computes and draws is read only where something is to be made

    try:
        unit = beside(models) if name == APART else movement(models, name)
    except FaultsFound as found:
        return frozenset(found.faults)
    Store(folder).keep(name, key, unit.files, unit.told)
    return frozenset()


def _from_parts(keys: dict[str, str], stores: Sequence[Store]) -> list[Entry]:
    """Every unit from the first store that has it. Raises StoreError with all that are in none."""
    found = {slug: next(filter(None, (store.kept(slug, key) for store in stores)), None) for slug, key in keys.items()}
    if missing := [slug for slug, entry in found.items() if entry is None]:
        raise StoreError(
            f"In none of the parts: {', '.join(missing)}. Every part must be made from the same files, by the same version of "
            "the builder, of Python and of its libraries; or a part is missing."
        )
    return [entry for entry in found.values() if entry is not None]


def _shelf(models: Path, key: str, units: Sequence[Entry], store: Store, helpers: Helpers) -> Entry:
    """The unit round all others."""
    if (kept := store.kept(SHELF, key)) is not None:
        return kept
    for _ in helpers.each(_make_shelf, [(models, key, store.folder, units)]):
        pass
    return _kept(store, SHELF, key)


def _make_shelf(models: Path, key: str, folder: Path, units: Sequence[Entry]) -> None:
    """Make the shelf's unit and put it into the store. Raises FaultsFound."""
    from builder.build import round_them

    files = round_them(models, Together(units).told, (path for entry in units for path in entry.paths))
    Store(folder).keep(SHELF, key, files, {})


def _kept(store: Store, name: str, key: str) -> Entry:
    """What was just put there. Raises StoreError where it has gone again."""
    entry = store.kept(name, key)
    if entry is None:
        raise StoreError(f"{store.folder} does not keep what is put there; build again, or with --no-store")
    return entry
