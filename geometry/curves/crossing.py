"""Where cubics meet: boxes are halved until two pieces can meet only once, then Newton's method finishes.

Two pieces meet only once where no direction of the one is parallel to a direction of the other
(Sederberg and Meyers 1988, Computer Aided Geometric Design 5(2)).  Pieces that run along each other
never get there; they are halved until ``accuracy`` can't tell them from one line, and then touch.
"""
from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array, Flags, Indices
from geometry.curves.bezier import cross, evaluate, halves, headings, hodograph, hull_boxes, norm, point_and_derivative, powers, project

#: Pieces are halved this often at most: a metre is then shorter than a thousandth of a micrometre.
DEEPEST = 30

#: Lines that run along each other double their pairs of pieces with every halving.  Beyond this many
#: pairs (or four times those at the start) halving stops, so that curves which share a stretch cost
#: some milliseconds; of places closer together than these pieces some may then be missed.
MOST_PAIRS = 1024

#: Newton's method is safe where the directions of both pieces together span less than this, radians.
CALM = 0.8

#: Newton's method takes at most so many steps; from calm pieces it needs about five.
MOST_STEPS = 20

#: Newton's method stops at steps below this share of a cubic: the next would be its square.
SETTLED = 1e-9

#: Directions closer than this, radians, count as parallel; below it a crossing can't be placed to
#: better than a hundredth of a millimetre in a metre anyway.
PARALLEL = 1e-8

#: Crossings nearer than this along both curves, millimetres, are one, found from both sides of a joint
#: or of a halving.  No cut is made that fine.
SAME = 1e-3


class Meetings(NamedTuple):
    """Places where cubics meet: index and local parameter on each side, and the points (k, 2)."""

    i: Indices
    t: Array
    j: Indices
    u: Array
    point: Array

    def where(self, chosen: Flags | Indices) -> Meetings:
        return Meetings._make(field[chosen] for field in self)


class _Pairs(NamedTuple):
    """Pieces that may meet: their cubics, which cubic they are of, and their places k and m / 2^depth in it."""

    p: Array
    q: Array
    i: Indices
    j: Indices
    k: Indices
    m: Indices
    joint: Indices

    def where(self, chosen: Flags) -> _Pairs:
        return _Pairs._make(field[chosen] for field in self)


#: What a pair of neighbours shares: the end of the first is the start of the second, or the reverse;
#: a pair may share both, added up.
NO_JOINT, JOINT_AHEAD, JOINT_BEHIND = 0, 1, 2


def overlapping(a: Array, b: Array, slack: float) -> Flags:
    """Return which boxes ``a`` (n, 4) come within ``slack`` of boxes ``b`` (m, 4), as (n, m)."""
    a, b = a[:, None] + np.array([-slack, -slack, slack, slack]), b[None]
    return (a[..., 0] <= b[..., 2]) & (b[..., 0] <= a[..., 2]) & (a[..., 1] <= b[..., 3]) & (b[..., 1] <= a[..., 3])


def meet(
    a: Array, b: Array, i: Indices, j: Indices, accuracy: float, joint: Indices | None = None
) -> Meetings:
    """Return where cubics ``a[i]`` and ``b[j]`` meet, pair by pair, in no order and with repeats.

    ``joint`` says what neighbours in one chain share (:data:`NO_JOINT` …); that joint is not searched
    for, though it may still be among what is found.  A stretch that two cubics share is found as the
    ends of the cubics within it.
    """
    depth = 0
    zero = np.zeros(len(i), int)
    pairs = _Pairs(a[i], b[j], i, j, zero, zero, zero if joint is None else joint)
    most = max(MOST_PAIRS, 4 * len(i))
    crossing, along = [], []
    while len(pairs.i):
        pairs = pairs.where(_boxes_touch(pairs.p, pairs.q, accuracy))
        if not len(pairs.i):
            break
        apart, one_way = _directions(pairs)
        if pairs.joint.any():
            kept = _more_than_joints(pairs, depth, apart | one_way)
            pairs, apart = pairs.where(kept), apart[kept]
        distinct, together = _fat_lines(pairs.p, pairs.q, accuracy)
        crossing.append((depth, pairs.where(apart & ~(distinct | together))))
        along.append((depth, pairs.where(together)))
        pairs = pairs.where(~(apart | distinct | together))
        if depth == DEEPEST or len(pairs.i) > most:
            along.append((depth, pairs))
            break
        pairs, depth = _halved(pairs), depth + 1
    found = [_newton(a, b, depth, pairs, accuracy) for depth, pairs in crossing if len(pairs.i)]
    stuck = [(depth, pairs) for depth, pairs in along if len(pairs.i)]
    if stuck:
        found.append(_contacts(a, b, stuck, accuracy))
    return _joined(found) if found else _NOTHING


