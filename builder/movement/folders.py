"""Which movements a folder of models holds, in the order of the shelf."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from builder.ground.faults import Fault
from builder.ground.part import SLUG
from builder.movement.places import Places
from builder.movement.textfile import shortened


def movements(models: Path, only: Iterable[str] | None = None) -> list[str]:
    """Names of the folders with a movement, as the collection orders them, the others by name; only those named, where some are.

    Hidden folders are passed over. A collection that cannot be read orders nothing: what is wrong is said where it is read.
    """
    found = sorted(path.parent.name for path in models.glob("*/movement.toml") if not path.parent.name.startswith("."))
    order = _order(models / "collection.toml")[0]
    ranked = sorted(found, key=lambda slug: (order.index(slug) if slug in order else len(order), slug))
    return ranked if only is None else [slug for slug in ranked if slug in set(only)]


def misnamed(slug: str) -> list[Fault]:
    """A folder's name becomes an address: capitals, spaces and strange letters would not be the same on every machine."""
    if re.fullmatch(SLUG, slug):
        return []
    allowed = "a folder named with small letters a to z, figures and _, beginning with a letter, at most 40"
    close = re.sub(r"[^a-z0-9]+", "_", slug.lower()).strip("_0123456789")[:40]
    advice = f"Rename the folder{f', for instance {close}' if re.fullmatch(SLUG, close) else ''}."
    return [Fault(f"{slug}/movement.toml", 1, 1, "", shortened(slug), allowed, advice)]


def remarks_on_order(models: Path) -> list[str]:
    """What the collection's `order` names that is not there, or names twice, each with its place.

    No fault: a part of the shelf may be elsewhere for the moment.
    """
    order, text = _order(models / "collection.toml")
    there, places, remarks = movements(models), Places(text), list[str]()
    for index, slug in enumerate(order):
        again = order.index(slug) < index
        if not isinstance(slug, str) or (slug in there and not again):
            continue
        at = places.nearest(("order", index))
        if again:
            said = f"order names {shortened(slug)} a second time; the first counts"
        else:
            close = get_close_matches(slug, there, 1)
            said = f"order names {shortened(slug)}, and there is no such movement here"
            said += f". Did you mean {close[0]}?" if close else "; it is passed over"
        remarks.append(f"collection.toml:{at.line}:{at.column}: {said}")
    return remarks


def _order(collection: Path) -> tuple[list[object], str]:
    """The order, and the text in which it stands."""
    try:
        text = collection.read_text("utf-8").removeprefix("\ufeff")
        order = tomllib.loads(text).get("order")
    except (OSError, ValueError, RecursionError):
        return [], ""
    return (order, text) if isinstance(order, list) else ([], "")
