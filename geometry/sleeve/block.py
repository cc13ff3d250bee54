"""The sleeve block: from what holds for a sleeve to the Body line and the Seam line.

All lengths are millimetres, in the frame of the sleeve: x across with the grain line at x = 0 and the
front at x > 0, y down from the top edge at y = 0.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.measuring.lengths import HAIR
from geometry.measuring.measurements import TABLE
from geometry.refusal import Refused
from geometry.sleeve.arm import Level
from geometry.sleeve.armhole import (
    HOLLOW,
    LEAST_HOLLOW,
    SOLVED,
    Armholes,
    Limits,
    Match,
    Side,
    armhole_curve,
    match_keeping_height,
    match_keeping_width,
    most_scoop,
)
from geometry.sleeve.body_line import body_outline, hem_between
from geometry.sleeve.flare import Below, below_underarm, check_flare, flare_notes
from geometry.sleeve.hem import hem_curve
from geometry.sleeve.outline import Outline, mirror_image
from geometry.sleeve.rules import half_width
from geometry.sleeve.settling import LEAST_BELOW_UNDERARM, MOST_RAISE_BY_HEIGHT, BodiceSide, Settled
from geometry.sleeve.spread import Spread, spread_to
from geometry.sleeve.underarm import Note, Passed, Seam, Stop, TooWide, bent_from, draw_seam, slope_at_underarm

#: The underarm seam keeps at least this far from the grain line, however unlike front and back are.
LEAST_BESIDE_GRAIN = 15.0

#: What a level is drawn wider than asked is worth a note from the finest mark of a tape on, 1 mm.
WORTH_A_NOTE = 1.0


class Block(NamedTuple):
    """A drafted sleeve: two outlines, the levels they were drawn through, and what was decided.

    ``levels`` begin with the underarm and end with the hem; ``matches`` are the armhole seams that were
    made to fit the bodice's; ``spread`` is how it was spread for a wide flare, if it was.
    """

    body: Outline
    seam: Outline
    levels: tuple[Level, ...]
    notes: tuple[Note, ...]
    cap_height: float
    matches: tuple[Match, ...]
    spread: Spread | None = None


def draft_block(settled: Settled) -> Block:
    """Return the block for what holds.  Raises :class:`Refused` where armholes, hem or halves can't be drawn."""
    try:
        return _drafted(settled)
    except TooWide as wide:
        hem = settled.hem
        raise Refused("hem too wide for its seam", girth=hem.girth, ease=hem.ease, hem=2 * hem.needed, most=wide.most) from wide
    except Refused:
        raise
    except ValueError as error:  # edges that do not meet or run the wrong way: one sleeve in thousands of unlikely ones
        raise Refused("outline can't be drawn") from error


def _drafted(settled: Settled) -> Block:
    cap, levels = settled.cap._replace(girth=max(settled.cap.girth, settled.arm_at_underarm)), (*settled.arm, settled.hem)
    front, back = sides(settled, 2 * half_at_underarm(settled))
    limits = matching_limits(settled)
    check_below_underarm(settled, limits)
    armholes = place_armholes(front, back, settled, limits)
    matches = tuple(Match(side.name, side.armhole_seam) for side in (settled.front, settled.back) if side.armhole_seam)
    notes = hem_notes(settled)
    if matches:
        width = armholes.front_half + armholes.back_half
        notes.append(matched_note(settled.style.armhole_keep, armholes.height, width, limits))
        cap = cap_of(armholes.height, width, cap.ease)
    below, seam, passed = seam_below(settled, armholes)
    check_flare(below, seam)
    check_hand(settled, below.flare or seam.hem.finished)
    check_shape(seam, [level.girth / 2 for level in levels], armholes, front)
    drawn = Drawn(settled, seam, armholes, front, back, below.flare if below.flare > below.finished else 0.0)
    return Block(
        body=drawn.body((cap, *levels)),
        seam=drawn.outline(),
        levels=tuple(level._replace(bend=drawn.across(level.y)) for level in (cap, *levels)),
        notes=(*notes, *arm_notes(settled, bool(matches)), *passed_notes(passed), *flare_notes(below, seam)),
        cap_height=armholes.height,
        matches=matches,
        spread=drawn.spread,
    )


def cap_of(height: float, width: float, ease: float) -> Level:
    """Return the underarm level at which the sleeve is so wide with its ease."""
    return Level("underarm", height, width - 2 * ease, ease)


