"""The base of every model that is read from a file: strict, frozen, unknown keys forbidden, finite numbers only."""

from __future__ import annotations

from typing import Annotated, TypeVar

from pydantic import BaseModel, ConfigDict, Field, Strict

T = TypeVar("T")

Listed = Annotated[tuple[T, ...], Strict(False)]
"""A TOML array held as a tuple (the items stay strict)."""

Count = Annotated[int, Field(ge=1, le=1000)]
Length = Annotated[float, Field(gt=0, le=5000)]
"""A length in mm (the key says so: `_mm`)."""
Angle = Annotated[float, Field(ge=-360, le=360)]
"""An angle in degrees (the key says so: `_deg`)."""
Name = Annotated[str, Field(min_length=1, max_length=120)]
SLUG = r"^[a-z][a-z0-9_]{0,39}$"
"""The name of a movement's folder, and of an arbor."""
Slug = Annotated[str, Field(pattern=SLUG)]


class Part(BaseModel):
    """A table of the model file. Its fields are the file's keys; a field's description is what editors show."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False, use_attribute_docstrings=True)
