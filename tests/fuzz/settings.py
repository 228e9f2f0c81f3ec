"""How much is looked at: a small share, always the same, in the tests; ever other ones in a long run (long.py)."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings

BY_CHANCE = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.generate],
)


def share(examples: int) -> settings:
    """So many examples, the same at every run."""
    return settings(BY_CHANCE, max_examples=examples)


@contextmanager
def scratch() -> Iterator[Path]:
    """A folder for one example."""
    with tempfile.TemporaryDirectory() as folder:
        models = Path(folder) / "models"
        models.mkdir()
        yield models
