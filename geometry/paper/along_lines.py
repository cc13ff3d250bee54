"""Places for lettering on a piece: on a line across it or under that, and how far the piece reaches at a height."""
from __future__ import annotations

import numpy as np

from geometry.curves.arrays import Array, Flags
from geometry.curves.polyline import inside

#: Places tried along a line lie this far apart, millimetres.
STEP = 3.0


def boxes_along(line: np.ndarray, size: tuple[float, float], gap: float, under: bool, from_right: bool) -> Array:
    """Return rectangles (k, 4: left, top, right, bottom) of one ``size`` (width, height) all along a line.

    ``line`` (n, 2) is a polyline, y down.  Each rectangle stands ``gap`` above the highest point that the line has
    over the rectangle's width and ``gap`` beside it, or hangs as far below the lowest one if ``under``.  The first is at the left end
    of the line, or at the right one if ``from_right``.  Returns (0, 4) where the line is too short.

    >>> boxes_along(np.array([(0.0, 10.0), (7.0, 10.0)]), (4.0, 2.0), 1.0, under=True, from_right=True)
    array([[ 3., 11.,  7., 13.],
           [ 0., 11.,  4., 13.]])
    """
    width, height = size
    x, y = line[np.argsort(line[:, 0], kind="stable")].T
    room = x[-1] - x[0] - width
    if room < 0:
        return np.empty((0, 4))
    steps = np.arange(0, room + 1e-9, STEP)
    lefts = x[-1] - width - steps if from_right else x[0] + steps
    rights = lefts + width
    outermost, nowhere = (np.maximum, -np.inf) if under else (np.minimum, np.inf)
    begin, end = lefts - gap, rights + gap  # beside it too, or a line that falls would come nearer than the gap there
    over_width = (x >= begin[:, None]) & (x <= end[:, None])
    level = outermost.reduce(np.where(over_width, y, nowhere), axis=1)
    level = outermost(level, outermost(np.interp(begin, x, y), np.interp(end, x, y)))
    tops = level + gap if under else level - gap - height
    return np.stack([lefts, tops, rights, tops + height], axis=1)


def reaches(outline: np.ndarray, heights: np.ndarray, side: int) -> Array:
    """Return how far from x = 0 a closed polyline (n, 2) reaches at each of ``heights`` (k,), to the right for
    ``side`` 1 and to the left for -1; -inf at a height at which it is not.

    >>> reaches(np.array([(-3.0, 0.0), (4.0, 0.0), (2.0, 10.0), (-3.0, 10.0), (-3.0, 0.0)]), np.array([5.0, 11.0]), 1)
    array([  3., -inf])
    """
    (x0, y0), (x1, y1) = outline[:-1].T, outline[1:].T
    across = (y0 <= heights[:, None]) != (y1 <= heights[:, None])
    with np.errstate(divide="ignore", invalid="ignore"):
        x = side * (x0 + (heights[:, None] - y0) / (y1 - y0) * (x1 - x0))
    reach: Array = np.where(across, x, -np.inf).max(axis=1)
    return reach


def boxes_inside(outline: np.ndarray, boxes: np.ndarray) -> Flags:
    """Return for each of ``boxes`` (k, 4) whether all its corners lie inside a closed polyline (n, 2)."""
    corners = np.asarray(boxes)[:, [[0, 1], [2, 1], [2, 3], [0, 3]]]
    within: Flags = np.logical_and.reduce(inside(outline, corners.reshape(-1, 2)).reshape(-1, 4), axis=1)
    return within
