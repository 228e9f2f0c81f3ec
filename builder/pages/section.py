"""A page of the site as a section of a file: headings one lower, ids and links as they are there, pictures inside."""

from __future__ import annotations

import base64
import html
import posixpath
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

MAIN = re.compile(r'<main id="main"[^>]*>(.*)</main>', re.DOTALL)
NOSCRIPT = re.compile(r"<noscript>.*?</noscript>", re.DOTALL)
"""What stands in for a drawing without script is a drawing once more; the words beside it are there either way."""
STYLE = re.compile(r'<link rel="stylesheet" href="(?:\.\./)*static/([\w.-]+)">')
SCRIPT = re.compile(r'<script src="(?:\.\./)*static/([\w.-]+)" defer>')
ID = re.compile(r'\bid="([^"]*)"')
REFERS = frozenset(
    {"for", "list", "headers", "aria-labelledby", "aria-describedby", "aria-controls", "aria-details", "aria-owns"}
)
PICTURES = {".svg": "image/svg+xml", ".png": "image/png", ".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".webp": "image/webp"}


@dataclass(frozen=True)
class Page:
    """A finished page: where it lies on the site, what it is called there, and its HTML."""

    path: str
    label: str
    text: str

    @property
    def anchor(self) -> str:
        """Its section's id."""
        return posixpath.splitext(posixpath.basename(self.path))[0].replace("index", "overview")

    @property
    def main(self) -> str:
        """What stands between its head and its foot."""
        found = MAIN.search(self.text)
        assert found, f"{self.path} has a main part"
        return NOSCRIPT.sub("", found[1])

    @property
    def styles(self) -> list[str]:
        """Its style sheets, names of files in templates/static."""
        return STYLE.findall(self.text)

    @property
    def scripts(self) -> list[str]:
        """Its scripts, in order."""
        return SCRIPT.findall(self.text)


Names = Mapping[str, Mapping[str, str]]
"""Path of a page → its ids as they are called in the file."""


def names_of(pages: Sequence[Page], texts: Sequence[str], taken: set[str]) -> Names:
    """Every page's ids; those that are taken already carry the section's anchor before them."""
    taken = taken | {page.anchor for page in pages}
    names: dict[str, dict[str, str]] = {}
    for page, text in zip(pages, texts, strict=True):
        names[page.path] = {id_: f"{page.anchor}--{id_}" if id_ in taken else id_ for id_ in ID.findall(text)}
        taken |= set(names[page.path].values())
    return names


@dataclass
class Within:
    """What a section has to know of the file: its names for ids, where each page's section is, the site's pictures, the names
    that regions of earlier sections have, and whether it is the only one: then its heading is the file's."""

    names: Names
    anchors: Mapping[str, str]
    files: Mapping[str, bytes]
    regions: set[str] = field(default_factory=set)
    alone: bool = False


def section(page: Page, text: str, within: Within) -> str:
    """The page's main part as it stands in the file."""
    rewriter = _Rewriter(page, within)
    rewriter.feed(text)
    rewriter.close()
    within.regions |= rewriter.regions
    return "".join(rewriter.made)


class _Rewriter(HTMLParser):
    def __init__(self, page: Page, within: Within) -> None:
        super().__init__(convert_charrefs=False)
        self.page, self.within = page, within
        self.made: list[str] = []
        self.regions: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._start(tag, attrs, ">")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._start(tag, attrs, "/>")

    def _start(self, tag: str, attrs: list[tuple[str, str | None]], end: str) -> None:
        changed = [(name, value if value is None else self._value(tag, name, value)) for name, value in attrs]
        if ("role", "region") in attrs:
            changed = [(name, self._region(value or "") if name == "aria-label" else value) for name, value in changed]
        if changed == attrs and self._lower(tag) == tag:
            self.made.append(self.get_starttag_text() or "")
            return
        kept = [(name, value) for name, value in changed if value != "" or dict(attrs).get(name) == ""]
        said = "".join(f" {name}" if value is None else f' {name}="{html.escape(value)}"' for name, value in kept)
        self.made.append(f"<{self._lower(tag)}{said}{end}")

    def _value(self, tag: str, name: str, value: str) -> str:
        """An attribute as it is in the file; empty where it leads to what is not there."""
        own = self.within.names[self.page.path]
        if name == "id":
            return own.get(value, value)
        if name in REFERS:
            return " ".join(own.get(each, each) for each in value.split())
        if name == "href" and tag == "a":
            return self._link(value)
        if name == "src" and tag == "img":
            return self._picture(value)
        return value

    def _region(self, label: str) -> str:
        """A region's name, with the page's where an earlier section has one of that name."""
        self.regions.add(label)
        return f"{label} ({self.page.label})" if label in self.within.regions else label

    def _link(self, href: str) -> str:
        url = urlsplit(href)
        if url.scheme or url.netloc:
            return href
        target = self._target(url.path)
        if target not in self.within.anchors:
            return ""
        if not url.fragment:
            return f"#{self.within.anchors[target]}"
        fragment = unquote(url.fragment)
        return f"#{self.within.names[target].get(fragment, fragment)}"

    def _target(self, path: str) -> str:
        home = posixpath.dirname(self.page.path)
        return posixpath.normpath(posixpath.join(home, unquote(path))) if path else self.page.path

    def _picture(self, src: str) -> str:
        if src.startswith("data:"):
            return src
        target = self._target(urlsplit(src).path)
        kind = PICTURES[posixpath.splitext(target)[1].lower()]
        return f"data:{kind};base64,{base64.b64encode(self.within.files[target]).decode('ascii')}"

    def handle_endtag(self, tag: str) -> None:
        self.made.append(f"</{self._lower(tag)}>")

    def handle_data(self, data: str) -> None:
        self.made.append(data)

    def handle_entityref(self, name: str) -> None:
        self.made.append(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self.made.append(f"&#{name};")

    def _lower(self, tag: str) -> str:
        """A heading one level down: each page was headed by an h1, and a file of several has one of its own."""
        return f"h{int(tag[1]) + 1}" if tag in ("h1", "h2", "h3", "h4", "h5") and not self.within.alone else tag
