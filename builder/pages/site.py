"""All pages and drawings of a collection as bytes: what goes where, in one table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from builder.drawing.table import Plate
from builder.going.facts import facts
from builder.going.going import Going
from builder.ground import words
from builder.ground.wording import Wording
from builder.movement.collection import Collection
from builder.pages.render import environment, render
from builder.parts.motion_work import MINUTE, MinuteAndHour

Site = dict[str, bytes]

STATIC = ("drawing.css", "site.css", "player.js", "favicon.svg")


@dataclass(frozen=True)
class Shown:
    """One movement with its drawings and its author's notes (clean HTML)."""

    going: Going
    plates: dict[str, Plate]
    notes: str
    pictures: dict[str, bytes]


Context = dict[str, Any]
PAGES: dict[str, Callable[[Shown, Wording], Context | None]] = {}
"""Pages of a movement in the order of the power path: template name → its context, None where it does not apply."""


def site(collection: Collection, movements: list[Shown], templates: Path, wording: Wording) -> Site:
    """Every file of the site, by path."""
    env = environment(templates, wording)
    frame = _frame(collection, wording)
    style = (templates / "static" / "drawing.css").read_text("utf-8")
    made: Site = {}
    for name in STATIC:
        made[f"static/{name}"] = (templates / "static" / name).read_bytes()
    for shown in movements:
        made |= _movement(shown, env, frame, style, wording)
    made["index.html"] = _home(collection, movements, env, frame, wording)
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


def _frame(collection: Collection, wording: Wording) -> Context:
    return {
        "lang": collection.language,
        "site_name": wording.say("site.name"),
        "publisher": collection.publisher,
        "licence": {"name": collection.licence.name, "href": collection.licence.address},
        "words": wording["site.frame"],
        "base_url": collection.base_url,
    }


def _movement(shown: Shown, env: Environment, frame: Context, style: str, wording: Wording) -> Site:
    going = shown.going
    made: Site = {f"{going.slug}/{name}": data for name, data in shown.pictures.items()}
    for slug, plate in shown.plates.items():
        made[f"{going.slug}/{slug}.svg"] = plate.sheet.svg(style=style).encode("utf-8")
    made[f"{going.slug}/train-front-still.svg"] = shown.plates["train-front"].sheet.still(style).encode("utf-8")
    contexts = {name: context for name, page in PAGES.items() if (context := page(shown, wording)) is not None}
    files = {name: "index.html" if name == "overview" else f"{name.replace('_', '-')}.html" for name in contexts}
    for name, context in contexts.items():
        path = f"{going.slug}/{files[name]}"
        stations = [
            {"href": f"{going.slug}/{files[each]}", "label": wording.say(f"pages.stations.{each}"), "here": each == name}
            for each in contexts
        ]
        made[path] = render(
            env, f"{name}.html.jinja", **frame, root="../", path=path, description=going.movement.movement.summary,
            nav=[], power_path=stations, **context,
        )  # fmt: skip
    return made


def _home(collection: Collection, movements: list[Shown], env: Environment, frame: Context, wording: Wording) -> bytes:
    shelf = []
    for shown in movements:
        going = shown.going
        hours = going.train.going_hours
        box = shown.plates["train-front"].sheet.box
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
        description=wording.say("pages.shelf.lede"), nav=[], power_path=[], shelf=shelf,
    )  # fmt: skip


def _sitemap(base_url: str, made: Site) -> bytes:
    start = base_url.rstrip("/")
    pages = "".join(
        f"<url><loc>{start}/{path}</loc></url>\n" for path in sorted(made) if path.endswith(".html") and path != "404.html"
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n'
        f"{pages}</urlset>\n"
    ).encode()


def inline(shown: Shown, slug: str) -> Markup:
    """A drawing as it stands on a page."""
    return Markup(shown.plates[slug].sheet.svg())  # written by sheet.py, which escapes every text


