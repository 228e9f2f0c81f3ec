"""What is drawn of an escapement: the teeth and pallets as they are written, moved by the key frames as they are written."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from builder.drawing.diagrams import escapement
from builder.drawing.escapement import escapement_figures
from builder.drawing.path import View
from builder.drawing.sheet import Figure, Move
from builder.going.going import Going, going
from builder.going.phases import Phase, phases
from builder.going.steady import Running
from builder.movement.model import Movement
from builder.movement.reading import read
from tests.drawing.drawn import numbers
from tests.solved import MODELS, changed, demo, light, wording

SLUGS = sorted(path.parent.name for path in MODELS.glob("*/movement.toml"))
INSTANTS = 1000
DEPTH = 1e-4
"""By the wheel's radius."""
TOUCHES = 3e-4
"""A gap that no screen shows, by the wheel's radius."""


def states(slug: str) -> list[Going]:
    """A demo movement in each state of winding in which it beats otherwise."""
    found = {}
    for winding in demo(slug).windings:
        found.setdefault(round(winding.beat.amplitude_deg, 9) if isinstance(winding.beat, Running) else None, winding)
    return [demo(slug).at(winding) for winding in found.values()]


@dataclass(frozen=True)
class Close:
    """The close-up of a movement in one state, as it is written; lengths in px."""

    going: Going
    wheel: Figure
    pallets: Figure
    teeth: Polygon
    acting: dict[str, Polygon]
    """What of the pallets lies in the plane of the teeth."""

    @property
    def radius(self) -> float:
        return max(math.hypot(*point) for point in self.teeth.exterior.coords)

    def wheel_at(self, t_s: float, teeth: Polygon, extra_deg: float = 0.0) -> Polygon:
        turned = self.wheel.turned_deg + float(self.wheel.moves[0].at(t_s)) + extra_deg
        return translate(rotate(teeth, turned, (0, 0)), *self.wheel.at)

    def pallet_at(self, name: str, t_s: float) -> Polygon:
        return translate(rotate(self.acting[name], float(self.pallets.moves[0].at(t_s)), (0, 0)), *self.pallets.at)

    def overlaps(self, times_s: Iterable[float], extra_deg: float = 0.0) -> list[float]:
        """Moments at which a tooth is deeper in a pallet than DEPTH: the wheel made thinner by that all round still meets one."""
        thin = self.teeth.buffer(-DEPTH * self.radius)
        found = []
        for t_s in times_s:
            placed = self.wheel_at(t_s, thin, extra_deg)
            if any(placed.intersects(self.pallet_at(name, t_s)) for name in self.acting):
                found.append(t_s)
        return found

    def gaps(self, t_s: float) -> dict[str, float]:
        """From the wheel to what acts of each pallet, by the wheel's radius."""
        placed = self.wheel_at(t_s, self.teeth)
        return {name: placed.distance(self.pallet_at(name, t_s)) / self.radius for name in self.acting}

    @property
    def period_s(self) -> float:
        return float(self.going.motion.period_ms) / 1000


def outline(d: str) -> Polygon:
    """The first closed polygon of a path, from the numbers as they are written."""
    found = re.match(r"M([^l]*)l([^z]*)z", d)
    assert found, d[:40]
    steps = np.concatenate([numbers(part).reshape(-1, 2) for part in found.groups()])
    polygon = Polygon(np.cumsum(steps, axis=0))
    assert polygon.is_valid and polygon.area > 0
    return polygon


def close(running: Going) -> Close:
    plate = escapement.draw(running, wording())
    draft = running.plan.draft
    assert plate is not None and draft is not None
    by_part = {figure.part: figure for figure in plate.sheet.figures if figure.part}
    wheel, pallets = by_part["escape-wheel"], by_part["pallets"]
    level = {drawn.name.replace(" ", "-"): drawn.level for drawn in draft.pallets}
    acting = {
        shape.classes.split()[1]: outline(shape.d)
        for shape in pallets.shapes
        if level.get(shape.classes.split()[1]) == draft.wheel.level
    }
    assert acting, level
    return Close(running, wheel, pallets, outline(wheel.shapes[0].d), acting)


@cache
def closes(slug: str) -> list[Close]:
    return [close(running) for running in states(slug)]


@pytest.mark.parametrize("slug", SLUGS)
def test_drawn_teeth_never_enter_the_drawn_pallets(slug: str) -> None:
    """At 1000 instants of a period, in every state of winding, no tooth as written is deeper in a pallet than 1e-4 of the
    wheel's radius."""
    for shown in closes(slug):
        assert shown.overlaps(36480 + shown.period_s * k / INSTANTS for k in range(INSTANTS)) == []


@pytest.mark.parametrize("slug", SLUGS)
def test_the_overlap_would_be_seen(slug: str) -> None:
    """Negative control: with the wheel drawn 0.1° further on, some instant of every state shows an overlap."""
    for shown in closes(slug):
        ahead = 0.1 * (1 if shown.going.train[shown.going.train.path[-1]].clockwise else -1)
        assert shown.overlaps((36480 + shown.period_s * k / 40 for k in range(40)), ahead)


