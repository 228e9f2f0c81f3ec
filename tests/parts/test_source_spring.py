"""The strip, its true spiral and the room that it works in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from shapely import LineString, Point, Polygon

from builder.parts.source.coils import Bed, Coils, spiral_length_mm
from builder.parts.source.housed import Housed, half_area_length_mm, ring_turns
from builder.parts.source.spring import Spring, pull_nmm_per_turn
from tests.authority import KNOWN
from tests.parts.source_cases import UNHURRIED

HALF = KNOWN["half-area"].given
D, d, H = HALF["barrel_inside_mm"], HALF["arbor_diameter_mm"], HALF["thickness_mm"]
BENCH_TURNS = 6.29
"""By the bench's rough shares of the radius, 33 arbor : 26 room : 41 spring (from memory)."""


def half_filled() -> Bed:
    """The worked example's barrel with a spring on half its free area."""
    return Bed(half_area_length_mm(D, d, H), H, d / 2, D / 2)


def housed(**strip: float) -> Housed:
    """The worked example's barrel with a strip of its thickness, changed as asked."""
    sizes = {"thickness_mm": H, "height_mm": 10.0, "length_mm": half_area_length_mm(D, d, H)} | strip
    return Housed(Spring.model_validate(sizes), d, D, "barrel")


def by_quadrature_mm(coils: Coils) -> float:
    """Length of the middle line by scipy: ∫√(r² + r'²) dθ, r straight between knots."""
    total = 0.0
    for u0, u1, r0, r1 in zip(coils.knots, coils.knots[1:], coils.radii_mm, coils.radii_mm[1:], strict=False):
        if u1 > u0:
            rise = (r1 - r0) / (u1 - u0) / (2 * np.pi)
            total += quad(
                lambda u, a=u0, r=r0, k=rise: 2 * np.pi * np.hypot(r + 2 * np.pi * k * (u - a), k), u0, u1, epsrel=1e-13
            )[0]
    return total


def test_half_area_gives_the_most_turns():
    """Scipy's search for the length with most turns finds half the free area, by rings and (within 3 %) by true spirals."""
    half = half_area_length_mm(D, d, H)
    most = minimize_scalar(lambda x: -ring_turns(D, d, H, x), bounds=(0.1 * half, 1.9 * half), method="bounded")
    assert most.x == pytest.approx(half, rel=1e-4)

    def turns(length: float) -> float:
        bed = Bed(length, H, d / 2, D / 2)
        return bed.wound.count - bed.down.count

    assert minimize_scalar(lambda x: -turns(x), bounds=(0.5 * half, 1.5 * half), method="bounded").x == pytest.approx(
        half, rel=0.03
    )


def test_true_spirals_have_a_little_fewer_turns_than_the_handbook():
    """Between the handbook's rings and the bench's rough shares of the radius, a twentieth less."""
    bed = half_filled()
    turns = bed.wound.count - bed.down.count
    assert 0.95 * BENCH_TURNS < turns < KNOWN["half-area"].expect["turns"]


def test_pull_is_that_of_a_bent_beam():
    """A strip bent to a circle by a pure couple: energy by scipy's quadrature of M²/2EI along it, torque by its derivative."""
    modulus, height, thickness, length = 206.0, 20.0, 0.4, 2000.0
    second_moment, _ = quad(lambda y: height * y * y, -thickness / 2, thickness / 2)

    def energy(turns: float) -> float:  # N·mm
        bend = 2 * np.pi * turns / length
        return quad(lambda s: 0.5 * modulus * 1e3 * second_moment * bend**2, 0.0, length)[0]

    torque = (energy(5.5) - energy(4.5)) / (2 * np.pi)
    assert 5.0 * pull_nmm_per_turn(modulus, height, thickness, length) == pytest.approx(torque, rel=1e-9)


def test_work_between_the_packed_states_is_that_of_their_curvatures():
    """Winding's work must be the gain of bending energy ∫EI κ²/2 ds from coils packed on the wall to coils packed on the arbor.

    A route that knows nothing of the torque: curvature of the true spirals (1/r to first order), numerically. The handbook's
    straight line gives 6 % less: coils of unlike radius cost more bending than coils bent alike.
    """
    made = housed(set=0.0)
    stiff = made.spring.pull_nmm_per_turn * made.spring.length_mm / (2 * np.pi)  # E I, N·mm²

    def energy(coils: Coils) -> float:
        bends = [
            quad(lambda u: 2 * np.pi / float(coils.radius_mm(u)), u0, u1, limit=200)[0]
            for u0, u1 in zip(coils.knots, coils.knots[1:], strict=False)
            if u1 > u0
        ]
        return stiff / 2 * sum(bends) / 1000

    bent = energy(made.bed.wound) - energy(made.bed.down)
    wound = made.energy_j(made.turns) - made.energy_j(0.0)
    assert 0.92 * bent < wound < bent
    assert made.energy_j(made.turns) < energy(made.bed.wound)  # alike bending is the least: Jensen's inequality


