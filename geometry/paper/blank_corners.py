"""Blank corners of sheets for several things that need not stand together, none over what is drawn or over another."""
from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags, Indices
from geometry.paper.fewest import CLEAR
from geometry.paper.ground import Ground
from geometry.paper.tiling import Tiling


class BlankCorners(NamedTuple):
    """What is blank on sheets, and on one sheet only, in cells as wide as the gap that is to be kept."""

    sheets: list[_Cells]

    @classmethod
    def of(cls, laid: Iterable[tuple[Tiling, Ground]], gap: float, taken: Sequence[Box] = ()) -> BlankCorners:
        """Return what is blank on the sheets of grounds, ``gap`` from all that is drawn and from the boxes ``taken``."""
        rooms = [(ground, tiling.middle(tile).grown(-CLEAR)) for tiling, ground in laid for tile in tiling.tiles]
        return cls([_Cells.of(ground, room, gap) for ground, room in rooms]).without(taken)

    def on_first(self) -> BlankCorners:
        """Return what is blank on the first sheet."""
        return BlankCorners(self.sheets[:1])

    def without(self, boxes: Sequence[Box]) -> BlankCorners:
        """Return what is blank yet once the boxes are taken."""
        return BlankCorners([sheet.without(boxes) for sheet in self.sheets])

    def for_all(self, wanted: Iterable[Sequence[tuple[float, float]]]) -> list[Box] | None:
        """Return room for each of what is ``wanted``, a list of sizes (width, height) that would do, the best first.

        None where any finds no room.
        """
        left, found = self, []
        for sizes in wanted:
            corner = left.for_one(sizes)
            if corner is None:
                return None
            left = left.without([corner])
            found.append(corner)
        return found

    def for_one(self, sizes: Iterable[tuple[float, float]]) -> Box | None:
        """Return room of the first of ``sizes`` that finds any, on the first sheet that has it."""
        return next((corner for size in sizes for sheet in self.sheets for corner in sheet.corner(*size)), None)


class _Cells(NamedTuple):
    """The square cells of a ``room``, and which of them are ``drawn`` on (rows + 2, columns + 2), a cell more at every side."""

    room: Box
    cell: float
    drawn: Flags

    @classmethod
    def of(cls, ground: Ground, room: Box, cell: float) -> _Cells:
        columns, rows = (max(int(side / cell), 0) for side in (room.width, room.height))
        drawn = np.zeros((rows + 2, columns + 2), dtype=bool)
        points = ground.points[room.grown(2 * cell).holding(ground.points)]
        k = np.floor((points - room[:2]) / cell).astype(int) + 1
        k = k[((k >= 0) & (k < (columns + 2, rows + 2))).all(axis=1)]
        drawn[k[:, 1], k[:, 0]] = True
        return cls(room, cell, drawn)

    def without(self, boxes: Sequence[Box]) -> _Cells:
        """Return the same with the boxes drawn on."""
        drawn = self.drawn.copy()
        for box in boxes:
            corners = np.floor((np.reshape(box, (2, 2)) - self.room[:2]) / self.cell).astype(int) + 1
            (left, top), (right, bottom) = np.maximum(corners + ((0, 0), (1, 1)), 0).tolist()
            drawn[top:bottom, left:right] = True
        return self._replace(drawn=drawn)

    def corner(self, wide: float, high: float) -> list[Box]:
        """Return the room of that size that is nearest to a corner of the sheet, as if she had looked for it; none where there is none."""
        across, down = self._windows(wide, high)
        if not len(across):
            return []
        room = self.room
        left, top = room.left + self.cell * across, room.top + self.cell * down
        inward = np.minimum(left - room.left, room.right - wide - left) + np.minimum(top - room.top, room.bottom - high - top)
        x, y = float(left[inward.argmin()]), float(top[inward.argmin()])
        return [Box(x, y, x + wide, y + high)]

    def _windows(self, wide: float, high: float) -> tuple[Indices, Indices]:
        """Return the columns and rows at which blank windows of a size begin; the cells at their edges are blank too.

        How many cells are drawn on is summed from the corner (Crow 1984, Computer Graphics 18(3)).
        """
        w, h = (math.ceil(side / self.cell) + 2 for side in (wide, high))
        if h > len(self.drawn) or w > len(self.drawn[0]):
            return np.zeros(0, dtype=int), np.zeros(0, dtype=int)
        sums: Array = np.zeros(np.add(self.drawn.shape, 1))
        sums[1:, 1:] = self.drawn.cumsum(axis=0).cumsum(axis=1)
        inside = sums[h:, w:] - sums[:-h, w:] - sums[h:, :-w] + sums[:-h, :-w]
        down, across = np.nonzero(inside == 0)
        return across, down
