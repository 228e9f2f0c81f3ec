"""What a person hears of a file that is wrong. Expected places are counted by hand in the texts below."""

import os
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.ground.faults import Complaint, Fault, FaultsFound, Refused
from builder.movement.model import Movement
from builder.movement.places import Places
from builder.movement.reading import located, opened, read
from builder.movement.rules import complaints
from builder.movement.syntax import parsed
from tests.movement.bench import Bench, Spring, Weight, Wheel

GOOD = """\
name = "Tidewater Road evening class"
turns = 3
at_mm = [0.0, -2]
[source]
kind = "spring"
length_mm = 1000.0
barrel_mm = 30
[[wheels]]
teeth = 64
[more.drive]
teeth = 40
module_mm = 0.5
"""


def faults(folder: Path, text: str | bytes) -> list[Fault]:
    """Every fault of a file that holds this text."""
    path = folder / "movement.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(FaultsFound) as caught:
        read(path, Bench, folder)
    return list(caught.value.faults)


def short(found: list[Fault]) -> list[tuple[int, int, str, str, str]]:
    return [(fault.line, fault.column, fault.key, fault.value, fault.allowed) for fault in found]


@pytest.mark.parametrize(
    "text", [GOOD, GOOD.replace("\n", "\r\n"), GOOD.replace("\n", "\r"), "\ufeff" + GOOD], ids=["plain", "CRLF", "CR", "BOM"]
)
def test_a_right_file_becomes_its_model(tmp_path: Path, text: str) -> None:
    """A file as any editor on any system saves it gives the model; lists become tuples, whole numbers do for lengths."""
    path = tmp_path / "movement.toml"
    path.write_bytes(text.encode())
    bench = read(path, Bench, tmp_path)
    assert bench.source == Spring(kind="spring", length_mm=1000.0, barrel_mm=30)
    assert bench.at_mm == (0.0, -2)
    assert bench.wheels == (Wheel(teeth=64),)
    assert bench.more == {"drive": Wheel(teeth=40, module_mm=0.5)}


def test_every_fault_of_a_file_at_once_with_its_place(tmp_path: Path) -> None:
    """One run tells all that is wrong, in the order of the file, in the trade's words."""
    text = """\
name = 1979-05-27
turns = 0
jewelled = "yes"
at_mm = [1.0, "x"]
page = "Seite 1"
colour = "red"
language = "english"
[source]
kind = "weight"
weight = -3
kg = 2
[[wheels]]
teeth = 5
[[wheels]]
teeth = 64.0
module_mm = nan
[[wheels]]
modul_mm = 0.5
material = "bras"
[more."2nd"]
teeth = "60"
[spare]
kind = "sping"
"""
    assert short(faults(tmp_path, text)) == [
        (1, 1, "name", "1979-05-27", "text in quotes of 1 to 120 characters"),
        (2, 1, "turns", "0", 'a whole number from 1 to 1000 or "many"'),
        (3, 1, "jewelled", '"yes"', "true or false"),
        (4, 15, "at_mm[1]", '"x"', "a number"),
        (5, 1, "page", '"Seite 1"', "text that fits ^[a-z]+$"),
        (6, 1, "colour", '"red"', "an unknown key"),
        (7, 1, "language", '"english"', "a language code of two letters, such as en"),
        (10, 1, "source.weight", "-3", "a number, more than 0 and at most 50"),
        (11, 1, "source.kg", "2", "an unknown key"),
        (13, 1, "wheels[0].teeth", "5", "a whole number from 6 to 400"),
        (15, 1, "wheels[1].teeth", "64.0", "a whole number from 6 to 400"),
        (16, 1, "wheels[1].module_mm", "nan", "a number from 0.02 to 20"),
        (17, 1, "wheels[2].teeth", "missing", "a whole number from 6 to 400"),
        (18, 1, "wheels[2].modul_mm", "0.5", "an unknown key"),
        (19, 1, "wheels[2].material", '"bras"', "one of: brass, steel, nickel silver"),
        (20, 7, "more.2nd", "2nd", "as a key, a short name: small letters, digits and _, beginning with a letter"),
        (21, 1, "more.2nd.teeth", '"60"', "a whole number from 6 to 400"),
        (23, 1, "spare.kind", '"sping"', "one of: spring, weight"),
    ]


