"""The sleeve block: from measurements to the Body line and the Seam line.

Every rule of the trade stands here once.  All lengths are millimetres, in the frame of the sleeve:
x across with the grain line at x = 0 and the front at x > 0, y down from the head at y = 0.
"""
from __future__ import annotations

import math
from typing import Mapping, NamedTuple

import numpy as np

from geometry.curves import Curve
from geometry.lengths import write_length
from geometry.outline import Outline
from geometry.refusal import Refused

INCH = 25.4

# --- Rules of the trade (common practice, no source) ---------------------------------------------


def body_edge(shoulder_width: float, reduction: float) -> float:
    """Return the length of the bodice's top edge, front or back: shoulder width less a reduction."""
    return shoulder_width - reduction


def head_width(off_shoulder_girth: float, front_edge: float, back_edge: float) -> float:
    """Return the width of one sleeve's top edge: what the two body edges leave of the girth, halved."""
    return (off_shoulder_girth - front_edge - back_edge) / 2


def rule_cap_depth(bust_girth: float) -> float:
    """Return the underarm level below the head: bust / 12 + 1 in."""
    return bust_girth / 12 + INCH


def rule_cap_half_width(bust_girth: float) -> float:
    """Return the half width at the underarm level before ease: bust / 6 + 1 1/2 in."""
    return bust_girth / 6 + 1.5 * INCH


# --- How the curves are shaped (our own choices) ---------------------------------------------------

#: How far the armhole curve leans away from its chord at either end, where nothing else decides:
#: enough to be slightly hollow, little enough to be shallow (about 1/16 of the chord).
HOLLOW = math.radians(14)

#: The armhole leaves the head no flatter than this, measured from the head's own direction, so that
#: the corner (180° less this) can be trued against a bodice: 120° at the most.
STEEPEST_CORNER = math.radians(60)

#: The seam between two levels stays monotone while its end slope is at most three times the chord's
#: (Fritsch and Carlson 1980, SIAM Journal on Numerical Analysis 17(2)); half of that looks calm.
CALM_SLOPE = 1.5

#: The least by which the underarm must stand out beyond the head on each side: less leaves no armhole.
LEAST_ARMHOLE_RUN = 5.0

#: The least sleeve below the underarm level.
LEAST_BELOW_UNDERARM = 10.0

#: A level where the underarm seam would turn outward by more than this, chord to chord, makes a hook
#: that neither sews nor presses flat.
SHARPEST_TURN = math.radians(25)

