"""Whatever the bytes of a file are: faults with their places, or a model; in bounded time, and the site stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given

from builder.__main__ import main
from tests.fuzz.reading import HARMFUL, harmless, reads, told
from tests.fuzz.settings import share
from tests.fuzz.texts import RIGHT, broken, notes
from tests.movement_texts import write_collection


@share(150)
@given(broken())
def test_broken_texts(data: bytes) -> None:
    """Keys, tables, values, characters and sizes: no traceback, no hang, every fault with its place."""
    reads(data)


@share(150)
@given(notes())
def test_notes(text: str) -> None:
    """Nothing that a note's author writes can run, and every refusal says where."""
    harmless(text)


def test_harm_is_seen() -> None:
    """Negative control: what must not be in a page's notes is found where it is, and right files give no fault."""
    for html in ("<script>x</script>", '<a href="javascript:x">y</a>', '<p onclick="x">y</p>', "<img src=//there.example/x>"):
        assert HARMFUL.search(f"<p>before</p>{html}")
    assert not HARMFUL.search('<p>on = 3; javascript: <em>x</em> <a href="https://example.org/data:">y</a></p>')
    for text in RIGHT:
        reads(text.encode())
    with pytest.raises(AssertionError):
        told((), "counted/movement.toml", 1)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of models, with something in the place of the site that a build once wrote."""
    folder = tmp_path_factory.mktemp("shelf")
    write_collection(folder / "models")
    (folder / "models" / "counted").mkdir()
    (folder / "site").mkdir()
    (folder / "site" / ".between-plates").write_text("heading\nindex.html\n")
    (folder / "site" / "index.html").write_text("old")
    return folder


@share(40)
@given(broken())
def test_no_site_is_touched(shelf: Path, data: bytes) -> None:
    """The command ends with 1 and leaves the site that is there; it never ends in a traceback."""
    (shelf / "models" / "counted" / "movement.toml").write_bytes(data + b"\nunknown = 1\n[movement]\n")
    assert main(["build", "--quiet", "--models", str(shelf / "models"), "--out", str(shelf / "site")]) == 1
    assert {path.name for path in shelf.iterdir()} - {".between-plates-store"} == {"models", "site"}
    assert {path.name: path.read_text() for path in (shelf / "site").iterdir()} == {
        ".between-plates": "heading\nindex.html\n", "index.html": "old",
    }  # fmt: skip
