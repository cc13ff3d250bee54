"""Tier lines that are not level: where they end, how far apart, and that they cross nothing; shapely and scipy judge."""
import numpy as np
import pytest
from scipy.optimize import brentq
from shapely.geometry import LineString, Point, Polygon

from geometry.cloth.strips import spacings
from geometry.curves.curve import Curve
from geometry.measuring.measurements import USUAL
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.layouts import ASLANT, FOLLOWING, LEVEL, lay_lines
from geometry.sleeve.spacing import plan_tiers
from tests.bodies import DEFAULTS, eight
from tests.geometry.shapes import as_line, as_polygon, sleeve

CLIENTS = eight()


def drafted(given, layout, tiers=7, part="all", **changes):
    return draft_sleeve(given._replace(**changes), tiers, style=USUAL._replace(tier_layout=layout, tier_part=part))


def on_grain(line: Curve) -> float:
    """Where a line passes x = 0, by scipy."""
    place = brentq(lambda t: float(line.point(t)[0]), 0, len(line), xtol=1e-12)
    return float(line.point(place)[1])


@pytest.mark.parametrize("client", range(8))
@pytest.mark.parametrize("tiers", [3, 7, 13])
def test_lines_that_follow_the_armhole_end_below_it_evenly_apart(client, tiers):
    draft = drafted(CLIENTS[client], FOLLOWING, tiers)
    seam, lines = draft.seam, [tier.curve for tier in draft.tiers]
    assert np.diff([on_grain(line) for line in lines]) == pytest.approx(on_grain(seam.edge("hem")) / tiers, abs=1e-6)
    underarm = as_line(seam.edge("front underarm"))
    corner = seam.corner("front underarm point")
    ends = np.array([line.end for line in lines[1:]])
    assert max(underarm.distance(Point(end)) for end in ends) < 1e-3
    if on_grain(lines[1]) < corner[1]:
        assert ends[0] == pytest.approx(corner, abs=1e-6)
        assert np.diff(ends[:, 1]) == pytest.approx(np.diff(ends[:, 1])[0], abs=1e-6)
    whole = as_polygon(seam.closed(), 1e-3).buffer(0.01)
    strings = [as_line(line, 1e-3) for line in lines]
    assert all(whole.covers(line) for line in strings)
    assert not any(one.intersects(other) for one, other in zip(strings, strings[1:]))
    for line in lines[1:]:  # on round the arm without a corner: level at both ends, and in the middle
        assert [line.tangent(0)[1], line.tangent(len(line), incoming=True)[1]] == pytest.approx([0, 0], abs=1e-9)


@pytest.mark.parametrize("client", range(8))
def test_aslant_the_front_end_is_lower_by_as_much_as_asked(client):
    draft = drafted(CLIENTS[client], ASLANT, slant=30.0)
    for number, line in enumerate(tier.curve for tier in draft.tiers[1:]):
        assert line.end[1] - line.start[1] == pytest.approx(30.0, abs=1e-6)
        assert on_grain(line) == pytest.approx((number + 1) * draft.decided.plan.spacing, abs=1e-6)
        assert as_line(draft.seam.closed()).distance(Point(line.end)) < 1e-3
        assert len(line) == 1 and line.is_straight(1e-9).all()
    assert draft.tiers[0].curve is draft.seam.edge("top edge")


def test_aslant_by_the_rule_front_ends_meet_the_next_back_ends():
    lines = [tier.curve for tier in drafted(DEFAULTS, ASLANT).tiers][2:]  # below the underarm both sides are mirror images
    for line, below in zip(lines, lines[1:]):
        assert line.end[1] - line.start[1] == pytest.approx(drafted(DEFAULTS, ASLANT).decided.plan.spacing)
        assert line.end[1] == pytest.approx(below.start[1], abs=2.0)


def test_the_slant_that_is_named_as_the_most_holds():
    with pytest.raises(Refused) as refusal:
        drafted(DEFAULTS, ASLANT, slant=250.0)
    ((rule, facts),) = refusal.value.problems
    assert rule == "aslant too far"
    draft = drafted(DEFAULTS, ASLANT, slant=facts["most"] - 0.01)
    first, *lines = [as_line(tier.curve) for tier in draft.tiers]
    assert min(first.distance(line) for line in lines) > 5
    with pytest.raises(Refused):
        drafted(DEFAULTS, ASLANT, slant=facts["most"] + 0.5)


