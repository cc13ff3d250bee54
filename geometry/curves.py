"""Lines, curves and chains of them in one vocabulary: :class:`Curve`, a chain of cubic Béziers.

A straight line is a cubic with its handles on the thirds, so callers never ask which it is.
Lengths are millimetres, y runs down as on screen.  Where a method approximates it takes an
``accuracy`` in millimetres; where there is none the result is exact but for rounding.
"""
from __future__ import annotations

import math
from typing import Iterable, List, NamedTuple, Sequence

import numpy as np

from geometry.roots import root_between

#: Gauss-Legendre nodes and weights on [0, 1], eight and sixteen points (Abramowitz and Stegun 1964,
#: table 25.4); written out by :func:`_gauss` from the Legendre polynomial, since numpy.polynomial
#: takes longer to import than every length of a sleeve takes to measure.
_FEW, _MANY = 8, 16

#: Halving a cubic this often for its length leaves pieces of a millionth: only a cusp gets here.
_DEEPEST = 20

#: Two crossings nearer than this, in millimetres, are one, found twice at a joint.
_SAME_POINT = 1e-4

#: A cubic whose handles stray less than this from its chord, in millimetres, is a straight line.
_STRAIGHT = 1e-7

#: Where a cubic's first derivative is below this share of its size, its handle counts as retracted.
_RETRACTED = 1e-9


class Nearest(NamedTuple):
    """The place on a curve nearest to a point: parameter, point (2,), distance."""

    t: float
    point: np.ndarray
    distance: float


class Crossing(NamedTuple):
    """Where two curves meet: the parameter on each, and the point (2,)."""

    t1: float
    t2: float
    point: np.ndarray


def _gauss(count: int) -> tuple[np.ndarray, np.ndarray]:
    """Nodes and weights of Gauss-Legendre quadrature on [0, 1], by Golub and Welsch (1969)."""
    k = np.arange(1, count)
    beta = k / np.sqrt(4.0 * k * k - 1.0)
    nodes, vectors = np.linalg.eigh(np.diag(beta, 1) + np.diag(beta, -1))
    return (nodes + 1) / 2, vectors[0] ** 2


_RULES = {count: _gauss(count) for count in (_FEW, _MANY)}


