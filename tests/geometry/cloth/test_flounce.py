"""Ring sectors against closed forms (arc = radius x angle, sector area = angle (R² - r²) / 2) and svgpathtools."""
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import Polygon
from svgpathtools import parse_path

from extension.document.paths import path_data
from geometry.cloth.flounce import TooTight, solve_flounce
from geometry.refusal import Problem, Refused
from tests.geometry.cloth.test_strips import plan

INCH = 25.4


def sector(line=300.0, drop=90.0, fullness=2.5, ratio=1.0, inward=12.7, outward=0.0, ends=12.7, widest=math.inf):
    return solve_flounce(line, drop, fullness, ratio, inward, outward, ends, widest)


def test_radii_by_hand():
    # Twice as long at the edge as at the seam, 3 in apart: radii 3 and 6 in; 3 pi in of line is half a ring.
    flounce = sector(line=3 * math.pi * INCH, drop=3 * INCH, fullness=2)
    assert (flounce.inner / INCH, flounce.outer / INCH, flounce.sectors) == pytest.approx((3, 6, 1))
    assert math.degrees(flounce.angle) == pytest.approx(180)


def test_a_full_ring_is_cut_as_two():
    # 6 pi in of line is a whole ring of radius 3 in, which leaves no room for the ends' allowances.
    assert sector(line=6 * math.pi * INCH, drop=3 * INCH, fullness=2).sectors == 2


@given(line=st.floats(80, 900), drop=st.floats(30, 250), fullness=st.floats(1.3, 4), ratio=st.floats(1, 1.2))
def test_arcs_by_closed_form_and_by_svgpathtools(line, drop, fullness, ratio):
    try:
        flounce = sector(line, drop, fullness, ratio)
    except TooTight:
        assume(False)
    assert flounce.inner_length == pytest.approx(line * ratio)
    assert flounce.outer_length == pytest.approx(line * fullness)
    # Two arcs and two straight ends, measured from the path that is drawn.
    drawn = parse_path(path_data(flounce.seam_piece(), decimals=8)).length(error=1e-8)
    closed_form = (flounce.inner + flounce.outer) * flounce.angle + 2 * drop
    assert drawn == pytest.approx(closed_form, rel=1e-5)
    area = flounce.angle * (flounce.outer**2 - flounce.inner**2) / 2
    assert abs(flounce.seam_piece().signed_area()) == pytest.approx(area, rel=1e-5)


@given(line=st.floats(80, 900), drop=st.floats(30, 250), fullness=st.floats(1.3, 3), hem=st.floats(0, 15))
def test_allowances_lie_all_around(line, drop, fullness, hem):
    try:
        flounce = sector(line, drop, fullness, outward=hem)
    except TooTight:
        assume(False)
    cut, seam = (Polygon(piece.flatten(0.02)) for piece in (flounce.cut_piece(), flounce.seam_piece()))
    assert cut.is_valid and seam.is_valid
    assert seam.difference(cut.buffer(0.1)).is_empty
    # The straight ends are parallel to those sewn, an allowance away (distance of a point from a line).
    for (a, b), (c, d) in zip(straight_ends(flounce.seam_piece()), straight_ends(flounce.cut_piece())):
        along = (d - c) / np.hypot(*(d - c))
        for point in (a, b):
            assert abs(along[0] * (point - c)[1] - along[1] * (point - c)[0]) == pytest.approx(12.7, abs=1e-6)


def straight_ends(piece):
    return [piece.segments[i][[0, 3]] for i in np.flatnonzero(piece.is_straight(1e-6))]


def test_what_is_too_tight_says_what_can_be_had():
    with pytest.raises(TooTight) as refused:
        sector(drop=50, fullness=4)
    # At that fullness, and not above it, the ends' allowances just meet on the inner circle.
    assert sector(drop=50, fullness=refused.value.most_fullness - 1e-9).cut_radii[0] == pytest.approx(12.7, abs=1e-5)
    with pytest.raises(Refused) as refused:
        plan([11], [2], make="flounce", drops=(2 * INCH,))
    # By hand: 1/2 in each of allowance inward and at the ends are 1 in of radius at least; 1 + 2 / 1 = 3.
    assert refused.value.problems == (Problem("flounce too tight", {"tier": 1, "fullness": 4.0, "drop": 2 * INCH, "most": 3.0}),)


def test_an_edge_no_longer_than_the_seam_is_refused():
    with pytest.raises(Refused) as refused:
        plan([11], [3], make="flounce", fullness=(1.0,))
    assert refused.value.problems == (Problem("flounce no fuller than its seam", {"tier": 1, "fullness": 1.0, "ratio": 1.0}),)


def test_narrow_cloth_takes_more_sectors():
    whole = sector(line=500, drop=120, fullness=2)
    parted = sector(line=500, drop=120, fullness=2, widest=200)
    assert parted.sectors > whole.sectors and parted.inner == whole.inner
    left, top, right, bottom = parted.cut_piece().bounds()
    assert min(right - left, bottom - top) <= 200
    with pytest.raises(ValueError, match="wider than the cloth"):
        sector(line=500, drop=120, fullness=2, widest=40)
