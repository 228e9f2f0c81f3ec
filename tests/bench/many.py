"""Large collections: cost and memory a movement, with ten of them and with many, and what a second process gains.

The movements are the counted clock of the tests with other sizes and names: drawn and paged whole, but without a solved beat.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

from tests.bench.measured import Cost, cost
from tests.movement_texts import named, write_collection, write_movement

FEW = 10


def collection(models: Path, count: int) -> None:
    """So many movements, each a little larger than the one before."""
    write_collection(models)
    for number in range(count):
        data = named(f"Clock {number + 1}")
        for arbor in data["arbors"]:
            if "wheel" in arbor and "module_mm" in arbor["wheel"]:
                arbor["wheel"]["module_mm"] = round(arbor["wheel"]["module_mm"] * (1 + number * 1e-5), 6)
        write_movement(models, data, f"clock_{number + 1:04d}")


def many(folder: Path, counts: tuple[int, ...]) -> dict[str, Any]:
    """Rows by count, with what one more movement costs, side by side with ten."""
    rows: dict[int, dict[str, object]] = {}
    costs: dict[int, Cost] = {}
    for count in (FEW, *counts):
        models = folder / f"models{count}"
        collection(models, count)
        costs[count] = cost("build", "--quiet", "--no-store", "--models", models, "--out", folder / "site")
        rows[count] = costs[count].row() | {"cpu_s_each": round(costs[count].cpu_s / count, 4)}
        shutil.rmtree(folder / "site")
    base = costs[FEW]
    for count in counts:
        rows[count] |= {
            "cpu_each_to_ten": round((costs[count].cpu_s / count) / (base.cpu_s / FEW), 3),
            "peak_to_ten": round(costs[count].peak_mib / base.peak_mib, 3),
        }
    one = cost("build", "--quiet", "--no-store", "--jobs", 1, "--models", folder / f"models{counts[0]}", "--out", folder / "site")
    two = cost("build", "--quiet", "--no-store", "--jobs", 2, "--models", folder / f"models{counts[0]}", "--out", folder / "site")
    gain = {
        "of": counts[0],
        "one": one.row(),
        "two": two.row(),
        "wall_one_to_two": round(one.wall_s / two.wall_s, 2),
        "cores_used_by_two": round(two.cpu_s / two.wall_s, 2),
    }
    return {"by_count": {str(count): row for count, row in rows.items()}, "processes": gain}