MIRROR = np.array([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


class Level(NamedTuple):
    """A height at which the body was measured: body girth and ease on each half, millimetres."""

    name: str
    y: float
    girth: float
    ease: float

    @property
    def needed(self) -> float:
        """The half width that the body and its ease ask for."""
        return self.girth / 2 + self.ease


class Note(NamedTuple):
    """Something the draft decided that she should know: a kind, the level's name, and lengths (mm)."""

    kind: str
    level: str
    lengths: tuple = ()


class Block(NamedTuple):
    """A drafted sleeve: two outlines, the levels they were drawn through, and what was decided."""

    body: Outline
    seam: Outline
    levels: tuple
    notes: tuple
    head_width: float
    body_edge: float
    cap_depth: float
    length: float


def draft_block(m: Mapping[str, float], unit: str = "cm") -> Block:
    """Return the block for the measurements ``m`` (millimetres, named as in ``measurements.TABLE``).

    Raises :class:`Refused` with a sentence, in ``unit``, that names the measurements at odds.
    """
    edge = body_edge(m["shoulder_width"], m["body_edge_reduction"])
    head = head_width(m["off_shoulder_girth"], edge, edge)
    depth = m["cap_depth"] or rule_cap_depth(m["bust_girth"])
    half_cap = m["cap_width"] / 2 or rule_cap_half_width(m["bust_girth"])
    check_proportions(m, edge, head, depth, half_cap, unit)
    levels = arm_levels(m)

    cap = Level("underarm", depth, 2 * half_cap, m["ease_cap"])
    seam_points, notes = seam_through(cap, levels, eased=True)
    body_points, _ = seam_through(cap, levels, eased=False)
    return Block(
        body=symmetric_outline(head / 2, body_points),
        seam=symmetric_outline(head / 2, seam_points),
        levels=(cap, *levels),
        notes=tuple(notes),
        head_width=head,
        body_edge=edge,
        cap_depth=depth,
        length=m["sleeve_length"],
    )


def arm_levels(m: Mapping[str, float]) -> list[Level]:
    """Return the levels below the underarm in which the arm was measured, from the top down."""
    levels = [Level("upper arm", m["upper_arm_level"], m["upper_arm_girth"], m["ease_upper_arm"])]
    if m["elbow_girth"] and m["elbow_level"]:
        levels.append(Level("elbow", m["elbow_level"], m["elbow_girth"], m["ease_elbow"]))
    levels.append(Level("hem", m["sleeve_length"], m["hem_girth"], m["ease_hem"]))
    return levels


def check_proportions(m: Mapping[str, float], edge: float, head: float, depth: float, half_cap: float, unit: str) -> None:
    """Raise :class:`Refused` unless the measurements make a sleeve together."""

    def say(length: float) -> str:
        return write_length(length, unit)

    def refuse(sentence: str) -> None:
        raise Refused(sentence)

    length, hem, hand = m["sleeve_length"], m["hem_girth"], m["hand_girth"]
    if edge <= 0:
        refuse(
            f"Shoulder width {say(m['shoulder_width'])} less the body edge reduction"
            f" {say(m['body_edge_reduction'])} leaves no body edge. Make the reduction smaller."
        )
    if head <= 0:
        refuse(
            f"Off-shoulder girth: {say(m['off_shoulder_girth'])} was read, but the two body edges alone"
            f" take {say(2 * edge)} (twice shoulder width less {say(m['body_edge_reduction'])}), which leaves"
            " nothing for the sleeves. Measure again around both arms and the body, or check the shoulder width."
        )
    if half_cap - head / 2 < LEAST_ARMHOLE_RUN:
        refuse(
            f"The head of the sleeve would be {say(head)} wide and the sleeve at the underarm only"
            f" {say(2 * half_cap)}, so no armhole is left. Check the off-shoulder girth"
            f" ({say(m['off_shoulder_girth'])}) against the bust girth ({say(m['bust_girth'])}) and the cap width."
        )
    if depth >= length - LEAST_BELOW_UNDERARM:
        refuse(
            f"Sleeve length: {say(length)} was read, but the underarm already lies {say(depth)} below the head"
            f" (the cap depth). A sleeve needs at least {say(depth + LEAST_BELOW_UNDERARM)}; lengthen it or type a smaller cap depth."
        )
    if bool(m["elbow_girth"]) != bool(m["elbow_level"]):
        refuse("Elbow girth and elbow level: one is 0 and the other is not. Give both, or 0 for both to leave the elbow out.")
    before = None
    for level in arm_levels(m)[:-1]:
        label = f"{level.name.capitalize()} level"
        if level.y >= length:
            refuse(
                f"{label}: {say(level.y)} was read, which is not above the hem at {say(length)} (the sleeve length)."
                " Both are measured from the top edge down."
            )
        if before and level.y <= before.y:
            refuse(
                f"{label}: {say(level.y)} was read, which is not below the {before.name} level at {say(before.y)}."
                " Both are measured from the top edge down."
            )
        before = level
    closed_hem = hem + 2 * m["ease_hem"]
    if hand and closed_hem < hand:
        refuse(
            f"Hem girth: {say(hem)} and twice the hem ease make {say(closed_hem)}, but the hand measures {say(hand)}"
            f" and has to pass. Widen the hem by {say(hand - closed_hem)}, or give 0 as the hand girth if the hem opens."
        )


def seam_through(cap: Level, levels: list[Level], eased: bool) -> tuple[list[tuple[float, float]], list[Note]]:
    """Choose the points (half width, y) that one underarm seam passes through, from underarm to hem.

    The first is the underarm point, widened where a level above the hem asks for more than the rule
    gives.  A level is passed over, never cut into: the seam is wider there than it need be.
    """

    def needed(level: Level) -> float:
        return level.needed if eased else level.girth / 2

    notes = []
    *inner, hem = levels
    widest = max(inner, key=needed)
    if needed(widest) > needed(cap):
        notes.append(Note("widened", widest.name, (needed(cap), needed(widest))))
    top = (max(needed(cap), needed(widest)), cap.y)
    at_cap = [level for level in inner if level.y <= cap.y]
    notes += [Note("above underarm", level.name, (level.y, cap.y)) for level in at_cap]

    kept = [(needed(level), level.y, level.name) for level in inner if level.y > cap.y]
    end = (needed(hem), hem.y)
    over = _first_to_pass_over(top, kept, end)
    while over is not None:
        notes.append(Note("passed over", kept.pop(over)[2]))
        over = _first_to_pass_over(top, kept, end)
    return [top, *((x, y) for x, y, _ in kept), end], notes


def _first_to_pass_over(top: tuple, kept: list[tuple], end: tuple) -> int | None:
    """Return the index in ``kept`` of a level that would make the seam wander in and out, or None."""
    points = [top, *kept, end]
    for i in range(1, len(points) - 1):
        (x0, y0), (x1, y1), (x2, y2) = points[i - 1][:2], points[i][:2], points[i + 1][:2]
        turns_back = x1 < x0 and x1 < x2
        turns_sharply = math.atan2(x0 - x1, y1 - y0) - math.atan2(x1 - x2, y2 - y1) > SHARPEST_TURN
        if turns_back or turns_sharply:
            return i - 1
    return None


def symmetric_outline(head_half: float, points: list[tuple[float, float]]) -> Outline:
    """Return the outline whose front and back are mirror images across the grain line."""
    side = draft_side(head_half, points)
    return outline_of_sides(side, side)


def outline_of_sides(front: tuple[Curve, Curve], back: tuple[Curve, Curve]) -> Outline:
    """Join two sides, each an (armhole, underarm) drawn at x > 0, into an outline; the back is mirrored."""
    back_armhole, back_underarm = (curve.transformed(MIRROR).reversed() for curve in back)
    front_armhole, front_underarm = front
    return Outline({
        "head": Curve.line(back_armhole.end, front_armhole.start),
        "front armhole": front_armhole,
        "front underarm": front_underarm,
        "hem": Curve.line(front_underarm.end, back_underarm.start),
        "back underarm": back_underarm,
        "back armhole": back_armhole,
    })


def draft_side(head_half: float, points: list[tuple[float, float]]) -> tuple[Curve, Curve]:
    """Return the armhole and the underarm seam of one side, at x > 0, from the head down to the hem.

    They meet at a right angle, so that the front and back armholes run on without a corner when the
    underarm seam is closed; the underarm seam meets the level hem at a right angle for the same reason.
    """
    (cap_half, depth), (next_half, next_y) = points[:2]
    chord = math.atan2(depth, cap_half - head_half)
    calmest = max(0.0, CALM_SLOPE * (cap_half - next_half) / (next_y - depth))
    slope = -min(math.tan(max(0.0, chord - HOLLOW)), calmest)
    arrival = math.atan(-slope)
    departure = min(max(chord + HOLLOW, STEEPEST_CORNER), math.pi / 2)
    armhole = arc_between((head_half, 0.0), departure, (cap_half, depth), arrival)
    return armhole, monotone_seam(points, slope, 0.0)


def arc_between(start: tuple, departure: float, end: tuple, arrival: float) -> Curve:
    """Return one cubic from ``start`` down and out to ``end``, leaving and arriving at these angles
    (radians, from the x axis down, 0 to a right angle), with the handles of a circular arc of the same
    turn, shortened where they would make it swing back in x or y."""
    start, end = np.array(start), np.array(end)
    run, drop = end - start
    reach = math.hypot(run, drop) * _handle_of_chord(departure - arrival)
    leave = np.array([math.cos(departure), math.sin(departure)])
    arrive = np.array([math.cos(arrival), math.sin(arrival)])
    # The handles' points stay in order while the first takes up to 3/5 of the drop and 2/5 of the run,
    # the second the reverse; a quarter circle takes 0.55 and nothing.
    first = min(reach, 0.6 * drop / max(leave[1], 1e-9), 0.4 * run / max(leave[0], 1e-9))
    second = min(reach, 0.6 * run / max(arrive[0], 1e-9), 0.4 * drop / max(arrive[1], 1e-9))
    return Curve.cubic(start, start + first * leave, end - second * arrive, end)


def _handle_of_chord(turn: float) -> float:
    """Return handle / chord of the cubic nearest to a circular arc of this turn: 1/3 when straight.

    The usual handle is 4/3 tan(turn / 4) of the radius, and the chord is 2 sin(turn / 2) of it.
    """
    return 1 / 3 if abs(turn) < 1e-9 else 2 / 3 * math.tan(turn / 4) / math.sin(turn / 2)


def monotone_seam(points: list[tuple[float, float]], first_slope: float, last_slope: float) -> Curve:
    """Return a smooth seam through ``points`` (x, y from the top down) with these slopes dx/dy at its ends.

    Piecewise cubic Hermite with the slopes of Fritsch and Butland (1984, SIAM Journal on Scientific
    and Statistical Computing 5(2)), which never overshoot: between two points the seam stays between them.
    """
    x, y = np.array(points, dtype=float).T
    height = np.diff(y)
    run = np.diff(x) / height
    slopes = np.concatenate(([first_slope], _inner_slopes(height, run), [last_slope]))
    third = height / 3
    start, end = np.stack([x, y], axis=1)[:-1], np.stack([x, y], axis=1)[1:]
    leave = start + np.stack([slopes[:-1] * third, third], axis=1)
    arrive = end - np.stack([slopes[1:] * third, third], axis=1)
    return Curve(np.stack([start, leave, arrive, end], axis=1))


def _inner_slopes(height: np.ndarray, run: np.ndarray) -> np.ndarray:
    """Weighted harmonic mean of the neighbours' slopes; 0 where they differ in sign."""
    before, after = run[:-1], run[1:]
    weight_before = height[:-1] + 2 * height[1:]
    weight_after = 2 * height[:-1] + height[1:]
    same = before * after > 0
    safe_before, safe_after = np.where(same, before, 1.0), np.where(same, after, 1.0)
    mean = (weight_before + weight_after) / (weight_before / safe_before + weight_after / safe_after)
    return np.where(same, mean, 0.0)
