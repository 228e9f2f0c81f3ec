"""Any table that a reader may write is either refused in plain words or drawn and solved without one part in another."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.ground.faults import Refused
from tests.parts.escapement_models import escapement
from tests.parts.escapement_overlap import instants, meets, polygons, thickness_mm, wheels


def numbers(low, high):
    return st.floats(low, high, allow_nan=False)


def halves(*whole):
    return st.sampled_from([n + 0.5 for n in whole])


def table(kind, needed, optional):
    """Tables of one kind, 20 mm in radius, with any of the optional keys left out."""
    fixed = {"kind": st.just(kind), "radius_mm": st.just(20.0)}
    return st.fixed_dictionaries({**fixed, **needed}, optional=optional)


TABLES = {
    "dead_beat": table(
        "dead_beat",
        {"teeth": st.integers(20, 60)},
        {
            "span": halves(4, 6, 7, 8, 9, 10, 11),
            "lock_deg": numbers(0.2, 2),
            "impulse_deg": numbers(0.7, 4),
            "drop_deg": numbers(0.3, 3),
            "reach_deg": numbers(2, 9),
            "lockings": st.sampled_from(["circular", "equidistant"]),
        },
    ),
    "recoil_anchor": table(
        "recoil_anchor",
        {"teeth": st.integers(20, 60)},
        {
            "span": halves(5, 6, 7, 8, 9),
            "impulse_deg": numbers(1.5, 8),
            "drop_deg": numbers(0.3, 3),
            "reach_deg": numbers(2, 12),
        },
    ),
    "club_lever": table(
        "club_lever",
        {"teeth": st.integers(12, 24)},
        {
            "span": halves(2, 3),
            "lock_deg": numbers(0.8, 3),
            "lift_deg": numbers(6, 12),
            "tooth_lift_deg": numbers(1, 5),
            "tooth_deg": numbers(2, 7),
            "drop_deg": numbers(0.5, 3),
            "draw_deg": numbers(0, 18),
            "run_deg": numbers(0, 1),
            "lever": st.fixed_dictionaries(
                {},
                optional={"balance_lift_deg": numbers(25, 60), "line_deg": numbers(-120, 120), "pin_width": numbers(0.1, 0.35)},
            ),
        },
    ),
    "pin_lever": table(
        "pin_lever",
        {"teeth": st.integers(12, 20)},
        {
            "span": halves(2, 3),
            "lock_deg": numbers(1, 4),
            "lift_deg": numbers(6, 14),
            "pin_mm": numbers(0.3, 2),
            "drop_deg": numbers(1, 5),
            "draw_deg": numbers(0, 22),
            "run_deg": numbers(0, 2),
        },
    ),
    "cylinder": table(
        "cylinder",
        {"teeth": st.integers(12, 17)},
        {"lift_deg": numbers(25, 50), "lock_deg": numbers(1, 12), "shell_deg": numbers(182, 215), "drop_deg": numbers(0.3, 2)},
    ),
}


@pytest.mark.parametrize("kind", TABLES)
def test_refused_or_right(kind):
    """One pitch a period, outlines that do not cross themselves, and no overlap beyond 1e-5 of the wheel's radius."""
    solved = 0

    @settings(max_examples=14, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(TABLES[kind])
    def tried(keys):
        nonlocal solved
        m = escapement(keys)
        try:
            draft = m.draft()
        except Refused as refused:
            assert all(c.key[0] in type(m).model_fields and c.allowed and c.advice for c in refused.complaints)
            return
        action = m.action()
        solved += 1
        gained = action.down.pieces[-1], action.up.pieces[0]
        turned_rad = float(gained[0].wheel_rad(gained[0].end_rad) - gained[1].wheel_rad(gained[1].start_rad))
        assert turned_rad == pytest.approx(math.tau / m.teeth, abs=1e-10)
        for part in (draft.wheel, *draft.pallets, *draft.balance):
            polygons(part.outline_mm, np.zeros(1))
        theta, phi, steep = instants(action, draft, 50)
        back = wheels(draft, phi - 1e-5 * np.where(steep > 5, steep / 2, 1.0))
        wheel = wheels(draft, phi)
        for part in draft.pallets:
            if part.level == 0:
                shapes = polygons(part.outline_mm, theta, offset=(0.0, draft.centre_mm))
                assert thickness_mm(wheel, shapes) <= 1e-5 * draft.tip_mm
                assert not np.any(meets(back, shapes))

    tried()
    assert solved >= 4
