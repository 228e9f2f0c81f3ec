"""The tree of parts: whole, with anchors that are unique, and drives that agree with the train."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from builder.build import TEMPLATES, solve
from builder.drawing.diagrams import plates
from builder.going.going import Going, going
from builder.going.parts_tree import Tree, tree
from builder.going.parts_tree.rule import rule
from builder.ground.constants import MATERIALS
from builder.ground.faults import FaultsFound, Refused
from builder.ground.wording import Wording
from builder.movement.model import Movement
from builder.movement.reading import opened
from builder.parts.clutch import CLUTCHES
from builder.parts.escapement import ESCAPEMENTS
from tests.conftest import BuiltSite
from tests.movement_texts import Data, eight_day, movement_data, read_movement, toml

MODELS = Path(__file__).parents[2] / "models"
DEMOS = sorted(path.parent.name for path in MODELS.glob("*/movement.toml"))
WORDING = Wording.load(TEMPLATES / "wording" / "en")

CHARTS = {"beat-chart", "power-flow", "torque-ladder", "going-curves"}
"""Drawings of figures: what they mark are losses, moments and curves, no parts."""


@pytest.fixture(scope="module")
def demos() -> dict[str, Going]:
    return {slug: solve(slug, opened(MODELS / slug / "movement.toml", Movement, MODELS)) for slug in DEMOS}


def drawn(drawings: Mapping[str, str]) -> set[str]:
    """Every part that drawings (SVG by slug) mark; places of the winding's gauge are no parts."""
    found = {part for slug, svg in drawings.items() if slug not in CHARTS for part in re.findall(r'data-part="([^"]+)"', svg)}
    return {part for part in found if not part.startswith("state-")}


@pytest.mark.parametrize("slug", DEMOS)
def test_every_drawn_part_is_in_the_tree(demos: dict[str, Going], built_site: BuiltSite, slug: str) -> None:
    """What any drawing of a movement marks by name has its place in that movement's tree, and is said to be drawn there."""
    made = tree(demos[slug])
    files = {path: data for path, data in built_site.files.items() if path.startswith(f"{slug}/") and path.endswith(".svg")}
    drawings = {Path(path).stem: data.decode() for path, data in files.items()}
    assert len(drawings.keys() - CHARTS) > 8
    assert {part for part in drawn(drawings) if part not in made.nodes or not made[part].drawn} == set()


def sound(solved: Going, made: Tree) -> None:
    """The laws that hold for every movement."""
    ids = [node.id for node in made.root.walk()]
    assert [name for name, count in Counter(ids).items() if count > 1] == []
    assert all(re.fullmatch(r"[a-z][a-z0-9-]*", name) for name in ids)
    for drive in made.drives:
        assert drive.driver in made.nodes and drive.driven in made.nodes, drive
        assert drive in made.driving(drive.driver) and drive in made.driven_by(drive.driven)
    assert len(set(made.drives)) == len(made.drives)
    _agrees_with_the_train(solved, made)
    _hangs_together(solved, made)
    _has_words(made)


def _agrees_with_the_train(solved: Going, made: Tree) -> None:
    """One drive by teeth for each mesh of the train and no other; all that is toothed is in the tree with its count."""
    named = {(t.arbor, t.part): t for t in solved.plan.toothings}
    for toothing in named.values():
        assert made[toothing.id].count == (toothing.gear.teeth, toothing.noun)
    meshes = {(named[p.driver, p.driver_part].id, named[p.driven, p.driven_part].id) for p in solved.train.pairs}
    assert {(d.driver, d.driven) for d in made.drives if d.how == "mesh" and d.when == "going"} == meshes
    for pair in solved.train.pairs:
        driver, driven = (named[at] for at in ((pair.driver, pair.driver_part), (pair.driven, pair.driven_part)))
        ratio = solved.train[pair.driven].turns_per_hour / solved.train[pair.driver].turns_per_hour
        counts = [made[each.id].count for each in (driver, driven)]
        assert counts[0] and counts[1] and ratio == -Fraction(counts[0][0], counts[1][0])


