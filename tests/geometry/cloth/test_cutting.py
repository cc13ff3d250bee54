"""The whole plan: what is bought, by hand, and how it looks, by shapely."""
import math
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pytest
from shapely.geometry import Polygon, box

from geometry.cloth.buying import Cloth, to_buy
from geometry.cloth.cutting import Job, plan_cutting
from geometry.cloth.lay import StripLay
from geometry.cloth.offers import BEST, FEWEST_JOINS, FITTED, LEAST_CLOTH, ONE_RIBBON, Worth
from geometry.cloth.tape import TAPES
from geometry.cloth.tier_choices import (
    BY_RULE_LENGTHS,
    LENGTHS,
    NUMBERS,
    PRICES,
    TEXTS,
    TRIM_PRICES,
    read_cloths,
    read_others,
    read_tier_style,
    read_trim_terms,
)
from geometry.cloth.ways import WAYS
from geometry.cloth.work import OF_A_TIER, Timing
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.refusal import Refused
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import EDGES, Outline

INCH, YARD = 25.4, 914.4
CORNERS = [(-100, 0), (100, 0), (200, 100), (150, 500), (-150, 500), (-200, 100), (-100, 0)]
OUTLINE = Outline({name: Curve.line(a, b) for name, a, b in zip(EDGES, CORNERS, CORNERS[1:])})
TYPED = {
    **{each.name: each.default for table in (LENGTHS, BY_RULE_LENGTHS, NUMBERS, TEXTS, PRICES, TRIM_PRICES) for each in table.values()},
    "make": "gathered", "strip_direction": "cheaper", "net_way": "any_way", "base_cloth": "own", "base_way": "either_way",
    "lining_way": "either_way", "end_shape": "shaped",
    "layers_sewn": "one_by_one", "strip_edge": "cut", "under_edge": "as_outermost",
}  # fmt: skip


#: A join is worth as much as 6 in of cloth.
SIX_INCHES = Worth(6 * INCH)


def plan(unit="in", prefer=BEST, levels=(0, 125, 250, 375), worth=SIX_INCHES, fitting=0.1, timed=None, **typed):
    typed = {**TYPED, **typed}
    tiers = Tiers([TierLine(i, OUTLINE.across(Curve.line((-90, y), (90, y)))) for i, y in enumerate(levels, start=1)], ())
    style = read_tier_style(typed, len(levels), 12.7, unit)
    job = Job(style, read_cloths(typed, unit), 2, prefer, TAPES[unit], worth, fitting, timed, read_others(typed, unit), read_trim_terms(typed, unit))
    return plan_cutting(OUTLINE, tiers, OUTLINE.closed(), job)


def cloth(**changes):
    return Cloth("net", 1000.0, 0.0, 0.0, None, "cheaper")._replace(**changes)


# By hand: the length needed / (1 - shrinkage) x (1 + spare), then up to the next eighth of a yard or 10 cm.
@pytest.mark.parametrize(
    ("length", "shrinkage", "spare", "unit", "bought"),
    [
        (36 * INCH, 0, 0, "in", 1 * YARD),
        (36.1 * INCH, 0, 0, "in", 1.125 * YARD),
        (97 * INCH, 0.03, 0.05, "in", 3 * YARD),  # 97 / 0.97 = 100, x 1.05 = 105 in = 2.917 yd
        (1000, 0, 0, "cm", 1000),
        (1000, 0, 0.05, "cm", 1100),  # 105 cm
        (970, 0.03, 0.10, "cm", 1100),  # 110 cm exactly
    ],
)
def test_length_to_buy(length, shrinkage, spare, unit, bought):
    assert to_buy(length, cloth(shrinkage=shrinkage, spare=spare), TAPES[unit]) == pytest.approx(bought)


def test_cost_is_for_what_is_bought():
    net = plan(net_price="9,50 €").purchases[0]
    eighths = round(net.buy / YARD * 8)
    exact = Decimal("9.50") * eighths / 8
    assert net.cost == exact.quantize(Decimal("0.01"), ROUND_HALF_UP)
    metres = plan(unit="cm", net_price="8").purchases[0]
    assert metres.cost == Decimal(8) * round(metres.buy / 100) / 10
    assert plan().purchases[0].cost is None


