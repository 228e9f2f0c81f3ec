"""A page made by hand as the drawings' contract has it: an 18 000 train, its escapement, a weight and a chart.

The counts are common practice (80/10, 75/10, 80/8, 15 teeth); the forms are rough, the turns per beat are exact. All times
run from 12 o'clock and the page opens at `start_s`.
"""

from __future__ import annotations

import math
import shutil
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from builder.pages.onefile import style_attributes

START_S = 36480
BEAT_MS = 200
PAIR_MS = 2 * BEAT_MS

ROWS = [
    ("barrel", "Barrel", 84, "0.143"),
    ("centre-wheel", "Centre wheel", 80, "1"),
    ("third-wheel", "Third wheel", 75, "8"),
    ("fourth-wheel", "Fourth wheel", 80, "60"),
    ("escape-wheel", "Escape wheel", 15, "600"),
    ("balance", "Balance", None, "9000.25"),
]
DEGREES_A_PAIR = {"centre-wheel": 0.04, "third-wheel": -0.32, "fourth-wheel": 2.4, "escape-wheel": -24.0, "minute-hand": 0.04}
"""360° × turns an hour × 0.4 s / 3600 s; clockwise positive, each arbor against its neighbour."""

HERE = Path(__file__).parent
TEMPLATES = HERE.parents[1] / "templates"
WORDS = tomllib.loads((HERE / "sample_words.toml").read_text("utf-8"))


@dataclass(frozen=True)
class Drawing:
    """What the player's macro asks of a drawing."""

    slug: str
    beat_ms: float | None = None
    scrub_s: float | None = None
    speed: float = 1.0
    states: dict[str, Any] = field(default_factory=dict)
    dial_hours: int = 12


def turn(kind: str, values: list[str], times: list[float] | None, dur: str, more: str = "", start_s: float = START_S) -> str:
    """One SMIL element; kind is rotate, translate or the name of an attribute."""
    name = (
        f'animateTransform attributeName="transform" type="{kind}"'
        if kind in ("rotate", "translate")
        else f'animate attributeName="{kind}"'
    )
    key_times = f' keyTimes="{";".join(f"{t:.7g}" for t in times)}"' if times else ""
    return f'<{name} values="{";".join(values)}"{key_times} dur="{dur}" begin="-{start_s:g}s" repeatCount="indefinite" {more}/>'


def stepped(step_deg: float, start_s: float) -> str:
    """Locked, lifting, dropping, twice a pair; recoils by a tenth of a step at each lock."""
    half, recoil = step_deg / 2, step_deg * 0.05
    one = [(0.0, 0.0), (0.12, 0.0), (0.15, -recoil), (0.24, half * 0.7), (0.27, half), (0.5, half)]
    values = [v for _, v in one] + [half + v for _, v in one[1:]]
    times = [t for t, _ in one] + [0.5 + t for t, _ in one[1:]]
    return turn("rotate", [f"{v:.10g}" for v in values], times, f"{PAIR_MS}ms", 'accumulate="sum" data-clock="beat"', start_s)


def swinging(amplitude_deg: float, start_s: float, name: str = "") -> str:
    values, times = swing(amplitude_deg)
    return turn("rotate", values, times, f"{PAIR_MS}ms", f'id="{name}"' if name else "", start_s)


def swing(amplitude_deg: float, count: int = 24) -> tuple[list[str], list[float]]:
    times = [k / count for k in range(count + 1)]
    return [f"{amplitude_deg * math.sin(2 * math.pi * t):.4f}" for t in times], times