_NOTHING = Meetings(np.empty(0, int), np.empty(0), np.empty(0, int), np.empty(0), np.empty((0, 2)))


def _joined(found: list[Meetings]) -> Meetings:
    return Meetings._make(np.concatenate(field) for field in zip(*found))


def _boxes_touch(p: Array, q: Array, accuracy: float) -> Flags:
    touch: Flags = ((p.min(axis=1) <= q.max(axis=1) + accuracy) & (q.min(axis=1) <= p.max(axis=1) + accuracy)).all(axis=1)
    return touch


def _cone(p: Array) -> tuple[Array, Array]:
    """Return the middle and half the width (radians) of the cone of a cubic's directions."""
    legs = p[:, 1:] - p[:, :-1]
    chord = p[:, 3] - p[:, 0]
    longest = legs[np.arange(len(p)), norm(legs).argmax(axis=1)]
    # A cubic that comes back to its start has no use for its chord.
    ahead = np.where((norm(chord) > 1e-3 * norm(longest))[:, None], chord, longest)
    turned = np.arctan2(cross(ahead[:, None], legs), (ahead[:, None] * legs).sum(axis=-1))
    low, high = turned.min(axis=1), turned.max(axis=1)
    return np.arctan2(ahead[:, 1], ahead[:, 0]) + (low + high) / 2, (high - low) / 2


def _directions(pairs: _Pairs) -> tuple[Flags, Flags]:
    """Return which pairs can meet once at most, and which go one way: all directions in a half plane."""
    middle_p, half_p = _cone(pairs.p)
    middle_q, half_q = _cone(pairs.q)
    between = middle_q - middle_p
    as_lines = np.abs((between + math.pi / 2) % math.pi - math.pi / 2)
    apart = (as_lines > half_p + half_q + PARALLEL) & (half_p + half_q < CALM)
    between = np.abs((between + math.pi) % (2 * math.pi) - math.pi)
    span = np.maximum(half_p, between + half_q) + np.maximum(half_p, half_q - between)
    return apart, span < math.pi - PARALLEL


def _more_than_joints(pairs: _Pairs, depth: int, once: Flags) -> Flags:
    """Return which pairs may meet elsewhere than at the joint of neighbours; ``once`` says which can't meet twice."""
    last = 2**depth - 1
    ahead = (pairs.joint & JOINT_AHEAD > 0) & (pairs.k == last) & (pairs.m == 0)
    behind = (pairs.joint & JOINT_BEHIND > 0) & (pairs.k == 0) & (pairs.m == last)
    elsewhere: Flags = ~((ahead ^ behind) & once)
    return elsewhere


