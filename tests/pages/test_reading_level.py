"""The wording is easy to read, spelt in one way, and its trade words are written alike everywhere."""

from __future__ import annotations

import html
import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from builder.build import TEMPLATES
from tests.conftest import BuiltSite
from tests.pages.reading_level import grade, syllables

WORDING = TEMPLATES / "wording" / "en"

CHAPTER = 6.0
"""The grade that no chapter may pass: a reader of twelve follows it, the trade's own long words included."""
ANY_PAGE = 8.0
"""The grade of plain English, for all other pages with text on them."""
ENOUGH = 80
"""Words from which on a grade means something."""

APART = re.compile(
    r"<(script|style|svg|table|template|nav|noscript|form|output|dl|fieldset|summary|code|figure)\b.*?</\1>", re.DOTALL
)
"""What is no running text."""


def prose(page: str) -> str:
    """The paragraphs and items of a page's main part, a line each."""
    main = re.search(r"<main[^>]*>(.*)</main>", page, re.DOTALL)
    found = re.findall(r"<(?:p|li)\b[^>]*>(.*?)</(?:p|li)>", APART.sub(" ", main[1]) if main else "", re.DOTALL)
    return "\n".join(" ".join(html.unescape(re.sub(r"<[^>]+>", "", text)).split()) for text in found)


def grades(site: BuiltSite, chapters: bool) -> Iterator[tuple[str, float]]:
    for path in site.pages:
        if bool(re.search(r"/learn-\w+\.html$", path)) == chapters and "/embed/" not in path:
            text = prose(site.files[path].decode("utf-8"))
            if len(text.split()) >= ENOUGH:
                yield path, grade(text)


def test_chapters_are_easy_to_read(built_site: BuiltSite) -> None:
    """Every chapter of every movement keeps below the bound."""
    found = dict(grades(built_site, chapters=True))
    assert len(found) >= 30
    assert {path: round(level, 1) for path, level in found.items() if level > CHAPTER} == {}


def test_other_pages_are_plain_english(built_site: BuiltSite) -> None:
    """And so does every other page that has running text."""
    found = dict(grades(built_site, chapters=False))
    assert len(found) >= 30
    assert {path: round(level, 1) for path, level in found.items() if level > ANY_PAGE} == {}


@pytest.mark.parametrize(
    ("text", "published"),
    [
        ("The cat sat on the mat.", -1.45),
        ("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.", 11.3),
    ],
)
def test_grades_as_they_are_published(text: str, published: float) -> None:
    """The two examples that an encyclopaedia gives for the formula (from memory)."""
    assert grade(text) == pytest.approx(published, abs=0.1)


def test_hard_text_is_noticed() -> None:
    """Negative control: the language of a statute is far above both bounds."""
    statute = (
        "Notwithstanding any provision to the contrary hereinbefore contained, the undersigned manufacturer disclaims "
        "responsibility for consequential deterioration attributable to unauthorised lubrication of the aforementioned mechanism."
    )
    assert grade(statute) > 2 * ANY_PAGE
    assert [syllables(word) for word in ("wheel", "teeth", "balance", "raised", "oscillator", "little", "the")] == [
        1,
        1,
        2,
        1,
        4,
        2,
        1,
    ]


OTHERWISE = {
    "center": "centre", "color": "colour", "gray": "grey", "fiber": "fibre", "behavior": "behaviour", "labor": "labour",
    "mold": "mould", "jeweled": "jewelled", "labeled": "labelled", "modeled": "modelled", "leveled": "levelled",
    "traveled": "travelled", "analyze": "analyse", "aluminum": "aluminium", "plow": "plough", "gage": "gauge",
    "anticlockwise": "counter-clockwise", "anti-clockwise": "counter-clockwise", "counterclockwise": "counter-clockwise",
    "hair spring": "hairspring", "main spring": "mainspring", "deadbeat": "dead-beat", "mid way": "midway",
}  # fmt: skip
"""How it is not written here → how it is."""
OTHER_NAMES = {"american", "british", "also", "source", "citation", "id", "see", "code"}
"""Keys whose values are names as others write them, or no prose."""


def sentences(table: Any, key: str = "") -> Iterator[str]:
    if isinstance(table, dict):
        for name, value in table.items():
            yield from sentences(value, name) if name not in OTHER_NAMES else ()
    elif isinstance(table, list):
        for value in table:
            yield from sentences(value, key)
    elif isinstance(table, str) and " " in table:
        yield table


def misspelt(text: str) -> list[str]:
    """What a text writes otherwise than the rest."""
    bare = re.sub(r"\{[^}]*\}|`[^`]*`|(?m:^@.*$)", " ", text).lower()
    found = [word for word in OTHERWISE if re.search(rf"(?<![\w-]){re.escape(word)}(?:s|ed|ing)?(?![\w-])", bare)]
    ized = re.findall(r"\b\w{3,}iz(?:e|ed|es|ing|ation)\b", bare)
    return found + [word for word in ized if not re.match(r"(size|prize|seize|capsize|oversize)", word)]


def test_words_are_spelt_in_one_way() -> None:
    """British English, -ise, and each trade word in one form, in every sentence of the wording and the chapters."""
    texts = [
        text
        for path in sorted(WORDING.glob("*.toml"))
        for text in sentences(tomllib.loads(path.read_text("utf-8")))
    ] + [path.read_text("utf-8") for path in sorted(WORDING.rglob("*.md"))]  # fmt: skip
    assert len(texts) > 1000
    assert {text: wrong for text in texts if (wrong := misspelt(text))} == {}


def test_other_spelling_is_noticed() -> None:
    """Negative control: words of another spelling, and a form of the trade's words that is not used here."""
    assert misspelt("The center wheel of a deadbeat is magnetized.") == ["center", "deadbeat", "magnetized"]
    assert misspelt("The size of the centre wheel; {center} and `color` are names.") == []
