"""A movement's notes: Markdown that anyone may have written, as HTML that may stand on a page.

What would not be safe or would not work offline is not dropped in silence: it is a fault with its place, so that the
author can put it right. After that nh3 cleans the HTML all the same, and has to find nothing left to clean.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass
from difflib import get_close_matches
from html import unescape
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from posixpath import normpath
from urllib.parse import quote, unquote, urlsplit
from xml.etree.ElementTree import Element  # nosec B405 # the name of a type, no reader

import nh3
from markdown import Markdown
from markdown.extensions import Extension
from markdown.treeprocessors import Treeprocessor

from builder.ground.faults import Fault, FaultsFound
from builder.movement.pictures import Unfit, picture
from builder.movement.textfile import shortened, shown, text_of

MOST_BRACKETS = 200
"""Opening brackets in one paragraph; python-markdown's time grows with their square."""
MOST_TRIALS = 300
"""Lines tried as the cause of an offence; beyond that only those that show it literally."""
MOST_TRIED_LETTERS = 1_000_000
"""Of the text, which each trial reads whole: in long notes fewer lines are tried."""

LONGEST_ADVICE = 300
"""Characters of a message's last sentence."""

_OWN_TAGS = ("abbr", "cite", "kbd", "q", "sub", "sup")
_TAGS = {
    *("a", "blockquote", "br", "code", "em", "h3", "h4", "h5", "h6", "hr", "img", "li", "ol", "p", "pre", "strong"),
    *("table", "tbody", "td", "th", "thead", "tr", "ul", *_OWN_TAGS),
}
_ANY, _ALIGNED = re.compile(r".*", re.S), re.compile(r"text-align: (left|center|right);")
_ATTRIBUTES = {
    "a": {"href": _ANY, "title": _ANY},
    "abbr": {"title": _ANY},
    "code": {"class": re.compile(r"language-[\w+-]+")},
    "img": {"src": _ANY, "alt": _ANY, "title": _ANY},
    "ol": {"start": re.compile(r"\d{1,4}")},
    "td": {"style": _ALIGNED},
    "th": {"style": _ALIGNED, "scope": re.compile("col")},
}
_MARKDOWN_ONLY = f"Markdown, and of HTML only {', '.join(_OWN_TAGS)}"


@dataclass(frozen=True)
class Notes:
    """The notes as HTML for inside a section, and the pictures that they show (paths from the notes' folder on)."""

    html: str
    pictures: tuple[PurePosixPath, ...]


@dataclass(frozen=True)
class _Offence:
    """What may not stand in notes; `literal` is how it most likely looks in the Markdown."""

    literal: str
    value: str
    allowed: str
    advice: str


def read_notes(path: Path, root: Path, pictures_at: str = "", under: int = 2) -> Notes:
    """The notes in the Markdown file `path`, whose pictures lie in its folder or below.

    `pictures_at` is put before each picture's path; `under` is the level of the heading that the notes stand under.
    Raises FaultsFound with every script, foreign tag, dangerous link and unfit picture, each with line and column.
    """
    text, file = text_of(path, root), shown(path, root)
    crowded = [line for line, part in _paragraphs(text) if max(part.count("["), part.count("<")) > MOST_BRACKETS]
    if crowded:
        allowed, advice = f"at most {MOST_BRACKETS} brackets in a paragraph", "Make several paragraphs of it."
        raise FaultsFound([Fault(file, line, 1, "", "a paragraph", allowed, advice) for line in crowded])
    judge = _Judge(path.parent, under)
    html, offences = judge.of(text)
    if offences:
        raise FaultsFound(_located(text, file, offences, lambda changed: judge.of(changed)[1]))
    return Notes(_cleaned(html, lambda source: quote(pictures_at + str(judge.pictures[source]))), judge.used(html))


def noted(folder: Path, root: Path) -> tuple[str, dict[str, bytes]]:
    """A movement's notes as clean HTML, and the pictures they show; nothing where there are none. Raises FaultsFound."""
    if not (folder / "notes.md").exists():
        return "", {}
    notes = read_notes(folder / "notes.md", root)
    return notes.html, {str(path): (folder / path).read_bytes() for path in notes.pictures}