def half_at_underarm(settled: Settled) -> float:
    """Return half the width at the underarm: by the rule, or what the arm asks for there, or at the fullest level above the hem."""
    return max(settled.cap.needed, needed_at_underarm(settled), needed_by_arm(settled, settled.cap.y))


def needed_at_underarm(settled: Settled) -> float:
    """Return the half width that the arm at the underarm and the ease asked for there ask for."""
    return half_width("underarm", settled.arm_at_underarm, settled.cap.ease).result


def needed_by_arm(settled: Settled, height: float) -> float:
    """Return the half width that the arm asks for at an underarm at that height: of the fullest level above the hem, or
    between two levels there; where it widens from there to the hem, a little below, where the seam has turned from plumb to that.
    """
    if not settled.arm:
        return 0.0
    levels, turned = [*settled.arm, settled.hem], bent_from((0.0, height), 0.0, settled.length)[1]
    seen_from = turned if levels[-2].y <= turned and levels[-2].needed < levels[-1].needed else height
    there = float(np.interp(seen_from, [level.y for level in levels], [level.needed for level in levels]))
    return max(there, *(level.needed for level in settled.arm))


# --- what can't be ---------------------------------------------------------------------------------


def check_below_underarm(settled: Settled, limits: Limits) -> None:
    """Raise :class:`Refused` where a level that every arm has below the underarm lies above it, or as good as there."""
    solved = settled.style.armhole_keep == "width" and (settled.front.armhole_seam or settled.back.armhole_seam)
    height = limits.least_height if solved else settled.cap.y
    for level in below_every_underarm(settled):
        if level.y < height + LEAST_BELOW_UNDERARM - HAIR:
            name, least = level.name, height + LEAST_BELOW_UNDERARM
            raise Refused("level above the underarm", Name=name.capitalize(), name=name, level=level.y, cap=height, least=least)


def below_every_underarm(settled: Settled) -> list[Level]:
    """Return the levels that no body has above its underarm: all but that of the upper arm, which is measured where it is fullest."""
    return [level for level in settled.arm if level.name != "upper arm"]


def check_hand(settled: Settled, closed_hem: float) -> None:
    """Raise :class:`Refused` where the hand must pass the closed hem and can't."""
    if closed_hem < settled.hand - HAIR:
        raise Refused("hem too narrow for the hand", asked=settled.hem_asked, hem=closed_hem, hand=settled.hand, missing=settled.hand - closed_hem)


def check_shape(seam: Seam, girths: Sequence[float], armholes: Armholes, front: Side) -> None:
    """Raise :class:`Refused` where front and back are too unlike for the seam or for the arm within it (half ``girths``),
    or the front scoop is too much for this armhole.
    """
    narrowest = min(*(x for x, _ in seam.corners), *(girth + LEAST_BESIDE_GRAIN - SOLVED for girth in girths))
    apart = abs(armholes.front_half - armholes.back_half) / 2
    if narrowest - apart < LEAST_BESIDE_GRAIN:
        raise Refused("front and back too unlike", front=armholes.front_half, back=armholes.back_half, least=LEAST_BESIDE_GRAIN)
    most = most_scoop(armholes.front_half - front.top_half, armholes.height - front.top_drop, armholes.arrival)
    if front.scoop > max(most, 0.0) + HAIR:
        raise Refused("scooped too deep", scoop=front.scoop, over=front.scoop - max(most, 0.0))


# --- the armholes ------------------------------------------------------------------------------------


def sides(settled: Settled, width: float) -> tuple[Side, Side]:
    """Return front and back: what each has of the top edge and of the ``width`` at the underarm, and the seam it must have."""
    share = settled.style.front_share / 100
    across = top_edge_across(settled.top_edge_drawn, share, settled.top_edge_raise)

    def side(bodice: BodiceSide, part: float) -> Side:
        return Side(
            bodice.name,
            top_half=part * across,
            top_drop=settled.top_edge_raise,
            seam=bodice.armhole_seam + bodice.ease if bodice.armhole_seam else None,
            scoop=bodice.scoop,
            usual_half=part * width,
        )

    return side(settled.front, share), side(settled.back, 1 - share)


