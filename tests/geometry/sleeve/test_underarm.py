"""The underarm seam and the hem, for eight invented clients and 260 women, against numpy, scipy and shapely.

The rules are the trade's (common practice, no source): nowhere narrower than the arm with its ease, nowhere inside the
straight line between two levels, at most 45° from the grain and turns of 25°, the hem square to both seams.
"""
from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as some
from scipy.integrate import quad
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon, box

from geometry.curves.curve import Curve
from geometry.measuring.measurements import USUAL
from geometry.refusal import Refused
from geometry.sleeve.block import Block, draft_block
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.hem import MOST_EASED, eased_share
from geometry.sleeve.settling import settle
from geometry.sleeve.spread import Spread
from geometry.sleeve.underarm import Stop, TooWide, draw_seam
from tests.bodies import DEFAULTS, block_of, measurements_of, women
from tests.clients import CLIENTS

CLIENT_IDS = [client.name for client in CLIENTS]

#: Lengths by quadrature agree to this, mm; angles to this, degrees.
CLOSE, ANGLE = 0.01, 0.05


def block_for(client) -> Block:
    return block_of(client.given(), client.style())


def length_by_scipy(curve: Curve) -> float:
    return quad(lambda t: float(np.hypot(*curve.derivative(t))), 0, len(curve), points=[*range(1, len(curve))], limit=200)[0]


def side_points(block: Block, side: str = "front", each: int = 200) -> np.ndarray:
    """Points down one underarm seam, x from the middle of the sleeve outward."""
    seam = block.seam.edge(f"{side} underarm")
    points = seam.point(np.linspace(0, len(seam), each * len(seam) + 1))
    return points if side == "front" else (points * (-1, 1))[::-1]


def check_seam(block: Block) -> None:
    """What holds of every seam that is not spread."""
    arm = [level for level in block.levels if level.name != "underarm"]
    front, back = side_points(block), side_points(block, "back")
    down = front[:, 1] <= arm[-1].y
    asked = np.interp(front[:, 1], [level.y for level in arm], [level.girth + 2 * level.ease for level in arm])
    width = front[:, 0] + np.interp(front[:, 1], back[:, 1], back[:, 0])
    assert (width - asked)[down].min() >= -CLOSE  # at every height, between the levels too
    leans = np.degrees(np.arctan2(np.diff(front[:, 0]), np.diff(front[:, 1])))
    assert np.abs(leans).max() <= 45 + ANGLE
    assert np.abs(np.diff(leans)).max() < 5  # smooth: no corner
    check_hem(block)


def check_hem(block: Block) -> None:
    """A circular arc, as long as the girth with its ease, square to both seams, at the sleeve's length on the grain."""
    hem, level = block.seam.edge("hem"), block.levels[-1]
    for seam, place, at_hem in (("front underarm", -1, 0), ("back underarm", 0, len(hem))):
        edge = block.seam.edge(seam)
        along = edge.tangent(len(edge), incoming=True) if place else edge.tangent(0)
        assert abs(np.degrees(np.arcsin(along @ hem.tangent(at_hem, incoming=bool(at_hem))))) < ANGLE
    assert length_by_scipy(hem) >= level.girth + 2 * level.ease - CLOSE
    at_grain = LineString(hem.point(np.linspace(0, len(hem), 2001))).intersection(LineString([(0, 0), (0, 2000)]))
    assert at_grain.y == pytest.approx(level.y, abs=CLOSE)
    bend = hem.curvature(np.linspace(0.01, len(hem) - 0.01, 50))
    assert np.ptp(bend) < 1e-4 + 0.01 * np.abs(bend).max()


@pytest.mark.parametrize("client", CLIENTS[:-1], ids=CLIENT_IDS[:-1])
def test_eight_clients(client):
    check_seam(block_for(client))


