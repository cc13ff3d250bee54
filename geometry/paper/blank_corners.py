"""Blank corners for several things that need not stand together, none over what is drawn or over another."""
from __future__ import annotations

from collections.abc import Sequence

from geometry.box import Box
from geometry.paper.ground import Ground, ground_of, together
from geometry.paper.tiling import Tiling, blank_corner


def blank_corners(
    laid: Sequence[tuple[Tiling, Ground]], wanted: Sequence[Sequence[tuple[float, float]]], gap: float, taken: Sequence[Box] = ()
) -> list[Box] | None:
    """Return room on sheets for each of what is ``wanted``, a list of sizes (width, height) that would do, the best first.

    It keeps ``gap`` from what is drawn, from the boxes ``taken`` and from each other, and is shown by one sheet only.  None
    where any finds no room.
    """
    found: list[Box] = []
    for sizes in wanted:
        held = ground_of([], [*taken, *found])
        corners = (blank_corner(tiling, together([ground, held]), sizes, gap) for tiling, ground in laid)
        corner = next((corner for corner in corners if corner is not None), None)
        if corner is None:
            return None
        found.append(corner)
    return found
