"""What must be true between the tables of a movement: every broken rule at once, at its key, with advice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from builder.ground.faults import key_text
from builder.movement.model import Movement
from builder.movement.rules import complaints
from tests.movement_texts import Data, eight_day

Change = Callable[[Data], Any]


def broken(change: Change) -> list[tuple[str, str, str]]:
    """Key, value and what is allowed, of every complaint of the eight-day clock after a change."""
    data = eight_day()
    change(data)
    return [(key_text(c.key), c.value, c.allowed) for c in complaints(Movement.model_validate(data))]


def spare(name: str, **more: Any) -> Data:
    return {"id": name, "wheel": {"teeth": 60}, "pinion": {"leaves": 6}, **more}


def test_a_right_movement_breaks_no_rule() -> None:
    """The usual eight-day clock has nothing to complain of."""
    assert broken(lambda data: None) == []


NAMES: list[tuple[str, Change, list[tuple[str, str, str]]]] = [
    (
        "what is called assumed and does not stand there",
        lambda d: d["movement"].update(
            assumed=["arbors.great.wheel", "arbors.great.pinion", "meshes.direction_deg", "plates.width_mm", "arbors.x.wheel"]
        ),
        [
            ("movement.assumed[1]", "arbors.great.pinion", "a size that stands in this file"),
            ("movement.assumed[3]", "plates.width_mm", "a size that stands in this file"),
            ("movement.assumed[4]", "arbors.x.wheel", "a size that stands in this file"),
        ],
    ),
    (
        "an id twice",
        lambda d: d["arbors"][2].update(id="second"),
        [
            ("arbors[2].id", "second", "used by an arbor before"),
            ("meshes[1].driven", "third", "the id of an arbor: great, second, escape"),
            ("meshes[2].driver", "third", "the id of an arbor: great, second, escape"),
        ],
    ),
    (
        "an id of the motion work",
        lambda d: d["arbors"].append(spare("cannon")),
        [("arbors[4].id", "cannon", "an id that the motion work does not use")],
    ),
    (
        "a further wheel named pinion",
        lambda d: d["arbors"][1].update(more={"pinion": {"teeth": 30}}),
        [("arbors[1].more.pinion", "pinion", "a name other than wheel and pinion")],
    ),
    (
        "a source, an escapement and hands on arbors that are not there",
        lambda d: (d["source"].update(arbor="gerat"), d["escapement"].update(arbor="e"), d["motion_work"].update(on="centre")),
        [
            ("source.arbor", "gerat", "the id of an arbor: great, second, third, escape"),
            ("escapement.arbor", "e", "the id of an arbor: great, second, third, escape"),
            ("motion_work.on", "centre", "the id of an arbor: great, second, third, escape"),
        ],
    ),
    (
        "parts that are not on their arbors",
        lambda d: d["meshes"].append({"driver": "escape", "driven": "great", "driver_part": "hands"}),
        [
            ("meshes[3].driver_part", "hands", "an arbor with a wheel named hands"),
            ("meshes[3].driven", "great", "an arbor with a pinion"),
        ],
    ),
]

TREE: list[tuple[str, Change, list[tuple[str, str, str]]]] = [
    (
        "no mesh at all",
        lambda d: d["meshes"].clear(),
        [(f"arbors[{i}].id", n, "an arbor that the train reaches") for i, n in enumerate(("second", "third", "escape"), 1)],
    ),
    (
        "a mesh left out leaves a second driver that nothing drives",
        lambda d: d["meshes"].pop(1),
        [("arbors[2].id", "third", "an arbor driven from the one source of power")],
    ),
    (
        "a second source: an undriven arbor that drives",
        lambda d: (d["arbors"].append(spare("other")), d["meshes"].append({"driver": "other", "driven": "third"})),
        [("meshes[3].driven", "third", "an arbor that no other mesh drives")],
    ),
    (
        "an arbor driven by two wheels",
        lambda d: d["meshes"].append({"driver": "great", "driven": "third"}),
        [("meshes[3].driven", "third", "an arbor that no other mesh drives")],
    ),
    (
        "a wheel that drives the source",
        lambda d: (d["arbors"][0].update(pinion={"leaves": 8}), d["meshes"].append({"driver": "third", "driven": "great"})),
        [("meshes[3].driven", "great", "an arbor other than the source's")],
    ),
    (
        "an arbor that drives itself",
        lambda d: (d["arbors"].append(spare("other")), d["meshes"].append({"driver": "other", "driven": "other"})),
        [("meshes[3].driven", "other", "another arbor than the driver")],
    ),
    (
        "an arbor that drives itself, without a pinion",
        lambda d: d["meshes"][0].update(driven="great"),
        [("meshes[0].driven", "great", "another arbor than the driver")],
    ),
    (
        "a ring of two, and a third that hangs on it",
        lambda d: (
            d["arbors"].extend(map(spare, "abc")),
            d["meshes"].extend({"driver": a, "driven": b} for a, b in ("ab", "ba", "bc")),
        ),
        [
            ("meshes[3]", "a to b", "a train without a loop"),
            ("meshes[4]", "b to a", "a train without a loop"),
        ],
    ),
    (
        "an arbor that nothing reaches",
        lambda d: d["arbors"].append({"id": "spare", "wheel": {"teeth": 60}}),
        [("arbors[4].id", "spare", "an arbor that the train reaches")],
    ),
    (
        "a wheel on the escape arbor beside the escape wheel",
        lambda d: d["arbors"][3].update(wheel={"teeth": 30}),
        [("arbors[3].wheel", "30 teeth", "no other wheel on the escape arbor")],
    ),
]

PARTS: list[tuple[str, Change, list[tuple[str, str, str]]]] = [
    (
        "hands that do not keep twelve to one",
        lambda d: d["motion_work"].update(hour_wheel_teeth=70),
        [("motion_work.hour_wheel_teeth", "70", "12 to 1 for a dial of 12 hours")],
    ),
    (
        "a dial of twenty-four hours with hands for twelve",
        lambda d: d["motion_work"].update(dial_hours=24),
        [("motion_work.hour_wheel_teeth", "72", "24 to 1 for a dial of 24 hours")],
    ),
    (
        "a source, an escapement and an oscillator that cannot be, in one file",
        lambda d: (
            d["source"].update(measured=[[3, 10], [1, 5]]),
            d.update(
                escapement={"kind": "recoil_anchor", "arbor": "escape", "teeth": 30, "radius_mm": 19.0, "reach_deg": 0.5},
                oscillator={
                    "kind": "pendulum",
                    "rod": {"material": "iron", "length_mm": 1010.0},
                    "bob": {"shape": "lenticular", "material": "lead", "mass_g": 4200.0, "diameter_mm": 165.0},
                },
            ),
        ),
        [
            ("source.measured[1][0]", "1", "more turns left than in the reading before, which has 3"),
            ("escapement.reach_deg", "0.500", "more than 2.040, where a tooth is let off"),
            ("oscillator.rod", "no section and no mass", "the rod's mass must be known"),
        ],
    ),
    (
        "a slip in a name hides nothing that stands elsewhere",
        lambda d: (d["meshes"][0].update(driver="gerat"), d["motion_work"].update(hour_wheel_teeth=70)),
        [
            ("motion_work.hour_wheel_teeth", "70", "12 to 1 for a dial of 12 hours"),
            ("meshes[0].driver", "gerat", "the id of an arbor: great, second, third, escape"),
        ],
    ),
]


@pytest.mark.parametrize(("change", "expected"), [c[1:] for c in NAMES], ids=[c[0] for c in NAMES])
def test_names_lead_somewhere(change: Change, expected: list[tuple[str, str, str]]) -> None:
    """Every arbor and part that is named exists once; what hangs on a wrong name is not complained of again."""
    assert broken(change) == expected


@pytest.mark.parametrize(("change", "expected"), [c[1:] for c in TREE], ids=[c[0] for c in TREE])
def test_power_runs_from_one_source_to_every_arbor(change: Change, expected: list[tuple[str, str, str]]) -> None:
    """Each arbor but the source's is driven once, from the source outwards, without a ring."""
    assert broken(change) == expected


@pytest.mark.parametrize(("change", "expected"), [c[1:] for c in PARTS], ids=[c[0] for c in PARTS])
def test_parts_that_cannot_be(change: Change, expected: list[tuple[str, str, str]]) -> None:
    """What one part knows to be impossible of itself comes together with the rest."""
    assert broken(change) == expected


def test_advice_counts_out_what_the_hands_need() -> None:
    """The motion work is multiplied out, and the product that would do is named."""
    data = eight_day()
    data["motion_work"]["hour_wheel_teeth"] = 70
    (complaint,) = complaints(Movement.model_validate(data))
    assert complaint.advice == (
        "(36 × 70) ÷ (36 × 6) = 11 2/3. Count again: minute wheel times hour wheel must come to 2592, and is 2520."
    )


def test_advice_names_what_an_arbor_has() -> None:
    """Whoever names a part that is not there hears which are."""
    data = eight_day()
    data["arbors"][0]["more"] = {"hands": {"teeth": 60}}
    data["meshes"][0]["driver_part"] = "pinion"
    (complaint,) = complaints(Movement.model_validate(data))
    assert complaint.advice == "The arbor great has wheel, hands; name one of these or add the pinion to the arbor."
