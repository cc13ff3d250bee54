"""Files that are written together or not at all, whatever happens meanwhile."""
from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_whole(place: Path, files: Mapping[str, bytes], keep_replaced: bool = False) -> None:
    """Write every file of a folder aside, then move each into its place, so that none is ever missing or half written.

    One that is there is replaced, keeps its permissions, and is kept beside the new one as ``.bak`` where
    ``keep_replaced`` is asked for.  Raises OSError where one can't be replaced, and then all stand as they were,
    the ``.bak`` of earlier times too.
    """
    before = {name: (place / name).read_bytes() for name in files if (place / name).exists()}
    if keep_replaced:
        files = {**{f"{name}.bak": content for name, content in before.items()}, **files}
        before.update({name: (place / name).read_bytes() for name in files if name not in before and (place / name).exists()})
    with contextlib.ExitStack() as tidy, contextlib.ExitStack() as undo:  # undone first, tidied then
        new, old = ({name: _write_aside(place / name, content) for name, content in each.items()} for each in (files, before))
        for unfinished in (*new.values(), *old.values()):
            tidy.callback(_remove, unfinished)
        for name, written in new.items():
            written.replace(place / name)
            undo.callback(old[name].replace, place / name) if name in old else undo.callback(_remove, place / name)
        undo.pop_all()


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _write_aside(target: Path, content: bytes) -> Path:
    number, name = tempfile.mkstemp(dir=target.parent, prefix=".unfinished-")
    path = Path(name)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        path.chmod(target.stat().st_mode & 0o777 if target.is_file() else 0o666 & ~_umask())
    except BaseException:
        _remove(path)
        raise
    return path


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
