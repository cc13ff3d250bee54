"""Parallels against shapely (GEOS): distances, buffers, and what is cut away."""
from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point

from geometry.curves.arcs import arc_segments
from geometry.curves.curve import Curve
from geometry.curves.parallel import MITRE_LIMIT
from tests.geometry.shapes import as_line, as_polygon, random_chain, smooth_ring, turned

#: Flattening adds to what a parallel may stray.
FLAT = 1e-4


def distances(parallel: Curve, curve: Curve) -> np.ndarray:
    return shapely.distance(as_line(curve, FLAT), shapely.points(parallel.flatten(FLAT)))


def circle(radius: float) -> Curve:
    """A circle, clockwise on screen."""
    ends = (radius, 0.0), (-radius, 0.0)
    return Curve(np.concatenate([arc_segments(a, (radius, radius), 0, False, True, b) for a, b in (ends, ends[::-1])]))


# --- gentle curves --------------------------------------------------------------------------------------


@pytest.mark.parametrize("accuracy", [0.1, 0.01, 0.001, 0.0001])
@pytest.mark.parametrize("distance", [12.7, -12.7, 40.0])
def test_a_gentle_curve(distance, accuracy):
    curve = Curve([[(0, 0), (40, 5), (80, 60), (100, 130)], [(100, 130), (110, 165), (150, 200), (190, 210)]])
    parallel = curve.offset(distance, accuracy)
    assert np.abs(distances(parallel, curve) - abs(distance)).max() <= accuracy + FLAT
    # And it covers what shapely's offset covers (left is positive there with y up), which GEOS first
    # simplifies by a hundredth of the distance.
    expected = as_line(curve, FLAT).offset_curve(-distance, quad_segs=64)
    assert as_line(parallel, FLAT).hausdorff_distance(expected) <= accuracy + abs(distance) / 100


def test_positive_is_to_the_left_of_travel_on_screen():
    assert Curve.line((0, 0), (10, 0)).offset(2).segments == pytest.approx(Curve.line((0, -2), (10, -2)).segments)


def test_outside_of_a_clockwise_circle_is_left():
    for distance in (5.0, -5.0):
        parallel = circle(30).offset(distance)
        assert parallel.is_closed
        assert parallel.signed_area() == pytest.approx(math.pi * (30 + distance) ** 2, rel=1e-3)
        assert np.hypot(*parallel.flatten(FLAT).T) == pytest.approx(30 + distance, abs=0.006)


def test_few_pieces():
    """A quarter of a circle, bent as much as an armhole ever is, takes one cubic, to 0.005 mm."""
    k = 4 / 3 * (math.sqrt(2) - 1)
    quarter = Curve.cubic((100, 0), (100, 100 * k), (100 * k, 100), (0, 100))
    assert len(quarter.offset(12.7)) <= 2


@given(st.integers(0, 10**6), st.floats(-20, 20), st.floats(-3, 3))
def test_a_ring_turned_has_its_parallel_turned(seed, distance, angle):
    ring = smooth_ring(np.random.default_rng(seed), 8)
    matrix = turned(angle, (400, 90))
    before, after = ring.offset(distance), ring.transformed(matrix).offset(distance)
    assert after.signed_area() == pytest.approx(before.signed_area(), rel=1e-3)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("distance", [15.0, -15.0])
def test_smooth_rings_agree_with_buffers(seed, distance):
    ring = smooth_ring(np.random.default_rng(seed), 8)
    parallel = ring.offset(distance)
    expected = as_polygon(ring, FLAT).buffer(distance, quad_segs=256)
    assert as_polygon(parallel, FLAT).symmetric_difference(expected).area <= 0.02 * parallel.length()
    assert np.abs(distances(parallel, ring) - 15).max() <= 0.02


def test_none_at_distance_0():
    curve = random_chain(np.random.default_rng(0), 2)
    assert curve.offset(0) is curve


# --- straight lines and corners -------------------------------------------------------------------------


def test_straight_segments_stay_single_and_straight():
    square = Curve.polyline([(0, 0), (40, 0), (40, 40), (0, 40), (0, 0)])
    for distance, side in ((5, 50), (-5, 30)):
        parallel = square.offset(distance)
        assert len(parallel) == 4
        assert parallel.is_straight(1e-9).all()
        assert parallel.signed_area() == pytest.approx(side**2)


def test_straight_segments_with_handles_anywhere_on_them():
    line = Curve.cubic((0, 0), (0, 0), (30, 0), (30, 0))
    assert line.offset(2).is_straight(1e-9).all() and len(line.offset(2)) == 1


@pytest.mark.parametrize("degrees", [5, 45, 90, 120, 130])
def test_outside_corners_are_mitred(degrees):
    angle = math.radians(degrees)
    corner = Curve.polyline([(-80, 0), (0, 0), (80 * math.cos(angle), 80 * math.sin(angle))])  # turns right
    parallel = corner.offset(10)
    expected = as_line(corner).offset_curve(-10, join_style="mitre", mitre_limit=100)
    assert as_line(parallel).hausdorff_distance(expected) <= 1e-6
    assert len(parallel) == 2


@pytest.mark.parametrize("rise", [4, 30, 60])
def test_sharp_outside_corners_are_squared_off(rise):
    spike = Curve.polyline([(-80, 0), (0, 0), (-80, rise)])
    parallel = spike.offset(10)
    reach = np.hypot(*parallel.nodes.T)
    assert sorted(reach)[1] <= MITRE_LIMIT * 10
    assert distances(parallel, spike).min() >= 10 - 1e-6
    assert len(parallel) == 3


