"""A repair of a demo movement, solved: what it says before and after, each fault alone, readings beside what is computed."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from builder.going.repair import Repaired, compared
from builder.going.steady import Running, Stopped
from builder.ground.faults import FaultsFound
from builder.movement.repair import Job, repairs
from builder.pages.repairs.said import Said
from builder.pages.repairs.workshop import slipping
from tests.going.faulty import found, sound
from tests.solved import MODELS, demo, light, wording

HEAD = 'title = "Going again"\nobject = { name = "Clock", kind = "clock" }\n'
FINDING = '[[findings]]\nkind = "{kind}"\nseverity = "marked"\n{keys}\n'


@cache
def hall() -> Repaired:
    """The hall clock's demo repair."""
    return compared(demo("hall_clock"), repairs(MODELS, "hall_clock", demo("hall_clock").movement)[0])


def job(folder: Path, text: str, slug: str = "hall_clock", movement: str = "hall_clock") -> Job:
    """A repair file of that text, read for a demo movement."""
    path = folder / slug / "repairs" / "2026-01-02.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(HEAD + text, "utf-8")
    (one,) = repairs(folder, slug, demo(movement).movement)
    return one


def faults(folder: Path, text: str, movement: str = "hall_clock") -> list[str]:
    """What is said of such a file when it is solved."""
    with pytest.raises(FaultsFound) as refused:
        compared(demo(movement), job(folder, text, movement=movement))
    return [str(fault) for fault in refused.value.faults]


def test_the_hall_clock_stood_and_goes():
    """Three findings of which none alone would stop it: together they do, and it is said at which winding and why; after the
    repair it is the sound clock again."""
    repaired = hall()
    assert [state.name for state in repaired.states_before if state.stops] == ["wound", "half wound", "nearly down"]
    assert all(state.stops and state.stops.reason == "too little energy" for state in repaired.states_before)
    assert all(isinstance(alone.beat("wound"), Running) for alone in repaired.alone)
    assert repaired.after is repaired.sound and not any(state.stops for state in repaired.states_after)
    assert repaired.states_after[0].amplitude_deg == sound("hall_clock").amplitude_deg
    assert repaired.states_after[0].reserve is not None and repaired.states_after[0].reserve > 1
    assert repaired.states_before[0].reserve is None and repaired.states_before[0].amplitude_deg is None


def test_each_alone_and_the_one_that_costs_most():
    """Only what changes the beat is solved alone (the loose foot of the dial is not), and the ranking is by amplitude lost."""
    repaired = hall()
    assert [alone.finding.kind for alone in repaired.alone] == ["worn_hole", "poor_oil", "out_of_beat"]
    costs = {alone.finding.kind: alone.costs_deg for alone in repaired.alone}
    assert (
        repaired.costliest is not None
        and repaired.costliest.finding.kind == max(costs, key=lambda kind: costs[kind]) == "poor_oil"
    )
    weakest = repaired.alone[1].weakest
    assert isinstance(weakest, Running)
    assert costs["poor_oil"] == pytest.approx(repaired.states_after[2].weakest.amplitude_deg - weakest.amplitude_deg)


def test_readings_stand_beside_what_is_computed():
    """Measured less computed, for the same side and state; a clock that stood is compared by that alone."""
    stood, wound, down = hall().readings
    assert not stood.goes and not stood.reading.goes and stood.off == {}
    assert wound.goes and wound.off["amplitude_deg"] == pytest.approx(2.2 - sound("hall_clock").amplitude_deg)
    assert wound.off["rate_s_per_day"] == pytest.approx(2.0, abs=1e-6)  # rated at the state in which all weights are alike
    assert set(down.off) == {"amplitude_deg", "rate_s_per_day"}


def test_the_budget_of_both_sides_closes():
    """Power in is accounted for to a thousandth after the repair; before it, what comes to the wheel is left over."""
    after, before = hall().states_after[0].budget, hall().states_before[0].budget
    assert abs(after.unaccounted_uw) < 1e-3 * after.source_uw
    assert not before.runs and before.unaccounted_uw == pytest.approx(before.escape_uw, rel=1e-3)


def test_what_was_left_remains_after_the_repair(tmp_path: Path):
    """A finding that was left as it is is in both solutions, and only what was put right is gone."""
    oil = FINDING.format(kind="poor_oil", keys='state = "dry"\nwhere = ["pivots"]\nfriction_times = 1.2')
    tilt = FINDING.format(kind="out_of_beat", keys="by_deg = 0.1\nleft = true")
    repaired = compared(demo("hall_clock"), job(tmp_path, oil + tilt))
    before, after = repaired.states_before[0], repaired.states_after[0]
    assert after.escape_nmm == pytest.approx(1e3 * sound("hall_clock").works.torque_nm)
    assert before.escape_nmm < after.escape_nmm
    assert after.beat_error_ms is not None and after.beat_error_ms > 10
    assert repaired.after is not repaired.sound


def test_hands_are_set_before_and_after(tmp_path: Path):
    """Slack at a quarter of what the hands ask for, they stayed behind; sound, they hold. The beat is not touched."""
    slack = compared(
        demo("hall_clock"), job(tmp_path, FINDING.format(kind="hand_friction", keys='state = "slack"\ntorque_nmm = 0.4'))
    )
    assert slack.hands_before is not None and slack.hands_after is not None
    assert slack.hands_before.margin is not None and slack.hands_before.margin < 1 < (slack.hands_after.margin or 0)
    assert slack.alone == () and slack.costliest is None
    assert slack.states_before[0].amplitude_deg == slack.states_after[0].amplitude_deg
    said = faults(tmp_path, FINDING.format(kind="hand_friction", keys='state = "slack"\ntorque_nmm = 400.0'))
    assert len(said) == 1 and "findings[0].torque_nmm = 400.0: less than the" in said[0]


