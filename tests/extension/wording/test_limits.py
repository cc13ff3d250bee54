"""A limit that is printed holds when it is typed back, in either unit."""
import re

import pytest

from extension.wording.refusals import sentence
from geometry.cloth import tier_choices
from geometry.measuring.measurements import NUMBERS, TABLE, number_in_range, read_measurements
from geometry.refusal import Refused

LENGTHS = {**TABLE, **tier_choices.LENGTHS}


def limits_in(refusal: Refused, unit: str) -> tuple:
    """The two limits as they stand in the sentence."""
    return re.search(r"What makes sense is (?:a whole number from )?(.+?) to (.+?)(?:\.(?: |$)|, or 0)", sentence(refusal, unit)).groups()


@pytest.mark.parametrize("unit", ["in", "cm"])
@pytest.mark.parametrize("name", LENGTHS)
def test_limits_of_every_measurement(name, unit):
    table = {name: LENGTHS[name]}
    with pytest.raises(Refused) as refusal:
        read_measurements({name: "90000 mm"}, unit, table)
    for limit in limits_in(refusal.value, unit):
        assert read_measurements({name: limit}, unit, table)[name] >= 0
        assert read_measurements({name: limit.rpartition(" ")[0]}, unit, table)[name] >= 0  # without its unit


@pytest.mark.parametrize("number", [*NUMBERS, *tier_choices.NUMBERS.values()], ids=lambda number: number.name)
def test_limits_of_every_number(number):
    with pytest.raises(Refused) as refusal:
        number_in_range(number, "9999999")
    for limit in limits_in(refusal.value, "cm"):
        assert number_in_range(number, limit) == float(limit)
