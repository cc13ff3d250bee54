"""From size to size: the steps of a measurement, and those that jump."""
from __future__ import annotations

from collections.abc import Sequence

from geometry.measuring.lengths import HAIR

#: A step that differs by more than this share from both its neighbours jumps (common practice, no source).
JUMP = 0.5


def is_run(values: Sequence[float]) -> bool:
    """Return whether ``values`` grow from each to the next, or fall from each to the next.

    >>> is_run([80.0, 84.0, 90.0]), is_run([90.0, 84.0]), is_run([80.0, 84.0, 82.0]), is_run([80.0, 80.0])
    (True, True, False, False)
    """
    steps = [after - before for before, after in zip(values, values[1:])]
    return all(step > HAIR for step in steps) or all(step < -HAIR for step in steps)


def jumps(values: Sequence[float]) -> list[int]:
    """Return the places in ``values``, one for each size in order, after which a step jumps.

    A step at either end has one neighbour only, and is told only where that does not jump itself; of two steps
    neither can be told to be the odd one.

    >>> jumps([80.0, 84.0, 88.0, 98.0, 102.0])
    [2]
    >>> jumps([80.0, 84.0, 90.0])
    []
    """
    steps = [after - before for before, after in zip(values, values[1:])]
    if len(steps) < 3:
        return []
    last = len(steps) - 1
    within = [k for k in range(1, last) if _is_off(steps[k], steps[k - 1]) and _is_off(steps[k], steps[k + 1])]
    ends = [k for k, beside in ((0, 1), (last, last - 1)) if beside not in within and _is_off(steps[k], steps[beside])]
    return sorted({*within, *ends})


def _is_off(step: float, other: float) -> bool:
    return abs(step - other) > JUMP * abs(other) + HAIR
