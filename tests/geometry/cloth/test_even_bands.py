"""Pieces shared out among bands: against the shortest that scipy's exact solver finds (the makespan of identical machines)."""
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from geometry.cloth.bounds import lower_bound
from geometry.cloth.even_bands import even_out
from geometry.cloth.joins import Strip
from geometry.cloth.lay import WHOLE, lay_strips
from geometry.cloth.tape import CENTIMETRES


def least_longest(lengths, count):
    """The least that the longest of ``count`` bands can be; what the solver can prove in its time."""
    size = len(lengths) * count
    cost = np.append(np.zeros(size), 1.0)
    placed, loads = np.zeros((len(lengths), size + 1)), np.zeros((count, size + 1))
    for i, length in enumerate(lengths):
        placed[i, i * count : (i + 1) * count] = 1
        loads[range(count), i * count + np.arange(count)] = length
    loads[:, -1] = -1
    solved = milp(
        cost, integrality=np.append(np.ones(size), 0), bounds=Bounds(0, np.append(np.ones(size), np.inf)),
        constraints=[LinearConstraint(placed, 1, 1), LinearConstraint(loads, -np.inf, 0)], options={"time_limit": 2.0},
    )  # fmt: skip
    return max(solved.mip_dual_bound, sum(lengths) / count, *lengths)


@settings(max_examples=25, deadline=None)
@given(lengths=st.lists(st.integers(100, 900), min_size=3, max_size=9), count=st.integers(2, 3))
def test_the_longest_band_against_an_exact_solver(lengths, count):
    bands = [list(range(i, len(lengths), count)) for i in range(count)]
    evened = even_out(bands, [50.0] * count, lengths, [50.0] * len(lengths))
    assert sorted(piece for band in evened for piece in band) == list(range(len(lengths)))
    longest = max(sum(lengths[piece] for piece in band) for band in evened)
    # Where no swap helps, the longest is at most 2 - 2/(m + 1) times the least (Finn and Horowitz 1979, from memory).
    assert least_longest(lengths, count) - 1e-6 <= longest <= (2 - 2 / (count + 1)) * least_longest(lengths, count) + 1e-6


@settings(max_examples=50, deadline=None)
@given(
    pieces=st.lists(st.tuples(st.integers(100, 900), st.sampled_from([40.0, 45.0, 60.0])), min_size=2, max_size=30), count=st.integers(2, 7)
)  # fmt: skip
def test_no_piece_gets_into_a_narrower_band_and_none_is_lost(pieces, count):
    lengths, widths = [float(length) for length, _ in pieces], [width for _, width in pieces]
    bands = [list(range(i, len(pieces), count)) for i in range(count)]
    heights = [max((widths[piece] for piece in band), default=0.0) for band in bands]
    evened = even_out(bands, heights, lengths, widths)
    assert sorted(piece for band in evened for piece in band) == list(range(len(pieces)))
    assert all(widths[piece] <= height for band, height in zip(evened, heights) for piece in band)
    before, after = (max(sum(lengths[piece] for piece in band) for band in each) for each in (bands, evened))
    assert after <= before


def test_what_a_hand_finds_on_paper():
    """Eleven bands for six each of these lengths: the twelve shortest in three bands of two and two, the others by threes."""
    lengths = (1045, 1439, 1528, 1423, 1324, 1217)
    strips = [Strip(tier, 1 + i % 2, 1 + i // 2, 120.0, float(length)) for tier, length in enumerate(lengths, start=1) for i in range(6)]
    [whole] = [plan for plan in lay_strips(strips, 11 * 120.0, 12.0, CENTIMETRES) if plan.way == WHOLE and plan.direction == "along"]
    by_hand = max(2 * (1045 + 1217), 1528 + 1439 + 1324, 3 * 1423)
    assert lower_bound(strips, 11 * 120.0) <= whole.length <= by_hand and not whole.all_joins
