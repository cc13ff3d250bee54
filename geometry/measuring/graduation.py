"""Values that may differ from tier to tier: one for all, one for each, or a ramp from the first to the last."""
from __future__ import annotations

import re
from typing import Callable

from geometry.measuring.lengths import HalfTyped
from geometry.refusal import Refused

#: A comma followed by a space parts two values, and so does a semicolon; between two digits a comma
#: may be a decimal comma.
_SEPARATOR = r"\s*;\s*|,\s+"
_GLUED = r"(?<=\d),(?=\d)"
_RAMP = r"(.*?)\s*\bto\b\s*(.*)"
_HALF_TYPED = r".*(?:[;,]|\bto?)\s*"


def per_tier(label: str, text: str, count: int, read: Callable[[str], float]) -> tuple[float, ...]:
    """Return one value for each of ``count`` tiers, from the top.

    ``text`` is one value for all (``4``), one for each (``4, 4, 3.5`` or ``4; 4; 3,5``) or a ramp
    (``4 to 2.5``) in even steps.  ``read`` reads one value and raises :class:`Refused` where it can't.

    Raises :class:`HalfTyped` where the text stops midway and :class:`Refused` that names the ``label``.

    >>> per_tier("Fullness", "4 to 3", 3, float)
    (4.0, 3.5, 3.0)
    >>> per_tier("Fullness", "3,5", 3, lambda text: float(text.replace(",", ".")))
    (3.5, 3.5, 3.5)
    """
    text = text.strip()
    ramp = re.fullmatch(_RAMP, text, re.IGNORECASE)
    if ramp and ramp[1] and ramp[2]:
        first, last = (one_value(label, end, read) for end in ramp.groups())
        return tuple(first + (last - first) * i / max(1, count - 1) for i in range(count))
    if text and re.fullmatch(_HALF_TYPED, text, re.IGNORECASE):
        raise HalfTyped(text)
    values = tuple(one_value(label, part, read) for part in _parts(label, text, count))
    if len(values) == 1:
        return values * count
    if len(values) != count:
        raise Refused("values for one tier" if count == 1 else "values for each tier", label=label, typed=text, values=len(values), tiers=count)
    return values


def listed(label: str, text: str, read: Callable[[str], float]) -> tuple[float, ...]:
    """Return the values of a list of any length (``90``, ``90; 80`` or ``90, 80``).  Arguments and errors as of :func:`per_tier`.

    >>> listed("Share", "90; 80", float)
    (90.0, 80.0)
    """
    text = text.strip()
    if text and re.fullmatch(_HALF_TYPED, text, re.IGNORECASE):
        raise HalfTyped(text)
    return tuple(one_value(label, part, read) for part in _parts(label, text, 2))


def one_value(label: str, text: str, read: Callable[[str], float]) -> float:
    """Return the one value that ``text`` is.  Arguments and errors as of :func:`per_tier`."""
    try:
        return read(text.strip())
    except Refused as refusal:
        raise Refused("what was typed", label=label, problem=refusal.problems[0]) from refusal


def _parts(label: str, text: str, count: int) -> list[str]:
    """Return the single values; raises :class:`Refused` where a comma could mean either thing.

    One comma between digits makes one number, or two: but two make sense only where ``count`` is two.
    """
    parts = re.split(_SEPARATOR, text)
    if len(parts) > 1:
        return parts
    glued = re.split(_GLUED, text)
    if len(glued) == 2 and count != 2:
        return [text]
    if len(glued) == 2:
        raise Refused("one number or two", label=label, typed=text, one=".".join(glued), two="; ".join(glued))
    return glued
