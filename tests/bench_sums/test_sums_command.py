"""The command: a sum by its name, options made from its fields, plain text or JSON, and exit codes 0, 1 and 2."""

from __future__ import annotations

import json
import shlex
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.__main__ import main
from builder.bench import MOVEMENT_SUMS, SUMS, work
from builder.bench.examples import EXAMPLES
from builder.bench.trains.notation import by_mesh, notation, pairs
from builder.bench.working.asked import Unreadable, exactly
from builder.bench.working.said import as_json
from builder.going.steady import Running
from builder.ground.faults import Refused
from tests.solved import MODELS, changed, demo, wording


def options(name: str) -> list[str]:
    return [f"--{field.replace('_', '-')}={text}" for field, text in EXAMPLES[name].items()]


@pytest.mark.parametrize("name", SUMS)
def test_every_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each sum's example works: 0, nothing on the error stream, every line with its formula, numbers and result."""
    assert main(["sum", name, *options(name)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    said = as_json(work(name, EXAMPLES[name]), wording())
    assert out.startswith(said["title"])
    for line in said["working"]:
        assert line["formula"] in out and line["put_in"] in out and line["text"] in out
    assert main(["sum", name, *options(name), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(said))


def test_the_readme_s_examples(capsys: pytest.CaptureFixture[str]) -> None:
    """README.md has an example of every sum, and each of them works as it stands there."""
    text = (MODELS.parent / "README.md").read_text("utf-8").replace("\\\n", " ")
    commands = [shlex.split(line)[2:] for line in text.splitlines() if line.strip().startswith("between-plates sum ")]
    assert [command[0] for command in commands] == [*SUMS, *MOVEMENT_SUMS]
    for command in commands:
        if command[0] in SUMS:
            assert main(["sum", *command]) == 0, command
    capsys.readouterr()


def test_json_for_other_programs(capsys: pytest.CaptureFixture[str]) -> None:
    """Names last, values are exact where they are rational, and candidates stand as rows."""
    assert (
        main(
            [
                "sum",
                "missing",
                "--train=96/8 64/x 60/8",
                "--minute-arbor=2",
                "--escape-teeth=30",
                "--beats-per-hour=3600",
                "--json",
            ]
        )
        == 0
    )
    found = json.loads(capsys.readouterr().out)
    assert set(found) == {"sum", "title", "given", "working", "tables", "notes"}
    assert found["sum"] == "missing"
    line = next(line for line in found["working"] if line["name"] == "remaining_ratio")
    assert line == {
        "name": "remaining_ratio", "of": "2–4", "label": "what remains makes, arbors 2–4", "formula": "drivers / (drivens)",
        "put_in": "60 / 8", "value": 7.5, "unit": "", "exact": "15/2", "text": "7 1/2", "source": "",
    }  # fmt: skip
    assert found["tables"] == {"candidates": [{"place": 1, "driven.3": 8}]}
    assert found["given"]["train"]["value"] == "96/8, 64/x, 60/8"


def test_long_lists_are_cut_for_people(capsys: pytest.CaptureFixture[str]) -> None:
    """People are shown twenty candidates and how many more there are; other programs get all."""
    asks = ["sum", "missing", "--train=x/x 60/8", "--minute-arbor=1", "--escape-teeth=30", "--beats-per-hour=3600"]
    asks += ["--within-percent=1"]
    assert main(asks) == 0
    out = capsys.readouterr().out
    assert main([*asks, "--json"]) == 0
    count = len(json.loads(capsys.readouterr().out)["tables"]["candidates"])
    assert f"… {count - 20} more" in out


def test_another_spring_is_the_movement_with_that_spring(capsys: pytest.CaptureFixture[str]) -> None:
    """A strip an eighth thicker in the watch's file: torque, turns and amplitude are those of a file with that strip."""
    assert main(["sum", "other-spring", str(MODELS / "pocket_watch" / "movement.toml"), "--thickness-mm=0.18", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["working"][0]["value"] == pytest.approx((0.18 / 0.16) ** 3)
    rows = found["tables"]["states"]
    assert [row["how"] for row in rows] == ["goes", "goes", "goes", "rebanks", "goes", "goes"]
    other = changed("pocket_watch", lambda data: data["source"]["spring"].update(thickness_mm=0.18))
    for row, winding in zip(rows, (*demo("pocket_watch").windings, *other.windings), strict=True):
        assert isinstance(winding.beat, Running)
        assert row["amplitude_deg"] == pytest.approx(winding.beat.amplitude_deg, abs=1e-9)
        assert row["source_nmm"] == pytest.approx(winding.power.source_torque_nmm, rel=1e-12)
        assert row["hours_left"] == pytest.approx(winding.hours_left, rel=1e-9)


def test_a_movement_s_sum_without_its_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A file that is not there ends with 1, as for any other command."""
    assert main(["sum", "other-spring", str(tmp_path / "movement.toml"), "--thickness-mm", "0.17"]) == 1
    assert "no such file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["pendulum-length"], "--beat-s nothing: just one of --beat-s, --beats-per-hour. Give one of them."),
        (["pendulum-length", "--beat-s=40"], "--beat-s 40: a number, more than 0 and at most 30."),
        (["module", "--teeth=3", "--mate=60", "--outside-mm=5"], "--teeth 3: a whole number from 4 to 600."),
        (["train", "--beats-per-hour=3601"], "no train of 4 wheels within these limits. Nearest is "),
        (["place", "--from-latitude-deg=91", "--to-latitude-deg=-91"], "--to-latitude-deg -91.0: a number from −90 to 90."),
    ],
)
def test_what_cannot_be_ends_with_1(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A question without an answer: plain words with the option on the error stream, nothing on the output."""
    assert main(["sum", *arguments]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert words in err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "name"),
        (["pendulum"], "invalid choice"),
        (["rate"], "--second-s"),
        (["rate", "--second-s"], "expected one argument"),
        (["rate", "--second-s=soon"], "--second-s: soon is no number; write 7.5, 15/2 or 7 1/2"),
        (["rate", "--second-s=1/0"], "1/0 is no number"),
        (["rate", "--second-s=nan"], "nan is no number"),
        (["module", "--teeth=7.5", "--mate=60", "--outside-mm=5"], "7.5 is no whole number"),
        (["module", "--teeth=7", "--mate=60", "--outside-mm=5", "--form=round"], "round is none of: cycloidal, involute"),
        (["count-up", "--train=96-8"], "96-8 is no mesh; write driver/driven"),
        (["count-up", "--train=96/y"], "y is no count of teeth"),
        (["count-up", "--train=96/0"], "0 is no count of teeth"),
        (["missing", "--train=96/x", "--distance-mm=12"], "12 is no measure of a mesh"),
        (["train", "--beats-per-hour=3600", "--pinions=8, x, 8"], "none of these may be missing"),
        (["other-spring"], "file"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_ends_with_2(arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A question that cannot be understood: how it is used and what was wrong, on the error stream."""
    with pytest.raises(SystemExit) as caught:
        main(["sum", *arguments])
    assert caught.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "usage: between-plates sum" in err and words in err


def test_help_names_every_sum_and_every_option(capsys: pytest.CaptureFixture[str]) -> None:
    """Help of the command names the sums with their titles, help of a sum its options with what they mean."""
    with pytest.raises(SystemExit) as caught:
        main(["sum", "--help"])
    assert caught.value.code == 0
    said = " ".join(capsys.readouterr().out.split())
    for name in (*SUMS, *MOVEMENT_SUMS):
        title = wording().say(f"sums.{name.replace('-', '_')}.title")
        assert f"{name} {title}" in said
    with pytest.raises(SystemExit):
        main(["sum", "missing", "--help"])
    said = " ".join(capsys.readouterr().out.split())
    for name, field in SUMS["missing"].model_fields.items():
        assert f"--{name.replace('_', '-')}" in said
        assert field.description and field.description.split(".")[0] in said


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(sorted(SUMS)),
    st.data(),
)
def test_nonsense_is_refused_not_tripped_over(name: str, data: st.DataObject) -> None:
    """Whatever is typed for one option of an example, the sum is worked, refused or not understood; nothing else happens."""
    fields = sorted(SUMS[name].model_fields)
    odd = st.one_of(
        st.text(max_size=12),
        st.sampled_from(
            ["", "x", "0", "-1", "1e400", "1/3", "7 1/2", "nan", "inf", "1e-300", "999999999", "x/x", "8/8, 8/8", "3=1"]
        ),
    )
    texts = EXAMPLES[name] | {data.draw(st.sampled_from(fields)): data.draw(odd)}
    if name in ("missing", "train") and "most" in texts:
        texts.pop("most")
    try:
        as_json(work(name, texts), wording())
    except (Refused, Unreadable) as said:
        assert str(said)


def test_numbers_are_kept_as_they_are_written() -> None:
    """Fractions, mixed fractions and decimals are exact; a train reads back as it is written."""
    assert [exactly(text) for text in ("7 1/2", "15/2", "7.5", "-0.1", 3)] == [
        Fraction(15, 2), Fraction(15, 2), Fraction(15, 2), Fraction(-1, 10), Fraction(3),
    ]  # fmt: skip
    for text in ("", "a", "1//2", "1 1/0", "½"):
        with pytest.raises(Unreadable):
            exactly(text)
    assert notation(pairs("96/8 64 / x;60/?")) == "96/8, 64/x, 60/x"
    assert by_mesh(["2=12.4", "3=9"]) == {2: 12.4, 3: 9.0}
