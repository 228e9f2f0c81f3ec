"""The questions of the bench, in the order in which one takes a movement in hand: from the source of power to the dial."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import Any

from builder.going.train import RATE_TOLERANCE, Train, exact, train
from builder.ground import words
from builder.ground.faults import Refused
from builder.movement.model import About, Dial, Movement, Pinion, Wheel
from builder.parts.escapement import ESCAPEMENTS
from builder.parts.escapement.counted import Counted
from builder.parts.motion_work import HourOnly, MinuteAndHour
from builder.parts.oscillator.counted import Counted as CountedOscillator
from builder.parts.oscillator.pendulum import Pendulum
from builder.parts.oscillator.pendulum_parts import Bob, Rod
from builder.parts.source import SOURCES
from builder.parts.source.weight import Weight
from builder.parts.teeth import MESH_FORMS
from builder.starter.answers import arbor, chosen, counted, kinds, measured, named, plainly
from builder.starter.balance import balance
from builder.starter.conversation import Question, Talk, Unfit
from builder.starter.howto import CAUTIONS, HOW
from builder.starter.mainspring import mainspring

Data = dict[str, Any]

MOST_ARBORS = 8
ORDINALS = ("second", "third", "fourth", "fifth", "sixth", "seventh")
NOT_DRAFTED = "counted"
HANDS = {"both": "a minute and an hour hand", "hour": "an hour hand only", "none": "no hands"}
OSCILLATORS = {"pendulum": "it hangs", "balance": "a wheel with a hairspring"}


@dataclass
class Bench:
    """What is known so far. Arbors are called a1, a2, a3 … until it is known what they carry."""

    data: Data = field(default_factory=dict)
    turning: Train | None = None
    """The train, once hands or beat decide it."""

    @property
    def arbors(self) -> list[Data]:
        found: list[Data] = self.data["arbors"]
        return found

    @property
    def titles(self) -> list[str]:
        """What to call the arbors before they have names."""
        first = "barrel" if self.data["source"]["kind"] == "going_barrel" else "great arbor"
        return [first, *(f"{ordinal} arbor" for ordinal in ORDINALS[: len(self.arbors) - 2]), "escape arbor"]


def numbered(number: int) -> str:
    """The stand-in for an arbor's id."""
    return f"a{number}"


def bench_questions(talk: Talk) -> Bench:
    """Put all questions. Raises Stopped."""
    bench = Bench()
    _about(talk, bench)
    _source(talk, bench)
    _train(talk, bench)
    _escapement(talk, bench)
    _hands(talk, bench)
    _beat(talk, bench)
    _seconds(talk, bench)
    diameter = talk.ask(measured("dial", "Diameter of the dial?", HOW["dial.diameter_mm"], Dial, "diameter_mm", "mm"))
    if diameter is not None:
        bench.data["dial"] = {"diameter_mm": diameter}
    return bench


def _about(talk: Talk, bench: Bench) -> None:
    about = {
        "name": talk.ask(named("name", "What is the movement called?", HOW["movement.name"], About, "name")),
        "sort": talk.ask(chosen("sort", "What sort is it?", HOW["movement.sort"], kinds(About, "sort"))),
        "summary": talk.ask(named("summary", "What is there to see?", HOW["movement.summary"], About, "summary", needed=False)),
    }
    if lent_by := talk.ask(named("lent by", "Whose is it?", HOW["movement.lent_by"], About, "lent_by", needed=False)):
        about["lent_by"] = lent_by
    bench.data["movement"] = about


