"""Lettering moved off the lines along which sheets are joined: on along the line on which it stands, else within its place."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags
from geometry.curves.polyline import inside
from geometry.paper.along_lines import boxes_along
from geometry.paper.clearance import Clearance
from geometry.paper.relettering import in_sight

Size = tuple[float, float]

#: Lettering stands on a line where it is this far from it, give or take so much, millimetres.
LARGEST_GAP, GIVE = 1.5, 0.25

#: How far lettering that stands on no line is tried from its place, across and down, and in which steps, millimetres.
REACH, STEPS = (240.0, 60.0), (4.0, 2.0)

#: Places looked at together, the nearest first.
AT_A_TIME = 200


class Place(NamedTuple):
    """Where lettering goes, and in which of its ways."""

    way: int
    box: Box


def off_joins(
    boxes: Sequence[Box], ways: Mapping[int, Sequence[Size]], lines: Sequence[Array], joins: Sequence[Array], margin: float
) -> dict[int, Place]:
    """Return where those of the ``boxes`` that lie on a join go, by their number; not those that find no room.

    ``ways`` says of which boxes that can be asked, and how large (width, height) each may be instead, the best first; the first
    is as it is.  ``lines`` and ``joins`` are polylines (n, 2); a new place keeps ``margin`` from all of them and from the
    other boxes.
    """
    crossed = Clearance(0.0)
    for join in joins:
        crossed.add_line(join)
    moved: dict[int, Place] = {}
    for k in ways:
        if crossed.are_free(np.array([boxes[k]]))[0]:
            continue
        clearance = Clearance(margin)
        for line in (*lines, *joins):
            clearance.add_line(line)
        for other, box in enumerate(boxes):
            if other != k:
                clearance.add_box(moved[other].box if other in moved else box)
        place = _place(boxes[k], ways[k], lines, clearance)
        if place is not None:
            moved[k] = place
    return moved


def _place(box: Box, sizes: Sequence[Size], lines: Sequence[Array], clearance: Clearance) -> Place | None:
    """Return the best place for lettering that can be of several sizes."""
    sides = [(line, *side) for line in lines for side in _side_of(box, line)]
    segments = np.concatenate([np.hstack([line[:-1], line[1:]]) for line in lines])
    for way, size in enumerate(sizes):
        found = _along(box, size, sides, lines, clearance) if sides else _near(box, size, segments, clearance)
        if found is not None:
            return Place(way, found)
    return None


def _along(box: Box, size: Size, sides: Sequence[tuple[Array, float, bool]], lines: Sequence[Array], clearance: Clearance) -> Box | None:
    """Return the nearest free place on along one of the lines beside which a box stands, on the same side of it if that can be,
    within the same edges; None where it has no room.
    """
    edges = [line for line in lines if _is_closed(line)]
    for line, gap, under in sides:
        for below in (under, not under):
            places = np.concatenate([boxes_along(line, size, gap, below, from_right) for from_right in (True, False)])
            places = places[np.argsort(abs(places[:, 0] - box.left), kind="stable")]
            if below != under:
                places = places[_within_the_same(edges, box, places)]
            free = clearance.first_free(places)
            if free is not None:
                return Box(*places[free].tolist())
    return None


def _within_the_same(edges: Sequence[Array], box: Box, places: Array) -> Flags:
    """Return which of ``places`` (k, 4) lie inside just those closed lines in which the box lies, by their middles."""
    middles = np.vstack([[box], places]) @ np.array([(0.5, 0), (0, 0.5), (0.5, 0), (0, 0.5)])
    within = np.array([inside(edge, middles) for edge in edges]).reshape(len(edges), -1)
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


def _near(box: Box, size: Size, segments: Array, clearance: Clearance) -> Box | None:
    """Return the nearest free place to which no line lies between."""
    across, down = (np.arange(-reach, reach + step / 2, step) for reach, step in zip(REACH, STEPS))
    shifts = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    shifts = shifts[np.argsort(np.hypot(*shifts.T), kind="stable")]
    middle, half = np.array([(box.left + box.right) / 2, (box.top + box.bottom) / 2]), np.array(size) / 2
    places = np.hstack([middle + shifts - half, middle + shifts + half])
    for few in np.array_split(places, len(places) // AT_A_TIME):
        for place in few[clearance.are_free(few)]:
            if in_sight(middle, (place[None, :2] + place[None, 2:]) / 2, segments)[0]:
                return Box(*place.tolist())
    return None
