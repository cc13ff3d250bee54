"""Another size of a sleeve that she has reshaped: each place of her line goes as far as the drafted line does there."""
from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.moved import moved
from geometry.sleeve.arm import Level
from geometry.sleeve.outline import EDGES, Outline

#: Places along each piece of a drafted edge between which its length is interpolated: a quarter of a millimetre or less.
_PLACES = 400


def graded(edited: Outline, base: Outline, size: Outline, base_levels: Sequence[Level] = (), size_levels: Sequence[Level] = ()) -> Outline:
    """Return the ``edited`` Seam line of the ``base`` in another ``size``; these two are as drafted, with their levels.

    A place of her line goes by the difference between the two drafted lines at the place nearest to it.
    Places of the drafted lines belong together that lie at the same share of their edge; along the
    underarm seam the levels belong together and what is between them follows smoothly.

    The very ``edited`` where the two sizes are the same, and the very ``size`` where nothing was edited.
    """
    if _same(base, size):
        return edited
    if _same(edited, base):
        return size
    edges = {}
    for name in EDGES:
        match = _Match(base.edge(name), size.edge(name), name, base_levels, size_levels)
        edges[name] = moved(edited.edge(name), partial(_gone, match=match))
    return Outline(edges)


def _same(one: Outline, other: Outline) -> bool:
    return np.array_equal(one.closed().segments, other.closed().segments) and all(len(one.edge(n)) == len(other.edge(n)) for n in EDGES)


class _Match:
    """Which place of one drafted edge belongs to which of the other."""

    def __init__(self, one: Curve, other: Curve, name: str, one_levels: Sequence[Level], other_levels: Sequence[Level]) -> None:
        self.one, self.other = one, other
        (self.t, self.s), (self.other_t, self.other_s) = _lengths(one), _lengths(other)
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

    def difference(self, t: Array) -> Array:
        """Return how far the other edge lies from places ``t`` of the one, (n, 2)."""
        share = _smoothly(np.interp(t, self.t, self.s), self.at, self.to, self.slopes)
        there = self.other.point(np.interp(share, self.other_s, self.other_t))
        gone: Array = there - self.one.point(t)
        return gone


def _gone(points: Array, match: _Match) -> Array:
    nearest = match.one.nearest_many(points)
    found: Array = points + match.difference(np.array([place.t for place in nearest]))
    return found


def _lengths(curve: Curve) -> tuple[Array, Array]:
    """Return places along a curve and at which share of its length they lie."""
    t = np.linspace(0, len(curve), _PLACES * len(curve) + 1)
    points = curve.point(t)
    s = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return t, s / s[-1]


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
    """Return the cubic Hermite line through the knots."""
    k = np.clip(np.searchsorted(at, x, side="right") - 1, 0, len(at) - 2)
    width = at[k + 1] - at[k]
    t = (x - at[k]) / width
    s = 1 - t
    found: Array = to[k] * s * s * (1 + 2 * t) + to[k + 1] * t * t * (3 - 2 * t) + width * (slopes[k] * t * s * s - slopes[k + 1] * t * t * s)
    return found
