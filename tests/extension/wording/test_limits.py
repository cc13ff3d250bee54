"""A limit that is printed holds when it is typed back, in either unit."""
import re

import pytest

from extension.wording.refusals import sentence
from geometry.cloth import tier_choices
from geometry.measuring.measurements import NUMBERS, TABLE, number_in_range, read_measurements
from geometry.refusal import Refused
from tests.geometry.cloth.test_cutting import plan

LENGTHS = {**TABLE, **tier_choices.LENGTHS}


def limits_in(refusal: Refused, unit: str) -> tuple:
    """The two limits as they stand in the sentence."""
    between = r"(.+?)(?: to | or more, and what this sleeve allows: never more than )(.+?)"
    return re.search(rf"What makes sense is (?:a whole number from )?{between}(?:\.(?: |$)|, or 0)", sentence(refusal, unit)).groups()


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


def test_what_misses_a_limit_by_less_than_a_mark_is_told_as_it_was_typed():
    with pytest.raises(Refused) as refusal:
        read_measurements({"pleat_spacing": "0.1"}, "in", {"pleat_spacing": tier_choices.LENGTHS["pleat_spacing"]})
    assert "“0.1” was read as 0.1 in. What makes sense is 1/8 in to" in sentence(refusal.value, "in")


@pytest.mark.parametrize("unit", ["in", "cm"])
@pytest.mark.parametrize("shrinkage", ["0", "3", "7.5", "30"])
@pytest.mark.parametrize("name", ["base", "net"])
def test_the_width_that_would_do_does_whatever_the_cloth_shrinks_by(name, shrinkage, unit):
    typed = {f"{name}_shrinkage": shrinkage, "strip_direction": "across"}
    with pytest.raises(Refused) as refusal:
        plan(unit, **typed, **{f"{name}_width": "6 in" if name == "net" else "13 in"})
    (least,) = re.findall(r"(?:usable width|cloth) of ([^a-z]+ (?:in|cm)) or more as bought", sentence(refusal.value, unit))
    plan(unit, **typed, **{f"{name}_width": least})
