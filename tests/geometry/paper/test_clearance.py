"""Places for lettering, against shapely."""
import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize
from shapely.geometry import LineString, box

from geometry.box import Box
from geometry.paper.clearance import Clearance, spread

numbers = st.floats(-100, 100).map(lambda x: round(x, 3))
points = st.tuples(numbers, numbers)
boxes = st.tuples(numbers, numbers, st.floats(0.5, 60), st.floats(0.5, 60)).map(lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3]))


@given(st.lists(st.lists(points, min_size=2, max_size=5), max_size=5), st.lists(boxes, max_size=4), st.lists(boxes, min_size=1, max_size=8))
def test_free_is_what_shapely_calls_disjoint(lines, taken, wanted):
    margin = 0.8
    clearance = Clearance(margin)
    for line in lines:
        clearance.add_line(np.array(line))
    for rectangle in taken:
        clearance.add_box(rectangle)
    page = Box.around(np.reshape(wanted, (-1, 2)))
    assert (clearance.near(page).are_free(np.array(wanted)) == clearance.are_free(np.array(wanted))).all()
    in_the_way = [LineString(line) for line in lines] + [box(*rectangle) for rectangle in taken]
    for rectangle, free in zip(wanted, clearance.are_free(np.array(wanted))):
        left, top, right, bottom = rectangle
        grown = box(left - margin, top - margin, right + margin, bottom + margin)
        nearest = min((grown.distance(thing) for thing in in_the_way), default=1.0)
        overlap = max((grown.buffer(-1e-6).intersects(thing) for thing in in_the_way), default=False)
        if nearest > 1e-6:
            assert free
        elif overlap:
            assert not free  # mere touching may be either


def test_what_lies_just_beside_a_page_is_kept_off_too():
    """A rectangle at the page's edge is taken where a line or another rectangle runs within the margin of it, though off the page."""
    clearance, page = Clearance(1.0), Box(0, 0, 100, 100)
    clearance.add_line(np.array([(100.5, 0), (100.6, 50)]))
    clearance.add_box((40, 100.5, 60, 110))
    here = clearance.near(page)
    assert here.are_free(np.array([(90, 10, 100, 20), (45, 90, 55, 100), (10, 10, 20, 20)], dtype=float)).tolist() == [False, False, True]


def test_the_first_free_place_is_taken():
    clearance = Clearance(1.0)
    clearance.add_line(np.array([(0, 0), (100, 0)]))
    places = np.array([(10, y - 2, 20, y + 2) for y in range(40)], dtype=float)
    assert clearance.first_free(places) == 4  # centred 4 mm off: half the height, the margin, and a hair more
    assert clearance.first_free(places[:3]) is None


@given(st.lists(st.floats(0, 100), min_size=1, max_size=8).map(sorted), st.floats(0.5, 30))
def test_spread_is_the_least_squares_answer(wanted, height):
    """scipy's SLSQP solves the same problem: least squares, neighbours at least ``height`` apart."""
    places = spread(wanted, height)
    assert all(b - a >= height - 1e-9 for a, b in zip(places, places[1:]))
    start = np.arange(len(wanted)) * height + min(wanted)
    apart = [{"type": "ineq", "fun": lambda x, i=i: x[i + 1] - x[i] - height} for i in range(len(wanted) - 1)]
    solved = minimize(lambda x: ((x - wanted) ** 2).sum(), start, constraints=apart, method="SLSQP", options={"maxiter": 300, "ftol": 1e-12})
    ours = sum((a - b) ** 2 for a, b in zip(places, wanted))
    assert ours <= solved.fun + 1e-4 * (1 + solved.fun)
