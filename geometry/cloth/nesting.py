"""Laying pieces of any outline on cloth, closer than their boxes: beside, below and into the hollows of those before.

Cloth lies as in :mod:`geometry.cloth.lay`.  A piece is seen as two profiles: in every narrow column of cloth how
far up and how far down it reaches.  A new piece comes from the cut end's far side as far up as the profile of all
before lets it.  Lengths in millimetres.
"""
from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from geometry.affine import Affine
from geometry.cloth.joins import Strip
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve

#: Sleeves lie at least this far apart, so that the shears find a way; the many small pieces of tiers, cut from net by
#: a pattern one after the other, need less.
APART, PIECES_APART = 5.0, 2.0

#: A column of cloth is so wide for a few large pieces, and for many small ones.
_FINE, _COARSE = 2.0, 3.0

#: Curves are followed to within this, and profiles are that much larger.
_FOLLOW = 0.05

#: How much a hollow left above a small piece counts, against how far down the piece reaches: each is tried.
_HOLLOWS = (0.0, 0.25, 0.5, 1.0)

#: Of more pieces than this two of these are tried, and of more than that only one.
_MANY, _VERY_MANY = 40, 200

#: A hollow deeper than this, millimetres, is hollow enough.
_DEEPEST = 300.0

#: With at most so many sleeves every way to turn them is tried.
_ALL_WAYS = 4

_HAIR = 1e-6


class OutlineLay(NamedTuple):
    """A plan for pieces: ``placements`` are the maps that lay their outlines on the cloth.

    ``strips`` says whose they are where they belong to tiers.
    """

    placements: tuple[Affine, ...]
    width: float
    length: float
    strips: tuple[Strip, ...] = ()

    @property
    def piece_count(self) -> int:
        """How many pieces are cut."""
        return len(self.placements)

    @property
    def all_joins(self) -> int:
        """How many joins there are between pieces of one tier, sleeve and layer."""
        return len(self.strips) - len({(strip.tier, strip.sleeve, strip.layer) for strip in self.strips})


class _Stood(NamedTuple):
    """An outline as it may stand: the map that brings its box to (0, 0), its size, and its profiles grown by half the gap."""

    placement: Affine
    width: float
    height: float
    over: Array
    under: Array


def lay_outlines(outline: Curve, count: int, width: float, either_way: bool, repeat: float = 0.0) -> OutlineLay:
    """Lay ``count`` sleeves, every second one mirrored, with their grain along the cloth.

    ``outline`` is the closed cutting line, its grain along y.  Where the cloth may be used ``either_way`` up,
    sleeves are turned end for end where that saves cloth.  With a ``repeat`` of stripes along the cloth all
    lie whole repeats apart, so that seams match.
    Raises ``ValueError`` where one sleeve is wider than the cloth.
    """
    left, _, right, _ = outline.bounds()
    if right - left > width + _HAIR:
        raise ValueError("the sleeve is wider than the cloth")
    stood = {
        (mirrored, turned): _stand(outline, mirrored, turned, _FINE, APART)
        for mirrored in (False, True) for turned in ((False, True) if either_way and not repeat else (False,))
    }  # fmt: skip
    best: OutlineLay | None = None
    for turns in _ways_to_turn(count, either_way and not repeat):
        pieces = [[stood[i % 2 == 1, turned]] for i, turned in enumerate(turns)]
        lay = _nest(pieces, width, _FINE, APART, repeat)
        if best is None or lay.length < best.length - _HAIR:
            best = lay
    assert best is not None
    return best


def nest_pieces(outlines: Sequence[Curve], strips: Sequence[Strip], width: float) -> OutlineLay:
    """Lay pieces of cloth without a grain, one for each of ``strips``: large ones first, upright or half-turned.

    Raises ``ValueError`` where one is wider than the cloth.
    """
    known: dict[int, list[_Stood]] = {}
    for outline in outlines:
        if id(outline) not in known:
            fits = [
                _stand(_quarter(outline, quarters), False, turned, _COARSE, PIECES_APART, quarters)
                for quarters in (0, 1) for turned in (False, True)
            ]  # fmt: skip
            known[id(outline)] = [stood for stood in fits if stood.width <= width + _HAIR]
            if not known[id(outline)]:
                raise ValueError("the piece is wider than the cloth")
    order = sorted(range(len(outlines)), key=lambda i: -known[id(outlines[i])][0].height * known[id(outlines[i])][0].width)
    best: OutlineLay | None = None
    hollows = _HOLLOWS if len(outlines) <= _MANY else _HOLLOWS[::2] if len(outlines) <= _VERY_MANY else _HOLLOWS[:1]
    for choose, hollow in itertools.product((slice(0, 2), slice(2, 4), slice(0, 4)), hollows):
        pieces = [known[id(outlines[i])][choose] or known[id(outlines[i])] for i in order]
        lay = _nest(pieces, width, _COARSE, PIECES_APART, 0.0, hollow)
        if best is None or lay.length < best.length:
            best = lay
    assert best is not None
    back = dict(zip(order, best.placements))
    return best._replace(placements=tuple(back[i] for i in range(len(outlines))), strips=tuple(strips))


def _quarter(outline: Curve, quarters: int) -> Curve:
    return outline.transformed(_QUARTER.matrix) if quarters else outline


_QUARTER = Affine(0.0, 1.0, -1.0, 0.0, 0.0, 0.0)


