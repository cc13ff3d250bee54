"""How many joins the drawn plan has for the example and eight invented clients, against what each strip by itself enforces."""
import math

import pytest

from geometry.cloth.cutting import Job, plan_cutting
from geometry.cloth.offers import BEST, FEWEST_JOINS, LEAST_CLOTH, Worth
from geometry.cloth.tape import TAPES
from geometry.cloth.tier_choices import read_cloths, read_tier_style
from geometry.editing.retrimming import Tiers
from geometry.sleeve.draft import draft_sleeve
from tests.clients import CLIENTS
from tests.geometry.cloth.test_cutting import TYPED

INCH = 25.4


def planned(client, **typed):
    """Her plan with the dialog's defaults, in inches, a join worth 6 in of net."""
    draft = draft_sleeve(client.given(), tiers=6, unit="in", style=client.style())
    typed = {**TYPED, **typed}
    allowance = draft.decided.settled.seam_allowance
    job = Job(read_tier_style(typed, len(draft.tiers), allowance, "in"), read_cloths(typed, "in"), 2, BEST, TAPES["in"], Worth(6 * INCH))
    return plan_cutting(draft.seam, Tiers(list(draft.tiers), ()), draft.cutting, job)


@pytest.mark.parametrize("width", ["45 in", "54 in", "108 in"])
@pytest.mark.parametrize("client", CLIENTS, ids=[client.name for client in CLIENTS])
def test_no_strip_is_joined_that_the_net_holds(client, width):
    plan = planned(client, net_width=width)
    offers = {name: each for each in plan.offers for name in each.names}
    assert plan.chosen is offers[BEST]
    wide, join = plan.purchases[0].lay.width, plan.job.style.join_allowance
    for lay in plan.strip_lays:
        if lay.direction == "along":
            assert not lay.all_joins
            continue
        runs_across = {piece.strip: piece.across for piece in lay.pieces}
        for index, (strip, joins) in enumerate(zip(lay.strips, lay.joins)):
            if not runs_across[index]:
                assert not joins
                continue
            # k joined pieces hold k widths less what k - 1 joins take up; one more where a single join would stand in the middle.
            fewest = max(0, math.ceil((strip.length - wide) / (wide - join) - 1e-9))
            assert fewest <= joins <= fewest + (1 if fewest else 0)
    assert all(plan.chosen.cost <= each.cost + 1e-6 for name, each in offers.items() if name in (LEAST_CLOTH, FEWEST_JOINS))
    assert offers[FEWEST_JOINS].joins <= plan.chosen.joins <= offers[LEAST_CLOTH].joins
    assert offers[LEAST_CLOTH].purchases[0].buy <= plan.purchases[0].buy


def test_joins_of_all_clients_together():
    """Counted on 54 in net: what a plan that looks at cloth alone has of joins, and what the drawn one has."""
    drawn, least_cloth = 0, 0
    for client in CLIENTS:
        plan = planned(client, net_width="54 in")
        drawn += plan.chosen.joins
        least_cloth += next(each.joins for each in plan.offers if LEAST_CLOTH in each.names)
    assert drawn < least_cloth / 2, (drawn, least_cloth)
