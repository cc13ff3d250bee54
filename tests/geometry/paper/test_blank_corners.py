"""Blank corners for several things, against shapely."""
from __future__ import annotations

from itertools import combinations

import pytest
from shapely.geometry import LineString, MultiLineString, box

from geometry.box import Box
from geometry.paper.blank_corners import blank_corners
from geometry.paper.ground import ground_of
from geometry.paper.tiling import lay_out
from tests.extension.test_draft_sleeve import SIZES
from tests.geometry.paper.test_tiling import lines_of, printing


@pytest.mark.parametrize("size", SIZES)
def test_each_has_a_corner_of_its_own(size):
    lines = lines_of(size)
    ground, drawn = ground_of(lines, []), MultiLineString([LineString(line) for line in lines])
    tiling = lay_out(ground, printing("A2"))
    taken = [tiling.tiles[0].box._replace(bottom=tiling.tiles[0].box.top + 60)]
    found = blank_corners([(tiling, ground)], [[(102, 102)], [(103, 103)], [(150, 45), (100, 60)]], 4.0, taken)
    assert found is not None
    rooms = [box(*room) for room in found]
    for room in rooms:
        assert drawn.distance(room) >= 4 - 0.01 and box(*taken[0]).distance(room) >= 4 - 0.01
        assert sum(box(*tiling.page(tile)).intersects(room) for tile in tiling.tiles) == 1
    assert all(one.distance(other) >= 4 - 0.01 for one, other in combinations(rooms, 2))
    assert [side for room in found[:2] for side in (room.width, room.height)] == pytest.approx([102, 102, 103, 103])


def test_all_or_none():
    """A sheet of A4 whose printing is 190 by 277 mm holds two squares of 100 mm one above the other beside a plumb line, no third."""
    ground = ground_of([LineString([(185, 5), (185, 270)]).coords], [Box(5, 5, 6, 6)])
    laid = [(lay_out(ground, printing("A4", "portrait")), ground)]
    square = [(100.0, 100.0)]
    assert len(blank_corners(laid, [square, square], 4.0)) == 2
    assert blank_corners(laid, [square, square, square], 4.0) is None
