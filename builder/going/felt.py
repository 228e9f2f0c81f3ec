"""What the oscillator feels of a torque that is not even: the worst places of meshes, and a tooth unlike the others; and what
the hands show of teeth that go by without driving.

What the oscillator stores carries it over a dip. Its energy follows the torque with the lag t = Q/ω, in which alone it would
fall to 1/e: under a torque that goes up and down in T it follows by 1/√(1 + (2π t/T)²), under a dip of the length T by
1 − e^(−T/t) (a first-order lag: any book of control).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import exp, pi, prod, sqrt

from builder.going.plan import Plan
from builder.going.power import PowerFlow
from builder.going.sizes import Sized
from builder.going.train import Train
from builder.ground.constants import SECONDS_PER_DAY
from builder.movement.model import Movement
from builder.parts.finding.condition import Condition, Hurt
from builder.parts.oscillator.terms import Terms
from builder.parts.teeth.passage import Passage, Side, passage


@dataclass(frozen=True)
class Passing:
    """A hurt tooth going by."""

    hurt: Hurt
    mesh: Sized
    passage: Passage
    every_hours: float
    """Once a turn of the wheel or pinion."""
    lasts_s: float
    """How long it is in the mesh: one pitch."""
    carries_power: bool
    """Whether the mesh is on the way to the escape wheel."""

    @property
    def hurries(self) -> Fraction:
        """How many times as fast as the counts say everything up to this mesh's driver turns, on the mean.

        In a turn of the hurt part the driver goes as many pitches further than the driven as teeth go by without driving.
        """
        pair, skips = self.mesh.pair, self.passage.skips if self.carries_power else 0
        if (self.hurt.arbor, self.hurt.part) == (pair.driver, pair.driver_part):
            return Fraction(pair.driver_count, pair.driver_count - skips)
        return Fraction(pair.driven_count + skips, pair.driven_count)


@dataclass(frozen=True)
class Slips:
    """What teeth that go by without driving do. Neglected: that it comes in jumps, one a passing."""

    hands: Fraction
    """How many times as fast as they should the hands turn."""
    source: Fraction
    """The same of the source: a winding lasts so many times less."""

    @property
    def hands_s_per_day(self) -> float:
        """Gain of the hands beyond the beat's own."""
        return SECONDS_PER_DAY * float(self.hands - 1)


def lag_s(terms: Terms) -> float:
    """Time in which the oscillator's energy alone falls to 1/e: Q/ω."""
    return terms.q_factor * terms.small_period_s / (2 * pi)


def passings(movement: Movement, train: Train, plan: Plan, condition: Condition) -> tuple[Passing, ...]:
    """Every hurt tooth in every mesh that it goes through, in the order of the findings."""
    found = []
    for hurt in condition.hurts:
        for one in plan.sized:
            pair = one.pair
            sides: tuple[tuple[Side, str, str], ...] = (
                ("driver", pair.driver, pair.driver_part),
                ("driven", pair.driven, pair.driven_part),
            )
            for side, arbor, part in sides:
                if (arbor, part) != (hurt.arbor, hurt.part):
                    continue
                friction = movement.friction.teeth * condition.teeth_friction.get(pair.driver, 1.0)
                seen = passage(one.gears, friction, one.too_far_mm, side, hurt.harm, hurt.by_mm)
                hours = float(train[arbor].hours_per_turn)
                found.append(Passing(hurt, one, seen, hours, _pitch_s(train, one), pair in train.path_pairs))
    return tuple(found)


def slips(movement: Movement, train: Train, passing: tuple[Passing, ...]) -> Slips:
    """What the hands and the source do with these teeth going by; as they should where no hand is carried."""
    work, path = movement.motion_work, train.path
    carrier = work.on if work is not None else next((arbor for shows, arbor in train.hands if shows != "seconds"), path[-1])
    while carrier not in path and (driven_by := train[carrier].driven_by) is not None:
        carrier = train.pairs[driven_by].driver
    after = path[path.index(carrier) :] if carrier in path else ()
    return Slips(
        prod((each.hurries for each in passing if each.mesh.pair.driver in after), start=Fraction(1)),
        prod((each.hurries for each in passing), start=Fraction(1)),
    )


def felt(train: Train, plan: Plan, flow: PowerFlow, terms: Terms, passing: tuple[Passing, ...]) -> float:
    """Part of the mean torque on the escape wheel that the oscillator feels where all meshes are at their worst at once, and
    the hurt teeth in the mesh.

    Neglected: that the dip of a mesh is no sine, that not all meet at the same hour (so this is on the safe side), and that
    pivots take less of less torque.
    """
    lag = lag_s(terms)
    part = 1.0
    for mesh in flow.meshes:
        one = next(each for each in plan.sized if (each.pair.driver, each.pair.driven) == (mesh.driver, mesh.driven))
        least = 1.0 - (1.0 - mesh.least_part) / sqrt(1.0 + (2 * pi * lag / _pitch_s(train, one)) ** 2)
        dips = (1.0 - (1.0 - p.passage.least_part) * (1.0 - exp(-p.lasts_s / lag)) for p in passing if p.mesh is one)
        part *= min([least, *dips])
    return part


def _pitch_s(train: Train, one: Sized) -> float:
    return 3600 * float(train[one.pair.driver].hours_per_turn) / one.pair.driver_count
