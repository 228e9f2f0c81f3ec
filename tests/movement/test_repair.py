"""Repair files: read whole, or refused with every fault at its place."""

from pathlib import Path

import pytest
from PIL import Image

from builder.ground.faults import FaultsFound
from builder.movement.jsonschema import schema_of
from builder.movement.repair import Job, Repair, repairs, seen
from builder.parts.finding import FINDINGS, SOUND
from tests.solved import MODELS, demo

HEAD = 'title = "Going again"\nobject = { name = "Clock", kind = "clock" }\n'
TILT = '[[findings]]\nkind = "out_of_beat"\nseverity = "slight"\nby_deg = 0.1\n'


def read(folder: Path, text: str, movement: str = "hall_clock", day: str = "2026-01-02") -> Job:
    """The one repair of a movement, from such a text."""
    path = folder / "clock" / "repairs" / f"{day}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    try:
        (one,) = repairs(folder, "clock", demo(movement).movement)
    finally:
        path.unlink()
    return one


def faults(folder: Path, text: str, movement: str = "hall_clock", day: str = "2026-01-02") -> list[str]:
    """What is said of it, without the file's name."""
    with pytest.raises(FaultsFound) as refused:
        read(folder, text, movement, day)
    return [str(fault).removeprefix(f"clock/repairs/{day}.toml:") for fault in refused.value.faults]


def test_the_demo_repairs_are_read():
    """Each file is a repair of its movement, the day from its name, its pictures there without location data."""
    (hall,) = repairs(MODELS, "hall_clock", demo("hall_clock").movement)
    (shelf,) = repairs(MODELS, "shelf_timepiece", demo("shelf_timepiece").movement)
    assert (hall.day, shelf.day) == ("2026-03-14", "2026-05-09")
    assert {"tired_mainspring", "hurt_tooth"} <= {finding.kind for finding in shelf.repair.findings}
    assert hall.pictures["pictures/escape-hole.png"].startswith(b"\x89PNG")
    assert repairs(MODELS, "pocket_watch", demo("pocket_watch").movement) == ()


def test_there_are_no_keys_for_a_customer(tmp_path: Path):
    """Nothing of whose it is can be written: no key of the whole format sounds like it, and an unknown one is refused."""
    names = str(schema_of(Repair))
    for word in ("owner", "customer_name", "address", "telephone", "email", "price"):
        assert f"'{word}'" not in names
    said = faults(tmp_path, HEAD.replace('kind = "clock"', 'kind = "clock", owner = "A. N."') + TILT)
    assert len(said) == 1 and said[0].startswith("2:44: object.owner = ") and "unknown key" in said[0]


def test_all_faults_at_once_with_help_for_a_slip(tmp_path: Path):
    """A misspelt kind, a misspelt key, a word that is none of the three, a number in quotes: each with its line and advice."""
    text = (
        HEAD
        + TILT.replace("by_deg", "by_dge")
        + '[[findings]]\nkind = "worn_hol"\nseverity = "slight"\n'
        + '[[findings]]\nkind = "poor_oil"\nseverity = "dreadful"\nstate = "thick"\nwhere = ["pivots"]\n'
        + '[[readings]]\nwhen = "before"\namplitude_deg = "2.1"\n'
    )
    said = faults(tmp_path, text)
    assert [each.split(":")[0] for each in said] == ["6", "8", "12", "17"]
    assert "Did you mean by_deg?" in said[0] and 'Did you mean "worn_hole"?' in said[1]
    assert "slight, marked, severe" in said[2] and "Take the quotes away" in said[3]


