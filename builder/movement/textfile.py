"""A text file from its folder: who may be read, how much of it, and as which characters. Every refusal is a fault."""

from __future__ import annotations

import stat
from pathlib import Path

from builder.ground.faults import Fault, FaultsFound

LARGEST_BYTES = 64 * 1024
"""Twenty times a long model file; keeps the time within bounds that hostile text could cost."""


def shortened(text: str, most: int = 60) -> str:
    """One line of at most `most` characters, with nothing in it that a terminal would obey."""
    line = " ".join(text.split())
    line = "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in line[: most + 1])
    return line if len(line) <= most else line[: most - 1] + "…"


def shown(path: Path, root: Path) -> str:
    """The path as messages name it: from `root` on, with forward slashes; the bare name for a file outside."""
    name = path.relative_to(root).as_posix() if path.is_relative_to(root) else path.name
    return name.encode("utf-8", "backslashreplace").decode()


def text_of(path: Path, root: Path, largest: int = LARGEST_BYTES) -> str:
    """The file's text with line ends as \\n, without a byte order mark. `root` is the folder that it may not leave.

    Raises FaultsFound for what cannot be read: a missing file, a folder or device, a link that leaves `root`, more
    than `largest` bytes, bytes that are no UTF-8, control characters.
    """
    file = shown(path, root)

    def refuse(value: str, allowed: str, advice: str, line: int = 1, column: int = 1) -> FaultsFound:
        return FaultsFound([Fault(file, line, column, "", value, allowed, advice)])

    try:
        if not path.resolve().is_relative_to(root.resolve()):
            raise refuse("a link to elsewhere", "a file inside its folder", "Put the file itself here instead of a link.")
        if not stat.S_ISREG(path.stat().st_mode):
            raise refuse("not a file", "a text file", "A folder or a device stands under this name; move it away.")
        with path.open("rb") as stream:
            data = stream.read(largest + 1)
    except FileNotFoundError:
        raise refuse("no such file", "a text file", "Create it, or correct the name.") from None
    except PermissionError:
        raise refuse("not readable", "a file that may be read", "Change the file's permissions.") from None
    except (OSError, RuntimeError, ValueError):  # a loop of links, a disk gone away, a name no disk can hold
        raise refuse("not readable", "a file that can be opened", "Check the name and the disk it lies on.") from None
    if len(data) > largest:
        value, allowed = f"more than {largest // 1024} KB", f"at most {largest // 1024} KB"
        raise refuse(value, allowed, "A description of a movement is never that long: take out what does not belong.")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise refuse("UTF-16", "UTF-8", "Save the file again with the encoding UTF-8.")
    try:
        text = _lines(data)
    except UnicodeDecodeError as error:
        before = _lines(data[: error.start])
        value, advice = f"byte {data[error.start]:#04x}", "Save the file again with the encoding UTF-8."
        raise refuse(value, "UTF-8", advice, *_place(before)) from None
    for at, letter in enumerate(text):
        if (letter < " " and letter not in "\n\t") or letter == "\x7f":
            value = f"control character U+{ord(letter):04X}"
            raise refuse(value, "visible characters, tabs and line ends", "Delete it.", *_place(text[:at]))
    return text


def _lines(data: bytes) -> str:
    """Without a byte order mark, every line's end as \\n: that of Windows and that of old Macs too. Raises UnicodeDecodeError."""
    return data.decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")


def _place(before: str) -> tuple[int, int]:
    """Line and column (from 1) of the character that follows `before`."""
    return before.count("\n") + 1, len(before) - before.rfind("\n")