def test_tightly_packed_coils_pull_as_much_more_as_is_admitted():
    """The neglect stated beside the law: 2 % run down, about 15 % wound, from the packed band's energy by finite differences."""
    area = half_area_length_mm(D, d, H) * H / np.pi

    def energy(coils: float) -> float:
        width = H * coils
        outer = (area / width + width) / 2
        return quad(lambda r: 1 / r, outer - width, outer)[0] * 2 * np.pi / H / 2

    for radius, low, high in ((d / 2, 1.10, 1.20), (None, 1.01, 1.04)):
        inner = radius if radius else np.sqrt(D * D / 4 - area)
        coils = (np.sqrt(inner**2 + area) - inner) / H
        torque = (energy(coils + 1e-3) - energy(coils - 1e-3)) / (2e-3 * 2 * np.pi)
        straight = 2 * np.pi * coils / (area * np.pi / H)
        assert low < torque / straight < high
        outer = inner + H * coils
        assert torque / straight == pytest.approx(1 / (1 - ((outer - inner) / (outer + inner)) ** 2), rel=1e-4)


@UNHURRIED
@given(st.floats(0.1, 40), st.floats(1, 100), st.floats(-90, 400))
def test_spiral_length_is_the_arc_integral(turns, start, change):
    """Closed form against scipy's quadrature."""
    end = start + change
    assume(end > 0.5)
    rise = (end - start) / (2 * np.pi * turns)
    length, _ = quad(lambda a: np.hypot(start + rise * a, rise), 0.0, 2 * np.pi * turns, epsrel=1e-13, limit=200)
    assert spiral_length_mm(turns, start, end) == pytest.approx(length, rel=1e-9)


@UNHURRIED
@given(st.floats(0.005, 0.05), st.floats(0.2, 0.45), st.floats(0.25, 0.75), st.floats(0, 1))
def test_the_strip_keeps_its_length_and_area_in_every_state(thick, arbor, fill, state):
    """From run down to wound the strip seen from the end keeps its area to 1e-9 (scipy's quadrature), packed on one side."""
    wall = 20.0
    bed = Bed(fill * np.pi * (1 - arbor**2) * wall / thick, thick * wall, arbor * wall, wall)
    assume(bed.shortest_mm < bed.length_mm < bed.longest_mm)
    low, high = bed.down.count, bed.wound.count
    assume(high > low + 0.1)
    coils = bed.coils(low + state * (high - low))
    assert coils.length_mm * coils.thickness_mm == pytest.approx(bed.length_mm * bed.thickness_mm, rel=1e-9)
    assert by_quadrature_mm(coils) == pytest.approx(bed.length_mm, rel=1e-9)
    assert coils.count == pytest.approx(low + state * (high - low), abs=1e-9)
    assert coils.on_arbor >= 0.25
    assert min(coils.on_arbor - 0.25, coils.on_wall) == 0
    assert coils.free >= 0.5 - 1e-9
    pitch = (coils.radii_mm[2] - coils.radii_mm[1]) / coils.free
    assert pitch >= bed.thickness_mm * (1 - 1e-9)


def test_half_filled_and_half_wound_every_coil_is_a_thickness_from_the_next():
    """The free coils of the half-filled barrel then stand two thicknesses apart, middle to middle (areas), to some per cent."""
    bed = half_filled()
    coils = bed.coils((bed.down.count + bed.wound.count) / 2)
    assert coils.on_arbor + coils.on_wall < 1
    assert (coils.radii_mm[2] - coils.radii_mm[1]) / coils.free == pytest.approx(2 * H, rel=0.05)


def strip_outline(coils: Coils, thickness: float) -> Polygon:
    """The strip as an area, square at both ends."""
    line = LineString(coils.points(2e-5))
    return line.buffer(thickness / 2, cap_style="flat", join_style="mitre")


