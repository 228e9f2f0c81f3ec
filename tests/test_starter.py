"""A new movement begins with a file that is right: the commented example, or one written from a clockmaker's answers."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.__main__ import main
from builder.build import solve
from builder.going.going import Going, going
from builder.going.steady import Running
from builder.movement.model import Movement
from builder.movement.reading import opened
from builder.parts.source.spring import Spring
from builder.starter import Stopped, asked, example
from builder.starter.answers import measured
from builder.starter.conversation import Question, Talk, Unfit, held
from builder.starter.howto import CAUTIONS, HOW
from builder.starter.layout import laid_out
from builder.starter.questions import bench_questions
from builder.starter.written import written
from tests.movement_texts import Data, eight_day, movement_data, write_collection, write_movement


@pytest.fixture
def models(tmp_path: Path) -> Path:
    write_collection(tmp_path / "models")
    return tmp_path / "models"


def solved(models: Path, slug: str = "new_clock") -> Going:
    """The written file, read and solved as the commands do it."""
    return going(slug, opened(models / slug / "movement.toml", Movement, models).model)


class Clockmaker:
    """Someone who types these answers one after the other and then is gone; what was said is kept."""

    def __init__(self, *answers: str) -> None:
        self.answers = iter(answers)
        self.heard: list[str] = []

    def hear(self) -> str | None:
        return next(self.answers, None)

    def say(self, text: str) -> None:
        self.heard.append(text)

    @property
    def text(self) -> str:
        return "\n".join(self.heard)


def typed(monkeypatch: pytest.MonkeyPatch, *answers: str) -> None:
    lines: Iterator[str] = iter(answers)

    def line(_: str) -> str:
        try:
            return next(lines)
        except StopIteration:
            raise EOFError from None

    monkeypatch.setattr("builtins.input", line)


# ---- the example


def test_the_example_passes_check(models: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`new` writes a file that `check` finds no fault in, drawings and pages included, and says what to do next."""
    assert main(["new", "new_clock", "--models", str(models)]) == 0
    assert "check" in capsys.readouterr().out
    assert main(["check", "--quiet", "--models", str(models)]) == 0


def test_the_example_goes(models: Path) -> None:
    """It is believable: the beat is solved and holds from wound to run down, and the seconds hand is right."""
    main(["new", "new_clock", "--models", str(models)])
    found = solved(models)
    assert found.windings
    assert all(isinstance(winding.beat, Running) for winding in found.windings)
    assert found.train["escape"].turns_per_hour == -60


def test_the_example_says_how_everything_is_measured() -> None:
    """Each key that there is advice for has it above its first use; cautions stand at the source; editors find the schema."""
    text = example()
    assert text.startswith("#:schema ../movement.schema.json\n")
    unwrapped = " ".join(line.removeprefix("# ") for line in text.splitlines())
    data = tomllib.loads(text)
    for table, value in data.items():
        for each in value if isinstance(value, list) else [value]:
            inner = [f"{table}.{key}.{k}" for key, v in each.items() if isinstance(v, dict) for k in v]
            for key in filter(HOW.__contains__, [f"{table}.{key}" for key in each] + inner):
                assert unwrapped.count(HOW[key]) == 1, key
    assert CAUTIONS["weight"] in unwrapped
    assert max(map(len, text.splitlines())) <= 120


