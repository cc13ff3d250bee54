"""Strip arithmetic against tables worked by hand (common practice, no source)."""
import numpy as np
import pytest

from geometry.cloth.making import TierStyle
from geometry.cloth.strips import measure_lines, plan_strips, spacings
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.measuring.lengths import down_to_mark, read_length, up_to_mark, write_length
from geometry.refusal import Problem, Refused
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import EDGES, Outline

INCH = 25.4


def style(tiers: int, **changes) -> TierStyle:
    return TierStyle(
        make="gathered", fullness=(4.0,) * tiers, layers=(3,) * tiers, contrast_layers=(0,) * tiers, drops=None, overlap=None,
        past_hem=INCH / 4, gathering_allowance=INCH / 2, hem=0.0, end_allowance=INCH / 2, join_allowance=INCH / 2,
        pleat_spacing=INCH, flounce_ratio=1.0,
    )._replace(**changes)  # fmt: skip


def lines_of(*inches: float) -> list:
    return [TierLine(i, Curve.line((0, 100 * i), (length * INCH, 100 * i))) for i, length in enumerate(inches, start=1)]


def plan(lengths, between, **changes):
    chosen = style(len(lengths), **changes)
    return plan_strips(lines_of(*lengths), [b * INCH for b in between], chosen, 54 * INCH)


# By hand, in inches: line x 4, then + 1/2 at both ends, then + 1/2 for each join.
@pytest.mark.parametrize(
    ("line", "gathered", "no_join", "two_joins"), [(11, 44, 45, 46), (16.5, 66, 67, 68), (18, 72, 73, 74)]
)
def test_cut_length(line, gathered, no_join, two_joins):
    [tier] = plan([line], [3])
    assert tier.made.taken / INCH == pytest.approx(gathered)
    assert tier.cut_length(0) / INCH == pytest.approx(no_join)
    assert tier.cut_length(2) / INCH == pytest.approx(two_joins)


# By hand, in inches: spacing, overlap (a third, at least 1/2), drop, cut width with 1/2 of gathering allowance.
@pytest.mark.parametrize(
    ("spacing", "overlap", "drop", "width"), [(3, 1, 4, 4.5), (2.25, 0.75, 3, 3.5), (1.2, 0.5, 1.7, 2.2), (0.75, 0.5, 1.25, 1.75)]
)
def test_cut_width_by_the_rule(spacing, overlap, drop, width):
    tier, last = plan([12, 11], [spacing, 3])
    assert (tier.overlap / INCH, tier.drop / INCH, tier.cut_width / INCH) == pytest.approx((overlap, drop, width))
    # The last tier ends 1/4 in below the hem, by hand 3 + 1/4 and + 1/2.
    assert (last.drop / INCH, last.cut_width / INCH) == pytest.approx((3.25, 3.75))


def test_her_own_overlap_hem_and_drops():
    first, _ = plan([12, 11], [3, 3], overlap=0.25 * INCH, hem=0.375 * INCH)
    assert first.cut_width / INCH == pytest.approx(3 + 0.25 + 0.5 + 0.375)
    tiers = plan([12, 11], [3, 3], drops=(2.5 * INCH, 5 * INCH))
    assert [tier.drop / INCH for tier in tiers] == pytest.approx([2.5, 5])
    assert tiers[0].overlap / INCH == pytest.approx(-0.5)  # shows, is not refused


def test_more_contrast_than_layers_is_refused():
    with pytest.raises(Refused) as refusal:
        plan([12, 11], [3, 3], contrast_layers=(0, 4))
    assert refusal.value.problems == (Problem("more contrast than layers", {"tier": 2, "layers": 3, "contrast": 4}),)


@pytest.fixture
def outline():
    corners = [(-100, 0), (100, 0), (200, 100), (150, 500), (-150, 500), (-200, 100), (-100, 0)]
    return Outline({name: Curve.line(a, b) for name, a, b in zip(EDGES, corners, corners[1:])})


def test_spacing_is_the_greatest_distance_down(outline):
    level, tilted = Curve.line((-150, 200), (150, 200)), Curve.line((-150, 280), (150, 340))
    found = spacings(outline, [TierLine(1, level), TierLine(2, tilted)])
    assert found == pytest.approx([140, 220])  # by hand: 340 - 200 on the right, 500 - 280 on the left


def test_a_bent_line_is_followed(outline):
    # The arc of a cubic with all handles 60 below its chord sags by 3/4 of that (Bernstein at 1/2).
    bent = Curve.cubic((-150, 300), (-50, 360), (50, 360), (150, 300))
    found = spacings(outline, [TierLine(1, Curve.line((-150, 200), (150, 200))), TierLine(2, bent)])
    assert found[0] == pytest.approx(145, abs=0.05)


def test_lines_that_cross_or_reach_the_hem_are_named(outline):
    one, other = Curve.line((-150, 200), (150, 260)), Curve.line((-150, 260), (150, 200))
    with pytest.raises(Refused) as refusal:
        spacings(outline, [TierLine(1, one), TierLine(2, other)])
    another = Problem("another tier line", {"tier": 2})
    assert refusal.value.problems == (Problem("tier line touches", {"tier": 1, "other": another}),)
    with pytest.raises(Refused) as refusal:
        spacings(outline, [TierLine(1, Curve.line((-150, 500), (150, 500)))])
    assert refusal.value.problems == (Problem("tier line touches", {"tier": 1, "other": Problem("the hem", {})}),)


def test_lines_come_from_the_top_down_and_keep_their_numbers():
    low, high = lines_of(12, 11)[::-1]
    assert [line.number for line in measure_lines(Tiers([low, high], ()))] == [high.number, low.number]
    with pytest.raises(Refused, match="no tier lines"):
        measure_lines(Tiers([], ()))
    with pytest.raises(Refused) as refusal:
        measure_lines(Tiers([low, high], (2,)))
    assert refusal.value.problems == (Problem("tier line adrift", {"tier": 2}),)


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_what_is_cut_is_never_rounded_below_what_is_needed(unit):
    for length in np.random.default_rng(4).uniform(1, 3000, 500):
        up, down = up_to_mark(length, unit), down_to_mark(length, unit)
        step = {"in": 25.4 / 8, "cm": 1.0}[unit]
        assert length - 0.001 <= up < length + step  # a thousandth of a millimetre, which no tape shows, may be lacking
        assert length - step < down <= length + 1e-5
        # What is lettered reads back as what is cut.
        assert read_length(write_length(up, unit), unit) == pytest.approx(up)


def test_a_length_on_a_mark_stays_there():
    assert up_to_mark(13.375 * 25.4, "in") == pytest.approx(13.375 * 25.4)
    assert up_to_mark(340.0, "cm") == down_to_mark(340.0, "cm") == 340
