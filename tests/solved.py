"""Demo movements solved once for all tests that look at them, and the same movements with something changed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from builder.build import TEMPLATES
from builder.going.going import Going, going
from builder.ground.wording import Wording
from builder.movement.model import Movement

MODELS = Path(__file__).resolve().parents[1] / "models"

DEMOS = ("hall_clock", "shop_regulator", "pocket_watch", "shelf_timepiece")
"""Weight and spring, recoil, dead beat and two levers."""

FADING = [[0.0, 0.0], [1.0, 0.02], [2.0, 6.0], [7.0, 38.0]]
"""Torques of a spring that is all but slack in its last turn."""


@cache
def demo(slug: str) -> Going:
    """A demo movement, running."""
    return changed(slug)


@cache
def stops_when_nearly_down() -> Going:
    """The pocket watch with a spring that lets it stop before it is down."""
    return changed("pocket_watch", lambda data: data["source"].update(measured=FADING))


@cache
def light() -> Going:
    """The hall clock with too light a weight: it stops in every state."""
    return changed("hall_clock", lambda data: data["source"].update(mass_kg=2.0))


def changed(slug: str, change: Callable[[dict[str, Any]], Any] = lambda data: None) -> Going:
    """A demo movement with its data changed."""
    data = tomllib.loads((MODELS / slug / "movement.toml").read_text("utf-8"))
    change(data)
    return going(slug, Movement.model_validate(data))


@cache
def wording() -> Wording:
    """The words of the pages."""
    return Wording.load(TEMPLATES / "wording" / "en")
