"""Values that may differ from tier to tier: one for all, one for each, or a ramp from the first to the last."""
from __future__ import annotations

import re
from typing import Callable

from geometry.measuring.lengths import HalfTypedLength
from geometry.measuring.measurements import Unfinished
from geometry.refusal import Refused

#: A comma followed by a space parts two values, and so does a semicolon; between two digits a comma
#: may be a decimal comma.
_SEPARATOR = re.compile(r"\s*;\s*|,\s+")
_GLUED = re.compile(r"(?<=\d),(?=\d)")
_RAMP = re.compile(r"(.*?)\s*\bto\b\s*(.*)", re.IGNORECASE)
_UNFINISHED = re.compile(r".*(?:[;,]|\bto?)\s*", re.IGNORECASE)


def per_tier(label: str, text: str, count: int, read: Callable[[str], float]) -> tuple[float, ...]:
    """Return one value for each of ``count`` tiers, from the top.

    ``text`` is one value for all (``4``), one for each (``4, 4, 3.5`` or ``4; 4; 3,5``) or a ramp
    (``4 to 2.5``) in even steps.  ``read`` reads one value and raises ``ValueError`` with a sentence.

    Raises :class:`Unfinished` where the text stops midway and :class:`Refused` with a sentence that
    begins with ``label``.

    >>> per_tier("Fullness", "4 to 3", 3, float)
    (4.0, 3.5, 3.0)
    """
    text = text.strip()
    try:
        ramp = _RAMP.fullmatch(text)
        if ramp and ramp[1] and ramp[2]:
            first, last = read(ramp[1]), read(ramp[2])
            return tuple(first + (last - first) * i / max(1, count - 1) for i in range(count))
        if text and _UNFINISHED.fullmatch(text):
            raise Unfinished(f"{label}: “{text}” is half typed")
        values = tuple(read(part) for part in _parts(text))
    except HalfTypedLength as error:
        raise Unfinished(f"{label}: {error}") from error
    except ValueError as error:
        if isinstance(error, Unfinished):
            raise
        raise Refused(f"{label}: {error}") from error
    if len(values) == 1:
        return values * count
    if len(values) != count:
        raise Refused(
            f"{label}: “{text}” gives {len(values)} values, but there {'is 1 tier' if count == 1 else f'are {count} tiers'}."
            f" Write one value for all, {count} values from the top down, or the first and the last with “to” between them."
        )
    return values


def one_value(label: str, text: str, read: Callable[[str], float]) -> float:
    """Return the one value that ``text`` is.  Arguments and errors as of :func:`per_tier`."""
    try:
        return read(text.strip())
    except HalfTypedLength as error:
        raise Unfinished(f"{label}: {error}") from error
    except ValueError as error:
        raise Refused(f"{label}: {error}") from error


def _parts(text: str) -> list[str]:
    """Return the single values; raises ``ValueError`` where a comma could mean either thing."""
    parts = _SEPARATOR.split(text)
    if len(parts) > 1:
        return parts
    glued = _GLUED.split(text)
    if len(glued) == 2:
        raise ValueError(
            f"“{text}” could be one number or two. Write {'.'.join(glued)} for the one,"
            f" {'; '.join(glued)} for the two."
        )
    return glued
