"""Every drawing of a movement as files that travel alone: moving, still, and as a page that someone else's page can frame."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment

from builder.drawing.sheet import Credit, Sheet
from builder.pages.onefile import Inside, inside
from builder.pages.render import render
from builder.pages.shown import Context, Shown

STYLES = ("drawing.css", "site.css", "embed.css")
SCRIPTS = ("player.js", "marks.js", "embed.js")
HANDS = frozenset({"hour-hand", "minute-hand"})
CONSTRUCTION = re.compile(r'class="[^"]*\bconstruction\b')


@dataclass(frozen=True)
class Outfit:
    """What every drawing takes along: its style as a file, whose it is, and what goes inside a page of its own."""

    static: Path
    style: str
    credit: Credit
    inside: Inside


def outfit(templates: Path, frame: Context) -> Outfit:
    """Read once for all drawings of a site."""
    static = templates / "static"
    licence = frame["licence"]
    return Outfit(
        static,
        (static / "drawing.css").read_text("utf-8"),
        Credit(frame["publisher"], licence["name"], licence["href"]),
        inside(static, STYLES, SCRIPTS),
    )


def drawing_files(shown: Shown, env: Environment, frame: Context, wear: Outfit) -> dict[str, bytes]:
    """<movement>/<drawing>.svg, <movement>/still/<drawing>.svg and <movement>/embed/<drawing>.html of every drawing."""
    made: dict[str, bytes] = {}
    home = shown.going.slug
    for slug, plate in shown.plates.items():
        made[f"{home}/{slug}.svg"] = plate.sheet.svg(wear.style, wear.credit).encode("utf-8")
        made[f"{home}/still/{slug}.svg"] = plate.sheet.still(wear.style, credit=wear.credit).encode("utf-8")
        made[f"{home}/embed/{slug}.html"] = embedded(shown, slug, env, frame, wear)
    return made


def embedded(shown: Shown, slug: str, env: Environment, frame: Context, wear: Outfit, options: str = "") -> bytes:
    """One drawing as one HTML file with its player. `options` are those of its address, kept in the file."""
    drawing = shown.plate(slug)
    return render(
        env, "embed.html.jinja", **frame, path=f"{shown.going.slug}/embed/{slug}.html", inside=wear.inside, drawing=drawing,
        of=shown.going.slug, options=options, **offers(drawing["sheet"], drawing["svg"]),
    )  # fmt: skip


def offers(sheet: Sheet, svg: str) -> Context:
    """What can be done with a drawing: set going, wound otherwise, construction lines, time of day."""
    parts = sheet.parts()
    return {
        "moves": bool(sheet.moves()),
        "varies": len(sheet.states) > 1
        and (any(sheet.states.values()) or any(figure.state is not None for figure in sheet.each())),
        "lines": CONSTRUCTION.search(svg) is not None,
        "follow": bool(parts & HANDS),
    }
