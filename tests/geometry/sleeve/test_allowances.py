"""The cutting line against shapely: its distance from the seam, its corners, and the hem folded up."""
from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import affine_transform
from shapely.geometry import LinearRing, LineString, Point, Polygon, box

from geometry.curves.curve import Curve
from geometry.measuring.measurements import Style
from geometry.refusal import Refused
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.outline import CORNERS, EDGES, Outline, Shape
from tests.bodies import DEFAULTS
from tests.clients import CLIENTS, Client
from tests.geometry.shapes import as_line, as_polygon, sleeve

ACCURACY = 0.005

#: As drafted: half an inch of seam, an inch of hem (common practice, no source).
USUAL = {**dict.fromkeys(EDGES, 12.7), "hem": 25.4}

SLEEVES = {
    "plain": sleeve(), "flared": sleeve(hem=190), "tapered": sleeve(hem=80), "curved hem": sleeve(hem_drop=25),
    "raised top edge": sleeve(top_edge_rise=20), "narrow underarm": sleeve(underarm=185),
}  # fmt: skip


def each_width(**widths) -> dict:
    return {**USUAL, **{name.replace("_", " "): width for name, width in widths.items()}}


def assert_at_its_distance(outline: Outline, cut: Curve, allowances: dict) -> None:
    """Whatever is square out from an edge, away from its corners, lies on the cutting line."""
    line = as_line(cut, 1e-4)
    corners = [outline.corner(name) for name in CORNERS]
    for name in EDGES:
        edge = outline.edge(name)
        t = np.linspace(0, len(edge), 60)
        tangents = edge.tangent(t)
        beside = edge.point(t) + allowances[name] * np.stack([tangents[:, 1], -tangents[:, 0]], axis=1)
        # A corner's neighbours are trimmed, mitred or mirrored; this far from one they are not.
        away = np.array([min(np.hypot(*(corner - p)) for corner in corners) for p in edge.point(t)]) > 2.5 * max(allowances.values())
        assert shapely.distance(line, shapely.points(beside[away])).max(initial=0) <= ACCURACY + 2e-4, name


def folded_up(cut: Curve, outline: Outline, at: str = "hem") -> float:
    """How far the cloth beyond a straight hem or top edge, folded along it, strays over the edge of the cloth."""
    line = outline.edge(at)
    y = line.start[1]
    cloth = as_polygon(cut, 1e-4)
    beyond = box(-900, y, 900, y + 900) if at == "hem" else box(-900, y - 900, 900, y)
    folded = affine_transform(cloth.intersection(beyond), [1, 0, 0, -1, 0, 2 * y])
    within = cloth.difference(beyond).intersection(box(*folded.bounds))
    return folded.symmetric_difference(within).area / folded.area


@pytest.mark.parametrize("name", SLEEVES)
@pytest.mark.parametrize("allowances", [
    USUAL, dict.fromkeys(EDGES, 10.0), each_width(top_edge=30), each_width(front_armhole=0, back_underarm=20), each_width(hem=0),
], ids=["usual", "even", "wide top edge", "uneven", "no hem"])  # fmt: skip
def test_cutting_lines(name, allowances):
    outline = SLEEVES[name]
    cut = cutting_line(outline, allowances, accuracy=ACCURACY)
    assert cut.is_closed and cut.signed_area() > 0
    cloth = as_polygon(cut, 1e-4)
    assert cloth.is_valid
    assert cloth.buffer(2 * ACCURACY).covers(as_polygon(outline.closed(), 1e-4))
    assert_at_its_distance(outline, cut, allowances)


@given(st.fixed_dictionaries({name: st.floats(0, 25) for name in EDGES}), st.floats(90, 190), st.floats(185, 215))
def test_any_allowances(allowances, hem, underarm):
    outline = sleeve(hem=hem, underarm=underarm)
    cut = cutting_line(outline, allowances, accuracy=ACCURACY)
    cloth = as_polygon(cut, 1e-4)
    assert cut.is_closed and cloth.is_valid
    assert cloth.buffer(2 * ACCURACY).covers(as_polygon(outline.closed(), 1e-4))
    assert_at_its_distance(outline, cut, allowances)