class Curve:
    """A chain of ``n`` cubic Béziers end to end; the parameter ``t`` runs from 0 to ``n``.

    ``segments`` is a read-only float array (n, 4, 2).  Raises ``ValueError`` for another shape, no
    segments, non-finite numbers, or segments that do not meet.
    """

    __slots__ = ("segments",)

    def __init__(self, segments: np.ndarray):
        segments = np.array(segments, dtype=float)
        if segments.ndim != 3 or segments.shape[1:] != (4, 2) or not len(segments):
            raise ValueError(f"a curve is an array of shape (n, 4, 2) with n > 0, not {segments.shape}")
        if not np.isfinite(segments).all():
            raise ValueError("a curve has finite coordinates only")
        if len(segments) > 1:
            gaps = np.abs(segments[1:, 0] - segments[:-1, 3]).max()
            if gaps > _SAME_POINT:
                raise ValueError(f"the segments of a curve meet end to end; here is a gap of {gaps:g} mm")
            segments[1:, 0] = segments[:-1, 3]
        segments.flags.writeable = False
        self.segments = segments

    # --- making ----------------------------------------------------------------------------------

    @classmethod
    def line(cls, a: Sequence[float], b: Sequence[float]) -> Curve:
        """Return the straight line from ``a`` to ``b``."""
        return cls.polyline([a, b])

    @classmethod
    def polyline(cls, points: Iterable[Sequence[float]]) -> Curve:
        """Return the chain of straight lines through ``points`` (k, 2), k > 1."""
        points = np.asarray(list(points), dtype=float)
        if len(points) < 2:
            raise ValueError("a line needs two points")
        start, end = points[:-1], points[1:]
        return cls(np.stack([start, start + (end - start) / 3, end - (end - start) / 3, end], axis=1))

    @classmethod
    def cubic(cls, p0: Sequence[float], p1: Sequence[float], p2: Sequence[float], p3: Sequence[float]) -> Curve:
        """Return one cubic Bézier."""
        return cls(np.array([[p0, p1, p2, p3]], dtype=float))

    @classmethod
    def chain(cls, curves: Iterable[Curve], gap: float = 1e-6) -> Curve:
        """Return the curves joined end to end.

        Ends may lie ``gap`` millimetres apart and are then moved together, the later to the earlier;
        ``ValueError`` where they lie farther apart.
        """
        pieces = [np.array(curve.segments) for curve in curves]
        for before, after in zip(pieces, pieces[1:]):
            apart = np.hypot(*(after[0, 0] - before[-1, 3]))
            if apart > gap:
                raise ValueError(f"the curves to be joined lie {apart:g} mm apart")
            after[0, 0] = before[-1, 3]
        return cls(np.concatenate(pieces))

    # --- looking ---------------------------------------------------------------------------------

    def __len__(self) -> int:
        return len(self.segments)

    def __repr__(self) -> str:
        return f"Curve({len(self)} from {self.start.tolist()} to {self.end.tolist()})"

    @property
    def start(self) -> np.ndarray:
        return self.segments[0, 0]

    @property
    def end(self) -> np.ndarray:
        return self.segments[-1, 3]

    @property
    def nodes(self) -> np.ndarray:
        """The ends of the segments, (n + 1, 2)."""
        return np.concatenate([self.segments[:, 0], self.segments[-1:, 3]])

    @property
    def is_closed(self) -> bool:
        """Whether the curve ends where it begins."""
        return bool(np.abs(self.end - self.start).max() <= _SAME_POINT)

    def is_straight(self, accuracy: float) -> np.ndarray:
        """Return for each segment whether its handles lie within ``accuracy`` of its chord, inside it."""
        return _are_straight(self.segments, accuracy)

    def _locate(self, t: np.ndarray, incoming: bool = False) -> tuple[np.ndarray, np.ndarray]:
        """Return segment indices and local parameters of ``t``, clamped to the curve."""
        t = np.clip(np.asarray(t, dtype=float), 0, len(self))
        index = np.ceil(t) - 1 if incoming else np.floor(t)
        index = np.clip(index, 0, len(self) - 1).astype(int)
        return index, t - index

    def point(self, t: float | np.ndarray) -> np.ndarray:
        """Return the point at ``t``: scalar -> (2,), (k,) -> (k, 2)."""
        index, u = self._locate(t)
        return _point(self.segments[index], u)

    def derivative(self, t: float | np.ndarray) -> np.ndarray:
        """Return the derivative by ``t``, of the outgoing segment at a joint."""
        index, u = self._locate(t)
        return _derivative(self.segments[index], u)

    def tangent(self, t: float | np.ndarray, incoming: bool = False) -> np.ndarray:
        """Return the unit tangent; at a joint that of the outgoing segment, or of the ``incoming`` one.

        Where a handle is retracted this is the limit.  A segment of no length has tangent (0, 0).
        """
        index, u = self._locate(t, incoming)
        return _unit_tangent(self.segments[index], u)

    def curvature(self, t: float | np.ndarray) -> np.ndarray:
        """Return the signed curvature, 1/mm, positive where the curve turns right on screen.

        It is 0 where the derivative vanishes, though the limit there may be infinite.
        """
        index, u = self._locate(t)
        first, second = _derivative(self.segments[index], u), _second_derivative(self.segments[index], u)
        speed = np.hypot(first[..., 0], first[..., 1])
        cross = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(speed > 0, cross / speed**3, 0.0)

    # --- measuring -------------------------------------------------------------------------------

    def length(self, accuracy: float = 1e-6) -> float:
        """Return the arc length in millimetres, to within about ``accuracy``."""
        return float(_lengths(self.segments, accuracy / len(self)).sum())

    def length_to(self, t: float, accuracy: float = 1e-6) -> float:
        """Return the arc length from the start to ``t``."""
        return self.between(0, t).length(accuracy) if t > 0 else 0.0

    def at_length(self, s: float, accuracy: float = 1e-6) -> float:
        """Return the ``t`` at arc length ``s`` from the start, clamped at both ends."""
        ends = np.concatenate([[0.0], np.cumsum(_lengths(self.segments, accuracy / len(self)))])
        if s <= 0:
            return 0.0
        if s >= ends[-1]:
            return float(len(self))
        index = int(np.searchsorted(ends, s, side="right")) - 1
        piece, wanted = self.segments[index], s - ends[index]
        low, high, u = 0.0, 1.0, wanted / (ends[index + 1] - ends[index])
        for _ in range(60):  # Newton inside a bracket; halving alone would need about 50
            excess = float(_lengths(_left_part(piece, u)[None], accuracy / 4)[0]) - wanted
            if abs(excess) <= accuracy / 2:
                break
            low, high = (u, high) if excess < 0 else (low, u)
            speed = float(np.hypot(*_derivative(piece, u)))
            u = u - excess / speed if speed else low
            if not low < u < high:
                u = (low + high) / 2
        return index + u

    def bounds(self) -> tuple[float, float, float, float]:
        """Return (left, top, right, bottom), exact."""
        boxes = _boxes(self.segments)
        return (*boxes[:, :2].min(axis=0).tolist(), *boxes[:, 2:].max(axis=0).tolist())

    def signed_area(self) -> float:
        """Return the area enclosed by a closed curve, positive where it runs clockwise on screen.

        Closed form (Green's theorem).  Raises ``ValueError`` for an open curve.
        """
        if not self.is_closed:
            raise ValueError("an open curve encloses no area")
        p = self.segments - self.start  # near the origin, so that large coordinates cost no digits
        x, y = p[..., 0], p[..., 1]

        def cross(i: int, j: int) -> np.ndarray:
            return x[:, i] * y[:, j] - y[:, i] * x[:, j]

        twice = 6 * cross(0, 1) + 3 * cross(0, 2) + cross(0, 3) + 3 * cross(1, 2) + 3 * cross(1, 3) + 6 * cross(2, 3)
        return float(twice.sum() / 20)

    def nearest(self, point: Sequence[float]) -> Nearest:
        """Return the place nearest to ``point``, to about a nanometre."""
        point = np.asarray(point, dtype=float)
        grid = np.linspace(0, 1, 17)
        samples = _point(self.segments[:, None], grid[None])
        distance = np.hypot(*(samples - point).T).T
        best = None
        # Only segments whose hull could come nearer than the best sample need a closer look.
        for index in np.flatnonzero(_box_distance(self.segments, point) <= distance.min()):
            for k in np.flatnonzero(_local_minima(distance[index])):
                u = self._polish_nearest(index, grid[max(k - 1, 0)], grid[k], grid[min(k + 1, 16)], point)
                found = _point(self.segments[index], u)
                apart = float(np.hypot(*(found - point)))
                if best is None or apart < best.distance:
                    best = Nearest(float(index + u), found, apart)
        return best

    def _polish_nearest(self, index: int, low: float, u: float, high: float, point: np.ndarray) -> float:
        segment = self.segments[index]

        def slope(u: float) -> tuple[float, float]:
            off, first, second = _point(segment, u) - point, _derivative(segment, u), _second_derivative(segment, u)
            return float(off @ first), float(first @ first + off @ second)

        for _ in range(60):
            value, rate = slope(u)
            low, high = (u, high) if value < 0 else (low, u)
            step = u - value / rate if rate > 0 else (low + high) / 2
            step = step if low <= step <= high else (low + high) / 2
            if abs(step - u) < 1e-13:
                break
            u = step
        return min(max(u, 0.0), 1.0)

    # --- cutting and moving ----------------------------------------------------------------------

    def split(self, t: float) -> tuple[Curve, Curve]:
        """Return the parts before and after ``t``, which lies inside the curve."""
        return self.between(0, t), self.between(t, len(self))

    def between(self, t0: float, t1: float) -> Curve:
        """Return the part from ``t0`` to ``t1``; ``ValueError`` unless 0 <= t0 < t1 <= n."""
        if not 0 <= t0 < t1 <= len(self):
            raise ValueError(f"a part of a curve runs from 0 <= {t0} < {t1} <= {len(self)}")
        (first,), (u0,) = self._locate([t0])
        (last,), (u1,) = self._locate([t1], incoming=True)
        pieces = np.array(self.segments[first : last + 1])
        if last == first:
            pieces[0] = _part(pieces[0], u0, u1)
        else:
            pieces[0] = _right_part(pieces[0], u0)
            pieces[-1] = _left_part(pieces[-1], u1)
        return Curve(pieces)

    def reversed(self) -> Curve:
        """Return the curve run the other way."""
        return Curve(self.segments[::-1, ::-1])

    def transformed(self, matrix: np.ndarray) -> Curve:
        """Return the curve taken through an affine ``matrix`` (2, 3)."""
        matrix = np.asarray(matrix, dtype=float)
        return Curve(self.segments @ matrix[:, :2].T + matrix[:, 2])

    def extended(self, before: float, after: float) -> Curve:
        """Return the curve made longer by these lengths, straight along its end tangents; 0 adds none.

        A straight end piece is itself made longer, a bent one gets a straight piece added.
        """
        segments = self.segments
        if after > 0:
            tip = self.end + after * self.tangent(len(self), incoming=True)
            segments = _lengthened(segments, tip)
        if before > 0:
            tip = self.start - before * self.tangent(0)
            segments = _lengthened(segments[::-1, ::-1], tip)[::-1, ::-1]
        return Curve(segments)

    # --- meeting ---------------------------------------------------------------------------------

    def crossings(self, other: Curve, accuracy: float = 1e-6) -> List[Crossing]:
        """Return where the curves meet, sorted along this one; touching ends count.

        Boxes are halved until they are small, then Newton's method finishes to ``accuracy``.  Where
        the curves overlap along a stretch the result is some points of it, at least its ends as far
        as they are ends of segments.
        """
        if len(other) == 1 and other.is_straight(_STRAIGHT)[0]:
            return _tidy(_meet_line(self.segments, other.start, other.end, accuracy), self, other)
        if len(self) == 1 and self.is_straight(_STRAIGHT)[0]:
            return _tidy([Crossing(b, a, p) for a, b, p in other.crossings(self, accuracy)], self, other)
        pairs = np.argwhere(_overlapping(_boxes(self.segments), _boxes(other.segments), accuracy))
        found = _meet(self.segments, other.segments, pairs, accuracy)
        return _tidy(found, self, other)

    def self_crossings(self, accuracy: float = 1e-6) -> List[Crossing]:
        """Return where the curve crosses or touches itself, t1 < t2; joints of neighbours are none."""
        # A cubic with a loop turns by more than half a turn; no quarter of one does.
        quarters = _halves(_halves(self.segments))
        boxes = _boxes(quarters)
        pairs = np.argwhere(np.triu(_overlapping(boxes, boxes, accuracy), k=1))
        count = len(quarters)
        apart = pairs[:, 1] - pairs[:, 0]
        neighbours = (apart == 1) | (self.is_closed & (apart == count - 1))
        # Neighbours that together turn by less than half a turn meet at their joint only.
        turned = _turning(quarters)
        following = np.where(apart == 1, pairs[:, 0], pairs[:, 1])
        bent = turned[following] + turned[(following + 1) % count] + _joint_turning(quarters)[following] >= math.pi
        found = _meet(quarters, quarters, pairs[~neighbours | bent], accuracy)
        crossings = [Crossing(t1 / 4, t2 / 4, point) for t1, t2, point in found]
        return _tidy([c for c in crossings if not self._is_joint(c)], self, self)

    def _is_joint(self, crossing: Crossing) -> bool:
        """Whether the two places are one: nowhere between them does the curve leave the point."""
        t1, t2, point = crossing
        around = np.linspace(t1, t2, 33)
        if self.is_closed and t2 - t1 > len(self) / 2:
            around = np.linspace(t2, t1 + len(self), 33) % len(self)
        return bool(np.hypot(*(self.point(around) - point).T).max() <= 10 * _SAME_POINT)

    # --- drawing beside ---------------------------------------------------------------------------

    def flatten(self, accuracy: float) -> np.ndarray:
        """Return points (k, 2), ends of segments included, whose polyline is within ``accuracy``.

        The number of pieces is Wang's bound (1984): sqrt(d / (8 accuracy)) with d the greatest
        second derivative, which for a cubic is at one end.
        """
        s = self.segments
        bend = 6 * np.maximum(
            np.hypot(*(s[:, 0] - 2 * s[:, 1] + s[:, 2]).T), np.hypot(*(s[:, 1] - 2 * s[:, 2] + s[:, 3]).T)
        )
        counts = np.maximum(1, np.ceil(np.sqrt(bend / (8 * accuracy)))).astype(int)
        index = np.repeat(np.arange(len(s)), counts)
        step = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
        points = _point(s[index], step / counts[index])
        return np.concatenate([points, s[-1:, 3]])

    def offset(self, distance: float, accuracy: float = 0.005) -> Curve:
        """Return the parallel at ``distance``, positive to the left of travel on screen.

        Within ``accuracy`` of the true parallel, which is no Bézier: each piece is the cubic with the
        parallel's own ends and end derivatives, halved until samples agree.  Corners inside the chain
        are mitred on the outside (cut off beyond four times the distance) and trimmed on the inside;
        loops that arise where the curve is hollow and tighter than the distance are cut away.  Limits:
        a cusp of the parallel is only met to the halving depth, and of loops that interlock only the
        outermost are cut away.
        """
        if abs(distance) <= accuracy:
            return self
        solid = self.segments[np.ptp(self.segments, axis=1).max(axis=1) > 0]
        if not len(solid):
            raise ValueError("a curve of no length has no parallel")
        pieces = _offset_pieces(solid, distance, accuracy)
        return join_at_corners([Curve(piece) for piece in pieces], abs(distance), accuracy).without_loops(10 * abs(distance))

    def without_loops(self, longest: float) -> Curve:
        """Return the curve with every loop shorter than ``longest`` millimetres cut away."""
        curve = self
        for _ in range(len(self)):
            loops = [c for c in curve.self_crossings() if c.t2 - c.t1 > 1e-6 and curve.between(c.t1, c.t2).length(1e-3) < longest]
            if not loops:
                return curve
            t1, t2, _ = max(loops, key=lambda c: c.t2 - c.t1)
            ends = ([curve.between(0, t1)] if t1 > 0 else []) + ([curve.between(t2, len(curve))] if t2 < len(curve) else [])
            if not ends:
                return curve
            curve = Curve.chain(ends, gap=10 * _SAME_POINT)
        return curve


