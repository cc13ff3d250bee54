"""The whole cutting plan of a sleeve: its strips, each cloth's lay, and what to buy."""
from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

import numpy as np

from geometry.cloth.lay import APART, OutlineLay, Strip, StripLay, lay_outlines, lay_strips
from geometry.cloth.making import Pattern, TierStyle
from geometry.cloth.strips import Tier, measure_lines, plan_strips, spacings
from geometry.cloth.tape import Tape
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.pieces.strip_ends import ends_on
from geometry.refusal import Problem, Refused
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import Outline

#: Each cloth as a sentence names it.
_NAMED = {"net": Problem("net", {}), "contrast": Problem("contrast", {}), "base": Problem("base", {}), "lining": Problem("lining", {})}


class Cloth(NamedTuple):
    """A cloth as bought: usable width, the share by which it shrinks in the wash before it is cut, the spare
    share to buy, and the price for a yard or metre (None where unknown).

    ``use`` is "across", "along" or "cheaper" for strips; "one_way" or "either_way" up for sleeves.
    """

    name: str
    width: float
    shrinkage: float
    spare: float
    price: float | None
    use: str


class Purchase(NamedTuple):
    """What one cloth is cut into and how much to buy.

    ``lay`` is the plan; where it is one of strips, ``each_way`` holds the best plan for either direction.
    ``bound`` is the length that no plan goes below: area of the pieces over the usable width.  ``buy`` is the
    length to buy, ``cost`` its price.
    """

    cloth: Cloth
    lay: StripLay | OutlineLay
    each_way: tuple[StripLay, ...]
    bound: float
    buy: float
    cost: float | None

    @property
    def ratio(self) -> float:
        """The plan's length for each unit of the bound."""
        return self.lay.length / self.bound

    @property
    def waste(self) -> float:
        """The share of the plan's cloth that ends in no piece."""
        return 1 - 1 / self.ratio


class Cloths(NamedTuple):
    """Every cloth, in the order in which they are reported; base and lining are not planned where their width is 0."""

    net: Cloth
    contrast: Cloth
    base: Cloth
    lining: Cloth


class Job(NamedTuple):
    """What is to be made: so many ``sleeves`` with tiers in a ``style`` from these ``cloths``, cut by a ``tape``.

    ``fewest_joins`` puts the fewest joins before the least cloth.
    """

    style: TierStyle
    cloths: Cloths
    sleeves: int
    fewest_joins: bool
    tape: Tape


class CuttingPlan(NamedTuple):
    """All that is cut for a ``job``: tiers on their lines, and the purchases by cloth.

    ``piece`` is the cutting line of one sleeve.
    """

    job: Job
    lines: list[TierLine]
    tiers: list[Tier]
    piece: Curve
    purchases: tuple[Purchase, ...]

    def joins(self, tier: Tier) -> int:
        """Return how many joins every strip of the tier is cut long enough for, or its pattern pieces have."""
        allowed = (joins for lay in self.strip_lays for strip, joins in zip(lay.strips, lay.allowed) if strip.tier == tier.number)
        return tier.blank.pieces - 1 + max(allowed, default=0)

    def all_joins(self, tier: Tier) -> int:
        """Return how many joins all layers of the tier have together."""
        in_lays = sum(joins for lay in self.strip_lays for strip, joins in zip(lay.strips, lay.joins) if strip.tier == tier.number)
        return (tier.blank.pieces - 1) * tier.layers * self.job.sleeves + in_lays

    @property
    def strip_lays(self) -> list[StripLay]:
        return [purchase.lay for purchase in self.purchases if isinstance(purchase.lay, StripLay)]

    @property
    def patterns(self) -> dict[int, Pattern]:
        """The pattern pieces by the number of their tier; none where strips are cut."""
        found = ((tier.number, tier.made.pattern) for tier in self.tiers)
        return {number: pattern for number, pattern in found if pattern is not None}

    @property
    def taken_length(self) -> float:
        """The flat length that is gathered (or pleated, or clipped), all strips together."""
        return sum(tier.made.taken * tier.layers for tier in self.tiers) * self.job.sleeves

    @property
    def line_length(self) -> float:
        """The length of all lines to which strips are sewn, every layer counted."""
        return sum(tier.line * tier.layers for tier in self.tiers) * self.job.sleeves


