"""One curve: measured, cut and moved, against closed forms, quadrature and reference libraries."""
from __future__ import annotations

import math

import numpy as np
import pytest
from fontTools.misc.bezierTools import calcCubicArcLength, calcCubicBounds, splitCubicAtT
from fontTools.pens.areaPen import AreaPen
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import Point

from geometry.curves.curve import Curve
from tests.geometry.shapes import as_line, as_polygon, chain_through, chains, points, random_chain, smooth_ring, turned

#: y = x² from 0 to 1 as a cubic.
PARABOLA = Curve.cubic((0, 0), (1 / 3, 0), (2 / 3, 1 / 3), (1, 1))
#: Its length in closed form (any table of integrals).
PARABOLA_LENGTH = (2 * math.sqrt(5) + math.asinh(2)) / 4

shares = st.floats(0, 1)


# --- making --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("segments", [np.zeros((0, 4, 2)), np.zeros((4, 2)), np.zeros((1, 3, 2)), np.zeros((1, 4, 3))])
def test_another_shape_is_refused(segments):
    with pytest.raises(ValueError, match="shape"):
        Curve(segments)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_not_finite_are_refused(bad):
    with pytest.raises(ValueError, match="finite"):
        Curve.line((0, 0), (bad, 1))


def test_segments_that_do_not_meet_are_refused():
    with pytest.raises(ValueError, match="gap"):
        Curve([Curve.line((0, 0), (1, 0)).segments[0], Curve.line((1.01, 0), (2, 0)).segments[0]])


def test_a_curve_can_not_be_changed():
    with pytest.raises(ValueError, match="read-only"):
        PARABOLA.segments[0, 0, 0] = 1.0


def test_a_curve_keeps_a_copy():
    segments = np.array(PARABOLA.segments)
    curve = Curve(segments)
    segments[:] = 0
    assert (curve.segments == PARABOLA.segments).all()


def test_chain_moves_ends_together():
    joined = Curve.chain([Curve.line((0, 0), (1, 0)), Curve.line((1, 0.4), (2, 0))], gap=0.5)
    assert len(joined) == 2
    assert joined.nodes.tolist() == [[0, 0], [1, 0], [2, 0]]


def test_chain_closes_what_nearly_closes():
    assert Curve.chain([Curve.polyline([(0, 0), (9, 0), (9, 9), (0, 0.3)])], gap=0.5).is_closed


def test_chain_refuses_a_gap():
    with pytest.raises(ValueError, match=r"0.4 mm apart"):
        Curve.chain([Curve.line((0, 0), (1, 0)), Curve.line((1, 0.4), (2, 0))])


# --- looking -------------------------------------------------------------------------------------------


@given(chains(), shares)
def test_a_point_splits_as_in_fonttools(curve, share):
    t = share * len(curve)
    index = min(int(t), len(curve) - 1)
    assume(0.001 < t - index < 0.999)
    left, _ = splitCubicAtT(*(tuple(p) for p in curve.segments[index]), t - index)
    assert curve.point(t) == pytest.approx(left[-1], abs=1e-9)


@given(chains(), st.floats(0.01, 0.99))
def test_derivative_by_finite_difference(curve, share):
    t, h = share * len(curve), 1e-6
    assume(h < t % 1 < 1 - h)
    difference = (curve.point(t + h) - curve.point(t - h)) / (2 * h)
    assert curve.derivative(t) == pytest.approx(difference, abs=1e-2)


@given(chains(), st.floats(0.01, 0.99))
def test_curvature_is_the_turn_of_the_tangent(curve, share):
    t, h = share * len(curve), 1e-6
    speed = np.hypot(*curve.derivative(t))
    assume(h < t % 1 < 1 - h and speed > 1)
    before, after = curve.tangent(t - h), curve.tangent(t + h)
    turn = math.atan2(before[0] * after[1] - before[1] * after[0], before @ after)
    assert curve.curvature(t) == pytest.approx(turn / (2 * h * speed), rel=1e-3, abs=1e-5)


def test_curvature_is_positive_to_the_right_on_screen():
    assert Curve.cubic((0, 0), (1, 0), (2, 1), (2, 2)).curvature(0.5) > 0  # right, then down the screen


def test_many_places_at_once():
    t = np.linspace(0, 1, 5)
    assert PARABOLA.point(t) == pytest.approx(np.stack([t, t**2], axis=1))
    assert PARABOLA.derivative(t) == pytest.approx(np.stack([np.ones(5), 2 * t], axis=1))
    assert PARABOLA.curvature(t) == pytest.approx(2 / (1 + 4 * t**2) ** 1.5)  # closed form
    assert PARABOLA.tangent(t).shape == (5, 2)


def test_tangents_on_both_sides_of_a_node():
    corner = Curve.polyline([(0, 0), (3, 0), (3, 3)])
    assert corner.tangent(1).tolist() == [0, 1]
    assert corner.tangent(1, incoming=True).tolist() == [1, 0]
    assert corner.tangent(2, incoming=True).tolist() == corner.tangent(2).tolist() == [0, 1]


