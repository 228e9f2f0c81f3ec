"""A rigid pendulum hung on a strip: where it seems to turn, and what the strip adds to its righting moment."""

from __future__ import annotations

from dataclasses import dataclass
from math import cosh, sqrt, tanh


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
    # force and moment at the lower end by its shift y and turn t, in forms that neither overflow nor cancel for a long strip
    half, whole, sech = tanh(u / 2.0), tanh(u), 0.0 if u > 300.0 else 1.0 / cosh(u)
    k_yy = bending_n_m2 * root**3 / (u - 2.0 * half)
    k_yt = -bending_n_m2 * root**2 * half / (u - 2.0 * half)
    k_tt = bending_n_m2 * root * (u - whole) / (u * whole - 2.0 * (1.0 - sech)) + weight_n * weight_below
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
