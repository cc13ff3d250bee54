"""Bracketed roots against scipy."""
import math

import pytest
from scipy.optimize import brentq

from geometry.curves.roots import root_between


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
