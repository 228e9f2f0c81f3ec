"""Work done in several processes at once, its results in order."""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import active_children, get_context, parent_process
from typing import Any, TypeVar

from builder.ground.faults import PlainlySaid

T = TypeVar("T")


class BrokenError(PlainlySaid):
    """A process ended before its work was done."""


def cores() -> int:
    """Those that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Helpers:
    """Further processes, begun when there is work for more than one, and ended with the `with` block."""

    def __init__(self, jobs: int | None = None) -> None:
        """`jobs` processes at most; None is one for each core."""
        self.jobs = cores() if jobs is None else jobs
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Helpers:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if self._pool is not None:
            if kind is not None and not issubclass(kind, Exception):  # Ctrl-C: what is half done is not waited for
                for helper in active_children():
                    helper.terminate()
            self._pool.shutdown(wait=False, cancel_futures=True)

    def each(self, work: Callable[..., T], calls: Sequence[tuple[Any, ...]]) -> Iterator[T]:
        """`work(*call)` of each call, in the order of the calls.

        Helpers begin with it at once; where there are none, each call is worked when it is asked for. A single call is worked
        here, unless helpers are there already. Raises what the work raises, and BrokenError where a process is killed.
        """
        if self._pool is None and min(self.jobs, len(calls)) >= 2:
            # Begun anew and not forked: what threads of this process hold at the moment would stay held in a copy of it.
            self._pool = ProcessPoolExecutor(min(self.jobs, len(calls)), get_context("spawn"), _begin)
        if self._pool is None:
            return (work(*call) for call in calls)
        with _said(), _uninterrupted():
            return _results([self._pool.submit(work, *call) for call in calls])


def _results(waiting: list[Future[T]]) -> Iterator[T]:
    with _said():
        while waiting:
            yield waiting.pop(0).result()


@contextmanager
def _said() -> Iterator[None]:
    """That a process was killed is told in a sentence."""
    try:
        yield
    except BrokenProcessPool:
        raise BrokenError(
            "A process of the build was ended from outside, perhaps for want of memory; nothing was changed. Try --jobs 1."
        ) from None


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Ctrl-C is passed over, also by a helper that is begun meanwhile, until it says otherwise: it would tell of it at length."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _begin() -> None:
    """Ctrl-C ends a helper at once and in silence, and none outlives the process that began it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
