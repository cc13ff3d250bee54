"""Dimensions beside a small drawing, and the bar that shows how small it is.  Millimetres of the sheet, y down."""
from __future__ import annotations

from typing import NamedTuple

from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.measuring.lengths import MILLIMETRES_PER

#: From what is dimensioned to the line, and how far the projection lines run on past it (ISO 129-1:2018, 5.2 and 5.4,
#: from memory: eight line widths, here of a narrow line; the distance is our own).
AWAY, PAST = 7.0, 2.0
#: From what is dimensioned to the projection lines.
OFF = 1.0
#: Arrowheads are this long and wide (ISO 129-1: a closed filled arrowhead of 15°, here of about that).
HEAD_LENGTH, HEAD_WIDTH = 3.0, 0.8

#: A scale bar is so many of these long, in so many fields, and so high on the sheet.
BAR = {"in": (10, 5), "cm": (20, 4)}
BAR_HEIGHT = 2.0


class Dimension(NamedTuple):
    """A dimension line, the projection lines at its ends, and its arrowheads."""

    line: Curve
    projections: tuple[Curve, Curve]
    heads: tuple[Curve, Curve]


def width_of(box: Box) -> Dimension:
    """Return the dimension of a box's width, below it."""
    y = box.bottom + AWAY
    projections = [Curve.line((x, box.bottom + OFF), (x, y + PAST)) for x in (box.left, box.right)]
    heads = [_head(box.left, y, 1, 0), _head(box.right, y, -1, 0)]
    return Dimension(Curve.line((box.left, y), (box.right, y)), (projections[0], projections[1]), (heads[0], heads[1]))


def height_of(box: Box) -> Dimension:
    """Return the dimension of a box's height, right of it."""
    x = box.right + AWAY
    projections = [Curve.line((box.right + OFF, y), (x + PAST, y)) for y in (box.top, box.bottom)]
    heads = [_head(x, box.top, 0, 1), _head(x, box.bottom, 0, -1)]
    return Dimension(Curve.line((x, box.top), (x, box.bottom)), (projections[0], projections[1]), (heads[0], heads[1]))


def _head(x: float, y: float, across: int, down: int) -> Curve:
    """Return an arrowhead with its tip here, that lies in the direction given."""
    base_x, base_y = x + HEAD_LENGTH * across, y + HEAD_LENGTH * down
    off_x, off_y = HEAD_WIDTH / 2 * down, HEAD_WIDTH / 2 * across
    return Curve.polyline([(x, y), (base_x + off_x, base_y + off_y), (base_x - off_x, base_y - off_y), (x, y)])


def scale_bar(left: float, top: float, unit: str, scale: float) -> list[Curve]:
    """Return the fields of a bar, from the left: closed rectangles, the length of all :data:`BAR` at 1:``scale``."""
    count, fields = BAR[unit]
    wide = count * MILLIMETRES_PER[unit] / scale / fields
    lefts = [left + k * wide for k in range(fields)]
    return [Curve.polyline([(x, top), (x + wide, top), (x + wide, top + BAR_HEIGHT), (x, top + BAR_HEIGHT), (x, top)]) for x in lefts]
