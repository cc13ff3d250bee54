"""The whole cutting plan of a sleeve: its strips, each cloth's lay, and what to buy."""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.cloth.flounce import Flounce
from geometry.cloth.lay import APART, OutlineLay, Strip, StripLay, lay_outlines, lay_strips, lower_bound
from geometry.cloth.strips import Tier, TierStyle, measure_lines, plan_strips, spacings
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.measuring.lengths import INCH, down_to_mark, up_to_mark, write_length
from geometry.refusal import Refused
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import Outline

#: What cloth is sold by, in millimetres: an eighth of a yard (of 36 in), ten centimetres.
SOLD_BY = {"in": 36 * INCH / 8, "cm": 100.0}

#: What a price is for, in millimetres: a yard, a metre.
PRICED_BY = {"in": 36 * INCH, "cm": 1000.0}

#: The cloths, in the order in which they are reported, and which of them strips are cut from.
CLOTHS = ("net", "contrast", "base", "lining")
FOR_STRIPS = CLOTHS[:2]


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


class CuttingPlan(NamedTuple):
    """All that is cut for ``sleeves`` sleeves: tiers on their lines, and the purchases by cloth.

    ``piece`` is the cutting line of one sleeve.
    """

    lines: list[TierLine]
    tiers: list[Tier]
    piece: Curve
    sleeves: int
    purchases: tuple[Purchase, ...]

    @property
    def has_flounces(self) -> bool:
        return isinstance(self.tiers[0].shaping, Flounce)

    def joins(self, tier: Tier) -> int:
        """Return how many joins every strip of the tier is cut long enough for."""
        if isinstance(tier.shaping, Flounce):
            return tier.shaping.sectors - 1
        return max(
            (allowed for lay in self.strip_lays for strip, allowed in zip(lay.strips, lay.allowed) if strip.tier == tier.number),
            default=0,
        )

    def all_joins(self, tier: Tier) -> int:
        """Return how many joins all strips of the tier have together."""
        if isinstance(tier.shaping, Flounce):
            return (tier.shaping.sectors - 1) * tier.layers * self.sleeves
        return sum(joins for lay in self.strip_lays for strip, joins in zip(lay.strips, lay.joins) if strip.tier == tier.number)

    @property
    def strip_lays(self) -> list[StripLay]:
        return [purchase.lay for purchase in self.purchases if isinstance(purchase.lay, StripLay)]

    @property
    def gathered_length(self) -> float:
        """The flat length that is gathered (or pleated, or clipped), all strips together."""
        return sum(tier.gathered * tier.layers for tier in self.tiers) * self.sleeves

    @property
    def line_length(self) -> float:
        """The length of all lines to which strips are sewn, every layer counted."""
        return sum(tier.line * tier.layers for tier in self.tiers) * self.sleeves


def plan_cutting(
    outline: Outline,
    tiers: Tiers,
    piece: Curve,
    style: TierStyle,
    cloths: Mapping[str, Cloth],
    sleeves: int,
    fewest_joins: bool,
    unit: str,
) -> CuttingPlan:
    """Return the plan for the sleeve as drawn now, its ``tiers`` re-measured on its ``outline``.

    Lengths are cut to the marks of a tape in ``unit``; ``piece`` is the cutting line of one sleeve.
    Raises :class:`Refused` with a sentence.
    """
    lines = measure_lines(tiers)
    used = ["net"] + ["contrast"] * any(style.contrast_layers)
    widest = min(_usable(cloths[name], unit) for name in used)
    planned = plan_strips(lines, spacings(outline, lines), style, widest, unit)
    purchases = []
    for name in CLOTHS:
        cloth = cloths[name]
        if name in FOR_STRIPS:
            strips = _strips(planned, sleeves, contrast=name == "contrast")
            if strips:
                purchases.append(_buy_strips(cloth, strips, planned, style, fewest_joins, unit))
        elif cloth.width:
            purchases.append(_buy_sleeves(cloth, piece, sleeves, unit))
    return CuttingPlan(lines, planned, piece, sleeves, tuple(purchases))