#: A mitre longer than this many times the distance is cut off square (SVG's default limit).
MITRE_LIMIT = 4.0


def join_at_corners(pieces: Sequence[Curve], distance: float, accuracy: float) -> Curve:
    """Join parallels of neighbouring lines end to end: trimmed where they cross, mitred where they part.

    A mitre that would reach more than :data:`MITRE_LIMIT` times ``distance`` from either end is cut off
    straight.  A piece that its neighbours trim away altogether is left out.
    """
    starts, ends = [0.0] * len(pieces), [float(len(piece)) for piece in pieces]
    tips: list[np.ndarray] = []
    for i, (before, after) in enumerate(zip(pieces, pieces[1:])):
        apart = np.hypot(*(after.start - before.end))
        met = before.crossings(after) if apart > 2 * accuracy else []
        if met:
            ends[i], starts[i + 1], _ = max(met, key=lambda c: c.t1)
        tips.append(_mitre_tip(before, after, MITRE_LIMIT * distance) if apart > 2 * accuracy and not met else np.empty((0, 2)))
    chain: list[np.ndarray] = []
    for piece, start, end, tip in zip(pieces, starts, ends, [*tips, np.empty((0, 2))]):
        if start < end:
            part = np.array(piece.between(start, end).segments)
            if chain:
                corner = np.vstack([chain[-1][-1, 3], waiting, part[0, 0]])
                if np.ptp(corner, axis=0).max() > 2 * accuracy:
                    chain.append(Curve.polyline(corner).segments)
                else:
                    part[0, 0] = chain[-1][-1, 3]
            chain.append(part)
        waiting = tip
    return Curve(merged_lines(np.concatenate(chain), accuracy))


