"""Tier lines, grain and notches on the outline, against svgpathtools and scipy."""
import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import CubicBezier, Line, Path

from geometry.curves.curve import Curve
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS as TYPED
from geometry.measuring.measurements import read_style
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.marks import DOUBLE_NOTCH_GAP, arrowheads, grain_line, notch_ticks, place_notches, place_tick, tier_lines
from tests.bodies import DEFAULTS, block_of
from tests.geometry.shapes import level_line

SEAM = block_of(DEFAULTS).seam
CUT = draft_sleeve(DEFAULTS, 6).cutting

#: Invented sleeves on which a notch stands where the cut isn't beside the seam by the allowance: what differs from the
#: example, and how many tiers.
BESIDE_CORNERS = {
    "a tube with a line just below its bound edge": ({
        "shape": "straight", "finish": "bound", "spacing": "growing 1.3", "elbow_girth": "0", "elbow_level": "0", "sleeve_length": "11 1/4",
        "hem_girth": "0", "wrist_girth": "7 1/8", "wrist_level": "20 1/2",
        "upper_arm_girth": "11 5/8", "upper_arm_level": "6 1/8", "cap_height": "4 1/4", "cap_width": "0", "seam_allowance": "3/8",
    }, 14),
    "a full arm and a wide allowance": ({
        "length_style": "full", "finish": "elastic", "ease_cap": "45 %", "ease_upper_arm": "80 %", "ease_hem": "15 %", "bust_girth": "126.8 cm",
        "shoulder_width": "44.8 cm", "upper_arm_girth": "46.8 cm", "off_shoulder_girth": "139 cm", "upper_arm_level": "10.5 cm",
        "elbow_girth": "37.3 cm", "elbow_level": "24.7 cm", "sleeve_length": "48.3 cm", "hem_girth": "35.6 cm", "wrist_girth": "26.3 cm",
        "wrist_level": "50.5 cm", "seam_allowance": "4.5 cm", "front_armhole_seam": "22.3 cm",
    }, 4),
    "lines aslant and a wide allowance": ({
        "finish": "bound", "tier_layout": "aslant",
        "front_share": "56", "spacing_snap": "1/8in", "bust_girth": "91.3 cm", "shoulder_width": "38.6 cm",
        "upper_arm_girth": "41.1 cm", "off_shoulder_girth": "111.2 cm", "upper_arm_level": "17.3 cm", "elbow_girth": "33.5 cm",
        "elbow_level": "25.5 cm", "sleeve_length": "48.9 cm", "hem_girth": "0", "wrist_girth": "26 cm", "wrist_level": "52.8 cm",
        "band_width": "5.3 cm", "ease_cap": "4.2 cm", "ease_upper_arm": "4.6 cm", "ease_elbow": "2.3 cm", "ease_hem": "0",
        "seam_allowance": "5.1 cm", "body_edge_reduction": "3.9 cm", "cap_width": "52.1 cm",
        "front_body_edge": "34.5 cm", "back_body_edge": "35.9 cm",
    }, 10),
}  # fmt: skip

#: Invented sleeves with tier lines too close for a notch to stand clear of their ends: as above, each with fourteen tiers.
CLOSE_LINES = (
    {
        "shape": "flared", "finish": "band", "ease": "easy", "wearer": "child", "bust_girth": "31 7/8", "shoulder_width": "12 3/4",
        "upper_arm_girth": "8 1/2", "off_shoulder_girth": "33 5/8", "upper_arm_level": "4 1/2", "elbow_girth": "0", "elbow_level": "0",
        "sleeve_length": "7 1/8", "hem_girth": "4 7/8", "cap_height": "5 7/8", "flare_width": "11 3/4", "band_width": "1 1/2",
        "seam_allowance": "1", "hem_allowance": "1", "cap_width": "9 3/4", "front_scoop": "3/8",
    },
    {
        "length_style": "short", "finish": "band", "ease": "easy", "armhole_keep": "width", "bust_girth": "35 5/8", "shoulder_width": "16 1/2",
        "upper_arm_girth": "11 3/8", "off_shoulder_girth": "42 7/8", "upper_arm_level": "7 3/8", "elbow_girth": "10 1/8", "elbow_level": "14 3/8",
        "sleeve_length": "19 3/4", "hem_girth": "9 1/4", "cap_height": "6 1/8", "seam_allowance": "3/8", "hem_allowance": "3/8",
        "body_edge_reduction": "1 7/8", "cap_width": "12", "front_armhole_seam": "9 3/8", "back_armhole_seam": "9", "armhole_ease": "1/2",
    },
)  # fmt: skip


