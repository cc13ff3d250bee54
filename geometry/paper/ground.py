"""What is drawn, as sheets of paper see it: samples of its lines, and the boxes of its lettering."""
from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array

#: Two samples of a line are no farther apart than this, millimetres.
STEP = 1.0

#: Boxes are sampled this far apart, millimetres.
BOX_STEP = 4.0


class Ground(NamedTuple):
    """Samples (n, 2) of all that sheets must hold; ``line`` (k, 2), the first of them, are those of lines, each
    standing for ``weights`` (k,) millimetres of line; ``boxes`` are those of lettering that joins keep off, ``movable`` those
    of lettering that can be moved off joins, if need be.
    """

    points: Array
    weights: Array
    boxes: list[Box]
    movable: list[Box]

    @property
    def line(self) -> Array:
        return self.points[: len(self.weights)]

    def bounds(self) -> Box:
        return Box.around(self.points)

    def __bool__(self) -> bool:
        return len(self.points) > 0


def ground_of(lines: Iterable[np.ndarray], boxes: Iterable[Box]) -> Ground:
    """Return the ground of polylines (n, 2), nodes included, and of the boxes of lettering; it may be empty."""
    samples, weights, boxes = [np.empty((0, 2))], [np.empty(0)], list(boxes)
    for line in lines:
        points, weight = _resampled(np.asarray(line, dtype=float))
        samples.append(points)
        weights.append(weight)
    samples += [_over(box) for box in boxes]
    return Ground(np.concatenate(samples), np.concatenate(weights), boxes, [])


def together(grounds: Iterable[Ground]) -> Ground:
    """Return one ground of several."""
    grounds = list(grounds)
    lettering = [each.points[len(each.weights) :] for each in grounds]
    return Ground(
        np.concatenate([each.line for each in grounds] + lettering),
        np.concatenate([each.weights for each in grounds]),
        [box for each in grounds for box in each.boxes],
        [box for each in grounds for box in each.movable],
    )


def _resampled(line: Array) -> tuple[Array, Array]:
    """Points along a polyline, its own and more, none farther than a step from the next; and the length each stands for."""
    lengths = np.hypot(*np.diff(line, axis=0).T)
    counts = np.maximum(1, np.ceil(lengths / STEP)).astype(int)
    index = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[index]
    points = np.vstack([line[index] + share[:, None] * (line[index + 1] - line[index]), line[-1:]])
    return points, np.append((lengths / counts)[index], 0.0)


def _over(box: Box) -> Array:
    """Points all over a box, its edges included."""
    across, down = (np.append(np.arange(low, high, BOX_STEP), high) for low, high in (box[::2], box[1::2]))
    points: Array = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    return points
