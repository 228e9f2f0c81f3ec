"""Repairs as pages: every kind of finding has its words, figures are those that were solved, no text becomes markup."""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path

import pytest

from builder.bench.mended import Mended, mended
from builder.build import TEMPLATES
from builder.drawing.diagrams import train_plan
from builder.going.going import going
from builder.going.repair import Repaired
from builder.ground.faults import FaultsFound
from builder.ground.words import figure
from builder.movement.collection import Collection
from builder.movement.reading import read
from builder.movement.repair import repairs
from builder.pages.press import Press
from builder.pages.repairs import customer, drawn, gallery, readings
from builder.pages.repairs.files import files
from builder.pages.repairs.said import Said, long, plain
from builder.pages.shown import Shown
from builder.pages.stations.repairs import context as station
from builder.parts.finding import FINDINGS
from tests.conftest import BuiltSite
from tests.drawing.drawn import figures
from tests.going.faulty import found
from tests.lessons.asked import plates
from tests.movement_texts import eight_day, read_movement
from tests.solved import MODELS, demo, wording

HEAD = 'title = "Going again"\nobject = { name = "Clock", kind = "clock" }\n'

SAMPLES: dict[str, tuple[str, list[dict[str, object]]]] = {
    "tired_mainspring": ("shelf_timepiece", [{"torque_part": 0.7}, {"turns_lost": 1.0}]),
    "poor_oil": (
        "hall_clock", [{"state": "dry", "where": ["pivots", "teeth", "pallets"]}, {"state": "thick", "where": ["oscillator"]}]
    ),
    "worn_hole": (
        "hall_clock",
        [{"arbor": arbor, "plate": "back", "worn_mm": 0.2, "direction_deg": 30} for arbor in ("third", "pallets")],
    ),
    "worn_pallet": ("hall_clock", [{"pallet": "exit", "face": "impulse face", "depth_mm": 0.1}]),
    "hurt_tooth": ("hall_clock", [{"arbor": "centre", "harm": "missing"}, {"arbor": "centre", "harm": "bent", "by_mm": -0.1}]),
    "worn_leaves": ("hall_clock", [{"arbor": "third", "depth_mm": 0.05}]),
    "out_of_beat": ("hall_clock", [{"by_deg": -0.2}]),
    "hand_friction": ("hall_clock", [{"state": "slack", "torque_nmm": 1.0}, {"state": "tight", "torque_nmm": 90.0}]),
    "wrong_rating": ("hall_clock", [{"bob_down_mm": -2.0}, {"longer_mm": 1.0}, {"stiffer_part": -0.02}, {"nut_turns": 2.0}]),
    "damaged_suspension": ("hall_clock", [{"width_left": 0.5, "longer_mm": -1.0, "loss_times": 2.0}]),
    "magnetised": ("shelf_timepiece", [{"rate_s_per_day": 40.0}]),
    "other": ("hall_clock", [{"words": "Something."}]),
}  # fmt: skip


@cache
def press() -> Press:
    """Of the demo collection."""
    return Press.of(read(MODELS / "collection.toml", Collection, MODELS), TEMPLATES)


@cache
def mended_demo(slug: str) -> Mended:
    """The demo repair of a movement, solved once."""
    folder = MODELS / slug / "repairs"
    (job,) = repairs(MODELS, slug, demo(slug).movement)
    return mended(demo(slug), job, folder, MODELS)


@cache
def shown(slug: str) -> Shown:
    """The movement with its repair."""
    return Shown(demo(slug), plates(slug), "", {}, (mended_demo(slug),))


@cache
def pages(slug: str) -> dict[str, str]:
    """The text of its repair's pages."""
    made = files(shown(slug), press(), {})
    return {path.rsplit("/", 1)[1]: data.decode() for path, data in made.items() if path.endswith(".html")}


def unsolved(folder: Path, slug: str, text: str) -> Said:
    """A repair file in words, without anything solved."""
    path = folder / slug / "repairs" / "2026-01-02.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(HEAD + text, "utf-8")
    (job,) = repairs(folder, slug, demo(slug).movement)
    sound = demo(slug)
    return Said(Repaired(job, sound, sound, sound, (), (), (), None, None), wording())


