"""Fork and roller: how lever and balance drive each other inside the lift, and the safety action outside it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pydantic import Field

from builder.ground.faults import Complaint, Refused
from builder.ground.geometry import Points, arc, line_circle, polar, turned
from builder.ground.part import Angle, Length, Part


class LeverTable(Part):
    """What joins the pallets to the balance; every key may be left out."""

    balance_lift_deg: Annotated[float, Field(gt=10, le=90)] = 50.0
    """Lift angle of the balance: how far it turns while its impulse pin is in the fork; usually 48 to 53 degrees."""
    fork_mm: Length | None = None
    """Acting length of the fork, pallet arbor to impulse pin, mm; left out: the centre distance of wheel and pallets."""
    line_deg: Angle = 0.0
    """Turn of the line to the balance from the line escape arbor to pallet arbor: 0 straight line, 90 or -90 right angled."""
    pin_width: Annotated[float, Field(gt=0.02, lt=0.6)] = 0.22
    """Width of the impulse pin as a part of its distance from the balance arbor."""
    pin_shake_deg: Annotated[float, Field(ge=0, le=2)] = 0.25
    """Freedom of the impulse pin in the fork's slot, degrees at the lever."""
    guard_freedom_deg: Annotated[float, Field(gt=0, le=5)] | None = None
    """How far the lever can be moved off its banking before the guard pin meets the safety roller; less than lock and run."""
    horn_freedom_deg: Annotated[float, Field(gt=0, le=5)] | None = None
    """How far the lever can be moved off its banking before a horn meets the impulse pin; less than lock and run."""
    safety_ratio: Annotated[float, Field(gt=0.3, lt=1)] = 4 / 7
    """Radius of the safety roller as a part of the impulse pin's distance from the balance arbor."""


