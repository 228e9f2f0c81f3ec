"""A repair in sentences: what each finding was, what it meant for this clock, and what all of it together changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from builder.going.parts_tree import tree
from builder.going.repair import Alone, Repaired, Side, State, condition
from builder.going.steady import Running
from builder.going.worn import worn_plan
from builder.ground import words
from builder.ground.wording import Wording
from builder.movement.repair import seen
from builder.parts.finding import Found
from builder.parts.finding.damaged_suspension import DamagedSuspension
from builder.parts.finding.hand_friction import HandFriction
from builder.parts.finding.hurt_tooth import HurtTooth
from builder.parts.finding.magnetised import Magnetised
from builder.parts.finding.other import Other
from builder.parts.finding.out_of_beat import OutOfBeat
from builder.parts.finding.poor_oil import PoorOil
from builder.parts.finding.tired_mainspring import TiredMainspring
from builder.parts.finding.worn_hole import WornHole
from builder.parts.finding.worn_leaves import WornLeaves
from builder.parts.finding.worn_pallet import WornPallet
from builder.parts.finding.wrong_rating import WrongRating
from builder.parts.source.weight import Weight

WOUND, HALF, WEAKEST = "wound", "half wound", "nearly down"
PLAIN = 0.01
"""Part of the swing from which on a change is called one."""
PLAIN_S = 1.0
"""Rate, s a day, from which on a change is called one."""
PLAIN_MS = 1.0
"""Beat error."""
ASIDE = 0.1
"""A hole that changes the distance of escape wheel and pallets by less than this part of its wear is worn to the side."""
AMPLE = 3.0
"""So many times the least force is no matter for a customer."""

Facts = dict[str, str]


class Said:
    """One repair in the words of one language."""

    def __init__(self, repaired: Repaired, wording: Wording) -> None:
        self.repaired, self.wording = repaired, wording
        self.seen, self.tree = seen(repaired.sound.movement), tree(repaired.sound)

    def say(self, key: str, **facts: str) -> str:
        """A sentence of the repairs' wording."""
        return self.wording.say(f"repairs.{key}", **facts)

    def day(self, iso: str) -> str:
        """A day as one says it."""
        year, month, day = iso.split("-")
        return self.say("days.text", day=str(int(day)), month=self.wording["repairs.days.months"][int(month) - 1], year=year)

    @property
    def by_weight(self) -> bool:
        """Whether a weight drives it: it hangs higher or lower, and pulls alike."""
        return isinstance(self.repaired.sound.movement.source, Weight)

    def when(self, key: str, **facts: str) -> str:
        """A sentence that tells of a state of winding, or leaves that out where it makes no difference."""
        return self.say(f"{key}_weight" if self.by_weight else key, **facts)

    def state(self, name: str) -> str:
        """A state of winding."""
        return self.say(f"states_weight.{name}" if self.by_weight else f"states.{name}")

    def states(self, names: Iterable[str]) -> str:
        """States of winding in a row."""
        named = [self.state(name) for name in names]
        if len(named) == len(self.repaired.states_before) > 1:
            return self.when("states.all")
        return ", ".join(named[:-1]) + self.say("states.joined") + named[-1] if len(named) > 1 else named[0]

    # ---- one finding ----

    def title(self, finding: Found) -> str:
        """What it is called."""
        kind = f"kinds.{finding.kind}"
        facts = {"name": self._name(finding), "state": "", "harm": ""}
        if isinstance(finding, PoorOil | HandFriction):
            facts["state"] = self.say(f"{kind}.{finding.state}")
        if isinstance(finding, HurtTooth):
            facts["harm"] = self.say(f"{kind}.{finding.harm}")
        return self.say(f"{kind}.name", **facts)

    def heading(self, finding: Found) -> str:
        """The same with a capital."""
        title = self.title(finding)
        return words.capital(title)

    def what(self, finding: Found) -> str:
        """What it is, in plain words and with its figures; '' for a finding that is words alone."""
        return "" if isinstance(finding, Other) else self.say(f"kinds.{finding.kind}.is", **self._facts(finding))

    def meant(self, finding: Found) -> str:
        """What so much of it means."""
        key = f"kinds.{finding.kind}.{finding.severity}"
        if isinstance(finding, HandFriction) and f"repairs.{key}_{finding.state}" in self.wording:
            key += f"_{finding.state}"
        if isinstance(finding, WornHole) and finding.arbor in ("pallets", self.repaired.sound.movement.escapement.arbor):
            key += "_escapement"
            if finding.severity != "slight":
                return self.say(key, how=self.say(f"{key}_{self._depth(finding)}"))
        return self.say(key)

    def _depth(self, finding: WornHole) -> str:
        """Whether the hole alone brings escape wheel and pallets nearer together or further apart."""
        going = self.repaired.sound
        now = condition(going, [finding])
        draft, worn = going.plan.draft, worn_plan(going.movement, going.train, going.plan, going.elevation, now).draft
        apart = 0.0 if draft is None or worn is None else worn.centre_mm - draft.centre_mm
        if abs(apart) < ASIDE * finding.worn_mm:
            return "aside"
        return "less" if apart > 0 else "more"

    def effects(self, index: int) -> list[str]:
        """What the finding alone would have done, as computed; nothing where nothing is."""
        finding = self.repaired.repair.findings[index]
        left = [self.say("effect.left")] if finding.left else []
        alone = next((each for each in self.repaired.alone if each.index == index), None)
        if alone is None:
            return left
        return [*self._swing(alone), *self._rate(alone), *self._slips(alone), *left]

    def _swing(self, alone: Alone) -> list[str]:
        held = [name for name, beat in alone.windings if not isinstance(beat, Running)]
        if len(held) == len(alone.windings):
            return [self.say("effect.stops_all")]
        if held:
            return [self.say("effect.stops_some", states=self.states(held))]
        if not isinstance(alone.weakest, Running):
            return [self.when("effect.stops_at_times")]
        share = alone.costs_deg / (alone.costs_deg + alone.weakest.amplitude_deg)
        if abs(share) < PLAIN:
            return [self.say("effect.none")]
        return [self.when("effect.less" if share > 0 else "effect.more", share=words.figure(100 * abs(share), 2))]

    def _rate(self, alone: Alone) -> list[str]:
        """Change of rate and beat error, wound."""
        beat, was = alone.beat(WOUND), self.repaired.sound.windings[0].beat
        if not isinstance(beat, Running) or not isinstance(was, Running):
            return []
        found = []
        change = beat.rate_s_per_day - was.rate_s_per_day
        if abs(change) >= PLAIN_S:
            found.append(self.say("effect.gains" if change > 0 else "effect.loses", time=long(abs(change))))
        if beat.beat_error_ms - was.beat_error_ms >= PLAIN_MS:
            found.append(self.say("effect.beat", time=f"{words.figure(2 * beat.beat_error_ms, 2)}{words.THIN}ms"))
        return found

    def _slips(self, alone: Alone) -> list[str]:
        """What the hands gain, and what a winding lasts less, by teeth that go by without driving."""
        found, gain = [], alone.slips.hands_s_per_day
        if gain >= PLAIN_S:
            found.append(self.say("effect.slips", time=long(gain)))
        if alone.slips.source > 1:
            found.append(self.say("effect.runs_down", share=words.figure(100 * float(1 - 1 / alone.slips.source), 2)))
        return found

    def _name(self, finding: Found) -> str:
        """The arbor or toothed part that it is on."""
        going = self.repaired.sound
        if isinstance(finding, WornHole):
            if finding.arbor == "pallets":
                return self.say("kinds.worn_hole.pallet_arbor")
            return going.train[finding.arbor].title.lower()
        if isinstance(finding, WornLeaves | HurtTooth):
            title = going.plan.of(finding.arbor, finding.part).title.lower()
            return title.removesuffix(" pinion") if isinstance(finding, WornLeaves) else title
        return ""

    def _facts(self, finding: Found) -> Facts:
        """The figures of a finding's first sentence."""
        return next((tell(self, finding) for kind, tell in TELL.items() if isinstance(finding, kind)), {})

    # ---- the whole ----

    def story(self) -> list[str]:
        """Before and after in some sentences; nothing where no beat is solved."""
        repaired = self.repaired
        if not repaired.states_before:
            return []
        found = [self._before()]
        if (gain := repaired.states_before[0].slips_s_per_day) >= PLAIN_S:
            found.append(self.say("story.slips", time=long(gain)))
        state = self.shown
        was, now = repaired.state("before", state), repaired.state("after", state)
        assert was is not None and now is not None
        if now.amplitude_deg is None:
            found.append(self.say("story.after_stops"))
        elif was.amplitude_deg is None:
            found.append(self.when("story.after", after=words.figure(now.amplitude_deg, 3), state=self.state(state)))
        found += self._spare(repaired.state("before", WEAKEST), repaired.state("after", WEAKEST))
        stops = any(state.stops for state in repaired.states_before)
        if stops and len(repaired.alone) > 1 and not any(_stops(each) for each in repaired.alone):
            found.append(self.say("story.none_alone"))
        if len(repaired.alone) > 1 and (costliest := repaired.costliest) is not None:
            found += [self.say("story.costliest", finding=self.title(costliest.finding)), self.say("story.together")]
        return found

    @property
    def shown(self) -> str:
        """The state of winding that is told of: half wound, or the first in which it went before, or wound."""
        went = [state.name for state in self.repaired.states_before if isinstance(state.beat, Running)]
        return HALF if HALF in went or not went else went[0]

    def _before(self) -> str:
        states = self.repaired.states_before
        held = [state.name for state in states if not isinstance(state.beat, Running)]
        if len(held) == len(states):
            return self.say("story.before_all")
        if held:
            return self.say("story.before_some", states=self.states(held))
        if touchy := [state.name for state in states if state.stops_now_and_then]:
            return self.say("story.before_now_and_then", states=self.states(touchy))
        was, now = self.repaired.state("before", self.shown), self.repaired.state("after", self.shown)
        assert was is not None and now is not None and was.amplitude_deg is not None
        if now.amplitude_deg is None:
            return self.say("story.after_stops")
        alike = abs(1 - was.amplitude_deg / now.amplitude_deg) < 3 * PLAIN
        facts = {"before": words.figure(was.amplitude_deg, 3), "after": words.figure(now.amplitude_deg, 3)}
        return self.when("story.before_alike" if alike else "story.before_goes", state=self.state(self.shown), **facts)

    def _spare(self, was: State | None, now: State | None) -> list[str]:
        if now is None or now.reserve is None:
            return []
        if min(each.reserve for each in (was, now) if each is not None and each.reserve is not None) > AMPLE:
            return []
        after = words.figure(now.reserve, 3)
        if was is None or was.reserve is None:
            return [self.say("story.spare_now", after=after)]
        return [self.say("story.spare", before=words.figure(was.reserve, 3), after=after)]

    def side(self, side: Side) -> str:
        """Before or after."""
        return self.say(f"page.{side}")