def _source(talk: Talk, bench: Bench) -> None:
    kind = talk.ask(chosen("source", "What drives it?", HOW["source.kind"], list(SOURCES)))
    source: Data = {"kind": kind, "arbor": numbered(1)}
    talk.remark(CAUTIONS[kind])
    source["turns"] = talk.ask(
        measured("turns", "How many turns of the key in one winding?", HOW["source.turns"], SOURCES[kind], "turns", "")
    )
    if kind == "weight":
        source["mass_kg"] = talk.ask(measured("mass", "Mass of the weight?", HOW["source.mass_kg"], Weight, "mass_kg", "kg"))
    if source.get("mass_kg") is not None:
        for key, text in (("drum_diameter_mm", "Diameter of the drum?"), ("cord_mm", "Thickness of the cord?")):
            source[key] = talk.ask(measured(key, text, HOW[f"source.{key}"], Weight, key, "mm"))
        source["lines"] = int(talk.ask(chosen("lines", "How many lines carry the weight?", HOW["source.lines"], ["1", "2"])))
    known = {key: value for key, value in source.items() if value is not None}
    bench.data["source"] = known if kind == "weight" else known | mainspring(talk, known)


def _train(talk: Talk, bench: Bench) -> None:
    count = talk.ask(_arbor_count())
    bench.data["arbors"] = [{"id": numbered(number)} for number in range(1, count + 1)]
    bench.data["meshes"] = [{"driver": numbered(number), "driven": numbered(number + 1)} for number in range(1, count)]
    for index in range(count - 1):
        bench.arbors[index]["wheel"], bench.arbors[index + 1]["pinion"] = _pair(talk, index, *bench.titles[index : index + 2])


def _pair(talk: Talk, index: int, here: str, above: str) -> tuple[Data, Data]:
    """A wheel and the pinion that it drives."""
    text = f"Wheel on the {here}: how many teeth?"
    teeth = talk.ask(counted(f"teeth {index}", text, HOW["arbors.wheel.teeth"], Wheel, "teeth"))
    key, text = "outside_diameter_mm", f"Wheel on the {here}: diameter over the tips?"
    over = talk.ask(measured(f"over {index}", text, HOW[f"arbors.wheel.{key}"], Wheel, key, "mm"))
    text, meshing = f"Pinion on the {above}, driven by that wheel: how many leaves?", partial(_will_not_mesh, teeth)
    leaves = talk.ask(counted(f"leaves {index}", text, HOW["arbors.pinion.leaves"], Pinion, "leaves", meshing))
    return {"teeth": teeth} | ({key: over} if over is not None else {}), {"leaves": leaves}


def _arbor_count() -> Question[int]:
    how = (
        "From the source of power to the escape arbor, both counted. Arbors of the striking and of the hands' gearing do not "
        "count, nor do pallets and balance."
    )

    def read(typed: str) -> int:
        if not typed.isdecimal() or not 2 <= int(typed) <= MOST_ARBORS:
            raise Unfit(f"It is counted: a whole number from 2 to {MOST_ARBORS}, in figures.")
        return int(typed)

    return Question("arbors", "How many arbors has the going train?", read, how, f"A whole number from 2 to {MOST_ARBORS}.")


def _will_not_mesh(teeth: int, leaves: int) -> str | None:
    try:
        MESH_FORMS["cycloidal"]().pair(teeth, leaves, 1.0)
    except Refused as refused:
        return plainly(refused)
    return None


def _escapement(talk: Talk, bench: Bench) -> None:
    kind = talk.ask(chosen("escapement", "What escapement is it?", HOW["escapement.kind"], list(ESCAPEMENTS)))
    of = ESCAPEMENTS[kind]
    made: Data = {"kind": kind, "arbor": numbered(len(bench.arbors))}
    if kind == NOT_DRAFTED:
        made["name"] = talk.ask(named("escapement name", "What is it called?", HOW["escapement.name"], Counted, "name"))

    def drafted(teeth: int) -> str | None:
        if kind == NOT_DRAFTED:
            return None
        try:
            of.model_validate({**made, "teeth": teeth, "radius_mm": 10.0}).draft()  # type: ignore[attr-defined]
        except Refused as refused:
            return plainly(refused)
        return None

    made["teeth"] = talk.ask(
        counted("escape teeth", "Escape wheel: how many teeth?", HOW["escapement.teeth"], of, "teeth", drafted)
    )
    if kind == NOT_DRAFTED:
        key = "beats_per_tooth"
        made[key] = talk.ask(counted(key, "How many beats for each tooth that passes?", HOW[f"escapement.{key}"], Counted, key))
    else:
        over = talk.ask(
            measured(
                "escape over",
                "Escape wheel: diameter over the tips?",
                HOW["arbors.wheel.outside_diameter_mm"],
                Wheel,
                "outside_diameter_mm",
                "mm",
            )
        )
        if over is not None:
            made["radius_mm"] = over / 2
    bench.data["escapement"] = made


