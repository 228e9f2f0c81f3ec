"""Kills whole builds, reading and solving and store and all, and says what it finds.

    python tests/kill_whole_builds.py TIMES FOLDER

Two models take turns; each build, every other pair of them from nothing, is killed with all its processes at a random moment.
Prints JSON: how often each site lay there whole, how often one was torn, and whether the next build mended what was left.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from builder.__main__ import main  # noqa: E402
from builder.publish import MARKER  # noqa: E402
from tests.movement_texts import eight_day, write_collection, write_movement  # noqa: E402

NAMES = ("First", "Second")


def model(folder: Path, name: str) -> None:
    data = eight_day()
    data["movement"]["name"] = name
    write_collection(folder / "models")
    write_movement(folder / "models", data)


def build(folder: Path) -> int:
    return main(["build", "--quiet", "--jobs", "1", "--models", str(folder / "models"), "--out", str(folder / "site")])


def read(site: Path) -> dict[str, bytes]:
    """All files of a site but the marker."""
    files = (path for path in sorted(site.rglob("*")) if path.is_file() and path.name != MARKER)
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in files}


def killed(folder: Path, after_s: float) -> bool:
    """Build in a group of processes of its own, and kill that after so long. False where it was through before."""
    child = os.fork()
    if child == 0:
        os.setpgid(0, 0)
        os._exit(build(folder))
    os.setpgid(child, child)  # whichever of the two comes first: there is a group to be killed from here on
    time.sleep(after_s)
    over = os.waitpid(child, os.WNOHANG)[0] != 0
    if not over:
        os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
    return not over


def kill(folder: Path, times: int) -> dict[str, int]:
    """What lay there after each kill, by name of the model; torn where it is neither whole."""
    whole: dict[str, dict[str, bytes]] = {}
    took_s: list[float] = []
    for name in (*NAMES, NAMES[0]):
        model(folder, name)
        start = time.monotonic()
        assert build(folder) == 0
        took_s.append(time.monotonic() - start)
        whole[name] = read(folder / "site")
    moments, seen = random.Random(2), Counter[str]()
    for n in range(times):
        name = NAMES[n % 2]
        model(folder, name)
        anew = n % 4 < 2
        if anew:
            shutil.rmtree(folder / ".between-plates-store", ignore_errors=True)
        most_s = took_s[1] if anew else took_s[2]
        seen["killed" if killed(folder, most_s * moments.uniform(0.0, 0.8)) else "through"] += 1
        found = read(folder / "site")
        seen[next((name for name, site in whole.items() if site == found), "torn")] += 1
        if n % 8 == 7:
            assert build(folder) == 0
            tidy = sorted(path.name for path in folder.iterdir()) == [".between-plates-store", "models", "site"]
            seen["mended" if tidy and read(folder / "site") == whole[name] else "not mended"] += 1
    return dict(seen)


if __name__ == "__main__":
    os.fsync = lambda handle: None  # a kill, unlike a power failure, loses nothing that was written: no need to wait
    found = kill(Path(sys.argv[2]), int(sys.argv[1]))
    print(json.dumps(found))
    sys.exit("torn" in found or "not mended" in found)
