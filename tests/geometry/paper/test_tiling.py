"""Sheets of paper: sizes by the standards, all of the drawing on them, and no more of them than needed."""
from __future__ import annotations

import math
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import LineString, MultiLineString, box
from shapely.ops import unary_union

from geometry.box import Box
from geometry.measuring.given import read_given
from geometry.measuring.measurements import TABLE
from geometry.paper.fewest import CLEAR, LEAST_CLEAR
from geometry.paper.ground import Ground, ground_of
from geometry.paper.papers import PAPERS, Paper, Printing, whole_points
from geometry.paper.tiling import (
    LEANS,
    LEAST_JOIN,
    Join,
    code,
    join_mark,
    join_marks,
    lay_out,
    lay_out_parts,
    leaning,
    one_page_with,
    trim_lines,
    with_margin,
)
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve
from tests.extension.test_draft_sleeve import SIZES

SEVEN = ("A4", "A3", "A2", "A1", "letter", "legal", "tabloid")


def lines_of(size: str, **more: str) -> list:
    """What is drawn of a sleeve, flattened."""
    typed = {**{name: one.default for name, one in TABLE.items()}, **{name: f"{value} cm" for name, value in SIZES[size].items()}, **more}
    draft = draft_sleeve(read_given(typed, "cm"), 7)
    curves = [draft.cutting, draft.block.seam.closed(), draft.block.body.closed(), *(tier.curve for tier in draft.tiers)]
    return [curve.flatten(0.1) for curve in curves]


def printing(paper: str = "A4", orientation: str = "better", margin: float = 10, overlap: float = 10) -> Printing:
    return Printing(PAPERS[paper], orientation, margin, overlap)


# --- paper ----------------------------------------------------------------------------------------


def test_the_a_series_halves():
    """ISO 216: A0 is one square metre with sides as 1 to the root of 2; each next size is half, rounded down."""
    wide, high = (round(1000 * 2**power) for power in (-0.25, 0.25))
    for name in ("A0", "A1", "A2", "A3", "A4"):
        assert PAPERS[name][1:] == (wide, high)
        wide, high = high // 2, wide


@pytest.mark.parametrize(("name", "inches"), [("letter", (8.5, 11)), ("tabloid", (11, 17)), ("legal", (8.5, 14))])
def test_american_sizes(name, inches):
    """ANSI/ASME Y14.1: A is 8.5 by 11 in, B is 11 by 17 in.  Legal: common practice, no source."""
    assert PAPERS[name][1:] == pytest.approx([25.4 * side for side in inches])


def prints_true(side: float) -> float:
    """The most whole points (ISO 32000-1, 8.3.2.3: 1/72 in) that a side holds, in mm, less the 0.002 that single precision may lose."""
    return (math.floor(round(side * 72 / 25.4, 6)) - 0.002) * 25.4 / 72


@given(st.floats(50, 14_000), st.booleans())
def test_pages_are_a_hair_less_than_whole_points(points, up):
    """Single precision is numpy's; the editor rounds up to whole points what it has rounded to that."""
    side = float(whole_points(points * 25.4 / 72, up))
    assert (side * 72 / 25.4 - points) * (1 if up else -1) >= -1e-5 and abs(side * 72 / 25.4 - points) < 1.003
    for unit in (1.0, 25.4, 25.4 / 96, 0.264583, 7.3):
        kept = float(np.float32(f"{side / unit:.10g}")) * unit * 72 / 25.4
        assert -0.004 < kept - math.ceil(kept) <= 0
    assert float(whole_points(side, up)) == pytest.approx(side, abs=1e-9) and float(whole_points(side, not up)) == pytest.approx(side, abs=1e-9)


def test_what_fits_both_fits_both():
    _, wide, high = PAPERS["both"]
    for name in ("A4", "letter"):
        assert wide <= PAPERS[name].width and high <= PAPERS[name].height
    assert wide * high > 0.93 * PAPERS["A4"].width * PAPERS["A4"].height


