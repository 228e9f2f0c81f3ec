"""Texts of a model file by chance: right ones broken in structure, values, characters and size."""

from __future__ import annotations

from pathlib import Path

from hypothesis import strategies as st

from builder.movement.textfile import LARGEST_BYTES

ROOT = Path(__file__).resolve().parents[2]
RIGHT = [path.read_text("utf-8") for path in sorted(ROOT.glob("models/*/movement.toml"))]
NOTES = [path.read_text("utf-8") for path in sorted(ROOT.glob("models/*/notes.md"))] or ["Notes.\n"]

ODD_LETTERS = (
    "\u202e", "\u2066", "\u200b", "\ufeff", "\u0000", "\u0007", "\u001b[31m", "\u007f", "\u0085", "\u2028", "\ud800", "\uffff",
    "\U0001f570", "e\u0301", "\u0130", "\u1e9e", "\u0660", "\u00bd", "\uff11", "“", "‑", "−", "\r", "\t", '"', "'", "\\",
    "\\u0000", "#", "=", "[", "]", "{", "}", "[[", ".", ",", "\n",
)  # fmt: skip
ODD_VALUES = (
    "nan", "inf", "-inf", "+nan", "0", "-0", "-0.0", "-1", "1e308", "1e-308", "5e-324", "1e400", "9" * 400, "0x7f", "0b1",
    "1_000", "true",
    '""', "''", "[]", "{}", "[[]]", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", '"nan"', '"\\u0000"', '"\\ud800"',
    '"""\n"""', "[1, 2, 3]", '["a"]', "{ kind = 1 }", "1.5", "7.", ".5", "0,5", "5 mm", '"' + "x" * 3000 + '"',
)  # fmt: skip


@st.composite
def broken(draw: st.DrawFn) -> bytes:
    """A right file with one to five things done to it."""
    text = draw(st.sampled_from(RIGHT))
    for _ in range(draw(st.integers(1, 5))):
        text = draw(st.sampled_from([_letter, _value, _value, _line, _line, _key, _cut, _long]))(draw, text)
    data = text.encode("utf-8", "surrogatepass")
    return draw(
        st.sampled_from([data] * 9 + [b"\xff" + data, data.replace(b"=", b"\xc3"), text.encode("utf-16", "surrogatepass")])
    )


def _somewhere(draw: st.DrawFn, text: str) -> int:
    return draw(st.integers(0, len(text)))


def _letter(draw: st.DrawFn, text: str) -> str:
    at = _somewhere(draw, text)
    return text[:at] + draw(st.sampled_from(ODD_LETTERS) | st.characters()) + text[at:]


def _value(draw: st.DrawFn, text: str) -> str:
    """What stands after one of the signs of equality is something else."""
    lines = text.split("\n")
    keyed = [at for at, line in enumerate(lines) if "=" in line]
    if not keyed:
        return text
    at = draw(st.sampled_from(keyed))
    lines[at] = lines[at].partition("=")[0] + "= " + draw(st.sampled_from(ODD_VALUES))
    return "\n".join(lines)


def _line(draw: st.DrawFn, text: str) -> str:
    """A line gone, doubled, or moved to elsewhere."""
    lines = text.split("\n")
    at, to = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
    what = draw(st.sampled_from(["gone", "doubled", "moved"]))
    line = lines[at] if what == "doubled" else lines.pop(at)
    if what != "gone":
        lines.insert(to, line)
    return "\n".join(lines)


def _key(draw: st.DrawFn, text: str) -> str:
    """A word turned into another of the file."""
    words = [word for word in text.replace("=", " ").split() if word.isidentifier()]
    if not words:
        return text
    old, new = draw(st.sampled_from(words)), draw(st.sampled_from([*words, "__proto__", "kind", "", "a.b.c", '"a b"']))
    return text.replace(old, new, draw(st.integers(1, 3)))


def _cut(draw: st.DrawFn, text: str) -> str:
    start, end = sorted((_somewhere(draw, text), _somewhere(draw, text)))
    return text[:start] + text[end:]


def _long(draw: st.DrawFn, text: str) -> str:
    """Something of a size that nobody would type, within the limit of a file and beyond it."""
    times = draw(st.sampled_from([50, 900, 5000, LARGEST_BYTES, 3_000_000]))
    piece = draw(
        st.sampled_from(["[", "{a=", "[[arbors]]\n", "a.", '"', "9", "[[meshes]]\ndriver = 'a'\n", "\\", "# \n", "x = 1\n"])
    )
    return text[: _somewhere(draw, text)] + piece * (times // len(piece))


MARKS = (
    "<script>", "</script>", "<img src=x onerror=y>", "[a](javascript:b)", "![a](b.png)", "[a]: data:text/html,b", "<a href=//x>",
    "```", "~~~", "    ", "# ", "> ", "* ", "1. ", "|a|b|\n|-|-|\n", "<!--", "-->", "<![CDATA[", "&#106;", "&lt;", "[[[[", "****",
    "__", "\\", "<x", "<p ", "<svg/onload=a>", "<iframe>", "[^1]", "{: .a}", "<?php", "<!DOCTYPE", "\n\n", "\n", "\t",
)  # fmt: skip


@st.composite
def notes(draw: st.DrawFn) -> str:
    """Markdown by chance, with what would harm."""
    pieces = draw(st.lists(st.sampled_from(MARKS) | st.sampled_from(NOTES) | st.text(max_size=8), min_size=1, max_size=14))
    times = draw(st.sampled_from([1, 1, 1, 1, 40, 400]))
    return "".join(pieces) * times