def _fat_lines(p: Array, q: Array, accuracy: float) -> tuple[Flags, Flags]:
    """Return which pairs lie on different sides of a strip along the longer chord, and which both lie in
    one line, to ``accuracy`` (the fat line of Sederberg and Nishita 1990, Computer-Aided Design 22(9)).
    """
    chord_p, chord_q = p[:, 3] - p[:, 0], q[:, 3] - q[:, 0]
    length_p, length_q = norm(chord_p), norm(chord_q)
    longer = (length_p >= length_q)[:, None]
    along = np.where(longer, chord_p, chord_q) / np.maximum(np.maximum(length_p, length_q), 1e-300)[:, None]
    origin = np.where(longer, p[:, 0], q[:, 0])[:, None]
    aside_p, aside_q = cross(along[:, None], p - origin), cross(along[:, None], q - origin)
    low_p, high_p, low_q, high_q = aside_p.min(axis=1), aside_p.max(axis=1), aside_q.min(axis=1), aside_q.max(axis=1)
    distinct = (low_p > high_q + accuracy) | (low_q > high_p + accuracy)
    together = np.maximum(high_p, high_q) - np.minimum(low_p, low_q) <= accuracy
    return distinct, together & ~distinct


def _halved(pairs: _Pairs) -> _Pairs:
    """Return the four pairs of halves of every pair."""
    p0, p1 = halves(pairs.p)
    q0, q1 = halves(pairs.q)
    k, m = 2 * pairs.k, 2 * pairs.m
    return _Pairs(
        np.concatenate([p0, p0, p1, p1]), np.concatenate([q0, q1, q0, q1]), np.tile(pairs.i, 4), np.tile(pairs.j, 4),
        np.concatenate([k, k, k + 1, k + 1]), np.concatenate([m, m + 1, m, m + 1]), np.tile(pairs.joint, 4),
    )  # fmt: skip


def _newton(a: Array, b: Array, depth: int, pairs: _Pairs, accuracy: float) -> Meetings:
    """Solve a(t) = b(u) from where the chords of the pieces cross."""
    i, j, width = pairs.i, pairs.j, 0.5**depth
    chord_p, chord_q, off = pairs.p[:, 3] - pairs.p[:, 0], pairs.q[:, 3] - pairs.q[:, 0], pairs.q[:, 0] - pairs.p[:, 0]
    turn = cross(chord_p, chord_q)
    turn = np.where(turn == 0, np.inf, turn)
    low = np.concatenate([pairs.k, pairs.m]) * width
    share = np.concatenate([cross(off, chord_q) / turn, cross(off, chord_p) / turn])
    place = low + width * np.minimum(np.maximum(share, 0), 1)
    both, count = powers(np.concatenate([a[i], b[j]])), len(i)
    for _ in range(MOST_STEPS):
        points, ahead = point_and_derivative(both, place)
        off, ahead_p, ahead_q = points[count:] - points[:count], ahead[:count], ahead[count:]
        turn = cross(ahead_p, ahead_q)
        turn = np.where(turn == 0, np.inf, turn)
        step = np.concatenate([cross(off, ahead_q) / turn, cross(off, ahead_p) / turn])
        place = np.minimum(np.maximum(place + step, -0.1), 1.1)
        # Boxes may meet though pieces don't: a solution outside the pieces is followed no further.
        inside = _in_piece(place, low, width)
        here = inside[:count] & inside[count:]
        if (np.abs(step) < SETTLED)[np.tile(here, 2)].all():
            break
    return _kept(a, b, i[here], j[here], place[:count][here], place[count:][here], accuracy)


def _in_piece(t: Array, low: Array, width: float) -> Flags:
    """Return which places lie in their pieces or, lest one be lost between two, half a piece beside."""
    near: Flags = np.abs(t - low - width / 2) <= width
    return near


def _kept(a: Array, b: Array, i: Indices, j: Indices, t: Array, u: Array, accuracy: float) -> Meetings:
    """Keep the solutions that lie on both cubics, to ``accuracy``; an end that barely misses is moved on."""
    outside = (t < 0) | (t > 1) | (u < 0) | (u > 1)
    t, u = np.minimum(np.maximum(t, 0), 1), np.minimum(np.maximum(u, 0), 1)
    point = evaluate(a[i], t)
    gap = norm(point - evaluate(b[j], u))
    slipped = np.flatnonzero(outside & (gap > accuracy) & (gap < SAME))
    if len(slipped):  # a grazing crossing just past an end: the nearest place on the other cubic will do
        u[slipped] = project(b[j[slipped]], point[slipped])
        gap[slipped] = norm(point[slipped] - evaluate(b[j[slipped]], u[slipped]))
    good = gap <= accuracy
    return Meetings(i[good], t[good], j[good], u[good], point[good])