def _overview(shown: Shown, wording: Wording) -> Context:
    going, train = shown.going, shown.going.train
    beats = words.whole_and_part(train.beats_per_hour)
    say = wording.say
    glance = [
        (
            say("pages.overview.beat"),
            say("pages.overview.beat_text", beats=beats, seconds=words.whole_and_part(train.beats_per_hour / 3600)),
        )
    ]
    if train.going_hours is not None and train.source_turns is not None:
        first = train[train.path[0]]
        text = say(
            "pages.overview.goes_text", hours=words.duration(train.going_hours),
            turns=words.turns(train.source_turns), arbor=first.title.lower(),
        )  # fmt: skip
        glance.append((say("pages.overview.goes"), text))
    glance.append((say("pages.overview.escapement"), _kind(going.movement.escapement, "escapements", wording)))
    glance.append((say("pages.overview.oscillator"), _kind(going.movement.oscillator, "oscillators", wording)))
    if going.movement.movement.lent_by:
        glance.append((say("pages.overview.lent_by"), going.movement.movement.lent_by))
    return {
        "title": going.name,
        "movement": going.movement,
        "front": shown.plates["train-front"],
        "front_svg": inline(shown, "train-front"),
        "has_hands": bool(train.hands),
        "glance": glance,
        "nominal": not going.motion.solved,
        "notes": Markup(shown.notes),  # sanitised by movement/notes.py
        "findings": [finding.text for finding in going.findings],
    }


def _kind(part: Any, family: str, wording: Wording) -> str:
    return part.name if part.kind == "counted" else wording.say(f"pages.{family}.{part.kind}")


def _train(shown: Shown, wording: Wording) -> Context:
    going, train = shown.going, shown.going.train
    first = train[train.path[0]].title.lower()
    product = " × ".join(f"{pair.driver_count}/{pair.driven_count}" for pair in train.path_pairs)
    say = wording.say
    return {
        "title": f"{going.name}: {say('pages.stations.train').lower()}",
        "lede": say("pages.train.lede", first=first),
        "line": shown.plates["train-line"],
        "line_svg": inline(shown, "train-line"),
        "front": shown.plates["train-front"],
        "front_svg": inline(shown, "train-front"),
        "back": shown.plates["train-back"],
        "back_svg": inline(shown, "train-back"),
        "has_hands": bool(train.hands),
        "whole": say("pages.train.whole", ratio=words.whole_and_part(train.whole_ratio), first=first, product=product),
        "passed": say(
            "pages.train.teeth_passed", teeth=words.whole_and_part(train.teeth_per_minute),
            beats=words.whole_and_part(train.beats_per_hour),
        ),
    }  # fmt: skip


def _motion_work(shown: Shown, wording: Wording) -> Context | None:
    going = shown.going
    work = going.movement.motion_work
    if work is None:
        return None
    say = wording.say
    ratio = words.whole_and_part(work.reduction)
    sentences = []
    if isinstance(work, MinuteAndHour):
        first, second = (one for one in going.plan.sized if one.pair.key == ("motion_work",))
        lede = say(
            "pages.motion_work.lede", driven=f"{work.minute_wheel_teeth} × {work.hour_wheel_teeth}",
            driver=f"{work.cannon_leaves} × {work.minute_pinion_leaves}", ratio=ratio,
        )  # fmt: skip
        sentences.append(
            say(
                "pages.motion_work.centre", distance=words.figure(first.distance_mm, 4),
                first=words.figure(first.module_mm), second=words.figure(second.module_mm),
            )
        )  # fmt: skip
        sentences.append(say("pages.motion_work.minute_wheel", period=words.period(going.train[MINUTE].hours_per_turn)))
    else:
        lede = say("pages.motion_work.lede_single", driven=work.hour_wheel_teeth, driver=work.pinion_leaves, ratio=ratio)
    return {
        "title": f"{going.name}: {say('pages.stations.motion_work').lower()}",
        "lede": lede,
        "sentences": sentences,
        "work": shown.plates["motion-work"],
        "work_svg": inline(shown, "motion-work"),
    }


def _figures(shown: Shown, wording: Wording) -> Context:
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


PAGES |= {"overview": _overview, "train": _train, "motion_work": _motion_work, "figures": _figures}