def place_armholes(front: Side, back: Side, settled: Settled, limits: Limits) -> Armholes:
    """Return where the armholes meet the underarm: by the rules, or solved for the seams of the bodice."""

    def arrival(front_half: float, back_half: float, height: float) -> float:
        underarm = underarm_stop(settled, height, front_half + back_half)
        chord = min(front.chord(front_half, height), back.chord(back_half, height))
        # The armholes meet the seam square, and are hollow against it.
        flattest, usual = (-math.tan(max(0.0, chord - hollow)) for hollow in (LEAST_HOLLOW, HOLLOW))
        below = below_underarm(settled, underarm, flattest)
        return math.atan(-slope_at_underarm(underarm, below.stops, below.finished, settled.length, flattest, below.held, usual))

    height = settled.cap.y
    if not (front.seam or back.seam):
        return Armholes(front.usual_half, back.usual_half, height, arrival(front.usual_half, back.usual_half, height))
    if settled.style.armhole_keep == "height":
        return match_keeping_height(front, back, height, arrival, limits)
    return match_keeping_width(front, back, front.usual_half + back.usual_half, arrival, limits)


def matching_limits(settled: Settled) -> Limits:
    """Return between what an armhole may be solved: as she may type it, with room for the arm and for a sleeve below."""
    fullest = max((level.needed for level in settled.arm), default=0.0)
    needed = 2 * (needed_by_arm(settled, settled.cap.y) if settled.style.armhole_keep == "height" else fullest)
    width, height = TABLE["cap_width"], TABLE["cap_height"]
    ends = (settled.length, *(level.y for level in below_every_underarm(settled)))
    return Limits(
        least_width=max(needed, float(width.least)),
        most_width=float(width.most),
        least_height=max(float(height.least), settled.top_edge_raise / MOST_RAISE_BY_HEIGHT),
        most_height=min([float(height.most), *(end - LEAST_BELOW_UNDERARM for end in ends)]),
    )


def matched_note(kept: str, height: float, width: float, limits: Limits) -> Note:
    """Return what was ``kept`` ("height" or "width"), what was solved, and between what."""
    if kept == "height":
        return Note("matched, height kept", "", (height, width, limits.least_width, limits.most_width))
    return Note("matched, width kept", "", (width, height, limits.least_height, limits.most_height))


# --- the underarm seam --------------------------------------------------------------------------------


def underarm_stop(settled: Settled, height: float, width: float) -> Stop:
    """Return where the underarm seam begins, for a whole width at that height; never narrower than the arm below."""
    return Stop("underarm", height, max(width / 2, needed_by_arm(settled, height)))


def seam_below(settled: Settled, armholes: Armholes) -> tuple[Below, Seam, tuple[Passed, ...]]:
    """Return what is asked of the underarm seam, the seam, which meets the armholes square, and what it passes wider."""
    underarm = underarm_stop(settled, armholes.height, armholes.front_half + armholes.back_half)
    flattest, apart = -math.tan(armholes.arrival), (armholes.front_half - armholes.back_half) / 2
    below = below_underarm(settled, underarm, flattest)
    seam, passed = draw_seam(underarm, below.stops, below.finished, settled.length, flattest, below.held, apart)
    levels = tuple(each for each in passed if not (below.flare and each.name == "hem"))  # how wide that is, the flare's note tells
    return below, seam._replace(departure=flattest), levels


# --- what was decided ---------------------------------------------------------------------------------


def hem_notes(settled: Settled) -> list[Note]:
    """Return what there is to say where the arm is fuller than the hem that was asked for."""
    asked, girth = settled.hem_asked, settled.hem.girth
    return [Note("hem widened", "hem", (asked, girth))] if girth > asked else []


def arm_notes(settled: Settled, matched: bool) -> list[Note]:
    """Return what there is to say where the arm is fuller than the rule's width or hers, or was measured above the underarm.

    Where the width was solved for a ``matched`` bodice, that is said by itself.
    """
    cap = settled.cap
    solved = matched and settled.style.armhole_keep == "height"
    asked, drawn = 2 * cap.needed, 2 * half_at_underarm(settled)
    notes = [] if solved or drawn - asked <= WORTH_A_NOTE else [_widened(settled, asked, drawn)]
    return notes + [Note("above underarm", level.name, (level.y, cap.y)) for level in settled.arm if level.y <= cap.y]


def _widened(settled: Settled, asked: float, drawn: float) -> Note:
    """Return why the underarm is wider than by the rule, or by her cap width: for a fuller level below it, or for the arm there."""
    kind = "cap width widened" if settled.cap_width_typed else "widened"
    widest = max(settled.arm, key=lambda level: level.needed, default=settled.cap)
    if 2 * widest.needed >= drawn - HAIR:
        return Note(kind, widest.name, (asked, drawn))
    if 2 * needed_at_underarm(settled) >= drawn - HAIR:
        return Note(f"{kind} for the arm there", "underarm", (asked, drawn))
    return Note(kind, "hem", (asked, drawn))


