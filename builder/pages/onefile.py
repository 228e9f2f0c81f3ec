"""A page as one file: style and scripts inside it, and a policy that lets in these and nothing else, told by their hashes."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

COMMENT = re.compile(r"/\*.*?\*/\s*", re.DOTALL)
POLICY = "default-src 'none'; style-src {styles}; script-src {scripts}; img-src data:; base-uri 'none'; form-action 'none'"
"""Where a page is framed in a sandbox, its origin is nobody's and 'self' lets nothing in; a hash does."""


STYLE_ATTRIBUTES = ("hidden", "visible", "text-align:left", "text-align:center", "text-align:right")
"""The only style attributes that a page's policy lets in: columns of notes, and what Firefox takes for one where an animation
within the page changes whether something is seen."""


def style_attributes() -> str:
    """Them, as the policy names them."""
    return " ".join(["'unsafe-hashes'", *map(hashed, STYLE_ATTRIBUTES)])


@dataclass(frozen=True)
class Inside:
    """What stands between the style tags and each pair of script tags, and the policy for a meta tag."""

    style: Markup
    scripts: tuple[Markup, ...]
    policy: str


def inside(static: Path, styles: tuple[str, ...], scripts: tuple[str, ...], more: str = "") -> Inside:
    """The named files of templates/static, ready to be put into a page, `more` after the styles. Their comments do not travel."""
    read = [COMMENT.sub("", (static / name).read_text("utf-8")).strip() for name in styles]
    style = "\n".join([*read, *([more] if more else [])])
    texts = [(static / name).read_text("utf-8").strip() for name in scripts]
    for text in (style, *texts):
        assert "</s" not in text.lower() and "<!--" not in text, "would end its element"
    policy = POLICY.format(styles=f"{hashed(style)} {style_attributes()}", scripts=" ".join(map(hashed, texts)) or "'none'")
    return Inside(Markup(style), tuple(Markup(text) for text in texts), policy)  # nosec B704 # our own files


def hashed(text: str) -> str:
    """A script or a style as a policy names it."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode('ascii')}'"
