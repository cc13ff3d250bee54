"""Tier lines, grain and notches on the outline, against svgpathtools and scipy."""
import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import CubicBezier, Line, Path

from geometry.curves.curve import Curve
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.marks import DOUBLE_NOTCH_GAP, arrowheads, grain_line, notch_ticks, place_notches, place_tick, tier_lines
from tests.bodies import DEFAULTS, block_of
from tests.geometry.shapes import level_line

SEAM = block_of(DEFAULTS).seam


def as_path(curve: Curve) -> Path:
    return Path(*(CubicBezier(*(complex(*point) for point in segment)) for segment in curve.segments))


@pytest.mark.parametrize("y", [1.0, 50.0, 102.0, 130.0, 300.0, 470.0])
def test_level_lines_reach_from_seam_to_seam(y):
    line = level_line(SEAM, y)
    across = Path(Line(complex(-1000, y), complex(1000, y)))
    xs = sorted(as_path(SEAM.closed()).point(t1).real for (t1, *_), _ in as_path(SEAM.closed()).intersect(across))
    assert line.start == pytest.approx((xs[0], y), abs=1e-4) and line.end == pytest.approx((xs[-1], y), abs=1e-4)


def test_the_first_tier_line_is_the_top_edge():
    first = tier_lines(SEAM, (0.0, 80.0))[0]
    assert (first.number, first.length) == (1, pytest.approx(SEAM.edge("top edge").length()))


@pytest.mark.parametrize("side", ["front", "back"])
def test_notches_stand_square_to_the_seam_at_their_distance(side):
    armhole = SEAM.edge(f"{side} armhole")
    ticks = notch_ticks(SEAM, side, 63.5, 12.7)
    assert len(ticks) == {"front": 1, "back": 2}[side]  # front single, back double: common practice, no source
    for number, tick in enumerate(ticks):
        (met,) = as_path(tick.extended(0, 20)).intersect(as_path(armhole))
        t = met[1][0]  # on the armhole, which is one cubic

        def speed(u: float) -> float:
            return float(np.hypot(*armhole.derivative(u)))

        # scipy's adaptive quadrature is the independent measure of the distance from the underarm point.
        low, high = (t, len(armhole)) if side == "front" else (0, t)
        assert quad(speed, low, high)[0] == pytest.approx(63.5 + number * DOUBLE_NOTCH_GAP, abs=1e-3)
        assert abs(tick.tangent(0) @ armhole.tangent(t)) < 1e-4


@pytest.mark.parametrize(("allowance", "depth"), [(12.7, 6.35), (15.0, 6.35), (10.0, 5.0), (6.0, 3.0)])
@pytest.mark.parametrize(
    "changes", [{}, {"top_edge_raise": 12.0}, {"sleeve_length": 250.0, "elbow_girth": 0.0, "elbow_level": 0.0, "hem_girth": 300.0}]
)
def test_notches_lie_within_the_allowance(changes, allowance, depth):
    """By shapely: each begins at the cut edge, is as deep as 1/4 in or half the allowance, and keeps clear of the seam."""
    draft = draft_sleeve(DEFAULTS._replace(seam_allowance=allowance, hand_girth=0.0, **changes), 6)
    seam, cut = (Polygon(curve.closed().flatten(1e-4) if curve is draft.seam else curve.flatten(1e-4)) for curve in (draft.seam, draft.cutting))
    ticks = [place_tick(draft.seam, notch, draft.settled.allowances) for notch in place_notches(draft.seam, draft.tiers, draft.block.levels)]
    ticks += [tick for side in ("front", "back") for tick in notch_ticks(draft.seam, side, draft.notches[0].from_underarm, allowance)]
    for tick in ticks:
        line = LineString(tick.nodes)
        assert line.length == pytest.approx(depth, abs=1e-6) and cut.buffer(0.01).covers(line)
        assert cut.exterior.distance(Point(tick.start)) < 0.01
        assert seam.distance(line) == pytest.approx(allowance - depth, abs=0.01) and seam.distance(line) >= allowance / 2 - 0.01


def test_every_place_is_notched_once():
    """Six tier lines: the top edge's ends are corners, the other five have two ends each; and the elbow, and the middle of the top edge."""
    draft = draft_sleeve(DEFAULTS._replace(elbow_level=330.0), 6)
    names = [notch.name for notch in place_notches(draft.seam, draft.tiers, draft.block.levels)]
    wanted = {f"tier {number} {side}" for number in range(2, 7) for side in ("front", "back")} | {"elbow front", "elbow back", "top edge middle"}
    assert set(names) == wanted and len(names) == len(wanted)
    # An elbow at a tier line is one place, and so one notch.
    at_tier = draft_sleeve(DEFAULTS._replace(elbow_level=draft.decided.plan.levels[4]), 6)
    names = [notch.name for notch in place_notches(at_tier.seam, at_tier.tiers, at_tier.block.levels)]
    assert set(names) == wanted - {"elbow front", "elbow back"}


def test_the_grain_line_is_straight_down_the_middle():
    line = grain_line(SEAM)
    assert np.allclose(line.nodes[:, 0], 0) and 0 < line.start[1] < line.end[1] < DEFAULTS.sleeve_length
    heads = arrowheads(line)
    assert all(head.is_closed for head in heads)
    assert [tuple(head.start) for head in heads] == [tuple(line.start), tuple(line.end)]


@pytest.mark.parametrize("tiers", range(1, 13))
def test_front_and_back_notch_are_not_mistaken_for_each_other(tiers):
    """No end of a tier line stands so near to a notch that a single one would look double, wherever there is room."""
    draft = draft_sleeve(DEFAULTS, tiers)
    gaps = []
    for notch in draft.notches:
        ticks = notch_ticks(draft.seam, notch.side, notch.from_underarm, 12.7)
        others = [p for p in place_notches(draft.seam, draft.tiers, draft.block.levels) if p.edge == f"{notch.side} armhole"]
        armhole = LineString(draft.seam.edge(f"{notch.side} armhole").flatten(1e-3))
        along = [armhole.project(Point(tick.end)) for tick in ticks]
        ends = [armhole.project(Point(draft.seam.edge(p.edge).point(p.t))) for p in others]
        gaps += [abs(a - b) for a in along for b in ends]
    assert min(gaps, default=100) > 1.9 * DOUBLE_NOTCH_GAP