def passed_notes(passed: Sequence[Passed]) -> list[Note]:
    """Return a note for every level that the seam passes noticeably wider than was asked: whole widths."""
    return [Note(each.kind, each.name, (2 * each.asked, 2 * each.drawn)) for each in passed if 2 * (each.drawn - each.asked) > WORTH_A_NOTE]


# --- the outline ------------------------------------------------------------------------------------


class Drawn:
    """The lines of a sleeve: armholes and underarm seams by side, "front" and "back", run down and drawn at x > 0.

    Both underarm seams are the same seam, each moved aside by what its armhole asks for, so that they are equally long
    all the way down.  ``flare`` is the hem to spread to (0: nothing is spread).  Raises :class:`Refused` where a sleeve
    can't be spread.
    """

    def __init__(self, settled: Settled, seam: Seam, armholes: Armholes, front: Side, back: Side, flare: float) -> None:
        self.apart = (armholes.front_half - armholes.back_half) / 2
        self.armholes: dict[str, Curve] = {}
        self.seams: dict[str, Curve] = {}
        for side, half in ((front, armholes.front_half), (back, armholes.back_half)):
            end = (half, armholes.height)
            self.armholes[side.name] = armhole_curve((side.top_half, side.top_drop), end, armholes.arrival, side.scoop)
            self.seams[side.name] = seam.curve(half - seam.corners[0][0])
        back_top, front_top = (self.armholes[name].start * (sign, 1) for name, sign in (("back", -1), ("front", 1)))
        self.flat_top_edge = top_edge_curve(back_top, front_top)
        self.flat_hem, self.spread = seam.hem, None
        if flare:
            check_spread(settled, seam.hem.finished)
            before, behind = (Curve.chain([self.armholes[name], self.seams[name]]) for name in ("front", "back"))
            self.spread = spread_to(flare, settled.length, before, behind, seam.hem.lean)
        self.hem = self.spread.hem(settled.length) if self.spread else hem_curve(seam.hem, self.apart)

    def outline(self) -> Outline:
        """Return the Seam line."""
        top_edge, armholes, seams = self.flat_top_edge, self.armholes, self.seams
        if self.spread:
            top_edge = self.spread.top_edge()
            where = {name: self.spread.side(armholes[name]) for name in armholes}
            armholes, seams = ({name: line.transformed(where[name]) for name, line in lines.items()} for lines in (armholes, seams))
        return Outline({
            "top edge": top_edge,
            "front armhole": armholes["front"],
            "front underarm": seams["front"],
            "hem": self.hem,
            "back underarm": mirror_image(seams["back"]),
            "back armhole": mirror_image(armholes["back"]),
        })

    def body(self, levels: Sequence[Level]) -> Outline:
        """Return the Body line, which is never spread."""
        girth = levels[-1].girth
        hem = hem_between(self.hem, girth, self.apart) if self.spread else hem_curve(self.flat_hem.part(girth), self.apart)
        return body_outline(self.flat_top_edge, self.armholes, self.seams, hem, levels)

    def across(self, y: float) -> Curve | None:
        """Return how a level line runs across at ``y``, None where it is level."""
        return self.spread.across(y) if self.spread else None


def check_spread(settled: Settled, most: float) -> None:
    """Raise :class:`Refused` where the top edge, which a spread bends, must be straight, or is bent already."""
    if settled.style.finish == "elastic":
        raise Refused("casing on a spread top edge", flare=settled.flare_width, most=most)
    if settled.top_edge_raise:
        raise Refused("raised and spread top edge", flare=settled.flare_width, most=most, rise=settled.top_edge_raise)


def top_edge_across(top: float, share: float, rise: float) -> float:
    """Return how far apart the ends of a top edge lie that is ``top`` long along its curve."""
    if not rise:
        return top

    def over(across: float) -> float:
        return top_edge_curve(np.array([(share - 1) * across, rise]), np.array([share * across, rise])).length() - top

    return root_between(over, top - 2 * rise, top, SOLVED)  # the curve is longer than its chord, by less than up and down


def top_edge_curve(start: Array, end: Array) -> Curve:
    """Return the top edge between its ends: straight, or raised to y = 0 in the middle and level at its ends,
    where the bodice runs on.
    """
    if not start[1]:
        return Curve.line(start, end)
    middle = np.zeros(2)
    left, right = np.array([-start[0] / 3, 0.0]), np.array([end[0] / 3, 0.0])
    return Curve(np.array([[start, start + left, middle - left, middle], [middle, middle + right, end - right, end]]))
