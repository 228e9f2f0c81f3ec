"""Pallets and oscillator as pieces: lever or anchor with its arbor, crutch and cock; balance with its staff; the pendulum."""

from __future__ import annotations

import math

import numpy as np

from builder.going.axes import Laid, into_mm
from builder.going.piece import Piece
from builder.going.placed import Point
from builder.going.solids import Outline, Ring, Solid
from builder.parts.oscillator.balance import Balance
from builder.parts.oscillator.pendulum import Pendulum

ARBOR = 0.05
"""Radius of the pallet arbor by the distance of the two arbors, as drawn in plan; half of it for a lever."""
STAFF = 0.02
"""Radius of the balance staff by the balance's diameter."""
COCK_FROM_PLATE = 0.4
"""Inside of a back cock from the back plate, by the distance between the plates, where it was not measured."""
CRUTCH = 0.55
"""Length of a crutch by the height of the plates."""
OPENING = 2.6
"""Radius of the opening that a pallet arbor passes through the back plate by the arbor's."""


def pallet_arbor_mm(laid: Laid) -> float:
    """Radius of the pallet arbor."""
    assert laid.plan.draft is not None
    return (ARBOR if laid.style == "pendulum" else ARBOR / 2) * laid.plan.draft.centre_mm


def lever_pivot_mm(laid: Laid) -> float:
    """Radius of the pallet arbor's pivots."""
    return 0.45 * pallet_arbor_mm(laid)


def staff_pivot_mm(laid: Laid) -> float:
    """Radius of the pivots of a staff under a cock."""
    oscillator = laid.movement.oscillator
    return 0.4 * STAFF * oscillator.diameter_mm if isinstance(oscillator, Balance) else 0.0


def cock_mm(laid: Laid) -> tuple[float, float]:
    """From where to where the back cock's arm lies, behind the back plate."""
    told = laid.movement.heights.back_cock_mm
    near = laid.back_mm - (told if told is not None else COCK_FROM_PLATE * laid.heights.between_mm)
    return near - laid.heights.plate_mm, near


def pallet_pieces(laid: Laid) -> list[Piece]:
    """Cock and pallets of a pendulum's escapement; a lever by itself. A cylinder goes with its balance."""
    plan, heights = laid.plan, laid.heights
    if plan.draft is None or on_the_staff(laid):
        return []
    at, radius = plan.centres["pallets"], pallet_arbor_mm(laid)
    solids = _pallet_solids(laid)
    pivot = lever_pivot_mm(laid)
    into = into_mm(pivot, heights.plate_mm)
    front = Solid("pallet-arbor", Ring(at, pivot), heights.between_mm, heights.between_mm + into, "steel", "shaft")
    if laid.style != "pendulum":
        body = Solid("pallet-arbor", Ring(at, radius), 0.0, heights.between_mm, "steel", "shaft")
        back = Solid("pallet-arbor", Ring(at, pivot), -into, 0.0, "steel", "shaft")
        return [Piece("pallets", (*solids, body, front, back), laid.loose, "train")]
    low, near = cock_mm(laid)
    body = Solid("pallet-arbor", Ring(at, radius), near, heights.between_mm, "steel", "shaft")
    back = Solid("pallet-arbor", Ring(at, pivot), near - into, near, "steel", "shaft")
    cock = [  # above and below the pivot's hole
        Solid(
            "back-cock",
            _block((at[0], at[1] + side * 1.75 * radius), 0.0, 7.0 * radius, 1.25 * radius),
            low,
            near,
            "brass",
            "cut",
        )
        for side in (1, -1)
    ]
    cock += [
        Solid("back-cock", _block(at, side * 6.0 * radius, radius, 3.0 * radius), near, laid.back_mm, "brass") for side in (-1, 1)
    ]
    rod_low, rod_high = rod_span_mm(laid)
    bracket = _block((at[0], at[1] + 2.0 * radius), 0.0, 1.5 * radius, 2.0 * radius)  # the suspension hangs in its slot
    hung = max([rod_high - rod_low, *(s.thickness_mm for s in pendulum_solids(laid) if s.part == "suspension")])
    cock.append(Solid("back-cock", bracket, (rod_low + rod_high - hung) / 2 - 0.6 * radius, low, "brass"))
    out = _towards(plan.centres[laid.train.path[-1]], at)
    return [
        Piece("back-cock", tuple(cock), "back", "pallets"),
        Piece("pallets", (*solids, body, front, back, *_crutch(laid, at, radius)), "aside", "pallets", ("back-cock",), out),
    ]


def on_the_staff(laid: Laid) -> bool:
    """Whether the balance carries the pallets itself, as a cylinder's does: then there is no pallet arbor."""
    return "pallets" in laid.plan.centres and laid.plan.centres["pallets"] == laid.plan.centres.get("balance")