def test_codes_run_on_after_z():
    assert [code(0, 0), code(0, 1), code(1, 0), code(25, 9), code(26, 0), code(27, 0), code(52, 0)] == [
        "A1", "A2", "B1", "Z10", "AA1", "AB1", "BA1",
    ]  # fmt: skip


# --- what is drawn is on the sheets -------------------------------------------------------------------


def whole(tilings) -> list:
    """The printable parts of all sheets."""
    return [box(*tile.box) for tiling in tilings for tile in tiling.tiles]


def check(lines: list, asked: Printing, tiling) -> None:
    """Every line is inside the printable parts, no sheet could be spared, and what is taped as told loses nothing."""
    printable = whole([tiling])
    drawn = MultiLineString([LineString(line) for line in lines])
    assert drawn.difference(unary_union(printable).buffer(1e-6)).is_empty
    near = drawn.buffer(LEAST_CLEAR + 2, quad_segs=2)
    for i in range(len(printable)):
        assert not near.difference(unary_union(printable[:i] + printable[i + 1 :])).is_empty
    codes = [tile.code for tile in tiling.tiles]
    assert len(set(codes)) == len(codes)
    assert codes == [code(row, column) for row, column in sorted((tile.row, tile.column) for tile in tiling.tiles)]
    assert min(tile.row for tile in tiling.tiles) == min(tile.column for tile in tiling.tiles) == 0
    for tile in tiling.tiles:
        left, top, right, bottom = tiling.page(tile)
        sides = (right - left, bottom - top)
        if asked.orientation == "better":
            sides = sorted(sides)
        upright = asked.orientation != "landscape"
        paper = asked.paper[1:] if upright else asked.paper[:0:-1]
        assert sides == pytest.approx([prints_true(side) for side in paper])
    for join in tiling.joins():
        axis = 0 if join.beside else 1
        assert join.before.box[axis + 2] - join.after.box[axis] >= asked.overlap - 1e-6
        assert set(join.line[:, axis]) == {join.after.box[axis]}
    assert drawn.difference(taped(tiling).buffer(1e-6)).length == pytest.approx(0, abs=1e-6)


def taped(tiling):
    """What is seen of the printing when the sheets, which are opaque, are laid upon each other in reading order.

    Each is cut off at its trim lines, found here as those that are drawn along its printing's left end and top.
    """
    seen = box(0, 0, 0, 0)
    cuts = unary_union([LineString(line.nodes) for line in trim_lines(tiling)])
    for tile in tiling.tiles:
        left, top, right, bottom = tile.box
        page = list(tiling.page(tile))
        for k, edge in enumerate((LineString([(left, top), (left, bottom)]), LineString([(left, top), (right, top)]))):
            if edge.intersection(cuts).length > 1:
                page[k] = tile.box[k]
        seen = seen.difference(box(*page)).union(box(*tile.box))
    return seen


def plain_count(lines: list, asked: Printing) -> int:
    """How many sheets a grid over the whole rectangle takes, the orientation the better allowed one."""
    points = np.concatenate(lines)
    width, height = np.ptp(points, axis=0) + 3
    return min(
        max(1, math.ceil((width - asked.overlap) / (wide - asked.overlap) - 1e-9))
        * max(1, math.ceil((height - asked.overlap) / (high - asked.overlap) - 1e-9))
        for wide, high in asked.printable()
    )


@pytest.mark.parametrize("size", SIZES)
def test_every_paper_holds_every_sleeve(size):
    lines = lines_of(size)
    ground = ground_of(lines, [])
    for paper, orientation in product(SEVEN, ("portrait", "landscape")):
        asked = printing(paper, orientation)
        tiling = lay_out(ground, asked)
        check(lines, asked, tiling)
        assert len(tiling.tiles) <= plain_count(lines, asked)


