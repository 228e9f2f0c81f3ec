"""All repairs of a movement; only where there are any."""

from __future__ import annotations

from builder.ground.wording import Wording
from builder.pages.repairs.places import FOLDER, bench_page, customer_page
from builder.pages.repairs.said import Said
from builder.pages.shown import Context, Shown


def context(shown: Shown, wording: Wording) -> Context | None:
    """None for a movement without repairs."""
    if not shown.repairs:
        return None
    rows = []
    for mended in reversed(shown.repairs):
        repair, job, said = mended.repaired.repair, mended.repaired.job, Said(mended.repaired, wording)
        rows.append(
            {
                "title": repair.title,
                "day": said.day(job.day),
                "iso": job.day,
                "summary": repair.summary,
                "customer": f"{FOLDER}/{customer_page(job.day)}",
                "bench": f"{FOLDER}/{bench_page(job.day)}",
            }
        )
    return {
        "title": wording.say("repairs.list.title", name=shown.going.name),
        "lede": wording.say("repairs.list.lede"),
        "repairs": rows,
    }