def dead_links(path: Path, root: Path, pages: Collection[str]) -> list[Fault]:
    """Links of sound notes into the movement's own folder, which holds `pages`, that lead to none of them, each with its place.

    Links out of the folder, and those to a #part, can be judged only when the whole site is there.
    """

    def offences(text: str) -> list[_Offence]:
        found = []
        for tag, attributes in _tags(_markdown(text, 2)):
            address = attributes.get("href", "") if tag == "a" else ""
            target = normpath(unquote(address.partition("#")[0].partition("?")[0]))
            if address[:1] in ("", "#", "?") or ":" in address or target.startswith("..") or target in pages:
                continue
            close = get_close_matches(target, [page for page in pages if page.endswith(".html")], 1, 0.75)
            advice = (
                f"Did you mean {close[0]}?" if close else "Correct the name: open the movement's page and see where it leads."
            )
            found.append(_Offence(address, address, "a page of this movement", advice))
        return found

    text = text_of(path, root)
    return _located(text, shown(path, root), dead, offences) if (dead := offences(text)) else []


def _paragraphs(text: str) -> list[tuple[int, str]]:
    """Each paragraph with the line that it begins in."""
    parts, line = [], 1
    for part in re.split(r"(\n[ \t]*\n)", text):
        parts.append((line, part))
        line += part.count("\n")
    return parts


class _Judge:
    """Turns Markdown into HTML and says what in it may not stand; looks at each picture once."""

    def __init__(self, folder: Path, under: int) -> None:
        self.folder, self.under = folder, under
        self.pictures: dict[str, PurePosixPath | Unfit] = {}

    def of(self, text: str) -> tuple[str, list[_Offence]]:
        try:
            html = _markdown(text, self.under)
            tags = _tags(html)
        except (AssertionError, RecursionError):  # what html.parser and python-markdown do with hopeless input
            return "", [_disorder()]
        offences = [offence for tag, attributes in tags for offence in self._offences(tag, attributes)]
        if not offences and _shape(html) != _shape(_cleaned(html, str)):
            offences = [_disorder()]
        return html, offences

    def used(self, html: str) -> tuple[PurePosixPath, ...]:
        """The pictures of notes without offences, in the order of their appearance."""
        found = (self.pictures[attributes["src"]] for tag, attributes in _tags(html) if tag == "img")
        return tuple(dict.fromkeys(path for path in found if isinstance(path, PurePosixPath)))

    def _offences(self, tag: str, attributes: dict[str, str]) -> list[_Offence]:
        if tag not in _TAGS:
            what = "Notes are read, not run: delete it." if tag == "script" else "Write it in Markdown, or delete it."
            return [_Offence(f"<{tag}", f"<{tag}>", _MARKDOWN_ONLY, what)]
        offences = []
        for name, value in attributes.items():
            pattern = _ATTRIBUTES.get(tag, {}).get(name)
            if pattern is None or not pattern.fullmatch(value):
                advice = f"Take {name} out of <{tag}>."
                offences.append(_Offence(name, f'{name}="{value}"', "a tag without this attribute", advice))
        if tag == "a":
            offences += _link(attributes.get("href", ""))
        if tag == "img":
            offences += self._picture(attributes)
        return offences

    def _picture(self, attributes: dict[str, str]) -> list[_Offence]:
        source = attributes.get("src", "")
        if source not in self.pictures:
            self.pictures[source] = picture(self.folder, source)
        found, offences = self.pictures[source], []
        if isinstance(found, Unfit):
            offences.append(_Offence(source or "]()", source or "a picture without a path", found.allowed, found.advice))
        if not attributes.get("alt", "").strip():
            advice = "Say in the square brackets what the picture shows: ![The great wheel](…)."
            offences.append(_Offence(source, f"![]({source})", "a picture with words for those who cannot see it", advice))
        return offences


def _link(address: str) -> list[_Offence]:
    """Why the address is no link for notes, if it is none."""
    allowed = "https://…, http://…, a path from this page on, or #part"
    scheme = re.match(r"[a-z][a-z0-9+.-]*:", address, re.I)
    if not address or re.search(r"[\x00-\x20\x7f\\]", address):
        advice = "Write the address without spaces and backslashes (%20 stands for a space)."
    elif scheme and scheme[0].lower() not in ("http:", "https:"):
        advice = f"{scheme[0]} is not opened from notes: give a page's address, or leave the link out."
    elif scheme and not _host(address):
        advice = "The name of the host is missing after //."
    elif address.startswith("//"):
        advice = f"Say how: https:{address}."
    elif address.startswith("/"):
        advice = "The pages may lie in any folder: write the path from this page on, without / before it."
    else:
        return []
    return [_Offence(address.removeprefix("mailto:") or "]()", address or "a link without an address", allowed, advice)]


def _host(address: str) -> str | None:
    try:
        return urlsplit(address).hostname
    except ValueError:
        return None


def _disorder() -> _Offence:
    return _Offence("<", "HTML that does not close", f"{_MARKDOWN_ONLY}, each closed within its paragraph", "Put it in order.")