def _pallet_solids(laid: Laid) -> list[Solid]:
    """The pallets, or the shell of a cylinder, each piece at its height."""
    plan = laid.plan
    if plan.draft is None:
        return []
    at = np.array(plan.centres["pallets"])
    solids = []
    for drawn in plan.draft.pallets:
        span = laid.heights[f"pallets/{drawn.name}"]
        outline = Outline(plan.frame.points(drawn.outline_mm) + at)
        solids.append(Solid("pallets", outline, span.low_mm, span.high_mm, drawn.material))
    return solids


def _crutch(laid: Laid, at: Point, radius: float) -> list[Solid]:
    """Down along the back plate, and with a fork back to the rod, one tine on each side of it."""
    long = CRUTCH * (laid.plates.height_mm or laid.plates.width_mm)
    _, near = cock_mm(laid)
    middle = laid.back_mm - 0.45 * (laid.back_mm - near)
    rod_low, rod_high = rod_span_mm(laid)
    half = 0.5 * radius
    foot, aside = at[1] - long + 2 * half, rod_half_mm(laid) + 1.1 * half
    fork = _block((at[0], foot - half), 0.0, aside + half, half)
    tines = [Outline(_strip((at[0] + side * aside, foot), half, 2 * half)) for side in (-1, 1)]
    return [
        Solid("crutch", Outline(_strip(at, half, long)), middle - half, middle + half, "steel", "shaft"),
        Solid("crutch", fork, rod_high, middle - half, "steel", "shaft"),
        *(Solid("crutch", tine, rod_low - half, rod_high, "steel", "shaft") for tine in tines),
    ]


def _block(at: Point, across: float, half_wide: float, half_tall: float) -> Outline:
    """A rectangle beside a point."""
    x, y = at[0] + across, at[1]
    w, h = half_wide, half_tall
    return Outline(np.array([(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)]))


def _strip(at: Point, half: float, long: float) -> np.ndarray:
    """An upright strip that hangs from a point."""
    x, y = at
    return np.array([(x - half, y - long), (x + half, y - long), (x + half, y), (x - half, y)])


def rod_span_mm(laid: Laid) -> tuple[float, float]:
    """From where to where the pendulum's rod lies, behind the cock."""
    oscillator = laid.movement.oscillator
    assert isinstance(oscillator, Pendulum)
    thick = oscillator.rod.thickness_mm or oscillator.rod.diameter_mm or 4.0
    wide = oscillator.suspension.width_mm if oscillator.suspension else 0.0  # the strip stands edge on to the back plate
    low, _ = cock_mm(laid)
    middle = low - 0.3 * thick - max(thick, wide) / 2
    return middle - thick / 2, middle + thick / 2


def rod_half_mm(laid: Laid) -> float:
    """Half the width of the pendulum's rod, seen from the front."""
    oscillator = laid.movement.oscillator
    assert isinstance(oscillator, Pendulum)
    return (oscillator.rod.width_mm or oscillator.rod.diameter_mm or 4.0) / 2


def pendulum_solids(laid: Laid) -> list[Solid]:
    """Suspension, rod, bob and nut, hung at the pallet arbor's height."""
    pendulum = laid.movement.oscillator
    if not isinstance(pendulum, Pendulum) or "pallets" not in laid.plan.centres:
        return []
    at, (low, high) = laid.plan.centres["pallets"], rod_span_mm(laid)
    hung = pendulum.hung(float(laid.train.beats_per_hour))
    strip = pendulum.suspension
    free = strip.length_mm if strip else 0.0
    rod = rod_half_mm(laid)
    centre, bob = hung.centre_m * 1000, pendulum.bob
    half = bob.half_height_m() * 1000
    deep = (
        bob.diameter_mm
        if bob.shape in ("cylinder", "sphere")
        else 2000 * bob.volume_m3() / (math.pi * (bob.diameter_mm / 2000) ** 2)
    )
    middle = (low + high) / 2
    nut = pendulum.bob.diameter_mm * 0.06

    def hanging(part: str, below: float, half: float, long: float, span: tuple[float, float], material: str) -> Solid:
        return Solid(part, Outline(_strip((at[0], at[1] - below), half, long)), *span, material, "shaft")

    about = (middle - deep / 2, middle + deep / 2)
    solids = [
        hanging("pendulum-rod", free, rod, pendulum.rod.length_mm, (low, high), pendulum.rod.material),
        hanging("bob", centre - half, bob.diameter_mm / 2, 2 * half, about, bob.material),
        hanging("rating-nut", centre + half, 2 * rod, nut, (middle - nut, middle + nut), "brass"),
    ]
    if strip:
        wide = (middle - strip.width_mm / 2, middle + strip.width_mm / 2)
        solids.insert(0, hanging("suspension", 0.0, strip.thickness_mm / 2, free, wide, "blued"))
    return solids


