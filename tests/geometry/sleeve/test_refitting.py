"""Fitting changes: how far the Seam line went, by scipy's interpolation and shapely's crossings and distances."""
from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator
from scipy.optimize import brentq
from shapely.geometry import LineString, Polygon, box

from extension.wording.refusals import sentence
from geometry.curves.curve import Curve
from geometry.measuring.toile import AMOUNTS, opposite, read_amount
from geometry.refusal import Refused
from geometry.sleeve.outline import EDGES, Outline
from geometry.sleeve.refitting import moved_seam, refitted
from tests.bodies import DEFAULTS, block_of, measurements_of, women

BLOCK = block_of(DEFAULTS)
LEVELS = {level.name: level.y for level in BLOCK.levels}
LEVEL_AMOUNTS = [name for name in AMOUNTS if name.endswith(("_front", "_back")) and not name.startswith("wrist")]


def edited(seam: Outline) -> Outline:
    """As by hand: the front underarm seam bulged."""
    segments = {name: np.array(seam.edge(name).segments) for name in EDGES}
    middle = segments["front underarm"][len(segments["front underarm"]) // 2]
    middle[1:3] += (6.0, 4.0)
    return Outline({name: Curve(each) for name, each in segments.items()})


def line_of(seam: Outline, each: int = 400) -> LineString:
    ring = seam.closed()
    return LineString(ring.point(np.linspace(0, len(ring), each * len(ring) + 1)))


def x_at(seam: Outline, side: str, y: float) -> float:
    curve = seam.side(side)
    points = curve.point(np.linspace(0, len(curve), 4001))
    met = LineString(points).intersection(LineString([(-900, y), (900, y)]))
    return met.x if met.geom_type == "Point" else max((point.x for point in met.geoms), key=abs)


def independent(side: str, amounts: dict, seam: Outline, now: Outline) -> CubicHermiteSpline:
    """How far a side goes out where nothing goes down: scipy's own slopes, none where the field only shifts.

    At the hem, whose length is asked for along its arc, it is as far as its corner went.
    """
    at = [seam.corner(f"{side} top")[1], LEVELS["underarm"], LEVELS["upper arm"], LEVELS["elbow"], seam.corner(f"{side} hem")[1]]
    by = [amounts.get(f"{name}_{side}", 0.0) for name in ("top_edge", "underarm", "upper_arm", "elbow")]
    by.append(abs(now.corner(f"{side} hem")[0]) - abs(seam.corner(f"{side} hem")[0]))
    slopes = PchipInterpolator(at, by).derivative()(at)
    slopes[[0, 1, -1]] = 0
    return CubicHermiteSpline(at, by, slopes)


def test_zero_moves_nothing():
    seam = BLOCK.seam
    assert moved_seam(seam, BLOCK.levels, dict.fromkeys(AMOUNTS, 0.0)) is seam
    assert refitted(seam, BLOCK.levels, ()) is seam


@settings(max_examples=40)
@given(some.dictionaries(some.sampled_from(LEVEL_AMOUNTS), some.floats(-15, 15), min_size=1, max_size=5))
def test_each_height_goes_out_as_scipy_has_it(amounts):
    now = moved_seam(BLOCK.seam, BLOCK.levels, amounts)
    for side, sign in (("front", 1), ("back", -1)):
        spline = independent(side, amounts, BLOCK.seam, now)
        for y in (40.0, LEVELS["upper arm"], 230.0, LEVELS["elbow"], 420.0):
            went = sign * (x_at(now, side, y) - x_at(BLOCK.seam, side, y))
            assert went == pytest.approx(float(spline(y)), abs=0.02), (side, y)


@pytest.mark.parametrize("level", ["upper arm", "elbow"])
@pytest.mark.parametrize("side", ["front", "back"])
def test_at_its_level_a_side_goes_as_far_as_asked(level, side):
    now = moved_seam(BLOCK.seam, BLOCK.levels, {f"{level.replace(' ', '_')}_{side}": 9.525})
    for each, by in (("front", 9.525 * (side == "front")), ("back", -9.525 * (side == "back"))):
        assert x_at(now, each, LEVELS[level]) - x_at(BLOCK.seam, each, LEVELS[level]) == pytest.approx(by, abs=0.01)


@settings(max_examples=30)
@given(some.floats(-20, 20), some.floats(-20, 20), some.sampled_from([-12.7, -6.35, 0.0, 6.35, 12.7]), some.sampled_from([-20.0, 0.0, 25.4]))
def test_a_level_becomes_as_much_wider_as_asked_where_the_underarm_is_lowered_too(front, back, lowered, longer):
    """The seam's places at a level, by shapely, before and after; the level goes down by its share of what is put in above the elbow."""
    asked = {"upper_arm_front": front, "upper_arm_back": back, "underarm_down": lowered, "longer_above_elbow": longer}
    now = moved_seam(BLOCK.seam, BLOCK.levels, asked)
    share = (LEVELS["upper arm"] - LEVELS["underarm"]) / (LEVELS["elbow"] - LEVELS["underarm"])
    for level, shift, wanted in (("upper arm", share * longer, {"front": front, "back": -back}), ("elbow", longer, {"front": 0.0, "back": 0.0})):
        for side, out in wanted.items():
            went = x_at(now, side, LEVELS[level] + shift) - x_at(BLOCK.seam, side, LEVELS[level])
            assert went == pytest.approx(out, abs=0.01), (level, side)


def test_lengths_go_where_they_are_asked_for():
    now = moved_seam(BLOCK.seam, BLOCK.levels, {"underarm_down": 12.7, "longer_above_elbow": 8.0, "longer_below_elbow": -25.4})
    for side in ("front", "back"):
        assert now.corner(f"{side} underarm point") - BLOCK.seam.corner(f"{side} underarm point") == pytest.approx([0, 12.7], abs=1e-9)
        assert now.corner(f"{side} hem") - BLOCK.seam.corner(f"{side} hem") == pytest.approx([0, 8 - 25.4], abs=1e-9)
        assert now.corner(f"{side} top") == pytest.approx(BLOCK.seam.corner(f"{side} top"))


def test_a_place_goes_down_by_the_mean_of_before_and_after():
    """The rule is solved here by scipy, one place at a time: x' = x + d S(t), t from the mean of both states."""
    below, y = 30.0, 380.0
    length = BLOCK.seam.corner("front hem")[1] - LEVELS["elbow"]

    def over(after: float) -> float:
        t = (y + after - 2 * LEVELS["elbow"]) / (2 * length + below)
        return after - y - below * t * t * (3 - 2 * t)

    wanted = brentq(over, y, y + below)
    now = moved_seam(BLOCK.seam, BLOCK.levels, {"longer_below_elbow": below})
    assert x_at(now, "front", wanted) == pytest.approx(x_at(BLOCK.seam, "front", y), abs=0.01)


RAISED = block_of(DEFAULTS._replace(top_edge_raise=20.0))
HALVES = {"front": box(0, -500, 900, 900), "back": box(-900, -500, 0, 900)}


def halves_of(curve: Curve) -> dict[str, float]:
    """How long an edge is on either side of the grain line, by shapely along a fine line."""
    fine = LineString(curve.point(np.linspace(0, len(curve), 2001)))
    return {side: fine.intersection(half).length for side, half in HALVES.items()}


@settings(max_examples=12)
@given(some.sampled_from([("hem", 40.0), ("top edge", 20.0)]), some.floats(-1, 1), some.floats(-1, 1), some.booleans())
def test_top_edge_and_hem_become_longer_along_their_curves_by_as_much(edge, front, back, by_hand):
    seam = edited(RAISED.seam) if by_hand else RAISED.seam
    name, most = edge
    asked = {"front": front * most, "back": back * most}
    now = moved_seam(seam, RAISED.levels, {f"{name.replace(' ', '_')}_{side}": amount for side, amount in asked.items()})
    before, after = halves_of(seam.edge(name)), halves_of(now.edge(name))
    for side in HALVES:
        assert after[side] - before[side] == pytest.approx(asked[side], abs=0.01)


def test_the_top_edge_is_longer_by_as_much():
    now = moved_seam(BLOCK.seam, BLOCK.levels, {"top_edge_front": 5.0, "top_edge_back": -6.35})
    assert now.edge("top edge").length() - BLOCK.seam.edge("top edge").length() == pytest.approx(5.0 - 6.35, abs=1e-6)


NAMES = [name for name in AMOUNTS if not name.startswith("wrist")]
AMOUNT = some.dictionaries(some.sampled_from(NAMES), some.floats(-20, 20), min_size=1, max_size=6)


@settings(max_examples=30)
@given(AMOUNT, some.booleans(), some.integers(0, 259))
def test_a_change_and_its_opposite_bring_the_line_back(amounts, by_hand, who):
    block = block_of(measurements_of(women()[who])._replace(front_body_edge=250.0, back_body_edge=250.0))
    seam = edited(block.seam) if by_hand else block.seam
    try:
        now = moved_seam(seam, block.levels, amounts)
    except Refused:
        return
    back = moved_seam(now, block.levels, opposite(amounts), [amounts])
    assert line_of(seam).hausdorff_distance(line_of(back)) < 0.01 + 1e-3  # and what lies between two places of the finer line


@settings(max_examples=30)
@given(AMOUNT)
def test_closed_edges_stay_without_a_corner_and_nodes_smooth(amounts):
    now = moved_seam(BLOCK.seam, BLOCK.levels, amounts)
    for corner in ("underarm point", "hem"):
        assert now.corner_angle(f"front {corner}") + now.corner_angle(f"back {corner}") == pytest.approx(180, abs=0.01)
    for name in EDGES:
        edge = now.edge(name)
        inside = np.arange(1, len(edge))
        if len(inside):
            assert np.abs(edge.tangent(inside) - edge.tangent(inside, incoming=True)).max() < 1e-4, name


def test_no_more_nodes_than_needed():
    change = {"elbow_front": 9.525, "underarm_down": 12.7, "longer_below_elbow": -25.4, "top_edge_back": -6.35}
    assert len(moved_seam(BLOCK.seam, BLOCK.levels, {"elbow_front": 9.525}).closed()) <= len(BLOCK.seam.closed()) + 1
    assert len(moved_seam(BLOCK.seam, BLOCK.levels, change).closed()) <= 2 * len(BLOCK.seam.closed())


@pytest.mark.parametrize(
    ("amounts", "rule"),
    [
        ({"wrist_front": 5.0}, "no such level to fit"), ({"underarm_down": -60.0}, "underarm moved too far"),
        ({"longer_below_elbow": -90.0}, "changed too much"),
        ({"hem_front": -70.0}, "changed too much"), ({"top_edge_back": -60.0}, "changed too much"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused(amounts, rule):
    with pytest.raises(Refused) as refused:
        moved_seam(BLOCK.seam, BLOCK.levels, amounts)
    assert refused.value.problems[0].rule == rule
    if rule == "no such level to fit":
        assert refused.value.problems[0].facts["side"] == "front"  # which of the two fields it was


def test_a_line_that_would_cross_itself_is_refused():
    """She has drawn the sleeve together to 10 mm just above the elbow, where it is more than 30 mm wide: halved there, it is nothing above."""
    elbow = next(level.y for level in BLOCK.levels if level.name == "elbow")
    corners = [BLOCK.seam.corner("front underarm point"), (5.0, elbow - 15), BLOCK.seam.corner("front hem")]
    edges = {name: BLOCK.seam.edge(name) for name in EDGES}
    edges["front underarm"] = Curve.polyline(corners)
    edges["back underarm"] = Curve.polyline([(-x, y) for x, y in corners[::-1]])
    drawn_together = Outline(edges)
    half = 0.49 * drawn_together.width_at(elbow) / 2
    with pytest.raises(Refused) as refused:
        moved_seam(drawn_together, BLOCK.levels, {"elbow_front": -half, "elbow_back": -half})
    assert refused.value.problems[0].rule == "change crosses itself"


@pytest.mark.parametrize("unit", ["in", "cm"])
@pytest.mark.parametrize(("k", "asked"), [(-1, -99.0), *((k, asked) for k in range(28, 260, 29) for asked in (-99.0, 99.0))])
def test_how_far_the_underarm_may_go_is_told_and_does_when_typed_back(k, asked, unit):
    """The example and eight of 260 women; the limits as lettered, in her unit, with their signs."""
    block = BLOCK if k < 0 else block_of(measurements_of(women()[k]))
    with pytest.raises(Refused) as refused:
        moved_seam(block.seam, block.levels, {"underarm_down": asked})
    assert refused.value.problems[0].rule == "underarm moved too far"
    typed = re.search(r"from (\S.*?) to (\S.*?) will do", sentence(refused.value, unit)).groups()
    for text in typed:
        moved_seam(block.seam, block.levels, {"underarm_down": read_amount(AMOUNTS["underarm_down"], text, unit)})


@pytest.mark.parametrize("level", ["underarm", "upper arm", "elbow"])
@pytest.mark.parametrize(("share", "may"), [(-0.49, True), (-0.51, False), (0.99, True), (1.01, False)])
def test_front_and_back_together_at_most_double_or_halve_a_level(level, share, may):
    y = BLOCK.seam.corner("front underarm point")[1] + 1e-6 if level == "underarm" else next(each.y for each in BLOCK.levels if each.name == level)
    wide = Polygon(BLOCK.seam.closed().flatten(0.001)).intersection(LineString([(-999, y), (999, y)])).length
    amounts = {f"{level.replace(' ', '_')}_{side}": part * share * wide for side, part in (("front", 0.6), ("back", 0.4))}
    if may:
        moved_seam(BLOCK.seam, BLOCK.levels, amounts)
        return
    with pytest.raises(Refused) as refused:
        moved_seam(BLOCK.seam, BLOCK.levels, amounts)
    rule, facts = refused.value.problems[0]
    assert rule == "changed too much" and facts["was"] == pytest.approx(wide, abs=0.01)


def test_a_printed_limit_works_when_typed_back():
    with pytest.raises(Refused) as refused:
        moved_seam(BLOCK.seam, BLOCK.levels, {"longer_below_elbow": -190.0})
    facts = refused.value.problems[0].facts
    for limit in (facts["least"], facts["most"]):
        moved_seam(BLOCK.seam, BLOCK.levels, {"longer_below_elbow": limit})


def test_without_an_elbow_length_goes_in_above_it():
    block = block_of(DEFAULTS._replace(elbow_girth=0.0, elbow_level=0.0, sleeve_length=260.0, hem_girth=300.0))
    now = moved_seam(block.seam, block.levels, {"longer_above_elbow": -25.4})
    assert now.corner("front hem")[1] == pytest.approx(block.seam.corner("front hem")[1] - 25.4)
    with pytest.raises(Refused):
        moved_seam(block.seam, block.levels, {"longer_below_elbow": -25.4})
