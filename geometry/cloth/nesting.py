"""Laying pieces of any outline on cloth, closer than their boxes: beside, below and into the hollows of those before.

Cloth lies as in :mod:`geometry.cloth.lay`.  A piece is seen as two profiles: in every narrow column of cloth how
far up and how far down it reaches.  A new piece comes from the cut end's far side as far up as the profile of all
before lets it.  Lengths in millimetres.
"""
from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.affine import IDENTITY, Affine
from geometry.box import Box
from geometry.cloth.beside import Beside, Placed
from geometry.cloth.holes import held_in_holes, laid_in_holes
from geometry.cloth.joins import Strip
from geometry.cloth.profiles import HALF, MIRRORED, QUARTER, Fineness, Stood, stand
from geometry.cloth.rows import Laid, Rows, kind_of
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve

#: Sleeves lie at least this far apart, so that the shears find a way; the many small pieces of tiers, cut from net by
#: a pattern one after the other, need less.
APART, PIECES_APART = 5.0, 2.0

#: How finely a few large pieces are looked at, and many small ones.
_FINE, _COARSE, _ROWS = Fineness(2.0, APART), Fineness(3.0, PIECES_APART), Fineness(1.0, PIECES_APART)

#: Rows that take no more than so many times the least that could do are good: pieces are not laid one by one then.
_GOOD = 1.4

#: How much lower than the highest one the other pieces of a row may be, as a share of it: each is tried.
_LOWEST = (0.6, 0.85)

#: The length of rows down the cloth is sought from so many times the least that could do, in steps of this factor; then some
#: shorter by less are tried.
_LEAST_RATIO, _LONGER, _SHORTER = 1.05, 1.06, (0.98, 0.96)

#: How much a hollow left above a small piece counts, against how far down the piece reaches: each is tried.
_HOLLOWS = (0.0, 0.25, 0.5, 1.0)

#: Of more pieces than this two of these are tried, and of more than that only one.
_MANY, _VERY_MANY = 40, 200

#: A hollow deeper than this, millimetres, is hollow enough.
_DEEPEST = 300.0

#: So few pieces are turned to any angle, of a circle cut into so many.
_FEW, _ANGLES = 16, 12

#: How pieces are turned: upright or half-turned, the same across, all of these; and to any angle.
_UPRIGHT, _ACROSS = (IDENTITY, HALF), (QUARTER, HALF @ QUARTER)
_SQUARE = _UPRIGHT, _ACROSS, _UPRIGHT + _ACROSS
_ONE_WAY = ((IDENTITY,),)
_ANY_ANGLE = tuple(Affine.turning(2 * math.pi * step / _ANGLES) for step in range(_ANGLES))

#: With at most so many sleeves every way to turn them is tried.
_ALL_WAYS = 4

_HAIR = 1e-6


class OutlineLay(NamedTuple):
    """A plan for pieces: ``placements`` are the maps that lay their outlines on the cloth.

    ``strips`` says whose they are where they belong to tiers; ``others`` are pieces of other outlines, cut beside sleeves.
    """

    placements: tuple[Affine, ...]
    width: float
    length: float
    strips: tuple[Strip, ...] = ()
    others: tuple[Placed, ...] = ()

    def boxes(self, outline: Curve) -> list[Box]:
        """Return the boxes of all pieces as they lie: those of the ``outline``, and then the others."""
        own = [placement.apply_to_box(Box(*outline.bounds())) for placement in self.placements]
        return own + [Box(*each.laid.bounds()) for each in self.others]

    @property
    def beside_area(self) -> float:
        """The area of the pieces of other outlines, square millimetres."""
        return sum(abs(each.outline.signed_area()) for each in self.others)

    @property
    def piece_count(self) -> int:
        """How many pieces are cut."""
        return len(self.placements) + len(self.others)

    @property
    def all_joins(self) -> int:
        """How many joins there are between pieces of one tier, sleeve and layer."""
        return len(self.strips) - len({(strip.tier, strip.sleeve, strip.layer) for strip in self.strips})


