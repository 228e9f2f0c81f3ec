"""The escapement close up: what touches what, and when."""

from __future__ import annotations

from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context | None:
    """None where no escapement is solved."""
    if "escapement" not in shown.plates:
        return None
    going = shown.going
    return {
        "title": f"{going.name}: {wording.say('pages.stations.escapement').lower()}",
        "lede": wording.say(f"pages.escapement.lede_{going.movement.escapement.kind}"),
        "escapement": shown.plate("escapement"),
    }