@pytest.mark.parametrize("cubic", [
    [(0, 0), (0, 0), (30, 40), (50, 0)],  # first handle retracted
    [(0, 0), (0, 0), (0, 0), (50, 20)],  # both handles on the start
    [(0, 0), (0, 0), (50, 20), (50, 20)],  # both retracted: a straight line
    [(0, 0), (10, 30), (50, 20), (50, 20)],  # last handle retracted
    [(0, 0), (50, 20), (50, 20), (50, 20)],
])  # fmt: skip
def test_tangents_at_retracted_handles_are_limits(cubic):
    curve = Curve.cubic(*cubic)
    for t, near in ((0.0, 1e-4), (1.0, 1 - 1e-4)):
        chord = (curve.point(near) - curve.point(t)) * (1 if near > t else -1)
        assert curve.tangent(t) == pytest.approx(chord / np.hypot(*chord), abs=1e-3)


def test_a_segment_of_no_length_heads_as_its_neighbours():
    curve = Curve.polyline([(0, 0), (4, 0), (4, 0), (4, 5)])
    assert curve.tangent(1.5).tolist() == [1, 0]
    assert curve.tangent(2).tolist() == [0, 1]
    assert Curve.polyline([(4, 0), (4, 0), (4, 5)]).tangent(0).tolist() == [0, 1]


def test_a_curve_of_no_length_has_no_direction():
    dot = Curve.line((1, 1), (1, 1))
    assert dot.length() == 0
    with pytest.raises(ValueError, match="no direction"):
        dot.tangent(0)


def test_straight_or_bent():
    curve = Curve([
        [(0, 0), (1, 0.01), (2, -0.01), (3, 0)], [(3, 0), (3, 0), (6, 0), (6, 0)], [(6, 0), (5, 0), (8, 0), (9, 0)],
    ])  # fmt: skip
    assert curve.is_straight(0.02).tolist() == [True, True, False]  # the last one doubles back
    assert curve.is_straight(0.001).tolist() == [False, True, False]


# --- measuring -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("accuracy", [10.0**-k for k in range(1, 13)])
def test_length_of_a_parabola(accuracy):
    assert abs(PARABOLA.length(accuracy) - PARABOLA_LENGTH) <= accuracy


@pytest.mark.filterwarnings("ignore::scipy.integrate.IntegrationWarning")  # at folds QUADPACK doubts itself
@given(chains())
def test_length_by_quadrature(curve):
    # QUADPACK through scipy.integrate.quad, told where the curve is slowest: there it may turn back.
    expected = 0.0
    for p0, p1, p2, p3 in curve.segments:
        pace = [np.poly1d(row) for row in np.transpose([3 * (p3 - p0) + 9 * (p1 - p2), 6 * (p0 - 2 * p1 + p2), 3 * (p1 - p0)])]
        squared = pace[0] ** 2 + pace[1] ** 2
        slowest = sorted(t.real for t in squared.deriv().roots if 0 < t.real < 1)
        places = [0.0, *slowest, 1.0]
        expected += sum(
            quad(lambda t, squared=squared: math.sqrt(max(squared(t), 0.0)), a, b, epsabs=1e-8, limit=200)[0]
            for a, b in zip(places, places[1:])
        )
    assert curve.length() == pytest.approx(expected, abs=2e-5)


@pytest.mark.parametrize("seed", range(20))
def test_length_agrees_with_fonttools(seed):
    curve = random_chain(np.random.default_rng(seed), 4)
    # fontTools halves a cubic until chord and handles agree to this share.
    share = 1e-7
    expected = sum(calcCubicArcLength(*(tuple(p) for p in segment), tolerance=share) for segment in curve.segments)
    assert curve.length() == pytest.approx(expected, rel=2 * share)


@given(chains(), st.floats(-0.2, 1.2))
def test_at_length_undoes_length_to(curve, share):
    total = curve.length()
    assume(total > 1)
    t = curve.at_length(share * total)
    assert 0 <= t <= len(curve)
    assert curve.length_to(t) == pytest.approx(min(max(share, 0), 1) * total, abs=1e-5)