@pytest.mark.parametrize(
    ("slip", "advice"),
    [
        ("[[wheels]]\nmodule_mm = 0.5", "Add it to [[wheels]]; teeth means: Teeth, counted."),
        ("[[wheels]]\nteeth = 3", "Correct it; teeth means: Teeth, counted."),
        ("[[wheels]]\nteeth = 64.0", "Write 64."),
        ("[[wheels]]\nteeth = inf", "It is counted, so it is whole."),
        ("boxes = { a = 1.0 }", "It has 1."),
        ("[[wheels]]\nteeth = 64.5", "It is counted, so it is whole."),
        ("[[wheels]]\nteeth = '64'", "Take the quotes away."),
        ("[[wheels]]\nteeth = '64 teeth'", "Write figures only, without quotes and without a unit."),
        ("[[wheels]]\nteeth = 64\nmaterial = 'bras'", 'Did you mean "brass"?'),
        ("[[wheels]]\nteeth = 64\nmaterial = 'gold'", "Choose one of these, in quotes."),
        ("[[wheels]]\nteeth = 64\nmodule = 0.5", "Did you mean module_mm?"),
        ("[[wheels]]\nteeth = 64\nx = 0.5", "Delete it. [[wheels]] knows: teeth, module_mm, material."),
        ("[wheels]\nteeth = 64", "Put it in square brackets: [ … ]."),
        ("[spare]\nlength_mm = 3", "Add it to [spare]: it decides on the other keys."),
        ("[spare]\nkind = 3", "Choose one of these, in quotes."),
        ("[spare]\nkind = 'weight'", "Add it to [spare]; weight means: Mass in kg."),
        ("[[spare]]\nkind = 'weight'", "Write it as a table with keys of its own: [spare]."),
        ("[more]\ndrive = 64", "Write it as a table with keys of its own: [more.drive]."),
    ],
)
def test_advice_says_what_to_change(tmp_path: Path, slip: str, advice: str) -> None:
    """Each fault ends in what the person can do; one slip is one fault."""
    text = f'name = "Bench"\nsource = {{ kind = "weight", weight = 3.0 }}\n{slip}\n'
    found = faults(tmp_path, text)
    assert [fault.advice for fault in found] == [advice]


def test_only_the_chosen_kind_is_judged(tmp_path: Path) -> None:
    """A spring is asked for what springs have, and not for what weights have; a key named as its kind is no matter."""
    text = 'name = "Bench"\n[source]\nkind = "spring"\nweight = 3.0\n[spare]\nkind = "weight"\nweight = 99\n'
    found = faults(tmp_path, text)
    assert [(fault.line, fault.key, fault.value) for fault in found] == [
        (2, "source.barrel_mm", "missing"),
        (2, "source.length_mm", "missing"),
        (4, "source.weight", "3.0"),
        (7, "spare.weight", "99"),
    ]


def test_a_misspelt_key_is_one_fault(tmp_path: Path) -> None:
    """The key that is missing only because it is misspelt is not complained of a second time."""
    text = 'name = "Bench"\nsource = { kind = "weight", wieght = 3.0 }\n[more]\nx.theet = 8\ny.teeth = 8\ny.teet = 8\n'
    assert [fault.key for fault in faults(tmp_path, text)] == ["source.wieght", "more.x.theet", "more.y.teet"]


def test_complaints_from_within_a_table_are_placed(tmp_path: Path) -> None:
    """A table that refuses itself (length shorter than the barrel) has each of its complaints at its own key."""
    found = faults(tmp_path, GOOD.replace("1000.0", "20.0"))
    assert [(fault.line, fault.key) for fault in found] == [(6, "source.length_mm"), (7, "source.barrel_mm")]


def test_rules_are_asked_of_a_right_model_and_placed(tmp_path: Path) -> None:
    """Rules between tables, given back or raised, become faults at their keys; an absent key stands at its table."""
    path = tmp_path / "movement.toml"
    path.write_text(GOOD)
    broken = [
        Complaint(("wheels", 0, "material"), "brass", "steel", "Say steel."),
        Complaint(("dial",), "none", "a dial", "Add one."),
    ]

    def refuse(bench: Bench) -> list[Complaint]:
        raise Refused(broken)

    for rules in (lambda bench: broken, refuse):
        with pytest.raises(FaultsFound) as caught:
            read(path, Bench, tmp_path, rules)
        assert [(fault.line, fault.column, fault.key) for fault in caught.value.faults] == [
            (1, 1, "dial"),
            (8, 1, "wheels[0].material"),
        ]
    assert [fault.line for fault in opened(path, Bench, tmp_path).located(broken)] == [8, 1]


def test_located_shows_values_safely() -> None:
    """A long value, or one with characters that a terminal would obey, is shown short and harmless."""
    complaint = Complaint(("a",), "\x1b[31m" + "x" * 500, "less", "Shorten it.")
    (fault,) = located([complaint], Places("a = [1]"), "movement.toml")
    assert fault.value == "\\x1b[31m" + "x" * 51 + "…"


