"""Places for rectangles (lettering, mostly) that touch no line and no other rectangle."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Flags

#: Boxes looked at together: enough that numpy pays, few enough that they lie at one height.
AT_A_TIME = 32


class Clearance:
    """The lines and rectangles already on the sheet, and which new rectangles keep clear of them.

    Lines are given flattened; a rectangle is (left, top, right, bottom), y down, millimetres.
    """

    def __init__(self, margin: float = 1.0) -> None:
        """``margin`` is the least distance, in millimetres, to keep from every line and rectangle."""
        self.margin = margin
        self._segments: list[np.ndarray] = []
        self._boxes: list[np.ndarray] = []

    def near(self, box: Box) -> Clearance:
        """Return what keeps clear of those lines and rectangles only that come near a box, for places within it."""
        left, top, right, bottom = box.grown(self.margin)
        here = Clearance(self.margin)
        for rows, near in ((self._all(self._segments), here._segments), (self._all(self._boxes), here._boxes)):
            low, high = np.minimum(rows[:, :2], rows[:, 2:]), np.maximum(rows[:, :2], rows[:, 2:])
            near.append(rows[(low[:, 0] <= right) & (high[:, 0] >= left) & (low[:, 1] <= bottom) & (high[:, 1] >= top)])
        return here

    def with_boxes(self, boxes: Sequence[Sequence[float]]) -> Clearance:
        """Return what keeps clear of the same and of further rectangles."""
        more = Clearance(self.margin)
        more._segments, more._boxes = [self._all(self._segments)], [self._all(self._boxes), np.reshape(boxes, (-1, 4))]
        return more

    def add_line(self, points: np.ndarray) -> None:
        """Keep clear of the polyline through ``points`` (k, 2)."""
        points = np.asarray(points, dtype=float)
        start, end = points[:-1], points[1:]
        plumb = (start == end).any(axis=1)
        # A level or upright line is a box of no height or width, and boxes are soon compared.
        self._boxes.append(np.hstack([np.minimum(start, end), np.maximum(start, end)])[plumb])
        self._segments.append(np.hstack([start, end])[~plumb])

    def add_box(self, box: Sequence[float]) -> None:
        """Keep clear of a rectangle."""
        self._boxes.append(np.reshape(box, (1, 4)))

    @staticmethod
    def _all(rows: list[np.ndarray]) -> np.ndarray:
        """All segments (n, 4: start x, y, end x, y) or boxes, which are put together once."""
        if len(rows) != 1:
            rows[:] = [np.concatenate([np.empty((0, 4)), *rows])]
        return rows[0]

    def first_free(self, boxes: np.ndarray) -> int | None:
        """Return the index of the first of ``boxes`` (k, 4) that keeps clear, or None."""
        tried, count = 0, 4  # mostly one of the first few is free, so a few are tried at first
        while tried < len(boxes):
            free = np.flatnonzero(self.are_free(boxes[tried : tried + count]))
            if len(free):
                return tried + int(free[0])
            tried, count = tried + count, 4 * count
        return None

    def are_free(self, boxes: np.ndarray) -> np.ndarray:
        """Return for each of ``boxes`` (k, 4) whether it keeps clear of everything."""
        grown = np.asarray(boxes, dtype=float) + np.array([-1, -1, 1, 1]) * self.margin
        if not len(grown):
            return np.zeros(0, dtype=bool)
        # Most of what is on the sheet lies nowhere near the places looked at.
        (left, top), (right, bottom) = grown[:, :2].min(axis=0), grown[:, 2:].max(axis=0)
        taken = self._all(self._boxes)
        near = (taken[:, 0] <= right) & (taken[:, 2] >= left) & (taken[:, 1] <= bottom) & (taken[:, 3] >= top)
        b, o = grown[:, None, :], taken[None, near]
        hit_box = (b[..., 0] <= o[..., 2]) & (o[..., 0] <= b[..., 2]) & (b[..., 1] <= o[..., 3]) & (o[..., 1] <= b[..., 3])
        free: Flags = np.logical_not(hit_box.any(axis=1))
        free[free] = ~self._meet_lines(grown[free])
        return free

    def _meet_lines(self, boxes: np.ndarray) -> np.ndarray:
        """Return for each of ``boxes`` (k, 4) whether a line runs through it.

        A few boxes at a time, from the top down, each few against the lines at their height only.
        """
        lines = self._all(self._segments)
        if not len(boxes):
            return np.zeros(0, dtype=bool)
        left, right = boxes[:, 0].min(), boxes[:, 2].max()
        lines = lines[(np.minimum(lines[:, 0], lines[:, 2]) <= right) & (np.maximum(lines[:, 0], lines[:, 2]) >= left)]
        top, bottom = np.minimum(lines[:, 1], lines[:, 3]), np.maximum(lines[:, 1], lines[:, 3])
        meet = np.zeros(len(boxes), dtype=bool)
        downward = np.argsort(boxes[:, 1], kind="stable")
        for few in np.array_split(downward, max(1, len(boxes) // AT_A_TIME)):
            beside = (top <= boxes[few, 3].max()) & (bottom >= boxes[few, 1].min())
            meet[few] = _segments_meet_boxes(lines[beside], boxes[few]).any(axis=1)
        return meet


def _segments_meet_boxes(segments: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """Return (boxes, segments) booleans: whether any of the segment lies in the box.

    Clips each segment to the box's slabs (Liang and Barsky 1984, ACM Transactions on Graphics 3(1)).
    """
    meet = np.zeros((len(boxes), len(segments)), dtype=bool)
    # Only where the segment's own box overlaps can it lie in the box.
    low, high = np.minimum(segments[:, :2], segments[:, 2:]), np.maximum(segments[:, :2], segments[:, 2:])
    near = ((low[None] <= boxes[:, None, 2:]) & (high[None] >= boxes[:, None, :2])).all(axis=2)
    k, n = np.nonzero(near)
    start, along = segments[n, :2], segments[n, 2:] - segments[n, :2]
    before, after = boxes[k, :2] - start, boxes[k, 2:] - start
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = before / along, after / along
    # A segment parallel to a slab lies in it all along, since the boxes overlap.
    first = np.where(along == 0, -np.inf, np.minimum(one, other)).max(axis=1, initial=-np.inf)
    last = np.where(along == 0, np.inf, np.maximum(one, other)).min(axis=1, initial=np.inf)
    meet[k, n] = (first <= last) & (last >= 0) & (first <= 1)
    return meet


def spread(wanted: list[float], height: float) -> list[float]:
    """Return places for items of equal ``height``, each as near its ``wanted`` place (ascending) as
    keeping ``height`` between neighbours allows: the least squares answer, by pooling neighbours that
    would overlap (Ayer et al. 1955, Annals of Mathematical Statistics 26(4)).
    """
    pools: list[tuple[float, int]] = []  # each (sum of wanted - offset, count)
    for i, place in enumerate(wanted):
        pools.append((place - i * height, 1))
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1] = pools[-1][0] + total, pools[-1][1] + count
    means = [total / count for total, count in pools for _ in range(count)]
    return [mean + i * height for i, mean in enumerate(means)]
