"""The friction that carries the hands and lets them be set: what presses, how hard, and the torque at which it slips.

It sits between the arbor that turns once an hour and the cannon pinion (or between that arbor and its own wheel, where the
hands are fixed to the arbor): one friction, told by its kind. Each can be measured at the bench by its slipping torque, or
worked out from its sizes; sizes that are left out are supposed from the arbor's thickness, and are then said to be supposed.

Neglected for all kinds: that friction at rest is higher than in motion, oil, wear, and roughness. Coefficients are textbook
orders, so that a torque worked out from sizes may be half or twice the true one; a measured one is what counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi
from typing import Annotated, Any, Literal, Protocol, TypeVar

from pydantic import Field

from builder.ground.constants import MATERIALS
from builder.ground.faults import Complaint
from builder.ground.part import Length, Part
from builder.ground.words import THIN

SpringMetal = Literal["steel", "brass", "bronze", "nickel_silver"]
Coefficient = Annotated[float, Field(gt=0, le=0.8)]
SlipTorque = Annotated[float, Field(gt=0, le=1e4)]

POISSON = 0.3
"""Of steel and brass: common practice, no source."""

Kind = TypeVar("Kind", bound=Part)
Origin = Literal["measured", "sizes", "supposed"]


@dataclass(frozen=True)
class Grip:
    """How fast it holds. Force, radius and friction are None where the torque itself was measured."""

    torque_nmm: float
    """At this torque it slips, either way round."""
    origin: Origin
    force_n: float | None = None
    """What presses the rubbing faces together, each of them."""
    radius_mm: float | None = None
    """Mean radius at which they rub."""
    faces: int = 2
    """How many faces or lines rub."""
    friction: float | None = None


class Clutch(Protocol):
    """What every kind does; `post_mm` is the diameter of the arbor where the cannon pinion rides on it."""

    @property
    def kind(self) -> str:
        """Its key in CLUTCHES."""

    def sized(self, post_mm: float) -> Clutch:
        """The same with every size filled in that the file leaves out."""

    def grip(self, post_mm: float) -> Grip:
        """Slipping torque: measured, else from the sizes."""

    def complaints(self) -> list[Complaint]:
        """All that cannot be, keys relative to the clutch's own table."""


class SpringWasher(Part):
    """A dished washer, pinned or riveted up so that it presses the centre wheel against a shoulder of its arbor."""

    kind: Literal["spring_washer"]
    torque_nmm: SlipTorque | None = None
    """Slipping torque as measured, instead of sizes: a weight hung on the minute hand, times its distance."""
    force_n: Annotated[float, Field(gt=0, le=1e3)] | None = None
    """Force of the pressed washer as measured, instead of its sizes."""
    outside_diameter_mm: Length | None = None
    """Outside diameter of the washer."""
    inside_diameter_mm: Length | None = None
    """Its hole."""
    thickness_mm: Length | None = None
    """Thickness of the sheet."""
    dish_mm: Length | None = None
    """Height of the dish when free, without the sheet's thickness."""
    pressed_mm: Length | None = None
    """How far it is pressed in its place; left out: three quarters of the dish."""
    material: SpringMetal = "brass"
    """What it is made of."""
    rubbing_diameter_mm: Length | None = None
    """Mean diameter of the faces that rub; left out: the washer's hole, at which it slips first."""
    friction: Coefficient = 0.15
    """Coefficient of friction of the faces."""

    def sized(self, post_mm: float) -> SpringWasher:
        suits = {"outside_diameter_mm": 3.4, "inside_diameter_mm": 1.1, "thickness_mm": 0.075, "dish_mm": 0.17}
        filled = _filled(self, suits, post_mm)
        return _filled(filled, {"pressed_mm": 0.75}, filled.dish_mm)

    def grip(self, post_mm: float) -> Grip:
        if self.torque_nmm is not None:
            return Grip(self.torque_nmm, "measured")
        full = self.sized(post_mm)
        force = self.force_n if self.force_n is not None else full.cone_force_n()
        assert full.inside_diameter_mm is not None
        radius = (self.rubbing_diameter_mm or full.inside_diameter_mm) / 2
        sizes = ("outside_diameter_mm", "inside_diameter_mm", "thickness_mm", "dish_mm")
        given = self.force_n is not None or _all_given(self, sizes)
        return _rubbed(force, radius, 2, self.friction, given)

    def cone_force_n(self) -> float:
        """Force of a coned disc pressed by `pressed_mm`, N: Almen and László, 1936.

        The section turns as one rigid piece, so that only its hoops strain: the dish's terms, then the sheet's own bending.
        DIN EN 16984 (formerly DIN 2092) brings the two to one factor, half a per cent away for usual discs. Every size must
        be given. Neglected: that the sheet bends along its slope too; slots and feet make it softer.
        """
        outside, inside, t = self.outside_diameter_mm, self.inside_diameter_mm, self.thickness_mm
        dish, pressed = self.dish_mm, self.pressed_mm
        assert outside and inside and t and dish and pressed
        hoops, arm = log(outside / inside), (outside - inside) / 2
        dishing = ((outside + inside) / (outside - inside) - 2 / hoops) * t * (dish - pressed) * (dish - pressed / 2)
        return pi * _young_mpa(self.material) / (1 - POISSON**2) * pressed / arm**2 * (dishing + hoops * t**3 / 6)

    def complaints(self) -> list[Complaint]:
        found = _over(self, "inside_diameter_mm", "outside_diameter_mm", "A washer's hole is smaller than the washer.")
        return found + _over(self, "pressed_mm", "dish_mm", "It cannot be pressed flatter than flat.", may_equal=True)