def wheel(teeth: int, radius: float, arms: int) -> str:
    """Teeth, rim, arms and boss in one even-odd path about the origin."""
    pitch, depth = 2 * math.pi / teeth, 4.5 * radius / teeth
    points = []
    for tooth in range(teeth):
        for share, r in ((-0.26, -0.5), (-0.22, 0.1), (-0.1, 0.42), (0.1, 0.42), (0.22, 0.1), (0.26, -0.5)):
            angle, reach = (tooth + share) * pitch, radius + r * depth
            points.append(f"{reach * math.sin(angle):.2f} {-reach * math.cos(angle):.2f}")
    d = "M" + "L".join(points) + "z"
    rim, boss, half = radius - 1.4 * depth, radius * 0.2, 0.05 * radius
    for arm in range(arms if radius > 20 else 0):
        a, b = 2 * math.pi * arm / arms, 2 * math.pi * (arm + 1) / arms
        outer, inner = math.asin(half / rim), math.asin(half / boss)
        corners = [(rim, a + outer), (rim, b - outer), (boss, b - inner), (boss, a + inner)]
        at = [f"{r * math.sin(t):.2f} {-r * math.cos(t):.2f}" for r, t in corners]
        d += f"M{at[0]}A{rim:.2f} {rim:.2f} 0 0 1 {at[1]}L{at[2]}A{boss:.2f} {boss:.2f} 0 0 0 {at[3]}z"
    return d


def disc(r: float) -> str:
    return f"M{-r:g} 0a{r:g} {r:g} 0 1 0 {2 * r:g} 0a{r:g} {r:g} 0 1 0-{2 * r:g} 0z"


def spiral(scale: float) -> str:
    points = [(4 + 46 * t) * (1 + (scale - 1) * (1 - t)) for t in (k / 96 for k in range(97))]
    at = [f"{r * math.cos(k / 96 * 14 * math.pi):.2f} {r * math.sin(k / 96 * 14 * math.pi):.2f}" for k, r in enumerate(points)]
    return "M" + "L".join(at)


def part(name: str, label: str, x: float, y: float, moves: str, shapes: str) -> str:
    head = f'<g class="part" data-part="{name}" role="graphics-symbol" aria-label="{label}">'
    return f'{head}<g transform="translate({x:g} {y:g})"><g class="m">{moves}{shapes}</g></g></g>'


def balloon(name: str, number: int, x: float, y: float, to_x: float, to_y: float) -> str:
    return (
        f'<g class="part balloon" data-part="{name}"><path class="leader" d="M{x:g} {y:g}L{to_x:g} {to_y:g}"/>'
        f'<path class="leader-end" transform="translate({to_x:g} {to_y:g})" d="{disc(3)}"/>'
        f'<g class="disc" transform="translate({x:g} {y:g})">'
        f'<path class="rim" d="{disc(15)}"/><text class="number">{number}</text></g></g>'
    )


def sheet(slug: str, box: str, title: str, desc: str, content: str) -> Markup:
    return Markup(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" viewBox="{box}" '
        f'role="graphics-document" aria-labelledby="{slug}-t" '
        f'aria-describedby="{slug}-d"><title id="{slug}-t">{title}</title><desc id="{slug}-d">{desc}</desc>{content}</svg>'
    )


