"""Tier lines: how far apart they stand, and what rounding the pitch to a tape does at the hem."""
from __future__ import annotations

import math
from typing import NamedTuple

from geometry.lengths import write_length
from geometry.refusal import Refused

#: The marks of a tape that a pitch may be snapped to, in millimetres; 0 = exact.
PITCH_SNAPS = {"none": 0.0, "1/8in": 3.175, "1/4in": 6.35, "1/2in": 12.7, "5mm": 5.0, "1cm": 10.0}

MOST_TIERS = 40


class TierPlan(NamedTuple):
    """Where the tier lines stand, in millimetres below the head.

    ``pitch`` is the distance drawn, ``exact_pitch`` the sleeve length shared out equally;
    ``last_section`` is what remains between the last line and the hem.
    """

    levels: tuple
    pitch: float
    exact_pitch: float
    last_section: float

    @property
    def snapped(self) -> bool:
        return abs(self.pitch - self.exact_pitch) > 1e-6  # a nanometre: no rounding by hand is finer


def plan_tiers(length: float, count: int, snap: str = "none", unit: str = "cm") -> TierPlan:
    """Return ``count`` lines at equal pitch, the first on the head.

    Raises :class:`Refused` with a sentence, in ``unit``, where the count makes no sense or the snapped
    pitch would put the last line on or below the hem.
    """
    if not 1 <= count <= MOST_TIERS:
        raise Refused(f"Tiers: {count} was read. What makes sense is 1 to {MOST_TIERS}.")
    exact = length / count
    step = PITCH_SNAPS[snap]
    # The nearest mark, half a mark going up as everywhere (a hair is forgiven for binary arithmetic).
    pitch = max(1, math.floor(exact / step + 0.5 + 1e-9)) * step if step else exact
    last = length - (count - 1) * pitch
    if count > 1 and last <= 1e-9 * length:
        raise Refused(
            f"Pitch: snapped to {snap} it is {write_length(pitch, unit)}, so the last of {count} lines would stand"
            f" {write_length((count - 1) * pitch, unit)} below the head, on or past the hem at {write_length(length, unit)}."
            " Choose a finer mark, fewer tiers or the exact pitch."
        )
    return TierPlan(tuple(i * pitch for i in range(count)), pitch, exact, last)