def test_every_kind_of_finding_has_its_words(tmp_path: Path) -> None:
    """Each kind, in each severity and each way of measuring it, comes out as whole sentences with all figures filled in."""
    assert SAMPLES.keys() == FINDINGS.keys()
    for kind, (slug, samples) in SAMPLES.items():
        said = unsolved(tmp_path, slug, '[[findings]]\nkind = "other"\nseverity = "slight"\nwords = "x"\n')
        for keys in samples:
            for severity in ("slight", "marked", "severe"):
                finding = found(kind, **keys).model_copy(update={"severity": severity})
                sentences = [said.heading(finding), said.what(finding), said.meant(finding)]
                assert all(not re.search(r"[{}]", each) for each in sentences)
                assert sentences[2].endswith(".") and (kind == "other" or sentences[1].endswith("."))


def test_a_movement_without_repairs_has_no_such_pages(built_site: BuiltSite) -> None:
    """No station, no files, no word of it in its navigation."""
    with_repairs = {path.parent.parent.name for path in MODELS.glob("*/repairs/*.toml")}
    for slug in {path.partition("/")[0] for path in built_site.files if path.endswith("/index.html")} - with_repairs:
        assert not any(path.startswith(f"{slug}/repair") for path in built_site.files)
        assert b"repairs.html" not in built_site.files[f"{slug}/index.html"]
    assert station(Shown(demo("pocket_watch"), {}, "", {}), wording()) is None
    for slug in with_repairs:
        assert b"repairs.html" in built_site.files[f"{slug}/index.html"]


def test_what_stays_in_the_folder(built_site: BuiltSite) -> None:
    """Of a folder of repairs the pictures that a finding names are published, and neither the files themselves nor beats."""
    published = {path for path in built_site.files if "/repairs/" in path}
    assert {path.rsplit(".", 1)[1] for path in published} == {"html", "png"}


@pytest.mark.parametrize("slug", ["hall_clock", "shelf_timepiece"])
def test_the_bench_page_has_the_figures_that_were_solved(slug: str) -> None:
    """Amplitude, torque and reserve of every state and side; every fault with what it costs; why it stops."""
    (text,) = (text for name, text in pages(slug).items() if name.endswith("-bench.html"))
    repaired = mended_demo(slug).repaired
    for state in (*repaired.states_before, *repaired.states_after):
        for value, digits in ((state.amplitude_deg, 4), (state.escape_nmm, 3), (state.reserve, 3)):
            assert value is None or f">{figure(value, digits)}<" in text
        if state.stops is not None:
            assert html.escape(state.stops.text, quote=False) in text
    costs = [each.costs_deg for each in sorted(repaired.alone, key=lambda one: -one.costs_deg)]
    rows = re.findall(r'<tr[^>]*><th scope="row">\d+\. [^<]*</th>(.*?)</tr>', text)
    assert [float(re.findall(r">(−?[\d.]+)<", row.replace("stops", "0"))[2].replace("−", "-")) for row in rows] == [
        pytest.approx(cost, abs=0.006) for cost in costs
    ]


def test_measured_beats_are_read_beside_computed_ones() -> None:
    """Both traces, before and after, are drawn and read; what is read from the beats is what the file says beside them."""
    one = mended_demo("shelf_timepiece")
    assert len(one.beats) == 2
    for index, measured in one.beats.items():
        written = one.repaired.repair.readings[index]
        assert written.rate_s_per_day is not None and written.beat_error_ms is not None and written.amplitude_deg is not None
        taken = one.read(measured.noises)
        assert taken.rate_s_per_day == pytest.approx(written.rate_s_per_day, abs=1.5)
        assert taken.beat_error_ms == pytest.approx(written.beat_error_ms, abs=0.1)
        assert taken.amplitude_deg == pytest.approx(written.amplitude_deg, abs=2.0)
    (group,) = readings.traces(one, Said(one.repaired, wording()))
    assert [row["beats"] for row in group["rows"]] == ["120", "120", "116", "119"]
    assert [row["missed"] for row in group["rows"]][2:] == ["4", "1"]


def test_faults_of_findings_and_of_beats_are_said_together(tmp_path: Path) -> None:
    """A file of beats that cannot be read and a finding that cannot be: each at its place."""
    folder = tmp_path / "hall_clock" / "repairs"
    folder.mkdir(parents=True)
    (folder / "bad.csv").write_text("1.0\nhello\n", "utf-8")
    finding = '[[findings]]\nkind = "hand_friction"\nseverity = "slight"\nstate = "tight"\ntorque_nmm = 0.0001\n'
    read_so = '[[readings]]\nwhen = "before"\nbeats = "bad.csv"\n'
    (folder / "2026-01-02.toml").write_text(HEAD + finding + read_so, "utf-8")
    sound = demo("hall_clock")
    (job,) = repairs(tmp_path, "hall_clock", sound.movement)
    with pytest.raises(FaultsFound) as raised:
        mended(sound, job, folder, tmp_path)
    said = [str(fault) for fault in raised.value.faults]
    assert any("repairs/2026-01-02.toml:7" in each for each in said) and any("repairs/bad.csv:2:1" in each for each in said)


