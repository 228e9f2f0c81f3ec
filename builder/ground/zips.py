"""Zip files that are the same bytes whenever and by whomever they are made."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest time that an archive can tell: the same files make the same bytes."""


def put(archive: zipfile.ZipFile, name: str, data: bytes, level: int | None = None) -> None:
    """One file into an open archive, of no date and no owner; `level` is zlib's, None its usual one."""
    entry = zipfile.ZipInfo(name, FIRST_DAY)
    entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o100644 << 16
    archive.writestr(entry, data, compresslevel=level)


def zipped(files: Mapping[str, bytes]) -> bytes:
    """An archive of the files in the order of their names."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name in sorted(files):
            put(archive, name, files[name])
    return out.getvalue()
