"""The sleeve block: from what holds for a sleeve to the Body line and the Seam line.

All lengths are millimetres, in the frame of the sleeve: x across with the grain line at x = 0 and the
front at x > 0, y down from the top edge at y = 0.
"""
from __future__ import annotations

import math
from typing import Callable, NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.measuring.lengths import HAIR
from geometry.measuring.measurements import TABLE
from geometry.refusal import Refused
from geometry.sleeve.arm import Level
from geometry.sleeve.armhole import (
    LEAST_RUN,
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
from geometry.sleeve.outline import Outline, mirror_image
from geometry.sleeve.settling import LEAST_BELOW_UNDERARM, MOST_RAISE_BY_HEIGHT, BodiceSide, Settled
from geometry.sleeve.underarm import Note, Point, monotone_seam, seam_through, shaped_hem, underarm_angle

#: The underarm seam keeps at least this far from the grain line, however unlike front and back are.
LEAST_BESIDE_GRAIN = 15.0

#: From a height and a whole width at the underarm to the points that the underarm seam would run through.
PointsBelow = Callable[[float, float], "list[Point]"]


class Block(NamedTuple):
    """A drafted sleeve: two outlines, the levels they were drawn through, and what was decided.

    ``levels`` begin with the underarm and end with the hem; ``matches`` are the armhole seams that were
    made to fit the bodice's.
    """

    body: Outline
    seam: Outline
    levels: tuple[Level, ...]
    notes: tuple[Note, ...]
    cap_height: float
    matches: tuple[Match, ...]


def draft_block(settled: Settled) -> Block:
    """Return the block for what holds.  Raises :class:`Refused` where armholes, hem or halves can't be drawn."""
    cap, levels = settled.cap, [*settled.arm, settled.hem]
    hem_half = None if settled.style.shape == "fitted" else shaped_hem(settled)
    check_hand(settled, 2 * (hem_half or settled.hem.needed))

    def points_below(height: float, width: float) -> list[Point]:
        return seam_through(cap_of(height, width, cap.ease), levels, True, hem_half)[0]

    front, back = sides(settled, 2 * seam_through(cap, levels, True, hem_half)[0][0][0])
    limits = matching_limits(settled)
    armholes = place_armholes(front, back, settled, limits, points_below)
    matches = tuple(Match(side.name, side.armhole_seam) for side in (settled.front, settled.back) if side.armhole_seam)
    width = armholes.front_half + armholes.back_half
    notes = hem_notes(settled)
    if matches:
        notes.append(matched_note(settled.style.armhole_keep, armholes.height, width, limits))
        cap = cap_of(armholes.height, width, cap.ease)
    points, decided = seam_through(cap, levels, True, hem_half)
    body_points, _ = seam_through(cap, levels, False, None)
    check_shape(points, armholes, front)
    return Block(
        body=outline_through(body_points, body_armholes(armholes, body_points, front, back), front, back),
        seam=outline_through(points, armholes, front, back),
        levels=(cap, *levels),
        notes=(*notes, *decided),
        cap_height=armholes.height,
        matches=matches,
    )


def cap_of(height: float, width: float, ease: float) -> Level:
    """Return the underarm level at which the sleeve is so wide with its ease."""
    return Level("underarm", height, width - 2 * ease, ease)


# --- what can't be ---------------------------------------------------------------------------------


def check_hand(settled: Settled, closed_hem: float) -> None:
    """Raise :class:`Refused` where the hand must pass the closed hem and can't."""
    if closed_hem < settled.hand:
        raise Refused("hem too narrow for the hand", asked=settled.hem_asked, hem=closed_hem, hand=settled.hand, missing=settled.hand - closed_hem)


def check_shape(points: list[Point], armholes: Armholes, front: Side) -> None:
    """Raise :class:`Refused` where front and back are too unlike, or the front scoop too much for this armhole."""
    narrowest = min(x for x, _ in points)
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
    across = top_edge_across(settled.top_edge_width, share, settled.top_edge_raise)

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


def place_armholes(front: Side, back: Side, settled: Settled, limits: Limits, points_below: PointsBelow) -> Armholes:
    """Return where the armholes meet the underarm: by the rules, or solved for the seams of the bodice."""

    def arrival(front_half: float, back_half: float, height: float) -> float:
        chord = min(front.chord(front_half, height), back.chord(back_half, height))
        return underarm_angle(chord, points_below(height, front_half + back_half))

    height = settled.cap.y
    if not (front.seam or back.seam):
        return Armholes(front.usual_half, back.usual_half, height, arrival(front.usual_half, back.usual_half, height))
    if settled.style.armhole_keep == "height":
        return match_keeping_height(front, back, height, arrival, limits)
    return match_keeping_width(front, back, front.usual_half + back.usual_half, arrival, limits)


def matching_limits(settled: Settled) -> Limits:
    """Return between what an armhole may be solved: as she may type it, with room for the arm and for a sleeve below."""
    needed = 2 * max((level.needed for level in settled.arm), default=0.0)
    width, height = TABLE["cap_width"], TABLE["cap_height"]
    return Limits(
        least_width=max(needed, float(width.least)),
        most_width=float(width.most),
        least_height=max(float(height.least), settled.top_edge_raise / MOST_RAISE_BY_HEIGHT),
        most_height=min(float(height.most), settled.length - LEAST_BELOW_UNDERARM),
    )


def matched_note(kept: str, height: float, width: float, limits: Limits) -> Note:
    """Return what was ``kept`` ("height" or "width"), what was solved, and between what."""
    if kept == "height":
        return Note("matched, height kept", "", (height, width, limits.least_width, limits.most_width))
    return Note("matched, width kept", "", (width, height, limits.least_height, limits.most_height))


def body_armholes(armholes: Armholes, points: list[Point], front: Side, back: Side) -> Armholes:
    """Return the armholes of the Body line: as far before and behind the grain line as those of the Seam line."""
    apart = (armholes.front_half - armholes.back_half) / 2
    half = max(points[0][0], front.top_half - apart + LEAST_RUN, back.top_half + apart + LEAST_RUN)
    chord = min(front.chord(half + apart, armholes.height), back.chord(half - apart, armholes.height))
    return Armholes(half + apart, half - apart, armholes.height, underarm_angle(chord, [(half, armholes.height), *points[1:]]))


# --- the outline ------------------------------------------------------------------------------------


def hem_notes(settled: Settled) -> list[Note]:
    """Return what there is to say where the arm is fuller than the hem that was asked for."""
    asked, girth = settled.hem_asked, settled.hem.girth
    return [Note("hem widened", "hem", (asked, girth))] if girth > asked else []


def outline_through(points: list[Point], armholes: Armholes, front: Side, back: Side) -> Outline:
    """Return the outline with these armholes and an underarm seam through ``points`` (half width, y).

    Front and back underarm seam are mirror images, each moved aside by what its armhole asks for, so that
    they are equally long all the way down.
    """
    slope = -math.tan(armholes.arrival)
    (front_armhole, front_underarm), (back_armhole, back_underarm) = (
        (
            armhole_curve((side.top_half, side.top_drop), (half, armholes.height), armholes.arrival, side.scoop),
            monotone_seam([(half, armholes.height), *((x + half - points[0][0], y) for x, y in points[1:])], slope, 0.0),
        )
        for side, half in ((front, armholes.front_half), (back, armholes.back_half))
    )
    back_armhole, back_underarm = map(mirror_image, (back_armhole, back_underarm))
    return Outline({
        "top edge": top_edge_curve(back_armhole.end, front_armhole.start),
        "front armhole": front_armhole,
        "front underarm": front_underarm,
        "hem": Curve.line(front_underarm.end, back_underarm.start),
        "back underarm": back_underarm,
        "back armhole": back_armhole,
    })


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
