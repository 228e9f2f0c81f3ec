"""What a build of the demo site costs: from nothing, from the store, where nothing changed, after one file was edited."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.bench.measured import ROOT, Cost, cost

EDITED = "hall_clock"


def builds(folder: Path, times: int = 1) -> dict[str, Any]:
    """Rows and ratios; every build runs beside the others in one run, and the least of so many `times` counts."""
    models, store, site = folder / "models", folder / "store", folder / "site"
    shutil.copytree(ROOT / "models", models)
    where = ("build", "--quiet", "--models", models, "--out", site)
    runs: dict[str, Cost] = {}

    def least(name: str, *options: object, before: Callable[[], object] = lambda: None) -> None:
        for _ in range(times):
            before()
            found = cost(*where, *options)
            runs[name] = min(runs.get(name, found), found, key=lambda each: each.cpu_s)

    def nothing_there() -> None:
        shutil.rmtree(store, ignore_errors=True)
        shutil.rmtree(site, ignore_errors=True)

    def edited() -> None:
        file = models / EDITED / "movement.toml"
        file.write_text(file.read_text("utf-8") + "# a remark\n", "utf-8")

    least("cold, one process", "--no-store", "--jobs", 1, before=nothing_there)
    least("one movement", "--no-store", "--only", EDITED, before=nothing_there)
    least("cold", "--store", store, before=nothing_there)
    least("from the store", "--store", store, before=lambda: shutil.rmtree(site))
    least("nothing changed", "--store", store)
    least("one file edited", "--store", store, before=edited)
    cold = runs["cold"]
    return {
        "runs": {name: each.row() for name, each in runs.items()},
        "cpu_to_cold": {name: round(each.cpu_s / cold.cpu_s, 3) for name, each in runs.items()},
        "wall_of_one_process_to_cold": round(runs["cold, one process"].wall_s / cold.wall_s, 2),
        "cores_used_cold": round(cold.cpu_s / cold.wall_s, 2),
    }
