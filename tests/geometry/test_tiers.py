"""Tier lines: equal pitch, and what a pitch snapped to the tape does at the hem."""
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.refusal import Refused
from geometry.tiers import PITCH_SNAPS, plan_tiers

INCH = 25.4


def test_seven_tiers_on_nineteen_and_a_half_inches():
    # Worked by hand: 19.5 / 7 = 2.7857 in.  Common practice, no source.
    plan = plan_tiers(19.5 * INCH, 7)
    assert plan.pitch / INCH == pytest.approx(2.7857, abs=5e-5)
    assert plan.levels[0] == 0
    assert plan.last_section == pytest.approx(plan.pitch)
    assert not plan.snapped


@pytest.mark.parametrize(
    "snap, pitch, last_line, last_section", [("1/2in", 3, 18, 1.5), ("1/8in", 2.75, 16.5, 3), ("1/4in", 2.75, 16.5, 3)]
)
def test_snapping_says_what_it_does_at_the_hem(snap, pitch, last_line, last_section):
    # Worked by hand: 7 x 3 = 21 in would overrun 19 1/2 in by 1 1/2 in.
    plan = plan_tiers(19.5 * INCH, 7, snap)
    assert plan.pitch == pytest.approx(pitch * INCH)
    assert plan.levels[-1] == pytest.approx(last_line * INCH)
    assert plan.last_section == pytest.approx(last_section * INCH)
    assert plan.snapped


def test_a_pitch_that_is_a_mark_already_is_not_called_snapped():
    assert not plan_tiers(18 * INCH, 6, "1/2in").snapped


def test_refuses_only_when_the_last_line_reaches_the_hem():
    assert plan_tiers(100, 3, "1cm").levels == (0, 30, 60)
    with pytest.raises(Refused, match="on or past the hem"):
        plan_tiers(20, 3, "1cm")  # 3 lines 1 cm apart: the last at 2 cm, on the hem
    with pytest.raises(Refused, match="on or past the hem"):
        plan_tiers(100, 40, "1cm")


@pytest.mark.parametrize("count", [0, -1, 41])
def test_refuses_senseless_counts(count):
    with pytest.raises(Refused, match="1 to 40"):
        plan_tiers(400, count)


@given(st.floats(100, 900), st.integers(1, 40), st.sampled_from(sorted(PITCH_SNAPS)))
def test_lines_stand_at_equal_pitch_and_above_the_hem(length, count, snap):
    try:
        plan = plan_tiers(length, count, snap)
    except Refused:
        assert snap != "none"
        return
    assert len(plan.levels) == count
    assert all(b - a == pytest.approx(plan.pitch) for a, b in zip(plan.levels, plan.levels[1:]))
    assert plan.levels[-1] < length
    assert plan.levels[-1] + plan.last_section == pytest.approx(length)
    if snap != "none":
        marks = plan.pitch / PITCH_SNAPS[snap]
        assert marks == pytest.approx(round(marks)) and marks >= 1
