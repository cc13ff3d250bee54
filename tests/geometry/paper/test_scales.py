"""Grids, scales and dimensions of what is not cut from.

The inch is 25.4 mm (the international yard and pound agreement of 1959; NIST SP 811, B.8).
"""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

from geometry.box import Box
from geometry.paper.dimensions import height_of, scale_bar, width_of
from geometry.paper.scales import grid_around, grid_lines, scales_from

SIDE = {"in": 25.4, "cm": 10.0}
LARGE = {"in": 127.0, "cm": 100.0}
BOXES = st.builds(lambda x, y, wide, high: Box(x, y, x + wide, y + high), *[st.floats(-500, 500)] * 2, *[st.floats(1, 1500)] * 2)


@given(BOXES, st.sampled_from(["in", "cm"]))
def test_a_grid_is_of_whole_large_squares_around_the_drawing(drawn, unit):
    grid = grid_around(drawn, unit, 40)
    assert box(*grid).buffer(1e-6).covers(box(*drawn).buffer(40, join_style="mitre"))
    for side, drawn_side in ((grid.width, drawn.width), (grid.height, drawn.height)):
        squares = side / LARGE[unit]
        assert squares == pytest.approx(round(squares), abs=1e-6)
        assert side < drawn_side + 80 + LARGE[unit] + 1e-6


@pytest.mark.parametrize("unit", SIDE)
def test_a_grid_has_a_line_at_every_inch_or_centimetre(unit):
    grid = Box(10, 20, 10 + 3 * LARGE[unit], 20 + 2 * LARGE[unit])
    lines = grid_lines(grid, unit)
    for upright, start, end in ((True, grid.left, grid.right), (False, grid.top, grid.bottom)):
        along = sorted((line for line in lines if line.upright == upright), key=lambda line: line.number)
        places = [line.line.start[0 if upright else 1] for line in along]
        assert places == pytest.approx(np.arange(start, end + 1e-6, SIDE[unit]).tolist())
        assert [line.number for line in along if line.strong] == list(range(0, len(along), round(LARGE[unit] / SIDE[unit])))
        assert all(LineString(line.line.nodes).length == pytest.approx(grid.height if upright else grid.width) for line in along)
    strength = [line.strong for line in lines]
    assert strength == sorted(strength)  # strong ones are drawn over the others


def test_scales_go_on_from_the_one_asked():
    """1:5, 1:10 and 1:20 are recommended by ISO 5455:1979, table 1; each is tried after the larger ones."""
    assert scales_from(4)[0] == 4 and scales_from(5)[0] == 5
    assert {5, 10, 20} <= set(scales_from(4)) and scales_from(5) == scales_from(4)[1:]
    assert list(scales_from(4)) == sorted(scales_from(4))


@given(BOXES)
def test_a_dimension_is_as_long_as_what_it_measures(drawn):
    for dimension, side in ((width_of(drawn), drawn.width), (height_of(drawn), drawn.height)):
        line = LineString(dimension.line.nodes)
        assert line.length == pytest.approx(side)
        assert not line.intersects(box(*drawn))
        for projection, end, head in zip(dimension.projections, dimension.line.nodes, dimension.heads):
            assert LineString(projection.nodes).distance(LineString([end, end])) < 1e-9
            assert 0 < LineString(projection.nodes).distance(box(*drawn)) < 2
            assert Polygon(head.nodes).is_valid and LineString([end, end]).distance(Polygon(head.nodes)) < 1e-9


@pytest.mark.parametrize(("unit", "scale", "long"), [("in", 4, 63.5), ("in", 5, 50.8), ("cm", 4, 50.0), ("cm", 5, 40.0), ("in", 10, 25.4)])
def test_a_scale_bar_is_ten_inches_or_twenty_centimetres_small(unit, scale, long):
    """10 in are 254 mm, 20 cm are 200 mm; divided by the scale."""
    fields = [Polygon(field.nodes) for field in scale_bar(3, 4, unit, scale)]
    assert fields[0].union(fields[-1]).bounds[::2] == pytest.approx((3, 3 + long))
    assert all(one.touches(other) for one, other in zip(fields, fields[1:]))
    assert [field.area for field in fields] == pytest.approx([fields[0].area] * len(fields))