def _stops(alone: Alone) -> bool:
    """Whether the finding alone would stop the movement anywhere."""
    return not all(isinstance(beat, Running) for beat in (alone.weakest, *(beat for _, beat in alone.windings)))


def plain(value: float) -> str:
    """A figure that was given, as it was given: no more digits than it has, and no more than three."""
    return words.grouped(f"{value:.3g}") if value < 1000 else words.figure(value, 3)


def long(seconds: float) -> str:
    """A time as one says it: seconds, or minutes from two on."""
    if seconds < 120:
        return f"{words.figure(seconds, 2)}{words.THIN}s"
    return f"{words.figure(seconds / 60, 2)}{words.THIN}min"


def _amount(said: Said, finding: Found, **ways: Callable[[float], Facts]) -> Facts:
    """The sentence for each of several keys that is given, one after the other."""
    given = [(key, getattr(finding, key), facts) for key, facts in ways.items() if getattr(finding, key) is not None]
    return {"amount": " ".join(said.say(f"kinds.{finding.kind}.{key}", **facts(value)) for key, value, facts in given)}


def _spring(said: Said, finding: TiredMainspring) -> Facts:
    return _amount(
        said, finding,
        torque_part=lambda part: {"part": plain(100 * part)},
        turns_lost=lambda turns: {"turns": plain(turns)},
        free_coils=lambda coils: {"coils": plain(coils)},
    )  # fmt: skip


