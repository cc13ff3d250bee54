"""Values for every tier: one, a list, a ramp, and what could mean either thing."""
import pytest

from geometry.measuring.graduation import per_tier
from geometry.measuring.measurements import Unfinished
from geometry.refusal import Refused


def number(text: str) -> float:
    return float(text.replace(",", "."))


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("4", (4, 4, 4)),
        ("4, 4, 3.5", (4, 4, 3.5)),
        ("4,4,3", (4, 4, 3)),
        ("4; 4; 3,5", (4, 4, 3.5)),
        ("4, 3,5, 3", (4, 3.5, 3)),
        ("4 to 2.5", (4, 3.25, 2.5)),  # worked by hand: even steps of 3/4
        ("2 TO 3", (2, 2.5, 3)),
    ],
)
def test_reads_one_value_for_every_tier(text, values):
    assert per_tier("Fullness", text, 3, number) == pytest.approx(values)


def test_a_ramp_over_one_tier_is_its_first_value():
    assert per_tier("Fullness", "4 to 2", 1, number) == (4,)


@pytest.mark.parametrize("text", ["4 to", "4 t", "4,", "4; 3;", "4, 4, "])
def test_waits_while_a_list_is_half_typed(text):
    with pytest.raises(Unfinished):
        per_tier("Fullness", text, 3, number)


def test_a_list_of_the_wrong_length_is_counted_for_her():
    with pytest.raises(Refused, match=r"Fullness: “4, 3” gives 2 values, but there are 3 tiers.*3 values from the top down"):
        per_tier("Fullness", "4, 3", 3, number)


def test_one_comma_between_digits_is_never_guessed():
    with pytest.raises(Refused, match=r"Write 3.5 for the one, 3; 5 for the two"):
        per_tier("Fullness", "3,5", 3, number)


def test_names_what_could_not_be_read():
    with pytest.raises(Refused, match=r"^Fullness: could not convert"):
        per_tier("Fullness", "4; lots; 3", 3, number)
