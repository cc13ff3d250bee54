"""Cubic Béziers as arrays: ``p`` of shape (n, 4, 2) holds n cubics, ``t`` of shape (n,) a place on each.

The vectorised arithmetic under :mod:`geometry.curves.curve`; a cubic here knows nothing of its neighbours.
Shapes broadcast: ``p[:, None]`` with ``t`` of shape (n, k) gives k places on each cubic.
"""
from __future__ import annotations

import numpy as np

from geometry.curves.arrays import Array, Flags

#: A handle shorter than this share of its cubic's longest leg counts as retracted: editors retract
#: handles exactly, and rounding through transforms leaves about 1e-13 of them.
RETRACTED = 1e-9

#: A cubic whose legs together exceed its chord by less than this, millimetres, is as long as its chord.
STRAIGHT_ENOUGH = 1e-9

#: A length is halved this often at most, leaving pieces of a millionth: only a cusp gets there.
DEEPEST_HALVING = 20

#: A cubic whose pace falls to less than this share of its greatest may turn back there: a cusp, or a fold.
TURNING_BACK = 0.1


def evaluate(points: Array, t: float | Array) -> Array:
    """Return the places at ``t`` on Béziers (…, d + 1, 2) of degree d <= 3, in Bernstein form, so that
    the ends are met exactly.
    """
    t = np.asarray(t, dtype=float)[..., None]
    s: Array = 1 - t
    degree = points.shape[-2] - 1
    if degree == 1:
        return s * points[..., 0, :] + t * points[..., 1, :]
    if degree == 2:
        return s * s * points[..., 0, :] + 2 * s * t * points[..., 1, :] + t * t * points[..., 2, :]
    return (
        s * s * s * points[..., 0, :] + 3 * s * s * t * points[..., 1, :]
        + 3 * s * t * t * points[..., 2, :] + t * t * t * points[..., 3, :]
    )  # fmt: skip


def powers(p: Array) -> Array:
    """Return cubics (n, 4, 2) as coefficients (4, n, 2) of 1, t, t², t³."""
    p0, p1, p2, p3 = p.transpose(1, 0, 2)
    return np.stack([p0, 3 * (p1 - p0), 3 * (p0 - 2 * p1 + p2), p3 - p0 + 3 * (p1 - p2)])


def point_and_derivative(coefficients: Array, t: Array) -> tuple[Array, Array]:
    """Return points and derivatives (n, 2) from :func:`powers`, by Horner's rule: quicker than
    :func:`evaluate`, and not quite exact at the ends.
    """
    c0, c1, c2, c3 = coefficients
    t = t[:, None]
    cubed = c3 * t
    return ((cubed + c2) * t + c1) * t + c0, (3 * cubed + 2 * c2) * t + c1


def hodograph(points: Array) -> Array:
    """Return the derivative of Béziers (…, d + 1, 2) as Béziers (…, d, 2)."""
    degree: int = points.shape[-2] - 1
    return degree * (points[..., 1:, :] - points[..., :-1, :])


