"""The commands: what they print where, with which exit code, and what they leave alone."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest

from builder import __version__
from builder.__main__ import main
from builder.going.going import MENDS
from builder.going.periods import Reason
from tests.movement_texts import eight_day, named, toml, write_collection, write_movement

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of two movements."""
    folder = tmp_path_factory.mktemp("bench")
    write_collection(folder / "models")
    write_movement(folder / "models", named("Hall clock"), "one")
    write_movement(folder / "models", named("Shelf clock"), "two")
    return folder


def run(*arguments: str | Path, answers: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, as a person starts it."""
    command = [sys.executable, "-m", "builder", *map(str, arguments)]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", **environment}
    return subprocess.run(
        command, input=answers, capture_output=True, text=True, encoding="utf-8", env=env, cwd=ROOT, timeout=120
    )


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# ---- build, check, clean


def test_build_writes_the_site_and_says_so(bench: Path, tmp_path: Path) -> None:
    """Exit 0; progress goes to the error stream, the result in one line to the output; every movement has its pages."""
    done = run("build", "--models", bench / "models", "--out", tmp_path / "site")
    assert (done.returncode, done.stderr.split()) == (0, ["one", "two"])
    pages = [path for path in files(tmp_path / "site") if path.endswith(".html")]
    assert done.stdout.startswith(f"{len(pages)} pages, ")
    assert "index.html" in done.stdout
    assert "index.html" in pages
    assert {path.split("/")[0] for path in pages if "/" in path} >= {"one", "two"}


def test_the_same_files_make_the_same_bytes(bench: Path, tmp_path: Path) -> None:
    """Built twice, in two processes with other hash seeds, the site is the same to the byte."""
    for seed in ("1", "2"):
        where = ("--models", bench / "models", "--out", tmp_path / seed)
        done = run("build", "--quiet", "--no-store", *where, PYTHONHASHSEED=seed)
        assert done.returncode == 0, done.stderr
    assert files(tmp_path / "1") == files(tmp_path / "2")


@pytest.mark.parametrize("command", ["build", "check"])
def test_quiet_says_nothing(bench: Path, tmp_path: Path, command: str, capfd: pytest.CaptureFixture[str]) -> None:
    """With --quiet a command that finds nothing wrong prints nothing at all."""
    out = ["--out", str(tmp_path / "site")] if command == "build" else []
    assert main([command, "--quiet", "--models", str(bench / "models"), *out]) == 0
    assert capfd.readouterr() == ("", "")


def test_check_writes_nothing(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`check` says that no fault was found and leaves every folder as it was."""
    monkeypatch.chdir(tmp_path)
    before = files(bench)
    assert main(["check", "--models", str(bench / "models")]) == 0
    assert capsys.readouterr().out.endswith("\nNo fault found.\n")
    assert files(bench) == before
    assert list(tmp_path.iterdir()) == []


def test_only_builds_what_is_named(bench: Path, tmp_path: Path) -> None:
    """--only takes one movement, or several when given again; the others are not even read."""
    broken = write_movement(bench / "models", "what = ", "three")
    try:
        for only in (["two"], ["one", "two"]):
            options = [option for slug in only for option in ("--only", slug)]
            assert main(["build", "--quiet", "--models", str(bench / "models"), "--out", str(tmp_path / "site"), *options]) == 0
            index = (tmp_path / "site" / "index.html").read_text("utf-8")
            assert [name in index for name in ("Hall clock", "Shelf clock")] == ["one" in only, True]
            assert (tmp_path / "site" / "one").exists() == ("one" in only), "what was built before and is no more is gone"
    finally:
        broken.unlink()
        broken.parent.rmdir()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["build", "--models", "{models}", "--out", "{out}", "--only", "three"], "There are: one, two."),
        (["build", "--models", "{out}/none", "--out", "{out}"], "There is no folder"),
        (["check", "--models", "{out}/none"], "There is no folder"),
        (["figures", "{out}/none/movement.toml"], "no such file"),
        (["repair", "{models}/one/movement.toml"], "is no repair of a movement"),
        (["build", "--no-store", "--models", "{models}", "--out", "{models}"], "holds files"),
        (["clean", "--out", "{models}"], "holds files"),
    ],
)
def test_refusals(bench: Path, tmp_path: Path, arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be done ends with 1 and a plain word on the error stream, and touches nothing."""
    before = files(bench)
    given = [argument.format(models=bench / "models", out=tmp_path) for argument in arguments]
    assert main(given) == 1
    out, err = capsys.readouterr()
    assert words in err
    assert out == ""
    assert files(bench) == before
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["bild"],
        ["build", "--modles", "x"],
        ["figures"],
        ["new"],
        ["new", "A B"],
        ["serve", "--port", "x"],
        ["serve", "--port", "65536"],
    ],
    ids=str,
)
def test_wrong_use(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """A command that does not exist, or is given what it does not know, ends with 2 and says how it is used."""
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert "usage: between-plates" in capsys.readouterr().err


def test_a_folder_that_is_refused_is_refused_before_the_work(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody waits for a build that then cannot be written: nothing is read or made before `--out` was looked at."""
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "will.txt").write_text("precious")
    monkeypatch.setattr("builder.assemble.assembled", lambda *_: pytest.fail("it was built"))
    assert main(["build", "--models", str(bench / "models"), "--out", str(tmp_path / "papers")]) == 1
    monkeypatch.setattr("os.access", lambda *_: False)
    assert main(["build", "--models", str(bench / "models"), "--out", str(tmp_path / "new")]) == 1


