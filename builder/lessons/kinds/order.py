"""Put the steps in order: the way of the power, what turns faster, what happens in a period, where the power goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from builder.going.budget import budget
from builder.going.phases import Phase, phases
from builder.going.steady import Running
from builder.ground import words
from builder.lessons.kinds import bench
from builder.lessons.parts import described
from builder.lessons.question import Answer, Question, Subject
from builder.parts.motion_work import HOUR
from builder.parts.oscillator.counted import Counted

FEWEST, MOST = 4, 7
"""Steps of one question."""

APART = 0.03
"""Powers nearer than this part of each other are not to be put in order."""


def ask(subject: Subject) -> Iterator[Question | None]:
    """What the movement does not have is not asked."""
    yield _power(subject)
    yield _meshes(subject)
    yield _speed(subject)
    yield _work(subject)
    yield _period(subject)
    yield _losses(subject)
    yield bench.taken_down(subject)
    yield bench.put_together(subject)


def _order(subject: Subject, key: str, steps: list[Answer], shows: tuple[str, ...], **facts: object) -> Question | None:
    """None where there are too few steps, or two that read alike."""
    steps = steps[:MOST]
    if len(steps) < FEWEST or len({step.text for step in steps}) < len(steps):
        return None
    return Question(f"order.{key}", "order", subject.say(f"order.{key}.text", **facts), tuple(steps), "order", shows=shows)


def _named(subject: Subject, part: str) -> str:
    if f"parts.{part}" in subject.wording:
        return subject.wording.say(f"parts.{part}")
    return next(t.title for t in subject.going.plan.toothings if t.id == part)


def _power(subject: Subject) -> Question | None:
    """Source, arbors, pallets, oscillator."""
    movement, train = subject.going.movement, subject.going.train
    kind = movement.source.kind
    steps = [Answer(subject.wording.say(f"drawings.power_flow.sources.{kind}"), subject.say("order.power.source"))]
    before = steps[0].text.lower()
    for name in train.path:
        text = subject.arbor(name)
        steps.append(Answer(words.capital(text), subject.say("order.power.arbor", before=before)))
        before = text
    steps.append(Answer(_named(subject, "pallets"), subject.say("order.power.pallets")))
    if not isinstance(movement.oscillator, Counted):
        steps.append(Answer(_named(subject, movement.oscillator.kind), subject.say("order.power.oscillator")))
    if len(steps) > MOST:  # what all trains begin with is left out
        steps = steps[len(steps) - MOST :]
    return _order(subject, "power", steps, subject.parts_of(*train.path))


def _meshes(subject: Subject) -> Question | None:
    """From pinion to wheel to the next pinion, up to the pallets."""
    train, plan = subject.going.train, subject.going.plan
    parts: list[str] = []
    for pair in train.path_pairs:
        parts += [plan.of(pair.driver, pair.driver_part).id, plan.of(pair.driven, pair.driven_part).id]
    parts += ["escape-wheel", "pallets"]
    parts = [part for part in dict.fromkeys(parts) if part not in ("pallets", "escape-wheel") or plan.draft is not None]
    steps = [Answer(_named(subject, part), described(subject, part), part) for part in parts[-MOST:]]
    return _order(subject, "meshes", steps, tuple(parts[-MOST:]))


def _speed(subject: Subject) -> Question | None:
    """From the slowest arbor to the fastest; arbors of one speed are asked about once."""
    train = subject.going.train
    by_speed = {abs(arbor.turns_per_hour): arbor for arbor in reversed(train.arbors)}
    steps = []
    for speed in sorted(by_speed):
        text = subject.arbor(by_speed[speed].id)
        why = subject.say("order.speed.why", period=words.period(1 / speed))
        steps.append(Answer(words.capital(text), why))
    return _order(subject, "speed", steps, subject.parts_of(*train.path))


def _work(subject: Subject) -> Question | None:
    """From the arbor of the train to the hour hand."""
    work, train = subject.going.movement.motion_work, subject.going.train
    pairs = [pair for pair in train.pairs if pair.key[0] == "motion_work"]
    if work is None or len(pairs) != 2:
        return None
    plan = subject.going.plan
    parts = list(dict.fromkeys(
        plan.of(*end).id for pair in pairs for end in ((pair.driver, pair.driver_part), (pair.driven, pair.driven_part))
    ))  # fmt: skip
    first = subject.arbor(work.on)
    steps = [Answer(words.capital(first), subject.say("order.work.arbor"))]
    steps += [Answer(_named(subject, part), described(subject, part), part) for part in parts]
    steps.append(Answer(subject.say("order.work.hand"), subject.say("order.work.hand_why", hours=work.dial_hours)))
    return _order(subject, "work", steps, subject.parts_of(HOUR))


def _period(subject: Subject) -> Question | None:
    """What happens at the escapement, from the entry pallet's unlocking or recoil on, until something comes again."""
    running = next((each.beat for each in subject.going.windings if isinstance(each.beat, Running)), None)
    if running is None:
        return None
    steps: list[Answer] = []
    for phase in _round(phases(running)):
        text = subject.wording.say(f"drawings.phases.{phase.name}")
        if any(text == step.text for step in steps):
            break
        why = subject.say(
            "order.period.why", what=subject.wording.say(f"drawings.phase_meaning.{phase.key}"),
            ms=words.figure(1e3 * (phase.end - phase.start) * running.period_s),
        )  # fmt: skip
        steps.append(Answer(text, why))
    if not steps:
        return None
    return _order(subject, "period", steps, ("pallets", "escape-wheel"), first=steps[0].text)


def _round(found: tuple[Phase, ...]) -> list[Phase]:
    """The phases of a period from the entry pallet's unlocking, recoil or impulse on; what goes on over its end is one phase."""
    if found[0].name == found[-1].name:
        found = (*found[1:-1], replace(found[-1], end=1.0 + found[0].end))
    entry = [n for n, phase in enumerate(found) if phase.pallet == "entry"]
    first = next(n for key in ("unlocking", "recoil", "impulse") for n in entry if found[n].key == key)
    return [*found[first:], *found[:first]]


def _losses(subject: Subject) -> Question | None:
    """Where the source's power goes, the most first."""
    winding = next((each for each in subject.going.windings if isinstance(each.beat, Running)), None)
    if winding is None:
        return None
    spent = budget(subject.going.train, winding)
    costs = {
        "teeth": spent.of("teeth"), "pivots": spent.of("pivots"), "escapement": spent.of("drop", "wheel", "sliding", "lever"),
        "oscillator": spent.of("oscillator"),
    }  # fmt: skip
    ranked = sorted(costs.items(), key=lambda item: -item[1])
    if any(more < less * (1 + APART) for (_, more), (_, less) in pairwise(ranked)):
        return None
    kind = subject.going.movement.oscillator.kind
    steps = [
        Answer(
            subject.say(f"order.losses.{name}_{kind}" if name == "oscillator" else f"order.losses.{name}"),
            subject.say("order.losses.why", percent=words.figure(100 * uw / spent.source_uw, 2), power=words.figure(uw)),
        )
        for name, uw in ranked
    ]
    return _order(subject, "losses", steps, ())