def within(phase: Phase, shown: Close) -> list[float]:
    return [36480 + shown.period_s * (phase.start + part * (phase.end - phase.start)) for part in (0.15, 0.4, 0.65, 0.9)]


def named(shown: Close, name: str) -> list[str]:
    """What acts of a pallet: its own stone or pin, or the one body that carries both."""
    return [part for part in shown.acting if part.startswith(name)] or list(shown.acting)


@pytest.mark.parametrize("slug", SLUGS)
def test_the_phase_named_is_what_is_seen(slug: str) -> None:
    """Locked, unlocking, recoiling or run in: a tooth touches the pallet that is named. Driving: somewhere in the phase it
    does (a wheel may first have to catch up). Falling: no tooth touches either pallet."""
    for shown in closes(slug):
        beat = shown.going.winding.beat if shown.going.winding else None
        assert isinstance(beat, Running)
        for phase in phases(beat):
            gaps = [shown.gaps(t_s) for t_s in within(phase, shown)]
            mine = [min(gap[part] for part in named(shown, phase.pallet)) for gap in gaps]
            if phase.key == "drop":
                assert max(min(gap.values()) for gap in gaps) > TOUCHES, (slug, phase)
            elif phase.key == "impulse":
                assert min(mine) < TOUCHES, (slug, phase)
            else:
                assert max(mine) < TOUCHES, (slug, phase, mine)


@pytest.mark.parametrize("slug", ["pocket_watch", "shelf_timepiece"])
def test_the_other_pallet_is_clear(slug: str) -> None:
    """Negative control: while a tooth is locked on one stone or pin, the other stands clear of the wheel."""
    shown = closes(slug)[0]
    assert shown.going.winding and isinstance(shown.going.winding.beat, Running)
    for phase in phases(shown.going.winding.beat):
        if phase.key == "unlocking":
            other = "exit" if phase.pallet == "entry" else "entry"
            assert all(min(shown.gaps(t_s)[part] for part in named(shown, other)) > 10 * TOUCHES for t_s in within(phase, shown))


@pytest.mark.parametrize("slug", ["hall_clock", "shop_regulator", "pocket_watch"])
def test_key_frames_follow_the_solution(slug: str) -> None:
    """The drawn wheel stands within 0.25 px of the solved angle at every instant asked, over a whole day."""
    running = demo(slug)
    draft = running.plan.draft
    assert draft is not None
    view = View(300.0 / draft.tip_mm)
    figure = escapement_figures(running, view)[0]
    sense = -1 if running.train[running.train.path[-1]].clockwise else 1
    for t in np.linspace(0.0, 86400.0, 997):
        solved = math.degrees(running.motion.wheel_at(float(t)))
        drawn = -sense * float(figure.moves[0].at(float(t)))
        off = math.radians((drawn - solved + 180) % 360 - 180)
        assert abs(off) * 300.0 < 0.25, t


@pytest.mark.parametrize("slug", SLUGS)
def test_every_state_of_winding_is_drawn(slug: str) -> None:
    """The strip names the phases of each state, and the moves are the same parts in each."""
    running = demo(slug)
    first = escapement.draw(running, wording())
    assert first is not None
    for winding in running.windings:
        other = escapement.draw(running.at(winding), wording())
        assert other is not None and other.sheet.moves().keys() == first.sheet.moves().keys()


def cursor(running: Going) -> list[Move]:
    plate = escapement.draw(running, wording())
    assert plate is not None
    (found,) = [figure for figure in plate.sheet.each() if any("cursor" in shape.classes for shape in figure.shapes)]
    return list(found.moves)


def test_no_cursor_runs_where_it_stops() -> None:
    """A strip with nothing in it has no cursor; one of a running clock has."""
    assert [set(move.values) for move in cursor(light()) if move.what == "visibility"] == [{"hidden"}]
    assert [set(move.values) for move in cursor(demo("hall_clock")) if move.what == "visibility"] == [{"visible"}]


def test_a_rebanking_watch_says_so() -> None:
    """The drawing says that it rebanks, in those states in which it does."""
    watch = changed("pocket_watch", lambda data: data["source"]["spring"].update(thickness_mm=0.19, length_mm=470.0))
    rebanks = [w.name for w in watch.windings if isinstance(w.beat, Running) and w.beat.rebanks]
    assert 0 < len(rebanks) < len(watch.windings)
    plate = escapement.draw(watch, wording())
    assert plate is not None
    said = wording().say("drawings.rebanks")
    assert [figure.state for figure in plate.sheet.each() if any(each.text == said for each in figure.words)] == rebanks


def test_nothing_stands_in_the_hollow_of_a_cylinder() -> None:
    """The teeth pass through the cylinder: no arbor is drawn there, and no line of centres from its arbor to itself."""
    root = Path(__file__).parents[1] / "models"
    plate = escapement.draw(going("c", read(root / "cylinder_watch" / "movement.toml", Movement, root)), wording())
    assert plate is not None
    shapes = [shape for figure in plate.sheet.each() for shape in figure.shapes]
    (pallets,) = [figure for figure in plate.sheet.figures if figure.part == "pallets"]
    assert [shape.classes for shape in pallets.shapes] == ["steel cylinder"]
    assert not [shape for shape in shapes if shape.d.endswith("l")], "a line of no length"