def merged_lines(segments: np.ndarray, accuracy: float) -> np.ndarray:
    """Return the chain (n, 4, 2) with straight pieces that run on in one line made one, and without
    pieces shorter than ``accuracy``."""
    long = np.ptp(segments, axis=1).max(axis=1) > accuracy
    straight = _are_straight(segments, _STRAIGHT)
    tangent = _unit_tangent(segments, np.ones(len(segments)))
    kept: list[np.ndarray] = []
    for i in np.flatnonzero(long):
        piece = np.array(segments[i])
        if kept:
            piece[0] = kept[-1][3]
            if straight[i] and straight[previous] and _angles(tangent[previous], tangent[i]) < 1e-6:
                start, end = kept.pop()[0], piece[3]
                piece = np.array([start, start + (end - start) / 3, end - (end - start) / 3, end])
        kept.append(piece)
        previous = i
    return np.array(kept)


def _mitre_tip(before: Curve, after: Curve, longest: float) -> np.ndarray:
    """Return where the end tangents meet as (1, 2), or (0, 2) where that is behind or beyond ``longest``."""
    gap = after.start - before.end
    leave, arrive = before.tangent(len(before), incoming=True), after.tangent(0)
    turn = leave[0] * arrive[1] - leave[1] * arrive[0]
    if abs(turn) > 1e-9:
        ahead = (gap[0] * arrive[1] - gap[1] * arrive[0]) / turn
        back = (gap[0] * leave[1] - gap[1] * leave[0]) / turn
        if 0 <= ahead <= longest and -longest <= back <= 0:
            return (before.end + ahead * leave)[None]
    return np.empty((0, 2))