def _hands(talk: Talk, bench: Bench) -> None:
    kind = talk.ask(chosen("hands", "Which hands does it have, apart from a seconds hand?", HOW["motion_work.kind"], HANDS))
    if kind == "none":
        return
    both = kind == "both"
    of = MinuteAndHour if both else HourOnly
    text = (
        "Which arbor turns once an hour and carries the minute hand's pipe?"
        if both
        else "Which arbor carries the pinion that drives the hour wheel?"
    )
    on = talk.ask(arbor("hands on", text, "Arbors are numbered from the source of power, 1.", len(bench.arbors)))
    assert on is not None, "it was needed"
    work: Data = {"kind": "minute_and_hour" if both else "hour_only", "on": numbered(on)}
    work["dial_hours"] = int(talk.ask(chosen("dial hours", "Hours for one turn of the hour hand?", "", ["12", "24"])))
    asked = {
        "cannon_leaves": "Cannon pinion, on the minute hand's pipe: how many leaves?",
        "minute_wheel_teeth": "Minute wheel, on the post at the side: how many teeth?",
        "minute_pinion_leaves": "Minute pinion, fixed to it: how many leaves?",
        "hour_wheel_teeth": "Hour wheel: how many teeth?",
    }
    if not both:
        asked = {"pinion_leaves": "That pinion: how many leaves?", "hour_wheel_teeth": asked["hour_wheel_teeth"]}
    for key, question in asked.items():
        last = key == "hour_wheel_teeth"
        check = (lambda teeth: _solved(bench, work | {"hour_wheel_teeth": teeth})[1]) if last else (lambda _: None)
        work[key] = talk.ask(counted(key, question, HOW[f"motion_work.{key}"], of, key, check))
    key = "distance_mm"
    work[key] = talk.ask(
        measured(key, "From the middle of the hands to the post at the side?", HOW[f"motion_work.{key}"], of, key, "mm")
    )
    bench.data["motion_work"] = {name: value for name, value in work.items() if value is not None}
    bench.turning = _solved(bench, bench.data["motion_work"])[0]


def _solved(
    bench: Bench, work: Data | None = None, beats: float | None = None, seconds: int | None = None
) -> tuple[Train | None, str | None]:
    """The train with these hands and this beat; or, in plain words, why it cannot be."""
    arbors = [{**each, **({"hand": "seconds"} if seconds == number else {})} for number, each in enumerate(bench.arbors, 1)]
    oscillator = {"kind": "counted", "name": "-"} | ({"beats_per_hour": beats} if beats is not None else {})
    escapement = {key: value for key, value in bench.data["escapement"].items() if key != "radius_mm"}
    escapement |= {"kind": "counted", "name": "-"}  # only its counts matter here
    known = {**bench.data, "movement": {"name": "-", "sort": "clock", "summary": "-"}, "arbors": arbors}
    known |= {"escapement": escapement, "oscillator": oscillator} | ({"motion_work": work} if work else {})
    try:
        return train(Movement.model_validate(known)), None
    except Refused as refused:
        return None, plainly(refused)