def _usable(cloth: Cloth, unit: str) -> float:
    """The width that is left after shrinking, on a mark of the tape."""
    return down_to_mark(cloth.width * (1 - cloth.shrinkage), unit)


def _strips(tiers: Sequence[Tier], sleeves: int, contrast: bool) -> list[Strip]:
    """Return every strip, or sector of a flounce as the rectangle around it; contrast layers lie outermost."""
    strips = []
    for tier in tiers:
        plain = tier.layers - tier.contrast_layers
        width, length, pieces = tier.cut_width, tier.cut_length(0), 1
        if isinstance(tier.shaping, Flounce):
            left, top, right, bottom = tier.shaping.cut_piece().bounds()
            width, length = sorted((right - left, bottom - top))
            pieces = tier.shaping.sectors
        for layer in range(plain + 1, tier.layers + 1) if contrast else range(1, plain + 1):
            for sleeve in range(1, sleeves + 1):
                strips += [Strip(tier.number, sleeve, layer, width, length)] * pieces
    return strips


def _buy_strips(cloth: Cloth, strips: list[Strip], tiers: Sequence[Tier], style: TierStyle, fewest_joins: bool, unit: str) -> Purchase:
    width = _usable(cloth, unit)
    for strip in strips:
        if strip.width > width:
            raise Refused(
                f"{cloth.name.capitalize()}: {write_length(width, unit)} of usable width was read, but the strip of tier {strip.tier} is"
                f" {write_length(up_to_mark(strip.width, unit), unit)} wide. Choose wider cloth, more tiers or a shorter drop."
            )
    plans = lay_strips(strips, width, style.join_allowance, unit, joinable=style.make != "flounce")

    def worth(plan: StripLay) -> tuple:
        bought = to_buy(plan.length, cloth, unit)
        return (plan.all_joins, bought, plan.length) if fewest_joins else (bought, plan.all_joins, plan.length)

    by_direction = ([plan for plan in plans if plan.direction == way] for way in ("across", "along"))
    each_way = [min(ways, key=worth) for ways in by_direction if ways]
    lay = min((plan for plan in each_way if cloth.use == plan.direction), key=worth, default=min(each_way, key=worth))
    if style.make == "flounce":
        area = {tier.number: tier.shaping.cut_area for tier in tiers}
        bound = sum(area[strip.tier] for strip in strips) / width
    else:
        bound = lower_bound(strips, width)
    return _purchase(cloth, lay, tuple(each_way), bound, unit)


def _buy_sleeves(cloth: Cloth, piece: Curve, sleeves: int, unit: str) -> Purchase:
    width = _usable(cloth, unit)
    polygon = piece.flatten(APART / 10)[:-1]
    try:
        lay = lay_outlines(polygon, sleeves, width, cloth.use == "either_way")
    except ValueError as error:
        wide = write_length(up_to_mark(float(np.ptp(polygon[:, 0])), unit), unit)
        raise Refused(
            f"{cloth.name.capitalize()}: {write_length(width, unit)} of usable width was read, but one sleeve with its allowances is"
            f" {wide} wide. Choose wider cloth."
        ) from error
    return _purchase(cloth, lay, (), sleeves * abs(piece.signed_area()) / width, unit)


def _purchase(cloth: Cloth, lay: StripLay | OutlineLay, each_way: tuple[StripLay, ...], bound: float, unit: str) -> Purchase:
    buy = to_buy(lay.length, cloth, unit)
    cost = None if cloth.price is None else cloth.price * buy / PRICED_BY[unit]
    return Purchase(cloth, lay, each_way, bound, buy, cost)


def to_buy(length: float, cloth: Cloth, unit: str) -> float:
    """Return the length to buy for a plan of ``length``: unshrunk, with spare, up to what shops sell."""
    wanted = length / (1 - cloth.shrinkage) * (1 + cloth.spare)
    return math.ceil(wanted / SOLD_BY[unit] - 1e-9) * SOLD_BY[unit]