@pytest.mark.parametrize("slug", ["", "2nd", "Clock", "my clock", "../up", "a" * 41, "uhr-1", "ä"])
def test_a_name_that_no_folder_may_have_is_wrong_use(models: Path, slug: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2, with what the name may hold; nothing is written."""
    with pytest.raises(SystemExit) as caught:
        main(["new", "--models", str(models), "--", slug])
    assert caught.value.code == 2
    assert "small letters a to z" in capsys.readouterr().err
    assert [path.name for path in models.iterdir()] == ["collection.toml"]


@pytest.mark.parametrize("ask", [[], ["--ask"]])
def test_a_movement_that_is_there_is_not_touched(models: Path, ask: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1 before the first question, and the folder stays as it was."""
    (models / "new_clock").mkdir()
    (models / "new_clock" / "notes.md").write_text("mine", "utf-8")
    assert main(["new", "new_clock", "--models", str(models), *ask]) == 1
    assert "is there already" in capsys.readouterr().err
    assert [path.name for path in (models / "new_clock").iterdir()] == ["notes.md"]


def test_no_folder_of_models(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 1 and a plain word: no folder is made where none was."""
    assert main(["new", "new_clock", "--models", str(tmp_path / "none")]) == 1
    assert "There is no folder" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()


def test_a_full_disk_leaves_nothing(models: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """If the file cannot be written its folder does not stay behind."""

    def full(self: Path, *_: object) -> int:
        self.touch()
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    assert main(["new", "new_clock", "--models", str(models)]) == 1
    assert "No space left on device" in capsys.readouterr().err
    assert not (models / "new_clock").exists()


# ---- the questions

ABOUT = ("Kitchen clock", "timepiece", "", "")
TRAIN = ("96", "97.8", "8", "64", "", "8", "60", "52,0 mm", "8")
HOUSE = (
    *(*ABOUT, "weight", "16", "", "4", *TRAIN, "recoil anchor", "30", "38"),
    *("both", "2", "12", "36", "36", "6", "72", "28.8", "pendulum", "", "", "4", "250", "yes"),
)
"""The usual eight-day clock (Beckett 1903, p. 133), one wheel not measured."""

MOVEMENTS: dict[str, tuple[tuple[str, ...], dict[str, object]]] = {
    "house clock": (HOUSE, {"beats": 3600, "hours": 192, "path": ["great", "centre", "third", "escape"], "seconds": "escape"}),
    "watch with a going barrel, nothing measured": (
        (
            *("Travelling watch", "watch", "A lever goes.", "Tidewater Road evening class", "going barrel", "", "", "5"),
            *("80", "", "10", "80", "", "10", "75", "", "10", "80", "", "8", "club lever", "15", ""),
            *("1", "2", "1", "14", "42", "12", "48", "", "balance", "18000", "", "4", "", "yes"),
        ),
        {"beats": 18000, "hours": None, "path": ["barrel", "centre", "third", "fourth", "escape"], "seconds": "fourth"},
    ),
    "old watch with one hand and a verge": (
        (
            *("Old watch", "watch", "", "", "fusee", "12", "", "4", "55", "", "5", "45", "", "5", "40", "", "5"),
            *("counted", "verge", "17", "2", "hour", "1", "12", "4", "32", "", "balance", "", "", "", "", "yes"),
        ),
        {"beats": 17952, "hours": 18, "path": ["great", "second", "third", "escape"], "seconds": None},
    ),
    "train without hands": (
        (
            *ABOUT,
            "open_spring",
            "7 1/2",
            "",
            "2",
            "90",
            "45",
            "9",
            "pin lever",
            "15",
            "12",
            "none",
            "balance",
            "14400",
            "",
            "",
            "",
            "yes",
        ),
        {"beats": 14400, "hours": 7.5 * 300 / 14400 * 1, "path": ["great", "escape"], "seconds": None},
    ),
    "alarm with all measured": (
        (
            *(*ABOUT, "open spring", "", "0,26", "9", "560", "8", "35", "5", "72", "37.7", "12", "64", "30.1", "8"),
            *("60", "25.2", "8", "80", "24.9", "8", "pin lever", "15", "13", "both", "2", "12", "12", "36", "10", "40", ""),
            *("balance", "", "17.5", "1,2", "1 1/2", "1.5", "", "0.4", "180", "4", "80", "yes"),
        ),
        {
            "beats": 18000,
            "hours": 53.76,
            "path": ["great", "centre", "third", "fourth", "escape"],
            "seconds": "fourth",
            "solved": True,
        },
    ),
    "year clock of eight arbors": (
        (
            *(*ABOUT, "weight", "16", "2.5 kg", "40", "1.2", "2", "6"),
            *("108", "", "12", "72", "", "9", "64", "", "8", "60", "", "8", "56", "", "7", "dead beat", "30", ""),
            *("both", "4", "24", "36", "36", "6", "144", "", "pendulum", "3600"),
            *("1090", "iron", "4", "lenticular", "lead", "4000", "160", "6", "", "yes"),
        ),
        {
            "beats": 3600,
            "hours": 384 * 24,
            "path": ["great", "second", "third", "centre", "fifth", "escape"],
            "seconds": "escape",
            "solved": True,
        },
    ),
}


@pytest.mark.parametrize(("answers", "expected"), MOVEMENTS.values(), ids=MOVEMENTS)
def test_answers_become_a_movement_that_passes_check(
    models: Path, monkeypatch: pytest.MonkeyPatch, answers: tuple[str, ...], expected: dict[str, object]
) -> None:
    """From the answers alone: the right beat, duration and hands, and a layout that `check` has nothing against."""
    typed(monkeypatch, *answers)
    assert main(["new", "new_clock", "--models", str(models), "--ask"]) == 0
    assert main(["check", "--quiet", "--models", str(models)]) == 0
    found = solved(models)
    assert found.train.beats_per_hour == expected["beats"]
    assert found.train.going_hours == pytest.approx(expected["hours"]) if expected["hours"] else found.train.going_hours is None
    assert (found.beat is not None) == expected.get("solved", False)
    assert list(found.train.path) == expected["path"]
    assert next((arbor for shows, arbor in found.train.hands if shows == "seconds"), None) == expected["seconds"]


def test_what_was_not_measured_is_marked(models: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A size that nobody measured is in the file as assumed, and only such a size."""
    typed(monkeypatch, *HOUSE)
    main(["new", "new_clock", "--models", str(models), "--ask"])
    lines = (models / "new_clock" / "movement.toml").read_text("utf-8").splitlines()
    marked = [line for line in lines if "not measured: assumed" in line]
    assert len(marked) == 1
    assert marked[0].startswith("wheel = { teeth = 64, module_mm = ")
    assert any(line == 'name = "pendulum, not measured"' for line in lines)
    (told,) = (finding.text for finding in solved(models).findings if finding.key == ("movement", "assumed"))
    assert told.startswith("not measured, but assumed so that there is a drawing, with all that follows from it: size of ")
    assert told.endswith("wheel, direction of the meshes, width of the plates, height of the plates, centre of the plates")


def test_each_answer_is_judged_at_once() -> None:
    """A slip is answered in plain words, and the same question is put again; a comma, a unit and a number of the list will do."""
    maker = Clockmaker(
        *("", "Kitchen clock", "alarm", "1", "", "", "spring", "4", "-3", "16 turns", "16", "", "9", "4"),
        *("ninety", "5", "96.5", "96", "wide", "97,8 mm", "3", "8", "64", "", "8", "60", "", "8"),
        *("recoil anchor", "7", "30", "0", "38", "both", "0", "2", "13", "12", "36", "36", "6", "70", "72", ""),
        *("pendulum", "4000", "3609", "", "3", "4", "", "no", "yes"),
    )
    text = asked("new_clock", maker.hear, maker.say)
    refusals = [line.strip() for line in maker.heard if line.startswith("   ")]
    for said in (
        "Please write a few words.",
        "Please choose one of: timepiece, clock, regulator, watch.",
        "Please choose one of: open spring, going barrel, fusee, weight.",
        "That cannot be: a number, more than 0 and at most 200. Please count or measure again.",
        "Please write a number, more than 0 and at most 200: as 7.5, 7,5 or 7 1/2.",
        "It is counted: a whole number from 2 to 8, in figures.",
        "It is counted: a whole number from 6 to 600, in figures.",
        "That cannot be: a whole number from 6 to 600. Please count or measure again.",
        "Please write a number, more than 0 and at most 5000, in mm: as 7.5, 7,5 or 7 1/2.",
        "That cannot be: a whole number from 4 to 60. Please count or measure again.",
        "That cannot be: a whole number from 12 to 120. Please count or measure again.",
        "Please give the arbor's number: 1 at the source of power, 4 at the escape wheel.",
        "Please choose one of: 12, 24.",
        "The teeth ask for 3600 beats an hour. Count once more, or go back to a wheel.",
        "Please answer yes, back or stop.",
    ):
        assert said in refusals, said
    assert any(line.startswith("That does not fit: 12 to 1 for a dial of 12 hours. (36 × 70)") for line in refusals)
    assert any("one turn counter-clockwise in 7 1/2\u202fmin" in line for line in refusals), "seconds hand on the third arbor"
    data = tomllib.loads(text)
    assert data["arbors"][0]["wheel"] == {"teeth": 96, "outside_diameter_mm": 97.8}
    assert "beats_per_hour" not in data["oscillator"], "counted near enough: the hands decide"


def test_help_at_any_question() -> None:
    """`help` is no answer, not even to what something is called: it says how to answer, and puts the question again."""
    maker = Clockmaker("help", "Clock", "?", "stop")
    with pytest.raises(Stopped):
        asked("new_clock", maker.hear, maker.say)
    assert maker.text.count("1. What is the movement called?") == maker.text.count("2. What sort is it?") == 2
    assert maker.text.count("back goes to the question before") == 3


@pytest.mark.parametrize(
    ("typed", "value"), [("7 1/2", 7.5), ("7,5 mm", 7.5), ("15/2mm", 7.5), ("7.5", 7.5), ("+30", 30.0), ("", None)]
)
def test_a_measure_as_it_is_written_at_the_bench(typed: str, value: float | None) -> None:
    """With a fraction, a comma, its unit, or not at all."""
    assert measured("x", "How long?", "", Spring, "length_mm", "mm").read(typed) == value


@pytest.mark.parametrize("typed", ["7 8", "7/0", "1/2/3", "7.5 cm", "nan", "1e3", "7 1,5/2"])
def test_a_measure_that_is_none(typed: str) -> None:
    """What might be read in two ways is not read."""
    with pytest.raises(Unfit):
        measured("x", "How long?", "", Spring, "length_mm", "mm").read(typed)


def test_sizes_that_do_not_fit_together_are_told_at_once() -> None:
    """A spring too long for its barrel, and a bob too small for the rod, are judged at the question, by name."""
    maker = Clockmaker(*ABOUT, "going barrel", "", "0.16", "3", "2400", "5.4", "16.4", "stop")
    with pytest.raises(Stopped):
        asked("new_clock", maker.hear, maker.say)
    assert "Spring length does not fit: less than 1150\u202fmm, which would fill the barrel solid." in maker.text


def test_hands_that_nobody_measured_give_way(models: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An assumed module of the motion work that would reach the seconds hand's arbor is taken finer; a measured one is told."""
    hands = ("both", "2", "24", "20", "80", "10", "60")
    answers = (*ABOUT, "weight", "16", "", "4", *TRAIN, "dead beat", "30", "40", *hands)
    typed(monkeypatch, *answers, "", "pendulum", "", "", "4", "", "yes")
    assert main(["new", "new_clock", "--models", str(models), "--ask"]) == 0
    maker = Clockmaker(*answers, "45", "pendulum", "", "", "4", "")
    with pytest.raises(Stopped):
        asked("other", maker.hear, maker.say)
    assert "These answers do not make a movement" in maker.text


def test_the_summary_says_what_was_computed() -> None:
    """Before anything is written: turns of each arbor, beats, how long it goes, what is only assumed."""
    maker = Clockmaker(*HOUSE)
    asked("new_clock", maker.hear, maker.say)
    said = maker.text[maker.text.rindex("Kitchen clock") :]
    for line in (
        "1 great arbor: one turn counter-clockwise in 12\u202fh",
        "2 second arbor: one turn clockwise in 1\u202fh",
        "3 third arbor: one turn counter-clockwise in 7 1/2\u202fmin",
        "4 escape arbor: one turn clockwise in 60\u202fs",
        "3600 beats an hour",
        "goes for 8\u202fdays",
        "1 size not measured",
        "fits between plates of",
    ):
        assert line in said, line


def test_cautions_come_before_the_hands_do() -> None:
    """Whoever names a spring reads of letting it down before being asked to count its turns; a weight has its own."""
    for kind, words in (("open spring", "let-down key"), ("weight", "take the weight off first")):
        maker = Clockmaker(*ABOUT, kind)
        with pytest.raises(Stopped):
            asked("new_clock", maker.hear, maker.say)
        assert words in maker.text
        assert maker.text.index(words) < maker.text.index("How many turns of the key")


@pytest.mark.parametrize("at", range(len(HOUSE)))
@pytest.mark.parametrize("end", ["stop", None])
def test_stopping_anywhere_writes_nothing(
    models: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], at: int, end: str | None
) -> None:
    """At any question `stop`, or the end of the input, leaves no folder behind and ends with 1 and a plain word."""
    typed(monkeypatch, *HOUSE[:at], *([end] if end else []))
    assert main(["new", "new_clock", "--models", str(models), "--ask"]) == 1
    assert "nothing was written" in capsys.readouterr().err
    assert not (models / "new_clock").exists()


@pytest.mark.parametrize("at", range(1, len(HOUSE) - 1))
def test_going_back_one_keeps_all_other_answers(at: int) -> None:
    """After `back` only the question before is put again; what is known in the end is the same."""
    maker, plain = Clockmaker(*HOUSE[:at], "back", *HOUSE[at - 1 : -1]), Clockmaker(*HOUSE[:-1])
    found = held(Talk(maker.hear, maker.say), bench_questions)
    assert found == held(Talk(plain.hear, plain.say), bench_questions)
    assert next(maker.answers, None) is None, "every answer was asked for once"


def test_going_back_to_a_numbered_question() -> None:
    """At the very end one answer far back can be corrected, and the rest is kept."""
    maker = Clockmaker(*HOUSE[:-1], f"back {HOUSE.index('16') + 1}", "12", "yes")
    data = tomllib.loads(asked("new_clock", maker.hear, maker.say))
    assert data["source"]["turns"] == 12
    assert data["arbors"][0]["wheel"] == {"teeth": 96, "outside_diameter_mm": 97.8}
    assert "goes for 6\u202fdays" in maker.text


def test_an_answer_that_no_longer_fits_is_asked_again() -> None:
    """Fewer arbors than before: the hands' arbor that is no more must be named anew."""
    words: list[str] = []
    lines = iter(["5", "5", "back 1", "3", "2"])

    def script(talk: Talk) -> tuple[int, int]:
        count = talk.ask(Question("count", "How many?", int))

        def read(typed: str) -> int:
            if int(typed) > count:
                raise Unfit(f"Only up to {count}.")
            return int(typed)

        which = talk.ask(Question("which", "Which?", read))
        if count == 5:
            talk.ask(Question("more", "More?", int))
        return count, which

    assert held(Talk(lambda: next(lines), words.append), script) == (3, 2)
    assert [word.strip() for word in words[1:]] == ["1. How many?", "2. Which?", "3. More?", "1. How many?", "2. Which?"]


def test_back_at_the_first_question_stays_there() -> None:
    """There is nothing before it."""
    maker = Clockmaker("back", "back 9", "Kitchen clock", "stop")
    with pytest.raises(Stopped):
        asked("new_clock", maker.hear, maker.say)
    assert maker.text.count("1. What is the movement called?") == 3


def test_answers_that_make_no_movement_can_be_corrected() -> None:
    """A wheel too large for its place is explained at the end; going back to its diameter mends it."""
    wrong = list(HOUSE[:-1])
    at = wrong.index("52,0 mm")
    wrong[at] = "90"
    maker = Clockmaker(*wrong, "yes", f"back {at + 1}", "52", "yes")
    text = asked("new_clock", maker.hear, maker.say)
    assert "These answers do not make a movement" in maker.text
    assert "count and measure the teeth of both arbors again" in " ".join(maker.text.split())
    assert tomllib.loads(text)["arbors"][2]["wheel"]["outside_diameter_mm"] == 52.0


def test_typing_that_is_no_text(models: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Bytes that are no letters, and signs that no file may hold, are asked for again."""
    lines: list[str | Exception] = [UnicodeDecodeError("utf-8", b"\xff", 0, 1, "invalid"), "a\x07b", "\ud800", *HOUSE]

    def line(_: str) -> str:
        each = lines.pop(0)
        if isinstance(each, Exception):
            raise each
        return each

    monkeypatch.setattr("builtins.input", line)
    assert main(["new", "new_clock", "--models", str(models), "--ask"]) == 0
    assert solved(models).name == "Kitchen clock"


# ---- files of counts alone


def counts_alone(change: Callable[[Data], object] = lambda _: None) -> Data:
    """The usual eight-day clock, nothing measured."""
    data = eight_day()
    change(data)
    for arbor in data["arbors"]:
        for toothed in (*arbor.values(), *arbor.get("more", {}).values()):
            if isinstance(toothed, dict):
                toothed.pop("module_mm", None)
    for mesh in data["meshes"]:
        mesh.pop("direction_deg", None)
    data.get("motion_work", {}).pop("module_mm", None)
    return data


def _hands_off_the_train(data: Data) -> None:
    """The centre arbor stands aside, driven by a further wheel on the second."""
    data["arbors"][1]["more"] = {"drive": {"teeth": 40}}
    data["arbors"] += [{"id": "centre", "wheel": {"teeth": 40}}]
    data["meshes"] += [{"driver": "second", "driven": "centre", "driver_part": "drive", "driven_part": "wheel"}]
    data["motion_work"]["on"] = "centre"
    data["arbors"][3].pop("hand")


@pytest.mark.parametrize(
    ("change", "names"),
    [
        (lambda _: None, {"arbors.great.wheel", "arbors.third.wheel", "motion_work.module_mm", "plates.width_mm"}),
        (_hands_off_the_train, {"arbors.second.drive", "motion_work.module_mm"}),
        (lambda d: (d.pop("motion_work"), d.update(plates={"width_mm": 300.0})), {"arbors.second.wheel"}),
    ],
    ids=["all counted", "hands off the train", "no hands, plates measured"],
)
def test_counts_alone_are_enough(models: Path, change: Callable[[Data], object], names: set[str]) -> None:
    """Turns are those of the counts; sizes are usual ones, and the movement says which of them nobody measured."""
    write_movement(models, counts_alone(change), "counted")
    assert main(["check", "--quiet", "--models", str(models)]) == 0
    found = solve("counted", opened(models / "counted" / "movement.toml", Movement, models))
    assert found.train.beats_per_hour == 3600
    assert set(found.movement.movement.assumed) >= names | {"meshes.direction_deg"}
    assert ("plates.width_mm" in found.movement.movement.assumed) == (
        "plates.width_mm" in names or "motion_work.module_mm" in names
    )
    assert any(finding.text.startswith("not measured, but assumed") for finding in found.findings)


def test_counts_alone_that_find_no_place(models: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where usual sizes do not do, that is said, and what to measure; a tooth count left to its default is no stumbling block."""
    data = counts_alone(lambda d: d["arbors"][2]["wheel"].update(teeth=600))
    data["arbors"][1]["wheel"]["teeth"] = 30
    data["escapement"] = {"kind": "club_lever", "arbor": "escape", "radius_mm": 60.0}
    data["arbors"][3].pop("hand")
    write_movement(models, data, "counted")
    assert main(["check", "--quiet", "--models", str(models)]) == 1
    assert (
        "meshes[0] = counts alone: sizes with which all clears all. By usual sizes it finds no place." in capsys.readouterr().err
    )


def test_one_measure_and_counts_are_not_alone(models: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where something was measured, what is missing is asked for: nothing is assumed in silence beside it."""
    data = counts_alone()
    data["arbors"][0]["wheel"]["module_mm"] = 1.0
    write_movement(models, data, "counted")
    assert main(["check", "--quiet", "--models", str(models)]) == 1
    assert "a mesh of known size" in capsys.readouterr().err


# ---- the writer and the layout


def test_the_writer_quotes_what_is_typed() -> None:
    """Quotes, backslashes and hashes of a name come back as they were."""
    name = 'The "long" clock \\ # 3'
    text = written({"movement": {"name": name}, "source": {"kind": "weight", "arbor": "great"}}, "Head")
    assert tomllib.loads(text)["movement"]["name"] == name


@given(
    st.lists(st.tuples(st.integers(48, 96), st.sampled_from([6, 7, 8, 10, 12])), min_size=2, max_size=6),
    st.sampled_from(["counted", "recoil_anchor", "dead_beat"]),
)
@settings(max_examples=15, deadline=None)
def test_any_usual_train_finds_its_place(counts: list[tuple[int, int]], kind: str) -> None:
    """Trains whose wheels grow finer are laid out without a collision (the real plan says so), inside their plates."""
    wheels, pinions = zip(*sorted(counts, reverse=True), strict=True)
    modules = [round(0.82**i, 3) for i in range(len(wheels))]
    data = movement_data(wheels, pinions, 30, beats_per_hour=3600, modules_mm=modules)
    if kind != "counted":
        data["escapement"] = {"kind": kind, "arbor": "escape", "teeth": 30, "radius_mm": round(modules[-1] * wheels[-1] / 3, 2)}
    placed, plan = laid_out(data)
    (x, y), plates = placed["plates"]["centre_mm"], placed["plates"]
    for toothing in plan.toothings:
        px, py = plan.centres[toothing.arbor]
        assert abs(px - x) + toothing.gear.tip_mm <= plates["width_mm"] / 2
        assert abs(py - y) + toothing.gear.tip_mm <= plates["height_mm"] / 2
