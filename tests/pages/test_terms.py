"""The glossary: alphabetical, whole, in plain words; every chapter links each term where it first uses it."""

from __future__ import annotations

import gzip
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from builder.pages.glossary import Glossary, Term
from tests.conftest import BuiltSite
from tests.pages.chapters_helper import chapter_pages, plain, sentences

ROOT = Path(__file__).parents[2]
TERMS: dict[str, Any] = tomllib.loads((ROOT / "templates" / "wording" / "en" / "terms.toml").read_text("utf-8"))


OTHER_NAMES = {
    "hairspring": "balance spring",
    "impulse-pin": "roller jewel",
    "lever": "pallet fork",
    "click": "pawl",
    "great-wheel": "main wheel",
    "regulator": "index",
    "guard-pin": "dart",
    "centre-wheel": "center wheel",
    "escape-wheel": "'scape wheel",
    "seconds-hand": "second hand",
}
"""What the same thing is called in other books and countries (facts of the trade, from memory)."""


def page(built_site: BuiltSite) -> str:
    return built_site.files["terms.html"].decode()


def test_there_are_many_and_each_is_explained() -> None:
    """At least 120 terms, each explained in short sentences without a figure, and without using itself as its explanation."""
    assert len(TERMS) >= 120
    for key, term in TERMS.items():
        said = sentences(term["means"])
        assert said and all(len(sentence.split()) <= 30 for sentence in said), key
        assert term["means"].endswith(".") and not re.search(r"\d|!", term["means"]), key
        assert not term["means"].lower().startswith((f"{term['name']} is", f"a {term['name']} is")), key


def test_other_names_are_given_where_english_differs() -> None:
    """British and American names that a reader meets in books are there (facts of the trade, from memory)."""
    for key, name in OTHER_NAMES.items():
        term = TERMS[key]
        assert name in [*term.get("also", ()), *term.get("british", ()), *term.get("american", ())], key


def test_every_see_also_exists() -> None:
    """No term sends its reader to one that is not there, or to itself."""
    for key, term in TERMS.items():
        assert set(term.get("see", ())) <= TERMS.keys() - {key}, key


def test_no_two_terms_share_a_name_or_a_form() -> None:
    """A word in a text leads to one entry."""
    owners: dict[str, str] = {}
    for key, term in TERMS.items():
        for form in term.get("forms", [term["name"], f"{term['name']}s"]):
            assert owners.setdefault(form.casefold(), key) == key, form
    names = [term["name"].casefold() for term in TERMS.values()]
    assert len(set(names)) == len(names)


def test_the_page_has_them_in_order(built_site: BuiltSite) -> None:
    """Alphabetical, each once, under its letter, with an anchor; letters lead to their places."""
    html = page(built_site)
    ids = re.findall(r'<div class="entry" id="([^"]*)"', html)
    assert sorted(ids) == sorted(TERMS)
    names = [TERMS[each]["name"].casefold() for each in ids]
    assert names == sorted(names)
    letters = re.findall(r'<h2 id="letter-(.)">', html)
    assert letters == sorted({name[0].upper() for name in names})
    assert re.findall(r'<li><a href="#letter-(.)">', html) == letters
    for letter, section in zip(letters, html.split('<section class="letter">')[1:], strict=True):
        inside = [TERMS[each]["name"] for each in re.findall(r'<div class="entry" id="([^"]*)"', section)]
        assert {name[0].upper() for name in inside} == {letter}


def test_pictures_are_cut_from_the_demo(built_site: BuiltSite) -> None:
    """Every term that asks for a drawing has one, small, still, and with words for those who do not see it."""
    html = page(built_site)
    for key, term in TERMS.items():
        assert (f'src="static/terms/{key}.svg"' in html) == ("figure" in term), key
        if "figure" in term:
            svg = built_site.files[f"static/terms/{key}.svg"].decode()
            assert "<animate" not in svg and svg.count("<path") >= 1
            assert re.search(rf'src="static/terms/{key}.svg" alt="{re.escape(term["name"])}, after the [A-Z]', html), key
    assert sum("figure" in term for term in TERMS.values()) >= 30


