"""The plans that there are to choose from: least cloth, fewest joins, least cost, one long ribbon, fullness that fits.

A plan costs its cloth and the time that cutting and joining take.  Where no rate for an hour or no price of the
cloth is known, every join counts as much as a length of cloth, which is hers to set.
"""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from geometry.cloth.buying import Purchase
from geometry.cloth.lay import RIBBON, RUN_ON, WHOLE, StripLay
from geometry.cloth.strips import Tier
from geometry.cloth.tape import Tape
from geometry.cloth.work import Timing

#: The plans by the names under which she chooses one, in the order in which they are told.
BEST, LEAST_CLOTH, FEWEST_JOINS, ONE_RIBBON, FITTED = "best", "least_cloth", "fewest_joins", "one_ribbon", "fitted"
OFFERS = (BEST, LEAST_CLOTH, FEWEST_JOINS, ONE_RIBBON, FITTED)


class Worth(NamedTuple):
    """What decides between plans: an ``hourly`` rate (None where there is none), how long things take her, and the
    length of cloth that a join is worth.
    """

    join_worth: float
    hourly: float | None = None
    timing: Timing = Timing()

    def minutes(self, pieces: int, joins: int) -> float:
        """Return how long it takes to cut and join so many pieces."""
        return self.timing.all_taken({"cutting": float(pieces), "joining": float(joins)})

    def cost(self, purchase: Purchase, tape: Tape) -> float:
        """Return what a purchase costs with its cutting and joining: money, or a length of its cloth where that is not known."""
        lay = purchase.lay
        if self.hourly is None or purchase.cost is None:
            return purchase.buy + lay.all_joins * self.join_worth
        return float(purchase.cost) + self.minutes(lay.piece_count, lay.all_joins) * self.hourly / 60


class Offer(NamedTuple):
    """A plan for all strips or pieces of the ``tiers``: ``names`` are those under which it can be chosen.

    ``cost`` is money where it is ``priced``, else a length of cloth, see :class:`Worth`.
    """

    names: tuple[str, ...]
    tiers: tuple[Tier, ...]
    purchases: tuple[Purchase, ...]
    joins: int
    minutes: float
    cost: float
    priced: bool


class Candidates(NamedTuple):
    """All plans for one cloth."""

    purchases: tuple[Purchase, ...]

    def best(self, name: str, worth: Worth, tape: Tape) -> Purchase | None:
        """Return the purchase that an offer takes, or None where there is none of that kind."""

        def cost(each: Purchase) -> tuple[float, ...]:
            return worth.cost(each, tape), each.lay.all_joins, each.lay.length

        def cloth(each: Purchase) -> tuple[float, ...]:
            return each.buy, each.lay.all_joins, each.lay.length

        def joins(each: Purchase) -> tuple[float, ...]:
            return each.lay.all_joins, *cost(each)

        ways = {BEST: (WHOLE,), FITTED: (WHOLE,), FEWEST_JOINS: (WHOLE, RUN_ON), LEAST_CLOTH: (WHOLE, RUN_ON, RIBBON), ONE_RIBBON: (RIBBON,)}[name]
        order = {LEAST_CLOTH: cloth, FEWEST_JOINS: joins}.get(name, cost)
        return min((each for each in self.purchases if _way(each) in ways), key=order, default=None)


def _way(each: Purchase) -> str:
    return each.lay.way if isinstance(each.lay, StripLay) else WHOLE


def offer(name: str, tiers: Sequence[Tier], cloths: Iterable[Candidates], worth: Worth, tape: Tape) -> Offer | None:
    """Return the offer of this name from the plans of every cloth, or None where a cloth has none of that kind."""
    found = [cloth.best(name, worth, tape) for cloth in cloths]
    chosen = tuple(each for each in found if each is not None)
    if len(chosen) < len(found):
        return None
    joins = sum(each.lay.all_joins for each in chosen)
    minutes = worth.minutes(sum(each.lay.piece_count for each in chosen), joins)
    priced = worth.hourly is not None and all(each.cost is not None for each in chosen)
    cost = sum(worth.cost(each, tape) for each in chosen) if priced else sum(each.buy + each.lay.all_joins * worth.join_worth for each in chosen)
    return Offer((name,), tuple(tiers), chosen, joins, minutes, cost, priced)


def together(offers: Iterable[Offer | None]) -> list[Offer]:
    """Return the offers that there are, those that are one and the same plan as one."""
    found: list[Offer] = []
    for each in offers:
        if each is None:
            continue
        same = next((i for i, known in enumerate(found) if known.purchases == each.purchases), None)
        if same is None:
            found.append(each)
        else:
            found[same] = found[same]._replace(names=found[same].names + each.names)
    return found