def _hangs_together(solved: Going, made: Tree) -> None:
    """While it goes nothing is driven twice, nothing drives itself round, and power comes to every wheel and hand."""
    by = Counter(drive.driven for drive in made.drives if drive.when == "going")
    assert [name for name, count in by.items() if count > 1] == []
    start = {drive.driver for drive in made.drives if drive.when == "going"} - set(by)
    assert len(start) == 1 and start <= {"weight", "mainspring"}
    reached, waiting = set(start), [drive for drive in made.drives if drive.when == "going"]
    while moving := [drive for drive in waiting if drive.driver in reached]:
        reached |= {drive.driven for drive in moving}
        waiting = [drive for drive in waiting if drive not in moving]
    assert waiting == []
    shown = {"seconds-hand" if shows == "seconds" else f"{shows[:-1]}-hand" for shows, _ in solved.train.hands}
    assert {t.id for t in solved.plan.toothings} | {"escape-wheel", "pallets"} | shown <= reached


def _has_words(made: Tree) -> None:
    """Each kind of part has its sentence, its name unless the movement names it, and a word for its material."""
    for node in made.root.walk():
        kind = f"parts_tree.kinds.{node.kind}"
        assert f"{kind}.does" in WORDING, node.kind
        assert node.title or f"{kind}.name" in WORDING, node.kind
        assert node.material is None or f"parts_tree.materials.{node.material}" in WORDING, node.material
        assert node.count is None or f"parts_tree.nouns.{node.count[1]}" in WORDING
    for drive in made.drives:
        assert f"parts_tree.how.{drive.how}" in WORDING and f"parts_tree.page.{drive.when}" in WORDING


@pytest.mark.parametrize("slug", DEMOS)
def test_demo_movements(demos: dict[str, Going], slug: str) -> None:
    """Every demo movement's tree keeps the laws."""
    sound(demos[slug], tree(demos[slug]))


SMALLEST = {
    "hall_clock": """
        weight-hook pulley-pin cord-knot drum-flanges click-screw click-spring-foot great-key-pin centre-wheel-collet
        third-arbor-pivots escape-arbor-hand-pivot centre-arbor-pin-hole pallet-arbor-collet crutch-foot suspension-strip
        suspension-pin pendulum-rod-thread rating-nut back-cock-steady-pins back-cock-suspension-slot hand-pin hand-collet
        tension-spring minute-post-pin minute-hand-boss hour-wheel-pipe dial-feet-pins pillar-pins front-plate-sinks
    """,
    "pocket_watch": """
        barrel-hook cover-notch inner-end outer-end ratchet-screw click-screw pallets-entry-stone pallets-horns pallets-guard
        roller-impulse-pin hairspring-collet-pin stud-pin balance-screws balance-cock-screws cannon-pinion-snap stem-groove
        setting-lever-screw setting-lever-spring yoke-spring crown-wheel-screw setting-wheel-1-wheel-stud pillar-pins
    """,
    "schoolroom_dial": """
        chain-links chain-hooks stop-iron-spring set-up-click-screw fusee-groove fusee-stop-piece barrel-line-hole
    """,
    "shelf_timepiece": """
        great-arbor-hook outer-end spring-washer clutch-collet centre-bush balance-screw-cup balance-cup-lock-nut
    """,
}
"""What an examiner may ask for down to the smallest, by movement (common practice, no source)."""


@pytest.mark.parametrize("slug", SMALLEST)
def test_down_to_the_smallest(demos: dict[str, Going], slug: str) -> None:
    """Screws, pins, hooks, collets and bushes of a movement have their place in its tree."""
    assert set(SMALLEST[slug].split()) - tree(demos[slug]).nodes.keys() == set()


def test_a_regulator_only_where_there_is_one(demos: dict[str, Going]) -> None:
    """No movement whose file gives no regulator has one in its tree, nor is it spoken of there; with one, its pins are there."""

    def spoken(made: Tree) -> set[str]:
        said = {node.id: str(WORDING[f"parts_tree.kinds.{node.kind}"]).lower() for node in made.root.walk()}
        return {name for name, text in said.items() if "regulator" in text or "curb" in text}

    for solved in demos.values():
        assert spoken(tree(solved)) == set()
    watch = demos["pocket_watch"]
    spring = watch.movement.oscillator.hairspring.model_copy(update={"regulator_mm": 6.0})
    oscillator = watch.movement.oscillator.model_copy(update={"hairspring": spring})
    made = tree(replace(watch, movement=watch.movement.model_copy(update={"oscillator": oscillator})))
    assert spoken(made) == {"regulator", "regulator-pins", "regulator-pointer"}


