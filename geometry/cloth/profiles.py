"""A piece of cloth as it may be laid, seen as two profiles: in every narrow column how far up and how far down it reaches.

Cloth lies as in :mod:`geometry.cloth.lay`.  Profiles are grown all around by half the gap that is kept between pieces,
so that pieces whose profiles only touch lie that far apart.  Lengths in millimetres.
"""
from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from geometry.affine import Affine
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve

#: Curves are followed to within this, and profiles are that much larger.
FOLLOW = 0.05

#: A quarter turn, and half a turn.
QUARTER, HALF = Affine(0.0, 1.0, -1.0, 0.0, 0.0, 0.0), Affine(-1.0, 0.0, 0.0, -1.0, 0.0, 0.0)

#: What is left lies right and what is right left.
MIRRORED = Affine(-1.0, 0.0, 0.0, 1.0, 0.0, 0.0)

_HAIR = 1e-6


class Fineness(NamedTuple):
    """How finely pieces are looked at: columns so wide, and pieces so far ``apart``."""

    column: float
    apart: float

    @property
    def half(self) -> float:
        """By how much profiles are grown."""
        return self.apart / 2 + FOLLOW

    @property
    def beside(self) -> int:
        """So many columns beside a piece its gap reaches."""
        return math.ceil(self.apart / 2 / self.column)

    def columns(self, width: float) -> int:
        """How many columns cloth of a ``width`` has, with those at both sides over which a gap may lie."""
        return int((width + _HAIR) / self.column) + 2 * self.beside


class Stood(NamedTuple):
    """An outline as it may stand: the map that brings its box to (0, 0), its size, and its profiles."""

    placement: Affine
    width: float
    height: float
    over: Array
    under: Array


@lru_cache(maxsize=32)
def stand(outline: Curve, way: Affine, fine: Fineness) -> Stood:
    """Return an outline as it stands on its box, turned or mirrored in such a ``way`` before.

    It is asked for again by every cloth from which the same piece is cut.
    """
    stood = outline.transformed(way.matrix)
    left, top, right, bottom = stood.bounds()
    polygon = stood.flatten(FOLLOW)[:-1] - (left, top)
    return Stood(Affine.moving(-left, -top) @ way, right - left, bottom - top, *profiles(polygon, right - left, fine))


def profiles(polygon: Array, width: float, fine: Fineness) -> tuple[Array, Array]:
    """Return how far up and down a polygon reaches in every column, grown all around by half the gap.

    The first columns lie left of the polygon, as many as the gap reaches.
    """
    column, half, grown = fine.column, fine.half, fine.beside
    count = max(1, math.ceil(width / column - _HAIR))
    over, under = _extents(polygon, np.minimum(np.arange(count + 1) * column, width))
    low, high = np.minimum(over[:count], over[1 : count + 1]), np.maximum(under[:count], under[1 : count + 1])
    inside = np.minimum((polygon[:, 0] / column).astype(int), count - 1)
    np.minimum.at(low, inside, polygon[:, 1])
    np.maximum.at(high, inside, polygon[:, 1])
    reach_over, reach_under = np.full(count + 2 * grown, np.inf), np.full(count + 2 * grown, -np.inf)
    for shift in range(-grown, grown + 1):
        away = max(0, abs(shift) - 1) * column
        if away > half:
            continue
        rise = math.sqrt(half**2 - away**2)
        part = slice(grown + shift, grown + shift + count)
        reach_over[part] = np.minimum(reach_over[part], low - rise)
        reach_under[part] = np.maximum(reach_under[part], high + rise)
    return reach_over, reach_under


def _extents(polygon: Array, places: Array) -> tuple[Array, Array]:
    """Return the least and the greatest y of a closed polygon (k, 2) at each x of ``places``, ascending and all within it."""
    start, end = polygon, np.roll(polygon, -1, axis=0)
    a, b = start[:, 0], end[:, 0]
    first = np.searchsorted(places, np.minimum(a, b) - 1e-9)
    count = np.searchsorted(places, np.maximum(a, b) + 1e-9, side="right") - first
    side = np.repeat(np.arange(len(polygon)), count)
    place = np.arange(len(side)) - np.repeat(np.cumsum(count) - count - first, count)
    run = np.where(a == b, 1.0, b - a)
    share = np.clip((places[place] - a[side]) / run[side], 0, 1)
    at = start[side, 1] + share * (end[side, 1] - start[side, 1])
    over, under = np.full(len(places), np.inf), np.full(len(places), -np.inf)
    np.minimum.at(over, place, at)
    np.maximum.at(under, place, at)
    return over, under
