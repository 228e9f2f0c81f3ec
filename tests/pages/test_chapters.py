"""The chapters: whole for every valid movement, led step by step, with its own figures in sentences that can be read."""

from __future__ import annotations

import re
import shutil
import tomllib
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import jinja2
import pytest

from builder.build import build_site, solve
from builder.drawing import diagrams
from builder.ground.wording import Wording
from builder.ground.words import THIN
from builder.linkcheck import check_links
from builder.pages.chapters import chapters, text
from builder.pages.chapters.show import Stage, UnreadableError, show
from builder.pages.glossary import Glossary
from builder.pages.shown import Shown
from tests.conftest import BuiltSite
from tests.movement_texts import Data, eight_day, movement_data, read_movement, write_collection, write_movement
from tests.pages.chapters_helper import CHAPTERS, chapter_pages, plain, sentences
from tests.pages.plan_helper import faults

ROOT = Path(__file__).parents[2]
TEXTS = ROOT / "templates" / "wording" / "en" / "chapters"

PLATES = ("train-front", "winding", "power-flow", "escapement", "oscillator", "motion-work", "setting")
"""The drawings that chapters use."""
UNMARKED = {
    "It goes", "It stands", "Seconds come for nothing", "Turns instead of hands", "What is left", "What is left is not enough",
}  # fmt: skip
"""Steps that speak of the whole drawing, or of what a drawing does not have as a part."""


