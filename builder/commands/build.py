"""build: the whole site, or a part of it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from builder.commands import options as shared
from builder.movement.folders import remarks_on_order
from builder.publish import may_publish, publish

HELP = "Build the whole site."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Where from, where to, and how."""
    shared.models(parser)
    shared.site(parser)
    some = parser.add_mutually_exclusive_group()
    some.add_argument("--only", action="append", metavar="SLUG", help="build only this movement; may be given again")
    some.add_argument("--part", type=_share, metavar="K/N", help="make the K-th of N parts of a large collection into OUT")
    some.add_argument("--merge", nargs="+", type=Path, metavar="PART", help="build the site from parts made before")
    shared.jobs(parser)
    store = parser.add_mutually_exclusive_group()
    store.add_argument(
        "--store", type=Path, metavar="DIR", help=f"keep what was made there (default: {shared.STORE} beside the models)"
    )
    store.add_argument("--no-store", action="store_true", help="make everything anew and keep nothing")
    shared.quiet(parser)


def _share(text: str) -> tuple[int, int]:
    """Number of a part, and of how many."""
    number, _, of = text.partition("/")
    if not (number.isdecimal() and of.isdecimal() and 1 <= int(number) <= int(of) <= 10_000):
        raise argparse.ArgumentTypeError(f"{text!r} is no part; write its number and of how many, from 1/3 to 3/3")
    return int(number), int(of)


def run(options: argparse.Namespace) -> int:
    """Build into `out`, which is looked at first: whoever waits for a build wants it to end well."""
    from builder.assemble import How, assembled, part

    shared.known(options.models, *options.only or ())
    may_publish(options.out)
    store = None if options.no_store else options.store or shared.store_beside(options.models)
    how = How(store, options.jobs, shared.teller(options.quiet))
    if options.part:
        number, of = options.part
        with part(options.models, number, of, how) as units:
            publish(units, options.out)
        if not options.quiet:
            print(f"Part {number} of {of} in {options.out}. When all are there: between-plates build --merge, and their folders.")
        return 0
    with assembled(options.models, options.only, how, options.merge or ()) as (made, faults):
        publish(made, options.out, faults)
    if not options.quiet:
        for remark in remarks_on_order(options.models):
            print(shared.from_here(options, remark), file=sys.stderr)
        pages = sum(path.endswith(".html") for path in made)
        print(f"{pages} pages, {len(made)} files in {options.out}. Open {options.out / 'index.html'}.")
    return 0
