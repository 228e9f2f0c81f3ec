"""The balance with its hairspring."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, radians, sqrt
from typing import Annotated, Literal

from pydantic import Field

from builder.ground import words
from builder.ground.constants import GRAVITY_STANDARD_M_S2, MATERIALS, ROOM_C, SECONDS_PER_DAY, MaterialName
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Length, Part
from builder.parts.oscillator.pendulum_parts import BeatsPerHour, Celsius, Quality
from builder.parts.oscillator.quality import BALANCE_Q
from builder.parts.oscillator.rating import poise_s_per_day, strip_stiffness_nm
from builder.parts.oscillator.terms import Terms, rate_s_per_day


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

    def inertia_kg_m2(self, diameter_mm: float, arms: int) -> float:
        """A ring with `arms` bars from the staff to its inner edge. Neglected: staff, roller and collet."""
        outer_m = 0.5e-3 * diameter_mm
        inner_m = outer_m - 1e-3 * self.width_mm
        a_height = MATERIALS[self.material].density_kg_m3 * 1e-3 * self.height_mm
        ring = a_height * pi / 2.0 * (outer_m**4 - inner_m**4)
        return ring + arms * a_height * 1e-3 * self.arm_width_mm * inner_m**3 / 3.0


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

    def unknown(self) -> list[str]:
        """Which of thickness, height and length were left out."""
        return [key for key in ("thickness_mm", "height_mm", "length_mm") if getattr(self, key) is None]

    def stiffness_nm(self) -> float:
        """Moment a radian, N·m. Raises ValueError where a dimension is missing."""
        if self.thickness_mm is None or self.height_mm is None or self.length_mm is None:
            raise ValueError("the hairspring is not known in full")
        young = MATERIALS[self.material].young_pa or 0.0
        return strip_stiffness_nm(young, 1e-3 * self.height_mm, 1e-3 * self.thickness_mm, 1e-3 * self.length_mm)

    def completed(self, stiffness_nm: float) -> Hairspring:
        """The spring with its one missing dimension, so that it has this stiffness."""
        (key,) = self.unknown()
        unit = self.model_copy(update={key: 1.0}).stiffness_nm()
        part = stiffness_nm / unit
        value = {"thickness_mm": part ** (1.0 / 3.0), "height_mm": part, "length_mm": 1.0 / part}[key]
        return self.model_copy(update={key: value})

    def thickness_for_m(self, stiffness_nm: float) -> float:
        """Thickness, m, with which the strip as measured otherwise would have this stiffness."""
        return 1e-3 * (self.thickness_mm or 0.0) * (stiffness_nm / self.stiffness_nm()) ** (1.0 / 3.0)


class CutBimetal(Part):
    """A cut rim of two metals: right at two temperatures, and fast between them (middle temperature error)."""

    kind: Literal["cut_bimetal"]
    low_c: Celsius
    """The lower temperature at which it was adjusted."""
    high_c: Celsius
    """The higher temperature at which it was adjusted."""
    middle_gain_s_per_day: Annotated[float, Field(ge=0, le=60)] = 3.0
    """Gain half way between the two."""

    def gain_s_per_day(self, temperature_c: float) -> float:
        """Gain at a temperature: a parabola through the two of adjustment. Neglected: all higher terms."""
        half = (self.high_c - self.low_c) / 2.0
        return self.middle_gain_s_per_day * (temperature_c - self.low_c) * (self.high_c - temperature_c) / half**2


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
    """How far the balance at rest stands from where its pin puts the lever midway between the bankings."""
    poise_mg_mm: Annotated[float, Field(ge=0, le=1e6)] = 0.0
    """Moment of the heavy spot, its mass times its distance from the staff: what it does, dial upright, is a figure."""
    poise_deg: Annotated[float, Field(ge=-360, le=360)] = 0.0
    """Direction of the heavy spot at rest, from straight down (dial edge vertical)."""
    temperature_c: Celsius = 20.0
    """Temperature at which it runs. Sizes, and a setting left open, are those at 20 °C."""

    def complaints(self) -> list[Complaint]:
        """What cannot be in the table as it stands, whatever the beat."""
        found = []
        if self.rim is not None and 2.0 * self.rim.width_mm >= self.diameter_mm:
            found.append(
                Complaint(
                    ("rim", "width_mm"),
                    f"{self.rim.width_mm:g}",
                    f"a rim of {self.diameter_mm:g} mm over all is narrower than {self.diameter_mm / 2.0:g} mm",
                    "Measure the rim's radial width.",
                )
            )
        if self.rim is not None and self.inertia_mg_cm2 is not None:
            found.append(
                Complaint(
                    ("inertia_mg_cm2",),
                    f"{self.inertia_mg_cm2:g}",
                    "the inertia is given, or worked out from the rim",
                    "Leave out one of the two.",
                )
            )
        if self.rim is None and self.inertia_mg_cm2 is None and self.hairspring.unknown():
            found.append(
                Complaint(
                    ("inertia_mg_cm2",),
                    "nothing",
                    "neither inertia nor rim is given, and the hairspring is not known in full",
                    "Give inertia_mg_cm2, or a rim, or the hairspring's thickness, height and length.",
                )
            )
        if MATERIALS[self.hairspring.material].young_pa is None:
            found.append(
                Complaint(
                    ("hairspring", "material"),
                    self.hairspring.material,
                    "a hairspring is of a metal that springs",
                    "Name what the strip is made of.",
                )
            )
        warm = self.compensation
        if warm is not None and not warm.low_c < warm.high_c:
            found.append(
                Complaint(
                    ("compensation", "low_c"), f"{warm.low_c:g}", f"lower than high_c = {warm.high_c:g}", "Exchange the two."
                )
            )
        return found

    def sprung(self, beats_per_hour: float | None = None) -> Sprung:
        """The balance with its spring, brought to time at 20 °C where the regulator allows.

        `beats_per_hour` is what the train asks for (left out: the table's own). Whatever single dimension of the spring
        was left out follows from the beat; the inertia does where only it is missing. Raises Refused for whatever
        `complaints` finds, for a spring known in full that is further from the beat than the regulator (or, free sprung,
        2 %) allows, and where too little is known.
        """
        found = self.complaints()
        beats = beats_per_hour if beats_per_hour is not None else self.beats_per_hour
        if beats is None and (self.hairspring.unknown() or (self.rim is None and self.inertia_mg_cm2 is None)):
            found.append(
                Complaint(("beats_per_hour",), "nothing", "neither the beat nor all of balance and spring is known", "Give it.")
            )
        if found:
            raise Refused(found)
        spring = self.hairspring
        inertia = self._given_inertia_kg_m2()
        if beats is None:
            stiffness = spring.stiffness_nm()
            return Sprung(inertia, stiffness, spring, 2.0 * pi * sqrt(inertia / stiffness))
        period_s = 7200.0 / beats
        if inertia == 0.0:
            stiffness = spring.stiffness_nm()
            return Sprung(stiffness * (period_s / (2.0 * pi)) ** 2, stiffness, spring, period_s)
        wanted = inertia * (2.0 * pi / period_s) ** 2
        missing = spring.unknown()
        if not missing:
            return Sprung(inertia, self._regulated_nm(wanted, period_s), spring, period_s)
        return Sprung(inertia, wanted, spring.completed(wanted) if len(missing) == 1 else spring, period_s)

    def terms(
        self,
        beats_per_hour: float | None = None,
        gravity_m_s2: float = GRAVITY_STANDARD_M_S2,
        small_period_s: float | None = None,
    ) -> Terms:
        """The equation of motion of `sprung`, at its own temperature; Q as given or 200 (see quality.py).

        `small_period_s` brings it to another small period than two beats. `gravity_m_s2` is not used: a poised balance has
        no weight to lift. Neglected here: the heavy spot (see `poise_s_per_day`), the spring's own inertia and its ends,
        which make real balances a little anisochronous.
        """
        sprung = self.sprung(beats_per_hour)
        stiffness = sprung.stiffness_nm
        if small_period_s is not None:
            stiffness = sprung.inertia_kg_m2 * (2.0 * pi / small_period_s) ** 2
        stiffness *= (1.0 + self.warmth_s_per_day(self.temperature_c) / SECONDS_PER_DAY) ** 2
        q_factor = self.q_factor if self.q_factor is not None else BALANCE_Q
        return Terms(
            inertia_kg_m2=sprung.inertia_kg_m2,
            gravity_nm=0.0,
            stiffness_nm=stiffness,
            loss_nms=sqrt(sprung.inertia_kg_m2 * stiffness) / q_factor,
            nominal_period_s=sprung.nominal_period_s,
            out_of_beat_rad=radians(self.out_of_beat_deg),
        )

    def warmth_s_per_day(self, temperature_c: float) -> float:
        """Gain at a temperature against 20 °C, s a day.

        Plain: half of the modulus's change and of three times the strip's growth (E h t³ / L), less the balance's growth.
        Cut: a parabola, nought at the two temperatures of adjustment. Neglected: the modulus's own curve.
        """
        warm = self.compensation
        if warm is not None:
            return warm.gain_s_per_day(temperature_c) - warm.gain_s_per_day(ROOM_C)
        return self.warmth_s_per_day_per_c() * (temperature_c - ROOM_C)

    def warmth_s_per_day_per_c(self) -> float:
        """Gain a °C of the plain balance with its spring, s a day."""
        spring = MATERIALS[self.hairspring.material]
        rim = MATERIALS[self.material if self.rim is None else self.rim.material]
        return SECONDS_PER_DAY * (0.5 * (spring.young_per_k or 0.0) + 1.5 * spring.expansion_per_k - rim.expansion_per_k)

    def poise_s_per_day(self, terms: Terms, amplitude_rad: float, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
        """Gain by the heavy spot with the dial vertical, `poise_deg` from straight down (see rating.py)."""
        moment_nm = 1e-9 * self.poise_mg_mm * gravity_m_s2
        return poise_s_per_day(moment_nm, radians(self.poise_deg), terms.rigidity_nm, amplitude_rad)

    def _given_inertia_kg_m2(self) -> float:
        """From the table or the rim; 0 where it is to follow from spring and beat."""
        if self.inertia_mg_cm2 is not None:
            return 1e-10 * self.inertia_mg_cm2
        if self.rim is None:
            return 0.0
        inertia = self.rim.inertia_kg_m2(self.diameter_mm, self.arms)
        if self.screws is not None:
            radius_mm = self.screws.radius_mm if self.screws.radius_mm is not None else self.diameter_mm / 2.0
            inertia += self.screws.count * 1e-12 * self.screws.mass_mg * radius_mm**2
        return inertia

    def _regulated_nm(self, wanted_nm: float, period_s: float) -> float:
        """Stiffness of a spring known in full, the regulator moved to the beat; Refused beyond its reach."""
        spring = self.hairspring
        is_nm = spring.stiffness_nm()
        length_mm = spring.length_mm or 0.0
        move_mm = length_mm * (is_nm / wanted_nm - 1.0)  # let out to slow it
        if abs(move_mm) <= spring.regulator_mm / 2.0:
            return wanted_nm
        if spring.regulator_mm == 0.0 and abs(sqrt(is_nm / wanted_nm) - 1.0) <= 0.02:
            return is_nm
        beats = 7200.0 / period_s
        raise Refused(
            [
                Complaint(
                    ("hairspring", "length_mm"),
                    f"{length_mm:g}",
                    f"this spring and balance beat {words.grouped(f'{beats * sqrt(is_nm / wanted_nm):.0f}')} times an hour, the "
                    f"train asks for {words.grouped(f'{beats:.0f}')}; that is {abs(move_mm):.2f} mm of spring, and the regulator "
                    f"has {spring.regulator_mm / 2.0:g} mm each way",
                    f"A strip is seldom measured well enough: leave out thickness_mm (the beat asks for "
                    f"{1e3 * spring.thickness_for_m(wanted_nm):.4f}) or another of its dimensions.",
                )
            ]
        )


@dataclass(frozen=True)
class Sprung:
    """A balance and spring at 20 °C."""

    inertia_kg_m2: float
    stiffness_nm: float
    spring: Hairspring
    """With the dimension that followed from the beat."""
    nominal_period_s: float

    @property
    def regulator_s_per_day_per_mm(self) -> float | None:
        """Gain for one mm of spring taken up; None where the length is not known."""
        if self.spring.length_mm is None:
            return None
        return rate_s_per_day(sqrt(1.0 - 1.0 / self.spring.length_mm), 1.0) if self.spring.length_mm > 1.0 else None
