"""Bracketed roots against scipy, levels of cubics against numpy's roots."""
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import BPoly
from scipy.optimize import brentq

from geometry.curves.roots import cubic_reaches, root_between


@pytest.mark.parametrize(
    ("value", "low", "high"),
    [
        (lambda x: x * x - 2, 0, 2), (lambda x: 2 - x * x, 0, 2), (math.cos, 0, 3), (lambda x: math.exp(x) - 1e4, -5, 50),
        (lambda x: (x - 1) ** 9, 0, 2.5), (lambda x: math.atan(1e4 * (x - 0.3)), -1, 1),
    ],
)  # fmt: skip
def test_roots_are_scipys(value, low, high):
    found = root_between(value, low, high, 1e-12)
    assert low <= found <= high and (abs(value(found)) <= 1e-12 or found == pytest.approx(brentq(value, low, high), abs=1e-9))


def test_an_end_that_is_a_root_is_taken():
    assert root_between(lambda x: x, 0, 1) == 0 and root_between(lambda x: x - 1, 0, 1) == 1


def test_a_jump_is_found_in_few_steps():
    asked = []
    found = root_between(lambda x: asked.append(x) or (-1.0 if x < 0.123 else 7.0), 0, 1, 1e-9, 1e-4)
    assert found == pytest.approx(0.123, abs=1e-4) and len(asked) < 60


def millimetres(most):
    """Lengths to the micrometre: numpy's companion matrix overflows where a leading coefficient is all but nothing."""
    return st.floats(-most, most).map(lambda value: round(value, 3))


@settings(max_examples=300, deadline=None)
@given(st.tuples(*[millimetres(200)] * 4), millimetres(250))
def test_a_cubic_comes_to_a_level_where_numpys_roots_say(y, level):
    a, b, c, d = y
    roots = np.roots(np.trim_zeros([d - 3 * c + 3 * b - a, 3 * (c - 2 * b + a), 3 * (b - a), a - level], "f"))
    found = cubic_reaches(y, level)
    assert found == sorted(found)
    for t in found:
        assert 0 <= t <= 1 and abs(BPoly(np.array(y)[:, None], [0, 1])(t) - level) <= 1e-9
    # Numpy's places of plain crossings; near double roots it can't tell two from none.
    plain = [root.real for root in roots if abs(root.imag) < 1e-12 and 1e-6 < root.real < 1 - 1e-6]
    if all(abs(np.sort(np.abs(roots - root))[1:]).min(initial=1) > 1e-3 for root in plain):
        assert len([t for t in found if 1e-6 < t < 1 - 1e-6]) == len(plain)
        assert np.allclose([t for t in found if 1e-6 < t < 1 - 1e-6], sorted(plain), atol=1e-6)
