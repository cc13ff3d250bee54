"""Lines that were broken, combined or both are found again; shapely's linemerge joins the same pieces by its own way."""
from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from shapely.geometry import LineString, MultiLineString
from shapely.geometry.polygon import orient
from shapely.ops import linemerge

from geometry.curves.curve import Curve
from geometry.editing.refinding import Broken
from geometry.editing.tier_lines import lines_in, numbers_for, stroke_centre

whole_numbers = some.integers(-30, 30)


def broken(points, places):
    """Return the pieces of a line of straight stretches, broken at some of its nodes."""
    cuts = sorted({0, len(points) - 1, *places})
    return [Curve.polyline(points[a : b + 1]) if b - a > 1 else Curve.line(*points[a : b + 1]) for a, b in itertools.pairwise(cuts)]


@given(
    some.lists(some.lists(whole_numbers, min_size=6, max_size=6), min_size=1, max_size=4),
    some.lists(some.integers(1, 4), max_size=3),
    some.randoms(use_true_random=False),
)
def test_pieces_that_meet_are_the_lines_that_linemerge_finds(rows, places, lot):
    x = np.linspace(-150, 150, 6)
    lines = [[(a, 90.0 * k + y) for a, y in zip(x, row)] for k, row in enumerate(rows)]
    pieces = [piece for line in lines for piece in broken(line, places)]
    lot.shuffle(pieces)
    pieces = [piece.reversed() if lot.random() < 0.5 else piece for piece in pieces]
    found = lines_in(pieces)
    merged = linemerge(MultiLineString([LineString(piece.nodes) for piece in pieces]))
    theirs = list(merged.geoms) if merged.geom_type == "MultiLineString" else [merged]
    assert [line.gap for line in found] == [0.0] * len(theirs)
    lengths = sorted(line.curve.length() for line in found)
    assert lengths == pytest.approx(sorted(line.length for line in theirs), abs=1e-9)
    heights = [line.curve.nodes[:, 1].mean() for line in found]
    assert heights == sorted(heights)


def test_crossing_lines_stay_two_also_where_they_are_broken_at_the_crossing():
    whole = [Curve.line((-170, 270), (170, 210)), Curve.line((-170, 220), (170, 260))]
    assert len(lines_in(whole)) == 2
    middle = (0, 240)
    found = lines_in([Curve.line(end, middle) for line in whole for end in (line.start, line.end)])
    ends = [sorted(map(tuple, line.curve.nodes[[0, -1]].tolist())) for line in found]
    assert sorted(ends) == sorted(sorted(map(tuple, line.nodes[[0, -1]].tolist())) for line in whole)


@pytest.mark.parametrize("gap", [0.3, 3.0, 19.0])
def test_a_gap_is_bridged_straight_and_told(gap):
    a, b, c, d = (-170, 200), (-5, 230), (-5 + gap, 230), (170, 210)
    (found,) = lines_in([Curve.line(c, d), Curve.line(b, a)])
    assert found.gap == (pytest.approx(gap) if gap > 0.5 else 0.0)
    true = LineString([a, b, c, d])
    assert LineString(found.curve.nodes).hausdorff_distance(true) <= (0.5 if gap <= 0.5 else 1e-9)


def test_a_wider_gap_and_a_stray_piece_are_named():
    with pytest.raises(Broken) as apart:
        lines_in([Curve.line((-170, 200), (-30, 200)), Curve.line((30, 210), (170, 210))], 3)
    assert apart.value.problems[0].rule == "tier line in pieces"
    assert apart.value.places.tolist() == [[-30, 200], [30, 210]] or apart.value.places.tolist() == [[30, 210], [-30, 200]]
    with pytest.raises(Broken) as stray:
        lines_in([Curve.line((-170, 200), (170, 200)), Curve.line((0, 180), (12, 180))], 3)
    assert stray.value.problems[0].rule == "stray piece of a tier line"


@given(some.permutations(range(6)), some.sets(some.integers(1, 6), min_size=1, max_size=6))
def test_numbers_run_down_the_sleeve_and_each_is_given_once(order, present):
    """Lines where they were drafted get their own numbers back, in whatever order the path holds them."""
    planned = {n: 80.0 * (n - 1) for n in range(1, 7)}
    there = [n for n in (place + 1 for place in order) if n in present]
    own, missing = [min(present)], set(planned) - {min(present)}
    assert numbers_for([planned[n] for n in there], own, missing, planned) == there


def test_too_few_numbers_are_given_twice_so_that_all_are_numbered_anew():
    assert sorted(numbers_for([10.0, 0.0, 5.0], [4], {2}, {})) == [2, 4, 4]


@pytest.mark.parametrize("width", [0.1, 0.25, 2.0])
@pytest.mark.parametrize("clockwise", [True, False])
def test_the_middle_of_a_stroke_is_the_line_that_was_stroked(width, clockwise):
    """The outline by shapely, with square ends, of a sagging line, of a tilted one and of one that is bent in the middle."""
    u = np.linspace(0, 1, 60)
    sagging, tilted, bent = np.column_stack([-150 + 300 * u, 40 * u * (1 - u) ** 2]), [[-150, 3], [140, 40]], [[-150, 3], [0, 30], [150, 3]]
    for points in (sagging, tilted, bent):
        line = LineString(points)
        ring = np.array(orient(line.buffer(width / 2, cap_style="flat", join_style="mitre"), -1.0 if clockwise else 1.0).exterior.coords)
        found = stroke_centre(Curve.chain([Curve.line(a, b) for a, b in zip(ring, ring[1:])]))
        assert LineString(found.flatten(0.001)).hausdorff_distance(line) < 0.005


def test_what_is_open_wide_or_round_is_no_stroke():
    corners = np.array([(0, 0), (300, 0), (300, 20), (0, 20), (0, 0)], dtype=float)
    sides = [Curve.line(a, b) for a, b in zip(corners, corners[1:])]
    assert stroke_centre(Curve.chain(sides)) is None
    assert stroke_centre(Curve.chain(sides[:3])) is None
    assert stroke_centre(Curve.chain([Curve.line((0, 0), (300, 0)), Curve.line((300, 0), (0, 0))])) is None
