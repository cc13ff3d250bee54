"""What strips take at least: never more than the best of every way to share them out, tried one by one."""
import itertools

from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.cloth.bounds import across_at_least, along_at_least, height_at_least, joins_at_least, lower_bound
from geometry.cloth.joins import Strip
from geometry.cloth.tape import CENTIMETRES

LENGTHS = st.lists(st.integers(100, 900), min_size=2, max_size=5)


def strips_of(lengths, width=100.0):
    return [Strip(tier, 1, 1, width, float(length)) for tier, length in enumerate(lengths, start=1)]


def every_way(pieces, bands):
    """Yield what each of so many bands holds, for every way to share the pieces out."""
    for owners in itertools.product(range(bands), repeat=len(pieces)):
        yield [[piece for piece, owner in zip(pieces, owners) if owner == band] for band in range(bands)]


def loads_of_every_way(lengths, bands):
    """Yield how much each of so many bands holds, for every way to share the pieces out."""
    for held in every_way(lengths, bands):
        yield [sum(pieces) for pieces in held]


@settings(max_examples=40, deadline=None)
@given(lengths=LENGTHS, bands=st.integers(1, 3))
def test_along(lengths, bands):
    width = 100.0 * bands + 40  # room for no further band
    shortest = min(max(loads) for loads in loads_of_every_way(lengths, bands))
    assert lower_bound(strips_of(lengths), width) <= along_at_least(strips_of(lengths), width, CENTIMETRES) <= shortest


@settings(max_examples=40, deadline=None)
@given(lengths=LENGTHS)
def test_across(lengths):
    could = [sum(load > 0 for load in loads) for loads in loads_of_every_way(lengths, len(lengths)) if max(loads) <= 1000]
    assert lower_bound(strips_of(lengths), 1000.0) <= across_at_least(strips_of(lengths), 1000.0, CENTIMETRES) <= 100.0 * min(could)


@settings(max_examples=40, deadline=None)
@given(pieces=st.lists(st.tuples(st.integers(40, 190), st.integers(100, 1000)), min_size=1, max_size=5))
def test_height(pieces):
    could = [ways for ways in every_way(pieces, len(pieces)) if max(sum(length for _, length in held) for held in ways) <= 1000]
    lowest = min(sum(max(width for width, _ in held) for held in ways if held) for ways in could)
    assert height_at_least(sorted(pieces, reverse=True), 1000.0) <= lowest


def test_four_long_ones_find_room_in_three_bands_only_two_in_one():
    """By hand: of four pieces that are nearly alike one of three bands holds two, so the two shortest behind each other."""
    assert along_at_least(strips_of([500, 510, 520, 530]), 300.0, CENTIMETRES) == 500 + 510


def test_joins():
    assert [joins_at_least(length, 1000.0) for length in (999.0, 1000.0, 1001.0, 2500.0)] == [0, 0, 1, 2]
