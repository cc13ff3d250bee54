"""The nearest free room: free by shapely, and none nearer on a fine grid."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import STRtree, box

from geometry.box import Box
from geometry.paper.room import nearest_room

SIDE = st.integers(1, 60)
BOXES = st.lists(st.builds(lambda x, y, w, h: Box(x, y, x + w, y + h), st.integers(-150, 150), st.integers(-150, 150), SIDE, SIDE), max_size=12)


@settings(deadline=None, max_examples=60)
@given(SIDE, SIDE, st.integers(-99, 99), st.integers(-99, 99), BOXES, st.integers(0, 9), st.integers(0, 9), st.sampled_from([-np.inf, -20, 30]))
def test_the_room_is_free_and_none_is_nearer(width, height, x, y, taken, across, down, least):
    left, top = nearest_room(width, height, (x, y), taken, (across, down), least)
    tree = STRtree([box(*each.grown(across, down)) for each in taken])

    def free(lefts, tops):
        rooms = box(lefts + 1e-6, tops + 1e-6, lefts + width - 1e-6, tops + height - 1e-6)
        busy = np.zeros(len(lefts), bool)
        busy[np.unique(tree.query(rooms, predicate="intersects")[0])] = True
        return ~busy

    assert free(np.array([left]), np.array([top])).all() and left >= least
    wanted = np.array([max(x - width / 2, least), y - height / 2])
    away = np.hypot(left - wanted[0], top - wanted[1])
    # All edges are whole numbers, so a nearer free place would be on this grid or could be slid onto it.
    steps = np.arange(-np.ceil(away) - 1, np.ceil(away) + 2, max(1.0, np.ceil(away / 40)))
    lefts, tops = (grid.ravel() for grid in np.meshgrid(wanted[0] + steps, wanted[1] + steps))
    near = (np.hypot(lefts - wanted[0], tops - wanted[1]) < away - 1e-6) & (lefts >= least)
    assert not free(lefts[near], tops[near]).any()


def test_what_is_free_already_is_taken_as_it_is():
    assert nearest_room(100, 50, (7, 9), [Box(200, 0, 300, 10)], (20, 20)) == (-43, -16)


@pytest.mark.parametrize("seed", range(3))
def test_a_thousand_boxes_are_kept_clear_of_and_it_stays_near(seed):
    lot = np.random.default_rng(seed)
    corners = lot.uniform(0, 900, (1000, 2))
    taken = [Box(a, b, a + w, b + h) for (a, b), (w, h) in zip(corners, lot.uniform(1, 40, (1000, 2)))]
    left, top = nearest_room(300, 200, (450, 450), taken, (20, 20))
    room = box(left - 20, top - 20, left + 320, top + 220).buffer(-1e-6)
    assert not any(room.intersects(box(*each)) for each in taken)
    # Free room lies above the drawing, 450 + 100 + 20 from its middle; boxes reach 40 beyond 900 at the other sides.
    assert np.hypot(left + 150 - 450, top + 100 - 450) < 450 + 150 + 20 + 100
