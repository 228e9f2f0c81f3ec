"""pack: one file to hand out."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence

from builder.commands import options as shared
from builder.ground import words

HELP = "Make one file to hand out: a drawing, a film for slides, a lesson, or all of it."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """One sub-parser a kind."""
    if given is None:
        return
    from builder.packs import KINDS

    kinds = parser.add_subparsers(required=True, metavar="kind")
    for name, kind in KINDS.items():
        one = kinds.add_parser(name, help=kind.HELP, description=f"{words.capital(kind.HELP)}.")
        one.add_argument("slug", help="the movement: name of its folder")
        kind.arguments(one)
        shared.models(one)
        shared.quiet(one)
        one.set_defaults(kind=kind)


def run(options: argparse.Namespace) -> int:
    """Make it and write it."""
    from builder.build import stock
    from builder.packs import put

    shared.known(options.models, options.slug)
    made = options.kind.make(stock(options.models, options.slug), options, _counter(options.quiet))
    place = put(made, options.out)
    if not options.quiet:
        print(f"{place}: {max(1, len(made.data) // 1024)} KiB. {made.said}".rstrip())
    return 0


def _counter(quiet: bool) -> Callable[[int, int], None]:
    """Says how far a long work has come: on one line of a terminal, or now and then."""
    on_screen = sys.stderr.isatty()

    def say(done: int, of: int) -> None:
        if not quiet and (on_screen or done == of or done * 10 // of > (done - 1) * 10 // of):
            end = "\r" if on_screen and done < of else "\n"
            print(f"  {done} of {of}", end=end, file=sys.stderr, flush=True)

    return say
