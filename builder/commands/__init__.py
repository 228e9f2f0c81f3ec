"""The commands, one file each: name of the command → its options and what it does.

A command prints what it has to say and returns the exit code. What it computes with is imported where it runs: a build that
finds nothing changed takes no time to begin.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Protocol

from builder import __version__
from builder.commands import build, check, clean, figures, new, pack, repair, schemas, serve, sum, zip


class Command(Protocol):
    """The duties of a command; a file has them as functions."""

    HELP: str

    def arguments(self, parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
        """Tell the parser what this command can be told. `given` stands behind its name; None where another is asked for."""

    def run(self, options: argparse.Namespace) -> int:
        """Do it. Returns the exit code: 0 done, 1 faults in what was read, 2 wrong use. Raises FaultsFound, PlainlySaid."""


COMMANDS: dict[str, Command] = {
    "build": build,
    "check": check,
    "figures": figures,
    "repair": repair,
    "sum": sum,
    "pack": pack,
    "new": new,
    "serve": serve,
    "zip": zip,
    "clean": clean,
    "schemas": schemas,
}


def parser(given: Sequence[str]) -> argparse.ArgumentParser:
    """For all commands; whatever takes long to tell is told only where it is asked for."""
    made = argparse.ArgumentParser(
        prog="between-plates", description="From movement files to an offline site that explains them."
    )
    made.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = made.add_subparsers(required=True, metavar="command")
    for name, command in COMMANDS.items():
        one = commands.add_parser(name, help=command.HELP, description=command.HELP)
        one.set_defaults(run=command.run)
        command.arguments(one, given[1:] if given[:1] == [name] else None)
    return made
