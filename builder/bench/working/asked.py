"""A question as a person types it, read into the sum that it asks: numbers and fractions exactly as written."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from pydantic import BeforeValidator, ValidationError

from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part
from builder.movement.allowed import allowed

P = TypeVar("P", bound=Part)


class Unreadable(ValueError):  # noqa: N818  # it is the text that is unreadable
    """What was typed is no number, no count, no train: the question cannot be understood."""


WRITTEN = re.compile(r"[+-]?(\d{1,18}(\.\d{0,18})?|\.\d{1,18})(e[+-]?\d{1,2})?(/\d{1,18})?", re.IGNORECASE)


def exactly(value: Any) -> Fraction:
    """A number as it was written: 7 1/2, 15/2, 0.75, 18000. Raises Unreadable."""
    if isinstance(value, Fraction):
        return value
    parts = str(value).split()
    try:
        if not parts or not all(WRITTEN.fullmatch(part) for part in parts):
            raise ValueError
        return sum(
            (Fraction(over) / Fraction(under or 1) for over, _, under in (part.partition("/") for part in parts)), Fraction(0)
        )
    except (ValueError, ZeroDivisionError):
        raise Unreadable(f"{value if parts else 'nothing'} is no number; write 7.5, 15/2 or 7 1/2") from None


Exact = Annotated[Fraction, BeforeValidator(exactly)]
"""A number that is kept as it was written."""


def sort_of(annotation: Any) -> Any:
    """The plain sort of a field: float, int, Fraction, str, a Literal, or a type of the bench with its own `read`."""
    if get_origin(annotation) is Annotated:
        return sort_of(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return sort_of(next(each for each in get_args(annotation) if each is not NoneType))
    return annotation


def choices(annotation: Any) -> tuple[str, ...]:
    """The words that a field may hold; none where it is a number."""
    sort = sort_of(annotation)
    return tuple(str(each) for each in get_args(sort)) if get_origin(sort) is Literal else ()


def _value(annotation: Any, text: str) -> Any:
    """A plain number or word; what has a reader of its own is left to it."""
    sort = sort_of(annotation)
    if get_origin(sort) is Literal:
        found = {str(each): each for each in get_args(sort)}
        if text not in found:
            raise Unreadable(f"{text} is none of: {', '.join(found)}")
        return found[text]
    if sort is float:
        return float(exactly(text))
    if sort is int:
        number = exactly(text)
        if number.denominator != 1:
            raise Unreadable(f"{text} is no whole number")
        return int(number)
    return text


def question(sum_class: type[P], texts: Mapping[str, str | Sequence[str]]) -> P:
    """The sum with its fields read from texts.

    Raises Unreadable for what is no number of the kind, Refused (keys are fields) for what lies outside what can be.
    """
    values: dict[str, Any] = {}
    for name, text in texts.items():
        try:
            values[name] = _value(sum_class.model_fields[name].annotation, text) if isinstance(text, str) else text
        except Unreadable as unread:
            raise Unreadable(f"{option(name)}: {unread}") from None
    return validated(sum_class, values)


def option(name: str) -> str:
    """A field as the command line has it."""
    return f"--{name.replace('_', '-')}"


def validated(sum_class: type[P], values: Mapping[str, Any]) -> P:
    """The sum with these values. Raises Refused, and Unreadable where a field is wanting or cannot be read."""
    try:
        return sum_class.model_validate(values)
    except ValidationError as error:
        schema = sum_class.model_json_schema()["properties"]
        found = []
        for each in error.errors(include_url=False):
            name, cause = str(each["loc"][0]), each.get("ctx", {}).get("error")
            if each["type"] == "missing":
                raise Unreadable(f"{option(name)} is wanting") from None
            if isinstance(cause, Unreadable):
                raise Unreadable(f"{option(name)}: {cause}") from None
            found.append(Complaint((name,), str(each["input"]), allowed(bounds(schema[name])), "Measure or count again."))
        raise Refused(found) from None


BOUNDS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum"}
"""What the schema of an exact number calls its bounds, as JSON Schema has them."""


def bounds(schema: dict[str, Any]) -> dict[str, Any]:
    """The schema of the number in a field that may also be left out."""
    inner = next((bounds(each) for each in schema.get("anyOf", []) if each.get("type") not in ("null", "string")), {})
    own = {BOUNDS.get(key, key): value for key, value in schema.items() if key not in ("anyOf", "description", "title")}
    return {"type": "number"} | inner | own
