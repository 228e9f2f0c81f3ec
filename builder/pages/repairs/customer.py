"""What a customer reads: one page in plain language, the same on the site and as a file to send."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup

from builder.bench.mended import Mended
from builder.drawing.worn.pictures import Picture, pictures
from builder.ground.wording import Wording
from builder.pages.repairs import drawn, readings
from builder.pages.repairs.said import Said
from builder.pages.shown import Context, Shown
from builder.pages.stations.parts import Told
from builder.pages.stations.power import caution
from builder.parts.finding import Found
from builder.parts.finding.other import Other


def context(shown: Shown, mended: Mended, wording: Wording, source: Callable[[str], str | None]) -> Context:
    """`source` gives the address of a picture, or None for one that is left out."""
    repaired = mended.repaired
    repair, said = repaired.repair, Said(repaired, wording)
    told = Told(said.tree, {}, wording)
    day = said.day(repaired.job.day)
    stored = repaired.sound.movement.source.stored
    plan, unseen = drawn.marked(shown, repaired, said)
    return {
        "title": repair.title,
        "description": said.say("page.description", object=repair.object.name, day=day),
        "summary": repair.summary,
        "glance": [
            (said.say("page.object"), f"{repair.object.name} · {repair.object.kind}"),
            (said.say("page.day"), day),
            *([(said.say("page.next"), said.day(repair.next_service))] if repair.next_service else []),
        ],
        "story": said.story(),
        "running": drawn.running(repaired, said, wording),
        "map": {"sheet": plan, "svg": Markup(plan.svg())},  # nosec B704 # sheet.py escapes all
        "unseen": said.say("page.unseen", numbers=", ".join(map(str, unseen))) if unseen else None,
        "findings": [_finding(mended, index, said, told, wording, source) for index in range(len(repair.findings))],
        "work": [(each.did, told.names.get(each.on)) for each in repair.work],
        "replaced": [(each.part, each.by) for each in repair.replaced],
        "readings": readings.table(mended, said),
        "advice": repair.advice,
        "caution": None if stored is None else caution(stored, wording),
    }


def _finding(
    mended: Mended, index: int, said: Said, told: Told, wording: Wording, source: Callable[[str], str | None]
) -> Context:
    repaired = mended.repaired
    finding = repaired.repair.findings[index]
    photo = None
    if finding.picture is not None:
        photo = {"address": source(finding.picture), "shows": finding.picture_shows}
    seen = pictures(repaired.sound, repaired.before, finding, f"f{index + 1}", wording)
    return {
        "number": index + 1,
        "title": _title(finding, said, told),
        "severity": said.say(f"severity.{finding.severity}"),
        "words": finding.words,
        "sentences": [text for text in (said.what(finding), said.meant(finding), *said.effects(index)) if text],
        "photo": photo,
        "pictures": [shown_pair(each, wording) for each in seen],
    }


def _title(finding: Found, said: Said, told: Told) -> str:
    """What it is called; what is said in words alone, after its part."""
    if isinstance(finding, Other) and finding.part != said.tree.root.id:
        return told.names.get(finding.part, said.heading(finding))
    return said.heading(finding)


def shown_pair(picture: Picture, wording: Wording) -> Context:
    """New and worn, with the sentence on them."""
    sheets = (("new", picture.pair.new), ("worn", picture.pair.worn))
    return {
        "slug": picture.pair.new.slug,
        "says": wording.say(f"repairs.wear.{picture.what}.says", **picture.facts),
        "sides": [
            {"label": wording.say(f"repairs.wear.{side}_short"), "svg": Markup(sheet.svg())}  # nosec B704 # sheet.py escapes all
            for side, sheet in sheets
        ],
    }
