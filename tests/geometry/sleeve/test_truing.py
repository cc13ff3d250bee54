"""What a tape would say about an edited sleeve; lengths by svgpathtools, angles by hand."""
from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from svgpathtools import CubicBezier, Path

from geometry.curves.curve import Curve
from geometry.editing.retrimming import mirrored, remeasured_tiers, trimmed_all
from geometry.measuring.measurements import Style
from geometry.sleeve.draft import Decided, decide, draft_on
from geometry.sleeve.marks import TierLine, notches, tier_lines
from geometry.sleeve.outline import EDGES, Outline
from geometry.sleeve.truing import GOOD, LOOK, WRONG, true_up
from tests.bodies import DEFAULTS
from tests.geometry.shapes import level_line

DECIDED: Decided = decide(DEFAULTS, 6, "none", "cm", Style())
SEAM = DECIDED.block.seam


def length(curve: Curve) -> float:
    return Path(*(CubicBezier(*(complex(*p) for p in segment)) for segment in curve.segments)).length(error=1e-8)


def with_node_moved(corner: str, by: tuple) -> Outline:
    """The drafted outline with one corner dragged, its handles along."""
    at, edges = SEAM.corner(corner), {}
    for name in EDGES:
        segments = np.array(SEAM.edge(name).segments)
        if np.allclose(segments[0, 0], at):
            segments[0, :2] += by
        if np.allclose(segments[-1, 3], at):
            segments[-1, 2:] += by
        edges[name] = Curve(segments)
    return Outline(edges)


def checks(outline: Outline, tiers=None, adrift=(), tolerance: float = 1.0, decided: Decided = DECIDED) -> dict:
    lines = tier_lines(outline, decided.plan.levels) if tiers is None else tiers
    draft = draft_on(decided, outline, lines, notches(outline, ()))
    return {(check.kind, check.subject): check for check in true_up(draft, adrift, tolerance)}


def test_a_drafted_sleeve_is_true():
    assert {check.verdict for check in checks(SEAM).values()} == {GOOD}


@pytest.mark.parametrize(("down", "tolerance", "verdict"), [(0.9, 1.0, GOOD), (1.1, 1.0, WRONG), (4.0, 5.0, GOOD), (0.0, 0.0, GOOD)])
def test_underarm_seams_are_compared(down, tolerance, verdict):
    outline = with_node_moved("front hem", (0, down))
    check = checks(outline, tolerance=tolerance)["underarm seams", "underarm"]
    front, back = length(outline.edge("front underarm")), length(outline.edge("back underarm"))
    assert check.numbers[:2] == pytest.approx((front, back), abs=1e-4)
    assert check.verdict == verdict


@pytest.mark.parametrize(("degrees", "verdict"), [(4.9, GOOD), (5.1, WRONG), (-4.9, GOOD), (-5.1, WRONG)])
def test_the_edge_runs_on_within_five_degrees(degrees, verdict):
    """The front hem corner's last handle turned by so many degrees about the corner."""
    edge = np.array(SEAM.edge("front underarm").segments)
    off = edge[-1, 2] - edge[-1, 3]
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    edge[-1, 2] = edge[-1, 3] + (c * off[0] - s * off[1], s * off[0] + c * off[1])
    check = checks(Outline({**{name: SEAM.edge(name) for name in EDGES}, "front underarm": Curve(edge)}))["edge", "hem"]
    assert check.verdict == verdict
    assert abs(sum(check.numbers) - 180) == pytest.approx(abs(degrees), abs=1e-9)


@pytest.mark.parametrize(("more", "verdict"), [(0.0, GOOD), (1.0, GOOD), (4.0, LOOK), (30.0, WRONG)])
def test_ease_left_at_a_level_is_told(more, verdict):
    """A body with so much more girth: ease asked is 2 x 3/4 in = 38.1 mm, and 1/8 in of it may be missing."""
    more *= 1 if verdict != WRONG else 38.2 / 30
    levels = tuple(level._replace(girth=level.girth + more) if level.name == "elbow" else level for level in DECIDED.block.levels)
    decided = DECIDED._replace(block=DECIDED.block._replace(levels=levels))
    check = checks(SEAM, decided=decided)["level", "elbow"]
    width, girth, asked = check.numbers
    assert (width - girth, asked) == pytest.approx((38.1 - more, 38.1), abs=1e-6)
    assert check.verdict == verdict


