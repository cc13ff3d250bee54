"""Tier lines: how far apart they stand, and what rounding the spacing to a tape does at the hem."""
from __future__ import annotations

import math
import re
from itertools import accumulate
from typing import NamedTuple

from geometry.measuring.graduation import one_value, per_tier
from geometry.measuring.lengths import HAIR, HalfTyped, read_length, read_number
from geometry.measuring.measurements import DEFAULTS
from geometry.measuring.sums import Sum, Term, plain
from geometry.refusal import Refused

#: The marks of a tape that a spacing may be snapped to, in millimetres; 0 = exact.
SPACING_SNAPS = {"none": 0.0, "1/8in": 3.175, "1/4in": 6.35, "1/2in": 12.7, "5mm": 5.0, "1cm": 10.0}

MOST_TIERS = 40

#: How spacings are written that are not typed one by one, and the part of the sleeve that is all of it.
EQUAL, GROWING, ALL = DEFAULTS["spacing"], "growing", DEFAULTS["tier_part"]

#: Growth beyond this leaves no room for the smallest tiers.
LEAST_GROWTH, MOST_GROWTH = 0.5, 2.0


class TierPlan(NamedTuple):
    """Where the tier lines stand, in millimetres below the top edge.

    ``spacing`` is the distance drawn (the first where they differ), ``exact_spacing`` the one before it was snapped;
    ``last_section`` is what remains between the last line and ``end``, where the tiers end: the hem, or above it.
    ``to_hem`` tells which.  ``numbers`` are those that the lines bear.
    """

    levels: tuple[float, ...]
    spacing: float
    exact_spacing: float
    last_section: float
    numbers: tuple[int, ...]
    end: float
    to_hem: bool

    @property
    def graduated(self) -> bool:
        """Whether the lines are not equally far apart."""
        return any(abs(below - above - self.spacing) > 1e-6 for above, below in zip(self.levels, self.levels[1:]))

    @property
    def snapped(self) -> bool:
        return abs(self.spacing - self.exact_spacing) > 1e-6  # a nanometre: no rounding by hand is finer


class Part(NamedTuple):
    """On what part of the sleeve tiers are: from one level to another (None: the hem), millimetres, and of the lines
    there those from one number to another (None: the last).
    """

    top: float = 0.0
    bottom: float | None = None
    first: int = 1
    last: int | None = None


def plan_tiers(length: float, count: int, snap: str = "none", unit: str = "cm", written: str = EQUAL, part: str = ALL, top: float = 0.0) -> TierPlan:
    """Return ``count`` lines, the first on the top edge or where the ``part`` of the sleeve begins.

    ``written`` is the spacing: "equal"; "growing 1.1" (each spacing so many times the one above, the last section too); or
    lengths as typed: one, or one from each line to the next.  Where it is equal or growing, ``snap`` moves
    lines to the marks of a tape.

    ``unit`` holds for lengths that name none; ``part`` is as :func:`read_part` reads it; of tiers that are not
    said to begin elsewhere the first stands ``top`` below the top edge.

    Raises :class:`Refused` where the count makes no sense, spacings or part can't be read, or the last line would
    come to lie on or below the hem; ``HalfTyped`` where they are half typed.

    >>> plan_tiers(500.0, 4).levels
    (0.0, 125.0, 250.0, 375.0)
    >>> plan_tiers(500.0, 3, unit="cm", written="15; 20").levels
    (0.0, 150.0, 350.0)
    >>> plan_tiers(500.0, 4, part="lines 2 to 3")[:1], plan_tiers(500.0, 3, unit="cm", part="from 20").levels
    (((125.0, 250.0),), (200.0, 300.0, 400.0))
    """
    if not 1 <= count <= MOST_TIERS:
        raise Refused("number of tiers", tiers=count, most=MOST_TIERS)
    of = read_part(part, unit)
    start = of.top or top
    bottom = length if of.bottom is None else of.bottom
    last = count if of.last is None else of.last
    if not start < bottom <= length + HAIR:
        raise Refused("tiers off the sleeve", top=start, bottom=bottom, length=length)
    if not 1 <= of.first <= last <= count:
        raise Refused("no such tier lines", first=of.first, last=last, tiers=count)
    levels, planned, exact = _planned(bottom - start, count, snap, unit, written)
    levels = [start + level for level in levels]
    if any(below - above <= 1e-9 * length for above, below in zip(levels, levels[1:])):
        raise Refused("tier lines on each other")
    if count > 1 and bottom - levels[-1] <= 1e-9 * length:
        rule = "spaced past the hem" if exact is None else "snapped past the hem"
        raise Refused(rule, snap=snap, spacing=levels[1] - levels[0], tiers=count, last=levels[-1], length=bottom)
    end = bottom if last == count else levels[last]
    kept = tuple(levels[of.first - 1 : last])
    spacing = kept[1] - kept[0] if len(kept) > 1 else planned if count == 1 else end - kept[0]
    numbers, to_hem = tuple(range(of.first, last + 1)), bottom == length and last == count
    return TierPlan(kept, spacing, spacing if exact is None else exact, last_section(end, kept[-1]).result, numbers, end, to_hem)


