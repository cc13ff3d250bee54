"""Armholes matched to the bodice, against quadrature, handbook practice and what a sewer trues by hand."""
import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from geometry.curves.curve import Curve
from geometry.measuring.measurements import Style
from geometry.refusal import Refused
from geometry.sleeve.armhole import armhole_curve, most_scoop
from geometry.sleeve.draft import draft_sleeve
from tests.bodies import DEFAULTS, block_of

INCH = 25.4
#: Promised for a matched seam, mm.
MATCHED = 0.05

KEEPS = ("height", "width")


def length_by_scipy(curve: Curve) -> float:
    """Arc length by scipy's adaptive quadrature of the speed, one cubic at a time."""
    return sum(quad(lambda u, i=i: math.hypot(*curve.derivative(i + u)), 0, 1, epsabs=1e-8)[0] for i in range(len(curve)))


def hollow_by_scipy(curve: Curve) -> float:
    """How far a curve strays from its chord, by scipy's bounded search."""
    chord = curve.end - curve.start
    normal = np.array([-chord[1], chord[0]]) / math.hypot(*chord)
    return -minimize_scalar(lambda t: -abs((curve.point(t) - curve.start) @ normal), bounds=(0, 1), method="bounded").fun


def matched(front, back, keep="height", ease=0.0, style=None, **changes):
    m = DEFAULTS._replace(front_armhole_seam=front, back_armhole_seam=back, armhole_ease=ease, **changes)
    return block_of(m, style=(style or Style())._replace(armhole_keep=keep))


def seams(block):
    return [length_by_scipy(block.seam.edge(f"{side} armhole")) for side in ("front", "back")]


def width(block):
    return block.seam.corner("front underarm point")[0] - block.seam.corner("back underarm point")[0]


# --- matching --------------------------------------------------------------------------------------


@pytest.mark.parametrize("keep", KEEPS)
@pytest.mark.parametrize(("front", "back", "ease"), [(150, 150, 0), (140, 170, 0), (150, 155, 6), (165, 150, 3)])
def test_both_seams_are_as_long_as_the_bodice_and_the_ease(keep, front, back, ease):
    assert seams(matched(front, back, keep, ease)) == pytest.approx([front + ease / 2, back + ease / 2], abs=MATCHED)


@pytest.mark.parametrize("keep", KEEPS)
def test_what_is_kept_is_kept(keep):
    usual, block = block_of(DEFAULTS), matched(146, 158, keep)
    assert (block.cap_height == pytest.approx(usual.cap_height)) == (keep == "height")
    assert (width(block) == pytest.approx(width(usual), abs=MATCHED)) == (keep == "width")


@pytest.mark.parametrize("keep", KEEPS)
def test_the_seams_of_the_plain_draft_give_the_plain_draft_back(keep):
    usual = block_of(DEFAULTS)
    block = matched(*seams(usual), keep)
    assert np.abs(block.seam.closed().segments - usual.seam.closed().segments).max() < MATCHED


@pytest.mark.parametrize(("side", "other"), [("front", "back"), ("back", "front")])
@pytest.mark.parametrize("keep", KEEPS)
def test_one_side_alone_can_be_matched(keep, side, other):
    block = block_of(DEFAULTS._replace(**{f"{side}_armhole_seam": 140.0}), style=Style(armhole_keep=keep))
    assert length_by_scipy(block.seam.edge(f"{side} armhole")) == pytest.approx(140, abs=MATCHED)
    assert [tuple(match) for match in block.matches] == [(side, 140.0)]


def test_nothing_is_matched_unless_asked():
    """New options at their defaults leave the rules alone; ease alone matches nothing."""
    usual, eased = block_of(DEFAULTS), block_of(DEFAULTS._replace(armhole_ease=12.0))
    assert usual.matches == eased.matches == ()
    assert (usual.seam.closed().segments == eased.seam.closed().segments).all()