@pytest.mark.parametrize("slug", DEMOS)
def test_power_passes_ratchet_and_click(demos: dict[str, Going], slug: str) -> None:
    """Where the click is on the first wheel, drum, fusee or arbor push that wheel over ratchet and click; a going barrel pushes
    it itself, and its click only holds what was wound (common practice, no source)."""
    made = tree(demos[slug])
    over = [(d.driver, d.driven) for d in made.drives if d.when == "going" and "click" in (d.driver, d.driven)]
    if demos[slug].movement.source.kind == "going_barrel":
        assert over == []
    else:
        (first,) = [d.driven for d in made.driving("click", "going")]
        assert over == [("ratchet-wheel", "click"), ("click", first)]
        assert first in {t.id for t in demos[slug].plan.toothings if t.arbor == demos[slug].train.path[0]}
    assert {d.driver for d in made.driven_by("click", "winding")} == {"ratchet-wheel", "click-spring"}


def sources() -> list[Data]:
    """Each kind of source by its counts, and a weight on one line or two."""
    weights: list[Data] = [{"kind": "weight", "mass_kg": 3.0, "drum_diameter_mm": 40.0, "lines": lines} for lines in (1, 2)]
    return [*weights, {"kind": "open_spring"}, {"kind": "going_barrel"}, {"kind": "fusee"}]


def swings() -> list[tuple[Data, Data]]:
    """Escapements with oscillators that they go with, and what is only counted."""
    counted = {"kind": "counted", "name": "Counted"}
    pendulum = {"kind": "pendulum", "rod": {"material": "wood", "length_mm": 1090.0, "width_mm": 20.0, "thickness_mm": 8.0}}
    pendulum |= {"bob": {"shape": "cylinder", "material": "lead", "mass_g": 5000.0, "diameter_mm": 80.0, "height_mm": 120.0}}
    balance = {"kind": "balance", "diameter_mm": 19.0, "inertia_mg_cm2": 680.0}
    balance |= {"hairspring": {"height_mm": 0.4, "length_mm": 180.0, "coils": 11.0}}
    anchors: list[Data] = [{"kind": kind, "radius_mm": 18.0, "direction_deg": 90} for kind in ("recoil_anchor", "dead_beat")]
    levers: list[Data] = [
        {"kind": kind, "radius_mm": 5.0, "direction_deg": 90} for kind in ("club_lever", "pin_lever", "cylinder")
    ]
    pairs = [(anchor, pendulum) for anchor in anchors] + [(lever, balance) for lever in levers]
    return [*pairs, ({**counted, "beats_per_tooth": 2}, {"kind": "counted", "name": "Foliot"})]


COUNTS = ("cannon_leaves", "minute_wheel_teeth", "minute_pinion_leaves", "hour_wheel_teeth")
WORKS: list[Data | None] = [
    None,
    *({"kind": "minute_and_hour", **dict(zip(COUNTS, counts, strict=True))} for counts in ((12, 36, 10, 40), (36, 36, 6, 72))),
]


@st.composite
def any_movement(draw: st.DrawFn) -> Data:
    """Wheels, source, escapement, oscillator, motion work, clutch and hands by chance, in one straight line of arbors."""
    count = draw(st.integers(2, 4))
    pinions = draw(st.lists(st.sampled_from([6, 7, 8, 10, 12]), min_size=count, max_size=count))
    wheels = [draw(st.integers(5, 9)) * leaves for leaves in pinions]
    escape, oscillator = draw(st.sampled_from(swings()))
    teeth = 30 if escape["kind"] in ("recoil_anchor", "dead_beat") else 15
    modules = [2.0]
    for n in range(1, count):  # each wheel clear of the arbor before
        modules.append(0.7 * modules[-1] * (wheels[n - 1] + pinions[n - 1]) / wheels[n])
    if "radius_mm" in escape:
        escape = {**escape, "radius_mm": round(0.25 * modules[-1] * (wheels[-1] + pinions[-1]), 2)}
    work = draw(st.sampled_from(WORKS))
    hands: Data = {"hands": {"second": "minutes"}}
    more: Data = {"motion_work": {**work, "on": "second", "module_mm": 0.8}} if work else hands
    data = movement_data(wheels, pinions, teeth, modules_mm=modules, directions_deg=[90.0] * count, **more)
    data["movement"]["sort"] = draw(st.sampled_from(["clock", "watch", "timepiece"]))
    data["source"] = {**draw(st.sampled_from(sources())), "arbor": "great"}
    data["escapement"] = {**escape, "arbor": "escape", "teeth": teeth}
    data["oscillator"] = dict(oscillator)
    if work and draw(st.booleans()):
        kind = draw(st.sampled_from(["spring_washer", "bow_spring", "snapped_pinion", "slotted_pinion"]))
        data["motion_work"]["clutch"] = {"kind": kind, "torque_nmm": 5.0}
    if draw(st.booleans()):
        data["keyless"] = {"setting_wheels": draw(st.lists(st.integers(12, 30), min_size=1, max_size=3))}
    if oscillator["kind"] != "pendulum" and draw(st.booleans()):  # a rod of one length suits few of these trains
        data["plates"] = {"width_mm": 400.0, "height_mm": 700.0, "centre_mm": [0.0, 200.0]}
    if draw(st.booleans()):
        data["parts"] = [{"name": "Great wheel", "under": "great-wheel", "does": "Bears a name twice."}]
    return data


