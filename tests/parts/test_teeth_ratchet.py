"""Ratchet teeth and their click, against shapely and what a ratchet is for."""

import math

import numpy as np
import pytest
from shapely import Polygon, affinity

from builder.ground.faults import Refused
from builder.parts.teeth import Ratchet

CASES = [(teeth, ccw) for teeth in (12, 24, 60) for ccw in (False, True)]


@pytest.mark.parametrize(("teeth", "ccw"), CASES)
def test_outline_is_sound(teeth, ccw):
    """Simple, counter-clockwise, two points a tooth, tip 0 on +x, of the depth asked for."""
    outline = Ratchet(depth=0.5).outline(teeth, 8.0, ccw)
    polygon = Polygon(outline)
    assert polygon.is_valid and polygon.exterior.is_ccw and len(outline) == 2 * teeth
    assert any(np.allclose(p, (8.0, 0.0)) for p in outline)
    depth = 0.5 * 2 * math.pi * 8.0 / teeth
    assert min(outline[:, 0][np.hypot(*(outline - (8.0, 0.0)).T) < 1.01 * depth]) == pytest.approx(8.0 - depth, abs=1e-9)


@pytest.mark.parametrize(("teeth", "ccw"), CASES)
def test_click_seats_holds_one_way_and_lets_go_the_other(teeth, ccw):
    """Seated it touches without overlap; turning the held way overlaps at once; the other way only the sloping back lifts it."""
    form = Ratchet()
    wheel = Polygon(form.outline(teeth, 8.0, ccw))
    click = Polygon(form.click_outline(teeth, 8.0, 6.0, ccw))
    assert click.is_valid and click.exterior.is_ccw and click.area > 1
    assert wheel.intersection(click).area < 1e-9 and wheel.distance(click) < 1e-9
    held, free = (affinity.rotate(wheel, sign * 0.3, origin=(0, 0)).intersection(click) for sign in ((1, -1) if ccw else (-1, 1)))
    assert held.area > 1e-3
    # turned on, the face moves away and the nose is met by the back behind it alone
    face = np.array([8.0, 0.0])
    assert free.distance(Polygon(face + np.array([[-0.01, -0.01], [0.01, -0.01], [0.01, 0.01], [-0.01, 0.01]]))) > 0.05
    pivot = form.click_pivot(8.0, 6.0, ccw)
    assert Polygon(np.array(pivot) + 0.3 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])).within(click)


def test_load_draws_the_click_in():
    """The face's push on the nose turns the click about its pivot towards the wheel: hooked faces more than radial ones."""

    def moment(hook_deg: float) -> float:
        outline = Ratchet(hook_deg=hook_deg).outline(24, 8.0)
        tip = next(i for i, p in enumerate(outline) if np.allclose(p, (8.0, 0.0)))
        face = outline[tip] - outline[tip - 1]
        push = np.array([face[1], -face[0]]) / np.hypot(*face)
        arm = (outline[tip] + outline[tip - 1]) / 2 - np.array(Ratchet().click_pivot(8.0, 6.0))
        return arm[0] * push[1] - arm[1] * push[0]

    assert moment(10.0) > moment(0.0) > 0


def test_too_few_teeth_are_refused():
    """Five teeth: refused, under the key of the count."""
    with pytest.raises(Refused) as refused:
        Ratchet().outline(5, 8.0)
    assert refused.value.complaints[0].key == ("teeth",)
