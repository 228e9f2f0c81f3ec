"""A page in one file that reports to whoever runs it: a script joins it, and its policy lets this script in too."""

from __future__ import annotations

from pathlib import Path

from builder.pages.onefile import hashed

SCRIPT = Path("packs") / "scorm.js"
"""In the templates; no page of the site has it."""
POLICY, FOOT = "script-src ", "</footer>\n"


def reporting(page: bytes, templates: Path) -> bytes:
    """The page with the script between its text and its own scripts: it finds all that is asked, and comes before who asks."""
    script = (templates / SCRIPT).read_text("utf-8").strip()
    assert "</s" not in script.lower() and "<!--" not in script, "would end its element"
    text = page.decode("utf-8")
    assert text.count(POLICY) == 1 and text.count(FOOT) == 1, "a page in one file has one policy and one foot"
    text = text.replace(POLICY, f"{POLICY}{hashed(script)} ")
    return text.replace(FOOT, f"{FOOT}<script>{script}</script>\n").encode("utf-8")