def test_shrinking_cloth_is_narrower_when_it_is_cut():
    base = next(p for p in plan(base_width="54 in", base_shrinkage="3").purchases if p.cloth.name == "base")
    # By hand: 54 in less 3 % are 52.38 in, of which the tape shows 52 3/8.
    assert base.lay.width / INCH == pytest.approx(52.375)


def test_what_is_not_wanted_is_not_planned():
    assert [p.cloth.name for p in plan(base_width="0", lining_width="0").purchases] == ["net"]
    assert [p.cloth.name for p in plan(contrast_layers="1").purchases] == ["net", "contrast", "base", "lining"]


def test_contrast_layers_are_the_outermost_and_nothing_is_lost():
    net, contrast = plan(layers="3; 3; 2; 2", contrast_layers="1").purchases[:2]
    assert {strip.layer for strip in contrast.lay.strips if strip.tier == 1} == {3}
    assert {strip.layer for strip in contrast.lay.strips if strip.tier == 4} == {2}
    assert len(net.lay.strips) + len(contrast.lay.strips) == 2 * (3 + 3 + 2 + 2)


def test_the_direction_she_asks_for_holds_else_the_cheaper_one():
    across, along = (plan(strip_direction=way).purchases[0] for way in ("across", "along"))
    assert (across.lay.direction, along.lay.direction) == ("across", "along")

    def cost(net):
        return net.buy + 6 * INCH * net.lay.all_joins

    assert cost(plan().purchases[0]) == min(cost(across), cost(along))


def test_with_a_nap_all_strips_run_across_unless_she_says_otherwise():
    for asked, runs in (("cheaper", "across"), ("across", "across"), ("along", "along")):
        assert plan(net_way="one_way", strip_direction=asked).purchases[0].lay.direction == runs


def test_a_border_is_that_of_the_outermost_cloth():
    net, contrast, *_ = plan(strip_direction="border", layers="3", contrast_layers="1").purchases
    assert all(piece.x == 0 for piece in contrast.lay.pieces) and not all(piece.x == 0 for piece in net.lay.pieces)
    [only] = [each for each in plan(strip_direction="borders").purchases if each.cloth.name == "net"]
    assert {round(p.x + p.width, 6) for p in only.lay.pieces if p.x} == {round(only.lay.width, 6)}
    with pytest.raises(Refused) as refusal:
        plan(strip_direction="border", make="flounce", fullness="2", drop="100 mm")
    assert refusal.value.problems[0].rule == "border on a curve"


@pytest.mark.parametrize(
    "typed", [{}, {"strip_direction": "along"}, {"strip_direction": "border"}, {"make": "flounce", "fullness": "2", "drop": "100 mm"}]
)
def test_the_base_may_be_cut_from_the_cloth_of_the_tiers(typed):
    same = {"base_shrinkage": "0", "base_width": TYPED["net_width"], "layers": "1", **typed}
    apart, together = plan(**same), plan(base_cloth="net", **same)
    net, base, _ = together.purchases
    assert (net.cloth.name, base.cloth.name, base.buy, base.cost) == ("net", "base", 0, None)
    assert net.buy <= sum(each.buy for each in apart.purchases[:2]) + 1e-6
    sleeves = [Polygon(together.piece.transformed(place.matrix).flatten(0.05)) for place in net.among.sleeves.placements]
    if isinstance(net.lay, StripLay):
        pieces = [box(p.x, p.y, p.x + p.width, p.y + p.height) for p in net.lay.pieces]
    else:
        cut = [together.patterns_by_layer[strip.tier, strip.layer].cut for strip in net.lay.strips]
        pieces = [Polygon(each.transformed(place.matrix).flatten(0.05)) for each, place in zip(cut, net.lay.placements)]
    assert all(sleeve.distance(piece) >= 5 - 0.1 for sleeve in sleeves for piece in pieces)
    cloth = box(-1e-6, -1e-6, net.lay.width + 1e-6, net.lay.length + 1e-6)
    assert all(cloth.covers(shape) for shape in [*sleeves, *pieces])
    area = sum(shape.area for shape in [*sleeves, *pieces])
    assert net.lay.length * net.lay.width >= area and net.bound == pytest.approx(area / net.lay.width, rel=0.02)
    assert together.amounts["cutting"] == apart.amounts["cutting"]


