"""The arm as measured: its levels, its girth between them, and where the hem of a length style lies."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.measuring.lengths import write_length
from geometry.measuring.measurements import Style
from geometry.refusal import Refused


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


#: What is measured on the arm, from the top down: each has a girth, a level and an ease of these names.
_MEASURED = (("upper arm", "upper_arm", "ease_upper_arm"), ("elbow", "elbow", "ease_elbow"), ("wrist", "wrist", "ease_hem"))


def measured_levels(m: Mapping[str, float]) -> list[Level]:
    """Return the levels in which the arm was measured, from the top down, those below the hem too."""
    return [
        Level(name, m[f"{key}_level"], m[f"{key}_girth"], m[ease])
        for name, key, ease in _MEASURED
        if m[f"{key}_level"] and m[f"{key}_girth"]
    ]


def girth_at(levels: Sequence[Level], y: float) -> float | None:
    """Return the girth of the arm at ``y``, or None below the last level.

    In a straight line between the levels (common practice, no source); above the first, which is the
    fullest part, the arm counts as just as full.
    """
    if y > levels[-1].y:
        return None
    return float(np.interp(y, [level.y for level in levels], [level.girth for level in levels]))


def settle(m: Mapping[str, float], style: Style, cap_height: float, unit: str) -> dict[str, float]:
    """Return the measurements with the length of the style and, where it is 0, the hem girth filled in.

    Raises :class:`Refused` where levels are out of order, or the style needs a level, or the hem a girth,
    that was not given.
    """
    for key in ("elbow", "wrist"):
        if bool(m[f"{key}_girth"]) != bool(m[f"{key}_level"]):
            raise Refused(
                f"{key.capitalize()} girth and {key} level: one is 0 and the other is not."
                f" Give both, or 0 for both to leave the {key} out."
            )
    levels = measured_levels(m)
    for above, level in zip(levels, levels[1:]):
        if level.y <= above.y:
            raise Refused(
                f"{level.name.capitalize()} level: {write_length(level.y, unit)} was read, which is not below the {above.name} level at"
                f" {write_length(above.y, unit)}. Both are measured from the top edge down."
            )
    length = _style_length(m, style, cap_height)
    hem_girth = m["hem_girth"] or girth_at(levels, length)
    if hem_girth is None:
        or_wrist = "" if m["wrist_level"] else ", or girth and level of the wrist"
        raise Refused(
            f"Hem girth: 0 was read, but the hem lies {write_length(length, unit)} below the top edge and the arm is only known down to the"
            f" {levels[-1].name} at {write_length(levels[-1].y, unit)}. Give the hem girth{or_wrist}."
        )
    return {**m, "sleeve_length": length, "hem_girth": hem_girth}


def _style_length(m: Mapping[str, float], style: Style, cap_height: float) -> float:
    """Where the hem of a length style lies (common practice, no source)."""
    elbow, wrist = m["elbow_level"], m["wrist_level"]
    missing = {"short": not elbow, "elbow": not elbow, "three-quarter": not (elbow and wrist), "full": not wrist}
    if missing.get(style.length_style):
        wanted = "the elbow" if not elbow and style.length_style != "full" else "the wrist"
        raise Refused(
            f"Length: “{style.length_style}” was chosen, but girth and level of {wanted} are 0."
            f" Give them, or choose “as measured” and type the sleeve length."
        )
    return {
        "as measured": m["sleeve_length"],
        "short": (cap_height + elbow) / 2,
        "elbow": elbow,
        "three-quarter": (elbow + wrist) / 2,
        "full": wrist,
    }[style.length_style]


def sleeve_levels(m: Mapping[str, float]) -> list[Level]:
    """Return the levels of the arm that the sleeve covers, then the hem; ``m`` is settled.

    A hem where the arm is known to be fuller gets the girth of the arm.
    """
    measured = measured_levels(m)
    length = m["sleeve_length"]
    hem_girth = max(m["hem_girth"], girth_at(measured, length) or 0.0)
    return [*(level for level in measured if level.y < length), Level("hem", length, hem_girth, m["ease_hem"])]


def hand_must_pass(m: Mapping[str, float], style: Style) -> bool:
    """Whether the closed hem is checked against the hand: at the wrist or below, or where that is not known."""
    if not m["hand_girth"] or style.length_style in ("short", "elbow", "three-quarter"):
        return False
    return not m["wrist_level"] or m["sleeve_length"] >= m["wrist_level"]
