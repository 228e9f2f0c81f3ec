"""What was made before and can be used again: one file a unit, found by everything that went into it.

A unit is kept under its name and a fingerprint of all its inputs: the movement's own files, the collection, templates,
wording, the builder's code, and the versions of what it runs on. So nothing in the store is ever out of date; an entry is
there or it is not. It may be deleted at any time. What is damaged or half written is as good as not there.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import sys
import tempfile
import time
import zipfile
from collections.abc import ItemsView, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from builder.ground.faults import PlainlySaid
from builder.ground.zips import put
from builder.linkcheck import Checked, checked

FORM = "1"
"""To be raised when the form of an entry changes."""
LIBRARIES = ("jinja2", "markdown", "markupsafe", "nh3", "numpy", "pydantic", "svgwrite", "tree-sitter", "tree-sitter-toml")
"""What the pages are made with; another version may write other bytes."""
FAST = 1
"""Level at which units are packed: they are read again on this machine, and soon."""
STAY = 4
"""So many entries of one name stay, newest first: going back to what was yesterday is quick too."""
FRESH_S, OLD_S = 3600.0, 30 * 86400.0
"""An entry used in the last hour stays in any case (another build may be reading it); one unused for a month goes."""


class StoreError(PlainlySaid):
    """Why the store cannot be used, in plain words."""


def fingerprint(*parts: str | bytes) -> str:
    """One short text that changes with any of the parts."""
    whole = hashlib.sha256()
    for part in parts:
        data = part.encode("utf-8") if isinstance(part, str) else part
        whole.update(b"%d:" % len(data) + data)
    return whole.hexdigest()[:32]


def fingerprint_of(folder: Path, pattern: str = "*") -> str:
    """Of all files of a folder, with their paths; Python's own leftovers are none of them."""
    paths = sorted(path for path in folder.rglob(pattern) if "__pycache__" not in path.parts and path.is_file())
    return fingerprint(*(part for path in paths for part in (path.relative_to(folder).as_posix(), path.read_bytes())))


def platform() -> str:
    """Fingerprint of what the builder runs on."""
    return fingerprint(FORM, sys.implementation.name, ".".join(map(str, sys.version_info[:3])), *map(_version, LIBRARIES))


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return ""


@dataclass(frozen=True, eq=False)
class Entry:
    """One unit as it is kept: a zip file behind its own SHA-256. Each reading makes sure of it anew."""

    file: Path
    paths: tuple[str, ...]
    """Those of its files, on the site."""

    def files(self) -> Iterator[tuple[str, bytes]]:
        """Every file with its path. Raises StoreError where the entry has gone or was changed since it was found."""
        with _unpacked(self.file) as held:
            yield from ((path, held.read(f"files/{path}")) for path in self.paths)

    def __getitem__(self, path: str) -> bytes:
        with _unpacked(self.file) as held:
            return held.read(f"files/{path}")

    def told(self, page: str) -> Any:
        """What a page of the shelf is told of it."""
        with _unpacked(self.file) as held:
            return json.loads(held.read(f"told/{page}.json"))

    def links(self) -> Checked:
        """What the check of links found in it."""
        with _unpacked(self.file) as held:
            return Checked.of_json(json.loads(held.read("links.json")))


@contextmanager
def _unpacked(file: Path) -> Iterator[zipfile.ZipFile]:
    try:
        seal, _, packed = file.read_bytes().partition(b"\n")
    except OSError as error:
        raise StoreError(f"{file} has gone while it was in use; build again") from error
    if seal.decode("ascii", "replace") != hashlib.sha256(packed).hexdigest():
        raise StoreError(f"{file} was changed while it was in use; build again")
    with zipfile.ZipFile(io.BytesIO(packed)) as held:
        yield held


