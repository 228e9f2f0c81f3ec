"""A rigid pendulum hung on a strip: where it seems to turn, and what the strip adds to its righting moment."""

from __future__ import annotations

from dataclasses import dataclass
from math import cosh, sinh, sqrt


@dataclass(frozen=True)
class Hanging:
    """A pendulum as one turning about a fixed axis; SI."""

    pivot_m: float
    """Depth of the apparent axis below the upper chops."""
    inertia_kg_m2: float
    """About the apparent axis."""
    gravity_nm: float
    """Net weight times the depth of the centre of mass below the apparent axis."""
    stiffness_nm: float
    """What the strip adds, a radian: nought for a long strip, whose bending and whose lift of the axis just cancel."""


@dataclass(frozen=True)
class Body:
    """All that hangs, as one rigid body; depths below the upper chops (or the knife edge)."""

    mass_kg: float
    centre_m: float
    """Depth of the centre of mass."""
    own_inertia_kg_m2: float
    """About the centre of mass."""
    weight_n: float
    """Net of the air's lift."""
    weight_centre_m: float
    """Depth at which the net weight acts."""


def on_knife_edge(body: Body) -> Hanging:
    """The body turning about a fixed axis."""
    inertia = body.own_inertia_kg_m2 + body.mass_kg * body.centre_m**2
    return Hanging(0.0, inertia, body.weight_n * body.weight_centre_m, 0.0)


def on_strip(body: Body, length_m: float, bending_n_m2: float) -> Hanging:
    """The body clamped to a strip of free `length_m` and bending stiffness E I.

    The strip is a bar bent under the pull of the weight, y'''' = (W / EI) y'', clamped above; its lower end may shift and
    turn. With the body's two motions that is an exact two-fold vibration problem at small swing; the slow root is the
    pendulum, and the ratio of shift to turn gives the apparent axis. Neglected: the strip's own mass, its end curvature
    across the width, the wander of the apparent axis at wide arcs and the pull's growth in mid swing.
    """
    weight_n, mass_kg = body.weight_n, body.mass_kg
    below, weight_below = body.centre_m - length_m, body.weight_centre_m - length_m
    root = sqrt(weight_n / bending_n_m2)
    u = root * length_m
    # end shift and turn from the two free constants of y = C (cosh - 1) + D (sinh - x), and end force and moment
    c, s = cosh(u), sinh(u)
    shift = (c - 1.0, s - u)
    turn = (root * s, root * (c - 1.0))
    force = (0.0, -bending_n_m2 * root**3)
    moment = (bending_n_m2 * root**2 * c, bending_n_m2 * root**2 * s)
    size = shift[0] * turn[1] - shift[1] * turn[0]
    inverse = ((turn[1] / size, -shift[1] / size), (-turn[0] / size, shift[0] / size))
    k_yy, k_yt = (force[0] * inverse[0][j] + force[1] * inverse[1][j] for j in (0, 1))
    k_tt = moment[0] * inverse[0][1] + moment[1] * inverse[1][1] + weight_n * weight_below
    m_yy, m_yt, m_tt = mass_kg, mass_kg * below, body.own_inertia_kg_m2 + mass_kg * below**2
    # det(K - w² M) = 0: a w⁴ - b w² + d = 0, slow root without cancellation
    a = m_yy * m_tt - m_yt**2
    b = k_yy * m_tt + k_tt * m_yy - 2.0 * k_yt * m_yt
    d = k_yy * k_tt - k_yt**2
    square = 2.0 * d / (b + sqrt(b * b - 4.0 * a * d))
    rise = -(k_yt - square * m_yt) / (k_yy - square * m_yy)  # end shift a radian: the apparent axis lies so far above it
    inertia = body.own_inertia_kg_m2 + mass_kg * (below + rise) ** 2
    gravity = weight_n * (weight_below + rise)
    return Hanging(length_m - rise, inertia, gravity, square * inertia - gravity)
