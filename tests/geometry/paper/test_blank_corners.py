"""Blank corners for several things, against shapely."""
from __future__ import annotations

from itertools import combinations, product

import pytest
from shapely.geometry import LineString, MultiLineString, box

from geometry.box import Box
from geometry.paper.blank_corners import BlankCorners
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
    found = BlankCorners.of([(tiling, ground)], 4.0, taken).for_all([[(102, 102)], [(103, 103)], [(150, 45), (100, 60)]])
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
    blank = BlankCorners.of([(lay_out(ground, printing("A4", "portrait")), ground)], 4.0)
    square = [(100.0, 100.0)]
    assert len(blank.for_all([square, square])) == 2
    assert blank.for_all([square, square, square]) is None


def test_a_blank_corner_is_blank_and_its_sheets_own():
    found, on_first = 0, set()
    for size, paper in product(SIZES, ("A4", "A3", "A2")):
        ground = ground_of(lines_of(size), [])
        tiling = lay_out(ground, printing(paper))
        blank = BlankCorners.of([(tiling, ground)], 4.0)
        room, first = blank.for_one([(158.0, 208.0), (100.0, 80.0)]), blank.on_first().for_one([(100.0, 80.0)])
        on_first.add(first is not None)
        assert first is None or box(*tiling.tiles[0].box).contains(box(*first))
        if room is not None:
            found += 1
            assert MultiLineString([LineString(line) for line in lines_of(size)]).distance(box(*room)) >= 4 - 0.01
            assert sum(box(*tiling.page(tile)).intersects(box(*room)) for tile in tiling.tiles) == 1
    assert found >= 3 and on_first == {True, False}
    full = ground_of([], [Box(0, 0, 400, 400)])
    assert BlankCorners.of([(lay_out(full, printing("A4")), full)], 4.0).for_one([(158.0, 208.0)]) is None
