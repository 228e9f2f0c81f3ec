"""Kills builds and says what it finds: run as a program by test_publish.py, since forking wants a small process of one thread.

    python tests/kill_builds.py (steps | random | together) (exchange | "two renames" | "in place") FOLDER

prints a JSON list of what lay in the folder after each kill.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from pathlib import Path

from builder import publish as publishing
from builder.publish import MARKER, publish

OLD = {"index.html": b"<p>old</p>", "going/beat.html": b"<p>old</p>", "gone/last.svg": b"<svg/>"}
NEW = {"index.html": b"<p>new</p>", "going/beat.html": b"<p>new</p>" * 500, "fresh/first.svg": b"<svg> </svg>"}
OTHERS = {".gitignore": b"*\n", "CNAME": b"clock.example\n", "notes/teacher.txt": b"mine"}


def read(folder: Path) -> dict[str, bytes]:
    """Everything in the folder but our marker."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file() and path.name != MARKER)
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def write(folder: Path, files: dict[str, bytes]) -> None:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


def state(out: Path) -> str:
    """Which site lies there whole."""
    for name, folder in (("", out), (" aside", out.with_name(f".{out.name}.aside"))):
        if folder.exists():
            found = read(folder)
            return next(
                (which + name for which, site in (("old", OLD), ("new", NEW)) if found == site | OTHERS), f"torn: {found}"
            )
    return "none"


def kill_at_every_step(out: Path) -> list[str]:
    """Kill a build at its first call to the system, then at its second, and so on until one comes through."""
    seen = []
    while True:
        child = os.fork()
        if child == 0:
            left = len(seen)

            def count(event: str, details: tuple) -> None:
                nonlocal left
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)
                left -= 1

            sys.addaudithook(count)
            publish(NEW, out)
            os._exit(0)
        finished = os.waitpid(child, 0)[1] == 0
        seen.append(state(out))
        publishing._mend(out)
        seen[-1] += ", mended " + state(out)
        publish(OLD, out)
        if finished or state(out) != "old" or len(list(out.parent.iterdir())) > 1:
            return [*seen, state(out)]


def kill_at_random(out: Path, times: int = 200) -> list[str]:
    """Kill a process that writes old and new in turn, at random moments."""
    moments, seen = random.Random(1), []
    for _ in range(times):
        child = os.fork()
        if child == 0:
            while True:
                publish(NEW, out)
                publish(OLD, out)
        time.sleep(moments.uniform(0, 0.03))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        seen.append(state(out))
    publishing._mend(out)
    return [*seen, state(out)]


def write_together(out: Path, times: int = 20) -> list[str]:
    """Two processes write at once, over and over; their exit codes, and what lies there in the end."""
    children = []
    for _ in range(2):
        if (child := os.fork()) == 0:
            for _ in range(times):
                publish(NEW, out)
            os._exit(0)
        children.append(child)
    return [*(str(os.waitpid(child, 0)[1]) for child in children), state(out)]


def write_in_place() -> None:
    """For comparison, a swap that is none: page after page into the folder that people read."""

    def copy(target: Path) -> None:
        for path, content in read(publishing._stage(target)).items():
            write(target, {path: content})

    publishing._swap = copy


if __name__ == "__main__":
    what, swap, folder = sys.argv[1:]
    if swap == "two renames":
        publishing._exchange = lambda one, other: False
    elif swap == "in place":
        write_in_place()
    os.fsync = lambda handle: None  # a kill, unlike a power failure, loses nothing that was written: no need to wait
    run = {"steps": kill_at_every_step, "random": kill_at_random, "together": write_together}[what]
    json.dump(run(Path(folder)), sys.stdout)