def lay_outlines(
    outline: Curve, count: int, width: float, either_way: bool, repeat: float = 0.0, beside: Sequence[Beside] = ()
) -> OutlineLay:
    """Lay ``count`` sleeves, every second one mirrored, with their grain along the cloth, and what is cut ``beside`` them.

    ``outline`` is the closed cutting line, its grain along y.  Where the cloth may be used ``either_way`` up,
    sleeves are turned end for end where that saves cloth.  With a ``repeat`` of stripes along the cloth all
    lie whole repeats apart, so that seams match.
    Raises ``ValueError`` where one sleeve is wider than the cloth.
    """
    left, _, right, _ = outline.bounds()
    if right - left > width + _HAIR:
        raise ValueError("the sleeve is wider than the cloth")
    may_turn = either_way and not repeat
    stood = {
        (mirrored, turned): stand(outline, (HALF if turned else IDENTITY) @ (MIRRORED if mirrored else IDENTITY), _FINE)
        for mirrored in (False, True) for turned in ((False, True) if may_turn else (False,))
    }  # fmt: skip
    others = _all_beside(beside, may_turn)
    others.sort(key=lambda other: -other[1][0].height)
    best: OutlineLay | None = None
    for turns, first in itertools.product(_ways_to_turn(count, may_turn), (False, True) if others else (False,)):
        sleeves, rest = [[stood[i % 2 == 1, turned]] for i, turned in enumerate(turns)], [ways for _, ways in others]
        lay = _nest([*rest, *sleeves] if first else [*sleeves, *rest], width, _FINE, repeat)
        if best is None or lay.length < best.length - _HAIR:
            own = lay.placements[len(rest) :] if first else lay.placements[:count]
            laid = lay.placements[: len(rest)] if first else lay.placements[count:]
            best = lay._replace(placements=own, others=_placed(others, laid))
    assert best is not None
    return best


def lay_hems_on_border(outline: Curve, count: int, width: float, repeat: float = 0.0, beside: Sequence[Beside] = ()) -> OutlineLay:
    """Lay ``count`` sleeves one behind the other, every second one mirrored, their hems on the border along the left selvedge and so
    their grain across the cloth; below them what is cut ``beside`` them, its grain along the cloth.

    ``outline`` is the closed cutting line, its grain along y.  With a ``repeat`` along the cloth all lie whole repeats apart, so that
    the border is the same in each.  Raises ``ValueError`` where one sleeve is longer than the cloth is wide.
    """
    left, top, right, bottom = outline.bounds()
    if bottom - top > width + _HAIR:
        raise ValueError("the sleeve is longer than the cloth is wide")
    step = float(_on_repeat(right - left + APART, repeat))
    ways = [QUARTER @ MIRRORED if i % 2 else QUARTER for i in range(count)]
    boxes = [way.apply_to_box(Box(left, top, right, bottom)) for way in ways]
    own = tuple(Affine.moving(-box.left, i * step - box.top) @ way for i, (way, box) in enumerate(zip(ways, boxes)))
    long = (count - 1) * step + right - left
    others = _all_beside(beside, may_turn=False)
    if not others:
        return OutlineLay(own, width, long)
    below = _nest([ways for _, ways in others], width, _FINE, 0.0)
    down = Affine.moving(0.0, long + APART)
    return OutlineLay(own, width, long + APART + below.length, others=_placed(others, [down @ at for at in below.placements]))


def _on_repeat(y: float | Array, repeat: float) -> Array:
    """Return the least whole number of repeats that is not below ``y``, which is ``y`` itself where nothing repeats."""
    whole: Array = np.ceil(np.asarray(y) / repeat - 1e-9) * repeat if repeat else np.asarray(y)
    return whole


def _all_beside(beside: Sequence[Beside], may_turn: bool) -> list[tuple[Beside, list[Stood]]]:
    """Return every piece that is cut beside sleeves, and how it may stand."""
    return [(each, _stood_beside(each, i, may_turn)) for each in beside for i in range(each.number)]


def _placed(others: Sequence[tuple[Beside, list[Stood]]], placements: Sequence[Affine]) -> tuple[Placed, ...]:
    return tuple(Placed(each.name, each.outline, at) for (each, _), at in zip(others, placements))


def _stood_beside(piece: Beside, index: int, may_turn: bool) -> list[Stood]:
    """Return how one of several alike may stand: every second one of a pair mirrored, turned as the cloth lets it be."""
    ways = [IDENTITY, *([HALF] if may_turn else []), *([QUARTER] if may_turn and piece.across else [])]
    mirrored = MIRRORED if piece.paired and index % 2 else IDENTITY
    return [stand(piece.outline, way @ mirrored, _FINE) for way in ways]


