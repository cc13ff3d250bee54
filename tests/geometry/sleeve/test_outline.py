"""The outline asked by name: corners, angles, widths and lines across, against shapely and plane geometry."""
from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

from geometry.curves.curve import Curve
from geometry.sleeve.outline import CORNERS, EDGES, Outline
from tests.geometry.shapes import MIRROR, as_polygon, sleeve, turned

SLEEVE = sleeve()
heights = st.floats(0, 500)


def straight_sleeve(**moved) -> Outline:
    """A hexagon; ``moved`` gives other places for corners (by name, with _ for spaces)."""
    places = dict(zip(CORNERS, [(-100, 0), (100, 0), (200, 100), (120, 500), (-120, 500), (-200, 100)]))
    places.update({name.replace("_", " "): place for name, place in moved.items()})
    ring = [*places.values(), places["back top"]]
    return Outline({name: Curve.line(a, b) for name, a, b in zip(EDGES, ring, ring[1:])})


def widest(outline: Outline, line: LineString) -> float:
    """How long shapely's longest piece of a line inside the outline is."""
    pieces = as_polygon(outline.closed()).intersection(line)
    return max(piece.length for piece in getattr(pieces, "geoms", [pieces]))


# --- what it is ------------------------------------------------------------------------------------------


def test_edges_and_corners_by_name():
    assert SLEEVE.corner("front underarm point").tolist() == [205, 110]
    assert SLEEVE.corner("back hem").tolist() == [-115, 500]
    for name, corner in zip(EDGES, CORNERS):
        assert SLEEVE.edge(name).start.tolist() == SLEEVE.corner(corner).tolist()
    assert SLEEVE.side("front").end.tolist() == SLEEVE.corner("front hem").tolist()
    assert SLEEVE.side("back").start.tolist() == SLEEVE.corner("back top").tolist()


def test_closed_runs_clockwise_round_what_shapely_fills():
    ring = SLEEVE.closed()
    assert ring.is_closed and len(ring) == 10
    assert ring.signed_area() == pytest.approx(as_polygon(ring).area, rel=1e-6) and ring.signed_area() > 0


def test_edges_that_nearly_meet_are_joined():
    edges = {name: SLEEVE.edge(name) for name in EDGES}
    edges["hem"] = edges["hem"].transformed([[1, 0, 5e-4], [0, 1, 0]])
    outline = Outline(edges)
    assert outline.closed().is_closed
    assert outline.edge("hem").start.tolist() == outline.edge("front underarm").end.tolist()


def test_edges_apart_are_refused_by_the_name_of_the_corner():
    edges = {name: SLEEVE.edge(name) for name in EDGES}
    edges["hem"] = edges["hem"].transformed([[1, 0, 0], [0, 1, 0.5]])
    with pytest.raises(ValueError, match="front hem"):
        Outline(edges)


def test_missing_edges_and_the_wrong_way_round_are_refused():
    with pytest.raises(ValueError, match="front armhole"):
        Outline({"top edge": Curve.line((0, 0), (1, 0))})
    with pytest.raises(ValueError, match="clockwise"):
        SLEEVE.transformed(MIRROR)


@pytest.mark.parametrize("corner", CORNERS)
def test_angles_of_a_hexagon(corner):
    hexagon = straight_sleeve()
    ring = [hexagon.corner(name) for name in CORNERS]
    k = CORNERS.index(corner)
    # By the law of cosines on the triangle of three neighbouring corners.
    a, b, c = (math.dist(ring[k], ring[k - 1]), math.dist(ring[k], ring[(k + 1) % 6]), math.dist(ring[k - 1], ring[(k + 1) % 6]))
    assert hexagon.corner_angle(corner) == pytest.approx(math.degrees(math.acos((a * a + b * b - c * c) / (2 * a * b))))


def test_a_hollow_corner_has_more_than_half_a_turn():
    outline = straight_sleeve(front_underarm_point=(90, 250), back_underarm_point=(-90, 250))
    assert outline.corner_angle("front underarm point") > 180
    assert sum(outline.corner_angle(name) for name in CORNERS) == pytest.approx(720)  # of any hexagon


@given(st.floats(-3, 3))
def test_turning_changes_no_angle(angle):
    moved = SLEEVE.transformed(turned(angle, (50, 9)))
    for corner in CORNERS:
        assert moved.corner_angle(corner) == pytest.approx(SLEEVE.corner_angle(corner), abs=1e-6)


# --- lines across ----------------------------------------------------------------------------------------


@given(heights)
def test_width_agrees_with_shapely(y):
    line = as_polygon(SLEEVE.closed()).intersection(LineString([(-900, y), (900, y)]))
    assert SLEEVE.width_at(y) == pytest.approx(line.bounds[2] - line.bounds[0], abs=1e-2 if 105 < y < 115 else 1e-4)


