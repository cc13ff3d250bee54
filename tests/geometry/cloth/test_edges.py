"""Free edges by hand: how long they are, what is bought for them, what they add to the strip and to the time."""
import math
from decimal import ROUND_HALF_UP, Decimal

import pytest

from geometry.cloth.edges import EDGES, edge_length, edges_in_all, trim_length
from geometry.cloth.work import GUESSED
from geometry.refusal import Refused
from tests.geometry.cloth.test_cutting import INCH, YARD, plan

#: What each adds below, inches and centimetres: common practice, no source.
ADDED = {
    "cut": (0, 0), "hemmed": (0.5, 1.2), "rolled": (0.25, 0.6), "ribbon": (0, 0), "braid": (0.25, 0.6), "wire": (0.25, 0.6),
    "trim": (0.25 - 1, 0.6 - 2.5),  # 1 in or 2.5 cm of the drop is trim, 1/4 in or 6 mm lies under its heading
}  # fmt: skip


def test_there_is_a_row_for_each():
    assert set(EDGES) == set(ADDED)


@pytest.mark.parametrize("edge", EDGES)
def test_the_strip_is_wider_by_the_allowance(edge):
    for unit, added, size in (("in", ADDED[edge][0], INCH), ("cm", ADDED[edge][1], 10.0)):
        for tier, raw in zip(plan(unit, strip_edge=edge).tiers, plan(unit).tiers):
            assert (tier.cut_width - raw.cut_width) / size == pytest.approx(added)
    assert plan(strip_edge="rolled", strip_hem="3/8 in").job.style.hem / INCH == pytest.approx(0.375)


@pytest.mark.parametrize("edge", EDGES)
def test_trim_and_minutes(edge):
    planned = plan(strip_edge=edge, layers="2")
    around = sum(tier.line * 4 + sum(tier.past_line) for tier in planned.tiers) * 2 * 2
    assert edges_in_all(planned.tiers, 2) == pytest.approx(around)
    # Four tiers in two layers on two sleeves have 32 ends; those of a wire are bent back 1/2 in each.
    turned = around + 32 * INCH / 2
    bought = {"ribbon": around, "braid": around, "wire": turned, "trim": turned}.get(edge, 0.0)
    assert trim_length(EDGES[edge], planned.tiers, 2, 0.0).result == pytest.approx(bought)
    assert trim_length(EDGES[edge], planned.tiers, 2, 0.1).result == pytest.approx(1.1 * bought)
    operation = {"hemmed": "edge", "cut": None}.get(edge, edge)
    sewn = {name: planned.minutes.get(name, 0) for name in ("edge", "rolled", "ribbon", "braid", "wire", "trim")}
    assert sewn == pytest.approx({**dict.fromkeys(sewn, 0.0), **({operation: around / YARD * GUESSED[operation]} if operation else {})})


def test_the_free_edge_of_a_flounce_is_its_outer_arc():
    """2 : 1 on a line of 300 mm: an edge of 600 mm, by closed form the circle of the outer radius."""
    for tier in plan(make="flounce", fullness="2", layers="1").tiers:
        flounce = tier.made
        assert edge_length(tier) == pytest.approx(2 * tier.line)
        assert edge_length(tier) == pytest.approx(flounce.sectors * math.radians(math.degrees(flounce.angle)) * flounce.outer)


@pytest.mark.parametrize(
    ("edge", "hem", "rule"),
    [("cut", "1/4 in", "allowance of a raw edge"), ("ribbon", "1 cm", "allowance of a raw edge"), ("hemmed", "0", "edge without its allowance")],
)
def test_an_allowance_that_the_edge_cannot_have_is_asked_about(edge, hem, rule):
    with pytest.raises(Refused) as refusal:
        plan(strip_edge=edge, strip_hem=hem)
    assert refusal.value.problems[0].rule == rule


def test_a_bought_trim_hangs_where_the_cloth_ends():
    """Tiers hang as far as without it, 1 1/2 in less of it cloth; a flounce's ring is as much narrower."""
    for make in ("gathered", "flounce"):
        options = {"make": make, "fullness": "2", "layers": "1"}
        for tier, raw in zip(plan(strip_edge="trim", trim_depth="1 1/2 in", **options).tiers, plan(**options).tiers):
            assert tier.drop == raw.drop
            assert (raw.drop - tier.cloth_drop) / INCH == pytest.approx(1.5)
            if make == "flounce":
                assert tier.made.outer - tier.made.inner == pytest.approx(raw.drop - 1.5 * INCH)
                assert tier.made.inner == pytest.approx(tier.cloth_drop)  # 2 : 1, inner = drop / (2 - 1)
            else:
                assert (raw.cut_width - tier.cut_width) / INCH == pytest.approx(1.5 - 0.25)


def test_a_trim_is_no_deeper_than_its_tier():
    with pytest.raises(Refused) as refusal:
        plan(strip_edge="trim", trim_depth="11 in")
    ((rule, facts),) = refusal.value.problems
    assert rule == "trim deeper than its tier"
    plan(strip_edge="trim", trim_depth=f"{facts['most'] / INCH - 0.001:.4f} in")
    plan(strip_edge="cut", trim_depth="11 in")  # of no account


