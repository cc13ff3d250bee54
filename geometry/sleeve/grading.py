"""Another size of a sleeve that she has reshaped: each place of her line goes as far as the drafted line does there."""
from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.moved import moved
from geometry.refusal import Refused
from geometry.sleeve.arm import Level
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import EDGES, Outline

#: Places along each piece of a drafted edge between which its length is interpolated: a quarter of a millimetre or less.
_PLACES = 400

#: An edge of hers that lies along less than this share of the drafted one is not stretched over all of it.
_LEAST_SHARE = 0.2

#: A tier line whose nodes and handles are this near to the planned one's was left alone, millimetres: its ends are trimmed to her Seam
#: line as it is written, rounded.
_LEFT_ALONE = 0.05


def graded(edited: Outline, base: Outline, size: Outline, base_levels: Sequence[Level] = (), size_levels: Sequence[Level] = ()) -> Outline:
    """Return the ``edited`` Seam line of the ``base`` in another ``size``; these two are as drafted, with their levels.

    A place of her line goes by the difference between the two drafted lines at the place nearest to it.
    Places of the drafted lines belong together that lie at the same share of their edge; along the
    underarm seam the levels belong together and what is between them follows smoothly.

    The very ``edited`` where the two sizes are the same, and the very ``size`` where nothing was edited.  Raises
    :class:`Refused` where what she has made of it has no place in that size.
    """
    if _same(base, size):
        return edited
    if _same(edited, base):
        return size
    edges = {}
    for name in EDGES:
        match = _Match(base.edge(name), size.edge(name), name, base_levels, size_levels)
        hers = edited.edge(name)
        edges[name] = moved(hers, partial(_gone, match=match.between(hers.start, hers.end)))
    try:
        return Outline(edges)
    except ValueError as error:  # edges that no longer meet, or run the other way round
        raise Refused("shape not carried") from error


def graded_lines(hers: Sequence[TierLine], base: Sequence[TierLine], size: Sequence[TierLine]) -> list[TierLine]:
    """Return her tier lines in another size, not yet trimmed to it; ``base`` are the lines as planned on her own Seam line, and
    ``size`` those planned on that of the size, of the same numbers.

    A line that she has left where it was planned is the one planned for the size.  Any other goes, at either end, as far
    as the planned line of its number does from the one size to the other, and so evenly between; one of a number that
    is not planned, as the planned line does that is nearest to it.
    """
    return [_graded_line(line, base, size) for line in hers]


def _graded_line(line: TierLine, base: Sequence[TierLine], size: Sequence[TierLine]) -> TierLine:
    pairs = list(zip(base, size))
    planned = [pair for pair in pairs if pair[0].number == line.number]
    if planned and _left_alone(line.curve, planned[0][0].curve):
        return line._replace(curve=planned[0][1].curve)
    before, after = planned[0] if planned else min(pairs, key=lambda pair: abs(_middle(pair[0].curve) - _middle(line.curve)))
    ends, gone = _ends(line.curve), _ends(after.curve) - _ends(before.curve)
    if not gone.any():
        return line
    across, slope = ends[1, 0] - ends[0, 0], gone[1] - gone[0]
    steady = gone[0] - slope * ends[0, 0] / across
    return line._replace(curve=line.curve.transformed(np.array([[1 + slope[0] / across, 0, steady[0]], [slope[1] / across, 1, steady[1]]])))


def _left_alone(line: Curve, planned: Curve) -> bool:
    """Whether a line is the planned one, in either direction."""
    return len(line) == len(planned) and any(np.abs(line.segments - one.segments).max() <= _LEFT_ALONE for one in (planned, planned.reversed()))


def _ends(line: Curve) -> Array:
    """Return both ends of a line, the back one first, (2, 2)."""
    ends: Array = line.nodes[[0, -1]]
    return ends[::-1] if ends[0, 0] > ends[1, 0] else ends


def _middle(line: Curve) -> float:
    return float(_ends(line)[:, 1].mean())


def _same(one: Outline, other: Outline) -> bool:
    return np.array_equal(one.closed().segments, other.closed().segments) and all(len(one.edge(n)) == len(other.edge(n)) for n in EDGES)


