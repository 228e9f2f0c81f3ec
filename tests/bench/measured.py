"""What a command costs: time on the clock, time of all its processes, and the memory of the largest of them."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Cost:
    """Of one run."""

    wall_s: float
    cpu_s: float
    """User and system, of the command and of every process it began."""
    peak_mib: float
    """Resident memory of its largest process."""

    def row(self) -> dict[str, float]:
        """For the results."""
        return {name: round(value, 3) for name, value in asdict(self).items()}


def cost(*arguments: object) -> Cost:
    """Run `python -m builder` with some arguments. Raises CalledProcessError where it fails."""
    command = [sys.executable, "-m", "builder", *map(str, arguments)]
    start = time.perf_counter()
    child = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    wall_s = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise subprocess.CalledProcessError(child.returncode, command)
    return Cost(wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def machine() -> dict[str, object]:
    """What it was measured on."""
    models = [line.split(":")[1].strip() for line in _read("/proc/cpuinfo").splitlines() if line.startswith("model name")]
    memory = next((int(line.split()[1]) for line in _read("/proc/meminfo").splitlines() if line.startswith("MemTotal")), 0)
    return {
        "cores": len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count(),
        "processor": models[0] if models else platform.processor(),
        "memory_gib": round(memory / 2**20, 1),
        "system": platform.system(),
        "python": platform.python_version(),
        "load": [round(each, 2) for each in os.getloadavg()],
    }


def _read(path: str) -> str:
    try:
        return Path(path).read_text("utf-8")
    except OSError:
        return ""
