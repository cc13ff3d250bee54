"""Marks by which gathers are spread evenly: eighths of a tier line, and where they lie on its strip."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.strips import Tier

#: A line is marked in so many parts: every second mark is a quarter.
PARTS = 8


class GatherMarks(NamedTuple):
    """Marks of one tier, millimetres: ``on_line`` from one to the next along the line; ``first`` from the end of the strip as cut
    to where its gathers begin, and ``on_strip`` from one mark to the next from there on, the strip's joins sewn.
    """

    number: int
    on_line: float
    first: float
    on_strip: float

    def running(self, every: int = 1) -> list[float]:
        """Return how far every mark, or ``every`` so many-th, lies from the strip's end: from the first where gathers begin to the last."""
        return [self.first + k * self.on_strip for k in range(0, PARTS + 1, every)]


def gather_marks(tier: Tier) -> GatherMarks | None:
    """Return the marks of a strip that is drawn up; None for what is folded or clipped onto its line."""
    if tier.made.pattern is not None or tier.made.folds is not None:
        return None
    return GatherMarks(tier.number, tier.line / PARTS, tier.past_line[0], tier.made.taken / PARTS)
