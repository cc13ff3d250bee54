"""What a careful cutter checks with a tape before the pattern goes to the cloth."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.measuring.lengths import INCH
from geometry.sleeve.arm import Level, nearest_girth
from geometry.sleeve.draft import Draft
from geometry.sleeve.marks import (
    Notch,
    TierLine,
    below_top_edge,
    body_level_line,
    height_at_grain,
    hem_around,
    hem_girth,
    underarm_line,
    width_of,
)
from geometry.sleeve.openings import is_shaped, strange_corners
from geometry.sleeve.outline import EDGES, Outline
from geometry.sleeve.settling import BodiceSide

GOOD, LOOK, WRONG = "good", "look", "wrong"

#: How far front and back seams that are sewn together may differ, millimetres, and the range that makes
#: sense (common practice, no source).
TOLERANCE, MOST_TOLERANCE = 1.0, 20.0
#: The usual one, round on either tape.
USUAL_TOLERANCE = {"in": INCH / 32, "cm": 1.0}

#: Two corners that meet in a seam make a straight edge, 180 degrees, give or take this (common
#: practice, no source).
STRAIGHT_EDGE, EDGE_TOLERANCE = 180.0, 5.0

#: The finest mark of her tape, 1/8 in: less than that is not missing.
TAPE_MARK = 3.175

#: Rounding in the file makes equal seams differ by less than this, millimetres.
ROUNDING = 1e-3

#: Two tier lines that stand nearer than this are one drawn twice, millimetres.
SAME_TIER = 1.0


class Check(NamedTuple):
    """One thing that was measured: what ``kind``, of what (a level's name, a tier's number), a verdict,
    the numbers (millimetres, degrees), and the ``places`` (points) on the drawing to look at.
    """

    kind: str
    subject: str
    verdict: str
    numbers: tuple[float, ...]
    places: tuple[Array, ...]


def true_up(draft: Draft, adrift: Sequence[int] = (), tolerance: float = TOLERANCE) -> list[Check]:
    """Return every check of a sleeve as it is drawn, in the order in which it is worn, from the top edge down.

    ``adrift`` are the numbers of tier lines that do not run from seam to seam, ``tolerance`` is how far
    the underarm seams may differ, millimetres.
    """
    seam, hand = draft.seam, draft.settled.hand
    return [
        check_top_edge(draft),
        check_underarm_seams(seam, tolerance),
        check_edge(seam, "underarm", ("front underarm point", "back underarm point")),
        *([] if is_shaped(seam.edge("hem"), seam.openings("hem")) else [check_edge(seam, "hem", ("front hem", "back hem"))]),
        *(check_armhole(seam, side, tolerance) for side in (draft.settled.front, draft.settled.back) if side.armhole_seam),
        *check_openings(seam),
        *(check_level(seam, level, draft.arm) for level in draft.block.levels),
        *([check_hand(seam, hand)] if hand else []),
        *check_tiers(seam, draft.tiers, adrift, np.inf if draft.decided.plan.to_hem else draft.decided.plan.end),
        *check_notches(seam, draft.notches),
    ]


def check_top_edge(draft: Draft) -> Check:
    """Both top edges and both body edges go around the arms and the body: numbers are their sum, and the girth."""
    settled, girth = draft.settled, draft.settled.off_shoulder_girth
    top = draft.seam.edge("top edge")
    around = 2 * draft.seam.sewn_length("top edge") / settled.top.fullness + settled.front.edge + settled.back.edge
    missing = girth - around
    verdict = GOOD if abs(missing) <= TAPE_MARK else WRONG if missing > 0 else LOOK
    return Check("top edge", "top edge", verdict, (around, girth), (top.point(len(top) / 2),))


def check_underarm_seams(seam: Outline, tolerance: float) -> Check:
    """Front and back underarm seams are sewn together: numbers are both lengths and the tolerance."""
    sides = [seam.edge(f"{side} underarm") for side in ("front", "back")]
    front, back = (seam.sewn_length(f"{side} underarm") for side in ("front", "back"))
    longer = sides[0] if front > back else sides[1]
    verdict = GOOD if abs(front - back) <= tolerance + ROUNDING else WRONG
    return Check("underarm seams", "underarm", verdict, (front, back, tolerance), (longer.point(longer.at_length(longer.length() / 2)),))


def check_edge(seam: Outline, subject: str, corners: tuple[str, str]) -> Check:
    """Where the underarm seam closes, the edge runs on through both corners: numbers are the angles inside, degrees."""
    front, back = (seam.corner_angle(corner) for corner in corners)
    verdict = GOOD if abs(front + back - STRAIGHT_EDGE) <= EDGE_TOLERANCE else WRONG
    return Check("edge", subject, verdict, (front, back), tuple(seam.corner(corner) for corner in corners))


def check_armhole(seam: Outline, bodice: BodiceSide, tolerance: float) -> Check:
    """The armhole seam is as long as the bodice's and the ease asked for: numbers are sleeve, bodice, ease and tolerance."""
    name = f"{bodice.name} armhole"
    length = seam.sewn_length(name)
    off = abs(length - bodice.armhole_seam - bodice.ease)
    edge = seam.edge(name)
    place = edge.point(edge.at_length(edge.length() / 2))
    verdict = GOOD if off <= tolerance + ROUNDING else WRONG
    return Check("armhole", bodice.name, verdict, (length, bodice.armhole_seam, bodice.ease, tolerance), (place,))


