"""Gathered strips: drawn up evenly to the length of their line, or bought so."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.making import ToMake
from geometry.measuring.sums import Sum, Term, plain

#: Rows of gathering stitches along a strip (common practice, no source).
GATHERING_ROWS = 2


class Gathers(NamedTuple):
    """A strip of the length ``taken``, drawn up on ``rows`` of stitches."""

    taken: float
    rows: int = GATHERING_ROWS
    pattern: None = None
    folds: None = None

    @property
    def edge(self) -> float:
        """The free edge is as long as what is taken onto the line."""
        return self.taken


class Bought(NamedTuple):
    """A tier of trim that is bought already gathered: nothing is cut, drawn up or finished for it."""

    taken: float = 0.0
    rows: int = 0
    edge: float = 0.0
    pattern: None = None
    folds: tuple[float, ...] = ()


def gather(tier: ToMake) -> Gathers:
    """Return what makes this tier of gathered strips: fullness times the line, and nothing that could fail."""
    return Gathers(drawn_up(tier.number, tier.line, tier.fullness, tier.gathered_in).result)


def drawn_up(number: int | str, line: float, fullness: float, gathered_in: float) -> Sum:
    """Return the length of strip that is drawn up onto a line.

    >>> drawn_up(1, 300.0, 2.5, 0.0).result
    750.0
    """
    ends = (("+", Term(gathered_in, "gathered in at the ends")),) if gathered_in else ()
    return Sum(f"strip taken by tier {number}", Term(line, "line"), (("×", plain(fullness, "fullness")), *ends), say="up")
