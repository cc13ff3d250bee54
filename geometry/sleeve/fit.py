"""The fit report: body against pattern at every level and tier line, and whether that is enough.

Everything here asks only an outline, levels and girths, so that it holds for an edited sleeve too.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from geometry.sleeve.arm import Level, nearest_girth
from geometry.sleeve.marks import (
    TierLine,
    body_level_line,
    body_level_lines,
    height_at_grain,
    hem_around,
    hem_girth,
    top_edge_height,
    underarm_line,
    width_of,
)
from geometry.sleeve.outline import Outline
from geometry.sleeve.rules import EASE_PRESETS


class Limit(NamedTuple):
    """Between which ease a place fits: in millimetres around the arm, and in percent of the body; both must hold.

    Why, is said in :mod:`extension.wording.notes`.
    """

    place: str
    least: float
    most: float
    least_percent: float
    most_percent: float


class Room(NamedTuple):
    """The least ease in millimetres at the upper arm and at the elbow, and the most anywhere (common practice, no source)."""

    upper_arm: float
    elbow: float
    most: float


_ROOM = {"adult": Room(15.0, 8.0, 170.0), "child": Room(10.0, 6.0, 120.0)}


def limits_for(wearer: str) -> dict[str, Limit]:
    """Return what is asked of the ease by the place on the sleeve, for an "adult" or a "child".

    In percent it is good from the close preset to the loose one; a hem is as wide as she wants it.  At the top edge
    the body is an estimate, and good is what lies within two standard deviations of it (4 cm on each sleeve, of the 260
    women named at :func:`geometry.sleeve.rules.around_arms_and_body`).
    """
    close, loose, room = EASE_PRESETS[wearer]["close"], EASE_PRESETS[wearer]["loose"], _ROOM[wearer]
    return {limit.place: limit for limit in (
        Limit("top edge", -40.0, 40.0, -25.0, 25.0),
        Limit("underarm", room.upper_arm, room.most, close.underarm, loose.underarm),
        Limit("upper arm", room.upper_arm, room.most, close.upper_arm, loose.upper_arm),
        Limit("elbow", room.elbow, room.most, close.elbow, loose.elbow),
        Limit("lower arm", room.elbow, room.most, close.elbow, loose.elbow),
        Limit("hem", 0.0, room.most, 0.0, loose.hem),
    )}  # fmt: skip


#: Two places nearer than this in height are one row, millimetres.
SAME_PLACE = 0.5

#: A width nearer than this to the drafted one is that, millimetres.
DRAWN_AS_DRAFTED = 0.5

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
        limit = self.limit
        if not self.closed:
            return "open"
        if self.ease < min(limit.least, 0.0) - _ROUNDING:
            return "too tight"
        if self.ease < limit.least - _ROUNDING or self.percent < limit.least_percent - _ROUNDING:
            return "tight"
        return "good" if self.ease <= limit.most + _ROUNDING and self.percent <= limit.most_percent + _ROUNDING else "full"


#: A hundredth of a millimetre, or of one in a hundred, short of a limit is rounding, not a misfit.
_ROUNDING = 0.01


def fit_rows(
    outline: Outline,
    levels: Sequence[Level],
    tiers: Sequence[TierLine],
    top_edge_body: float,
    wearer: str = "adult",
    deeper: Sequence[Level] = (),
) -> list[FitRow]:
    """Return a row for the top edge, the underarm, each of ``levels`` and each tier line, from the top down.

    ``levels`` are those of the arm with its girths, the hem last, and ``deeper`` those measured below it; one named "underarm" says nothing of
    the body and is overlooked.  ``top_edge_body`` is what arm and shoulders ask of one sleeve's top edge.  A
    level that the outline no longer reaches, or that lies above the underarm, has no row.
    """
    arm, limits = [level for level in levels if level.name != "underarm"], limits_for(wearer)
    top = top_edge_height(outline)
    underarm = _underarm_height(outline, levels)
    places = [("top edge", top, outline.sewn_length("top edge"))]
    measured = [("underarm", underarm), *((level.name, level.y) for level in arm[:-1] if level.y > underarm + SAME_PLACE)]
    places += [(name, y, width) for (name, y), width in zip(measured, _widths(outline, levels, measured)) if width]
    hem = height_at_grain(hem_around(outline))
    places.append((arm[-1].name, hem, hem_girth(outline)))
    places += [(f"tier {tier.number}", height_at_grain(tier.curve), tier.length) for tier in tiers]
    rows: list[FitRow] = []
    for name, y, pattern in _gathered(places):
        at_top_edge, below = y - top < SAME_PLACE, y >= underarm - SAME_PLACE
        share = 1.0 if below else (y - top) / (underarm - top)
        body = top_edge_body + share * (nearest_girth([*arm, *deeper], max(y, underarm)) - top_edge_body)
        rows.append(FitRow(name, y, body, pattern, limits[_place_of(arm, y, at_top_edge, underarm, hem)], at_top_edge or below))
    return rows


def _underarm_height(outline: Outline, levels: Sequence[Level]) -> float:
    """Return how far down the underarm lies: between its corners, or on the grain line where the sleeve was spread."""
    bent = next((level for level in levels if level.name == "underarm" and level.bend), None)
    line = None if bent is None else body_level_line(outline, bent)
    return float(underarm_line(outline).nodes[:, 1].mean()) if line is None else height_at_grain(line)


def _widths(outline: Outline, levels: Sequence[Level], measured: Sequence[tuple[str, float]]) -> list[float]:
    """Return how wide the sleeve is at each of the ``measured`` places (name, y): along the bent line where it was spread."""
    if levels and levels[-1].bend:
        bent = {level.name: line for level, line in zip(levels, body_level_lines(outline, levels))}
        return [width_of(outline, line) if (line := bent.get(name)) else 0.0 for name, _ in measured]
    return outline.widths_at([y for _, y in measured])


def _gathered(places: Sequence[tuple[str, float, float]]) -> list[tuple[str, float, float]]:
    """Return the places from the top down, those at one height as one with both names, the first given first however they are rounded."""
    gathered: list[tuple[str, float, float]] = []
    for name, y, pattern in places:
        same = next((i for i, (_, there, _) in enumerate(gathered) if abs(y - there) < SAME_PLACE), None)
        if same is None:
            gathered.append((name, y, pattern))
        else:
            names, there, wide = gathered[same]
            gathered[same] = (f"{names}, {name}", there, wide)
    return sorted(gathered, key=lambda place: place[1])


def _place_of(arm: Sequence[Level], y: float, at_top_edge: bool, underarm: float, hem: float) -> str:
    """Return the place whose limit holds at ``y``: that of the last measured level above it."""
    if at_top_edge:
        return "top edge"
    if y >= hem - SAME_PLACE:
        return "hem"
    if y <= underarm + SAME_PLACE:
        return "underarm"
    elbow = next((level.y for level in arm if level.name == "elbow"), arm[-1].y)
    if abs(y - elbow) < SAME_PLACE:
        return "elbow"
    return "upper arm" if y < elbow else "lower arm"


class Fullness(NamedTuple):
    """Why the sleeve is full at the underarm: the ``cause`` is "rule" (the bust rule's width), "cap width" (hers),
    "match" (solved for the bodice's armhole seams) or "ease" (as asked).

    ``ease`` is what there is and ``asked`` what was asked for, millimetres around the arm; ``cap_width`` is
    the cap width that would give that, 0 where the cap width is not the cause.
    """

    cause: str
    ease: float
    percent: float
    asked: float
    cap_width: float


def fullness_at_underarm(rows: Sequence[FitRow], levels: Sequence[Level], cause: str, least_width: float) -> Fullness | None:
    """Return why the sleeve is full at the underarm, or None where it is not, or no longer as it was drafted.

    ``levels`` begin with the underarm as drafted and end with the hem; ``cause`` says where its width came from.  A cap
    is at least ``least_width`` wide, so that an armhole is left.
    """
    row = next((row for row in rows if "underarm" in row.name.split(", ")), None)
    cap, *arm = levels
    widest = max(level.needed for level in levels[:-1])
    if row is None or row.verdict != "full" or abs(row.pattern - 2 * widest) > DRAWN_AS_DRAFTED:
        return None
    asked, limit = 2 * cap.ease, row.limit
    would = max(nearest_girth(arm, row.y), least_width)
    asked_full = asked > limit.most or 100 * asked / row.body > limit.most_percent
    if asked_full or widest > cap.needed or would >= cap.girth:
        return Fullness("ease", row.ease, row.percent, asked, 0.0)
    return Fullness(cause, row.ease, row.percent, asked, would if cause in ("rule", "cap width") else 0.0)
