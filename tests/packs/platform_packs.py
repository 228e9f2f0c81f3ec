"""Packs for learning platforms, made of one movement that is solved once for all tests that look at them."""

from __future__ import annotations

import argparse
import io
import os
import zipfile
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest

from builder.build import stock
from builder.packs import KINDS
from builder.packs.stock import Made, Stock
from tests.conftest import PROJECT

SLUG = "hall_clock"
VENDOR = PROJECT / "tests" / "vendor"

SCHEMAS = {
    "adlcp_rootv1p2.xsd": "173decaf9cd31ea847e6ff6853c702137974aca6b56567151aa4a885e0aa4883",
    "ims_xml.xsd": "9d2106a5edb2f4963277c94ba02c62d4e1fcb51ae2630e7c387316a90a41a0ce",
    "imscp_rootv1p1p2.xsd": "504af19bee4f8509ab9a14c740ca729cabc80199d2f5c2e2276a866578b05ef9",
    "imsmd_rootv1p2p1.xsd": "39ecb306ca0790987dee06a6e1ae08ea269567c487517e2602b91f38f9ca1ca6",
}
"""The schemas of SCORM 1.2 (ADL and IMS, 2001), by their sums. `make test` fetches a package that carries them."""


@cache
def movement() -> Stock:
    """One movement with its pages and drawings."""
    return stock(PROJECT / "models", SLUG)


def understood(kind: str, *given: str) -> argparse.Namespace:
    """These words after the movement's name as `pack` understands them. Raises SystemExit where it does not."""
    parser = argparse.ArgumentParser()
    KINDS[kind].arguments(parser)
    return parser.parse_args(given)


def made(kind: str, *given: str) -> Made:
    """What `pack` makes of these words after the movement's name."""
    return KINDS[kind].make(movement(), understood(kind, *given), lambda done, of: None)


@cache
def package(*given: str) -> dict[str, bytes]:
    """The files of a SCORM package."""
    with zipfile.ZipFile(io.BytesIO(made("scorm", *given).data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def schemas(to: Path) -> Path:
    """A folder with the schemas. Without them the test is skipped; with CI set it fails."""
    carriers = sorted((PROJECT / ".venv" / "schemas").glob("*.whl"))
    if not carriers:
        assert "CI" not in os.environ, "`make test` fetches the schemas; they are not there"
        pytest.skip("the schemas are not there; `make test` fetches them")
    with zipfile.ZipFile(carriers[0]) as carrier:
        for name in carrier.namelist():
            file = name.rpartition("/")[2]
            if file in SCHEMAS:
                (to / file).write_bytes(carrier.read(name))
                assert sha256(carrier.read(name)).hexdigest() == SCHEMAS[file], file
    return to