def test_no_allowances_leave_the_seam():
    outline = SLEEVES["plain"]
    cut = cutting_line(outline, dict.fromkeys(EDGES, 0.0))
    assert cut.nodes == pytest.approx(outline.closed().nodes, abs=1e-9)


def test_even_allowances_without_folds_are_a_mitred_buffer():
    outline = SLEEVES["plain"]
    cut = cutting_line(outline, dict.fromkeys(EDGES, 8.0), mirrored=(), accuracy=ACCURACY)
    expected = as_polygon(outline.closed(), 1e-4).buffer(8, join_style="mitre", mitre_limit=10)
    assert as_polygon(cut, 1e-4).symmetric_difference(expected).area <= ACCURACY * cut.length()


def test_top_corners_lie_where_the_parallels_cross():
    outline = SLEEVES["plain"]
    cut = cutting_line(outline, USUAL)
    # Half way round the outside of the corner the mitre is as long as distance / cos(half the turn).
    turn = math.radians(180 - outline.corner_angle("front top"))
    assert cut.nodes[1] == pytest.approx(outline.corner("front top") + 12.7 / math.cos(turn / 2) * bisector(outline, "front top"), abs=0.01)


def bisector(outline: Outline, corner: str) -> np.ndarray:
    index = CORNERS.index(corner)
    before, after = outline.edge(EDGES[index - 1]), outline.edge(EDGES[index])
    normals = [np.array([t[1], -t[0]]) for t in (before.tangent(len(before), incoming=True), after.tangent(0))]
    return sum(normals) / np.hypot(*sum(normals))


@pytest.mark.parametrize("name", ["plain", "flared", "tapered"])
@pytest.mark.parametrize("hem", [10.0, 25.4, 60.0])
def test_the_hem_folds_up_flat(name, hem):
    outline = SLEEVES[name]
    cut = cutting_line(outline, each_width(hem=hem), accuracy=ACCURACY)
    assert folded_up(cut, outline) <= 1e-4
    assert cut.bounds()[3] == pytest.approx(500 + hem)


def test_a_hem_that_does_not_fold_is_mitred_instead():
    outline = SLEEVES["flared"]
    assert folded_up(cutting_line(outline, USUAL, mirrored=()), outline) > 1e-3


def test_a_casing_folds_down_flat():
    outline = SLEEVES["plain"]
    cut = cutting_line(outline, each_width(top_edge=25.0), mirrored=("hem", "top edge"), accuracy=ACCURACY)
    assert folded_up(cut, outline, "top edge") <= 1e-4
    assert folded_up(cut, outline) <= 1e-4
    assert cut.bounds()[1] == pytest.approx(-25)


def test_a_curved_hem_is_mirrored_across_its_tangent_at_the_corner():
    outline = SLEEVES["curved hem"]
    cut = cutting_line(outline, USUAL, accuracy=ACCURACY)
    corner, along = outline.corner("front hem"), outline.edge("hem").tangent(0)
    # Householder's reflection across the line through the corner along the tangent.
    turn = 2 * np.outer(along, along) - np.eye(2)
    mirror = [*turn.ravel(), *(corner - turn @ corner)]
    line = as_line(cut, 1e-4)
    side = cut.between(*(cut.nearest(corner + [20, dy]).t for dy in (-15, -4)))
    image = affine_transform(as_line(side, 1e-4), mirror)
    assert max(line.distance(Point(p)) for p in image.coords) <= 2 * ACCURACY


def test_a_corner_too_sharp_is_squared_off():
    spike = Outline({
        "top edge": Curve.line((-100, 0), (100, 0)),
        "front armhole": Curve.line((100, 0), (420, 110)), "front underarm": Curve.line((420, 110), (120, 40)),
        "hem": Curve.line((120, 40), (-120, 40)),
        "back underarm": Curve.line((-120, 40), (-420, 110)), "back armhole": Curve.line((-420, 110), (-100, 0)),
    })  # fmt: skip
    allowances = dict.fromkeys(EDGES, 5.0)
    cut = cutting_line(spike, allowances, mirrored=())
    tips = [p for p in cut.nodes if np.hypot(*(p - spike.corner("front underarm point"))) < 40]
    assert len(tips) == 2
    assert all(np.hypot(*(p - spike.corner("front underarm point"))) <= 4 * 5 for p in tips)
    assert as_line(cut).distance(as_line(spike.closed())) >= 5 - 1e-6


