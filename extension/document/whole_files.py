"""Files that are written whole or not at all, whatever happens meanwhile."""
from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_whole(place: Path, files: Mapping[str, bytes]) -> None:
    """Write every file of a folder aside, then move each into its place, so that none is ever half written.

    One that is there is replaced and keeps its permissions.  Raises OSError, and then all stand as they were,
    unless moving itself failed midway.
    """
    aside: list[Path] = []
    try:
        for name, content in files.items():
            number, unfinished = tempfile.mkstemp(dir=place, prefix=".unfinished-")
            aside.append(Path(unfinished))
            with os.fdopen(number, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            old = place / name
            aside[-1].chmod(old.stat().st_mode & 0o777 if old.exists() else 0o666 & ~_umask())
        for written, name in zip(list(aside), files):
            written.replace(place / name)
            aside.remove(written)
    finally:
        for left_over in aside:
            left_over.unlink()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
