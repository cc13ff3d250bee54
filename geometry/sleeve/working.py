"""The sums by which a sleeve was drafted, in the order of work: those of the rules, not of what she typed herself."""
from __future__ import annotations

import math

from geometry.measuring.ease import Share, share_of_girth
from geometry.measuring.given import Given
from geometry.measuring.lengths import HAIR, MARKS
from geometry.measuring.sums import Sum
from geometry.sleeve.draft import Decided, drafted_seam
from geometry.sleeve.marks import body_level_lines, level_width
from geometry.sleeve.rules import (
    body_edge,
    elastic_length,
    half_width,
    halfway,
    rule_cap_half_width,
    rule_cap_height,
    top_edge_width,
    whole_width,
    with_fullness,
)
from geometry.sleeve.settling import with_preset
from geometry.sleeve.spacing import ALL, EQUAL, equal_spacing, last_section, rounded_off


def drafting_sums(given: Given, decided: Decided, unit: str) -> list[Sum]:
    """Return every sum by which this sleeve was ``decided`` from what was ``given``, rounded to the tape of ``unit`` where they ask."""
    settled = decided.settled
    given = with_preset(given, settled.style)
    sums = []
    if not (given.front_body_edge and given.back_body_edge):
        sums.append(body_edge(given.shoulder_width, given.body_edge_reduction))
    sums.append(top_edge_width(settled.off_shoulder_girth, settled.front.edge, settled.back.edge))
    if settled.top.fullness != 1:
        sums.append(with_fullness(settled.top_edge_width, settled.top.fullness))
    if not settled.cap_measured:
        sums.append(rule_cap_height(settled.bust_girth))
    if not settled.cap_width_typed:
        sums.append(rule_cap_half_width(settled.bust_girth))
    if settled.style.length_style == "short":
        sums.append(halfway(settled.cap.y, "cap height", given.elbow_level, "elbow level"))
    if settled.style.length_style == "three-quarter":
        sums.append(halfway(given.elbow_level, "elbow level", given.wrist_level, "wrist level"))
    drawn = widths_drawn(decided)
    for level in (settled.cap, *settled.arm, settled.hem):
        ease = {"underarm": given.ease_cap, "upper arm": given.ease_upper_arm, "elbow": given.ease_elbow}.get(level.name, given.ease_hem)
        if isinstance(ease, Share):
            sums.append(share_of_girth(level.name, ease.percent, settled.arm_at_underarm if level is settled.cap else level.girth))
        half = half_width(level.name, level.girth, level.ease)
        sums.append(half)
        if level.name in drawn:
            sums.append(whole_width(level.name, half.result, drawn[level.name]))
    if settled.top.elastic:
        sums.append(elastic_length(settled.style.elastic_ratio, settled.off_shoulder_girth))
    return sums + spacing_sums(decided, unit)


def widths_drawn(decided: Decided) -> dict[str, float]:
    """Return by the names of the levels how wide the sleeve is drawn there, millimetres."""
    seam, levels = drafted_seam(decided), decided.block.levels
    return {level.name: level_width(seam, level, line) for level, line in zip(levels, body_level_lines(seam, levels)) if line is not None}


def spacing_sums(decided: Decided, unit: str) -> list[Sum]:
    """Return how the tier lines were shared out, what rounding that to the tape would do, and what is left below the last."""
    plan, style, count = decided.plan, decided.settled.style, len(decided.plan.levels)
    if style.spacing != EQUAL or style.tier_part != ALL or count < 2:
        return []
    sums = [equal_spacing(plan.end - plan.levels[0], count)]
    if not plan.snapped:
        mark = MARKS[unit]
        rounded = math.floor(plan.exact_spacing / mark + 0.5) * mark
        if abs(rounded - plan.exact_spacing) > HAIR:
            sums.append(rounded_off(plan.exact_spacing, rounded, count))
    return [*sums, last_section(plan.end, plan.levels[-1])]
