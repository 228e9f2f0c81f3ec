"""The site is written whole or not at all.

The files are first written into a folder beside the target (same file system), then the two folders change names in
one step. Whoever is killed, runs out of disk or loses power at any moment leaves the old site whole, or the new one;
the next run clears away what was left. In the target a marker file lists what was written. Nothing else is ever
deleted: other people's files in the folder (a .gitignore, a CNAME) are carried over into the new site.

Where the system cannot exchange two folders in one step (neither Linux nor macOS, some network disks), the old site
steps aside first; killed between these two renames, it lies whole beside the target until the next run puts it back.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from builder.ground.faults import PlainlySaid
from builder.linkcheck import check_links

try:
    import fcntl
except ImportError:  # Windows: two builds at once into one folder are not kept apart there
    fcntl = None  # type: ignore[assignment]

MARKER = ".between-plates"
MARKER_HEADING = (
    "Between Plates wrote the files listed here; its next build replaces them, and its clean removes them and nothing else."
)
PROJECT = Path(__file__).resolve().parents[1]


class PublishError(PlainlySaid):
    """Why the site was not written, in plain words; unless the words say otherwise, the old one is untouched."""


def publish(site: Mapping[str, bytes], out: Path, faults: Sequence[str] | None = None) -> None:
    """Make the folder `out` hold `site`, and what others keep in it, in one step; nothing is written where it does already.

    `faults` are those of the site's links, where they have been looked at. Files are asked for one after the other, so that
    a large site need not be in memory. Raises PublishError: a link leads nowhere, `out` is not ours to write, the disk is
    full or read-only.
    """
    if not site or MARKER in site:
        raise PublishError("the site is empty" if not site else f"{MARKER} is the marker's name; no page can have it")
    if faults := check_links(site) if faults is None else faults:
        raise PublishError("\n".join(faults))
    with _plainly(f"{out} is unchanged"):
        target = _target(out)
        with _alone_beside(target):
            _mend(target)
            _refuse_strange(target)
            if _holds(target, site):
                return
            try:
                _write(site, _stage(target))
                _carry_over(target, _stage(target), site)
                _swap(target)
            except BaseException:
                with contextlib.suppress(OSError, PublishError):
                    _mend(target)
                raise
            with _plainly(f"{out} holds the new site, but the old one could not be removed"):
                _to_disk(target.parent)
                _mend(target)


def may_publish(out: Path) -> None:
    """Look at `out` before the work, and change nothing. Raises PublishError where `publish` would, whatever the site."""
    with _plainly(f"{out} is unchanged"):
        target = _target(out)
        _refuse_strange(target)
        if not os.access(target.parent, os.W_OK | os.X_OK):
            raise PublishError(f"{target.parent} may not be written, and the site is put together there; name another folder")


def clean(out: Path) -> bool:
    """Remove from `out` what was written there, and the folder too if that leaves it empty. False where there was no site.

    Raises PublishError if `out` holds files but no site of ours, or cannot be written.
    """
    with _plainly(f"{out} could not be cleaned"):
        target = _target(out)
        with _alone_beside(target):
            _mend(target)
            _refuse_strange(target)
            if not (target / MARKER).is_file():
                return False
            _remove_ours(target)
            with contextlib.suppress(OSError):
                target.rmdir()
            return True


def written(out: Path) -> list[str]:
    """The files that were written into `out`, sorted; not the marker. Raises PublishError where no site of ours lies there."""
    if not (out / MARKER).is_file():
        raise PublishError(f"{out} holds no site of Between Plates; build it first")
    return sorted(_listed(out) - {MARKER})


def _target(out: Path) -> Path:
    """The real path of the target. Refuses whatever could not be exchanged, or holds more than a site."""
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise PublishError(f"{out} is not a plain folder; name one that is, or one that does not exist yet")
    target = out.resolve()
    if not target.parent.is_dir():
        raise PublishError(f"the folder {target.parent} does not exist; make it first")
    for what, held in (("the home folder", Path.home()), ("the project", PROJECT), ("the present folder", Path.cwd())):
        if held.resolve().is_relative_to(target):
            raise PublishError(f"{out} is or holds {what}; name a folder for the site alone")
    if any(target.is_relative_to(PROJECT / own) for own in ("builder", "models", "templates", "tests", ".git")):
        raise PublishError(f"{out} lies among the project's own files; name a folder for the site alone")
    if os.path.ismount(target):
        raise PublishError(f"{out} is a disk of its own and cannot be exchanged; name a folder on it")
    return target


def _refuse_strange(target: Path) -> None:
    if target.exists() and not _may_be_ours(target):
        raise PublishError(f"{target} holds files, but no site of Between Plates; empty it yourself or name another folder")


def _may_be_ours(folder: Path) -> bool:
    return folder.is_dir() and ((folder / MARKER).is_file() or {path.name for path in folder.iterdir()} <= {".gitignore"})


def _stage(target: Path) -> Path:
    return target.with_name(f".{target.name}.staged")


def _aside(target: Path) -> Path:
    return target.with_name(f".{target.name}.aside")


@contextlib.contextmanager
def _alone_beside(target: Path) -> Iterator[None]:
    """Waits until no other build publishes beside the target. The lock is the parent folder's own and ends with the process."""
    if fcntl is None:
        yield
        return
    folder = os.open(target.parent, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # some network disks do not lock folders
            fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


@contextlib.contextmanager
def _plainly(what_stands: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise PublishError(f"{what_stands}: {reason[:1].lower()}{reason[1:]} ({error.filename or 'the disk'})") from error


def _marker(site: Mapping[str, bytes]) -> str:
    return "\n".join([MARKER_HEADING, *sorted(site)]) + "\n"


def _holds(target: Path, site: Mapping[str, bytes]) -> bool:
    """Whether every file of the site lies there already, byte for byte, and none that it no longer has."""
    marker = target / MARKER
    if not marker.is_file() or marker.read_bytes() != _marker(site).encode("utf-8"):
        return False
    for path, content in site.items():
        file = target / path
        if not file.is_file() or file.is_symlink() or file.read_bytes() != content:
            return False
    return True


def _write(site: Mapping[str, bytes], stage: Path) -> None:
    """The marker, then all files, on the disk and not only on their way there: power may fail after the swap."""
    stage.mkdir()
    (stage / MARKER).write_text(_marker(site), encoding="utf-8", newline="\n")
    _to_disk(stage / MARKER)
    _to_disk(stage)
    for path, content in site.items():
        file = stage / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    for file in sorted(stage.rglob("*")):
        _to_disk(file)
    _to_disk(stage)


def _to_disk(path: Path) -> None:
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDWR if os.name == "nt" else os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _carry_over(target: Path, stage: Path, site: Mapping[str, bytes]) -> None:
    """Copy what others keep in the target, links as links, and the target's own permissions."""
    if not target.is_dir():
        return
    for path in sorted(set(_files(target)) - _listed(target)):
        if path in site:
            raise PublishError(
                f"{target / path} was not written by Between Plates, and the site has a page of that name; move it"
            )
        (stage / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(target / path, stage / path, follow_symlinks=False)
    shutil.copymode(target, stage)


def _swap(target: Path) -> None:
    stage, aside = _stage(target), _aside(target)
    if not target.exists():
        stage.rename(target)
    elif not _exchange(stage, target):
        target.rename(aside)
        stage.rename(target)


def _exchange(one: Path, other: Path) -> bool:
    """Two folders change names in one step: renameat2(2) of Linux, renamex_np(2) of macOS. False where there is no such step."""
    if os.name != "posix":
        return False
    here, exchange = -100, 2  # AT_FDCWD; RENAME_EXCHANGE and RENAME_SWAP are both 2
    library = ctypes.CDLL(None)
    if hasattr(library, "renameat2"):
        return library.renameat2(here, os.fsencode(one), here, os.fsencode(other), exchange) == 0
    return hasattr(library, "renamex_np") and library.renamex_np(os.fsencode(one), os.fsencode(other), exchange) == 0


def _mend(target: Path) -> None:
    """Clear away what a killed run left beside the target; if the target itself had stepped aside, put it back."""
    if not target.exists() and _may_be_ours(_aside(target)):
        _aside(target).rename(target)
    for left in (_stage(target), _aside(target)):
        if left.is_symlink() or left.exists():
            _discard(left, target)


def _discard(left: Path, target: Path) -> None:
    """Remove a folder that a run left: what it lists, and copies of what the target keeps. Anything else stops the removal."""
    if left.is_symlink() or not left.is_dir():
        raise PublishError(f"{left} is in the way and was not written by Between Plates; move it")
    kept = set(_files(target)) if target.is_dir() else set()
    if strange := set(_files(left)) - _listed(left) - kept - {MARKER}:
        raise PublishError(f"{left / min(strange)} was not written by Between Plates; move it out of that folder")
    _remove_ours(left, also=kept)
    left.rmdir()


def _remove_ours(folder: Path, also: Iterable[str] = ()) -> None:
    """Remove the listed files, the folders this empties and, last, the marker: killed before that, it can be done again."""
    ours = {*_listed(folder), *also} - {MARKER}
    for path in _files(folder):
        if path in ours:
            (folder / path).unlink()
    for inner, _, _ in os.walk(folder, topdown=False):
        if Path(inner) != folder:
            with contextlib.suppress(OSError):
                Path(inner).rmdir()
    (folder / MARKER).unlink(missing_ok=True)


def _listed(folder: Path) -> set[str]:
    """The marker and what it lists; a half-written marker lists less, and then there is nothing else there yet."""
    marker = folder / MARKER
    return {MARKER, *marker.read_text(encoding="utf-8", errors="replace").splitlines()[1:]} if marker.is_file() else set()


def _files(folder: Path) -> list[str]:
    """Relative paths of all that is not a real folder. Links are not followed, so nothing outside is ever reached."""
    found = []
    for inner, folders, files in os.walk(folder):
        links = [name for name in folders if Path(inner, name).is_symlink()]
        found += [Path(inner, name).relative_to(folder).as_posix() for name in (*files, *links)]
    return found