def test_a_handbook_sleeve_is_eased_in_as_the_handbook_says():
    """H. J. Armstrong, Patternmaking for Fashion Design, basic sleeve: the cap measures 1 1/4 to 1 1/2 in more than
    the armhole, shared by front and back, and the arm has 2 in of ease at the biceps (from memory; the armhole
    lengths here are worked by hand in the same manner: 6 1/4 and 6 3/4 in, 13 in in all, so the cap is 14 1/4 in)."""
    front, back, cap_ease = 6.25 * INCH, 6.75 * INCH, 1.25 * INCH
    block = matched(front, back, ease=cap_ease, ease_upper_arm=1 * INCH)
    assert sum(seams(block)) / INCH == pytest.approx(14.25, abs=0.005)
    assert [sleeve - bodice for sleeve, bodice in zip(seams(block), (front, back))] == pytest.approx([cap_ease / 2] * 2, abs=MATCHED)
    assert block.seam.width_at(DEFAULTS.upper_arm_level) - DEFAULTS.upper_arm_girth >= 2 * INCH - 0.01


CAN_NOT_BE = {
    "armhole seam too short", "armhole seam too long", "matched too narrow", "matched too wide", "seams too short for the width",
    "seams too long for the width", "scooped too deep", "front and back too unlike",
}  # fmt: skip


@settings(max_examples=60)
@given(
    front=st.floats(80, 260), back=st.floats(80, 260), ease=st.floats(0, 30), keep=st.sampled_from(KEEPS),
    share=st.floats(44, 56), scoop=st.floats(0, 6), top_edge_raise=st.floats(0, 12),
)  # fmt: skip
def test_matched_or_refused_with_the_limits(front, back, ease, keep, share, scoop, top_edge_raise):
    try:
        block = matched(front, back, keep, ease, Style(front_share=share), front_scoop=scoop, top_edge_raise=top_edge_raise)
    except Refused as refusal:
        assert refusal.problems[0].rule in CAN_NOT_BE
        return
    assert seams(block) == pytest.approx([front + ease / 2, back + ease / 2], abs=MATCHED)
    check_closed(block.seam)
    assert width(block) >= 2 * max(level.needed for level in block.levels[1:-1]) - 0.01
    assert len(block.seam.closed()) <= 20
    assert not block.seam.closed().self_crossings()


@dataclass
class Flaw:
    front: float
    back: float
    keep: str
    rule: str
    facts: set


@pytest.mark.parametrize(
    "flaw",
    [
        # The seam is shorter than the cap is deep; 10.2 cm too short at the least.
        Flaw(60, 60, "height", "armhole seam too short", {"Side", "seam", "off"}),
        # Long enough, but then the sleeve does not go round the arm.
        Flaw(115, 115, "height", "matched too narrow", {"height", "width", "needed", "missing"}),
        Flaw(600, 600, "width", "seams too long for the width", {"width", "height", "off"}),
        Flaw(70, 70, "width", "seams too short for the width", {"width", "height", "off"}),
    ],
)
def test_what_can_not_be_matched_says_by_how_much_and_what_must_give(flaw):
    with pytest.raises(Refused) as refusal:
        matched(flaw.front, flaw.back, flaw.keep)
    rule, facts = refusal.value.problems[0]
    assert rule == flaw.rule and flaw.facts <= set(facts)
    assert all(facts[name] > 0 for name in ("off", "missing") if name in facts)


def test_the_cap_height_that_would_do_does():
    """The most that is told is the most that there is, and the armholes are matched with it."""
    m = DEFAULTS._replace(front_armhole_seam=115.0, back_armhole_seam=115.0)
    with pytest.raises(Refused) as refusal:
        draft_sleeve(m, 6, style=Style(armhole_keep="height"))
    told = next(facts for rule, facts in refusal.value.problems if rule == "or less would do" and facts["label"] == "Cap height")
    block = matched(115, 115, cap_height=told["most"])
    assert seams(block) == pytest.approx([115, 115], abs=MATCHED)
    with pytest.raises(Refused):
        matched(115, 115, cap_height=told["most"] + 1)


# --- front and back --------------------------------------------------------------------------------


