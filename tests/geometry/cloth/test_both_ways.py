"""Strips laid both ways: by shapely and by hand, and what that saves."""
import itertools
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.cloth.both_ways import lay_both_ways
from geometry.cloth.bounds import lower_bound
from geometry.cloth.joins import Strip
from geometry.cloth.lay import WHOLE, lay_strips
from geometry.cloth.tape import CENTIMETRES, INCHES
from tests.geometry.cloth.test_lay import INCH, check, hidden, strips_of


def both(strips, width, join, tape):
    known = lay_strips(strips, width, join, tape)
    return known, lay_both_ways(strips, width, join, tape, known)


@settings(max_examples=60, deadline=None)
@given(
    tiers=st.lists(st.tuples(st.floats(40, 190), st.floats(300, 3000)), min_size=2, max_size=7), layers=st.integers(1, 3),
    width=st.integers(700, 1600), join=st.floats(0, 20), tape=st.sampled_from([INCHES, CENTIMETRES]),
)  # fmt: skip
def test_any_strips_both_ways(tiers, layers, width, join, tape):
    width = round(width / tape.mark) * tape.mark
    strips = strips_of(tiers, layers)
    known, plans = both(strips, width, join, tape)
    for number, plan in enumerate(plans):
        check(plan, strips, width, join, tape)
        assert (plan.direction, plan.way) == ("both", WHOLE)
        assert {piece.across for piece in plan.pieces} == {False, True}
        assert plan.length >= lower_bound(strips, width) - 1e-6
        along, across = ([piece for piece in plan.pieces if piece.across == runs] for runs in (False, True))
        assert max(piece.y + piece.height for piece in along) <= min(piece.y for piece in across) + 1e-6
        # None that is known has no more joins and is as short.
        others = [*(each for each in known if each.way == WHOLE), *plans[:number]]
        assert all(other.length > plan.length for other in others if other.all_joins <= plan.all_joins)
        assert not any(joins for index, joins in enumerate(plan.joins) if any(piece.strip == index for piece in along))


def test_one_tier_too_many_lies_across():
    """By hand: ten bands of 100 mm lie side by side on 1000 mm.  Of twelve strips two would need another row as long as the first;
    across, two of 900 mm take 200 mm.
    """
    strips = [Strip(tier, sleeve, 1, 100.0, length) for tier, length in enumerate((2000.0,) * 5 + (900.0,), start=1) for sleeve in (1, 2)]
    known, plans = both(strips, 1000.0, 12.0, CENTIMETRES)
    assert min(plan.length for plan in known if plan.way == WHOLE and not plan.all_joins) == 2900.0
    assert [(plan.length, plan.all_joins) for plan in plans] == [(2200.0, 0)]


def test_joins_of_those_across_hide():
    strips = strips_of([(139.0, 2335.0), (139.0, 2256.0), (149.0, 2387.0)], 2)
    plans = both(strips, 1400.0, 12.0, CENTIMETRES)[1]
    assert any(plan.all_joins for plan in plans)
    for plan in plans:
        assert all(hidden(strip, place) for strip, places in zip(plan.strips, plan.places) for place in places)


def test_what_it_saves_over_jobs_drawn_by_lot():
    """Cloth without a single join, against the best of those that lay all strips one way; the least is area over width."""
    lot, one_way, either = Random(17), [], []
    for _ in range(60):
        width, first = lot.randrange(40, 110) * INCH, lot.uniform(3, 7)
        strips = strips_of([(first * INCH, lot.uniform(25, 80) * INCH) for _ in range(lot.randint(4, 9))], lot.randint(1, 3))
        known, plans = both(strips, width, INCH / 2, INCHES)
        unjoined = [min(plan.length for plan in each if plan.way == WHOLE and not plan.all_joins) for each in (known, [*known, *plans])]
        one_way.append(unjoined[0] / lower_bound(strips, width))
        either.append(unjoined[1] / lower_bound(strips, width))
    assert all(both <= one for both, one in zip(either, one_way))
    saved = 1 - np.array(either) / one_way
    assert saved.max() >= 0.05 and saved.mean() >= 0.005 and (saved > 0).mean() >= 0.1, np.quantile(saved, (0.5, 0.9, 1))


def test_strips_of_one_tier_cut_to_one_length_lie_one_way():
    lot = Random(5)
    for _ in range(20):
        strips = strips_of([(100.0, lot.uniform(600, 2500)) for _ in range(lot.randint(3, 7))], 2)
        for plan in both(strips, lot.randrange(900, 1600), 12.0, CENTIMETRES)[1]:
            ways = {(plan.strips[piece.strip].tier, piece.across) for piece in plan.pieces}
            assert len(ways) == len({tier for tier, _ in ways})
            assert sorted(plan.strips) == sorted(strips) and len(list(itertools.chain(plan.joins))) == len(strips)
