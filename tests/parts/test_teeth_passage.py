"""A hurt tooth going by, against shapely's polygons and the mesh without it."""

import math

import numpy as np
import pytest
from shapely import Polygon, affinity
from shapely.ops import unary_union

from builder.parts.teeth import Cycloidal
from builder.parts.teeth.contact import solve
from builder.parts.teeth.passage import passage

MU = 0.15
PAIR = Cycloidal().pair(60, 8, 1.0)


def wheel_with(hurt: str, by_mm: float) -> Polygon:
    """The driver as a polygon of its teeth about tooth 0, which is missing or turned aside."""
    gear = PAIR.driver
    upper = gear.flank.points(1e-5)
    one = np.concatenate([np.conj(upper), upper[::-1]])
    teeth = []
    for k in range(-4, 5):
        turn = k * gear.angle_rad + (by_mm / gear.pitch_mm if k == 0 and hurt == "bent" else 0.0)
        if k or hurt != "missing":
            z = one * np.exp(1j * turn)
            teeth.append(Polygon([(0.0, 0.0), *zip(z.real, z.imag, strict=True)]).buffer(0))
    made = unary_union(teeth)
    assert made.is_valid and made.area > 0
    return made


def lags(wheel: Polygon) -> np.ndarray:
    """How far the driven, let back until the polygons meet, falls behind the exact ratio, as parts of its pitch; never let
    back behind where it was."""
    driver, driven = PAIR.driver, PAIR.driven
    pinion = Polygon(driven.outline(1e-5))

    def free(phi: float, alpha: float) -> bool:
        turned = affinity.rotate(pinion, math.pi - alpha, origin=(0, 0), use_radians=True)
        placed = affinity.translate(turned, PAIR.distance_mm, 0.0)
        return affinity.rotate(wheel, phi, origin=(0, 0), use_radians=True).intersection(placed).area < 1e-7

    found, alpha = [], -math.inf
    for phi in np.linspace(-0.5, 0.4, 28) * driver.angle_rad:
        exact = driven.half_tooth_rad + (phi + driver.half_tooth_rad) * driver.teeth / driven.teeth
        low, high = exact - 0.2 * driven.angle_rad, exact + 0.002
        for _ in range(22):
            middle = (low + high) / 2
            low, high = (low, middle) if free(phi, middle) else (middle, high)
        alpha = max(alpha, high)
        found.append((exact - alpha) / driven.angle_rad)
    return np.array(found)


@pytest.mark.parametrize(("hurt", "by_mm"), [("missing", 0.0), ("bent", -0.1)])
def test_the_driven_lags_as_polygons_say(hurt: str, by_mm: float):
    """Where a tooth is missing, or bent back, the one before it carries on with its tip, and the pinion falls behind: shapely,
    with nothing but the outlines, finds the same greatest lag."""
    seen = passage(PAIR, MU, 0.0, "driver", hurt, by_mm)
    assert seen.lags_rad / PAIR.driven.angle_rad == pytest.approx(float(lags(wheel_with(hurt, by_mm)).max()), abs=2e-3)
    assert seen.lags_rad > 0.02 * PAIR.driven.angle_rad


def test_a_tooth_that_is_not_hurt_does_nothing():
    """Negative control: bent by nothing, the least torque is that of the mesh itself, and nothing falls or jams."""
    seen, mesh = passage(PAIR, MU, 0.0, "driver", "bent", 0.0), solve(PAIR, MU)
    least = float(mesh.torque_ratio.min()) * 60 / 8 / mesh.efficiency
    assert seen.least_part == pytest.approx(least, rel=0.01)
    assert not seen.jams and seen.falls_rad == 0 and seen.skips == 0


def test_the_more_it_is_bent_the_less_gets_through():
    """Bent either way the torque dips deeper; a leaf bent back is as a tooth bent forwards; a worn tooth as one bent back."""
    for side, sign in (("driver", 1), ("driven", -1)):
        forward = [passage(PAIR, MU, 0.0, side, "bent", sign * by).least_part for by in (0.0, 0.05, 0.15)]
        back = [passage(PAIR, MU, 0.0, side, "bent", -sign * by).least_part for by in (0.0, 0.05, 0.15)]
        assert forward[0] > forward[1] > forward[2] and back[0] > back[1] > back[2]
    worn, bent = (passage(PAIR, MU, 0.0, "driver", *how) for how in (("worn", 0.1), ("bent", -0.1)))
    assert worn.least_part == bent.least_part and worn.lags_rad == bent.lags_rad


def test_no_room_for_a_tooth_bent_far_forward():
    """Bent further than the play between the teeth allows, it jams: the play at the pitch circle is the mesh's own."""
    play = solve(PAIR, MU).least_play_mm
    assert not passage(PAIR, MU, 0.0, "driver", "bent", 0.5 * play).jams
    assert passage(PAIR, MU, 0.0, "driver", "bent", 2.5 * play).jams
    assert not passage(PAIR, MU, 0.0, "driver", "worn", 0.5).jams


def test_a_wheel_that_hardly_reaches_falls_through_a_gap():
    """Depthed right, the long tip of a cycloidal tooth carries over one missing tooth; so shallow that one pair hardly lasts
    a pitch, the wheel falls."""
    assert passage(PAIR, MU, 0.0, "driver", "missing", 0.0).falls_rad == 0
    shallow = passage(PAIR, MU, 1.6, "driver", "missing", 0.0)
    assert shallow.falls_rad > 0.1 * PAIR.driver.angle_rad


def test_a_tooth_slips_by_where_polygons_say():
    """Depthed so shallow that the wheel falls, shapely's polygons, pushing the pinion on and never letting it back, leave it a
    whole pitch behind once the gap has gone by; the control, depthed right, leaves it none."""

    def behind(too_far_mm: float) -> float:
        driver, driven = PAIR.driver, PAIR.driven
        wheel, pinion = wheel_with("missing", 0.0), Polygon(driven.outline(1e-3))
        alpha = -math.inf
        for phi in np.arange(-1.5, 2.0, 0.08) * driver.angle_rad:
            exact = driven.half_tooth_rad + (phi + driver.half_tooth_rad) * driver.teeth / driven.teeth
            alpha = exact - 0.3 * driven.angle_rad if alpha == -math.inf else alpha
            turned_wheel = affinity.rotate(wheel, phi, origin=(0, 0), use_radians=True)

            def overlap(at: float, turned_wheel: Polygon = turned_wheel) -> bool:
                turned = affinity.rotate(pinion, math.pi - at, origin=(0, 0), use_radians=True)
                placed = affinity.translate(turned, PAIR.distance_mm + too_far_mm, 0.0)
                return bool(turned_wheel.intersection(placed).area > 1e-5)

            for _ in range(400):
                if not overlap(alpha):
                    break
                alpha += 0.004 * driven.angle_rad
        return (exact - alpha) / driven.angle_rad

    assert passage(PAIR, MU, 0.9, "driver", "missing", 0.0).skips == 1
    assert behind(0.9) == pytest.approx(1.0, abs=0.25)
    assert passage(PAIR, MU, 0.0, "driver", "missing", 0.0).skips == 0
    assert behind(0.0) == pytest.approx(0.0, abs=0.1)
