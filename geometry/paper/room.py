"""Where there is room for something new among what is drawn, nearest to where it is wanted."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags

#: Places are tried along the edges of this many boxes at most, in runs of so many; more boxes are taken
#: together by what they cover of a grid, whose first cell is this share of the room's smaller side.
_MOST, _RUN, _CELL = 60, 4096, 1 / 32


def nearest_room(
    width: float, height: float, near: tuple[float, float], taken: Sequence[Box], gap: tuple[float, float], least_left: float = -np.inf
) -> tuple[float, float]:
    """Return left and top of the room of ``width`` x ``height`` whose middle is nearest to ``near``.

    It keeps ``gap`` (across, down) from every box ``taken``, and its left edge is at ``least_left`` or right of
    that.  All in one unit, whichever; there always is such room.  Where many boxes are taken it may lie a
    little farther off than it must.

    >>> nearest_room(4, 2, (0, 0), [], (1, 1))
    (-2.0, -1.0)
    >>> nearest_room(4, 2, (0, -0.5), [Box(-10, -1, 10, 1)], (1, 1))
    (-2.0, -4.0)
    """
    wanted = np.array([max(near[0] - width / 2, least_left), near[1] - height / 2])
    boxes = np.array([box.grown(*gap) for box in taken]).reshape(-1, 4)
    boxes = _fewer(boxes[boxes[:, 2] > least_left], min(width, height) * _CELL)  # what lies left of there is in nobody's way
    lefts = np.concatenate([wanted[:1], boxes[:, 2], boxes[:, 0] - width])
    tops = np.concatenate([wanted[1:], boxes[:, 3], boxes[:, 1] - height])
    lefts = lefts[lefts >= least_left]
    places = np.stack(np.meshgrid(lefts, tops), axis=-1).reshape(-1, 2)
    places = places[np.argsort(np.hypot(*(places - wanted).T), kind="stable")]
    for run in range(0, len(places), _RUN):
        some = places[run : run + _RUN]
        free = np.flatnonzero(~_overlap(some, (width, height), boxes))
        if len(free):
            left, top = some[free[0]].tolist()
            return left, top
    raise AssertionError("below everything there is room")


def _overlap(places: Array, size: tuple[float, float], boxes: Array) -> Flags:
    """Return for each place (k, 2) whether the room there overlaps any box; edges may touch, to a hair."""
    low, high = places + 1e-9 * max(size), places + size - 1e-9 * max(size)
    apart: Flags = (low[:, None] >= boxes[None, :, 2:]) | (high[:, None] <= boxes[None, :, :2])
    clear_of_all: Flags = np.all(np.any(apart, axis=2), axis=1)
    return ~clear_of_all


def _fewer(boxes: Array, cell: float) -> Array:
    """Return boxes, few enough, that cover all of ``boxes``."""
    while len(boxes) > _MOST:
        snapped = np.concatenate([np.floor(boxes[:, :2] / cell), np.ceil(boxes[:, 2:] / cell)], axis=1) * cell
        boxes, cell = _outermost(np.unique(snapped, axis=0)), cell * 2
    return boxes


def _outermost(boxes: Array) -> Array:
    """Return the boxes that lie in no other; all differ."""
    inside: Flags = (boxes[:, None, :2] >= boxes[None, :, :2]) & (boxes[:, None, 2:] <= boxes[None, :, 2:])
    outermost: Array = boxes[np.sum(np.all(inside, axis=2), axis=1) == 1]
    return outermost
