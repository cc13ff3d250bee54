"""Lengths are read and written as on a tape."""
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.measuring.lengths import HalfTyped, read_length, write_exact, write_length, write_small
from geometry.refusal import Refused

# The inch is exactly 25.4 mm: international yard and pound agreement, 1959.
INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("13 3/8", Fraction(107, 8)), ("13⅜", Fraction(107, 8)), ("13-3/8", Fraction(107, 8)), ("13.375", Fraction(107, 8)),
        ("13,375", Fraction(107, 8)), ("13 3/8 in", Fraction(107, 8)), ('13" ', Fraction(13)), ("34 cm", Fraction(340) / INCH),
        ("13 ⅜", Fraction(107, 8)), ("3/8", Fraction(3, 8)), ("½", Fraction(1, 2)), (" 13 ", Fraction(13)), ("13″", Fraction(13)),
        ("13 3⁄8", Fraction(107, 8)), ("13 3/16 inches", Fraction(211, 16)), ("13 in.", Fraction(13)), ("7/16", Fraction(7, 16)),
        ("340mm", Fraction(340) / INCH), (".5", Fraction(1, 2)), ("0", Fraction(0)), ("13\u00a03/8", Fraction(107, 8)),
    ],
)  # fmt: skip
def test_reads_what_a_dressmaker_writes(text, inches):
    assert read_length(text, "in") == pytest.approx(float(inches * INCH), rel=1e-15)


def test_a_written_unit_beats_the_chosen_one():
    assert read_length("13 in", "cm") == pytest.approx(float(13 * INCH), rel=1e-15)
    assert read_length("34", "cm") == 340.0


@pytest.mark.parametrize("text", ["13 3/", "13 3", "13.", "13,", "13-", "13 3/1", "13 3/8 i", "34 c", "34 m"])
def test_a_half_typed_number_is_told_from_a_wrong_one(text):
    with pytest.raises(HalfTyped):
        read_length(text, "in")


@pytest.mark.parametrize(
    "text", ["abc", "nan", "inf", "-inf", "1e3", "-3", "− 3", "13 9/8", "27/8", "133/8", "13 3/0", "1,250.5", "13 3/8/2", "in", "13 ft", "13 in 3",
             "½½", "１３"],
)  # fmt: skip
def test_anything_else_is_refused_and_quoted(text):
    with pytest.raises(Refused) as caught:
        read_length(text, "in")
    assert caught.value.problems[0].facts["typed"] == text


@pytest.mark.parametrize(
    ("text", "inches", "centimetres"),
    [("1/2 in or 1.5 cm", 0.5, 1.5), ('1.5cm or ½"', 0.5, 1.5), ("1/2 in or 15 mm", 0.5, 1.5), ("54 inches or 140 cm", 54, 140)],
)
def test_of_two_ways_the_one_in_her_unit_holds(text, inches, centimetres):
    assert read_length(text, "in") == inches * 25.4
    assert read_length(text, "cm") == read_length(text, "mm") == centimetres * 10


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_two_ways_in_one_unit_are_refused_and_half_of_them_is_waited_for(unit):
    for text in ("1/2 in or 3 in", "1 cm or 2 mm", "1/2 or 3", "1 in or 2 cm or 3 mm", "1 in or 2 kg", "or", "1/2 in order"):
        with pytest.raises(Refused):
            read_length(text, unit)
    for text in ("1/2 in or", "1/2 in or 1", "1/2 in or 1.5 c"):
        with pytest.raises(HalfTyped):
            read_length(text, unit)


def test_an_empty_field_is_refused():
    with pytest.raises(Refused, match=r"^nothing written$"):
        read_length("  ", "in")


@given(st.integers(0, 8 * 200))
def test_every_eighth_comes_back(count):
    text = write_length(float(Fraction(count, 8) * INCH), "in")
    whole, _, fraction = text.removesuffix(" in").rpartition(" ") if "/" in text else (text.removesuffix(" in"), "", "0")
    assert Fraction(whole or 0) + Fraction(fraction) == Fraction(count, 8)
    assert read_length(text, "cm") == pytest.approx(float(Fraction(count, 8) * INCH), abs=1e-12)


@given(st.floats(0, 3000))
def test_written_inches_are_the_nearest_eighth(millimetres):
    back = read_length(write_length(millimetres, "in"), "in")
    assert abs(back - millimetres) <= float(INCH / 16) + 1e-7


@given(st.floats(0, 3000))
def test_written_centimetres_are_the_nearest_millimetre(millimetres):
    assert abs(read_length(write_length(millimetres, "cm"), "cm") - millimetres) <= 0.5 + 1e-7


def test_a_tie_goes_up_and_minus_shows():
    assert write_length(float(Fraction(177, 16) * INCH), "in") == "11 1/8 in"
    assert write_length(-12.7, "in") == "−1/2 in"
    assert write_length(-0.1, "in") == "0 in"


def test_exact_lengths_keep_their_decimals():
    assert write_exact(19.5 * 25.4 / 7, "in") == "2.7857 in"
    assert write_exact(76.2, "in") == "3 in"


@given(st.floats(0, 60))
def test_a_small_difference_is_the_nearest_64th_or_tenth(millimetres):
    read = read_length(write_small(millimetres, "in"), "in") / 25.4
    assert abs(read - millimetres / 25.4) <= 1 / 128 + 1e-9
    assert Fraction(read).limit_denominator(64).denominator in (1, 2, 4, 8, 16, 32, 64)
    assert abs(read_length(write_small(millimetres, "cm"), "cm") - millimetres) <= 0.05 + 1e-9