@pytest.mark.parametrize("base_cloth", ["own", "own_with_lining", "net"])
def test_the_hems_of_the_base_may_lie_on_a_border(base_cloth):
    """All lies clear on the cloth, each sleeve's hem on the left selvedge; a cloth as wide as is told holds it, an inch less does not."""
    same = {"base_cloth": base_cloth, "base_way": "on_border", "base_shrinkage": "0", "layers": "1"}
    planned = plan(base_width="54 in", **same)
    base = next(each for each in planned.purchases if each.cloth.name == "base")
    sleeves = [Polygon(planned.piece.transformed(place.matrix).flatten(0.05)) for place in base.lay.placements]
    laid = [*sleeves, *(Polygon(each.laid.flatten(0.05)) for each in base.lay.others)]
    assert all(one.distance(other) >= 5 - 0.11 for i, one in enumerate(laid) for other in laid[:i])
    assert all(box(-1e-6, -1e-6, base.lay.width + 1e-6, base.lay.length + 1e-6).covers(shape) for shape in laid)
    _, top, _, bottom = planned.piece.bounds()
    assert [sleeve.bounds[0] for sleeve in sleeves] == pytest.approx([0.0] * 2, abs=1e-6)
    assert [sleeve.bounds[2] for sleeve in sleeves] == pytest.approx([bottom - top] * 2, abs=0.1)
    if base_cloth == "own":
        with pytest.raises(Refused) as refusal:
            plan(base_width="12 in", **same)
        ((rule, facts),) = refusal.value.problems
        assert rule == "cloth too narrow for a sleeve" and facts["sleeve"] == pytest.approx(bottom - top)
        plan(base_width=f"{facts['least'] / INCH} in", **same)
        with pytest.raises(Refused):
            plan(base_width=f"{facts['least'] / INCH - 1} in", **same)


@pytest.mark.parametrize("base_cloth", ["own_with_lining", "net_with_lining"])
@pytest.mark.parametrize("way", ["either_way", "one_way"])
def test_the_lining_may_be_cut_with_the_base(base_cloth, way):
    """One buy, one lay: all pieces of both lie clear of each other on it, mirrored in pairs, grain along the cloth."""
    same = {"base_width": "54 in", "base_shrinkage": "0", "base_way": way, "layers": "1"}
    apart, together = plan(base_cloth=base_cloth.partition("_")[0], **same), plan(base_cloth=base_cloth, **same)
    base, lining = (next(each for each in together.purchases if each.cloth.name == name) for name in ("base", "lining"))
    assert (lining.buy, lining.cost, lining.bought_with) == (0, None, "net" if base.bought_with else "base")
    assert sum(each.buy for each in together.purchases) <= sum(each.buy for each in apart.purchases) + YARD / 8
    sleeves = [Polygon(together.piece.transformed(place.matrix).flatten(0.05)) for place in base.lay.placements]
    linings = [each for each in base.lay.others if each.name == "lining"]
    laid = [*sleeves, *(Polygon(each.laid.flatten(0.05)) for each in linings)]
    assert len(linings) == 2 and all(one.distance(other) >= 5 - 0.11 for i, one in enumerate(laid) for other in laid[:i])
    cloth = box(-1e-6, -1e-6, base.lay.width + 1e-6, base.lay.length + 1e-6)
    assert all(cloth.covers(shape) for shape in laid)
    turns = [each.placement.matrix[:, :2] for each in linings]
    assert [round(float(np.linalg.det(turn))) for turn in turns] == [1, -1] and all(turn[0, 1] == turn[1, 0] == 0 for turn in turns)
    assert together.amounts == pytest.approx(apart.amounts)
    assert together.beside == ()
    if not base.bought_with:
        assert base.bound == pytest.approx(sum(shape.area for shape in laid) / base.lay.width, rel=1e-3)