def train(start_s: float) -> Markup:
    """Plate, wheels in height order, hands, balloons."""

    def rotor(name: str, label: str, x: float, y: float, shapes: str) -> str:
        return part(name, label, x, y, stepped(DEGREES_A_PAIR[name], start_s), shapes)

    def wheeled(teeth: int, r: float, leaves: int, pinion: float, arms: int = 5) -> str:
        d = wheel(teeth, r, arms)
        cut = f'<path class="steel" d="{wheel(leaves, pinion, 0)}"/>' if leaves else ""
        return f'<path class="gap" d="{d}"/><path class="brass" d="{d}"/>{cut}<path class="steel" d="{disc(5)}"/>'

    hour = turn("rotate", ["0", "360"], None, "43200s", 'data-clock="linear"', start_s)
    barrel = turn("rotate", ["0", "-360"], None, "25200s", "", start_s)
    hands = "".join(
        f'<g class="part hand" data-part="{n}"><g transform="translate(420 420)"><g class="m">{m}'
        f'<path class="blued" d="{d}"/></g></g></g>'
        for n, m, d in (
            ("hour-hand", hour, "M-7 30L-4 -130Q-22 -170 0 -215Q22 -170 4 -130L7 30z"),
            (
                "minute-hand",
                stepped(DEGREES_A_PAIR["minute-hand"], start_s),
                "M-5 40L-3 -230Q-13 -270 0 -330Q13 -270 3 -230L5 40z",
            ),
        )
    )
    content = (
        f'<path class="plate" transform="translate(420 420)" d="{disc(395)}"/>'
        + part(
            "barrel",
            "Barrel, 84 teeth",
            300,
            620,
            barrel,
            f'<path class="brass" d="{wheel(84, 150, 0)}"/><path class="detail" d="{disc(125)}"/>',
        )
        + rotor("centre-wheel", "Centre wheel, 80 teeth", 420, 420, wheeled(80, 128, 12, 20))
        + rotor("third-wheel", "Third wheel, 75 teeth", 560, 380, wheeled(75, 104, 10, 16))
        + rotor("fourth-wheel", "Fourth wheel, 80 teeth", 660, 470, wheeled(80, 92, 10, 14))
        + rotor("escape-wheel", "Escape wheel, 15 teeth", 600, 560, wheeled(15, 54, 8, 11, 4))
        + part(
            "balance",
            "Balance",
            560,
            680,
            swinging(270, start_s),
            f'<path class="brass" d="{disc(92)}{disc(78)}M-78-5h156v10h-156z"/>',
        )
        + '<path class="construction" d="M420 420L560 380L660 470L600 560L560 680"/>'
        f'<path class="construction" transform="translate(420 420)" d="{disc(128)}"/>'
        + hands
        + balloon("barrel", 1, 30, 780, 200, 700)
        + balloon("centre-wheel", 2, 30, 300, 330, 380)
        + balloon("third-wheel", 3, 810, 200, 600, 310)
        + balloon("fourth-wheel", 4, 810, 420, 730, 440)
        + balloon("escape-wheel", 5, 810, 560, 640, 570)
        + balloon("balance", 6, 810, 780, 625, 735)
    )
    return sheet(
        "train", "0 0 840 840", "Going train from the front", "Five wheels between barrel and balance, and two hands.", content
    )


def beating(start_s: float) -> Markup:
    """Balance with its spring, pallets, and the name of what happens."""
    spring = turn("d", [spiral(1), spiral(1.25), spiral(1), spiral(0.8), spiral(1)], None, f"{PAIR_MS}ms", "", start_s)
    pallets = turn("rotate", ["-5", "-5", "5", "5", "-5", "-5"], [0, 0.12, 0.27, 0.62, 0.77, 1], f"{PAIR_MS}ms", "", start_s)
    names = ""
    for index, name in enumerate(("locked", "lifting", "dropping")):
        values = ["visible" if (k % 3) == index else "hidden" for k in range(6)]
        shown = turn("visibility", values, [0, 0.15, 0.24, 0.5, 0.65, 0.74], f"{PAIR_MS}ms", 'calcMode="discrete"', start_s)
        names += f'<g>{shown}<text class="label" x="420" y="380">{name}</text></g>'
    content = (
        '<path class="plate" d="M10 10h820v400h-820z"/>'
        + part(
            "balance",
            "Balance",
            210,
            200,
            swinging(270, start_s, "swing"),
            f'<path class="brass" d="{disc(130)}{disc(112)}M-112-6h224v12h-224z"/>',
        )
        + f'<g class="part" data-part="hairspring" transform="translate(210 200)">'
        f'<path class="blued wire" d="{spiral(1)}">{spring}</path>'
        f'<path class="blued wire still" d="{spiral(1)}"/></g>'
        + part(
            "pallets",
            "Pallets",
            460,
            200,
            pallets,
            '<path class="steel" d="M-70-8h120l20-40h14l-10 96h-14l-10-40h-120z"/><path class="ruby" d="M58-40h16v30h-16z"/>',
        )
        + part(
            "escape-wheel",
            "Escape wheel, 15 teeth",
            650,
            200,
            stepped(-24, start_s),
            f'<path class="brass" d="{wheel(15, 110, 4)}"/>',
        )
        + names
        + '<text class="label" data-state="wound" x="210" y="30">270°</text>'
        + '<text class="label off" data-state="run-down" x="210" y="30">180°</text>'
        + balloon("balance", 6, 60, 370, 120, 290)
        + balloon("escape-wheel", 5, 790, 370, 720, 280)
    )
    return sheet("beating", "0 0 840 420", "Balance, pallets and escape wheel", "One tooth passes in two beats.", content)


