"""Marks for even gathers, by hand: eighths of line and strip, and where the last one falls."""
import pytest
from shapely.geometry import LineString, Point
from shapely.geometry import box as box_of

from geometry.box import Box
from geometry.cloth.even_gathers import gather_marks, line_ticks
from geometry.curves.curve import Curve
from tests.geometry.cloth.test_cutting import plan
from tests.geometry.cloth.test_strips import INCH
from tests.geometry.cloth.test_strips import plan as strips
from tests.geometry.shapes import as_line


def test_eighths_by_hand():
    """A 12 in line at 4 : 1 takes 48 in, with 1/2 in at the end: marks every 6 in from 1/2 in on, every 1 1/2 in on the line."""
    marks = gather_marks(strips([12], [3])[0])
    assert marks is not None
    assert (marks.on_line / INCH, marks.first / INCH, marks.on_back / INCH, marks.on_front / INCH) == pytest.approx((1.5, 0.5, 6, 6))
    assert [at / INCH for at in marks.running(2)] == pytest.approx([0.5, 12.5, 24.5, 36.5, 48.5])
    assert len(marks.running()) == 9


def test_more_on_the_front_by_hand():
    """60 % of 48 in on the front: 28.8 in there in four parts of 7.2, 19.2 in on the back in four of 4.8; the middle lies between."""
    tier = strips([12], [3])[0]
    marks = gather_marks(tier, 0.6)
    assert marks is not None
    assert [at / INCH for at in marks.running(2)] == pytest.approx([0.5, 10.1, 19.7, 34.1, 48.5])
    assert (marks.on_back / INCH, marks.on_front / INCH) == pytest.approx((4.8, 7.2))
    assert tier.cut_length(0) - marks.running()[-1] == pytest.approx(tier.past_line[1])


def test_the_last_mark_leaves_what_the_other_end_takes():
    for tier in plan().tiers:
        marks = gather_marks(tier)
        assert marks is not None
        assert tier.cut_length(0) - marks.running()[-1] == pytest.approx(tier.past_line[1])
        assert marks.on_line * 8 == pytest.approx(tier.line)


def test_pleats_and_flounces_have_marks_of_their_own():
    assert [gather_marks(tier) for make in ("knife", "box") for tier in plan(make=make).tiers] == [None] * 8
    assert gather_marks(plan(make="flounce", fullness="2", layers="1").tiers[0]) is None


def test_ticks_part_a_bent_line_in_eighths():
    """By shapely, along a curve: seven ticks square to it, an eighth of its length apart, the even ones longer."""
    line = Curve.cubic((-150, 0), (-60, 25), (70, 40), (150, -10))
    followed = as_line(line, 1e-5)
    ticks = [LineString(tick) for tick in line_ticks(line)]
    feet, ends = ([Point(tick.coords[i]) for tick in ticks] for i in (0, 1))
    assert [followed.project(foot) / followed.length * 8 for foot in feet] == pytest.approx(range(1, 8), abs=1e-4)
    assert [tick.length for tick in ticks] == pytest.approx([2.5, 5, 2.5, 5, 2.5, 5, 2.5])
    assert all(end.y < foot.y for end, foot in zip(ends, feet))
    for tick, end in zip(ticks, ends):  # square: no point of the line lies nearer to the tick's end than its foot
        assert followed.distance(end) == pytest.approx(tick.length, abs=1e-3)


def test_ticks_keep_off_lettering():
    line = Curve.line((0, 0), (800, 0))
    above, below = Box(190, -20, 320, -1), Box(290, 1, 410, 20)
    ticks = line_ticks(line, [above, below])
    # At 200 it is lettered above, at 300 on both sides, at 400 below.
    assert [float(end[1]) for _, end in ticks] == pytest.approx([-2.5, 5, -0.8, -5, -2.5, -5, -2.5])
    assert not any(LineString(tick).intersects(box_of(*box)) for tick in ticks for box in (above, below))
