"""What may stand at a key of a model file, in words, taken from the model's own schema."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from builder.ground.faults import Key
from builder.ground.part import SLUG
from builder.ground.words import grouped
from builder.movement.jsonschema import Schema

_PATTERNS = {SLUG: "a short name: small letters, digits and _, beginning with a letter"}
KEY_STEP = "[key]"
"""pydantic's mark for a fault of a table's key itself."""


@dataclass(frozen=True)
class Spot:
    """A place in the model: the key as the file has it, what the schema says of it, and of the table that holds it."""

    key: Key
    schema: Schema
    table: Schema
    either: bool = False
    """True where the value may be one of several sorts and the path ends before it says which."""


def spot(root: Schema, loc: tuple[str | int, ...]) -> Spot:
    """Follow pydantic's `loc` through the schema. The steps that name a kind or a sort are not in the file: left out."""
    key: Key = ()
    here: Schema = _resolved(root, root)
    table: Schema = {}
    for step in loc:
        if "discriminator" in here:
            here = _resolved(root, _kinds(here).get(str(step), {}))
        elif "anyOf" in here:
            return Spot(key, here, table, either=True)
        elif step == KEY_STEP and table and "properties" not in table:
            return Spot(key, next(_names(table), {}), table)
        else:
            table, here = here, _resolved(root, _below(here, step))
            key += (step,)
    return Spot(key, here, table)


def _names(table: Schema) -> Iterator[Schema]:
    yield from ({"type": "string", "pattern": pattern} for pattern in table.get("patternProperties", {}))
    yield table.get("propertyNames", {})


def _below(here: Schema, step: str | int) -> Schema:
    if isinstance(step, int):
        first: list[Schema] = here.get("prefixItems", [])
        return first[step] if step < len(first) else here.get("items", {})
    if step in here.get("properties", {}):
        return here["properties"][step]
    others = [*here.get("patternProperties", {}).values(), here.get("additionalProperties")]
    return next((other for other in others if isinstance(other, dict)), {})


def _resolved(root: Schema, schema: Schema) -> Schema:
    while "$ref" in schema:
        beside = {word: said for word, said in schema.items() if word != "$ref"}
        schema = {**root["$defs"][schema["$ref"].rpartition("/")[2]], **beside}
    return schema


def _kinds(schema: Schema) -> dict[str, Schema]:
    return {kind: {"$ref": ref} for kind, ref in schema["discriminator"].get("mapping", {}).items()}


def choices(schema: Schema) -> list[str]:
    """The words that may stand here, where only certain words may; for a table of several kinds, the kinds."""
    if "discriminator" in schema:
        return list(_kinds(schema))
    if "const" in schema:
        return [str(schema["const"])]
    if "anyOf" in schema:
        return [word for option in schema["anyOf"] for word in choices(option)]
    return [str(word) for word in schema.get("enum", [])]


def keys(schema: Schema) -> list[str]:
    """The keys that a table knows."""
    return list(schema.get("properties", {}))


def allowed(schema: Schema) -> str:
    """In words: 'a whole number from 6 to 600'."""
    sort = schema.get("type")
    if "discriminator" in schema:
        return f"a table with kind = {_or(choices(schema))}"
    if "enum" in schema:
        return f"one of: {', '.join(choices(schema))}"
    if "const" in schema:
        return f'"{schema["const"]}"'
    if "anyOf" in schema:
        return _or(list(dict.fromkeys(allowed(option) for option in schema["anyOf"])))
    if sort in ("integer", "number"):
        return ("a whole number" if sort == "integer" else "a number") + _range(schema)
    if sort == "string":
        return _text(schema)
    if sort == "boolean":
        return "true or false"
    if sort == "array":
        return _list(schema)
    return "a table of keys" if sort == "object" or "$ref" in schema else "something else"


def _or(words: list[str]) -> str:
    return " or ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def _figure(value: Any) -> str:
    return grouped(str(int(value)) if value == int(value) else str(value))


def _range(schema: Schema) -> str:
    least, most = schema.get("minimum"), schema.get("maximum")
    above, below = schema.get("exclusiveMinimum"), schema.get("exclusiveMaximum")
    if least is not None and most is not None:
        return f" from {_figure(least)} to {_figure(most)}"
    low = f"{_figure(least)} or more" if least is not None else f"more than {_figure(above)}" if above is not None else ""
    high = f"at most {_figure(most)}" if most is not None else f"less than {_figure(below)}" if below is not None else ""
    return "".join(f", {bound}" if index == 0 else f" and {bound}" for index, bound in enumerate(filter(None, [low, high])))


def _text(schema: Schema) -> str:
    if "pattern" in schema:
        return schema.get("title") or _PATTERNS.get(schema["pattern"], f"text that fits {schema['pattern']}")
    least, most = schema.get("minLength", 0), schema.get("maxLength")
    if most is not None:
        return f"text in quotes of {least} to {_figure(most)} characters"
    return f"text in quotes of at least {least} characters" if least > 1 else "text in quotes" + (", not empty" if least else "")


def _list(schema: Schema) -> str:
    first = schema.get("prefixItems", [])
    items = [schema["items"]] if isinstance(schema.get("items"), dict) else first[:1]
    what = allowed(items[0]) if items else ""
    each = f", each {what}" if what and what != "something else" else ""
    least, most = schema.get("minItems", 0), schema.get("maxItems")
    if most is not None:
        size = f"of {most} items" if least == most else f"of {least} to {most} items" if least else f"of at most {most} items"
    else:
        size = f"of {least} or more items" if least else ""
    return f"a list {size}".rstrip() + each