def read_part(written: str, unit: str) -> Part:
    """Return the part of the sleeve that tiers are on: "all", "from 5 in", "from 5 in to 12 in", "lines 2 to 4" or "line 3".

    Raises :class:`HalfTyped` where it stops midway, else :class:`Refused`.

    >>> read_part("From 5 to 30", "cm"), read_part("lines 2 to 4", "cm")
    (Part(top=50.0, bottom=300.0, first=1, last=None), Part(top=0.0, bottom=None, first=2, last=4))
    """
    text = " ".join(written.lower().split()) or ALL
    if text == ALL:
        return Part()
    found = re.fullmatch(_PART, text)
    if found is None:
        if any(start.startswith(text) for start in (ALL, "from ", "lines ")) or text.endswith((" t", " to")):
            raise HalfTyped(written)
        raise Refused("part of the sleeve unreadable", typed=written)
    start, stop = found["start"], found["stop"]

    def level(text: str) -> float:
        return one_value("Tiers", text, lambda typed: read_length(typed, unit))

    if found["of"] == "from":
        return Part(level(start), None if stop is None else level(stop))
    if not (start.isdecimal() and (stop or start).isdecimal()):
        raise Refused("part of the sleeve unreadable", typed=written)
    return Part(first=int(start), last=int(stop or start))


def numbers_planned(count: int, part: str, unit: str) -> list[int]:
    """Return the numbers that the lines of a plan bear.  Arguments as of :func:`plan_tiers`."""
    of = read_part(part, unit)
    return list(range(of.first, (count if of.last is None else of.last) + 1))


#: A part of the sleeve as typed.
_PART = r"(?P<of>from|lines?) (?P<start>\S.*?)(?: to (?P<stop>\S.*))?"


def _planned(length: float, count: int, snap: str, unit: str, written: str) -> tuple[list[float], float, float | None]:
    """Return lines on a ``length`` from 0 down, the (first) spacing, and that before it was snapped where all are equal.

    Raises as :func:`plan_tiers`.
    """
    written = written.strip().lower() or EQUAL
    if written != EQUAL:
        levels = _graduated(length, count, snap, unit, written)
        return levels, (levels[1] if count > 1 else length), None
    exact, step = equal_spacing(length, count).result, SPACING_SNAPS[snap]
    spacing = max(1, _nearest(exact, step)) * step if step else exact
    return [i * spacing for i in range(count)], spacing, exact


def equal_spacing(length: float, count: int) -> Sum:
    """Return how far apart so many lines stand on a length, the last as far from its end.

    >>> equal_spacing(500.0, 4).result
    125.0
    """
    return Sum("spacing", Term(length, "length"), (("÷", plain(count, "tiers")),))


def last_section(length: float, last_level: float) -> Sum:
    """Return what remains below the last line.

    >>> last_section(500.0, 375.0).result
    125.0
    """
    return Sum("last section, along the grain", Term(length, "length"), (("−", Term(last_level, "down to the last line")),))


def rounded_off(spacing: float, rounded: float, count: int) -> Sum:
    """Return by how much a spacing that is rounded to a mark of the tape has gone astray when it is stepped so many times.

    >>> round(rounded_off(70.0, 76.2, 7).result, 6)
    43.4
    """
    terms = Term(rounded, "rounded spacing"), Term(spacing, "spacing")
    more, less = terms if rounded >= spacing else terms[::-1]
    astray = "overruns the hem" if rounded >= spacing else "ends above the hem"
    return Sum(f"stepped {count} times, the rounded spacing {astray} by", more, (("−", less), ("×", plain(count, "tiers"))))


def _graduated(length: float, count: int, snap: str, unit: str, written: str) -> list[float]:
    """Return lines whose spacings grow, or are hers."""
    if written.startswith(GROWING) or EQUAL.startswith(written) or GROWING.startswith(written):
        growth = _growth(written)
        shares = [growth**i for i in range(count)]
        found = [length * share / sum(shares) for share in shares[:-1]]
        step = SPACING_SNAPS[snap]
    elif written[0].isalpha():
        raise Refused("spacing unreadable", typed=written)
    else:
        found = list(per_tier("Spacing", written, count - 1, lambda text: read_length(text, unit))) if count > 1 else []
        step = 0.0
    levels = [0.0, *accumulate(found)]
    return [_nearest(level, step) * step for level in levels] if step else levels


def _growth(written: str) -> float:
    """Return how many times each spacing is the one above; raises as :func:`plan_tiers`."""
    number = written[len(GROWING) :].strip()
    if not written.startswith(GROWING) or not number:
        raise HalfTyped(written)

    def read(text: str) -> float:
        growth = read_number(text)
        if not LEAST_GROWTH <= growth <= MOST_GROWTH:
            raise Refused("growth out of range", typed=text, least=LEAST_GROWTH, most=MOST_GROWTH)
        return growth

    return one_value("Spacing", number, read)


def _nearest(length: float, step: float) -> int:
    """Return the number of the mark nearest to a length, half a mark going up as everywhere (a hair is forgiven
    for binary arithmetic).
    """
    return math.floor(length / step + 0.5 + 1e-9)
