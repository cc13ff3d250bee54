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
    off = abs(taken[:, None] - taken) > 0.5 * abs(taken) + 1e-5
    within = [k for k in range(1, len(taken) - 1) if off[k, k - 1] and off[k, k + 1]]
    wanted = {*within, *([0] if off[0, 1] and 1 not in within else []), *([len(taken) - 1] if off[-1, -2] and len(taken) - 2 not in within else [])}
    assert jumps(values.tolist()) == sorted(wanted)


def test_even_steps_never_jump():
    assert jumps([600.0 + 25.4 * k for k in range(9)]) == []
    assert jumps([600.0] * 5) == []
