"""Places for rectangles (lettering, mostly) that touch no line and no other rectangle."""
from __future__ import annotations

import numpy as np


class Clearance:
    """The lines and rectangles already on the sheet, and which new rectangles keep clear of them.

    Lines are given flattened; a rectangle is (left, top, right, bottom), y down, millimetres.
    """

    def __init__(self, margin: float = 1.0):
        """``margin`` is the least distance, in millimetres, to keep from every line and rectangle."""
        self.margin = margin
        self._segments = np.empty((0, 4))
        self._boxes = np.empty((0, 4))

    def add_line(self, points: np.ndarray) -> None:
        """Keep clear of the polyline through ``points`` (k, 2)."""
        points = np.asarray(points, dtype=float)
        self._segments = np.concatenate([self._segments, np.hstack([points[:-1], points[1:]])])

    def add_box(self, box: tuple) -> None:
        """Keep clear of a rectangle."""
        self._boxes = np.concatenate([self._boxes, [box]])

    def first_free(self, boxes: np.ndarray) -> int | None:
        """Return the index of the first of ``boxes`` (k, 4) that keeps clear, or None."""
        free = np.flatnonzero(self.are_free(boxes))
        return int(free[0]) if len(free) else None

    def are_free(self, boxes: np.ndarray) -> np.ndarray:
        """Return for each of ``boxes`` (k, 4) whether it keeps clear of everything."""
        grown = np.asarray(boxes, dtype=float) + np.array([-1, -1, 1, 1]) * self.margin
        b, o = grown[:, None, :], self._boxes[None]
        hit_box = (b[..., 0] < o[..., 2]) & (o[..., 0] < b[..., 2]) & (b[..., 1] < o[..., 3]) & (o[..., 1] < b[..., 3])
        return ~(hit_box.any(axis=1) | _segments_meet_boxes(self._segments, grown).any(axis=1))


def _segments_meet_boxes(segments: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """Return (boxes, segments) booleans: does any of the segment lie in the box?

    Clips each segment to the box's slabs (Liang and Barsky 1984, ACM Transactions on Graphics 3(1)).
    """
    start, end = segments[None, :, :2], segments[None, :, 2:]
    along = end - start
    low, high = boxes[:, None, :2] - start, boxes[:, None, 2:] - start
    level = along == 0
    inside = (low <= 0) & (high >= 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        first, last = np.minimum(low / along, high / along), np.maximum(low / along, high / along)
    first = np.where(level, np.where(inside, -np.inf, np.inf), first).max(axis=2)
    last = np.where(level, np.where(inside, np.inf, -np.inf), last).min(axis=2)
    return (first <= last) & (last >= 0) & (first <= 1)


def spread(wanted: list[float], height: float) -> list[float]:
    """Return places for items of equal ``height``, each as near its ``wanted`` place (ascending) as
    keeping ``height`` between neighbours allows: the least squares answer, by pooling neighbours that
    would overlap (Ayer et al. 1955, Annals of Mathematical Statistics 26(4))."""
    pools: list[list[float]] = []  # each [sum of wanted - offset, count]
    for i, place in enumerate(wanted):
        pools.append([place - i * height, 1])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1][0] += total
            pools[-1][1] += count
    means = [total / count for total, count in pools for _ in range(count)]
    return [mean + i * height for i, mean in enumerate(means)]