def test_few_nodes():
    cut = cutting_line(SLEEVES["plain"], USUAL)
    assert len(cut) <= 30
    level = cut.between(0, 1)  # the top edge comes first
    assert level.is_straight(1e-9).all() and level.bounds()[1] == pytest.approx(-12.7)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_an_allowance_is_a_length(bad):
    with pytest.raises(ValueError, match=r"front underarm"):
        cutting_line(SLEEVES["plain"], each_width(front_underarm=bad))


def test_allowances_too_wide_for_a_hollow_are_refused():
    hollow = Outline({
        **{name: SLEEVES["plain"].edge(name) for name in EDGES},
        "front armhole": Curve.polyline([(110, 0), (112, 60), (205, 110)]),
    })  # fmt: skip
    with pytest.raises(Refused, match=r"^allowances leave no edge|^cutting line crosses itself"):
        cutting_line(hollow, each_width(front_underarm=1.0, front_armhole=150.0))


def test_a_point_too_thin_to_be_cut_around_is_refused_not_cut_through():
    """By hand: the front underarm seam runs on up beyond its corner, as thin as a hair, and back down to it."""
    tip, corner, hem = np.array((153.0, 77.0)), np.array((133.2, 96.9)), SLEEVES["plain"].corner("front hem")
    up = [(corner + tip) / 2, tip + (3, -3), tip]
    spiked = Outline({
        **{name: SLEEVES["plain"].edge(name) for name in EDGES},
        "front armhole": Curve([[SLEEVES["plain"].corner("front top"), (97, 44), (115, 88), corner]]),
        "front underarm": Curve([[corner, *up], [tip, tip + (-3, 3.3), tip + (-5, 6), tip + (-6, 8)], [tip + (-6, 8), (140, 130), (130, 300), hem]]),
    })  # fmt: skip
    with pytest.raises(Refused, match="point outside the cutting line"):
        cutting_line(spiked, USUAL)


def test_seam_inside_by_its_allowance_on_every_side():
    cloth = as_polygon(cutting_line(SLEEVES["plain"], USUAL, accuracy=ACCURACY), 1e-4)
    seam = as_line(SLEEVES["plain"].closed(), 1e-4)
    assert seam.distance(LineString(cloth.exterior.coords)) == pytest.approx(12.7, abs=2 * ACCURACY)


def test_any_other_piece_is_cut_out_too():
    """A band with another allowance at its fold, and a piece of five edges that is not symmetric, against shapely."""
    band = Shape(("upper", "front end", "lower", "back end"), ("1", "2", "3", "4"), ("front end",), ("back end",))
    ring = Curve.polyline([(-100, 0), (100, 0), (100, 40), (-100, 40), (-100, 0)])
    piece = Outline({name: ring.between(i, i + 1) for i, name in enumerate(band.edges)}, band)
    cut = cutting_line(piece, {"upper": 25.0, "front end": 10.0, "lower": 10.0, "back end": 10.0}, mirrored=("upper",))
    assert as_polygon(cut).symmetric_difference(box(-110, -25, 110, 50)).area < 0.01
    names = ("a", "b", "c", "d", "e")
    corners = [(0, 0), (90, -10), (130, 60), (60, 120), (-20, 70)]
    skew = Curve.polyline([*corners, corners[0]])
    piece = Outline({name: skew.between(i, i + 1) for i, name in enumerate(names)}, Shape(names, names, ("b", "c"), ("d", "e")))
    cut = cutting_line(piece, dict.fromkeys(names, 8.0), mirrored=())
    assert as_polygon(cut).symmetric_difference(Polygon(corners).buffer(8.0, join_style="mitre", mitre_limit=10)).area < 0.01