def staff_mm(laid: Laid) -> tuple[float, float] | None:
    """From where to where the balance staff reaches over its pivots; None without a balance."""
    if "balance" not in laid.heights.spans:
        return None
    heights = laid.heights
    if heights["balance"].high_mm < 0:
        above = heights["hairspring"].low_mm - 1.5 * heights["hairspring"].thickness_mm
        return above - 0.8 * heights.plate_mm, heights.between_mm + into_mm(staff_pivot_mm(laid), heights.plate_mm)
    return 0.12 * heights.between_mm, heights.between_mm - 0.12 * heights.between_mm


def balance_pieces(laid: Laid) -> list[Piece]:
    """Behind the back plate: cock, then balance; between the plates: one cup screw drawn back, then the balance sideways."""
    oscillator, plan, heights = laid.movement.oscillator, laid.plan, laid.heights
    ends = staff_mm(laid)
    if not isinstance(oscillator, Balance) or ends is None:
        return []
    at, size = plan.centres["balance"], oscillator.diameter_mm
    radius = STAFF * size
    rim, spring = heights["balance"], heights["hairspring"]
    solids = [
        Solid("balance", Ring(at, size / 2, 0.4 * size), rim.low_mm, rim.high_mm, "brass", "cut"),
        Solid("balance", Ring(at, 0.4 * size, radius), rim.low_mm + 0.35 * rim.thickness_mm, rim.high_mm, "brass"),
        Solid("hairspring", Ring(at, 0.3 * size, 0.06 * size), spring.low_mm, spring.high_mm, "blued"),
        Solid("hairspring", Ring(at, 0.06 * size, radius), spring.low_mm, spring.high_mm, "brass"),
    ]
    if on_the_staff(laid):
        solids += _pallet_solids(laid)
    if plan.draft is not None:
        for drawn in plan.draft.balance:
            span = heights[f"rollers/{drawn.name}"]
            outline = Outline(plan.frame.points(drawn.outline_mm) + np.array(at))
            solids.append(Solid("roller", outline, span.low_mm, span.high_mm, drawn.material))
    low, high = ends
    beside = plan.centres["pallets"]
    if on_the_staff(laid):
        beside = plan.centres[laid.movement.escapement.arbor]
    if rim.high_mm < 0:
        cock = heights["hairspring"].low_mm - 0.5 * spring.thickness_mm
        thick = 0.8 * heights.plate_mm
        pivot = staff_pivot_mm(laid)
        into = into_mm(pivot, heights.plate_mm)
        solids += [
            Solid("balance-staff", Ring(at, radius), cock, heights.between_mm, "steel", "shaft"),
            Solid("balance-staff", Ring(at, pivot), cock - into_mm(pivot, thick), cock, "steel", "shaft"),
            Solid("balance-staff", Ring(at, pivot), heights.between_mm, heights.between_mm + into, "steel", "shaft"),
        ]
        start, long, half, hole = beside, 0.66 * size, 0.12 * size, 0.5 * radius
        made = (  # on both sides of the pivot's hole, and the foot beyond the rim
            Solid("balance-cock", _bar(start, at, -half, -hole, half), cock - thick, cock, "brass", "cut"),
            Solid("balance-cock", _bar(start, at, hole, long, half), cock - thick, cock, "brass", "cut"),
            Solid("balance-cock", _bar(start, at, 0.85 * long, long, half), cock, laid.back_mm, "brass", "cut"),
        )
        return [
            Piece("balance-cock", made, "back", "balance"),
            Piece("balance", tuple(solids), "back", "balance", ("balance-cock",)),
        ]
    solids.append(Solid("balance-staff", Ring(at, radius), low, high, "steel", "shaft"))
    screw = Solid("balance-screw", Ring(at, 2.4 * radius), -2.2 * heights.plate_mm, low, "steel", "shaft")
    out = _towards(beside, at)
    return [
        Piece("balance-screw", (screw,), "back", "balance"),
        Piece("balance", tuple(solids), "aside", "balance", ("balance-screw",), out),
    ]


def _towards(start: Point, end: Point) -> Point:
    """Direction from one point to another, a unit vector."""
    long = math.dist(start, end)
    return (end[0] - start[0]) / long, (end[1] - start[1]) / long


def _bar(start: Point, at: Point, since: float, until: float, half: float) -> Outline:
    """A bar on the line from one point through another: from where to where beyond that other, and half its width."""
    way = np.array(_towards(start, at))
    across = half * np.array([-way[1], way[0]])
    first, last = np.array(at) + since * way, np.array(at) + until * way
    return Outline(np.array([first - across, last - across, last + across, first + across]))


def front_cup(laid: Laid) -> Solid | None:
    """The other cup screw, which stays in the front plate; None where the balance has a cock."""
    ends = staff_mm(laid)
    if ends is None or laid.heights["balance"].high_mm < 0 or not isinstance(laid.movement.oscillator, Balance):
        return None
    radius = 2.4 * STAFF * laid.movement.oscillator.diameter_mm
    at = laid.plan.centres["balance"]
    return Solid("balance-cup", Ring(at, radius), ends[1], laid.heights.front_mm + 1.2 * laid.heights.plate_mm, "steel", "shaft")
