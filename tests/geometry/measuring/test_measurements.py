"""The table of measurements: ranges that hold, defaults that draft, refusals in words."""
import pytest

from geometry.measuring.lengths import read_length
from geometry.measuring.measurements import BODY, STYLE, TABLE, Unfinished, read_measurements
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve

DEFAULTS = {name: measurement.default for name, measurement in TABLE.items()}


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_defaults_draft_in_either_unit(unit):
    values = read_measurements(DEFAULTS, unit)
    assert values == read_measurements(DEFAULTS, "in")
    assert draft_sleeve(values, 6).block.notes == ()


@pytest.mark.parametrize("measurement", TABLE.values(), ids=lambda m: m.name)
def test_every_row_is_whole(measurement):
    assert measurement.least < measurement.most
    assert measurement.label and measurement.how.endswith(".")
    default = read_length(measurement.default, "in")
    assert measurement.least <= default <= measurement.most or (default == 0 and measurement.zero)


@pytest.mark.parametrize("measurement", BODY + STYLE, ids=lambda m: m.name)
@pytest.mark.parametrize("unit", ["in", "cm"])
def test_out_of_range_is_refused_by_name(measurement, unit):
    for millimetres in (measurement.most * 1.01 + 1, measurement.least * 0.99 - 1):
        if millimetres < 0 or (millimetres == 0 and measurement.zero):
            continue
        with pytest.raises(Refused) as caught:
            read_measurements({**DEFAULTS, measurement.name: f"{millimetres:.1f} mm"}, unit)
        assert measurement.label in str(caught.value) and "What makes sense is" in str(caught.value)


def test_every_wrong_number_is_named_at_once():
    with pytest.raises(Refused) as caught:
        read_measurements({**DEFAULTS, "bust_girth": "x", "hem_girth": "9000", "elbow_level": ""}, "in")
    assert all(label in str(caught.value) for label in ("Bust girth", "Hem girth", "Elbow level"))


def test_half_typed_is_not_wrong():
    with pytest.raises(Unfinished):
        read_measurements({**DEFAULTS, "bust_girth": "36 1/"}, "in")


@pytest.mark.parametrize(("name", "typed", "unit", "hint"), [("bust_girth", "92", "in", "centimetres"), ("bust_girth", "36.5", "cm", "inches")])
def test_the_other_unit_is_recognised(name, typed, unit, hint):
    with pytest.raises(Refused, match=f"looks like {hint}"):
        read_measurements({**DEFAULTS, name: typed}, unit)
