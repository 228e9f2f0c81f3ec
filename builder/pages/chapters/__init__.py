"""The chapters of a movement, in the order of the power: each one idea, one drawing, and a text that leads the drawing."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from builder.going.going import Going
from builder.going.steady import Running
from builder.ground.wording import Wording
from builder.pages.chapters import text
from builder.pages.chapters.moments import spans
from builder.pages.chapters.show import Stage, show
from builder.pages.chapters.told import told
from builder.pages.glossary import Glossary
from builder.pages.hands import hands
from builder.pages.shown import Context, Shown


@dataclass(frozen=True)
class Chapter:
    """A chapter and where its parts come from."""

    key: str
    plates: tuple[str, ...]
    """The drawing: the first of these that the movement has."""
    station: str
    """The page that has the same in figures."""
    kind: Callable[[Going], str] | None = None
    """Which text: key_kind.md where there is one, else key.md."""

    @property
    def page(self) -> str:
        return f"learn-{self.key}.html"


def _escapement(going: Going) -> str:
    return _if_it_goes(going, going.movement.escapement.kind)


def _oscillator(going: Going) -> str:
    return _if_it_goes(going, going.movement.oscillator.kind)


def _if_it_goes(going: Going, kind: str) -> str:
    """The kind while it runs; 'stands' where it is solved and stops; 'counted' where it is not solved."""
    if not going.windings:
        return "counted"
    return kind if isinstance(going.windings[0].beat, Running) else "stands"


CHAPTERS = (
    Chapter("movement", ("train-front",), "overview"),
    Chapter("source", ("winding", "train-front"), "power", lambda going: going.movement.source.kind),
    Chapter("train", ("train-front",), "train"),
    Chapter("losses", ("power-flow", "train-front"), "power"),
    Chapter("escapement", ("escapement", "train-front"), "escapement", _escapement),
    Chapter("oscillator", ("oscillator", "train-front"), "oscillator", _oscillator),
    Chapter("hands", ("motion-work", "train-front"), "motion_work"),
    Chapter("setting", ("setting", "train-front"), "motion_work"),
)


def chapters(
    shown: Shown, texts: Path, wording: Wording, glossary: Glossary, stations: dict[str, Context]
) -> list[tuple[str, Context]]:
    """(file, context) of each chapter page. `stations` are the movement's other pages, name → their file and label."""
    env = text.environment(texts)
    names = told(shown.going, wording)
    setting = hands(shown, wording)
    names["clutch"] = setting["clutch"] if setting else None
    files = [chapter.page for chapter in CHAPTERS]
    made = []
    for n, chapter in enumerate(CHAPTERS):
        context = _context(chapter, shown, env, names, wording, glossary)
        context |= {
            "number": n + 1,
            "of": len(CHAPTERS),
            "before": _way(n - 1, files, wording) if n else None,
            "after": _way(n + 1, files, wording) if n + 1 < len(files) else None,
            "station": stations.get(chapter.station),
            "notes": Markup(shown.notes) if n == 0 else "",  # nosec B704 # sanitised by movement/notes.py
            "setting": setting if chapter.key == "setting" else None,
            "plan": chapter.key,
            "told": names,
        }
        made.append((chapter.page, context))
    return made


def _way(n: int, files: list[str], wording: Wording) -> dict[str, str]:
    return {"href": files[n], "label": wording.say(f"learn.chapters.{CHAPTERS[n].key}")}


def _context(
    chapter: Chapter,
    shown: Shown,
    env: ImmutableSandboxedEnvironment,
    names: dict[str, Any],
    wording: Wording,
    glossary: Glossary,
) -> Context:
    slug = next(slug for slug in chapter.plates if slug in shown.plates)
    drawn = shown.plate(slug)
    read = text.read(env, _file(chapter, shown.going, env), {**names, "plate": slug})
    read = read.linked(glossary.linker("../terms.html"))
    stage = _stage(shown, slug, str(drawn["svg"]), wording)
    return {
        "title": f"{shown.going.name}: {read.title}",
        "heading": read.title,
        "movement_name": shown.going.name,
        "lede": Markup(read.lede),  # nosec B704 # our own texts; what a file says in them is escaped by text.plainly
        "steps": [
            {"title": step.title, "html": Markup(step.html), "show": show(step.line, stage)}  # nosec B704 # as above
            for step in read.steps
        ],
        "question": Markup(read.question),  # nosec B704 # as above
        "answer": Markup(read.answer),  # nosec B704 # as above
        "bench": Markup(read.bench),  # nosec B704 # as above
        "drawn": drawn,
        "lines": "construction" in str(drawn["svg"]),
    }  # fmt: skip


def _file(chapter: Chapter, going: Going, env: ImmutableSandboxedEnvironment) -> str:
    plain = f"{chapter.key}.md"
    if chapter.kind is None:
        return plain
    own = f"{chapter.key}_{chapter.kind(going)}.md"
    return own if own in env.list_templates() else plain


def _stage(shown: Shown, slug: str, svg: str, wording: Wording) -> Stage:
    going = shown.going
    return Stage(
        sheet=shown.plates[slug].sheet,
        parts=frozenset(re.findall(r'data-part="([^"]*)"', svg)),
        spans={winding.name: spans(going, winding) for winding in going.windings},
        turn_s={arbor.id: float(arbor.hours_per_turn * 3600) for arbor in going.train.arbors},
        speeds=tuple(float(speed) for speed, _ in wording["site.player.speeds"]),
    )
