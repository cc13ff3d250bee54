"""Where a function is zero, between two places where it has different signs."""
from __future__ import annotations

from typing import Callable

#: Halving a bracket this often leaves nothing of it: only a jump of the function gets here.
_MOST_STEPS = 100


def root_between(value: Callable[[float], float], low: float, high: float, accuracy: float = 0.0, narrow: float = 1e-15) -> float:
    """Return a root of ``value``, which changes sign once between ``low`` and ``high``.

    Stops where |value| is at most ``accuracy`` (in the unit of ``value``), or where the bracket is no wider
    than ``narrow``; at a jump through zero that is the place of the jump.  Illinois method (Dowell and Jarratt
    1971, BIT 11): the root stays bracketed, and convergence is faster than linear.
    """
    at_low, at_high = value(low), value(high)
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
