"""clean: a site that this program wrote, and nothing else, is removed."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from builder import publish
from builder.commands import options as shared

HELP = "Remove a site that this program wrote."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Which site."""
    shared.site(parser)
    shared.quiet(parser)


def run(options: argparse.Namespace) -> int:
    """Twice is no fault."""
    removed = publish.clean(options.out)
    if not options.quiet:
        print(f"The site in {options.out} is removed." if removed else f"There is no site in {options.out}.")
    return 0
