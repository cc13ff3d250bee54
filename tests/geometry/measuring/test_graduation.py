"""Values for every tier: one, a list, a ramp, and what could mean either thing."""
import pytest

from geometry.measuring.graduation import per_tier
from geometry.measuring.lengths import HalfTyped, read_number
from geometry.refusal import Problem, Refused


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
    with pytest.raises(HalfTyped):
        per_tier("Fullness", text, 3, number)


def refused(text: str, count: int = 3) -> Problem:
    with pytest.raises(Refused) as refusal:
        per_tier("Fullness", text, count, read_number)
    return refusal.value.problems[0]


def test_a_list_of_the_wrong_length_is_counted_for_her():
    rule, facts = refused("4, 3")
    assert rule == "values for each tier"
    assert facts == {"label": "Fullness", "typed": "4, 3", "values": 2, "tiers": 3}


@pytest.mark.parametrize("count", [1, 3, 5, 20])
def test_a_decimal_comma_is_read_where_two_values_make_no_sense(count):
    assert per_tier("Spacing", "7,5", count, read_number) == (7.5,) * count


def test_one_comma_between_digits_is_never_guessed():
    rule, facts = refused("3,5", count=2)
    assert (rule, facts["one"], facts["two"]) == ("one number or two", "3.5", "3; 5")


def test_names_what_could_not_be_read():
    rule, facts = refused("4; lots; 3")
    assert (rule, facts["label"]) == ("what was typed", "Fullness")
    assert facts["problem"] == Problem("not a number", {"typed": "lots"})
