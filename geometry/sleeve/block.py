"""The sleeve block: from measurements to the Body line and the Seam line.

Every rule of the trade stands here once.  All lengths are millimetres, in the frame of the sleeve:
x across with the grain line at x = 0 and the front at x > 0, y down from the top edge at y = 0.
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Callable, NamedTuple

import numpy as np

from geometry.curves.curve import Curve
from geometry.curves.roots import root_between
from geometry.measuring.lengths import INCH, write_length
from geometry.measuring.measurements import TABLE, Style
from geometry.refusal import Refused
from geometry.sleeve.arm import Level, hand_must_pass, measured_levels, settle, sleeve_levels
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
from geometry.sleeve.underarm import Note, monotone_seam, seam_through, shaped_hem, underarm_angle

# --- Rules of the trade (common practice, no source) ---------------------------------------------


def body_edge(shoulder_width: float, reduction: float) -> float:
    """Return the length of the bodice's top edge, front or back: shoulder width less a reduction."""
    return shoulder_width - reduction


def top_edge_width(off_shoulder_girth: float, front_edge: float, back_edge: float) -> float:
    """Return the width of one sleeve's top edge: what the two body edges leave of the girth, halved."""
    return (off_shoulder_girth - front_edge - back_edge) / 2


def rule_cap_height(bust_girth: float) -> float:
    """Return the underarm level below the top edge: bust / 12 + 1 in."""
    return bust_girth / 12 + INCH


def rule_cap_half_width(bust_girth: float) -> float:
    """Return the half width at the underarm level before ease: bust / 6 + 1 1/2 in."""
    return bust_girth / 6 + 1.5 * INCH


# --- How the curves are shaped (our own choices) ---------------------------------------------------

#: The least sleeve below the underarm level.
LEAST_BELOW_UNDERARM = 10.0

#: The underarm seam keeps at least this far from the grain line, however unlike front and back are.
LEAST_BESIDE_GRAIN = 15.0

#: The top edge rises at most this share of its width, so that its slope stays gentle, and of the cap height,
#: so that the armhole keeps most of it.
MOST_RAISE_BY_WIDTH, MOST_RAISE_BY_HEIGHT = 1 / 8, 1 / 3



class Block(NamedTuple):
    """A drafted sleeve: two outlines, the levels they were drawn through, and what was decided."""

    body: Outline
    seam: Outline
    levels: tuple
    notes: tuple
    top_edge_width: float
    front_edge: float
    back_edge: float
    cap_height: float
    length: float
    matches: tuple


def draft_block(m: Mapping[str, float], unit: str = "cm", style: Style = Style()) -> Block:
    """Return the block for the measurements ``m`` (millimetres, named as in ``measurements.TABLE``).

    Raises :class:`Refused` with a sentence, in ``unit``, that names the measurements at odds.
    """
    front_edge, back_edge = body_edges(m)
    top = top_edge_width(m["off_shoulder_girth"], front_edge, back_edge)
    cap = rule_cap(m)
    m = settle(m, style, cap.y, unit)
    check_proportions(m, style, (front_edge, back_edge), top, cap, unit)
    levels = sleeve_levels(m)
    hem_half = None if style.shape == "fitted" else shaped_hem(m, style, cap, levels, unit)
    check_hand(m, style, 2 * (hem_half or levels[-1].needed), unit)

    def points_below(height: float, width: float) -> list:
        return seam_through(cap_of(height, width, cap.ease), levels, True, hem_half)[0]

    front, back = sides(m, style, top, 2 * seam_through(cap, levels, True, hem_half)[0][0][0])
    limits = matching_limits(m, levels)
    armholes = place_armholes(front, back, cap, limits, style, points_below, unit)
    matches = tuple(Match(side.name, m[f"{side.name}_armhole_seam"]) for side in (front, back) if side.seam)
    width = armholes.front_half + armholes.back_half
    notes = hem_notes(m, levels)
    if matches:
        notes.append(matched_note(style, armholes.height, width, limits))
        cap = cap_of(armholes.height, width, cap.ease)
    points, decided = seam_through(cap, levels, True, hem_half)
    body_points, _ = seam_through(cap, levels, False, None)
    check_shape(points, armholes, front, m, unit)
    return Block(
        body=outline_through(body_points, body_armholes(armholes, body_points, front, back), front, back),
        seam=outline_through(points, armholes, front, back),
        levels=(cap, *levels),
        notes=(*notes, *decided),
        top_edge_width=top,
        front_edge=front_edge,
        back_edge=back_edge,
        cap_height=armholes.height,
        length=m["sleeve_length"],
        matches=matches,
    )