def _located(text: str, file: str, offences: list[_Offence], judge: Callable[[str], list[_Offence]]) -> list[Fault]:
    """Each offence at the lines that bring it forth.

    They are the lines that show it, if it shows as often as it offends. Otherwise (a sample of code shows it too, or it
    is in disguise) they are those without which there would be less of it: the ones of them that show it or, where none
    does, the one on which least else depends.
    """
    lines, before = text.split("\n"), Counter(offences)
    readable = [_readable(line) for line in lines]
    showing = {each: [row for row, line in enumerate(readable) if each.literal.lower() in line] for each in before}
    doubtful = [
        each for each in before if sum(readable[row].count(each.literal.lower()) for row in showing[each]) != before[each]
    ]
    causes: dict[_Offence, list[tuple[int, int]]] = {each: [] for each in doubtful}
    tried = [row for row, line in enumerate(lines) if re.search(r"[<>\[\]&]", line)] if doubtful else []
    for row in tried[: min(MOST_TRIALS, MOST_TRIED_LETTERS // len(text))] if tried else []:
        gone = before - Counter(judge("\n".join([*lines[:row], "", *lines[row + 1 :]])))
        for each in causes.keys() & gone.keys():
            causes[each].append((len(gone), row))
    faults = []
    for each, shown_at in showing.items():
        rows = shown_at
        if each in causes:
            shows = [row for _, row in causes[each] if row in shown_at]
            rows = shows or [row for _, row in sorted(causes[each])[:1]] or shown_at[:1] or [0]
        for row in rows:
            column = _column(lines[row], each.literal)
            advice = shortened(each.advice, LONGEST_ADVICE)  # it may quote what was written
            faults.append(Fault(file, row + 1, column, "", shortened(each.value), each.allowed, advice))
    return faults


def _readable(line: str) -> str:
    """The line without the disguises of HTML (&#115;) and Markdown (backslashes), in small letters."""
    return unescape(re.sub(r"\\(?=[^\w\s])", "", line)).lower()


def _column(line: str, literal: str) -> int:
    at = line.lower().find(literal.lower())
    if at < 0:
        signs = (re.search(sign, line) for sign in (r"(?<=\]\().", r"(?<=\]:)\s*\S", "<", r"\[", r"\S"))
        at = next((sign.end() - 1 for sign in signs if sign), 0)
    return at + 1


def _markdown(text: str, under: int) -> str:
    extensions = ["tables", "fenced_code", "sane_lists", _Headings(under)]
    return Markdown(extensions=extensions, output_format="html").convert(text)


class _Headings(Extension):
    """Headings one below another without gaps, the first under the page's own; table heads that say what they head."""

    def __init__(self, under: int) -> None:
        super().__init__()
        self.under = under

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802 (python-markdown's name)
        md.treeprocessors.register(_Levels(self.under), "levels", 5)


class _Levels(Treeprocessor):
    """Works on the tree that python-markdown builds; no XML is read here."""

    def __init__(self, under: int) -> None:
        super().__init__()
        self.under = under

    def run(self, root: Element) -> None:
        above: list[str] = []
        for element in root.iter():
            if re.fullmatch("h[1-6]", element.tag):
                while above and above[-1] >= element.tag:
                    above.pop()
                above.append(element.tag)
                element.tag = f"h{min(self.under + len(above), 6)}"
            elif element.tag == "th":
                element.set("scope", "col")


def _cleaned(html: str, picture_path: Callable[[str], str]) -> str:
    return nh3.clean(
        html,
        tags=_TAGS,
        attributes={tag: set(names) for tag, names in _ATTRIBUTES.items()},
        attribute_filter=lambda tag, name, value: picture_path(value) if (tag, name) == ("img", "src") else value,
        filter_style_properties={"text-align"},
        url_schemes={"http", "https"},
        link_rel=None,
    )


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in reversed(attrs)}))

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_decl(self, decl: str) -> None:
        self.tags.append((f"!{decl.split(' ')[0]}", {}))

    def unknown_decl(self, data: str) -> None:
        self.tags.append(("![", {}))

    def handle_pi(self, data: str) -> None:
        self.tags.append(("?", {}))


def _read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader


def _tags(html: str) -> list[tuple[str, dict[str, str]]]:
    """The opening tags with their attributes as a browser understands them; comments are left out."""
    return _read(html).tags


def _shape(html: str) -> tuple[list[tuple[str, list[str]]], str]:
    """What cleaning may not change: the opening tags, the names of their attributes, and the letters of the text."""
    read = _read(html)
    return [(tag, sorted(attributes)) for tag, attributes in read.tags], "".join(unescape(read.text).split())