def rows_by_shortest_path(lines: list, asked: Printing, step: float = 4.0) -> int:
    """The fewest sheets in rows that lie either way up: scipy's shortest path from the top to the bottom, a row an edge between two
    heights, as long as sheets are needed beside each other.  What crosses a height is found by shapely, a strip at a time.
    """
    drawn = MultiLineString([LineString(line) for line in lines])
    left, top, right, bottom = drawn.bounds
    heights = np.append(np.arange(top, bottom, step), bottom)
    strips = [drawn.intersection(box(left - 1, low - 0.1, right + 1, high + 0.1)).bounds for low, high in zip(heights, heights[1:])]
    roads = np.zeros((len(heights), len(heights)))
    for start, end in combinations(range(len(heights)), 2):
        lefts, _, rights, _ = zip(*strips[start:end])
        wide = max(rights) - min(lefts) + 2 * LEAST_CLEAR
        deep = heights[end] - heights[start] + (2 * LEAST_CLEAR if end == len(heights) - 1 else asked.overlap + LEAST_CLEAR)
        counts = [max(1, math.ceil((wide - asked.overlap) / (across - asked.overlap))) for across, down in asked.printable() if deep <= down]
        roads[start, end] = min(counts, default=0)
    return round(dijkstra(csr_array(roads), indices=0)[-1])


@pytest.mark.parametrize("size", SIZES)
def test_rows_lie_either_way_up_where_that_saves_a_sheet(size):
    """Never more than a shortest path finds for either way, each alone and mixed; and alike where mixing saves none."""
    lines = lines_of(size)
    ground, saved = ground_of(lines, []), 0
    for paper in ("A4", "both", "letter", "A3"):
        alone = [lay_out(ground, printing(paper, orientation)) for orientation in ("portrait", "landscape")]
        asked = printing(paper)
        tiling = lay_out(ground, asked)
        check(lines, asked, tiling)
        fewest_alone = min(len(each.tiles) for each in alone)
        assert len(tiling.tiles) <= min(rows_by_shortest_path(lines, asked), fewest_alone)
        assert (len({tile.box.width > tile.box.height for tile in tiling.tiles}) == 2) == (len(tiling.tiles) < fewest_alone)
        for row in {tile.row for tile in tiling.tiles}:
            assert len({tuple(np.round(tile.box.corners() - tile.box.corners()[0], 6).ravel()) for tile in tiling.tiles if tile.row == row}) == 1
        saved += fewest_alone - len(tiling.tiles)
    assert saved > 0 or size != "largest"


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-600, 600), st.floats(-600, 600)), min_size=2, max_size=6).filter(
        lambda points: math.dist(points[0], points[1]) > 1
    ),
    st.sampled_from(["A4", "letter", "A3"]),
    st.sampled_from([0.0, 3.0, 10.0, 25.4]),
    st.sampled_from([0.0, 1.0, 10.0, 30.0]),
)
def test_any_line_is_on_the_sheets(points, paper, margin, overlap):
    lines, asked = [np.array(points)], printing(paper, "better", margin, overlap)
    tiling = lay_out(ground_of(lines, []), asked)
    check(lines, asked, tiling)
    assert len(tiling.tiles) <= plain_count(lines, asked)


def solved(points: np.ndarray, asked: Printing, places: int = 12) -> int:
    """The fewest sheets of a plain grid that hold all points, by scipy's exact solver, wherever the grid begins."""
    fewest = math.inf
    low, high = points.min(axis=0), points.max(axis=0)
    for size in asked.printable():
        step = np.subtract(size, asked.overlap)
        count = np.ceil((high - low) / step).astype(int) + 1
        for across, down in product(range(places), repeat=2):
            start = low - np.array([across, down]) / places * step
            corners = [start + np.array([i, j]) * step for i in range(count[0]) for j in range(count[1])]
            on = np.array([((points >= corner - 1e-9) & (points <= corner + size + 1e-9)).all(axis=1) for corner in corners]).T
            if not on.any(axis=1).all():
                continue
            on, n = np.unique(on, axis=0).astype(float), len(corners)
            best = milp(np.ones(n), constraints=LinearConstraint(on, lb=1), integrality=np.ones(n), bounds=Bounds(0, 1))
            fewest = min(fewest, round(best.fun))
    return fewest


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("lines", [
    [np.array([(0, 0), (500, 90), (520, 700)]), np.array([(150, 620), (90, 640)])],
    [np.array([(0, 0), (300, 0), (420, 400), (260, 700), (-20, 420), (0, 0)])],
], ids=["two lines", "a piece"])  # fmt: skip
def test_never_more_sheets_than_an_exact_solver_finds_for_a_grid(lines, paper):
    asked = printing(paper)
    points = ground_of(lines, []).points
    cells = np.unique(np.floor(points / 4), axis=0)
    corners = np.unique(np.concatenate([cells, cells + 1]), axis=0) * 4  # what is drawn, held by rectangles
    found = lay_out(ground_of(lines, []), asked)
    assert len(found.tiles) <= solved(corners, asked)