class _Match:
    """Which place of one drafted edge belongs to which of the other."""

    def __init__(self, one: Curve, other: Curve, name: str, one_levels: Sequence[Level], other_levels: Sequence[Level]) -> None:
        self.one, self.other = one, other
        (self.t, self.s, self.length), (self.other_t, self.other_s, self.other_length) = _lengths(one), _lengths(other)
        at, to = [0.0, 1.0], [0.0, 1.0]
        if name.endswith("underarm"):
            theirs = {level.name: level.y for level in other_levels}
            for level in one_levels:
                if level.name in theirs and level.name not in ("underarm", "hem"):
                    here, there = _at_height(one, self.t, self.s, level.y), _at_height(other, self.other_t, self.other_s, theirs[level.name])
                    if here is not None and there is not None:
                        at.append(here)
                        to.append(there)
        at, to = np.sort(at).tolist(), np.sort(to).tolist()
        self.at, self.to = np.array(at), np.array(to)
        self.slopes = _rising_slopes(self.at, self.to)
        self.first, self.last = 0.0, 1.0

    def between(self, start: Array, end: Array) -> _Match:
        """Return the match in which the ends of her edge belong to the ends of the drafted one, wherever she has put them."""
        first, last = self.shares([start, end]).tolist()
        if last - first > _LEAST_SHARE:
            self.first, self.last = first, last
        return self

    def shares(self, points: Sequence[Array]) -> Array:
        """Return at which share of the one edge the places nearest to ``points`` lie: below 0 and above 1 straight on from its ends."""
        where = np.array(points)
        t = np.array([place.t for place in self.one.nearest_many(where)])
        share: Array = np.interp(t, self.t, self.s)
        last = float(len(self.one))
        before = (where - self.one.start) @ self.one.tangent(0.0) / self.length
        after = (where - self.one.end) @ self.one.tangent(last, incoming=True) / self.length
        share += np.where(t <= 0, np.minimum(before, 0.0), 0.0) + np.where(t >= last, np.maximum(after, 0.0), 0.0)
        return share

    def difference(self, points: Array) -> Array:
        """Return how far the other edge lies from the one at the places that belong to ``points``, (n, 2)."""
        share = (self.shares(list(points)) - self.first) / (self.last - self.first)
        there = _at_share(self.other, _smoothly(share, self.at, self.to, self.slopes), self.other_s, self.other_t, self.other_length)
        gone: Array = there - _at_share(self.one, share, self.s, self.t, self.length)
        return gone


def _gone(points: Array, match: _Match) -> Array:
    found: Array = points + match.difference(points)
    return found


def _at_share(curve: Curve, share: Array, s: Array, t: Array, length: float) -> Array:
    """Return the places at so large a share of an edge's length, straight on beyond its ends: where a motion broke off there, a
    line of hers that ends there would be moved with a break.
    """
    inside = np.clip(share, 0.0, 1.0)
    ends = np.where((share < 0)[:, None], curve.tangent(0.0), curve.tangent(float(len(curve)), incoming=True))
    found: Array = curve.point(np.interp(inside, s, t)) + ((share - inside) * length)[:, None] * ends
    return found


def _lengths(curve: Curve) -> tuple[Array, Array, float]:
    """Return places along a curve, at which share of its length they lie, and its length."""
    t = np.linspace(0, len(curve), _PLACES * len(curve) + 1)
    points = curve.point(t)
    s = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return t, s / s[-1], float(s[-1])


def _at_height(curve: Curve, t: Array, s: Array, y: float) -> float | None:
    """Return at which share of its length a curve passes a height, None where it does not, or only near its ends."""
    heights = curve.point(t)[:, 1]
    if heights[0] > heights[-1]:
        heights, s = heights[::-1], s[::-1]
    if not (np.diff(heights) > 0).all() or not heights[0] + 1 < y < heights[-1] - 1:
        return None
    return float(np.interp(y, heights, s))


def _rising_slopes(at: Array, to: Array) -> Array:
    """Return slopes at the knots of a line that rises all the way (Fritsch and Butland 1984), at its ends those of its first and last piece."""
    width, rise = np.diff(at), np.diff(to) / np.diff(at)
    slopes = np.empty(len(at))
    slopes[0], slopes[-1] = rise[0], rise[-1]
    for k in range(1, len(at) - 1):
        one, other = 2 * width[k] + width[k - 1], width[k] + 2 * width[k - 1]
        slopes[k] = (one + other) / (one / rise[k - 1] + other / rise[k])
    return slopes


def _smoothly(x: Array, at: Array, to: Array, slopes: Array) -> Array:
    """Return the cubic Hermite line through the knots, straight on beyond the first and the last."""
    k = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    width = at[k + 1] - at[k]
    x, beyond = np.clip(x, 0.0, 1.0), np.where(x < 0, x * slopes[0], np.where(x > 1, (x - 1) * slopes[-1], 0.0))
    t = (x - at[k]) / width
    s = 1 - t
    found: Array = to[k] * s * s * (1 + 2 * t) + to[k + 1] * t * t * (3 - 2 * t) + width * (slopes[k] * t * s * s - slopes[k + 1] * t * t * s)
    return found + beyond
