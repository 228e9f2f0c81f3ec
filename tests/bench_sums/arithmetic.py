"""Arithmetic as a person reads it off the page: × / + − ² √ sin, worked with no help from the builder."""

from __future__ import annotations

import math
import re

POWERS = {"²": "**2", "³": "**3", "⁴": "**4", "⁶": "**6"}
NAMES = {
    "pi": math.pi,
    "sqrt": math.sqrt,
    "cbrt": lambda x: math.copysign(abs(x) ** (1 / 3), x),
    "sin": math.sin,
    "tan": math.tan,
    "arctan": lambda x: math.degrees(math.atan(x)),
    "abs": abs,
}


def worked(text: str) -> float:
    """What the numbers put in come to. Raises SyntaxError where the text is no arithmetic."""
    text = re.sub("[\u2009\u202f]", "", text).replace(", to the whole beat", "")
    text = re.sub(r"\|(.+)\|", r"abs(\1)", text)
    for sign, power in POWERS.items():
        text = text.replace(sign, power)
    for sign, plain in (("×", "*"), ("−", "-"), ("π", "pi"), ("√", "sqrt"), ("∛", "cbrt"), ("°", "*pi/180")):
        text = text.replace(sign, plain)
    if re.search(r"[^\w\s.*/+()-]", text):
        raise SyntaxError(text)
    return float(eval(text, {"__builtins__": {}}, NAMES))
