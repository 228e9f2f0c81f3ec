"""The question bank as XML: read by parsers that are not ours, its drawings looked into, its numbers held to the questions.

What an importer wants of each kind of question: Moodle's documentation, 'Moodle XML format', and its importers' source.
"""

from __future__ import annotations

import base64
import html
import io
import re
from fractions import Fraction

import pytest
from lxml import etree
from moodle_xml_parser.parser import parse_bytes
from PIL import Image

from builder.packs.error import PackError
from builder.packs.quiz import asked, pictured, tolerance
from builder.packs.stock import Made
from tests.packs.platform_packs import SLUG, made, movement


@pytest.fixture(scope="module")
def bank() -> Made:
    return made("moodle", "--pictures", "png")


@pytest.fixture(scope="module")
def quiz(bank: Made) -> etree._Element:
    return etree.fromstring(bank.data)


def said(node: etree._Element, path: str) -> str:
    return "".join(node.find(f"{path}/text").itertext())


def plain(text: str) -> str:
    """HTML as it reads."""
    return html.unescape(re.sub(r"<[^>]*>", "", text))


def of_type(quiz: etree._Element, name: str) -> list[etree._Element]:
    return quiz.findall(f"question[@type='{name}']")


def test_choices_as_another_parser_reads_them(bank: Made, capsys: pytest.CaptureFixture[str]) -> None:
    """moodle-xml-parser finds every question to choose: text, answers, one right of full worth, and a reason at every answer."""
    found = parse_bytes(bank.data)["multichoice"]
    assert capsys.readouterr().out == "", "it found no fault"
    wanted = [item for item in pictured(asked(movement()), movement().wording) if item.form == "choice"]
    assert [question.name for question in found] == [item.title for item in wanted]
    for question, item in zip(found, wanted, strict=True):
        assert plain(question.text_pre_parse) == item.text and question.single and question.shuffle_answers
        assert [plain(option.answer) for option in question.options] == [answer.text for answer in item.answers]
        assert [option.score_fraction for option in question.options] == [100, 0, 0, 0][: len(item.answers)]
        assert [plain(option.feedback) for option in question.options[1:]] == [answer.why for answer in item.answers[1:]]
        assert plain(question.general_feedback) == item.answers[0].why


def test_the_control_of_that_parser(bank: Made) -> None:
    """Negative control: an element that is not closed is refused."""
    with pytest.raises(ValueError, match="mismatched tag"):
        parse_bytes(bank.data.replace(b"</generalfeedback>", b"", 1))


def test_numbers(quiz: etree._Element) -> None:
    """Figure, what it may be off and the reason of each; the first is worth all, the others nothing."""
    wanted = [item for item in pictured(asked(movement()), movement().wording) if item.form == "number"]
    found = of_type(quiz, "numerical")
    assert [said(node, "name") for node in found] == [item.title for item in wanted]
    for node, item in zip(found, wanted, strict=True):
        answers = node.findall("answer")
        assert [answer.get("fraction") for answer in answers] == ["100", *["0"] * (len(answers) - 1)]
        for answer, figure in zip(answers, item.figures, strict=True):
            assert float(said(answer, ".")) == pytest.approx(float(figure), rel=1e-6)
            assert float(answer.findtext("tolerance")) == pytest.approx(float(tolerance(item, figure)), rel=1e-6)
        assert all(plain(said(answer, "feedback")) for answer in answers)


def test_orders_and_matches(quiz: etree._Element) -> None:
    """Steps stand in their order and are all shown; parts stand with what they do."""
    orders = [question for question in asked(movement()) if question.form == "order"]
    for node, question in zip(of_type(quiz, "ordering"), orders, strict=True):
        assert [plain(said(step, ".")) for step in node.findall("answer")] == [answer.text for answer in question.answers]
        assert node.findtext("selecttype") == "ALL" and node.findtext("selectcount") == str(len(question.answers))
    names = [(q.right.why, q.right.text) for q in asked(movement()) if q.kind == "name"]
    pairs = [
        (plain(said(pair, ".")), said(pair, "answer")) for node in of_type(quiz, "matching") for pair in node.iter("subquestion")
    ]
    assert pairs == names


def test_drawings(quiz: etree._Element) -> None:
    """Every picture that a text shows is a file beside it, a PNG that opens, 640 px wide; the marked part is another picture than
    the unmarked; and what is said instead of the picture does not give the answer away."""
    sizes: dict[str, set[bytes]] = {}
    for node in quiz.iter("question"):
        text = said(node, "questiontext") if node.get("type") != "category" else ""
        files = {file.get("name"): base64.b64decode(file.text, validate=True) for file in node.findall("questiontext/file")}
        assert re.findall(r'src="@@PLUGINFILE@@/([^"]*)"', text) == list(files)
        for name, data in files.items():
            image = Image.open(io.BytesIO(data))
            image.verify()
            assert image.format == "PNG" and image.width == 640
            sizes.setdefault(name, set()).add(data)
            alt = re.search(r'alt="([^"]*)"', text)
            assert alt and (
                node.get("type") == "numerical" or plain(said(node.find("answer"), ".")).lower() not in alt[1].lower()
            )
    assert len(sizes) > 10 and all(len(each) == 1 for each in sizes.values())
    assert len({data for each in sizes.values() for data in each}) == len(sizes), "no two drawings are alike"


def test_it_is_small_enough(bank: Made) -> None:
    """At most 2 MB: the size of an upload that PHP lets in where nobody has changed it (upload_max_filesize)."""
    assert len(bank.data) < 2 * 1024 * 1024


def test_ids_last(quiz: etree._Element) -> None:
    """Every question has a lasting id of its own, so that taking the file in again can tell what is there."""
    ids = [node.findtext("idnumber") for node in quiz.iter("question") if node.get("type") != "category"]
    assert len(set(ids)) == len(ids) and f"{SLUG}.turns.hour.third" in ids


def test_vectors_where_no_pictures_can_be_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the packages that make pictures the drawings are SVG, the part marked in its own; asked for PNG, it says what to
    install. Made twice, the bytes are the same."""

    def missing(*given: object) -> bytes:
        from builder.packs.error import no_pictures

        raise no_pictures()

    monkeypatch.setattr("builder.packs.quiz_picture.png", missing)
    with pytest.raises(PackError, match=re.escape("pip install")):
        made("moodle", "--pictures", "png")
    drawn = made("moodle")
    assert drawn.said.endswith("Drawings: SVG.") and drawn == made("moodle", "--pictures", "svg")
    marked = 0
    for file in etree.fromstring(drawn.data).iter("file"):
        svg = etree.fromstring(base64.b64decode(file.text, validate=True))
        assert etree.QName(svg).localname == "svg" and not svg.xpath("//*[local-name()='animate']")
        marked += bool(svg.xpath("//*[contains(concat(' ', @class, ' '), ' marked ')]"))
    assert marked == sum(question.kind == "name" for question in asked(movement()))


def test_units_of_figures() -> None:
    """A number question says in its text what kind of number is wanted."""
    for item in pictured(asked(movement()), movement().wording):
        if item.form == "number":
            assert item.text.endswith("number." if item.figures[0].denominator == 1 else "to three figures."), item.text
            assert item.figures[0] != Fraction(0)
