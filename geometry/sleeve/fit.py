"""The fit report: body against pattern at every level and tier line, and whether that is enough.

Everything here asks only an outline, levels and girths, so that it holds for an edited sleeve too.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from geometry.sleeve.arm import Level, girth_at
from geometry.sleeve.marks import TierLine, height_at_grain, hem_around, hem_girth, top_edge_height
from geometry.sleeve.outline import Outline


class Limit(NamedTuple):
    """Between which ease, in millimetres around the arm, a place fits; why, is said in :mod:`extension.wording.notes`."""

    place: str
    least: float
    most: float


#: What is asked of the ease, by the place on the sleeve (common practice, no source).
LIMITS = {limit.place: limit for limit in (
    Limit("top edge", -5.0, 5.0),
    Limit("upper arm", 20.0, 150.0),
    Limit("elbow", 10.0, 150.0),
    Limit("lower arm", 10.0, 150.0),
    Limit("hem", 0.0, 150.0),
)}  # fmt: skip

#: Two places nearer than this in height are one row, millimetres.
SAME_PLACE = 0.5

#: What a verdict says; "open" is where the sleeve is no tube yet, above the underarm.
VERDICTS = ("too tight", "tight", "good", "full", "open")


class FitRow(NamedTuple):
    """One row of the report: where (mm below the top edge), body and pattern girth in mm, and the limit."""

    name: str
    y: float
    body: float
    pattern: float
    limit: Limit
    closed: bool

    @property
    def ease(self) -> float:
        """How much larger the pattern is, millimetres."""
        return self.pattern - self.body

    @property
    def percent(self) -> float:
        """The ease as a share of the body, in percent."""
        return 100 * self.ease / self.body

    @property
    def verdict(self) -> str:
        """One of :data:`VERDICTS`."""
        if not self.closed:
            return "open"
        if self.ease < min(self.limit.least, 0.0) - _ROUNDING:
            return "too tight"
        if self.ease < self.limit.least - _ROUNDING:
            return "tight"
        return "good" if self.ease <= self.limit.most + _ROUNDING else "full"


#: A hundredth of a millimetre short of a limit is rounding, not a misfit.
_ROUNDING = 0.01


def fit_rows(outline: Outline, levels: Sequence[Level], tiers: Sequence[TierLine], top_edge_girth: float) -> list[FitRow]:
    """Return a row for the top edge, the underarm, each of ``levels`` and each tier line, from the top down.

    ``levels`` are those of the arm with its girths, the hem last; one named "underarm" says nothing of
    the body and is overlooked.  ``top_edge_girth`` is what one sleeve covers of the off-shoulder girth.  A
    level that the outline no longer reaches, or that lies above the underarm, has no row.
    """
    arm = [level for level in levels if level.name != "underarm"]
    top = top_edge_height(outline)
    underarm = float(outline.corner("front underarm point")[1] + outline.corner("back underarm point")[1]) / 2
    places = [("top edge", top, outline.sewn_length("top edge"))]
    measured = [("underarm", underarm), *((level.name, level.y) for level in arm[:-1] if level.y > underarm + SAME_PLACE)]
    widths = outline.widths_at([y for _, y in measured])
    places += [(name, y, width) for (name, y), width in zip(measured, widths) if width]
    hem = height_at_grain(hem_around(outline))
    places.append((arm[-1].name, hem, hem_girth(outline)))
    places += [(f"tier {tier.number}", height_at_grain(tier.curve), tier.length) for tier in tiers]
    rows: list[FitRow] = []
    for name, y, pattern in sorted((place for place in places if place[2] is not None), key=lambda place: round(place[1], 3)):
        if rows and y - rows[-1].y < SAME_PLACE:
            rows[-1] = rows[-1]._replace(name=f"{rows[-1].name}, {name}")
            continue
        at_top_edge, below = y - top < SAME_PLACE, y >= underarm - SAME_PLACE
        body = _body_at(arm, y) if below else top_edge_girth + (y - top) / (underarm - top) * (_body_at(arm, underarm) - top_edge_girth)
        rows.append(FitRow(name, y, body, pattern, _limit_at(arm, y, at_top_edge, hem), at_top_edge or below))
    return rows


def _body_at(arm: Sequence[Level], y: float) -> float:
    girth = girth_at(arm, y)
    return arm[-1].girth if girth is None else girth


def _limit_at(arm: Sequence[Level], y: float, at_top_edge: bool, hem: float) -> Limit:
    """Return the limit that holds at ``y``: that of the last measured level above it."""
    if at_top_edge:
        return LIMITS["top edge"]
    if y >= hem - SAME_PLACE:
        return LIMITS["hem"]
    elbow = next((level.y for level in arm if level.name == "elbow"), arm[-1].y)
    if abs(y - elbow) < SAME_PLACE:
        return LIMITS["elbow"]
    return LIMITS["upper arm"] if y < elbow else LIMITS["lower arm"]
