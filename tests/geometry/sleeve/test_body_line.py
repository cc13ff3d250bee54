"""How far the Body line is drawn: against distances by shapely, on real bodies."""
from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, MultiLineString, Point, Polygon

from geometry.curves.curve import Curve
from geometry.measuring.measurements import USUAL
from geometry.sleeve.body_line import LEAST_APART, LEAST_STRETCH, apart_from
from tests.bodies import DEFAULTS, block_of, measurements_of, women

FINE = 0.002
#: Between shapely's polylines and ours, millimetres.
SLACK = 0.02


def line(curve: Curve) -> LineString:
    return LineString(curve.flatten(FINE))


def along(curve: Curve) -> list[Point]:
    return [Point(point) for point in curve.point(np.linspace(0, len(curve), 60 * len(curve)))]


@pytest.mark.parametrize("number", range(0, 260, 13))
def test_all_of_it_that_can_be_told_from_the_seam_line_is_drawn_and_no_more(number):
    block = block_of(measurements_of(women()[number]))
    body, seam = block.body.closed(), block.seam.closed()
    stretches = apart_from(body, seam)
    drawn, other = MultiLineString([line(stretch) for stretch in stretches]), line(seam)
    assert all(point.distance(other) >= LEAST_APART - SLACK for stretch in stretches for point in along(stretch))
    left_out = line(body).difference(drawn.buffer(0.01))
    for piece in getattr(left_out, "geoms", [left_out]):
        farthest = max((Point(point).distance(other) for point in piece.segmentize(0.3).coords), default=0.0)
        assert farthest <= LEAST_APART + 0.05 or piece.length < LEAST_STRETCH + SLACK
    assert line(body).buffer(0.01).covers(drawn)


@pytest.mark.parametrize("flare", [1000.0, 1117.6, 1300.0, 1345.0])  # to a full circle, a short sleeve spread from the underarm
def test_of_a_widely_spread_sleeve_only_what_lies_in_the_piece_is_drawn(flare):
    style = USUAL._replace(length_style="short", shape="flared", flare_from="underarm")
    block = block_of(DEFAULTS._replace(flare_width=flare, hand_girth=0.0), style)
    assert block.spread is not None
    body, seam = block.body.closed(), block.seam.closed()
    piece, stretches = Polygon(seam.flatten(FINE)), apart_from(body, seam)
    drawn = MultiLineString([line(stretch) for stretch in stretches])
    assert piece.buffer(SLACK - LEAST_APART).covers(drawn)
    left_out = line(body).difference(drawn.buffer(0.01)).intersection(piece.buffer(-LEAST_APART - 0.05))
    assert all(part.length < LEAST_STRETCH + SLACK for part in getattr(left_out, "geoms", [left_out]))


def square(side: float) -> Curve:
    return Curve.polyline([(-side, -side), (side, -side), (side, side), (-side, side), (-side, -side)])


def test_a_line_that_never_comes_near_is_whole_and_one_that_always_is_near_is_gone():
    """Squares in each other: the distance is half the difference of their sides."""
    [whole] = apart_from(square(50 - 0.71), square(50))
    assert whole.length() == pytest.approx(8 * (50 - 0.71))
    assert apart_from(square(50 - 0.69), square(50)) == []


def test_it_ends_where_it_comes_too_near():
    """A triangle's edge leaves the other's at a slope of 1 in 10: 0.7 mm are reached 7 mm from the corner, square to the edge
    (0.7 times the root of 101).
    """
    seam = Curve.polyline([(0, 0), (100, 0), (100, 100), (0, 0)])
    body = Curve.polyline([(0, 0), (80, 8), (80, 60), (0, 0)])
    distances = [Point(stretch.start).distance(line(seam)) for stretch in apart_from(body, seam)]
    assert distances and distances[0] == pytest.approx(0.7, abs=1e-3)
