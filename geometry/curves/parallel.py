"""Parallels: the line a given distance beside a curve, its corners mitred and its loops cut away."""
from __future__ import annotations

from typing import NamedTuple

import numpy as np

from geometry.curves.arcs import arc_segments
from geometry.curves.arrays import Array, Flags, Indices
from geometry.curves.bezier import are_straight, cross, evaluate, headings, hodograph, left_of, norm, straight
from geometry.curves.crossing import turns_less_than_half
from geometry.curves.curve import JOINED, STRAIGHT, Curve

#: A mitre reaches at most this many times the distance from its corner (common practice, no source: a longer point
#: of cloth, as between two scallops, is cut off).
MITRE_LIMIT = 2.5

#: Each piece of a parallel is compared with the true one at these places between its ends.
_CHECKED = np.linspace(0, 1, 9)

#: A piece may use up this share of the accuracy where it was checked; it strays a little more between.
_SHARE = 0.8

#: What going ahead of the true parallel, or behind it, counts for beside going astray: little, but
#: something, since it alone places the handles where the parallel is straight.
_AHEAD = 0.03

#: Where a parallel turns back is sought between so many samples of each segment, and then this closely.
_SAMPLES = 17
_BISECTIONS = 40

#: A piece is halved this often at most: only a cusp of the curve itself, beside which no cubic will do,
#: gets there.
_DEEPEST_HALVING = 10

#: Neighbours turn sharply where the cosine of the turn is less than this: more than a quarter degree.
SMOOTH = 1 - 1e-5

#: Where the sine of a turn of more than a right angle is less than this, about half a degree, the curve turns right back:
#: a point drawn by hand, whichever way it is off.
TURNS_BACK = 0.01

#: Stretches shorter than this share of a piece are rounding.
_TINY = 1e-9

#: Where a stretch of a parallel is looked at, as shares of its parameters: in the middle first.
_LOOKED_AT = (0.5, 0.25, 0.75)


class _Raw(NamedTuple):
    """A parallel with its loops: the curve, and which segments (n,) run backward or cut short a corner."""

    curve: Curve
    amiss: Flags


def parallel(curve: Curve, distance: float, accuracy: float = 0.005) -> Curve:
    """Return the parallel of ``curve`` at ``distance`` mm, positive to the left of travel on screen.

    It lies within about ``accuracy`` of the true parallel, which is no Bézier.  Straight segments stay
    single straight segments.  Outside a corner of the curve the parallel is mitred, beyond
    :data:`MITRE_LIMIT` cut off straight; inside one it is trimmed where it crosses itself.  Whatever
    comes nearer to the curve than the distance is cut away, as where the curve is hollow and tighter
    than the distance; where that leaves several parts, the longest is returned.

    The accuracy is checked at a few places in each piece and can be exceeded between them, and beside a
    cusp of the curve.  Where another part of the curve comes within reach of a long mitre, which is
    farther from its corner than the distance, the two may be joined wrongly.  Raises ``ValueError`` where
    nothing is left, or the curve has no length.
    """
    if not np.isfinite(distance) or not accuracy > 0:
        raise ValueError("a parallel needs a distance and an accuracy that are numbers, the accuracy above 0")
    if distance == 0:
        return curve
    base = _regular(curve)
    if len(base) == 1 and are_straight(base.segments, STRAIGHT)[0]:
        return Curve(base.segments + distance * left_of(base.tangent(0)))
    raw = _raw_parallel(base, distance, accuracy)
    # A curve that turns by less than half never comes near itself; a gentle one then has no loops.
    if not raw.amiss.any() and turns_less_than_half(base.segments):
        return raw.curve
    line = _without_loops(base, raw, distance, accuracy)
    if line is None or not _passes_points(base, line, distance):
        # Mitres that meet before they are cut off, as between narrow hollow scallops, leave more than one way on;
        # rounded, the parallel is the edge of all that is within the distance, and there is but one.
        round_one = _without_loops(base, _raw_parallel(base, distance, accuracy, rounded=True), distance, accuracy, rounded=True)
        if round_one is not None and (line is None or _passes_points(base, round_one, distance)):
            line = round_one
    if line is None:
        raise ValueError(f"at {abs(distance):g} mm beside the curve nothing is left of its parallel")
    return line


def _passes_points(base: Curve, line: Curve, distance: float) -> bool:
    """Whether a parallel passes near the ends and every corner that points to its side: what it leaves out it has lost."""
    t, outside, sharp = _joints(base, distance)
    points = [*t[outside & sharp], *([] if base.is_closed else [0.0, len(base)])]
    places = line.nearest_many(base.point(np.array(points))) if points else []
    return all(place.distance <= MITRE_LIMIT * abs(distance) for place in places)


