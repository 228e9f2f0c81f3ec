"""What keeps a pack from being made."""

from __future__ import annotations

from builder.ground.faults import PlainlySaid


class PackError(PlainlySaid):
    """Why nothing was packed, and what to choose instead, in plain words."""


def no_pictures() -> PackError:
    """The packages that make pictures are not installed."""
    return PackError(
        "Pictures in pixels want a few more packages: pip install 'between-plates[pictures]' "
        "(in a copy of the source: .venv/bin/pip install -c constraints.txt -e '.[pictures]')."
    )
