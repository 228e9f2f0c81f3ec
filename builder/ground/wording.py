"""Every sentence a reader sees, from templates/wording/<language>/*.toml: Python names it, the files hold it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.ground.words import united

AS_TYPED = "formulas"
"""Lists under this key are laws as one would type them: a letter behind a figure is no unit."""


@dataclass(frozen=True)
class Wording:
    """All tables of one language under the names of their files: 'drawings.train_front.title'."""

    tables: Mapping[str, Any]

    @classmethod
    def load(cls, folder: Path) -> Wording:
        """Read every .toml of the folder. Raises OSError or tomllib.TOMLDecodeError: a fault of the project, not of a user."""
        return cls({path.stem: _joined(tomllib.loads(path.read_text("utf-8"))) for path in sorted(folder.glob("*.toml"))})

    def __getitem__(self, key: str) -> Any:
        """The text or table at a dotted key. Raises KeyError with the whole key."""
        at: Any = self.tables
        for step in key.split("."):
            try:
                at = at[step]
            except (KeyError, TypeError):
                raise KeyError(f"no wording for {key}") from None
        return at

    def __contains__(self, key: str) -> bool:
        try:
            self[key]
        except KeyError:
            return False
        return True

    def say(self, key: str, **facts: object) -> str:
        """The text with its {facts} filled in. Raises KeyError for a missing text or fact."""
        return str(self[key]).format(**facts)


def _joined(text: Any) -> Any:
    """A text, or all texts of a table or list, with a narrow space between a figure and its unit."""
    if isinstance(text, str):
        return united(text)
    if isinstance(text, list):
        return [_joined(each) for each in text]
    if isinstance(text, dict):
        return {key: each if key == AS_TYPED else _joined(each) for key, each in text.items()}
    return text
