"""A piece of the pattern beside the sleeve: its outline as sewn and as cut, its grain, folds and marks."""
from __future__ import annotations

from typing import NamedTuple

from geometry.curves.curve import Curve
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.marks import tick
from geometry.sleeve.outline import Outline


class Tick(NamedTuple):
    """A notch in the cut edge, and what it says there (empty: a notch like its partner's)."""

    line: Curve
    says: str


class Piece(NamedTuple):
    """A piece called by its ``name``, millimetres in a frame of its own, or in that of the sleeve.

    ``outline`` is the piece as sewn, ``cut`` its cutting line; ``on_fold`` is the edge that is laid on the fold of the
    cloth (empty: none), ``folds`` are lines along which it is folded.
    """

    name: str
    outline: Outline
    cut: Curve
    grain: Curve
    on_fold: str = ""
    folds: tuple[Curve, ...] = ()
    ticks: tuple[Tick, ...] = ()

    @property
    def size(self) -> tuple[float, float]:
        """The sides of the rectangle around the piece as cut, across and down."""
        left, top, right, bottom = self.cut.bounds()
        return right - left, bottom - top


def cut_around(outline: Outline, allowances: dict[str, float], folded: tuple[str, ...] = ()) -> Curve:
    """Return the cutting line of a piece; ``folded`` edges are folded back along themselves."""
    return cutting_line(outline, allowances, folded)


def ring(*points: tuple[float, float]) -> list[Curve]:
    """Return the straight edges between points, from each to the next and back to the first."""
    return [Curve.line(a, b) for a, b in zip(points, [*points[1:], points[0]])]


def tick_at(edge: Curve, length: float, allowance: float, cut: Curve, says: str = "") -> Tick:
    """Return the notch ``length`` along an edge of an outline, in from the cut edge."""
    return Tick(tick(edge, edge.at_length(length), allowance, cut), says)
