"""An escapement that is only counted: its wheel steps tooth by tooth, and neither its shape nor its action is solved."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.part import Count, Name, Part, Slug


class Counted(Part):
    """For old or unusual kinds: the count of the train is right, the step is nominal and the page says so."""

    kind: Literal["counted"]
    """What kind of escapement this is."""
    arbor: Slug
    """The arbor that carries the escape wheel."""
    name: Name
    """What the trade calls it, for instance 'duplex' or 'gravity, double three-legged'."""
    teeth: Count
    """Teeth of the escape wheel."""
    beats_per_tooth: Annotated[int, Field(ge=1, le=4)] = 2
    """Beats for each tooth that passes: 2 for most kinds, 1 for kinds that let a whole tooth pass at each beat."""