@pytest.mark.parametrize(
    ("movement", "keys", "key", "allowed"),
    [
        ("hall_clock", 'kind = "tired_mainspring"\ntorque_part = 0.6', "kind", "a movement with a spring"),
        ("shelf_timepiece", 'kind = "tired_mainspring"', "kind", "one of torque_part, turns_lost, free_coils"),
        ("shelf_timepiece", 'kind = "tired_mainspring"\nturns_lost = 1.0\ntorque_part = 0.5', "kind", "one of torque_part"),
        ("shelf_timepiece", 'kind = "tired_mainspring"\nturns_lost = 60.0', "turns_lost", "of one winding"),
        ("shelf_timepiece", 'kind = "tired_mainspring"\nfree_coils = 4.0', "free_coils", "left out where"),
        ("schoolroom_dial", 'kind = "tired_mainspring"\nturns_lost = 1.0', "turns_lost", "left out for a fusee"),
        ("hall_clock", 'kind = "poor_oil"\nstate = "dry"\nwhere = []', "where", "a list of 1 to 4 items"),
        ("hall_clock", 'kind = "poor_oil"\nstate = "dry"\nwhere = ["teeth"]\narbors = ["fourth"]', "arbors[0]", "great, centre"),
        ("hall_clock", 'kind = "poor_oil"\nstate = "dry"\nwhere = ["pallets"]\narbors = ["third"]', "arbors", "left out"),
        (
            "hall_clock",
            'kind = "worn_hole"\narbor = "fifth"\nplate = "back"\nworn_mm = 0.1\ndirection_deg = 0',
            "arbor",
            "pallets",
        ),
        ("hall_clock", 'kind = "worn_pallet"\npallet = "entry"\nface = "locking face"\ndepth_mm = 0.1', "face", "impulse face"),
        ("hall_clock", 'kind = "worn_pallet"\npallet = "entry"\nface = "pin"\ndepth_mm = 0.1', "face", "impulse face"),
        ("hall_clock", 'kind = "hurt_tooth"\narbor = "escape"\nharm = "missing"', "part", "a tooth of the train"),
        ("hall_clock", 'kind = "hurt_tooth"\narbor = "great"\npart = "pinion"\nharm = "missing"', "part", "wheel"),
        ("hall_clock", 'kind = "hurt_tooth"\narbor = "third"\nharm = "bent"', "by_mm", "how much it is bent"),
        ("hall_clock", 'kind = "hurt_tooth"\narbor = "third"\nharm = "missing"\nby_mm = 0.1', "by_mm", "left out"),
        ("hall_clock", 'kind = "worn_leaves"\narbor = "third"\npart = "wheel"\ndepth_mm = 0.1', "part", "leaves"),
        ("hall_clock", 'kind = "worn_leaves"\narbor = "great"\ndepth_mm = 0.1', "part", "one of: wheel"),
        ("hall_clock", 'kind = "worn_leaves"\narbor = "third"\ndepth_mm = 0.1\nfrom_mm = 3.0', "from_mm", "both"),
        ("hall_clock", 'kind = "out_of_beat"\nby_deg = 0.0', "by_deg", "not 0"),
        ("hall_clock", 'kind = "wrong_rating"\nlonger_mm = 1.0', "longer_mm", "a key for a balance"),
        ("shelf_timepiece", 'kind = "wrong_rating"\nnut_turns = 1.0', "nut_turns", "a key for a pendulum"),
        ("hall_clock", 'kind = "wrong_rating"', "kind", "one of bob_down_mm, nut_turns"),
        ("shelf_timepiece", 'kind = "wrong_rating"\nlonger_mm = -175.0', "longer_mm", "most of its 180 mm"),
        ("shelf_timepiece", 'kind = "damaged_suspension"\nwidth_left = 0.5', "kind", "a movement with a pendulum"),
        ("hall_clock", 'kind = "damaged_suspension"', "kind", "one or more of width_left"),
        ("hall_clock", 'kind = "damaged_suspension"\nlonger_mm = -13.0', "longer_mm", "14 mm long"),
        ("hall_clock", 'kind = "magnetised"\nrate_s_per_day = 30.0', "kind", "a balance with its hairspring"),
        ("hall_clock", 'kind = "other"', "words", "what was seen"),
    ],
)
def test_a_finding_that_the_movement_cannot_have(tmp_path: Path, movement: str, keys: str, key: str, allowed: str):
    """A part that is not there, damage to what it has not, two ways at once, nothing measured: one clear fault at its key."""
    (said,) = faults(tmp_path, f'{HEAD}[[findings]]\nseverity = "slight"\n{keys}\n', movement)
    assert f": findings[0].{key} = " in said and allowed in said


def test_two_findings_on_one_quantity_contradict(tmp_path: Path):
    """Two angles out of beat, two wears of one hole: the second is refused and the first named; another arbor's hole is not."""
    (said,) = faults(tmp_path, HEAD + TILT + TILT)
    assert said.startswith("8:1: findings[1].kind = ") and "finding 1 of this file" in said
    hole = (
        '[[findings]]\nkind = "worn_hole"\nseverity = "slight"\narbor = "{}"\nplate = "back"\nworn_mm = 0.1\ndirection_deg = 0\n'
    )
    assert len(read(tmp_path, HEAD + hole.format("third") + hole.format("escape")).repair.findings) == 2
    oil = '[[findings]]\nkind = "poor_oil"\nseverity = "slight"\nstate = "dry"\nwhere = ["{}"]\n'
    assert len(faults(tmp_path, HEAD + oil.format("pivots") + oil.format('pallets", "pivots'))) == 1