@pytest.mark.parametrize("degrees", [5, 45, 90, 120, 150])
def test_inside_corners_are_trimmed(degrees):
    angle = math.radians(degrees)
    corner = Curve.polyline([(-80, 0), (0, 0), (80 * math.cos(angle), 80 * math.sin(angle))])
    parallel = corner.offset(-10)
    expected = as_line(corner).offset_curve(10, join_style="mitre", mitre_limit=100)
    assert as_line(parallel).hausdorff_distance(expected) <= 1e-4
    assert len(parallel) == 2


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize("distance", [4.0, -4.0])
def test_polygons_agree_with_mitred_buffers(seed, distance):
    rng = np.random.default_rng(seed)
    angles = np.sort(rng.uniform(0, 0.3, 7)) + np.arange(7) * 2 * math.pi / 7
    nodes = rng.uniform(40, 60, 7)[:, None] * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    polygon = Curve.polyline([*nodes, nodes[0]])
    expected = as_polygon(polygon).buffer(distance, join_style="mitre", mitre_limit=100)
    assert as_polygon(polygon.offset(distance)).symmetric_difference(expected).area <= 1e-3


# --- loops -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("distance", [-12.0, -25.0])
def test_a_hollow_tighter_than_the_distance_loses_its_loop(distance):
    valley = Curve([[(-60, -60), (-40, 20), (-15, 30), (0, 30)], [(0, 30), (15, 30), (40, 20), (60, -60)]])
    parallel = valley.offset(-distance)
    assert as_line(parallel, FLAT).is_simple
    assert distances(parallel, valley) == pytest.approx(abs(distance), abs=0.02)


@pytest.mark.parametrize("seed", range(60))
def test_nothing_is_nearer_than_the_distance(seed):
    rng = np.random.default_rng(seed)
    curve, distance = random_chain(rng, 1), rng.uniform(-30, 30)
    try:
        parallel = curve.offset(distance)
    except ValueError:
        # Then no more than rounding is left of the side: shapely buffers one side only.
        side = as_line(curve, FLAT).buffer(-distance * 1.001, single_sided=True)
        whole = as_line(curve, FLAT).buffer(abs(distance) * 0.99, quad_segs=64)
        assert side.difference(whole).area < 0.05 * side.area
        return
    away = distances(parallel, curve)
    assert away.min() >= abs(distance) - 0.02
    assert away.max() <= abs(distance) + 0.02


def hollow_scallops(count: int, width: float, deep: float, uneven: float, seed: int = 0) -> Curve:
    """A hem from the front to the back, its scallops hollow: they meet in points that turn right back, outward."""
    rng = np.random.default_rng(seed)
    x = np.linspace(width / 2, -width / 2, count + 1)
    y = rng.uniform(-uneven, uneven, count + 1) if uneven else 0 * x
    return Curve([[(a, u), (a, u - deep), (b, v - deep), (b, v)] for a, b, u, v in zip(x, x[1:], y, y[1:])])


@pytest.mark.parametrize("uneven", [0.0, 4.0])
@pytest.mark.parametrize("deep", [9.0, 18.0, 26.0])
@pytest.mark.parametrize("count", [2, 3, 4, 5, 7])
@pytest.mark.parametrize("distance", [6.35, 12.7, 25.4])
def test_points_between_hollow_scallops_keep_the_distance_all_round(count, deep, uneven, distance):
    """Judged by a buffer of all that lies above the hem: what it covers between the ends lies inside the parallel."""
    width = 264.0
    hem = hollow_scallops(count, width, deep, uneven, seed=count)
    parallel = hem.offset(distance)
    line, base = as_line(parallel, FLAT), as_line(hem, FLAT)
    above = np.array([(-width / 2, -300.0), (width / 2, -300.0)])
    cloth = shapely.Polygon(np.concatenate([hem.flatten(FLAT), above]))
    cut = shapely.Polygon(np.concatenate([parallel.flatten(FLAT), above * (2, 1)]))
    reach = width / 2 - 1.5 * distance
    between = shapely.box(-reach, -200, reach, 200)
    assert line.is_simple and shapely.distance(line.intersection(between), base) >= distance - 0.02
    assert cloth.buffer(distance, quad_segs=64).intersection(between).difference(cut.buffer(0.02)).area <= 0.1
    assert cut.intersection(between).difference(cloth.buffer(distance * MITRE_LIMIT)).area <= 0.1


def test_a_ring_with_no_room_inside():
    with pytest.raises(ValueError, match="nothing is left"):
        circle(10).offset(-15)


def test_a_pinched_ring_keeps_its_longer_part():
    big, small = Point(0, 0).buffer(40), Point(90, 0).buffer(25)
    outline = big.union(small).union(shapely.box(0, -6, 90, 6))
    ring = Curve.polyline(np.array(outline.exterior.coords))
    ring = ring if ring.signed_area() > 0 else ring.reversed()
    inside = ring.offset(-10)
    expected = max(outline.buffer(-10, join_style="mitre").geoms, key=lambda part: part.area)
    assert as_polygon(inside).symmetric_difference(expected).area <= 0.1


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_distance_is_a_number(bad):
    with pytest.raises(ValueError, match="distance"):
        circle(10).offset(bad)


def test_a_dot_has_no_parallel():
    with pytest.raises(ValueError, match="no length"):
        Curve.line((1, 1), (1, 1)).offset(1)
