"""The sums of the bench: what a trainee must be able to do by hand and a restorer does every week.

One file a sum: a `Part` whose fields are what is asked, with `working()` that returns every line. A sum that also needs a running
movement takes it as an argument. Its words are in templates/wording/<language>/sums.toml.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from builder.bench.balances.hairspring import Hairspring
from builder.bench.balances.shorter_spring import ShorterSpring
from builder.bench.balances.timing_screws import TimingScrews
from builder.bench.balances.vibrations import Vibrations
from builder.bench.drives.fusee import Fusee
from builder.bench.drives.mainspring import Mainspring
from builder.bench.drives.other_spring import OtherSpring
from builder.bench.drives.weight_fall import WeightFall
from builder.bench.pendulums.added_weight import AddedWeight
from builder.bench.pendulums.beat import PendulumBeat
from builder.bench.pendulums.circular_error import CircularError
from builder.bench.pendulums.gridiron import Gridiron
from builder.bench.pendulums.length import PendulumLength
from builder.bench.pendulums.mercury_jar import MercuryJar
from builder.bench.pendulums.place import Place
from builder.bench.pendulums.rating_nut import RatingNut
from builder.bench.pendulums.warmth import Warmth
from builder.bench.rates.amplitude import Amplitude
from builder.bench.rates.beat_error import BeatError
from builder.bench.rates.rate import Rate
from builder.bench.teeth.depth import Depth
from builder.bench.teeth.module import Module
from builder.bench.teeth.pair import Pair
from builder.bench.trains.count_up import CountUp
from builder.bench.trains.missing import Missing
from builder.bench.trains.wishes import Wishes
from builder.bench.working.asked import question
from builder.bench.working.lines import Sum, Working
from builder.going.going import Going
from builder.ground.part import Part

SUMS: dict[str, type[Part]] = {
    "count-up": CountUp,
    "missing": Missing,
    "train": Wishes,
    "pendulum-length": PendulumLength,
    "pendulum-beat": PendulumBeat,
    "rating-nut": RatingNut,
    "added-weight": AddedWeight,
    "circular-error": CircularError,
    "place": Place,
    "warmth": Warmth,
    "gridiron": Gridiron,
    "mercury-jar": MercuryJar,
    "hairspring": Hairspring,
    "vibrations": Vibrations,
    "shorter-spring": ShorterSpring,
    "timing-screws": TimingScrews,
    "mainspring": Mainspring,
    "weight-fall": WeightFall,
    "fusee": Fusee,
    "module": Module,
    "pair": Pair,
    "depth": Depth,
    "rate": Rate,
    "beat-error": BeatError,
    "amplitude": Amplitude,
}
"""Sums that are asked by themselves, by the name that the command has."""

MOVEMENT_SUMS: dict[str, type[OtherSpring]] = {"other-spring": OtherSpring}
"""Sums that are asked of a running movement."""


def work(name: str, texts: Mapping[str, str | Sequence[str]], going: Going | None = None) -> Working:
    """A sum by name, asked in texts as a person types them. Raises Unreadable and Refused (see `question`)."""
    if going is not None:
        return question(MOVEMENT_SUMS[name], texts).working(going)
    return cast(Sum, question(SUMS[name], texts)).working()