@pytest.mark.parametrize("client", CLIENTS, ids=CLIENT_IDS)
def test_from_the_upper_arm_down_never_inside_the_straight_line_between_levels(client):
    """Chords between the widths asked for at the levels that the seam passes through."""
    block = block_for(client)
    if block.spread:
        front, levels = np.array(block.spread.front.point(np.linspace(0, len(block.spread.front), 4000))), block.levels[1:-1]
    else:
        front, levels = side_points(block), block.levels[1:]
    levels = [level for level in levels if level.y > block.cap_height]
    y = np.linspace(levels[0].y, levels[-1].y, 300)
    chord = np.interp(y, [level.y for level in levels], [level.needed for level in levels])
    assert (np.interp(y, front[:, 1], front[:, 0]) - chord).min() >= -CLOSE


@pytest.mark.parametrize("client", CLIENTS, ids=CLIENT_IDS)
def test_below_the_elbow_the_bend_lies_in_the_upper_third_and_is_of_one_sign(client):
    block = block_for(client)
    elbow = next((level.y for level in block.levels if level.name == "elbow" and level.y < block.levels[-1].y - 1), None)
    if elbow is None:
        return  # the sleeve ends there
    seam = block.seam.edge("front underarm")
    if block.spread:
        side = block.spread.front
        seam = side.between(np.flatnonzero(side.nodes[:, 1] >= block.cap_height - 1e-6)[0], len(side))
    t = np.linspace(0.001, len(seam) - 0.001, 4000)
    y, bend = seam.point(t)[:, 1], seam.curvature(t)
    upper = elbow + (seam.end[1] - elbow) / 3
    assert np.abs(bend[y > upper + 1]).max() < 1e-6
    below = bend[(y > elbow) & (np.abs(bend) > 1e-6)]
    assert len(below) == 0 or (np.sign(below) == np.sign(below[0])).all()


def test_260_women_and_no_hook():
    """Lean and turn of every stretch, the width at every height, the hem: at the usual length, short, and with a straight
    seam; which levels are passed wider is counted and printed with the greatest lean."""
    wider, steepest = [], 0.0
    for woman in women():
        given = measurements_of(woman)
        for style, change in (
            (USUAL, {}), (USUAL._replace(length_style="short"), {"hem_girth": 0.0}), (USUAL._replace(shape="straight"), {}),
        ):  # fmt: skip
            block = block_of(given._replace(**change), style)
            check_seam(block)
            points = side_points(block)
            steepest = max(steepest, float(np.degrees(np.abs(np.arctan2(np.diff(points[:, 0]), np.diff(points[:, 1])))).max()))
            wider += [note for note in block.notes if note.kind in ("passed over", "narrowed slowly")]
            assert all(drawn > asked for note in block.notes if note.kind == "passed over" for asked, drawn in [note.lengths])
    print(f"\n780 sleeves: steepest {steepest:.1f}°, {len(wider)} levels drawn wider than asked, each with its number.")


@pytest.mark.parametrize("ease", ["close", "easy", "loose"])
def test_what_is_drawn_wider_than_asked_is_said(ease):
    """At every level from which the drawing differs by a millimetre around the arm or more, the finest mark of a tape; measured by shapely."""
    told, everyone = 0, [*(client.given() for client in CLIENTS if client.given().hem_girth), *(measurements_of(woman) for woman in women()[::5])]
    for measured in everyone:
        settled = settle(measured._replace(hand_girth=0.0), USUAL._replace(ease=ease))
        block = draft_block(settled)
        outline = Polygon(block.seam.closed().flatten(0.001))
        notes = {note.level: note.lengths for note in block.notes if note.kind in ("passed over", "narrowed slowly", "rounded off")}
        for level in settled.arm:
            if level.y <= block.cap_height:
                continue
            wide = outline.intersection(LineString([(-2000, level.y), (2000, level.y)])).length
            assert (level.name in notes) == (wide - 2 * level.needed > 1.0), (level, wide)
            if level.name in notes:
                told += 1
                assert notes[level.name] == pytest.approx((2 * level.needed, wide), abs=0.01)
    assert told > 40


