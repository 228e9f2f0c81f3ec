"""A limit on the work that one example may cost."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


class Hung(Exception):  # noqa: N818
    """It took longer than any movement may."""


@contextmanager
def in_time(seconds: int) -> Iterator[None]:
    """Raises Hung after so many seconds of this process's own work."""

    def late(number: int, frame: object) -> None:
        raise Hung(f"more than {seconds} s")

    before = signal.signal(signal.SIGVTALRM, late)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
