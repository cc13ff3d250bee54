"""Lines, curves and chains of them in one vocabulary: :class:`Curve`, a chain of cubic Béziers.

A straight line is a cubic with its handles on the thirds, so callers never ask which it is.
Lengths are millimetres, y runs down as on screen.  Where a method approximates it takes an
``accuracy`` in millimetres; where it takes none the result is exact but for rounding.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple, Union

import numpy as np

from geometry.curves import bezier, crossing
from geometry.curves.arrays import Array, Flags, Indices
from geometry.curves.bezier import cross, evaluate, hodograph, norm
from geometry.curves.roots import cubic_reaches, root_between

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

#: Ends that lie this close together, millimetres, meet: coordinates in documents are written to seven
#: or eight digits, which leaves 1e-5 of a metre, and no cut is made that fine.
JOINED = 1e-4

#: Handles this close to the chord, millimetres, leave a straight line: rounding, no more.
STRAIGHT = 1e-9

#: And this close, millimetres, those of one that was read back from the digits of a document.
STRAIGHT_AS_WRITTEN = 1e-5

#: One place on a curve, or several.
Number = Union[float, Array, Indices]


class Nearest(NamedTuple):
    """The place on a curve nearest to a point: parameter, point (2,), distance in millimetres."""

    t: float
    point: Array
    distance: float


class Crossing(NamedTuple):
    """Where two curves meet: the parameter on each, and the point (2,)."""

    t1: float
    t2: float
    point: Array


class Curve:
    """A chain of n cubic Béziers end to end; the parameter ``t`` runs from 0 to n, and is kept there.

    ``segments`` is a read-only float array (n, 4, 2).  Raises ``ValueError`` for another shape, no
    segments, numbers that are not finite, or segments that do not meet to :data:`JOINED`.

    >>> Curve.polyline([(0, 0), (40, 0), (40, 30)])
    Curve(2 from [0.0, 0.0] to [40.0, 30.0])
    >>> Curve.line((0, 0), (float("nan"), 0))
    Traceback (most recent call last):
    ValueError: a curve has finite coordinates only
    """

    __slots__ = ("segments",)

    def __init__(self, segments: ArrayLike) -> None:
        segments = np.array(segments, dtype=float)
        if segments.ndim != 3 or segments.shape[1:] != (4, 2) or not len(segments):
            raise ValueError(f"a curve is an array of shape (n, 4, 2) with n > 0, not {segments.shape}")
        if not np.isfinite(segments).all():
            raise ValueError("a curve has finite coordinates only")
        gap = norm(segments[1:, 0] - segments[:-1, 3]).max(initial=0)
        if gap > JOINED:
            raise ValueError(f"the segments of a curve meet end to end; here is a gap of {gap:g} mm")
        # The handle moves along, so that a retracted one stays so and the tangent stays true.
        segments[1:, 1] += segments[:-1, 3] - segments[1:, 0]
        segments[1:, 0] = segments[:-1, 3]
        segments.flags.writeable = False
        self.segments = segments

    # --- making ----------------------------------------------------------------------------------

    @classmethod
    def line(cls, a: ArrayLike, b: ArrayLike) -> Curve:
        """Return the straight line from ``a`` to ``b``."""
        return cls.polyline([a, b])

    @classmethod
    def polyline(cls, points: Iterable[ArrayLike]) -> Curve:
        """Return the chain of straight lines through ``points`` (k, 2), k > 1."""
        corners = np.asarray(list(points), dtype=float)
        if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 2:
            raise ValueError("a line needs two points")
        if not np.isfinite(corners).all():
            raise ValueError("a curve has finite coordinates only")
        return cls(bezier.straight(corners[:-1], corners[1:]))

    @classmethod
    def cubic(cls, p0: ArrayLike, p1: ArrayLike, p2: ArrayLike, p3: ArrayLike) -> Curve:
        """Return one cubic Bézier."""
        return cls(np.array([[p0, p1, p2, p3]], dtype=float))

    @classmethod
    def chain(cls, curves: Iterable[Curve], gap: float = JOINED) -> Curve:
        """Return the curves joined end to end.

        Ends up to ``gap`` millimetres apart are moved together, the later to the earlier, the last end
        to the first start too; ``ValueError`` where neighbours lie farther apart.
        """
        pieces = [np.array(curve.segments) for curve in curves]
        if not pieces:
            raise ValueError("a chain needs a curve")
        for before, after in zip(pieces, pieces[1:]):
            apart = norm(after[0, 0] - before[-1, 3])
            if apart > gap:
                raise ValueError(f"the curves to be joined lie {apart:g} mm apart")
            after[0, :2] += before[-1, 3] - after[0, 0]
        segments = np.concatenate(pieces)
        if norm(segments[-1, 3] - segments[0, 0]) <= gap < norm(np.ptp(segments.reshape(-1, 2), axis=0)):
            segments[-1, 2:] += segments[0, 0] - segments[-1, 3]
        return cls(segments)

    # --- looking ---------------------------------------------------------------------------------

    def __len__(self) -> int:
        return len(self.segments)

    def __repr__(self) -> str:
        return f"Curve({len(self)} from {self.start.tolist()} to {self.end.tolist()})"

    @property
    def start(self) -> Array:
        """The first point (2,)."""
        first: Array = self.segments[0, 0]
        return first

    @property
    def end(self) -> Array:
        """The last point (2,)."""
        last: Array = self.segments[-1, 3]
        return last

    @property
    def nodes(self) -> Array:
        """The ends of the segments, (n + 1, 2)."""
        return np.concatenate([self.segments[:, 0], self.segments[-1:, 3]])

    @property
    def is_closed(self) -> bool:
        """Whether the curve ends where it begins."""
        return bool(norm(self.end - self.start) <= JOINED)

    def is_straight(self, accuracy: float) -> Flags:
        """Return for each segment whether its handles lie within ``accuracy`` of its chord, none beyond
        its ends.
        """
        return bezier.are_straight(self.segments, accuracy)

    def point(self, t: Number) -> Array:
        """Return the point at ``t``: scalar -> (2,), (k,) -> (k, 2).

        >>> corner = Curve.polyline([(0, 0), (40, 0), (40, 30)])
        >>> corner.point(1.5).tolist()  # half way along the second segment
        [40.0, 15.0]
        >>> corner.point(7).tolist()  # there is nothing beyond the end
        [40.0, 30.0]
        """
        index, u = self._locate(t)
        return evaluate(self.segments[index], u)

    def derivative(self, t: Number) -> Array:
        """Return the derivative by ``t``; at a node that of the outgoing segment."""
        index, u = self._locate(t)
        return evaluate(hodograph(self.segments[index]), u)

    def tangent(self, t: Number, incoming: bool = False) -> Array:
        """Return the unit tangent; at a node that of the outgoing segment, or of the ``incoming`` one.

        Where a handle is retracted it is the limit; on a segment of no length that of the segment
        before, or else after.  ``ValueError`` where the whole curve has no length.
        """
        index, u = self._locate(t, incoming)
        if isinstance(index, int):
            ahead = bezier.headings(self.segments[index : index + 1])
            index, ahead = (0, ahead) if ahead.any() else (index, self._headings())
        else:
            ahead = self._headings()
        direction = evaluate(ahead[index], u)
        size = norm(direction)[..., None]
        if not size.all():  # a cusp inside a segment: on to where the curve turns back
            onward = evaluate(hodograph(ahead[index]), u) * (-1 if incoming else 1)
            direction = np.where(size > 0, direction, onward)
            size = norm(direction)[..., None]
        return direction / size

    def curvature(self, t: Number) -> Array:
        """Return the signed curvature in 1/mm, positive where the curve turns right on screen.

        Infinite at a cusp, and at a retracted handle from which the curve sets off bent.
        """
        index, u = self._locate(t)
        speed = norm(evaluate(hodograph(self.segments[index]), u))
        ahead = self._headings()[index]
        direction, turning = evaluate(ahead, u), evaluate(hodograph(ahead), u)
        with np.errstate(divide="ignore", invalid="ignore"):
            bend = cross(direction, turning) / (direction**2).sum(axis=-1) / speed
        return np.where(np.isnan(bend), 0.0, bend)

    def _locate(self, t: Number, incoming: bool = False) -> tuple[int | Indices, float | Array]:
        """Return segment indices and local parameters of ``t``."""
        last = len(self) - 1
        if isinstance(t, (int, float)):  # most calls ask for one place, and numpy takes ten times as long
            place = min(max(float(t), 0.0), last + 1.0)
            number = min(max(math.ceil(place) - 1 if incoming else int(place), 0), last)
            return number, place - number
        places = np.minimum(np.maximum(np.asarray(t, dtype=float), 0), last + 1)
        index = np.ceil(places) - 1 if incoming else np.floor(places)
        index = np.minimum(np.maximum(index, 0), last).astype(int)
        return index, places - index

    def _headings(self) -> Array:
        """Return :func:`bezier.headings`, segments of no length heading as their neighbours do."""
        ahead = bezier.headings(self.segments)
        still = ~ahead.any(axis=(1, 2))
        if still.any():
            moving = np.flatnonzero(~still)
            if not len(moving):
                raise ValueError("a curve of no length has no direction")
            before = np.searchsorted(moving, np.flatnonzero(still)) - 1
            lender = moving[np.maximum(before, 0)]
            lent = np.where((before >= 0)[:, None], ahead[lender, 2], ahead[lender, 0])
            ahead = np.array(ahead)
            ahead[still] = lent[:, None]
        return ahead

    # --- measuring -------------------------------------------------------------------------------

    def length(self, accuracy: float = 1e-6) -> float:
        """Return the arc length in millimetres, to within ``accuracy``.

        >>> Curve.polyline([(0, 0), (40, 0), (40, 30)]).length()
        70.0
        >>> Curve.line((5, 5), (5, 5)).length()  # a point is a curve too
        0.0
        """
        return float(bezier.lengths(self.segments, accuracy / len(self)).sum())

    def length_to(self, t: float, accuracy: float = 1e-6) -> float:
        """Return the arc length from the start to ``t``."""
        return self.between(0, min(t, len(self))).length(accuracy) if t > 0 else 0.0

    def at_length(self, s: float, accuracy: float = 1e-6) -> float:
        """Return the ``t`` at arc length ``s`` from the start, to ``accuracy`` along the curve; beyond
        the ends, the end.
        """
        ends = np.concatenate([[0.0], np.cumsum(bezier.lengths(self.segments, accuracy / 2 / len(self)))])
        if s <= 0:
            return 0.0
        if s >= ends[-1]:
            return float(len(self))
        index = int(np.searchsorted(ends, s, side="right")) - 1
        piece, wanted = self.segments[[index]], s - ends[index]
        nothing = np.zeros(1)

        def excess(u: float) -> float:
            return float(bezier.lengths(bezier.pieces(piece, nothing, np.array([u])), accuracy / 4)[0] - wanted)

        return index + root_between(excess, 0.0, 1.0, accuracy / 4)

    def bounds(self) -> tuple[float, float, float, float]:
        """Return (left, top, right, bottom), exact."""
        boxes = bezier.boxes(self.segments)
        return (*boxes[:, :2].min(axis=0).tolist(), *boxes[:, 2:].max(axis=0).tolist())

    def signed_area(self) -> float:
        """Return the area enclosed in mm², positive where the curve runs clockwise on screen.

        Closed form (Green's theorem).  ``ValueError`` for an open curve.
        """
        if not self.is_closed:
            raise ValueError("an open curve encloses no area")
        p = self.segments - self.start  # from nearby, so that far from the origin no digits are lost
        p0, p1, p2, p3 = p.transpose(1, 0, 2)
        area = 6 * cross(p0, p1) + 3 * cross(p0, p2) + cross(p0, p3) + 3 * cross(p1, p2) + 3 * cross(p1, p3) + 6 * cross(p2, p3)
        return float(area.sum() / 20)

    def nearest(self, point: ArrayLike) -> Nearest:
        """Return the place nearest to ``point``.

        >>> line = Curve.line((0, 0), (100, 0))
        >>> t, place, distance = line.nearest((25, 10))
        >>> t, place.tolist(), distance
        (0.25, [25.0, 0.0], 10.0)
        >>> line.nearest((103, 4)).distance  # beyond the end it is the end
        5.0
        """
        return self.nearest_many(np.asarray(point, dtype=float)[None])[0]

    def nearest_many(self, points: ArrayLike) -> list[Nearest]:
        """Return the :meth:`nearest` place to each of ``points`` (k, 2), found together in a fraction of the time."""
        points = np.asarray(points, dtype=float)
        # Pairs of a point and a piece: a piece farther away than the nearest end of any piece can't hold
        # the place; eighths hold one each.
        low, high = self.segments.min(axis=1), self.segments.max(axis=1)
        outside = np.maximum(np.maximum(low - points[:, None], points[:, None] - high), 0)
        of, piece = np.nonzero(norm(outside) <= norm(self.nodes - points[:, None]).min(axis=1)[:, None])
        pieces, first, width = self.segments[piece], piece.astype(float), 1.0
        for depth in range(4):
            outside = np.maximum(np.maximum(pieces.min(axis=1) - points[of], points[of] - pieces.max(axis=1)), 0)
            ends = np.full(len(points), np.inf)
            np.minimum.at(ends, of, norm(pieces[:, ::3] - points[of, None]).min(axis=1))
            near = norm(outside) <= ends[of]
            pieces, first, of = pieces[near], first[near], of[near]
            if depth < 3:
                width /= 2
                pieces, first, of = np.concatenate(bezier.halves(pieces)), np.concatenate([first, first + width]), np.tile(of, 2)
        t = first + width * bezier.project(pieces, points[of])
        places = self.point(t)
        apart = norm(places - points[of])
        ranked = np.lexsort((apart, of))
        best = ranked[np.flatnonzero(np.diff(of[ranked], prepend=-1))]
        return [Nearest(*found) for found in zip(t[best].tolist(), places[best], apart[best].tolist())]

    def runs_along(self, other: Curve, within: float) -> bool:
        """Whether the two are nowhere farther than ``within`` millimetres from each other, whatever nodes they have.

        >>> whole = Curve.polyline([(0, 0), (4, 0), (9, 0)])
        >>> Curve.polyline([(0, 0), (9, 0)]).runs_along(whole, 0.01), Curve.polyline([(0, 0), (4, 0)]).runs_along(whole, 0.01)
        (True, False)
        """
        pairs = ((self, other), (other, self))
        return all(near.distance <= within for one, along in pairs for near in along.nearest_many(one.flatten(within / 2)))

    def flatten(self, accuracy: float) -> Array:
        """Return points (k, 2), nodes included, whose polyline lies within ``accuracy`` of the curve.

        The number of pieces is Wang's bound (1984, from memory): sqrt(d / (8 accuracy)) for the
        greatest second derivative d, which a cubic has at an end.
        """
        straight = self.is_straight(STRAIGHT)
        if straight.all():
            return self.nodes
        bend = norm(hodograph(hodograph(self.segments))).max(axis=1)
        counts = np.maximum(1, np.ceil(np.sqrt(bend / (8 * accuracy)))).astype(int)
        counts[straight] = 1
        index = np.repeat(np.arange(len(self)), counts)
        step = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
        return np.concatenate([evaluate(self.segments[index], step / counts[index]), self.segments[-1:, 3]])

    # --- cutting and moving ----------------------------------------------------------------------

    def split(self, t: float) -> tuple[Curve, Curve]:
        """Return the parts before and after ``t``; ``ValueError`` unless it lies inside the curve."""
        return self.between(0, t), self.between(t, len(self))

    def between(self, t0: float, t1: float) -> Curve:
        """Return the part from ``t0`` to ``t1``; ``ValueError`` unless 0 <= t0 < t1 <= n."""
        if not 0 <= t0 < t1 <= len(self):
            raise ValueError(f"a part of a curve runs from 0 <= {t0} < {t1} <= {len(self)}")
        first, u0 = self._locate(t0)
        last, u1 = self._locate(t1, incoming=True)
        part = np.array(self.segments[first : last + 1])
        starts, ends = np.zeros(len(part)), np.ones(len(part))
        starts[0], ends[-1] = u0, u1
        cut = (starts > 0) | (ends < 1)  # whole segments are kept to the last bit
        part[cut] = bezier.pieces(part[cut], starts[cut], ends[cut])
        return Curve(part)

    def reversed(self) -> Curve:
        """Return the curve run the other way."""
        return Curve(self.segments[::-1, ::-1])

    def transformed(self, matrix: Array) -> Curve:
        """Return the curve taken through an affine ``matrix`` (2, 3)."""
        matrix = np.asarray(matrix, dtype=float)
        return Curve(self.segments @ matrix[:, :2].T + matrix[:, 2])

    def extended(self, before: float, after: float) -> Curve:
        """Return the curve made longer by these lengths (mm, 0 adds none), straight along its end tangents.

        A straight end segment is itself made longer, a bent one gets a straight one added.
        """
        if before < 0 or after < 0:
            raise ValueError("a curve can only be made longer, not shorter")
        curve = self
        if after > 0:
            curve = curve._continued(after)
        if before > 0:
            curve = curve.reversed()._continued(before).reversed()
        return curve

    def _continued(self, by: float) -> Curve:
        tip = self.end + by * self.tangent(len(self), incoming=True)
        whole = bool(bezier.are_straight(self.segments[-1:], STRAIGHT)[0])
        kept = self.segments[:-1] if whole else self.segments
        start = self.segments[-1, 0] if whole else self.end
        return Curve(np.concatenate([kept, bezier.straight(start, tip)[None]]))

    def tidied(self, accuracy: float) -> Curve:
        """Return the curve without segments shorter than ``accuracy``, and with straight segments that run
        on in one line, to ``accuracy``, made one.
        """
        kept: list[Array] = []
        lines = self.is_straight(STRAIGHT_AS_WRITTEN)
        whole = np.ptp(self.segments, axis=1).max(axis=1) > accuracy
        before = False
        for each, line in zip(np.array(self.segments)[whole], lines[whole]):
            segment = each
            if kept:
                segment[:2] += kept[-1][3] - segment[0]
            if before and line:
                ends = np.stack([kept[-1][0], segment[3]])
                along = (ends[1] - ends[0]) / max(norm(ends[1] - ends[0]), accuracy)
                off = segment[0] - ends[0]
                if abs(cross(along, off)) <= accuracy and 0 < off @ along < norm(ends[1] - ends[0]):
                    kept.pop()
                    segment = bezier.straight(*ends)
            kept.append(segment)
            before = line
        if not kept:
            return self
        kept[-1][2:] += self.end - kept[-1][3]
        return Curve(np.array(kept))

    def offset(self, distance: float, accuracy: float = 0.005) -> Curve:
        """Return the parallel at ``distance`` mm, positive to the left of travel on screen.

        See :func:`geometry.curves.parallel.parallel` for what becomes of corners and tight hollows, and its limits.

        >>> Curve.polyline([(0, 0), (40, 0), (40, 30)]).offset(5).nodes.tolist()  # the corner is mitred
        [[0.0, -5.0], [45.0, -5.0], [45.0, 30.0]]
        >>> Curve.line((5, 5), (5, 5)).offset(5)
        Traceback (most recent call last):
        ValueError: a curve of no length has no parallel
        """
        from geometry.curves.parallel import parallel  # it is made of curves itself

        return parallel(self, distance, accuracy)

    # --- meeting ---------------------------------------------------------------------------------

    def crossings(self, other: Curve, accuracy: float = 1e-6) -> list[Crossing]:
        """Return where the curves come within ``accuracy``, in order along this one; touching ends count.

        A place is found once, though it be a joint.  Where the curves share a stretch, the ends of
        segments within it are found.  See :mod:`geometry.curves.crossing` for how and for its caps.

        >>> line, arch = Curve.line((0, -15), (100, -15)), Curve.cubic((0, 0), (0, -40), (100, -40), (100, 0))
        >>> [round(place.t1, 4) for place in line.crossings(arch)]
        [0.0581, 0.9419]
        >>> line.crossings(Curve.line((0, 5), (100, 5)))
        []
        >>> shared = line.crossings(Curve.line((60, -15), (200, -15)))  # they run along each other
        >>> [place.point.round(6).tolist() for place in shared]
        [[60.0, -15.0], [100.0, -15.0]]
        """
        return self.crossings_many([other], accuracy)[0]

    def crossings_many(self, others: Sequence[Curve], accuracy: float = 1e-6) -> list[list[Crossing]]:
        """Return the :meth:`crossings` with each of ``others``, found together in a fraction of the time."""
        if not others:
            return []
        counts = np.array([len(other) for other in others])
        first = np.cumsum(counts) - counts
        theirs = np.concatenate([other.segments for other in others])
        i, j = np.nonzero(crossing.overlapping(bezier.hull_boxes(self.segments), bezier.hull_boxes(theirs), accuracy))
        met = crossing.meet(self.segments, theirs, i, j, accuracy)
        owner = np.searchsorted(first, met.j, side="right") - 1
        t1, t2 = met.i + met.t, met.j - first[owner] + met.u
        each = (owner == number for number in range(len(others)))
        return [_each_once(t1[own], t2[own], met.point[own], self, other) for own, other in zip(each, others)]

    def at_height(self, y: float) -> list[float]:
        """Return where the curve comes to the height ``y``, ascending: what :meth:`crossings` with a level line are, much quicker.

        >>> Curve.cubic((0, 0), (0, -40), (100, -40), (100, 0)).at_height(-30.0)  # touched
        [0.5]
        >>> Curve.polyline([(0, 0), (10, 5), (20, 10)]).at_height(5.0)  # at a joint, once
        [1.0]
        """
        return _reaches(self.segments[..., 1], y)

    def along_ray(self, start: Array, direction: Array) -> list[float]:
        """Return how far from ``start`` (2,) in a ``direction`` of unit length the curve is met, ascending: much quicker than
        :meth:`crossings` with a line.

        >>> arch = Curve.cubic((0, 0), (0, -40), (100, -40), (100, 0))
        >>> arch.along_ray(np.array([50.0, 0.0]), np.array([0.0, -1.0])), arch.along_ray(np.array([50.0, 0.0]), np.array([0.0, 1.0]))
        ([30.0], [])
        """
        met = self.point(np.array(_reaches(cross(direction, self.segments - start), 0.0)))
        way = (met - start) @ direction
        return sorted(way[way >= 0].tolist())

    def self_crossings(self, accuracy: float = 1e-6) -> list[Crossing]:
        """Return where the curve crosses or touches itself, t1 < t2, in order of t1.

        Joints of neighbours are none, nor is the closing joint; a loop inside one segment is one, unless
        it is shorter than :data:`crossing.SAME`.
        """
        moving = np.flatnonzero(np.ptp(self.segments, axis=1).any(axis=1))
        solid = self.segments[moving]
        if crossing.turns_less_than_half(solid):
            return []
        met = crossing.meet_itself(solid, self.is_closed, accuracy)
        t1, t2 = moving[met.i] + met.t, moving[met.j] + met.u
        real = _apart(_along(self, t1), _along(self, t2), _around(self)) > crossing.SAME
        return _each_once(t1[real], t2[real], met.point[real], self, self)


def _reaches(coefficients: Array, level: float) -> list[float]:
    """Return where on a chain a coordinate with the Bernstein ``coefficients`` (n, 4) comes to a ``level``, ascending."""
    low, high = coefficients.min(axis=1), coefficients.max(axis=1)
    near = np.flatnonzero((low <= level) & (level <= high)).tolist()
    return sorted({k + t for k in near for t in cubic_reaches(coefficients[k].tolist(), level)})


def _each_once(t1: Array, t2: Array, points: Array, first: Curve, second: Curve) -> list[Crossing]:
    """Return crossings in order along the first curve, each once though found on both sides of a joint."""
    s1, s2 = _along(first, t1), _along(second, t2)
    around1, around2 = _around(first), _around(second)
    kept: list[int] = []
    for k in np.lexsort((t2, t1)):
        same = norm(points[kept] - points[k]) <= crossing.SAME
        if same.any():
            once = _apart(s1[kept], s1[k], around1) + _apart(s2[kept], s2[k], around2)
            if first is second:
                once = np.minimum(once, _apart(s1[kept], s2[k], around1) + _apart(s2[kept], s1[k], around1))
            same &= once <= 2 * crossing.SAME
        if not same.any():
            kept.append(k)
    return [Crossing(float(t1[k]), float(t2[k]), points[k]) for k in kept]


def _along(curve: Curve, t: Array) -> Array:
    """Return how far along the handles of a curve places lie, in millimetres.

    Quicker than the true length, and all that telling places apart takes: the way along the curve is at
    most three times the way along the handles.
    """
    handles = norm(np.diff(curve.segments, axis=1)).sum(axis=1)
    index, u = curve._locate(t)
    way: Array = (np.cumsum(handles) - handles)[index] + handles[index] * u
    return way


def _around(curve: Curve) -> float:
    """Return the way once around a closed curve, along the handles; infinite for an open one."""
    return float(norm(np.diff(curve.segments, axis=1)).sum()) if curve.is_closed else np.inf


def _apart(s0: Array, s1: Array, around: float) -> Array:
    apart = np.abs(s1 - s0)
    return np.minimum(apart, around - apart)
