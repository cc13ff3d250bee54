"""Other lines of the dress: read as they are written, planned with the sleeve, each once."""
import pytest

from extension.wording.refusals import sentence
from geometry.cloth.other_lines import read_other_lines
from geometry.measuring.lengths import HalfTyped
from geometry.refusal import Refused
from tests.geometry.cloth.test_cutting import INCH, YARD, plan

BODICE = "bodice front 13 in; bodice back 13 1/2"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", []), ("  ", []), (BODICE, [("bodice front", 13 * INCH), ("bodice back", 13.5 * INCH)]), ("neck: 33 cm;", [("neck", 330)]),
        ("tail ½", [("tail", 12.7)]), ("Saum 120,5 cm", [("Saum", 1205)]),
    ],
)  # fmt: skip
def test_as_it_is_written(text, lines):
    found = read_other_lines(text, "in")
    assert [line.name for line in found] == [name for name, _ in lines]
    assert [line.length for line in found] == pytest.approx([length for _, length in lines])


@pytest.mark.parametrize("text", ["neck 13 3", "neck 3/", "neck 13 in; bodice 3/"])
def test_half_typed(text):
    with pytest.raises(HalfTyped) as half:
        read_other_lines(text, "in")
    assert half.value.label == "Other lines to ruffle"


@pytest.mark.parametrize(("text", "named"), [("bodice front", "bodice front"), ("neck 13 in; bodice", "bodice"), ("bodice; neck 3 in", "bodice")])
def test_a_name_without_a_length_is_named(text, named):
    with pytest.raises(Refused) as refusal:
        read_other_lines(text, "cm")
    ((rule, facts),) = refusal.value.problems
    assert rule == "other line without a length" and facts["typed"] == named
    said = sentence(refusal.value, "cm")
    assert said.startswith(f"Other lines to ruffle: “{named}” has no length.")
    advised = said.split("as in ")[1].split(";")[0]
    assert [line.name for line in read_other_lines(advised, "cm")] == [named]  # what is advised works when typed back


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("bodice; neck 3 in", "other line without a length"), ("13 in", "other line without a name"), ("tier 2 40 in long", "other line"),
        ("neck 1/64", "other line out of range"), ("hem 5000 in", "other line out of range"), ("; ".join(["a 3 in"] * 21), "too many other lines"),
    ],
)  # fmt: skip
def test_what_can_not_be(text, rule):
    with pytest.raises(Refused) as refusal:
        read_other_lines(text, "in")
    assert refusal.value.problems[0].rule == rule


def test_they_are_planned_with_the_sleeve_and_made_once():
    sleeve, dress = plan(), plan(other_lines=BODICE)
    of_sleeve = [[(tier.number, tier.line, tier.drop, tier.layers, tier.cut_length(0)) for tier in each.tiers] for each in (sleeve, dress)]
    assert of_sleeve[0] == of_sleeve[1]
    front, back = (tier for tier in dress.cut if tier.name)
    # By hand: 4 : 1 and 1/2 in at both ends; as wide and in as many layers as the first tier.
    assert front.cut_length(0) / INCH == pytest.approx(13 * 4 + 1) and back.cut_length(0) / INCH == pytest.approx(13.5 * 4 + 1)
    assert front.cut_width == sleeve.tiers[0].cut_width and front.layers == 3 and front.number == 5
    strips = [strip for lay in dress.strip_lays for strip in lay.strips]
    assert sum(strip.tier == 5 for strip in strips) == 3 and sum(strip.tier == 1 for strip in strips) == 6
    net = [each.purchases[0] for each in (sleeve.chosen, dress.chosen)]
    assert (net[1].bound - net[0].bound) * net[0].lay.width == pytest.approx(3 * front.cut_width * (53 + 55) * INCH)
    added = {name: dress.amounts[name] - sleeve.amounts[name] for name in ("shaping", "setting", "seams")}
    assert added == pytest.approx({"shaping": 26.5 * 4 * 3 * INCH / YARD, "setting": 26.5 * 3 * INCH / YARD, "seams": 0})


@pytest.mark.parametrize("make", ["gathered", "box", "flounce"])
def test_their_own_drop_and_fullness(make):
    dress = plan(make=make, fullness="3", other_lines="neck 20 in", other_drop="4 in", other_fullness="2.5", layers="2", layer_step="1 in")
    neck = [tier for tier in dress.cut if tier.name == "neck"]
    assert [tier.drop / INCH for tier in neck] == pytest.approx([4, 3])
    assert [tier.made.edge / (20 * INCH) for tier in neck] == pytest.approx([2.5, 2.5])


def test_a_tier_that_was_timed_is_one_of_the_sleeve():
    with pytest.raises(Refused):
        plan(other_lines=BODICE, timed=(5, 40.0))