@pytest.mark.parametrize("state", [0.0, 0.3, 0.5, 0.8, 1.0])
def test_coils_neither_overlap_nor_leave_the_barrel(state):
    """Shapely's area of the swept strip is length × thickness only if no coil lies on another; it stays in the barrel."""
    bed = half_filled()
    coils = bed.coils(bed.down.count + state * (bed.wound.count - bed.down.count))
    strip = strip_outline(coils, 0.999 * H)
    assert strip.is_valid
    assert strip.area == pytest.approx(0.999 * H * bed.length_mm, rel=2e-4)
    barrel = Point(0, 0).buffer(D / 2 * (1 + 1e-6), quad_segs=2000)
    assert strip.difference(barrel).area < 1e-9
    arbor = Polygon(coils.arbor_outline(1e-5))
    assert arbor.is_valid
    assert arbor.area == pytest.approx(np.pi * d * d / 4, rel=0.01)
    assert strip.intersection(arbor).area < 2e-3 * H
    thicker = strip_outline(coils, 1.1 * H)  # negative control: packed coils of a thicker strip lie on one another
    if coils.on_arbor + coils.on_wall > 3:
        assert thicker.area < 0.995 * 1.1 * H * bed.length_mm


def test_coils_end_where_arbor_and_wall_hold_them():
    """The outer end lies on +x against the wall, the inner one on the arbor, and a turn of winding turns the arbor once back."""
    bed = half_filled()
    low = bed.down.count + 1
    before, after = bed.coils(low), bed.coils(low + 1)
    assert after.inner_rad - before.inner_rad == pytest.approx(-2 * np.pi)
    for coils in (before, after):
        points = coils.points(0.01)
        np.testing.assert_allclose(points[-1], [D / 2 - H / 2, 0], atol=1e-12)
        np.testing.assert_allclose(points[0], d / 2 * np.array([np.cos(coils.inner_rad), np.sin(coils.inner_rad)]), atol=1e-9)
        angles = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
        assert np.all(np.diff(angles) > 0)
        assert (angles[-1] - angles[0]) / (2 * np.pi) == pytest.approx(coils.count, abs=1e-9)
    for wrong in (bed.down.count - 0.1, bed.wound.count + 0.1):
        with pytest.raises(ValueError, match="coils, not"):
            bed.coils(wrong)


def test_points_are_as_close_to_the_spiral_as_asked():
    """Ten times less chord error, the polyline's length ten times nearer to the strip's (chords: elementary)."""
    bed = half_filled()
    coils = bed.coils(14.0)
    short = [bed.length_mm - LineString(coils.points(error)).length for error in (1e-2, 1e-3, 1e-4)]
    assert short[0] > short[1] > short[2] > 0
    assert short[1] / short[2] == pytest.approx(10, rel=0.3)
    points = coils.points(1e-3)
    turns = np.unwrap(np.arctan2(points[:, 1], points[:, 0])) / (2 * np.pi)
    middle = np.hypot(*((points[1:] + points[:-1]) / 2).T)
    sagging = coils.radius_mm((turns[1:] + turns[:-1]) / 2 - turns[0]) - middle
    assert np.max(np.abs(sagging)) < 1.5e-3


@UNHURRIED
@given(
    st.floats(0.3, 0.7), st.floats(0.25, 0.42), st.floats(0.008, 0.04), st.floats(0, 0.5), st.one_of(st.none(), st.floats(-3, 4))
)
def test_torque_and_energy_of_any_spring_are_positive_and_grow_with_winding(fill, arbor, thick, set_part, free):
    """Whatever the sizes, a spring that fits pulls the more the more it is wound, and holds what was put in."""
    wall = 15.0
    length = fill * np.pi * (1 - arbor**2) * wall / thick
    strip = {"thickness_mm": thick * wall, "height_mm": 10.0, "length_mm": length, "set": set_part, "free_coils": free}
    made = Housed(Spring.model_validate(strip), 2 * arbor * wall, 2 * wall, "barrel")
    assume(not made.complaints(("spring",), ("a",), ("b",)))
    law = made.law(0.0)
    torque = law.torque_nmm(np.linspace(0, made.turns, 20))
    assert torque[0] >= 0
    assert np.all(np.diff(torque) > 0)
    put_in = float(law.work_j(np.array(made.turns)))
    assert 0 < put_in == pytest.approx(made.energy_j(made.turns) - made.energy_j(0.0), rel=1e-9)


