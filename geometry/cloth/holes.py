"""Pattern pieces that lie in the holes of others: a small ring within a large one, and a smaller one within that.

A hole is the largest circle about the centre of a ring, where (0, 0) is in its outline, that is clear of it and within its convex
hull, so that it lies on the cloth however the ring is turned; what lies there is seen as a circle too.  Lengths in millimetres.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.affine import Affine
from geometry.cloth.profiles import FOLLOW
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve

#: So many equal circles fit into one if each has at most such a share of its radius, the most first (Graham, Lubachevsky, Nurmela
#: and Östergård, Discrete Mathematics 181, 1998, from memory): seven are one in the middle of six.
_SHARES = ((7, 1 / 3), (4, 1 / (1 + math.sqrt(2))), (3, 1 / (1 + 2 / math.sqrt(3))), (2, 1 / 2), (1, 1.0))


#: A hull is looked at from so many sides.
_SIDES = 360


class Held(NamedTuple):
    """A piece that lies in the hole of its ``host``: the map that brings it there as the host is drawn, and how far from the host's
    centre it reaches.
    """

    host: int
    place: Affine
    reach: float


class _Seen(NamedTuple):
    """A piece seen as a hole of a radius about (0, 0), and as a circle about its own ``middle``."""

    hole: float
    middle: Array
    radius: float


def held_in_holes(outlines: Sequence[Curve], apart: float) -> dict[int, Held]:
    """Return which pieces, by their numbers, may lie in the holes of which others, at least so far ``apart``: the largest that go in.

    A piece that is held and holds others comes before these.
    """
    alike = {id(outline): outline for outline in outlines}
    kinds = {key: _seen(outline) for key, outline in alike.items()}
    seen = [kinds[id(outline)] for outline in outlines]
    held: dict[int, Held] = {}
    free = sorted(range(len(outlines)), key=lambda i: -seen[i].radius)
    if not free or max(each.hole for each in kinds.values()) < min(each.radius for each in kinds.values()) + apart:
        return held
    for host in sorted(range(len(outlines)), key=lambda i: -seen[i].hole):
        going_in = [i for i in free if i not in held and seen[i].radius + apart <= seen[host].hole]
        if not going_in:
            continue
        circle = seen[going_in[0]].radius + apart
        number = next(number for number, share in _SHARES if circle <= share * seen[host].hole)
        for guest, place in zip(going_in, _places(number, seen[host].hole - circle)):
            held[guest] = Held(host, Affine.moving(*(place - seen[guest].middle).tolist()), float(np.hypot(*place)) + seen[guest].radius)
    return held


def laid_in_holes(outlines: Sequence[Curve], laid: Mapping[int, Affine], held: Mapping[int, Held], apart: float) -> tuple[Affine, ...] | None:
    """Return the maps of all pieces, of which some are ``laid`` and the others ``held`` by these, or None where something else that
    is laid reaches into a hole that is used.
    """
    polygons = {i: outlines[i].transformed(place.matrix).flatten(FOLLOW) for i, place in laid.items()}
    for host in {each.host for each in held.values()} & set(laid):
        reach = max(each.reach for each in held.values() if each.host == host) + apart
        centre = laid[host].apply([(0.0, 0.0)])[0]
        if any(_distance(polygon - centre) < reach for i, polygon in polygons.items() if i != host):
            return None
    found = dict(laid)
    for guest, each in held.items():
        found[guest] = found[each.host] @ each.place
    return tuple(found[i] for i in range(len(outlines)))


def _seen(outline: Curve) -> _Seen:
    polygon = outline.flatten(FOLLOW)
    left, top, right, bottom = outline.bounds()
    middle = np.array([(left + right) / 2, (top + bottom) / 2])
    return _Seen(min(_distance(polygon), _within_hull(polygon)), middle, float(np.hypot(*(polygon - middle).T).max()) + FOLLOW)


def _places(number: int, out: float) -> Array:
    """Return the middles of so many circles in a hole, all so far ``out`` but that one lies in the middle where they are one or seven."""
    around = number if number in (2, 3, 4) else number - 1
    turns = 2 * math.pi * np.arange(around) / max(around, 1)
    ring = out * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    return ring if around == number else np.concatenate([np.zeros((1, 2)), ring])


def _distance(polygon: Array) -> float:
    """Return how far from (0, 0) the sides of a closed polygon (k, 2) are."""
    start, side = polygon[:-1], np.diff(polygon, axis=0)
    squared = np.maximum((side**2).sum(axis=1), 1e-12)
    share = np.clip(-(start * side).sum(axis=1) / squared, 0, 1)
    return float(np.hypot(*(start + share[:, None] * side).T).min())


def _within_hull(polygon: Array) -> float:
    """Return how large a circle about (0, 0) surely lies within the convex hull of a polygon: less than 0 where none does.

    The hull reaches as far to every side as its farthest point, and between two sides at most that point's distance times the turn less.
    """
    turns = 2 * math.pi * np.arange(_SIDES) / _SIDES
    to_sides = (polygon @ np.stack([np.cos(turns), np.sin(turns)])).max(axis=0).min()
    return float(to_sides - np.hypot(*polygon.T).max() * math.pi / _SIDES)