def flared(lines: list) -> list:
    """The same sleeve spread evenly toward the hem, two metres wide there."""
    return [np.column_stack([line[:, 0] * (1 + 6.5 * np.maximum(line[:, 1], 0) / 475), line[:, 1]]) for line in lines]


def slanted(lines: list) -> list:
    return [line @ np.array([(1, 0.06), (0, 1)]) for line in lines]


@pytest.mark.parametrize(("shape", "paper"), [("flared", "A2"), ("slanted", "A4"), ("largest", "A3"), ("toddler", "A4"), ("median", "letter")])
def test_sleeves_take_no_more_sheets_than_a_solved_grid(shape, paper):
    """A plain grid, begun at six places each way, what is drawn held by cells of 4 mm."""
    lines = lines_of(shape) if shape in SIZES else {"flared": flared, "slanted": slanted}[shape](lines_of("median"))
    asked, ground = printing(paper), ground_of(lines, [])
    cells = np.unique(np.floor(ground.points / 4), axis=0)
    corners = np.unique(np.concatenate([cells, cells + 1]), axis=0) * 4
    assert len(lay_out(ground, asked).tiles) <= solved(corners, asked, 6)


def test_a_smaller_margin_that_saves_a_sheet_is_known():
    """A rectangle of 2 by 1 sheets of A4 less 5 mm, by hand: 2 (210 - 10) - 10 = 390 mm wide, 287 mm high, less 3 mm."""
    corners = np.array([(0, 0), (386, 0), (386, 283), (0, 283), (0, 0)], dtype=float)
    ground = ground_of([corners], [])
    asked = printing("A4", "portrait")
    assert len(lay_out(ground, asked).tiles) > 2 == with_margin(ground, asked, 5.0)
    assert with_margin(ground, printing("A4", "portrait", margin=5), 5.0) == 2


def test_sheets_with_nothing_on_them_are_left_out():
    frame_lines = [np.array([(0, 0), (900, 0), (900, 900), (0, 900), (0, 0)])]
    asked = printing("A4", "portrait")
    tiling = lay_out(ground_of(frame_lines, []), asked)
    check(frame_lines, asked, tiling)
    assert len(tiling.tiles) < plain_count(frame_lines, asked)  # the middle is empty


def test_boxes_are_held_whole():
    asked = printing("A4", "portrait")
    lettering = Box(0.0, 0.0, 300.0, 20.0)
    tiling = lay_out(ground_of([], [lettering]), asked)
    assert len(tiling.tiles) == 2
    assert box(*lettering).difference(unary_union(whole([tiling])).buffer(1e-6)).is_empty


@pytest.mark.parametrize("paper", ["A4", "letter", "A3"])
@pytest.mark.parametrize("size", SIZES)
def test_sheets_laid_otherwise_hold_all_and_are_as_many(size, paper):
    """And where they lean to the left, what is blank lies right: no row ends farther left than an even one does."""
    lines, asked = lines_of(size), printing(paper)
    ground = ground_of(lines, [])
    even = lay_out(ground, asked)
    tried = [tiling for [tiling] in leaning([ground], [even])]
    assert len(tried) == len(LEANS)
    for tiling in tried:
        check(lines, asked, tiling)
        assert len(tiling.tiles) == len(even.tiles)
    ends = {lean: max(tile.box.right for tile in tiling.tiles) for lean, tiling in zip(LEANS, tried)}
    assert ends[1, 0] >= max(tile.box.right for tile in even.tiles) - 1e-6 and ends[1, 0] > ends[-1, 0]


