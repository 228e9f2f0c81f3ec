"""The balance with its hairspring."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import MaterialName
from builder.ground.part import Length, Part
from builder.parts.oscillator.pendulum import BeatsPerHour, Celsius, Quality


class Rim(Part):
    """The rim and arms, where the inertia is to be worked out from dimensions."""

    material: MaterialName = "brass"
    """What rim and arms are made of."""
    width_mm: Length
    """Radial width of the rim."""
    height_mm: Length
    """Height of the rim, along the staff."""
    arm_width_mm: Length
    """Width of each arm; arms are as high as the rim."""


class Screws(Part):
    """Screws on the rim, all alike and evenly set."""

    count: Annotated[int, Field(ge=2, le=40)]
    """How many."""
    mass_mg: Annotated[float, Field(gt=0, le=10_000)]
    """Mass of one."""
    radius_mm: Length | None = None
    """From the staff to a screw's centre of mass. Left out: on the rim's outer edge."""


class Hairspring(Part):
    """The hairspring. Of thickness, height and length one may be left out: it then follows from the beat."""

    material: MaterialName = "steel"
    """What the strip is made of."""
    thickness_mm: Annotated[float, Field(gt=0, le=2)] | None = None
    """Thickness of the strip, the way it bends. A tenth more makes the spring a third stiffer."""
    height_mm: Annotated[float, Field(gt=0, le=20)] | None = None
    """Height of the strip, along the staff."""
    length_mm: Length | None = None
    """Length in action, from the collet to the regulator pins."""
    coils: Annotated[float, Field(ge=1, le=40)] = 12.0
    """Number of coils, for the drawing."""
    collet_diameter_mm: Length | None = None
    """Diameter at the innermost coil, for the drawing. Left out: an eighth of the balance's."""
    regulator_mm: Annotated[float, Field(ge=0, le=200)] = 0.0
    """Length of spring that the regulator can let out or take up in all, half of it each way. 0: free sprung."""


class CutBimetal(Part):
    """A cut rim of two metals: right at two temperatures, and fast between them (middle temperature error)."""

    kind: Literal["cut_bimetal"]
    low_c: Celsius
    """The lower temperature at which it was adjusted."""
    high_c: Celsius
    """The higher temperature at which it was adjusted."""
    middle_gain_s_per_day: Annotated[float, Field(ge=0, le=60)] = 3.0
    """Gain half way between the two."""


class Balance(Part):
    """A balance and hairspring, free of the lever but for the lift."""

    kind: Literal["balance"]
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour (18000, 21600 …). Left out: the train decides."""
    diameter_mm: Length
    """Over the rim, without screws."""
    arms: Annotated[int, Field(ge=1, le=8)] = 2
    """Number of arms."""
    inertia_mg_cm2: Annotated[float, Field(gt=0, le=1e9)] | None = None
    """Moment of inertia. Left out: from rim and screws."""
    rim: Rim | None = None
    """Needed where the inertia is left out."""
    screws: Screws | None = None
    material: MaterialName = "brass"
    """What the balance is made of where no rim is described."""
    hairspring: Hairspring
    compensation: CutBimetal | None = None
    """Left out: a plain, uncut balance; warmth then acts through spring and rim."""
    q_factor: Quality | None = None
    """Quality factor, 2π × energy stored / energy lost in a period. Left out: an estimate is made."""
    out_of_beat_deg: Annotated[float, Field(ge=-60, le=60)] = 0.0
    """Angle of the balance at rest when the lever stands midway between its bankings."""
    poise_mg_mm: Annotated[float, Field(ge=0, le=1e6)] = 0.0
    """Moment of the heavy spot: its mass times its distance from the staff."""
    poise_deg: Annotated[float, Field(ge=-360, le=360)] = 0.0
    """Direction of the heavy spot at rest, from straight down (dial edge vertical)."""
    temperature_c: Celsius = 20.0
    """Temperature at which it runs; dimensions hold at 20 °C."""
