"""Paper: the sizes that are sold, what a printer leaves of them, and pages that print true."""
from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.measuring.lengths import MILLIMETRES_PER
from geometry.refusal import Refused

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

_IN = MILLIMETRES_PER["in"]


class Paper(NamedTuple):
    """A size of paper, upright: ``width`` and ``height`` in millimetres, infinite where it is cut to what is on it."""

    name: str
    width: float
    height: float


#: A4 to A0: ISO 216:2007, trimmed sizes.  Letter and tabloid: ANSI/ASME Y14.1, sizes A and B.
#: Legal: common practice, no source.  "both" is the width of A4 and the height of letter, so that it
#: prints on either.
PAPERS = {
    "both": Paper("A4 or Letter", 210, 11 * _IN),
    "A4": Paper("A4", 210, 297),
    "A3": Paper("A3", 297, 420),
    "A2": Paper("A2", 420, 594),
    "A1": Paper("A1", 594, 841),
    "A0": Paper("A0", 841, 1189),
    "letter": Paper("Letter", 8.5 * _IN, 11 * _IN),
    "legal": Paper("Legal", 8.5 * _IN, 14 * _IN),
    "tabloid": Paper("Tabloid", 11 * _IN, 17 * _IN),
    "one_page": Paper("paper cut to the drawing", math.inf, math.inf),
}

ORIENTATIONS = ("better", "portrait", "landscape")

#: No page of a PDF is longer: 14 400 units of 1/72 in (ISO 32000-1:2008, annex C.2), less a little.
LONGEST_PAGE = 5000.0

#: PDF measures in points of 1/72 in (ISO 32000-1:2008, 8.3.2.3).
POINT = _IN / 72

#: A page is so little less than a whole number of points: Inkscape 1.4 rounds it up to whole points and
#: stretches what is on it by as much.  Whole to the last digit would not do, since the editor keeps
#: lengths in single precision, which is good to 0.001 points on the longest page, and rounds 2383.0001 up.
LESS = 0.002 * POINT

#: Inkscape 1.2 cuts a page's content off at the whole point below, right and at the bottom; so wide a margin it always has.
CUT_OFF = 0.4

#: The middle of a sheet, clear of the neighbours' overlaps and margins, is at least this wide and high,
#: so that there is room for its own lettering.
LEAST_MIDDLE = 25.0


class Printing(NamedTuple):
    """How she prints: ``margin`` is what the printer leaves white at every side, ``overlap`` what is glued."""

    paper: Paper
    orientation: str
    margin: float
    overlap: float

    @property
    def white(self) -> float:
        """The margin as it is: no less than what the editor cuts off."""
        return max(self.margin, CUT_OFF)

    def fitted(self, length: np.ndarray) -> np.ndarray:
        """Return the least printable widths or heights, of pages that print true, which hold these."""
        return whole_points(np.add(length, 2 * self.white), up=True) - 2 * self.white

    @property
    def longest(self) -> float:
        """What the longest page shows."""
        return float(whole_points(LONGEST_PAGE)) - 2 * self.white

    def printable(self) -> list[tuple[float, float]]:
        """Return the width and height that take print, for each orientation that is allowed.

        Raises :class:`Refused` where the margins and overlaps leave no middle.
        """
        sides = [float(side) - 2 * self.white for side in whole_points(self.paper[1:])]
        if min(sides) - 2 * (self.overlap + self.white) < LEAST_MIDDLE:
            raise Refused("paper too small")
        wide, high = sides
        upright, lying = (wide, high), (high, wide)
        if wide == high or self.orientation == "portrait":
            return [upright]
        return [lying] if self.orientation == "landscape" else [upright, lying]


def whole_points(length: ArrayLike, up: bool = False) -> Array:
    """Return the sides of pages that print true: the longest no longer than ``length``, or the shortest no shorter.

    Millimetres, any shape; infinite ones stay, and a point is the least.  A side that prints true already
    is returned as it is.
    """
    points = np.add(length, LESS) / POINT
    whole: Array = np.maximum(1.0, np.ceil(points - 1e-6) if up else np.floor(points + 1e-6))
    return whole * POINT - LESS