def bends_above(block: Block, level: float) -> list[int]:
    """In which directions the front underarm seam bends from the underarm down to ``level``: 1 round, -1 hollow."""
    seam = block.seam.edge("front underarm")
    t = np.linspace(0.001, len(seam) - 0.001, 1500)
    bend = seam.curvature(t)[(seam.point(t)[:, 1] < level - 1)]
    signs = np.sign(bend[np.abs(bend) > 1e-6])
    return [int(sign) for sign in signs[np.flatnonzero(np.diff(signs, prepend=0))]]


def test_no_seam_is_first_round_and_then_hollow_above_the_upper_arm():
    """A wide underarm over a slim arm, as the bust rule makes it for a girl, would otherwise begin with a small S."""
    steep = 0
    asked = [(client.given(), client.style()) for client in CLIENTS[:-1]] + [(measurements_of(woman), USUAL) for woman in women()]
    for measured, style in asked:
        block = block_of(measured, style)
        assert bends_above(block, measured.upper_arm_level) in ([], [1], [-1], [-1, 1]), measured
        steep += block.seam.edge("front underarm").tangent(0)[0] < -0.45
    assert steep > 50  # such as would


@pytest.mark.parametrize("woman", range(0, 260, 2))
def test_a_short_flared_sleeve_flares_from_the_underarm(woman):
    """130 women, a hem a fifth wider than the arm: straight from the underarm to the hem."""
    given = measurements_of(women()[woman])
    arm = block_of(given._replace(hem_girth=0.0), USUAL._replace(length_style="short")).levels[-1]
    flare = 1.2 * arm.girth
    block = block_of(given._replace(hem_girth=0.0, flare_width=flare), USUAL._replace(length_style="short", shape="flared"))
    assert length_by_scipy(block.seam.edge("hem")) == pytest.approx(flare, abs=CLOSE)
    if not block.spread:
        check_hem(block)
        straight = side_points(block)
        lower = straight[straight[:, 1] > block.cap_height + (straight[-1, 1] - block.cap_height) / 3 + 1]
        chord = LineString([lower[0], lower[-1]])
        assert max(chord.distance(Point(point)) for point in lower[::20]) < 1e-6


@pytest.mark.parametrize(
    ("changes", "style"),
    [
        ({"hem_girth": 762.0, "hand_girth": 0.0}, USUAL._replace(shape="straight")),  # 30 in
        ({"elbow_level": 476.05, "elbow_girth": 330.0}, USUAL),  # a fifth of a millimetre above the hem
        ({"upper_arm_level": 102.86}, USUAL),  # and below the underarm
    ],
)
def test_what_made_hooks_is_drawn_without_or_refused_with_what_would_do(changes, style):
    try:
        block = block_of(DEFAULTS._replace(**changes), style)
    except Refused as refusal:
        (problem,) = refusal.problems
        assert problem.rule == "hem too wide for its seam"
        would = DEFAULTS._replace(**{**changes, "hem_girth": problem.facts["most"] - 2 * problem.facts["ease"] - 1e-6})
        check_seam(block_of(would, style))
        return
    check_seam(block)


levels = some.lists(some.tuples(some.floats(0.2, 170), some.floats(0.6, 1.15)), min_size=0, max_size=3)


