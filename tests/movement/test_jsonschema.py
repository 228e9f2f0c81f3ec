"""The schema that editors use, against what JSON Schema 2020-12 and TOML say."""

import json
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from builder.movement.collection import Collection
from builder.movement.jsonschema import schema_of, schema_text
from builder.movement.model import Movement
from builder.movement.repair import Repair
from tests.movement.bench import Bench

MODELS = Path(__file__).parents[2] / "models"
FILES: dict[str, type[BaseModel]] = {
    "movement.schema.json": Movement,
    "collection.schema.json": Collection,
    "repair.schema.json": Repair,
}


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
    texts = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, cwd=MODELS.parent, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    }
    assert texts == {schema_text(Bench).encode()}


@pytest.mark.parametrize("name", FILES)
def test_the_files_beside_the_movements_are_up_to_date(name: str) -> None:
    """What editors are given is what the reader checks (write them anew with the command `schemas`)."""
    assert (MODELS / name).read_text("utf-8") == schema_text(FILES[name])


def test_every_file_of_the_collection_names_its_schema() -> None:
    """The first line of each file leads an editor to a schema that is there."""
    files = [MODELS / "collection.toml", *MODELS.glob("*/movement.toml"), *MODELS.glob("*/repairs/*.toml")]
    assert len(files) > 1
    for file in files:
        directive, _, where = file.read_text("utf-8").split("\n")[0].partition(" ")
        assert directive == "#:schema"
        assert (file.parent / where).resolve() in [(MODELS / name).resolve() for name in FILES]


def test_a_validator_agrees() -> None:
    """python-jsonschema, where it is installed: the schemas are right by draft 2020-12, and the collection keeps to them."""
    validator = pytest.importorskip("jsonschema").Draft202012Validator
    for model in FILES.values():
        validator.check_schema(schema_of(model))
    for file in MODELS.glob("*/movement.toml"):
        data = tomllib.loads(file.read_text("utf-8"))
        assert list(validator(schema_of(Movement)).iter_errors(data)) == []
        data["arbors"][0]["id"] = 3
        assert list(validator(schema_of(Movement)).iter_errors(data)) != []
    for file in MODELS.glob("*/repairs/*.toml"):
        data = tomllib.loads(file.read_text("utf-8"))
        assert list(validator(schema_of(Repair)).iter_errors(data)) == []
        data["findings"][0]["severity"] = "dreadful"
        assert list(validator(schema_of(Repair)).iter_errors(data)) != []