def _joints(base: Curve, distance: float) -> tuple[Array, Flags, Flags]:
    """Return the t at which two segments of a curve meet, of a closed one its end too; which of them point to the side of
    the ``distance``, also those at which the curve turns right back; and which turn sharply.
    """
    t: Array = np.arange(1.0, len(base) + base.is_closed)
    arriving, leaving = base.tangent(t, incoming=True), base.tangent(t % len(base))
    turn, along = cross(arriving, leaving), (arriving * leaving).sum(axis=1)
    outside: Flags = (turn * distance > 0) | ((along < 0) & (np.abs(turn) <= TURNS_BACK))
    return t, outside, along < SMOOTH


def _regular(curve: Curve) -> Curve:
    """Leave out segments of no length, and put the handles of straight ones on their thirds."""
    segments = curve.segments[np.ptp(curve.segments, axis=1).any(axis=1)]
    if not len(segments):
        raise ValueError("a curve of no length has no parallel")
    return Curve(np.where(are_straight(segments, STRAIGHT)[:, None, None], straight(segments[:, 0], segments[:, 3]), segments))


# --- the parallel as it comes -------------------------------------------------------------------------


def _raw_parallel(base: Curve, distance: float, accuracy: float, rounded: bool = False) -> _Raw:
    """Return the parallel of every segment, joined at the corners, mitred or ``rounded``; loops and all."""
    fitted, owner, backward = _fit(base.segments, distance, accuracy)
    joints = np.arange(len(base) if base.is_closed else len(base) - 1)
    points_out = _joints(base, distance)[1]
    meeting = _meet_halfway(fitted, owner, joints, (joints + 1) % len(base), accuracy)
    pieces_of = np.searchsorted(owner, np.arange(1, len(base)))
    beside, amiss = np.split(fitted, pieces_of), np.split(backward, pieces_of)
    links: list[Array] = []
    inside: list[bool] = []
    for k in joints.tolist():
        after = (k + 1) % len(base)
        if meeting[k]:
            links.append(np.empty((0, 4, 2)))
            inside.append(False)
            continue
        arriving, leaving = base.tangent(k + 1, incoming=True), base.tangent(after)
        outside = bool(points_out[k])
        before, beyond = beside[k][-1, 3], beside[after][0, 0]
        if outside and rounded:
            links.append(arc_segments(before, (abs(distance), abs(distance)), 0, False, distance > 0, beyond))
            inside.append(False)
            continue
        if outside:
            before, beyond = mitre(before, arriving, beyond, leaving, abs(distance))
        bevel = straight(before[None], beyond[None]) if norm(beyond - before) > STRAIGHT else np.empty((0, 4, 2))
        links.append(np.concatenate([_continued(beside, k, -1, before), bevel, _continued(beside, after, 0, beyond)]))
        inside.append(not outside)
    if not base.is_closed:
        links.append(np.empty((0, 4, 2)))
        inside.append(False)
    return _Raw(
        Curve(np.concatenate([part for pair in zip(beside, links) for part in pair])),
        np.concatenate([flags for back, link, cut in zip(amiss, links, inside) for flags in (back, np.full(len(link), cut))]),
    )


def _meet_halfway(fitted: Array, owner: Indices, before: Indices, after: Indices, accuracy: float) -> Flags:
    """Move ends that nearly meet together, their handles with them; return at which of the joints they do.

    ``fitted`` (n, 4, 2) are changed in place, ``owner`` (ascending) tells whose they are: of the segments
    ``before`` and ``after`` each joint.
    """
    last, first = np.searchsorted(owner, before, side="right") - 1, np.searchsorted(owner, after)
    gap = fitted[first, 0] - fitted[last, 3]
    meeting = norm(gap) <= accuracy
    shift = gap[meeting, None] / 2
    fitted[last[meeting], 2:] += shift
    fitted[first[meeting], :2] -= shift
    return meeting


def mitre(
    before: Array, arriving: Array, after: Array, leaving: Array, distance: float
) -> tuple[Array, Array]:
    """Return to where lines that end at ``before`` and start at ``after`` are continued round a corner.

    Both to where they cross; beyond :data:`MITRE_LIMIT` so far that what joins them keeps ``distance``
    from the corner.  ``arriving`` and ``leaving`` are their unit tangents there.
    """
    turn = abs(np.arctan2(cross(arriving, leaving), arriving @ leaving))
    if np.cos(turn / 2) * MITRE_LIMIT >= 1:
        tip = before + distance * np.tan(turn / 2) * arriving
        return tip, tip
    reach = distance * np.tan(turn / 4)
    return before + reach * arriving, after - reach * leaving


