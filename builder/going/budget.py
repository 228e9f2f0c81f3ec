"""Where the power goes: every loss from the source to the oscillator, each by a route of its own, and what they leave over.

The teeth's losses are Σ μ N |sliding speed| over the true contact, the pivots' μ × load × radius × speed, the escapement's and
the oscillator's are integrals along the solved swing. None is a difference of two others, so that what they leave of the
source's power is a check on them all. Means at the train's nominal beat; the solved rate, some parts in 100 000, is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.going.beat import Winding
from builder.going.steady import Running
from builder.going.train import Train
from builder.going.wandering import mean_work
from builder.ground.constants import SECONDS_PER_DAY

Cost = Literal["pivots", "teeth", "drop", "sliding", "wheel", "lever", "oscillator"]


@dataclass(frozen=True)
class Term:
    """One thing that the power goes into."""

    cost: Cost
    arbors: tuple[str, ...]
    """Whose pivots, or driver and driven of a mesh; empty at escapement and oscillator."""
    uw: float

    @property
    def key(self) -> str:
        """Stable, for figures and for marking: 'third-pivots', 'centre-third-teeth', 'drop'."""
        return "-".join((*self.arbors, self.cost)).replace("_", "-")

    @property
    def joules_a_day(self) -> float:
        """The same in a day."""
        return self.uw * SECONDS_PER_DAY * 1e-6


@dataclass(frozen=True)
class Budget:
    """The power of one state of winding, from the source on; where the clock stops, of a train that would turn at its rate."""

    source_uw: float
    escape_uw: float
    """On the escape wheel, its pivots paid for."""
    terms: tuple[Term, ...]
    """In the order of the power path; to the escape wheel only where the clock stops."""
    runs: bool

    @property
    def unaccounted_uw(self) -> float:
        """What the terms leave of the source's power: nought but for the accuracy of the solution. All of it that comes to
        the escape wheel where the clock stops."""
        return self.source_uw - sum(term.uw for term in self.terms)

    @property
    def reaches(self) -> float:
        """Part of the source's power that keeps the oscillator swinging; 0 where the clock stops."""
        return sum(term.uw for term in self.terms if term.cost == "oscillator") / self.source_uw

    def of(self, *costs: Cost) -> float:
        """Sum of the terms of some kinds, µW."""
        return sum(term.uw for term in self.terms if term.cost in costs)


def budget(train: Train, winding: Winding) -> Budget:
    """The budget of one solved state of winding."""
    flow, solved = winding.power, winding.beat
    teeth = {mesh.driver: mesh for mesh in flow.meshes}
    terms: list[Term] = []
    for arbor in flow.arbors:
        terms.append(Term("pivots", (arbor.arbor,), arbor.pivot_loss_uw))
        if (mesh := teeth.get(arbor.arbor)) is not None:
            terms.append(Term("teeth", (mesh.driver, mesh.driven), mesh.loss_uw))
    if isinstance(solved, Running):
        uw_per_j = 1e6 / float(2 * train.beat_s)
        work = mean_work(solved)
        terms.append(Term("drop", (), work.drop * uw_per_j))
        terms.append(Term("wheel", (), work.wheel * uw_per_j))
        terms.append(Term("sliding", (), work.sliding * uw_per_j))
        if solved.works.course.coupling.inertia_kg_m2:
            terms.append(Term("lever", (), work.lever * uw_per_j))
        terms.append(Term("oscillator", (), work.oscillator * uw_per_j))
    return Budget(flow.source_uw, flow.escape_uw, tuple(terms), isinstance(solved, Running))
