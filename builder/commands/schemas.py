"""schemas: what editors complete and check the files with."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from builder.commands import options as shared

HELP = "Write the JSON Schemas that editors use, beside the movement files."


def arguments(parser: argparse.ArgumentParser, given: Sequence[str] | None) -> None:
    """Where to."""
    shared.models(parser)


def run(options: argparse.Namespace) -> int:
    """One a sort of file."""
    from builder.ground.part import Part
    from builder.movement.collection import Collection
    from builder.movement.jsonschema import schema_text
    from builder.movement.model import Movement
    from builder.movement.repair import Repair

    kinds: dict[str, type[Part]] = {"movement": Movement, "collection": Collection, "repair": Repair}
    for name, model in kinds.items():
        (options.models / f"{name}.schema.json").write_text(schema_text(model), "utf-8")
    return 0
