"""Points against a polyline: inside a closed one, and how far from it."""
from __future__ import annotations

import numpy as np

from geometry.curves.arrays import Array, Flags


def inside(outline: Array, points: Array) -> Flags:
    """Return for each of ``points`` (k, 2) whether it lies inside a closed polyline (n, 2), by the even-odd rule.

    >>> inside(np.array([(0.0, 0.0), (4.0, 0.0), (0.0, 4.0), (0.0, 0.0)]), np.array([(1.0, 1.0), (3.0, 3.0)]))
    array([ True, False])
    """
    (x0, y0), (x1, y1) = outline[:-1].T, outline[1:].T
    x, y = points[:, :1], points[:, 1:]
    across = (y0 <= y) != (y1 <= y)
    with np.errstate(divide="ignore", invalid="ignore"):
        left = x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
    within: Flags = np.logical_xor.reduce(across & left, axis=1)
    return within


def distances(line: Array, points: Array) -> Array:
    """Return how far each of ``points`` (k, 2) is from a polyline (n, 2).

    >>> distances(np.array([(0.0, 0.0), (4.0, 0.0)]), np.array([(1.0, 2.0), (7.0, 4.0)])).tolist()
    [2.0, 5.0]
    """
    start, along = line[:-1], np.diff(line, axis=0)
    off = points[:, None] - start
    share = np.clip((off * along).sum(axis=2) / np.maximum((along**2).sum(axis=1), 1e-18), 0.0, 1.0)
    far: Array = np.hypot(*np.moveaxis(off - share[..., None] * along, 2, 0)).min(axis=1)
    return far


def places_inside(outline: Array, middle: Array, step: float) -> Array:
    """Return places (k, 2) inside a closed polyline (n, 2), a ``step`` apart across and down, the nearest to its ``middle`` first.

    >>> places_inside(np.array([(0.0, 0.0), (5.0, 0.0), (5.0, 3.0), (0.0, 3.0), (0.0, 0.0)]), np.array([4.0, 2.0]), 2.0).tolist()
    [[4.0, 2.0], [4.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0], [0.0, 0.0]]
    """
    grid = np.stack(np.meshgrid(*(np.arange(low, high, step) for low, high in zip(outline.min(axis=0), outline.max(axis=0)))), axis=-1)
    places: Array = grid.reshape(-1, 2)
    places = places[inside(outline, places)]
    nearest_first: Array = places[np.argsort(np.hypot(*(places - middle).T), kind="stable")]
    return nearest_first