def test_without_a_base_the_lining_has_a_cloth_of_its_own():
    assert [each.cloth.name for each in plan(base_cloth="own_with_lining", base_width="0").purchases] == ["net", "lining"]
    assert [each.cloth.name for each in plan(base_cloth="net_with_lining", lining_width="0").purchases] == ["net", "base"]


def test_where_all_layers_are_contrast_the_base_lies_on_that():
    together = plan(base_cloth="net", layers="2", contrast_layers="2", contrast_width="38 in", net_width="60 in")
    [contrast, base, *_] = together.purchases
    assert (contrast.cloth.name, base.bought_with) == ("contrast", "contrast")
    cloth = box(-1e-6, -1e-6, 38 * INCH + 1e-6, contrast.lay.length + 1e-6)
    assert all(cloth.covers(Polygon(together.piece.transformed(place.matrix).flatten(0.05))) for place in contrast.among.sleeves.placements)


def test_fewest_joins():
    # Strips of 35 to 67 in; along the cloth none needs a join.
    assert plan(prefer=FEWEST_JOINS).purchases[0].lay.all_joins == 0


def test_every_strip_of_a_tier_is_long_enough():
    """Below the underarm an end is square and its allowance measured along the line, by hand; the first tier's ends
    follow the armhole, out to the corner of shapely's buffer.
    """
    planned, slanting = plan(), np.hypot(400, 50) / 400
    corner = Polygon(CORNERS).buffer(12.7, join_style="mitre").bounds[2] - 100
    for tier, end in zip(planned.tiers, [corner, *[12.7 * slanting] * 3]):
        assert tier.cut_length(0) == pytest.approx(tier.line * 4 + 2 * end)
        assert tier.cut_length(2) == pytest.approx(tier.line * 4 + 2 * end + 2 * 12.7)
    assert planned.taken_length == pytest.approx(sum(tier.line for tier in planned.tiers) * 4 * 3 * 2)
CONTRAST, BOX = {"contrast_layers": "1", "contrast_width": "30 in"}, {"make": "box", "fullness": "3"}


@pytest.mark.parametrize(
    ("prefer", "typed"),
    [(prefer, typed) for prefer in (BEST, LEAST_CLOTH, FEWEST_JOINS) for typed in ({}, CONTRAST, BOX)]
    + [(prefer, typed) for prefer in (FITTED, ONE_RIBBON) for typed in ({}, CONTRAST)],
)
def test_one_set_of_numbers(prefer, typed):
    """What the table of tiers says is what is cut: length, joins and strips, for every cloth, piece by piece."""
    planned = plan(prefer=prefer, **typed)
    lays = {each.cloth.name: each.lay for each in planned.chosen.purchases}
    for tier in planned.tiers:
        needed = tier.line * tier.fullness + 2 * 12.7
        for row in planned.rows(tier):
            lay = lays[row.cloth]
            cut = {}
            for piece in lay.pieces:
                if lay.strips[piece.strip].tier == tier.number:
                    cut.setdefault(piece.strip, []).append(lay.cut(piece))
            assert len(cut) == row.strips
            assert max(map(len, cut.values())) - 1 == row.joins and sum(map(len, cut.values())) - row.strips == row.all_joins
            for pieces in cut.values():
                sewn = sum(pieces) - (len(pieces) - 1) * 12.7
                assert sewn >= needed - 1e-6
                assert row.cut == pytest.approx(sum(pieces) if prefer != ONE_RIBBON else sewn)
    assert planned.taken_length == pytest.approx(sum(tier.line * tier.fullness for tier in planned.tiers) * 3 * 2)


