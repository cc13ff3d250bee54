"""What she typed: every measurement of the table, in millimetres, before any style has decided anything."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from geometry.measuring.ease import Ease, read_ease
from geometry.measuring.measurements import TABLE, Measurement, length_in_range, read_rows


class Given(NamedTuple):
    """The measurements as typed, millimetres; fields, ranges and what 0 means as in :data:`TABLE`.

    An ease is a length on each half of the sleeve or a share of the girth, see :mod:`geometry.measuring.ease`.
    Not what the sleeve is: the style may take another length, and a rule stands in for a 0.  What holds
    is :class:`geometry.sleeve.settling.Settled`.
    """

    bust_girth: float
    off_shoulder_girth: float
    shoulder_width: float
    cap_height: float
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
    ease_cap: Ease
    ease_upper_arm: Ease
    ease_elbow: Ease
    ease_hem: Ease
    seam_allowance: float
    hem_allowance: float
    body_edge_reduction: float
    cap_width: float
    flare_width: float
    top_edge_raise: float
    casing_allowance: float
    elastic_width: float
    band_width: float
    lining_ease: float
    lining_shorter: float
    slant: float


def read_given(typed: Mapping[str, str], unit: str) -> Given:
    """Return the measurements from what was typed under their names.

    Raises as :func:`geometry.measuring.measurements.read_measurements`.

    >>> from geometry.measuring.measurements import DEFAULTS
    >>> given = read_given({**DEFAULTS, "ease_hem": "15 %"}, "in")
    >>> given.hem_girth, given.ease_hem
    (228.6, Share(percent=15.0))
    """
    values: dict[str, Any] = dict(read_rows(TABLE, lambda row: read_row(row, typed[row.name], unit)))  # lengths but for the eases, as the fields say
    return Given(**values)


def read_row(measurement: Measurement, text: str, unit: str) -> Ease:
    """Return what was typed for one measurement: a length, or an ease.  Raises as :func:`read_given`."""
    return (read_ease if measurement.most_percent else length_in_range)(measurement, text, unit)
