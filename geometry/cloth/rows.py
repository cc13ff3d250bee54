"""Pattern pieces laid in rows: side by side with every second one turned end for end, and row close upon row.

So sectors of rings lie as wedges do, each filling the taper of its neighbours, outer arcs in the hollows of inner ones.
A row is filled as well as its length lets it be, widest pieces first.  Rows run along u from 0, one upon the other
along v from 0.  Lengths in millimetres.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.affine import IDENTITY, Affine
from geometry.cloth.profiles import FOLLOW, HALF, Fineness, Stood, profiles, stand
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve

#: So many ways to fill a row are tried.
_TRIES = 40

_HAIR = 1e-6


class _Way(NamedTuple):
    """A piece as it stands, upright or turned, and how far left and right it reaches in every narrow strip along its row."""

    stood: Stood
    left: Array
    right: Array


class Kind(NamedTuple):
    """Pieces that are alike: the ``number`` of them, the area of each, and both ways in which they lie in a row."""

    number: int
    area: float
    ways: tuple[_Way, _Way]

    @property
    def width(self) -> float:
        """How much of a row one takes by itself."""
        return self.ways[0].stood.width

    @property
    def height(self) -> float:
        """How high a row must be for it."""
        return self.ways[0].stood.height


class _Place(NamedTuple):
    """Where a piece of a kind lies: which way, in which column along its row, in which strip across it."""

    kind: int
    way: int
    column: int
    strip: int


class Laid(NamedTuple):
    """Pieces laid in rows: of each its kind and the map that brings it there, how long the rows are and how high together."""

    placements: list[tuple[int, Affine]]
    length: float
    height: float


def kind_of(outline: Curve, number: int, fine: Fineness, first: Affine = IDENTITY) -> Kind:
    """Return so many pieces of an outline, turned ``first``, as they may lie in rows."""
    ways = []
    for way in (first, HALF @ first):
        stood = stand(outline, way, fine)
        polygon = outline.transformed(stood.placement.matrix).flatten(FOLLOW)[:-1]
        ways.append(_Way(stood, *profiles(polygon[:, ::-1], stood.height, fine)))
    return Kind(number, abs(outline.signed_area()), (ways[0], ways[1]))


class Rows:
    """Kinds of pieces, the highest first, to be laid in rows of whichever length.

    A piece lower than the share ``lowest`` of the highest one in a row is left for a lower row.
    """

    def __init__(self, kinds: Sequence[Kind], fine: Fineness, lowest: float) -> None:
        self.lowest, self.kinds, self.fine = lowest, sorted(kinds, key=lambda kind: (-kind.height, -kind.width)), fine
        #: Which of the kinds, as they were given, each is.
        self.given = sorted(range(len(kinds)), key=lambda i: (-kinds[i].height, -kinds[i].width))
        every = range(len(kinds))
        self.advance = [[[self._advance(way, one, other) for other in every] for one in every] for way in (0, 1)]

    def lay(self, length: float, room: float = math.inf) -> Laid | None:
        """Return all pieces in rows no longer than ``length``, or None where a piece is, or where they are higher than ``room``."""
        if max(kind.width for kind in self.kinds) > length + _HAIR:
            return None
        left = [kind.number for kind in self.kinds]
        reached = np.full(self.fine.columns(length), -self.fine.half)
        placements: list[tuple[int, Affine]] = []
        longest = height = 0.0
        while any(left):
            over = float(np.maximum(reached, 0.0).mean()) + sum(count * kind.area for count, kind in zip(left, self.kinds)) / length
            if over > room + _HAIR:  # what is left needs its area at least
                return None
            row, v, reached = self._upon(self._fill(left, length), length, reached)
            for place in row:
                left[place.kind] -= 1
                stood = self.kinds[place.kind].ways[place.way].stood
                u, across = place.column * self.fine.column, v + place.strip * self.fine.column
                placements.append((self.given[place.kind], Affine.moving(u, across) @ stood.placement))
                longest, height = max(longest, u + stood.width), max(height, across + stood.height)
            if height > room + _HAIR:
                return None
        return Laid(placements, longest, height)

    # --- which pieces ---------------------------------------------------------------------------------

    def _fill(self, left: Sequence[int], length: float) -> list[int]:
        """Return the kinds of a row one after the other, begun with the highest left: of as many as were tried those that cover most."""
        first = next(kind for kind, count in enumerate(left) if count)
        lowest = self.lowest * self.kinds[first].height
        usable = [kind for kind in range(first, len(left)) if left[kind] and self.kinds[kind].height >= lowest]
        best: list[int] = []
        best_area, tries = 0.0, 0

        def onward(number: int, row: list[int], column: int, area: float) -> None:
            nonlocal best, best_area, tries
            if area > best_area:
                best, best_area = row, area
            if number == len(usable) or tries > _TRIES:
                return
            steps = self._as_many(usable[number], left, row, column, length)
            for more, at in reversed(steps[1:] if number == 0 else steps):
                tries += 1
                onward(number + 1, more, at, area + (len(more) - len(row)) * self.kinds[usable[number]].area)

        onward(0, [], 0, 0.0)
        return best

    def _as_many(self, kind: int, left: Sequence[int], row: list[int], column: int, length: float) -> list[tuple[list[int], int]]:
        """Return a row with none, one, two … of a kind behind it, as many as go in, each with the column of its last piece."""
        steps = [(row, column)]
        for _ in range(left[kind]):
            row, column = steps[-1]
            beside = column + self.advance[(len(row) - 1) % 2][row[-1]][kind] if row else 0
            if beside * self.fine.column + self.kinds[kind].width > length + _HAIR:
                break
            steps.append(([*row, kind], beside))
        return steps

    def _advance(self, way: int, one: int, other: int) -> int:
        """Return how many columns beside a piece that lies this ``way`` the next one lies, turned."""
        before, after = self.kinds[one].ways[way], self.kinds[other].ways[1 - way]
        high = max(before.stood.height, after.stood.height)
        a, b = self._strip(way, before, high), self._strip(1 - way, after, high)
        low, top = max(a, b), min(a + len(before.right), b + len(after.left))
        return self._columns(float((before.right[low - a : top - a] - after.left[low - b : top - b]).max()))

    def _strip(self, way: int, piece: _Way, high: float) -> int:
        """Return in which strip of a row so high a piece begins: upright ones stand at its top, turned ones at its bottom."""
        return int((high - piece.stood.height + _HAIR) / self.fine.column) if way else 0

    def _columns(self, along: float) -> int:
        return max(0, math.ceil(along / self.fine.column - _HAIR))

    # --- where they lie -------------------------------------------------------------------------------

    def _upon(self, chosen: Sequence[int], length: float, reached: Array) -> tuple[list[_Place], float, Array]:
        """Return a row of the ``chosen`` kinds, how far down it begins, and how far down all rows then reach: in this order or
        the other, begun upright or turned, at one end of its room or the other, whichever leaves the least below it.
        """
        best: tuple[float, list[_Place], float, Array] | None = None
        for order in dict.fromkeys((tuple(chosen), tuple(chosen[::-1]))):
            for way in (0, 1):
                row = self._beside_each_other(order, way, length)
                over, under = self._profiles(row, len(reached))
                for shift in dict.fromkeys((0, self._slack(row, length))):
                    free, taken = reached[shift:], slice(len(reached) - shift)
                    down = max(0.0, float((free - over[taken]).max()))
                    after = np.concatenate([reached[:shift], np.maximum(free, down + under[taken])])
                    left = float(after.max() + np.maximum(after, 0.0).mean())
                    if best is None or left - len(row) * length < best[0]:  # a row that holds more goes before
                        best = left - len(row) * length, [place._replace(column=place.column + shift) for place in row], down, after
        assert best is not None
        return best[1:]

    def _beside_each_other(self, order: Sequence[int], way: int, length: float) -> list[_Place]:
        """Return a row of pieces in this order, begun this ``way``; of the last ones those that do not go in are left out."""
        high = max(self.kinds[kind].height for kind in order)
        edge = np.full(int(high / self.fine.column) + 2 * self.fine.beside + 2, -self.fine.half)
        row: list[_Place] = []
        for kind in order:
            piece = self.kinds[kind].ways[way]
            strip = self._strip(way, piece, high)
            taken = edge[strip : strip + len(piece.left)]
            column = self._columns(float((taken - piece.left[: len(taken)]).max()))
            if column * self.fine.column + piece.stood.width > length + _HAIR:
                break
            np.maximum(taken, column * self.fine.column + piece.right[: len(taken)], out=taken)
            row.append(_Place(kind, way, column, strip))
            way = 1 - way
        return row

    def _slack(self, row: Sequence[_Place], length: float) -> int:
        end = max(place.column * self.fine.column + self.kinds[place.kind].width for place in row)
        return int((length - end + _HAIR) / self.fine.column)

    def _profiles(self, row: Sequence[_Place], columns: int) -> tuple[Array, Array]:
        """Return how far up and down a row reaches in every column."""
        over, under = np.full(columns, np.inf), np.full(columns, -np.inf)
        for kind, way, column, strip in row:
            stood, down = self.kinds[kind].ways[way].stood, strip * self.fine.column
            part = slice(column, column + len(stood.over))
            np.minimum(over[part], down + stood.over[: columns - column], out=over[part])
            np.maximum(under[part], down + stood.under[: columns - column], out=under[part])
        return over, under