def plan_cutting(outline: Outline, tiers: Tiers, piece: Curve, job: Job, end: float = math.inf) -> CuttingPlan:
    """Return the plan for the sleeve as drawn now, its ``tiers`` re-measured on its ``outline``.

    ``piece`` is the cutting line of one sleeve, ``end`` the height at which tiers end where that is above the hem.
    Raises :class:`Refused` where a tier can't be made or a
    cloth is too narrow.
    """
    lines, cloths = measure_lines(tiers), job.cloths
    used = [cloths.net, cloths.contrast] if any(job.style.contrast_layers) else [cloths.net]
    widest = min(usable_width(cloth, job.tape) for cloth in used)
    planned = plan_strips(lines, spacings(outline, lines, end), job.style, widest, partial(ends_on, outline))
    purchases = []
    for cloth, contrast in ((cloths.net, False), (cloths.contrast, True)):
        strips = _strips(planned, job.sleeves, contrast)
        if strips:
            purchases.append(_buy_strips(cloth, strips, planned, job))
    purchases += [_buy_sleeves(cloth, piece, job) for cloth in (cloths.base, cloths.lining) if cloth.width]
    return CuttingPlan(job, lines, planned, piece, tuple(purchases))


def usable_width(cloth: Cloth, tape: Tape) -> float:
    """Return the width that is left after shrinking, on a mark of the tape."""
    return tape.down(cloth.width * (1 - cloth.shrinkage))


def _strips(tiers: Sequence[Tier], sleeves: int, contrast: bool) -> list[Strip]:
    """Return what is cut for every tier, each piece as the rectangle it takes; contrast layers lie outermost."""
    strips = []
    for tier in tiers:
        plain, blank = tier.layers - tier.contrast_layers, tier.blank
        for layer in range(plain + 1, tier.layers + 1) if contrast else range(1, plain + 1):
            for sleeve in range(1, sleeves + 1):
                strips += [Strip(tier.number, sleeve, layer, blank.width, blank.length)] * blank.pieces
    return strips


def _buy_strips(cloth: Cloth, strips: list[Strip], tiers: Sequence[Tier], job: Job) -> Purchase:
    width = usable_width(cloth, job.tape)
    for strip in strips:
        if strip.width > width:
            raise Refused("cloth too narrow for a strip", cloth=_NAMED[cloth.name], width=width, tier=strip.tier, strip=strip.width)
    blanks = {tier.number: tier.blank for tier in tiers}
    joinable = all(blank.joinable for blank in blanks.values())
    plans = lay_strips(strips, width, job.style.join_allowance, job.tape, joinable)

    def worth(plan: StripLay) -> tuple[float, float, float]:
        bought = to_buy(plan.length, cloth, job.tape)
        return (plan.all_joins, bought, plan.length) if job.fewest_joins else (bought, plan.all_joins, plan.length)

    by_direction = ([plan for plan in plans if plan.direction == way] for way in ("across", "along"))
    each_way = tuple(min(ways, key=worth) for ways in by_direction if ways)
    lay = min((plan for plan in each_way if cloth.use == plan.direction), key=worth, default=min(each_way, key=worth))
    return _purchase(cloth, lay, each_way, sum(blanks[strip.tier].area for strip in strips), job.tape)


def _buy_sleeves(cloth: Cloth, piece: Curve, job: Job) -> Purchase:
    width = usable_width(cloth, job.tape)
    polygon = piece.flatten(APART / 10)[:-1]
    try:
        lay = lay_outlines(polygon, job.sleeves, width, cloth.use == "either_way")
    except ValueError as error:
        wide = float(np.ptp(polygon[:, 0]))
        raise Refused("cloth too narrow for a sleeve", cloth=_NAMED[cloth.name], width=width, sleeve=wide) from error
    return _purchase(cloth, lay, (), job.sleeves * abs(piece.signed_area()), job.tape)


def _purchase(cloth: Cloth, lay: StripLay | OutlineLay, each_way: tuple[StripLay, ...], area: float, tape: Tape) -> Purchase:
    """Return what to buy for a lay whose pieces cover this ``area``."""
    buy = to_buy(lay.length, cloth, tape)
    cost = None if cloth.price is None else cloth.price * buy / tape.priced_by
    return Purchase(cloth, lay, each_way, area / lay.width, buy, cost)


def to_buy(length: float, cloth: Cloth, tape: Tape) -> float:
    """Return the length to buy for a plan of ``length``: unshrunk, with spare, up to what shops sell."""
    return tape.to_sell(length / (1 - cloth.shrinkage) * (1 + cloth.spare))
