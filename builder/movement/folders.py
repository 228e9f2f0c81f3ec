"""Which movements a folder of models holds, in the order of the shelf."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path


def movements(models: Path, only: Iterable[str] | None = None) -> list[str]:
    """Names of the folders with a movement, as the collection orders them, the others by name; only those named, where some are.

    A collection that cannot be read orders nothing: what is wrong with it is said where it is read.
    """
    found = sorted(path.parent.name for path in models.glob("*/movement.toml"))
    order = _order(models / "collection.toml")
    ranked = sorted(found, key=lambda slug: (order.index(slug) if slug in order else len(order), slug))
    return ranked if only is None else [slug for slug in ranked if slug in set(only)]


def _order(collection: Path) -> list[object]:
    try:
        order = tomllib.loads(collection.read_text("utf-8")).get("order")
    except (OSError, ValueError, RecursionError):
        return []
    return order if isinstance(order, list) else []
