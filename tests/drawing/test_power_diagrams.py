"""The drawings of power and beat: widths to scale, every state of winding in them, nothing that is not a number."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest

from builder.drawing.diagrams import beat_chart, going_curves, plates, power_flow, torque_ladder
from builder.drawing.diagrams.power_flow import BAND_PX, Said
from builder.drawing.diagrams.torque_ladder import ideal_nmm
from builder.drawing.sheet import Figure
from builder.drawing.table import Plate
from builder.going.budget import budget
from builder.going.going import Going
from tests.solved import DEMOS, changed, demo, light, stops_when_nearly_down, wording

SVG = "{http://www.w3.org/2000/svg}"
DRAWN = {"power-flow": power_flow, "torque-ladder": torque_ladder, "going-curves": going_curves, "beat-chart": beat_chart}
STATES = ["wound", "half wound", "nearly down"]
NUMBER = r"-?(?:\d+\.?\d*|\.\d+)"


def drawn(slug: str, going: Going) -> Plate:
    plate = DRAWN[slug].draw(going, wording())
    assert plate is not None
    others = {}
    for winding in going.windings:
        other = DRAWN[slug].draw(going.at(winding), wording())
        assert other is not None
        others[winding.name] = other.sheet
    return Plate(plate.sheet.with_states(others), plate.columns, plate.rows)


def every(figures: tuple[Figure, ...]) -> list[Figure]:
    return [found for figure in figures for found in (figure, *every(figure.inner))]


def of_state(plate: Plate, state: str) -> list[Figure]:
    """All figures shown in one state."""
    return [found for top in every(plate.sheet.figures) if top.state == state for found in every((top,))]


CASES = [
    *((slug, name) for slug in DRAWN for name in DEMOS),
    *((slug, name) for slug in DRAWN if slug != "beat-chart" for name in ("light", "stops")),
    ("beat-chart", "stops"),
]


def going_of(name: str) -> Going:
    return {"light": light, "stops": stops_when_nearly_down}[name]() if name in ("light", "stops") else demo(name)


@pytest.mark.parametrize(("slug", "name"), CASES)
def test_drawings_are_well_made(slug: str, name: str) -> None:
    """Well-formed, no 'nan' or 'inf', all three states in it and only the first shown, and every path a whole command."""
    plate = drawn(slug, going_of(name))
    text = plate.sheet.svg()
    root = ElementTree.fromstring(text)
    assert not re.search(r"\b(nan|inf)\b", re.sub(r"<(title|desc|text).*?</\1>", "", text), re.IGNORECASE)
    groups = [node for node in root.iter() if "data-state" in node.attrib]
    assert {node.attrib["data-state"] for node in groups} == set(STATES)
    for node in groups:
        assert ("off" in node.attrib.get("class", "").split()) == (node.attrib["data-state"] != "wound")
    for path in root.iter(f"{SVG}path"):
        d = path.attrib["d"]
        assert not re.search(r"[lLmMhHvVaA]\s*([lLmMhHvVaAzZ]|$)", d), d[-40:]
    assert list(plate.sheet.states) == STATES
    assert all(set(plate.columns) <= set(row.cells) for row in plate.rows)


@pytest.mark.parametrize("name", DEMOS)
def test_widths_are_the_power(name: str) -> None:
    """Each branch is as wide as its loss, the band between them as the power that is left, in every state on one scale, to
    the 0.01 px that is written."""
    going = demo(name)
    plate = drawn("power-flow", going)
    budgets = {winding.name: budget(going.train, winding) for winding in going.windings}
    px_per_uw = BAND_PX / max(shown.source_uw for shown in budgets.values())
    for winding in going.windings:
        shown = budgets[winding.name]
        parts = {figure.part: figure for figure in of_state(plate, winding.name) if figure.part}
        for term in shown.terms:
            if term.cost == "oscillator":
                continue
            radii = [float(r) for r in re.findall(rf"A({NUMBER}) ", parts[term.key].shapes[0].d)]
            assert max(radii) - min(radii) == pytest.approx(term.uw * px_per_uw, abs=0.011)
        spans = [tuple(map(float, m)) for m in re.findall(rf"M({NUMBER}) {NUMBER}H({NUMBER})V", parts["source"].shapes[0].d)]
        widths = [right - left for left, right in spans]
        assert widths[0] == pytest.approx(shown.source_uw * px_per_uw, abs=0.021)
        assert widths[-1] == pytest.approx(shown.of("oscillator") * px_per_uw, abs=0.021)
        for arbor in winding.power.arbors:
            assert any(width == pytest.approx(arbor.power_uw * px_per_uw, abs=0.021) for width in widths)


def test_the_scale_bar_is_to_scale() -> None:
    """The bar is as wide as the power that it names."""
    going = demo("pocket_watch")
    plate = drawn("power-flow", going)
    px_per_uw = BAND_PX / going.windings[0].power.source_uw
    bar = plate.sheet.figures[-1]
    (width,) = re.findall(rf"h({NUMBER})", bar.shapes[0].d)
    (uw,) = re.findall(rf"({NUMBER})\u202fµW", bar.words[0].text)
    assert float(width) == pytest.approx(float(uw) * px_per_uw, abs=0.01)


def test_figures_in_the_flow_add_up() -> None:
    """Powers are written to one decimal place throughout, and add up to the source's within their rounding."""
    going = demo("hall_clock")
    shown = budget(going.train, going.windings[0])
    rows = power_flow.rows(going, shown, Said(shown.source_uw), wording())
    written = [float(row.cells["uw"].split("\u202f")[0]) for row in rows]
    assert sum(written[1:]) == pytest.approx(written[0], abs=0.005 * len(rows))
    assert len({len(str(row.cells["uw"]).partition(".")[2]) for row in rows}) == 1