def test_located_shows_numbers_as_they_were_typed() -> None:
    """What stands in the file is told, and not what a rule made of it."""
    complaint = Complaint(("a",), "module 1.05 mm", "module 0.9 mm", "Measure again.")
    (fault,) = located([complaint], Places("a = 70.0 # over the tips"), "movement.toml")
    assert fault.value == "70.0"


@pytest.mark.parametrize(
    ("line", "column", "allowed"),
    [
        ("a = 0,5", 6, "a number with a decimal point"),
        ("a = .5", 5, "a digit on both sides of the point"),
        ("a = 5.", 6, "a digit on both sides of the point"),
        ("a = 07", 6, "a number without a zero before it"),
        ("a = 8 mm", 7, "a number by itself"),
        ("a = 52°", 7, "a number by itself"),
        ("a = True", 5, "true or false"),
        ("a = null", 5, "a value after ="),
        ("a =", 4, "a value after ="),
        ("= 3", 1, "a key before ="),
        ("a: 3", 2, "key = value"),
        ("a = “x”", 5, "straight quotes"),
        ("a = fusee", 5, "text in quotes"),
        ('a = "x', 7, "text that ends in quotes"),
        ("a = 'it's'", 9, "text in quotes"),
        ('a = "C:\\q"', 8, "text without a single \\"),
        ('a = "C:\\ux"', 8, "text without a single \\"),
        ('a = "\\ud800"', 6, "a character that \\u can name"),
        ("a = 1 b = 2", 7, "one key = value on a line"),
        ("a = 3;", 6, "one key = value on a line"),
        ("a b = 3", 3, "a key without a space"),
        ("ü = 3", 1, "a key of plain letters, digits, _ and -"),
        ("// remark", 1, "a comment that begins with #"),
        ("remark", 7, "key = value"),
        ("[a", 3, "a [table] on a line of its own"),
        ("[]", 2, "a [table] on a line of its own"),
        ("a = [1 2]", 8, "a list with commas between its items"),
        ("a = { x = 1, }", 14, "no comma before }"),
        ("a = { x = 1", 12, "an inline table on one line"),
        ("a = +", 5, "a number, text in quotes, true or false, or a list"),
    ],
)
def test_slips_of_the_pen(tmp_path: Path, line: str, column: int, allowed: str) -> None:
    """The slips that people make in TOML are named as what they are, at their place, and nothing else is blamed."""
    found = faults(tmp_path, f"# first\n{line}\n")
    assert [(fault.line, fault.column, fault.allowed) for fault in found] == [(2, column, allowed)]


def test_several_slips_are_all_told(tmp_path: Path) -> None:
    """A slip within one line does not hide the next; keys are judged only once the text is TOML."""
    found = faults(tmp_path, "name = Bench\ncolour = 1\nturns = 0,5\n[source]\nkind = “weight”\n")
    assert [fault.line for fault in found] == [1, 3, 5]


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("a = 1\nb = [1,\n 2,\nc = 3\n", 2, 5),
        ("a = 1\nb = [\n 1.0\n 2.0\n]\nc = 3\n", 4, 2),
        ('a = 1\nb = """one\ntwo\nc = 3\n', 2, 5),
        ("a = 1\nb = '''one\ntwo = [1,\nc = 3\n", 2, 5),
        ("[a\nb = 1\nb = 2\n", 1, 3),
    ],
)
def test_what_is_left_open_is_blamed_once(tmp_path: Path, text: str, line: int, column: int) -> None:
    """A list or text without its end is placed where it begins, and what it swallows is not blamed as well."""
    assert [(fault.line, fault.column) for fault in faults(tmp_path, text)] == [(line, column)]


def test_keys_given_twice(tmp_path: Path) -> None:
    """A key given twice names both lines, and the rest of the file is judged all the same."""
    found = faults(tmp_path, GOOD.replace("turns = 3", 'turns = 3\nturns = """\n4"""\njewelled = 1'))
    assert short(found) == [
        (3, 1, "turns", '""" 4"""', "each key once"),
        (5, 1, "jewelled", "1", "true or false"),
    ]
    assert found[0].advice == "It stands in line 2 already: delete one of the two."
    (table,) = faults(tmp_path, GOOD + "[source]\nkind = 'weight'\n")
    assert (table.line, table.column, table.value) == (13, 2, "[source]")


