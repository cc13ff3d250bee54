"""A piece of the pattern beside the sleeve: its outline as sewn and as cut, its grain, folds and marks."""
from __future__ import annotations

from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.marks import LEAST_NOTCH, NOTCH_INSIDE
from geometry.sleeve.outline import Outline


class Tick(NamedTuple):
    """A short line square to an edge, and what it says there (empty: a notch like its partner's)."""

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


def tick_at(edge: Curve, length: float, allowance: float, says: str = "") -> Tick:
    """Return the tick ``length`` along an edge of an outline, from inside the piece to its cut edge."""
    t = edge.at_length(length)
    return Tick(across_edge(edge.point(t), edge.tangent(t), allowance), says)


def across_edge(point: Array, along: Array, allowance: float) -> Curve:
    """Return the short line square to an edge that runs ``along``, its outside on the left."""
    outward = np.array([along[1], -along[0]])
    return Curve.line(point - NOTCH_INSIDE * outward, point + max(allowance, LEAST_NOTCH) * outward)
