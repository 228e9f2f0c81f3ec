"""Where the builder's own files lie."""

from __future__ import annotations

from pathlib import Path

CODE = Path(__file__).parents[1]
TEMPLATES = CODE.parent / "templates"
AUTHORITIES = CODE.parent / "tests" / "authorities"
"""Published values, which the page on computing sets beside computed ones; not there where the tests were left out."""
