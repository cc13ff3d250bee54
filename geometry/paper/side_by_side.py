"""Rectangles side by side on one sheet: within a room that is given, or on the smallest sheet."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box

#: Widths of the smallest sheet are tried at so many places between the widest rectangle and all in a row.
WIDTHS = 60


class Arranged(NamedTuple):
    """Where the left top corner of each rectangle lies, from the corner of the sheet, and what all take."""

    places: list[tuple[float, float]]
    wide: float
    high: float


def stacked(sizes: Sequence[tuple[float, float]], width: float, gap: float) -> Arranged:
    """Return rectangles of ``sizes`` (width, height) on a sheet ``width`` wide, ``gap`` apart; one that is wider juts out.

    The highest come first, each as high up as it finds room in a corner of what lies there, then as far left
    (bottom-left: Baker, Coffman and Rivest 1980, SIAM Journal on Computing 9(4)).

    >>> stacked([(4, 2), (3, 5), (2, 1)], 8, 1).places
    [(4.0, 0.0), (0.0, 0.0), (4.0, 3.0)]
    """
    placed: dict[int, Box] = {}
    for k in sorted(range(len(sizes)), key=lambda k: -sizes[k][1]):
        wide, high = sizes[k]
        taken = [box.grown(gap - 1e-9) for box in placed.values()]
        xs = {0.0, *(box.right + gap for box in placed.values())}
        ys = {0.0, *(box.bottom + gap for box in placed.values())}
        corners = [(y, x) for y in ys for x in xs if x == 0.0 or x + wide <= width + 1e-9]
        y, x = min((y, x) for y, x in corners if not any(Box(x, y, x + wide, y + high).overlaps(box) for box in taken))
        placed[k] = Box(x, y, x + wide, y + high)
    whole = Box.united(placed.values())
    return Arranged([(placed[k].left, placed[k].top) for k in range(len(sizes))], whole.right, whole.bottom)


def within(sizes: Sequence[tuple[float, float]], room: tuple[float, float], gap: float) -> Arranged | None:
    """Return where rectangles lie within ``room`` (width, height), or None where no place for them is found there."""
    arranged = stacked(sizes, room[0], gap)
    return arranged if arranged.wide <= room[0] + 1e-9 and arranged.high <= room[1] + 1e-9 else None


def on_least_sheet(sizes: Sequence[tuple[float, float]], gap: float, longest: float) -> Arranged:
    """Return where rectangles lie on the sheet of least area of all tried, no side longer than ``longest`` if that can be."""
    widths = [wide for wide, _ in sizes]
    tried = [stacked(sizes, width, gap) for width in np.linspace(max(widths), sum(widths) + gap * len(widths), WIDTHS).tolist()]
    return min(tried, key=lambda each: (max(each.wide, each.high) > longest, each.wide * each.high))