# --- one cubic: arrays (..., 4, 2) and parameters (...) ---------------------------------------------


def _point(p: np.ndarray, u: np.ndarray) -> np.ndarray:
    u = np.asarray(u)[..., None]
    v = 1 - u
    return v**3 * p[..., 0, :] + 3 * v * v * u * p[..., 1, :] + 3 * v * u * u * p[..., 2, :] + u**3 * p[..., 3, :]


def _derivative(p: np.ndarray, u: np.ndarray) -> np.ndarray:
    u = np.asarray(u)[..., None]
    v = 1 - u
    d = p[..., 1:, :] - p[..., :-1, :]
    return 3 * (v * v * d[..., 0, :] + 2 * v * u * d[..., 1, :] + u * u * d[..., 2, :])


def _second_derivative(p: np.ndarray, u: np.ndarray) -> np.ndarray:
    u = np.asarray(u)[..., None]
    d = p[..., 2:, :] - 2 * p[..., 1:-1, :] + p[..., :-2, :]
    return 6 * ((1 - u) * d[..., 0, :] + u * d[..., 1, :])


def _unit_tangent(p: np.ndarray, u: np.ndarray) -> np.ndarray:
    """Unit tangents; at an end whose handle is retracted, the direction to the next distinct point."""
    direction = _derivative(p, u)
    size = np.abs(p - p[..., :1, :]).max(axis=(-1, -2))
    weak = np.hypot(direction[..., 0], direction[..., 1]) <= _RETRACTED * size
    if np.any(weak):
        u = np.broadcast_to(u, weak.shape)
        at_start = np.where(_far(p[..., 2, :] - p[..., 0, :], size)[..., None], p[..., 2, :] - p[..., 0, :], p[..., 3, :] - p[..., 0, :])
        at_end = np.where(_far(p[..., 3, :] - p[..., 1, :], size)[..., None], p[..., 3, :] - p[..., 1, :], p[..., 3, :] - p[..., 0, :])
        limit = np.where((u <= 0.5)[..., None], at_start, at_end)
        inner = (u > 1e-9) & (u < 1 - 1e-9)  # a cusp: the direction in which the curve goes on
        limit = np.where(inner[..., None], _second_derivative(p, u), limit)
        direction = np.where(weak[..., None], limit, direction)
    length = np.hypot(direction[..., 0], direction[..., 1])[..., None]
    return direction / np.where(length > 0, length, 1)


def _far(vector: np.ndarray, size: np.ndarray) -> np.ndarray:
    return np.hypot(vector[..., 0], vector[..., 1]) > _RETRACTED * size


def _are_straight(p: np.ndarray, accuracy: float) -> np.ndarray:
    chord = p[:, 3] - p[:, 0]
    length = np.hypot(*chord.T)[:, None]
    unit = chord / np.where(length, length, 1)
    handles = p[:, 1:3] - p[:, :1]
    along = np.einsum("nij,nj->ni", handles, unit)
    aside = np.abs(handles[..., 0] * unit[:, 1:] - handles[..., 1] * unit[:, :1])
    return ((aside <= accuracy) & (along >= -accuracy) & (along <= length + accuracy)).all(axis=1)


def _lengthened(segments: np.ndarray, tip: np.ndarray) -> np.ndarray:
    """Continue a chain (n, 4, 2) straight to ``tip``, which lies ahead of its end."""
    last = segments[-1]
    straight = bool(Curve(last[None]).is_straight(_STRAIGHT)[0])
    start = last[0] if straight else last[3]
    more = np.array([start, start + (tip - start) / 3, tip - (tip - start) / 3, tip])
    return np.concatenate([segments[:-1] if straight else segments, more[None]])


def _size(p: np.ndarray) -> float:
    return float(np.ptp(p, axis=0).max())