class Store:
    """A folder of entries. Several builds may use it at once: an entry appears whole, and never changes."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def file(self, name: str, key: str) -> Path:
        """Where a unit lies if it is there."""
        return self.folder / f"{name}.{key}.zip"

    def kept(self, name: str, key: str) -> Entry | None:
        """The unit of that name and fingerprint, if it is there and whole."""
        file = self.file(name, key)
        if not file.is_file():
            return None
        with suppress(StoreError, zipfile.BadZipFile, OSError), _unpacked(file) as held:
            with suppress(OSError):
                os.utime(file)
            names = held.namelist()
            if "links.json" in names:
                return Entry(file, tuple(path.removeprefix("files/") for path in names if path.startswith("files/")))
        return None

    def keep(self, name: str, key: str, files: Mapping[str, bytes], told: Mapping[str, Any]) -> None:
        """Put a unit there, its links looked at. Raises StoreError where it cannot be written."""
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as held:
            for what, said in [("links", checked(files).as_json()), *((f"told/{page}", each) for page, each in told.items())]:
                put(held, f"{what}.json", json.dumps(said, ensure_ascii=False).encode("utf-8"), FAST)
            for path in sorted(files):
                put(held, f"files/{path}", files[path], FAST)
        data = packed.getbuffer()
        try:
            handle, half = tempfile.mkstemp(".half", f"{name}.", self.folder)
            try:
                with os.fdopen(handle, "wb") as file:
                    file.write(hashlib.sha256(data).hexdigest().encode("ascii") + b"\n")
                    file.write(data)
                Path(half).replace(self.file(name, key))
            except BaseException:
                Path(half).unlink(missing_ok=True)
                raise
        except OSError as error:
            raise StoreError(f"{self.folder} cannot be written: {(error.strerror or str(error)).lower()}") from error

    def sweep(self) -> None:
        """Remove what is not likely to be used again, and what killed builds left half written."""
        now, of_name = time.time(), dict[str, list[tuple[float, Path]]]()
        with suppress(OSError):
            for file in self.folder.glob("*.*"):
                with suppress(OSError):
                    of_name.setdefault(f"{file.name.split('.')[0]}{file.suffix}", []).append((file.stat().st_mtime, file))
        for files in of_name.values():
            for place, (used, file) in enumerate(sorted(files, reverse=True)):
                stays = 0 if file.suffix == ".half" else STAY
                if now - used > OLD_S or (place >= stays and now - used > FRESH_S):
                    file.unlink(missing_ok=True)


class Packed(Mapping[str, bytes]):
    """Entries as files by their names, each read when it is asked for."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self._files = {entry.file.name: entry.file for entry in entries}

    def __getitem__(self, name: str) -> bytes:
        return self._files[name].read_bytes()

    def __iter__(self) -> Iterator[str]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)


class Together(Mapping[str, bytes]):
    """The files of several entries as one site. They are read when they are asked for: one entry at a time is in memory."""

    def __init__(self, entries: Iterable[Entry], without: str = "") -> None:
        """`without` is the end of those paths that are left out."""
        self._entries = {path: entry for entry in entries for path in entry.paths if not (without and path.endswith(without))}

    def __getitem__(self, path: str) -> bytes:
        return self._entries[path][path]

    def told(self, page: str) -> Iterator[Any]:
        """What the entries tell under that name, those that tell it."""
        for entry in dict.fromkeys(self._entries.values()):
            with suppress(KeyError):
                yield entry.told(page)

    def __iter__(self) -> Iterator[str]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)

    def items(self) -> ItemsView[str, bytes]:
        return _Items(self)

    def each(self) -> Iterator[tuple[str, bytes]]:
        """Every file, entry by entry."""
        for entry in dict.fromkeys(self._entries.values()):
            yield from ((path, data) for path, data in entry.files() if path in self._entries)


class _Items(ItemsView[str, bytes]):
    _mapping: Together

    def __iter__(self) -> Iterator[tuple[str, bytes]]:
        return self._mapping.each()
