"""Every figure with its formula and what went into it."""

from __future__ import annotations

from builder.going.facts import facts
from builder.ground import words
from builder.ground.wording import Wording
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context:
    going = shown.going
    groups: dict[str, list[Context]] = {}
    for fact in facts(going):
        groups.setdefault(fact.group, []).append(
            {
                "id": fact.key.replace(".", "-"),
                "label": wording.say(f"facts.{fact.kind}.label"),
                "subject": fact.subject,
                "text": f"{fact.text}{words.THIN}{fact.unit}" if fact.unit in ("mm",) else fact.text,
                "formula": wording.say(f"facts.{fact.kind}.formula"),
                "inputs": [(wording.say(f"facts.inputs.{name}"), text) for name, text in fact.inputs],
            }
        )
    return {"title": f"{going.name}: {wording.say('pages.stations.figures').lower()}", "groups": list(groups.items())}
