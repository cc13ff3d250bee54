"""Places along a line, against shapely."""
import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from geometry.paper.along_lines import STEP, boxes_along

heights = st.lists(st.floats(-30, 30), min_size=2, max_size=9)


@given(heights, st.floats(40, 200), st.floats(5, 39), st.floats(1, 20), st.floats(0.1, 3), st.booleans(), st.booleans())
def test_rectangles_stand_on_the_line_or_hang_under_it(ys, length, width, height, gap, under, from_right):
    line = np.column_stack([np.linspace(10, 10 + length, len(ys)), ys])
    places = boxes_along(line, (width, height), gap, under, from_right)
    assert len(places) == int((length - width) / STEP + 1e-9) + 1
    assert abs(places[0, 2 if from_right else 0] - (line[-1, 0] if from_right else line[0, 0])) < 1e-9
    for left, top, right, bottom in places:
        assert abs(right - left - width) < 1e-9 and abs(bottom - top - height) < 1e-9
        over = LineString(line).intersection(box(left - gap, -100, right + gap, 100))
        _, highest, _, lowest = over.bounds
        assert abs((top - lowest if under else highest - bottom) - gap) < 1e-6
        assert LineString(line).distance(box(left, top, right, bottom)) > gap - 1e-6


def test_a_line_that_is_too_short_has_none():
    assert boxes_along(np.array([(0.0, 0.0), (3.9, 0.0)]), (4.0, 2.0), 1.0, True, True).shape == (0, 4)
