"""What is cut from the base cloth beside the sleeves to finish their top edge: a band, facings, strips on the bias.

Lengths in millimetres; cloth lies as in :mod:`geometry.cloth.lay`, and outlines have the grain along y.
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from geometry.affine import Affine
from geometry.curves.curve import Curve
from geometry.pieces.band import edge_around
from geometry.pieces.piece import opened_out
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.top_edge import BOUND

#: Strips for a binding are cut in at most so many pieces, which lie closer than one long one.
MOST_PIECES = 4

#: What either end of such a piece takes up where it is joined, square to the end, millimetres (common practice, no source).
BIAS_JOIN = 6.0

#: How a band lies: along the grain, as its arrow says, or across it as well where that takes less cloth.
ALONG, LEAST = "along", "least"

#: A band's grain runs along it.
_UPRIGHT = Affine(0.0, 1.0, -1.0, 0.0, 0.0, 0.0)


class Beside(NamedTuple):
    """So many pieces of an ``outline``, as cut; of ``paired`` ones every second is mirrored, and some may lie ``across`` as well."""

    name: str
    outline: Curve
    number: int
    paired: bool = False
    across: bool = False


class Placed(NamedTuple):
    """One such piece on the cloth: the map that lays its outline there."""

    name: str
    outline: Curve
    placement: Affine

    @property
    def laid(self) -> Curve:
        """Its outline as it lies."""
        return self.outline.transformed(self.placement.matrix)


def dresses(sleeves: int) -> int:
    """Return for how many top edges so many sleeves are: two go to each.

    >>> [dresses(sleeves) for sleeves in (1, 2, 3, 4)]
    [1, 1, 2, 2]
    """
    return math.ceil(sleeves / 2)


def cut_beside(seam: Outline, settled: Settled, cut: Mapping[str, Curve], sleeves: int, across: bool) -> list[tuple[Beside, ...]]:
    """Return what is cut beside so many sleeves: one or several ways to do it, of which the one that takes least cloth is taken.

    ``cut`` are the cutting lines of the pieces by their names; a band may lie ``across`` the cloth where that saves some.
    """
    tops = dresses(sleeves)
    if settled.top.finish == BOUND:
        whole = edge_around(seam, settled)
        return [(Beside("binding", bias_strip(whole / n, settled.top.binding_cut), n * tops),) for n in range(1, MOST_PIECES + 1)]
    found = []
    if "band" in cut:
        band = opened_out(cut["band"]).transformed(_UPRIGHT.matrix)
        found.append(Beside("band", band, tops * (2 if settled.style.band_cut == "two-part" else 1), across=across))
    if "facing" in cut:
        found.append(Beside("facing", cut["facing"], sleeves, paired=True))
    return [tuple(found)]


def bias_length(length: float) -> float:
    """Return how long a strip on the bias is cut that is so long between its joins, measured along an edge."""
    return length + 2 * BIAS_JOIN * math.sqrt(2)


def bias_strip(length: float, width: float) -> Curve:
    """Return a strip cut on the true bias, so wide and so long between its joins, its ends along the grain so that joins run there.

    >>> strip = bias_strip(length=200.0, width=30.0)
    >>> round(abs(strip.signed_area()) / 30.0 - 200.0, 6) == round(2 * BIAS_JOIN * math.sqrt(2), 6)
    True
    """
    along, end = bias_length(length) / math.sqrt(2), width * math.sqrt(2)
    corners = [(0.0, 0.0), (along, along), (along, along + end), (0.0, end)]
    return Curve.polyline([*corners, corners[0]])