def falling(start_s: float) -> Markup:
    move = turn("translate", ["0 0", "0 300"], None, "43200s", "", start_s)
    ticks = turn("rotate", ["0", "90", "180", "270"], None, "4s", 'calcMode="discrete"', start_s)
    content = part("weight", "Weight", 200, 20, move, '<path class="iron" d="M-40 0h80v100h-80z"/>') + part(
        "click", "Click", 500, 200, ticks, f'<path class="steel" d="{wheel(12, 80, 0)}"/>'
    )
    ratchet = turn("rotate", ["0", "-30"], None, "1667ms", 'accumulate="sum" data-ms="5000/3"', start_s)
    content += part("ratchet", "Ratchet wheel", 350, 320, ratchet, f'<path class="steel" d="{wheel(24, 60, 0)}"/>')
    chart = '<path class="outline" d="M620 60v300h200"/>'
    return sheet("falling", "0 0 840 420", "Weight", "A weight falls 300 in twelve hours.", content + chart)


def states() -> dict[str, Any]:
    return {
        name: {
            "swing": {
                "values": ";".join(swing(a)[0]),
                "keyTimes": ";".join(f"{t:.7g}" for t in swing(a)[1]),
                "dur": f"{PAIR_MS}ms",
            }
        }
        for name, a in (("wound", 270), ("run-down", 180))
    }


def write_page(folder: Path, start_s: float = START_S, script: bool = True) -> Path:
    """The sample page with its static files in `folder`; without `script` the drawings are left to the browser."""
    drawings = (
        (Drawing("train", BEAT_MS, 43200), train(start_s)),
        (Drawing("beating", BEAT_MS, PAIR_MS / 1000, 0.05, states()), beating(start_s)),
        (Drawing("falling", None, 43200, 60), falling(start_s)),
    )
    html = render(
        "sample_page.html.jinja",
        rows=ROWS,
        drawings={drawing.slug: drawing for drawing, _ in drawings},
        svgs={drawing.slug: svg for drawing, svg in drawings},
    )
    if not script:
        for name in ("player", "marks"):
            html = html.replace(f'<script src="static/{name}.js" defer></script>', "")
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copytree(TEMPLATES / "static", folder / "static", dirs_exist_ok=True)
    page = folder / "train.html"
    page.write_text(html, encoding="utf-8")
    return page


def environment() -> jinja2.Environment:
    loader = jinja2.FileSystemLoader([TEMPLATES / "pages", HERE])
    return jinja2.Environment(
        loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )


def render(template: str, **more: Any) -> str:
    """One template in a sample frame; `more` overrides it."""
    stations = ("Mainspring", "Train", "Escapement", "Balance", "Hands")
    frame = {
        "root": "",
        "path": "train.html",
        "base_url": None,
        "lang": "en",
        "title": "Going train",
        "description": "A train and its escapement.",
        "site_name": "Between Plates",
        "publisher": "Tidewater Road evening class",
        "licence": {"name": "CC BY 4.0", "href": "licence.html"},
        "words": WORDS,
        "style_attributes": style_attributes(),
        "nav": [{"href": f"{n.lower()}.html", "label": n, "here": False} for n in ("Movements", "Sums", "Terms")],
        "power_path": [{"href": f"{n.lower()}.html", "label": n, "here": n == "Train"} for n in stations],
    }
    return environment().get_template(template).render(frame | more)


if __name__ == "__main__":
    import sys

    print(write_page(Path(sys.argv[1])))