@pytest.mark.parametrize(("wider", "verdict"), [(-2.0, WRONG), (-1.0, GOOD), (1.0, GOOD), (2.0, LOOK)])
def test_top_edges_and_body_edges_go_around_the_girth(wider, verdict):
    """1/8 in of the whole may be missing or over; the top edge counts twice."""
    check = checks(with_node_moved("front top", (wider, 0)))["top edge", "top edge"]
    assert check.numbers[0] - check.numbers[1] == pytest.approx(2 * wider, abs=1e-6)
    assert check.verdict == verdict


@pytest.mark.parametrize(("narrower", "verdict"), [(57.0, GOOD), (58.0, WRONG)])
def test_the_hand_passes_the_hem(narrower, verdict):
    """The closed hem is 10 1/2 in, the hand 8 1/4 in: 57.15 mm to spare, on the chord of the arc."""
    outline = with_node_moved("front hem", (-narrower, 0))
    check, hem = checks(outline)["hand", "hem"], outline.edge("hem")
    by_scipy = quad(lambda t: np.hypot(*hem.derivative(t)), 0, len(hem), points=[*range(1, len(hem))])[0]
    assert check.numbers == pytest.approx((by_scipy, 209.55), abs=1e-6)
    assert check.verdict == verdict


def test_a_level_below_a_shortened_hem_is_only_named():
    decided = DECIDED._replace(block=DECIDED.block._replace(levels=tuple(
        level._replace(y=490.0) if level.name == "elbow" else level for level in DECIDED.block.levels
    )))  # fmt: skip
    assert checks(SEAM, decided=decided)["off the sleeve", "elbow"].verdict == LOOK


# --- tier lines ---------------------------------------------------------------------------------------


def at(*heights: float) -> list:
    return [TierLine(number, level_line(SEAM, y)) for number, y in enumerate(heights, start=1)]


@pytest.mark.parametrize(("heights", "verdict"), [((100, 200, 300, 400), GOOD), ((100, 200, 300), LOOK), ((100,), GOOD)])
def test_the_last_tier_covers_what_is_below(heights, verdict):
    """As deep as the others (100 mm) it reaches from 400 to the hem at 476.25, from 300 it does not."""
    assert checks(SEAM, at(*heights))["last tier", str(len(heights))].verdict == verdict


def test_lines_that_cross_or_lie_on_each_other_are_named_where_they_do():
    crossing = [TierLine(1, level_line(SEAM, 200.0)), TierLine(2, SEAM.across(Curve.line((-100, 190), (100, 210))))]
    check = checks(SEAM, crossing)["crossing", "1 and 2"]
    assert check.verdict == WRONG and check.places[0] == pytest.approx((0, 200), abs=1e-6)
    assert ("crossing", "1 and 2") in checks(SEAM, at(200, 200.5))
    assert ("crossing", "1 and 2") not in checks(SEAM, at(200, 201.5))


def test_numbers_are_kept_unless_two_are_equal():
    old_top_edge = np.array([SEAM.corner("back top"), SEAM.corner("front top")])
    kept = [TierLine(number, line.curve) for number, line in zip((1, 3, 6), at(50, 150, 100))]
    assert [line.number for line in remeasured_tiers(SEAM, kept, old_top_edge).lines] == [1, 3, 6]
    twice = [TierLine(number, line.curve) for number, line in zip((1, 2, 2), at(50, 150, 100))]
    assert [line.number for line in remeasured_tiers(SEAM, twice, old_top_edge).lines] == [1, 3, 2]


def test_a_line_on_the_seam_is_the_very_same_and_one_off_the_sleeve_none():
    line = level_line(SEAM, 200.0)
    long = Curve.line((-400, 250), (400, 250))
    below = Curve.line((-50, 600), (50, 600))
    same, cut, none = trimmed_all(SEAM, [line, long, below])
    assert same is line and none is None
    assert np.abs(cut.nodes[:, 0]) == pytest.approx([SEAM.width_at(250) / 2] * 2)


@pytest.mark.parametrize("kept", ["front", "back"])
def test_mirrored_halves_are_mirror_images(kept):
    outline = with_node_moved("front hem", (9, 4))
    both = mirrored(outline, kept)
    for part in ("armhole", "underarm"):
        front, back = both.edge(f"front {part}").segments, both.edge(f"back {part}").reversed().segments
        assert front == pytest.approx(back * (-1, 1))
        assert both.edge(f"{kept} {part}").segments == pytest.approx(outline.edge(f"{kept} {part}").segments)
    assert mirrored(both, kept) is both
    assert len(both.edge("top edge")) == 1, "a straight top edge stays one line"