@pytest.mark.parametrize("inside", [8, 20, 40])
@pytest.mark.parametrize(("narrow", "wide"), [(15, 30), (6, 25), (15, 15)])
def test_a_sharp_corner_between_two_allowances_is_never_cut_nearer_than_the_narrower(inside, narrow, wide):
    """By shapely: every place of the outline, the sharp corner too, is at least the narrower allowance from the cut."""
    turn = math.radians(inside) / 2
    point = (80 * math.sin(turn) + 60, 200 + 80 * math.cos(turn))  # the front hem, drawn down to a point
    nodes = [(-60, 0), (60, 0), (110, 80), point, (-60, 200), (-110, 80)]
    edges = {name: Curve.polyline([a, b]) for name, a, b in zip(EDGES, nodes, [*nodes[1:], nodes[0]])}
    edges["front underarm"] = Curve.polyline([nodes[2], (60, 150), point])
    edges["hem"] = Curve.polyline([point, (60 - 40 * math.tan(turn), 150), nodes[4]])
    seam = Outline(edges)
    cut = cutting_line(seam, {**dict.fromkeys(EDGES, float(narrow)), "hem": float(wide)}, mirrored=())
    ring = LinearRing(cut.flatten(0.01))
    assert min(ring.distance(Point(p)) for p in seam.closed().flatten(0.5)) >= narrow - 0.02


@pytest.mark.parametrize("finish", ["elastic", "faced"])
@pytest.mark.parametrize(("cap", "casing"), [(45.0, 60.0), (60.0, 80.0), (60.0, 30.0), (90.0, 70.0)])
def test_a_deep_casing_on_a_shallow_cap_is_mirrored_or_refused_with_what_would_do(cap, casing, finish):
    """Folded in along the straight top edge it lies on the sleeve: shapely compares the widths on both sides of the fold."""
    given, style = DEFAULTS._replace(cap_height=cap, casing_allowance=casing), Style(finish=finish)
    if casing > cap:
        with pytest.raises(Refused) as refused:
            draft_sleeve(given, 1, style=style)
        assert refused.value.problems[0].rule == "allowances too wide"
        casing = refused.value.problems[0].facts["problem"].facts["most"]
        given = given._replace(casing_allowance=casing)
    cut = Polygon(draft_sleeve(given, 1, style=style).cutting.flatten(0.001))
    left, _, right, _ = cut.bounds
    # Down to where the point of both allowances at the underarm begins, which the armhole's cut does not reach.
    for y in np.linspace(2.0, min(casing, cap - 2 * given.seam_allowance) - 2.0, 8):
        above, below = (cut.intersection(LineString([(left - 1, h), (right + 1, h)])).length for h in (-y, y))
        assert above == pytest.approx(below, abs=0.02)


@pytest.mark.parametrize("client", ["Median", "Girl of six", "Full arm, small bust"])
@pytest.mark.parametrize("allowance", [12.7, 20.0, 25.0, 30.0])
@pytest.mark.parametrize("cap", [70.0, 99.0, 130.0])
def test_an_armhole_hollower_than_its_allowance_keeps_it_up_to_the_underarm(client, allowance, cap):
    """By shapely: from every place around the underarm corner to the cut; the fullness of an elastic leaves little run for the armhole."""
    (client,) = (each for each in CLIENTS if each.name == client)
    given = client.given()._replace(cap_height=cap, seam_allowance=allowance, hem_allowance=40.0, ease_cap=0.0)
    draft = draft_sleeve(given, 1, style=client.style()._replace(finish="elastic"))
    ring = LinearRing(draft.cutting.flatten(0.002))
    assert ring.is_simple
    for side in ("front", "back"):
        around = np.concatenate([draft.seam.edge(f"{side} {seam}").flatten(0.02) for seam in ("armhole", "underarm")])
        far = np.hypot(*(around - draft.seam.corner(f"{side} top")).T) > 2.5 * allowance
        assert shapely.distance(ring, shapely.points(around[far])).min() >= allowance - 0.02, side


