"""Which way does it turn, seen from the front and from the back."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from builder.going.train import HAND_NAMES
from builder.lessons.hands import between, known
from builder.lessons.question import Answer, Question, Subject, choice


def ask(subject: Subject) -> Iterator[Question | None]:
    """Of every arbor. Four answers: each way, and from behind the other way or, wrongly, the same."""
    train = subject.going.train
    for arbor in train.arbors:
        answers = {
            (clockwise, turned): Answer(
                subject.say("sense.other_way" if turned else "sense.same_way", front=_way(subject, clockwise),
                            back=_way(subject, clockwise != turned)),
                _why(subject, arbor.id, clockwise == arbor.clockwise, turned),
            )
            for clockwise, turned in product((True, False), (True, False))
        }  # fmt: skip
        right = answers.pop((arbor.clockwise, True))
        text = subject.say("sense.text", arbor=subject.arbor(arbor.id))
        drawing, shows = subject.drawing_of(arbor.id), subject.parts_of(arbor.id)
        yield choice(f"sense.{arbor.id}", text, right, answers.values(), drawing=drawing, shows=shows)


def _way(subject: Subject, clockwise: bool) -> str:
    return subject.wording.say("drawings.clockwise" if clockwise else "drawings.counter_clockwise")


def _why(subject: Subject, arbor: str, right_way: bool, turned: bool) -> str:
    """From the arbor that is sure to turn clockwise, mesh by mesh."""
    if not turned:
        return subject.say("sense.behind")
    start, shows = known(subject)
    text = subject.say(
        "sense.from_hand" if shows else "sense.from_source", arbor=subject.arbor(start), hand=HAND_NAMES.get(shows)
    )
    meshes = between(subject, start, arbor)
    if meshes:
        steps = subject.say("words.then").join(f"{subject.arbor(a)} – {subject.arbor(b)}" for a, b in meshes)
        key = "one" if len(meshes) == 1 else "even" if len(meshes) % 2 == 0 else "odd"
        text += subject.say(
            f"sense.{key}", meshes=len(meshes), steps=steps, arbor=subject.arbor(arbor),
            way=_way(subject, subject.going.train[arbor].clockwise),
        )  # fmt: skip
    elif start != arbor:
        text += subject.say("sense.rides", arbor=subject.arbor(arbor))
    return text if right_way else subject.say("sense.wrong", text=text)
