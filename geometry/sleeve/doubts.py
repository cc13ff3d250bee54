"""Measurements that hardly belong to one body: a slip of the pen that no rule contradicts, such as 27 for 37."""
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from geometry.sleeve.rules import rule_cap_height


class Shares(NamedTuple):
    """Two girths or widths by their names, and between which shares of the second the first lies."""

    name: str
    other: str
    least: float
    most: float


#: The ends of 507 women and men (Heinz et al. 2003, data set ``openintro/bdims``) are 0.72 to 0.96 (forearm by upper arm),
#: 0.41 to 0.62 (wrist by upper arm), 0.29 to 0.41 (upper arm by chest) and 1.97 to 3.12 (chest by shoulders); wider for the
#: bent elbow, for children, who have thin arms, and for full figures (our own choice).
BELIEVED = (
    Shares("elbow_girth", "upper_arm_girth", 0.6, 1.25),
    Shares("wrist_girth", "upper_arm_girth", 0.33, 0.95),
    Shares("upper_arm_girth", "bust_girth", 0.22, 0.5),
    Shares("bust_girth", "shoulder_width", 1.9, 4.2),
)

#: A sleeve is believed to end at most so many times as far down as the wrist lies: over the middle of the hand (our own choice).
BELIEVED_LENGTH = 1.2

#: A cap height that was solved for the bodice's armhole seams is believed between these shares of the one measured (our own choice).
BELIEVED_SOLVED = (0.75, 1.35)

#: A cap height between these shares of that by the rule is believed (our own choice).
BELIEVED_CAP = (0.5, 2.0)


def doubted(measured: Mapping[str, float]) -> list[tuple[str, str]]:
    """Return pairs of measurements, millimetres by their names, to be looked at again: the one that is too large or too small
    first, then what it is held against.

    >>> doubted({"bust_girth": 27.0, "shoulder_width": 14.75}), doubted({"bust_girth": 37.0, "shoulder_width": 14.75})
    ([('bust_girth', 'shoulder_width')], [])
    """
    known = {name: length for name, length in measured.items() if length > 0}
    pairs = [
        (each.name, each.other) for each in BELIEVED
        if each.name in known and each.other in known and not each.least <= known[each.name] / known[each.other] <= each.most
    ]  # fmt: skip
    least, most = BELIEVED_CAP
    if "cap_height" in known and not least <= known["cap_height"] / rule_cap_height(known["bust_girth"]).result <= most:
        pairs.append(("cap_height", "bust_girth"))
    return pairs


def ends_past_the_hand(measured: Mapping[str, float]) -> bool:
    """Whether the sleeve is so long that its length, or the level of the wrist, is likely a slip; ``measured`` as of :func:`doubted`.

    >>> ends_past_the_hand({"sleeve_length": 30.0, "wrist_level": 22.0}), ends_past_the_hand({"sleeve_length": 23.5, "wrist_level": 22.0})
    (True, False)
    """
    return 0 < BELIEVED_LENGTH * measured.get("wrist_level", 0.0) < measured["sleeve_length"]


def solved_far_off(measured: float, solved: float) -> bool:
    """Whether a cap height is ``solved`` so far from the one ``measured`` that a seam of the bodice, or it, is likely a slip.

    >>> solved_far_off(4.0, 7.5), solved_far_off(4.0, 4.5)
    (True, False)
    """
    least, most = BELIEVED_SOLVED
    return not least * measured <= solved <= most * measured