def nest_pieces(outlines: Sequence[Curve], strips: Sequence[Strip], width: float, one_way: bool = False) -> OutlineLay:
    """Lay pieces of cloth that has no direction, one for each of ``strips``: one by one, in rows across the cloth, and in
    rows down the cloth; the shortest of these lays, small ones in the holes of large ones where that is shorter.  All lie
    ``one_way`` up where it has a nap: then only one by one.

    Raises ``ValueError`` where one is wider than the cloth.
    """
    lay = _side_by_side(outlines, width, one_way)
    held = held_in_holes(outlines, PIECES_APART)
    if held:
        rest = [i for i in range(len(outlines)) if i not in held]
        fewer = _side_by_side([outlines[i] for i in rest], width, one_way)
        placements = laid_in_holes(outlines, dict(zip(rest, fewer.placements)), held, PIECES_APART)
        if placements and fewer.length < lay.length:
            lay = fewer._replace(placements=placements)
    return lay._replace(strips=tuple(strips))


def _side_by_side(outlines: Sequence[Curve], width: float, one_way: bool) -> OutlineLay:
    """Return the shortest lay of pieces of which none lies within another."""
    patterns, members = _alike(outlines)
    if one_way:
        return _one_by_one(patterns, members, width, _ONE_WAY)
    lays: list[OutlineLay] = []
    for first in (IDENTITY, QUARTER) if len(outlines) <= _FEW else (IDENTITY,):
        kinds = [kind_of(pattern, len(each), _ROWS, first) for pattern, each in zip(patterns, members)]
        for lowest in _LOWEST:
            lays += _in_rows(Rows(kinds, _ROWS, lowest), members, width)
    least = sum(kind.area * kind.number for kind in kinds) / width
    if len(outlines) <= _FEW or not lays or min(lay.length for lay in lays) > _GOOD * least:
        lays.append(_one_by_one(patterns, members, width, (*_SQUARE, _ANY_ANGLE) if len(outlines) <= _FEW else _SQUARE))
    return min(lays, key=lambda lay: lay.length)


def nest_beside(
    outlines: Sequence[Curve], strips: Sequence[Strip], width: float, corners: Sequence[tuple[float, float]], one_way: bool = False
) -> Iterator[OutlineLay]:
    """Lay pieces on cloth of which the left corner at its beginning is taken, so wide and so long, for one corner after the other:
    below that, as many in rows beside it as go in there, or, of few, one by one wherever they go; the shortest of these lays.

    Raises ``ValueError`` where one is wider than the cloth.
    """
    patterns, members = _alike(outlines)
    alone = nest_pieces(outlines, strips, width, one_way)
    for wide, long in corners:
        lays = [_below(alone, {}, long)]
        if not one_way:
            ways = _rows_beside(patterns, members, width - wide, long, wide)
            beside = max(ways, key=lambda way: sum(abs(outlines[i].signed_area()) for i in way), default={})
            if beside:
                rest = [outline for i, outline in enumerate(outlines) if i not in beside]
                lays.append(_below(nest_pieces(rest, (), width) if rest else OutlineLay((), width, 0.0), beside, long))
            if len(outlines) <= _MANY:
                lays.append(_one_by_one(patterns, members, width, (_UPRIGHT + _ACROSS,), (wide, long)))
        yield min(lays, key=lambda lay: lay.length)._replace(strips=tuple(strips))


def _below(lay: OutlineLay, beside: Mapping[int, Affine], long: float) -> OutlineLay:
    """Return a lay moved down by what is taken, with those pieces between its own that lie ``beside`` that, by their numbers."""
    below = iter(lay.placements)
    laid = (beside.get(i) or Affine.moving(0.0, long) @ next(below) for i in range(len(lay.placements) + len(beside)))
    return lay._replace(placements=tuple(laid), length=long + lay.length)