def test_rows_are_lettered_on():
    ground = ground_of([np.array([(0, 0), (10, 500)])], [])
    assert [tile.code for tile in lay_out(ground, printing("A4", "portrait"), first_row=2).tiles] == ["C1", "D1"]


def rectangle(left: float, top: float, wide: float, high: float) -> Ground:
    right, bottom = left + wide, top + high
    return ground_of([np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])], [])


def test_parts_share_sheets_where_that_takes_no_more():
    asked = printing("A4", "portrait")
    [together] = lay_out_parts([rectangle(0, 0, 80, 80), rectangle(100, 0, 80, 80)], asked)
    assert len(together.tiles) == 1


def test_parts_far_apart_get_sheets_of_their_own():
    asked = printing("A4", "portrait")
    places = [rectangle(0, 0, 185, 270), rectangle(450, 130, 185, 270), rectangle(910, 260, 185, 270)]
    tilings = lay_out_parts(places, asked)
    assert sum(len(tiling.tiles) for tiling in tilings) == 3
    boxes = [box(*tiling.page(tile)) for tiling in tilings for tile in tiling.tiles]
    for place in places:
        assert any(one.contains(box(*place.bounds())) for one in boxes)


def test_sheets_of_one_part_never_show_what_is_printed_on_anothers():
    asked = printing("A3", "portrait")
    for gap in range(0, 600, 60):
        tilings = lay_out_parts([rectangle(0, 0, 270, 390), rectangle(280 + gap, 210, 270, 390)], asked)
        for one, other in combinations(tilings, 2):
            for tile, beside in product(one.tiles, other.tiles):
                assert not box(*one.page(tile)).intersects(box(*beside.box)) and not box(*other.page(beside)).intersects(box(*tile.box))


def test_what_is_to_be_avoided_is_not_shown_where_there_is_a_choice():
    ground = ground_of([np.array([(0, 0), (250, 0), (250, 100)])], [])
    asked = printing("A4", "portrait")
    for avoid in (Box(265.0, 0.0, 400.0, 100.0), Box(-150.0, 0.0, -15.0, 100.0)):
        tiling = lay_out(ground, asked, [avoid])
        assert not any(box(*tiling.page(tile)).intersects(box(*avoid)) for tile in tiling.tiles)


# --- joins off lines -------------------------------------------------------------------------------------


def test_joins_keep_off_lines_and_names_where_there_is_room():
    """Level lines 50 mm apart and a name between two of them: rows of A4 may be joined anywhere over 40 mm or more."""
    levels = [np.array([(0, y), (170, y)], dtype=float) for y in range(0, 451, 50)]
    name = Box(60.0, 209.0, 120.0, 241.0)
    for first in range(0, 250, 10):
        lines = [line + (0, first) for line in levels]
        tiling = lay_out(ground_of(lines, [name.moved(0, first)]), printing("A4", "portrait"))
        assert len(tiling.tiles) == 2
        [trim] = [LineString(line.nodes) for line in trim_lines(tiling)]
        assert min(trim.distance(LineString(line)) for line in lines) >= 6
        assert not trim.intersects(box(*name.moved(0, first)))


def test_joins_keep_off_what_can_be_moved_where_that_costs_nothing():
    """Names over a third of each gap between level lines 60 mm apart: rows of A4 may be joined in what is left of one of them."""
    lines = [np.array([(0, y), (170, y)], dtype=float) for y in range(0, 481, 60)]
    names = [Box(40.0, y + 7.0, 120.0, y + 27.0) for y in range(0, 480, 60)]
    tiling = lay_out(ground_of(lines, names)._replace(boxes=[], movable=names), printing("A4", "portrait"))
    [trim] = [LineString(line.nodes) for line in trim_lines(tiling)]
    assert min(trim.distance(LineString(line)) for line in lines) >= 6
    assert not any(trim.intersects(box(*name)) for name in names)


