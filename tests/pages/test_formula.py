"""Formulas typed as a line: what stands over, under, above and below what, and slips that are told."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from builder.pages.formula import Unset, mathml, plain


def shape(line: str) -> str:
    """The formula as nested names: frac(a, b), sub(a, b), rows left out."""

    def told(one: ElementTree.Element) -> str:
        inside = [told(each) for each in one if each.tag != "mspace"]
        if one.tag in ("mi", "mn", "mo", "mtext"):
            return one.text or ""
        if one.tag in ("mrow", "math"):
            return " ".join(inside)
        return f"{one.tag[1:]}({', '.join(inside)})"

    return told(ElementTree.fromstring(mathml(line)))


@pytest.mark.parametrize(
    ("line", "set_as"),
    [
        ("n_2 = n_1 z_1 / z_2", "sub(n, 2) = frac(sub(n, 1) sub(z, 1), sub(z, 2))"),
        ("a + b c / d + e", "a + frac(b c, d) + e"),
        ("a b/c", "a frac(b, c)"),
        ("a / b · c / d", "frac(a, b) · frac(c, d)"),
        ("T = 2π √(I / k)", "T = 2 π sqrt(frac(I, k))"),
        ("(a + b) / (c d)", "frac(a + b, c d)"),
        ("(a + b) (c + d) / e", "frac(( a + b ) ( c + d ), e)"),
        ("h³ x_i²", "sup(h, 3) subsup(x, i, 2)"),
        ("F_slip", "sub(F, slip)"),
        ("e^(i v)", "sup(e, i v)"),
        ("cos(A / 2)", "cos ( frac(A, 2) )"),
        ("dφ/dθ", "frac(d φ, d θ)"),
        ("{2 J_1(A)}/A", "frac(2 sub(J, 1) ( A ), A)"),
        ("∛(x y)", "root(x y, 3)"),
        ('"fall" / n', "frac(fall, n)"),
        ("q̇", "over(q, ˙)"),
    ],
)
def test_what_stands_where(line: str, set_as: str) -> None:
    """Fractions wide and narrow, scripts, roots, brackets that fall away, words."""
    assert shape(line) == set_as


@pytest.mark.parametrize("line", ["(a + b", "a)", "a / ", "/ b", "_2", "a_", "√"])
def test_a_slip_is_told(line: str) -> None:
    """Brackets left open or too many, halves and bases that are missing."""
    with pytest.raises(Unset):
        mathml(line)


def test_the_line_is_there_in_plain_text() -> None:
    """For where there is no MathML: the line without its signs of setting, markup made safe."""
    assert plain('T_2 = {a b}/"c d"') == "T2 = a b/c d"
    made = mathml('a < "b & c"')
    assert 'alttext="a &lt; b &amp; c"' in made and "<mtext>b &amp; c</mtext>" in made
    assert re.fullmatch(r'<math display="block" alttext="[^"]*">.*</math>', made)
    assert mathml("a", block=False).startswith('<math alttext="a">')
