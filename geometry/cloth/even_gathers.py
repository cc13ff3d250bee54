"""Marks by which gathers are spread evenly: eighths of a tier line, and where they lie on its strip."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.strips import Tier

#: A line is marked in so many parts: every second mark is a quarter.
PARTS = 8


class GatherMarks(NamedTuple):
    """Marks of one tier, millimetres: ``on_line`` from one to the next along the line; ``first`` from the cut end of the strip to
    where its gathers begin, along the stitching line, and ``on_strip`` from one mark to the next from there on.
    """

    number: int
    on_line: float
    first: float
    on_strip: float

    def running(self) -> list[float]:
        """Return how far every mark lies from the strip's cut end: where the gathers begin, each eighth, and where they end."""
        return [self.first + k * self.on_strip for k in range(PARTS + 1)]


def gather_marks(tier: Tier, allowance: float) -> GatherMarks:
    """Return the marks of a strip without joins; ``allowance`` is what its ends have, square to their seams."""
    return GatherMarks(tier.number, tier.line / PARTS, tier.ends[0].along_line(allowance), tier.made.taken / PARTS)
