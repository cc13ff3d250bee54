"""Lettering set anew among the same lines but larger beside them: places near where it stood, with no line between."""
from __future__ import annotations

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags

#: How far from where it stood lettering is tried, across and down, and in which steps; in its own sizes.
REACH, STEP = (12.0, 4.0), 0.25


def boxes_near(stood: Box, room: tuple[float, float], size: float) -> Array:
    """Return boxes (k, 4) of ``room`` (width, height), for lettering of ``size``, around the middle of where it ``stood``.

    The nearest first.
    """
    across, down = (np.arange(-reach, reach + STEP / 2, STEP) * size for reach in REACH)
    shifts = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 2)
    shifts = shifts[np.argsort(np.hypot(*shifts.T), kind="stable")]
    corner = np.array([(stood.left + stood.right - room[0]) / 2, (stood.top + stood.bottom - room[1]) / 2]) + shifts
    return np.hstack([corner, corner + room])


def in_sight(start: Array, ends: Array, segments: Array) -> Flags:
    """Return for each of ``ends`` (k, 2) whether no segment (n, 4: start x, y, end x, y) lies between it and ``start`` (2,).

    Two segments cross where the ends of each lie on both sides of the other (de Berg et al. 2008, Computational
    Geometry, 3rd edition, chapter 2).

    >>> in_sight(np.zeros(2), np.array([(4.0, 0.0), (0.0, 4.0)]), np.array([(1.0, -1.0, 1.0, 1.0)])).tolist()
    [False, True]
    """
    a, b = segments[None, :, :2], segments[None, :, 2:]
    p, q = np.asarray(start, dtype=float)[None, None], np.asarray(ends, dtype=float)[:, None]
    between = (_side(a, b, p) * _side(a, b, q) <= 0) & (_side(p, q, a) * _side(p, q, b) <= 0)
    # On one line both are 0 wherever they lie on it; then it matters whether they reach each other.
    between &= ((np.minimum(a, b) <= np.maximum(p, q)) & (np.minimum(p, q) <= np.maximum(a, b))).all(axis=2)
    clear: Flags = np.logical_not(between.any(axis=1))
    return clear


def _side(a: Array, b: Array, point: Array) -> Array:
    """Return on which side of the line from a to b a point lies, as the sign of an area."""
    side: Array = (b[..., 0] - a[..., 0]) * (point[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (point[..., 0] - a[..., 0])
    return side
