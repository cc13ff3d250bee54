"""Elliptical arcs as cubics."""
from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import straight

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

#: A cubic strays from a circular arc of angle a by 2/27 sin^6(a/4) / cos^2(a/4) of the radius (Goldapp 1991,
#: "Approximation of circular arcs by cubic polynomials", CAGD 8, from memory): 4.2e-6 for an eighth of a turn,
#: some thousandths of a millimetre in a radius of a metre.
_PIECE = math.pi / 4


def arc_segments(
    start: ArrayLike, radii: ArrayLike, turned: float, large: bool, sweep: bool, end: ArrayLike
) -> Array:
    """Return as cubics of shape (n, 4, 2) the elliptical arc from ``start`` to ``end``.

    The arguments are those of a path's A command, ``turned`` in degrees; radii that are too small are
    enlarged and a radius of zero gives a straight line (SVG 2, appendix B.2.4 and B.2.5).  A start that
    is the end gives no segment.
    """
    here, there = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    half_axes = np.abs(np.asarray(radii, dtype=float))
    if (here == there).all():
        return np.empty((0, 4, 2))
    if not half_axes.all():
        return straight(here[None], there[None])

    # In these coordinates the ellipse is the unit circle.
    cosine, sine = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    turn = np.array([[cosine, -sine], [sine, cosine]])
    first, last = here @ turn / half_axes, there @ turn / half_axes
    half = (last - first) / 2
    half_chord = math.hypot(*half)
    if half_chord > 1:
        half_axes, first, last, half = half_axes * half_chord, first / half_chord, last / half_chord, half / half_chord
        half_chord = 1.0
    to_centre = math.sqrt(1 - half_chord**2) / half_chord * (1 if large != sweep else -1)
    centre = (first + last) / 2 + to_centre * np.array([-half[1], half[0]])

    begin, finish = (math.atan2(y, x) for x, y in (first - centre, last - centre))
    angle = (finish - begin) % (2 * math.pi) - (0 if sweep else 2 * math.pi)
    pieces = math.ceil(abs(angle) / _PIECE)
    angles = begin + angle * np.arange(pieces + 1) / pieces
    on = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    handle = 4 / 3 * math.tan(angle / pieces / 4) * np.stack([-on[:, 1], on[:, 0]], axis=1)
    circle = centre + np.stack([on[:-1], on[:-1] + handle[:-1], on[1:] - handle[1:], on[1:]], axis=1)
    segments: Array = circle * half_axes @ turn.T
    segments[0, 0], segments[-1, 3] = here, there
    return segments
