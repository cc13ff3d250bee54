"""What she typed: every measurement of the table, in millimetres, before any style has decided anything."""
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from geometry.measuring.measurements import TABLE, read_measurements


class Given(NamedTuple):
    """The measurements as typed, millimetres; fields, ranges and what 0 means as in :data:`TABLE`.

    Not what the sleeve is: the style may take another length, and a rule stands in for a 0.  What holds
    is :class:`geometry.sleeve.settling.Settled`.
    """

    bust_girth: float
    off_shoulder_girth: float
    shoulder_width: float
    upper_arm_girth: float
    upper_arm_level: float
    elbow_girth: float
    elbow_level: float
    sleeve_length: float
    hem_girth: float
    hand_girth: float
    wrist_girth: float
    wrist_level: float
    front_armhole_seam: float
    back_armhole_seam: float
    armhole_ease: float
    front_body_edge: float
    back_body_edge: float
    front_scoop: float
    ease_cap: float
    ease_upper_arm: float
    ease_elbow: float
    ease_hem: float
    seam_allowance: float
    hem_allowance: float
    body_edge_reduction: float
    cap_height: float
    cap_width: float
    flare_width: float
    top_edge_raise: float
    casing_allowance: float


def read_given(typed: Mapping[str, str], unit: str) -> Given:
    """Return the measurements from what was typed under their names.  Raises as :func:`read_measurements`.

    >>> from geometry.measuring.measurements import DEFAULTS
    >>> read_given(DEFAULTS, "in").hem_girth
    228.6
    """
    return Given(**read_measurements(typed, unit, TABLE))