@pytest.mark.parametrize("width", ["24 in", "30 in", "45 in"])
@pytest.mark.parametrize("prefer", [BEST, LEAST_CLOTH])
def test_layers_that_differ_are_cut_each_to_its_own_length(prefer, width):
    """By hand: line x its own fullness, both ends, and the joins that its row allows for: none of another layer's are counted."""
    planned = plan(prefer=prefer, under_fullness="80; 60", layer_step="1/4 in", net_width=width, strip_direction="across")
    [net] = planned.chosen.purchases
    for tier in planned.cut:
        [row] = planned.rows(tier)
        for index, strip in enumerate(net.lay.strips):
            if strip.tier == tier.number and strip.layer == tier.first_layer:
                pieces = [net.lay.cut(piece) for piece in net.lay.pieces if piece.strip == index]
                needed = tier.line * tier.fullness + sum(tier.past_line) + row.allowed * 12.7
                assert needed - 1e-6 <= sum(pieces) < needed + INCH / 8 and row.cut == pytest.approx(sum(pieces))


@pytest.mark.parametrize("prefer", [BEST, LEAST_CLOTH, ONE_RIBBON])
def test_no_join_stands_where_an_end_slants(prefer):
    """The first tier's ends follow the armhole: by the rule a join keeps 4 in from where its line ends, not from where it is cut."""
    planned = plan(prefer=prefer, net_width="45 in", strip_direction="across")
    [net] = planned.chosen.purchases
    past = {tier.number: tier.past_line for tier in planned.tiers}
    assert past[1][0] > 100 and net.lay.all_joins
    for strip, places in zip(net.lay.strips, net.lay.places):
        back, front = past[strip.tier]
        assert all(back + 4 * INCH - 1e-6 <= place <= strip.length - front - 4 * INCH + 1e-6 for place in places)


def test_plans_side_by_side():
    planned = plan()
    by_name = {name: each for each in planned.offers for name in each.names}
    assert set(by_name) == {BEST, LEAST_CLOTH, FEWEST_JOINS, ONE_RIBBON, FITTED}
    bought = {name: sum(each.buy for each in offer.purchases) for name, offer in by_name.items()}
    assert bought[LEAST_CLOTH] == min(bought[name] for name in (BEST, LEAST_CLOTH, FEWEST_JOINS))
    assert by_name[FEWEST_JOINS].joins == min(each.joins for each in planned.offers)
    for name, offer in by_name.items():
        joins = sum(each.lay.all_joins for each in offer.purchases)
        assert (offer.joins, offer.cost) == (joins, pytest.approx(bought[name] + joins * 6 * INCH))
        pieces = sum(len(each.lay.pieces) for each in offer.purchases)
        assert offer.minutes == pytest.approx(pieces * 1 + joins * 3)  # by hand: a minute a piece, three a join


def test_with_rate_and_price_a_plan_costs_money():
    planned = plan(net_price="4.50", worth=Worth(6 * INCH, 20.0))
    for offer in planned.offers:
        [net] = offer.purchases
        assert offer.priced
        assert offer.cost == pytest.approx(float(net.cost) + 20 / 60 * (len(net.lay.pieces) + 3 * net.lay.all_joins))
    # Dear cloth and cheap work: now joins pay.
    dear = plan(net_price="90", worth=Worth(6 * INCH, 0.5), net_width="45 in")
    assert dear.chosen.joins > 0 == plan(net_price="1", worth=Worth(6 * INCH, 60.0), net_width="45 in").chosen.joins


def test_fullness_that_fits_the_cloth():
    planned = plan(prefer=FITTED, fitting=0.1)
    width, wanted = 54 * INCH, 4.0
    for tier in planned.tiers:
        length = tier.cut_length(0)
        assert abs(tier.fullness / wanted - 1) <= 0.1 + 1e-9
        # Worked anew: a strip is k widths less k - 1 joins, or an even part of a width on the tape; else it kept its own.
        wholes = [k * width - (k - 1) * 12.7 for k in range(1, 9)] + [int(54 * 8 / k) / 8 * INCH for k in range(2, 9)]
        fits = any(length == pytest.approx(whole) for whole in wholes)
        past = length - tier.line * tier.fullness
        could = [whole for whole in wholes if abs((whole - past) / tier.line / wanted - 1) <= 0.1]
        assert fits == bool(could) and (fits or tier.fullness == wanted)
    assert any(tier.fullness != wanted for tier in planned.tiers)
    with pytest.raises(Refused, match="no plan fitted"):
        plan(prefer=FITTED, fitting=0)


