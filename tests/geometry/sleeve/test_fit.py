"""The fit report, length styles and shapes, against shapely, hand-worked tables and 260 real bodies."""
import re

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import LineString, Polygon

from extension.wording.refusals import sentence
from geometry.curves.curve import Curve
from geometry.measuring.ease import Share
from geometry.measuring.given import read_given
from geometry.measuring.measurements import Style
from geometry.refusal import Refused
from geometry.sleeve.arm import Level, girth_at, measured_levels
from geometry.sleeve.armhole import armhole_curve
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.fit import VERDICTS, FitRow, fit_rows, limits_for
from geometry.sleeve.marks import tier_lines
from geometry.sleeve.outline import Outline
from geometry.sleeve.rules import EASE_PRESETS, RULE_CASING, around_arms_and_body, believed_around
from geometry.sleeve.settling import rule_cap
from geometry.sleeve.underarm import ROUNDED_OUT
from tests.bodies import DEFAULTS, TYPED, block_of, measurements_of, women
from tests.host import REPOSITORY

INCH = 25.4
WRIST = {"wrist_girth": 160.0, "wrist_level": 530.0}

#: The ease that a sleeve should have at the upper arm at the least, mm, and how far seams may be apart
#: and still be sewn edge to edge, mm (both common practice, no source).
ENOUGH, NEAR_ENOUGH = 20.0, INCH / 4


def width_by_shapely(outline: Outline, y: float) -> float:
    shape = Polygon(outline.closed().flatten(0.001))
    left, _, right, _ = shape.bounds
    return shape.intersection(LineString([(left - 1, y), (right + 1, y)])).length


def row(draft, name):
    return next(r for r in draft.fit if name in r.name.split(", "))


# --- the report ------------------------------------------------------------------------------------


def test_a_tube_of_known_girth():
    """Worked by hand: a sleeve 400 mm wide all the way on an arm that tapers from 300 (at 100) to 200 mm (at 300)."""
    edges = Curve.polyline([(-100, 0), (100, 0), (200, 50), (200, 300), (-200, 300), (-200, 50), (-100, 0)])
    names = ("top edge", "front armhole", "front underarm", "hem", "back underarm", "back armhole")
    tube = Outline({name: edges.between(i, i + 1) for i, name in enumerate(names)})
    arm = [Level("upper arm", 100, 300, 0), Level("hem", 300, 200, 0)]
    rows = {r.name: r for r in fit_rows(tube, arm, tier_lines(tube, (0, 25, 150, 225)), 200)}
    assert list(rows) == ["top edge, tier 1", "tier 2", "underarm", "upper arm", "tier 3", "tier 4", "hem"]
    assert [r.body for r in rows.values()] == pytest.approx([200, 250, 300, 300, 275, 237.5, 200])
    assert [r.pattern for r in rows.values()] == pytest.approx([200, 300, 400, 400, 400, 400, 400])
    assert rows["upper arm"].ease == pytest.approx(100) and rows["upper arm"].percent == pytest.approx(100 / 3)
    assert [r.verdict for r in rows.values()] == ["good", "open", "good", "good", "full", "full", "full"]  # more than 35 %


@pytest.mark.parametrize(
    ("wearer", "body", "ease", "verdict"),
    [
        # Worked by hand: an adult's upper arm asks for 7 to 35 % and 15 to 170 mm, a child's for 10 to 45 % and 10 to 120 mm.
        ("adult", 300, -0.2, "too tight"), ("adult", 300, 0, "tight"), ("adult", 300, 20.9, "tight"), ("adult", 300, 21, "good"),
        ("adult", 300, 105, "good"), ("adult", 300, 105.2, "full"), ("adult", 200, 14.9, "tight"), ("adult", 200, 15, "good"),
        ("adult", 500, 170, "good"), ("adult", 500, 170.1, "full"),
        ("child", 160, 15.9, "tight"), ("child", 160, 16, "good"), ("child", 160, 72, "good"), ("child", 160, 72.2, "full"),
    ],
)  # fmt: skip
def test_verdicts_at_the_upper_arm_go_by_length_and_by_share(wearer, body, ease, verdict):
    assert FitRow("upper arm", 0, body, body + ease, limits_for(wearer)["upper arm"], True).verdict == verdict
    assert verdict in VERDICTS


