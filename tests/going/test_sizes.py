"""What was measured at the bench becomes one module and one centre distance for each mesh, or a plain contradiction."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from builder.going.sizes import Sized, sizes
from builder.going.train import train
from builder.ground.faults import Finding, Refused, key_text
from builder.movement.model import Movement
from tests.movement_texts import Data, eight_day

BS978_ADDENDA = {(80, 10): 1.607, (60, 6): 1.322, (63, 7): 1.404, (70, 14): 1.782}
"""Addendum in modules of a wheel that drives so many leaves: BS 978-2:1952, tables for wheels driving pinions."""
BS978_ENDS = {"A": 0.525, "B": 0.67, "C": 0.855}
"""Addendum in modules of a pinion of ten leaves or fewer, by its leaf end (BS 978-2:1952)."""


def sized(data: Data) -> tuple[tuple[Sized, ...], tuple[Finding, ...]]:
    movement = Movement.model_validate(data)
    return sizes(movement, train(movement))


def after(change: Callable[[Data], Any]) -> Data:
    data = eight_day()
    change(data)
    return data


def pair_of(wheel: int, leaves: int, **measured: Any) -> Data:
    """The eight-day clock whose first mesh has other counts and only these measurements."""
    data = eight_day()
    data["arbors"][0]["wheel"] = {"teeth": wheel, **measured}
    data["arbors"][1]["pinion"] = {"leaves": leaves}
    return data


def test_centres_are_half_the_module_times_both_counts() -> None:
    """a = m (z1 + z2) / 2, the definition of the module (ISO 54), for every mesh of the train and of the motion work."""
    found, _ = sized(eight_day())
    assert [(one.pair.driver, one.module_mm, one.distance_mm) for one in found] == [
        ("great", 1.0, 52.0),
        ("second", 0.9, pytest.approx(0.9 * 36)),
        ("third", 0.85, pytest.approx(0.85 * 34)),
        ("cannon", pytest.approx(0.8), pytest.approx(28.8)),
        ("minute_wheel", pytest.approx(57.6 / 78), pytest.approx(28.8)),
    ]
    assert found[0].measured == "the module of the wheel of great"
    assert found[4].measured == "the shared centre distance"


@pytest.mark.parametrize(("counts", "addendum"), BS978_ADDENDA.items(), ids=str)
def test_module_from_a_diameter_over_the_tips(counts: tuple[int, int], addendum: float) -> None:
    """A wheel to the standard's table, measured with a calliper, gives its module to a part in ten thousand."""
    found, _ = sized(pair_of(*counts, outside_diameter_mm=0.5 * (counts[0] + 2 * addendum)))
    assert found[0].module_mm == pytest.approx(0.5, rel=1e-4)
    assert found[0].measured == "the diameter of the wheel of great"


@pytest.mark.parametrize(("end", "addendum"), BS978_ENDS.items())
def test_a_named_leaf_end_is_the_one_cut(end: str, addendum: float) -> None:
    """The pinion's `profile` decides its diameter over the leaves, and so what a measured pinion says of the module."""
    data = pair_of(80, 10)
    data["arbors"][1]["pinion"] |= {"profile": end, "outside_diameter_mm": 0.5 * (10 + 2 * addendum)}
    found, _ = sized(data)
    assert found[0].module_mm == pytest.approx(0.5, rel=1e-9)
    assert found[0].gears.driven.tip_mm == pytest.approx(0.5 * (5 + addendum), rel=1e-9)
    assert found[0].measured == "the diameter of the pinion of second"


def test_involute_diameters() -> None:
    """Over the tips m (z + 2) with the basic rack of ISO 53."""
    data = pair_of(80, 20, outside_diameter_mm=41.0)
    data["meshes"][0]["form"] = "involute"
    found, _ = sized(data)
    assert found[0].module_mm == pytest.approx(0.5, rel=1e-12)


def test_measured_centres_win() -> None:
    """The plates are drilled: where module and centres agree within two per cent, the wheels are cut for the centres."""
    found, _ = sized(after(lambda d: (d["arbors"][0].update(at_mm=[0, -52.5]), d["arbors"][1].update(at_mm=[0, 0]))))
    assert found[0].distance_mm == pytest.approx(52.5)
    assert found[0].module_mm == pytest.approx(105 / 104)
    assert found[0].gears.distance_mm == pytest.approx(52.5)
    assert found[0].measured == "the two centres"


