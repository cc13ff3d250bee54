"""Layers that differ, by hand: each shorter, less full, of another colour; nothing lost, every colour bought by itself."""
import pytest

from geometry.refusal import Refused
from tests.geometry.cloth.test_cutting import INCH, YARD, plan


def layers(planned, number=2):
    """The layers of a tier from the outermost inward."""
    return [tier for tier in planned.cut if tier.number == number]


def test_layers_that_are_alike_are_one():
    planned = plan()
    assert planned.cut == planned.tiers and all(tier.layers == 3 for tier in planned.cut)


def test_each_layer_is_shorter_by_the_step_and_as_full_as_is_said():
    planned = plan(layer_step="1/2 in", under_fullness="90; 75", layers="4")
    found = layers(planned)
    assert [tier.first_layer for tier in found] == [4, 3, 2, 1] and [tier.layers for tier in found] == [1] * 4
    seen = planned.tiers[1]
    assert [(seen.drop - tier.drop) / INCH for tier in found] == pytest.approx([0, 0.5, 1, 1.5])
    assert [(seen.cut_width - tier.cut_width) / INCH for tier in found] == pytest.approx([0, 0.5, 1, 1.5])
    # 4 : 1, then 90 % and 75 % of it; the last share holds on.
    assert [tier.made.taken / tier.line for tier in found] == pytest.approx([4, 3.6, 3, 3])
    assert seen.layers == 4 and seen.drop == found[0].drop


def test_only_what_differs_is_parted():
    found = layers(plan(under_fullness="80", layers="3"))
    assert [(tier.first_layer, tier.layers, tier.over) for tier in found] == [(3, 1, 0), (1, 2, 1)]


def test_a_shorter_layer_ends_on_the_same_seam():
    """The end of an under-layer is the outermost's, cut off where it ends: one template serves both."""
    outermost, under = layers(plan(layer_step="1/2 in", layers="2"), 1)
    (above,), (below,) = ({end.cut(12.7, 12.7, 0.0).end[1] for end in tier.ends} for tier in (outermost, under))
    assert above - below == pytest.approx(12.7)
    for long, short in zip(outermost.ends, under.ends):
        long_end, short_end = long.cut(12.7, 12.7, 0.0), short.cut(12.7, 12.7, 0.0)
        for t in (0.0, 0.3, 0.7, 1.0):
            point = short_end.point(t * len(short_end))
            assert float(long_end.nearest(point).distance) == pytest.approx(0.0, abs=1e-3)


def test_every_colour_is_a_purchase_and_nothing_is_lost():
    planned = plan(colours="ivory, blush", layers="3; 3; 2; 1", contrast_layers="1; 1; 0; 0", layer_step="1/4 in")
    bought = {each.cloth.called: each for each in planned.chosen.purchases}
    # The contrast layers are the outermost, so ivory; tiers 3 and 4 have ivory net outermost; all that lies under is blush.
    assert list(bought) == ["net, blush", "net, ivory", "contrast, ivory"]
    counts = {name: {(s.tier, s.layer) for s in each.lay.strips} for name, each in bought.items()}
    assert counts["contrast, ivory"] == {(1, 3), (2, 3)}
    assert counts["net, ivory"] == {(3, 2), (4, 1)}
    assert counts["net, blush"] == {(1, 1), (1, 2), (2, 1), (2, 2), (3, 1)}
    sizes = {(tier.number, tier.first_layer): tier.cut_width for tier in planned.cut}
    for each in bought.values():
        for strip in each.lay.strips:
            assert strip.width == pytest.approx(sizes[strip.tier, strip.layer])
    area = sum(tier.blank.area * tier.layers for tier in planned.cut) * 2
    assert sum(each.bound * each.lay.width for each in bought.values()) == pytest.approx(area)
    assert sum(row.strips for tier in planned.cut for row in planned.rows(tier)) == (3 + 3 + 2 + 1) * 2