@pytest.fixture(scope="module")
def odd_site(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Movements that the demo has none of: one that stops, one only counted, one hand, no hand, no motion work."""
    models = tmp_path_factory.mktemp("odd")
    write_collection(models)
    shutil.copytree(ROOT / "tests" / "models" / "light_weight", models / "stopped")
    write_movement(models, eight_day(), "counted")
    write_movement(models, one_hand(), "one_hand")
    write_movement(models, bench_train(), "bench")
    write_movement(models, seconds_only(), "seconds_only")
    return build_site(models)


def laid_out(data: Data) -> Data:
    """Counted, with directions and modules, so that it can be drawn."""
    for mesh, (module, direction) in zip(data["meshes"], ((1.0, 90), (0.9, 60), (0.85, 124)), strict=True):
        arbor = next(each for each in data["arbors"] if each["id"] == mesh["driver"])
        arbor["wheel"]["module_mm"] = module
        mesh["direction_deg"] = direction
    return data


def one_hand() -> Data:
    work = {
        "kind": "hour_only",
        "on": "great",
        "pinion_leaves": 8,
        "hour_wheel_teeth": 48,
        "module_mm": 0.9,
        "direction_deg": 270,
    }
    return laid_out(movement_data([66, 50, 45], [6, 5, 5], 15, source="open_spring", motion_work=work))


def bench_train() -> Data:
    return laid_out(movement_data([96, 64, 60], [8, 8, 8], 30, beats_per_hour=3600, source="fusee"))


def seconds_only() -> Data:
    return laid_out(movement_data([96, 64, 60], [8, 8, 8], 30, source="going_barrel", hands={"escape": "seconds"}))


def test_every_movement_has_all_chapters(built_site: BuiltSite) -> None:
    """Eight pages each, one leading to the next, each with its place in the path of power, and a way in from every page."""
    for movement in (ROOT / "models").glob("*/movement.toml"):
        slug = movement.parent.name
        for n, key in enumerate(CHAPTERS):
            html = built_site.files[f"{slug}/learn-{key}.html"].decode()
            assert re.search(rf'<nav class="path".*?learn-{key}.html" aria-current="page"', html, re.DOTALL)
            assert ('rel="prev"' in html) == (n > 0)
            onwards = (
                f'href="learn-{CHAPTERS[n + 1]}.html" rel="next"' if n + 1 < len(CHAPTERS) else 'class="key" href="index.html"'
            )
            assert onwards in html
        others = [path for path in built_site.files if re.fullmatch(rf"{slug}/(?!learn-|lesson)[\w-]+\.html", path)]
        assert len(others) >= 6
        for path in others:
            assert f'href="../{slug}/learn-movement.html"' in built_site.files[path].decode(), path


def test_odd_movements_have_them_too(odd_site: dict[str, bytes]) -> None:
    """Whatever is missing or unusual, each chapter is there, finished, and leads nowhere wrong."""
    assert check_links(odd_site) == []
    pages = chapter_pages(odd_site)
    assert len(pages) == 5 * len(CHAPTERS)
    for page in pages:
        assert not re.search(r"\b(None|Undefined)\b|\{\{|\{%|  of |\( ", page.text), page.path
        assert page.steps, page.path


@pytest.mark.parametrize("slug", ["stopped", "counted", "one_hand", "bench", "seconds_only"])
def test_odd_movements_have_their_lesson_plan(odd_site: dict[str, bytes], slug: str) -> None:
    """All their steps are in it, and nothing is said of what they lack."""
    assert faults(odd_site, slug) == []


def test_what_stops_says_so(odd_site: dict[str, bytes]) -> None:
    """A clock whose weight is too light has the reason in its chapters, and no figure of a swing that it does not make."""
    pages = {page.path.split("learn-")[1]: page.text for page in chapter_pages(odd_site, "stopped")}
    reason = "from there up the wheel gives it at most 36\u202f% of what it loses"
    assert all(reason in pages[f"{key}.html"] for key in ("movement", "losses", "escapement", "oscillator"))
    assert "swings 2." not in pages["oscillator.html"].replace("as long as it swings 2.00", "")


CYLINDER = {"club_lever": "cylinder", "radius_mm = 3.6": "radius_mm = 3.4", "height_mm = 0.18": "height_mm = 0.5"}
"""The pocket watch with a cylinder instead of its lever."""
HEAVY = {"inertia_mg_cm2 = 150.0": "inertia_mg_cm2 = 600.0", "thickness_mm = 0.16": "thickness_mm = 0.11"}


@pytest.mark.parametrize("change", [HEAVY, {}], ids=["runs", "swings too wide"])
def test_a_cylinder_has_its_chapters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: dict[str, str]) -> None:
    """An escapement without lever is told without one; driven too hard, the watch stands, and the chapters say why."""
    file = (ROOT / "models" / "pocket_watch" / "movement.toml").read_text("utf-8")
    for old, new in (CYLINDER | change).items():
        assert old in file
        file = file.replace(old, new, 1)
    going = solve("cylinder", read_movement(tmp_path, file, "cylinder"))
    wording = Wording.load(TEXTS.parent)
    monkeypatch.setattr(diagrams, "DIAGRAMS", {slug: diagrams.DIAGRAMS[slug] for slug in PLATES})
    made = dict(chapters(Shown(going, diagrams.plates(going, wording), "", {}), TEXTS, wording, Glossary.of(wording), {}))
    assert [name.removeprefix("learn-").removesuffix(".html") for name in made] == list(CHAPTERS)
    told = {key: plain(" ".join(step["html"] for step in made[f"learn-{key}.html"]["steps"])) for key in CHAPTERS}
    if change:
        assert "frictional rest" in told["escapement"] and "inside" in told["escapement"]
        assert "lever" not in told["escapement"] + told["oscillator"]
    else:
        assert "as far as the pallets reach" in told["escapement"]
        assert "dies down" not in told["escapement"] + told["oscillator"]


def test_each_kind_has_its_own_text(built_site: BuiltSite, odd_site: dict[str, bytes]) -> None:
    """No kind of source or escapement is told with another's words."""
    demo = ("hall_clock", "shop_regulator", "pocket_watch", "shelf_timepiece")
    odd = ("counted", "stopped")
    pages = dict.fromkeys(demo, built_site.files) | dict.fromkeys(odd, odd_site)
    titles = {
        slug: re.findall(r"<h1>(.*?)</h1>", files[f"{slug}/learn-escapement.html"].decode())[0] for slug, files in pages.items()
    }
    assert len(set(titles.values())) == len(titles), titles


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch", "schoolroom_dial", "shelf_timepiece", "shop_regulator"])
def test_steps_lead_the_drawing(built_site: BuiltSite, slug: str) -> None:
    """Each step asks for what its drawing has: parts, a span of time that is not empty, a speed that has a name."""
    speeds = {
        speed for speed, _ in tomllib.loads((ROOT / "templates/wording/en/site.toml").read_text("utf-8"))["player"]["speeds"]
    }
    for page in chapter_pages(built_site.files, slug):
        for heading, asked in page.steps:
            heading = re.sub(r"^\d+ ", "", heading)
            assert set(asked.get("mark", ())) <= page.parts, (page.path, heading)
            assert ("mark" in asked) or heading in UNMARKED, (page.path, heading)
            assert asked["speed"] in speeds, (page.path, heading)
            assert asked.get("state", "wound") in ("wound", "half wound", "nearly down")
            if "to" in asked:
                assert asked["from"] < asked["to"], (page.path, heading)


def test_a_period_is_told_from_end_to_end(built_site: BuiltSite) -> None:
    """The steps of an escapement's chapter follow one another in time without a gap and come to one period."""
    for slug, period_s in (("hall_clock", 2.0), ("pocket_watch", 0.4), ("shelf_timepiece", 0.4), ("shop_regulator", 2.0)):
        (page,) = (page for page in chapter_pages(built_site.files, slug) if page.path.endswith("escapement.html"))
        spans = [(asked["from"], asked["to"]) for _, asked in page.steps]
        for (_, end), (start, _) in pairwise(spans):
            assert start == pytest.approx(end, abs=1e-6)
        assert spans[-1][1] - spans[0][0] == pytest.approx(period_s, abs=1e-6)


@pytest.mark.parametrize("slug", ["hall_clock", "pocket_watch"])
def test_counts_are_this_movements(built_site: BuiltSite, slug: str) -> None:
    """Teeth, leaves and their quotient stand in the sentences as the file has them."""
    file = tomllib.loads((ROOT / "models" / slug / "movement.toml").read_text("utf-8"))
    arbors = {arbor["id"]: arbor for arbor in file["arbors"]}
    (page,) = (page for page in chapter_pages(built_site.files, slug) if page.path.endswith("train.html"))
    for mesh in file["meshes"]:
        teeth, leaves = arbors[mesh["driver"]]["wheel"]["teeth"], arbors[mesh["driven"]]["pinion"]["leaves"]
        whole, part = divmod(Fraction(teeth, leaves), 1)
        said = f"{whole}" + (f" {part.numerator}/{part.denominator}" if part else "")
        assert f"{teeth} ÷ {leaves} = {said}" in page.text
    less = Fraction(24, arbors[file["meshes"][-1]["driven"]]["pinion"]["leaves"])  # hours of a day that are lost with a leaf less
    assert f"shows {less}{THIN}h too little" in page.text


READING = {"longest": 25, "mean": 15}
"""Words in a sentence: what plain-language guides ask for (common practice, no source)."""


def test_sentences_can_be_read(built_site: BuiltSite, odd_site: dict[str, bytes]) -> None:
    """No sentence of a chapter is longer than 25 words; over each chapter they come to 15 at most on average."""
    for page in [*chapter_pages(built_site.files), *chapter_pages(odd_site)]:
        lengths = {sentence: len(re.findall(r"[^\W\d_][\w'’-]*|\d[\d\s./]*", sentence)) for sentence in sentences(page.text)}
        long = [sentence for sentence, words in lengths.items() if words > READING["longest"]]
        assert not long, (page.path, long)
        assert sum(lengths.values()) / len(lengths) <= READING["mean"], page.path


@pytest.mark.parametrize("path", sorted(TEXTS.glob("*.md")), ids=lambda path: path.stem)
def test_no_figure_is_typed_in_a_chapter(path: Path) -> None:
    """Figures come from the movement; nothing is exclaimed, and nothing is called easy."""
    prose = re.sub(r"\{[{%#].*?[}%#]\}", "", path.read_text("utf-8"), flags=re.DOTALL)
    prose = "\n".join(line for line in prose.split("\n") if not line.startswith("@"))
    assert not re.search(r"\d", prose)
    assert "!" not in prose.replace("\n## !", "")
    assert not re.search(r"\b(simply|obviously|of course|easily)\b", prose, re.IGNORECASE)


def test_notes_go_into_the_first_chapter(built_site: BuiltSite) -> None:
    """What the author wrote of the shelf timepiece stands at the end of its first chapter, and only there."""
    said = b"biscuit tin"
    where = [key for key in CHAPTERS if said in built_site.files[f"shelf_timepiece/learn-{key}.html"]]
    assert where == ["movement"]


# ---- the machinery


def chapter(folder: Path, markdown: str, **told: object) -> text.Text:
    (folder / "one.md").write_text(markdown, "utf-8")
    return text.read(text.environment(folder), "one.md", told)


WHOLE = "# Title\nLede.\n## Step\n@ stand\nBody.\n## ?\nWhy?\n## =\nSo.\n## !\nMind.\n"


def test_a_text_is_cut_into_its_parts(tmp_path: Path) -> None:
    """Title, lede, steps with what they ask, question, answer, bench; a quotation is a caution."""
    read = chapter(tmp_path, WHOLE + "\n> Hot.\n")
    assert (read.title, read.lede) == ("Title", "<p>Lede.</p>")
    assert read.steps == (text.Step("Step", "<p>Body.</p>", "stand"),)
    assert (read.question, read.answer) == ("<p>Why?</p>", "<p>So.</p>")
    assert '<div class="caution">\n<p>Hot.</p>' in read.bench


@pytest.mark.parametrize(
    "gone", ["# Title\n", "Lede.\n", "## Step\n@ stand\nBody.\n", "## ?\nWhy?\n", "## =\nSo.\n", "## !\nMind.\n"]
)
def test_a_text_without_a_part_is_refused(tmp_path: Path, gone: str) -> None:
    """Nothing half finished reaches a page."""
    with pytest.raises(text.UnfinishedError):
        chapter(tmp_path, WHOLE.replace(gone, ""))


def test_what_a_file_says_stays_text(tmp_path: Path) -> None:
    """Neither HTML nor Markdown in a name becomes markup."""
    nasty = "<b>x</b> [y](javascript:z) *loud* `code` # no"
    read = chapter(tmp_path, WHOLE.replace("Body.", "So {{ name }} it is."), name=nasty)
    assert read.steps[0].html == "<p>So &lt;b&gt;x&lt;/b&gt; [y](javascript:z) *loud* `code` # no it is.</p>"


def test_an_unknown_name_is_an_error(tmp_path: Path) -> None:
    """A slip in a text stops the build instead of leaving a gap."""
    with pytest.raises(jinja2.UndefinedError):
        chapter(tmp_path, WHOLE.replace("Body.", "{{ nobody }}"))


def test_a_text_reaches_nothing_but_what_it_is_given(tmp_path: Path) -> None:
    """Wording may come from anyone: it cannot climb out of its names."""
    with pytest.raises(jinja2.exceptions.SecurityError):
        chapter(tmp_path, WHOLE.replace("Body.", "{{ name.__class__.__mro__ }}"), name="x")


@pytest.mark.parametrize(
    "line", ["mark", "stand=1", "speed=fast", "colour=red", "during=lunch", "turn=moon", "state=asleep", "lines lines"]
)
def test_a_line_that_cannot_be_followed_is_refused(built_site: BuiltSite, line: str) -> None:
    """An unknown wish, one without its value, or one that the movement cannot grant."""
    from builder.drawing.sheet import Sheet

    stage = Stage(Sheet("s", "t", "d", (0, 0, 1, 1), ()), frozenset({"a"}), {}, {"great": 43200.0}, (0.5, 1.0, 60.0))
    with pytest.raises((UnreadableError, ValueError)):
        show(line, stage)


def test_wishes_are_granted() -> None:
    """Marks that the drawing has, the named speed that is nearest, a moment, a span."""
    from builder.drawing.sheet import Sheet

    stage = Stage(Sheet("s", "t", "d", (0, 0, 1, 1), ()), frozenset({"a"}), {}, {"great": 43200.0}, (0.5, 1.0, 60.0, 3600.0))
    assert show("mark=a,b lines stand", stage) == {"mark": ["a"], "speed": 1.0, "lines": True, "stand": True}
    assert show("turn=great", stage) == {"speed": 3600.0}  # 43 200 s in 8 s are 5400 to one
    assert show("at=10 span=5 speed=0.6", stage) == {"from": 10.0, "to": 15.0, "speed": 0.5}