def _rows_beside(
    patterns: Sequence[Curve], members: Sequence[Sequence[int]], room: float, long: float, wide: float
) -> Iterator[dict[int, Affine]]:
    """Yield which pieces lie where in rows across the ``room`` beside what is taken, and in rows down it."""
    for along, high in ((room, long), (long, room)):
        kinds = [kind_of(pattern, len(each), _ROWS) for pattern, each in zip(patterns, members)]
        fitting = [i for i, kind in enumerate(kinds) if kind.width <= along and kind.height <= high]
        laid = Rows([kinds[i] for i in fitting], _ROWS, _LOWEST[0]).lay(along) if fitting else None
        if laid is None:
            continue
        to_cloth = Affine.moving(wide, 0.0) @ (IDENTITY if along == room else Affine.moving(high, 0.0) @ QUARTER)
        left = [list(members[i]) for i in fitting]
        yield {
            left[kind].pop(): to_cloth @ place
            for kind, place in laid.placements if place.apply_to_box(Box(*patterns[fitting[kind]].bounds())).bottom <= high
        }  # fmt: skip


def _alike(outlines: Sequence[Curve]) -> tuple[list[Curve], list[list[int]]]:
    """Return every outline once, and the numbers of the pieces that have it."""
    alike: dict[int, list[int]] = {}
    for i, outline in enumerate(outlines):
        alike.setdefault(id(outline), []).append(i)
    members = list(alike.values())
    return [outlines[each[0]] for each in members], members


def _in_rows(rows: Rows, members: Sequence[Sequence[int]], width: float) -> list[OutlineLay]:
    """Return the lays in rows across the cloth and down it, as far as they can be had; the second only where it is shorter."""
    across = _across(rows, members, width)
    down = _down(rows, members, width, across.length if across else math.inf)
    return [lay for lay in (across, down) if lay]


def _across(rows: Rows, members: Sequence[Sequence[int]], width: float) -> OutlineLay | None:
    """Return pieces in rows from selvedge to selvedge, or None where one is wider than the cloth as it stands in a row."""
    laid = rows.lay(width)
    return laid and OutlineLay(_in_order(laid.placements, members), width, laid.height)


def _down(rows: Rows, members: Sequence[Sequence[int]], width: float, shortest: float) -> OutlineLay | None:
    """Return pieces in rows down the cloth, as short as may be so that all lie side by side, or None where that is no shorter
    than the ``shortest`` known.
    """
    area = sum(kind.area * kind.number for kind in rows.kinds)
    length = max(area / width, *(kind.width for kind in rows.kinds)) * _LEAST_RATIO
    best: Laid | None = None
    while best is None and length < shortest - _HAIR:
        best, length = rows.lay(length, width), length * _LONGER
    if best is None:
        return None
    for shorter in _SHORTER:
        best = rows.lay(length / _LONGER * shorter, width) or best
    turned = Affine.moving(best.height, 0.0) @ QUARTER
    return OutlineLay(_in_order([(kind, turned @ place) for kind, place in best.placements], members), width, best.length)


def _in_order(placements: Sequence[tuple[int, Affine]], members: Sequence[Sequence[int]]) -> tuple[Affine, ...]:
    """Return the maps of all pieces by their numbers, from those of kinds, whose ``members`` are numbered."""
    left = [list(each) for each in members]
    found = {left[kind].pop(): place for kind, place in placements}
    return tuple(found[i] for i in sorted(found))


