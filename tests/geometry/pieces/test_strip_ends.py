"""Strip ends against the seams that take them, point by point; shapely and scipy measure."""
import numpy as np
import pytest
from shapely.geometry import LineString, Point

from geometry.curves.curve import Curve
from geometry.pieces.strip_ends import ends_on, square_ends, squared
from tests.bodies import block_of, eight
from tests.geometry.shapes import arc, as_line, level_line, sleeve

CLIENTS = eight()
ALLOWANCE = 12.7


def placed(end, line: Curve, points) -> np.ndarray:
    """Return points of an end's frame where they lie on the sleeve: along the line's own direction at its end, and square to it."""
    at, inward = (line.nodes[-1], line.point(len(line) - 1e-7)) if end.side == "front" else (line.nodes[0], line.point(1e-7))
    along = (at - inward) / np.hypot(*(at - inward))
    down = np.array([-along[1], along[0]])
    down = down if down[1] > 0 else -down
    return at + np.outer(points[:, 0], along) + np.outer(points[:, 1], down)


@pytest.mark.parametrize("client", range(8))
@pytest.mark.parametrize("share", [0.0, 0.35, 0.8])
def test_an_end_on_the_armhole_follows_it_point_by_point(client, share):
    seam = block_of(CLIENTS[client]).seam
    underarm = seam.corner("front underarm point")[1]
    line = seam.edge("top edge") if share == 0 else level_line(seam, share * underarm)
    drop = 0.6 * underarm
    for end in ends_on(seam, line, drop):
        assert end.follows
        assert end.sewn.end[1] == pytest.approx(drop)
        side = as_line(seam.side(end.side))
        points = placed(end, line, end.sewn.flatten(0.01))
        assert max(side.distance(Point(p)) for p in points) < 1e-3
        assert arc(end.sewn) == pytest.approx(end.armhole + end.underarm, abs=1e-3)
        # Which seam takes it: shapely measures from the line's end along each edge to where the strip ends.
        edge = as_line(seam.edge(f"{end.side} armhole"))
        corner, start = Point(seam.corner(f"{end.side} underarm point")), Point(points[0])
        last = corner if points[-1][1] > underarm else Point(points[-1])
        assert abs(edge.project(last) - edge.project(start)) == pytest.approx(end.armhole, abs=2e-3)


@pytest.mark.parametrize("client", range(8))
def test_the_allowance_of_an_end_is_square_to_its_seam_and_longer_along_the_line(client):
    seam = block_of(CLIENTS[client]).seam
    line = level_line(seam, 0.6 * seam.corner("front underarm point")[1])
    for end in ends_on(seam, line, 60.0):
        beside = as_line(end.seam).buffer(ALLOWANCE, quad_segs=64, join_style="mitre").boundary
        cut = end.cut(ALLOWANCE, 0.0, 0.0).flatten(0.01)
        assert max(beside.distance(Point(p)) for p in cut) < 0.02
        # On the stitching line: where shapely's parallel of the seam passes it.
        passed = beside.intersection(LineString([(0, 0), (80, 0)]))
        assert end.along_line(ALLOWANCE) == pytest.approx(passed.x, abs=0.02)
        assert end.along_line(ALLOWANCE) > ALLOWANCE
        assert end.takes_up(ALLOWANCE, 10.0, 0.0) >= end.cut(ALLOWANCE, 10.0, 0.0).flatten(0.01)[:, 0].max() - 0.01


def test_an_end_below_the_underarm_is_square():
    outline = sleeve()
    for end in ends_on(outline, level_line(outline, 300), 100.0):
        assert not end.follows and end.reach == 0 and end.armhole == 0
        assert end.sewn.segments[0, [0, 3]] == pytest.approx(np.array([[0, 0], [0, 100.0]]))
        assert end.underarm == pytest.approx(arc(end_of(outline, end.side, 300, 400)), abs=1e-3)


def end_of(outline, side: str, top: float, bottom: float) -> Curve:
    seam = outline.side(side)
    (start, end) = (seam.crossings(Curve.line((-500, y), (500, y)))[0].t1 for y in (top, bottom))
    return seam.between(start, end)


def test_a_seam_that_flares_out_is_followed_too():
    flared = sleeve(hem=260.0)
    front = ends_on(flared, level_line(flared, 400), 60.0)[1]
    assert front.follows and front.armhole == 0
    assert front.reach == pytest.approx(flared.width_at(460) / 2 - flared.width_at(400) / 2, abs=1e-3)


def test_a_tilted_line_turns_the_end_with_it():
    outline = sleeve()
    line = outline.across(Curve.line((-10, 58), (10, 62)))
    back, front = ends_on(outline, line, 80.0)
    for end in (back, front):
        points = placed(end, line, end.sewn.flatten(0.01))
        side = as_line(outline.side(end.side))
        assert max(side.distance(Point(p)) for p in points) < 1e-3
    assert front.armhole < back.armhole  # the front end lies lower on the armhole


def test_a_line_drawn_from_front_to_back_has_the_same_ends():
    outline = sleeve()
    line = level_line(outline, 60)
    for one, other in zip(ends_on(outline, line, 80.0), ends_on(outline, line.reversed(), 80.0)):
        assert one.side == other.side and one.armhole == pytest.approx(other.armhole)
        assert one.sewn.segments == pytest.approx(other.sewn.segments)


def test_square_ends_all_the_same():
    outline = sleeve()
    end = squared(ends_on(outline, level_line(outline, 60), 80.0)[1])
    assert not end.follows and end.armhole > 0
    assert end.takes_up(ALLOWANCE, 10.0, 0.0) == pytest.approx(end.along_line(ALLOWANCE))
    assert end.along_line(ALLOWANCE) > ALLOWANCE
    assert [end.takes_up(ALLOWANCE, 10.0, 5.0) for end in square_ends(Curve.line((0, 0), (9, 0)), 80.0)] == pytest.approx([ALLOWANCE] * 2)
