"""Lettering moved off the lines along which sheets are joined and end: on along the line on which it stands, else within its place."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags
from geometry.curves.polyline import inside
from geometry.paper.along_lines import boxes_along
from geometry.paper.clearance import Clearance
from geometry.paper.relettering import in_sight

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

Size = tuple[float, float]

#: Lettering stands on a line where it is this far from it, give or take so much, millimetres.
LARGEST_GAP, GIVE = 1.5, 0.25

#: How far lettering that stands on no line is tried from its place, across and down, and in which steps, millimetres.
REACH, STEPS = (240.0, 60.0), (6.0, 3.0)

#: Places looked at together.
AT_A_TIME = 100


class Place(NamedTuple):
    """Where lettering goes, and in which of its ways."""

    way: int
    box: Box


def off_joins(
    boxes: Sequence[Box], ways: Mapping[int, Sequence[Size]], lines: Sequence[Array], cuts: Sequence[Sequence[Array]], margin: float
) -> dict[int, Place]:
    """Return where those of the ``boxes`` that are cut go, by their number; not those that find no room.

    ``ways`` says of which boxes that can be asked, and how large (width, height) each may be instead, the best first; the first
    is as it is.  A new place keeps ``margin`` from the ``lines``, polylines (n, 2), and from the other boxes; from all of the
    ``cuts``, lists of polylines of which the first matters most, or from as many of these as can be.
    """
    cut_by = [_holding(lines_of_one, 0.0) for lines_of_one in cuts]
    moved: dict[int, Place] = {}
    for k in ways:
        worst = next((rank for rank, one in enumerate(cut_by) if not one.are_free(np.array([boxes[k]]))[0]), len(cuts))
        others = [moved[other].box if other in moved else box for other, box in enumerate(boxes) if other != k]
        for most in range(len(cuts), worst, -1):
            clearance = _holding([*lines, *(line for one in cuts[:most] for line in one)], margin, others)
            place = _place(boxes[k], ways[k], lines, clearance)
            if place is not None:
                moved[k] = place
                break
    return moved


def _holding(lines: Sequence[Array], margin: float, boxes: Sequence[Box] = ()) -> Clearance:
    clearance = Clearance(margin)
    for line in lines:
        clearance.add_line(line)
    for box in boxes:
        clearance.add_box(box)
    return clearance


def _place(box: Box, sizes: Sequence[Size], lines: Sequence[Array], clearance: Clearance) -> Place | None:
    """Return the best place for lettering that can be of several sizes."""
    sides = [(line, *side) for line in lines for side in _side_of(box, line)]
    found = (_along(box, size, sides, lines, clearance) for size in sizes) if sides else _near(box, sizes, lines, clearance)
    return next((Place(way, place) for way, place in enumerate(found) if place is not None), None)


def _along(box: Box, size: Size, sides: Sequence[tuple[Array, float, bool]], lines: Sequence[Array], clearance: Clearance) -> Box | None:
    """Return the nearest free place on along one of the lines beside which a box stands, on the same side of it if that can be,
    within the same edges; None where it has no room.
    """
    for line, gap, under in sides:
        for below in (under, not under):
            places = np.concatenate([boxes_along(line, size, gap, below, from_right) for from_right in (True, False)])
            places = places[np.argsort(abs(places[:, 0] - box.left), kind="stable")]
            if below != under:
                here = np.array([(box.left + box.right) / 2, (box.top + box.bottom) / 2])
                places = places[_within_the_same(lines, here, (places[:, :2] + places[:, 2:]) / 2)]
            free = clearance.first_free(places)
            if free is not None:
                return Box(*places[free].tolist())
    return None


def _within_the_same(lines: Sequence[Array], here: Array, places: Array) -> Flags:
    """Return which of ``places`` (k, 2) lie inside just those of the lines that are closed inside which ``here`` (2,) lies."""
    points = np.vstack([here, places])
    within = np.array([inside(line, points) for line in lines if _is_closed(line)]).reshape(-1, len(points))
    same: Flags = (within[:, 1:] == within[:, :1]).all(axis=0)
    return same


def _is_closed(line: Array) -> bool:
    return bool((line[0] == line[-1]).all())


def _side_of(box: Box, line: Array) -> list[tuple[float, bool]]:
    """Return how far a box stands from the line along it, and whether under it; nothing where it isn't beside that line."""
    if _is_closed(line):
        return []
    x, y = line[np.argsort(line[:, 0], kind="stable")].T
    if box.left < x[0] - GIVE or box.right > x[-1] + GIVE:
        return []
    over = y[(x >= box.left) & (x <= box.right)]
    level = np.concatenate([over, np.interp([box.left, box.right], x, y)])
    gaps = ((box.top - float(level.max()), True), (float(level.min()) - box.bottom, False))
    return [(gap, under) for gap, under in gaps if 0 < gap <= LARGEST_GAP]


def _near(box: Box, sizes: Sequence[Size], lines: Sequence[Array], clearance: Clearance) -> Iterator[Box | None]:
    """Yield for each of ``sizes`` the nearest free place to which no line lies between."""
    segments = np.concatenate([np.hstack([line[:-1], line[1:]]) for line in lines])
    middle = np.array([(box.left + box.right) / 2, (box.top + box.bottom) / 2])
    across, down = (np.arange(-reach, reach + step / 2, step) for reach, step in zip(REACH, STEPS))
    shifts = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    middles = middle + shifts[np.argsort(np.hypot(*shifts.T), kind="stable")]
    least = np.min(sizes, axis=0)  # where there is room for another, there is for one as wide and high as the least
    middles = middles[clearance.are_free(_around(middles, least))]
    middles = middles[_within_the_same(lines, middle, middles)]
    low, high = np.minimum(segments[:, :2], segments[:, 2:]), np.maximum(segments[:, :2], segments[:, 2:])
    reached = Box.around(np.vstack([middle, middles]))
    segments = segments[((low <= reached[2:]) & (high >= reached[:2])).all(axis=1)]
    seen = [in_sight(middle, few, segments) for few in np.array_split(middles, 1 + len(middles) // AT_A_TIME)]
    middles = middles[np.concatenate(seen)]
    for size in sizes:
        free = _around(middles, size)
        place = clearance.first_free(free)
        yield None if place is None else Box(*free[place].tolist())


def _around(middles: Array, size: ArrayLike) -> Array:
    """Return boxes (k, 4) of one size around their ``middles`` (k, 2)."""
    half = np.asarray(size) / 2
    return np.hstack([middles - half, middles + half])
