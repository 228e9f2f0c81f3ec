"""The count-up as a table to fill in: ratio, turns and time of every arbor, and one count that is lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from builder.ground import words
from builder.ground.words import whole_and_part as said
from builder.lessons.hands import hand_arbor
from builder.lessons.task import Cell, Grid, Setter, Squares, Task, steps

HEADS = ("arbor", "teeth", "leaves", "ratio", "turns", "period")
TEETH, LEAVES = 1, 2
WORKING_ROWS = 5


def tasks(setter: Setter) -> Iterator[Task | None]:
    """One, where there is a mesh to count."""
    train = setter.subject.going.train
    pairs = train.path_pairs
    if not pairs:
        return
    known = hand_arbor(setter.subject)
    start = known if known in train.path else train.path[0]
    rows = {name: _row(setter, name) for name in train.path}
    lost, given, working = setter.lost, "by_hand" if known in train.path else "by_source", []
    if lost:
        _, what, arbor = lost.key.split(".")
        column = TEETH if what == "wheel" else LEAVES
        rows[arbor][column] = replace(rows[arbor][column], given=False)
        working += [setter.say("count_up.lost"), *steps(lost.right.why)]
        given = "by_hand_and_beat"
    for pair in pairs:
        facts = {"driver": pair.driver_count, "driven": pair.driven_count, "ratio": said(pair.ratio)}
        working.append(setter.say("count_up.ratio", arbor=setter.subject.arbor(pair.driven), **facts))
    working += _turns(setter, start)
    grid = Grid(
        tuple(setter.say(f"count_up.heads.{head}") for head in HEADS),
        tuple(map(tuple, rows.values())),
    )
    text = setter.say(
        f"count_up.{given}", arbor=setter.subject.arbor(start), period=words.period(train[start].hours_per_turn),
        beats=said(train.beats_per_hour),
    )  # fmt: skip
    yield Task(
        "count_up",
        f"{text} {setter.say('count_up.how')}",
        (grid, Squares(WORKING_ROWS, result=False)),
        grid.blanks,
        tuple(working),
    )


def _row(setter: Setter, name: str) -> list[Cell]:
    train = setter.subject.going.train
    arbor, last = train[name], train.path[-1]
    into = next((pair for pair in train.path_pairs if pair.driven == name), None)
    out = next((pair for pair in train.path_pairs if pair.driver == name), None)
    teeth = str(out.driver_count) if out else str(train.escape_teeth) if name == last else ""
    return [
        Cell(arbor.title),
        Cell(teeth),
        Cell(str(into.driven_count) if into else ""),
        Cell(said(into.ratio) if into else "", given=into is None),
        Cell(said(abs(arbor.turns_per_hour)), given=False),
        Cell(words.period(arbor.hours_per_turn), given=False),
    ]


def _turns(setter: Setter, start: str) -> Iterator[str]:
    """Turns of every arbor from the one that is known, on to the escape wheel and back to the source; then the times."""
    train = setter.subject.going.train
    at = train.path.index(start)
    turns = {name: said(abs(train[name].turns_per_hour)) for name in train.path}
    for pair in train.path_pairs[at:]:
        yield setter.say(
            "count_up.on", arbor=setter.subject.arbor(pair.driven), before=turns[pair.driver], ratio=said(pair.ratio),
            turns=turns[pair.driven],
        )  # fmt: skip
    for pair in reversed(train.path_pairs[:at]):
        yield setter.say(
            "count_up.back", arbor=setter.subject.arbor(pair.driver), after=turns[pair.driven], ratio=said(pair.ratio),
            turns=turns[pair.driver],
        )  # fmt: skip
    for name in train.path:
        yield setter.say(
            "count_up.time", arbor=setter.subject.arbor(name), turns=turns[name],
            period=words.period(train[name].hours_per_turn),
        )  # fmt: skip
