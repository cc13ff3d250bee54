"""Free edges by hand: how long they are, what is bought for them, what they add to the strip and to the time."""
import math

import pytest

from geometry.cloth.edges import EDGES, edge_length, edges_in_all, trim_length
from geometry.cloth.work import GUESSED
from geometry.refusal import Refused
from tests.geometry.cloth.test_cutting import INCH, YARD, plan

#: What each adds below, inches and centimetres: common practice, no source.
ADDED = {"cut": (0, 0), "hemmed": (0.5, 1.2), "rolled": (0.25, 0.6), "ribbon": (0, 0), "braid": (0.25, 0.6), "wire": (0.25, 0.6)}


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
    bought = {"ribbon": around, "braid": around, "wire": around + 32 * INCH / 2}.get(edge, 0.0)
    assert trim_length(EDGES[edge], planned.tiers, 2).result == pytest.approx(bought)
    operation = {"hemmed": "edge", "cut": None}.get(edge, edge)
    sewn = {name: planned.minutes.get(name, 0) for name in ("edge", "rolled", "ribbon", "braid", "wire")}
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