def _oil(said: Said, finding: PoorOil) -> Facts:
    kind = "kinds.poor_oil"
    places = [said.say(f"{kind}.{group}") for group in finding.where]
    joined = ", ".join(places[:-1]) + said.say("states.joined") + places[-1] if len(places) > 1 else places[0]
    most = max(finding.times(group) for group in finding.where)
    return {"became": said.say(f"{kind}.became_{finding.state}"), "where": joined, "times": plain(most)}


def _rating(said: Said, finding: WrongRating) -> Facts:
    def way(value: float, plus: str, minus: str) -> str:
        return said.say(f"kinds.wrong_rating.{plus if value > 0 else minus}")

    return _amount(
        said, finding,
        bob_down_mm=lambda by: {"by": plain(abs(by)), "way": way(by, "low", "high")},
        nut_turns=lambda by: {"by": plain(abs(by)), "way": way(by, "low", "high")},
        longer_mm=lambda by: {"by": plain(abs(by)), "long": way(by, "long", "short")},
        stiffer_part=lambda by: {"by": plain(100 * abs(by)), "stiff": way(by, "stiff", "soft")},
    )  # fmt: skip


def _suspension(said: Said, finding: DamagedSuspension) -> Facts:
    def way(by: float) -> str:
        return said.say(f"kinds.damaged_suspension.{'longer' if by > 0 else 'shorter'}")

    return _amount(
        said, finding,
        width_left=lambda part: {"part": plain(100 * part)},
        longer_mm=lambda by: {"by": plain(abs(by)), "way": way(by)},
        loss_times=lambda times: {"times": plain(times)},
    )  # fmt: skip