@pytest.mark.parametrize(
    ("content", "line", "column", "value"),
    [
        (b"a = 1\nb = '\xc3\xa9 \xe9'\n", 2, 8, "byte 0xe9"),
        (b"a = 1\r\nb\x00 = 2\r\n", 2, 2, "control character U+0000"),
        (b"a = '\x1b[31m'\n", 1, 6, "control character U+001B"),
        (b"\xff\xfea\x00", 1, 1, "UTF-16"),
        (b"a = 1\n" + b"#" * 70_000, 1, 1, "more than 64 KB"),
        (b"# one\na = " + b"[" * 1500, 2, 1, "a = [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[…"),
        (b"a = " + b"[\n" * 5000, 5000, 1, "brackets within brackets"),
        (b"[a]\n" + (b"b" + b".b" * 450 + b" = 1\n") * 2, 3, 901, "1"),
    ],
    ids=["latin-1", "NUL", "escape", "UTF-16", "large", "long line", "deep", "dotted"],
)
def test_files_that_no_person_wrote(tmp_path: Path, content: bytes, line: int, column: int, value: str) -> None:
    """Foreign encodings, control characters, sizes and depths out of all proportion: a plain fault each."""
    assert (line, column, value) in [(fault.line, fault.column, fault.value) for fault in faults(tmp_path, content)]


def test_huge_numbers(tmp_path: Path) -> None:
    """A number of any size is out of range and nothing worse."""
    found = faults(tmp_path, f'name = "x"\nsource = {{ kind = "weight", weight = {"9" * 900} }}\nturns = 0x{"f" * 900}\n')
    assert [(fault.key, len(fault.value)) for fault in found] == [("source.weight", 60), ("turns", 60)]
    found = faults(tmp_path, 'name = "x"\nsource = { kind = "weight", weight = 1e999 }\nat_mm = [-inf, 0]')
    assert [fault.key for fault in found] == ["source.weight", "at_mm[0]"]


def test_more_digits_than_python_takes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Python's own limit on digits, set as low as it goes, is a fault of the line as well."""
    import sys

    before = sys.get_int_max_str_digits()
    sys.set_int_max_str_digits(640)
    try:
        (fault,) = faults(tmp_path, f"a = 1\nb = {'9' * 700}\n")
    finally:
        sys.set_int_max_str_digits(before)
    assert (fault.line, fault.allowed) == (2, "a number with few digits")


def test_file_names_start_at_the_root(tmp_path: Path) -> None:
    """Messages name the file from the root on, never where it lies on this machine; a fault prints in one line."""
    path = tmp_path / "models" / "long case" / "movement.toml"
    path.parent.mkdir(parents=True)
    path.write_text("a = 1\n")
    with pytest.raises(FaultsFound) as caught:
        read(path, Weight, tmp_path)
    assert str(caught.value).split("\n")[1] == (
        'models/long case/movement.toml:1:1: kind = missing: "weight". Add it to the top of the file.'
    )
    assert str(tmp_path) not in str(caught.value)


@pytest.mark.parametrize("kind", ["missing", "folder", "fifo", "link out", "link loop", "link to a folder out", "null"])
def test_what_is_no_file_of_the_folder(tmp_path: Path, kind: str) -> None:
    """Missing files, folders, pipes (never waited for) and links that leave the root are faults of the whole file."""
    root = tmp_path / "models"
    root.mkdir()
    (tmp_path / "movement.toml").write_text(GOOD)
    path = root / "movement.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "fifo":
        os.mkfifo(path)
    elif kind == "link out":
        path.symlink_to(tmp_path / "movement.toml")
    elif kind == "link loop":
        path.symlink_to(path)
    elif kind == "link to a folder out":
        (root / "other").symlink_to(tmp_path)
        path = root / "other" / "movement.toml"
    elif kind == "null":
        path = root / "a\0b"
    with pytest.raises(FaultsFound) as caught:
        read(path, Bench, root)
    (fault,) = caught.value.faults
    assert (fault.line, fault.column) == (1, 1)
    assert str(tmp_path) not in str(fault)


