"""Where a strip's two ends are sewn in, and how they are shaped so that they follow the seam.

A strip is straight along its stitching line.  Its ends are told in a frame of their own: x from the end of the
tier line outward along it, y across the strip from the line toward the free edge; millimetres.
"""
from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import norm
from geometry.curves.curve import Curve
from geometry.sleeve.outline import Outline

#: An end whose seam keeps this near to square, millimetres over its drop, is cut square: a mark of her tape.
SQUARE = 3.175

#: A line that ends this near the underarm point, millimetres, ends at it.
AT_UNDERARM = 0.05

#: How ends are cut that would have to reach out: along the seam, or square and gathered in.
SHAPED, GATHERED_IN = "shaped", "gathered_in"

#: A line that ends this near to a seam, millimetres, ends on it, but for rounding in her file: there is no need to look for the
#: nearest place.
_ON_IT = 1e-3

#: What of a seam lies farther than so many allowances above or below the cut end has no part in it: more than a mitre reaches.
_FAR = 4.0

#: A seam flatter than this (its sine) to the line is continued upright for the allowance above, and its own allowance
#: along the line is that of one that lies so.
_FLATTEST = 0.2


class StripEnd(NamedTuple):
    """One end of a strip, on the "back" or the "front" ``side``.

    ``armhole`` and ``underarm`` are the lengths of each seam that take it, from its line to its free edge.
    ``sewn`` is the end as sewn, from the line (0, 0) to the free edge; ``follows`` says that it is cut along
    the seam, else it is square.  ``seam`` runs on beyond both, for the cut.  ``slant`` is what each millimetre of
    allowance, square to the seam, takes along the line of a square end.
    """

    side: str
    armhole: float
    underarm: float
    sewn: Curve
    follows: bool
    seam: Curve
    slant: float

    @property
    def reach(self) -> float:
        """How far the end as sewn reaches past the end of its line, at most."""
        return max(0.0, self.sewn.bounds()[2])

    def cut(self, allowance: float, above: float, below: float) -> Curve:
        """Return the cut end, ``allowance`` outside the sewn one all along, from ``above`` the line to ``below`` the free edge."""
        x, drop = self.sewn.end.tolist()
        if not self.follows:
            beside = self.slant * allowance
            return Curve.line((beside, -above), (beside, drop + below))
        cut = self._beside(allowance, -above, drop + below)
        return cut.between(_at_height(cut, -above, self.sewn.start), _at_height(cut, drop + below, np.array([x, drop + below])))

    def along_line(self, allowance: float) -> float:
        """Return how much of the strip an ``allowance`` takes along the stitching line: more, the more the seam slants."""
        if not self.follows:
            return self.slant * allowance
        beside = self._beside(allowance, 0.0, float(self.sewn.end[1]))
        return float(beside.point(_at_height(beside, 0.0, self.sewn.start))[0])

    def takes_up(self, allowance: float, above: float, below: float) -> float:
        """Return how far the cut end reaches past the end of the line, at most."""
        return float(self.cut(allowance, above, below).bounds()[2]) if self.follows else self.along_line(allowance)

    def _beside(self, allowance: float, top: float, bottom: float) -> Curve:
        """Return the parallel of the seam, at least from the height ``top`` to ``bottom``."""
        if not allowance:
            return self.seam
        heights, far = self.seam.segments[..., 1], _FAR * allowance
        near = np.flatnonzero((heights.max(axis=1) >= top - far) & (heights.min(axis=1) <= bottom + far))
        return _parallel((self.seam.segments[near[0] : near[-1] + 1].round(6) + 0.0).tobytes(), allowance)


@lru_cache(maxsize=512)
def _parallel(seam: bytes, distance: float) -> Curve:
    """Return the parallel of a seam, given by its segments: asked for again by the strip, its table, its template and the
    other side of a sleeve that is alike, and not quickly found.
    """
    return Curve(np.frombuffer(seam).reshape(-1, 4, 2)).offset(distance)


#: Both ends of a strip: the back one, the front one.
Ends = tuple[StripEnd, StripEnd]


def square_ends(line: Curve, drop: float) -> Ends:
    """Return ends square to the line, as of a strip that no outline holds."""
    back, front = (_square(side, 0.0, drop, drop, 1.0) for side in ("back", "front"))
    return back, front


