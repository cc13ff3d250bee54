"""The table of measurements: ranges that hold, defaults that draft, refusals by name."""
import pytest

from geometry.measuring.ease import Share
from geometry.measuring.given import Given, read_given
from geometry.measuring.lengths import HalfTyped, read_length
from geometry.measuring.measurements import BODY, CHOICES, DEFAULTS, NUMBERS, STYLE, TABLE, USUAL, Style, read_style
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.settling import settle


def refused(typed: dict, unit: str) -> tuple:
    with pytest.raises(Refused) as refusal:
        read_given({**DEFAULTS, **typed}, unit)
    return refusal.value.problems


def test_what_is_given_is_the_table():
    assert Given._fields == tuple(TABLE)


def test_the_style_is_its_tables():
    assert set(Style._fields) == {choice.name for choice in CHOICES} | {number.name for number in NUMBERS} | {"spacing", "tier_part"}
    assert read_style(DEFAULTS) == USUAL


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_defaults_draft_in_either_unit(unit):
    given = read_given(DEFAULTS, unit)
    assert draft_sleeve(given, 6).block.notes == ()
    for name, measurement in TABLE.items():
        length, inches = getattr(given, name), getattr(read_given(DEFAULTS, "in"), name)
        if measurement in BODY:
            assert length == inches
        else:  # round on her own tape, and no other choice for it
            marks = length / (25.4 / 4 if unit == "in" else 5.0)
            assert marks == pytest.approx(round(marks), abs=1e-9) and abs(length - inches) <= 5.0, name


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
        ((_, facts),) = refused({measurement.name: f"{millimetres:.1f} mm"}, unit)
        assert facts["label"] == measurement.label
        assert (facts["sense"].facts["least"], facts["sense"].facts["most"]) == (measurement.least, measurement.most)


def test_every_wrong_number_is_named_at_once():
    problems = refused({"bust_girth": "x", "hem_girth": "9000", "elbow_level": ""}, "in")
    assert [problem.facts["label"] for problem in problems] == ["Bust girth", "Elbow level", "Hem girth"]


def test_half_typed_is_not_wrong():
    with pytest.raises(HalfTyped):
        read_given({**DEFAULTS, "bust_girth": "36 1/"}, "in")
    assert not issubclass(HalfTyped, ValueError)


@pytest.mark.parametrize(("name", "typed", "unit", "hint"), [("bust_girth", "92", "in", "cm"), ("bust_girth", "36.5", "cm", "in")])
def test_the_other_unit_is_recognised(name, typed, unit, hint):
    assert refused({name: typed}, unit)[0].rule == f"measurement looks like {hint}"


@pytest.mark.parametrize(
    ("name", "typed", "unit"), [("top_edge_raise", "1 1/16", "in"), ("bust_girth", "85 in", "cm"), ("shoulder_width", "19.9", "cm")]
)
def test_what_nearly_makes_sense_or_names_its_unit_is_not_taken_for_the_other(name, typed, unit):
    assert refused({name: typed}, unit)[0].rule in ("measurement out of range", "measurement hardly out of range")


@pytest.mark.parametrize(
    ("typed", "unit", "ease"),
    [
        ("2", "cm", 20.0), ("1/2 in", "cm", 12.7), ("15 %", "in", Share(15.0)), ("15%", "cm", Share(15.0)), ("12,5 per cent", "in", Share(12.5)),
        ("7 1/2 percent", "in", Share(7.5)), ("0", "in", 0.0), ("0 %", "in", Share(0.0)), ("100 %", "in", Share(100.0)),
    ],
)  # fmt: skip
def test_ease_is_a_length_or_a_share(typed, unit, ease):
    given = read_given({**DEFAULTS, "ease_elbow": typed}, unit)
    assert given.ease_elbow == pytest.approx(ease) and isinstance(given.ease_elbow, type(ease))


@pytest.mark.parametrize("typed", ["15 p", "15 per", "15 per c", "1 ", "7 1/", "7 1/ %"])
def test_ease_half_typed_is_told(typed):
    if typed == "1 ":
        assert read_given({**DEFAULTS, "ease_elbow": typed}, "in").ease_elbow == pytest.approx(25.4)
        return
    with pytest.raises(HalfTyped):
        read_given({**DEFAULTS, "ease_elbow": typed}, "in")


@pytest.mark.parametrize("typed", ["15", "101 %", "-3 %", "% 15", "abc %", "300", "150 mm 3 %"])
def test_an_ease_that_is_none_is_refused_by_name_with_both_ranges(typed):
    ((_, facts),) = refused({"ease_elbow": typed}, "in")
    assert facts["label"] == "Ease at the elbow" and facts["sense"].facts["percent"] == 100


def test_a_preset_stands_for_what_is_typed_at_every_level():
    """By hand: an easy sleeve for an adult has 15 % of 327.025 mm at the upper arm, 7.5 % of it on each half."""
    settled = settle(read_given({**DEFAULTS, "ease_upper_arm": "3 in"}, "in"), USUAL._replace(ease="easy"))
    assert settled.arm[0].ease == pytest.approx(0.075 * 327.025)
    assert settled.lettered["ease_upper_arm"] == pytest.approx(0.075 * 327.025)
