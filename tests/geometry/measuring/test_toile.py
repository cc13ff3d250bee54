"""Fitting changes as she types them and as they are kept."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from geometry.measuring.lengths import HalfTyped
from geometry.measuring.toile import AMOUNTS, opposite, read_amount, read_change, read_changes, write_changes
from geometry.refusal import Refused

SIZES = some.tuples(some.integers(0, 3), some.sampled_from(["", "1/8", "3/8", "1/2", ".25", ",5"])).filter(lambda size: size[0] or size[1])
SIGNS = some.sampled_from(["", "+", "-", "−"])
UNITS = some.sampled_from(["", " in", " cm", " mm"])


def written(size):
    whole, part = size
    if not part or part[0] in ".,":
        return f"{whole}{part}"
    return f"{whole} {part}" if whole else part


def value(size, unit):
    """By Fraction, in millimetres."""
    whole, part = size
    fraction = Fraction(part.replace(",", ".").replace(".", "0.")) if part else Fraction(0)
    return float((whole + fraction) * {"in": Fraction(127, 5), "cm": Fraction(10), "mm": Fraction(1)}[unit])


@given(SIGNS, SIZES, UNITS, some.sampled_from(["in", "cm"]))
def test_an_amount_is_read_with_its_sign(sign, size, named, unit):
    read = read_amount(AMOUNTS["hem_front"], sign + written(size) + named, unit)
    assert read == pytest.approx(value(size, named.strip() or unit) * (-1 if sign in ("-", "−") else 1))


@given(
    some.lists(some.tuples(some.dictionaries(some.sampled_from(list(AMOUNTS)), SIZES, min_size=1), SIGNS, UNITS, some.text(max_size=30)), max_size=4),
    some.sampled_from(["in", "cm"]),
)
def test_what_is_kept_is_read_again(changes, unit):
    made = tuple(
        read_change({name: sign + written(size) + named for name, size in amounts.items()}, unit, "2026-11-26", reason)
        for amounts, sign, named, reason in changes
    )
    made = tuple(change for change in made if change.written)
    kept = read_changes(write_changes(made))
    assert [change.amounts for change in kept] == [change.amounts for change in made]
    assert [change.date for change in kept] == [change.date for change in made]
    assert [" ".join(change.reason.split()) for change in kept] == [change.reason for change in made]


@pytest.mark.parametrize(
    ("typed", "rule"), [("five", "what was typed"), ("5 in", "change out of range"), ("--1", "what was typed"), ("-1 yd", "what was typed")]
)
def test_what_can_not_be_is_refused(typed, rule):
    with pytest.raises(Refused) as refused:
        read_amount(AMOUNTS["elbow_front"], typed, "in")
    assert refused.value.problems[0].rule == rule


@pytest.mark.parametrize("typed", ["1 3/", "-", "2."])
def test_what_is_half_typed_waits(typed):
    with pytest.raises((HalfTyped, Refused)):
        read_amount(AMOUNTS["elbow_front"], typed, "in")


@pytest.mark.parametrize("text", ["2026-11-26", "yesterday: elbow_front 1 in", "2026-11-26: knee_front 1 in", "2026-11-26: elbow_front", "|"])
def test_a_text_that_is_none_of_ours_is_refused(text):
    with pytest.raises(Refused):
        read_changes(text)


def test_all_that_is_wrong_is_told_at_once():
    with pytest.raises(Refused) as refused:
        read_change({"elbow_front": "9 in", "hem_back": "x", "hem_front": "1"}, "in", "2026-11-26", "")
    assert len(refused.value.problems) == 2


def test_the_opposite():
    assert opposite({"hem_front": 3.0}) == {"hem_front": -3.0}
