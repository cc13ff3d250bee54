"""Lettering moved off joins, against shapely."""
import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from geometry.box import Box
from geometry.paper.off_joins import LARGEST_GAP, off_joins

EDGE = np.array([(0, 0), (300, 0), (300, 200), (0, 200), (0, 0)], dtype=float)
UPRIGHT, LEVEL = np.array([(150.0, -20.0), (150.0, 220.0)]), np.array([(-20.0, 95.0), (320.0, 95.0)])
#: A sheet far beyond all of it.
AROUND = Box(-1000, -1000, 1000, 1000)


@given(st.floats(60, 149), st.floats(0.3, LARGEST_GAP), st.booleans(), st.floats(-0.15, 0.15))
def test_what_stands_on_a_line_stays_on_it(left, gap, under, slope):
    """A join 150 mm along a line that falls a little; a word of 60 by 5 mm across it."""
    line = np.array([(10.0, 100 - 140 * slope), (290.0, 100 + 140 * slope)])
    beside = [100 + slope * (x - 150) for x in (left, left + 60)]
    top = max(beside) + gap if under else min(beside) - gap - 5
    stood = Box(left, top, left + 60, top + 5)
    moved = off_joins([stood], {0: [(60.0, 5.0)]}, [EDGE, line], [[UPRIGHT]], 0.2, [AROUND])
    if left + 60 < 150:
        assert moved == {}
        return
    way, place = moved[0]
    assert way == 0 and (place.width, place.height) == (60, 5)
    room = box(*place)
    assert room.distance(LineString(UPRIGHT)) >= 0.2 - 1e-9
    assert 0.2 - 1e-9 <= room.distance(LineString(line)) <= 1.16 * gap
    assert box(*EDGE.min(axis=0), *EDGE.max(axis=0)).contains(room)


@given(st.floats(20, 200), st.floats(10, 85))
def test_what_stands_free_stays_between_the_same_lines(left, top):
    """A word of 80 by 8 mm that crosses an upright join, or none; two others are in its way."""
    line = np.array([(0.0, 100.0), (300.0, 100.0)])
    stood, others = Box(left, top, left + 80, top + 8), [Box(5, 5, 60, 30), Box(200, 40, 290, 60)]
    moved = off_joins([stood, *others], {0: [(80.0, 8.0)]}, [EDGE, line], [[UPRIGHT]], 0.8, [AROUND])
    assert (0 in moved) == box(*stood).intersects(LineString(UPRIGHT)) and set(moved) <= {0}
    for _, place in moved.values():
        room = box(*place)
        assert box(0, 0, 300, 100).contains(room) and room.distance(LineString(line)) >= 0.8 - 1e-9
        assert room.distance(LineString(UPRIGHT)) >= 0.8 - 1e-9
        assert all(room.distance(box(*other)) >= 0.8 - 1e-9 for other in others)


def test_it_goes_to_the_other_side_of_its_line_where_a_join_runs_along_it():
    line = np.array([(10.0, 100.0), (290.0, 100.0)])
    moved = off_joins([Box(20, 94, 90, 99)], {0: [(70.0, 5.0)]}, [EDGE, line], [[LEVEL]], 0.8, [AROUND])
    assert moved[0].box.top == 101 and moved[0].box.bottom < 200


def test_but_never_past_an_edge():
    """On the edge itself there is no other side: it stays as it is, and so does what must not be moved."""
    edge = np.array([(0.0, 100.0), (300.0, 100.0)])
    around = np.array([(0, 100), (300, 100), (300, 200), (0, 200), (0, 100)], dtype=float)
    stood = Box(20, 101, 90, 106)
    join = np.array([(-20.0, 105.0), (320.0, 105.0)])
    assert off_joins([stood], {0: [(70.0, 5.0)]}, [around, edge], [[join]], 0.8, [AROUND]) == {}
    assert off_joins([stood], {}, [EDGE], [[join]], 0.8, [AROUND]) == {}


def test_smaller_where_there_is_no_room_else():
    """Between two joins 40 mm apart and the ends of a line 100 mm long a word of 50 mm finds none, one of 35 mm does."""
    line = np.array([(100.0, 100.0), (200.0, 100.0)])
    joins = [np.array([(x, 0.0), (x, 200.0)]) for x in (130.0, 170.0)]
    moved = off_joins([Box(110, 101, 160, 106)], {0: [(50.0, 5.0), (45.0, 4.5), (35.0, 3.5)]}, [EDGE, line], [joins], 0.8, [AROUND])
    assert moved[0].way == 2 and moved[0].box.left >= 130.8 and moved[0].box.right <= 169.2


def test_off_what_matters_less_too_where_there_is_room():
    """A join at 150 and the end of a sheet 20 mm beyond it, on a line 10 to 290 mm long; then on one that ends at 215 mm: a word of
    60 mm has no room there but across one of them.
    """
    end = np.array([(170.0, -20.0), (170.0, 220.0)])
    stood = Box(110, 101, 170, 106)
    for length, left in ((290.0, 170.8), (215.0, 150.8)):
        line = np.array([(101.0, 100.0), (length, 100.0)])
        moved = off_joins([stood], {0: [(60.0, 5.0)]}, [EDGE, line], [[UPRIGHT], [end]], 0.8, [AROUND])
        assert left <= moved[0].box.left < left + 3.1
    assert off_joins([Box(160, 101, 215, 106)], {0: [(55.0, 5.0)]}, [EDGE, line], [[UPRIGHT], [end]], 0.8, [AROUND]) == {}


def test_it_never_leaves_the_sheets():
    """A word on a join, with room above only where no sheet is and below on one of two that meet at the join, by shapely."""
    stood, sheets = Box(120, 90, 180, 95), [Box(0, 88, 150, 200), Box(150, 88, 300, 200)]
    moved = off_joins([stood], {0: [(60.0, 5.0)]}, [EDGE], [[UPRIGHT]], 0.8, sheets)
    assert sum(box(*sheet).contains(box(*moved[0].box)) for sheet in sheets) == 1
    assert off_joins([stood], {0: [(60.0, 5.0)]}, [EDGE], [[UPRIGHT]], 0.8, [Box(120, 80, 180, 95)]) == {}


def test_what_a_piece_is_called_goes_past_lines_but_stays_within_its_edge():
    """Between two lines 30 mm apart and two joins there is no room for 60 by 20 mm; past a line there is, by shapely."""
    lines = [np.array([(0.0, y), (300.0, y)]) for y in (40.0, 70.0)]
    joins = [np.array([(x, -20.0), (x, 70.0)]) for x in (50.0, 100.0, 150.0, 200.0, 250.0)]
    stood = Box(120, 45, 180, 65)
    asked = ([stood], {0: [(60.0, 20.0)]}, [EDGE, *lines], [joins], 0.8, [AROUND])
    assert off_joins(*asked) == {}
    room = box(*off_joins(*asked, names=[0])[0].box)
    assert box(0, 70, 300, 200).contains(room) and all(room.distance(LineString(line)) >= 0.8 - 1e-9 for line in (*joins, *lines, EDGE))