#: A girl of six (invented): what the bust rule makes of a child.
GIRL = DEFAULTS._replace(
    bust_girth=610.0, off_shoulder_girth=730.0, shoulder_width=280.0, upper_arm_girth=180.0, upper_arm_level=120.0, elbow_girth=175.0,
    elbow_level=200.0, sleeve_length=300.0, hem_girth=150.0, hand_girth=0.0, body_edge_reduction=40.0,
)  # fmt: skip


@pytest.mark.parametrize("preset", ["close", "easy", "loose"])
@pytest.mark.parametrize(("wearer", "m"), [("adult", DEFAULTS), ("child", GIRL)])
def test_a_preset_is_good_where_the_cap_width_is_the_arms(wearer, m, preset):
    """The ease of every level is the preset's share of the girth measured there, and the chart calls it good."""
    draft = draft_sleeve(m._replace(cap_width=m.upper_arm_girth), 3, style=Style(ease=preset, wearer=wearer))
    shares = EASE_PRESETS[wearer][preset]
    for name, percent in (("underarm", shares.underarm), ("elbow", shares.elbow), ("hem", shares.hem)):
        assert percent - 0.05 <= row(draft, name).percent <= percent + 1  # a level is rounded off outside of it, by 1.5 mm at the most
    assert all(r.verdict == "good" for r in draft.fit if r.closed and r.name in ("underarm", "upper arm", "elbow", "hem"))


def test_the_bust_rules_width_on_a_child_is_called_what_it_is_and_what_would_do():
    """By hand: 2 x (610 / 6 + 38.1) + 25.4 = 304.9 mm around an arm of 180 mm: 69 %, where 25.4 mm was asked for."""
    draft = draft_sleeve(GIRL, 3, style=Style(wearer="child"))
    underarm = row(draft, "underarm")
    assert (underarm.verdict, underarm.percent) == ("full", pytest.approx(100 * (2 * (610 / 6 + 38.1) + 25.4 - 180) / 180))
    assert draft.fullness.cause == "rule" and draft.fullness.asked == pytest.approx(25.4)
    mended = draft_sleeve(GIRL._replace(cap_width=draft.fullness.cap_width), 3, style=Style(wearer="child"))
    assert mended.fullness is None and row(mended, "underarm").verdict == "good"


@pytest.mark.parametrize(
    ("m", "style", "cause"),
    [
        (GIRL._replace(cap_width=300.0), Style(wearer="child"), "cap width"),
        (GIRL._replace(cap_width=190.0, ease_cap=Share(60.0)), Style(wearer="child"), "ease"),
        (DEFAULTS, Style(), None),
    ],
)
def test_what_made_it_full_is_named(m, style, cause):
    full = draft_sleeve(m, 3, style=style).fullness
    assert (full and full.cause) == cause


def test_the_top_edge_is_judged_by_shoulders_and_arm():
    """By hand: 2 x 374.65 + 327.025 less two body edges of 323.85, halved, is 214.3 mm."""
    draft = draft_sleeve(DEFAULTS, 3)
    assert row(draft, "top edge").body == pytest.approx(214.3125)
    assert row(draft, "top edge").pattern == pytest.approx(DEFAULTS.off_shoulder_girth / 2 - 323.85)
    assert row(draft, "top edge").verdict == "good"


def test_a_tape_around_arms_and_body_against_260_women():
    """Their girth over the deltoids is near the estimate, and every one of them is believed (Heinz et al. 2003)."""
    ratios = []
    for woman in women():
        m = measurements_of(woman)
        around = around_arms_and_body(m.shoulder_width, m.upper_arm_girth)
        least, most = believed_around(around, m.bust_girth)
        assert least <= m.off_shoulder_girth <= most
        ratios.append(m.off_shoulder_girth / around)
    assert np.median(ratios) == pytest.approx(1, abs=0.015) and np.std(ratios) < 0.045


def test_thirty_six_inches_do_not_go_around_both_arms_and_a_bust_of_thirty_seven():
    m = DEFAULTS._replace(bust_girth=37 * INCH, off_shoulder_girth=36 * INCH, shoulder_width=14.5 * INCH, upper_arm_girth=12.25 * INCH)
    with pytest.raises(Refused, match=r"^off-shoulder girth out of range"):
        draft_sleeve(m, 3)