@pytest.mark.parametrize(
    ("part", "levels", "end", "numbers"),
    [
        ("all", (0, 100, 200, 300), 400, (1, 2, 3, 4)),
        ("from 20 cm", (200, 250, 300, 350), 400, (1, 2, 3, 4)),
        ("From 100 mm to 300 mm", (100, 150, 200, 250), 300, (1, 2, 3, 4)),
        ("lines 2 to 3", (100, 200), 300, (2, 3)),
        ("line 4", (300,), 400, (4,)),
    ],
)  # fmt: skip
def test_tiers_on_part_of_the_sleeve(part, levels, end, numbers):
    plan = plan_tiers(400.0, 4, part=part)  # by hand: 400 or the part of it, shared by four
    assert (plan.levels, plan.end, plan.numbers) == (pytest.approx(levels), pytest.approx(end), numbers)
    assert plan.last_section == pytest.approx(end - levels[-1])
    assert plan.to_hem == (end == 400)


@pytest.mark.parametrize(
    ("part", "rule"),
    [("from 30 cm to 10 cm", "tiers off the sleeve"), ("from 30 to 50", "tiers off the sleeve"), ("lines 3 to 2", "no such tier lines"),
     ("lines 2 to 9", "no such tier lines"), ("the lower half", "part of the sleeve unreadable"), ("lines a to b", "part of the sleeve unreadable")],
)  # fmt: skip
def test_a_part_that_is_none(part, rule):
    with pytest.raises(Refused) as refusal:
        plan_tiers(400.0, 4, part=part)
    assert refusal.value.problems[0].rule == rule


def test_a_line_below_the_top_edge_may_be_the_first():
    outline = sleeve()
    first, *_ = lay_lines(outline, plan_tiers(500.0, 3, part="from 20 cm"))
    assert first.curve.start == pytest.approx(outline.across(Curve.line((-1, 200), (1, 200))).start)


def test_the_last_tier_ends_where_the_part_ends():
    outline = sleeve()
    lines = lay_lines(outline, plan_tiers(500.0, 3, part="from 20 cm to 350 mm"))
    assert spacings(outline, lines, 350.0) == pytest.approx([50, 50, 50])  # by hand
    assert spacings(outline, lines)[-1] == pytest.approx(200)  # without the end it hangs to the hem
    assert spacings(outline, lines, 250.0)[-1] == pytest.approx(200)  # a line that was moved below the end


def test_beside_its_ends_a_strip_hangs_as_from_them():
    """The greatest distance down counts where only the lower line runs: shapely measures from the end of the upper one."""
    outline = sleeve()
    lines = lay_lines(outline, plan_tiers(500.0, 8), FOLLOWING)
    upper, lower = (LineString(line.curve.flatten(1e-3)) for line in lines[:2])
    deepest = max(y - upper.bounds[1] for _, y in lower.coords)
    assert spacings(outline, lines)[0] == pytest.approx(deepest, abs=0.05)


@pytest.mark.parametrize("tiers", [6, 20, 40])
@pytest.mark.parametrize("layout", [LEVEL, FOLLOWING])
@pytest.mark.parametrize("front", [0.0, 150.0])
def test_no_tier_line_runs_out_through_a_hollow_hem(tiers, layout, front):
    """By shapely, on a short sleeve that tapers fast, front and back unlike; where one would, fewer do."""
    asked = DEFAULTS._replace(
        elbow_girth=0.0, elbow_level=0.0, upper_arm_level=130.0, sleeve_length=165.0, hem_girth=210.0, hand_girth=0.0, front_armhole_seam=front,
    )  # fmt: skip
    style = USUAL._replace(tier_layout=layout)
    try:
        draft = draft_sleeve(asked, tiers, style=style)
    except Refused as refusal:
        assert refusal.problems[0].rule == "last tier line through the hem" and layout == FOLLOWING
        fewer = [problem.facts["tiers"] for problem in refusal.problems if problem.rule == "tiers would do"]
        draft = draft_sleeve(asked, *fewer, style=style)
    within = Polygon(draft.seam.closed().flatten(0.005)).buffer(0.02)
    assert all(within.covers(as_line(tier.curve, 0.005)) for tier in draft.tiers)
