"""The sums worked with a movement's own figures: they ask for what it is known to have, and find it."""

from __future__ import annotations

import pytest

from builder.bench.of_movement import Worked, worked
from builder.pages.shown import Shown
from builder.pages.stations.sums import context
from tests.bench_sums.test_sums_lines import check
from tests.solved import changed, demo, wording

WATCH = {
    *("missing_one", "missing_mesh", "missing_dial", "pair", "depth"),
    *("mainspring", "other_spring", "hairspring", "shorter_spring", "timing_screws"),
}
CLOCK = {
    *("missing_one", "missing_mesh", "missing_great", "missing_dial", "pair", "depth"),
    *("weight_fall", "pendulum_length", "rating_nut", "added_weight", "circular_error", "warmth"),
}


def by_key(slug: str) -> dict[str, Worked]:
    return {one.key: one for one in worked(demo(slug))}


@pytest.mark.parametrize(("slug", "keys"), [("pocket_watch", WATCH), ("hall_clock", CLOCK)])
def test_every_sum_that_it_has_figures_for(slug: str, keys: set[str]) -> None:
    """Each suits the movement; whatever is supposed to be missing is among the candidates and fits; every line is true."""
    found = by_key(slug)
    assert set(found) == keys
    for one in found.values():
        check(one.working)
        if one.own:
            rows = [row for row in one.working.table("candidates") if one.own.items() <= row.items()]
            assert len(rows) == 1
            assert all(fits is True for name, fits in rows[0].items() if name.startswith("fits"))


def test_its_own_parts_belong_together() -> None:
    """Diameters and centres of a movement's own wheel and pinion agree on its module, and its fall is what its source says."""
    watch, clock = by_key("pocket_watch"), by_key("hall_clock")
    module = next(one.module_mm for one in demo("pocket_watch").plan.sized if one.pair.driver == "centre")
    assert watch["pair"].working["module_mm"] == pytest.approx(module, rel=2e-3)
    assert [note.key for note in watch["pair"].working.notes] == ["agree"]
    assert watch["hairspring"].working["thickness_mm"] == pytest.approx(_strip_mm(), rel=1e-4)
    assert clock["weight_fall"].working["fall_mm"] == pytest.approx(demo("hall_clock").movement.source.falls_mm, rel=1e-9)  # type: ignore[union-attr]


def _strip_mm() -> float:
    beat, oscillator = demo("pocket_watch").beat, demo("pocket_watch").movement.oscillator
    assert beat is not None and oscillator.kind == "balance"
    return oscillator.hairspring.completed(beat.terms.stiffness_nm).thickness_mm or 0.0


def test_only_counted_still_has_sums() -> None:
    """A movement of which only counts are known still has its missing wheels; nothing is said of what is not known."""

    def bare(data: dict) -> None:  # type: ignore[type-arg]
        data["source"] = {"kind": "weight", "arbor": "great", "turns": 16.0}
        data["escapement"] = {"kind": "counted", "arbor": "escape", "teeth": 30, "name": "recoil anchor"}
        data["oscillator"] = {"kind": "counted", "beats_per_hour": 3600, "name": "pendulum"}

    found = {one.key for one in worked(changed("hall_clock", bare))}
    assert found == {"missing_one", "missing_mesh", "missing_great", "missing_dial", "pair", "depth"}


def test_the_page_marks_what_is_true() -> None:
    """On the page every table of candidates marks one row as the movement's own, and every sum names its command."""
    made = context(Shown(demo("hall_clock"), {}, "", {}), wording())
    assert made is not None
    for one in made["sums"]:
        marked = [own for table in one["tables"] for own, _ in table["rows"] if own]
        assert len(marked) == (1 if one["id"].startswith("missing") else 0)
        assert one["command"].startswith("between-plates sum ")