def test_joins_move_by_less_than_a_slice_where_the_play_is_small():
    """A level line 4.2 mm above the lowest place for a join, and play that ends 6.6 to 6.8 mm above it: there the join finds its 6 mm."""
    for rest in np.arange(10.8, 11.0, 0.05):
        wide, high = printing("A4", "portrait").printable()[0]
        end, level = 2 * high - 10 - 2 * CLEAR - rest, high - CLEAR - 10 - 4.2
        lines = [np.array([(x, 0), (x, end)]) for x in (0.0, wide - 4)] + [np.array([(0, level), (wide - 4, level)])]
        tiling = lay_out(ground_of(lines, []), printing("A4", "portrait"))
        assert len(tiling.tiles) == 2
        [trim] = [LineString(line.nodes) for line in trim_lines(tiling)]
        assert trim.distance(LineString(lines[2])) >= 6


def test_one_trim_line_to_a_join():
    tiling = lay_out(ground_of(lines_of("largest"), []), printing("A4", "portrait"))
    trims = [LineString(line.nodes) for line in trim_lines(tiling)]
    for one, other in combinations(trims, 2):
        assert one.intersection(other).length == pytest.approx(0)
    for join in tiling.joins():
        assert LineString(join.line).difference(unary_union(trims).buffer(1e-6)).length < LEAST_JOIN


# --- rolls and one large page ----------------------------------------------------------------------------


@pytest.mark.parametrize("orientation", ["portrait", "landscape", "better"])
def test_a_roll_is_cut_where_the_drawing_ends(orientation):
    lines = lines_of("largest")
    width = 914.4
    tiling = lay_out(ground_of(lines, []), Printing(Paper("roll", width, math.inf), orientation, 5, 10))
    [tile] = tiling.tiles
    left, top, right, bottom = tiling.page(tile)
    sides = {"portrait": [right - left], "landscape": [bottom - top], "better": [right - left, bottom - top]}[orientation]
    assert width in [pytest.approx(side) for side in sides]
    drawn = np.ptp(np.concatenate(lines), axis=0)
    least = min(width * (side + 10) for side in drawn) if orientation == "better" else 0
    assert (right - left) * (bottom - top) <= least + width * 6 or orientation != "better"
    for line in lines:
        assert box(*tile.box).contains(LineString(line))


def test_a_narrow_roll_takes_several_strips():
    lines = lines_of("largest")
    tiling = lay_out(ground_of(lines, []), Printing(Paper("roll", 600.0, math.inf), "portrait", 5, 10))
    assert len(tiling.tiles) == 2 and {tile.row for tile in tiling.tiles} == {0}


def test_one_page_holds_the_drawing_and_the_block():
    """On no more paper than the larger of what a block right of it and one below it would take."""
    lines = lines_of("median")
    ground = ground_of(lines, [])
    wide, high = np.ptp(np.concatenate(lines), axis=0)
    tiling, block = one_page_with(ground, [(160.0, 210.0)], 5.0, printing("one_page"))
    [tile] = tiling.tiles
    assert box(*tile.box).contains(box(*block))
    for line in lines:
        assert box(*tile.box).contains(LineString(line)) and LineString(line).distance(box(*block)) >= 5
    left, top, right, bottom = tiling.page(tile)
    assert tile.box == pytest.approx((left + 10, top + 10, right - 10, bottom - 10))
    assert tile.box.width * tile.box.height <= min((wide + 172) * (high + 4), (wide + 4) * (high + 222))


def test_a_roll_is_no_longer_than_its_piece_where_the_block_fits_beside_it():
    ground = ground_of(lines_of("median"), [])
    tiling, _ = one_page_with(ground, [(160.0, 210.0)], 5.0, Printing(Paper("roll", 914.4, math.inf), "better", 5, 10))
    [tile] = tiling.tiles
    drawing = ground.bounds()
    assert min(tile.box.width, tile.box.height) <= min(drawing.width, drawing.height) + 5


