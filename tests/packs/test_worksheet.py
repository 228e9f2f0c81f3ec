"""A worksheet as one file, as the command makes it."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

from builder.__main__ import main
from builder.packs import pdf as printing
from builder.packs.pdf import undated
from builder.pages.worksheets import _on_every_page

ROOT = Path(__file__).parents[2]
COMMAND = ["pack", "worksheet", "hall_clock", "--models", str(ROOT / "models"), "--quiet"]


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The worksheet and its answers, of a variant that the site has not."""
    folder = tmp_path_factory.mktemp("packed")
    for name, more in {"sheet": [], "answers": ["--answers", "--paper", "letter"]}.items():
        assert main([*COMMAND, "--variant", "7", *more, "--out", str(folder / name)]) == 0
    return {path.name: path.read_text("utf-8") for path in folder.iterdir()}


def test_sheet_and_answers_belong_together(packed: dict[str, str]) -> None:
    """Both carry the variant, in the title and for every page; the paper asked for; a policy, and no link to a neighbour."""
    assert "<title>Hall clock: worksheet 7</title>" in packed["sheet"] and "size: A4" in packed["sheet"]
    assert "<title>Hall clock: answers to worksheet 7</title>" in packed["answers"] and "size: letter" in packed["answers"]
    for text in packed.values():
        assert text.count('http-equiv="Content-Security-Policy"') == 1
        assert 'href="../' not in text and "<script src" not in text and "<nav" not in text
        assert "Tidewater Road evening class" in text and "creativecommons.org" in text
    assert 'class="found"' in packed["answers"] and 'class="found"' not in packed["sheet"]
    assert 'class="working' not in packed["sheet"]


def test_a_name_cannot_leave_its_place_in_the_style() -> None:
    """Whatever a file calls its movement, it is a CSS string (CSS Syntax 3, 4.3.7: escaped code points) and ends nothing."""
    for name in ('a"; } * { color: red } @page { content: "', "</style><script>", "back\\slash\n", "Zwölf"):
        rule = _on_every_page(name, "a4")
        assert rule.count('"') == 4 and "<" not in rule and "\n" not in rule and rule.count("{") == 3
        (said,) = re.findall(r'@bottom-left { content: "([^"]*)"', rule)
        assert re.sub(r"\\([0-9a-f]{6}) ", lambda found: chr(int(found[1], 16)), said) == name


@pytest.mark.parametrize(
    "wrong", [["--variant", "0"], ["--variant", "100"], ["--variant", "a"], ["--paper", "a5"], ["--as", "doc"]]
)
def test_wrong_use_is_told(wrong: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2 and what may stand there; no traceback."""
    with pytest.raises(SystemExit) as stopped:
        main([*COMMAND, *wrong])
    assert stopped.value.code == 2 and ("from 1 to 99" in (told := capsys.readouterr().err) or "choose from" in told)


def test_without_a_browser_it_says_what_is_missing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No playwright, no browser, a variable that names none: each in plain words, and nothing is written."""
    monkeypatch.setattr(printing, "find_browser", lambda own: None)
    with pytest.raises(printing.PackError, match=r"wants a browser: no Chromium.*The page prints without it"):
        printing.pdf(b"")
    monkeypatch.undo()
    monkeypatch.setenv("BETWEEN_PLATES_BROWSER", str(tmp_path / "gone"))
    with pytest.raises(printing.PackError, match="which is no file"):
        printing.pdf(b"")
    monkeypatch.setitem(sys.modules, "playwright.sync_api", None)
    with pytest.raises(printing.PackError, match=r"pip install .*\[paper\]"):
        printing.pdf(b"")


def test_the_day_of_printing_is_put_out_in_place() -> None:
    """Both dates become one fixed day, and not a byte moves: the offsets of the cross-reference table stay true."""
    made = b"1 0 obj\n<</CreationDate (D:20261125104207+00'00')\n/ModDate (D:20261125104207+00'00')>>\nendobj\n(D:20261125104207)"
    again = undated(made)
    assert len(again) == len(made) and again.count(b"D:19800101000000+00'00'") == 2 and again.endswith(b"(D:20261125104207)")
