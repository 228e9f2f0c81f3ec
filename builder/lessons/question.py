"""One question: what is asked, every answer that can be given, and why each is right or wrong, with its figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, TypeVar

from builder.drawing.table import Plate, Row
from builder.going.going import Going
from builder.ground.wording import Wording

Form = Literal["choice", "mark", "order"]
Value = TypeVar("Value")

FRONT, WORK = "train-front", "motion-work"
"""The drawings that questions are asked of."""

MOST = 4
"""Answers to choose from."""


@dataclass(frozen=True)
class Answer:
    """One answer that can be given. `why`: the reasoning, if it is right; else what leads to it, and what it misses."""

    text: str
    why: str
    part: str | None = None
    """The part of the drawing that it means."""
    figure: Fraction | None = None
    """The same as a bare number, where the question itself says of what: how many teeth, turns, beats."""


@dataclass(frozen=True)
class Question:
    """The right answer stands first; in a question of order all answers stand in their order."""

    key: str
    """Lasting: kind and what it is about. A learner's record is kept under it."""
    kind: str
    text: str
    answers: tuple[Answer, ...]
    form: Form = "choice"
    drawing: str = FRONT
    marks: tuple[str, ...] = ()
    """Parts marked while it is asked."""
    shows: tuple[str, ...] = ()
    """Parts marked once it is answered."""

    @property
    def right(self) -> Answer:
        return self.answers[0]


@dataclass(frozen=True)
class Subject:
    """The movement that is asked about, its drawings, and the words to ask with."""

    going: Going
    plates: Mapping[str, Plate]
    wording: Wording

    def say(self, key: str, **facts: object) -> str:
        """A text of questions.toml."""
        return self.wording.say(f"questions.{key}", **facts)

    def arbor(self, name: str) -> str:
        """'third arbor'; what belongs to the motion work carries the name of its wheel alone: 'minute wheel'."""
        arbor = self.going.train[name]
        own = arbor.title.lower()
        return own if arbor.role == "motion work" else self.say("words.arbor", arbor=own)

    def rows(self, drawing: str) -> tuple[Row, ...]:
        """The numbered parts of a drawing; none where the movement has no such drawing."""
        return self.plates[drawing].rows if drawing in self.plates else ()

    def parts_of(self, *arbors: str) -> tuple[str, ...]:
        """The toothed parts that stand on some arbors, for marking; the escape arbor's with the escape wheel."""
        found = [t.id for t in self.going.plan.toothings if t.arbor in arbors]
        return tuple(found + (["escape-wheel"] if self.going.train.path[-1] in arbors else []))

    def drawing_of(self, arbor: str) -> str:
        """Where an arbor is to be seen."""
        return WORK if self.going.train[arbor].role == "motion work" and WORK in self.plates else FRONT


def choice(
    key: str, text: str, right: Answer, wrong: Iterable[Answer], *, drawing: str = FRONT, marks: tuple[str, ...] = (),
    shows: tuple[str, ...] = (),
) -> Question | None:  # fmt: skip
    """A question with four answers: the first three wrong ones that read otherwise than the right one and than each other.

    None where the mistakes do not come to three: then it would be answered by elimination.
    """
    told: dict[str, Answer] = {right.text: right}
    for answer in wrong:
        told.setdefault(answer.text, answer)
    answers = tuple(told.values())[:MOST]
    if len(answers) < MOST:
        return None
    return Question(key, key.partition(".")[0], text, answers, "choice", drawing, marks, shows)


def worked(
    subject: Subject, key: str, base: str, right: Value, slips: Mapping[str, Value], shown: Callable[[Value], str],
    facts: Mapping[str, object], *, drawing: str = FRONT, shows: tuple[str, ...] = (), bare: bool = False,
) -> Question | None:  # fmt: skip
    """A question that is worked out. `slips`: what usual mistakes come to, likeliest first; their texts, like text and why of
    the question, stand under `base` in questions.toml and may name the facts, {right}, {right_lower} and their own {wrong}.
    `bare`: the question says of what the values are the count."""

    def figure(value: Value) -> Fraction | None:
        return value if bare and isinstance(value, Fraction) else None

    text = shown(right)
    known = {**facts, "right": text, "right_lower": text[:1].lower() + text[1:]}
    wrong = [
        Answer(shown(value), subject.say(f"{base}.{slip}", wrong=shown(value), **known), figure=figure(value))
        for slip, value in slips.items()
    ]
    answer = Answer(text, subject.say(f"{base}.why", **known), figure=figure(right))
    return choice(key, subject.say(f"{base}.text", **known), answer, wrong, drawing=drawing, shows=shows)