def test_three_cloths_in_one_tier():
    """Contrast outermost, the inner cloth innermost, net between them: each laid on its own width and bought at its own price."""
    typed = {"contrast_layers": "1", "inner_layers": "1; 1; 0; 2", "inner_width": "36 in", "inner_price": "2", "net_price": "4"}
    planned = plan(layers="3; 3; 2; 3", layer_step="1/4 in", **typed)
    bought = {each.cloth.name: each for each in planned.chosen.purchases}
    assert list(bought) == ["net", "inner cloth", "contrast"]
    counts = {name: {(s.tier, s.layer) for s in each.lay.strips} for name, each in bought.items()}
    assert counts["contrast"] == {(1, 3), (2, 3), (3, 2), (4, 3)}
    assert counts["net"] == {(1, 2), (2, 2), (3, 1)}
    assert counts["inner cloth"] == {(1, 1), (2, 1), (4, 1), (4, 2)}
    assert (bought["inner cloth"].lay.width, bought["net"].lay.width) == pytest.approx((36 * INCH, 54 * INCH))
    assert float(bought["inner cloth"].cost) == pytest.approx(2 * bought["inner cloth"].buy / YARD, abs=0.006)
    area = sum(tier.blank.area * tier.layers for tier in planned.cut) * 2
    assert sum(each.bound * each.lay.width for each in bought.values()) == pytest.approx(area)


def test_sleeves_lie_on_the_inner_cloth_where_no_layer_is_of_net():
    planned = plan(layers="2", contrast_layers="1", inner_layers="1", inner_width="60 in", base_cloth="net")
    assert [each.cloth.name for each in planned.chosen.purchases] == ["inner cloth", "contrast"]
    assert next(each for each in planned.purchases if each.cloth.name == "base").bought_with == "inner cloth"


@pytest.mark.parametrize("make", ["knife", "flounce"])
def test_other_ways_have_layers_that_differ_too(make):
    planned = plan(make=make, fullness="2", layers="2", layer_step="1/2 in", under_fullness="90")
    outermost, under = layers(planned)
    assert (outermost.made.edge, under.made.edge) == pytest.approx((2 * outermost.line, 1.8 * outermost.line), rel=1e-6)
    assert len(planned.patterns) == (8 if make == "flounce" else 0)


def test_layers_as_one_are_drawn_up_once():
    apart, as_one = plan(layer_step="1/2 in"), plan(layer_step="1/2 in", layers_sewn="together")
    lines = sum(tier.line for tier in apart.tiers)
    assert apart.amounts["shaping"] == pytest.approx(lines * 4 * 3 * 2 / YARD)
    assert as_one.amounts["shaping"] == pytest.approx(lines * 4 * 2 / YARD)
    assert (apart.amounts["setting"], as_one.amounts["setting"]) == pytest.approx((lines * 3 * 2 / YARD, lines * 2 / YARD))


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ({"layer_step": "4 in"}, "under-layer too short"), ({"under_fullness": "20"}, "under-layer too flat"),
        ({"under_fullness": "90", "layers_sewn": "together"}, "unlike layers as one"),
        ({"under_fullness": "120; 100", "layers_sewn": "together"}, "unlike layers as one"),
        ({"under_fullness": "90; 80; 70"}, "more values than layers"),
        ({"contrast_layers": "2", "inner_layers": "2"}, "more cloths than layers"),
        ({"colours": "a; b; c; d"}, "more values than layers"), ({"under_fullness": "90,80"}, "one number or two"),
    ],
)  # fmt: skip
def test_what_can_not_be(typed, rule):
    with pytest.raises(Refused) as refusal:
        plan(**typed)
    problem = refusal.value.problems[0]
    assert problem.rule == rule
    if rule == "under-layer too short":  # the limit holds when it is typed back
        assert plan(layer_step=f"{problem.facts['most'] - 1e-6} mm")
    if rule == "under-layer too flat":
        assert plan(under_fullness=str(problem.facts["least"]))
