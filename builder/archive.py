"""A built site as one zip file: the same site makes the same bytes, whenever and by whomever it is packed."""

from __future__ import annotations

from pathlib import Path

from builder.ground.zips import zipped
from builder.publish import PublishError, written


def archive(out: Path) -> bytes:
    """What was written into `out`, and nothing that others keep there. Raises PublishError: there is no site of ours."""
    try:
        return zipped({path: (out / path).read_bytes() for path in written(out)})
    except OSError as error:
        raise PublishError(f"{error.filename} cannot be read: build the site again") from None