def cross(a: Array, b: Array) -> Array:
    """Return the cross product of plane vectors (…, 2), positive where b lies right of a on screen."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def norm(a: Array) -> Array:
    """Return the lengths of plane vectors (…, 2)."""
    return np.hypot(a[..., 0], a[..., 1])


def left_of(tangent: Array) -> Array:
    """Return vectors (…, 2) turned a quarter to the left on screen, where y runs down."""
    return np.stack([tangent[..., 1], -tangent[..., 0]], axis=-1)


def straight(start: Array, end: Array) -> Array:
    """Return straight cubics (n, 4, 2) between points (n, 2), with their handles on the thirds."""
    third = (end - start) / 3
    return np.stack([start, start + third, end - third, end], axis=-2)


def are_straight(p: Array, accuracy: float) -> Flags:
    """Return which cubics have their handles within ``accuracy`` of the chord and do not double back."""
    chord = p[:, 3] - p[:, 0]
    length = norm(chord)[:, None]
    unit = (chord / np.where(length, length, 1))[:, None]
    handles = p[:, 1:3] - p[:, :1]
    along = (handles * unit).sum(axis=-1)
    aside = np.where(length, np.abs(cross(handles, unit)), norm(handles))
    on_it: Flags = ((aside <= accuracy) & (along >= -accuracy) & (along <= length + accuracy)).all(axis=1)
    return on_it


def headings(p: Array) -> Array:
    """Return Béziers (n, 3, 2) that point where the cubics go, at every t, retracted handles included.

    The hodograph over 3, divided by t or 1 - t where a handle is retracted, so that it does not vanish
    at that end: its direction there is the limit of the tangent.  Zero for a cubic of no length.
    """
    legs = p[:, 1:] - p[:, :-1]
    size = norm(legs)
    weak = size <= RETRACTED * size.max(axis=1, keepdims=True)
    if not weak[:, ::2].any():
        return legs
    first, middle, last = np.where(weak[..., None], 0.0, legs).transpose(1, 0, 2)
    no_first, no_middle, no_last = weak.T
    only = {  # the one leg that sets the direction throughout
        "first": no_middle & no_last, "middle": no_first & no_last, "last": no_first & no_middle,
    }  # fmt: skip
    cases = [only["first"], only["middle"], only["last"], no_first, no_last]
    choose = [np.select([case[:, None] for case in cases], values, leg) for values, leg in (
        ([first, middle, last, 2 * middle, first], first),
        ([first, middle, last, middle + last / 2, first / 2 + middle], middle),
        ([first, middle, last, last, 2 * middle], last),
    )]  # fmt: skip
    return np.stack(choose, axis=1)


def halves(p: Array) -> tuple[Array, Array]:
    """Return the first and the second halves of the cubics (de Casteljau)."""
    a = (p[:, 1:] + p[:, :-1]) / 2
    b = (a[:, 1:] + a[:, :-1]) / 2
    c = (b[:, 1] + b[:, 0]) / 2
    first = np.stack([p[:, 0], a[:, 0], b[:, 0], c], axis=1)
    second = np.stack([c, b[:, 1], a[:, 2], p[:, 3]], axis=1)
    return first, second


def pieces(p: Array, t0: Array, t1: Array) -> Array:
    """Return the parts of the cubics from ``t0`` to ``t1``: same ends, same derivatives there."""
    start, end = evaluate(p, t0), evaluate(p, t1)
    speed = hodograph(p)
    third = (np.asarray(t1) - np.asarray(t0))[..., None] / 3
    return np.stack([start, start + third * evaluate(speed, t0), end - third * evaluate(speed, t1), end], axis=1)


def _gauss_legendre(count: int) -> tuple[Array, Array]:
    """Return nodes and weights on [0, 1] by Golub and Welsch 1969, Mathematics of Computation 23.

    numpy.polynomial has them too, but takes longer to import than a sleeve takes to measure.
    """
    k = np.arange(1, count)
    beside = k / np.sqrt(4.0 * k * k - 1)
    nodes, vectors = np.linalg.eigh(np.diag(beside, 1) + np.diag(beside, -1))
    return (nodes + 1) / 2, vectors[0] ** 2


_FEW, _MANY = _gauss_legendre(8), _gauss_legendre(16)
#: What each handle of a quadratic counts for at the places of the second, (16, 1) each.
_WEIGHTS_OF_SPEED = tuple(share[:, None] for share in ((1 - _MANY[0]) ** 2, 2 * (1 - _MANY[0]) * _MANY[0], _MANY[0] ** 2))


def lengths(p: Array, accuracy: float) -> Array:
    """Return the arc length (n,) of each cubic, each within ``accuracy``.

    Gauss-Legendre quadrature of two orders; where they disagree by more, the cubic and the accuracy are
    halved, :data:`DEEPEST_HALVING` times at most.  The difference is about the error of the lower
    order, and the higher is kept, so that the true error is far smaller.  Where a cubic nearly turns
    back the orders may agree by luck, so there it is halved until what is left is shorter than the accuracy.
    """
    total = norm(p[:, 3] - p[:, 0])
    # No longer than its legs and no shorter than its chord: for most lines of a sleeve that is enough.
    loose = np.flatnonzero(norm(p[:, 1:] - p[:, :-1]).sum(axis=1) - total > min(accuracy, STRAIGHT_ENOUGH))
    if not len(loose):
        return total
    total[loose] = 0.0
    p, owner = p[loose], loose
    for depth in range(DEEPEST_HALVING + 1):
        speed = hodograph(p)[:, None]
        few_paces, paces = (norm(evaluate(speed, nodes[None])) for nodes, _ in (_FEW, _MANY))
        few, many = few_paces @ _FEW[1], paces @ _MANY[1]
        done = np.abs(few - many) <= accuracy
        slow = np.flatnonzero(paces.min(axis=1) < TURNING_BACK * paces.max(axis=1))
        if len(slow):  # at a retracted handle the pace is 0 too, but the heading is not
            ahead = norm(evaluate(headings(p[slow])[:, None], _MANY[0][None]))
            short = norm(p[slow, 1:] - p[slow, :-1]).sum(axis=1) <= accuracy
            done[slow] &= short | (ahead.min(axis=1) >= TURNING_BACK * ahead.max(axis=1))
        if depth == DEEPEST_HALVING:
            done[:] = True
        np.add.at(total, owner[done], many[done])
        if done.all():
            break
        p, owner, accuracy = np.concatenate(halves(p[~done])), np.tile(owner[~done], 2), accuracy / 2
    return total


def length_of_arc(p: Array) -> float:
    """Return the length of one cubic (4, 2) that bends gently one way, where speed matters.

    Sixteen points of Gauss-Legendre and no look at the error, which stays below 0.1 µm for an arc that
    turns by less than a right angle with handles in order; else use :func:`lengths`.
    """
    first, second, third = _WEIGHTS_OF_SPEED
    legs = 3 * (p[1:] - p[:-1])
    return float(norm(first * legs[0] + second * legs[1] + third * legs[2]) @ _MANY[1])


def boxes(p: Array) -> Array:
    """Return the exact boxes (n, 4) of cubics: left, top, right, bottom.

    A cubic reaches farthest at an end or where the derivative of a coordinate, a quadratic, vanishes; never farther than its
    handles, so at its ends where those reach no farther.
    """
    hulls, ends = hull_boxes(p), hull_boxes(p[:, ::3])
    if (hulls == ends).all():
        return ends
    d0, d1, d2 = (p[:, 1:] - p[:, :-1]).transpose(1, 0, 2)
    a, half_b = d0 - 2 * d1 + d2, d1 - d0
    root = np.sqrt(np.maximum(half_b * half_b - a * d0, 0))
    q = -(half_b + np.copysign(root, half_b))  # the form of the quadratic formula that loses no digits
    with np.errstate(divide="ignore", invalid="ignore"):
        t = np.stack([q / a, d0 / q], axis=1)
    t = np.minimum(np.maximum(np.nan_to_num(t, nan=0.0, posinf=0.0, neginf=0.0), 0), 1)
    s = 1 - t
    at = s * s * s * p[:, None, 0] + 3 * s * s * t * p[:, None, 1] + 3 * s * t * t * p[:, None, 2] + t * t * t * p[:, None, 3]
    reached = np.concatenate([p[:, [0, 3]], at], axis=1)
    return np.hstack([reached.min(axis=1), reached.max(axis=1)])


def hull_boxes(p: Array) -> Array:
    """Return boxes (n, 4) that hold the cubics, from their handles: quicker than exact."""
    return np.hstack([p.min(axis=1), p.max(axis=1)])


def project(p: Array, points: Array, samples: int = 16) -> Array:
    """Return for each cubic the ``t`` (n,) nearest to its own point of ``points`` (n, 2).

    Newton's method from the best of evenly spaced samples, kept between that sample's neighbours; a
    nearest place that hides between two samples of a wilder curve is not found.
    """
    grid = np.linspace(0, 1, samples + 1)
    distance = norm(evaluate(p[:, None], grid[None]) - points[:, None])
    t: Array = grid[distance.argmin(axis=1)]
    low, high = np.maximum(t - 1 / samples, 0), np.minimum(t + 1 / samples, 1)
    speed, bend = hodograph(p), hodograph(hodograph(p))
    best, least = t, distance.min(axis=1)
    for _ in range(50):  # about five; near places where the distance hardly changes, halving, to the last digit
        off, first, second = evaluate(p, t) - points, evaluate(speed, t), evaluate(bend, t)
        slope, rate = (off * first).sum(axis=-1), (first * first + off * second).sum(axis=-1)
        # Where a handle is retracted the slope is 0 at the end, though the curve may come nearer from there.
        onward = (slope < 0) | ((slope == 0) & (rate < 0) & (t <= low))
        low, high = np.where(onward, t, low), np.where(onward, high, t)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = t - slope / rate
        inside = (rate > 0) & (low <= step) & (step <= high)
        moved = np.where(inside, step, (low + high) / 2)
        settled = np.abs(moved - t).max(initial=0) < 1e-14
        t = moved
        reach = norm(evaluate(p, t) - points)
        best, least = np.where(reach < least, t, best), np.minimum(reach, least)
        if settled:
            break
    return best
