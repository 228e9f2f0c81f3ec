"""A sum on the command line: its options, made from its fields, and its working as plain text."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping, Sequence

from builder.bench.working.asked import choices, option, sort_of
from builder.bench.working.said import Listed, Written
from builder.ground.faults import Complaint, key_text
from builder.ground.part import Part

WIDTH = 44
"""Where results stand."""
FIELD = re.compile(r"\b[a-z]+(?:_[a-z0-9]+)+\b")
"""A field's name within a sentence."""


def add_options(parser: argparse.ArgumentParser, sum_class: type[Part]) -> None:
    """One option a field, with the field's own description as its help."""
    for name, field in sum_class.model_fields.items():
        words = choices(field.annotation)
        several = sort_of(field.annotation) == dict[int, float]
        default = "" if field.is_required() or field.default is None else f" Default: {field.default}."
        parser.add_argument(
            option(name),
            dest=f"asked_{name}",
            required=field.is_required(),
            metavar="|".join(words) or "N",
            action="append" if several else "store",
            help=f"{(field.description or '').replace('%', '%%')}{default}",
        )


def answers(options: argparse.Namespace) -> dict[str, str | Sequence[str]]:
    """What was typed, by field."""
    return {name[6:]: text for name, text in vars(options).items() if name.startswith("asked_") and text is not None}


def command(name: str, texts: Mapping[str, str], file: str = "") -> str:
    """The sum as one types it; quoted where a shell would take a text apart."""
    quoted = {field: f'"{text}"' if set(text) & set(" ,?") else text for field, text in texts.items()}
    asked = [f"{option(field)} {text}" for field, text in quoted.items()]
    return " ".join(["between-plates sum", name, *([file] if file else []), *asked])


def complaint_text(complaint: Complaint) -> str:
    """What cannot be, with the option that says so."""
    said = f"{option(key_text(complaint.key))} {complaint.value}: {complaint.allowed}. {complaint.advice}"
    return FIELD.sub(lambda found: option(found[0]), said)


def printed(written: Written, most: int | None = None) -> str:
    """The working as plain text; of a table at most so many rows."""
    lines = [written.title, ""]
    lines += [f"  {one.label:{WIDTH}} {one.text}" for one in written.given]
    lines.append("")
    for line in written.lines:
        lines.append(f"  {line.label:{WIDTH}} {line.text}")
        steps = [line.formula, *([f"= {line.put_in}"] if line.put_in else [])]
        lines += [f"      {step}" for step in steps]
    for table in written.tables:
        lines += ["", f"  {table.title}", *_table(table, most)]
    lines += ["", *(f"Note: {note}" for note in written.notes)] if written.notes else []
    return "\n".join(lines)


def _table(table: Listed, most: int | None) -> list[str]:
    rows = table.rows[:most]
    widths = [max(len(head), *(len(row[k]) for row in rows), 1) for k, head in enumerate(table.heads)]
    lines = ["  ".join(f"{text:>{width}}" for text, width in zip(row, widths, strict=True)) for row in (table.heads, *rows)]
    more = len(table.rows) - len(rows)
    return [f"    {line}" for line in lines] + ([f"    … {more} more; --json has them all"] if more else [])
