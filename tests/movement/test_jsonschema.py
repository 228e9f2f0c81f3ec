"""The schema that editors use, against what JSON Schema 2020-12 and TOML say."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from builder.movement.jsonschema import schema_of, schema_text
from tests.movement.bench import Bench


def schemas(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        yield node
        node = list(node.values())
    if isinstance(node, list):
        for below in node:
            yield from schemas(below)


def test_names_its_dialect_and_its_keys() -> None:
    """The schema says which draft it follows; keys, bounds, words and the docstrings as help are in it."""
    schema = json.loads(schema_text(Bench))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["description"] == "What lies on the bench."
    assert schema["required"] == ["name", "source"]
    teeth = schema["$defs"]["Wheel"]["properties"]["teeth"]
    assert (teeth["type"], teeth["minimum"], teeth["maximum"]) == ("integer", 6, 400)
    assert teeth["description"].split() == ["Teeth,", "counted."]
    assert schema["$defs"]["Wheel"]["properties"]["material"]["default"] == "brass"


def test_knows_no_null() -> None:
    """TOML has no null, so none is offered: a key that may be left out is only not required."""
    for schema in schemas(schema_of(Bench)):
        assert schema.get("type") != "null"
        assert schema.get("default", "") is not None


def test_unknown_keys_are_refused_in_every_table() -> None:
    """Each table with keys of its own is closed, so that an editor underlines a misspelt key."""
    tables = [schema for schema in schemas(schema_of(Bench)) if isinstance(schema.get("properties"), dict) and "type" in schema]
    assert len(tables) == 4
    assert all(table["additionalProperties"] is False for table in tables)


def test_same_model_same_text() -> None:
    """Another run of Python, with another order of hashes, writes the same bytes."""
    code = "from builder.movement.jsonschema import *; from tests.movement.bench import Bench; print(end=schema_text(Bench))"
    root = Path(__file__).parents[2]
    texts = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, cwd=root, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert texts == {schema_text(Bench).encode()}
