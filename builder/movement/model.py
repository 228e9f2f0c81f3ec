"""The movement file: what a person can count and measure at the bench, as typed tables.

Only what one table can know of itself is checked here; what needs two tables is in rules.py. Each family of parts
brings its own kinds, so that a new kind is one file in builder/parts and one line in its family's dict.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal, Union

from pydantic import Field

from builder.ground.part import Angle, Length, Listed, Name, Part, Slug
from builder.parts.escapement import ESCAPEMENTS
from builder.parts.keyless import Keyless
from builder.parts.motion_work import MOTION_WORKS
from builder.parts.oscillator import OSCILLATORS
from builder.parts.source import SOURCES

if TYPE_CHECKING:
    from builder.parts.escapement import Escapement
    from builder.parts.motion_work import MotionWork
    from builder.parts.oscillator import Oscillator
    from builder.parts.source import Source
else:
    # One discriminated union a family: the key `kind` chooses the table's keys.
    Escapement = Annotated[Union[tuple(ESCAPEMENTS.values())], Field(discriminator="kind")]  # noqa: UP007
    MotionWork = Annotated[Union[tuple(MOTION_WORKS.values())], Field(discriminator="kind")]  # noqa: UP007
    Oscillator = Annotated[Union[tuple(OSCILLATORS.values())], Field(discriminator="kind")]  # noqa: UP007
    Source = Annotated[Union[tuple(SOURCES.values())], Field(discriminator="kind")]  # noqa: UP007

Material = Literal["brass", "steel", "nickel silver"]
Place = Annotated[Listed[Annotated[float, Field(ge=-2000, le=2000)]], Field(min_length=2, max_length=2)]
"""A point [x, y] in mm."""
Height = Annotated[float, Field(ge=-1000, le=1000)]
"""A height in mm above the inside face of the back plate, forwards positive."""


class Toothed(Part):
    """What a wheel and a pinion share."""

    module_mm: Annotated[float, Field(ge=0.02, le=20)] | None = None
    """Module: pitch diameter in mm divided by the count. Leave out where a diameter or the centres are given."""
    outside_diameter_mm: Length | None = None
    """Diameter over the tips as measured; the module follows through the tooth form's addendum."""
    thickness_mm: Length | None = None
    """Thickness (wheel) or length of the leaves (pinion)."""
    height_mm: Height | None = None
    """Middle of the thickness above the inside face of the back plate. Left out: that of its mate, or the first free one."""


class Wheel(Toothed):
    """A wheel: it has teeth."""

    teeth: Annotated[int, Field(ge=6, le=600)]
    """Teeth, counted."""
    arms: Annotated[int, Field(ge=0, le=12)] | None = None
    """Crossings (arms); 0 for a solid wheel. Left out: what suits the size."""
    material: Material = "brass"
    """What it is made of."""

    @property
    def count(self) -> int:
        return self.teeth


class Pinion(Toothed):
    """A pinion: it has leaves."""

    leaves: Annotated[int, Field(ge=4, le=60)]
    """Leaves, counted."""
    profile: Literal["A", "B", "C"] | None = None
    """Leaf end: A semicircle, B fuller, C fullest; left out: what suits the count."""
    material: Material = "steel"
    """What it is made of."""

    @property
    def count(self) -> int:
        return self.leaves


class Arbor(Part):
    """An arbor with what is fixed to it."""

    id: Slug
    """A short name for use in this file: great, centre, third, fourth, escape."""
    name: Name | None = None
    """The name on the pages; left out: the id."""
    wheel: Wheel | None = None
    """The wheel on this arbor (the escape wheel is described under [escapement])."""
    pinion: Pinion | None = None
    """The pinion of this arbor."""
    more: dict[Slug, Wheel] = Field(default_factory=dict)
    """Further wheels on this arbor, each under a name of its own, for instance one that drives the hands."""
    at_mm: Place | None = None
    """Centre [x, y] as seen from the front, y upwards. Left out: it follows from the mesh's module and direction."""
    pivot_diameter_mm: Length | None = None
    """Diameter of the pivots; left out: estimated from the arbor."""
    endshake_mm: Length | None = None
    """Play along the arbor between the plates; left out: what is usual for the size."""
    hand: Literal["seconds", "minutes", "hours"] | None = None
    """The hand that sits straight on this arbor (the minute and hour hand of a motion work are not named here)."""

    @property
    def title(self) -> str:
        return self.name or self.id.replace("_", " ").capitalize()


class Mesh(Part):
    """Which toothed part drives which."""

    driver: Slug
    """The arbor that drives."""
    driven: Slug
    """The arbor that is driven."""
    driver_part: Slug = "wheel"
    """wheel, pinion or the name under `more`."""
    driven_part: Slug = "pinion"
    """pinion, wheel or the name under `more`."""
    direction_deg: Angle | None = None
    """Direction from the driver's centre to the driven one, seen from the front, counter-clockwise from 3 o'clock."""
    form: Literal["cycloidal", "involute"] = "cycloidal"
    """Tooth form of the pair."""


class Friction(Part):
    """Coefficients of friction of the train; textbook orders, from memory, where nothing better is known."""

    teeth: Annotated[float, Field(ge=0, le=0.5)] = 0.15
    """Steel leaves on brass teeth, clean and dry."""
    pivots: Annotated[float, Field(ge=0, le=0.5)] = 0.12
    """Pivots in oiled holes; about 0.1 in jewels, 0.12 to 0.15 in brass."""