#: Invented, in inches: armholes about as hollow at the back underarm point as their seam allowance.
JUST_AS_HOLLOW = {
    "a girl": {
        "bust_girth": "29 3/8", "shoulder_width": "12 1/2", "upper_arm_girth": "9 1/8", "off_shoulder_girth": "36 1/4", "upper_arm_level": "3 3/8",
        "elbow_girth": "7 1/4", "elbow_level": "9 3/4", "hem_girth": "7 3/4", "wrist_girth": "5 3/8", "wrist_level": "17 1/4", "flare_width": "12",
        "hem_allowance": "0", "hand_girth": "0", "length_style": "short", "shape": "flared", "finish": "faced", "edge_fullness": "1.5",
        "front_share": "47",
    },
    "matched": {
        "bust_girth": "34 3/4", "shoulder_width": "15 3/4", "upper_arm_girth": "11 3/4", "off_shoulder_girth": "48 1/8", "upper_arm_level": "5 3/4",
        "elbow_girth": "0", "elbow_level": "0", "sleeve_length": "11 5/8", "hem_girth": "0", "hand_girth": "0", "wrist_girth": "6 1/4",
        "wrist_level": "19 5/8", "seam_allowance": "1 1/8", "hem_allowance": "2", "cap_width": "13 5/8", "front_armhole_seam": "7 5/8",
        "back_armhole_seam": "7 7/8", "armhole_ease": "1/8", "finish": "faced",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", JUST_AS_HOLLOW)
@pytest.mark.parametrize("more", [-0.6, -0.1, 0.0, 0.1, 0.6])
def test_an_armhole_just_as_hollow_at_the_underarm_as_its_allowance_keeps_it(name, more):
    """There its parallel ends in a point, and which way it runs on is lost; by shapely around the underarm corners."""
    client = Client(name, JUST_AS_HOLLOW[name])
    given = client.given()
    draft = draft_sleeve(given._replace(seam_allowance=given.seam_allowance + more), 1, style=client.style())
    ring = LinearRing(draft.cutting.flatten(0.002))
    for side in ("front", "back"):
        around = np.concatenate([draft.seam.edge(f"{side} {seam}").flatten(0.02) for seam in ("armhole", "underarm")])
        near = np.hypot(*(around - draft.seam.corner(f"{side} underarm point")).T) < given.seam_allowance
        assert shapely.distance(ring, shapely.points(around[near])).min() >= given.seam_allowance + more - 0.02, side


#: Invented, in inches: a small child's short sleeve, whose hem tapers fast to an arm that is thin at the wrist.
FAST_TAPER = {
    "bust_girth": "20 3/4", "shoulder_width": "9 3/8", "upper_arm_girth": "5 5/8", "off_shoulder_girth": "25 3/8", "upper_arm_level": "1 7/8",
    "elbow_girth": "0", "elbow_level": "0", "sleeve_length": "4 5/8", "hem_girth": "0", "hand_girth": "0", "wrist_girth": "3 1/4",
    "wrist_level": "9 5/8",
}  # fmt: skip


def test_a_hem_allowance_deeper_than_the_hem_is_hollow_is_refused_with_what_would_do():
    """Beside an arc nothing is left beyond its centre (elementary geometry): its radius by the circle through three of its points."""
    asked = Client("A small child", FAST_TAPER).given()
    hem = draft_sleeve(asked, 1).seam.edge("hem")
    (x0, y0), (x1, y1), (x2, y2) = hem.point(np.array([0.0, len(hem) / 2, len(hem)]))
    sides = (math.hypot(x1 - x0, y1 - y0), math.hypot(x2 - x1, y2 - y1), math.hypot(x2 - x0, y2 - y0))
    radius = math.prod(sides) / 2 / abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0))
    with pytest.raises(Refused) as refused:
        draft_sleeve(asked._replace(hem_allowance=radius + 3), 1)
    wide, *others = refused.value.problems
    assert wide.facts["problem"].rule == "allowance beyond the curve"
    (span,) = [other.facts for other in others if other.facts["label"] == "Hem allowance"]
    assert span["most"] < radius + 0.01  # a cut is told from its seam to 0.005 mm
    for depth in (span["most"] / 10, span["most"]):
        cut = draft_sleeve(asked._replace(hem_allowance=depth), 1).cutting
        below = LinearRing(cut.flatten(0.005)).intersection(LineString([(x1, y1), (x1, y1 + 500)]))
        assert below.bounds[1] - y1 == pytest.approx(depth, abs=0.02)
