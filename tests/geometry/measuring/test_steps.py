"""Steps that jump, against numpy's differences."""
from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as some

from geometry.measuring.steps import jumps


@given(some.floats(600, 900), some.lists(some.floats(10, 60), min_size=3, max_size=8))
def test_a_step_jumps_where_it_is_more_than_half_off_both_neighbours(first, steps):
    values = np.cumsum([first, *steps])
    taken = np.diff(values)
    wanted = []
    for k in range(len(taken)):
        beside = np.array([taken[j] for j in (k - 1, k + 1) if 0 <= j < len(taken)])
        if (abs(taken[k] - beside) > 0.5 * abs(beside) + 1e-5).all():
            wanted.append(k)
    assert jumps(values.tolist()) == wanted


def test_even_steps_never_jump():
    assert jumps([600.0 + 25.4 * k for k in range(9)]) == []
    assert jumps([600.0] * 5) == []
