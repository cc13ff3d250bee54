"""An affine map of the plane: a turn, a scale, a mirroring, a skew and a shift, one after the other."""
from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array

if TYPE_CHECKING:
    from numpy.typing import ArrayLike


class Affine(NamedTuple):
    """The map that takes (x, y) to (a x + c y + e, b x + d y + f), the letters as in SVG 2, section 8.3.

    A value: two maps are the same where their numbers are.

    >>> turn = Affine(0, 1, -1, 0, 0, 0)
    >>> turn.apply([(1, 0)]).tolist()
    [[0.0, 1.0]]
    >>> turn @ turn.inverse() == IDENTITY
    True
    """

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float

    @classmethod
    def of(cls, matrix: ArrayLike) -> Affine:
        """Return the map of a ``matrix`` (2, 3): ((a, c, e), (b, d, f)).

        >>> Affine.of([(1, 0, 5), (0, 1, 6)])
        Affine(a=1.0, b=0.0, c=0.0, d=1.0, e=5.0, f=6.0)
        """
        return cls(*np.asarray(matrix, dtype=float).T.ravel().tolist())

    @classmethod
    def moving(cls, across: float, down: float) -> Affine:
        """Return the shift to the right and down."""
        return cls(1.0, 0.0, 0.0, 1.0, across, down)

    @classmethod
    def turning(cls, angle: float) -> Affine:
        """Return the turn about (0, 0) by an ``angle``, radians, from x towards y: clockwise on screen.

        >>> Affine.turning(np.pi / 2).apply([(1, 0)]).round(9).tolist()
        [[0.0, 1.0]]
        """
        cos, sin = float(np.cos(angle)), float(np.sin(angle))
        return cls(cos, sin, -sin, cos, 0.0, 0.0)

    @property
    def matrix(self) -> Array:
        """The map as an array (2, 3), a new one each time.

        >>> Affine.moving(5, 6).matrix.tolist()
        [[1.0, 0.0, 5.0], [0.0, 1.0, 6.0]]
        """
        return np.array([(self.a, self.c, self.e), (self.b, self.d, self.f)], dtype=float)

    @property
    def linear(self) -> Array:
        """What the map does to directions, (2, 2): all but the shift."""
        return self.matrix[:, :2]

    @property
    def factors(self) -> tuple[float, float]:
        """By how much the map makes what is level longer, and what is upright.

        >>> Affine(3, 4, 0, 2, 7, 7).factors
        (5.0, 2.0)
        """
        across, down = np.hypot(*self.linear).tolist()
        return across, down

    @property
    def distortion(self) -> float:
        """The share by which the map makes the length that it changes most longer or shorter; 0 where it is rigid.

        >>> round(Affine(1.0, 0, 0, 0.75, 7, 7).distortion, 12)
        0.25
        """
        return float(np.abs(np.linalg.svd(self.linear, compute_uv=False) - 1).max())

    @property
    def mirrors(self) -> bool:
        """Whether the map turns what it is given over."""
        return bool(np.linalg.det(self.linear) < 0)

    def apply(self, points: ArrayLike) -> Array:
        """Return ``points`` (…, 2) taken through the map."""
        matrix = self.matrix
        taken: Array = np.asarray(points, dtype=float) @ matrix[:, :2].T + matrix[:, 2]
        return taken

    def apply_to_box(self, box: Box) -> Box:
        """Return the smallest level box that holds ``box`` taken through the map.

        >>> Affine(0, 1, -1, 0, 0, 0).apply_to_box(Box(0, 0, 4, 3))
        Box(left=-3.0, top=0.0, right=0.0, bottom=4.0)
        """
        x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
        wide, high = box.width / 2, box.height / 2
        middle_x, middle_y = self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f
        reach_x, reach_y = abs(self.a) * wide + abs(self.c) * high, abs(self.b) * wide + abs(self.d) * high
        return Box(middle_x - reach_x, middle_y - reach_y, middle_x + reach_x, middle_y + reach_y)

    def __matmul__(self, before: Affine) -> Affine:
        """Return the map that takes points through ``before``, then through this one."""
        after, first = self.matrix, before.matrix
        return Affine.of(np.column_stack([after[:, :2] @ first[:, :2], after[:, :2] @ first[:, 2] + after[:, 2]]))

    def inverse(self) -> Affine:
        """Return the map that undoes this one.  Raises ValueError where nothing can: it makes all flat."""
        matrix = self.matrix
        back = np.linalg.inv(matrix[:, :2])
        return Affine.of(np.column_stack([back, -back @ matrix[:, 2]]))

    def rigid_part(self, about: Array) -> Affine:
        """Return the turn and shift nearest to this map, agreeing with it at the point ``about``.

        A mirror image stays one.  By the polar decomposition (Golub and Van Loan, Matrix Computations, 6.4.1).

        >>> Affine(2, 0, 0, 2, 0, 0).rigid_part(np.array([10.0, 0.0]))
        Affine(a=1.0, b=0.0, c=0.0, d=1.0, e=10.0, f=0.0)
        """
        left, _, right = np.linalg.svd(self.linear)
        turn = left @ right
        return Affine.of(np.column_stack([turn, self.apply(about[None])[0] - turn @ about]))


IDENTITY = Affine(1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