def test_words_of_a_file_do_not_become_markup(tmp_path: Path) -> None:
    """Title, words, advice and parts full of markup come out as text."""
    nasty = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    folder = tmp_path / "hall_clock" / "repairs"
    folder.mkdir(parents=True)
    (folder / "2026-01-02.toml").write_text(
        f"title = '{nasty}'\nsummary = '{nasty}'\nadvice = ['{nasty}']\nobject = {{ name = '{nasty}', kind = '{nasty}' }}\n"
        f'[[findings]]\nkind = "other"\nseverity = "slight"\nwords = \'{nasty}\'\n'
        f"[[work]]\ndid = '{nasty}'\n[[replaced]]\npart = '{nasty}'\nby = '{nasty}'\n",
        "utf-8",
    )
    sound = demo("hall_clock")
    (job,) = repairs(tmp_path, "hall_clock", sound.movement)
    made = files(Shown(sound, plates("hall_clock"), "", {}, (mended(sound, job, folder, tmp_path),)), press(), {})
    for path, data in made.items():
        assert b"<script>alert" not in data and b"<img src=x" not in data, path
    assert any(b"&lt;script&gt;alert" in data for data in made.values())


def test_the_plan_marks_what_the_findings_are_about() -> None:
    """Each finding that is to be seen has one number; what is not to be seen is said."""
    one = mended_demo("hall_clock")
    sheet, unseen = drawn.marked(shown("hall_clock"), one.repaired, Said(one.repaired, wording()))
    numbers = [text.text for each, _ in figures(sheet) for text in each.words if "number" in text.classes]
    assert sorted(map(int, numbers)) + unseen == list(range(1, len(one.repaired.repair.findings) + 1))
    marked = {each.part for each, _ in figures(sheet) if "marked" in each.classes.split() and each.part}
    assert marked == {"pallets"}, "the crutch goes with the pallets, pivots have rings"
    assert not sheet.moves() and not sheet.states


def test_the_story_says_that_none_alone_would_have_stopped_it() -> None:
    """Three findings stop the hall clock together, and none by itself."""
    told = Said(mended_demo("hall_clock").repaired, wording()).story()
    assert told[0] == wording().say("repairs.story.before_all")
    assert wording().say("repairs.story.none_alone") in told
    quiet = Said(mended_demo("shelf_timepiece").repaired, wording()).story()
    assert wording().say("repairs.story.none_alone") not in quiet and "half wound" in quiet[0]


def test_a_weight_does_not_run_down() -> None:
    """A weight pulls alike all the way: of its clock no page says that it was wound, half wound or nearly run down; of a spring's
    clock they do."""
    states = set(wording()["repairs.states"].values()) - {wording()["repairs.states.joined"]}

    def said(slug: str) -> set[str]:
        told = Said(mended_demo(slug).repaired, wording())
        texts = [*told.story(), *(text for index in range(len(told.repaired.repair.findings)) for text in told.effects(index))]
        texts += [told.state(winding.name) for winding in demo(slug).windings]
        return {state for state in states for text in texts if re.search(rf"\b{state}\b", text)}

    assert said("hall_clock") == set()
    assert {"half wound", "nearly run down"} <= said("shelf_timepiece")


def test_readings_say_their_difference() -> None:
    """Measured less computed, with its sign; what stood and was computed to stand has nothing more to say."""
    one = mended_demo("shelf_timepiece")
    table = readings.table(one, Said(one.repaired, wording()))
    assert table is not None
    first = table["rows"][0]["cells"][0]
    computed = one.repaired.readings[0].amplitude_deg
    assert computed is not None and first["measured"] == "190"
    assert float(first["difference"].replace("−", "-")) == pytest.approx(190 - computed, abs=0.51)
    stood = readings.table(mended_demo("hall_clock"), Said(mended_demo("hall_clock").repaired, wording()))
    assert stood is not None and len(stood["rows"][0]["cells"]) == 1


def test_pages_are_small() -> None:
    """A page as it stands has at most 300 KB, so that it is some 60 KB as it is sent."""
    for slug in ("hall_clock", "shelf_timepiece"):
        for name, text in pages(slug).items():
            assert len(text.encode()) < 300_000, name