class BowSpring(Part):
    """A bent leaf on the centre arbor that bears with its ends on the cannon pinion or wheel, pinned up under the minute hand."""

    kind: Literal["bow_spring"]
    torque_nmm: SlipTorque | None = None
    """Slipping torque as measured, instead of sizes: a weight hung on the minute hand, times its distance."""
    force_n: Annotated[float, Field(gt=0, le=1e3)] | None = None
    """Force of the pressed spring as measured, instead of its sizes."""
    arms: Annotated[int, Field(ge=2, le=6)] = 2
    """Ends that bear."""
    length_mm: Length | None = None
    """From the edge of its hub to the end of an arm."""
    width_mm: Length | None = None
    """Mean width of an arm."""
    thickness_mm: Length | None = None
    """Thickness of the sheet."""
    bow_mm: Length | None = None
    """How far the ends stand up when free."""
    pressed_mm: Length | None = None
    """How far it is pressed in its place; left out: half of the bow."""
    material: SpringMetal = "brass"
    """What it is made of."""
    rubbing_diameter_mm: Length | None = None
    """Mean diameter of the faces that rub; left out: that of the shoulder that suits the arbor, at which it slips first."""
    friction: Coefficient = 0.15
    """Coefficient of friction of the faces."""

    def sized(self, post_mm: float) -> BowSpring:
        suits = {"length_mm": 4.2, "width_mm": 1.9, "thickness_mm": 0.16, "bow_mm": 0.6, "rubbing_diameter_mm": 1.4}
        filled = _filled(self, suits, post_mm)
        return _filled(filled, {"pressed_mm": 0.5}, filled.bow_mm)

    def grip(self, post_mm: float) -> Grip:
        if self.torque_nmm is not None:
            return Grip(self.torque_nmm, "measured")
        full = self.sized(post_mm)
        force = self.force_n if self.force_n is not None else full.leaf_force_n()
        assert full.rubbing_diameter_mm is not None
        given = self.force_n is not None or _all_given(self, ("length_mm", "width_mm", "thickness_mm", "bow_mm"))
        return _rubbed(force, full.rubbing_diameter_mm / 2, 2, self.friction, given)

    def leaf_force_n(self) -> float:
        """Force of all arms together, each a cantilever pressed at its end by `pressed_mm`, N: 3 E I s / l³ (beam theory).

        Every size must be given. Neglected: the curve of the free arm, its taper, and that a bent arm bears nearer in.
        """
        length, width, thickness, pressed = self.length_mm, self.width_mm, self.thickness_mm, self.pressed_mm
        assert length and width and thickness and pressed
        second_mm4 = width * thickness**3 / 12
        return self.arms * 3 * _young_mpa(self.material) * second_mm4 * pressed / length**3

    def complaints(self) -> list[Complaint]:
        found = _over(self, "thickness_mm", "width_mm", "A leaf is wider than it is thick.")
        return found + _over(self, "pressed_mm", "bow_mm", "It cannot be pressed flatter than flat.", may_equal=True)


class SnappedPinion(Part):
    """A cannon pinion whose thin pipe is dented on both sides: the two dents snap into a hollow of the arbor and pinch it."""

    kind: Literal["snapped_pinion"]
    torque_nmm: SlipTorque | None = None
    """Slipping torque as measured, instead of sizes."""
    bore_mm: Length | None = None
    """Diameter of the arbor under the dents; left out: as the arbor is thick."""
    wall_mm: Length | None = None
    """Thickness of the pipe's wall."""
    length_mm: Length | None = None
    """Length of the pipe that gives way about the dents."""
    squeeze_mm: Length | None = None
    """How much narrower the dents stand than the arbor is thick."""
    material: SpringMetal = "steel"
    """What it is made of."""
    friction: Coefficient = 0.15
    """Coefficient of friction of dent on arbor, greased."""

    def sized(self, post_mm: float) -> SnappedPinion:
        bored = _filled(self, {"bore_mm": 1.0}, post_mm)
        return _filled(bored, {"wall_mm": 0.14, "length_mm": 0.8, "squeeze_mm": 0.004}, bored.bore_mm)

    def grip(self, post_mm: float) -> Grip:
        if self.torque_nmm is not None:
            return Grip(self.torque_nmm, "measured")
        full = self.sized(post_mm)
        assert full.bore_mm is not None
        given = _all_given(self, ("wall_mm", "length_mm", "squeeze_mm"))
        return _rubbed(full.ring_force_n(), full.bore_mm / 2, 2, self.friction, given)

    def ring_force_n(self) -> float:
        """Force on each dent, N: a ring pinched across by `squeeze_mm`, F = E I s / ((π/4 − 2/π) R³) (Castigliano).

        Every size must be given. Neglected: the pipe beyond that length, which stiffens it, and that the wall is not thin.
        """
        bore, wall, length, squeeze = self.bore_mm, self.wall_mm, self.length_mm, self.squeeze_mm
        assert bore and wall and length and squeeze
        second_mm4 = length * wall**3 / 12
        return _young_mpa(self.material) * second_mm4 * squeeze / ((pi / 4 - 2 / pi) * ((bore + wall) / 2) ** 3)

    def complaints(self) -> list[Complaint]:
        return _over(self, "squeeze_mm", "wall_mm", "A pipe pinched by more than its wall would be crushed.")


