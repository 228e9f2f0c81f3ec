"""What tests of the whole site share: the demo site, built once."""

from __future__ import annotations

import fcntl
import os
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[1]


@dataclass(frozen=True)
class BuiltSite:
    """The demo site: its files by path, and the folder where they lie."""

    files: dict[str, bytes]
    folder: Path

    @property
    def pages(self) -> list[str]:
        """Paths of the HTML pages. Of the files that travel alone, which are alike, there are a few of one movement."""
        alone = re.compile(r"/embed/|/paper/|/lesson\.html$")
        names = (
            "embed/train-front",
            "embed/oscillator",
            "embed/power-flow",
            "lesson",
            "paper/worksheet-1",
            "paper/worksheet-1-answers",
        )
        some = {f"pocket_watch/{name}.html" for name in names}
        return sorted(path for path in self.files if path.endswith(".html") and (path in some or not alone.search(path)))


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> BuiltSite:
    """The demo site as `build` leaves it. Workers that run side by side share one folder: the first there builds it."""
    from builder.build import build_site
    from builder.publish import MARKER, publish

    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    folder = shared / "demo-site"
    with (shared / "demo-site.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            publish(build_site(PROJECT / "models"), folder)
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != MARKER)
    return BuiltSite({path.relative_to(folder).as_posix(): path.read_bytes() for path in files}, folder)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """How many published values were compared, and how many of them the builder does not come to."""
    held, missed = (
        sum("test_published.py::test_published_value[" in report.nodeid for report in terminalreporter.stats.get(outcome, []))
        for outcome in ("passed", "failed")
    )
    if held or missed:
        terminalreporter.write_line(f"published values: {held + missed} compared, {missed} not met")
