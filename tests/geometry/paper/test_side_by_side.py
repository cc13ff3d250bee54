"""Rectangles side by side, held against shapely and against the area that they can't do without."""
from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.ops import unary_union

from geometry.paper.side_by_side import Arranged, on_least_sheet, stacked, within

SIDES = st.floats(5, 400)
SIZES = st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=7)
GAP = 6.0


def shapes(sizes, arranged: Arranged) -> list:
    return [box(x, y, x + wide, y + high) for (wide, high), (x, y) in zip(sizes, arranged.places)]


def hold_apart(sizes, arranged: Arranged) -> None:
    placed = shapes(sizes, arranged)
    assert all(one.distance(other) >= GAP - 1e-6 for one, other in itertools.combinations(placed, 2))
    assert unary_union(placed).bounds == pytest.approx((0, 0, arranged.wide, arranged.high))


@given(SIZES, st.floats(50, 900))
def test_rectangles_keep_apart_and_within_the_width(sizes, width):
    arranged = stacked(sizes, width, GAP)
    hold_apart(sizes, arranged)
    assert arranged.wide <= max(width, *(wide for wide, _ in sizes)) + 1e-6


@given(SIZES)
def test_the_least_sheet_is_no_larger_than_a_row_or_a_column(sizes):
    """And no smaller than what lies on it; both by the area of a rectangle."""
    arranged = on_least_sheet(sizes, GAP, 5000)
    hold_apart(sizes, arranged)
    wides, highs = zip(*sizes)
    row = (sum(wides) + GAP * (len(sizes) - 1)) * max(highs)
    column = max(wides) * (sum(highs) + GAP * (len(sizes) - 1))
    assert sum(wide * high for wide, high in sizes) <= arranged.wide * arranged.high * (1 + 1e-9)
    assert arranged.wide * arranged.high <= min(row, column) * (1 + 1e-6)


@given(SIZES, st.tuples(st.floats(50, 600), st.floats(50, 600)))
def test_what_fits_lies_within_the_room(sizes, room):
    arranged = within(sizes, room, GAP)
    if arranged is not None:
        hold_apart(sizes, arranged)
        assert box(0, 0, *room).buffer(1e-6).covers(unary_union(shapes(sizes, arranged)))


def test_one_that_fits_alone_is_found_and_one_that_does_not_is_not():
    assert within([(50, 60)], (50, 60), GAP) == Arranged([(0, 0)], 50, 60)
    assert within([(50, 60)], (49, 600), GAP) is None and within([(50, 60)], (500, 59), GAP) is None
