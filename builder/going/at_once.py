"""A swing and its state between two legs: what happens there at once, in no time, and what it costs.

The wheel leaves a pallet or lands on one, a tooth is let off, the fork meets the impulse pin, the lever its banking. Neglected:
bounce of the wheel on landing (it is taken to stay).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from math import inf, sqrt

import numpy as np

from builder.going.course import Stretch, Touch
from builder.going.phase_plane import Flight, Leg, Work, Works
from builder.parts.escapement.action import Pallet

Event = tuple[float, str, Pallet]


@dataclass
class Swing:
    """A swing from a turn to the next: legs, events (s since its start), and where it ended."""

    works: Works
    legs: list[Leg] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    knocks: Work = field(default_factory=Work)
    """What is changed at once, between the legs."""
    drops: int = 0

    @cached_property
    def lost_j(self) -> float:
        """What the oscillator itself lost, J."""
        return sum(self.works.lost_j(leg) for leg in self.legs)

    @cached_property
    def work(self) -> Work:
        """Where all energy went."""
        return sum((self.works.work(leg) for leg in self.legs), self.knocks)

    @property
    def x_to(self) -> float:
        """Where it turned."""
        return self.legs[-1].x_to

    @property
    def time_s(self) -> float:
        """How long it took."""
        return float(self.legs[-1].t_s[-1])


class AtOnce:
    """A swing under way: its state between legs."""

    def __init__(self, works: Works, sign: float) -> None:
        self.works, self.sign = works, sign
        self.done = Swing(works)
        self.x, self.energy, self.t_s = 0.0, 0.0, 0.0
        self.flight: Flight | None = None
        self.left_at = self.landed_at = inf

    def _here(self, stretch: Stretch) -> Touch:
        return stretch.touch(np.array([self.x]))

    def leave(self, stretch: Stretch) -> None:
        """The pallet runs away from the wheel."""
        self.left_at = self.x
        here = self._here(stretch)
        self._fly(float(here.phi[0]), float(here.wheel[0]) * self._velocity(), dropping=False)

    def _velocity(self) -> float:
        return self.sign * sqrt(2.0 * self.energy)

    def _fly(self, phi: float, speed: float, dropping: bool) -> None:
        works = self.works
        self.flight = Flight(self.t_s, phi, speed, works.torque_nm / works.wheel_kg_m2, dropping)

    def land(self, stretch: Stretch) -> None:
        """The wheel meets a face: a knock without bounce, friction and all, between wheel and oscillator."""
        assert self.flight is not None
        flight, self.flight = self.flight, None
        # it may leave again at once, but not a second time at one place: there rounding decides nothing
        self.landed_at, fallen = self.x if self.left_at == self.x else inf, 0.0
        if flight.dropping:
            fallen = self.works.torque_nm * (float(self._here(stretch).phi[0]) - flight.phi)
            self._say("locks", stretch)
        self._knock(stretch, flight.speed_at(self.t_s), fallen)

    def _knock(self, stretch: Stretch, wheel_speed: float, fallen: float) -> None:
        works, here, speed = self.works, self._here(stretch), self._velocity()
        inertia = works.terms.inertia_kg_m2 + works.course.coupling.inertia_kg_m2 * float(here.lever[0]) ** 2
        share = float(here.gain[0]) * works.wheel_kg_m2 / inertia
        after = (speed + share * wheel_speed) / (1.0 + share * float(here.wheel[0]))
        wheel_after = float(here.wheel[0]) * after
        oscillator = 0.5 * inertia * (speed**2 - after**2)
        self.done.knocks.drop += fallen
        self.done.knocks.wheel += oscillator + 0.5 * works.wheel_kg_m2 * (wheel_speed**2 - wheel_after**2) - fallen
        if oscillator > 0.0:
            self.done.knocks.unlocking += oscillator
        else:
            self.done.knocks.impulse -= oscillator
        self.energy = 0.5 * max(self.sign * after, 0.0) ** 2

    def land_at_rest(self, stretch: Stretch) -> None:
        """A wheel still in the air when the oscillator turns is put on its pallet there (neglects the rest of its fall)."""
        if self.flight is None:
            return
        flight, self.flight = self.flight, None
        t = self.t_s
        gap = float(self._here(stretch).phi[0]) - float(flight.at(np.array([t]))[0])
        fallen = self.works.torque_nm * (float(self._here(stretch).phi[0]) - flight.phi) if flight.dropping else 0.0
        self.done.knocks.drop += fallen
        lost = self.works.torque_nm * gap + 0.5 * self.works.wheel_kg_m2 * flight.speed_at(t) ** 2
        self.done.knocks.wheel += lost - fallen
        if flight.dropping:
            self._say("locks", stretch)

    def _say(self, name: str, stretch: Stretch) -> None:
        self.done.events.append((self.t_s, name, stretch.piece.pallet))

    def pass_on(self, left: Stretch, entered: Stretch) -> None:
        """From one stretch to the next: the fork met or left, the wheel let off, a new face under the tooth."""
        works = self.works
        lever = works.course.coupling.inertia_kg_m2
        own = works.terms.inertia_kg_m2
        before, after = left.at_end, entered.at_start
        wheel_speed = float(before.wheel[0]) * self._velocity()
        if left.free:
            self._say("fork meets pin", entered)
            joined = own + lever * float(after.lever[0]) ** 2
            lost = own * self.energy * (1.0 - own / joined)
            self.energy *= (own / joined) ** 2
            self.done.knocks.lever += lost
        elif entered.free:
            self._say("lever banks", left)
            self.done.knocks.lever += lever * float(before.lever[0]) ** 2 * self.energy
        if left.drop is not None:
            self.done.drops += 1
            self._say("lets off", left)
            if self.flight is not None:  # it never caught up with this face: no matter, it falls on
                now = np.array([self.t_s])
                self._fly(float(self.flight.at(now)[0]), self.flight.speed_at(self.t_s), dropping=True)
            elif works.wheel_kg_m2:
                self._fly(float(before.phi[0]), wheel_speed, dropping=True)
            else:
                self.done.knocks.drop += works.torque_nm * (float(after.phi[0]) - float(before.phi[0]))
                self._say("locks", entered)
            return
        if left.piece is not entered.piece and left.piece.surface != entered.piece.surface:
            held = "unlocks" if "locking" in left.piece.surface else "recoil ends" if "recoil" in left.piece.surface else ""
            self._say(held or f"passes to {entered.piece.surface}", entered)
        if self.flight is not None or not works.wheel_kg_m2:
            return
        wanted = float(after.wheel[0]) * self._velocity()
        scale = 1e-10 * max(abs(wanted), abs(wheel_speed))
        if wanted > wheel_speed + scale:
            self._fly(float(before.phi[0]), wheel_speed, dropping=False)
        elif wanted < wheel_speed - scale:
            self._knock(entered, wheel_speed, 0.0)
