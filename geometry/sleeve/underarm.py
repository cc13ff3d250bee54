"""The underarm seam: through which levels it passes, how it is shaped below the elbow, and its curve.

One side is drawn at x > 0, from the underarm point down to the hem; points are (half width, y), millimetres.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.measuring.lengths import within
from geometry.refusal import Refused
from geometry.sleeve.arm import Level
from geometry.sleeve.armhole import HOLLOW
from geometry.sleeve.settling import Settled

#: A place that the underarm seam passes through: half width and y, millimetres.
Point = tuple[float, float]

#: The seam between two levels stays monotone while its end slope is at most three times the chord's
#: (Fritsch and Carlson 1980, SIAM Journal on Numerical Analysis 17(2)); half of that looks calm.
CALM_SLOPE = 1.5

#: A flared seam leans out at most 45° (its steepest place is half as steep again as its chord): wider
#: hems want cloth spread in from a curved hem, which is another pattern.
STEEPEST_FLARE = 1.0 / 1.5

#: A level where the underarm seam would turn outward by more than this, chord to chord, makes a hook
#: that neither sews nor presses flat.
SHARPEST_TURN = math.radians(25)


class Note(NamedTuple):
    """Something the draft decided that she should know: a kind, the level's name, and lengths (mm).

    :func:`extension.wording.notes.note` makes the sentence of it.
    """

    kind: str
    level: str
    lengths: tuple[float, ...] = ()


def underarm_angle(chord: float, points: Sequence[Point]) -> float:
    """Return the angle at which the armholes meet the underarm seam square, so that front and back run on
    without a corner when it is closed: hollow against their flatter ``chord``, and calm for the seam below.
    """
    (half, height), (next_half, next_y) = points[:2]
    calmest = max(0.0, CALM_SLOPE * (half - next_half) / (next_y - height))
    return math.atan(min(math.tan(max(0.0, chord - HOLLOW)), calmest))


def shaped_hem(settled: Settled) -> float:
    """Return half the hem of a straight or flared sleeve.  Raises :class:`Refused` where a flare can't be."""
    (above, y), (hem, length) = seam_through(settled.cap, [*settled.arm, settled.hem], True, settled.hem.needed)[0][-2:]
    if settled.style.shape == "straight":
        return max(above, hem)
    least, flare, most = 2 * above, settled.flare_width, 2 * (above + STEEPEST_FLARE * (length - y))
    if not within(least, flare, most):
        raise Refused("flare out of range", flare=flare, least=least, most=most)
    return flare / 2


def seam_through(cap: Level, levels: Sequence[Level], eased: bool, hem_half: float | None) -> tuple[list[Point], list[Note]]:
    """Choose the points (half width, y) that one underarm seam passes through, from underarm to hem.

    The first is the underarm point, widened where a level above the hem asks for more than the rule
    gives.  A level is passed over, never cut into: the seam is wider there than it need be.  With a
    ``hem_half`` of its own (straight, flared) the seam may turn out again at the last level above the hem.
    """

    def needed(level: Level) -> float:
        return level.needed if eased else level.girth / 2

    notes = []
    *inner, hem = levels
    widest = max(inner, key=needed, default=cap)
    if needed(widest) > needed(cap):
        notes.append(Note("widened", widest.name, (needed(cap), needed(widest))))
    top = (max(needed(cap), needed(widest)), cap.y)
    at_cap = [level for level in inner if level.y <= cap.y]
    notes += [Note("above underarm", level.name, (level.y, cap.y)) for level in at_cap]

    kept = [(needed(level), level.y, level.name) for level in inner if level.y > cap.y]
    tail = [(needed(hem) if hem_half is None else hem_half, hem.y)]
    if hem_half is not None and kept:
        tail.insert(0, kept.pop()[:2])
    over = _first_to_pass_over(top, kept, tail[0])
    while over is not None:
        notes.append(Note("passed over", kept.pop(over)[2]))
        over = _first_to_pass_over(top, kept, tail[0])
    return [top, *((x, y) for x, y, _ in kept), *tail], notes


def _first_to_pass_over(top: Point, kept: Sequence[tuple[float, float, str]], end: Point) -> int | None:
    """Return the index in ``kept`` of a level that would make the seam wander in and out, or None."""
    points = [top, *((x, y) for x, y, _ in kept), end]
    for i in range(1, len(points) - 1):
        (x0, y0), (x1, y1), (x2, y2) = points[i - 1 : i + 2]
        turns_back = x1 < x0 and x1 < x2
        turns_sharply = math.atan2(x0 - x1, y1 - y0) - math.atan2(x1 - x2, y2 - y1) > SHARPEST_TURN
        if turns_back or turns_sharply:
            return i - 1
    return None


def monotone_seam(points: Sequence[Point], first_slope: float, last_slope: float) -> Curve:
    """Return a smooth seam through ``points`` (x, y from the top down) with these slopes dx/dy at its ends.

    Piecewise cubic Hermite with the slopes of Fritsch and Butland (1984, SIAM Journal on Scientific
    and Statistical Computing 5(2)), which never overshoot: between two points the seam stays between them.
    """
    x, y = np.array(points, dtype=float).T
    height = np.diff(y)
    run = np.diff(x) / height
    slopes = np.concatenate(([first_slope], _inner_slopes(height, run), [last_slope]))
    third = height / 3
    start, end = np.stack([x, y], axis=1)[:-1], np.stack([x, y], axis=1)[1:]
    leave = start + np.stack([slopes[:-1] * third, third], axis=1)
    arrive = end - np.stack([slopes[1:] * third, third], axis=1)
    return Curve(np.stack([start, leave, arrive, end], axis=1))


def _inner_slopes(height: Array, run: Array) -> Array:
    """Weighted harmonic mean of the neighbours' slopes; 0 where they differ in sign."""
    before, after = run[:-1], run[1:]
    weight_before = height[:-1] + 2 * height[1:]
    weight_after = 2 * height[:-1] + height[1:]
    same = before * after > 0
    safe_before, safe_after = np.where(same, before, 1.0), np.where(same, after, 1.0)
    mean = (weight_before + weight_after) / (weight_before / safe_before + weight_after / safe_after)
    return np.where(same, mean, 0.0)
