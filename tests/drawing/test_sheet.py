"""The one place that writes SVG: what it refuses, what it escapes, how it stops a drawing."""

from __future__ import annotations

from fractions import Fraction
from xml.etree import ElementTree

import pytest

from builder.drawing.sheet import Credit, Figure, Move, Shape, Sheet, Words

SVG = "{http://www.w3.org/2000/svg}"


def sheet(*figures: Figure) -> Sheet:
    return Sheet("slug", "Title", "Description", (0, 0, 100, 50), figures)


def test_text_is_escaped_everywhere() -> None:
    """Names from a model file cannot become markup: title, label, words and part ids come back as they went in."""
    nasty = "</title><script>alert(1)</script>&\"'"
    figure = Figure(nasty, nasty, shapes=(Shape("M0 0", "brass"),), words=(Words(1, 2, nasty),))
    made = Sheet("slug", nasty, nasty, (0, 0, 1, 1), (figure,)).svg()
    assert "<script" not in made
    root = ElementTree.fromstring(made)
    assert root.find(f"{SVG}title").text == nasty  # type: ignore[union-attr]
    assert next(root.iter(f"{SVG}text")).text == nasty
    assert next(root.iter(f"{SVG}g")).attrib["aria-label"] == nasty


@pytest.mark.parametrize(
    "move",
    [
        {"values": ("0", "1"), "key_times": (0.0, 0.5, 1.0)},
        {"values": ("0", "1"), "key_times": (0.1, 1.0)},
        {"values": ("0", "1"), "key_times": (0.0, 0.9)},
        {"values": ("0", "1", "2"), "key_times": (0.0, 0.6, 0.5)},
        {"values": ("0", "10 5 5"), "key_times": (0.0, 1.0)},
        {"values": ("0", "nan"), "key_times": (0.0, 1.0)},
        {"values": ("0", "1"), "key_times": (0.0, 1.0), "dur_ms": 0},
    ],
)
def test_moves_that_browsers_would_drop_or_add_up_wrongly_are_refused(move: dict) -> None:
    """Key times from 0 to 1, rising, as many as values; whole ms; no centre in a rotation; finite angles."""
    with pytest.raises((AssertionError, ValueError)):
        Move("rotate", **{"dur_ms": 100, **move})


def test_a_move_is_evaluated_exactly() -> None:
    """A summing move adds its last value at each repetition, by the exact period where dur is rounded."""
    move = Move("rotate", ("0", "0", "-3"), (0.0, 0.5, 1.0), 401, sums=True, exact_ms=Fraction(7_200_000, 17952))
    period_s = 7200 / 17952
    assert float(move.at(1000 * period_s + 0.75 * period_s)) == pytest.approx(-3001.5, abs=1e-3)
    assert move.timing()["ms"] == "75000/187"


def test_a_still_stands_as_the_moving_drawing_does_at_that_moment() -> None:
    """The still of a turning part carries the turn it has reached, and nothing moves in it."""
    figure = Figure(
        "wheel", "Wheel", (10, 20), 15.0, (Move("rotate", ("0", "360"), (0.0, 1.0), 4000),), (Shape("M0 0", "brass"),)
    )
    still = sheet(figure).still("", at_s=1.0)
    assert "animate" not in still
    assert "translate(10 20)rotate(105)" in still


def test_a_still_has_what_is_seen_at_that_moment_alone() -> None:
    """Of words and shapes that take turns, the still holds those of its moment."""

    def seen(text: str, first: str, then: str) -> Figure:
        move = Move("visibility", (first, then), (0.0, 0.5), 1000, steps=True)
        return Figure(None, None, moves=(move,), words=(Words(0, 0, text),), shapes=(Shape("M0 0", text),))

    still = sheet(seen("lift", "visible", "hidden"), seen("drop", "hidden", "visible")).still("", at_s=0.25)
    assert "lift" in still and "drop" not in still


def test_states_hold_only_what_differs() -> None:
    """A drawing's states carry the animations that move otherwise in one of them, under the ids that are written."""
    same = Move("rotate", ("0", "360"), (0.0, 1.0), 1000)
    a, b = (Move("rotate", ("0", v, "0"), (0.0, 0.5, 1.0), 400) for v in ("5", "7"))

    def made(second: Move) -> Sheet:
        return sheet(Figure(None, None, moves=(same,)), Figure(None, None, moves=(second,)))

    joined = made(a).with_states({"wound": made(a), "half wound": made(b)})
    assert joined.states == {"wound": {"slug-a2": a.timing()}, "half wound": {"slug-a2": b.timing()}}
    assert 'id="slug-a2"' in joined.svg()


def test_a_drawing_that_travels_names_its_publisher_and_licence() -> None:
    """A file alone carries title, publisher, licence as RDF in terms of Dublin Core 1.1 and ccREL; a page says them itself."""
    dc, cc, rdf = (
        "{http://purl.org/dc/elements/1.1/}", "{http://creativecommons.org/ns#}", "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
    )  # fmt: skip
    root = ElementTree.fromstring(sheet().svg("", Credit("Class & <shelf>", "CC BY", "https://licence.example/by")))
    work = root.find(f"{SVG}metadata/{rdf}RDF/{cc}Work")
    assert work is not None
    assert (work.findtext(f"{dc}title"), work.findtext(f"{dc}publisher")) == ("Title", "Class & <shelf>")
    assert work.findtext(f"{dc}rights") == "Class & <shelf>, CC BY, https://licence.example/by"
    assert work.find(f"{cc}license").attrib == {f"{rdf}resource": "https://licence.example/by"}  # type: ignore[union-attr]
    assert "metadata" not in sheet().svg()