def _left_part(p: np.ndarray, u: float) -> np.ndarray:
    """The cubic from 0 to ``u`` (de Casteljau)."""
    a = p[:-1] + u * (p[1:] - p[:-1])
    b = a[:-1] + u * (a[1:] - a[:-1])
    c = b[0] + u * (b[1] - b[0])
    return np.array([p[0], a[0], b[0], c if u < 1 else p[3]])


def _right_part(p: np.ndarray, u: float) -> np.ndarray:
    return _left_part(p[::-1], 1 - u)[::-1] if u > 0 else p


def _part(p: np.ndarray, u0: float, u1: float) -> np.ndarray:
    left = _left_part(p, u1) if u1 < 1 else p
    return _right_part(left, u0 / u1)


def _halves(p: np.ndarray) -> np.ndarray:
    """Split each cubic (n, 4, 2) in the middle: (2n, 4, 2), in order."""
    a = (p[:, 1:] + p[:, :-1]) / 2
    b = (a[:, 1:] + a[:, :-1]) / 2
    c = (b[:, 1] + b[:, 0]) / 2
    left = np.stack([p[:, 0], a[:, 0], b[:, 0], c], axis=1)
    right = np.stack([c, b[:, 1], a[:, 2], p[:, 3]], axis=1)
    return np.stack([left, right], axis=1).reshape(-1, 4, 2)


def _lengths(p: np.ndarray, accuracy: float) -> np.ndarray:
    """Arc length of each cubic, by Gauss-Legendre of two orders, halving where they disagree."""
    totals = np.zeros(len(p))
    owner = np.arange(len(p))
    for depth in range(_DEEPEST + 1):
        few, many = (_quadrature(p, *_RULES[count]) for count in (_FEW, _MANY))
        # The difference is about the error of the lower order; the higher is far better.
        done = (np.abs(few - many) <= accuracy) | (depth == _DEEPEST)
        np.add.at(totals, owner[done], many[done])
        if done.all():
            break
        p, owner = _halves(p[~done]), np.repeat(owner[~done], 2)
    return totals


def length_of_arc(p: np.ndarray) -> float:
    """Return the length of one cubic (4, 2) that bends gently one way, where speed matters.

    Sixteen points of Gauss-Legendre and no look at the error, which stays below 0.1 µm for an arc that
    turns by less than a right angle with handles in order; else ask :meth:`Curve.length`.
    """
    return float(_quadrature(p[None], *_RULES[_MANY])[0])


def _quadrature(p: np.ndarray, nodes: np.ndarray, weights: np.ndarray) -> np.ndarray:
    speed = _derivative(p[:, None], nodes[None])
    return np.hypot(speed[..., 0], speed[..., 1]) @ weights


