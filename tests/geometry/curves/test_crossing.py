"""Where curves meet each other and themselves, against shapely and by looking at both curves."""
from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.curves.curve import Curve
from tests.geometry.shapes import as_line, chains, random_chain, smooth_ring, turned

PARABOLA = Curve.cubic((-10, 100), (-10 / 3, -100 / 3), (10 / 3, -100 / 3), (10, 100))  # y = x²
SQUARE = Curve.polyline([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)])


def places(crossings) -> list:
    return [(round(c.t1, 9), round(c.t2, 9)) for c in crossings]


# --- two curves ----------------------------------------------------------------------------------------


@given(chains(), chains(), st.sampled_from([1e-6, 1e-3]))
def test_a_crossing_lies_on_both_curves(one, other, accuracy):
    crossings = one.crossings(other, accuracy)
    for crossing in crossings:
        assert np.hypot(*(one.point(crossing.t1) - crossing.point)) <= accuracy
        assert np.hypot(*(other.point(crossing.t2) - crossing.point)) <= 2 * accuracy
    assert [c.t1 for c in crossings] == sorted(c.t1 for c in crossings)


@given(chains(), chains())
def test_no_crossing_is_made_up_and_no_plain_one_is_missed(one, other):
    # shapely (GEOS) on the flattened curves, which stray by 1e-5 mm.
    line, other_line = as_line(one), as_line(other)
    if one.crossings(other):
        assert line.distance(other_line) <= 3e-5
    else:
        meet = shapely.get_coordinates(line.intersection(other_line))
        assert not any(cross_plainly(one, other, point) for point in meet)


def cross_plainly(one: Curve, other: Curve, point: np.ndarray) -> bool:
    """Whether flattened curves meet so steeply, and so far from any end, that the curves must cross too."""
    t, u = one.nearest(point).t, other.nearest(point).t
    ends = np.concatenate([one.nodes, other.nodes])
    if np.hypot(*(ends - point).T).min() < 1e-2:
        return False
    a, b = one.tangent(t), other.tangent(u)
    return abs(a[0] * b[1] - a[1] * b[0]) > 0.05


@pytest.mark.parametrize("seed", range(150))
def test_all_crossings_of_random_chains_are_found(seed):
    rng = np.random.default_rng(seed)
    one, other = random_chain(rng, 1 + seed % 4), random_chain(rng, 1 + seed % 3)
    expected = shapely.get_coordinates(as_line(one).intersection(as_line(other)))
    found = np.array([c.point for c in one.crossings(other)]).reshape(-1, 2)
    assert len(found) == len(expected)
    assert found[np.lexsort(found.T)] == pytest.approx(expected[np.lexsort(expected.T)], abs=5e-3)


@pytest.mark.parametrize("seed", range(20))
def test_the_other_way_round(seed):
    rng = np.random.default_rng(seed)
    one, other = random_chain(rng, 3), random_chain(rng, 3)
    there, back = one.crossings(other), other.crossings(one)
    assert np.array(sorted(c[:2] for c in there)) == pytest.approx(np.array(sorted(c[1::-1] for c in back)))


@given(st.integers(0, 10**6), st.floats(-3, 3))
def test_turning_both_moves_no_crossing(seed, angle):
    rng = np.random.default_rng(seed)
    one, other = random_chain(rng, 2), random_chain(rng, 2)
    matrix = turned(angle, (30, -70))
    before = one.crossings(other)
    after = one.transformed(matrix).crossings(other.transformed(matrix))
    assert [c.t1 for c in after] == pytest.approx([c.t1 for c in before], abs=1e-6)


def test_many_at_once_are_the_same_as_one_by_one():
    ring = smooth_ring(np.random.default_rng(5), 40)
    lines = [Curve.line((-70, y), (70, y + 5)) for y in range(-80, 80, 7)]
    together = ring.crossings_many(lines)
    assert [places(found) for found in together] == [places(ring.crossings(line)) for line in lines]
    assert ring.crossings_many([]) == []


def test_a_line_through_a_node_crosses_once():
    assert places(SQUARE.crossings(Curve.line((-5, -5), (15, 15)))) == [(0, 0.25), (2, 0.75)]  # the start counts once
    assert places(Curve.polyline([(0, 0), (5, 5), (10, 0)]).crossings(Curve.line((5, 0), (5, 9)))) == [(1, round(5 / 9, 9))]


def test_touching_ends_count():
    assert places(Curve.line((0, 0), (5, 5)).crossings(Curve.line((5, 5), (9, 0)))) == [(1, 0)]
    assert places(Curve.line((0, 0), (5, 5)).crossings(Curve.line((5, 5 + 1e-3), (9, 0)), accuracy=1e-2)) != []
    assert Curve.line((0, 0), (5, 5)).crossings(Curve.line((5, 5.01), (9, 9))) == []


