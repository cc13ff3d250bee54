"""What the files of a job are called: after client and style, and never as another client's."""
from __future__ import annotations

import os
from html import escape
from pathlib import Path

from extension.document.file_names import file_name

#: Jobs of other clients whose names look alike are passed over up to this number.
_MOST_ALIKE = 1000

#: Where a page says whose it is, and how much of it is read to see that.
_WHOSE = '<meta name="job" content="{}">'
_HEAD_OF_PAGE = 2000


def whose(label: str) -> str:
    """Return the mark by which a page says whose job it is."""
    return _WHOSE.format(escape(label))


def name_of_job(place: Path, label: str, page: str) -> str:
    """Return the name that the files of this job have in a folder: never one under which another client's lie.

    ``page`` is what the name of the page that says whose it is ends with.
    """
    name = file_name(label).casefold().replace(" ", "-")
    for number in range(1, _MOST_ALIKE):
        stem = name if number == 1 else f"{name}-{number}"
        theirs = place / f"{stem}-{page}"
        if not theirs.exists() or _says(theirs, whose(label)):
            return stem
    return f"{name}-{os.urandom(4).hex()}"


def _says(page: Path, mark: str) -> bool:
    try:
        with page.open(encoding="utf-8", errors="replace") as file:
            return mark in file.read(_HEAD_OF_PAGE)
    except OSError:
        return False