def _tooth(said: Said, finding: HurtTooth) -> Facts:
    how = said.say(f"kinds.hurt_tooth.how_{finding.harm}", by=plain(abs(finding.by_mm or 0.0)))
    return {"name": said._name(finding), "how": how}


def _hole(said: Said, finding: WornHole) -> Facts:
    plate = said.say(f"kinds.worn_hole.{finding.plate}")
    return {"name": said._name(finding), "plate": plate, "worn": plain(finding.worn_mm)}


def _pallet(said: Said, finding: WornPallet) -> Facts:
    pallet, face = said.say(f"kinds.worn_pallet.{finding.pallet}"), said.say(f"faces.{finding.face}")
    return {"pallet": pallet, "face": face, "depth": plain(finding.depth_mm)}


TELL: dict[type[Found], Callable[[Said, Any], Facts]] = {
    TiredMainspring: _spring,
    PoorOil: _oil,
    WornHole: _hole,
    WornPallet: _pallet,
    WornLeaves: lambda said, finding: {
        "name": said.repaired.sound.plan.of(finding.arbor, finding.part).title.lower(), "depth": plain(finding.depth_mm)
    },
    HurtTooth: _tooth,
    OutOfBeat: lambda _, finding: {"by": plain(abs(finding.by_deg))},
    HandFriction: lambda said, finding: {
        "state": said.say(f"kinds.hand_friction.{finding.state}"), "torque": plain(finding.torque_nmm)
    },
    WrongRating: _rating,
    DamagedSuspension: _suspension,
    Magnetised: lambda _, __: {},
}  # fmt: skip
"""Kind of finding → the figures that its first sentence names."""