def test_a_repair_without_findings_is_refused(tmp_path: Path):
    """Empty or left out, a repair says what was found."""
    assert "findings = missing" in faults(tmp_path, HEAD)[0]
    assert "1 to 40" in faults(tmp_path, "findings = []\n" + HEAD)[0]


@pytest.mark.parametrize(
    ("reading", "key", "allowed"),
    [
        ('when = "before"\namplitude_deg = 5.0', "amplitude_deg", "as far as these pallets reach"),
        ('when = "before"\namplitude_deg = 400.0', "amplitude_deg", "less than 360"),
        ('when = "before"\namplitude_deg = 0.0', "amplitude_deg", "more than 0"),
        ('when = "before"\ngoes = false\nrate_s_per_day = 2.0', "goes", "left out where something was measured"),
        ('when = "before"', "when", "one or more of amplitude_deg"),
        ('when = "after"\nposition = "dial up"\nrate_s_per_day = 1.0', "position", "a movement with a pendulum"),
        ('when = "after"\nbeats = "../beats.csv"', "beats", "csv"),
    ],
)
def test_a_reading_that_cannot_be(tmp_path: Path, reading: str, key: str, allowed: str):
    """Amplitudes beyond what pallets or a turn allow, beats of what stands, nothing at all: refused at the key."""
    (said,) = faults(tmp_path, f"{HEAD}{TILT}[[readings]]\n{reading}\n")
    assert f": readings[0].{key} = " in said and allowed in said


def test_a_state_is_read_once(tmp_path: Path):
    """Two readings before, wound and without a position, are one too many; in two positions they are two readings."""
    twice = '[[readings]]\nwhen = "before"\nrate_s_per_day = {}\n'
    assert "reading 1 of this file" in faults(tmp_path, HEAD + TILT + twice.format(1.0) + twice.format(2.0))[0]
    places = "".join(
        f'[[readings]]\nwhen = "before"\nposition = "{place}"\nrate_s_per_day = 1.0\n' for place in ("dial up", "crown down")
    )
    assert len(read(tmp_path, HEAD + TILT.replace("0.1", "1.0") + places, "shelf_timepiece").repair.readings) == 2


@pytest.mark.parametrize(
    ("day", "service", "says"),
    [
        ("2026-02-30", None, "Name the file after the day"),
        ("repair", None, "Name the file after the day"),
        ("2026-01-02", "2026-13-01", "a day that the calendar has"),
        ("2026-01-02", "2025-01-01", "later than the repair itself, 2026-01-02"),
        ("2026-01-02", "next year", "a day in quotes"),
    ],
)
def test_days_are_of_the_calendar(tmp_path: Path, day: str, service: str | None, says: str):
    """The file's name is the day of the repair; the next service comes after it."""
    next_service = f'next_service = "{service}"\n' if service else ""
    (said,) = faults(tmp_path, next_service + HEAD + TILT, day=day)
    assert says in said


def test_pictures_need_words_and_must_be_there(tmp_path: Path):
    """A picture without words for those who cannot see it, words without a picture, a picture outside or missing."""
    place = tmp_path / "clock" / "repairs"
    place.mkdir(parents=True)
    Image.new("RGB", (8, 8)).save(place / "one.png")
    shows = 'picture_shows = "A worn hole."\n'
    assert "with words for those" in faults(tmp_path, HEAD + TILT + 'picture = "one.png"\n')[0]
    assert "left out where there is no picture" in faults(tmp_path, HEAD + TILT + shows)[0]
    for name in ("none.png", "../../one.png", "/one.png", "one.gif"):
        assert "picture" in faults(tmp_path, f'{HEAD}{TILT}picture = "{name}"\n{shows}')[0]
    assert set(read(tmp_path, f'{HEAD}{TILT}picture = "one.png"\n{shows}').pictures) == {"one.png"}


def test_every_kind_is_a_finding_of_its_own_name():
    """The dict of kinds is the format: each kind's literal is its key, each has help for an editor and says what it is about."""
    about = seen(demo("hall_clock").movement)
    for kind, model in FINDINGS.items():
        field = schema_of(model)["properties"]["kind"]
        assert field["const"] == kind and field["description"]
        assert model.__doc__ and all(schema.get("description") for schema in schema_of(model)["properties"].values()), kind
    words = FINDINGS["other"].model_validate({"kind": "other", "severity": "slight", "words": "Dusty."})
    assert words.onto(SOUND, about) == SOUND and words.quantities(about) == () and words.anchors(about) == ("movement",)
