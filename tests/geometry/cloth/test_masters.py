"""Flounces that share a master: by shapely, each piece lies in it, left ends even, and ends at its mark."""
import math

import pytest
from shapely.affinity import rotate
from shapely.geometry import LineString, Polygon

from geometry.cloth.masters import masters_of
from tests.geometry.cloth.test_cutting import plan

#: The allowance at the ends of the plan, 1/2 in.
END = 12.7


def as_polygon(curve):
    return Polygon(curve.flatten(0.005))


def turned_onto(piece, master):
    """A piece turned about the middle of its ring until its left end lies on the master's."""
    (x, y), (u, v) = piece.cut.start, master.cut.start
    by = math.degrees(math.atan2(v, u) - math.atan2(y, x))
    radii = math.hypot(x, y), math.hypot(u, v)
    # The outer corners of unlike rings stand apart by the allowance at the end, which is parallel to it.
    by += math.degrees(math.asin(END / radii[1]) - math.asin(END / radii[0]))
    return rotate(as_polygon(piece.cut), by, origin=(0, 0))


@pytest.mark.parametrize("typed", [{}, {"layer_step": "1/2 in"}, {"strip_edge": "hemmed"}, {"other_lines": "bodice 13 in; sash 40 cm"}])
def test_what_is_cut_from_a_master_is_the_piece(typed):
    planned = plan(make="flounce", fullness="2.5", layers="2", **typed)
    found = masters_of(planned.patterns)
    assert sum(len(master.cuts) for master in found) == len(planned.patterns) > len(found)
    for pattern, cuts in found:
        whole = as_polygon(pattern.cut)
        assert sum(cut.mark is None for cut in cuts) >= 1
        for cut in cuts:
            piece = turned_onto(cut.pattern, pattern)
            assert whole.buffer(0.15).covers(piece)
            if cut.mark is None:
                assert piece.area == pytest.approx(whole.area, rel=2e-3)
            else:
                assert piece.exterior.buffer(0.1).covers(LineString(cut.mark.flatten(0.005)))


def test_only_what_is_covered_shares_a_master():
    """Rings of unlike inner radii are masters of their own: by hand, drops of 3, 3, 4 and 4 in at 2 : 1 are radii of 3 and 4 in."""
    found = masters_of(plan(make="flounce", fullness="2", drop="3 in; 3 in; 4 in; 4 in", layers="1").patterns)
    assert [[cut.tier.number for cut in master.cuts] for master in found] == [[1, 2], [3, 4]]
    # A drop of 3 in at 2 : 1 and one of 6 in at 3 : 1 have one inner radius; the shorter is cut from the deeper, if that is as wide.
    deeper = masters_of(plan(make="flounce", fullness="3; 3; 3; 2", drop="6 in; 6 in; 6 in; 3 in", layers="1").patterns)
    assert [[cut.tier.number for cut in master.cuts] for master in deeper] == [[1, 2, 3, 4]]
    shorter = next(cut for cut in deeper[0].cuts if cut.tier.number == 4)
    assert shorter.mark is not None
    piece = turned_onto(shorter.pattern, deeper[0].pattern)
    assert as_polygon(deeper[0].pattern.cut).buffer(0.15).covers(piece)
    mark = LineString(shorter.mark.flatten(0.005))
    assert piece.exterior.buffer(0.1).covers(mark)
    # Its outer edge is marked as well as its right end: by hand, an arc of the outer radius and 3 in with the allowance of 1/2 in.
    outer = shorter.tier.made.outer
    assert mark.length == pytest.approx(outer * (shorter.tier.made.angle + 2 * math.asin(END / outer)) + 3.5 * 25.4, rel=0.01)
