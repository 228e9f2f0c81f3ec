"""Every question of every movement: answered right by a second reckoning, and wrong by plausible mistakes only."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from builder.going.steady import Running
from builder.lessons.kinds import KINDS
from builder.lessons.question import Question
from builder.lessons.questions import questions
from tests.lessons.asked import DEMOS, FILES, asked, plates, raw, solved, with_changed
from tests.lessons.recomputed import NUMBER, THIN, Counted, hours, number, numbers
from tests.solved import wording

MOVEMENTS = list(FILES)


@pytest.mark.parametrize("slug", DEMOS)
def test_forty_questions_of_every_kind(slug: str) -> None:
    """A demo movement is asked about at least forty times, by every kind, and no two questions read alike."""
    kinds = Counter(question.kind for question in asked(slug))
    assert len(asked(slug)) >= 40 and kinds.keys() == KINDS.keys() and min(kinds.values()) >= 4
    texts = Counter((question.text, question.drawing) for question in asked(slug))
    assert max(texts.values()) == 1


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_the_answers_differ_and_one_is_right(slug: str) -> None:
    """Four answers to choose from (every numbered part where one is to be marked), all read differently, each with its reason."""
    for question in asked(slug):
        texts = [answer.text for answer in question.answers]
        assert len(set(texts)) == len(texts), question.key
        assert len(texts) == 4 if question.form == "choice" else len(texts) >= 4, question.key
        for answer in question.answers:
            assert answer.why and "{" not in answer.why + answer.text + question.text, question.key
        reasons = {answer.why for answer in question.answers[1:]}
        assert question.form == "order" or question.right.why not in reasons, question.key


def test_the_same_movement_brings_the_same_questions() -> None:
    """Read and solved anew, the hall clock is asked about in the same words, in the same order."""
    again = with_changed("hall_clock", lambda data: None)
    assert questions(again, plates("hall_clock"), wording()) == asked("hall_clock")


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_none_is_found_by_elimination(slug: str) -> None:
    """All answers to a question are of one form, and the right one is not always the greatest, the least or the same place
    between the others."""
    ranks = Counter()
    for question in asked(slug):
        if question.form != "choice" or question.kind in ("name", "sense"):
            continue
        sized = [numbers(answer.text) for answer in question.answers]
        if all(len(found) == 1 for found in sized):
            values = [hours(a.text) if re.search(rf"{THIN}(s|min|h|days?)$", a.text) else number(re.search(NUMBER, a.text)[0])
                      for a in question.answers]  # fmt: skip
            ranks[sorted(values).index(values[0])] += 1
    assert sum(ranks.values()) >= 15
    assert max(ranks.values()) <= 0.6 * sum(ranks.values()), ranks


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_parts_that_are_offered_as_wrong_are_of_the_same_sort(slug: str) -> None:
    """Where a wheel or a pinion is to be named, at least two others of its sort stand beside it, so far as there are any."""
    for question in (each for each in asked(slug) if each.kind == "name"):
        sort = question.right.text.split()[-1]
        there = [row for row in plates(slug)[question.drawing].rows if row.name.split()[-1] == sort]
        wrong = [answer for answer in question.answers[1:] if answer.text.split()[-1] == sort]
        assert len(wrong) >= min(2, len(there) - 1), question.key


def marked(slug: str, question: Question, counted: Counted) -> None:
    """Names, numbers and counts of parts stand in the drawing's own table; what a part does, in the file."""
    rows = plates(slug)[question.drawing].rows
    row = next(row for row in rows if row.part == question.key.partition(".")[2])
    assert question.right.part == row.part
    assert question.right.text == (row.name if question.kind == "name" else str(row.number))
    if row.cells["count"]:
        assert numbers(question.right.why)[0] == numbers(row.cells["count"])[0]
    if question.kind == "name":
        assert question.marks == (row.part,) and str(row.number) in question.text
    else:
        assert {answer.text for answer in question.answers} == {str(each.number) for each in rows}
    for answer in question.answers[1:]:
        other = next(each for each in rows if each.part == answer.part)
        assert other.part != row.part and answer.text in (other.name, str(other.number))
        assert str(other.number) in answer.why


def sense(slug: str, question: Question, counted: Counted) -> None:
    """By the number of meshes from the minute hand."""
    arbor = question.key.partition(".")[2]
    front, back = ("clockwise", "counter-clockwise") if counted.clockwise(arbor) else ("counter-clockwise", "clockwise")
    assert question.right.text == f"From the front {front}, from the back {back}"


def turns(slug: str, question: Question, counted: Counted) -> None:
    """From the counts of the file."""
    what, *about = question.key.split(".")[1:]
    if what == "hour":
        wanted = counted.turns_per_hour(about[0])
    elif what == "time":
        assert hours(question.right.text) == 1 / counted.turns_per_hour(about[0])
        differ(question, hours)
        return
    elif what == "across":
        wanted = counted.ratio(*about)
    elif what == "whole":
        wanted = counted.ratio(counted.path[0], counted.path[-1])
    elif what == "winding":
        lasts = lasting(slug, counted)
        assert abs(hours(question.right.text) - lasts) <= max(lasts / 200, 1 / 2)
        differ(question, hours)
        return
    else:
        assert what == "reduction"
        wanted = 1 / counted.turns_per_hour("hour_wheel")
    assert numbers(question.right.text) == [wanted]
    differ(question, lambda text: numbers(text)[0])


def lasting(slug: str, counted: Counted) -> float:
    """Hours of one winding: turns of the source over its turns an hour."""
    return float(solved(slug).movement.source.usable_turns) / float(counted.turns_per_hour(counted.path[0]))