@given(chains())
def test_bounds_agree_with_fonttools(curve):
    boxes = np.array([calcCubicBounds(*(tuple(p) for p in segment)) for segment in curve.segments])
    expected = (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
    # fontTools leaves out extrema that rounding puts just past an end.
    assert curve.bounds() == pytest.approx(expected, abs=1e-6)


def test_area_is_positive_clockwise_on_screen():
    square = Curve.polyline([(0, 0), (3, 0), (3, 3), (0, 3), (0, 0)])  # right, then down
    assert square.signed_area() == pytest.approx(9)
    assert square.reversed().signed_area() == pytest.approx(-9)


@pytest.mark.parametrize("seed", range(10))
def test_area_agrees_with_shapely_and_fonttools(seed):
    ring = smooth_ring(np.random.default_rng(seed), 7)
    pen = AreaPen()
    pen.moveTo(tuple(ring.start))
    for segment in ring.segments:
        pen.curveTo(*(tuple(p) for p in segment[1:]))
    pen.closePath()
    assert ring.signed_area() == pytest.approx(pen.value, rel=1e-12)
    assert ring.signed_area() == pytest.approx(as_polygon(ring).area, abs=400 * 1e-5)


def test_an_open_curve_has_no_area():
    with pytest.raises(ValueError, match="open"):
        PARABOLA.signed_area()


@given(chains(), points)
def test_nearest_agrees_with_shapely(curve, point):
    nearest = curve.nearest(point)
    assert nearest.distance == pytest.approx(as_line(curve).distance(Point(point)), abs=2e-5)
    assert nearest.point == pytest.approx(curve.point(nearest.t))
    assert nearest.distance == pytest.approx(np.hypot(*(nearest.point - point)))


@pytest.mark.parametrize("accuracy", [1.0, 0.1, 0.01, 0.001])
@pytest.mark.parametrize("seed", range(5))
def test_flattened_within_accuracy(accuracy, seed):
    curve = random_chain(np.random.default_rng(seed), 3)
    coarse = as_line(curve, accuracy)
    on_it = curve.point(np.linspace(0, len(curve), 3000))
    assert max(coarse.distance(Point(p)) for p in on_it) <= accuracy
    assert len(Curve.polyline([(0, 0), (5, 0), (5, 5)]).flatten(accuracy)) == 3


@given(chains(), st.floats(-math.pi, math.pi), points)
def test_turning_and_moving_changes_no_measure(curve, angle, by):
    moved = curve.transformed(turned(angle, by))
    assert moved.length() == pytest.approx(curve.length(), abs=1e-4)
    ring, ring_moved = (Curve.chain([c, Curve.line(c.end, c.start)]) for c in (curve, moved))
    assert ring_moved.signed_area() == pytest.approx(ring.signed_area(), abs=1e-6)
    assert moved.end == pytest.approx(turned(angle, by) @ [*curve.end, 1])


# --- cutting and moving --------------------------------------------------------------------------------


@given(chains(), shares, shares)
def test_a_part_is_the_same_curve(curve, one, other):
    t0, t1 = sorted((one * len(curve), other * len(curve)))
    assume(t1 - t0 > 1e-3)
    part = curve.between(t0, t1)
    assert part.start == pytest.approx(curve.point(t0))
    assert part.end == pytest.approx(curve.point(t1))
    assert part.length() == pytest.approx(curve.length_to(t1) - curve.length_to(t0), abs=1e-4)
    middle = curve.point((t0 + t1) / 2)
    assert part.nearest(middle).distance <= 1e-6


def test_split_at_a_node_keeps_whole_segments():
    curve = random_chain(np.random.default_rng(1), 3)
    left, right = curve.split(1)
    assert (left.segments == curve.segments[:1]).all()
    assert (right.segments == curve.segments[1:]).all()


@pytest.mark.parametrize("ends", [(0.5, 0.5), (0.6, 0.5), (-0.1, 0.5), (0.5, 1.1)])
def test_a_part_runs_forward_and_inside(ends):
    with pytest.raises(ValueError, match="part"):
        PARABOLA.between(*ends)


@given(chains(), shares)
def test_reversed(curve, share):
    there, back = curve, curve.reversed()
    assert back.point((1 - share) * len(curve)) == pytest.approx(there.point(share * len(curve)), abs=1e-6)


def test_extended_straight_along_the_tangents():
    longer = PARABOLA.extended(2, math.sqrt(5))
    assert longer.start == pytest.approx((-2, 0))
    assert longer.end == pytest.approx((2, 3))
    assert longer.length(1e-9) == pytest.approx(PARABOLA_LENGTH + 2 + math.sqrt(5))
    assert len(Curve.line((0, 0), (1, 0)).extended(1, 2)) == 1
    assert PARABOLA.extended(0, 0).segments == pytest.approx(PARABOLA.segments)
    with pytest.raises(ValueError, match="longer"):
        PARABOLA.extended(-1, 0)


def test_tidied():
    curve = Curve.polyline([(0, 0), (2, 0), (2, 0.0001), (5, 0), (5, 3), (5, 1)])
    assert curve.tidied(0.001).nodes.tolist() == [[0, 0], [5, 0], [5, 3], [5, 1]]  # a turn back is no line on
    assert curve.tidied(0.001).end.tolist() == curve.end.tolist()


def test_chain_of_a_line_and_a_curve_is_a_curve_like_any():
    curve = Curve.chain([Curve.line((-1, 0), (0, 0)), PARABOLA])
    assert curve.length(1e-9) == pytest.approx(1 + PARABOLA_LENGTH)
    assert curve.point(1).tolist() == [0, 0]
    assert chain_through([*curve.segments[:, :3].reshape(-1, 2).tolist(), [1, 1]]).length() == pytest.approx(curve.length())
