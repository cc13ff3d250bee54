"""Sleeves by lot, judged by shapely and numpy: bodies of 260 women and eight clients, in styles that nobody has thought of."""
from __future__ import annotations

from collections import Counter
from random import Random

import numpy as np
import pytest
import shapely
from shapely.geometry import LinearRing, LineString, Point, Polygon

from geometry.measuring.ease import Share
from geometry.measuring.given import Given
from geometry.measuring.measurements import TABLE, USUAL, Style
from geometry.refusal import Refused
from geometry.sleeve.draft import Draft, draft_sleeve
from geometry.sleeve.marks import notch_ticks
from tests.bodies import measurements_of, women
from tests.clients import CLIENTS

BY_LABEL = {row.label: row.name for row in TABLE.values()}

#: Curves are flattened to this and compared to that, mm.
FLAT, CLOSE = 0.002, 0.03


def by_lot(lot: Random) -> tuple[Given, Style, int]:
    """A body, a style and a number of tiers."""
    if lot.random() < 0.3:
        client = lot.choice(CLIENTS)
        given, style = client.given(), client.style()
    else:
        given, style = measurements_of(lot.choice(women())), USUAL
    arm = given.upper_arm_girth
    chosen = {
        "length_style": lot.choice(["as measured", "as measured", "short", "elbow"]),
        "shape": lot.choice(["fitted", "fitted", "fitted", "straight", "flared"]),
        "flare_from": lot.choice(["elbow", "underarm"]),
        "finish": lot.choice(["band", "elastic", "faced", "bound"]),
        "tier_layout": lot.choice(["level", "level", "following", "aslant"]),
        "front_share": lot.choice([50.0, 50.0, lot.uniform(44, 56)]),
        "ease": lot.choice(["typed", "typed", "typed", "close", "easy", "loose"]),
    }
    typed = {
        "seam_allowance": lot.choice([6.35, 12.7, 15.0, 20.0, 25.0, lot.uniform(0, 35)]),
        "hem_allowance": lot.choice([25.4, 30.0, 0.0, 10.0, 50.0, lot.uniform(0, 80)]),
        "cap_height": lot.choice([0.0, 0.0, lot.uniform(60, 160)]),
        "cap_width": lot.choice([0.0, 0.0, arm * lot.uniform(0.95, 1.6)]),
        "front_scoop": lot.choice([0.0, 0.0, lot.uniform(1, 12)]),
    }
    if chosen["length_style"] in ("short", "elbow"):
        typed["hem_girth"] = 0.0
    if chosen["shape"] == "flared":
        typed["flare_width"] = arm * lot.choice([lot.uniform(1.05, 1.6), lot.uniform(1.5, 6)])
    for name in ("ease_cap", "ease_upper_arm", "ease_elbow", "ease_hem"):
        typed[name] = lot.choice([getattr(given, name), 0.0, lot.uniform(0, 60), Share(lot.uniform(0, 40))])
    return given._replace(**typed), style._replace(**chosen), lot.randint(1, 8)


def area(curve) -> Polygon:
    return Polygon(curve.flatten(FLAT))


def faults(draft: Draft) -> list[str]:
    """What a cutter would send back."""
    seam, cut, body, widths = area(draft.seam.closed()), area(draft.cutting), area(draft.block.body.closed()), draft.settled.allowances
    said = [word for word, shape in (("seam", seam), ("cut", cut)) if not shape.is_valid]
    if not cut.buffer(CLOSE).covers(seam):
        said.append("the seam lies outside the cut")
    if not draft.block.spread and not seam.buffer(CLOSE).covers(body):
        said.append("the body lies outside the seam")
    said += [f"allowance of the {name} short" for name in draft.seam.shape.edges if short_of_allowance(draft, name, widths) > CLOSE]
    if not draft.block.spread and narrower_than_the_arm(draft) > CLOSE:
        said.append("narrower than the arm with its ease")
    for corner in ("underarm point", "hem"):
        if abs(sum(draft.seam.corner_angle(f"{side} {corner}") for side in ("front", "back")) - 180) > 0.05:
            said.append(f"a corner at the closed {corner}")
    places = [(side, distance, widths[f"{side} armhole"]) for side, distance, *_ in draft.notches]
    ticks = [tick for place in places for tick in notch_ticks(draft.seam, *place, draft.cutting)]
    if any(allowance for *_, allowance in places) and not all(cut.exterior.distance(Point(tick.start)) <= CLOSE for tick in ticks):
        said.append("a notch off the cut edge")
    if any(LineString(tick.flatten(FLAT)).intersection(seam).length > CLOSE for tick in ticks):
        said.append("a notch across the seam")
    if not all(seam.buffer(0.06).covers(LineString(tier.curve.flatten(FLAT))) for tier in draft.tiers):
        said.append("a tier line outside the seam")
    return said


def short_of_allowance(draft: Draft, name: str, widths: dict) -> float:
    """By how much the cut comes too near to an edge, mm; beside a corner the narrower of both allowances is enough."""
    edge, edges = draft.seam.edge(name), draft.seam.shape.edges
    points = edge.point(np.linspace(0, len(edge), 80 * len(edge) + 1))
    needed = np.full(len(points), widths[name])
    for beside, corner in ((edges[edges.index(name) - 1], points[0]), (edges[(edges.index(name) + 1) % len(edges)], points[-1])):
        near = np.hypot(*(points - corner).T) <= 2.5 * max(widths.values())
        needed = np.where(near, np.minimum(needed, widths[beside]), needed)
    return float((needed - shapely.distance(LinearRing(draft.cutting.flatten(FLAT)), shapely.points(points))).max())


def narrower_than_the_arm(draft: Draft) -> float:
    """By how much the sleeve is narrower than the arm with its ease at any height below the underarm, mm.  A hem wider than the
    fullest level is her wish and not the arm."""
    arm = [level for level in draft.block.levels if level.name != "underarm"]
    fullest = max((level.needed for level in arm if level.name != "hem"), default=arm[-1].needed)
    sides = [draft.seam.edge(f"{side} underarm").flatten(FLAT) for side in ("front", "back")]
    front, back = (side[np.argsort(side[:, 1])] * (sign, 1) for side, sign in zip(sides, (1, -1)))
    y = np.linspace(front[0, 1], min(arm[-1].y, front[-1, 1], back[-1, 1]), 400)
    width = sum(np.interp(y, side[:, 1], side[:, 0]) for side in (front, back))
    asked = np.interp(y, [level.y for level in arm], [2 * (min(level.needed, fullest) if level.name == "hem" else level.needed) for level in arm])
    return float((asked - width).max())


@pytest.mark.parametrize("seed", range(4))
def test_what_is_drawn_by_lot_is_what_a_cutter_would_cut_by(seed):
    lot, rules, drawn = Random(seed), Counter(), 0
    for _ in range(25):
        given, style, tiers = by_lot(lot)
        try:
            draft = draft_sleeve(given, tiers, style=style)
        except Refused as refusal:
            rules[refusal.problems[0].rule] += 1
            for facts in (problem.facts for problem in refusal.problems if problem.rule == "would do"):
                for end in ("least", "most"):
                    draft_sleeve(given._replace(**{BY_LABEL[facts["label"]]: facts[end]}), tiers, style=style)
            continue
        drawn += 1
        assert faults(draft) == [], (given, style, tiers)
    assert drawn > 10, rules
