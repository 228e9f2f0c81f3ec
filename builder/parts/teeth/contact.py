"""What one mesh truly does over a pitch: which teeth touch, how the driven strays from the exact ratio, what friction takes.

Frame and angles are those of `touch`: the driver about the origin, turning counter-clockwise, the driven about (a, 0) and
turning clockwise. A driver that turns the other way is the mirror image.

Neglected: the elasticity of the teeth, errors of division, inertia (the driven follows a falling angle at once), rolling
friction and any oil film. Friction is Coulomb's, the same before the line of centres as after it, though teeth rubbing towards
each other are known to run rougher; where several pairs touch they press equally.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from builder.ground.roots import gauss
from builder.parts.teeth.curve import Complex, Real
from builder.parts.teeth.gear import GearPair
from builder.parts.teeth.touch import touch

LOOKS = 48
"""Driver angles a pitch at which the touching pairs are first looked for; a contact shorter than that can be missed."""
NARROWINGS = 3
SECTIONS = 9
"""How sharply a change of the touching curves is then found: 1000 times as sharp."""
NODES = 6
"""Gauss nodes a span in which the same curves touch."""
TIED_RAD = 1e-12
"""Pairs this close to the foremost touch as well."""


@dataclass(frozen=True)
class MeshContact:
    """A mesh over one pitch of the driver: arrays (K,) at driver angles between which nothing jumps but at span ends.

    Torques are without the pivots. `weight` integrates over the pitch: weight @ x is the mean of x over the driver's angle.
    """

    driver_rad: Real
    """Driver tooth 0's centreline from the line of centres, 0 to one pitch."""
    weight: Real
    driven_rad: Real
    """Driven tooth 0's centreline, from the direction to the driver, rising as it turns."""
    strays_rad: Real
    """Driven angle beyond the exact ratio's; 0 is contact at the pitch point on the line of centres, < 0 lags."""
    velocity_ratio: Real
    """Driven speed over driver speed at the instant."""
    torque_ratio: Real
    """Driven torque over driver torque, friction included; 0 where friction locks the pair or the driven falls back."""
    force_per_torque: Complex
    """Force on the driven (x along the line of centres, away from the driver), N for 1 N·mm on the driver."""
    rubbing: Real
    """Power rubbed away over power put in: Σ μ N |sliding speed| / (torque × speed)."""
    pairs: NDArray[np.int64]
    """How many pairs touch; 0 where none can: the driven is free."""
    before_centres: Real
    """Part of the touching pairs that touch before the line of centres."""
    point_mm: Complex
    """Where the pair nearest the line of centres touches, in the frame of that line."""
    normal: Complex
    """Unit normal there, from driver into driven."""
    play_rad: Real
    """(LOOKS,) how far the driven could be turned on until it meets the backs of the teeth; < 0 cannot be: jammed."""
    driven_pitch_mm: float
    """Radius of the driven's pitch circle."""
    bottoms: bool
    """Whether tips would cut into the bottoms of the spaces."""

    @property
    def verdict(self) -> Literal["runs", "jams", "slips"]:
        """What it does, plainly.

        jams: no room between the backs, tips in the bottoms of spaces, or locked by friction (the figures then mean
        nothing). slips: somewhere in the pitch the driven is free or falls back. Otherwise it runs.
        """
        driven_on = (self.pairs > 0) & (self.velocity_ratio > 0)
        if self.bottoms or self.least_play_mm < -1e-9 * self.driven_pitch_mm or np.any(self.torque_ratio[driven_on] <= 0):
            return "jams"
        return "runs" if np.all(driven_on) else "slips"

    @property
    def efficiency(self) -> float:
        """Energy out over energy in with a steady torque on the driver, as in a going train."""
        return float(self.weight @ (self.torque_ratio * self.velocity_ratio))

    @property
    def efficiency_at_steady_load(self) -> float:
        """Energy out over energy in with a steady torque on the driven; 0 where at some angle no torque gets through."""
        if np.any(self.torque_ratio <= 0):
            return 0.0
        return float(self.weight @ self.velocity_ratio / (self.weight @ (1 / self.torque_ratio)))

    @property
    def transmission_error_rad(self) -> float:
        """From the furthest lag to the furthest lead of the driven over a pitch."""
        return float(np.max(self.strays_rad) - np.min(self.strays_rad))

    @property
    def least_play_mm(self) -> float:
        """Least play along the driven's pitch circle."""
        return float(np.min(self.play_rad)) * self.driven_pitch_mm

    @property
    def mean_force_per_torque(self) -> complex:
        """Mean force on the driven over the pitch, N for 1 N·mm on the driver, x along the line of centres."""
        return complex(self.weight @ self.force_per_torque)

    def force_on_driven(self, line_rad: float, driver_turns_ccw: bool) -> complex:
        """That mean force in the plan's frame, the line of centres pointing `line_rad` from driver to driven."""
        force = self.mean_force_per_torque
        return (force if driver_turns_ccw else force.conjugate()) * complex(math.cos(line_rad), math.sin(line_rad))


