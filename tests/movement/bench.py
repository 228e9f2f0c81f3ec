"""A small model of invented tables, with every sort of field that model files have, for the tests of reading."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from builder.ground.faults import Complaint, Refused
from builder.ground.part import Count, Length, Listed, Name, Part, Slug


class Weight(Part):
    """A weight on a line."""

    kind: Literal["weight"]
    weight: Annotated[float, Field(gt=0, le=50)]
    """Mass in kg."""


class Spring(Part):
    """A spring in a barrel."""

    kind: Literal["spring"]
    length_mm: Length
    """Length uncoiled."""
    barrel_mm: Length
    """Inner diameter."""

    @model_validator(mode="after")
    def fits(self) -> "Spring":
        if self.length_mm < self.barrel_mm:
            complaint = Complaint(("length_mm",), f"{self.length_mm}", "longer than the barrel is wide", "Measure again.")
            raise Refused([complaint, Complaint(("barrel_mm",), f"{self.barrel_mm}", "less than the length", "Measure again.")])
        return self


Source = Annotated[Weight | Spring, Field(discriminator="kind")]


class Wheel(Part):
    """A wheel."""

    teeth: Annotated[int, Field(ge=6, le=400)]
    """Teeth,
    counted."""
    module_mm: Annotated[float, Field(ge=0.02, le=20)] | None = None
    material: Literal["brass", "steel", "nickel silver"] = "brass"


class Bench(Part):
    """What lies on the bench."""

    name: Name
    source: Source
    spare: Source | None = None
    wheels: Annotated[Listed[Wheel], Field(max_length=3)] = ()
    more: dict[Slug, Wheel] = Field(default={})
    at_mm: Annotated[Listed[float], Field(min_length=2, max_length=2)] | None = None
    jewelled: bool = False
    turns: Count | Literal["many"] = "many"
    page: Annotated[str, Field(pattern="^[a-z]+$")] = "bench"
    language: Annotated[str, Field(pattern="^[a-z]{2}$", title="a language code of two letters, such as en")] = "en"
    boxes: Annotated[dict[Slug, Length], Field(min_length=2)] | None = None
