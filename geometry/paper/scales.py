"""Pattern pictures that are not cut from: at which scale, and the grid by which a projector is set to true size."""
from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.measuring.lengths import MILLIMETRES_PER

#: How many times smaller than it is a pattern is drawn for the notebook.  1:2, 1:5, 1:10 and 1:20 are of
#: ISO 5455:1979, the quarter is of the trade (common practice, no source), 1:8 lies between.
SCALES = (4, 5, 8, 10, 20)

#: A grid has a line every so many millimetres, every so many of them a stronger one.
GRID = {"in": (MILLIMETRES_PER["in"], 5), "cm": (MILLIMETRES_PER["cm"], 10)}


class GridLine(NamedTuple):
    """A line of a grid, its number from the left or the top, and whether it is a stronger one."""

    line: Curve
    number: int
    upright: bool
    strong: bool


def scales_from(asked: int) -> tuple[int, ...]:
    """Return the scales to try in turn, the one that is ``asked`` and the smaller ones."""
    return tuple(scale for scale in SCALES if scale >= asked)


def grid_around(bounds: Box, unit: str, edge: float) -> Box:
    """Return the least box of whole strong squares of a grid, ``edge`` or more around ``bounds``."""
    step, strong = GRID[unit]
    square = step * strong
    left, top, right, bottom = bounds.grown(edge)
    return Box(left, top, left + square * math.ceil((right - left) / square), top + square * math.ceil((bottom - top) / square))


def grid_lines(box: Box, unit: str) -> list[GridLine]:
    """Return the lines of a grid over a box, from its left top corner, those of its edges too; the strong ones last."""
    step, strong = GRID[unit]
    left, top, right, bottom = box
    lines = []
    for x, number in _numbered(left, right, step):
        lines.append(GridLine(Curve.line((x, top), (x, bottom)), number, True, number % strong == 0))
    for y, number in _numbered(top, bottom, step):
        lines.append(GridLine(Curve.line((left, y), (right, y)), number, False, number % strong == 0))
    return sorted(lines, key=lambda each: each.strong)


def _numbered(low: float, high: float, step: float) -> list[tuple[float, int]]:
    count = round((high - low) / step) + 1
    return [(float(place), number) for number, place in enumerate(low + step * np.arange(count))]