def test_an_order_that_names_what_is_not_there(bench: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It may be elsewhere, so it is no fault: `check` and `build` say it with its place, and build all the same."""
    write_collection(tmp_path / "models")
    write_movement(tmp_path / "models", named("Hall clock"), "hall_clock")
    collection = tmp_path / "models" / "collection.toml"
    collection.write_text(collection.read_text() + 'order = [\n  "hall_clok", "hall_clock",\n  "hall_clock", "zz"]\n')
    line = collection.read_text().count("\n") - 1
    place = collection.as_posix()
    remarks = [
        f"{place}:{line}:3: order names hall_clok, and there is no such movement here. Did you mean hall_clock?",
        f"{place}:{line + 1}:3: order names hall_clock a second time; the first counts",
        f"{place}:{line + 1}:17: order names zz, and there is no such movement here; it is passed over",
    ]
    assert main(["check", "--models", str(tmp_path / "models")]) == 0
    assert capsys.readouterr().out.splitlines()[:3] == remarks
    assert main(["build", "--models", str(tmp_path / "models"), "--out", str(tmp_path / "site")]) == 0
    assert capsys.readouterr().err.splitlines()[-3:] == remarks
    assert main(["check", "--quiet", "--models", str(tmp_path / "models")]) == 0
    assert capsys.readouterr() == ("", "")


def test_every_way_to_stop_has_a_mend() -> None:
    """Whatever stops a movement, its file is told what to look at again."""
    assert set(MENDS) == set(get_args(Reason))


def test_check_says_what_is_worth_knowing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A clock that stops is no fault of its file; `check` says it first, with its place, then the rest, each once."""
    write_collection(tmp_path)
    (tmp_path / "light").mkdir()
    text = (ROOT / "tests" / "models" / "light_weight" / "movement.toml").read_text()
    (tmp_path / "light" / "movement.toml").write_text(text)
    assert main(["check", "--models", str(tmp_path)]) == 0
    said = capsys.readouterr().out.splitlines()
    line = text.splitlines().index("[oscillator]") + 1
    assert said[0].startswith(
        f"{tmp_path.as_posix()}/light/movement.toml:{line}:2: wound, half wound, nearly down: it stops. It must swing "
    )
    assert "measure q_factor" in said[0], "and what to look at again"
    assert sum("8 leaves cannot be driven wholly" in each for each in said) == 1
    assert said[-1] == "No fault found."


@pytest.mark.parametrize("name", ["Hall_clock", "hall clock", "hall-clock", "9clock", "ühr"])
def test_a_folder_that_no_address_can_have(tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A movement's folder is named as `new` names it, so that no two differ by capitals alone; hidden folders are none."""
    write_collection(tmp_path)
    write_movement(tmp_path, named("Hall clock"), name)
    write_movement(tmp_path, {"movement": {}}, ".old")
    assert main(["check", "--models", str(tmp_path)]) == 1
    first, last = capsys.readouterr().err.splitlines()[-2:]
    assert first.startswith(
        f"{tmp_path.as_posix()}/{name}/movement.toml:1:1: {name}: a folder named with small letters a to z, figures and _"
    )
    assert last == "1 fault; nothing was changed."


def test_version_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    """Both end with 0; help names every command."""
    for option in ("--version", "--help"):
        with pytest.raises(SystemExit) as caught:
            main([option])
        assert caught.value.code == 0
    said = capsys.readouterr().out
    assert __version__ in said
    for command in ("build", "check", "figures", "new", "serve", "clean", "schemas"):
        assert f"\n    {command}" in said


def test_clean_removes_the_site_alone(bench: Path, tmp_path: Path) -> None:
    """What others keep in the folder stays; an empty folder goes; cleaning twice is no fault."""
    site = tmp_path / "site"
    site.mkdir()
    (site / ".gitignore").write_text("*\n")
    assert main(["build", "--quiet", "--models", str(bench / "models"), "--out", str(site)]) == 0
    assert main(["clean", "--out", str(site)]) == 0
    assert [path.name for path in site.iterdir()] == [".gitignore"]
    (site / ".gitignore").unlink()
    assert main(["build", "--quiet", "--models", str(bench / "models"), "--out", str(site)]) == 0
    assert [main(["clean", "--out", str(site)]) for _ in range(2)] == [0, 0]
    assert not site.exists()


def test_a_fault_keeps_the_old_site(bench: Path, tmp_path: Path) -> None:
    """In a process of its own: exit 1, each fault on a line that editors jump to, no traceback, the site as it was."""
    site = tmp_path / "site"
    assert main(["build", "--quiet", "--models", str(bench / "models"), "--out", str(site)]) == 0
    before = files(site)
    write_movement(bench / "models", toml(named("Hall clock")).replace("teeth = 96", "teeth = 9600"), "one")
    try:
        done = run("build", "--quiet", "--models", bench / "models", "--out", site)
    finally:
        write_movement(bench / "models", named("Hall clock"), "one")
    assert done.returncode == 1
    first, last = done.stderr.splitlines()
    place = (bench / "models" / "one" / "movement.toml").as_posix()
    assert first.startswith(f"{place}:13:11: arbors[0].wheel.teeth = 9600: a whole number from 6 to 600. ")
    assert last == "1 fault; nothing was changed."
    assert files(site) == before


def test_schemas_are_what_the_models_say(tmp_path: Path) -> None:
    """`schemas` writes the three files, valid JSON, the same each time; the ones in the repository are up to date."""
    assert main(["schemas", "--models", str(tmp_path)]) == 0
    written = files(tmp_path)
    assert set(written) == {"movement.schema.json", "collection.schema.json", "repair.schema.json"}
    for name, text in written.items():
        assert json.loads(text)["type"] == "object"
        kept = ROOT / "models" / name
        assert not kept.exists() or kept.read_bytes() == text, f"run between-plates schemas: {name} is out of date"


# ---- figures

ARBORS = ("great", "second", "third", "escape", "cannon", "minute_wheel", "hour_wheel")
MESHES = ("great.second", "second.third", "third.escape", "cannon.minute_wheel", "minute_wheel.hour_wheel")
TOOTHED = (
    *("great-wheel", "second-pinion", "second-wheel", "third-pinion", "third-wheel", "escape-pinion"),
    *("cannon-pinion", "minute-wheel", "minute-pinion", "hour-wheel"),
)
LASTING = {
    *("beat.beats_per_hour", "beat.beats_per_second", "beat.beat_s", "beat.teeth_per_minute"),
    *("train.ratio", "winding.turns", "winding.going_hours", "motion_work.reduction"),
    *(f"train.{arbor}.{figure}" for arbor in ARBORS for figure in ("turns_per_hour", "period_s", "sense")),
    *(f"mesh.{mesh}.{figure}" for mesh in MESHES for figure in ("ratio", "module_mm", "distance_mm")),
    *(f"{toothed}.outside_diameter_mm" for toothed in TOOTHED),
}
"""Keys that other programs may rely on. New ones may come; none of these may go or change its meaning."""


def test_figures_for_other_programs(bench: Path) -> None:
    """JSON on the output and nothing else; keys and fields last, exact values are exact."""
    done = run("figures", bench / "models" / "one" / "movement.toml", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert set(found) >= LASTING, LASTING - set(found)
    assert (
        found["beat.beats_per_hour"].items()
        >= {
            "kind": "beats_per_hour",
            "subject": "Escape",
            "unit": "1/h",
            "text": "3600",
            "exact": "3600",
            "value": 3600,
        }.items()
    )
    assert found["train.great.turns_per_hour"]["exact"] == "1/12"
    assert found["train.second.sense"]["value"] == "clockwise"
    assert found["mesh.great.second.distance_mm"]["value"] == 52.0
    assert all({"kind", "subject", "unit", "text", "value"} <= set(entry) for entry in found.values())
    assert json.dumps(found, indent=2, ensure_ascii=False) + "\n" == done.stdout
    assert found["worth_knowing"]["value"] == [found["worth_knowing"]["text"]]
    assert found["worth_knowing"]["text"].startswith("8 leaves cannot be driven wholly")
    assert (found["arbor.great.x_mm"]["value"], found["arbor.great.y_mm"]["text"]) == (0, "−52.00")


def test_figures_of_a_whole_winding(capsys: pytest.CaptureFixture[str]) -> None:
    """What is a curve is a list of as many values for each quantity; nothing is NaN, and no number has more than ten digits."""
    assert main(["figures", str(ROOT / "tests" / "models" / "light_weight"), "--json"]) == 0
    text = capsys.readouterr().out
    found = json.loads(text, parse_constant=lambda name: pytest.fail(name))
    course = {key.removeprefix("course."): each["value"] for key, each in found.items() if each["kind"] == "course"}
    assert set(course) == {"hours_gone", "turns_left", "source_nmm", "escape_nmm", "amplitude_deg", "rate_s_per_day"}
    assert {len(values) for values in course.values()} == {9}
    assert course["hours_gone"][0] == course["turns_left"][-1] == 0
    assert course["hours_gone"][-1] == found["winding.going_hours"]["value"]
    assert set(course["amplitude_deg"]) == {None}, "it stops"
    assert "it stops" in found["worth_knowing"]["value"][0]
    digits = [number.replace(".", "").lstrip("-0").partition("e")[0] for number in re.findall(r"-?\d+\.[\d.e+-]+", text)]
    assert max(map(len, digits)) <= 10


def test_figures_for_people(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A table a group, a line for each figure with its label, then what is worth knowing, each once; its folder will do."""
    assert main(["figures", str(bench / "models" / "one" / "movement.toml")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Beat"
    assert any(line.startswith("  Beats an hour, Escape ") and line.endswith(" 3600") for line in lines)
    assert any(line.startswith("  Centre distance, Great") and line.endswith("mm") and "52.00" in line for line in lines)
    assert sum(line.startswith("Note: 8 leaves") for line in lines) == 1
    assert main(["figures", str(bench / "models" / "one")]) == 0
    assert capsys.readouterr().out.splitlines() == lines


def test_figures_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    """What changes with the winding stands in columns under the names of the states, what does not in the first alone."""
    assert main(["figures", str(ROOT / "models" / "pocket_watch")]) == 0
    lines = capsys.readouterr().out.splitlines()
    (head,) = (number for number, line in enumerate(lines) if line.startswith("The beat as it settles"))
    columns = [lines[head].index(name) for name in ("Wound", "Half wound", "Nearly down")]
    amplitude, rebanks = (
        next(line for line in lines[head:] if line.startswith(f"  {name}")) for name in ("Amplitude,", "Rebanks")
    )
    assert all(amplitude[at - 2 : at] == "  " and amplitude[at : at + 3].isdecimal() for at in columns)
    assert rebanks[columns[0] :] == "no"


def test_figures_of_a_broken_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Faults as for any other command: exit 1, nothing on the output."""
    path = write_movement(tmp_path, toml(eight_day()).replace("hour_wheel_teeth = 72", "hour_wheel_teeth = 70"))
    assert main(["figures", str(path), "--json"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "motion_work.hour_wheel_teeth = 70: 12 to 1 for a dial of 12 hours" in err
    assert err.startswith(f"{path.as_posix()}:"), "named from the present folder on, where editors look"


# ---- at the bench


def test_the_questions_in_a_real_process(tmp_path: Path) -> None:
    """Answers typed into a process: the file is there and right; the questions are on the output."""
    write_collection(tmp_path)
    train = ["96", "", "8", "64", "", "8", "60", "", "8"]
    hands = ["both", "2", "12", "36", "36", "6", "72", ""]
    answers = ["Küchenuhr", "clock", "", "", "weight", "16", "", "4", *train, "counted", "crutch", "30", "2", *hands]
    answers += ["pendulum", "", "", "4", "", "yes"]
    done = run("new", "kitchen", "--models", tmp_path, "--ask", answers="\n".join(answers) + "\n")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Write this file?" in done.stdout
    found = json.loads(run("figures", tmp_path / "kitchen" / "movement.toml", "--json").stdout)
    assert found["beat.beats_per_hour"]["value"] == 3600
    assert 'name = "Küchenuhr"' in (tmp_path / "kitchen" / "movement.toml").read_text("utf-8")


def test_a_terminal_that_lacks_letters(tmp_path: Path) -> None:
    """Where the terminal cannot show a sign the questions go on all the same."""
    write_collection(tmp_path)
    answers = ["Clock", "clock", "", "", "weight", "16", "", "2", "96", "", "8", "counted", "x", "30", "2", "none", "pendulum"]
    answers += ["3600", "", "stop"]
    done = run("new", "kitchen", "--models", tmp_path, "--ask", answers="\n".join(answers), PYTHONIOENCODING="ascii")
    assert done.stderr == "Stopped; nothing was written.\n"
    assert "one turn clockwise in 12?min" in done.stdout


def test_leaving_in_the_middle(tmp_path: Path) -> None:
    """The input ends after two answers: exit 1, one plain line, no folder."""
    write_collection(tmp_path)
    done = run("new", "kitchen", "--models", tmp_path, "--ask", answers="Clock\nclock\n")
    assert done.returncode == 1
    assert done.stderr == "The answers ended before the questions did; nothing was written.\n"
    assert not (tmp_path / "kitchen").exists()


def test_an_interrupt_ends_plainly(bench: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Ctrl-C at a question ends with 1 and one line, without a traceback."""

    def interrupt(_: str) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("builtins.input", interrupt)
    assert main(["new", "kitchen", "--models", str(bench / "models"), "--ask"]) == 1
    assert capsys.readouterr().err == "Stopped; nothing was changed.\n"
    assert not (bench / "models" / "kitchen").exists()