def test_a_tooth_that_does_not_pass_stops_the_clock_now_and_then(tmp_path: Path):
    """Bent so far that it jams, the clock goes until that tooth comes round: said so, at every winding."""
    bent = FINDING.format(kind="hurt_tooth", keys='arbor = "third"\nharm = "bent"\nby_mm = 1.2')
    repaired = compared(demo("hall_clock"), job(tmp_path, bent))
    states = repaired.states_before
    assert all(state.stops_now_and_then and state.stops and state.stops.reason == "the train jams" for state in states)
    assert len(states) == 3 and isinstance(repaired.alone[0].weakest, Stopped)
    assert repaired.costliest is repaired.alone[0]


@pytest.mark.parametrize(
    ("keys", "key", "says"),
    [
        (
            'kind = "worn_hole"\narbor = "third"\nplate = "front"\nworn_mm = 5.0\ndirection_deg = 60',
            "findings[0].worn_mm",
            "less than",
        ),
        ('kind = "worn_leaves"\narbor = "third"\ndepth_mm = 4.0', "findings[0].depth_mm", "less than"),
        ('kind = "worn_pallet"\npallet = "exit"\nface = "impulse face"\ndepth_mm = 4.0', "findings[0].depth_mm", "well under"),
        ('kind = "wrong_rating"\nbob_down_mm = 90.0', "findings[0].kind", "beats"),
        ('kind = "other"\npart = "fusee"\nwords = "Worn."', "findings[0].part", "the anchor of a part"),
    ],
)
def test_what_cannot_be_is_said_at_its_place(tmp_path: Path, keys: str, key: str, says: str):
    """Faults that only the solved movement shows have file, line and column of the finding's own key."""
    (said,) = faults(tmp_path, f'[[findings]]\nseverity = "slight"\n{keys}\n')
    line = 1 + (HEAD + f'[[findings]]\nseverity = "slight"\n{keys}\n').split("\n").index(
        next(row for row in keys.split("\n") if row.startswith(key.rpartition(".")[2]))
    )
    assert said.startswith(f"hall_clock/repairs/2026-01-02.toml:{line}:1: {key} = ") and says in said


def test_unknown_parts_of_work_are_said_together(tmp_path: Path):
    """Work and parts replaced name parts that there are, with the nearest where one is misspelt."""
    text = '[[work]]\ndid = "Bushed."\non = "front-plate-hole"\n[[replaced]]\npart = "Chain"\nby = "A new one."\non = "zzz"\n'
    said = faults(tmp_path, text + FINDING.format(kind="other", keys='words = "Dusty."'))
    assert [("work[0].on" in said[0], "Did you mean front-plate-holes?" in said[0]), "replaced[0].on" in said[1]] == [
        (True, True),
        True,
    ]


def test_a_clock_that_stops_when_sound_costs_nothing_more(tmp_path: Path):
    """The sound movement may stop too: then no finding has an amplitude to cost, and nothing breaks."""
    oil = FINDING.format(kind="poor_oil", keys='state = "dry"\nwhere = ["pivots"]')
    repaired = compared(light(), job(tmp_path, oil))
    assert all(state.stops for state in (*repaired.states_before, *repaired.states_after))
    assert repaired.costliest is None and repaired.alone[0].costs_deg == 0


def test_a_movement_that_is_only_counted_is_compared_by_words(tmp_path: Path):
    """The schoolroom dial's like: without a force nothing can be solved, and nothing is guessed."""
    solved = demo("hall_clock")
    movement = solved.movement.model_copy(update={"source": solved.movement.source.model_copy(update={"mass_kg": None})})
    counted = replace(solved, movement=movement, beat=None, winding=None)
    repaired = compared(counted, job(tmp_path, FINDING.format(kind="out_of_beat", keys="by_deg = 0.1")))
    assert repaired.states_before == () and repaired.alone == () and repaired.readings == ()


def test_found_is_what_the_file_gives():
    """The findings of tests are those of files: the same models, unknown keys refused."""
    with pytest.raises(ValueError, match="Extra inputs"):
        found("out_of_beat", by_deg=1.0, degrees=2.0)


def test_a_tooth_that_slips_by_shows_in_hands_and_winding(tmp_path: Path):
    """With the mesh worn apart and a tooth gone, the hands gain 86 400/63 s a day beside the beat's rate and the winding is over
    a sixty-fourth sooner; the beat itself is not hurried, and after the repair nothing slips."""
    holes = "".join(
        FINDING.format(kind="worn_hole", keys=f'arbor = "third"\nplate = "{plate}"\nworn_mm = 0.9\ndirection_deg = 60')
        for plate in ("back", "front")
    )
    tooth = FINDING.format(kind="hurt_tooth", keys='arbor = "centre"\nharm = "missing"')
    repaired = compared(demo("hall_clock"), job(tmp_path, holes + tooth))
    for was, now in zip(repaired.states_before, repaired.states_after, strict=True):
        assert was.slips_s_per_day == pytest.approx(86_400 / 63)
        assert was.hours_left == pytest.approx(now.hours_left * 63 / 64)
        assert now.slips_s_per_day == 0
    assert [each.slips.hands_s_per_day for each in repaired.alone] == [0, 0, 0]
    said = Said(repaired, wording())
    assert any("the hands gained 23\u202fmin a day" in sentence for sentence in said.story())
    (slipping_before,) = slipping(repaired, said)
    assert slipping_before.startswith("Before: teeth go by")
    assert "+1371\u202fs a day" in slipping_before