def body_edges(m: Mapping[str, float]) -> tuple[float, float]:
    """Return the top edges of the bodice, front and back: hers, or by the rule."""
    rule = body_edge(m["shoulder_width"], m["body_edge_reduction"])
    return m["front_body_edge"] or rule, m["back_body_edge"] or rule


def rule_cap(m: Mapping[str, float]) -> Level:
    """Return the underarm level: hers, or by the rules."""
    half = m["cap_width"] / 2 or rule_cap_half_width(m["bust_girth"])
    return Level("underarm", m["cap_height"] or rule_cap_height(m["bust_girth"]), 2 * half, m["ease_cap"])


def cap_of(height: float, width: float, ease: float) -> Level:
    """Return the underarm level at which the sleeve is so wide with its ease."""
    return Level("underarm", height, width - 2 * ease, ease)


# --- what can't be ---------------------------------------------------------------------------------


def check_proportions(m: Mapping[str, float], style: Style, edges: tuple[float, float], top: float, cap: Level, unit: str) -> None:
    """Raise :class:`Refused` unless the measurements make a sleeve together."""

    def say(length: float) -> str:
        return write_length(length, unit)

    def refuse(sentence: str) -> None:
        raise Refused(sentence)

    length, height = m["sleeve_length"], cap.y
    if min(edges) <= 0:
        refuse(
            f"Shoulder width {say(m['shoulder_width'])} less the body edge reduction"
            f" {say(m['body_edge_reduction'])} leaves no body edge. Make the reduction smaller."
        )
    if top <= 0:
        by_rule = "" if m["front_body_edge"] and m["back_body_edge"] else f" (by the rule, shoulder width less {say(m['body_edge_reduction'])})"
        refuse(
            f"Off-shoulder girth: {say(m['off_shoulder_girth'])} was read, but the two body edges alone"
            f" take {say(sum(edges))}{by_rule}, which leaves"
            " nothing for the sleeves. Measure again around both arms and the body, or check the shoulder width."
        )
    if cap.girth / 2 - top / 2 < LEAST_RUN:
        refuse(
            f"The top edge of the sleeve would be {say(top)} wide and the sleeve at the underarm only"
            f" {say(cap.girth)}, so no armhole is left. Check the off-shoulder girth"
            f" ({say(m['off_shoulder_girth'])}) against the bust girth ({say(m['bust_girth'])}) and the cap width."
        )
    if height >= length - LEAST_BELOW_UNDERARM:
        refuse(
            f"Sleeve length: {say(length)} was read, but the underarm already lies {say(height)} below the top edge"
            f" (the cap height). A sleeve needs at least {say(height + LEAST_BELOW_UNDERARM)}; lengthen it or type a smaller cap height."
        )
    most_raise = min(MOST_RAISE_BY_WIDTH * top, MOST_RAISE_BY_HEIGHT * height)
    if m["top_edge_raise"] > most_raise:
        refuse(
            f"Raise of the top edge: {say(m['top_edge_raise'])} was read. A top edge {say(top)} wide on a cap {say(height)} deep can be raised"
            f" {say(most_raise)} at the most and stay smooth."
        )
    for level in measured_levels(m) if style.length_style == "as measured" else ():
        if level.name != "wrist" and level.y >= length:
            refuse(
                f"{level.name.capitalize()} level: {say(level.y)} was read, which is not above the hem at {say(length)} (the sleeve length)."
                " Both are measured from the top edge down."
            )


def check_hand(m: Mapping[str, float], style: Style, closed_hem: float, unit: str) -> None:
    """Raise :class:`Refused` where the hand must pass the closed hem and can't."""
    hand = m["hand_girth"]
    if hand_must_pass(m, style) and closed_hem < hand:
        raise Refused(
            f"Hem girth: {write_length(m['hem_girth'], unit)} with its ease makes a closed hem of {write_length(closed_hem, unit)}, but the hand"
            f" measures {write_length(hand, unit)} and has to pass. Widen the hem by {write_length(hand - closed_hem, unit)}, or give 0 as the hand"
            " girth if the hem opens."
        )


def check_shape(points: list, armholes: Armholes, front: Side, m: Mapping[str, float], unit: str) -> None:
    """Raise :class:`Refused` where front and back are too unlike, or the front scoop too much for this armhole."""
    narrowest = min(x for x, _ in points)
    apart = abs(armholes.front_half - armholes.back_half) / 2
    if narrowest - apart < LEAST_BESIDE_GRAIN:
        raise Refused(
            f"Front and back are too unlike: at the underarm they measure {write_length(armholes.front_half, unit)} and"
            f" {write_length(armholes.back_half, unit)} from the grain line, and where the sleeve is narrowest one of them would keep less than"
            f" {write_length(LEAST_BESIDE_GRAIN, unit)}. Check the armhole seams of the bodice and the share of the front."
        )
    most = most_scoop(armholes.front_half - front.top_half, armholes.height - front.top_drop, armholes.arrival)
    if m["front_scoop"] > most:
        raise Refused(
            f"Front scoop: {write_length(m['front_scoop'], unit)} was read. This armhole can be scooped {write_length(max(most, 0.0), unit)} deeper"
            " at the most before it would bend back on itself."
        )