@given(any_movement())
@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
def test_any_movement(tmp_path_factory: pytest.TempPathFactory, data: Data) -> None:
    """Whatever movement can be at all has a tree that keeps the laws, with all that its drawings mark."""
    try:
        solved = going("any", read_movement(tmp_path_factory.mktemp("any"), data).model)
    except (Refused, FaultsFound):
        assume(False)
        raise
    made = tree(solved)
    sound(solved, made)
    assert drawn({slug: plate.sheet.svg() for slug, plate in plates(solved, WORDING).items()}) <= set(made.nodes)


def test_own_parts_stand_where_the_file_puts_them(tmp_path: Path) -> None:
    """An entry of the file lies under the part that it names, under an anchor of its own, also one that it made itself."""
    data = eight_day()
    data["parts"] = [
        {"name": "Moon disc", "under": "hands", "does": "Shows the moon."},
        {"name": "Moon disc", "does": "Another.", "material": "painted iron", "worn": "Flaked paint."},
        {"name": "Click of the disc", "under": "moon-disc", "does": "Holds it."},
    ]
    made = tree(going("moon", read_movement(tmp_path, data).model))
    assert [node.id for node in made["hands"].inner][-1] == "moon-disc"
    assert [node.id for node in made["moon-disc"].inner] == ["click-of-the-disc"]
    own = made.root.inner[-1]
    assert own.id == "moon-disc-2" and own.other is not None and own.other.worn == "Flaked paint."


def test_an_entry_under_nothing_is_a_fault(tmp_path: Path) -> None:
    """A part under a part that is not there is refused, at its place in the file, with what there is."""
    data = eight_day()
    data["parts"] = [{"name": "Moon disc", "under": "moon-dial", "does": "Shows the moon."}]
    file = read_movement(tmp_path, toml(data))
    with pytest.raises(FaultsFound) as caught:
        solve("moon", file)
    (fault,) = caught.value.faults
    assert "moon-dial" in str(fault) and "great-wheel" in str(fault) and fault.line


def test_every_kind_has_its_words() -> None:
    """Kinds that bring parts of their own are told of: escapements, frictions of the hands, materials of lines and bobs."""
    for kind in ESCAPEMENTS:
        pallets = "cylinder" if kind == "cylinder" else f"pallets-{kind}"
        for part in (f"escape-wheel-{kind}", pallets):
            assert f"parts_tree.kinds.{part}.worn" in WORDING, part
    for kind in CLUTCHES:
        assert f"setting.clutch.{kind}" in WORDING and f"facts.force_{kind}.label" in WORDING
    for material in MATERIALS:
        assert f"parts_tree.materials.{material}" in WORDING, material


EXCEPTIONS = {
    "hall_clock": {"great", "escape", "numbered", "cannon_wheel", "reversed", "minute_pinion", "minute_name", "hour", "ratchet"},
    "pocket_watch": {
        *("barrel", "escape", "numbered", "cannon_pinion", "reversed", "minute_pinion", "minute_name", "hour"),
        *("ratchet_crown", "balance", "keyless"),
    },
}


@pytest.mark.parametrize("slug", EXCEPTIONS)
def test_the_rule_and_its_exceptions(demos: dict[str, Going], slug: str) -> None:
    """Every toothed part of the movement is counted as wheel or pinion, and just the exceptions that apply are said."""
    found = rule(demos[slug], tree(demos[slug]))
    assert len(found.wheels) + len(found.pinions) == len(demos[slug].plan.toothings)
    assert {key for key, _ in found.exceptions} == EXCEPTIONS[slug]
    assert all(f"parts_tree.rule.{key}" in WORDING for key, _ in found.exceptions)
    assert all(WORDING.say(f"parts_tree.rule.{key}", **facts) for key, facts in found.exceptions)
