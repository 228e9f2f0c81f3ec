"""Movements by chance go through the whole pipeline: drawn, or refused with the place of every fault; never anything else."""

from __future__ import annotations

from collections import Counter

from hypothesis import given

from tests.fuzz.movements import changed, composed
from tests.fuzz.settings import scratch, share
from tests.fuzz.whole import run
from tests.movement_texts import Data


def test_changed_movements() -> None:
    """Real movements with something changed to what their schema allows; some are still drawn, some refused."""
    ended: Counter[str] = Counter()

    @share(20)
    @given(changed())
    def each(movement: Data) -> None:
        with scratch() as models:
            ended[run(models, movement)] += 1

    each()
    assert min(ended["drawn"], ended["refused"]) >= 3, ended


def test_composed_movements() -> None:
    """Two to six wheels, any source, escapement and oscillator, counted or with sizes; most are drawn, one with all its pages."""
    ended: Counter[str] = Counter()

    @share(6)
    @given(composed())
    def each(movement: Data) -> None:
        with scratch() as models:
            ended[run(models, movement, pages=ended["drawn"] == 1)] += 1

    each()
    assert ended["drawn"] >= 3, ended
