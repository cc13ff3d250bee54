"""A rectangle that stands level, y down, in whatever unit its owner counts in."""
from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.curves.arrays import Array, Flags

if TYPE_CHECKING:
    from numpy.typing import ArrayLike


class Box(NamedTuple):
    """A level rectangle: its ``left`` and ``top``, its ``right`` and ``bottom``, y down.

    >>> Box(0, 0, 4, 3).overlaps(Box(4, 0, 8, 3))  # edges that only touch do not overlap
    False
    >>> Box(0, 0, 4, 3).grown(1)
    Box(left=-1, top=-1, right=5, bottom=4)
    """

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, points: ArrayLike) -> Box:
        """Return the smallest box that holds all ``points`` (k, 2), one or more.

        >>> Box.around([(3, 1), (0, 5)])
        Box(left=0.0, top=1.0, right=3.0, bottom=5.0)
        """
        array = np.asarray(points, dtype=float)
        left, top = array.min(axis=0).tolist()
        right, bottom = array.max(axis=0).tolist()
        return cls(left, top, right, bottom)

    @classmethod
    def united(cls, boxes: Iterable[Box]) -> Box:
        """Return the smallest box that holds all ``boxes``, one or more.

        >>> Box.united([Box(0, 0, 1, 1), Box(4, -2, 5, 0)])
        Box(left=0, top=-2, right=5, bottom=1)
        """
        lefts, tops, rights, bottoms = zip(*boxes)
        return cls(min(lefts), min(tops), max(rights), max(bottoms))

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def corners(self) -> Array:
        """Return the corners (4, 2), those of the left edge first.

        >>> Box(0, 0, 4, 3).corners().tolist()
        [[0.0, 0.0], [0.0, 3.0], [4.0, 0.0], [4.0, 3.0]]
        """
        return np.array([(x, y) for x in (self.left, self.right) for y in (self.top, self.bottom)], dtype=float)

    def grown(self, across: float, down: float | None = None) -> Box:
        """Return the box made larger at every side: left and right by ``across``, above and below by ``down``
        (where that is left out, by the same); smaller where negative.
        """
        down = across if down is None else down
        return Box(self.left - across, self.top - down, self.right + across, self.bottom + down)

    def moved(self, across: float, down: float) -> Box:
        """Return the box moved to the right and down.

        >>> Box(0, 0, 4, 3).moved(10, 20)
        Box(left=10, top=20, right=14, bottom=23)
        """
        return Box(self.left + across, self.top + down, self.right + across, self.bottom + down)

    def scaled(self, across: float, down: float) -> Box:
        """Return the box with both coordinates multiplied by factors greater than 0.

        >>> Box(1, 1, 4, 3).scaled(10, 100)
        Box(left=10, top=100, right=40, bottom=300)
        """
        return Box(self.left * across, self.top * down, self.right * across, self.bottom * down)

    def overlaps(self, other: Box) -> bool:
        """Whether the insides of both have a place in common."""
        return self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom

    def encloses(self, other: Box) -> bool:
        """Whether all of the other lies inside or on the edge.

        >>> Box(0, 0, 4, 3).encloses(Box(0, 1, 4, 2)), Box(0, 0, 4, 3).encloses(Box(0, 1, float("nan"), 2))
        (True, False)
        """
        return self.left <= other.left and self.top <= other.top and other.right <= self.right and other.bottom <= self.bottom

    def holds(self, points: Array) -> bool:
        """Whether all of ``points`` (k, 2) lie inside or on the edge.

        >>> Box(0, 0, 4, 3).holds(np.array([(0, 0), (2, 1)])), Box(0, 0, 4, 3).holds(np.array([(5, 1)]))
        (True, False)
        """
        return bool(self.holding(points).all())

    def holds_any(self, points: Array) -> bool:
        """Whether any of ``points`` (k, 2) lies inside or on the edge.

        >>> Box(0, 0, 4, 3).holds_any(np.array([(5, 1), (4, 3)]))
        True
        """
        return bool(self.holding(points).any())

    def holding(self, points: Array) -> Flags:
        """Return which of ``points`` (k, 2) lie inside or on the edge.

        >>> Box(0, 0, 4, 3).holding(np.array([(5, 1), (4, 3)])).tolist()
        [False, True]
        """
        x, y = points.T
        inside: Flags = (x >= self.left) & (x <= self.right) & (y >= self.top) & (y <= self.bottom)
        return inside
