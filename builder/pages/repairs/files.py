"""The files of a movement's repairs: for each a page for the customer, a page for the workshop, and the pictures."""

from __future__ import annotations

from collections.abc import Mapping

from builder.bench.mended import Mended
from builder.pages.learner import station_file, way_in, ways
from builder.pages.press import Press
from builder.pages.repairs import customer, workshop
from builder.pages.repairs.places import FOLDER, bench_page, customer_page
from builder.pages.shown import Context, Shown


def files(shown: Shown, press: Press, _made: Mapping[str, bytes]) -> dict[str, bytes]:
    """Nothing for a movement without repairs."""
    made: dict[str, bytes] = {}
    home = f"{shown.going.slug}/{FOLDER}"
    for mended in shown.repairs:
        job = mended.repaired.job
        made |= {f"{home}/{path}": data for path, data in job.pictures.items()}
        told = framing(shown, press, mended)
        context = customer.context(shown, mended, press.wording, lambda picture: picture)
        made |= press.page(f"{home}/{customer_page(job.day)}", "repair.html.jinja", **told, **context)
        made |= press.page(
            f"{home}/{bench_page(job.day)}", "repair_bench.html.jinja", **told, **workshop.context(mended, press.wording)
        )
    return made


def framing(shown: Shown, press: Press, mended: Mended) -> Context:
    """What both pages are given besides what they tell."""
    slug, day, reading = shown.going.slug, mended.repaired.job.day, way_in(shown.going, press.wording)
    return {
        "nav": ways(press.wording, reading=reading),
        "movement": {"href": "../index.html", "name": shown.going.name},
        "list_href": f"../{station_file('repairs')}",
        "customer_href": customer_page(day),
        "bench_href": bench_page(day),
        "slug": slug,
    }
