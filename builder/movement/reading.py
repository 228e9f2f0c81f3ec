"""From a file to a validated model, or to every fault in it: where, what stands there, what may, what to do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from builder.ground.faults import Complaint, Fault, FaultsFound, Finding, Key, Refused, key_text
from builder.movement.allowed import KEY_STEP, Spot, allowed, choices, keys, spot
from builder.movement.jsonschema import Schema, schema_of
from builder.movement.places import Places
from builder.movement.syntax import parsed
from builder.movement.textfile import LARGEST_BYTES, shortened, shown, text_of

M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True)
class Opened(Generic[M]):
    """A valid model with what later floors need to say where its faults are."""

    model: M
    places: Places
    file: str

    def located(self, complaints: Iterable[Complaint]) -> list[Fault]:
        """The complaints of a later floor, with their places."""
        return located(complaints, self.places, self.file)

    def remarked(self, findings: Iterable[Finding]) -> tuple[str, ...]:
        """What findings say, each once, at the first of its places."""
        once = {finding.text: self.places.nearest(finding.key) for finding in reversed([*findings])}
        return tuple(f"{self.file}:{at.line}:{at.column}: {text}" for text, at in reversed(once.items()))


def read(
    path: Path,
    model: type[M],
    root: Path,
    rules: Callable[[M], Iterable[Complaint]] = lambda _: (),
    largest: int = LARGEST_BYTES,
) -> M:
    """The model that the file describes. Raises FaultsFound as `opened` does."""
    return opened(path, model, root, rules, largest).model


def opened(
    path: Path,
    model: type[M],
    root: Path,
    rules: Callable[[M], Iterable[Complaint]] = lambda _: (),
    largest: int = LARGEST_BYTES,
) -> Opened[M]:
    """The model with its places. Messages name the file from `root` on, and links may not leave `root`.

    `rules` is asked once each table is right in itself. Raises FaultsFound with every fault of the file: what cannot
    be read as text, slips in the TOML, keys and values that the model does not know, broken rules.
    """
    text = text_of(path, root, largest)
    file = shown(path, root)
    toml = parsed(text, file)
    if toml.data is None:
        raise FaultsFound(list(toml.faults))
    places = Places(toml.text)
    try:
        found = model.model_validate(toml.data)
        complaints = list(rules(found))
    except ValidationError as error:
        complaints = _complaints(error, schema_of(model), places)
    except Refused as refused:
        complaints = list(refused.complaints)
    faults = [*toml.faults, *located(complaints, places, file)]
    if faults:
        raise FaultsFound(faults)
    return Opened(found, places, file)


_NUMBER = re.compile(r"[+-]?\d{1,12}(\.\d{1,12})?")


def located(complaints: Iterable[Complaint], places: Places, file: str) -> list[Fault]:
    """Complaints as faults of `file`: at their key or, where it is absent, at the nearest table that would hold it.

    A number is told as it was typed, whatever was computed from it.
    """
    faults = []
    for complaint in complaints:
        place = places.nearest(complaint.key)
        key = shortened(key_text(complaint.key), 100)
        written = places.at(complaint.key)
        value = written.written if written and _NUMBER.fullmatch(written.written) else shortened(complaint.value)
        faults.append(Fault(file, place.line, place.column, key, value, complaint.allowed, complaint.advice))
    return faults


def _complaints(error: ValidationError, schema: Schema, places: Places) -> list[Complaint]:
    """pydantic's errors in plain words; each key once."""
    found: dict[Key, Complaint] = {}
    misspelt: set[Key] = set()
    for each in error.errors(include_url=False):
        here = spot(schema, each["loc"])
        cause = each.get("ctx", {}).get("error")
        if each["type"] == "too_short" and len(each["input"]) >= here.schema.get("minItems", float("inf")):
            continue  # pydantic counts the items that are right, and the wrong ones have been named
        if isinstance(cause, Refused):
            for complaint in cause.complaints:
                key = (*here.key, *complaint.key)
                found.setdefault(key, Complaint(key, complaint.value, complaint.allowed, complaint.advice))
        elif each["type"] == "extra_forbidden":
            meant = _meant(str(here.key[-1]), keys(here.table))
            found[here.key] = _unknown(here, meant, places)
            misspelt |= {(*here.key[:-1], meant)} if meant else set()
        else:
            complaint = _complaint(each["type"], here, each["loc"], each["input"], cause, places)
            found.setdefault(complaint.key, complaint)
    # A required key that is only misspelt is one fault, not two.
    return [complaint for key, complaint in found.items() if not (key in misspelt and places.at(key) is None)]