def _ways_to_turn(count: int, either_way: bool) -> Iterator[tuple[bool, ...]]:
    """Yield which of so many sleeves are turned end for end; the first never is."""
    if not either_way:
        yield (False,) * count
    elif count <= _ALL_WAYS:
        yield from ((False, *others) for others in itertools.product((False, True), repeat=count - 1))
    else:
        for pattern in itertools.product((False, True), repeat=_ALL_WAYS - 1):
            yield tuple(itertools.islice(itertools.cycle((False, *pattern)), count))


def _nest(
    pieces: Sequence[Sequence[_Stood]], width: float, column: float, apart: float, repeat: float, hollow: float = 0.0
) -> OutlineLay:
    """Lay the pieces one after the other, each the way of its ways that lengthens the lay least, then as far up and left.

    Where ``hollow`` is above 0, it counts instead how far down a piece reaches, and by that share what is left
    hollow above it.
    """
    grown = math.ceil(apart / 2 / column)
    skyline = np.full(int((width + _HAIR) / column) + 2 * grown, -(apart / 2 + _FOLLOW))
    placements = []
    length = 0.0
    for ways in pieces:
        choices = [choice for stood in ways for choice in [_place(stood, skyline, length, repeat, hollow)] if choice is not None]
        if not choices:  # as wide as the cloth: it lies alone in its width
            y_alone = max(float(skyline.max()) + apart / 2, 0.0)
            y_alone = math.ceil(y_alone / repeat - 1e-9) * repeat if repeat else y_alone
            choices = [_Choice(0.0, y_alone, 0, ways[0])]
        _, y, at, stood = min(choices, key=lambda choice: choice[:3])
        across = min(at * column, max(0.0, width - stood.width))
        placements.append(Affine.moving(across, y) @ stood.placement)
        taken = skyline[at : at + len(stood.under)]
        np.maximum(taken, y + stood.under[: len(taken)], out=taken)
        length = max(length, y + stood.height)
    return OutlineLay(tuple(placements), width, length)


class _Choice(NamedTuple):
    """Where a piece could lie: how bad that is, how far down, in which column it begins."""

    badness: float
    y: float
    at: int
    stood: _Stood


def _place(stood: _Stood, skyline: Array, length: float, repeat: float, hollow: float) -> _Choice | None:
    """Return the best place for a piece below the ``skyline``, or None where it is wider than the cloth."""
    if len(stood.over) > len(skyline):
        return None
    drops = np.lib.stride_tricks.sliding_window_view(skyline, len(stood.over)) - stood.over
    y = np.maximum(drops.max(axis=1), 0.0)
    if repeat:
        y = np.ceil(y / repeat - 1e-9) * repeat
    if hollow:
        badness = y + stood.height + hollow * (y - np.maximum(drops, y[:, None] - _DEEPEST).mean(axis=1))
    else:
        badness = np.maximum(y + stood.height, length)
    at = int(np.lexsort((y, badness))[0])
    return _Choice(float(badness[at]), float(y[at]), at, stood)


def _stand(outline: Curve, mirrored: bool, turned: bool, column: float, apart: float, quarters: int = 0) -> _Stood:
    """Return an outline, which was turned by so many ``quarters`` before, as it stands on its box."""
    x, y = (-1.0 if mirrored != turned else 1.0), (-1.0 if turned else 1.0)
    way = Affine(x, 0.0, 0.0, y, 0.0, 0.0)
    stood = outline.transformed(way.matrix)
    left, top, right, bottom = stood.bounds()
    polygon = stood.flatten(_FOLLOW)[:-1] - (left, top)
    placement = Affine.moving(-left, -top) @ way
    if quarters:
        placement = placement @ _QUARTER
    over, under = _profiles(polygon, right - left, column, apart)
    return _Stood(placement, right - left, bottom - top, over, under)


def _profiles(polygon: Array, width: float, column: float, apart: float) -> tuple[Array, Array]:
    """Return how far up and down a polygon reaches in every column, grown all around by half the gap.

    The first columns lie left of the polygon, as many as the gap reaches.
    """
    count = max(1, math.ceil(width / column - _HAIR))
    edges = np.arange(count + 1) * column
    places = np.concatenate([np.minimum(edges, width), polygon[:, 0]])
    over, under = _extents(polygon, places)
    low, high = np.minimum(over[:count], over[1 : count + 1]), np.maximum(under[:count], under[1 : count + 1])
    inside = np.minimum((polygon[:, 0] / column).astype(int), count - 1)
    np.minimum.at(low, inside, polygon[:, 1])
    np.maximum.at(high, inside, polygon[:, 1])
    half = apart / 2 + _FOLLOW
    grown = math.ceil(apart / 2 / column)
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
    """Return the least and the greatest y of a closed polygon (k, 2) at each x of ``places``, all within it."""
    start, end = polygon, np.roll(polygon, -1, axis=0)
    a, b = start[:, 0], end[:, 0]
    inside = (places[:, None] >= np.minimum(a, b) - 1e-9) & (places[:, None] <= np.maximum(a, b) + 1e-9)
    run = np.where(a == b, 1.0, b - a)
    share = np.clip((places[:, None] - a) / run, 0, 1)
    at = start[:, 1] + share * (end[:, 1] - start[:, 1])
    return np.where(inside, at, np.inf).min(axis=1), np.where(inside, at, -np.inf).max(axis=1)
