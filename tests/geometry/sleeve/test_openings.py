"""Darts and vents in an edge, their mouths and legs worked by hand (Pythagoras), and what is none."""
from __future__ import annotations

import numpy as np
import pytest

from geometry.curves.curve import Curve
from geometry.sleeve.openings import is_shaped, openings_of, strange_corners

#: A dart of 30 mm, 40 mm deep, in an edge that runs straight down, clockwise on screen: legs of √(15² + 40²).
DART = [(0, 0), (0, 100), (-40, 115), (0, 130)]
LEG = np.hypot(15, 40)


@pytest.mark.parametrize("turned_off", [-85, -60, -30, 0, 30, 45])
def test_a_dart_is_one_however_far_the_corner_beside_it_was_moved(turned_off):
    aside = np.radians(turned_off)
    edge = Curve.polyline([*DART, (70 * np.sin(aside), 130 + 70 * np.cos(aside))])
    (dart,) = openings_of(edge)
    assert dart.intake == pytest.approx(30) and dart.legs == pytest.approx((LEG, LEG))
    assert strange_corners(edge) == []


def test_an_edge_that_turns_off_on_both_sides_has_no_dart():
    """One tooth's valley: the same two legs between the steep sides of teeth."""
    edge = Curve.polyline([(-40, 85), (0, 100), (-40, 115), (0, 130), (-40, 145)])
    assert openings_of(edge) == [] and len(strange_corners(edge)) == 3


@pytest.mark.parametrize("deep", [12, 20, 30, 60])
def test_points_are_no_vents(deep):
    """Points of equal teeth below a hem, from front to back: shaped, without an opening."""
    teeth = [(100 - 25 * k, deep * (k % 2)) for k in range(9)]
    hem = Curve.polyline(teeth)
    assert openings_of(hem) == [] and is_shaped(hem, [])
