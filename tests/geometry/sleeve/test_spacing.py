"""Tier lines: equal spacing, and what a spacing snapped to the tape does at the hem."""
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.measuring.lengths import HalfTyped
from geometry.refusal import Refused
from geometry.sleeve.spacing import SPACING_SNAPS, plan_tiers

INCH = 25.4


def test_seven_tiers_on_nineteen_and_a_half_inches():
    # Worked by hand: 19.5 / 7 = 2.7857 in.  Common practice, no source.
    plan = plan_tiers(19.5 * INCH, 7)
    assert plan.spacing / INCH == pytest.approx(2.7857, abs=5e-5)
    assert plan.levels[0] == 0
    assert plan.last_section == pytest.approx(plan.spacing)
    assert not plan.snapped


@pytest.mark.parametrize(
    ("snap", "spacing", "last_line", "last_section"), [("1/2in", 3, 18, 1.5), ("1/8in", 2.75, 16.5, 3), ("1/4in", 2.75, 16.5, 3)]
)
def test_snapping_says_what_it_does_at_the_hem(snap, spacing, last_line, last_section):
    # Worked by hand: 7 x 3 = 21 in would overrun 19 1/2 in by 1 1/2 in.
    plan = plan_tiers(19.5 * INCH, 7, snap)
    assert plan.spacing == pytest.approx(spacing * INCH)
    assert plan.levels[-1] == pytest.approx(last_line * INCH)
    assert plan.last_section == pytest.approx(last_section * INCH)
    assert plan.snapped


def test_a_spacing_that_is_a_mark_already_is_not_called_snapped():
    assert not plan_tiers(18 * INCH, 6, "1/2in").snapped


def test_refuses_only_when_the_last_line_reaches_the_hem():
    assert plan_tiers(100, 3, "1cm").levels == (0, 30, 60)
    with pytest.raises(Refused, match=r"^snapped past the hem"):
        plan_tiers(20, 3, "1cm")  # 3 lines 1 cm apart: the last at 2 cm, on the hem
    with pytest.raises(Refused, match=r"^snapped past the hem"):
        plan_tiers(100, 40, "1cm")


@pytest.mark.parametrize("count", [0, -1, 41])
def test_refuses_senseless_counts(count):
    with pytest.raises(Refused, match=r"^number of tiers .*40"):
        plan_tiers(400, count)


@given(st.floats(100, 900), st.integers(1, 40), st.sampled_from(sorted(SPACING_SNAPS)))
def test_lines_stand_at_equal_spacing_and_above_the_hem(length, count, snap):
    try:
        plan = plan_tiers(length, count, snap)
    except Refused:
        assert snap != "none"
        return
    assert len(plan.levels) == count
    assert all(b - a == pytest.approx(plan.spacing) for a, b in zip(plan.levels, plan.levels[1:]))
    assert plan.levels[-1] < length
    assert plan.levels[-1] + plan.last_section == pytest.approx(length)
    if snap != "none":
        marks = plan.spacing / SPACING_SNAPS[snap]
        assert marks == pytest.approx(round(marks)) and marks >= 1


def test_growing_spacings_share_the_length():
    # Worked by hand: 1 + 2 + 4 = 7 shares of 70 cm.
    plan = plan_tiers(700, 3, written="growing 2")
    assert plan.levels == pytest.approx((0, 100, 300))
    assert (plan.spacing, plan.last_section) == pytest.approx((100, 400))
    assert plan.graduated and not plan.snapped
    assert not plan_tiers(700, 3).graduated


@given(st.integers(2, 20), st.floats(0.8, 1.25), st.floats(200, 900))
def test_each_spacing_is_so_many_times_the_one_above(count, growth, length):
    plan = plan_tiers(length, count, written=f"growing {growth:.4f}")
    sections = [b - a for a, b in zip(plan.levels, [*plan.levels[1:], length])]
    assert sum(sections) == pytest.approx(length)
    assert all(b / a == pytest.approx(round(growth, 4)) for a, b in zip(sections, sections[1:]))


def test_growing_lines_snap_to_the_tape():
    plan = plan_tiers(700, 3, "1cm", written="growing 1.5")  # 70 cm in 1 : 1.5 : 2.25 shares: lines at 14.74 and 36.84 cm
    assert plan.levels == pytest.approx((0, 150, 370))


def test_her_own_spacings():
    plan = plan_tiers(19.5 * INCH, 4, unit="in", written="4; 4 1/2; 5")
    assert [level / INCH for level in plan.levels] == pytest.approx([0, 4, 8.5, 13.5])
    assert plan.last_section / INCH == pytest.approx(6)
    assert plan_tiers(19.5 * INCH, 4, unit="in", written="10 cm").levels == pytest.approx((0, 100, 200, 300))


@pytest.mark.parametrize(
    ("spacings", "message"),
    [
        ("10; 5; 4.5", "^spaced past the hem .*'tiers': 4"),
        ("4; 5", "^values for each tier .*'values': 2, 'tiers': 3"),
        ("growing 3", "Spacing.*growth out of range.*'typed': '3', 'least': 0.5, 'most': 2.0"),
        ("growing up", "Spacing.*not a number.*'up'"),
        ("0", "^tier lines on each other"),
        ("about 3", "^spacing unreadable.*'about 3'"),
        ("grow 1.1", "^spacing unreadable.*'grow 1.1'"),
    ],
)
def test_spacings_that_make_no_sense_are_named(spacings, message):
    with pytest.raises(Refused, match=message):
        plan_tiers(19.5 * INCH, 4, unit="in", written=spacings)


@pytest.mark.parametrize("spacings", ["e", "equ", "grow", "growing", "growing 1.", "4; ", "4 to"])
def test_waits_while_spacings_are_half_typed(spacings):
    with pytest.raises(HalfTyped):
        plan_tiers(19.5 * INCH, 4, unit="in", written=spacings)
