"""Tier lines: equal pitch, and what a pitch snapped to the tape does at the hem."""
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.measuring.measurements import Unfinished
from geometry.refusal import Refused
from geometry.sleeve.spacing import PITCH_SNAPS, plan_tiers

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


def test_growing_pitches_share_the_length():
    # Worked by hand: 1 + 2 + 4 = 7 shares of 70 cm.
    plan = plan_tiers(700, 3, pitches="growing 2")
    assert plan.levels == pytest.approx((0, 100, 300))
    assert (plan.pitch, plan.last_section) == pytest.approx((100, 400))
    assert plan.graduated and not plan.snapped
    assert not plan_tiers(700, 3).graduated


@given(st.integers(2, 20), st.floats(0.8, 1.25), st.floats(200, 900))
def test_each_pitch_is_so_many_times_the_one_above(count, growth, length):
    plan = plan_tiers(length, count, pitches=f"growing {growth:.4f}")
    sections = [b - a for a, b in zip(plan.levels, [*plan.levels[1:], length])]
    assert sum(sections) == pytest.approx(length)
    assert all(b / a == pytest.approx(round(growth, 4)) for a, b in zip(sections, sections[1:]))


def test_growing_lines_snap_to_the_tape():
    plan = plan_tiers(700, 3, "1cm", pitches="growing 1.5")  # 70 cm in 1 : 1.5 : 2.25 shares: lines at 14.74 and 36.84 cm
    assert plan.levels == pytest.approx((0, 150, 370))


def test_her_own_pitches():
    plan = plan_tiers(19.5 * INCH, 4, unit="in", pitches="4; 4 1/2; 5")
    assert [level / INCH for level in plan.levels] == pytest.approx([0, 4, 8.5, 13.5])
    assert plan.last_section / INCH == pytest.approx(6)
    assert plan_tiers(19.5 * INCH, 4, unit="in", pitches="10 cm").levels == pytest.approx((0, 100, 200, 300))


@pytest.mark.parametrize(
    "pitches, message",
    [
        ("10; 5; 4.5", "the last of 4 lines would stand 19 1/2 in below the head, on or past the hem"),
        ("4; 5", "gives 2 values, but there are 3"),
        ("growing 3", "growing “3” was read. What makes sense is 0.5 to 2"),
        ("growing up", "Pitches: “up” is not a number"),
        ("0", "lie on each other"),
        ("about 3", "Pitches: “about 3” is not a length"),
    ],
)
def test_pitches_that_make_no_sense_are_named(pitches, message):
    with pytest.raises(Refused, match=message):
        plan_tiers(19.5 * INCH, 4, unit="in", pitches=pitches)


@pytest.mark.parametrize("pitches", ["e", "equ", "grow", "growing", "growing 1.", "4; ", "4 to"])
def test_waits_while_pitches_are_half_typed(pitches):
    with pytest.raises(Unfinished):
        plan_tiers(19.5 * INCH, 4, unit="in", pitches=pitches)