@settings(max_examples=150, deadline=None)
@given(levels, some.floats(100, 300), some.floats(0.2, 250), some.floats(0.6, 1.2), some.floats(0, 40), some.floats(0, 12))
@example([(1, 0.75), (1, 0.75)], 100, 26, 0.75, 0, 0)  # a limit that did not hold
@example([(1, 0.75), (1, 1)], 100, 8, 0.75, 0, 0)  # nearly level between levels close together
@example([(153.7, 0.6), (0.2, 1)], 193.4, 5.26, 0.873, 28.07, 1.866)  # hollow, and rounded off more sharply below
@example([(25, 0.996), (121.6, 0.6445), (46.6, 0.957)], 129.1, 29.8, 0.6216, 0.6138, 6.04)  # between hollow and bent
def test_any_levels_at_all(arm, width, below, hem, flattest, aside):
    """Strange arms too: between the limits, wide enough at every height, and what is wider is said."""
    stops, y, half = [], 100.0, width
    for (down, share), name in zip(arm, ("upper arm", "elbow", "wrist")):
        y, half = y + down, half * share
        stops.append(Stop(name, y, half))
    underarm = Stop("underarm", 100.0, max([width, *(stop.half for stop in stops)]))
    length, finished = y + below, 2 * half * hem
    try:
        seam, passed = draw_seam(underarm, stops, finished, length, -math.tan(math.radians(flattest)), aside=aside)
    except TooWide as hem:
        assert finished > hem.most
        draw_seam(underarm, stops, hem.most, length, -math.tan(math.radians(flattest)), aside=aside)
        return
    curve = seam.curve(aside)
    points = curve.point(np.linspace(0, len(curve), 400 * len(curve) + 1)) - (aside, 0)
    # A hem wider than every level is her wish and not the arm, which the seam then leaves plumb before it leans out to it.
    wanted = [*stops, Stop("hem", length, min([finished / 2, *([max(stop.half for stop in stops)] if stops else [])]))]
    reached = points[(points[:, 1] <= length) & (points[:, 1] >= wanted[0].y)]
    assert (reached[:, 0] - np.interp(reached[:, 1], [stop.y for stop in wanted], [stop.half for stop in wanted])).min(initial=1) >= -1e-3
    lean = np.degrees(np.arctan2(*np.diff(points, axis=0).T))
    assert np.abs(lean).max() <= 45.05
    corners = np.degrees(np.arctan2(*np.diff(np.array(seam.corners), axis=0).T))
    turns = np.diff([math.degrees(math.atan(seam.departure)), *corners])
    assert np.abs(turns).max() <= 25.6  # what rounding a level off turns its neighbours in levels a finger's breadth apart
    drawn = {stop.name: float(np.interp(stop.y, points[:, 1], points[:, 0])) for stop in stops}
    assert {stop.name for stop in stops if drawn[stop.name] > stop.half + 1e-3} <= {each.name for each in passed}
    for each in passed:
        assert each.drawn == pytest.approx(drawn.get(each.name, each.drawn), abs=1e-3)


# --- spread from the hem ---------------------------------------------------------------------------------


def test_a_hem_far_within_the_ends_of_its_top_edge_is_drawn():
    """The slash to the end of the top edge would pass beside the paper, where an arc so bent has no place at all: by hand,
    sin 40 degrees times 1 + 60 / 40 is over 1.
    """
    lean, side = math.radians(40), Curve.line((100.0, 0.0), (40.0, 400.0))
    hem = Spread(0.05, side, side, lean).hem(400.0)
    points = hem.point(np.linspace(0, len(hem), 400))
    assert np.isfinite(points).all() and (np.diff(points[:, 0]) < 0).all()  # from the front seam to the back seam, never back




@pytest.mark.parametrize("share", [50.0, 46.0])
@pytest.mark.parametrize("start", ["elbow", "underarm"])
@pytest.mark.parametrize("flare", [520.0, 760.0, 1500.0, 2200.0])
def test_a_spread_keeps_every_length_but_those_across(flare, start, share):
    given = DEFAULTS._replace(flare_width=flare, hand_girth=0.0)
    style = USUAL._replace(shape="flared", flare_from=start, front_share=share)
    block = block_of(given, style)
    flat = block_of(given._replace(flare_width=block_seam_hem(block)), style)
    assert flat.spread is None
    for name in ("top edge", "front armhole", "front underarm", "back underarm", "back armhole"):
        assert length_by_scipy(block.seam.edge(name)) == pytest.approx(length_by_scipy(flat.seam.edge(name)), abs=CLOSE)
    assert length_by_scipy(block.seam.edge("hem")) == pytest.approx(flare, abs=CLOSE)
    for corner in ("underarm point", "hem"):
        assert block.seam.corner_angle(f"front {corner}") + block.seam.corner_angle(f"back {corner}") == pytest.approx(180, abs=1e-3)
    assert block.seam.corner_angle("front top") == pytest.approx(flat.seam.corner_angle("front top"), abs=1e-3)
    wedge, outline = Polygon(block.seam.closed().flatten(0.001)), Polygon(flat.seam.closed().flatten(0.001))
    assert wedge.is_valid and wedge.exterior.is_simple and wedge.area > outline.area
    assert wedge.buffer(0.005).covers(Polygon(block.body.closed().flatten(0.001)))
    assert not block.seam.closed().self_crossings()