@lru_cache(maxsize=128)
def solve(pair: GearPair, friction: float, too_far_mm: float = 0.0) -> MeshContact:
    """The mesh at its right distance of centres, or at one too far (> 0) or too near (< 0) by `too_far_mm`."""
    mesh = _Mesh(pair, pair.distance_mm + too_far_mm)
    driver, driven = pair.driver, pair.driven
    looks = np.linspace(0.0, driver.angle_rad, LOOKS, endpoint=False)
    seen = mesh.look(looks)
    play = mesh.room_rad - seen.ahead_rad - np.roll(seen.ahead_rad[::-1], 1)  # backs: the same mesh, seen in a mirror
    nodes, weight = _span_nodes(_edges(mesh, looks, seen.state), driver.angle_rad)
    seen = mesh.look(nodes)
    pressed = press(seen.point, seen.normal, mesh.distance_mm, friction)
    touches = seen.touches
    driver_torque, driven_torque = (pressed.driver_arm_mm * touches).sum(axis=0), (pressed.driven_arm_mm * touches).sum(axis=0)
    carries = (driver_torque > 0) & (driven_torque > 0)
    each = np.where(carries, 1 / np.where(carries, driver_torque, 1.0), 0.0)
    here = (np.argmin(np.where(touches, np.abs(seen.point.imag), np.inf), axis=0), np.arange(len(nodes)))
    free = np.isinf(seen.ahead_rad)
    strays = np.where(free, 0.0, seen.ahead_rad)
    return MeshContact(
        driver_rad=nodes,
        weight=weight,
        driven_rad=mesh.nominal(nodes) + strays,
        strays_rad=strays,
        velocity_ratio=np.where(free, 0.0, pressed.velocity_ratio[here]),
        torque_ratio=driven_torque * each,
        force_per_torque=(pressed.force * touches).sum(axis=0) * each,
        rubbing=friction * (np.abs(pressed.slides_mm) * touches).sum(axis=0) * each,
        pairs=touches.sum(axis=0),
        before_centres=(touches & (seen.point.imag < 0)).sum(axis=0) / np.maximum(touches.sum(axis=0), 1),
        point_mm=seen.point[here],
        normal=seen.normal[here],
        play_rad=play,
        driven_pitch_mm=driven.pitch_mm,
        bottoms=mesh.distance_mm < max(driver.tip_mm + driven.root_mm, driver.root_mm + driven.tip_mm),
    )


@dataclass(frozen=True)
class Press:
    """What contacts do while the driver turns, for a normal force of 1 at each; every field as the points."""

    force: Complex
    """On the driven, friction included."""
    driver_arm_mm: Real
    """Moment that the driver must give."""
    driven_arm_mm: Real
    """Moment that the driven gets, clockwise."""
    velocity_ratio: Real
    """Driven speed over driver speed that keeps the surfaces in touch; 0 where there is none."""
    slides_mm: Real
    """Sliding of the driver on the driven, mm a radian of the driver; > 0 along the normal turned counter-clockwise."""


