"""zip: the built site as one file."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from builder.commands import options as shared

HELP = "Put the built site into one zip file; the same site makes the same bytes."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """From where, and into which file."""
    shared.site(parser, "--site")
    parser.add_argument("--out", type=Path, default=Path("site.zip"), help="the file (default: site.zip)")


def run(options: argparse.Namespace) -> int:
    """Only what the builder wrote goes into it."""
    from builder.archive import archive
    from builder.packs import put
    from builder.packs.stock import Made

    print(put(Made("site.zip", archive(options.site)), options.out))
    return 0