def _beat(talk: Talk, bench: Bench) -> None:
    kind = talk.ask(chosen("oscillator", "What counts the time?", HOW["oscillator.kind"], OSCILLATORS))
    decided = bench.turning

    def agrees(beats: float) -> str | None:
        if decided is None:
            return _solved(bench, beats=beats)[1]
        if abs(exact(beats) / decided.beats_per_hour - 1) <= RATE_TOLERANCE:
            return None
        asked = words.whole_and_part(decided.beats_per_hour)
        return f"The teeth ask for {asked} beats an hour. Count once more, or go back to a wheel."

    key = "beats_per_hour"
    how = HOW[f"oscillator.{key}"]
    needed = decided is None
    beats = talk.ask(measured("beats", "How many beats an hour?", how, CountedOscillator, key, "", agrees, needed))
    if decided is None:
        bench.turning = decided = _solved(bench, beats=beats)[0]
    assert decided is not None, "the hands or the beat have decided it"
    swinging = _pendulum if kind == "pendulum" else balance
    made = swinging(talk, float(decided.beats_per_hour))
    bench.data["oscillator"] = made or {"kind": "counted", "name": f"{kind}, not measured"}
    if needed:
        bench.data["oscillator"][key] = beats
    talk.remark("\n".join(["So far:", *turning_lines(decided, bench.titles)]))


def _pendulum(talk: Talk, beats_per_hour: float) -> Data | None:
    """Rod and bob; None where they were not measured."""
    how = HOW["oscillator.rod"]
    length = talk.ask(measured("rod", "Length of the pendulum's rod?", how, Rod, "length_mm", "mm"))
    if length is None:
        return None
    rod: Data = {"length_mm": length}
    rod["material"] = talk.ask(chosen("rod metal", "What is the rod made of?", "", kinds(Rod, "material")))
    rod["diameter_mm"] = talk.ask(measured("rod over", "Thickness of the rod?", how, Rod, "diameter_mm", "mm", needed=True))
    bob: Data = {"shape": talk.ask(chosen("bob", "What shape has the bob?", HOW["oscillator.bob"], kinds(Bob, "shape")))}
    bob["material"] = talk.ask(chosen("bob metal", "What fills the bob?", "", kinds(Bob, "material")))
    bob["mass_g"] = talk.ask(measured("bob mass", "Mass of the bob?", HOW["oscillator.bob"], Bob, "mass_g", "g", needed=True))
    made: Data = {"kind": "pendulum", "rod": rod, "bob": bob}

    def swings(diameter: float) -> str | None:
        try:
            Pendulum.model_validate({**made, "bob": {**bob, "diameter_mm": diameter}}).hung(beats_per_hour)
        except Refused as refused:
            return plainly(refused)
        return None

    text = "Diameter of the bob?"
    bob["diameter_mm"] = talk.ask(measured("bob over", text, "", Bob, "diameter_mm", "mm", swings, needed=True))
    return made


def turning_lines(turning: Train, titles: list[str]) -> list[str]:
    """What is computed of the train, a line for each arbor of the power's path."""
    lines = []
    for number, (name, title) in enumerate(zip(turning.path, titles, strict=True), 1):
        sense = "clockwise" if turning[name].clockwise else "counter-clockwise"
        lines.append(f"   {number} {title}: one turn {sense} in {words.period(turning[name].hours_per_turn)}")
    lines.append(f"   {words.whole_and_part(turning.beats_per_hour)} beats an hour")
    if turning.going_hours is not None:
        lines.append(f"   goes for {words.duration(turning.going_hours)}")
    return lines


def _seconds(talk: Talk, bench: Bench) -> None:
    work = bench.data.get("motion_work")
    beats = bench.data["oscillator"].get("beats_per_hour")

    def once_a_minute(number: int) -> str | None:
        if work:
            return _solved(bench, work, None, number)[1]
        turning, why = _solved(bench, None, None, number)
        if turning is not None and abs(exact(beats) / turning.beats_per_hour - 1) > RATE_TOLERANCE:
            return f"With seconds there the teeth ask for {words.whole_and_part(turning.beats_per_hour)} beats an hour."
        return why

    text = "Which arbor carries a seconds hand?"
    how = "A seconds hand turns clockwise, once a minute."
    number = talk.ask(arbor("seconds", text, how, len(bench.arbors), once_a_minute, needed=False))
    if number is not None:
        bench.arbors[number - 1]["hand"] = "seconds"
        bench.data["oscillator"].pop("beats_per_hour", None)  # the hand decides from here on
        bench.turning = _solved(bench, work)[0]
