"""Lettering moved off the lines along which sheets are joined and end: on along the line on which it stands, else within its place."""
from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
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
    boxes: Sequence[Box],
    ways: Mapping[int, Sequence[Size]],
    lines: Sequence[Array],
    cuts: Sequence[Sequence[Array]],
    margin: float,
    sheets: Sequence[Box],
    names: Collection[int] = (),
) -> dict[int, Place]:
    """Return where those of the ``boxes`` that are cut go, by their number; not those that find no room.

    ``ways`` says of which boxes that can be asked, and how large (width, height) each may be instead, the best first; the first
    is as it is.  A new place keeps ``margin`` from the ``lines``, polylines (n, 2), and from the other boxes; from all of the
    ``cuts``, lists of polylines of which the first matters most, or from as many of these as can be; and it lies whole on one of
    the ``sheets``.  Those that are ``names`` of a whole piece may go past any line that is not closed, where they find no room else.
    """
    uncut = [_holding(lines_of_one, 0.0).are_free(np.reshape(boxes, (-1, 4))) for lines_of_one in cuts]
    clear_of = [_holding([*lines, *(line for one in cuts[:most] for line in one)], margin) for most in range(len(cuts) + 1)]
    moved: dict[int, Place] = {}
    for k in ways:
        worst = next((rank for rank, free in enumerate(uncut) if not free[k]), len(cuts))
        if worst == len(cuts):
            continue
        others = [moved[other].box if other in moved else box for other, box in enumerate(boxes) if other != k]
        for most in range(len(cuts), worst, -1):
            clearance, on = clear_of[most].with_boxes(others), np.reshape(sheets, (-1, 4))
            place = _place(boxes[k], ways[k], lines, clearance, on)
            if place is None and k in names:
                place = _first(_near(boxes[k], ways[k], lines, clearance, on, past_lines=True))
            if place is not None:
                moved[k] = place
                break
    return moved


def _holding(lines: Sequence[Array], margin: float) -> Clearance:
    clearance = Clearance(margin)
    for line in lines:
        clearance.add_line(line)
    return clearance


def _place(box: Box, sizes: Sequence[Size], lines: Sequence[Array], clearance: Clearance, sheets: Array) -> Place | None:
    """Return the best place for lettering that can be of several sizes."""
    sides = [(line, *side) for line in lines for side in _side_of(box, line)]
    found = (_along(box, size, sides, lines, clearance, sheets) for size in sizes) if sides else _near(box, sizes, lines, clearance, sheets)
    return _first(found)


def _first(found: Iterable[Box | None]) -> Place | None:
    """Return the first of the ways in which a place was found."""
    return next((Place(way, place) for way, place in enumerate(found) if place is not None), None)


def _along(
    box: Box, size: Size, sides: Sequence[tuple[Array, float, bool]], lines: Sequence[Array], clearance: Clearance, sheets: Array
) -> Box | None:
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
            places = places[_whole_on_one(places, sheets)]
            free = clearance.first_free(places)
            if free is not None:
                return Box(*places[free].tolist())
    return None


def _whole_on_one(places: Array, sheets: Array) -> Flags:
    """Return which of ``places`` (k, 4) lie whole on one of the ``sheets`` (n, 4)."""
    inside_of: Flags = (places[:, None, :2] >= sheets[None, :, :2]) & (places[:, None, 2:] <= sheets[None, :, 2:])
    whole: Flags = np.logical_or.reduce(np.logical_and.reduce(inside_of, axis=2), axis=1)
    return whole


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


def _near(
    box: Box, sizes: Sequence[Size], lines: Sequence[Array], clearance: Clearance, sheets: Array, past_lines: bool = False
) -> Iterator[Box | None]:
    """Yield for each of ``sizes`` the nearest free place within the same edges, to which no line lies between unless ``past_lines``."""
    middle = np.array([(box.left + box.right) / 2, (box.top + box.bottom) / 2])
    across, down = (np.arange(-reach, reach + step / 2, step) for reach, step in zip(REACH, STEPS))
    shifts = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    middles = middle + shifts[np.argsort(np.hypot(*shifts.T), kind="stable")]
    segments = np.concatenate([np.hstack([line[:-1], line[1:]]) for line in lines])
    low, high = np.minimum(segments[:, :2], segments[:, 2:]), np.maximum(segments[:, :2], segments[:, 2:])
    segments = segments[((low <= middle + REACH) & (high >= middle - REACH)).all(axis=1) & (not past_lines)]
    least = np.min(sizes, axis=0)
    for k, size in enumerate(sizes):
        if k == 1:  # where there is room for another, there is for one as wide and high as the least
            middles = middles[clearance.are_free(_around(middles, least))]
        on_one = middles[_whole_on_one(_around(middles, size), sheets)]
        yield _nearest(middle, on_one, size, (lines, segments), clearance)


def _nearest(
    middle: Array, middles: Array, size: Size, lines_and_segments: tuple[Sequence[Array], Array], clearance: Clearance
) -> Box | None:
    """Return the first free place around one of ``middles`` (k, 2) to which from ``middle`` (2,) no line lies between."""
    lines, segments = lines_and_segments
    for few in np.array_split(middles, 1 + len(middles) // AT_A_TIME):
        free = few[clearance.are_free(_around(few, size))]
        if len(free):
            same = free[_within_the_same(lines, middle, free)]
            seen = same[in_sight(middle, same, segments)]
            if len(seen):
                return Box(*_around(seen[:1], size)[0].tolist())
    return None


def _around(middles: Array, size: ArrayLike) -> Array:
    """Return boxes (k, 4) of one size around their ``middles`` (k, 2)."""
    half = np.asarray(size) / 2
    return np.hstack([middles - half, middles + half])