def draft_of(typed: dict, tiers: int):
    whole = {**TYPED, "hand_girth": "0", **typed}
    return draft_sleeve(read_given(whole, "in"), tiers, whole.get("spacing_snap", "none"), "in", read_style(whole))


def all_ticks(draft) -> list[tuple[str, Curve]]:
    """Every notch of a sleeve with the edge that it is for."""
    places = place_notches(draft.seam, draft.tiers, draft.block.levels)
    ticks = [(place.edge, place_tick(draft.seam, place, draft.settled.allowances, draft.cutting)) for place in places]
    for side, distance, *_ in draft.notches:
        ticks += [(f"{side} armhole", tick) for tick in notch_ticks(draft.seam, side, distance, draft.settled.seam_allowance, draft.cutting)]
    return ticks


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
    ticks = notch_ticks(SEAM, side, 63.5, 12.7, CUT)
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
    places = place_notches(draft.seam, draft.tiers, draft.block.levels)
    ticks = [place_tick(draft.seam, place, draft.settled.allowances, draft.cutting) for place in places]
    ticks += [tick for side in ("front", "back") for tick in notch_ticks(draft.seam, side, draft.notches[0].from_underarm, allowance, draft.cutting)]
    for tick in ticks:
        line = LineString(tick.nodes)
        assert line.length == pytest.approx(depth, abs=1e-6) and cut.buffer(0.01).covers(line)
        assert cut.exterior.distance(Point(tick.start)) < 0.01
        assert seam.distance(line) == pytest.approx(allowance - depth, abs=0.01) and seam.distance(line) >= allowance / 2 - 0.01


@pytest.mark.parametrize(("typed", "tiers"), BESIDE_CORNERS.values(), ids=BESIDE_CORNERS)
def test_a_notch_begins_on_the_cut_where_that_is_not_beside_the_seam(typed, tiers):
    """By shapely, along the square from the seam: from where it leaves the cut piece, and no more than halfway in to the seam."""
    draft = draft_of(typed, tiers)
    cut, seam, elsewhere = Polygon(draft.cutting.flatten(1e-4)), Polygon(draft.seam.closed().flatten(1e-4)), 0
    for edge, tick in all_ticks(draft):
        allowance = draft.settled.allowances[edge]
        if not allowance:
            continue
        start, end = tick.nodes
        inward = (end - start) / np.hypot(*(end - start))
        across = LineString([start, start + 500 * inward]).intersection(LineString(draft.seam.edge(edge).flatten(1e-4)))
        way = min(Point(start).distance(place) for place in getattr(across, "geoms", [across]))
        assert cut.exterior.distance(Point(start)) < 0.06 and cut.buffer(0.06).covers(LineString([start, start + way * inward]))
        assert LineString([start, end]).length == pytest.approx(min(6.35, allowance / 2, way / 2), abs=0.02)
        assert not seam.intersects(LineString([start, end]))
        elsewhere += abs(way - allowance) > 1
    assert elsewhere  # the sleeve has a notch of the kind


@pytest.mark.parametrize("typed", CLOSE_LINES)
def test_a_notch_among_close_lines_is_told_from_theirs(typed):
    """None within a twelfth of an inch of another, and none between the two of the back one: by shapely, along the seam."""
    draft = draft_of(typed, 14)
    for side, distance, *_ in draft.notches:
        armhole = LineString(draft.seam.edge(f"{side} armhole").flatten(1e-3))
        ends = [draft.seam.edge(p.edge).point(p.t) for p in place_notches(draft.seam, draft.tiers, draft.block.levels) if p.edge == f"{side} armhole"]
        along = [armhole.length - at if side == "front" else at for at in (armhole.project(Point(end)) for end in ends)]
        assert len(along) > 5 and not [at for at in along if distance - 25.4 / 12 < at < distance + DOUBLE_NOTCH_GAP + 25.4 / 12]
        assert 63.5 / 2 <= distance <= 63.5 * 3 / 2  # near the usual 2 1/2 in (common practice, no source)


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
        ticks = notch_ticks(draft.seam, notch.side, notch.from_underarm, 12.7, draft.cutting)
        others = [p for p in place_notches(draft.seam, draft.tiers, draft.block.levels) if p.edge == f"{notch.side} armhole"]
        armhole = LineString(draft.seam.edge(f"{notch.side} armhole").flatten(1e-3))
        along = [armhole.project(Point(tick.end)) for tick in ticks]
        ends = [armhole.project(Point(draft.seam.edge(p.edge).point(p.t))) for p in others]
        gaps += [abs(a - b) for a in along for b in ends]
    assert min(gaps, default=100) > 1.9 * DOUBLE_NOTCH_GAP