class SlottedPinion(Part):
    """A cannon pinion whose pipe is slit lengthwise and pinched, so that two halves of it spring on the arbor."""

    kind: Literal["slotted_pinion"]
    torque_nmm: SlipTorque | None = None
    """Slipping torque as measured, instead of sizes."""
    bore_mm: Length | None = None
    """Diameter of the arbor under the halves; left out: as the arbor is thick."""
    wall_mm: Length | None = None
    """Thickness of the pipe's wall."""
    length_mm: Length | None = None
    """Length of the slits."""
    squeeze_mm: Length | None = None
    """How much narrower the halves stand at their ends than the arbor is thick."""
    material: SpringMetal = "steel"
    """What it is made of."""
    friction: Coefficient = 0.15
    """Coefficient of friction of pipe on arbor, greased."""

    def sized(self, post_mm: float) -> SlottedPinion:
        bored = _filled(self, {"bore_mm": 1.0}, post_mm)
        return _filled(bored, {"wall_mm": 0.14, "length_mm": 2.2, "squeeze_mm": 0.02}, bored.bore_mm)

    def grip(self, post_mm: float) -> Grip:
        if self.torque_nmm is not None:
            return Grip(self.torque_nmm, "measured")
        full = self.sized(post_mm)
        assert full.bore_mm is not None
        given = _all_given(self, ("wall_mm", "length_mm", "squeeze_mm"))
        return _rubbed(full.half_force_n(), full.bore_mm / 2, 2, self.friction, given)

    def half_force_n(self) -> float:
        """Force of each half at its end, N: a cantilever with the section of half a thin pipe, bent by half the squeeze.

        The section's second moment about its own centroid is w r³ (π/2 − 4/π) (r mean radius, w wall; Steiner). Every size
        must be given. Neglected: that the half pipe opens as it bends.
        """
        bore, wall, length, squeeze = self.bore_mm, self.wall_mm, self.length_mm, self.squeeze_mm
        assert bore and wall and length and squeeze
        second_mm4 = wall * ((bore + wall) / 2) ** 3 * (pi / 2 - 4 / pi)
        return 3 * _young_mpa(self.material) * second_mm4 * (squeeze / 2) / length**3

    def complaints(self) -> list[Complaint]:
        return _over(self, "squeeze_mm", "length_mm", "Halves bent in by more than their length are no spring.")


CLUTCHES: dict[str, type[SpringWasher] | type[BowSpring] | type[SnappedPinion] | type[SlottedPinion]] = {
    "spring_washer": SpringWasher,
    "bow_spring": BowSpring,
    "snapped_pinion": SnappedPinion,
    "slotted_pinion": SlottedPinion,
}


def _young_mpa(material: SpringMetal) -> float:
    young = MATERIALS[material].young_pa
    assert young is not None, "spring metals have a modulus"
    return young / 1e6


def _filled(clutch: Kind, proportions: dict[str, float], of_mm: float | None) -> Kind:
    """With what the file leaves out in proportion to a size (common practice, no source)."""
    assert of_mm is not None
    more: dict[str, Any] = {key: part * of_mm for key, part in proportions.items() if getattr(clutch, key) is None}
    return clutch.model_copy(update=more) if more else clutch


def _all_given(clutch: Part, keys: tuple[str, ...]) -> bool:
    return all(getattr(clutch, key) is not None for key in keys)


def _rubbed(force_n: float, radius_mm: float, faces: int, friction: float, given: bool) -> Grip:
    """Coulomb: every face presses alike and rubs at one radius."""
    return Grip(faces * friction * force_n * radius_mm, "sizes" if given else "supposed", force_n, radius_mm, faces, friction)


def _over(clutch: Part, small: str, large: str, advice: str, may_equal: bool = False) -> list[Complaint]:
    """A size that must lie under another of the same table, where both are given."""
    a, b = getattr(clutch, small), getattr(clutch, large)
    if a is None or b is None or a < b or (may_equal and a == b):
        return []
    return [Complaint((small,), f"{a:g}{THIN}mm", f"less than {large}, {b:g}{THIN}mm", f"{advice} Measure both again.")]
