"""The arm as measured: its levels, and its girth between them."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.curve import Curve
from geometry.measuring.ease import on_half
from geometry.measuring.given import Given
from geometry.sleeve.rules import half_width


class Level(NamedTuple):
    """A height at which the body was measured: body girth and ease on each half, millimetres.

    ``bend`` is how its line runs across a sleeve that was spread; None where it is level.
    """

    name: str
    y: float
    girth: float
    ease: float
    bend: Curve | None = None

    @property
    def needed(self) -> float:
        """The half width that the body and its ease ask for."""
        return half_width(self.name, self.girth, self.ease).result


def measured_levels(given: Given) -> list[Level]:
    """Return the levels in which the arm was measured, from the top down, those below the hem too."""
    levels = (
        Level("upper arm", given.upper_arm_level, given.upper_arm_girth, on_half(given.ease_upper_arm, given.upper_arm_girth)),
        Level("elbow", given.elbow_level, given.elbow_girth, on_half(given.ease_elbow, given.elbow_girth)),
        Level("wrist", given.wrist_level, given.wrist_girth, on_half(given.ease_hem, given.wrist_girth)),
    )
    return [level for level in levels if level.y and level.girth]


def girth_at(levels: Sequence[Level], y: float) -> float | None:
    """Return the girth of the arm at ``y``, or None below the last level, where it is not known.

    As :func:`nearest_girth`.

    >>> girth_at([Level("upper arm", 100.0, 300.0, 0.0), Level("elbow", 300.0, 260.0, 0.0)], 301.0)
    """
    return None if y > levels[-1].y else nearest_girth(levels, y)


def nearest_girth(levels: Sequence[Level], y: float) -> float:
    """Return the girth of the arm at ``y``, below the last level that of the last.

    In a straight line between the levels (common practice, no source); above the first, which is the
    fullest part, the arm counts as just as full.

    >>> nearest_girth([Level("upper arm", 100.0, 300.0, 0.0), Level("elbow", 300.0, 260.0, 0.0)], 200.0)
    280.0
    """
    return float(np.interp(y, [level.y for level in levels], [level.girth for level in levels]))
