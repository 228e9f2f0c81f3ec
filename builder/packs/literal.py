"""A drawing with every colour, width and size written out, for programs that know SVG but not its style sheets.

The cascade is CSS's own (cssselect2 matches, tinycss2 reads); here are only its last steps: custom properties, arithmetic,
and line widths that are meant in pixels of the screen (`vector-effect: non-scaling-stroke`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any
from xml.etree import ElementTree  # nosec B405 # reads what sheet.py wrote

from builder.packs.error import no_pictures

SVG = "http://www.w3.org/2000/svg"
AS_WRITTEN = (
    "fill", "fill-opacity", "fill-rule", "stroke", "stroke-linecap", "stroke-linejoin", "stroke-opacity", "opacity", "visibility",
    "dominant-baseline", "font-family", "font-style", "font-weight", "paint-order", "text-anchor",
)  # fmt: skip
VARIABLE = re.compile(r"var\(\s*(--[\w-]+)\s*\)")
DEEP = 8
"""How often a custom property may name another."""

Declarations = tuple[tuple[str, str, bool], ...]
"""Name, value as text, whether important."""


class Cascade:
    """A style sheet, read once. `dark` takes the colours of a dark screen."""

    def __init__(self, css: str, dark: bool = False) -> None:
        try:
            import cssselect2
            import tinycss2
        except ImportError:
            raise no_pictures() from None
        self._css, self._select = tinycss2, cssselect2
        self._matcher = cssselect2.Matcher()
        self._add(tinycss2.parse_stylesheet(css, skip_comments=True, skip_whitespace=True), dark)

    def _add(self, rules: Sequence[Any], dark: bool) -> None:
        """Rules of a screen that is wide, shows motion and all colours: other media are passed over."""
        for rule in rules:
            if rule.type == "at-rule" and dark and "prefers-color-scheme: dark" in self._css.serialize(rule.prelude):
                self._add(self._css.parse_rule_list(rule.content, skip_comments=True, skip_whitespace=True), dark)
            elif rule.type == "qualified-rule":
                found: Declarations = tuple(
                    (each.lower_name, self._css.serialize(each.value).strip(), each.important)
                    for each in self._css.parse_blocks_contents(rule.content, skip_comments=True, skip_whitespace=True)
                    if each.type == "declaration"
                )
                for selector in self._select.compile_selector_list(rule.prelude):
                    self._matcher.add_selector(selector, found)

    def token(self, name: str) -> str:
        """A custom property of the page, as --paper."""
        alone = self._select.ElementWrapper.from_xml_root(ElementTree.Element("figure"))
        return _Inherited({}, 13.0, 1.0).with_(self._matched(alone), self).text(f"var({name})")

    def literal(self, svg: ElementTree.Element, classes: str = "", unit: float = 1.0) -> ElementTree.Element:
        """The drawing as it is on a screen of which one pixel is `unit` of the drawing's, inside something of these classes."""
        around = ElementTree.Element("figure", {"class": classes})
        around.append(svg)
        wrapped = self._select.ElementWrapper.from_xml_root(around)
        start = _Inherited({}, 13.0, 1.0, unit)
        within = start.with_(self._matched(wrapped), self)
        for child in list(wrapped.iter_children()):
            self._write(child, within, unit)
        return around[0]

    def _matched(self, element: Any) -> dict[str, str]:
        found: dict[str, str] = {}
        important: dict[str, str] = {}
        for _, _, pseudo, declarations in self._matcher.match(element):
            if pseudo is None:
                for name, value, weighs in declarations:
                    (important if weighs else found)[name] = value
        return found | important

    def _write(self, element: Any, above: _Inherited, unit: float) -> None:
        """One element and all in it; what is not displayed goes."""
        node: ElementTree.Element = element.etree_element
        declared = self._matched(element)
        own = above.with_(declared, self)
        children = list(element.iter_children())
        for child in children:
            self._write(child, own, unit)
        for child in children:
            if self._matched(child).get("display") == "none" or child.local_name in ("style", "script"):
                node.remove(child.etree_element)
        for name in AS_WRITTEN:
            if name in declared:
                node.set(name, own.text(declared[name]))
        if "font-size" in declared or "font" in declared:
            node.set("font-size", _said(own.font_px))
        if "font" in declared:
            node.set("font-family", own.text(declared["font"]).split("px", 1)[1].split("/")[-1].strip())
        per_px = unit / own.scale if declared.get("vector-effect") == "non-scaling-stroke" else 1.0
        if "stroke-width" in declared:
            node.set("stroke-width", _said(self.number(own.text(declared["stroke-width"]), own.font_px) * per_px))
        if "stroke-dasharray" in declared:
            lengths = own.text(declared["stroke-dasharray"]).replace(",", " ").split()
            node.set("stroke-dasharray", " ".join(_said(self.number(each, own.font_px) * per_px) for each in lengths))
        if "transform" in declared and (moved := self._transform(own.text(declared["transform"]), own.font_px)):
            node.set("transform", moved)

    def _transform(self, value: str, font_px: float) -> str:
        """CSS's list of movements as SVG writes it."""
        moves = []
        for token in self._css.parse_component_value_list(value, skip_comments=True):
            if token.type != "function":
                continue
            given = [self._sum(each, font_px) for each in _apart(token.arguments, ",")]
            name = token.lower_name
            if name == "translatey":
                name, given = "translate", [0.0, *given]
            assert name in ("translate", "scale", "rotate"), f"{name} is not written out yet"
            moves.append(f"{name}({' '.join(map(_said, given))})")
        return "".join(moves)

    def number(self, value: str, font_px: float) -> float:
        """A length in px, or a plain number, with its arithmetic done."""
        return self._sum(self._css.parse_component_value_list(value, skip_comments=True), font_px)

    def _sum(self, tokens: Sequence[Any], font_px: float) -> float:
        """calc()'s sums of products, left to right, products first."""
        total, product, sign, times = 0.0, None, 1.0, True
        for token in tokens:
            if token.type == "whitespace":
                continue
            if token.type == "literal" and token.value in "+-":
                total += sign * (product or 0.0)
                product, sign = None, 1.0 if token.value == "+" else -1.0
            elif token.type == "literal" and token.value in "*/":
                times = token.value == "*"
            else:
                factor = self._factor(token, font_px)
                product = factor if product is None else product * factor if times else product / factor
                times = True
        return total + sign * (product or 0.0)

    def _factor(self, token: Any, font_px: float) -> float:
        if token.type == "number":
            return float(token.value)
        if token.type == "dimension":
            return float(token.value) * {"px": 1.0, "em": font_px, "deg": 1.0}[token.lower_unit]
        if token.type == "() block":
            return self._sum(token.content, font_px)
        assert token.type == "function", f"{token.serialize()} is no number"
        given = [self._sum(each, font_px) for each in _apart(token.arguments, ",")]
        if token.lower_name == "clamp":
            return max(given[0], min(given[1], given[2]))
        if token.lower_name == "calc":
            return given[0]
        return max(given) if token.lower_name == "max" else min(given)


