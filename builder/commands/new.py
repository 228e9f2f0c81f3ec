"""new: the file of a new movement."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from builder.commands import options as shared

HELP = "Write a commented, valid starter file for a new movement."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Its name, and whether to ask."""
    parser.add_argument("slug", type=_slug, help="name of its folder under models: small letters, figures and underscores")
    shared.models(parser)
    parser.add_argument(
        "--ask", action="store_true", help="put the questions of the bench one by one and write the file from the answers"
    )


def _slug(text: str) -> str:
    from builder.starter import slug_of

    return slug_of(text)


def run(options: argparse.Namespace) -> int:
    """The example, or what the person at the bench answers."""
    from builder.starter import asked, example, start, write

    place = start(options.models, options.slug)
    write(place, asked(options.slug, _typed, print) if options.ask else example())
    print(f"{place} is written. Look it over, then: between-plates check --models {options.models}")
    return 0


def _typed() -> str | None:
    """One line from the person at the bench; None where there are no more."""
    try:
        return input("> ")
    except EOFError:
        return None
    except UnicodeDecodeError:
        return "\0"  # no letter of any answer: the question is put again