#: So many slashes in each half, and how far the hem is moved at the most where it is redrawn smooth over them, mm.
SLASHES, REDRAWN = 32, 2.0


def slashed(flat: Block, angle: float) -> list[tuple[Polygon, LineString, LineString]]:
    """The front half of a sleeve slashed by shapely from the hem to equal parts of its top edge, and every section turned
    about its own point of that edge, as rigid as paper, by as much more than the one before: with its edges along the slashes."""
    half, top = Polygon(flat.seam.closed().flatten(0.001)), float(flat.seam.corner("front top")[0])
    at, sections = np.zeros(2), []
    for i, left in enumerate(np.linspace(0, top, SLASHES + 1)):
        turn, right = (angle, 3000) if i == SLASHES else (angle * (i + 0.5) / SLASHES, left + top / SLASHES)
        cuts = [half.intersection(LineString([(x, 0), (x, 3000)])) for x in (left, min(right, top))]
        sections.append([
            rotate(translate(part, *(at - (left, 0))), -turn, origin=tuple(at), use_radians=True)
            for part in (half.intersection(box(left, -500, right, 3000)), *cuts)
        ])
        at = at + top / SLASHES * np.array([math.cos(turn), -math.sin(turn)])
    return sections


@pytest.mark.parametrize("start", ["elbow", "underarm"])
@pytest.mark.parametrize("flare", [760.0, 1500.0, 2200.0])
def test_between_its_slashes_a_spread_keeps_areas_and_lengths(flare, start):
    """The half that is drawn is the sections of the one before and the wedges that open between them, but for what its hem
    was redrawn smooth; both sides are the outermost section's."""
    given = DEFAULTS._replace(flare_width=flare, hand_girth=0.0)
    style = USUAL._replace(shape="flared", flare_from=start)
    block = block_of(given, style)
    flat = block_of(given._replace(flare_width=block_seam_hem(block)), style)
    sections, hem = slashed(flat, block.spread.angle), block.seam.edge("hem")
    top = block.seam.edge("top edge")
    halves = [top.between(len(top) / 2, len(top)), block.seam.edge("front armhole"), block.seam.edge("front underarm"), hem.between(0, len(hem) / 2)]
    drawn = Polygon(np.concatenate([part.flatten(0.001) for part in halves]))
    hem_line = LineString(hem.flatten(0.001))
    wedges, before = 0.0, LineString([(0, 0), (0, flat.levels[-1].y)])
    for section, left, right in sections:
        assert drawn.buffer(REDRAWN).covers(section)
        for slash in (left, right):
            (x, y), end = slash.coords[0], Point(slash.coords[-1])
            assert hem_line.distance(end) <= REDRAWN
            assert Point(x, y).distance(LineString(top.flatten(0.001))) < 0.05
        wedges += Polygon([left.coords[0], left.coords[-1], before.coords[-1]]).area
        before = right
    assert drawn.area == pytest.approx(sum(section.area for section, *_ in sections) + wedges, abs=REDRAWN * flare / 2)
    outermost = sections[-1][0].exterior
    for name in ("front armhole", "front underarm"):
        assert max(outermost.distance(Point(p)) for p in block.seam.edge(name).flatten(0.1)) < 0.05