def _continued(beside: list[Array], k: int, end: int, tip: Array) -> Array:
    """Continue one end of a piece straight to ``tip``: make a straight piece longer, or return a new one."""
    piece = beside[k]
    reached = piece[0, 0] if end == 0 else piece[-1, 3]
    if norm(tip - reached) <= STRAIGHT:
        return np.empty((0, 4, 2))
    if len(piece) == 1 and are_straight(piece, STRAIGHT * 1e3)[0]:
        ends = (tip, piece[0, 3]) if end == 0 else (piece[0, 0], tip)
        piece[0] = straight(*ends)
        return np.empty((0, 4, 2))
    ends = (tip, reached) if end == 0 else (reached, tip)
    return straight(*ends)[None]


def _fit(segments: Array, distance: float, accuracy: float) -> tuple[Array, Indices, Flags]:
    """Return cubics beside the segments, whose they are (ascending), and which run backward.

    A piece has the ends and end tangents of the true parallel and the handles that keep it nearest at a
    few places between; it is halved until it is near enough there.
    """
    directions = headings(segments)
    owner, first, last = _between_cusps(segments, directions, distance)
    done = []
    for depth in range(_DEEPEST_HALVING + 1):
        at = first[:, None] + (last - first)[:, None] * _CHECKED
        points, tangents, paces, rates = _true_parallel(segments[owner][:, None], directions[owner][:, None], at, distance)
        fitted = _nearest_cubics(points, tangents, paces * (last - first)[:, None])
        good = (_strayed(fitted, points, tangents, paces, rates) <= _SHARE * accuracy) | (depth == _DEEPEST_HALVING)
        done.append((owner[good], first[good], fitted[good], paces[good, len(_CHECKED) // 2] < 0))
        if good.all():
            break
        middle = ((first + last) / 2)[~good]
        owner, first, last = (
            np.tile(owner[~good], 2), np.concatenate([first[~good], middle]), np.concatenate([middle, last[~good]])
        )  # fmt: skip
    owner, first, fitted, backward = (np.concatenate(field) for field in zip(*done))
    order = np.lexsort((first, owner))
    return _without_hooks(fitted[order], owner[order], backward[order], accuracy)


def _between_cusps(segments: Array, directions: Array, distance: float) -> tuple[Indices, Array, Array]:
    """Return segments cut where their parallels turn back: whose each piece is, its first and its last t.

    Two cusps closer together than the samples are missed, as is what runs backward between them.
    """

    def pace(which: Indices, t: Array) -> Array:
        return _true_parallel(segments[which], directions[which], t, distance)[2]

    every = np.arange(len(segments))
    grid = np.linspace(0, 1, _SAMPLES)
    forward = pace(np.repeat(every, _SAMPLES), np.tile(grid, len(segments))).reshape(-1, _SAMPLES) > 0
    which, k = np.nonzero(forward[:, 1:] != forward[:, :-1])
    low, high, ahead = grid[k], grid[k + 1], forward[which, k]
    for _ in range(_BISECTIONS if len(k) else 0):
        middle = (low + high) / 2
        same = (pace(which, middle) > 0) == ahead
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    owner = np.concatenate([every, which])
    first = np.concatenate([np.zeros(len(segments)), (low + high) / 2])
    order = np.lexsort((first, owner))
    owner, first = owner[order], first[order]
    last = np.where(np.append(owner[1:] != owner[:-1], True), 1.0, np.append(first[1:], 1.0))
    return owner, first, last


def _without_hooks(fitted: Array, owner: Indices, backward: Flags, accuracy: float) -> tuple[Array, Indices, Flags]:
    """Leave out what runs backward for less than the accuracy."""
    hooks = backward & (np.ptp(fitted, axis=1).max(axis=1) <= accuracy)
    for k in np.flatnonzero(hooks):
        if 0 < k < len(owner) - 1 and owner[k - 1] == owner[k + 1]:
            middle = (fitted[k, 0] + fitted[k, 3]) / 2
            fitted[k - 1, 2:] += middle - fitted[k - 1, 3]
            fitted[k + 1, :2] += middle - fitted[k + 1, 0]
        else:
            hooks[k] = False
    return fitted[~hooks], owner[~hooks], backward[~hooks]


def _true_parallel(p: Array, ahead: Array, t: Array, distance: float) -> tuple[Array, Array, Array, Array]:
    """Return of the true parallel its points, its unit tangents, its pace along them and their turning rate.

    With T the unit tangent of the curve B, which turns at the rate w, the parallel B + d N has the
    derivative B' + d w T: the tangent of the curve, and a pace below 0 where the curve is hollow and
    tighter than d.  Exact at retracted handles too.
    """
    direction, turning = evaluate(ahead, t), evaluate(hodograph(ahead), t)
    square = (direction**2).sum(axis=-1)
    square = np.where(square > 0, square, 1.0)  # at a cusp of the curve there is no normal
    tangent, rate = direction / np.sqrt(square)[..., None], cross(direction, turning) / square
    pace = (evaluate(hodograph(p), t) * tangent).sum(axis=-1) + distance * rate
    return evaluate(p, t) + distance * left_of(tangent), tangent, pace, rate


def _nearest_cubics(points: Array, tangents: Array, paces: Array) -> Array:
    """Return cubics (n, 4, 2) through the ends of ``points`` (n, k, 2) with their end tangents.

    The handles differ from those of Hermite interpolation by what brings the cubic nearest to the other
    points, by least squares: across the curve above all, since going ahead or behind does no harm.
    """
    start, end = points[:, 0], points[:, -1]
    leave, arrive = tangents[:, 0] * (paces[:, :1] / 3), tangents[:, -1] * (paces[:, -1:] / 3)
    hermite = np.stack([start, start + leave, end - arrive, end], axis=1)
    t = _CHECKED[1:-1]
    off = points[:, 1:-1] - evaluate(hermite[:, None], t[None])
    along = tangents[:, 1:-1]
    pulls = np.stack([
        (3 * (1 - t) ** 2 * t)[:, None] * tangents[:, None, 0], -(3 * (1 - t) * t**2)[:, None] * tangents[:, None, -1],
    ], axis=-2)  # fmt: skip
    across = np.concatenate([cross(along[:, :, None], pulls), _AHEAD * (along[:, :, None] * pulls).sum(axis=-1)], axis=1)
    wanted = np.concatenate([cross(along, off), _AHEAD * (along * off).sum(axis=-1)], axis=1)
    normal = across.transpose(0, 2, 1) @ across
    longer = np.linalg.solve(normal, across.transpose(0, 2, 1) @ wanted[..., None])[..., 0]
    hermite[:, 1] += longer[:, :1] * tangents[:, 0]
    hermite[:, 2] -= longer[:, 1:] * tangents[:, -1]
    return hermite


def _strayed(fitted: Array, points: Array, tangents: Array, paces: Array, rates: Array) -> Array:
    """Return how far cubics (n, 4, 2) stray from the true parallel at most, where it was looked at.

    Across it, and what going ahead or behind along a bent line adds; never more than the whole way.
    """
    off = evaluate(fitted[:, None], _CHECKED[None]) - points
    with np.errstate(divide="ignore", invalid="ignore"):
        bend = np.abs(rates / paces)
        across = np.abs(cross(tangents, off)) + np.nan_to_num(bend * (tangents * off).sum(axis=-1) ** 2 / 2, nan=0.0)
    most: Array = np.minimum(across, norm(off)).max(axis=1)
    return most


# --- cutting loops away --------------------------------------------------------------------------------


def _without_loops(base: Curve, raw: _Raw, distance: float, accuracy: float, rounded: bool = False) -> Curve | None:
    """Return what of a raw parallel, mitred or ``rounded``, is no nearer to the curve than the distance; None where nothing is.

    The places nearer than the distance are bounded by the raw parallels on both sides and by circles
    round the ends, so between two crossings with those a stretch is near or not as a whole.
    """
    curve, n, closed = raw.curve, float(len(raw.curve)), raw.curve.is_closed
    forks = {t for place in curve.self_crossings() for t in place[:2]}
    edges = [_raw_parallel(base, -distance, accuracy).curve, *(_circle(corner, abs(distance)) for corner in _corners(base, distance, rounded))]
    cuts = forks.union(place.t1 for edge in curve.crossings_many(edges) for place in edge)
    amiss = np.flatnonzero(raw.amiss)
    if not cuts and not len(amiss):
        return curve
    ends = sorted({0.0, n, *cuts, *amiss.tolist(), *(amiss + 1).tolist()})
    clear = _clear_stretches(raw, [(a, b) for a, b in zip(ends, ends[1:]) if b - a > _TINY], base, abs(distance) - 2 * accuracy)
    stretches = [curve.between(a, b) for a, b in _merged(clear, forks)]
    if closed and len(stretches) > 1 and clear[0][0] == 0 and clear[-1][1] == n and not forks & {0.0, n}:
        stretches = [Curve.chain([stretches[-1], stretches[0]]), *stretches[1:-1]]  # it runs on through the start
    parts = [Curve.chain(run) for run in _runs(sorted(stretches, key=Curve.length, reverse=True))]
    if closed:  # what runs round the other way is no part of it, but the inside of a corner turned inside out
        parts = [part for part in parts if part.is_closed and part.signed_area() * base.signed_area() > 0]
    if not parts:
        return None
    return _without_slivers(max(parts, key=Curve.length)).tidied(accuracy / 10)


def _merged(clear: list[tuple[float, float]], forks: set[float]) -> list[tuple[float, float]]:
    """Join stretches that run on, but not where the parallel crosses itself, and may go on another way."""
    merged: list[tuple[float, float]] = []
    for a, b in clear:
        if merged and a - merged[-1][1] <= _TINY and not any(merged[-1][1] <= fork <= a for fork in forks):
            merged[-1] = (merged[-1][0], b)
        else:
            merged.append((a, b))
    return merged


def _without_slivers(curve: Curve) -> Curve:
    """Cut away the loops that are left because nothing of them is nearer than the accuracy can tell."""
    while True:
        met = curve.self_crossings()
        if not met:
            return curve
        t1, t2, _ = met[0]
        loop = curve.between(t1, t2)
        ends = [curve.between(a, b) for a, b in ((0.0, t1), (t2, float(len(curve)))) if a < b]
        loop_is_more = not ends or (curve.is_closed and loop.length() > sum(end.length() for end in ends))
        curve = Curve.chain([loop] if loop_is_more else ends)


def _corners(base: Curve, distance: float, rounded: bool) -> Array:
    """Return the points (k, 2) where a curve ends or turns sharply, but not those round which a ``rounded`` parallel runs itself."""
    t = np.arange(len(base) + 1)
    arriving, leaving = base.tangent(t, incoming=True), base.tangent(t)
    if base.is_closed:
        leaving[-1], t, arriving = leaving[0], t[1:], arriving[1:]
        leaving = leaving[1:]
        sharp = (arriving * leaving).sum(axis=1) < SMOOTH
    else:
        sharp = (arriving * leaving).sum(axis=1) < SMOOTH
        sharp[[0, -1]] = True
    if rounded:
        joints, outside, _ = _joints(base, distance)
        sharp &= ~np.isin(t, joints[outside])
    return base.point(t[sharp])


def _circle(centre: Array, radius: float) -> Curve:
    right, left = centre + np.array([radius, 0.0]), centre - np.array([radius, 0.0])
    halves_of_it = [arc_segments(a, (radius, radius), 0, False, True, b) for a, b in ((right, left), (left, right))]
    return Curve(np.concatenate(halves_of_it))


def _clear_stretches(raw: _Raw, stretches: list[tuple[float, float]], base: Curve, distance: float) -> list[tuple[float, float]]:
    """Return the stretches of a raw parallel that run forward and come no nearer to the curve than ``distance``."""
    if not stretches:
        return []
    ends = np.array(stretches)
    looked_at = ends[:, :1] + np.array(_LOOKED_AT) * (ends[:, 1:] - ends[:, :1])
    apart = np.array([place.distance for place in base.nearest_many(raw.curve.point(looked_at.ravel()))]).reshape(looked_at.shape)
    clear = ~raw.amiss[looked_at[:, 0].astype(int)] & (apart >= distance).all(axis=1)
    return [stretch for stretch, free in zip(stretches, clear) if free]


def _runs(stretches: list[Curve]) -> list[list[Curve]]:
    """Join stretches, given longest first, end to end into runs, each of which ends where it closes."""
    starts = np.array([stretch.start for stretch in stretches]).reshape(-1, 2)
    ends = np.array([stretch.end for stretch in stretches]).reshape(-1, 2)
    left = np.ones(len(stretches), dtype=bool)
    runs: list[list[Curve]] = []
    while left.any():
        first = int(left.argmax())
        run, left[first] = [stretches[first]], False
        while not _closes(run):
            ahead = np.flatnonzero(left & (norm(starts - run[-1].end) <= JOINED))
            behind = np.flatnonzero(left & (norm(ends - run[0].start) <= JOINED))
            if len(ahead):
                run.append(stretches[ahead[0]])
                left[ahead[0]] = False
            elif len(behind):
                run.insert(0, stretches[behind[0]])
                left[behind[0]] = False
            else:
                break
        runs.append(run)
    return runs


def _closes(run: list[Curve]) -> bool:
    return bool(norm(run[-1].end - run[0].start) <= JOINED)