def _contacts(a: Array, b: Array, stuck: list[tuple[int, _Pairs]], accuracy: float) -> Meetings:
    """Return where cubics meet that run along each other somewhere.

    Where they share a stretch, the ends of cubics within it; else one place, the nearest, for every
    stretch over which they stay within ``accuracy``.
    """
    ends = _ends_on_the_other(a, b, stuck, accuracy)
    shared = _shared(a, b, ends, accuracy)
    found = [ends]
    for depth, pairs in stuck:
        single = pairs.where(~np.isin(_keys(b, pairs.i, pairs.j), shared))
        if len(single.i):
            found += [_touch(a, b, depth, single, accuracy), _newton(a, b, depth, single, accuracy)]
    every = _joined(found)
    whole = np.isin(_keys(b, every.i, every.j), shared)
    return _joined([every.where(whole), _nearest_of_each(a, b, stuck, every.where(~whole))])


def _keys(b: Array, i: Indices, j: Indices) -> Indices:
    """One number for each pair of cubics."""
    return i * len(b) + j


def _ends_on_the_other(a: Array, b: Array, stuck: list[tuple[int, _Pairs]], accuracy: float) -> Meetings:
    i, j = np.divmod(np.unique(np.concatenate([_keys(b, pairs.i, pairs.j) for _, pairs in stuck])), len(b))
    found = []
    for end in (0, 1):
        at = np.full(len(i), float(end))
        for t, u in ((at, project(b[j], a[i, 3 * end])), (project(a[i], b[j, 3 * end]), at)):
            point = evaluate(a[i], t)
            good = norm(point - evaluate(b[j], u)) <= accuracy
            found.append(Meetings(i[good], t[good], j[good], u[good], point[good]))
    return _joined(found)


def _shared(a: Array, b: Array, ends: Meetings, accuracy: float) -> Indices:
    """Return the keys of pairs that share a stretch: two ends, and the middle between them."""
    keys, pair = np.unique(_keys(b, ends.i, ends.j), return_inverse=True)
    low, high = np.full(len(keys), np.inf), np.full(len(keys), -np.inf)
    np.minimum.at(low, pair, ends.t)
    np.maximum.at(high, pair, ends.t)
    keys, middle = keys[high > low], ((low + high) / 2)[high > low]
    i, j = np.divmod(keys, len(b))
    points = evaluate(a[i], middle)
    return keys[norm(evaluate(b[j], project(b[j], points)) - points) <= accuracy]


def _nearest_of_each(a: Array, b: Array, stuck: list[tuple[int, _Pairs]], found: Meetings) -> Meetings:
    """Return of all places found along one stretch of stuck pieces the one where the gap is least."""
    # The stretches of every pair, one pair after the other on one long axis.
    starts = np.concatenate([2 * _keys(b, pairs.i, pairs.j) + pairs.k * 0.5**depth for depth, pairs in stuck])
    lasts = starts + np.concatenate([np.full(len(pairs.k), 0.5**depth) for depth, pairs in stuck])
    order = np.argsort(starts)
    starts, reached = starts[order], np.maximum.accumulate(lasts[order])
    begins = np.concatenate([[True], starts[1:] > reached[:-1] + 1e-12])
    stretch = np.searchsorted(starts[begins], 2 * _keys(b, found.i, found.j) + found.t, side="right")
    gap = norm(found.point - evaluate(b[found.j], found.u))
    order = np.lexsort((gap, stretch))
    best = order[np.concatenate([[True], np.diff(stretch[order]) > 0])] if len(order) else order
    return found.where(best)


