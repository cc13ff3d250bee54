"""The rules of the trade by which a sleeve is drafted, each once (common practice, no source, unless one is named)."""
from __future__ import annotations

from typing import NamedTuple

from geometry.measuring.lengths import HAIR, INCH
from geometry.measuring.sums import Sum, Term, plain


def body_edge(shoulder_width: float, reduction: float) -> Sum:
    """Return the length of the bodice's top edge, front or back: shoulder width less a reduction.

    >>> body_edge(380.0, 50.0).result
    330.0
    """
    return Sum("body edge", Term(shoulder_width, "shoulder width"), (("−", Term(reduction, "reduction")),))


def top_edge_width(off_shoulder_girth: float, front_edge: float, back_edge: float) -> Sum:
    """Return the width of one sleeve's top edge: what the two body edges leave of the girth, halved.

    >>> top_edge_width(1100.0, 330.0, 330.0).result
    220.0
    """
    edges = ("−", Term(front_edge, "front body edge")), ("−", Term(back_edge, "back body edge"))
    return Sum("top edge of one sleeve", Term(off_shoulder_girth, "off-shoulder girth"), (*edges, ("÷", plain(2))))


def around_arms_and_body(shoulder_width: float, upper_arm_girth: float) -> float:
    """Return about what a tape measures around both hanging arms and the body: from shoulder point to shoulder
    point in front and in back, and half around each arm.

    Our own estimate.  Of 260 women (Heinz et al. 2003, data set ``openintro/bdims``) the girth over the deltoids is
    0.99 of it in the middle, from 0.88 to 1.14 at the ends.

    >>> around_arms_and_body(375.0, 300.0)
    1050.0
    """
    return 2 * shoulder_width + upper_arm_girth


#: The shares of that estimate between which an off-shoulder girth is believed: those ends, and a little more.
LEAST_AROUND, MOST_AROUND = 0.87, 1.25

#: Below this share it is believed only where it goes around the bust alone, as the girth of all of those women does.
DOUBTED_AROUND = 0.92


def believed_around(around: float, bust_girth: float) -> tuple[float, float]:
    """Return the least and the most off-shoulder girth that can be, by the estimate and by the bust.

    >>> believed_around(1000.0, 900.0), believed_around(1000.0, 1100.0)
    ((900.0, 1250.0), (920.0, 1250.0))
    """
    return max(LEAST_AROUND * around, min(bust_girth, DOUBTED_AROUND * around)), MOST_AROUND * around


#: What the rule adds to a twelfth of the bust.
CAP_HEIGHT_MORE = INCH


def rule_cap_height(bust_girth: float) -> Sum:
    """Return the underarm level below the top edge: bust / 12 + 1 in.

    >>> rule_cap_height(36 * INCH).result / INCH
    4.0
    """
    return Sum("cap height", Term(bust_girth, "bust girth"), (("÷", plain(12)), ("+", Term(CAP_HEIGHT_MORE))))


def rule_cap_half_width(bust_girth: float) -> Sum:
    """Return the half width at the underarm level before ease: bust / 6 + 1 1/2 in.

    >>> rule_cap_half_width(36 * INCH).result / INCH
    7.5
    """
    return Sum("half width at the underarm, before ease", Term(bust_girth, "bust girth"), (("÷", plain(6)), ("+", Term(1.5 * INCH))))


def half_width(level: str, girth: float, ease: float) -> Sum:
    """Return half the width of the sleeve at a level of the arm: half the girth and the ease.

    >>> half_width("elbow", 280.0, 20.0).result
    160.0
    """
    return Sum(f"half width at the {level}", Term(girth, "girth"), (("÷", plain(2)), ("+", Term(ease, "ease"))))


def whole_width(level: str, half: float, width: float) -> Sum:
    """Return the ``width`` of the sleeve as drawn at a level: twice the ``half`` asked for, and what the seams lie outside or inside of that.

    >>> whole_width("upper arm", 180.0, 366.0).result
    366.0
    """
    more = width / 2 - half
    steps = (("+", Term(more, "drawn wider")),) if more > HAIR else (("−", Term(-more, "drawn narrower")),) if more < -HAIR else ()
    return Sum(f"width at the {level}", Term(half, "half width"), (*steps, ("×", plain(2))))


def with_fullness(top_edge: float, fullness: float) -> Sum:
    """Return the length of a top edge that is so many times as long as it lies on the body.

    >>> with_fullness(200.0, 1.5).result
    300.0
    """
    return Sum("top edge with its fullness", Term(top_edge, "top edge"), (("×", plain(fullness, "fullness")),))


def elastic_length(ratio: float, off_shoulder_girth: float) -> Sum:
    """Return the cut length of the elastic in the top edge.

    >>> elastic_length(0.9, 1000.0).result
    900.0
    """
    return Sum("elastic", plain(ratio, "ratio"), (("×", Term(off_shoulder_girth, "off-shoulder girth")),))


class EasePreset(NamedTuple):
    """Ease in percent of the girth, by the place on the sleeve."""

    underarm: float
    upper_arm: float
    elbow: float
    hem: float


#: How much ease woven cloth wants, by wearer and by how the sleeve is to sit (common practice, no source): 17 % of a
#: 12 in arm is the 2 in of a set-in sleeve; a child's thin arm bends and reaches through as many inches.
EASE_PRESETS = {
    "adult": {"close": EasePreset(8, 7, 4, 4), "easy": EasePreset(17, 15, 12, 12), "loose": EasePreset(35, 35, 35, 35)},
    "child": {"close": EasePreset(12, 10, 6, 6), "easy": EasePreset(24, 22, 18, 18), "loose": EasePreset(45, 45, 45, 45)},
}

#: A casing: the elastic's width, room to thread it, and the turn under; a facing is as deep as the usual one.
RULE_ELASTIC_WIDTH, ELASTIC_ROOM, TURN_UNDER = INCH / 2, INCH / 8, 3 * INCH / 8
RULE_CASING = INCH

#: A finished band and a finished binding are so wide.
RULE_BAND, RULE_BINDING = INCH, 3 * INCH / 8

#: An elasticated edge is so many times as long as it lies on the body, so that it stretches over the shoulders.
RULE_FULLNESS = {"elastic": 1.5}

#: Around raised arms the girth at the shoulders is at most this many times what it is with the arms hanging; woven
#: elastic stretches to this many times its length; and is cut so much longer to lap where it is joined.
RAISED_ARMS, ELASTIC_STRETCH = 1.15, 1.8
ELASTIC_LAP = INCH

#: The hem of a lining that hangs free is so much shorter than the sleeve's.
RULE_LINING_SHORTER = 0.75 * INCH

def halfway(upper: float, upper_name: str, lower: float, lower_name: str) -> Sum:
    """Return the sleeve length of a style that ends halfway between two levels.

    >>> halfway(100.0, "cap height", 300.0, "elbow level").result
    200.0
    """
    return Sum("sleeve length", Term(upper, upper_name), (("+", Term(lower, lower_name)), ("÷", plain(2))))
