"""What was typed, read as a count, a measure, a word of a list or a name; the limits are those of the model file's keys."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from builder.bench.working.asked import exactly
from builder.ground import words
from builder.ground.faults import Refused
from builder.ground.part import Part
from builder.movement.allowed import allowed, choices, spot
from builder.movement.jsonschema import Schema, schema_of
from builder.starter.conversation import Question, Unfit

NOT_KNOWN = "Enter alone: not known."

_NUMBER = r"[+-]?\d{1,9}(?:[.,]\d{1,9}|\s+[1-9]\d{0,3}/[1-9]\d{0,3}|/[1-9]\d{0,3})?"

Check = Callable[[Any], str | None]
"""Why an answer cannot be, seen against the answers before it; None where it can."""


def counted(
    id: str, text: str, how: str, of: type[Part], key: str, check: Check = lambda _: None, needed: bool = True
) -> Question[Any]:
    """A whole number within the limits of a key; None where there are none and none are needed."""
    schema = _schema(of, key)

    def read(typed: str) -> int | None:
        if not typed and not needed:
            return None
        if not re.fullmatch(r"[+-]?\d{1,12}", typed):
            raise Unfit(f"It is counted: {allowed(schema)}, in figures.")
        return _judged(int(typed), schema, check)

    return Question(id, text, read, how, _sentence(allowed(schema)) + ("" if needed else " Enter alone: none."))


def measured(
    id: str, text: str, how: str, of: type[Part], key: str, unit: str, check: Check = lambda _: None, needed: bool = False
) -> Question[float | None]:
    """A number with or without its unit, with a point, a comma or a fraction; None where it is not known and need not be."""
    schema = _schema(of, key)

    def read(typed: str) -> float | None:
        if not typed and not needed:
            return None
        figures = re.fullmatch(rf"({_NUMBER})\s*({re.escape(unit)})?", typed)
        if not figures:
            raise Unfit(f"Please write {allowed(schema)}{f', in {unit}' if unit else ''}: as 7.5, 7,5 or 7 1/2.")
        return float(_judged(float(exactly(figures[1].replace(",", "."))), schema, check))

    said = f"{allowed(schema)}{f', in {unit}' if unit else ''}"
    return Question(id, text, read, how, _sentence(said) + ("" if needed else f" {NOT_KNOWN}"))


def chosen(id: str, text: str, how: str, words: dict[str, str] | list[str], check: Check = lambda _: None) -> Question[str]:
    """One of some words, or its number in the list. A dict says what each stands for. Keys are shown without their _."""
    keys = list(words)

    def read(typed: str) -> str:
        word = next((key for key in keys if key.replace(" ", "_") == typed.lower().replace(" ", "_")), typed.lower())
        if word not in keys and typed.isdecimal() and 1 <= int(typed) <= len(keys):
            word = keys[int(typed) - 1]
        if word not in keys:
            raise Unfit(f"Please choose one of: {', '.join(keys).replace('_', ' ')}.")
        if why := check(word):
            raise Unfit(why)
        return word

    if all(key.isdecimal() for key in keys):
        listed = " or ".join(keys)
    else:
        said = [f"{key} ({words[key]})" if isinstance(words, dict) else key for key in keys]
        listed = "; ".join(f"{number} {each}" for number, each in enumerate(said, 1))
    return Question(id, text, read, how.replace("_", " "), listed.replace("_", " ") + ".")


def arbor(id: str, text: str, how: str, count: int, check: Check = lambda _: None, needed: bool = True) -> Question[int | None]:
    """The number of an arbor, 1 at the source of power; None for none of them."""

    def read(typed: str) -> int | None:
        if not typed and not needed:
            return None
        if not typed.isdecimal() or not 1 <= int(typed) <= count:
            raise Unfit(f"Please give the arbor's number: 1 at the source of power, {count} at the escape wheel.")
        if why := check(int(typed)):
            raise Unfit(why)
        return int(typed)

    return Question(id, text, read, how, f"From 1 to {count}." + ("" if needed else " Enter alone: none of them."))


def named(id: str, text: str, how: str, of: type[Part], key: str, needed: bool = True) -> Question[str]:
    """Some text; '' where there is none and none is needed."""
    most = _schema(of, key).get("maxLength", 120)

    def read(typed: str) -> str:
        if not typed and needed:
            raise Unfit("Please write a few words.")
        if len(typed) > most:
            raise Unfit(f"Please be shorter: at most {most} letters.")
        if not typed.isprintable():
            raise Unfit("Please use letters, figures and signs only.")
        return typed

    return Question(id, text, read, how, "" if needed else "Enter alone: leave it out.")


def kinds(of: type[Part], key: str) -> list[str]:
    """The words that may stand at a key."""
    return choices(_schema(of, key))


def plainly(refused: Refused, say_what: bool = False) -> str:
    """What is wrong and what to do, without the file's keys; on demand with the name of what it is about."""
    first = refused.complaints[0]
    names = [step.rsplit("_", 1)[0].replace("_", " ") for step in first.key if isinstance(step, str)]
    about = words.capital(" ".join(names)) if say_what and names else "That"
    return f"{about} does not fit: {first.allowed}. {first.advice}"


def _schema(of: type[Part], key: str) -> Schema:
    return spot(schema_of(of), (key,)).schema


def _judged(value: Any, schema: Schema, check: Check) -> Any:
    words, inside = schema.get("enum"), True
    if words:
        inside = value in words
    inside &= value >= schema.get("minimum", value) and value <= schema.get("maximum", value)
    inside &= value > schema.get("exclusiveMinimum", value - 1) and value < schema.get("exclusiveMaximum", value + 1)
    if not inside:
        raise Unfit(f"That cannot be: {allowed(schema)}. Please count or measure again.")
    if why := check(value):
        raise Unfit(why)
    return value


def _sentence(text: str) -> str:
    return words.capital(text) + "."
