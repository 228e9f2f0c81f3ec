"""`make bench`: every figure beside another of the same run, written to tests/bench/results.json. No timing is a test.

python -m tests.bench [--count 100] [--count 1000] [--times 1] [--only builds|many|sizes|frames|solver]
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tests.bench.measured import cost, machine

RESULTS = Path(__file__).with_name("results.json")
SUBJECTS = ("builds", "many", "sizes", "frames", "solver")


def main() -> None:
    """Measure, print, and put what was measured into the results; what was not measured this time stays there."""
    parser = argparse.ArgumentParser(description="Ratios of one run, side by side.")
    parser.add_argument("--count", type=int, action="append", help="movements of a large collection (default: 100)")
    parser.add_argument("--times", type=int, default=1, help="builds of the demo site of which the least counts (default: 1)")
    parser.add_argument("--only", choices=SUBJECTS, action="append", help="measure this alone; may be given again")
    options = parser.parse_args()
    wanted = options.only or SUBJECTS
    results = json.loads(RESULTS.read_text("utf-8")) if RESULTS.exists() else {}
    with TemporaryDirectory(prefix="bench-") as name:
        folder = Path(name)
        if {"sizes", "frames"} & set(wanted):
            cost("build", "--quiet", "--out", folder / "demo")
        for subject in wanted:
            made = measured(subject, folder, options)
            if subject == "many" and "many" in results:
                made["by_count"] = results["many"]["by_count"] | made["by_count"]
            results[subject] = {"measured": time.strftime("%Y-%m-%d"), "machine": machine(), **made}
            print(json.dumps({subject: results[subject]}, indent=2))
            RESULTS.write_text(json.dumps(results, indent=2) + "\n", "utf-8")


def measured(subject: str, folder: Path, options: argparse.Namespace) -> dict[str, Any]:
    """One subject. Each imports what it needs only then: a process begins with the memory of the one that began it."""
    if subject == "builds":
        from tests.bench.builds import builds

        return builds(folder, options.times)
    if subject == "many":
        from tests.bench.many import many

        return many(folder, tuple(options.count or (100,)))
    if subject == "sizes":
        from tests.bench.sizes import sizes

        return sizes(folder / "demo")
    if subject == "frames":
        from tests.bench.frames import frames

        return frames(folder / "demo")
    from tests.bench.solver import solver

    return solver()


if __name__ == "__main__":
    main()