@pytest.mark.parametrize("make", ["knife", "box", "flounce"])
def test_only_gathered_strips_come_from_a_ribbon(make):
    with pytest.raises(Refused, match="no plan one_ribbon"):
        plan(prefer=ONE_RIBBON, make=make, fullness="2")


def test_square_ends_are_cut_for_the_wider_edge_and_gathered_in():
    """By hand: where tier 1 hangs the trapezoid is 100 wider on either side, at the underarm; below it narrows."""
    first, second = plan(end_shape="gathered_in").tiers[:2]
    assert first.made.taken == pytest.approx(200 * 4 + 2 * 100)
    assert first.past_line == pytest.approx([12.7 * 2**0.5] * 2)  # an armhole at 45 degrees
    assert second.made.taken == pytest.approx(second.line * 4)
    assert not any(end.follows for tier in (first, second) for end in tier.ends)


def test_straight_ends_of_a_flounce_leave_the_sleeve_bare_beside_them():
    first, second = plan(make="flounce", fullness="2", layers="1").tiers[:2]
    assert first.uncovered == pytest.approx(100) and second.uncovered == 0
    assert [tier.uncovered for tier in plan().tiers] == [0] * 4


def test_a_flounce_counts_its_sectors():
    planned = plan(make="flounce", fullness="2", layers="1")
    strips = planned.purchases[0].lay.strips
    for tier in planned.tiers:
        assert [row.joins for row in planned.rows(tier)] == [tier.made.sectors - 1]
        assert sum(strip.tier == tier.number for strip in strips) == tier.made.sectors * 2
        assert tier.made.outer_length == pytest.approx(2 * tier.line)


def test_flounces_with_a_nap_are_cut_no_wider_than_the_cloth():
    """Turned they would go in whole; upright they are parted, each no wider than the net."""
    typed = {"make": "flounce", "fullness": "1.3", "drop": "4 in", "layers": "1", "net_width": "17 in", "base_width": "0", "lining_width": "0"}
    free, with_nap = plan(**typed), plan(net_way="one_way", **typed)
    for tier, pattern in with_nap.patterns:
        left, _, right, _ = Polygon(pattern.cut.flatten(0.05)).bounds
        assert right - left <= 17 * INCH
        assert pattern.pieces >= next(other.pieces for same, other in free.patterns if same.number == tier.number)


@pytest.mark.parametrize(
    ("typed", "label", "rules"),
    [
        ({"fullness": "0.9"}, "Fullness", ["what was typed", "fullness out of range", "number out of range"]),
        ({"fullness": "4; 4"}, "Fullness", ["values for each tier"]),
        ({"layers": "0"}, "Layers", ["what was typed", "layers out of range", "whole number out of range"]),
        ({"layers": "2.5"}, "Layers", ["what was typed", "layers out of range", "whole number out of range"]),
        ({"overlap": "lots"}, "Overlap", ["what was typed", "length or by rule", "not a length"]),
        ({"drop": "90 cm to 2 yd"}, "Drop", ["what was typed", "length or by rule", "not a length"]),
        ({"net_spare": "-5"}, "Net: spare %", ["what was typed", "number out of range"]),
        ({"net_price": "inf"}, "Net: price", ["what was typed", "not a sum of money"]),
        ({"net_price": "1,200"}, "Net: price", ["what was typed", "a thousand or a decimal"]),
        ({"gathering_allowance": "13"}, "Gathering allowance", ["measurement out of range"]),
    ],
)
def test_bad_input_is_named(typed, label, rules):
    with pytest.raises(Refused) as refusal:
        plan(**typed)
    [problem] = refusal.value.problems
    assert problem.facts["label"] == label
    found = []
    while problem:
        found.append(problem.rule)
        problem = problem.facts.get("problem")
    assert found == rules


