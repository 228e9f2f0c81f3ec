"""The one jinja environment: autoescaped, and an undefined name is an error."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from builder.ground.wording import Wording
from builder.pages.onefile import style_attributes


def environment(templates: Path, wording: Wording) -> Environment:
    """Templates from templates/pages with the wording as `say`."""
    env = Environment(
        loader=FileSystemLoader(templates / "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    env.globals["style_attributes"] = style_attributes()
    env.globals["say"] = wording.say
    env.globals["words_of"] = wording.__getitem__
    env.globals["has_wording"] = wording.__contains__
    return env


def render(env: Environment, name: str, **context: Any) -> bytes:
    """One page as bytes."""
    return env.get_template(name).render(**context).encode("utf-8")