def test_the_gallery_has_each_sort_of_wear_once() -> None:
    """Of the first movement that has the part; of pallets, each escapement."""
    told = [gallery.tell(Shown(demo(slug), {}, "", {}), press()) for slug in ("hall_clock", "shelf_timepiece")]
    text = gallery.wear(told, press())[gallery.PAGE].decode()
    titles = re.findall(r"<h2>(.*?)</h2>", text)
    sorts = [wording().say(f"repairs.wear.{sort}.title") for sort in gallery.ORDER]
    assert set(titles) == set(sorts) and len(titles) == len(sorts) + 1
    assert len(set(re.findall(r'\bid="([^"]*)"', text))) == len(re.findall(r'\bid="', text))


@pytest.mark.parametrize(("value", "text"), [(0.25, "0.25"), (5.0, "5"), (0.05, "0.05"), (1234.5, "1230")])
def test_given_figures_keep_their_digits(value: float, text: str) -> None:
    """Neither more nor fewer than were given."""
    assert plain(value) == text


def test_times_as_one_says_them() -> None:
    """Seconds, then minutes."""
    assert long(12.3) == "12\u202fs" and long(119) == "120\u202fs" and long(600) == "10\u202fmin"


def test_the_customer_is_told_what_can_hurt() -> None:
    """Weight and spring each have their caution, with the energy that is in them."""
    for slug in ("hall_clock", "shelf_timepiece"):
        made = customer.context(shown(slug), mended_demo(slug), wording(), lambda _: None)
        assert made["caution"] and any("J" in sentence for sentence in made["caution"])


def test_a_movement_that_is_only_counted(tmp_path: Path) -> None:
    """Nothing is solved: the pages say so, show what was found and measured, and leave out all the rest."""
    model = read_movement(tmp_path, eight_day()).model
    counted = going("counted", model)
    assert counted.beat is None
    folder = tmp_path / "counted" / "repairs"
    folder.mkdir(parents=True)
    beat_s = float(counted.train.beat_s)
    (folder / "beats.csv").write_text("".join(f"{1 + k * beat_s * 1.0001:.5f}\n" for k in range(60)), "utf-8")
    arbor = model.meshes[0].driven
    (folder / "2026-01-02.toml").write_text(
        f'{HEAD}[[findings]]\nkind = "other"\nseverity = "slight"\nwords = "Dusty."\n'
        f'[[findings]]\nkind = "worn_hole"\nseverity = "marked"\narbor = "{arbor}"\nplate = "back"\nworn_mm = 0.05\n'
        'direction_deg = 90\n[[findings]]\nkind = "worn_hole"\nseverity = "slight"\narbor = "pallets"\nplate = "front"\n'
        "worn_mm = 0.05\ndirection_deg = 0\n"
        '[[readings]]\nwhen = "before"\ngoes = false\n[[readings]]\nwhen = "after"\nbeats = "beats.csv"\n',
        "utf-8",
    )
    (job,) = repairs(tmp_path, "counted", model)
    one = mended(counted, job, folder, tmp_path)
    told = Said(one.repaired, wording())
    of = Shown(counted, {"train-front": train_plan.front(counted, wording())}, "", {}, (one,))
    made = customer.context(of, one, wording(), lambda _: None)
    assert made["running"] is None and made["story"] == [] and len(made["findings"][1]["pictures"]) == 1
    sheet, unseen = drawn.marked(of, one.repaired, told)
    assert unseen == [1, 3] and not any("marked" in each.classes.split() and each.part for each, _ in figures(sheet))
    (group,) = readings.traces(one, told)
    assert group["rows"][0]["rate"] == "−8.6"
    (text,) = (data.decode() for path, data in files(of, press(), {}).items() if path.endswith("-bench.html"))
    assert wording().say("repairs.bench.not_solved") in text


@pytest.mark.parametrize(("direction_deg", "how"), [(90, "far less"), (270, "far more"), (0, "quite elsewhere")])
def test_a_worn_pallet_hole_says_which_way(tmp_path: Path, direction_deg: float, how: str) -> None:
    """The hall clock's pallets stand above the wheel: a hole worn upwards parts them, one worn downwards brings them too near,
    one worn to the side does neither."""
    said = unsolved(tmp_path, "hall_clock", '[[findings]]\nkind = "other"\nseverity = "slight"\nwords = "x"\n')
    hole = found("worn_hole", arbor="pallets", plate="back", worn_mm=0.3, direction_deg=direction_deg)
    assert how in said.meant(hole.model_copy(update={"severity": "severe"}))
    assert how not in said.meant(hole.model_copy(update={"severity": "slight"}))