def test_width_at_the_top_edge_and_the_hem():
    assert SLEEVE.width_at(0) == pytest.approx(220)
    assert SLEEVE.width_at(500) == pytest.approx(230)
    assert SLEEVE.width_at(500 + 1e-9) == pytest.approx(230)
    with pytest.raises(ValueError, match="from 0 to 500 mm"):
        SLEEVE.width_at(501)


@given(heights, st.floats(-0.1, 0.1), st.floats(0.1, 400))
def test_a_line_is_trimmed_or_extended(y, slope, half):
    y = min(max(y, 50), 450)
    line = Curve.line((-half, y - half * slope), (half, y + half * slope))
    across = SLEEVE.across(line)
    far = LineString([(-900, y - 900 * slope), (900, y + 900 * slope)])
    assert across.length() == pytest.approx(widest(SLEEVE, far), abs=1e-3)
    assert across.start[0] < 0 < across.end[0]
    assert len(across) == 1 and across.is_straight(1e-9).all()
    for end, side in ((across.start, "back"), (across.end, "front")):
        assert SLEEVE.side(side).nearest(end).distance <= 2e-6


def test_a_line_drawn_the_other_way_runs_from_back_to_front_too():
    assert SLEEVE.across(Curve.line((50, 200), (-50, 200))).segments == pytest.approx(
        SLEEVE.across(Curve.line((-50, 200), (50, 200))).segments
    )


@pytest.mark.parametrize("aside", [0, 1e-9, -1e-9, 1e-3, -0.02])
def test_a_line_along_the_top_edge_is_it(aside):
    line = SLEEVE.across(Curve.line((-40, aside), (40, aside)))
    assert line.segments == pytest.approx(SLEEVE.edge("top edge").segments, abs=1e-9 + 3 * abs(aside))


def test_a_line_along_the_hem_is_the_hem():
    assert SLEEVE.across(Curve.line((-40, 500), (40, 500))).nodes == pytest.approx(SLEEVE.edge("hem").reversed().nodes)


def test_a_line_below_a_raised_top_edge_runs_from_corner_to_corner():
    raised = sleeve(top_edge_rise=15)
    line = raised.across(Curve.line((-1, 0), (1, 0)))
    assert line.nodes.tolist() == [raised.corner("back top").tolist(), raised.corner("front top").tolist()]


def test_a_line_at_the_underarm_points_joins_them():
    line = SLEEVE.across(Curve.line((-1, 110), (1, 110)))
    assert line.nodes == pytest.approx(np.array([[-205, 110], [205, 110]]), abs=1e-6)


def test_a_bent_line_is_trimmed_or_extended_straight():
    bent = Curve.cubic((-60, 300), (-20, 330), (20, 330), (60, 300))
    across = SLEEVE.across(bent)
    assert len(across) == 3
    assert across.between(1, 2).segments == pytest.approx(bent.segments)
    assert across.tangent(0) == pytest.approx(bent.tangent(0))
    wide = Curve.cubic((-300, 300), (-100, 330), (100, 330), (300, 300))
    flat = LineString(wide.flatten(1e-6))
    assert SLEEVE.across(wide).length() == pytest.approx(widest(SLEEVE, flat), abs=1e-3)


def test_the_longest_stretch_inside_is_kept():
    # The armhole dips below the underarm point, so that a horizontal there crosses each side twice more.
    dipped = straight_sleeve()
    edges = {name: dipped.edge(name) for name in EDGES}
    edges["front armhole"] = Curve.polyline([(100, 0), (150, 130), (200, 100)])
    edges["back armhole"] = edges["front armhole"].transformed(MIRROR).reversed()
    outline = Outline(edges)
    line = outline.across(Curve.line((-1, 120), (1, 120)))
    assert line.length() == pytest.approx(widest(outline, LineString([(-900, 120), (900, 120)])))


def test_many_lines_are_the_same_as_one_by_one():
    lines = [Curve.line((-1, y), (1, y + 0.1)) for y in range(30, 470, 11)]
    for together, alone in zip(SLEEVE.across_many(lines), map(SLEEVE.across, lines)):
        assert together.segments == pytest.approx(alone.segments)


def test_a_line_that_misses_the_sleeve_is_refused():
    with pytest.raises(ValueError, match="one side of the sleeve to the other"):
        SLEEVE.across(Curve.line((-1, 700), (1, 700)))
    with pytest.raises(ValueError, match="one side of the sleeve to the other"):
        SLEEVE.across(Curve.line((0, 100), (0, 200)))


def test_a_line_moved_onto_a_corner_stays_straight():
    assert SLEEVE.across(Curve.line((-40, -0.02), (40, -0.03))).is_straight(1e-9).all()
