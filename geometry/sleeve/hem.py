"""The hem: an arc square to both underarm seams, so that it runs on without a corner when they are closed.

It lies lower at the seams where the sleeve tapers and higher where it flares; on the grain line it lies at the
sleeve's length.  Angles are radians by which a seam leans outward on its way down, below 0 where it tapers.
"""
from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import cross
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between

#: A place that a seam passes through: half width and y, millimetres.
Point = tuple[float, float]

#: A lean less than this is none, radians: over a metre it makes a millionth of a millimetre.
_PLUMB = 1e-9

#: The arc is drawn in pieces of at most this angle: a cubic strays from one by 7e-8 of the radius (Goldapp 1991,
#: "Approximation of circular arcs by cubic polynomials", CAGD 8, from memory).
_PIECE = math.pi / 8

#: Solved to this, millimetres.
_SOLVED = 1e-9

#: A curved hem that is turned up has an edge longer or shorter than the sleeve it comes to lie on.  Up to this share of
#: it that can be eased in or clipped; beyond it the hem is faced (common practice, no source).
MOST_EASED = 0.10


class Hem(NamedTuple):
    """Where the seam meets the hem: half width and y of that corner, and the seam's lean."""

    half: float
    y: float
    lean: float

    @property
    def finished(self) -> float:
        """The length of the whole hem, along it."""
        return 2 * self.half * _arc_to_chord(self.lean)

    def part(self, length: float) -> Hem:
        """Return the middle part of the hem, so long along it."""
        lean = self.lean * length / self.finished
        half = length / 2 / _arc_to_chord(lean)
        return Hem(half, self.y + self.half * math.tan(self.lean / 2) - half * math.tan(lean / 2), lean)


def _arc_to_chord(lean: float) -> float:
    """Return how much longer than its chord an arc is that turns by ``lean`` on each side."""
    return 1.0 if abs(lean) < _PLUMB else lean / math.sin(lean)


def finished_at(above: Point, length: float, lean: float) -> float:
    """Return the length of the hem, at ``length`` in its middle, of a seam that runs straight from ``above`` with this lean.

    From where the seam, the hem's chord and its tangent meet: half the chord is x cos a + h sin a.
    """
    sine = math.sin(lean)  # _arc_to_chord would ask for it again, and the seam is solved for by this
    return 2 * (above[0] * math.cos(lean) + (length - above[1]) * sine) * (1.0 if abs(lean) < _PLUMB else lean / sine)


def hem_below(above: Point, finished: float, length: float, least: float, most: float, aside: float = 0.0) -> Hem:
    """Return the hem that is ``finished`` long, square to a seam that runs straight to it from ``above``.

    Its lean is kept from ``least`` to ``most``, which must not be more than :func:`most_lean`; where that leaves no such
    hem, it is as near to ``finished`` as can be.  ``aside`` is how far its middle lies beside the grain line.
    """
    middle, lean = length, 0.0
    for _ in range(4 if aside else 1):
        lean = _lean(above, finished, middle, least, most)
        middle = length - (_sagitta(Hem(_half(above, middle, lean), 0.0, lean), aside) if aside else 0.0)
    half = _half(above, middle, lean)
    return Hem(half, middle - half * math.tan(lean / 2), lean)


def _half(above: Point, middle: float, lean: float) -> float:
    return finished_at(above, middle, lean) / 2 / _arc_to_chord(lean)


def _sagitta(hem: Hem, aside: float) -> float:
    """Return how much lower than its middle the arc lies ``aside`` of it."""
    if abs(hem.lean) < _PLUMB:
        return 0.0
    radius = -hem.half / math.sin(hem.lean)
    return radius - math.copysign(math.sqrt(max(radius**2 - aside**2, 0.0)), radius)


def _lean(above: Point, finished: float, middle: float, least: float, most: float) -> float:
    def over(lean: float) -> float:
        return finished_at(above, middle, lean) - finished

    at_least = over(least)
    if at_least >= 0:
        return least
    at_most = over(most)
    return most if at_most <= 0 else root_between(over, least, most, _SOLVED, ends=(at_least, at_most))


def most_lean(above: Point, length: float) -> float:
    """Return up to which lean the hem grows with it: a seam that is short beside the sleeve's width would eat up its
    own hem, which rises the more towards the seam the more that leans.

    Along it the hem's length is about x (1 - a²/3) + h a for a lean of a, greatest at 3 h / 2 x.
    """
    return min(math.pi / 4, 1.2 * (length - above[1]) / max(above[0], 1.0))


def hem_curve(hem: Hem, aside: float) -> Curve:
    """Return the hem from the front seam to the back seam, its middle ``aside`` of the grain line."""
    if abs(hem.lean) < _PLUMB:
        return Curve.line((aside + hem.half, hem.y), (aside - hem.half, hem.y))
    radius = hem.half / math.sin(hem.lean)  # below 0 where the centre lies below the hem
    centre = np.array([aside, hem.y - radius * math.cos(hem.lean)])
    count = max(2, 2 * math.ceil(abs(hem.lean) / _PIECE))
    angles = hem.lean * np.linspace(1, -1, count + 1)
    on = centre + radius * np.stack([np.sin(angles), np.cos(angles)], axis=1)
    along = radius * 4 / 3 * math.tan(hem.lean / count / 2) * np.stack([-np.cos(angles), np.sin(angles)], axis=1)
    return Curve(np.stack([on[:-1], on[:-1] + along[:-1], on[1:] - along[1:], on[1:]], axis=1))


def eased_share(hem: Curve, allowance: float) -> float:
    """Return by which share the edge of the allowance is longer (above 0) or shorter than the sleeve that it comes to lie
    on when it is turned up: a parallel of an edge that turns by an angle is longer by that angle times its distance.
    """
    return 2 * allowance * _turn(hem) / hem.length()


def _turn(hem: Curve) -> float:
    """Return by how much an edge turns in all, radians: above 0 where it bulges outward, as a flared hem does."""
    ahead: Array = hem.tangent(np.linspace(0, len(hem), 8 * len(hem) + 1))
    return float(np.arctan2(cross(ahead[:-1], ahead[1:]), (ahead[:-1] * ahead[1:]).sum(axis=1)).sum())