def check_closed(seam):
    """Closed to a tube the edges run on: front and back corner make a straight line, underarm and hem are square,
    and the two underarm seams that are sewn together are equally long."""
    for corner in ("underarm point", "hem"):
        angles = [corner_angle(seam, side, corner) for side in ("front", "back")]
        assert sum(angles) == pytest.approx(180, abs=1e-3)
    assert corner_angle(seam, "front", "hem") == pytest.approx(90, abs=1e-3)
    lengths = [length_by_scipy(seam.edge(f"{side} underarm")) for side in ("front", "back")]
    assert lengths[0] == pytest.approx(lengths[1], abs=1e-6)


def corner_angle(seam, side, corner):
    """The angle at a corner from points a hair before and after it, in degrees."""
    ends = {"underarm point": ("armhole", "underarm"), "hem": ("underarm", "hem")}[corner]
    names = [name if name == "hem" else f"{side} {name}" for name in ends]
    before, after = (seam.edge(name) for name in (names if side == "front" else names[::-1]))
    tip = after.start
    a, b = before.point(len(before) - 1e-7) - tip, after.point(1e-7) - tip
    return math.degrees(math.acos(np.clip(a @ b / math.hypot(*a) / math.hypot(*b), -1, 1)))


def test_shares_and_body_edges_go_where_they_belong():
    block = block_of(DEFAULTS._replace(front_body_edge=300.0, back_body_edge=340.0), style=Style(front_share=48.0))
    top = (DEFAULTS.off_shoulder_girth - 300 - 340) / 2
    assert block.seam.edge("top edge").length() == pytest.approx(top)
    assert block.seam.corner("front top") == pytest.approx((0.48 * top, 0))
    assert block.seam.corner("front underarm point")[0] == pytest.approx(0.48 * width(block))
    assert width(block) == pytest.approx(width(block_of(DEFAULTS)))
    check_closed(block.seam)


@pytest.mark.parametrize("scoop", [2.0, 5.0, 8.0])
def test_the_front_is_scooped_deeper_by_what_was_asked(scoop):
    block = block_of(DEFAULTS._replace(front_scoop=scoop))
    front, back = (hollow_by_scipy(block.seam.edge(f"{side} armhole")) for side in ("front", "back"))
    assert front - back == pytest.approx(scoop, abs=0.01)
    bend = block.seam.edge("front armhole").curvature(np.linspace(0.02, 0.98, 49))
    assert (np.sign(bend) == np.sign(bend[0])).all()  # hollow all the way
    check_closed(block.seam)


@given(st.floats(20, 200), st.floats(60, 200), st.floats(0, 0.6))
def test_the_deepest_scoop_does_not_bend_back(run, height, arrival):
    assume(math.atan2(height, run) - arrival > math.radians(10))
    curve = armhole_curve((0, 0), (run, height), arrival, most_scoop(run, height, arrival))
    along = curve.point(np.linspace(0, 1, 200))
    assert (np.diff(along, axis=0) >= -1e-9).all()


def test_too_much_scoop_is_refused_with_the_most():
    with pytest.raises(Refused, match=r"^scooped too deep .*'scoop': 30.0"):
        block_of(DEFAULTS._replace(front_scoop=30.0))


# --- notches ---------------------------------------------------------------------------------------


def test_notches_meet_when_sleeve_and_bodice_are_sewn():
    """Walked from the underarm both seams are equally long to the notch; the ease lies beyond (common practice, no source)."""
    m = DEFAULTS._replace(front_armhole_seam=150.0, back_armhole_seam=160.0, armhole_ease=8.0)
    draft = draft_sleeve(m, 5)
    for notch, bodice in zip(draft.notches, (150, 160)):
        sleeve = length_by_scipy(draft.block.seam.edge(f"{notch.side} armhole"))
        assert notch.from_underarm + notch.from_top_edge == pytest.approx(sleeve, abs=1e-4)
        assert notch.from_underarm + notch.from_top_edge_on_bodice == pytest.approx(bodice, abs=1e-4)
        assert notch.from_top_edge - notch.from_top_edge_on_bodice == pytest.approx(4, abs=MATCHED)