def _one_by_one(
    patterns: Sequence[Curve],
    members: Sequence[Sequence[int]],
    width: float,
    turns: Sequence[Sequence[Affine]],
    taken: tuple[float, float] = (0.0, 0.0),
) -> OutlineLay:
    """Lay large ones first, each as it does best of the ways of one of ``turns``: each of those is tried.  Of the cloth a corner
    so wide and so long is ``taken``.
    """
    sizes = [float(np.prod(np.ptp(np.reshape(pattern.bounds(), (2, 2)), axis=0))) for pattern in patterns]
    kinds = [kind for kind in sorted(range(len(patterns)), key=lambda kind: -sizes[kind]) for _ in members[kind]]
    hollows = _HOLLOWS if len(kinds) <= _MANY else _HOLLOWS[::2] if len(kinds) <= _VERY_MANY else _HOLLOWS[:1]
    best: OutlineLay | None = None
    for ways in turns:
        stood = [[each for each in (stand(pattern, way, _COARSE) for way in ways) if each.width <= width + _HAIR] for pattern in patterns]
        if not all(stood):
            continue
        for hollow in _HOLLOWS[::2] if ways is _ANY_ANGLE else hollows:
            lay = _nest([stood[kind] for kind in kinds], width, _COARSE, 0.0, hollow, taken)
            if best is None or lay.length < best.length:
                best = lay
    if best is None:
        raise ValueError("a piece is wider than the cloth")
    return best._replace(placements=_in_order(list(zip(kinds, best.placements)), members))


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
    pieces: Sequence[Sequence[Stood]],
    width: float,
    fine: Fineness,
    repeat: float,
    hollow: float = 0.0,
    taken: tuple[float, float] = (0.0, 0.0),
) -> OutlineLay:
    """Lay the pieces one after the other, each the way of its ways that lengthens the lay least, then as far up and left.

    Where ``hollow`` is above 0, it counts instead how far down a piece reaches, and by that share what is left
    hollow above it.
    """
    skyline = _Skyline(np.full(fine.columns(width), -fine.half), repeat, hollow)
    wide, length = taken
    if length:
        skyline.lower(0, np.full(math.ceil(wide / fine.column) + fine.beside, length - fine.half))
    placements = []
    for ways in pieces:
        choices = [choice for stood in ways for choice in [skyline.place(stood, length)] if choice is not None]
        if not choices:  # as wide as the cloth: it lies alone in its width
            y_alone = max(float(skyline.reached.max()) + fine.half, 0.0)
            y_alone = float(_on_repeat(y_alone, repeat))
            choices = [_Choice(0.0, y_alone, 0, ways[0])]
        _, y, at, stood = min(choices, key=lambda choice: choice[:3])
        across = min(at * fine.column, max(0.0, width - stood.width))
        placements.append(Affine.moving(across, y) @ stood.placement)
        skyline.lower(at, y + stood.under)
        length = max(length, y + stood.height)
    return OutlineLay(tuple(placements), width, length)


class _Choice(NamedTuple):
    """Where a piece could lie: how bad that is, how far down, in which column it begins."""

    badness: float
    y: float
    at: int
    stood: Stood


class _Places:
    """How far down a piece would lie wherever it began, and how much hollow it would leave above it, as of so many ``changes``."""

    def __init__(self, count: int) -> None:
        self.y, self.hollow, self.changes = np.zeros(count), np.zeros(count), 0


class _Skyline:
    """How far down in every column all pieces have ``reached``.

    Where a piece could lie is remembered, and looked at anew only where the skyline has changed since.
    """

    def __init__(self, reached: Array, repeat: float, hollow: float) -> None:
        self.reached, self.repeat, self.hollow = reached, repeat, hollow
        self._changed: list[tuple[int, int]] = [(0, len(reached))]
        self._known: dict[int, _Places] = {}

    def lower(self, at: int, under: Array) -> None:
        """Let the skyline reach as far down as ``under`` from the column ``at`` on."""
        taken = self.reached[at : at + len(under)]
        np.maximum(taken, under[: len(taken)], out=taken)
        self._changed.append((at, at + len(under)))

    def place(self, stood: Stood, length: float) -> _Choice | None:
        """Return the best place for a piece, or None where it is wider than the cloth."""
        count = len(self.reached) - len(stood.over) + 1
        if count < 1:
            return None
        if id(stood) not in self._known:
            self._known[id(stood)] = _Places(count)
        known = self._known[id(stood)]
        if known.changes < len(self._changed):
            since = self._changed[known.changes :]
            self._look(stood, known, max(0, min(low for low, _ in since) - len(stood.over) + 1), min(count, max(high for _, high in since)))
            known.changes = len(self._changed)
        y = known.y
        badness = y + stood.height + self.hollow * known.hollow if self.hollow else np.maximum(y + stood.height, length)
        least = np.flatnonzero(badness == badness.min())
        at = int(least[y[least].argmin()])
        return _Choice(float(badness[at]), float(y[at]), at, stood)

    def _look(self, stood: Stood, known: _Places, low: int, high: int) -> None:
        """Look at the places from ``low`` to ``high`` anew."""
        drops = np.lib.stride_tricks.sliding_window_view(self.reached[low : high + len(stood.over) - 1], len(stood.over)) - stood.over
        y = np.maximum(drops.max(axis=1), 0.0)
        known.y[low:high] = y = _on_repeat(y, self.repeat)
        if self.hollow:
            known.hollow[low:high] = y - np.maximum(drops, y[:, None] - _DEEPEST).mean(axis=1)
