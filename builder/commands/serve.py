"""serve: the site on this machine while its files are being written."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from importlib import import_module

from builder.commands import options as shared

HELP = "Show the site on this machine only; build again and reload when a file changes."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Where from, and at which port."""
    shared.models(parser)
    parser.add_argument("--port", type=_port, default=8000, help="port on this machine (default: 8000)")


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65_535:
        raise argparse.ArgumentTypeError(f"{text!r} is no port; write a number from 1024 to 65535, or 0 for any that is free")
    return int(text)


def run(options: argparse.Namespace) -> int:
    """Until it is interrupted."""
    from builder.ground.project import CODE, TEMPLATES
    from builder.serve import fresh, serve

    shared.known(options.models)

    def build() -> dict[str, bytes]:
        fresh("builder")  # changed code takes part too
        anew = import_module("builder.assemble")
        with anew.assembled(options.models, how=anew.How(shared.store_beside(options.models))) as (site, _):
            return dict(site.items())

    serve(build, options.port, [options.models, TEMPLATES, CODE], lambda text: print(text, flush=True))
    return 0
