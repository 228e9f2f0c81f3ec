"""The command `repair`: what it prints, what other programs get, and what a slip in a repair file says."""

import json
import shutil
from functools import cache
from pathlib import Path

import pytest

from builder.__main__ import main
from builder.bench.mended import repaired
from builder.going.parts_tree import tree
from builder.going.repair import Repaired, compared
from builder.ground.faults import FaultsFound
from builder.movement.repair import repairs, seen
from builder.pages.repairs.printed import as_json, printed
from builder.parts.finding import FINDINGS
from tests.going.faulty import found
from tests.solved import DEMOS, MODELS, demo, wording

FILE = MODELS / "hall_clock" / "repairs" / "2026-03-14.toml"


@cache
def hall() -> Repaired:
    """The hall clock's demo repair."""
    (job,) = repairs(MODELS, "hall_clock", demo("hall_clock").movement)
    return compared(demo("hall_clock"), job)


def test_the_print_says_before_and_after():
    """Every figure of a state for both sides, why it stops once, the faults the costliest first, readings beside computed."""
    text = printed(hall(), wording())
    lines = text.split("\n")
    amplitude = next(line for line in lines if line.startswith("Amplitude"))
    assert amplitude.split()[2:] == ["stops", f"{hall().states_after[0].amplitude_deg:.4g}"] * 3
    assert text.count("It must swing") == 1 and "stood still" in text
    faults = [line for line in lines if "Swing lost" in line]
    assert [line.split(".")[0].strip() for line in faults] == ["2", "1", "3"]
    assert all(line == line.rstrip() and len(line) < 180 for line in lines)


def test_other_programs_get_the_same_with_lasting_names():
    """Numbers as solved, null where it stops, the budget with its keys; valid JSON to the last value."""
    data = json.loads(json.dumps(as_json(hall()), allow_nan=False))
    assert data["day"] == "2026-03-14" and data["costliest_finding"] == 1
    assert data["before"][0]["amplitude_deg"] is None and data["before"][0]["stops"]["reason"] == "too little energy"
    after = data["after"][0]
    assert after["amplitude_deg"] == hall().states_after[0].amplitude_deg and after["stops"] is None
    power = after["power_uw"]
    assert power.pop("source") == pytest.approx(sum(power.values()))
    assert data["readings"][1]["measured_less_computed"]["rate_s_per_day"] == pytest.approx(2.0, abs=1e-6)


def test_the_command_reads_a_file_of_its_movement(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    """Done with 0; a slip is said with file, line and column and ends with 1, without a word on the other stream."""
    shutil.copytree(MODELS / "hall_clock", tmp_path / "hall_clock")
    file = tmp_path / "hall_clock" / "repairs" / FILE.name
    assert main(["repair", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["day"] == "2026-03-14"
    file.write_text(file.read_text("utf-8").replace('arbor = "escape"', 'arbor = "escap"'), "utf-8")
    assert main(["repair", str(file)]) == 1
    out, err = capsys.readouterr()
    assert out == "" and err.startswith(f"{tmp_path.as_posix()}/hall_clock/repairs/2026-03-14.toml:18:1: findings[0].arbor = ")


def test_all_files_of_a_movement_are_checked_at_once(tmp_path: Path):
    """What `check` and `build` ask of a movement's repairs: the faults of every file together, and nothing for none."""
    folder = tmp_path / "hall_clock" / "repairs"
    assert repaired(tmp_path, demo("hall_clock")) == ()
    folder.mkdir(parents=True)
    text = FILE.read_text("utf-8").replace('picture = "pictures/escape-hole.png"\n', "")
    text = "\n".join(line for line in text.split("\n") if not line.startswith("picture_shows"))
    (folder / "2026-01-01.toml").write_text(text.replace("worn_mm = 0.25", "worn_mm = -0.25"), "utf-8")
    (folder / "2026-01-02.toml").write_text(text.replace("by_deg = 0.3", 'by_deg = "0.3"'), "utf-8")
    with pytest.raises(FaultsFound) as found_faults:
        repaired(tmp_path, demo("hall_clock"))
    said = [(Path(fault.file).name, fault.key) for fault in found_faults.value.faults]
    assert said == [("2026-01-01.toml", "findings[0].worn_mm"), ("2026-01-02.toml", "findings[2].by_deg")]


def test_every_kind_marks_parts_that_there_are():
    """What a finding would mark in a drawing is in the tree of each demo movement that can have it."""
    samples = [
        found("tired_mainspring", torque_part=0.5),
        found("poor_oil", state="dry", where=["pivots", "teeth", "pallets", "oscillator"]),
        found("worn_hole", arbor="third", plate="back", worn_mm=0.1, direction_deg=0),
        found("worn_hole", arbor="pallets", plate="front", worn_mm=0.1, direction_deg=0),
        *(found("worn_pallet", pallet=p, face=f, depth_mm=0.01) for p in ("entry", "exit") for f in ("impulse face", "pin")),
        found("hurt_tooth", arbor="third", harm="missing"),
        found("worn_leaves", arbor="third", depth_mm=0.05),
        found("out_of_beat", by_deg=0.1),
        found("hand_friction", state="slack", torque_nmm=0.1),
        found("wrong_rating", nut_turns=1.0),
        found("wrong_rating", bob_down_mm=1.0),
        found("wrong_rating", stiffer_part=0.01),
        found("damaged_suspension", loss_times=2.0),
        found("magnetised", rate_s_per_day=10.0),
        found("other", part="frame", words="Dusty."),
    ]
    assert {sample.kind for sample in samples} == FINDINGS.keys()
    had = set()
    for slug in DEMOS:
        about, there = seen(demo(slug).movement), tree(demo(slug)).nodes
        for sample in samples:
            if not sample.complaints(about):
                had.add(sample.kind)
                assert set(sample.anchors(about)) <= there.keys(), (slug, sample.kind)
    assert had == FINDINGS.keys()
