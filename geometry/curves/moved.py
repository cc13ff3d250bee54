"""A curve taken through a smooth motion of the plane, with no more nodes than that needs."""
from __future__ import annotations

from typing import Callable

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import evaluate, halves, hodograph, left_of, norm
from geometry.curves.curve import Curve

#: Where points (n, 2) go: as many points.
Motion = Callable[[Array], Array]

#: How near the moved curve lies to where it belongs, millimetres: there and back again are then within 0.01.
NEAR = 0.004

#: Steps by which a motion's derivative is taken, millimetres: central differences, whose error is of second order.
_STEP = 1e-3

#: A piece is halved at most so often: a thousandth of it is shorter than any motion of ours bends.
_MOST_HALVINGS = 10

#: Places of a piece that are looked at.
_LOOKED_AT = np.linspace(0, 1, 11)[1:-1]

#: Rounds in which the lengths of a piece's handles are fitted; each gains a digit or so.
_ROUNDS = 4


def moved(curve: Curve, motion: Motion, accuracy: float = NEAR) -> Curve:
    """Return ``curve`` taken through a ``motion`` that has a derivative everywhere, within ``accuracy`` (mm).

    Every node goes where it belongs, its handles as the derivative there takes them: what was smooth stays
    so and a corner stays one.  Where that is not near enough the lengths of the handles are fitted, and only where
    that does not do either a piece is halved.
    The very ``curve`` where nothing moves.

    >>> arch = Curve.cubic((0, 0), (0, -40), (100, -40), (100, 0))
    >>> moved(arch, lambda points: points + (5, 0)).segments[0].tolist()
    [[5.0, 0.0], [5.0, -40.0], [105.0, -40.0], [105.0, 0.0]]
    >>> moved(arch, lambda points: points) is arch
    True
    """
    whole = curve.segments
    if not _apart(motion, np.concatenate([whole[:, 0], whole[:, 3], *(evaluate(whole, t) for t in _LOOKED_AT)])):
        return curve
    waiting = list(range(len(whole)))
    pieces = {(k, 0.0): whole[k] for k in waiting}
    done: dict[tuple[int, float], Array] = {}
    for depth in range(_MOST_HALVINGS + 1):
        keys, now = list(pieces), np.array(list(pieces.values()))
        taken = _taken(now, motion)
        near = _error(now, taken, motion) <= accuracy
        if not near.all():
            taken[~near] = _fitted(now[~near], taken[~near], motion)
            near = _error(now, taken, motion) <= accuracy
        done.update({key: piece for key, piece, good in zip(keys, taken, near) if good or depth == _MOST_HALVINGS})
        pieces = {}
        for (k, start), piece, good in zip(keys, now, near):
            if not good:
                first, second = halves(piece[None])
                pieces[k, start], pieces[k, start + 0.5 ** (depth + 1)] = first[0], second[0]
        if not pieces or depth == _MOST_HALVINGS:
            break
    return Curve(np.array([done[key] for key in sorted(done)]))


def _apart(motion: Motion, points: Array) -> bool:
    return bool((motion(points) != points).any())


def _taken(pieces: Array, motion: Motion) -> Array:
    """Return cubics with the ends of the moved ``pieces`` and the derivatives there."""
    start, end = motion(pieces[:, 0]), motion(pieces[:, 3])
    return np.stack([
        start, start + _along(motion, pieces[:, 0], pieces[:, 1] - pieces[:, 0]),
        end + _along(motion, pieces[:, 3], pieces[:, 2] - pieces[:, 3]), end,
    ], axis=1)  # fmt: skip


def _along(motion: Motion, points: Array, ways: Array) -> Array:
    """Return what becomes of ``ways`` (n, 2) that set out from ``points``."""
    long = norm(ways)[:, None]
    step = _STEP * np.divide(ways, long, out=np.zeros_like(ways), where=long > 0)
    turned: Array = (motion(points + step) - motion(points - step)) / (2 * _STEP) * long
    return turned


def _error(pieces: Array, taken: Array, motion: Motion) -> Array:
    """Return how far at most the moved cubics pass beside where places of the ``pieces`` belong."""
    goal = np.stack([motion(evaluate(pieces, t)) for t in _LOOKED_AT], axis=1)
    at = np.tile(_LOOKED_AT, (len(pieces), 1))
    for _ in range(2):
        at = _nearer(taken, goal, at)
    worst: Array = norm(goal - _places(taken, at)).max(axis=1)
    return worst


def _fitted(pieces: Array, taken: Array, motion: Motion) -> Array:
    """Return the cubics with handles as long as brings them nearest, by least squares across the line (Gauss and Newton)."""
    goal = np.stack([motion(evaluate(pieces, t)) for t in _LOOKED_AT], axis=1)
    at = np.tile(_LOOKED_AT, (len(pieces), 1))
    found = np.array(taken)
    for _ in range(_ROUNDS):
        at = _nearer(found, goal, at)
        across = left_of(_speeds(found, at))
        across /= np.maximum(norm(across), 1e-12)[..., None]
        first, last = found[:, 1] - found[:, 0], found[:, 2] - found[:, 3]
        weights = 3 * at * (1 - at) ** 2, 3 * at**2 * (1 - at)
        columns = np.stack([w * (across @ way[:, :, None])[..., 0] for w, way in zip(weights, (first, last))], axis=-1)
        off = ((goal - _places(found, at)) * across).sum(axis=-1)
        normal = columns.transpose(0, 2, 1) @ columns
        normal += np.eye(2) * (1e-9 * np.trace(normal, axis1=1, axis2=2)[:, None, None] + 1e-12)
        grow = 1 + np.clip(np.linalg.solve(normal, columns.transpose(0, 2, 1) @ off[..., None])[..., 0], -0.5, 1.0)
        found[:, 1], found[:, 2] = found[:, 0] + grow[:, :1] * first, found[:, 3] + grow[:, 1:] * last
    return found


def _places(cubics: Array, at: Array) -> Array:
    places: Array = evaluate(cubics[:, None], at)
    return places


def _speeds(cubics: Array, at: Array) -> Array:
    speeds: Array = evaluate(hodograph(cubics)[:, None], at)
    return speeds


def _nearer(cubics: Array, goal: Array, at: Array) -> Array:
    """Return where along the cubics (n) the places ``goal`` (n, k, 2) are passed, one step of Newton from ``at`` (n, k)."""
    speed = _speeds(cubics, at)
    step = ((goal - _places(cubics, at)) * speed).sum(axis=-1) / np.maximum((speed * speed).sum(axis=-1), 1e-12)
    nearer: Array = np.clip(at + step, 0.0, 1.0)
    return nearer
