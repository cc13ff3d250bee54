"""Fullness spread in from the hem, for a flare wider than its seams can take.

The sleeve is slashed from the hem at equal parts, each slash to its own point on the top edge, and opened there like a
fan; with ever finer slashes the outline is smooth.  Both sides, armhole and underarm seam, keep their shape and turn
about the ends of the top edge, which keeps its length and bends up towards them.  Only the lines across grow longer.
One side is drawn at x > 0; angles are radians.
"""
from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.refusal import Refused
from geometry.sleeve.hem import Point

#: Arcs and fan lines are drawn in pieces of at most this angle.
_PIECE = math.pi / 8

#: A half turned up this far may not come nearer to the grain line than this, or half its top edge, millimetres: the full
#: circle, with room to cut it.
_LEAST_APART = 40.0

#: An arc bent less than this, by the millimetre, is straight.
_STRAIGHT = 1e-9

#: The hem is solved to this, millimetres, by a spread of no less than this.
_SOLVED, _LEAST = 1e-6, 1e-7


def top_arc(half: float, angle: float) -> Curve:
    """Return half of the top edge, ``half`` long, from the grain line at y = 0, level, to its end, turned up by ``angle``."""
    count = max(1, math.ceil(angle / _PIECE))
    radius, angles = half / angle, np.linspace(0, angle, count + 1)
    on = radius * np.stack([np.sin(angles), np.cos(angles) - 1], axis=1)
    along = radius * 4 / 3 * math.tan(angle / count / 4) * np.stack([np.cos(angles), -np.sin(angles)], axis=1)
    return Curve(np.stack([on[:-1], on[:-1] + along[:-1], on[1:] - along[1:], on[1:]], axis=1))


def turned(top_half: float, angle: float) -> Array:
    """Return the affine (2, 3) that takes a side to where the spread leaves it: turned up about the end of its top edge,
    which was at (``top_half``, 0) and goes with the bent top edge.
    """
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array([[c, s], [-s, c]])
    end = top_half / angle * np.array([s, c - 1])
    return np.column_stack([turn, end - turn @ np.array([top_half, 0.0])])


def unrolled(points: Array, top_half: float, angle: float) -> Array:
    """Return where ``points`` (k, 2) at x >= 0 lay before their half was spread by ``angle``: those of a slash where it was cut.

    >>> turned_up = turned(100.0, 1.0) @ [140.0, 200.0, 1.0]
    >>> unrolled(turned_up[None], 100.0, 1.0).round(6).tolist()
    [[140.0, 200.0]]
    """
    radius, turn = top_half / angle, turned(top_half, angle)
    x, y = points.T
    at = np.arctan2(x, y + radius)
    in_the_fan = np.stack([radius * at, np.hypot(x, y + radius) - radius], axis=1)
    beyond = (points - turn[:, 2]) @ turn[:, :2]
    return np.where((at <= angle)[:, None], in_the_fan, beyond)


class Flat(NamedTuple):
    """Half of a line across before anything is spread: its y on the grain line, where it is level, its y and its slope dy/dx
    at the outermost slash, which goes to the end of the top edge, and its end at the side.
    """

    at_grain: float
    at_slash: float
    slope: float
    end: Point


def fan_line(flat: Flat, top_half: float, angle: float, lean: float = 0.0) -> Curve:
    """Return a line across that was ``flat``, from the grain line to its side, which has been turned up by ``angle`` with all
    beyond the outermost slash, and arrives there turned by ``lean`` from what was level.

    Seen from the centre of the bent top edge it lies as far out at the grain line, at that slash and at the side as the slashed
    paper has it, and runs on smoothly: at the slash between how the paper arrives there and how it goes on.  Where the side
    lies nearer to the grain line than that slash, all of the line is within the fan.
    """
    radius = top_half / angle
    across, down = flat.end[0] - top_half, flat.end[1] + radius
    turn, far = angle + math.atan2(across, down), math.hypot(across, down)
    at_slash = flat.at_slash + radius
    # Within the fan the paper rises by slope times radius to the radian, beyond it by slope times distance: shared out by turn.
    shared = (radius * angle + at_slash * (turn - angle)) / turn
    places = [
        (0.0, flat.at_grain + radius, 0.0), (angle, at_slash, flat.slope * shared), (turn, far, far * math.tan(turn - angle - lean)),
    ]  # fmt: skip
    if across <= 0:
        del places[1]
    return Curve.chain([_winding(*zip(*pair)) for pair in zip(places, places[1:])]).transformed(np.array([[1.0, 0.0, 0.0], [0.0, 1.0, -radius]]))


