"""The JSON Schema of a model file: what editors offer and check while a person types, and what messages quote.

A model file names it in its first line, relative to itself: `#:schema ../movement.schema.json`.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema
from pydantic_core import core_schema

DIALECT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]


class _AsTyped(GenerateJsonSchema):
    """As TOML knows it: there is no null, a key is left out instead; and no titles that only repeat the key."""

    schema_dialect = DIALECT

    def nullable_schema(self, schema: core_schema.NullableSchema) -> Schema:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> Schema:
        return self.generate_inner(schema["schema"]) if schema.get("default", ...) is None else super().default_schema(schema)

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False


@cache
def schema_of(model: type[BaseModel]) -> Schema:
    """The schema as data; field descriptions come from the attribute docstrings. Shared: do not change it."""
    return {"$schema": DIALECT, **model.model_json_schema(schema_generator=_AsTyped)}


def schema_text(model: type[BaseModel]) -> str:
    """The schema as the bytes of a .schema.json file: the same model, the same text."""
    return json.dumps(schema_of(model), indent=2, ensure_ascii=False) + "\n"