def test_one_page_takes_the_wider_block_where_that_takes_no_more_paper_and_keeps_clear_as_asked():
    ground, blocks = ground_of(lines_of("median"), []), [(230.0, 210.0), (160.0, 210.0)]
    areas = {}
    for paper in ("A0", "one_page"):
        for some in (blocks, blocks[1:]):
            tiling, block = one_page_with(ground, some, 5.0, printing(paper), clear=6.0)
            areas[paper, len(some)] = round(tiling.tiles[0].box.width * tiling.tiles[0].box.height)
            assert tiling.tiles[0].box.grown(-6.0).encloses(ground.bounds())
            assert paper == "one_page" or block.width == pytest.approx(some[0][0])
    assert areas["A0", 1] == areas["A0", 2] and areas["one_page", 2] <= areas["one_page", 1]


def test_there_is_not_always_one_page():
    ground = ground_of(lines_of("median"), [])
    assert one_page_with(ground, [(160.0, 210.0)], 5.0, printing("A3")) is None
    assert one_page_with(ground, [(160.0, 210.0)], 5.0, printing("A0")) is not None


# --- joining ----------------------------------------------------------------------------------------------


def test_join_marks_lie_on_the_line_that_is_cut_and_on_both_sheets():
    ground = ground_of(lines_of("median"), [])
    tiling = lay_out(ground, printing("A4", "portrait"))
    joins = list(tiling.joins())
    assert joins
    for join in joins:
        cut = box(*join.after.box)
        for place in join_marks(join, ground):
            square = box(*join_mark(place).bounds())
            assert box(*join.before.box).covers(square.intersection(cut))
            assert square.intersection(cut).area / square.area == pytest.approx(0.5)
            assert box(*tiling.page(join.before)).covers(square) and box(*tiling.page(join.after)).covers(square)


def test_join_marks_keep_off_each_other():
    """Where a row's short join ends at the one below, both marks would stand in the corner: by shapely, squares and numbers are apart."""
    ground = ground_of([], [Box(0, 0, 200, 200)])
    tile = lay_out(ground, printing("A3")).tiles[0]
    long, short = (Join(tile, tile, beside, np.array(line)) for beside, line in ((False, [(0, 0), (200, 0)]), (True, [(50, 0), (50, 30)])))
    blank = ground_of([], [])
    first = join_marks(long, blank)
    squares = [box(*join_mark(place).bounds()).buffer(5.5, cap_style="square", join_style="mitre") for place in first]
    [beside], [moved] = join_marks(short, blank), join_marks(short, blank, first)
    assert any(box(*join_mark(beside).bounds()).buffer(5.5).intersects(square) for square in squares)
    assert not any(box(*join_mark(moved).bounds()).buffer(5.5).intersects(square) for square in squares)


def test_join_marks_keep_off_what_is_drawn():
    ground = ground_of(lines_of("median"), [])
    tiling = lay_out(ground, printing("A4", "portrait"))
    join = next(tiling.joins())
    for place in join_marks(join, ground):
        lettering = Box(*box(*join_mark(place).bounds()).buffer(5).bounds)
        moved = join_marks(join, ground_of([], [lettering]))
        assert len(moved) == 2 and not any(box(*join_mark(one).bounds()).intersects(box(*lettering).buffer(-1e-6)) for one in moved)


def test_no_neighbour_shows_the_middle_of_a_sheet():
    tiling = lay_out(ground_of(lines_of("largest"), []), printing("letter", "landscape"))
    for one, other in product(tiling.tiles, repeat=2):
        if one is not other:
            assert box(*tiling.middle(one)).intersection(box(*tiling.page(other))).area == pytest.approx(0, abs=1e-6)


# --- no ---------------------------------------------------------------------------------------------------


def test_nothing_to_print():
    with pytest.raises(Refused, match="nothing to print"):
        lay_out(ground_of([], []), printing())


def test_too_many_sheets():
    with pytest.raises(Refused, match=r"too many sheets .*200"):
        lay_out(ground_of([np.array([(0, y), (9000, y)]) for y in range(0, 2000, 190)], []), printing())
    with pytest.raises(Refused, match=r"too many sheets .*200"):
        lay_out(ground_of([np.array([(0, 0), (40_000, 40_000)])], []), printing())


def test_too_small_a_paper():
    printing_on = Printing(Paper("own", 150, 120), "better", 25, 30)
    with pytest.raises(Refused, match="too small"):
        lay_out(rectangle(0, 0, 9, 9), printing_on)
