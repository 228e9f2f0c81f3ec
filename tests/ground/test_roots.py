"""Roots, least values and quadrature against scipy and closed forms."""

from math import cos, exp, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from builder.ground.roots import gauss, least, root


@pytest.mark.parametrize(
    ("f", "low", "high"),
    [
        (lambda x: cos(x) - x, 0.0, 1.0),
        (lambda x: x**3 - 2 * x - 5, 2.0, 3.0),
        (lambda x: exp(x) - 1e-8, -30.0, 5.0),
        (lambda x: (x - 1.0) ** 9, 0.2, 3.1),
        (lambda x: -1.0 if x < 0.3 else 1.0, 0.0, 1.0),
    ],
)
def test_root_agrees_with_an_independent_solver(f, low, high):
    """The root is scipy's root (bisect), also where the function is flat or jumps."""
    wanted = optimize.bisect(f, low, high, xtol=1e-15, rtol=1e-14, maxiter=200)
    assert root(f, low, high) == pytest.approx(wanted, abs=1e-12)


@given(st.floats(-50, 50), st.floats(0.01, 30), st.floats(0.01, 30))
def test_root_stays_inside_its_bracket(at, below, above):
    """Whatever the bracket, the root found lies in it and the sign changes there."""
    found = root(lambda x: (x - at) * (1 + (x - at) ** 2), at - below, at + above)
    assert at - below <= found <= at + above
    assert found == pytest.approx(at, abs=1e-12 * max(1.0, abs(at)) + 1e-12)


def test_root_says_when_there_is_none():
    """Equal signs at both ends are an error, not a guess."""
    with pytest.raises(ValueError, match="no change of sign"):
        root(lambda x: x * x + 1, -1, 1)


def test_root_spends_few_evaluations():
    """A smooth root to full precision takes at most twelve evaluations: a beat is solved by calls that are dear."""
    calls = []
    root(lambda x: calls.append(x) or sin(x) - 0.3, 0.0, 1.0)
    assert len(calls) <= 12


@pytest.mark.parametrize(("low", "high", "at"), [(0.0, 2.0, 0.7), (1.0, 2.0, 1.0), (-1.0, 0.5, 0.5)])
def test_least_finds_the_dip_or_the_end(low, high, at):
    """The least of (x - 0.7)² is at 0.7, or at the nearer end of a range that leaves it out."""
    where, value = least(lambda x: (x - 0.7) ** 2, low, high, tolerance=1e-7)
    assert where == pytest.approx(at, abs=1e-6)
    assert value == pytest.approx((at - 0.7) ** 2, abs=1e-6)


@pytest.mark.parametrize("n", [2, 8, 16, 24])
def test_rule_is_exact_for_polynomials(n):
    """Integral to degree 2n-1 (Gauss's theorem); running integral and values anywhere to degree n-1."""
    rule = gauss(n)
    for k in range(2 * n):
        assert rule.weights @ rule.nodes**k == pytest.approx(1 / (k + 1), abs=1e-14)
    for k in range(n):
        powers = rule.nodes**k
        assert rule.cumulative @ powers == pytest.approx(rule.nodes ** (k + 1) / (k + 1), abs=1e-13)
        assert rule.at(np.array([0.2, 0.9, rule.nodes[1]])) @ powers == pytest.approx([0.2**k, 0.9**k, powers[1]], abs=1e-12)


def test_rule_is_not_exact_above_its_degree():
    """The check above can fail: degree 2n is missed."""
    assert gauss(3).weights @ gauss(3).nodes ** 6 != pytest.approx(1 / 7, abs=1e-9)
    with pytest.raises(ValueError, match="two nodes"):
        gauss(1)