def _touch(a: Array, b: Array, depth: int, pairs: _Pairs, accuracy: float) -> Meetings:
    """Find where pieces that run along each other are parallel and nearest: where they touch."""
    i, j, width = pairs.i, pairs.j, 0.5**depth
    p, q = a[i], b[j]
    speed_p, speed_q = hodograph(p), hodograph(q)
    bend_p, bend_q = hodograph(speed_p), hodograph(speed_q)
    low_t, low_u = (place.astype(float) * width for place in (pairs.k, pairs.m))
    t, u = low_t + width / 2, low_u + width / 2
    for _ in range(12):
        off = evaluate(p, t) - evaluate(q, u)
        dp, dq, ddp, ddq = evaluate(speed_p, t), evaluate(speed_q, u), evaluate(bend_p, t), evaluate(bend_q, u)
        turn, slip = cross(dp, dq), (off * dp).sum(axis=1)
        turn_t, turn_u = cross(ddp, dq), cross(dp, ddq)
        slip_t, slip_u = (dp * dp + off * ddp).sum(axis=1), -(dp * dq).sum(axis=1)
        whole = turn_t * slip_u - turn_u * slip_t
        regular = np.abs(whole) > 1e-12 * norm(dp) ** 2 * norm(dq) * (norm(dp) + norm(dq))
        whole = np.where(regular, whole, np.inf)
        step_t, step_u = (slip * turn_u - turn * slip_u) / whole, (turn * slip_t - slip * turn_t) / whole
        t, u = (np.minimum(np.maximum(place, -0.1), 1.1) for place in (t + step_t, u + step_u))
    here = regular & _in_piece(t, low_t, width) & _in_piece(u, low_u, width)
    return _kept(a, b, i[here], j[here], t[here], u[here], accuracy)


def own_loops(p: Array) -> Meetings:
    """Return where single cubics (n, 4, 2) cross themselves, in closed form.

    With B(t) = a t³ + b t² + c t + d, B(t) = B(u) for t ≠ u means a (s² - m) + b s + c = 0 for the sum
    s = t + u and the product m = t u: the double point of a cubic (Stone and DeRose 1989, ACM
    Transactions on Graphics 8(3), tell from the handles whether there is one).
    """
    a = p[:, 3] - p[:, 0] + 3 * (p[:, 1] - p[:, 2])
    b = 3 * (p[:, 0] - 2 * p[:, 1] + p[:, 2])
    c = 3 * (p[:, 1] - p[:, 0])
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        total = -cross(a, c) / cross(a, b)
        product = total**2 + (a * (b * total[:, None] + c)).sum(axis=1) / (a * a).sum(axis=1)
        root = np.sqrt(total**2 - 4 * product)
    t, u = (total - root) / 2, (total + root) / 2
    i = np.flatnonzero((root > 0) & (t >= 0) & (u <= 1))  # False for nan
    return Meetings(i, t[i], i, u[i], evaluate(p[i], t[i]))


def meet_itself(p: Array, closed: bool, accuracy: float) -> Meetings:
    """Return where a chain of cubics (n, 4, 2), none of no length, meets itself, i <= j, with repeats.

    Joints of neighbours are not searched for, though they may be among what is found.
    """
    count = len(p)
    box = hull_boxes(p)
    i, j = np.nonzero(np.triu(overlapping(box, box, accuracy), k=1))
    joint = np.where(j - i == 1, JOINT_AHEAD, NO_JOINT)
    if closed:
        joint = joint | np.where(j - i == count - 1, JOINT_BEHIND, NO_JOINT)
    return _joined([own_loops(p), meet(p, p, i, j, accuracy, joint)])


def turns_less_than_half(p: Array) -> bool:
    """Return whether all directions of a chain (n, 4, 2) lie in a half plane; then it can't meet itself."""
    ahead = headings(p).reshape(-1, 2)
    ahead = ahead[norm(ahead) > 0]
    turns = np.arctan2(cross(ahead[:-1], ahead[1:]), (ahead[:-1] * ahead[1:]).sum(axis=-1))
    heading = np.concatenate([[0.0], np.cumsum(turns)])
    return bool(np.ptp(heading) < math.pi - PARALLEL)
