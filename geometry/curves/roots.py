"""Where a function is zero between two places where it has different signs, and where one coordinate of a cubic has a value."""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Callable

#: Halving a bracket this often leaves nothing of it: only a jump of the function gets here.
_MOST_STEPS = 100


def root_between(
    value: Callable[[float], float], low: float, high: float, accuracy: float = 0.0, narrow: float = 1e-15,
    ends: tuple[float, float] | None = None,
) -> float:
    """Return a root of ``value``, which changes sign once between ``low`` and ``high``.

    Stops where |value| is at most ``accuracy`` (in the unit of ``value``), or where the bracket is no wider
    than ``narrow``; at a jump through zero that is the place of the jump.  ``ends`` are the values at both ends where they
    are known already.  Illinois method (Dowell and Jarratt
    1971, BIT 11): the root stays bracketed, and convergence is faster than linear.
    """
    at_low, at_high = ends or (value(low), value(high))
    if abs(at_low) <= accuracy:
        return low
    if abs(at_high) <= accuracy:
        return high
    side = 0
    u = low
    for _ in range(_MOST_STEPS):
        u = (low * at_high - high * at_low) / (at_high - at_low)
        at = value(u)
        if abs(at) <= accuracy or high - low < narrow:
            return u
        if (at > 0) == (at_high > 0):
            high, at_high = u, at
            at_low = at_low / 2 if side == 1 else at_low
            side = 1
        else:
            low, at_low = u, at
            at_high = at_high / 2 if side == -1 else at_high
            side = -1
    return u


def cubic_reaches(y: Sequence[float], level: float) -> list[float]:
    """Return where the cubic with the Bernstein coefficients ``y`` (4) comes to a ``level``, ascending, within [0, 1].

    Between the places where it turns it does so once at most; a cubic that runs along the level has none.

    >>> cubic_reaches((0.0, 1.0, 2.0, 3.0), 1.5), cubic_reaches((0.0, 1.0, 2.0, 3.0), 4.0)
    ([0.5], [])
    >>> cubic_reaches((0.0, 4.0, 4.0, 0.0), 3.0)  # touched where it turns
    [0.5]
    """
    a, b, c, d = (float(each) for each in y)
    if not min(a, b, c, d) <= level <= max(a, b, c, d):
        return []

    def above(t: float) -> float:
        u = 1 - t
        return u * u * (u * a + 3 * t * b) + t * t * (3 * u * c + t * d) - level

    ends = [0.0, *_turns(b - a, c - b, d - c), 1.0]
    heights = [above(t) for t in ends]
    found = []
    for low, high, at_low, at_high in zip(ends, ends[1:], heights, heights[1:]):
        if at_low == 0 and at_high != 0:
            found.append(low)
        elif at_low * at_high < 0:
            found.append(root_between(above, low, high, 1e-12))
    return [*found, 1.0] if heights[-1] == 0 and heights[-2] != 0 else found


def _turns(first: float, second: float, third: float) -> list[float]:
    """Return where the quadratic with these Bernstein coefficients changes its sign between 0 and 1, ascending."""
    if (first >= 0 and second >= 0 and third >= 0) or (first <= 0 and second <= 0 and third <= 0):
        return []
    square, linear = first - 2 * second + third, first - second
    inside = second * second - first * third  # a quarter of the discriminant
    if inside <= 0:
        return []
    q = linear + math.copysign(math.sqrt(inside), linear)
    places = {first / q if q else 0.0, q / square if square else 0.0}
    return sorted(place for place in places if 0 < place < 1)