def _boxes(p: np.ndarray) -> np.ndarray:
    """Exact boxes (n, 4) of cubics: ends and the places where a coordinate's derivative vanishes."""
    d = p[:, 1:] - p[:, :-1]
    a, b, c = d[:, 0] - 2 * d[:, 1] + d[:, 2], 2 * (d[:, 1] - d[:, 0]), d[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(np.maximum(b * b - 4 * a * c, 0))
        q = -(b + np.where(b < 0, -root, root)) / 2  # the stable form of the quadratic formula
        candidates = np.stack([q / a, c / q], axis=1)
    candidates = np.clip(np.nan_to_num(candidates, nan=0.0, posinf=0.0, neginf=0.0), 0, 1)
    u = candidates
    v = 1 - u
    at = v**3 * p[:, None, 0] + 3 * v * v * u * p[:, None, 1] + 3 * v * u * u * p[:, None, 2] + u**3 * p[:, None, 3]
    points = np.concatenate([p[:, [0, 3]], at], axis=1)
    return np.hstack([points.min(axis=1), points.max(axis=1)])


def _overlapping(a: np.ndarray, b: np.ndarray, slack: float) -> np.ndarray:
    """Which of the boxes ``a`` (n, 4) and ``b`` (m, 4) overlap: (n, m)."""
    a, b = a[:, None], b[None]
    return (
        (a[..., 0] <= b[..., 2] + slack) & (b[..., 0] <= a[..., 2] + slack)
        & (a[..., 1] <= b[..., 3] + slack) & (b[..., 1] <= a[..., 3] + slack)
    )  # fmt: skip


def _turning(p: np.ndarray) -> np.ndarray:
    """The angle by which the handles of each cubic turn: no less than by which the cubic does."""
    legs = p[:, 1:] - p[:, :-1]
    return _angles(legs[:, :-1], legs[:, 1:]).sum(axis=1)


def _joint_turning(p: np.ndarray) -> np.ndarray:
    """The angle by which each cubic turns into the next, the last into the first."""
    return _angles(_unit_tangent(p, np.ones(len(p))), _unit_tangent(np.roll(p, -1, axis=0), np.zeros(len(p))))


def _angles(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.abs(np.arctan2(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0], (a * b).sum(axis=-1)))


def _box_distance(p: np.ndarray, point: np.ndarray) -> np.ndarray:
    """A lower bound for the distance of each cubic from ``point``: that of its handles' box."""
    low, high = p.min(axis=1), p.max(axis=1)
    return np.hypot(*np.maximum(np.maximum(low - point, point - high), 0).T)


def _local_minima(values: np.ndarray) -> np.ndarray:
    padded = np.concatenate([[np.inf], values, [np.inf]])
    return (values <= padded[:-2]) & (values <= padded[2:])


def _meet_line(p: np.ndarray, start: np.ndarray, end: np.ndarray, accuracy: float) -> list[Crossing]:
    """Return where cubics (n, 4, 2) meet a straight line: roots of the cubic that is their distance from it."""
    along = end - start
    long = float(np.hypot(*along))
    if not long:
        return []
    along = along / long
    off = p - start
    aside = off[..., 0] * along[1] - off[..., 1] * along[0]
    ahead = off @ along
    near = (aside.min(axis=1) <= accuracy) & (aside.max(axis=1) >= -accuracy)
    near &= (ahead.min(axis=1) <= long + accuracy) & (ahead.max(axis=1) >= -accuracy)
    found = []
    for i in np.flatnonzero(near):
        if np.abs(aside[i]).max() <= accuracy:  # it runs along the line: the ends of what they share
            roots = [0.0, 1.0, *(_along_itself(p[i], q) for q in (start, end))]
        else:
            roots = cubic_roots(*aside[i].tolist(), accuracy)
        for u in roots:
            point = _point(p[i], u)
            v = float((point - start) @ along) / long
            if -accuracy <= v * long <= long + accuracy:
                found.append(Crossing(float(i + u), min(max(v, 0.0), 1.0), point))
    return found


def _along_itself(p: np.ndarray, point: np.ndarray) -> float:
    return Curve(p[None]).nearest(point).t


def cubic_roots(d0: float, d1: float, d2: float, d3: float, accuracy: float) -> list[float]:
    """Return where in [0, 1] the cubic with Bernstein coefficients d0…d3 is zero, ascending.

    A value within ``accuracy`` of zero at an end or at an extremum counts as zero.
    """

    def value(u: float) -> float:
        v = 1 - u
        return v * v * v * d0 + 3 * v * v * u * d1 + 3 * v * u * u * d2 + u * u * u * d3

    # Between the extrema (roots of the derivative) the cubic is monotone, with one root at most.
    a, b, c = d3 - 3 * d2 + 3 * d1 - d0, 2 * (d2 - 2 * d1 + d0), d1 - d0
    knots = sorted({0.0, 1.0, *(u for u in _quadratic_roots(a, b, c) if 0 < u < 1)})
    roots = [u for u in knots if abs(value(u)) <= accuracy]
    for low, high in zip(knots, knots[1:]):
        if value(low) * value(high) < 0 and abs(value(low)) > accuracy and abs(value(high)) > accuracy:
            roots.append(root_between(value, low, high))
    return sorted(roots)


def _quadratic_roots(a: float, b: float, c: float) -> list[float]:
    """Real roots of a u² + b u + c, by the form that loses no digits."""
    square = b * b - 4 * a * c
    if square < 0:
        return []
    q = -(b + math.copysign(math.sqrt(square), b)) / 2
    return [top / bottom for top, bottom in ((q, a), (c, q)) if abs(bottom) > 1e-300]


#: Pairs of pieces are halved this often before Newton's method: a sleeve's edge is then well under
#: a millimetre, where two smooth pieces cross once at most.
_HALVINGS = 9

#: More pairs than this after a halving means that the curves run along each other.
_MOST_PAIRS = 4096


def _meet(a: np.ndarray, b: np.ndarray, pairs: np.ndarray, accuracy: float) -> list[Crossing]:
    """Return crossings of cubics ``a[i]`` and ``b[j]`` for every (i, j) in ``pairs``."""
    if not len(pairs):
        return []
    i, j = pairs.T
    p, q = a[i], b[j]
    u, v, width = i.astype(float), j.astype(float), 1.0
    for _ in range(_HALVINGS):
        p, q, width = _halves(p).reshape(-1, 2, 4, 2), _halves(q).reshape(-1, 2, 4, 2), width / 2
        low_p, high_p = p.min(axis=2), p.max(axis=2)
        low_q, high_q = q.min(axis=2), q.max(axis=2)
        keep = (
            (low_p[:, :, None] <= high_q[:, None] + accuracy) & (low_q[:, None] <= high_p[:, :, None] + accuracy)
        ).all(axis=3)
        k, left, right = np.nonzero(keep)
        if len(k) > _MOST_PAIRS:
            break
        p, q, u, v = p[k, left], q[k, right], u[k] + width * left, v[k] + width * right
        if not len(p):
            return []
    return _polish(a, b, u + width / 2, v + width / 2, width, accuracy)


def _polish(a: np.ndarray, b: np.ndarray, u: np.ndarray, v: np.ndarray, width: float, accuracy: float) -> list[Crossing]:
    """Newton's method on a(u) = b(v) from every start at once; keep what converges near its start."""
    if np.ndim(u) == 0 or not len(u):
        return []
    i, j = np.minimum(u.astype(int), len(a) - 1), np.minimum(v.astype(int), len(b) - 1)
    s, t = u - i, v - j
    s0, t0 = s, t
    for _ in range(12):
        off = _point(a[i], s) - _point(b[j], t)
        da, db = _derivative(a[i], s), _derivative(b[j], t)
        turn = da[:, 1] * db[:, 0] - da[:, 0] * db[:, 1]
        square = (da**2).sum(axis=1) + (db**2).sum(axis=1)
        flat = np.abs(turn) <= 1e-9 * square
        turn = np.where(flat, 1.0, turn)
        ds = np.where(flat, -(off * da).sum(axis=1) / np.maximum(square, 1e-30), (off[:, 0] * db[:, 1] - off[:, 1] * db[:, 0]) / turn)
        dt = np.where(flat, (off * db).sum(axis=1) / np.maximum(square, 1e-30), (off[:, 0] * da[:, 1] - off[:, 1] * da[:, 0]) / turn)
        s, t = np.clip(s + ds, 0, 1), np.clip(t + dt, 0, 1)
        if max(np.abs(ds).max(), np.abs(dt).max()) < 1e-14:
            break
    gap = np.hypot(*(_point(a[i], s) - _point(b[j], t)).T)
    good = (gap <= max(accuracy, 1e-9) * 10) & (np.abs(s - s0) <= 4 * width + 1e-9) & (np.abs(t - t0) <= 4 * width + 1e-9)
    return [Crossing(float(i[k] + s[k]), float(j[k] + t[k]), _point(a[i[k]], s[k])) for k in np.flatnonzero(good)]


def _tidy(found: list[Crossing], first: Curve, second: Curve) -> list[Crossing]:
    """Sort along the first curve and drop what is one crossing found twice."""
    kept: list[Crossing] = []
    for crossing in sorted(found, key=lambda c: (c.t1, c.t2)):
        same = (
            np.hypot(*(crossing.point - other.point)) <= _SAME_POINT
            and _near_along(crossing.t1, other.t1, first)
            and _near_along(crossing.t2, other.t2, second)
            for other in kept
        )
        if not any(same):
            kept.append(crossing)
    return kept


def _near_along(t: float, other: float, curve: Curve) -> bool:
    apart = abs(t - other)
    return apart < 0.01 or (curve.is_closed and len(curve) - apart < 0.01)


#: An offset piece is checked at these places between its ends, and halved at most this often.
_CHECKS = np.array([0.25, 0.5, 0.75])
_OFFSET_DEEPEST = 12


def _offset_pieces(p: np.ndarray, distance: float, accuracy: float) -> list[np.ndarray]:
    """Return for each cubic (n, 4, 2) its parallel, as cubics (k, 4, 2)."""
    order, done, owners = np.zeros(len(p)), [], []
    owner, share = np.arange(len(p)), 1.0
    for depth in range(_OFFSET_DEEPEST + 1):
        piece = _hermite_parallel(p, distance)
        good = (_offset_error(p, piece, distance) <= accuracy) | (depth == _OFFSET_DEEPEST)
        done.append(piece[good])
        owners.append(owner[good] + order[good])
        if good.all():
            break
        share /= 2
        p = _halves(p[~good])
        order = np.repeat(order[~good], 2) + np.tile([0, share], len(p) // 2)
        owner = np.repeat(owner[~good], 2)
    keys = np.concatenate(owners)
    ranked = np.argsort(keys)
    pieces = np.concatenate(done)[ranked]
    return np.split(pieces, np.searchsorted(keys[ranked], np.arange(1, int(keys.max()) + 1)))


def _hermite_parallel(p: np.ndarray, distance: float) -> np.ndarray:
    """Return for each cubic the one that has the ends and end derivatives of its parallel."""
    ends = np.array([[0.0, 1.0]])
    q = p[:, None]
    tangent, first, second = _unit_tangent(q, ends), _derivative(q, ends), _second_derivative(q, ends)
    points = p[:, [0, 3]] + distance * _left_normal(tangent)
    speed = np.hypot(first[..., 0], first[..., 1])
    cross = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    chord = np.hypot(*(points[:, 1] - points[:, 0]).T)[:, None]
    size = np.ptp(p, axis=1).max(axis=1)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        # The parallel's derivative is the curve's times (1 + distance x curvature).
        pace = np.where(speed > _RETRACTED * size, speed + distance * cross / speed**2, chord)
    straight = _are_straight(p, _STRAIGHT)
    pace = np.where(straight[:, None], chord, pace)
    handles = tangent * pace[..., None] / 3
    return np.stack([points[:, 0], points[:, 0] + handles[:, 0], points[:, 1] - handles[:, 1], points[:, 1]], axis=1)


def _offset_error(p: np.ndarray, piece: np.ndarray, distance: float) -> np.ndarray:
    """How far each piece strays from the true parallel, across it, at a few places between."""
    q = p[:, None]
    normal = _left_normal(_unit_tangent(q, _CHECKS))
    true = _point(q, _CHECKS) + distance * normal
    error = np.abs(((_point(piece[:, None], _CHECKS) - true) * normal).sum(axis=-1)).max(axis=1)
    return np.where(_are_straight(p, _STRAIGHT), 0.0, error)


def _left_normal(tangent: np.ndarray) -> np.ndarray:
    """The unit normal to the left of travel on screen, where y runs down."""
    return np.stack([tangent[..., 1], -tangent[..., 0]], axis=-1)
