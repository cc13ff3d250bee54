"""Gathered strips: drawn up evenly to the length of their line."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.making import ToMake

#: Rows of gathering stitches along a strip (common practice, no source).
GATHERING_ROWS = 2


class Gathers(NamedTuple):
    """A strip of the length ``taken``, drawn up on ``rows`` of stitches."""

    taken: float
    rows: int = GATHERING_ROWS
    pattern: None = None
    folds: None = None


def gather(tier: ToMake) -> Gathers:
    """Return what makes this tier of gathered strips: fullness times the line, and nothing that could fail."""
    return Gathers(tier.line * tier.fullness + tier.gathered_in)
