"""Data that the files' own schemas allow, drawn by Hypothesis: whole tables, single values, and their edges."""

from __future__ import annotations

import math
from typing import Any

from hypothesis import strategies as st

from builder.movement.jsonschema import schema_of
from builder.movement.model import Movement
from builder.movement.repair import Repair

Schema = dict[str, Any]
SCHEMA, REPAIR = schema_of(Movement), schema_of(Repair)
DEFINED = {**SCHEMA["$defs"], **REPAIR["$defs"]}
USUAL = (1e-3, 1e3)
"""Where a bound is missing or far off, numbers are mostly drawn from here."""
NAMES = ("wheel", "pinion", "great", "barrel", "second", "centre", "third", "escape", "spare")


def resolved(schema: Schema) -> Schema:
    """The schema that a $ref names, else itself."""
    while "$ref" in schema:
        schema = DEFINED[schema["$ref"].rpartition("/")[2]]
    return schema


def choices(schema: Schema) -> list[Schema]:
    """The schemas of which one has to fit."""
    schema = resolved(schema)
    inner = schema.get("oneOf") or schema.get("anyOf")
    return [resolved(each) for each in inner] if inner else [schema]


def number(schema: Schema) -> st.SearchStrategy[float]:
    """A number within the bounds: of any order of magnitude, now and then at the very edge."""
    low = schema.get("minimum", schema.get("exclusiveMinimum", -math.inf))
    high = schema.get("maximum", schema.get("exclusiveMaximum", math.inf))
    least, most = max(low, -USUAL[1]), min(high, USUAL[1])
    edges = [edge for edge in (schema.get("minimum"), schema.get("maximum")) if edge is not None]
    if "exclusiveMinimum" in schema:
        edges.append(schema["exclusiveMinimum"] + 1e-9)
    if schema["type"] == "integer":
        near = st.integers(math.ceil(least), math.floor(max(most, least)))
        whole = [int(edge) for edge in edges if float(edge).is_integer()]
        return st.one_of(near, near, st.sampled_from(whole)) if whole else near
    if least >= 0:
        near = st.floats(math.log(max(least, USUAL[0])), math.log(max(most, 2 * USUAL[0])))
        near = near.map(lambda x: min(rounded(math.exp(x)), most))
    else:
        near = st.floats(least, most).map(rounded)
    return st.one_of(near, near, near, st.sampled_from([float(edge) for edge in edges])) if edges else near


def rounded(value: float) -> float:
    """Three digits, as a person writes."""
    return float(f"{value:.3g}")


@st.composite
def fitting(draw: st.DrawFn, schema: Schema, fewer: bool = False) -> Any:
    """A value that the schema allows; tables with what they need and some of what they may have."""
    schema = draw(st.sampled_from(choices(schema)))
    if "const" in schema or "enum" in schema:
        return draw(st.sampled_from(schema.get("enum", [schema.get("const")])))
    sort = schema.get("type")
    if sort in ("integer", "number"):
        return draw(number(schema))
    if sort == "boolean":
        return draw(st.booleans())
    if sort == "string":
        return draw(st.sampled_from(NAMES)) if "pattern" in schema else draw(st.sampled_from(["Third wheel", "x", "<b>&\"'"]))
    if sort == "array":
        least, most = schema.get("minItems", 0), min(schema.get("maxItems", 4), 4)
        items = schema.get("prefixItems") or [schema["items"]] * draw(st.integers(min(least, 4), max(least, most)))
        return [draw(fitting(each, fewer)) for each in items]
    needed = schema.get("required", [])
    table = {key: draw(fitting(each, fewer)) for key, each in schema.get("properties", {}).items() if key in needed}
    for key, each in schema.get("properties", {}).items():
        if key not in needed and draw(st.integers(0, 4 if fewer else 2)) == 0:
            table[key] = draw(fitting(each, fewer))
    return table


def at(table: Any, schema: Schema) -> Schema | None:
    """Of a schema's choices the one that fits this table's kind; None where none does."""
    for each in choices(schema):
        kind = each.get("properties", {}).get("kind", {}).get("const")
        if not isinstance(table, dict) or kind is None or kind == table.get("kind"):
            return each
    return None