@dataclass(frozen=True)
class _Inherited:
    """What an element has from those around it: custom properties, the size of its letters, how far it is scaled; and how much
    of the drawing one pixel of the screen is, which the player tells style sheets as --unit."""

    custom: dict[str, str]
    font_px: float
    scale: float
    unit: float = 1.0

    def with_(self, declared: dict[str, str], cascade: Cascade) -> _Inherited:
        """The same for what is inside an element of these declarations."""
        custom = self.custom | {name: value for name, value in declared.items() if name.startswith("--")}
        custom["--unit"] = _said(self.unit)
        own = replace(self, custom=custom)
        size = declared.get("font-size") or (own.text(declared["font"]).split("px", 1)[0] + "px" if "font" in declared else None)
        font_px = self.font_px if size is None else cascade.number(own.text(size), self.font_px)
        grown = re.match(r"scale\((.*)\)$", declared.get("transform", ""))
        scale = self.scale * (cascade.number(own.text(grown[1]), font_px) if grown else 1.0)
        return replace(own, font_px=font_px, scale=scale)

    def text(self, value: str) -> str:
        """The value with every custom property in it put in."""
        for _ in range(DEEP):
            if "var(" not in value:
                return value
            value = VARIABLE.sub(lambda found: self.custom[found[1]], value)
        raise AssertionError(f"{value} never ends")


def _apart(tokens: Sequence[Any], sign: str) -> Iterator[list[Any]]:
    part: list[Any] = []
    for token in tokens:
        if token.type == "literal" and token.value == sign:
            yield part
            part = []
        else:
            part.append(token)
    yield part


def _said(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")