def press(point_mm: Complex, normal: Complex, distance_mm: float, friction: float) -> Press:
    """Forces and motions at contacts, the driver turning counter-clockwise and driving.

    The normal's moment arms about the centres give the speeds; what is left of the difference of the two surface
    velocities slides, and friction drags the driven along with it.
    """
    arm = point_mm - distance_mm
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.nan_to_num(_moment(point_mm, normal) / -_moment(arm, normal), posinf=0.0, neginf=0.0)
    slides = (np.conj(normal) * (point_mm + arm * ratio)).real
    force = normal * (1 + 1j * friction * np.sign(slides))
    return Press(force, _moment(point_mm, force), -_moment(arm, force), ratio, slides)


@dataclass(frozen=True)
class _Look:
    """All teeth in reach (J) at N driver angles."""

    ahead_rad: Real
    """(N,) how far the driven is ahead of the exact ratio; -inf: free."""
    touches: NDArray[np.bool_]
    """(J, N), as are the next two."""
    point: Complex
    normal: Complex
    state: NDArray[np.int64]
    """(N,) a number for the set of curves that touch."""


@dataclass(frozen=True)
class _Mesh:
    """Two gears at a distance, and the driver teeth (by index) that can reach the driven while tooth 0 turns one pitch."""

    pair: GearPair
    distance_mm: float

    @property
    def reach(self) -> range:
        driver, driven, a = self.pair.driver, self.pair.driven, self.distance_mm
        cosine = (a**2 + driver.tip_mm**2 - driven.tip_mm**2) / (2 * a * driver.tip_mm)
        widest = math.acos(max(-1.0, min(1.0, cosine))) / driver.angle_rad
        return range(math.floor(-widest - 0.5), math.floor(widest) + 1)

    @property
    def room_rad(self) -> float:
        """Play of the driven at the exact ratio."""
        driver, driven = self.pair.driver, self.pair.driven
        return driven.angle_rad - 2 * driven.half_tooth_rad - 2 * driver.half_tooth_rad * driver.teeth / driven.teeth

    def nominal(self, driver_rad: Real) -> Real:
        """Driven angle at the exact ratio, touching at the pitch point on the line of centres."""
        driver, driven = self.pair.driver, self.pair.driven
        return driven.half_tooth_rad + (driver_rad + driver.half_tooth_rad) * (driver.teeth / driven.teeth)

    def look(self, driver_rad: Real) -> _Look:
        """All teeth in reach while tooth 0 stands at the angles (N,)."""
        driver, driven = self.pair.driver, self.pair.driven
        angles = driver_rad + np.array(self.reach)[:, None] * driver.angle_rad
        one = touch(driver, driven, self.distance_mm, angles.ravel())
        ahead = one.alpha_rad.reshape(angles.shape) - self.nominal(angles)
        most = ahead.max(axis=0)
        touches = np.isfinite(ahead) & (ahead > most - TIED_RAD)
        state = np.sum(one.state.reshape(angles.shape) * touches * 257 ** np.arange(len(angles))[:, None], axis=0)
        point, normal = one.point.reshape(angles.shape), one.normal.reshape(angles.shape)
        return _Look(most, touches, point, normal, state)


def _moment(arm: Complex, force: Complex) -> Real:
    return (np.conj(arm) * force).imag


def _edges(mesh: _Mesh, looks: Real, state: NDArray[np.int64]) -> Real:
    """Driver angles at which other curves begin to touch, narrowed between the looks (rising, within one pitch)."""
    changes = np.flatnonzero(state != np.roll(state, -1))
    low, width, before = looks[changes], mesh.pair.driver.angle_rad / LOOKS, state[changes]
    for _ in range(NARROWINGS if len(low) else 0):
        width /= SECTIONS + 1
        tries = low[:, None] + width * np.arange(1, SECTIONS + 1)
        same = mesh.look(tries.ravel()).state.reshape(tries.shape) == before[:, None]
        low = low + width * np.logical_and.accumulate(same, axis=1).sum(axis=1)
    return low + width / 2


def _span_nodes(edges: Real, pitch_rad: float) -> tuple[Real, Real]:
    """Gauss nodes in every span between the edges (a pitch closes on itself), and their parts of the pitch."""
    bounds = np.unique(np.concatenate([[0.0], edges % pitch_rad, [pitch_rad]]))
    rule = gauss(NODES)
    widths = np.diff(bounds)[:, None]
    return (bounds[:-1, None] + widths * rule.nodes).ravel(), (widths * rule.weights).ravel() / pitch_rad