def test_setting_friction_and_free_coils():
    """A set takes its part of the torque, friction more, and free coils turns off the bottom of the curve."""
    new, set_one = housed(set=0.0), housed(set=0.25)
    turns = np.linspace(0, new.turns, 5)
    np.testing.assert_allclose(set_one.law(0).torque_nmm(turns), 0.75 * new.law(0).torque_nmm(turns), rtol=1e-12)
    assert housed().spring.set_part == 0.2
    coiled = housed(free_coils=3.0)
    assert coiled.spring.set_part == 0.0
    np.testing.assert_allclose(
        new.law(0).torque_nmm(turns) - coiled.law(0).torque_nmm(turns), 3 * new.spring.pull_nmm_per_turn, rtol=1e-12
    )
    rubbing = housed(set=0.0, coil_friction=0.05)
    np.testing.assert_allclose(rubbing.law(0).torque_nmm(turns), 0.95 * new.law(0).torque_nmm(turns), rtol=1e-12)
    assert rubbing.winding_factor == pytest.approx(1.05 / 0.95)
    assert housed(youngs_modulus_gpa=103.0, set=0.0).pull_nmm_per_turn == pytest.approx(new.pull_nmm_per_turn / 2)


def test_a_spring_that_has_set_to_more_coils_than_the_wall_gives_loses_turns():
    """Where the free spring shows more coils than a barrel would, it stops there: fewer turns, no torque at the end."""
    loose = housed(free_coils=13.0)
    assert loose.turns == pytest.approx(loose.coils_wound - 13.0)
    assert float(loose.law(0).torque_nmm(np.array(0.0))) == 0.0
    assert [c.key for c in housed(free_coils=16.9).complaints(("spring",), ("a",), ("b",))] == [("spring", "length_mm")]


def complaint_of(made: Housed):
    (complaint,) = made.complaints(("spring",), ("barrel", "arbor_diameter_mm"), ("barrel", "inside_diameter_mm"))
    return complaint


def test_too_long_a_spring_is_refused_with_the_length_that_fits():
    """The advice names a length; with that length there is nothing to complain of."""
    complaint = complaint_of(housed(length_mm=1250.0))
    assert complaint.key == ("spring", "length_mm")
    fits = half_area_length_mm(D, d, H)
    assert f"{fits:.0f}" in complaint.advice
    assert housed(length_mm=float(f"{fits:.0f}")).complaints(("spring",), ("a",), ("b",)) == []
    most = housed().bed.longest_mm
    assert f"{most:.0f}"[:3] in complaint.allowed


def test_too_short_a_spring_and_an_arbor_that_leaves_no_room_are_refused():
    """A strip that does not go once round, or an arbor that fills the barrel."""
    assert complaint_of(housed(length_mm=20.0)).key == ("spring", "length_mm")
    for arbor in (0.2, 21.0, 25.0):
        thick = Housed(housed().spring, arbor, D, "barrel")
        assert complaint_of(thick).key == ("barrel", "arbor_diameter_mm")


def test_turns_beyond_the_areas_are_refused():
    """Counted turns well above the handbook's cannot be; a little above may be a worn micrometer."""
    made = housed()
    assert made.turns_complaints(7.0, 0.0, ("turns",)) == []
    (complaint,) = made.turns_complaints(7.0, 1.0, ("turns",))
    assert "6.60" in complaint.allowed and "set-up" in complaint.value


def test_findings_of_a_spring():
    """Half-area rule, third of the arbor, inner coil that has set: said with figures; a gentle spring is not blamed."""
    strip, arbor = ("spring",), ("barrel", "arbor_diameter_mm")

    def keys(made: Housed) -> list[tuple]:
        return [f.key for f in made.findings(strip, arbor)]

    assert keys(housed()) == [("spring", "thickness_mm")]
    assert keys(housed(length_mm=400.0)) == [("spring", "length_mm"), ("spring", "thickness_mm")]
    narrow = Housed(housed().spring, 4.0, D, "barrel")
    assert ("barrel", "arbor_diameter_mm") in keys(narrow)
    assert "breaks springs" in narrow.findings(strip, arbor)[-1].text
    assert "breaks springs" not in housed().findings(strip, arbor)[-1].text
    assert keys(Housed(housed().spring, d, D, "room")) == [("spring", "thickness_mm")]
    gentle = Housed(Spring.model_validate({"thickness_mm": 0.05, "height_mm": 5.0, "length_mm": 4000.0}), 30.0, 45.0, "room")
    assert keys(gentle) == []