def test_a_link_within_the_root_is_followed(tmp_path: Path) -> None:
    """The refusal is of links that leave, not of links."""
    (tmp_path / "a.toml").write_text(GOOD)
    (tmp_path / "b.toml").symlink_to(tmp_path / "a.toml")
    assert read(tmp_path / "b.toml", Bench, tmp_path) == read(tmp_path / "a.toml", Bench, tmp_path)


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Permissions and failing disks are faults too (made to fail here: the superuser may read everything)."""
    path = tmp_path / "movement.toml"
    path.write_text(GOOD)
    for error in (PermissionError, OSError):

        def fail(*_: object, error: type[OSError] = error) -> None:
            raise error

        monkeypatch.setattr(Path, "open", fail)
        with pytest.raises(FaultsFound, match=r"movement\.toml:1:1: not readable"):
            read(path, Bench, tmp_path)


def judged(folder: Path, content: bytes) -> None:
    """Reading gives a model or faults with places; anything else fails the test by itself."""
    path = folder / "movement.toml"
    path.write_bytes(content)
    try:
        read(path, Bench, folder)
    except FaultsFound as found:
        lines = content.count(b"\n") + content.count(b"\r") + 1
        assert found.faults
        for fault in found.faults:
            assert 1 <= fault.line <= lines
            assert fault.column >= 1
            assert "\n" not in str(fault)
            assert str(fault).isprintable()


ANY_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


@ANY_FOLDER
@given(content=st.binary(max_size=200))
def test_any_bytes_are_judged(tmp_path: Path, content: bytes) -> None:
    """No bytes whatever lead to anything but a model or faults with places."""
    judged(tmp_path, content)


WORDS = """= [ ] [[ ]] { } " ' # . , - + \\ \\u é 😀 0 1e9 nan true 1979-05-27 07:32:00 0x name source kind "weight" "spring"
weight wheels teeth more [source] [[wheels]] [more.x] [key] spare a.b"""
PIECES = st.sampled_from([*WORDS.split(), '"""', "'''", "\n", "\r\n", "\r", "\t", "\0"])


@ANY_FOLDER
@given(pieces=st.lists(PIECES, max_size=40), separator=st.sampled_from(["", " ", "\n"]))
def test_any_pieces_of_toml_are_judged(tmp_path: Path, pieces: list[str], separator: str) -> None:
    """Pieces of TOML in any order, too."""
    judged(tmp_path, separator.join(pieces).encode())


@ANY_FOLDER
@given(at=st.integers(0, len(GOOD)), length=st.integers(0, 12), piece=st.one_of(PIECES, st.text(max_size=3)))
def test_a_right_file_with_any_change_is_judged(tmp_path: Path, at: int, length: int, piece: str) -> None:
    """A right file in which anything is replaced by anything, too."""
    judged(tmp_path, (GOOD[:at] + piece + GOOD[at + length :]).encode())


@given(pieces=st.lists(PIECES, max_size=40), separator=st.sampled_from(["", " ", "\n"]))
def test_set_aside_lines_keep_places(pieces: list[str], separator: str) -> None:
    """The text that the data stands for has the lines of the file, each as it was or empty."""
    text = separator.join(pieces)
    result = parsed(text, "movement.toml")
    before, after = [*text.split("\n"), ""], [*result.text.split("\n"), ""]
    assert all(was == now or not now for was, now in zip(before, after, strict=False))
    assert (result.data is not None) or result.faults


MODELS = Path(__file__).parents[2] / "models"
MOVEMENTS = [path.read_text("utf-8") for path in sorted(MODELS.glob("*/movement.toml"))]
LINES = sorted({line for text in MOVEMENTS for line in text.split("\n")})
VALUES = st.sampled_from(
    ["0", "-1", "1e9", "0.001", "nan", "inf", "999", "true", '"x"', '"great"', '"escape"', "[]", "{}", "1979-05-27"]
)


@ANY_FOLDER
@given(
    text=st.sampled_from(MOVEMENTS),
    changes=st.lists(
        st.tuples(st.integers(0, 150), st.sampled_from(["delete", "double", "move", "replace", "value"])), min_size=1, max_size=3
    ),
    line=st.sampled_from(LINES),
    value=VALUES,
)
def test_a_movement_with_any_change_is_judged(
    tmp_path: Path, text: str, changes: list[tuple[int, str]], line: str, value: str
) -> None:
    """The movements of the collection with lines lost, doubled, moved, mixed up, or with other values: read with all
    rules, they are right or have faults with places."""
    lines = text.split("\n")
    for at, change in changes:
        row = at % len(lines)
        if change == "delete":
            del lines[row]
        elif change == "double":
            lines.insert(row, lines[row])
        elif change == "move":
            lines.insert(0, lines.pop(row))
        elif change == "replace":
            lines[row] = line
        else:
            lines[row] = re.sub("=.*", f"= {value}", lines[row])
    path = tmp_path / "movement.toml"
    path.write_text("\n".join(lines), "utf-8")
    try:
        read(path, Movement, tmp_path, complaints)
    except FaultsFound as found:
        assert found.faults
        assert all(1 <= fault.line <= len(lines) for fault in found.faults)
