"""A piece of the pattern beside the sleeve: its outline as sewn and as cut, its grain, folds and marks."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.curve import Curve
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.marks import Notch, armhole_tick, height_at_grain, notch_distances, tick
from geometry.sleeve.outline import Outline

#: What lies so near to the fold, millimetres, lies on it.
_ON_FOLD = 0.05


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


def middle_of(edge: Curve) -> float:
    """Return the place t of an edge across the sleeve where the grain line meets it, or the nearest to that."""
    return edge.nearest((0.0, height_at_grain(edge))).t


def middle_tick(edge: Curve, allowance: float, cut: Curve) -> Tick:
    """Return the notch at the middle of an edge across the sleeve, where the grain line meets it, as on the sleeve's top edge."""
    return Tick(tick(edge, middle_of(edge), allowance, cut), "")


def armhole_ticks(outline: Outline, notches: Sequence[Notch], below: Mapping[str, float], allowance: float, cut: Curve) -> list[Tick]:
    """Return those ticks of the sleeve's armhole ``notches`` that stand on a piece whose armholes end so far above the underarm
    points, by their side.
    """
    found = []
    for side, distance in ((notch.side, each) for notch in notches for each in notch_distances(notch.side, notch.from_underarm)):
        if 0 < distance - below[side] < outline.edge(f"{side} armhole").length():
            found.append(Tick(armhole_tick(outline, side, distance - below[side], allowance, cut), ""))
    return found


def opened_out(cut: Curve) -> Curve:
    """Return the whole of a piece that is laid on the fold of the cloth, its ``cut`` half being folded along its left edge.

    Where it has no straight edge there, the rectangle around it counts.
    """
    left, top, right, bottom = cut.bounds()
    mirror = np.array([[-1.0, 0.0, 2 * left], [0.0, 1.0, 0.0]])
    folded = np.abs(cut.segments[:, :, 0] - left).max(axis=1) <= _ON_FOLD
    if not folded.any():
        half = Curve.polyline([(left, top), (right, top), (right, bottom), (left, bottom)])
    else:
        first = int(np.flatnonzero(folded & ~np.roll(folded, -1))[0]) + 1
        half = Curve(np.roll(cut.segments, -first, axis=0)[~np.roll(folded, -first)])
    return Curve.chain([half, half.transformed(mirror).reversed()], gap=2 * _ON_FOLD)
