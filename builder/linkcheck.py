"""Every link of the site leads somewhere inside it, also when the pages are opened from disk by a double click.

Checked: whatever a page, a drawing, a style sheet or a manifest points at, with its fragment, in exact case; ids that
stand twice; labels and aria references to ids. Refused: anything that would ask another machine (a reader may press an
`https` link marked `rel="external"`, and `rel="canonical"` asks nobody), and what browsers refuse for files on disk
(module scripts, `integrity`, symbols and paints fetched from another drawing).
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Callable, Collection, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

# A doctype, and with it every entity that could grow or reach out, is refused before it is read.
from xml.parsers import expat  # nosec B407 # see above

Site = dict[str, bytes]
"""The whole site: relative POSIX path to bytes."""

Attributes = list[tuple[str, str | None]]

URL_ATTRIBUTES = frozenset(
    {"href", "xlink:href", "src", "poster", "action", "formaction", "background", "longdesc", "manifest", "ping"}
)
SRCSET_ATTRIBUTES = frozenset({"srcset", "imagesrcset"})
ID_ATTRIBUTES = frozenset(
    {"for", "list", "form", "headers", "popovertarget", "commandfor", "aria-labelledby", "aria-describedby", "aria-controls"}
    | {"aria-owns", "aria-flowto", "aria-details", "aria-activedescendant", "aria-errormessage"}
)
NAMED = URL_ATTRIBUTES | SRCSET_ATTRIBUTES | ID_ATTRIBUTES | {"id", "data", "usemap", "srcdoc", "integrity"}
NAMING = re.compile("|".join([*(rf"{name}\s*=" for name in sorted(NAMED)), r"url\("]))
"""What an element has that names something; templates and the cleaner of notes write attributes in small letters."""
TELLING = frozenset({"base", "meta", "script", "style"})
ENDS = {tag: re.compile(f"</{tag}", re.IGNORECASE) for tag in ("script", "style")}
"""What is in these is not HTML."""
SAME_FILE_ONLY = frozenset({"use", "textpath", "mpath", "lineargradient", "radialgradient", "pattern", "filter"})
"""SVG elements whose reference browsers do not follow to another file on disk."""

PLAIN_PATH = re.compile(r"(?:\.?[A-Za-z0-9_-][A-Za-z0-9._-]*/)*\.?[A-Za-z0-9_-][A-Za-z0-9._-]*")
TAG = re.compile(r"""<!--.*?-->|<([a-zA-Z][^\s/>]*)((?:[^"'>]++|"[^"]*"|'[^']*')*+)>""", re.DOTALL)
ATTRIBUTE = re.compile(r"""([^\s"'>/=]+)(?:\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+)))?""")
CSS_URL = re.compile(r"""url\(\s*(?:"([^"]*)"|'([^']*)'|([^"')]*?))\s*\)|@import\s+["']([^"']*)["']""", re.IGNORECASE)
CSS_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
SCRIPT_ADDRESS = re.compile(r"""https?:/{1,2}[^\s"'`<>)]+|["'`]//[\w.-]+""")
ANIMATION = re.compile(r"-a\d+$")
REFRESH = re.compile(r"^\s*[\d.]+\s*[;,]\s*(?:url\s*=)?\s*['\"]?([^'\"]*)", re.IGNORECASE)
NAMESPACES = re.compile(
    r"http://www\.w3\.org/(?:2000/svg|1999/xlink|1999/xhtml|2000/xmlns/|XML/1998/namespace|1998/Math/MathML)$"
)


@dataclass(frozen=True)
class Link:
    """One reference as it is written. `loads` is False where the browser follows it only when the reader asks."""

    line: int
    where: str
    url: str
    loads: bool = True
    external: bool = False
    same_file: bool = False


@dataclass
class Leaf:
    """What one file defines and points at."""

    links: list[Link] = field(default_factory=list)
    ids: set[str] = field(default_factory=set)
    wanted_ids: list[tuple[int, str, str]] = field(default_factory=list)
    faults: list[tuple[int, str]] = field(default_factory=list)

    def element(self, line: int, tag: str, attributes: Attributes) -> None:
        given = {name: value or "" for name, value in attributes}
        rel = given.get("rel", "").lower().split()
        for name, value in given.items():
            where = f"<{tag}> {name}"
            if name == "id":
                if value in self.ids:
                    self.faults.append((line, f"the id {value!r} stands twice"))
                self.ids.add(value)
            elif name in URL_ATTRIBUTES or (name == "data" and tag == "object"):
                names = tag == "link" and rel == ["canonical"]
                pressed = tag in ("a", "area") and name != "ping"
                external = names or "external" in rel
                self.links.append(Link(line, where, value, not (names or pressed), external, tag in SAME_FILE_ONLY))
            elif name in SRCSET_ATTRIBUTES:
                urls = (candidate.split()[0] for candidate in re.split(r",\s+|,$", value) if candidate.strip())
                self.links += [Link(line, where, url) for url in urls]
            elif name in ID_ATTRIBUTES:
                self.wanted_ids += [(line, where, wanted) for wanted in value.split()]
            elif name == "usemap":
                self.faults.append((line, "image maps are not checked; use links in a drawing"))
            elif "url(" in value:
                self.css(line, where, value, same_file=name != "style")
        if tag == "base" or (tag == "iframe" and "srcdoc" in given):
            self.faults.append((line, f"<{tag}> changes where links lead; write them out instead"))
        if tag == "script" and given.get("type", "").lower() == "module":
            self.faults.append((line, "a module script does not run from disk; use a classic one with defer"))
        if "integrity" in given:
            self.faults.append((line, "a file with integrity= does not load from disk"))
        if (
            tag == "meta"
            and given.get("http-equiv", "").lower() == "refresh"
            and (found := REFRESH.match(given.get("content", "")))
        ):
            self.links.append(Link(line, "<meta> refresh", found[1]))

    def css(self, line: int, where: str, text: str, same_file: bool = False) -> None:
        bare = CSS_COMMENT.sub(lambda comment: "\n" * comment[0].count("\n"), text)
        for found in CSS_URL.finditer(bare):
            at = line + bare.count("\n", 0, found.start())
            url = next((group for group in found.groups() if group is not None), "")
            self.links.append(Link(at, where, url, same_file=same_file))

    def script(self, line: int, text: str) -> None:
        for found in SCRIPT_ADDRESS.finditer(text):
            if not NAMESPACES.match(found[0]):
                at = line + text.count("\n", 0, found.start())
                self.faults.append((at, f"the script names another machine: {found[0].strip(chr(34))}"))


def _read_html(text: str) -> Leaf:
    """Elements that name nothing, most of them parts of drawings, are passed over."""
    leaf, line, counted, place = Leaf(), 1, 0, 0
    while (found := TAG.search(text, place)) is not None:
        place = found.end()
        tag, given = (found[1] or "").lower(), found[2]
        if not tag or not (tag in TELLING or NAMING.search(given)):
            continue
        line, counted = line + text.count("\n", counted, found.start()), found.start()
        attributes: list[tuple[str, str | None]] = [
            (name.lower(), unescape(a or b or c)) for name, a, b, c in ATTRIBUTE.findall(given)
        ]
        leaf.element(line, tag, attributes)
        if tag in ENDS:
            end = ENDS[tag].search(text, place)
            inside, start = text[place : end.start() if end else len(text)], line + found[0].count("\n")
            place += len(inside)
            if tag == "style":
                leaf.css(start, "<style>", inside)
            elif (dict(attributes).get("type") or "").lower() in ("", "text/javascript", "module"):
                leaf.script(start, inside)
    return leaf


def _read_xml(text: str) -> Leaf:
    """Also refuses what is not well-formed: a browser shows a drawing that stands alone whole or not at all."""
    leaf, parser = Leaf(), expat.ParserCreate()
    text_since: list[tuple[int, list[str]]] = []

    def start(tag: str, given: dict[str, str]) -> None:
        text_since.append((parser.CurrentLineNumber, []))
        leaf.element(parser.CurrentLineNumber, tag.lower(), list(given.items()))

    def end(tag: str) -> None:
        line, texts = text_since.pop()
        if tag == "style":
            leaf.css(line, "<style>", "".join(texts))
        elif tag == "script":
            leaf.script(line, "".join(texts))

    def doctype(*_: object) -> None:
        raise ValueError("has a doctype; a drawing needs none")

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = lambda data: text_since[-1][1].append(data)
    parser.StartDoctypeDeclHandler = doctype
    try:
        parser.Parse(text, True)
    except expat.ExpatError as error:
        leaf.faults.append((error.lineno, f"is not well-formed: {expat.errors.messages[error.code]}"))
    except ValueError as error:
        leaf.faults.append((parser.CurrentLineNumber, str(error)))
    return leaf


def _read_css(text: str) -> Leaf:
    leaf = Leaf()
    leaf.css(1, "url()", text)
    return leaf


def _read_script(text: str) -> Leaf:
    leaf = Leaf()
    leaf.script(1, text)
    return leaf


def _read_manifest(text: str) -> Leaf:
    leaf = Leaf()

    def walk(value: object, key: str) -> None:
        if isinstance(value, dict):
            for name, inner in value.items():
                walk(inner, name)
        elif isinstance(value, list):
            for inner in value:
                walk(inner, key)
        elif isinstance(value, str) and key in ("src", "start_url", "url"):
            leaf.links.append(Link(1, key, value))

    try:
        walk(json.loads(text), "")
    except ValueError as error:
        leaf.faults.append((1, f"is not JSON: {error}"))
    return leaf


READERS = {".html": _read_html, ".svg": _read_xml, ".css": _read_css, ".js": _read_script, ".webmanifest": _read_manifest}


@dataclass(frozen=True)
class Checked:
    """Some files of a site looked at by themselves, and what is left to be looked at when the others are known."""

    paths: tuple[str, ...]
    faults: tuple[tuple[str, int, str], ...]
    """(path, line, fault) of what is wrong whatever the other files are."""
    ids: Mapping[str, Container[str]]
    """Path → the ids that a link from another file may name; those of animations are none."""
    outward: tuple[tuple[str, Link], ...]
    """(path, link) of links to files that are not among these."""

    def as_json(self) -> dict[str, Any]:
        """To be kept, or sent from one process to another."""
        links = [[path, link.line, link.where, link.url] for path, link in self.outward]
        return {"paths": self.paths, "faults": self.faults, "ids": self.ids, "outward": links}

    @classmethod
    def of_json(cls, data: Mapping[str, Any]) -> Checked:
        """As it was."""
        faults = tuple((path, line, fault) for path, line, fault in data["faults"])
        return cls(tuple(data["paths"]), faults, data["ids"], tuple((path, Link(*link)) for path, *link in data["outward"]))


def checked(files: Mapping[str, bytes]) -> Checked:
    """Look at some files of a site by themselves."""
    faults: list[tuple[str, int, str]] = []
    leaves: dict[str, Leaf] = {}
    for path, content in files.items():
        if read := READERS.get(posixpath.splitext(path)[1]):
            try:
                leaves[path] = read(content.decode("utf-8"))
            except UnicodeDecodeError:
                faults.append((path, 0, "is not UTF-8"))
    here = _Known(files, {path: leaf.ids for path, leaf in leaves.items()})
    outward = []
    for path, leaf in leaves.items():
        faults += [(path, line, fault) for line, fault in leaf.faults]
        faults += [
            (path, line, f"{where} names {id_!r}, no id here") for line, where, id_ in leaf.wanted_ids if id_ not in leaf.ids
        ]
        for link in leaf.links:
            target, fault = _led(path, link)
            if target is not None and target not in files:
                outward.append((path, link))
            elif fault := fault or here.fault(target, link):
                faults.append((path, link.line, f"{link.where} {link.url[:120]!r}: {fault}"))
    ids = {path: sorted(id_ for id_ in leaf.ids if not ANIMATION.search(id_)) for path, leaf in leaves.items()}
    return Checked(tuple(files), tuple(faults), ids, tuple(outward))


def faults_of(parts: Callable[[], Iterable[Checked]]) -> list[str]:
    """All that is wrong with the links and paths of the site whose parts these are, one line each, in order.

    `parts` is called twice, so that they need not all be held at once.
    """
    paths: set[str] = set()
    ids: dict[str, Container[str]] = {}
    faults: list[tuple[str, int, str]] = []
    for part in parts():
        paths.update(part.paths)
        ids |= part.ids
        faults += part.faults
    faults += [(path, 0, fault) for path, fault in _path_faults(paths)]
    known = _Known(paths, ids)
    for part in parts():
        for path, link in part.outward:
            if fault := known.fault(_led(path, link)[0], link):
                faults.append((path, link.line, f"{link.where} {link.url[:120]!r}: {fault}"))
    return [f"{path}:{line}: {fault}" if line else f"{path}: {fault}" for path, line, fault in sorted(set(faults))]


def check_links(site: Mapping[str, bytes]) -> list[str]:
    """All that is wrong with the site's links and paths, one line each ("page.html:12: …"), in order; empty when sound."""
    whole = checked(site)
    return faults_of(lambda: [whole])


def check_folder(folder: Path) -> list[str]:
    """`check_links` for a site that lies on disk; hidden files (the marker, .gitignore) are no part of it."""
    files = {path.relative_to(folder): path for path in sorted(folder.rglob("*")) if path.is_file()}
    shown = {name: path for name, path in files.items() if not any(step.startswith(".") for step in name.parts)}
    site = {name.as_posix(): path.read_bytes() for name, path in shown.items()}
    return check_links(site) if site else [f"{folder}: no site lies here"]


def _path_faults(site: Collection[str]) -> Iterator[tuple[str, str]]:
    folders = {path[:at] for path in site for at, sign in enumerate(path) if sign == "/"}
    seen: dict[str, str] = {}
    for path in sorted(site):
        if not PLAIN_PATH.fullmatch(path):
            yield path, "a path of the site is made of names, joined by '/', of letters, digits, '.', '_' and '-'"
        if path in folders:
            yield path, "is a file and a folder at once"
        if (twin := seen.setdefault(path.casefold(), path)) != path:
            yield path, f"differs from {twin} only in capitals, which some disks cannot hold"


def _led(page: str, link: Link) -> tuple[str | None, str]:
    """(the file of the site that a link names, None where it names none; what is wrong with it in any site)."""
    try:
        url = urlsplit(link.url.strip())
    except ValueError:
        return None, "is no address"
    if url.scheme or url.netloc or link.url.strip().startswith(("//", "\\")):
        return None, _outside_fault(page, url.scheme, url.netloc, link)
    if url.path.startswith("/"):
        return None, "starts at the root of a host; write it relative to this page"
    target = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(url.path))) if url.path else page
    if target.startswith("../") or target == "..":
        return None, "leads out of the site"
    if link.same_file and target != page:
        return None, "browsers do not follow this to another file on disk; bring it into this one"
    return target, ""


class _Known:
    """The files that there are, and their ids."""

    def __init__(self, paths: Collection[str], ids: Mapping[str, Container[str]]) -> None:
        self.paths, self.ids = paths, ids
        self.by_case = {path.casefold(): path for path in paths}

    def fault(self, target: str | None, link: Link) -> str:
        """What is wrong with a link to a file, or an empty text."""
        if target is None:
            return ""
        url = urlsplit(link.url.strip())
        if target not in self.paths:
            if (alike := self.by_case.get(target.casefold())) is not None:
                return f"differs in capitals from {alike}"
            folder = url.path.endswith("/") or target == "." or any(path.startswith(target + "/") for path in self.paths)
            return "names a folder; from disk that opens no page" if folder else "no such file"
        if url.path.endswith("/"):
            return "no such file"
        if not link.url.strip():
            return "is empty"
        fragment = unquote(url.fragment)
        if fragment and fragment != "top" and target in self.ids and fragment not in self.ids[target]:
            return f"no id {fragment!r} in {target}"
        return ""


def _outside_fault(page: str, scheme: str, host: str, link: Link) -> str:
    if scheme == "data" and link.loads:
        return ""
    if scheme == "https" and host and not link.loads:
        # A host shows 404.html for any address, so its way home is written out in full.
        allowed = link.external or page == "404.html"
        return "" if allowed else 'leads outside; a source that is cited carries rel="external"'
    return "asks another machine or program; the site uses its own files only"