def differ(question: Question, value) -> None:
    """No wrong answer comes to what the right one is."""
    right = value(question.right.text)
    assert all(value(answer.text) != right for answer in question.answers[1:]), question.key


def beat(slug: str, question: Question, counted: Counted) -> None:
    """Two beats a tooth."""
    beats, what = counted.beats_per_hour, question.key.split(".")[1]
    if what == "counted":
        found, _, should = numbers(question.text)
        minutes = numbers(question.text)[1]
        assert should == beats / 60 * minutes and should != found
        off = (found - should) / should * 86400
        assert ("gains" in question.right.text) == (off > 0)
        assert float(numbers(question.right.text)[0]) == pytest.approx(abs(float(off)), rel=5e-3)
        differ(question, lambda text: text)
        return
    hands = {arbor.get("hand"): arbor["id"] for arbor in raw(slug)["arbors"]}
    wanted = {
        "hour": beats,
        "time": 3600 / beats,
        "turn": 2 * counted.escape_teeth,
        "teeth": beats / 60 / 2,
        "hand": beats / (counted.turns_per_hour(hands["seconds"]) if "seconds" in hands else 1),
    }[what]
    assert numbers(question.right.text) == [wanted]
    differ(question, lambda text: numbers(text)[0])


def missing(slug: str, question: Question, counted: Counted) -> None:
    """The count in the file."""
    what, *about = question.key.split(".")[1:]
    wanted = {
        "wheel": lambda: counted.teeth[about[0]],
        "pinion": lambda: counted.leaves[about[0]],
        "great": lambda: counted.teeth[counted.path[0]],
        "hour": lambda: counted.work["hour_wheel_teeth"],
    }[what]()
    assert question.right.text == str(wanted)
    assert all(answer.text.isdecimal() for answer in question.answers)
    assert "?" in question.text


def what_if(slug: str, question: Question, counted: Counted) -> None:
    """Counts by the file with that count; what the beat's solver answers is held against the whole file in test_what_if.py."""
    what, *about = question.key.split(".")[1:]
    if what not in ("leaf", "tooth", "escape", "lasts"):
        assert isinstance(solved(slug).windings[0].beat, Running)
        return
    other = Counted(raw(slug))
    if what == "leaf":
        other.leaves[about[0]] += 1
    elif what == "tooth":
        other.teeth[about[0]] += 1
    elif what == "escape":
        other.escape_teeth -= 1
    else:
        other.leaves[counted.path[counted.path.index(counted.hand)]] += 1
        assert counted.path.index(counted.hand) == 1
        lasts = lasting(slug, counted) * float(counted.turns_per_hour(counted.path[0]) / other.turns_per_hour(counted.path[0]))
        assert "rate stays" in question.right.text
        assert float(hours(question.right.text)) == pytest.approx(lasts, abs=max(lasts / 200, 0.5))
        return
    gain = counted.gain_min(other)
    assert ("gains" in question.right.text) == (gain > 0)
    assert float(60 * hours(question.right.text)) == pytest.approx(abs(float(gain)), rel=1e-3)


def order(slug: str, question: Question, counted: Counted) -> None:
    """By counts, or by what was solved; the orders of the bench and of the escapement are held in test_order.py."""
    what, texts = question.key.split(".")[1], [answer.text for answer in question.answers]
    if what == "speed":
        rates = [1 / hours(answer.why) for answer in question.answers]
        assert rates == sorted(rates) and len(set(rates)) == len(rates)
        ids = [*counted.path, "minute_wheel", "hour_wheel"]
        assert set(rates) == {counted.turns_per_hour(name) for name in ids} or len(rates) == 7
    elif what == "power":
        names = {arbor["id"]: arbor.get("name", arbor["id"].capitalize()) for arbor in raw(slug)["arbors"]}
        wanted = [f"{names[name]} arbor" for name in counted.path]
        found = [text for text in texts if text.endswith(" arbor")]
        assert found == wanted[-len(found) :] and len(found) >= 4
        assert texts[-2:] == ["Pallets", raw(slug)["oscillator"]["kind"].capitalize()]
    elif what == "work":
        assert texts[1:5] == ["Cannon pinion", "Minute wheel", "Minute pinion", "Hour wheel"]
    elif what == "meshes":
        assert texts[-2:] == ["Escape wheel", "Pallets"]
        names = {arbor["id"]: arbor.get("name", arbor["id"].capitalize()) for arbor in raw(slug)["arbors"]}
        along = [f"{names[name]} {part}" for name in counted.path for part in ("pinion", "wheel")]
        assert texts[:-2] == along[1:-1][-len(texts) + 2 :]


CHECKS = {
    "name": marked, "mark": marked, "sense": sense, "turns": turns, "beat": beat, "missing": missing, "what_if": what_if,
    "order": order,
}  # fmt: skip


@pytest.mark.parametrize("slug", MOVEMENTS)
def test_the_right_answer_is_right(slug: str) -> None:
    """Each question, worked out again from the counts of the file."""
    counted = Counted(raw(slug))
    for question in asked(slug):
        CHECKS[question.kind](slug, question, counted)


def test_a_wrong_key_to_the_answers_would_be_found() -> None:
    """Negative control: with one tooth more on the centre wheel the second reckoning finds many of the answers wrong."""
    counted = Counted(raw("hall_clock"))
    counted.teeth["centre"] += 1
    wrong = []
    for question in asked("hall_clock"):
        try:
            CHECKS[question.kind]("hall_clock", question, counted)
        except AssertionError:
            wrong.append(question.key)
    assert {"turns.hour.third", "turns.whole", "beat.hour", "missing.wheel.centre", "what_if.leaf.third"} <= set(wrong)
    assert not {"turns.time.hour_wheel", "missing.pinion.third", "sense.third"} & set(wrong)
