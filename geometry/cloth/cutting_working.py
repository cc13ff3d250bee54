"""The sums by which strips and cloth were planned, tier by tier and cloth by cloth."""
from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from operator import itemgetter

from geometry.cloth.buying import length_needed, price_of
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.gathers import Gathers, drawn_up
from geometry.cloth.strips import Tier, overlap_by_spacing, overlap_of, strip_length, strip_width, tier_drop
from geometry.measuring.sums import Sum


def cutting_sums(plan: CuttingPlan) -> list[Sum]:
    """Return every sum of a plan, in the order of work."""
    style, sums = plan.job.style, []
    for i, tier in enumerate(plan.tiers):
        last = i == len(plan.tiers) - 1
        if style.drops is None:
            overlap, by_spacing = overlap_of(style, tier.spacing, last), overlap_by_spacing(tier.spacing)
            if not last and style.overlap is None and overlap == by_spacing.result:
                sums.append(by_spacing._replace(of=f"overlap of tier {tier.number}"))
            sums.append(tier_drop(tier.number, tier.spacing, overlap, last))
    for _, cut in groupby(plan.cut, key=lambda tier: tier.called):
        sums += sums_by_layers([(tier, layers_sums(plan, tier)) for tier in cut])
    for trim in plan.trims:
        sums += trim.sums(plan.job.tape)
    for purchase in plan.purchases:
        if purchase.bought_with:
            continue
        sums.append(length_needed(purchase.lay.length, purchase.cloth))
        if purchase.cloth.price is not None:
            sums.append(price_of(purchase.cloth.called, purchase.cloth.price, purchase.buy, plan.job.tape))
    return sums


def sums_by_layers(found: Sequence[tuple[Tier, list[Sum]]]) -> list[Sum]:
    """Return the sums of what hangs from a line, ``found`` for each of its layers that are cut alike: one that is the same in
    all of them once, each other with the layer that it is of.
    """
    layers: dict[Sum, list[int]] = {}
    total = sum(tier.layers for tier, _ in found)
    kinds = sorted(((k, each, tier) for tier, sums in found for k, each in enumerate(sums)), key=itemgetter(0))
    for _, each, tier in kinds:
        layers.setdefault(each, []).extend(range(tier.first_layer, tier.first_layer + tier.layers))
    return [
        each if len(those) == total else each._replace(of=f"{each.of}, layer{'s' if len(those) > 1 else ''} {' and '.join(map(str, those))}")
        for each, those in layers.items()
    ]


def layers_sums(plan: CuttingPlan, tier: Tier) -> list[Sum]:
    """Return the sums of what hangs from a line, or of those of its layers that are cut alike."""
    sums = [strip_width(tier.called, tier.drop, plan.job.style.gathering_allowance, tier.hem, tier.trim)]
    if isinstance(tier.made, Gathers):
        sums.append(drawn_up(tier.called, tier.line, tier.fullness, tier.gathered_in))
    if tier.made.pattern is None:
        sums += strip_lengths(plan, tier)
    return sums


def strip_lengths(plan: CuttingPlan, tier: Tier) -> list[Sum]:
    """Return how long the strips of a tier are cut, by cloth where there are two."""
    rows = plan.rows(tier)
    found = [strip_length(tier, row.allowed) for row in rows]
    return found if len(rows) < 2 else [each._replace(of=f"{each.of}, {row.cloth}") for each, row in zip(found, rows)]
