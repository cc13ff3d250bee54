"""From size to size: the steps of a measurement, and those that jump."""
from __future__ import annotations

from collections.abc import Sequence

from geometry.measuring.lengths import HAIR

#: A step that differs by more than this share from both its neighbours jumps (common practice, no source).
JUMP = 0.5


def jumps(values: Sequence[float]) -> list[int]:
    """Return the places in ``values``, one for each size in order, after which a step jumps.

    A step at either end has one neighbour only; of two steps neither can be told to be the odd one.

    >>> jumps([80.0, 84.0, 88.0, 98.0, 102.0])
    [2]
    >>> jumps([80.0, 84.0, 90.0])
    []
    """
    steps = [after - before for before, after in zip(values, values[1:])]
    if len(steps) < 3:
        return []
    beside = [[steps[j] for j in (k - 1, k + 1) if 0 <= j < len(steps)] for k in range(len(steps))]
    return [k for k, step in enumerate(steps) if all(abs(step - other) > JUMP * abs(other) + HAIR for other in beside[k])]