def block_seam_hem(block: Block) -> float:
    """The hem that the seams alone would have: what the note says of what hangs and what the seams add."""
    (note,) = [note for note in block.notes if note.kind == "flare spread"]
    flare, hanging, each, spread, _ = note.lengths
    assert hanging + 2 * each + spread == pytest.approx(flare)
    assert each <= 2.05 * 25.4
    return hanging + 2 * each


def test_lines_of_a_spread_sleeve_run_on_around_the_arm_and_are_as_long_as_drawn():
    draft = draft_sleeve(DEFAULTS._replace(flare_width=1200.0, hand_girth=0.0), 6, style=USUAL._replace(shape="flared"))
    shape = Polygon(draft.seam.closed().flatten(0.001)).buffer(0.01)
    for above, line in zip(draft.tiers, draft.tiers[1:]):
        assert line.length == pytest.approx(length_by_scipy(line.curve), abs=CLOSE)
        assert line.length > above.length
        assert shape.covers(LineString(line.curve.flatten(0.001)))
        back, front = line.curve.tangent(0), line.curve.tangent(len(line.curve), incoming=True)
        assert back * (1, -1) == pytest.approx(front, abs=1e-6)  # mirror images: closed, they meet at one angle to the seam
        assert not line.curve.crossings(above.curve)
    grain = [LineString(line.curve.flatten(0.001)).intersection(LineString([(0, -5), (0, 900)])).y for line in draft.tiers[1:]]
    assert grain == pytest.approx(draft.decided.plan.levels[1:], abs=CLOSE)


def test_a_full_circle_and_no_more():
    given, style = DEFAULTS._replace(flare_width=2400.0, hand_girth=0.0), USUAL._replace(shape="flared")
    with pytest.raises(Refused, match=r"^flare beyond the circle") as refused:
        block_of(given._replace(flare_width=5000.0), style)
    most = refused.value.problems[0].facts["most"]
    block = block_of(given._replace(flare_width=most - 0.01), style)
    whole = Polygon(block.seam.closed().flatten(0.01))
    apart = 2 * min(block.seam.edge(name).bounds()[0] for name in ("front armhole", "front underarm"))
    assert whole.is_valid and 70 < apart < 90  # behind, front and back all but meet: there is room for two allowances and the shears


# --- the hem, turned up ----------------------------------------------------------------------------------


@pytest.mark.parametrize("client", CLIENTS, ids=CLIENT_IDS)
def test_the_allowance_folds_up_onto_the_sleeve_or_is_faced(client):
    """What is turned up is mirrored across the hem's tangent at each corner by shapely's own numbers: the cut edge beside the
    fold comes to lie on the cut edge of the seam; what it is longer or shorter is the difference of two arcs."""
    draft = draft_sleeve(client.given(), 3, style=client.style())
    hem, allowance = draft.seam.edge("hem"), draft.settled.hem_allowance
    share = eased_share(hem, allowance)
    if not draft.block.spread:
        lean = draft.block.seam.edge("front underarm")
        angle = math.atan2(*lean.tangent(len(lean), incoming=True))
        radius = length_by_scipy(hem) / 2 / angle
        assert share == pytest.approx(((radius + allowance) - (radius - allowance)) * 2 * angle / length_by_scipy(hem), abs=1e-4)
    cut = LineString(draft.cutting.flatten(0.001))
    corner, along = hem.start, hem.tangent(0)
    up = np.array([along[1], -along[0]]) * (1 if along[0] < 0 else -1)  # away from the sleeve
    if abs(share) > MOST_EASED:
        return
    for depth in np.linspace(1, allowance - 1, 6):
        below = cut.intersection(LineString([corner + depth * up, corner + depth * up - 60 * along]))
        above = cut.intersection(LineString([corner - depth * up, corner - depth * up - 60 * along]))
        beside = [float((np.array(place.coords[0]) - corner) @ -along) for place in (below, above)]
        assert beside[0] == pytest.approx(beside[1], abs=0.02)