def squared(end: StripEnd) -> StripEnd:
    """Return the end cut square all the same, with its allowance measured along the line."""
    return _square(end.side, end.armhole, end.underarm, float(end.sewn.end[1]), end.slant)


def ends_on(outline: Outline, line: Curve, drop: float) -> Ends:
    """Return how both ends of a strip that hangs ``drop`` from a ``line`` across the ``outline`` are sewn in.

    An end follows the seam where it begins on the armhole, and where the seam runs out from under it by more
    than :data:`SQUARE`; any other is square.
    """
    across = line if line.start[0] <= line.end[0] else line.reversed()
    back, front = (_end_on(outline.bridged(), across, side, drop) for side in ("back", "front"))
    return back, front


def _end_on(outline: Outline, line: Curve, which: str, drop: float) -> StripEnd:
    end = line.end if which == "front" else line.start
    outward = line.tangent(len(line), incoming=True) if which == "front" else -line.tangent(0)
    side = outline.side(which)
    corner = len(outline.edge(f"{which} armhole"))
    t = next((place for place in side.at_height(float(end[1])) if norm(side.point(place) - end) <= _ON_IT), None)
    t = side.nearest(end).t if t is None else t
    seam = side.transformed(_frame(end, outward, which))
    stops = _stops(seam, t, drop)
    taken = seam.between(t, stops) if stops > t else None

    def length(low: float, high: float) -> float:
        if taken is None or low >= high:
            return 0.0
        return (taken if (low, high) == (t, stops) else seam.between(low, high)).length()  # mostly all of it is of one seam

    on_armhole, below = length(t, min(corner, stops)), length(max(t, corner), stops)
    slant = 1 / max(abs(float(seam.tangent(t)[1])), _FLATTEST)
    sewn = _to_free_edge(taken, drop)
    if on_armhole <= AT_UNDERARM and sewn.bounds()[2] <= SQUARE:
        return _square(which, on_armhole, below, drop, slant)
    return StripEnd(which, on_armhole, below, sewn, True, _continued(seam, 4 * (drop + side.length())), slant)


def _square(side: str, armhole: float, underarm: float, drop: float, slant: float) -> StripEnd:
    far = 10 * drop
    return StripEnd(side, armhole, underarm, Curve.line((0, 0), (0, drop)), False, Curve.line((0, -far), (0, far)), slant)


def _frame(end: Array, outward: Array, which: str) -> Array:
    """Return the matrix (2, 3) from the sleeve to the frame of an end; that of the back end is mirrored."""
    down = np.array([-outward[1], outward[0]]) * (1 if which == "front" else -1)
    turn = np.stack([outward, down])
    return np.column_stack([turn, -turn @ end])


def _stops(seam: Curve, t: float, drop: float) -> float:
    """Return where the seam first comes as far down as the free edge, or its end."""
    return next((place for place in seam.at_height(drop) if place >= t), float(len(seam)))


def _to_free_edge(sewn: Curve | None, drop: float) -> Curve:
    """Return the end as sewn, straight on down where the seam stops above the free edge."""
    if sewn is None:
        return Curve.line((0, 0), (0, drop))
    x, y = sewn.end
    return sewn if drop - y < AT_UNDERARM else Curve.chain([sewn, Curve.line((x, y), (x, drop))])


def _continued(seam: Curve, far: float) -> Curve:
    """Return the seam run on at both ends: straight up, or upright where it is too flat to get there; upright down."""
    up = -seam.tangent(0)
    up, down = up if -up[1] >= _FLATTEST else np.array([0.0, -1.0]), np.array([0.0, 1.0])
    return Curve.chain([Curve.line(seam.start + far * up, seam.start), seam, Curve.line(seam.end, seam.end + far * down)])


def _at_height(curve: Curve, y: float, near: Array) -> float:
    """Return where a curve passes the height ``y``, of several places the one nearest to a point."""
    met = curve.at_height(y)
    if not met:
        raise ValueError(f"the end of the strip does not reach {y:g} mm")
    return min(met, key=lambda place: float(norm(curve.point(place) - near)))
