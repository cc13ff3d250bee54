"""Pleats: whole numbers that fit, and folds that take up what they should."""
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.cloth.pleats import solve_pleats

INCH = 25.4


def test_knife_pleats_by_hand():
    # 12 in at 3 : 1, 1 in apart: 12 pleats that each take 3 in: 1 in of face and 1 in folded under, there and back.
    pleats = solve_pleats("knife", 12 * INCH, 3, INCH)
    assert pleats.number == 12
    assert (pleats.spacing / INCH, pleats.depth / INCH, pleats.flat / INCH) == pytest.approx((1, 1, 3))
    assert not pleats.overlapping


def test_box_pleats_by_hand():
    # 10 1/2 in at 3 : 1, about 2 in apart: 5 pleats of 2.1 in that meet behind, 1.05 in folded under on each side.
    pleats = solve_pleats("box", 10.5 * INCH, 3, 2 * INCH)
    assert pleats.number == 5
    assert (pleats.spacing / INCH, pleats.depth / INCH) == pytest.approx((2.1, 1.05))
    assert not pleats.overlapping


def test_fuller_than_three_to_one_lies_over_its_neighbour():
    assert solve_pleats("knife", 300, 3.2, 25).overlapping and solve_pleats("box", 300, 3.2, 25).overlapping


@given(
    kind=st.sampled_from(["knife", "box"]), line=st.floats(50, 2000), fullness=st.floats(1, 8), spacing=st.floats(5, 100)
)
def test_a_whole_number_fits_and_takes_up_the_strip(kind, line, fullness, spacing):
    pleats = solve_pleats(kind, line, fullness, spacing)
    assert pleats.number * pleats.spacing == pytest.approx(line)
    assert pleats.taken == pytest.approx(line * fullness)
    # No other whole number comes nearer to the spacing that was asked.
    nearest = min(range(1, math.ceil(line / spacing) + 2), key=lambda n: abs(line / n - spacing))
    assert abs(line / pleats.number - spacing) <= abs(line / nearest - spacing) + 1e-9


@pytest.mark.parametrize(("line", "fullness", "spacing"), [(0, 4, 20), (100, 0.9, 20), (100, 4, 0)])
def test_nonsense_is_an_error(line, fullness, spacing):
    with pytest.raises(ValueError, match="above 0"):
        solve_pleats("knife", line, fullness, spacing)


@pytest.mark.parametrize("kind", ["knife", "box"])
def test_marks_folded_as_they_say_lay_the_strip_on_its_line(kind):
    """Folded at every mark and brought where it says, the strip has all faces side by side, as long as the line, and three layers' length."""
    pleats = solve_pleats(kind, 300.0, 2.2, 25.0)
    folds = sorted(fold for fold, _ in pleats.marks)
    # What lies on top: by hand from the fold of one face to that of the next there is one face, and all faces make the line.
    under = sum(abs(fold - to) for fold, to in pleats.marks)
    assert pleats.taken - under == pytest.approx(300.0)
    assert under == pytest.approx(300.0 * 1.2) and len(folds) == pleats.number * (1 if kind == "knife" else 2)
    # Each fold's hidden part is folded in its middle, where joins hide.
    assert sorted((fold + to) / 2 for fold, to in pleats.marks) == pytest.approx(sorted(pleats.folds))
