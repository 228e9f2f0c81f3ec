"""What every detached lever is made of besides its pallets: body and fork, guard pin, rollers, bankings."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from builder.ground.geometry import Points, arc, cross, polar, turned
from builder.parts.escapement.draft import Banking, Drawn
from builder.parts.escapement.drafting import FINE
from builder.parts.escapement.fork import Fork
from builder.parts.escapement.shape import Shape

HORN_CHORD = 3e-5
"""As FINE, for a horn's inner edge, which the impulse pin can meet."""
ONE_PIECE_RAD = math.radians(50)
"""Turn of the lever from the straight line up to which it leaves the hub between the pallet arms."""


@dataclass(frozen=True)
class Lever:
    """Proportions of a lever about its arbor, at rest pointing up. Common practice, no source."""

    fork: Fork
    hub_mm: float
    """Radius of the middle."""

    @property
    def waist_mm(self) -> float:
        """Half width of the lever where it meets the fork."""
        return 0.5 * self.fork.slot_mm + 0.7 * self.fork.pin_mm

    def right_side(self) -> Points:
        """From the hub up to the slot's mouth on the side of falling theta and down to the bottom of the slot (N, 2)."""
        fork = self.fork
        corner = fork.corner_mm() * np.array([-1.0, 1.0])
        banked = turned(np.array([0.0, fork.centre_mm]), fork.lever_half_rad)
        lean = fork.lever_half_rad + fork.unguarded_rad + math.radians(5)
        tip_rad = -math.pi / 2 + lean
        at = corner - banked
        inner = arc(banked, fork.horn_mm, tip_rad, math.atan2(at[1], at[0]), HORN_CHORD * fork.horn_mm)
        thick = 1.1 * fork.pin_mm
        tip = arc(banked + polar(fork.horn_mm + thick / 2, tip_rad), thick / 2, tip_rad, tip_rad + math.pi, FINE * thick)
        outer = banked + polar(fork.horn_mm + thick, tip_rad - 0.25 * lean)
        floor = self.slot_floor_mm
        root = np.array([self.waist_mm, floor - 3.0 * fork.pin_mm])
        hub = polar(self.hub_mm, math.pi / 2 - math.asin(min(0.9, 1.25 * self.waist_mm / self.hub_mm)))
        shoulder = _hollow(root, outer, np.array([self.waist_mm, floor]))
        return np.concatenate((hub[None], shoulder, tip, inner[1:], [[fork.slot_mm / 2, floor]]))

    @property
    def slot_floor_mm(self) -> float:
        """Pallet arbor to the bottom of the slot: a little clearance under the pin when it is deepest."""
        return self.fork.centre_mm - self.fork.pin_circle_mm - 1.5 * self.fork.pin_mm

    def outline_up(self) -> Points:
        """From the hub on the right, round the fork, to the hub on the left: an open run, counter-clockwise (N, 2)."""
        right = self.right_side()
        left = right[::-1] * np.array([-1.0, 1.0])
        return np.concatenate((right, left))

    def guard_pin(self) -> Drawn:
        """The dart: pointed, so that its tip alone meets the safety roller."""
        fork = self.fork
        long = fork.guard_mm - self.slot_floor_mm + 3 * fork.pin_mm
        half = min(0.8 * fork.pin_mm, 0.5 * long)
        outline = np.array([[0.0, fork.guard_mm], [-half, fork.guard_mm - 2.2 * half], [-half, fork.guard_mm - long]])
        mirror = outline[:0:-1] * np.array([-1.0, 1.0])
        return Drawn("guard pin", "steel", np.concatenate((outline, mirror)), level=-1)

    def rollers(self) -> tuple[Drawn, ...]:
        """Roller table, safety roller with its crescent, impulse pin, about the balance arbor at rest; levels from the fork's."""
        fork = self.fork
        table = fork.pin_circle_mm + 1.9 * fork.pin_mm
        wide = 2 * math.asin(fork.crescent_mm / 2 / fork.safety_mm)
        down = -math.pi / 2
        rim = arc((0.0, 0.0), fork.safety_mm, down + wide, down + math.tau - wide, 1e-4 * fork.safety_mm)
        at = np.array([0.0, -fork.safety_mm])
        first, last = rim[-1] - at, rim[0] - at
        scoop = arc(
            at,
            fork.crescent_mm,
            math.atan2(first[1], first[0]),
            math.atan2(last[1], last[0]),
            1e-3 * fork.crescent_mm,
        )[1:-1]
        return (
            Drawn("roller table", "steel", arc((0.0, 0.0), table, 0.0, math.tau, FINE * table)[:-1], level=1),
            Drawn("safety roller", "steel", np.concatenate((rim, scoop)), level=-1),
            Drawn("impulse pin", "ruby", fork.pin_outline(), level=0),
        )

    def bankings(self, line_rad: float) -> tuple[Banking, ...]:
        """Two pins that stop the lever's sides at its bankings, for rising theta first, about the pallet arbor."""
        right = self.right_side()
        low, high = right[0], right[1]
        along = (high - low) / math.hypot(*(high - low))
        radius = 0.9 * self.fork.pin_mm + 0.01 * self.fork.centre_mm
        spot = low + 0.85 * (high - low) + radius * np.array([along[1], -along[0]])
        turn = self.fork.lever_half_rad
        return (
            Banking(turned(spot * np.array([-1.0, 1.0]), turn + line_rad), radius),
            Banking(turned(spot, line_rad - turn), radius),
        )