@dataclass(frozen=True)
class Fork:
    """Lever and roller: the pallet arbor at (0, 0), the balance arbor at (0, centre_mm), lever and pin at rest on that line.

    Balance angle q > 0 carries theta up; since lever and roller turn against each other, the balance then turns clockwise.
    The impulse pin counts as round with its centre on the pin circle. Neglected: the time and energy of the pin's crossing its
    shake, the elasticity of the lever, friction of pin in slot, and that at the very ends of the lift the pin bears on the
    corner of the slot rather than on its wall (about a quarter of a degree of the lever).
    """

    lever_half_rad: float
    """Lever angle from the middle to a banking."""
    balance_half_rad: float
    """Half of the balance's lift angle: beyond it the pin is out of the fork."""
    centre_mm: float
    """Pallet arbor to balance arbor."""
    pin_circle_mm: float
    """Balance arbor to the middle of the impulse pin."""
    pin_mm: float
    """Radius of the impulse pin."""
    shake_mm: float
    """Freedom of the pin in the slot."""
    safety_mm: float
    """Radius of the safety roller."""
    guard_mm: float
    """Pallet arbor to the tip of the guard pin."""
    guard_freedom_rad: float
    """Lever angle off its banking at which the guard pin meets the safety roller."""
    horn_mm: float
    """Radius about the balance arbor of a horn's inner edge when the lever is banked on its side."""
    horn_freedom_rad: float
    """Lever angle off its banking at which a horn meets the impulse pin as it leaves the slot; less, further out."""

    def theta_rad(self, q_rad: ArrayLike, side: float = 0.0) -> NDArray[np.float64]:
        """Lever angle at balance angles within the lift: tan theta = k sin q / (1 - k cos q), k the pin circle per centre
        distance. `side` +1: the pin presses on the wall that lies towards rising theta (it drives the lever up), -1: on the
        other, 0: in the middle of its shake."""
        x, y = self._pin(q_rad)
        far = np.hypot(x, y)
        return np.arctan2(x, y) - np.arcsin(side * self.shake_mm / 2 / far)

    def slope(self, q_rad: ArrayLike) -> NDArray[np.float64]:
        """d theta / d q in the middle of the shake."""
        k = self.pin_circle_mm / self.centre_mm
        cos = np.cos(np.asarray(q_rad, dtype=float))
        return k * (cos - k) / (1 - 2 * k * cos + k * k)

    def balance_rad(self, theta_rad: ArrayLike) -> NDArray[np.float64]:
        """Balance angle, within the lift, at lever angles up to the bankings: the inverse of theta_rad."""
        theta = np.asarray(theta_rad, dtype=float)
        return np.arcsin(self.centre_mm / self.pin_circle_mm * np.sin(theta)) - theta

    def _pin(self, q_rad: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Middle of the pin seen from the pallet arbor: across the line of centres towards rising theta, and along it, mm."""
        q = np.asarray(q_rad, dtype=float)
        return self.pin_circle_mm * np.sin(q), self.centre_mm - self.pin_circle_mm * np.cos(q)

    @property
    def slot_mm(self) -> float:
        """Width of the slot."""
        return 2 * self.pin_mm + self.shake_mm

    def pin_outline(self) -> Points:
        """The pin about the balance arbor at rest, (N, 2): round, with a flat towards the fork just clear of all contact."""
        lean = self.lever_half_rad + self.balance_half_rad
        return arc((0.0, -self.pin_circle_mm), self.pin_mm, -lean, math.pi + lean, 1e-4 * self.pin_mm)

    @property
    def crescent_mm(self) -> float:
        """Radius of the crescent, an arc about a point of the safety roller's rim: what the tip of the guard pin needs, and a
        fifth more."""
        last = float(self.balance_rad(self.lever_half_rad - self.guard_freedom_rad))
        q = np.linspace(0.0, last, 33)
        theta = self.theta_rad(q)
        tip = turned(polar(self.guard_mm, math.pi / 2 + theta) - np.array([0.0, self.centre_mm]), q)
        return 1.2 * float(np.max(np.hypot(tip[:, 0], tip[:, 1] + self.safety_mm)))

    @property
    def unguarded_rad(self) -> float:
        """Balance angle up to which the crescent still lies under the guard pin of a banked lever: until then the horns guard."""
        tip = polar(self.guard_mm, math.pi / 2 + self.lever_half_rad) - np.array([0.0, self.centre_mm])
        return math.atan2(-tip[0], -tip[1]) + 2 * math.asin(self.crescent_mm / 2 / self.safety_mm)

    def corner_mm(self) -> Points:
        """The corner of slot and horn on the side of rising theta, about the pallet arbor with the lever at rest (2,)."""
        centre = turned(np.array([0.0, self.centre_mm]), -self.lever_half_rad)
        t = line_circle(np.array([-self.slot_mm / 2, 0.0]), np.array([0.0, 1.0]), centre, self.horn_mm)
        return np.array([-self.slot_mm / 2, float(t[0])])


def fork_for(table: LeverTable, usual_mm: float, lock_rad: float, lever_half_rad: float) -> Fork:
    """The fork and roller that a lever table asks for.

    `usual_mm`: acting length where none is given; `lock_rad`: lock and run together, which the safety action must not use up;
    `lever_half_rad`: middle to banking. Raises Refused.
    """
    acting = table.fork_mm if table.fork_mm is not None else usual_mm
    half = math.radians(table.balance_lift_deg) / 2
    rise = math.tan(lever_half_rad)
    k = rise / (math.sin(half) + rise * math.cos(half))
    centre = acting / (1 - k)
    circle = k * centre
    guard = math.radians(table.guard_freedom_deg) if table.guard_freedom_deg is not None else 5 / 7 * lock_rad
    horn = math.radians(table.horn_freedom_deg) if table.horn_freedom_deg is not None else 6 / 7 * lock_rad
    faults = [
        Complaint(
            ("lever", key),
            f"{math.degrees(freedom):.3f}",
            f"less than lock and run together, {math.degrees(lock_rad):.3f}, or a jolt unlocks the lever",
            f"Take about {math.degrees(part * lock_rad):.2f}.",
        )
        for key, freedom, part in (("guard_freedom_deg", guard, 5 / 7), ("horn_freedom_deg", horn, 6 / 7))
        if freedom >= lock_rad
    ]
    if half + lever_half_rad > math.radians(60):
        faults.append(
            Complaint(
                ("lever", "balance_lift_deg"),
                f"{table.balance_lift_deg:g}",
                "too wide for the pin to leave the fork",
                "Take 48 to 53 degrees.",
            )
        )
    if faults:
        raise Refused(faults)
    tip = line_circle(np.zeros(2), polar(1.0, math.pi / 2 + lever_half_rad - guard), (0.0, centre), table.safety_ratio * circle)
    bare = Fork(
        lever_half_rad=lever_half_rad,
        balance_half_rad=half,
        centre_mm=centre,
        pin_circle_mm=circle,
        pin_mm=table.pin_width * circle / 2,
        shake_mm=acting * math.radians(table.pin_shake_deg),
        safety_mm=table.safety_ratio * circle,
        guard_mm=float(tip[0]),
        guard_freedom_rad=guard,
        horn_mm=math.nan,
        horn_freedom_rad=horn,
    )
    pin = turned(bare.pin_outline(), -half)  # leaving the slot; the horn's arc turned back by its freedom just meets it
    centre_then = turned(np.array([0.0, centre]), -horn) - np.array([0.0, centre])
    reach = float(np.max(np.hypot(*(pin - centre_then).T)))
    return replace(bare, horn_mm=reach)