def test_rows_of_a_draft_are_what_shapely_measures():
    draft = draft_sleeve(DEFAULTS._replace(**WRIST), 7)
    assert len([name for r in draft.fit for name in r.name.split(", ")]) == 5 + 7  # four levels, the top edge, and the tiers
    assert [r.y for r in draft.fit] == sorted(r.y for r in draft.fit)
    for r in draft.fit[1:-1]:
        assert r.pattern == pytest.approx(width_by_shapely(draft.block.seam, r.y + (1e-6 if "underarm" in r.name else 0)), abs=0.02)
    assert draft.fit[-1].pattern == pytest.approx(DEFAULTS.hem_girth + 2 * DEFAULTS.ease_hem)  # along the hem, which is curved
    assert row(draft, "upper arm").body == DEFAULTS.upper_arm_girth


@pytest.mark.parametrize(
    ("y", "girth"),
    [
        # Worked by hand: upper arm 327.025 at 184.15, elbow 285.75 at 317.5, wrist 160 at 530 mm.
        (0, 327.025), (184.15, 327.025), (217.4875, 316.70625), (250.825, 306.3875), (317.5, 285.75), (423.75, 222.875), (530, 160),
    ],
)  # fmt: skip
def test_the_arm_runs_straight_between_its_levels(y, girth):
    levels = measured_levels(DEFAULTS._replace(**WRIST))
    assert girth_at(levels, y) == pytest.approx(girth, abs=1e-9)
    assert girth_at(levels, 531) is None


def test_an_edited_outline_is_measured_as_it_is():
    """Moved in by 15 mm on each side, everything is 30 mm tighter and some of it too tight."""
    draft = draft_sleeve(DEFAULTS, 5)
    seam = draft.block.seam
    narrower = Outline({
        name: seam.edge(name).transformed(np.array([[1.0, 0, -15 if "front" in name else 15], [0, 1, 0]]))
        for name in ("front armhole", "front underarm", "back underarm", "back armhole")
    } | {
        "top edge": Curve.line(seam.corner("back top") + (15, 0), seam.corner("front top") - (15, 0)),
        "hem": Curve.line(seam.corner("front hem") - (15, 0), seam.corner("back hem") + (15, 0)),
    })  # fmt: skip
    rows = fit_rows(narrower, draft.block.levels, tier_lines(narrower, draft.decided.plan.levels), draft.settled.top_edge_body)
    for before, after in zip(draft.fit, rows):
        if before.name != "hem":
            assert after.ease == pytest.approx(before.ease - 30, abs=1e-3)
    assert rows[-1].pattern == pytest.approx(2 * seam.corner("front hem")[0] - 30)  # straight across now
    assert {"tight", "too tight"} & {r.verdict for r in rows}


# --- real bodies -----------------------------------------------------------------------------------

#: A plain bodice for each body, our own: it is 6 cm larger than the bust, a quarter of which lies on each
#: side; its armhole runs from the end of the body edge down to the sleeve's underarm level, in front
#: scooped a quarter of an inch deeper.
BODICE_EASE, SCOOP, ARRIVAL = 60.0, INCH / 4, 0.35


def bodice_seams(m: dict) -> list:
    run = (m.bust_girth + BODICE_EASE) / 4 - (m.shoulder_width - m.body_edge_reduction) / 2
    return [armhole_curve((0, 0), (run, rule_cap(m).y), ARRIVAL, scoop).length() for scoop in (SCOOP, 0)]


def test_260_women_by_the_rule_and_solved():
    roomy, served, solved_for, only_solved = 0, 0, {"height": 0, "width": 0}, 0
    for woman in women():
        m = measurements_of(woman)
        front, back = bodice_seams(m)
        room = rule_cap(m).girth - m.upper_arm_girth >= ENOUGH  # before the draft widens anything
        seam = block_of(m).seam
        near = all(abs(seam.edge(f"{side} armhole").length() - bodice) <= NEAR_ENOUGH for side, bodice in (("front", front), ("back", back)))
        roomy, served = roomy + room, served + (room and near)
        fits = [keep for keep in solved_for if solves(m, front, back, keep)]
        for keep in fits:
            solved_for[keep] += 1
        only_solved += bool(fits) and not (room and near)
    print(
        f"\n260 women: the plain rule leaves {ENOUGH:g} mm or more at the upper arm for {roomy}, and its seams also meet the bodice to"
        f" {NEAR_ENOUGH:.1f} mm for {served}. Solved with both for {solved_for['height']} (height kept) and {solved_for['width']} (width kept);"
        f" only the solved sleeve serves {only_solved}."
    )
    printed = re.search(
        r"for (\d+) of them, .* for only (\d+)\. .* for (\d+) with the height kept and for (\d+) with the width kept; (\d+) are served only",
        (REPOSITORY / "docs" / "fit.md").read_text("utf-8"),
    )
    assert [int(figure) for figure in printed.groups()] == [roomy, served, solved_for["height"], solved_for["width"], only_solved]