def check_openings(seam: Outline) -> list[Check]:
    """Every dart and vent is named with what it takes in: numbers are its intake and its legs.  So are corners within a
    seam that are none, where what was meant can't be told.
    """
    checks = []
    for name in EDGES:
        checks += [Check("opening", name, GOOD, (o.intake, *o.legs), (o.tip,)) for o in seam.openings(name)]
        strange = strange_corners(seam.edge(name))
        if strange and name != "hem":
            checks.append(Check("strange corners", name, LOOK, (), tuple(strange)))
    return checks


def check_level(seam: Outline, level: Level, arm: Sequence[Level] = ()) -> Check:
    """The sleeve goes around the arm with ease: numbers are its width, the body's girth and the ease asked for.

    A level above the underarm is checked at the underarm; one that lies below the hem is only named.  The hem is
    compared with the ``arm`` where it is now.
    """
    line = body_level_line(seam, level)
    if line is None:
        if level.y > float(seam.edge("hem").nodes[:, 1].min()):
            return Check("off the sleeve", level.name, LOOK, (level.y,), tuple(seam.edge("hem").nodes[[0, -1]]))
        line = underarm_line(seam)
    girth, asked = level.girth, 2 * level.ease
    width = hem_girth(seam) if level.name == "hem" else width_of(seam, line)
    if level.name == "hem" and arm:
        girth = nearest_girth(arm, height_at_grain(line))
    ease = width - girth
    # The girth at the underarm is the rule's, not the body's, so too little is no proof of a misfit.
    narrow = LOOK if level.name == "underarm" else WRONG
    verdict = narrow if ease < 0 else LOOK if ease < asked - TAPE_MARK else GOOD
    return Check("level", level.name, verdict, (width, girth, asked), (line.start, line.end))


def check_hand(seam: Outline, hand: float) -> Check:
    """A closed hem passes the hand: numbers are hem and hand."""
    hem = seam.edge("hem")
    around = hem_girth(seam)
    return Check("hand", "hem", GOOD if around >= hand else WRONG, (around, hand), (hem.point(len(hem) / 2),))


def check_tiers(seam: Outline, tiers: Sequence[TierLine], adrift: Sequence[int], end: float = np.inf) -> list[Check]:
    """Every tier line runs from seam to seam, none crosses the next, and the last one's tier reaches the hem."""
    checks = [Check("adrift", str(tier.number), WRONG, (), (tier.curve.point(len(tier.curve) / 2),)) for tier in tiers if tier.number in adrift]
    standing = sorted(((below_top_edge(seam, tier.curve), tier) for tier in tiers if tier.number not in adrift), key=lambda pair: pair[0])
    for (above, upper), (below, lower) in zip(standing, standing[1:]):
        apart = upper.curve.nodes[:, 1].max() < lower.curve.nodes[:, 1].min()
        met = [] if apart and _straight(upper) and _straight(lower) else upper.curve.crossings(lower.curve)
        if met or below - above < SAME_TIER:
            place = met[0].point if met else lower.curve.point(len(lower.curve) / 2)
            first, second = sorted((upper.number, lower.number))
            checks.append(Check("crossing", f"{first} and {second}", WRONG, (below - above,), (place,)))
    open_ones = [tier for tier in tiers if tier.open > TAPE_MARK / 4 and tier.number not in adrift]
    checks += [Check("over an opening", str(tier.number), LOOK, (tier.open,), (tier.curve.start,)) for tier in open_ones]
    if standing:
        checks.append(check_last_tier(seam, standing, end))
    return checks


def _straight(tier: TierLine) -> bool:
    return len(tier.curve) == 1 and bool(tier.curve.is_straight(1e-6)[0])


def check_last_tier(seam: Outline, standing: Sequence[tuple[float, TierLine]], end: float = np.inf) -> Check:
    """Below the last line a tier as deep as the others covers the sleeve, down to the hem or to ``end`` below the top edge:
    numbers are the last section and the widest distance between two lines (0 where there is only one).
    """
    heights = [height for height, _ in standing]
    bottom = below_top_edge(seam, hem_around(seam))
    section = (end if heights[-1] < end < bottom else bottom) - heights[-1]
    widest = max(np.diff(heights), default=0.0)
    verdict = WRONG if section <= 0 else LOOK if widest and section > widest + TAPE_MARK else GOOD
    last = standing[-1][1]
    return Check("last tier", str(last.number), verdict, (section, float(widest)), (last.curve.start, last.curve.end))


def check_notches(seam: Outline, notches: Sequence[Notch]) -> list[Check]:
    """Return a check for each notch that its armhole seam has become too short for: numbers are distance and length."""
    checks = []
    for notch in notches:
        length = seam.sewn_length(f"{notch.side} armhole")
        if notch.from_underarm >= length:
            place = seam.corner(f"{notch.side} underarm point")
            checks.append(Check("notch", notch.side, WRONG, (notch.from_underarm, length), (place,)))
    return checks
