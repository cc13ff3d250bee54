"""Tier lines: how far apart they stand, and what rounding the spacing to a tape does at the hem."""
from __future__ import annotations

import math
from itertools import accumulate
from typing import NamedTuple

from geometry.measuring.graduation import one_value, per_tier
from geometry.measuring.lengths import HalfTyped, read_length, read_number
from geometry.measuring.measurements import DEFAULTS
from geometry.refusal import Refused

#: The marks of a tape that a spacing may be snapped to, in millimetres; 0 = exact.
SPACING_SNAPS = {"none": 0.0, "1/8in": 3.175, "1/4in": 6.35, "1/2in": 12.7, "5mm": 5.0, "1cm": 10.0}

MOST_TIERS = 40

#: How spacings are written that are not typed one by one.
EQUAL, GROWING = DEFAULTS["spacing"], "growing"

#: Growth beyond this leaves no room for the smallest tiers.
LEAST_GROWTH, MOST_GROWTH = 0.5, 2.0


class TierPlan(NamedTuple):
    """Where the tier lines stand, in millimetres below the top edge.

    ``spacing`` is the distance drawn (the first where they differ), ``exact_spacing`` the one before it was snapped;
    ``last_section`` is what remains between the last line and the hem.
    """

    levels: tuple[float, ...]
    spacing: float
    exact_spacing: float
    last_section: float

    @property
    def graduated(self) -> bool:
        """Whether the lines are not equally far apart."""
        return any(abs(below - above - self.spacing) > 1e-6 for above, below in zip(self.levels, self.levels[1:]))

    @property
    def snapped(self) -> bool:
        return abs(self.spacing - self.exact_spacing) > 1e-6  # a nanometre: no rounding by hand is finer


def plan_tiers(length: float, count: int, snap: str = "none", unit: str = "cm", written: str = EQUAL) -> TierPlan:
    """Return ``count`` lines, the first on the top edge.

    ``written`` is the spacing: "equal"; "growing 1.1" (each spacing so many times the one above, the last section too); or
    lengths as typed: one, or one from each line to the next.  Where it is equal or growing, ``snap`` moves
    lines to the marks of a tape.

    ``unit`` holds for lengths that name none.

    Raises :class:`Refused` where the count makes no sense, the spacings can't be read, or the last line would
    come to lie on or below the hem; ``HalfTyped`` where they are half typed.

    >>> plan_tiers(500.0, 4).levels
    (0.0, 125.0, 250.0, 375.0)
    >>> plan_tiers(500.0, 3, unit="cm", written="15; 20").levels
    (0.0, 150.0, 350.0)
    """
    if not 1 <= count <= MOST_TIERS:
        raise Refused("number of tiers", tiers=count, most=MOST_TIERS)
    exact = length / count
    written = written.strip().lower() or EQUAL
    if written != EQUAL:
        return _graduated(length, count, snap, unit, written)
    step = SPACING_SNAPS[snap]
    spacing = max(1, _nearest(exact, step)) * step if step else exact
    last = length - (count - 1) * spacing
    if count > 1 and last <= 1e-9 * length:
        raise Refused("snapped past the hem", snap=snap, spacing=spacing, tiers=count, last=(count - 1) * spacing, length=length)
    return TierPlan(tuple(i * spacing for i in range(count)), spacing, exact, last)


def _graduated(length: float, count: int, snap: str, unit: str, written: str) -> TierPlan:
    """Return lines whose spacings grow, or are hers."""
    if written.startswith(GROWING) or EQUAL.startswith(written) or GROWING.startswith(written):
        growth = _growth(written)
        shares = [growth**i for i in range(count)]
        found = [length * share / sum(shares) for share in shares[:-1]]
        step = SPACING_SNAPS[snap]
    else:
        found = list(per_tier("Spacing", written, count - 1, lambda text: read_length(text, unit))) if count > 1 else []
        step = 0.0
    levels = [0.0, *accumulate(found)]
    if step:
        levels = [_nearest(level, step) * step for level in levels]
    if any(below - above <= 1e-9 * length for above, below in zip(levels, levels[1:])):
        raise Refused("tier lines on each other")
    last = length - levels[-1]
    if last <= 1e-9 * length:
        raise Refused("spaced past the hem", tiers=count, last=levels[-1], length=length)
    spacing = levels[1] if count > 1 else length
    return TierPlan(tuple(levels), spacing, spacing, last)


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
