"""What the pages of power, escapement and oscillator say of a movement that stops, and of one that rebanks."""

from __future__ import annotations

from pathlib import Path

from builder.drawing.diagrams import DIAGRAMS
from builder.going.going import Going, going
from builder.movement.model import Movement
from builder.movement.reading import read
from builder.pages.shown import Context, Shown
from builder.pages.stations import escapement, oscillator, power
from tests.solved import changed, demo, light, wording

PLATES = ("power-flow", "torque-ladder", "going-curves", "escapement", "oscillator")


def shown(running: Going) -> Shown:
    drawn = {slug: DIAGRAMS[slug](running, wording()) for slug in PLATES}
    return Shown(running, {slug: plate for slug, plate in drawn.items() if plate is not None}, "", {})


def told(context: Context | None) -> Context:
    assert context is not None
    return context


def test_what_stops_says_why_on_every_page() -> None:
    """The reason is on power, escapement and oscillator; the winding's energy is what it would give; angles are there, without
    any that a swing would make."""
    one = shown(light())
    reason = light().windings[0].beat.text  # type: ignore[union-attr]
    assert told(escapement.context(one, wording()))["trouble"] == [wording().say("pages.overview.stops", reason=reason)]
    sentences = told(power.context(one, wording()))["sentences"]
    assert reason in " ".join(sentences) and sentences[0].startswith("Did it go")
    assert all(reason in item["text"] for item in told(oscillator.context(one, wording()))["states"])
    names = [row["name"] for row in told(escapement.context(one, wording()))["angles"]]
    assert wording().say("facts.lift.label") in names and wording().say("facts.pushed_back.label") not in names


def test_what_goes_has_no_trouble() -> None:
    """The sound clock's escapement says nothing of stopping, and its recoil is a row; what it gives it gives."""
    one = shown(demo("hall_clock"))
    context = told(escapement.context(one, wording()))
    assert context["trouble"] == []
    rows = {row["name"]: row["cells"] for row in context["angles"]}
    assert rows[wording().say("facts.pushed_back.label")] == ["0.51°", "0.41°"]
    assert wording().say("facts.lock.label") not in rows
    assert told(power.context(one, wording()))["sentences"][0].startswith("One winding gives")


def test_a_rebanking_watch_is_told_so_with_its_states() -> None:
    """Wound and half wound, in one sentence."""
    strong = changed("pocket_watch", lambda data: data["source"]["spring"].update(thickness_mm=0.19, length_mm=470.0))
    assert told(escapement.context(shown(strong), wording()))["trouble"] == [
        wording().say("pages.escapement.rebanks", states="wound, half wound")
    ]


def test_a_cylinder_has_no_lever() -> None:
    """The page of its oscillator speaks of no lever."""
    root = Path(__file__).parents[1] / "models"
    watch = going("c", read(root / "cylinder_watch" / "movement.toml", Movement, root))
    assert "lever" not in told(oscillator.context(shown(watch), wording()))["lede"]
    assert "lever" in told(oscillator.context(shown(demo("pocket_watch")), wording()))["lede"]