def test_touching_without_crossing_is_found_once():
    for other in (Curve.line((-20, 0), (20, 0)), PARABOLA.transformed([[1, 0, 0], [0, -1, 0]]), PARABOLA.transformed([[1, 0, 0], [0, 2, 0]])):
        (touch,) = PARABOLA.crossings(other)
        assert touch.point == pytest.approx((0, 0), abs=1e-3)


def test_almost_touching():
    assert PARABOLA.crossings(Curve.line((-20, -1e-3), (20, -1e-3))) == []
    above = PARABOLA.crossings(Curve.line((-20, 1e-4), (20, 1e-4)))
    assert [c.point[0] for c in above] == pytest.approx([-0.01, 0.01])  # the roots of x² = 1e-4


def test_a_shared_stretch_is_found_as_its_ends():
    line = Curve.line((0, 0), (10, 0))
    assert places(line.crossings(Curve.line((5, 0), (20, 0)))) == [(0.5, 0), (1, round(1 / 3, 9))]
    assert places(line.crossings(Curve.line((20, 0), (5, 0)))) == [(0.5, 1), (1, round(2 / 3, 9))]
    assert places(line.crossings(Curve.polyline([(3, -5), (3, 0), (7, 0), (7, 5)]))) == [(0.3, 1), (0.7, 2)]
    assert places(PARABOLA.crossings(PARABOLA)) == [(0, 0), (1, 1)]
    assert places(PARABOLA.crossings(PARABOLA.reversed())) == [(0, 1), (1, 0)]
    part, rest = PARABOLA.between(0, 0.7), PARABOLA.between(0.3, 1)
    assert [c.point[0] for c in part.crossings(rest)] == pytest.approx([-4, 4])


def test_a_ring_along_itself_ends():
    ring = smooth_ring(np.random.default_rng(2), 30)
    assert len(ring.crossings(ring)) == 30
    assert len(ring.crossings(ring.transformed([[1, 0, 0.001], [0, 1, 0]]))) >= 2


def test_segments_of_no_length_change_nothing():
    line = Curve.line((0, 5), (10, 5))
    assert len(Curve.polyline([(0, 0), (5, 5), (5, 5), (5, 0), (0, 5)]).crossings(line)) == 2


# --- one curve with itself -----------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(120))
def test_self_crossings_agree_with_shapely(seed):
    curve = random_chain(np.random.default_rng(seed), 1 + seed % 4)
    flat = as_line(curve, 1e-4)
    crossings = curve.self_crossings()
    assert flat.is_simple == (not crossings)
    # Every crossing is one more node of the noded line, which cuts it twice.
    assert len(shapely.get_parts(shapely.node(flat))) == 1 + 2 * len(crossings)
    for crossing in crossings:
        assert crossing.t1 < crossing.t2
        assert curve.point(crossing.t1) == pytest.approx(curve.point(crossing.t2), abs=2e-6)


def test_joints_are_no_crossings():
    assert SQUARE.self_crossings() == []
    assert smooth_ring(np.random.default_rng(1), 60).self_crossings() == []
    assert Curve.cubic((0, 0), (10, 10), (-10, 10), (0, 0)).self_crossings() == []
    assert Curve.polyline([(0, 0), (5, 5), (5, 5), (9, 0)]).self_crossings() == []


def test_a_loop_inside_one_cubic():
    (loop,) = Curve.cubic((0, 0), (100, 100), (-50, 100), (50, 0)).self_crossings()
    assert loop.t1 + loop.t2 == pytest.approx(1)  # it is symmetric
    assert loop.point[0] == pytest.approx(25)
    assert Curve.cubic((0, 0), (100, 100), (0, 100), (100, 0)).self_crossings() == []  # a cusp is no loop


def test_figures_of_eight():
    assert places(Curve.polyline([(0, 0), (10, 10), (10, 0), (0, 10), (0, 0)]).self_crossings()) == [(0.5, 2.5)]
    at_a_node = Curve.polyline([(0, 0), (5, 5), (10, 0), (10, 10), (5, 5), (0, 10), (0, 0)])
    assert places(at_a_node.self_crossings()) == [(1, 4)]
    at_the_start = Curve.polyline([(5, 5), (10, 0), (10, 10), (5, 5), (0, 10), (0, 0), (5, 5)])
    assert len(at_the_start.self_crossings()) == 1


def test_doubling_back_is_found_where_it_ends():
    assert places(Curve.polyline([(0, 0), (10, 0), (3, 0)]).self_crossings()) == [(0.3, 2)]
