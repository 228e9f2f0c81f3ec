"""All pages and drawings of a collection as bytes: what goes where, in one table."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment

from builder.drawing.diagrams import train_plan
from builder.drawing.sheet import Sheet
from builder.ground import words
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.pages.compare import compared
from builder.pages.embed import Outfit, drawing_files, outfit
from builder.pages.learner import learner, station_file, way_in, ways
from builder.pages.lesson import lesson
from builder.pages.render import environment, render
from builder.pages.section import Page
from builder.pages.shown import Context, Shown
from builder.pages.stations import STATIONS
from builder.pages.sums import calculator

Site = dict[str, bytes]


def site(collection: Collection, movements: list[Shown], templates: Path, wording: Wording) -> Site:
    """Every file of the site, by path."""
    env = environment(templates, wording)
    frame = framed(collection, wording)
    wear = outfit(templates, frame)
    made: Site = {}
    for path in sorted((templates / "static").iterdir()):
        made[f"static/{path.name}"] = path.read_bytes()
    for shown in movements:
        made |= _movement(shown, env, frame, wear, wording)
    made |= learner(collection, movements, env, frame, wear, templates, wording, frozenset(made))
    made["index.html"] = _home(collection, movements, env, frame, wording)
    made |= compared(movements, env, frame, wording)
    made |= calculator(env, frame, wording)
    home = collection.base_url
    made["404.html"] = render(
        env, "404.html.jinja", lang=collection.language, site_name=wording.say("site.name"), home=home,
        **{key: wording.say(f"site.missing.{key}") for key in ("title", "sentence", "home_label")},
    )  # fmt: skip
    made[".nojekyll"] = b""
    made["_headers"] = HEADERS
    if collection.base_url:
        made["sitemap.xml"] = _sitemap(collection.base_url, made)
    return made


HEADERS = b"""/*
  X-Content-Type-Options: nosniff
  Referrer-Policy: no-referrer
  Permissions-Policy: camera=(), microphone=(), geolocation=()
/static/*
  Cache-Control: public, max-age=3600
"""
"""For hosts that read such a file. No X-Frame-Options: the drawings are there to be embedded."""


LESSON = ("overview", "power", "train", "escapement", "oscillator", "motion_work", "side_view")
"""The pages that are the lesson in one file: what is looked up, practised or done at the bench has pages of its own."""


def framed(collection: Collection, wording: Wording) -> Context:
    """What every page is given."""
    return {
        "lang": collection.language,
        "site_name": wording.say("site.name"),
        "publisher": collection.publisher,
        "licence": {"name": collection.licence.name, "href": collection.licence.address},
        "words": wording["site.frame"],
        "base_url": collection.base_url,
    }


def _movement(shown: Shown, env: Environment, frame: Context, wear: Outfit, wording: Wording) -> Site:
    going = shown.going
    made: Site = {f"{going.slug}/{name}": data for name, data in shown.pictures.items()}
    made |= drawing_files(shown, env, frame, wear)
    made[f"{going.slug}/train-front-still.svg"] = _portrait(shown).still(wear.style, credit=wear.credit).encode("utf-8")
    contexts = {name: context for name, page in STATIONS.items() if (context := page(shown, wording)) is not None}
    files = {name: station_file(name) for name in contexts}
    reading = way_in(going, wording)
    for name, context in contexts.items():
        path = f"{going.slug}/{files[name]}"
        stations = [
            {"href": f"{going.slug}/{files[each]}", "label": wording.say(f"pages.stations.{each}"), "here": each == name}
            for each in contexts
        ]
        made[path] = render(
            env, f"{name}.html.jinja", **frame, root="../", path=path, description=going.movement.movement.summary,
            nav=ways(wording, reading=reading), power_path=stations, reading=reading, **context,
        )  # fmt: skip
    pages = [
        Page(f"{going.slug}/{files[name]}", wording.say(f"pages.stations.{name}"), made[f"{going.slug}/{files[name]}"].decode())
        for name in LESSON
        if name in contexts
    ]
    title = wording.say("class.lesson.title", name=going.name)
    made[f"{going.slug}/lesson.html"] = lesson(
        pages, title, going.movement.movement.summary, made, wear.static, env, frame, wording
    )
    return made


def _home(collection: Collection, movements: list[Shown], env: Environment, frame: Context, wording: Wording) -> bytes:
    shelf = []
    for shown in movements:
        going = shown.going
        hours = going.train.going_hours
        box = _portrait(shown).box
        shelf.append(
            {
                "slug": going.slug,
                "name": going.name,
                "summary": going.movement.movement.summary,
                "beats": wording.say("pages.shelf.beats", beats=words.whole_and_part(going.train.beats_per_hour)),
                "goes": hours and wording.say("pages.shelf.goes", hours=words.duration(hours)),
                "width": round(box[2]),
                "height": round(box[3]),
            }
        )
    return render(
        env, "home.html.jinja", **frame, root="", path="index.html", title=collection.title,
        description=wording.say("pages.shelf.lede"), nav=ways(wording, "index.html"), power_path=[], shelf=shelf,
    )  # fmt: skip


def _portrait(shown: Shown) -> Sheet:
    """What the shelf shows of a movement."""
    return shown.plates["train-front"].sheet.bare(train_plan.MARGIN_PX - 16)


def _sitemap(base_url: str, made: Site) -> bytes:
    start = base_url.rstrip("/")
    pages = "".join(
        f"<url><loc>{start}/{path}</loc></url>\n"
        for path in sorted(made)
        if path.endswith(".html") and path != "404.html" and "/embed/" not in path and not path.endswith("/lesson.html")
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n'
        f"{pages}</urlset>\n"
    ).encode()
