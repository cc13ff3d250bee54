"""A whole sleeve from measurements: block, cutting line, tier lines and marks, in one call."""
from __future__ import annotations

from typing import Mapping, NamedTuple

from geometry.allowances import cutting_line
from geometry.block import Block, draft_block
from geometry.curves import Curve
from geometry.marks import tier_lines, usual_notch_distance
from geometry.tiers import TierPlan, plan_tiers


class Draft(NamedTuple):
    """Everything that is drawn, in millimetres in the frame of the sleeve."""

    block: Block
    cutting: Curve
    plan: TierPlan
    tiers: list
    notch_distances: dict


def draft_sleeve(m: Mapping[str, float], tiers: int, pitch_snap: str = "none", unit: str = "cm") -> Draft:
    """Return the sleeve for measurements ``m`` (millimetres, named as in ``measurements.TABLE``).

    Raises :class:`geometry.refusal.Refused` with a sentence in ``unit``.
    """
    block = draft_block(m, unit)
    plan = plan_tiers(m["sleeve_length"], tiers, pitch_snap, unit)
    return Draft(
        block=block,
        cutting=cutting_line(block.seam, edge_allowances(m)),
        plan=plan,
        tiers=tier_lines(block.seam, plan.levels),
        notch_distances={
            side: usual_notch_distance(block.seam.edge(f"{side} armhole").length()) for side in ("front", "back")
        },
    )


def edge_allowances(m: Mapping[str, float]) -> dict[str, float]:
    """Return the allowance of every edge of the outline, in millimetres."""
    seam = dict.fromkeys(("head", "front armhole", "front underarm", "back underarm", "back armhole"), m["seam_allowance"])
    return {**seam, "hem": m["hem_allowance"]}