@pytest.mark.parametrize("name", DEMOS)
def test_bars_of_the_ladder_are_logarithms(name: str) -> None:
    """Both sides have one length for a power of ten: what a train without loss gains in turns it loses in torque."""
    going = demo(name)
    torque, turns = torque_ladder._scales(going)
    flow = going.windings[0].power
    ideal = ideal_nmm(going.train, flow)
    rates = [float(abs(going.train[arbor].turns_per_hour)) for arbor in going.train.path]
    whole = [abs(torque.px(t) - torque.start_px) + turns.px(r) - turns.start_px for t, r in zip(ideal, rates, strict=True)]
    assert np.allclose(whole, whole[0])
    assert ideal[0] == flow.source_torque_nmm
    assert all(arbor.torque_nmm <= perfect for arbor, perfect in zip(flow.arbors, ideal, strict=True))
    assert all(scale.low < value < scale.high for scale, values in ((torque, ideal), (turns, rates)) for value in values)


def test_the_cursor_takes_one_winding() -> None:
    """It crosses the field in the going time, in whole milliseconds, from wound to run down."""
    going = demo("hall_clock")
    plate = drawn("going-curves", going)
    (move,) = plate.sheet.moves().values()
    assert going.beat is not None
    assert move.dur_ms == round(float(going.beat.curves.hours_gone[-1]) * 3_600_000)
    assert plate.sheet.scrub_s == pytest.approx(move.dur_ms / 1000, rel=1e-3)


def test_where_it_stops_the_curve_ends() -> None:
    """Amplitude and rate end with a cross and a word at the last point at which it goes; torque goes on."""
    going = stops_when_nearly_down()
    plate = drawn("going-curves", going)
    assert going.beat is not None
    said = wording().say("drawings.going_curves.stops")
    stops = [figure.part for figure in every(plate.sheet.figures) if any(words.text == said for words in figure.words)]
    assert stops == ["amplitude", "rate"]
    last = going_curves.stops_after(going.beat.curves.amplitude_rad)
    assert last is not None
    assert math.isfinite(going.beat.curves.amplitude_rad[last])
    assert not math.isfinite(going.beat.curves.amplitude_rad[last + 1])
    assert going_curves.stops_after(np.full(4, np.nan)) is None
    assert going_curves.stops_after(np.ones(4)) is None


@pytest.mark.parametrize("name", DEMOS)
def test_every_event_is_marked_and_told(name: str) -> None:
    """Each event of the period has a row and one number in the drawing of its state, at the place of its time."""
    going = demo(name)
    plate = drawn("beat-chart", going)
    beat = going.windings[0].beat
    assert len(plate.rows) == len(beat.events)
    numbers = [figure.part for figure in of_state(plate, "wound") if figure.part]
    assert sorted(numbers) == sorted(row.part for row in plate.rows)


@pytest.mark.parametrize("name", DEMOS)
def test_the_charts_cursor_follows_the_period(name: str) -> None:
    """Each cursor repeats with the period, and is hidden outside the lift that its field shows."""
    going = demo(name)
    plate = drawn("beat-chart", going)
    moves = list(plate.sheet.moves().values())
    assert {move.what for move in moves} == {"translate", "visibility"}
    assert all(move.exact_ms == going.motion.period_ms for move in moves)
    shows = [move for move in moves if move.what == "visibility"]
    assert len(shows) == (3 if going.movement.oscillator.kind == "balance" else 1)
    middle = float(going.motion.period_ms) / 4000
    assert [move.at(middle) for move in shows] == ["visible", "visible", "hidden"][: len(shows)]


def test_a_stopped_clock_has_no_chart_of_its_beat() -> None:
    """Where no state goes there is nothing to draw; where one stops, its fields say so and its cursor is hidden."""
    assert beat_chart.draw(light(), wording()) is None
    going = stops_when_nearly_down()
    plate = drawn("beat-chart", going)
    texts = [words.text for figure in of_state(plate, "nearly down") for words in figure.words]
    assert texts == [wording().say("drawings.stopped")]
    stopped = plate.sheet.states["nearly down"]
    assert any(set(timing["values"].split(";")) == {"hidden"} for timing in stopped.values())


def test_the_flow_of_a_stopped_clock_says_why() -> None:
    """The band ends at the escape wheel, and the reason stands under it."""
    plate = drawn("power-flow", light())
    texts = {words.text for figure in of_state(plate, "wound") for words in figure.words}
    assert wording().say("drawings.power_flow.stops") in texts
    assert wording().say("drawings.power_flow.reasons.too little energy") in texts
    assert plate.rows[-1].part == "standing"


def test_what_is_only_counted_has_none_of_these() -> None:
    """Without force no drawing of power, torque or beat is made."""
    going = changed("hall_clock", lambda data: data["source"].pop("mass_kg"))
    assert all(module.draw(going, wording()) is None for module in DRAWN.values())
    assert not set(DRAWN) & set(plates(going, wording()))
