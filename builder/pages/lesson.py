"""Several pages of the site as sections of one file with everything inside, to send by mail or to carry on a stick.

Works on finished pages: their styles and scripts come along in the order in which the pages name them, links between them
become anchors, and links to what is not in the file lose their target but not their words. Where the file would be too large
to mail, drawings are packed, and a script unpacks them; where that is not enough, the last pages stay out.
"""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence
from pathlib import Path

from jinja2 import Environment
from markupsafe import Markup

from builder.ground.wording import Wording
from builder.pages.onefile import inside
from builder.pages.packed import Figures, Said
from builder.pages.render import render
from builder.pages.section import Page, Within, names_of, section
from builder.pages.shown import Context

LIMIT = 400_000
"""Bytes that a lesson may have: what every mailbox takes."""


def lesson(
    pages: Sequence[Page], title: str, description: str, files: Mapping[str, bytes], static: Path, env: Environment,
    frame: Context, wording: Wording,
) -> bytes:  # fmt: skip
    """The pages as one file. `files` are those of the site, by path, for the pictures that the pages show."""
    figures = Figures(Said(*(html.escape(wording.say(f"class.lesson.{key}")) for key in ("again", "packed", "wound"))))
    texts = [figures.taken(page.main) for page in pages]
    anchors = {page.path: page.anchor for page in pages}
    within = Within(names_of(pages, texts, figures.ids), anchors, files, alone=len(pages) == 1)
    sections = [(page.anchor, page.label, section(page, text, within)) for page, text in zip(pages, texts, strict=True)]
    styles = dict.fromkeys(name for page in pages for name in page.styles)
    scripts = dict.fromkeys(name for page in pages for name in page.scripts)
    carried = inside(static, (*styles, "lesson.css"), ("lesson.js", *scripts))
    for drawn in (figures, figures.lean()):
        for clear in (len(drawn.inner), 1, 0):
            made = render(
                env, "lesson.html.jinja", **{**frame, "base_url": None}, title=title, description=description, inside=carried,
                sections=[(anchor, label, Markup(drawn.put_back(text, clear))) for anchor, label, text in sections],  # nosec B704 # ours
                pack=Markup(drawn.pack(clear)) if clear < len(drawn.inner) else None,  # nosec B704 # base64
            )  # fmt: skip
            if len(made) <= LIMIT:
                return made
    assert len(pages) > 1, f"{title} has no room in {LIMIT} bytes"
    return lesson(pages[:-1], title, description, files, static, env, frame, wording)
