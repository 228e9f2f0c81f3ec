"""The chapter pages of a site as a reader has them: their text, their steps, their links to the glossary."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from html import unescape

CHAPTERS = ("movement", "source", "train", "losses", "escapement", "oscillator", "hands", "setting")


@dataclass(frozen=True)
class Page:
    """One chapter's article."""

    path: str
    html: str

    @property
    def prose(self) -> str:
        """The article without its drawing, controls and navigation, as HTML."""
        whole = re.sub(r"<(svg|script|nav)\b.*?</\1>", "", self.html, flags=re.DOTALL)
        whole = re.sub(r'<div class="stage">.*?(?=<div class="steps">)', "", whole, flags=re.DOTALL)
        return re.sub(r'<section class="notes">.*?</section>', "", whole, flags=re.DOTALL)

    @property
    def text(self) -> str:
        """The prose alone, in one line a paragraph."""
        return plain(self.prose)

    @property
    def steps(self) -> list[tuple[str, dict]]:
        """(heading, what it asks of the drawing) of each step."""
        found = re.findall(r'<section class="step" id="[^"]*" data-show="([^"]*)">\s*<h2>(.*?)</h2>', self.html, re.DOTALL)
        return [(plain(heading).strip(), json.loads(unescape(show))) for show, heading in found]

    @property
    def parts(self) -> set[str]:
        """What the page's drawing has that can be marked."""
        return set(re.findall(r'data-part="([^"]*)"', self.html))


def plain(html: str) -> str:
    """Text of HTML: a line for each block."""
    broken = re.sub(r"</(p|h1|h2|li|summary|div)>", "\n", html)
    return re.sub(r"[ \n]*\n[ \n]*", "\n", unescape(re.sub(r"<[^>]*>", "", broken)))


def chapter_pages(files: dict[str, bytes], slug: str | None = None) -> list[Page]:
    """All chapter pages of a site, or of one movement, in the order of reading."""
    slugs = [slug] if slug else sorted({path.split("/")[0] for path in files if path.endswith("/learn-movement.html")})
    found = []
    for each in slugs:
        for key in CHAPTERS:
            html = files[f"{each}/learn-{key}.html"].decode()
            found.append(Page(f"{each}/learn-{key}.html", html[html.index("<article") : html.index("</article>")]))
    return found


def sentences(text: str) -> list[str]:
    """Sentences of running text; a decimal point, a fraction and an abbreviation end none."""
    found = []
    for line in text.split("\n"):
        found += re.split(r"(?<=[.?:;])\s+(?=[A-Z0-9])", line.strip())
    return [each for each in found if each]