def solves(m: dict, front: float, back: float, keep: str) -> bool:
    """Whether the armholes can be matched; if so they must be, with enough ease at the upper arm."""
    try:
        draft = draft_sleeve(m._replace(front_armhole_seam=front, back_armhole_seam=back), 6, style=Style(armhole_keep=keep))
    except Refused as refusal:
        assert "seam" in sentence(refusal, "cm")
        return False
    for side, bodice in (("front", front), ("back", back)):
        assert draft.block.seam.edge(f"{side} armhole").length() == pytest.approx(bodice, abs=0.05)
    around_the_arm = [r for r in draft.fit if r.closed and r.y > 0 and r.y <= max(m.upper_arm_level, draft.block.cap_height)]
    assert all(r.ease >= ENOUGH and r.verdict in ("good", "full") for r in around_the_arm)
    return True


# --- length styles and shapes ----------------------------------------------------------------------

ARM = DEFAULTS._replace(**WRIST, hem_girth=0.0)


@pytest.mark.parametrize(
    ("style", "length", "girth"),
    [
        # Worked by hand: underarm 102.658, upper arm 327.025 at 184.15, elbow 285.75 at 317.5, wrist 160 at 530 mm.
        ("short", (102.658 + 317.5) / 2, 327.025 + (210.079 - 184.15) / (317.5 - 184.15) * (285.75 - 327.025)),
        ("elbow", 317.5, 285.75),
        ("three-quarter", (317.5 + 530) / 2, (285.75 + 160) / 2),
        ("full", 530, 160),
    ],
)
def test_length_styles_end_where_they_say_with_the_girth_of_the_arm(style, length, girth):
    m = ARM._replace(hand_girth=0.0)
    draft = draft_sleeve(m, 4, style=Style(length_style=style))
    assert draft.settled.length == pytest.approx(length, abs=0.01)
    hem = draft.block.seam.edge("hem")
    assert hem.point(len(hem) / 2) == pytest.approx((0, length), abs=0.01)
    assert draft.block.levels[-1].girth == pytest.approx(girth, abs=0.02)
    assert draft.block.seam.edge("hem").length() == pytest.approx(girth + 2 * m.ease_hem, abs=0.02)
    assert draft.settled.lettered["sleeve_length"] == draft.settled.length
    assert all(level.y < length for level in draft.block.levels[:-1])


def test_the_hand_is_checked_at_the_wrist_and_below_only():
    m = ARM._replace(ease_hem=0.0, hand_girth=250.0)
    for style in ("short", "elbow", "three-quarter"):
        block_of(m, style=Style(length_style=style))
    with pytest.raises(Refused, match=r"^hem too narrow for the hand"):
        block_of(m, style=Style(length_style="full"))
    block_of(m._replace(sleeve_length=500.0))  # as measured, above the wrist
    with pytest.raises(Refused, match=r"^hem too narrow for the hand"):
        block_of(m._replace(sleeve_length=530.0))


def test_a_flared_hem_lets_the_hand_through_that_a_fitted_one_does_not():
    m = DEFAULTS._replace(hem_girth=150.0, hand_girth=210.0, flare_width=400.0)
    with pytest.raises(Refused, match=r"^hem too narrow for the hand .*'asked': 150.0, 'hem': 188.1.*'hand': 210.0, 'missing': 21.9"):
        block_of(m)
    block_of(m, style=Style(shape="flared"))