def hub_for(fork: Fork, least_mm: float) -> float:
    """Radius of a hub on which the lever's root leaves room for the arms beside it."""
    return max(least_mm, 2.2 * Lever(fork, least_mm).waist_mm)


@dataclass(frozen=True)
class LeverParts:
    """A lever with its balance's rollers, as a draft takes them."""

    body: tuple[Drawn, ...]
    """Guard pin, pallet frame where it is a piece of its own, lever."""
    balance: tuple[Drawn, ...]
    balance_mm: Points
    bankings: tuple[Banking, ...]


def lever_parts(fork: Fork, arms: Points, hub_mm: float, own_hub_mm: float, line_rad: float, level: int) -> LeverParts:
    """A lever on pallet arms, an open run (N, 2) that ends on a hub of radius hub_mm: in one piece if it leaves between the
    arms, else in two, as English makers pin them together, the lever then on a hub of its own."""
    apart = abs(line_rad) > ONE_PIECE_RAD
    lever = Lever(fork, own_hub_mm if apart else hub_mm)
    up = turned(lever.outline_up(), line_rad)
    if apart:
        body = [
            Drawn("pallet frame", "steel", np.concatenate((arms, _round(hub_mm, arms[-1], arms[0]))), level=level),
            Drawn("lever", "steel", np.concatenate((up, _round(own_hub_mm, up[-1], up[0]))), level=level + 1),
        ]
    else:
        # Where a leaning lever covers the end of an arm on the hub, its own corner there would lie inside the arm.
        covered = [float(cross(arms[-1], up[0])) <= 0, float(cross(up[-1], arms[0])) <= 0]
        joined = up[covered[0] : len(up) - covered[1]]
        body = [Drawn("lever", "steel", np.concatenate((arms, joined)), level=level)]
    at_line = [replace(part, outline_mm=turned(part.outline_mm, line_rad)) for part in (lever.guard_pin(), *lever.rollers())]
    at_line[1:] = [replace(part, level=part.level + body[-1].level) for part in at_line[1:]]
    balance_mm = turned(np.array([0.0, fork.centre_mm]), line_rad)
    return LeverParts((at_line[0], *body), tuple(at_line[1:]), balance_mm, lever.bankings(line_rad))


@dataclass(frozen=True)
class PalletFrame:
    """Two arms that carry the pallets of a lever clear of the wheel, about the pallet arbor. Common practice, no source."""

    centre_mm: float
    tip_mm: float
    """Radius of the wheel over everything."""
    reach_rad: float
    hub_mm: float
    """Radius of the middle above the pallet arbor."""

    @property
    def under_mm(self) -> float:
        """Radius of the middle below the pallet arbor, clear of the wheel."""
        return min(0.6 * (self.centre_mm - self.tip_mm), self.hub_mm)

    @property
    def under_rad(self) -> float:
        """Angle from the line to the escape arbor to the underside of an arm: the tangent to the wheel, the reach and 2 deg."""
        return math.asin(self.tip_mm / self.centre_mm) + self.reach_rad + math.radians(2)

    @property
    def thick_mm(self) -> float:
        """Thickness of an arm round its pallet."""
        return 0.2 * self.tip_mm

    def inside(self, corner: Points, along: Points) -> Points:
        """The end of a stone set into its arm: from a corner along its face to three quarters of the arm's thickness."""
        side = math.copysign(1.0, corner[0])
        across = polar(1.0, -math.pi / 2 + side * (self.under_rad + math.pi / 2))
        return corner + along * float((0.75 * self.thick_mm - corner @ across) / (along @ across))

    def arms(self, entry: Shape, exit: Shape) -> Points:
        """Both arms as an open run (N, 2), counter-clockwise, from the top of the hub on the left, under it, to the right."""
        right = self._arm(entry)
        left = self._arm(exit)[::-1] * np.array([-1.0, 1.0])
        down = -math.pi / 2
        under = arc((0.0, 0.0), self.under_mm, down - self.under_rad, down + self.under_rad, FINE * self.under_mm)
        return np.concatenate((left, under, right))

    def _arm(self, nib: Shape) -> Points:
        """One arm as if on the right: out along the underside, round the end, back along the top to the hub (N, 2)."""
        far = max(math.hypot(*point) for edge in nib.edges for point in (edge.start_mm, edge.end_mm)) + 0.25 * self.thick_mm
        along, across = polar(1.0, self.under_rad - math.pi / 2), polar(1.0, self.under_rad)
        thick = self.thick_mm
        round_mm = 0.35 * thick
        corner = far * along + (thick - round_mm) * across - round_mm * along
        end = corner + turned(arc((0.0, 0.0), round_mm, 0.0, math.pi / 2, FINE * round_mm), self.under_rad - math.pi / 2)
        return np.concatenate(((far * along)[None], end, polar(self.hub_mm, math.radians(50))[None]))


def _round(radius_mm: float, start: Points, end: Points) -> Points:
    """Between two points of a circle about the arbor, counter-clockwise, both left out (N, 2)."""
    first = math.atan2(start[1], start[0])
    turn = (math.atan2(end[1], end[0]) - first) % math.tau
    return arc((0.0, 0.0), radius_mm, first, first + turn, FINE * radius_mm)[1:-1]


def _hollow(start: Points, end: Points, pull: Points) -> Points:
    """A bent run between two points (both in it), drawn towards a third: (N, 2)."""
    t = np.linspace(0, 1, 12)[:, None]
    return (1 - t) ** 2 * start + 2 * t * (1 - t) * pull + t**2 * end
