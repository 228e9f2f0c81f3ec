"""The friction of the hands: forces against elasticity worked out another way (published springs: tests/authorities/)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import dblquad, quad, solve_bvp

from builder.ground.constants import MATERIALS
from builder.parts.clutch import CLUTCHES, BowSpring, SlottedPinion, SnappedPinion, SpringWasher

STEEL_MPA = 206e3
BRASS_MPA = 100e3


@pytest.mark.parametrize("pressed_mm", [0.05, 0.2, 0.38])
def test_washer_against_the_energy_of_a_turning_section(pressed_mm: float) -> None:
    """The force is the slope of the strain energy of a cone whose section turns as a rigid piece: only the hoops strain.

    Energy by quadrature over the section, its slope by differences; Almen and László's own assumption, not their sum.
    """
    outer, inner, thick, dish = 3.75, 1.1, 0.15, 0.4
    start = dish / (outer - inner)

    def energy(pressed: float) -> float:
        turned = pressed / (outer - inner)

        def ring(pivot: float) -> float:
            def strain_energy(z: float, x: float) -> float:  # x outwards and z up from the point that the section turns about
                rise = x * start + z  # small angles: the section lies at `start` and is turned by `turned`
                moved = turned * rise - x * turned**2 / 2
                hoop = moved / (pivot + x)
                return hoop**2 * (pivot + x) * math.pi

            return dblquad(strain_energy, inner - pivot, outer - pivot, -thick / 2, thick / 2, epsabs=1e-13, epsrel=1e-10)[0]

        middle = (outer - inner) / math.log(outer / inner)  # where the hoop forces sum to nought
        return STEEL_MPA / (1 - 0.3**2) * ring(middle)

    step = 1e-3
    slope = (energy(pressed_mm + step) - energy(pressed_mm - step)) / (2 * step)
    washer = SpringWasher(
        kind="spring_washer", material="steel", outside_diameter_mm=2 * outer, inside_diameter_mm=2 * inner,
        thickness_mm=thick, dish_mm=dish, pressed_mm=pressed_mm,
    )  # fmt: skip
    assert washer.cone_force_n() == pytest.approx(slope, rel=1e-4)


def test_bow_spring_against_a_bent_beam() -> None:
    """Two arms give twice the end force of the beam equation, solved as a boundary value problem."""
    length, width, thick, pressed = 12.0, 6.0, 0.5, 1.0
    stiff = BRASS_MPA * width * thick**3 / 12
    grid = np.linspace(0.0, length, 60)
    bent = solve_bvp(
        lambda _, y: np.vstack((y[1], y[2] / stiff, y[3], np.zeros_like(y[0]))),
        lambda a, b: np.array([a[0], a[1], b[0] - pressed, b[2]]),  # clamped at the hub; pressed down and free to turn
        grid,
        np.zeros((4, len(grid))),
    )
    spring = BowSpring(kind="bow_spring", length_mm=length, width_mm=width, thickness_mm=thick, bow_mm=2.0, pressed_mm=pressed)
    assert bent.success
    assert spring.leaf_force_n() == pytest.approx(2 * abs(bent.y[3, -1]), rel=1e-6)


def test_pinched_pipe_against_its_bending_energy() -> None:
    """Two opposite forces on a ring narrow it by dU/dF, U from its bending moments (Castigliano), by quadrature."""
    radius, wall, length, squeeze = 0.6, 0.16, 0.9, 0.005
    stiff = STEEL_MPA * length * wall**3 / 12
    # a quarter from the load: moment m0 − r (1 − cos a)/2 per newton with a from the free diameter; m0 where nothing turns
    mean = quad(lambda a: (1 - math.cos(a)) / 2, 0, math.pi / 2)[0] / (math.pi / 2)
    energy = 4 * quad(lambda a: (radius * (mean - (1 - math.cos(a)) / 2)) ** 2 / (2 * stiff) * radius, 0, math.pi / 2)[0]
    narrows_per_n = 2 * energy  # U = c F²/2, so dU/dF for one newton is 2 U
    pinion = SnappedPinion(
        kind="snapped_pinion", bore_mm=2 * radius - wall, wall_mm=wall, length_mm=length, squeeze_mm=squeeze
    )  # fmt: skip
    assert pinion.ring_force_n() == pytest.approx(squeeze / narrows_per_n, rel=1e-9)


def test_slit_pipe_against_its_section() -> None:
    """The half pipe's second moment by quadrature over its thin section; then a cantilever's end force."""
    radius, wall, length, squeeze = 0.6, 0.1, 2.5, 0.02
    high = quad(lambda a: radius * math.sin(a), 0, math.pi)[0] / math.pi
    second = quad(lambda a: (radius * math.sin(a) - high) ** 2 * wall * radius, 0, math.pi)[0]
    pinion = SlottedPinion(
        kind="slotted_pinion", bore_mm=2 * radius - wall, wall_mm=wall, length_mm=length, squeeze_mm=squeeze
    )  # fmt: skip
    assert pinion.half_force_n() == pytest.approx(3 * STEEL_MPA * second * squeeze / 2 / length**3, rel=1e-9)


@pytest.mark.parametrize("kind", CLUTCHES)
def test_every_kind_fills_in_what_suits_and_says_so(kind: str) -> None:
    """With no size at all each kind comes to a torque, says that it is supposed, and doubles with its friction."""
    clutch = CLUTCHES[kind](kind=kind)  # type: ignore[arg-type]
    grip = clutch.grip(2.0)
    assert grip.origin == "supposed" and grip.torque_nmm > 0
    assert grip.force_n is not None and grip.radius_mm is not None and grip.friction is not None
    assert grip.torque_nmm == pytest.approx(grip.faces * grip.friction * grip.force_n * grip.radius_mm)
    assert not clutch.sized(2.0).complaints()
    slippery = clutch.model_copy(update={"friction": clutch.friction / 2})
    assert slippery.grip(2.0).torque_nmm == pytest.approx(grip.torque_nmm / 2)


@pytest.mark.parametrize("kind", CLUTCHES)
def test_a_measured_torque_is_taken_as_it_is(kind: str) -> None:
    """What was measured needs no sizes."""
    grip = CLUTCHES[kind](kind=kind, torque_nmm=3.5).grip(2.0)  # type: ignore[arg-type]
    assert (grip.torque_nmm, grip.origin, grip.force_n) == (3.5, "measured", None)


def test_a_measured_force_stands_for_the_sizes() -> None:
    """Force times friction times radius times two faces, by hand: 2 × 0.15 × 10 N × 2 mm."""
    grip = BowSpring(kind="bow_spring", force_n=10.0, rubbing_diameter_mm=4.0).grip(3.0)
    assert (grip.origin, grip.torque_nmm) == ("sizes", pytest.approx(6.0))


CANNOT_BE = [
    (SpringWasher(kind="spring_washer", inside_diameter_mm=5.0, outside_diameter_mm=4.0), "inside_diameter_mm"),
    (SpringWasher(kind="spring_washer", dish_mm=0.3, pressed_mm=0.4), "pressed_mm"),
    (BowSpring(kind="bow_spring", width_mm=0.3, thickness_mm=0.4), "thickness_mm"),
    (BowSpring(kind="bow_spring", bow_mm=1.0, pressed_mm=1.5), "pressed_mm"),
    (SnappedPinion(kind="snapped_pinion", wall_mm=0.1, squeeze_mm=0.2), "squeeze_mm"),
    (SlottedPinion(kind="slotted_pinion", length_mm=0.1, squeeze_mm=0.2), "squeeze_mm"),
]


@pytest.mark.parametrize(("clutch", "key"), CANNOT_BE, ids=lambda value: value if isinstance(value, str) else value.kind)
def test_what_cannot_be_is_said(clutch: SpringWasher, key: str) -> None:
    """A size that contradicts another of the same table is named, with the other."""
    assert [complaint.key for complaint in clutch.complaints()] == [(key,)]


def test_all_materials_have_a_modulus() -> None:
    """Every metal that a friction spring may be made of can bend."""
    for metal in ("steel", "brass", "bronze", "nickel_silver"):
        assert MATERIALS[metal].young_pa
