"""Files of beats: what is read, what is bridged and said, and that no text makes anything but beats or faults."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.bench.timing.measured import LARGEST_BYTES, MOST, read_beats
from builder.bench.timing.trace import reading
from builder.ground.faults import FaultsFound


def written(folder: Path, text: str) -> Path:
    """The text as a file."""
    file = folder / "beats.csv"
    file.write_text(text, "utf-8")
    return file


def lines(times: np.ndarray) -> str:
    return "".join(f"{time:.5f}\n" for time in times)


def faults(folder: Path, text: str, beat_s: float = 0.2) -> list[str]:
    with pytest.raises(FaultsFound) as found:
        read_beats(written(folder, text), folder, beat_s)
    return [str(fault) for fault in found.value.faults]


def test_heading_notes_and_last_noises(tmp_path: Path) -> None:
    """A heading, notes, empty lines, Windows' line ends and a byte order mark are no beats; a second column gives the lift."""
    times = 0.1 + 0.2 * np.arange(40)
    rows = "".join(f" {time:.5f} , {time + 0.012:.5f}\r\n" for time in times)
    measured = read_beats(written(tmp_path, "\ufefffirst noise,last noise\r\n# dial up\r\n\r\n" + rows), tmp_path, 0.2)
    assert len(measured.noises.beats) == 40 and measured.missed == measured.left_out == 0
    assert measured.noises.lift_s == pytest.approx(0.012)
    assert reading(measured.noises, 0.2, 52.0).amplitude_deg == pytest.approx(26 / np.sin(np.pi * 0.03), rel=1e-6)


def test_missed_beats_are_bridged_and_echoes_left_out(tmp_path: Path) -> None:
    """Nine beats taken out, two echoes put in: counted, and the rate is as it was."""
    times = 5.0 + 0.2 * (1 - 30 / 86400) * np.arange(300) + np.where(np.arange(300) % 2, 0.002, 0)
    kept = np.delete(times, [7, 8, 50, 51, 52, 120, 200, 201, 280])
    heard = np.sort(np.append(kept, [times[20] + 0.02, times[99] + 0.03]))
    measured = read_beats(written(tmp_path, lines(heard)), tmp_path, 0.2)
    assert (measured.missed, measured.left_out) == (9, 2)
    read = reading(measured.noises, 0.2)
    assert read.rate_s_per_day == pytest.approx(30.01, abs=0.05) and read.beat_error_ms == pytest.approx(2.0, abs=0.01)


def test_every_fault_with_its_place(tmp_path: Path) -> None:
    """Words, commas for points, times that do not rise, a last noise before the first: all at once, line and column."""
    text = "1.0\n1.2\nabc\n1,4,5\n1.1\n1.6,1.5\n-3\nnan\n1e9\n2.0,x\n" + lines(2.2 + 0.2 * np.arange(30))
    found = faults(tmp_path, text)
    assert [each.split(": ")[0] for each in found] == [
        "beats.csv:3:1", "beats.csv:4:1", "beats.csv:5:1", "beats.csv:6:5", "beats.csv:7:1", "beats.csv:8:1", "beats.csv:9:1",
        "beats.csv:10:5",
    ]  # fmt: skip
    assert "A point, not a comma" in found[1] and "later than the beat before, 1.2 s" in found[2]


def test_too_few_too_many_another_movement(tmp_path: Path) -> None:
    """Fewer than twenty, more than can be looked at, and a beat that is not this movement's are said."""
    assert "at least 20 beats" in faults(tmp_path, lines(0.2 * np.arange(19)))[0]
    assert "at least 20 beats" in faults(tmp_path, "")[0]
    assert "at least 20 beats" in faults(tmp_path, lines(0.01 * np.arange(60)))[0], "echoes are no beats"
    assert f"at most {MOST} beats" in faults(tmp_path, lines(0.2 * np.arange(MOST + 1)))[0]
    assert "about 0.2 s, this movement's beat" in faults(tmp_path, lines(0.25 * np.arange(60)))[0]


def test_size_and_kind_of_file(tmp_path: Path) -> None:
    """A file that is too large, is not there, or is a folder, is a fault."""
    assert "KB" in faults(tmp_path, "#" * (LARGEST_BYTES + 1))[0]
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(FaultsFound):
            read_beats(path, tmp_path, 0.2)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(
        st.text(max_size=200),
        st.binary(max_size=200),
        st.lists(st.one_of(st.floats(), st.integers(), st.text(",.;-+e0123456789_ \t", max_size=9)), max_size=60).map(
            lambda cells: "\n".join(map(str, cells))
        ),
    )
)
def test_any_text_makes_beats_or_faults(tmp_path: Path, text: str | bytes) -> None:
    """No content makes anything else."""
    file = tmp_path / "any.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "surrogatepass"))
    try:
        measured = read_beats(file, tmp_path, 0.2)
    except FaultsFound as found:
        assert found.faults and all(fault.line >= 1 for fault in found.faults)
    else:
        assert len(measured.noises.beats) >= 20 and np.all(np.diff(measured.noises.beats) > 0)