# --- the armholes ------------------------------------------------------------------------------------


def sides(m: Mapping[str, float], style: Style, top: float, width: float) -> tuple[Side, Side]:
    """Return front and back: what each has of the top edge and of the ``width`` at the underarm, and the seam it must have."""
    share = style.front_share / 100
    across = top_edge_across(top, share, m["top_edge_raise"])
    return tuple(
        Side(
            name,
            top_half=part * across,
            top_drop=m["top_edge_raise"],
            seam=m[f"{name}_armhole_seam"] + m["armhole_ease"] / 2 if m[f"{name}_armhole_seam"] else None,
            scoop=scoop,
            usual_half=part * width,
        )
        for name, part, scoop in (("front", share, m["front_scoop"]), ("back", 1 - share, 0.0))
    )


def place_armholes(front: Side, back: Side, cap: Level, limits: Limits, style: Style, points_below: Callable, unit: str) -> Armholes:
    """Return where the armholes meet the underarm: by the rules, or solved for the seams of the bodice.

    ``points_below`` (height, whole width) tells through which points the underarm seam would then run.
    """

    def arrival(front_half: float, back_half: float, height: float) -> float:
        chord = min(front.chord(front_half, height), back.chord(back_half, height))
        return underarm_angle(chord, points_below(height, front_half + back_half))

    if not (front.seam or back.seam):
        return Armholes(front.usual_half, back.usual_half, cap.y, arrival(front.usual_half, back.usual_half, cap.y))
    if style.armhole_keep == "height":
        return match_keeping_height(front, back, cap.y, arrival, limits, unit)
    return match_keeping_width(front, back, front.usual_half + back.usual_half, arrival, limits, unit)


def matching_limits(m: Mapping[str, float], levels: list[Level]) -> Limits:
    """Return between what an armhole may be solved: as she may type it, with room for the arm and for a sleeve below."""
    needed = 2 * max((level.needed for level in levels[:-1]), default=0.0)
    width, height = TABLE["cap_width"], TABLE["cap_height"]
    return Limits(
        least_width=max(needed, width.least),
        most_width=width.most,
        least_height=max(height.least, m["top_edge_raise"] / MOST_RAISE_BY_HEIGHT),
        most_height=min(height.most, m["sleeve_length"] - LEAST_BELOW_UNDERARM),
    )


def matched_note(style: Style, height: float, width: float, limits: Limits) -> Note:
    """Return what was kept, what was solved, and between what."""
    if style.armhole_keep == "height":
        return Note("matched, height kept", "", (height, width, limits.least_width, limits.most_width))
    return Note("matched, width kept", "", (width, height, limits.least_height, limits.most_height))


def body_armholes(armholes: Armholes, points: list, front: Side, back: Side) -> Armholes:
    """Return the armholes of the Body line: as far before and behind the grain line as those of the Seam line."""
    apart = (armholes.front_half - armholes.back_half) / 2
    half = max(points[0][0], front.top_half - apart + LEAST_RUN, back.top_half + apart + LEAST_RUN)
    chord = min(front.chord(half + apart, armholes.height), back.chord(half - apart, armholes.height))
    return Armholes(half + apart, half - apart, armholes.height, underarm_angle(chord, [(half, armholes.height), *points[1:]]))


# --- the outline ------------------------------------------------------------------------------------


def hem_notes(m: Mapping[str, float], levels: list[Level]) -> list[Note]:
    hem = levels[-1]
    return [Note("hem widened", "hem", (m["hem_girth"], hem.girth))] if hem.girth > m["hem_girth"] else []


def outline_through(points: list, armholes: Armholes, front: Side, back: Side) -> Outline:
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


def top_edge_curve(start: np.ndarray, end: np.ndarray) -> Curve:
    """Return the top edge between its ends: straight, or raised to y = 0 in the middle and level at its ends,
    where the bodice runs on.
    """
    if not start[1]:
        return Curve.line(start, end)
    middle = np.zeros(2)
    left, right = np.array([-start[0] / 3, 0.0]), np.array([end[0] / 3, 0.0])
    return Curve(np.array([[start, start + left, middle - left, middle], [middle, middle + right, end - right, end]]))
