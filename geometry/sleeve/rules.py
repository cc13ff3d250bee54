"""The rules of the trade by which a sleeve is drafted, each once (common practice, no source, unless one is named)."""
from __future__ import annotations

from geometry.measuring.lengths import INCH


def body_edge(shoulder_width: float, reduction: float) -> float:
    """Return the length of the bodice's top edge, front or back: shoulder width less a reduction.

    >>> body_edge(380.0, 50.0)
    330.0
    """
    return shoulder_width - reduction


def top_edge_width(off_shoulder_girth: float, front_edge: float, back_edge: float) -> float:
    """Return the width of one sleeve's top edge: what the two body edges leave of the girth, halved.

    >>> top_edge_width(1100.0, 330.0, 330.0)
    220.0
    """
    return (off_shoulder_girth - front_edge - back_edge) / 2


def rule_cap_height(bust_girth: float) -> float:
    """Return the underarm level below the top edge: bust / 12 + 1 in.

    >>> rule_cap_height(36 * INCH) / INCH
    4.0
    """
    return bust_girth / 12 + INCH


def rule_cap_half_width(bust_girth: float) -> float:
    """Return the half width at the underarm level before ease: bust / 6 + 1 1/2 in.

    >>> rule_cap_half_width(36 * INCH) / INCH
    7.5
    """
    return bust_girth / 6 + 1.5 * INCH


#: What is turned in at the top edge where nothing else is asked: 1/2 in elastic, room to thread it, and the turn.
RULE_CASING = INCH
