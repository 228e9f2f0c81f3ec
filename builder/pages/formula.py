"""A formula typed as one line of text, set as MathML (W3C MathML Core).

The line is what a person would write: `T_1 = 2π √(I / k)`. Letters are quantities, each by itself; words of several letters
stand in quotes, but for those of FUNCTIONS and those below a line. `_` sets what follows below, `^` above, each one letter, word,
number or bracket; ² ³ ⁴ above too. ` / ` with blanks is a fraction of the whole products beside it, `/` without blanks one of its
two neighbours; a dot ends a product; a bracket that is all of either half is left out. √( ) and ∛( ) are roots; { } holds
together what follows one another.
"""

from __future__ import annotations

import re
from html import escape

FUNCTIONS = {"sin", "cos", "tan", "arccos", "max", "min", "sgn", "exp"}
THIN = '<mspace width=".17em"/>'
POWERS = {"²": "2", "³": "3", "⁴": "4"}
ENDS_PRODUCT = {"=", "+", "−", ",", "≤", "≥", "<", ">", "≈", "→", ";", "±", "∑", "∫", "∮", ")", "|", "·"}
TOKEN = re.compile(
    r'"([^"]*)"|(\d+(?:[.,]\d+)?)|([A-Za-z][\u0307\u0308])|(d[A-Za-zθφ](?![A-Za-z]))|([A-Za-z]{2,})|( / )|(\s+)|(.)', re.DOTALL
)
"""Words, a number, a letter with dots, a differential, letters, a wide fraction, blanks, a sign."""
OPEN = {"(": ")", "{": "}", "[": "]"}
DOTS = {"\u0307": "˙", "\u0308": "¨"}
PRIMES = {"′", "″", "‴", "⁗"}


class Unset(ValueError):  # noqa: N818  # the formula is what is unset
    """A line that is no formula: a bracket left open, a script without a base."""


def mathml(line: str, block: bool = True) -> str:
    """The formula as MathML, a block or in the line, the typed line as its alternative text. Raises Unset."""
    tokens = list(_tokens(line))
    made, _ = _row(tokens, 0, "")
    way = ' display="block"' if block else ""
    return f'<math{way} alttext="{escape(plain(line))}">{"".join(made)}</math>'


def plain(line: str) -> str:
    """The line for where there is no MathML: quotes gone."""
    return line.replace('"', "").replace("_", "").replace("{", "").replace("}", "")


def _tokens(line: str) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for match in TOKEN.finditer(line):
        words, number, dotted, differential, name, over, blank, sign = match.groups()
        if name and found and found[-1] == ("sign", "_"):
            found.append(("words", name))
        elif words is not None:
            found.append(("words", words))
        elif number:
            found.append(("number", number))
        elif dotted:
            found.append(("dotted", dotted))
        elif differential:
            found.append(("differential", differential))
        elif name:
            found += [("letter", name)] if name in FUNCTIONS else [("letter", letter) for letter in name]
        elif over:
            found.append(("over", "/"))
        elif blank:
            continue
        else:
            found.append(("letter" if sign.isalpha() or sign in "∞" else "sign", sign))
    return found


def _row(tokens: list[tuple[str, str]], at: int, closing: str) -> tuple[list[str], int]:
    """Pieces up to the closing bracket, and the place after it."""
    made: list[str] = []
    product = 0  # where the product that is being written begins
    while at < len(tokens):
        kind, text = tokens[at]
        if kind == "sign" and text == closing:
            return made, at + 1
        if kind == "over":
            below, at = _product(tokens, at + 1, closing)
            made[product:] = [_fraction(made[product:], below)]
            continue
        if kind == "sign" and text in OPEN.values():
            raise Unset(f"a {text} too many")
        if kind == "sign" and text in ENDS_PRODUCT:
            made.append(_sign(text))
            at += 1
            product = len(made)
            continue
        piece, at = _divided(tokens, at)
        made.append(piece)
    if closing:
        raise Unset(f"no {closing} in {''.join(text for _, text in tokens)!r}")
    return made, at


def _product(tokens: list[tuple[str, str]], at: int, closing: str) -> tuple[list[str], int]:
    """The pieces of one product."""
    made: list[str] = []
    while at < len(tokens):
        kind, text = tokens[at]
        if kind == "over" or (kind == "sign" and (text in ENDS_PRODUCT or text == closing)):
            break
        piece, at = _divided(tokens, at)
        made.append(piece)
    if not made:
        raise Unset("a fraction without its lower half")
    return made, at