def test_cloth_too_narrow_is_a_value():
    with pytest.raises(Refused) as refusal:
        plan(net_width="5 in")
    [(rule, facts)] = refusal.value.problems
    # By hand: 125 mm to the next line, a third of overlap, 12.7 mm of gathering allowance.
    assert rule == "cloth too narrow for a strip" and facts["strip"] == pytest.approx(125 * 4 / 3 + 12.7)
    assert (facts["cloth"].rule, facts["width"], facts["tier"]) == ("net", pytest.approx(5 * INCH), 1)
    with pytest.raises(Refused) as refusal:
        plan(base_width="12 in", base_shrinkage="0")
    [(rule, facts)] = refusal.value.problems
    assert rule == "cloth too narrow for a sleeve" and facts["sleeve"] == pytest.approx(400)  # the outline's underarm


@pytest.mark.parametrize("make", WAYS)
def test_every_way_takes_up_what_it_should(make):
    planned = plan(make=make, fullness="2", layers="2")
    for tier in planned.tiers:
        assert tier.made.taken == pytest.approx(tier.line * (1 if make == "flounce" else 2))
        assert planned.all_joins(tier) >= (tier.blank.pieces - 1) * 2 * 2
    net = planned.purchases[0]
    area = sum(tier.blank.area * tier.blank.pieces for tier in planned.tiers) * 2 * 2
    assert net.bound == pytest.approx(area / net.lay.width) and net.ratio >= 1


def test_work_by_hand():
    planned = plan(layers="2", strip_edge="hemmed", strip_hem="1/4 in", prefer=FEWEST_JOINS)
    amounts, lines = planned.amounts, sum(tier.line for tier in planned.tiers)
    strips = 4 * 2 * 2
    assert amounts["cutting"] == strips + 2 + 2  # base and lining of two sleeves
    assert amounts["shaping"] == pytest.approx(lines * 4 * 2 * 2 / YARD)
    ends = sum(map(sum, (tier.past_line for tier in planned.tiers)))  # the edge is hemmed as it is cut, ends and all
    assert amounts["edge"] == pytest.approx((lines * 4 + ends) * 2 * 2 / YARD)
    assert amounts["rows"] == pytest.approx(2 * lines * 4 * 2 * 2 / YARD)
    assert amounts["setting"] == pytest.approx(lines * 2 * 2 / YARD)
    underarm = math.hypot(50, 400)  # from the corners
    assert amounts["seams"] == pytest.approx(underarm * 2 * 2 / YARD)  # base and lining
    assert amounts["hem"] == pytest.approx(300 * 2 / YARD) and amounts["top_edge"] == pytest.approx(200 * 2 / YARD)
    assert amounts["setting_in"] == pytest.approx(2 * math.hypot(100, 100) * 2 / YARD)
    minutes = Timing().minutes
    assert planned.minutes == pytest.approx({name: amount * minutes[name] for name, amount in amounts.items() if amount})


def test_her_own_timing_of_one_tier_sets_all_in_proportion():
    guessed, timed = plan(), plan(timed=(2, 47.0))
    # The second tier: three layers on one sleeve, gathered in two rows and set on its line.
    tier = guessed.tiers[1]
    guess = (2 * tier.line * 4 * 3 * 0.7 + tier.line * 4 * 3 * 1.5 + tier.line * 3 * 4) / YARD
    assert timed.timing.pace == pytest.approx(47 / guess)
    for name, minutes in guessed.minutes.items():
        assert timed.minutes[name] == pytest.approx(minutes * 47 / guess)
    assert set(OF_A_TIER) <= set(Timing().minutes)
    with pytest.raises(Refused) as refusal:
        plan(timed=(7, 47.0))
    assert refusal.value.problems[0] == ("no tier to time", {"tier": 7, "last": 4})
