"""The pendulum: rod, bob, suspension spring and rating nut, as they can be measured at the bench."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, radians, sqrt
from typing import Annotated, Literal

from pydantic import Field

from builder.ground.constants import (
    GRAVITY_STANDARD_M_S2,
    MATERIALS,
    ROOM_C,
    SECONDS_PER_DAY,
    air_density_kg_m3,
)
from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part
from builder.ground.roots import root
from builder.parts.oscillator.pendulum_parts import (
    BeatsPerHour,
    Bob,
    Celsius,
    Gridiron,
    MercuryJar,
    Quality,
    RatingNut,
    Rod,
    Suspension,
)
from builder.parts.oscillator.quality import Surface, pendulum_q
from builder.parts.oscillator.suspension import Body, Hanging, on_knife_edge, on_strip
from builder.parts.oscillator.terms import Terms, rate_s_per_day


class Pendulum(Part):
    """A pendulum, swinging with the pallets on a crutch."""

    kind: Literal["pendulum"]
    beats_per_hour: BeatsPerHour | None = None
    """Beats an hour (3600 for a seconds pendulum). Left out: the train decides."""
    rod: Rod
    bob: Bob
    suspension: Suspension | None = None
    """Left out: a knife edge or a thread, without stiffness of its own."""
    rating_nut: RatingNut | None = None
    """Left out: the bob stays where it was put."""
    compensation: Annotated[Gridiron | MercuryJar, Field(discriminator="kind")] | None = None
    """Left out: a plain rod."""
    q_factor: Quality | None = None
    """Quality factor, 2π × energy stored / energy lost in a period. Left out: an estimate is made."""
    out_of_beat_deg: Annotated[float, Field(ge=-10, le=10)] = 0.0
    """How far the pallets' middle stands from the pendulum's rest; + when the pallets lean to the entry side lifted."""
    temperature_c: Celsius = 20.0
    """Temperature at which it runs. Sizes, and a setting left open, are those at 20 °C."""

    def complaints(self) -> list[Complaint]:
        """What cannot be in the table as it stands, whatever the beat."""
        found = []
        rod, bob = self.rod, self.bob
        flat = rod.width_mm is not None or rod.thickness_mm is not None
        if flat and (rod.width_mm is None or rod.thickness_mm is None):
            key = "thickness_mm" if rod.thickness_mm is None else "width_mm"
            found.append(Complaint(("rod", key), "nothing", "a flat rod has a width and a thickness", f"Give {key} too."))
        if rod.mass_g is None and not flat and rod.diameter_mm is None:
            found.append(
                Complaint(
                    ("rod",),
                    "no section and no mass",
                    "the rod's mass must be known",
                    "Give diameter_mm, width_mm and thickness_mm, or mass_g.",
                )
            )
        if flat and rod.diameter_mm is not None:
            found.append(
                Complaint(("rod", "diameter_mm"), f"{rod.diameter_mm:g}", "a rod is round or flat", "Leave one of them out.")
            )
        if self.suspension is not None and MATERIALS[self.suspension.material].young_pa is None:
            found.append(
                Complaint(
                    ("suspension", "material"),
                    self.suspension.material,
                    "a suspension spring is of a metal that springs",
                    "Name what the strip is made of.",
                )
            )
        if bob.height_mm is not None and bob.shape != "cylinder":
            found.append(
                Complaint(("bob", "height_mm"), f"{bob.height_mm:g}", "only a standing cylinder has a height", "Leave it out.")
            )
        most_g = 1e3 * MATERIALS[bob.material].density_kg_m3 * bob.volume_m3() if bob.solid() else None
        if most_g is not None and bob.mass_g > 1.1 * most_g:
            found.append(
                Complaint(
                    ("bob", "mass_g"),
                    f"{bob.mass_g:g}",
                    f"so large a {bob.shape} of {bob.material} has {most_g:.0f} g at most",
                    "Weigh it again, measure the diameter again, or name the metal that fills it.",
                )
            )
        if isinstance(self.compensation, MercuryJar) and (bob.shape, bob.material) != ("cylinder", "mercury"):
            found.append(
                Complaint(
                    ("bob",),
                    f"a {bob.shape} of {bob.material}",
                    "with a jar of mercury the bob is the mercury",
                    'Set shape = "cylinder" and material = "mercury", with the mass of the mercury.',
                )
            )
        return found

    def hung(
        self,
        beats_per_hour: float | None = None,
        gravity_m_s2: float = GRAVITY_STANDARD_M_S2,
        small_period_s: float | None = None,
    ) -> Hung:
        """The pendulum with its bob where it belongs, at its own temperature.

        `beats_per_hour` is what the train asks for (left out: the table's own). At 20 °C the bob is put where the smallest
        swing takes `small_period_s` (left out: two beats); a bob whose centre is given is moved only as far as the nut
        allows, and not at all without a nut. Raises Refused for whatever `complaints` finds, a rod too short, a nut out of
        thread, a bob without a nut that is more than 2 % off the beat.
        """
        found = self.complaints()
        beats = beats_per_hour if beats_per_hour is not None else self.beats_per_hour
        if beats is None and small_period_s is None and self.bob.centre_mm is None:
            found.append(
                Complaint(("bob", "centre_mm"), "nothing", "neither beat nor place of the bob is known", "Give one of them.")
            )
        if found:
            raise Refused(found)
        given_m = None if self.bob.centre_mm is None else 1e-3 * self.bob.centre_mm
        wanted_s = small_period_s if small_period_s is not None else None if beats is None else 7200.0 / beats
        if wanted_s is None:
            assert given_m is not None  # the complaint above
            centre_m = given_m
        elif given_m is not None and self.rating_nut is None:
            centre_m = given_m
            self._refuse_wrong_beat(given_m, wanted_s, gravity_m_s2)
        else:
            centre_m = self._rated_centre_m(wanted_s, gravity_m_s2)
            self._refuse_out_of_reach(centre_m, given_m)
        hanging = self._hanging(centre_m, gravity_m_s2, self.temperature_c)
        moved_m = 0.0 if given_m is None else centre_m - given_m
        body = self._body(centre_m, gravity_m_s2, self.temperature_c)
        return Hung(centre_m, hanging, body, moved_m, 7200.0 / beats if beats is not None else _period_s(hanging))

    def terms(
        self,
        beats_per_hour: float | None = None,
        gravity_m_s2: float = GRAVITY_STANDARD_M_S2,
        small_period_s: float | None = None,
    ) -> Terms:
        """The equation of motion of `hung` with the same arguments; Q as given or estimated (see quality.py)."""
        hung = self.hung(beats_per_hour, gravity_m_s2, small_period_s)
        q_factor = self.q_factor if self.q_factor is not None else self.q_estimate(hung)
        hanging = hung.hanging
        w0 = 2.0 * pi / hung.small_period_s
        return Terms(
            inertia_kg_m2=hanging.inertia_kg_m2,
            gravity_nm=hanging.gravity_nm,
            stiffness_nm=hanging.stiffness_nm,
            loss_nms=hanging.inertia_kg_m2 * w0 / q_factor,
            nominal_period_s=hung.nominal_period_s,
            out_of_beat_rad=radians(self.out_of_beat_deg),
        )

    def q_estimate(self, hung: Hung) -> float:
        """Quality factor from size and mass where none was measured; within a factor of three (see quality.py)."""
        bob, rod = self.bob, self.rod
        rod_m = 1e-3 * rod.length_mm
        girth_m = 2e-3 * (rod.width_mm + rod.thickness_mm) if rod.width_mm and rod.thickness_mm else pi * rod.round_m()
        top_m = self._strip_m()
        rod_second_m4 = girth_m * ((top_m + rod_m) ** 3 - top_m**3) / 3.0
        surfaces = (
            Surface(bob.wetted_m2() * hung.centre_m**2, {"sphere": 1.5, "cylinder": 2.0}.get(bob.shape, 1.0)),
            Surface(rod_second_m4, 2.0),
        )
        return pendulum_q(surfaces, hung.hanging.inertia_kg_m2, hung.small_period_s, self.temperature_c)

    def nut_s_per_day_per_turn(self, hung: Hung, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
        """Gain for one turn of the nut upwards, s a day (mean of half a turn each way). Raises Refused without a nut."""
        if self.rating_nut is None:
            raise Refused([Complaint(("rating_nut",), "nothing", "a bob without a nut cannot be rated", "Describe the nut.")])
        half_m = 0.5e-3 * self.rating_nut.pitch_mm
        up, down = (_period_s(self._hanging(hung.centre_m + by, gravity_m_s2, self.temperature_c)) for by in (-half_m, half_m))
        return rate_s_per_day(up, hung.small_period_s) - rate_s_per_day(down, hung.small_period_s)

    def warmth_s_per_day_per_c(self, hung: Hung, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
        """Gain for a rise of 1 °C at the temperature at which it runs, s a day: negative for a plain rod.

        Counts the growth of every part, the strip's loss of stiffness and the air's loss of density. Neglected: parts that
        warm at different speeds.
        """
        colder, warmer = (_period_s(self._hanging(hung.centre_m, gravity_m_s2, self.temperature_c + by)) for by in (-0.5, 0.5))
        return SECONDS_PER_DAY * (colder - warmer) / hung.small_period_s

    def air_s_per_day(self, hung: Hung, gravity_m_s2: float = GRAVITY_STANDARD_M_S2) -> float:
        """Loss to the air's lift, s a day, negative: the clock would gain as much in a vacuum.

        Neglected: the air that swings along with the bob, which costs as much again or more (Beckett p. 71).
        """
        bare = self._hanging(hung.centre_m, gravity_m_s2, self.temperature_c, in_air=False)
        return rate_s_per_day(hung.small_period_s, _period_s(bare))

    def _strip_m(self) -> float:
        return 0.0 if self.suspension is None else 1e-3 * self.suspension.length_mm

    def _half_below_m(self) -> float:
        """From the bob's centre to where the nut carries it, at 20 °C."""
        return self.bob.half_height_m() if self.bob.held_at == "base" else 0.0

    def _body(self, centre_m: float, gravity_m_s2: float, temperature_c: float, in_air: bool = True) -> Body:
        """Rod, bob and jar as one body, every length grown from 20 °C."""
        rise = temperature_c - ROOM_C
        rod_metal, bob_metal = MATERIALS[self.rod.material], MATERIALS[self.bob.material]
        strip_m = self._strip_m()
        strip_growth = 0.0 if self.suspension is None else MATERIALS[self.suspension.material].expansion_per_k * rise
        hung_m, half_m = centre_m - strip_m, self._half_below_m()
        growth_m = strip_m * strip_growth + (hung_m + half_m) * rod_metal.expansion_per_k * rise
        bob_growth = bob_metal.expansion_per_k * rise
        if isinstance(self.compensation, Gridiron):
            rising = MATERIALS[self.compensation.material].expansion_per_k - rod_metal.expansion_per_k
            growth_m -= 1e-3 * self.compensation.rising_mm * rising * rise
        up = bob_growth
        jar_kg, jar_metal = 0.0, MATERIALS["glass"]
        if isinstance(self.compensation, MercuryJar):
            # in a jar all the growth in bulk goes into height, less what the jar widens
            jar_metal = MATERIALS[self.compensation.jar]
            up = 3.0 * bob_growth - 2.0 * jar_metal.expansion_per_k * rise
            jar_kg = 1e-3 * self.compensation.jar_mass_g
        bob_m = centre_m + growth_m - half_m * up
        rod_m = 1e-3 * self.rod.length_mm * (1.0 + rod_metal.expansion_per_k * rise)
        rod_kg, bob_kg = self.rod.mass_kg(), 1e-3 * self.bob.mass_g
        pieces = (  # mass, depth of the middle, own inertia, density
            (rod_kg, strip_m * (1.0 + strip_growth) + rod_m / 2.0, rod_kg * rod_m**2 / 12.0, rod_metal.density_kg_m3),
            (bob_kg, bob_m, bob_kg * self.bob.gyration_m2() * (1.0 + bob_growth) ** 2, bob_metal.density_kg_m3),
            (jar_kg, bob_m, jar_kg * self.bob.gyration_m2(), jar_metal.density_kg_m3),
        )
        air = air_density_kg_m3(temperature_c) if in_air else 0.0
        mass = sum(m for m, _, _, _ in pieces)
        centre = sum(m * z for m, z, _, _ in pieces) / mass
        own = sum(i + m * (z - centre) ** 2 for m, z, i, _ in pieces)
        weight = gravity_m_s2 * sum(m * (1.0 - air / d) for m, _, _, d in pieces)
        acts_m = gravity_m_s2 * sum(m * (1.0 - air / d) * z for m, z, _, d in pieces) / weight
        return Body(mass, centre, own, weight, acts_m)

    def _hanging(self, centre_m: float, gravity_m_s2: float, temperature_c: float, in_air: bool = True) -> Hanging:
        body = self._body(centre_m, gravity_m_s2, temperature_c, in_air)
        if self.suspension is None:
            return on_knife_edge(body)
        rise = temperature_c - ROOM_C
        grown = 1.0 + MATERIALS[self.suspension.material].expansion_per_k * rise
        return on_strip(body, self._strip_m() * grown, self.suspension.bending_n_m2(rise))

    def _rated_centre_m(self, period_s: float, gravity_m_s2: float) -> float:
        """Depth of the bob's centre at 20 °C for a small period; Refused where the rod does not reach so far."""
        simple_m = gravity_m_s2 * (period_s / (2.0 * pi)) ** 2
        low_m, tip_m = self._strip_m() + 0.05 * simple_m, self._strip_m() + 1e-3 * self.rod.length_mm

        def late_s(centre_m: float) -> float:
            return _period_s(self._hanging(centre_m, gravity_m_s2, ROOM_C)) - period_s

        high_m = max(tip_m, 2.0 * simple_m)
        while late_s(high_m) < 0.0 and high_m < 16.0 * simple_m:
            high_m *= 2.0
        low_m = max(low_m, sqrt(self.bob.gyration_m2()))
        if not late_s(low_m) < 0.0 < late_s(high_m):
            raise Refused(
                [
                    Complaint(
                        ("rod", "length_mm"),
                        f"{self.rod.length_mm:g}",
                        f"with this rod and bob no place of the bob gives a beat of {period_s / 2.0:.4g} s",
                        "A lighter or shorter rod, or a heavier bob, is needed.",
                    )
                ]
            )
        return root(late_s, low_m, high_m)

    def _refuse_wrong_beat(self, centre_m: float, period_s: float, gravity_m_s2: float) -> None:
        """Refused where a bob that cannot be moved hangs more than 2 % off the beat: a slip of the pen, not a rate."""
        is_s = _period_s(self._hanging(centre_m, gravity_m_s2, ROOM_C))
        if abs(is_s / period_s - 1.0) > 0.02:
            asked_mm = 1e3 * self._rated_centre_m(period_s, gravity_m_s2)
            raise Refused(
                [
                    Complaint(
                        ("bob", "centre_mm"),
                        f"{1e3 * centre_m:g}",
                        f"here it beats {7200.0 / is_s:.1f} times an hour, the train asks for {7200.0 / period_s:.1f}",
                        f"Hang it at {asked_mm:.1f} mm, describe a rating nut, or check the count of the train.",
                    )
                ]
            )

    def _refuse_out_of_reach(self, centre_m: float, given_m: float | None) -> None:
        found = []
        over_m = centre_m + self.bob.half_height_m() - self._strip_m() - 1e-3 * self.rod.length_mm
        if over_m > 0.0:
            found.append(
                Complaint(
                    ("rod", "length_mm"),
                    f"{self.rod.length_mm:g}",
                    f"for the beat the bob's centre must hang {1e3 * centre_m:.1f} mm down, its lower edge "
                    f"{1e3 * over_m:.1f} mm below the rod's tip",
                    f"The rod must be {self.rod.length_mm + 1e3 * over_m:.1f} mm "
                    "or longer, or the beat or the count of the train is wrong.",
                )
            )
        if given_m is not None and self.rating_nut is not None:
            half_mm = self.rating_nut.range_mm / 2.0
            move_mm = 1e3 * (centre_m - given_m)
            if abs(move_mm) > half_mm:
                found.append(
                    Complaint(
                        ("bob", "centre_mm"),
                        f"{1e3 * given_m:g}",
                        f"for the beat it must hang at {1e3 * centre_m:.1f} mm, {abs(move_mm):.1f} mm "
                        f"{'lower' if move_mm > 0 else 'higher'}, and the nut has {half_mm:g} mm each way",
                        "Measure again, lengthen or shorten the rod, or check the count of the train.",
                    )
                )
        if found:
            raise Refused(found)


@dataclass(frozen=True)
class Hung:
    """A pendulum with its bob in place."""

    centre_m: float
    """Depth of the bob's centre below the upper chops (or the knife edge), at 20 °C."""
    hanging: Hanging
    body: Body
    moved_m: float
    """How far the nut lowered the bob from the place that was given (+ down)."""
    nominal_period_s: float

    @property
    def small_period_s(self) -> float:
        """Period of the smallest swing, s."""
        return _period_s(self.hanging)

    @property
    def oscillation_m(self) -> float:
        """From the apparent axis to the centre of oscillation: I / (m × depth of the centre of mass)."""
        hanging, body = self.hanging, self.body
        return hanging.inertia_kg_m2 / (body.mass_kg * (body.centre_m - hanging.pivot_m))


def _period_s(hanging: Hanging) -> float:
    return 2.0 * pi * sqrt(hanging.inertia_kg_m2 / (hanging.gravity_nm + hanging.stiffness_nm))