@pytest.mark.parametrize(
    ("change", "style", "words"),
    [
        ({"elbow_girth": 0.0, "elbow_level": 0.0}, "short", ["“short”", "the elbow"]),
        ({"wrist_girth": 0.0, "wrist_level": 0.0}, "full", ["“full”", "the wrist"]),
        ({"wrist_girth": 0.0}, "as measured", ["Wrist girth and wrist level"]),
        ({"wrist_girth": 0.0, "wrist_level": 0.0}, "as measured", ["Hem girth: 0", "only known down to the elbow", "wrist"]),
        ({"elbow_level": 500.0}, "as measured", ["Elbow level", "hem"]),
        ({"wrist_level": 300.0}, "as measured", ["Wrist level", "elbow"]),
    ],
)
def test_what_a_length_needs_is_asked_for(change, style, words):
    with pytest.raises(Refused) as refusal:
        block_of(ARM._replace(**change), style=Style(length_style=style))
    for word in words:
        assert word in sentence(refusal.value, "cm")


def test_a_hem_smaller_than_the_arm_is_widened_and_said():
    block = block_of(ARM._replace(hem_girth=200.0), style=Style(length_style="elbow"))
    assert ("hem widened", (200.0, 285.75)) in [(note.kind, note.lengths) for note in block.notes]
    assert block.seam.edge("hem").length() == pytest.approx(285.75 + 2 * DEFAULTS.ease_hem)


def test_straight_falls_straight_from_the_elbow():
    seam = block_of(DEFAULTS, style=Style(shape="straight")).seam
    below = seam.edge("front underarm")
    xs = [below.point(t) for t in np.linspace(0, len(below), 400)]
    half = DEFAULTS.elbow_girth / 2 + DEFAULTS.ease_elbow
    lower = DEFAULTS.elbow_level + (DEFAULTS.sleeve_length - DEFAULTS.elbow_level) / 3  # what bend there is lies in the upper third
    assert [x for x, y in xs if y >= lower] == pytest.approx([half] * sum(y >= lower for _, y in xs), abs=1e-6)
    assert min(x for x, _ in xs) >= half - 1e-9


@pytest.mark.parametrize("flare", [330.0, 350.0, 390.0])
def test_flared_leaves_the_elbow_and_meets_the_hem_square(flare):
    block = block_of(DEFAULTS._replace(flare_width=flare), style=Style(shape="flared"))
    below, hem = block.seam.edge("front underarm"), block.seam.edge("hem")
    assert hem.length() == pytest.approx(flare)
    wide = block.seam.width_at(DEFAULTS.elbow_level) - DEFAULTS.elbow_girth - 2 * DEFAULTS.ease_elbow
    assert -1e-6 <= wide <= 2 * ROUNDED_OUT + 1e-6
    tangents = below.tangent(np.linspace(0, len(below), 200))
    assert tangents[-1] @ hem.tangent(0) == pytest.approx(0, abs=1e-6)
    assert (np.abs(tangents[:, 0]) <= np.sqrt(0.5) + 1e-6).all()  # never flatter than 45 degrees
    joints = [below.tangent(t) - below.tangent(t, incoming=True) for t in range(1, len(below))]
    assert np.abs(joints).max() < 1e-9  # smooth at every level


@pytest.mark.parametrize(
    ("flare", "rule", "limit"),
    [(0.0, "flare too narrow", "least"), (200.0, "flare too narrow", "least"), (9000.0, "flare beyond the circle", "most")],
)
def test_a_flare_that_can_not_be_says_what_can(flare, rule, limit):
    with pytest.raises(Refused, match=f"^{rule}") as refused:
        block_of(DEFAULTS._replace(flare_width=flare), style=Style(shape="flared"))
    would_do = refused.value.problems[0].facts[limit]
    block_of(DEFAULTS._replace(flare_width=would_do), style=Style(shape="flared"))


