"""Marks by which gathers are spread evenly, on either half of the line by itself: eighths of a tier line, and where they lie on its strip."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.strips import Tier

#: A line is marked in so many parts: every second mark is a quarter.
PARTS = 8


class GatherMarks(NamedTuple):
    """Marks of one tier, millimetres: ``on_line`` from one to the next along the line; ``first`` from the back end of the strip as
    cut to where its gathers begin, and from there on from one mark to the next ``on_back`` as far as the middle and ``on_front``
    beyond it, the strip's joins sewn.
    """

    number: int
    on_line: float
    first: float
    on_back: float
    on_front: float

    def running(self, every: int = 1) -> list[float]:
        """Return how far every mark, or ``every`` so many-th, lies from the strip's end: from the first where gathers begin to the last."""
        half = PARTS // 2
        return [self.first + min(k, half) * self.on_back + max(0, k - half) * self.on_front for k in range(0, PARTS + 1, every)]


def gather_marks(tier: Tier, front_share: float = 0.5) -> GatherMarks | None:
    """Return the marks of a strip that is drawn up, its ``front_share`` onto the front half of the line, which is that of a sleeve; None
    for what is folded or clipped onto its line.
    """
    if tier.made.pattern is not None or tier.made.folds is not None:
        return None
    half, front_share = PARTS / 2, 0.5 if tier.name else front_share
    return GatherMarks(
        tier.number, tier.line / PARTS, tier.past_line[0], tier.made.taken * (1 - front_share) / half, tier.made.taken * front_share / half
    )