def _divided(tokens: list[tuple[str, str]], at: int) -> tuple[str, int]:
    """One piece, or a fraction of two neighbours."""
    piece, at = _scripted(tokens, at)
    if at < len(tokens) and tokens[at] == ("sign", "/"):
        below, at = _scripted(tokens, at + 1)
        return _fraction([piece], [below]), at
    return piece, at


def _scripted(tokens: list[tuple[str, str]], at: int) -> tuple[str, int]:
    """One piece with what stands below and above it; a function keeps a little room round it."""
    if at < len(tokens) and tokens[at][1] in FUNCTIONS:
        piece, at = _with_scripts(tokens, at)
        return f"{THIN}{piece}{THIN}", at
    return _with_scripts(tokens, at)


def _with_scripts(tokens: list[tuple[str, str]], at: int) -> tuple[str, int]:
    base, at = _atom(tokens, at)
    low = high = ""
    while at < len(tokens) and tokens[at][0] == "sign" and tokens[at][1] in ("_", "^", *POWERS):
        mark = tokens[at][1]
        if mark in POWERS:
            high, at = f"<mn>{POWERS[mark]}</mn>", at + 1
        else:
            script, at = _atom(tokens, at + 1)
            script = _bare(script)
            low, high = (script, high) if mark == "_" else (low, script)
    if low and high:
        return f"<msubsup>{base}{low}{high}</msubsup>", at
    if low or high:
        tag = "msub" if low else "msup"
        return f"<{tag}>{base}{low or high}</{tag}>", at
    return base, at


ROOTS = {"√": ("<msqrt>", "</msqrt>"), "∛": ("<mroot>", "<mn>3</mn></mroot>")}
BRACKET = re.compile(r'<mrow><mo stretchy="true">\(</mo><mrow>(.*)</mrow><mo stretchy="true">\)</mo></mrow>', re.DOTALL)


def _atom(tokens: list[tuple[str, str]], at: int) -> tuple[str, int]:
    """A letter, a number, words, a bracket or a root."""
    if at >= len(tokens):
        raise Unset("the formula breaks off")
    kind, text = tokens[at]
    if kind == "number":
        return f"<mn>{text}</mn>", at + 1
    if kind == "words":
        return f"<mtext>{escape(text)}</mtext>", at + 1
    if kind == "differential":
        return f"<mrow><mi>d</mi><mi>{text[1]}</mi></mrow>", at + 1
    if kind == "letter":
        return f"<mi>{text}</mi>", at + 1
    if kind == "dotted":
        return f'<mover><mi>{text[0]}</mi><mo stretchy="false">{DOTS[text[1]]}</mo></mover>', at + 1
    if text in ROOTS:
        inside, at = _atom(tokens, at + 1)
        start, end = ROOTS[text]
        return f"{start}<mrow>{_bare(inside)}</mrow>{end}", at
    if text in OPEN:
        made, at = _row(tokens, at + 1, OPEN[text])
        inside = "".join(made)
        if text == "{":
            return f"<mrow>{inside}</mrow>", at
        close = OPEN[text]
        return f'<mrow><mo stretchy="true">{text}</mo><mrow>{inside}</mrow><mo stretchy="true">{close}</mo></mrow>', at
    if text in ("_", "^", *POWERS, *OPEN.values(), "/"):
        raise Unset(f"nothing for {text} to stand on")
    return _sign(text), at + 1


def _sign(text: str) -> str:
    """An operator; MathML sees by itself whether it stands before, between or after."""
    if text == "|" or text in PRIMES:
        return f'<mo stretchy="false" lspace="0" rspace="0">{text}</mo>'
    return f"<mo>{escape(text)}</mo>"


def _fraction(over: list[str], under: list[str]) -> str:
    if not over:
        raise Unset("a fraction without its upper half")
    upper, lower = ("".join(half) if len(half) > 1 else _bare(half[0]) for half in (over, under))
    return f"<mfrac><mrow>{upper}</mrow><mrow>{lower}</mrow></mfrac>"


def _bare(piece: str) -> str:
    """A bracket without its brackets."""
    whole = BRACKET.fullmatch(piece)
    if whole and not _reopens(whole[1]):
        return f"<mrow>{whole[1]}</mrow>"
    return piece


def _reopens(inside: str) -> bool:
    """Whether a bracket closes before the end, so that the first and the last are not of one pair."""
    depth = 0
    for sign in re.findall(r"[()]", inside):
        depth += 1 if sign == "(" else -1
        if depth < 0:
            return True
    return False