@pytest.mark.parametrize("flare", [180.0, 230.0, 300.0, 420.0, 700.0])
def test_a_short_flare_is_as_wide_as_asked_or_refused_with_the_least_that_does(flare):
    """From a wide underarm, a finger below it: scipy measures the hem, numpy adds up what the note tells."""
    short = DEFAULTS._replace(sleeve_length=140.0, upper_arm_level=95.0, elbow_girth=0.0, elbow_level=0.0, hem_girth=160.0, hand_girth=0.0)
    style = Style(shape="flared", flare_from="underarm")
    rules = []
    while True:
        try:
            block = block_of(short._replace(flare_width=flare), style)
            break
        except Refused as refusal:
            rules.append(refusal.problems[0].rule)
            flare = refusal.problems[0].facts["least"]
    assert rules in ([], ["flare narrowed to too fast"], ["flare too narrow", "flare narrowed to too fast"])  # for the arm, and then for the seam
    hem = block.seam.edge("hem")
    assert quad(lambda t: np.hypot(*hem.derivative(t)), 0, len(hem), points=range(1, len(hem)), limit=200)[0] == pytest.approx(flare, abs=0.01)
    (note,) = [note for note in block.notes if note.kind in ("flare at the seams", "flare spread")]
    whole, hanging, each, *spread = note.lengths
    assert np.dot([1, 2, 1], [hanging, each, spread[0] if spread else 0.0]) == pytest.approx(flare) == whole
    assert min(hanging, each) >= -1e-6
    assert not [note for note in block.notes if note.level == "hem" and note != block.notes[-1]]


@settings(max_examples=60)
@given(
    style=st.sampled_from(["as measured", "short", "elbow", "three-quarter", "full"]), shape=st.sampled_from(["fitted", "straight", "flared"]),
    finish=st.sampled_from(["band", "elastic", "faced"]), flare=st.floats(250, 600), top_edge_raise=st.floats(0, 25), share=st.floats(40, 60),
    girth=st.floats(220, 450), taper=st.floats(0.6, 1.0),
)  # fmt: skip
@example("as measured", "flared", "band", 250.0, 0.0, 40.0, 220.0, 0.625)  # the front's hem ends within the end of its top edge
def test_every_style_drafts_well_or_is_refused(style, shape, finish, flare, top_edge_raise, share, girth, taper):
    m = ARM._replace(
        upper_arm_girth=girth, elbow_girth=girth * taper, wrist_girth=girth * taper**2, off_shoulder_girth=720.0 + girth,
        flare_width=flare, top_edge_raise=top_edge_raise, hand_girth=0.0,
    )  # fmt: skip
    try:
        draft = draft_sleeve(m, 5, style=Style(length_style=style, shape=shape, finish=finish, front_share=share))
    except Refused as refusal:
        assert refusal.problems[0].rule in (
            "last tier line past the ends of the hem",
            "flare too narrow", "flare narrowed to too fast", "casing on a spread top edge", "raised and spread top edge",
            "top edge too high", "casing on a raised top edge", "second tier line above the ends",
            "front and back too unlike", "allowances too wide",
        )  # fmt: skip
        return
    seam = draft.block.seam
    shape_of_seam, cut = Polygon(seam.closed().flatten(0.001)), Polygon(draft.cutting.flatten(0.001))
    assert shape_of_seam.is_valid and cut.is_valid and cut.buffer(0.02).covers(shape_of_seam)
    # Few nodes to drag; a flare spread to half a circle has as many more as its arcs are long.
    assert len(seam.closed()) <= (40 if shape == "flared" else 20)
    for corner in ("underarm point", "hem"):
        assert seam.corner_angle(f"front {corner}") + seam.corner_angle(f"back {corner}") == pytest.approx(180, abs=1e-6)
    for level in draft.block.levels[1:-1]:
        if level.y > draft.block.cap_height and not draft.block.spread:
            assert width_by_shapely(seam, level.y) >= level.girth + 2 * level.ease - 0.01
    assert all(r.verdict != "too tight" for r in draft.fit if r.closed)
    for tier in draft.tiers[1:]:
        assert shape_of_seam.buffer(0.01).covers(LineString(tier.curve.nodes))


# --- the top edge --------------------------------------------------------------------------------------


def test_a_casing_is_added_above_the_top_edge_and_mirrors_the_armholes():
    plain, cased = draft_sleeve(DEFAULTS, 3), draft_sleeve(DEFAULTS._replace(casing_allowance=20.0), 3, style=Style(finish="elastic"))
    assert plain.settled.folded == ("hem",) and cased.settled.folded == ("hem", "top edge")
    assert cased.cutting.bounds()[1] == pytest.approx(-20, abs=1e-6)
    cut = Polygon(cased.cutting.flatten(0.001))
    left, _, right, _ = cut.bounds
    for y in (3.0, 11.0, 19.0):  # folded along the top edge the casing lies on the sleeve, no wider and no narrower
        above, below = (cut.intersection(LineString([(left - 1, h), (right + 1, h)])).length for h in (-y, y))
        assert above == pytest.approx(below, abs=0.02)