class Plates(Part):
    """The frame: two plates and their pillars."""

    shape: Literal["rectangular", "round"] = "rectangular"
    """Outline of the plates."""
    width_mm: Length
    """Width, or the diameter of round plates."""
    height_mm: Length | None = None
    """Height of rectangular plates; left out: as wide."""
    centre_mm: Place = (0.0, 0.0)
    """Middle of the plate in the same frame as the arbors' centres."""
    pillars: Annotated[int, Field(ge=2, le=8)] = 4
    """Number of pillars."""
    pillars_at_mm: Annotated[Listed[Place], Field(max_length=8)] = ()
    """Where the pillars stand [[x, y], …], seen from the front; left out: evenly near the edge."""
    thickness_mm: Length = 2.0
    """Thickness of each plate."""
    between_mm: Length | None = None
    """Clear distance between the plates; left out: what the parts between them need."""
    pillars_on: Literal["back", "front"] | None = None
    """The plate that the pillars are fixed to; the other comes off. Left out: the front one in a watch, else the back one."""


class Heights(Part):
    """Heights of what is no wheel of the train, above the inside face of the back plate, forwards positive; all optional."""

    source_mm: Height | None = None
    """Middle of the barrel, the drum with its flanges, the fusee or the open spring, on the source's arbor."""
    source_length_mm: Length | None = None
    """Its length along the arbor, over everything but the great wheel."""
    winding: Literal["front", "back"] | None = None
    """The side on which the winding square stands. Left out: the back for a watch, else the front."""
    escape_wheel_mm: Height | None = None
    """Middle of the escape wheel."""
    escape_wheel_thickness_mm: Length | None = None
    """Thickness of the escape wheel."""
    balance_mm: Height | None = None
    """Middle of the balance's rim; below 0 where it swings behind the back plate under a cock."""
    back_cock_mm: Length | None = None
    """From the back plate's outside to the inside of the cock that carries the pallet arbor and the pendulum."""
    minute_wheel_mm: Height | None = None
    """Middle of the minute wheel."""
    hour_wheel_mm: Height | None = None
    """Middle of the hour wheel."""
    dial_mm: Height | None = None
    """Back of the dial."""


class Dial(Part):
    """The dial and its hands."""

    diameter_mm: Length
    """Diameter of the hour circle's outer edge."""
    numerals: Literal["roman", "arabic", "none"] = "roman"
    """Figures on the dial."""


class OtherPart(Part):
    """A part that the tree of parts would not know of by itself."""

    name: Name
    """Its name on the page."""
    under: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,60}$", title="the anchor of a part")] = "movement"
    """The part that it belongs to, by the anchor that the page of parts gives it: great-wheel, balance, frame."""
    material: Name | None = None
    """What it is made of."""
    does: Annotated[str, Field(min_length=1, max_length=400)]
    """One sentence: what it does."""
    worn: Annotated[str, Field(min_length=1, max_length=400)] | None = None
    """What to look for when it is worn."""


Assumed = Annotated[
    str,
    Field(
        pattern=r"^(arbors\.[a-z][a-z0-9_]{0,39}\.[a-z][a-z0-9_]{0,39}|(source|meshes|escapement|oscillator|motion_work|plates|heights)\.[a-z_]{1,40})$",
        title="a place in this file: arbors.great.wheel, by the arbor's id, or escapement.radius_mm",
    ),
]
"""A size that is not measured, by its key."""


class About(Part):
    """What the pages say of the movement."""

    name: Name
    """Name on the pages."""
    sort: Literal["timepiece", "clock", "regulator", "watch"]
    """What a person would call it."""
    summary: Annotated[str, Field(min_length=1, max_length=400)]
    """One sentence: what is to be seen."""
    lent_by: Name | None = None
    """Whose shelf it stands on."""
    assumed: Annotated[Listed[Assumed], Field(max_length=60)] = ()
    """What nobody measured and what stands in the file so that there is a drawing: arbors.great.wheel, meshes.direction_deg."""


class Movement(Part):
    """One movement, as its movement.toml describes it."""

    movement: About
    """Name and one sentence."""
    source: Source
    """What drives it."""
    arbors: Annotated[Listed[Arbor], Field(min_length=1, max_length=24)]
    """The arbors, from the source to the escape arbor; further ones after that."""
    meshes: Annotated[Listed[Mesh], Field(max_length=24)] = ()
    """Which wheel drives which pinion."""
    escapement: Escapement
    """What lets the train go tooth by tooth."""
    oscillator: Oscillator
    """What counts the time."""
    friction: Friction = Friction()
    """Friction of teeth and pivots."""
    motion_work: MotionWork | None = None
    """The gearing to the hour hand."""
    keyless: Keyless | None = None
    """The keyless work, where a crown winds and sets; an empty table says that there is one."""
    plates: Plates | None = None
    """The frame."""
    heights: Heights = Heights()
    """Heights measured of what is not a wheel of the train."""
    dial: Dial | None = None
    """The dial."""
    parts: Annotated[Listed[OtherPart], Field(max_length=60)] = ()
    """Further parts for the tree of parts."""

    def arbor(self, name: str) -> Arbor:
        """The arbor of that id. Raises KeyError if there is none (the rules have made sure of all that are named)."""
        for arbor in self.arbors:
            if arbor.id == name:
                return arbor
        raise KeyError(name)

    def toothed(self, arbor: str, part: str) -> Wheel | Pinion | None:
        """The wheel or pinion that a mesh names, or None where that arbor has none of that name."""
        holder = self.arbor(arbor)
        if part == "wheel":
            return holder.wheel
        return holder.pinion if part == "pinion" else holder.more.get(part)
