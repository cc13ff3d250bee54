"""Lettering near where it stood: what lies between, held against shapely."""
from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiLineString, Point, box

from geometry.box import Box
from geometry.paper.relettering import REACH, boxes_near, in_sight

PLACE = st.tuples(st.integers(-20, 20), st.integers(-20, 20))
SEGMENT = st.tuples(PLACE, PLACE).filter(lambda ends: ends[0] != ends[1])


@given(PLACE, st.lists(PLACE, min_size=1, max_size=8), st.lists(SEGMENT, min_size=1, max_size=8))
def test_what_is_in_sight_is_what_no_line_parts(start, ends, segments):
    """Where a line only touches, or runs along, either answer is right."""
    lines = MultiLineString([LineString(segment) for segment in segments])
    flat = np.array(segments, dtype=float).reshape(-1, 4)
    for end, seen in zip(ends, in_sight(np.array(start, dtype=float), np.array(ends, dtype=float), flat)):
        way = LineString([start, end]) if start != end else Point(start)
        if way.distance(lines) > 0:
            assert seen
        elif way.geom_type == "LineString" and any(way.crosses(LineString(segment)) for segment in segments):
            assert not seen


@given(PLACE, st.floats(5, 80), st.floats(3, 20), st.floats(2.7, 15))
def test_places_lie_around_where_it_stood(corner, wide, high, size):
    stood = Box(corner[0], corner[1], corner[0] + wide, corner[1] + high)
    places = boxes_near(stood, (2 * wide, 2 * high), size)
    middle, shapes = box(*stood).centroid, [box(*place) for place in places.tolist()]
    distances = np.array([shape.centroid.distance(middle) for shape in shapes])
    assert distances[0] < 1e-9 and (np.diff(distances) > -1e-9).all()
    assert distances.max() <= np.hypot(*REACH) * size + 1e-9
    assert np.allclose([shape.area for shape in shapes], 4 * wide * high)
