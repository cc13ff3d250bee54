"""A curve taken through a motion, against its points taken one by one; distances by shapely, smoothness by svgpathtools."""
from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Point
from svgpathtools import CubicBezier

from geometry.curves.curve import Curve
from geometry.curves.moved import NEAR, moved


def whirl(points):
    """Turns every place by an angle that falls off with its distance from (60, 20)."""
    off = points - (60.0, 20.0)
    turn = 0.2 * np.exp(-(off**2).sum(axis=1) / 5000)
    return (60.0, 20.0) + np.stack([np.cos(turn) * off[:, 0] - np.sin(turn) * off[:, 1], np.sin(turn) * off[:, 0] + np.cos(turn) * off[:, 1]], axis=1)


def stretch(points):
    return np.stack([points[:, 0] + 6 * np.sin(points[:, 1] / 30), points[:, 1] + 4 * np.sin(points[:, 0] / 40)], axis=1)


ARCH = Curve([[(0, 0), (10, 40), (40, 60), (80, 60)], [(80, 60), (110, 60), (130, 30), (120, -20)]])


@pytest.mark.parametrize("motion", [whirl, stretch])
def test_every_place_goes_where_it_belongs(motion):
    found = moved(ARCH, motion)
    fine = LineString([found.point(t) for t in np.linspace(0, len(found), 4000)])
    wanted = motion(ARCH.point(np.linspace(0, len(ARCH), 1500)))
    assert max(fine.distance(Point(*place)) for place in wanted) <= NEAR + 1e-3  # the fine line's own chords
    assert len(found) <= 12  # six times what it was, where waves of 190 mm run across it


@pytest.mark.parametrize("motion", [whirl, stretch])
def test_what_was_smooth_stays_smooth_and_a_corner_a_corner(motion):
    cornered = Curve([*ARCH.segments, [(120, -20), (90, -20), (60, -22), (30, -20)]])
    pieces = [CubicBezier(*(complex(*point) for point in segment)) for segment in moved(cornered, motion).segments]
    turns = np.degrees([np.angle(after.unit_tangent(0) / before.unit_tangent(1)) for before, after in zip(pieces, pieces[1:])])
    assert sorted(abs(turns))[-2] < 1e-3  # one corner, and it alone turns
    assert max(abs(turns)) > 60


def test_nothing_moves_nothing():
    assert moved(ARCH, lambda points: points) is ARCH


def test_a_shift_and_a_turn_add_no_node():
    turned = moved(ARCH, lambda points: np.stack([-points[:, 1] + 3, points[:, 0]], axis=1))
    assert turned.segments == pytest.approx(ARCH.transformed(np.array([[0.0, -1.0, 3.0], [1.0, 0.0, 0.0]])).segments, abs=1e-9)
