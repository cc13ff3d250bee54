"""How tier lines lie on the sleeve: level, sagging as the armhole does, or aslant; drawn from seam to seam, evenly apart on the grain line."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import norm
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.measuring.lengths import MARKS
from geometry.measuring.measurements import TABLE
from geometry.refusal import Refused
from geometry.sleeve.marks import TierLine, height_at_grain, hem_around, level_lines
from geometry.sleeve.outline import AT_CORNER, Outline
from geometry.sleeve.spacing import TierPlan
from geometry.sleeve.spread import Spread

#: What she may choose.
LEVEL, FOLLOWING, ASLANT = "level", "following", "aslant"

#: Between an end of a line aslant and the line above it or the hem, millimetres: a strip has to be sewn on there.
_LEAST_APART = 12.0

#: The least slant worth telling: what may be typed, to the next mark of her tape, whichever unit she works in.
LEAST_SLANT = float(TABLE["slant"].least) + max(MARKS.values())

#: Lines are laid to within this, millimetres.
_LAID = 1e-7


def lay_lines(
    outline: Outline, plan: TierPlan, layout: str = LEVEL, slant: float = 0.0, spread: Spread | None = None, casing: float = 0.0
) -> list[TierLine]:
    """Return the tier lines of a ``plan``, laid out as one of :data:`LEVEL`, :data:`FOLLOWING`, :data:`ASLANT`.

    A line at level 0 is the top edge itself, however it runs, and one on the stitching of a ``casing``, that far below the
    edge, is level whatever the lay-out.  ``slant`` is how much lower the front end of a line aslant is; 0: one spacing.
    On a sleeve that was ``spread`` level lines are bent with it, others can't be.  Raises :class:`Refused` where lines
    can't run so.
    """
    if spread and layout != LEVEL:
        raise Refused("spread lines are level")
    first = plan.levels[0]
    at_top = first <= casing + AT_CORNER
    levels = plan.levels[1:] if at_top else plan.levels
    if layout == FOLLOWING:
        below = following(outline, levels)
    elif layout == ASLANT:
        below = aslant(outline, levels, plan.end, slant or plan.spacing, casing)
    else:
        below = level_lines(outline, levels, spread)
    top = [outline.edge("top edge")] if first <= AT_CORNER else level_lines(outline, [first], spread)
    curves = [*top, *below] if at_top else below
    return [TierLine(number, curve) for number, curve in zip(plan.numbers, curves)]


# --- following the armhole ---------------------------------------------------------------------------


def following(outline: Outline, levels: Sequence[float]) -> list[Curve]:
    """Return lines that pass the grain line at ``levels`` and end at the underarm point or below it.

    The first of them ends at the underarm point, those below share the sag less and less, so that all are evenly
    apart along the underarm seam as they are along the grain line; level where the first already lies below the underarm.
    """
    if not levels:
        return []
    underarm = max(float(outline.corner(f"{side} underarm point")[1]) for side in ("front", "back"))
    first = levels[0]
    if first >= underarm:
        return level_lines(outline, levels)
    hem = hem_around(outline)
    rate = (min(float(hem.start[1]), float(hem.end[1])) - underarm) / (height_at_grain(hem) - first)
    heights = [underarm + rate * (level - first) for level in levels]
    sagging = [_sagging(ends.start, y, ends.end) for ends, y in zip(level_lines(outline, heights), levels)]
    for number, (line, across) in enumerate(zip(sagging, outline.across_many(sagging)), start=2):
        if max(norm(across.start - line.start), norm(across.end - line.end)) > AT_CORNER:
            raise Refused("line off its side", tier=number)
    return sagging


def _sagging(back: Array, y: float, front: Array) -> Curve:
    """Return a curve that is level at both ends, so that it runs on round the arm, and on the grain line, at ``y``."""
    middle = np.array([0.0, y])
    left, right = np.array([back[0] / 3, 0.0]), np.array([front[0] / 3, 0.0])
    return Curve(np.array([[back, back - left, middle + left, middle], [middle, middle + right, front - right, front]]))


# --- aslant ------------------------------------------------------------------------------------------


def aslant(outline: Outline, levels: Sequence[float], end: float, slant: float, casing: float = 0.0) -> list[Curve]:
    """Return straight lines through the grain line at ``levels``, the front end of each lower by ``slant``.

    Raises :class:`Refused` where an end would come too near to the top edge's or to ``end``, where the tiers end.
    """
    if not levels:
        return []
    if not _fits(outline, levels, end, slant, casing):
        least, most = 0.0, slant
        for _ in range(40):  # halving: what fits a slant fits a lesser one
            middle = (least + most) / 2
            least, most = (middle, most) if _fits(outline, levels, end, middle, casing) else (least, middle)
        if least < LEAST_SLANT:
            raise Refused("no room aslant", slant=slant)
        raise Refused("aslant too far", slant=slant, most=least)
    return [_slanting(outline, y, slant) for y in levels]


def _fits(outline: Outline, levels: Sequence[float], end: float, slant: float, casing: float) -> bool:
    """Whether the first line's back end stays clear of the top edge or its casing, and the last one's front end of where tiers end."""
    top = float(outline.corner("back top")[1]) + casing
    floor = min(end, float(outline.corner("front hem")[1]))
    try:
        first, last = (_slanting(outline, y, slant) for y in (levels[0], levels[-1]))
    except ValueError:
        return False
    return float(first.start[1]) - top >= _LEAST_APART and floor - float(last.end[1]) >= _LEAST_APART


def _slanting(outline: Outline, y: float, slant: float) -> Curve:
    """Return the line through (0, y) whose ends differ in height by ``slant``."""
    level = level_lines(outline, [y])[0]
    width = float(level.end[0] - level.start[0])

    def off(rise: float) -> float:
        line = outline.across(_through(y, rise))
        return float(line.end[1] - line.start[1]) - slant

    return outline.across(_through(y, root_between(off, 0.0, 2 * slant / width, _LAID)))


def _through(y: float, rise: float) -> Curve:
    return Curve.line((-1.0, y - rise), (1.0, y + rise))
