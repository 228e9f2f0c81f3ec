"""A TOML text as data, with the slips of the pen in it said in plain words.

tomllib stops at the first error. Where the error lies within one line, that line is set aside and the reading goes on,
so that a person hears of all of them at once; where it may lie in what stands around it, the reading stops.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from builder.ground.faults import Fault, key_text
from builder.movement.places import Places, Repeat
from builder.movement.textfile import shortened

LONGEST_LINE = 1000
"""Characters. Keeps the time that tomllib needs for one dotted key within bounds."""
LONGEST_LIST = 200
"""Lines searched upwards for the beginning of a list or a long text."""
MOST_SLIPS = 30
"""After so many the file is hardly TOML, and the rest can wait for the next run."""

_PLACE = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)$")
_OPENER = re.compile(r"=\s*(\[|\{|\"\"\"|''')")

_SLIPS = [
    (r"=\s*[“”„‟‘’‚«»]", "straight quotes", 'Replace the curly quotes by ".'),
    (r"^\s*(//|/\*|--|;)", "a comment that begins with #", "Put # before the remark."),
    (r"^\s*\[", "a [table] on a line of its own", "Write [table], or [[table]] for one of several."),
    (r"^\s*=", "a key before =", "Write the key, or delete the line."),
    (r"^\s*[\w.-]+\s*:", "key = value", "Write = where the colon stands."),
    (r"=\s*(#.*)?$", "a value after =", "Write the value, or delete the line."),
    (r"=\s*[+-]?\d+,\d+\s*(#.*)?$", "a number with a decimal point", "Write a point where the comma stands: 0.5, not 0,5."),
    (r"=\s*[+-]?\.\d", "a digit on both sides of the point", "Write 0.5, not .5."),
    (r"=\s*[+-]?\d+\.(?!\d)", "a digit on both sides of the point", "Write 5.0 or 5, not 5. with nothing after it."),
    (r"=\s*[+-]?0\d+\s*(#.*)?$", "a number without a zero before it", "Write 7, not 07."),
    (r"=[^\"'#={]*\s[\w.-]+\s*=", "one key = value on a line", "Put the second on a line of its own."),
    (r"=\s*[+-]?\d[\d.]*\s*([^\W\d]|[°′″%])", "a number by itself", "Leave the unit out: the key's name already says it."),
    (r"(?i)=\s*(true|yes|no|false|on|off)\b", "true or false", "Write true or false, in small letters and without quotes."),
    (r"(?i)=\s*(null|none|nil|n/a)\b", "a value after =", "Delete the line: a key without a value is left out."),
    (r";\s*(#.*)?$", "one key = value on a line", "Delete the semicolon."),
    (r"=\s*\[[^\]#]*$", "a list closed by ]", "Close the list with ]."),
    (r"=\s*\{[^}#]*$", "an inline table on one line", "Put all of { … } on one line, or write a [table] with one key on a line."),
    (r"=\s*\{.*,\s*\}", "no comma before }", "Delete the last comma."),
    (r"=\s*\[.*[^\s,]\s+[^\s,\]]", "a list with commas between its items", "Put a comma between the items: [1.0, 2.0]."),
    (r"=\s*'", "text in quotes", "Where the text holds a ', put it in \" double quotes."),
    (r"=\s*\"[^\"]*$", "text that ends in quotes", 'Close the text with ".'),
    (r"=\s*[^\W\d]", "text in quotes", "Put the text in quotes, or write a number."),
    (r"^\s*[^=]*[^A-Za-z0-9_\s.=\"'-][^=]*=", "a key of plain letters, digits, _ and -", "Correct the name before =."),
    (r"^\s*[\w-]+\s+[\w-]+\s*=", "a key without a space", "Correct the name before =: it has an _ where you would put a space."),
    (r"^[^=]*$", "key = value", "Write key = value, or put # before it if it is a remark."),
]

_MESSAGES = [
    ("Unescaped", "text without a single \\", "Write \\\\ for \\, or put the text in ' single quotes."),
    ("Invalid hex", "text without a single \\", "Write \\\\ for \\, or put the text in ' single quotes."),
    ("Escaped character", "a character that \\u can name", "Write the character itself instead of its number."),
    ("Expected ']", "a [table] on a line of its own", "Write [table], or [[table]] for one of several."),
    ("Cannot mutate", "a table that is not complete yet", "Put this key where the table is written first."),
    ("Cannot redefine", "a table that is not complete yet", "Put this key where the table is written first."),
    ("Cannot", "each key once", "It is given twice: delete one of the two."),
    ("Duplicate", "each key once", "It is given twice: delete one of the two."),
    ("Invalid date", "a date that exists", "Correct the date."),
]


@dataclass(frozen=True)
class Parsed:
    """What could be read of a TOML text."""

    data: dict[str, Any] | None
    """The tables; None where too much is missing to judge them."""
    text: str
    """The text that `data` stands for: lines set aside are empty in it, so places stay true."""
    faults: tuple[Fault, ...]


def parsed(text: str, file: str) -> Parsed:
    """The text as data together with every slip found. Never raises for what the text holds."""
    lines = [*text.split("\n"), ""]
    faults = [
        Fault(file, row, 1, "", shortened(line), f"at most {LONGEST_LINE} characters on a line", "Break the line up.")
        for row, line in enumerate(lines, 1)
        if len(line) > LONGEST_LINE
    ]
    if faults:
        return Parsed(None, text, tuple(faults))
    sound = True
    while len(faults) < MOST_SLIPS:
        try:
            data = tomllib.loads("\n".join(lines))
            return Parsed(data if sound else None, "\n".join(lines), tuple(faults))
        except tomllib.TOMLDecodeError as error:
            repeat = _repeat(str(error), lines)
            if repeat:
                faults.append(_twice(repeat, lines, file))
                first, last, local = repeat.first_line, repeat.last_line, repeat.alone
            else:
                slip, local = _slip(str(error), lines, file)
                faults.append(slip)
                first = last = slip.line
                sound = False
            if not local:
                break
            lines[first - 1 : last] = [""] * (last - first + 1)
        except RecursionError:
            row, column = _deepest(lines)
            allowed, advice = "a few [ or { inside one another", "Close the brackets, or write [tables] instead."
            faults.append(Fault(file, row, column, "", "brackets within brackets", allowed, advice))
            break
        except ValueError:  # Python's own limit on the digits of an integer
            row = max(range(len(lines)), key=lambda at: max(map(len, re.findall(r"[\d_]+", lines[at])), default=0))
            allowed, advice = "a number with few digits", "Correct the number."
            faults.append(Fault(file, row + 1, 1, "", shortened(lines[row]), allowed, advice))
            break
    return Parsed(None, "\n".join(lines), tuple(faults))


def _place(message: str, lines: list[str]) -> tuple[int, int]:
    found = _PLACE.search(message)
    if found and found[1]:
        return int(found[1]), int(found[2])
    row = max((at for at, line in enumerate(lines, 1) if line.strip()), default=1)
    return row, len(lines[row - 1]) + 1


def _repeat(message: str, lines: list[str]) -> Repeat | None:
    """The second statement of a key that tomllib complains of, if that is what it complains of."""
    if not message.startswith(("Cannot", "Duplicate")):
        return None
    row = _place(message, lines)[0]
    around = (repeat for repeat in Places("\n".join(lines)).repeats if repeat.first_line <= row <= repeat.last_line)
    return next(around, None)


def _twice(repeat: Repeat, lines: list[str], file: str) -> Fault:
    key, place = key_text(repeat.key), repeat.place
    if not place.written:
        key, place = "", replace(place, written=lines[place.line - 1])
    advice = f"It stands in line {repeat.before.line} already: delete one of the two."
    return Fault(file, place.line, place.column, shortened(key), shortened(place.written), "each key once", advice)


def _slip(message: str, lines: list[str], file: str) -> tuple[Fault, bool]:
    """The error in plain words, and whether it lies within its line, so that the lines below can be trusted."""
    row, column = _place(message, lines)
    line = lines[row - 1]

    def fault(allowed: str, advice: str) -> Fault:
        return Fault(file, row, column, "", shortened(line) or "an empty line", allowed, advice)

    start = _start(lines, row)
    alone = start == row and not line.lstrip().startswith("[") and not _reads(line)
    alone &= all(line.count(left) == line.count(right) for left, right in ("[]", "{}"))
    for beginning, allowed, advice in _MESSAGES:
        if message.startswith(beginning):
            column = line.rfind("\\", 0, column) + 1 if "\\" in allowed else column
            return fault(allowed, advice), alone and not message.startswith("Cannot")
    if start < row:
        return _open(start, row, lines, fault, file), False
    for pattern, allowed, advice in _SLIPS:
        if re.search(pattern, line):
            return fault(allowed, advice), alone
    return fault("a number, text in quotes, true or false, or a list", "Correct what stands after =."), alone


def _start(lines: list[str], row: int) -> int:
    """The line in which the statement that holds line `row` begins; all above it is known to be right."""
    for at in range(row - 1, max(0, row - LONGEST_LIST), -1):
        if _opens(lines[at]) and _reads("\n".join(lines[:at])):
            return at + 1
        if at == row - 1 and _reads("\n".join(lines[:at])):
            return row
    return 1 if _opens(lines[0]) else row


def _opens(line: str) -> bool:
    """Whether the line may begin what ends in another: a list, a table, a long text, a text without its end."""
    return bool(_OPENER.search(line)) or bool(line.count("'") % 2) or bool(line.count('"') % 2)


def _open(start: int, row: int, lines: list[str], fault: Callable[[str, str], Fault], file: str) -> Fault:
    """A value over several lines: either it is never closed, or there is a slip among its items."""
    opening = lines[start - 1]
    found = _OPENER.search(opening) or re.search("""(["'])""", opening)
    sign = found[1] if found else "["
    closing = {"[": "]", "{": "}"}.get(sign, sign)
    if sign == "[" and lines[row - 1].strip() and not _reads(lines[row - 1]):
        return fault("items with a comma between them, closed by ]", f"Look again at the list that begins in line {start}.")
    column = found.start(1) + 1 if found else 1
    advice = f"Close it with {closing}, or look for a slip between here and line {row}."
    return Fault(file, start, column, "", shortened(opening), f"a value closed by {closing}", advice)


def _reads(line: str) -> bool:
    try:
        tomllib.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


def _deepest(lines: list[str]) -> tuple[int, int]:
    """Line and column of the bracket that lies deepest (brackets in texts are counted too: this only points)."""
    depth, most, place = 0, 0, (1, 1)
    for row, line in enumerate(lines, 1):
        for column, letter in enumerate(line, 1):
            depth += (letter in "[{") - (letter in "]}")
            if depth > most:
                most, place = depth, (row, column)
    return place
