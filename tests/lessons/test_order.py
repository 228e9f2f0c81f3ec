"""Orders of the bench and of the escapement, held against what stands elsewhere."""

from __future__ import annotations

from itertools import pairwise

import pytest

from builder.going.steady import Running
from builder.going.taking_down import held_by, taking_down
from builder.lessons.kinds.bench import chain
from tests.lessons.asked import DEMOS, asked, one, solved
from tests.lessons.recomputed import numbers


@pytest.mark.parametrize("slug", DEMOS)
def test_every_piece_of_the_row_is_held_by_the_one_before(slug: str) -> None:
    """Between two neighbours no other order will do: the earlier one must be off first, by what holds it and by safety."""
    found = taking_down(solved(slug))
    assert found is not None
    row, steps = chain(found.steps), {step.id: step for step in found.steps}
    pieces = {piece.id: piece for piece in found.pieces.off}
    assert len(row) >= 6
    for before, after in pairwise(row):
        held = {name for piece in steps[after].pieces for name in held_by(piece, pieces.values())}
        freed = {piece.id for piece in steps[before].pieces}
        assert freed & set(steps[after].freed_by), (before, after)
        assert freed & held or before in ("weight", "pendulum", "balance", "dial", "pallets", "set-up-ratchet"), (before, after)


@pytest.mark.parametrize("slug", DEMOS)
def test_taking_down_and_putting_together_are_asked(slug: str) -> None:
    """Both are there; what is taken down last of a row goes in first; a wound spring is let down before all."""
    down, together = one(slug, "order.down"), one(slug, "order.together")
    order = [answer.text for answer in together.answers][::-1]
    shared = [answer.text for answer in down.answers if answer.text in order]
    assert shared == [text for text in order if text in shared]
    weight = solved(slug).movement.source.kind == "weight"
    assert (down.answers[0].text == "Weight") == weight and ("let down" in down.text) != weight


@pytest.mark.parametrize("slug", DEMOS)
def test_phases_follow_one_another_as_the_events_do(slug: str) -> None:
    """On each pallet: unlocking or recoil, impulse, drop on to the other one, as the solved events come; all in one period."""
    question = one(slug, "order.period")
    texts = [answer.text for answer in question.answers]
    winding = solved(slug).windings[0]
    assert isinstance(winding.beat, Running) and winding.path is not None
    off = [pallet for _, what, pallet in winding.path.events if what == "lets off"]
    assert off == ["entry", "exit"]
    entry, exit_ = (texts.index(f"{pallet} pallet: impulse") for pallet in ("Entry", "Exit"))
    assert entry < texts.index("Drop on to the exit pallet") < exit_
    if "Drop on to the entry pallet" in texts:
        assert texts.index("Drop on to the entry pallet") > exit_
    ms = sum(float(numbers(answer.why)[-1]) for answer in question.answers)
    assert ms <= 1001 * winding.beat.period_s


@pytest.mark.parametrize("slug", DEMOS)
def test_losses_make_up_what_the_source_gives(slug: str) -> None:
    """The greatest first, and together the whole, to the digits shown."""
    found = [question for question in asked(slug) if question.key == "order.losses"]
    for question in found:
        parts = [float(numbers(answer.why)[0]) for answer in question.answers]
        assert parts == sorted(parts, reverse=True) and sum(parts) == pytest.approx(100, abs=1.5)
