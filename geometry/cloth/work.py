"""Rough guesses to plan by: how much thread and time the tiers of a plan take."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.cutting import CuttingPlan

#: Millimetres of thread, top and bobbin together, for each millimetre of lockstitch (common practice, no source).
_THREAD = 2.8

#: Millimetres of a row of machine stitching in a minute, handling included; minutes to draw up, pleat or clip a
#: metre of strip onto its line; minutes for a join (guesses of ours, no source).
_STITCHED = 1500.0
_SHAPED = 1.5
_JOINED = 3.0


class Work(NamedTuple):
    """Thread in millimetres and hours of work after cutting."""

    thread: float
    hours: float


def estimate_work(plan: CuttingPlan) -> Work:
    """Return thread and time for all tiers: shaping every strip, joining its pieces, sewing it to its line."""
    rows = sum(tier.made.rows * tier.made.taken * tier.layers for tier in plan.tiers) * plan.job.sleeves
    joins = sum(plan.all_joins(tier) for tier in plan.tiers)
    joined = sum(plan.all_joins(tier) * tier.cut_width for tier in plan.tiers)
    stitched = rows + plan.line_length + joined
    minutes = stitched / _STITCHED + _SHAPED * plan.taken_length / 1000 + _JOINED * joins
    return Work(_THREAD * stitched, minutes / 60)
