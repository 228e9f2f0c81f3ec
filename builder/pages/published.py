"""The table of published values beside computed ones."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import Any

from builder.authorities import FOLDER, Authorities, Row, compared
from builder.authorities.entry import Entry
from builder.authorities.said import computed, difference, listed, named, tolerance, typed
from builder.ground.wording import Wording
from builder.pages.shown import Context


def published(wording: Wording, folder: Path = FOLDER) -> Context | None:
    """Counts, groups of rows and sources; None where the files are not there."""
    if not folder.is_dir():
        return None
    known, by_file = compared(folder)
    every = [row for rows in by_file.values() for row in rows]
    plain = [row for row in every if not row.erratum]
    met = sum(row.agrees for row in plain)
    counts = wording.say(
        "computing.published.counts", values=len(plain), sources=len(known.sources), figures=sum(row.figures for row in plain),
        met=met, missed=len(plain) - met, errata=len(every) - len(plain),
        memory=sum(_from_memory(row.entry, known) for row in plain),
        worked=sum(not row.entry.printed and not _from_memory(row.entry, known) for row in plain),
    )  # fmt: skip
    names = wording["computing.published.groups"]
    groups = [_group(name, names[name], by_file[name], known, wording) for name in names if name in by_file]
    sources = [{"id": name, "name": source.name, "citation": source.citation} for name, source in known.sources.items()]
    return {"counts": counts, "groups": groups, "sources": sources}


def _from_memory(entry: Entry, known: Authorities) -> bool:
    return known.source(entry).memory


def _group(name: str, title: str, rows: list[Row], known: Authorities, wording: Wording) -> Context:
    met = sum(row.agrees for row in rows)
    return {
        "id": f"published-{name}",
        "title": title,
        "summary": wording.say("computing.published.group", name=title, met=met, all=len(rows)),
        "entries": [
            _entry(entry, list(of_it), known, wording) for entry, of_it in groupby(rows, key=lambda row: row.entry)
        ],
    }  # fmt: skip


def _entry(entry: Entry, rows: list[Row], known: Authorities, wording: Wording) -> Context:
    """An example: its input and source once, a row for each value."""
    say = wording.say
    mark = "memory" if _from_memory(entry, known) else "" if entry.printed or entry.misprint else "worked"
    return {
        "input": listed(entry.given),
        "source": entry.source,
        "name": known.source(entry).name,
        "at": f"{': ' if _from_memory(entry, known) else ', '}{entry.at}" if entry.at else "",
        "mark": say(f"computing.published.{mark}") if mark else "",
        "note": entry.note,
        "why": entry.tolerance.why,
        "rows": [_row(row, wording) for row in rows],
    }


def _row(row: Row, wording: Wording) -> Context:
    name, unit = named(row.name)
    misprint: Any = row.entry.misprint.get(row.name)
    return {
        "name": name,
        "unit": unit,
        "published": typed(row.published),
        "computed": computed(row),
        "difference": difference(row),
        "tolerance": tolerance(row, wording.say("computing.published.exact")),
        "misprint": wording.say("computing.published.misprint", printed=typed(misprint)) if misprint is not None else "",
        "missed": not row.agrees,
    }
