"""The long look: movements, texts and notes by chance, ever other ones, for as long as is asked.

    python tests/fuzz/long.py [--minutes 10] [--workers 2] [--start NUMBER] [--only PART] [--found .fuzz]

What fails is written to the folder `--found` with its traceback, once for each place in the builder, made as small as the time
allows, and the run ends with 1. The slowest movements are written there too. Parts are played in turn by each worker.
"""

from __future__ import annotations

import argparse
import contextlib
import multiprocessing
import os
import sys
import time
import traceback
import warnings
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.fuzz import whole  # noqa: E402
from tests.fuzz.movements import changed, composed, repaired  # noqa: E402
from tests.fuzz.reading import harmless, reads  # noqa: E402
from tests.fuzz.settings import scratch  # noqa: E402
from tests.fuzz.texts import broken, notes  # noqa: E402
from tests.movement_texts import toml  # noqa: E402

ROUND_S = 60
"""One part after the other, for so long each."""


def drawn(movement: Any) -> str:
    with scratch() as models:
        return whole.run(models, movement)


def with_pages(movement: Any) -> str:
    with scratch() as models:
        return whole.run(models, movement, pages=True)


def mended(example: Any) -> str:
    with scratch() as models:
        return whole.repaired(models, *example)


PARTS: dict[str, tuple[Callable[[], st.SearchStrategy[Any]], Callable[[Any], Any]]] = {
    "changed": (changed, drawn),
    "composed": (composed, drawn),
    "changed-pages": (changed, with_pages),
    "composed-pages": (composed, with_pages),
    "repairs": (repaired, mended),
    "texts": (broken, reads),
    "notes": (notes, harmless),
}


class TimeIsUp(BaseException):
    """Ends a round whatever Hypothesis is doing."""


def place_of(error: BaseException) -> str:
    """What went wrong and the last line of the builder on the way there, which tells one fault from another."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if f"{os.sep}builder{os.sep}" in frame.filename] or list(frames)
    line = "" if type(error).__name__ == "Hung" else f":{own[-1].lineno}"
    return f"{type(error).__name__} at {Path(own[-1].filename).name}{line}"


def look(part: str, number: int, until: float, found: Path, known: set[str], ended: Counter[str]) -> None:
    """One round of a part: all examples that the time allows, with a number from which they follow."""
    strategy, check = PARTS[part]
    slowest = 0.0

    @seed(number)
    @settings(deadline=None, database=None, max_examples=10**6, suppress_health_check=list(HealthCheck), phases=[Phase.generate])
    @given(strategy())
    def each(example: Any) -> None:
        nonlocal slowest
        if time.monotonic() > until:
            raise TimeIsUp
        start = time.process_time()
        try:
            ended[f"{part}: {check(example) or 'read'}"] += 1
        except Exception as error:
            ended[f"{part}: FAILED"] += 1
            if (where := place_of(error)) not in known:
                known.add(where)
                _keep(found, f"{part}-{number}-{len(known)}", example, "".join(traceback.format_exception(error)))
                print(f"{part} {number}: {where}: {str(error)[:160]!r}", flush=True)
        if (took := time.process_time() - start) > max(slowest, 5.0):
            slowest = took
            _keep(found, f"slowest-{part}-{number}", example, f"{took:.1f} s\n")

    with contextlib.suppress(TimeIsUp):
        each()


def _keep(found: Path, name: str, example: Any, said: str) -> None:
    found.mkdir(parents=True, exist_ok=True)
    text = toml(example) if isinstance(example, dict) else repr(example) if isinstance(example, tuple) else example
    (found / f"{name}.example").write_bytes(text if isinstance(text, bytes) else text.encode("utf-8", "replace"))
    (found / f"{name}.txt").write_text(said, "utf-8", "replace")


def work(worker: int, options: argparse.Namespace, ended: Any) -> None:
    """Rounds of all parts in turn until the time is up."""
    os.nice(10)
    warnings.simplefilter("error")  # as in the tests: a warning from numpy is a fault of ours
    end, known, counts = time.monotonic() + 60 * options.minutes, set[str](), Counter[str]()
    parts = [options.only] if options.only else list(PARTS)
    number = options.start + 1000 * worker
    while time.monotonic() < end:
        part = parts[(number + worker) % len(parts)]
        look(part, number, min(end, time.monotonic() + ROUND_S), options.found, known, counts)
        number += 1
    ended.put(dict(counts))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--start", type=int, default=int(time.time()) % 10**6, help="number of the first round; printed")
    parser.add_argument("--only", choices=PARTS)
    parser.add_argument("--found", type=Path, default=Path(".fuzz"))
    options = parser.parse_args()
    print(f"--start {options.start}", flush=True)
    ended: Any = multiprocessing.Queue()
    workers = [multiprocessing.Process(target=work, args=(n, options, ended)) for n in range(options.workers)]
    for each in workers:
        each.start()
    total = sum((Counter(ended.get()) for _ in workers), Counter[str]())
    for each in workers:
        each.join()
    for name, count in sorted(total.items()):
        print(f"{count:7} {name}")
    return 1 if any(name.endswith("FAILED") for name in total) else 0


if __name__ == "__main__":
    sys.exit(main())
