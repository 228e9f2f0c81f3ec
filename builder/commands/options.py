"""Options that several commands share, and what they come to."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from builder.ground.faults import PlainlySaid
from builder.movement.folders import movements

if TYPE_CHECKING:
    from builder.ground.wording import Wording

STORE = ".between-plates-store"
"""Where units are kept from build to build: beside the folder of the movement files."""


def models(parser: argparse.ArgumentParser) -> None:
    """--models"""
    parser.add_argument("--models", type=Path, default=Path("models"), help="folder of the movement files (default: models)")


def site(parser: argparse.ArgumentParser, name: str = "--out") -> None:
    """--out or --site"""
    parser.add_argument(name, type=Path, default=Path("site"), help="folder of the site (default: site)")


def quiet(parser: argparse.ArgumentParser) -> None:
    """--quiet"""
    parser.add_argument("--quiet", action="store_true", help="say nothing unless something is wrong")


def as_json(parser: argparse.ArgumentParser) -> None:
    """--json"""
    parser.add_argument("--json", action="store_true", help="as JSON with stable keys, for other programs")


def jobs(parser: argparse.ArgumentParser) -> None:
    """--jobs"""
    parser.add_argument("--jobs", type=_jobs, metavar="N", help="processes at once (default: one for each core)")


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 1000:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of processes; write 1 or more")
    return int(text)


def store_beside(folder: Path) -> Path:
    """Where the units of these movement files are kept, if nothing else is said."""
    return folder.resolve().parent / STORE


def teller(quiet: bool) -> Callable[[str], None]:
    """Says how far a build has come, one movement a line."""
    return (lambda _: None) if quiet else (lambda text: print(f"  {text}", file=sys.stderr, flush=True))


def from_here(options: argparse.Namespace, named: str) -> str:
    """What a message names, from the present folder on, so that an editor finds it: `root` of the command, or its models."""
    root: Path = getattr(options, "root", None) or getattr(options, "models", None) or Path()
    return named if root == Path() else f"{root.as_posix()}/{named}"


def known(folder: Path, *slugs: str) -> None:
    """Raises PlainlySaid where there is no such folder of movement files, or no such movement in it."""
    if not folder.is_dir():
        raise PlainlySaid(f"There is no folder {folder}. Name the folder of the movement files with --models.")
    there = movements(folder)
    for slug in slugs:
        if slug not in there:
            raise PlainlySaid(f"{slug}: no such movement. There are: {', '.join(there) or 'none'}.")


@cache
def english() -> Wording:
    """The wording that commands speak with."""
    from builder.ground.project import TEMPLATES
    from builder.ground.wording import Wording

    return Wording.load(TEMPLATES / "wording" / "en")