def test_the_page_stays_small(built_site: BuiltSite) -> None:
    """Page, script and styles within their budgets (gzip is larger than brotli)."""
    assert len(gzip.compress(built_site.files["terms.html"])) <= 100_000
    assert len(gzip.compress(built_site.files["static/terms.js"])) <= 1500


def test_first_use_is_linked(built_site: BuiltSite) -> None:
    """In each chapter every term that is used is linked once, at its first use, to an entry that exists."""
    anchors = set(re.findall(r'<div class="entry" id="([^"]*)"', page(built_site)))
    forms = {
        form.casefold(): key for key, term in TERMS.items() for form in term.get("forms", [term["name"], f"{term['name']}s"])
    }
    longest = sorted(forms, key=len, reverse=True)
    for chapter in chapter_pages(built_site.files):
        prose = re.sub(r"<(h1|h2|summary)\b.*?</\1>|<p class=\"(?:where|note)\">.*?</p>", "\n", chapter.prose, flags=re.DOTALL)
        links = [(m[1], m.start()) for m in re.finditer(r'<a class="term" href="\.\./terms\.html#([^"]*)">', prose)]
        assert len({key for key, _ in links}) == len(links), chapter.path
        assert {key for key, _ in links} <= anchors, chapter.path
        linked = dict(links)
        # every use of any form, the longest at each place, found apart from the program
        bare = re.sub(r"<[^>]*>", lambda tag: "\x00" * len(tag[0]), prose)
        taken = [False] * len(bare)
        first: dict[str, int] = {}
        for form in longest:
            for use in re.finditer(rf"(?<![\w-]){re.escape(form)}(?![\w-])", bare, re.IGNORECASE):
                if not any(taken[use.start() : use.end()]):
                    taken[use.start() : use.end()] = [True] * (use.end() - use.start())
                    first[forms[form]] = min(first.get(forms[form], len(bare)), use.start())
        assert first.keys() == linked.keys(), (chapter.path, first.keys() ^ linked.keys())
        for key, at in first.items():
            tag = prose.rindex("<", 0, at)
            assert tag == linked[key], (chapter.path, key, plain(prose[at : at + 40]))


def test_links_are_few_enough_to_read_past(built_site: BuiltSite) -> None:
    """Terms that are linked are a small part of the words of a chapter."""
    for chapter in chapter_pages(built_site.files):
        links = chapter.prose.count('class="term"')
        assert 5 <= links <= 0.12 * len(chapter.text.split()), chapter.path


# ---- the linker


def glossary(*forms: tuple[str, ...]) -> Glossary:
    return Glossary(tuple(Term(each[0], each[0], "…", forms=each) for each in forms))


def test_the_longest_form_wins() -> None:
    """'escape wheel' is one term, not a wheel; the wheel's own first use comes later."""
    link = glossary(("escape wheel",), ("wheel", "wheels")).linker("t")
    assert link("<p>The escape wheel and a wheel.</p>") == (
        '<p>The <a class="term" href="t#escape wheel">escape wheel</a> and a <a class="term" href="t#wheel">wheel</a>.</p>'
    )


@pytest.mark.parametrize(
    "html", ["<a href='x'>wheel</a>", "<h2>wheel</h2>", "<code>wheel</code>", "<p title='wheel'>pinwheel wheel-like</p>"]
)
def test_where_no_link_may_stand(html: str) -> None:
    """Not in links, headings, code, attributes, nor in the middle of words."""
    assert glossary(("wheel",)).linker("t")(html) == html


def test_a_linker_remembers() -> None:
    """Over the parts of one chapter a term is linked once; another chapter begins anew."""
    words = glossary(("wheel",))
    link = words.linker("t")
    assert "<a" in link("<p>wheel</p>") and "<a" not in link("<p>wheel</p>")
    assert "<a" in words.linker("t")("<p>Wheel</p>")
