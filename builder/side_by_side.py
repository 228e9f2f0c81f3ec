"""Work done in several processes at once, its results in order."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from typing import Any, TypeVar

from builder.ground.faults import PlainlySaid

T = TypeVar("T")


class BrokenError(PlainlySaid):
    """A process ended before its work was done."""


def cores() -> int:
    """Those that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def side_by_side(work: Callable[..., T], calls: Sequence[tuple[Any, ...]], jobs: int | None = None) -> Generator[T, None, None]:
    """`work(*call)` of each call, in the order of the calls; `jobs` processes at most, None for one a core.

    A single call, or a single job, needs no further process. Raises what the work raises, and BrokenError where a process is
    killed.
    """
    count = min(cores() if jobs is None else jobs, len(calls))
    if count < 2:
        for call in calls:
            yield work(*call)
        return
    # Begun anew and not forked: what threads of this process hold at the moment would stay held in a copy of it.
    pool = ProcessPoolExecutor(count, get_context("spawn"), _begin)
    try:
        waiting = [pool.submit(work, *call) for call in calls]
        while waiting:
            yield waiting.pop(0).result()
    except BrokenProcessPool:
        raise BrokenError(
            "A process of the build was ended from outside, perhaps for want of memory; nothing was changed. Try --jobs 1."
        ) from None
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _begin() -> None:
    """Ctrl-C ends a helper at once and in silence, and none outlives the process that began it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