def test_centres_alone_will_do() -> None:
    """Neither module nor diameter is needed where both centres are measured."""
    found, _ = sized(
        after(lambda d: (d["arbors"][0].update(at_mm=[30, 40], wheel={"teeth": 96}), d["arbors"][1].update(at_mm=[0, 0])))
    )
    assert (found[0].distance_mm, found[0].module_mm) == (pytest.approx(50), pytest.approx(100 / 104))


def test_motion_work_from_its_centres() -> None:
    """One measured distance sizes both pairs of the motion work: modules are inversely as the sums of the counts."""
    found, _ = sized(after(lambda d: (d["motion_work"].pop("module_mm"), d["motion_work"].update(distance_mm=27.0))))
    first, second = found[-2:]
    assert (first.distance_mm, second.distance_mm) == (27.0, 27.0)
    assert second.module_mm / first.module_mm == pytest.approx(72 / 78)


def test_hour_only_has_one_pair() -> None:
    """A single hand: pinion of report and dial wheel, sized by their module."""
    data = eight_day()
    data["motion_work"] = {"kind": "hour_only", "on": "great", "pinion_leaves": 12, "hour_wheel_teeth": 12, "module_mm": 1.5}
    found, _ = sized(data)
    assert (found[-1].pair.driven, found[-1].distance_mm) == ("hour_wheel", 18.0)


CONTRADICTIONS: list[tuple[str, Callable[[Data], Any], str, str]] = [
    ("nothing", lambda d: d["arbors"][0].update(wheel={"teeth": 96}), "meshes[0]", "a mesh of known size"),
    ("no motion work size", lambda d: d["motion_work"].pop("module_mm"), "motion_work", "a motion work of known size"),
    (
        "two modules",
        lambda d: d["arbors"][1]["pinion"].update(module_mm=0.9),
        "arbors[1].pinion.module_mm",
        "module 1.00 mm",
    ),
    (
        "module and diameter",
        lambda d: d["arbors"][0]["wheel"].update(outside_diameter_mm=90.0),
        "arbors[0].wheel.outside_diameter_mm",
        "module 1.00 mm",
    ),
    (
        "module and centres",
        lambda d: (d["arbors"][0].update(at_mm=[0, -55]), d["arbors"][1].update(at_mm=[0, 0])),
        "arbors[1].at_mm",
        "module 1.00 mm",
    ),
    ("hour wheel's module", lambda d: d["motion_work"].update(hour_module_mm=0.8), "motion_work.hour_module_mm", "0.7385 mm"),
    ("module and posts", lambda d: d["motion_work"].update(distance_mm=31.0), "motion_work.distance_mm", "28.80 mm"),
]


@pytest.mark.parametrize(("change", "key", "allowed"), [c[1:] for c in CONTRADICTIONS], ids=[c[0] for c in CONTRADICTIONS])
def test_contradictions(change: Callable[[Data], Any], key: str, allowed: str) -> None:
    """Two measurements more than two per cent apart, or none at all, are one fault at the later of the two."""
    with pytest.raises(Refused) as caught:
        sized(after(change))
    (complaint,) = caught.value.complaints
    assert (key_text(complaint.key), complaint.allowed) == (key, allowed)


@pytest.mark.parametrize("part", [1.019, 0.981])
def test_two_per_cent_is_no_contradiction(part: float) -> None:
    """A worn calliper or a worn tip is not a fault: the first measurement counts."""
    found, _ = sized(after(lambda d: d["arbors"][1]["pinion"].update(module_mm=part)))
    assert found[0].module_mm == 1.0


def test_every_contradiction_at_once() -> None:
    """All meshes are looked at before anything is said."""
    with pytest.raises(Refused) as caught:
        sized(after(lambda d: [change(d) for name, change, _, _ in CONTRADICTIONS if name in ("nothing", "hour wheel's module")]))
    assert [key_text(c.key) for c in caught.value.complaints] == ["meshes[0]", "motion_work.hour_module_mm"]


def test_teeth_that_cannot_be_cut_are_told_at_their_count() -> None:
    """Involute leaves that would be undercut are refused where the file counts them."""
    with pytest.raises(Refused) as caught:
        sized(after(lambda d: d["meshes"][0].update(form="involute")))
    (complaint,) = caught.value.complaints
    assert (key_text(complaint.key), complaint.value) == ("arbors[1].pinion.leaves", "8")


def test_few_leaves_are_worth_knowing() -> None:
    """Pinions of eight leaves run, with a note at their count; the minute pinion's stands in the motion work."""
    _, findings = sized(eight_day())
    keys = {key_text(finding.key) for finding in findings}
    assert {"arbors[1].pinion.leaves", "arbors[2].pinion.leaves", "arbors[3].pinion.leaves"} <= keys