def test_elastic_is_cut_by_her_ratio():
    draft = draft_sleeve(DEFAULTS, 3, style=Style(finish="elastic", elastic_ratio=0.85))
    assert draft.settled.top.elastic == pytest.approx(0.85 * DEFAULTS.off_shoulder_girth)
    assert draft.settled.allowances["top edge"] == RULE_CASING
    assert draft_sleeve(DEFAULTS, 3).settled.top.elastic == 0


def test_a_raised_top_edge_is_faced_by_itself_and_takes_no_casing():
    m = DEFAULTS._replace(top_edge_raise=12.0)
    faced = draft_sleeve(m, 3, style=Style(finish="faced"))
    assert faced.settled.folded == ("hem",) and faced.settled.allowances["top edge"] == DEFAULTS.seam_allowance
    assert draft_sleeve(DEFAULTS, 3, style=Style(finish="faced")).settled.folded == ("hem", "top edge")
    with pytest.raises(Refused, match=r"^casing on a raised top edge"):
        draft_sleeve(m, 3, style=Style(finish="elastic"))


@pytest.mark.parametrize("share", [50.0, 46.0])
def test_a_raised_top_edge_is_as_long_as_the_girth_asks_smooth_and_level_at_its_ends(share):
    block = block_of(DEFAULTS._replace(top_edge_raise=12.0), style=Style(front_share=share))
    top = block.seam.edge("top edge")
    length = quad(lambda t: np.hypot(*top.derivative(t)), 0, 2, points=[1])[0]
    assert length == pytest.approx(DEFAULTS.off_shoulder_girth / 2 - (DEFAULTS.shoulder_width - 2 * INCH), abs=0.01)
    assert [top.start[1], top.point(1)[1], top.end[1]] == pytest.approx([12, 0, 12])
    for t, incoming in ((0, False), (1, False), (1, True), (2, True)):
        assert top.tangent(t, incoming) == pytest.approx((1, 0), abs=1e-9)
    with pytest.raises(Refused, match=r"^top edge too high"):
        block_of(DEFAULTS._replace(top_edge_raise=25.0, off_shoulder_girth=940.0))


def test_tiers_too_near_for_a_raised_top_edge_are_refused():
    m = DEFAULTS._replace(top_edge_raise=20.0)
    draft_sleeve(m, 20)  # 2.4 cm apart
    with pytest.raises(Refused, match=r"^second tier line above the ends .*'second': 11.9"):
        draft_sleeve(m, 40)


@pytest.mark.parametrize("leaves", ["underarm", "elbow"])
def test_the_chart_of_a_spread_flare_reads_heights_along_the_grain(leaves):
    """Worked by hand: a spread bends lines, and leaves the length of the top edge and all heights along the grain as they were, so that
    at the same heights stand the same places, on the same body, with the same verdict at the top edge and above the underarm.
    """
    typed = {**TYPED, "elbow_level": "14", "upper_arm_level": "8", "hand_girth": "0"}
    style = Style(length_style="elbow")
    fitted = draft_sleeve(read_given(typed, "in"), 7, style=style).fit
    early = [(r.name, r.verdict) for r in fitted if not r.closed or r.y < 0.01]
    assert len(early) == 3
    for wide in (24, 30, 45, 60, 72):
        spread = style._replace(shape="flared", flare_from=leaves)
        rows = draft_sleeve(read_given({**typed, "flare_width": str(wide)}, "in"), 7, style=spread).fit
        assert [r.name for r in rows] == [r.name for r in fitted]
        assert [(r.name, r.verdict) for r in rows if not r.closed or r.y < 0.01] == early
        assert [r.y for r in rows] == pytest.approx([r.y for r in fitted], abs=0.01)
        assert [r.body for r in rows] == pytest.approx([r.body for r in fitted], abs=0.01)
        assert all(r.pattern >= was.pattern - 0.01 for r, was in zip(rows, fitted))
        assert rows[0].pattern == pytest.approx(fitted[0].pattern)