def _complaint(
    sort: str, here: Spot, loc: tuple[str | int, ...], value: Any, cause: Exception | None, places: Places
) -> Complaint:
    key = here.key
    if sort == "missing" and not here.either:
        return Complaint(key, "missing", allowed(here.schema), f"Add it to {_table(key[:-1])}{_meaning(here)}")
    if sort.startswith("union_tag"):
        name = here.schema.get("discriminator", {}).get("propertyName", "kind")
        key = (*key, name)
        words = choices(here.schema)
        kinds = f"one of: {', '.join(words)}"
        if sort == "union_tag_not_found":
            return Complaint(key, "missing", kinds, f"Add it to {_table(key[:-1])}: it decides on the other keys.")
        return Complaint(key, _written(places, key), kinds, _suggested(value.get(name), words))
    if loc[-1:] == (KEY_STEP,):
        return Complaint(key, str(key[-1]), f"as a key, {allowed(here.schema)}", "Choose another name.")
    if cause is not None:
        return Complaint(key, _written(places, key), str(cause).rstrip("."), "Correct the value.")
    return Complaint(key, _written(places, key), allowed(here.schema), _advice(sort, here, value))


def _unknown(here: Spot, meant: str | None, places: Places) -> Complaint:
    known = ", ".join(keys(here.table)) or "none"
    advice = f"Did you mean {meant}?" if meant else f"Delete it. {_table(here.key[:-1], capital=True)} knows: {known}."
    return Complaint(here.key, _written(places, here.key), "an unknown key", advice)


def _advice(sort: str, here: Spot, value: Any) -> str:
    wanted = here.schema.get("type")
    if choices(here.schema) and sort == "literal_error":
        return _suggested(value, choices(here.schema))
    if sort == "finite_number":
        return f"Write a number that can be measured{_meaning(here)}"
    if sort in ("int_type", "float_type"):
        if isinstance(value, str):
            bare = re.fullmatch(r"\s*[+-]?\d+(\.\d+)?\s*", value)
            return "Take the quotes away." if bare else "Write figures only, without quotes and without a unit."
        if isinstance(value, float) and wanted == "integer":
            return f"Write {value:.0f}." if value.is_integer() else "It is counted, so it is whole."
        return f"Write a number{_meaning(here)}"
    if wanted == "boolean":
        return "Write the word, without quotes."
    if sort == "string_type":
        return 'Put it in " quotes.'
    if wanted == "array" and not isinstance(value, list | tuple):
        return "Put it in square brackets: [ … ]."
    if sort in ("too_short", "too_long"):
        return f"It has {len(value)}{_meaning(here)}"
    if wanted == "object" or "discriminator" in here.schema:
        return f"Write it as a table with keys of its own: {_table(here.key)}."
    return f"Correct it{_meaning(here)}"


def _suggested(value: Any, words: list[str]) -> str:
    meant = _meant(value, words) if isinstance(value, str) else None
    return f'Did you mean "{meant}"?' if meant else "Choose one of these, in quotes."


def _meant(word: str, words: list[str]) -> str | None:
    close = get_close_matches(word.lower(), words, 1)
    return close[0] if close else None


def _meaning(here: Spot) -> str:
    said = " ".join(here.schema.get("description", "").split()).rstrip(".")
    name = next((step for step in reversed(here.key) if isinstance(step, str)), "")
    return f"; {name} means: {said}." if said else "."


def _table(key: Key, capital: bool = False) -> str:
    """The table as its header names it: [arbors.wheel], or [[meshes]] for one of several."""
    name = ".".join(step for step in key if isinstance(step, str))
    if not name:
        return ("The" if capital else "the") + " top of the file"
    return f"[[{name}]]" if isinstance(key[-1], int) else f"[{name}]"


def _written(places: Places, key: Key) -> str:
    place = places.at(key)
    return (place and place.written) or ("a list of tables" if places.at((*key, 0)) else "a table")