def test_under_layers_may_be_finished_otherwise():
    """Three layers on four tiers of two sleeves: the ribbon goes around the outermost eight strips, the others get a rolled hem."""
    mixed, plain = plan(strip_edge="ribbon", under_edge="rolled"), plan(strip_edge="ribbon")
    around = sum(tier.line * 4 + sum(tier.past_line) for tier in plain.tiers) * 2
    assert [trim.length.result for trim in mixed.trims] == pytest.approx([1.05 * around])  # 5 % spare, as the dialog has it
    assert [trim.length.result for trim in plain.trims] == pytest.approx([3 * 1.05 * around])
    assert plan(strip_edge="ribbon", trim_spare="0").trims[0].length.result == pytest.approx(3 * around)
    assert mixed.minutes["rolled"] == pytest.approx(2 * around / YARD * GUESSED["rolled"])
    assert [(tier.edge, tier.layers) for tier in mixed.cut] == [("ribbon", 1), ("rolled", 2)] * 4
    assert {round((under.cut_width - over.cut_width) / INCH, 6) for over, under in zip(mixed.cut[::2], mixed.cut[1::2])} == {0.25}
    assert sum(row.strips for tier in mixed.cut for row in mixed.rows(tier)) == 4 * 3 * 2


def test_under_layers_may_have_a_trim_of_their_own():
    """Ribbon around the outermost of three layers, braid on both under it: each by its own length and its own price."""
    ribbon, braid = plan(strip_edge="ribbon", under_edge="braid", trim_price="2", under_trim_price="1.50").trims
    assert (ribbon.edge, braid.edge) == ("ribbon", "braid")
    assert braid.length.result == pytest.approx(2 * ribbon.length.result)
    assert (ribbon.price, braid.price) == (Decimal(2), Decimal("1.50"))
    assert braid.cost == (Decimal("1.50") * Decimal(braid.buy / YARD)).quantize(Decimal("0.01"), ROUND_HALF_UP)


def test_a_trim_of_under_layers_is_no_deeper_than_its_tier():
    with pytest.raises(Refused) as refusal:
        plan(under_edge="trim", trim_depth="11 in", layers="2")
    ((rule, facts),) = refusal.value.problems
    assert rule == "trim deeper than its tier"
    plan(under_edge="trim", trim_depth=f"{facts['most'] / INCH - 0.001:.4f} in", layers="2")
    plan(under_edge="trim", trim_depth="11 in", layers="1")  # of no account


def test_whole_tiers_may_be_bought_gathered():
    """By hand: each layer takes its line and what its ends take past it, and so often; nothing is cut, drawn up or hemmed for it."""
    plain, mixed = plan(strip_edge="hemmed"), plan(bought_tiers="4; 1", strip_edge="hemmed", bought_price="3")
    assert [tier.number for tier in mixed.cut] == [2, 3] and [tier.number for tier in mixed.bought] == [1, 4]
    assert [tier.number for tier in mixed.tiers] == [1, 2, 3, 4]
    for tier in mixed.bought:
        trims = [trim for trim in mixed.trims if tier.number in trim.tiers]
        assert len(trims) == 1 and trims[0].deep == pytest.approx(tier.drop, abs=INCH / 16)
    strips = sum(3 * 2 * (tier.line + sum(tier.past_line)) for tier in mixed.bought)
    assert sum(trim.length.result for trim in mixed.trims) == pytest.approx(1.05 * strips)  # 5 % spare, as the dialog has it
    assert sum(float(trim.cost) for trim in mixed.trims) == pytest.approx(sum(3 * trim.buy / YARD for trim in mixed.trims), abs=0.02)
    kept = {tier.number: tier for tier in plain.cut}
    gone = [kept[1], kept[4]]
    assert plain.taken_length - mixed.taken_length == pytest.approx(sum(tier.made.taken * 3 * 2 for tier in gone))
    assert mixed.amounts["edge"] == pytest.approx(plain.amounts["edge"] - edges_in_all(gone, 2) / YARD)
    assert mixed.amounts["setting"] == pytest.approx(plain.amounts["setting"])  # it is sewn on all the same
    bought, all_cloth = (next(each for each in planned.purchases if each.cloth.name == "net") for planned in (mixed, plain))
    assert bought.buy < all_cloth.buy


def test_where_nothing_is_cut_no_net_is_bought():
    planned = plan(bought_tiers="all", layers="1")
    assert planned.cut == [] and [each.cloth.name for each in planned.purchases] == ["base", "lining"]
    assert "shaping" not in planned.minutes and planned.minutes["setting"] > 0
    assert len(plan(bought_tiers="all", other_lines="bodice front 13 in").cut) == 1  # another line is cut all the same


@pytest.mark.parametrize(
    ("typed", "rule"),
    [({"bought_tiers": "7"}, "no tier to buy"), ({"bought_tiers": "all", "base_cloth": "net"}, "no cloth of the tiers")],
)
def test_what_can_not_be_bought(typed, rule):
    with pytest.raises(Refused) as refusal:
        plan(**typed)
    assert refusal.value.problems[0].rule == rule


def test_what_trim_costs():
    """By decimals: so many eighths of a yard at 2.40 a yard, to the cent; not known, nothing."""
    (bought,) = plan(strip_edge="braid", trim_price="2.40").trims
    eighths = math.ceil(bought.length.result / YARD * 8 - 1e-9)
    assert bought.buy == pytest.approx(eighths * YARD / 8)
    assert bought.cost == (Decimal("2.40") * eighths / 8).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert [trim.cost for trim in plan(strip_edge="braid").trims] == [None]
    assert plan(strip_edge="hemmed", trim_price="2.40").trims == ()
