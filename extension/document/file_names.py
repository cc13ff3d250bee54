"""Names of files and folders from whatever a client is called: such as every file system takes, and none that leads elsewhere."""
from __future__ import annotations

import unicodedata
from collections.abc import Iterable

#: Names that Windows keeps for devices, whatever stands behind a dot ("Naming Files, Paths, and Namespaces", Win32 documentation).
_DEVICES = {"con", "prn", "aux", "nul", *(f"{port}{i}" for port in ("com", "lpt") for i in range(10))}

#: Bytes of UTF-8 that a name takes at most: with an ending and a number it stays below the 143 of encrypted file systems.
_MOST_BYTES = 100

_NAMELESS = "client"


def file_name(label: str) -> str:
    """Return a name for a folder or a file without its ending: letters and digits of any script, spaces, - and _.

    >>> file_name("../Ann: size 12/14"), file_name("CON"), file_name("…")
    ('Ann size 12 14', 'CON_', 'client')
    """
    kept = "".join(c if c.isalnum() or c in "-_" else "" if c == "'" else " " for c in unicodedata.normalize("NFC", label))
    name = " ".join(kept.split()).strip("-_ ")
    while len(name.encode("utf-8", "replace")) > _MOST_BYTES:
        name = name[:-1].rstrip()
    return f"{name}_" if name.lower() in _DEVICES else name or _NAMELESS


def file_names(labels: Iterable[str]) -> list[str]:
    """Return a name for each label, no two alike where capitals and small letters count as one: a number is put behind.

    >>> file_names(["Ann", "ann", "Ann 2"])
    ['Ann', 'ann 2', 'Ann 2 2']
    """
    taken: set[str] = set()
    names = []
    for label in labels:
        name = first = file_name(label)
        number = 1
        while unicodedata.normalize("NFD", name).casefold() in taken:
            number += 1
            name = f"{first} {number}"
        taken.add(unicodedata.normalize("NFD", name).casefold())
        names.append(name)
    return names
