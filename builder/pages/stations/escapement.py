"""The escapement close up: what touches what, when, and by what angles."""

from __future__ import annotations

from builder.going.steady import Running, Stopped
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown

ANGLES = ("lock", "lift", "drop_wheel", "recoil_wheel", "pushed_back", "draw", "run")
"""Kinds of figure that a pallet has, as they follow one another in the period."""
PALLETS = ("entry", "exit")
NONE = "0°"


def context(shown: Shown, wording: Wording) -> Context | None:
    """None where no escapement is solved."""
    if "escapement" not in shown.plates:
        return None
    going, say, angles = shown.going, wording.say, _angles(shown, wording)
    return {
        "title": f"{going.name}: {say('pages.stations.escapement').lower()}",
        "lede": say(f"pages.escapement.lede_{going.movement.escapement.kind}"),
        "trouble": _trouble(shown, wording),
        "escapement": shown.plate("escapement"),
        "angles": angles,
        "swings": any(row["name"] == say("facts.pushed_back.label") for row in angles),
    }


def _trouble(shown: Shown, wording: Wording) -> list[str]:
    """Each state in which it stops or rebanks, and why; once where all are alike."""
    windings = shown.going.windings
    stopped = [w.beat.text for w in windings if isinstance(w.beat, Stopped)]
    if len(stopped) == len(windings) and len(set(stopped)) == 1:
        return [wording.say("pages.overview.stops", reason=stopped[0])]
    names = {w.name: wording.say(f"site.player.state_names.{w.name}") for w in windings}
    found = [
        wording.say("pages.escapement.stops", state=names[w.name], reason=w.beat.text)
        for w in windings
        if isinstance(w.beat, Stopped)
    ]
    if rebanks := [names[w.name].lower() for w in windings if isinstance(w.beat, Running) and w.beat.rebanks]:
        found.append(wording.say("pages.escapement.rebanks", states=", ".join(rebanks)))
    return found


def _angles(shown: Shown, wording: Wording) -> list[Context]:
    """The angles of both pallets, those that neither has left out; what depends on the winding, in the first state."""
    first = shown.going.winding.name if shown.going.winding else None
    found = {(f.kind, f.subject): f.text for f in shown.facts if f.group == "escapement" and f.state in (None, first)}
    rows = [(kind, [found.get((kind, pallet), NONE) for pallet in PALLETS]) for kind in ANGLES]
    return [{"name": wording.say(f"facts.{kind}.label"), "cells": cells} for kind, cells in rows if set(cells) != {NONE}]