def _winding(turns: tuple[float, ...], distances: tuple[float, ...], rising: tuple[float, ...]) -> Curve:
    """Return a line that winds around (0, 0) from one angle to another, both from the y axis towards x > 0; its distance from
    there is the cubic with these ends and, by the radian, slopes.
    """
    (first, last), (near, far), (leaving, arriving) = turns, distances, rising
    whole = last - first
    count = max(1, math.ceil(whole / _PIECE))
    t = np.linspace(0, 1, count + 1)
    distance = near + (far - near) * t * t * (3 - 2 * t) + whole * (leaving * t * (1 - t) ** 2 + arriving * t * t * (t - 1))
    growing = 6 * (far - near) * t * (1 - t) + whole * (leaving * (1 - t) * (1 - 3 * t) + arriving * t * (3 * t - 2))
    outward = np.stack([np.sin(first + whole * t), np.cos(first + whole * t)], axis=1)
    along = np.stack([outward[:, 1], -outward[:, 0]], axis=1)
    on = distance[:, None] * outward
    third = (growing[:, None] * outward + (distance * whole)[:, None] * along) / (3 * count)
    return Curve(np.stack([on[:-1], on[:-1] + third[:-1], on[1:] - third[1:], on[1:]], axis=1))


def most_spread(side: Curve, top_half: float) -> float:
    """Return by which angle a ``side``, from the end of the top edge to the hem, can be turned before it comes to the grain
    line from behind: the full circle.
    """
    points = np.column_stack([side.flatten(0.5), np.ones(len(side.flatten(0.5)))])
    apart = min(_LEAST_APART, top_half / 2)

    def clear(angle: float) -> float:
        return float((points @ turned(top_half, angle).T)[:, 0].min()) - apart

    return root_between(clear, math.pi / 2, math.pi, 1e-3)


class Spread(NamedTuple):
    """How a sleeve was spread: by which angle on each half, and both sides as they were before, from the end of the top edge
    down to the hem, at x > 0; and the lean of their seams there.
    """

    angle: float
    front: Curve
    back: Curve
    lean: float

    def side(self, side: Curve) -> Array:
        """Return the affine (2, 3) that takes a side, or a part of it, to where it lies now."""
        return turned(float(side.start[0]), self.angle)

    def top_edge(self) -> Curve:
        """Return the top edge, from the back end to the front end."""
        back, front = (top_arc(float(side.start[0]), self.angle) for side in (self.back, self.front))
        return Curve.chain([_over_the_grain(back), front])

    def hem(self, length: float) -> Curve:
        """Return the hem, at ``length`` on the grain line, from the front seam to the back seam."""
        front, back = (fan_line(self._flat_hem(side, length), float(side.start[0]), self.angle, self.lean) for side in (self.front, self.back))
        return Curve.chain([front.reversed(), _over_the_grain(back).reversed()])

    def across(self, y: float) -> Curve:
        """Return the line across that was level at ``y``, from the back side to the front side."""
        back, front = (fan_line(Flat(y, y, 0.0, _at_height(side, y)), float(side.start[0]), self.angle) for side in (self.back, self.front))
        return Curve.chain([_over_the_grain(back), front])

    def unrolled(self, points: Array) -> Array:
        """Return where ``points`` (k, 2) lay before anything was spread, so that what ran level is level again."""
        halves = {sign: unrolled(points * (sign, 1), float(side.start[0]), self.angle) * (sign, 1) for sign, side in self._halves.items()}
        return np.where(points[:, :1] < 0, halves[-1], halves[1])

    def spread_by(self, points: Array) -> Array:
        """Return how much farther from the grain line, along the cloth, such ``points`` (k, 2) of the sleeve before lie since, (k,)."""
        tops = np.where(points[:, 0] < 0, float(self.back.start[0]), float(self.front.start[0]))
        wider: Array = self.angle * points[:, 1] * np.minimum(1.0, np.abs(points[:, 0]) / tops)
        return wider

    @property
    def _halves(self) -> dict[int, Curve]:
        return {1: self.front, -1: self.back}

    def _flat_hem(self, side: Curve, length: float) -> Flat:
        """Return half of the hem before it was spread: an arc, square to both seams."""
        (x, y) = side.end
        slash = min(float(side.start[0]), float(x))  # beyond the side the paper ends, and the arc might
        bend = 2 * math.sin(self.lean) / float(self.front.end[0] + self.back.end[0])
        if abs(bend) < _STRAIGHT:
            return Flat(length, float(y), 0.0, (float(x), float(y)))
        at_slash = math.asin(math.sin(self.lean) - (float(x) - slash) * bend)
        return Flat(length, float(y) + (math.cos(at_slash) - math.cos(self.lean)) / bend, -math.tan(at_slash), (float(x), float(y)))


def _over_the_grain(line: Curve) -> Curve:
    """Return the mirror image of half of a line, run towards the grain line."""
    return line.transformed(np.array([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])).reversed()


def _at_height(side: Curve, y: float) -> Point:
    met = side.crossings(Curve.line((-1e4, y), (1e4, y)))
    x, y = met[0].point if met else side.end
    return float(x), float(y)


def spread_to(hem: float, length: float, front: Curve, back: Curve, lean: float) -> Spread:
    """Return the spread with which the hem is ``hem`` long, at ``length`` on the grain line.

    Raises :class:`Refused` where that is more than the full circle.
    """

    def over(angle: float) -> float:
        return Spread(angle, front, back, lean).hem(length).length() - hem

    most = min(most_spread(side, float(side.start[0])) for side in (front, back))
    if over(most) < 0:
        raise Refused("flare beyond the circle", flare=hem, most=over(most) + hem)
    return Spread(root_between(over, _LEAST, most, _SOLVED), front, back, lean)
