"""How the free edge of a tier is finished: what is added for it, what is sewn along it, and how much of that is bought.

Allowances are common practice, no source.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from geometry.cloth.buying import cost_of, price_of
from geometry.cloth.making import TRIM, TierStyle
from geometry.cloth.strips import Tier
from geometry.cloth.tape import Tape
from geometry.measuring.sums import Sum, Term, plain

#: The edges by the names under which she chooses one.
CUT, HEMMED, ROLLED, RIBBON, BRAID, WIRE = "cut", "hemmed", "rolled", "ribbon", "braid", "wire"

#: The end of a wire is bent back so far and covered, so that it can't prick, and that of a trim turned under, millimetres.
_TURNED_IN = 12.7


class Edge(NamedTuple):
    """One finish: the allowance that it takes (``hem``, as text, inches and centimetres; empty: the edge stays raw), the
    operation of :data:`geometry.cloth.work.OPERATIONS` by which it is sewn (empty: none), whether a trim is bought for it,
    and how much longer than the edge that is ``at_each_end``, millimetres.
    """

    hem: str = ""
    operation: str = ""
    trimmed: bool = False
    at_each_end: float = 0.0


EDGES: Mapping[str, Edge] = {
    CUT: Edge(),
    HEMMED: Edge("1/2 in or 1.2 cm", "edge"),  # turned twice
    ROLLED: Edge("1/4 in or 0.6 cm", "rolled"),
    RIBBON: Edge("", "ribbon", trimmed=True),  # folded around the raw edge
    BRAID: Edge("1/4 in or 0.6 cm", "braid", trimmed=True),  # sewn on the right side and turned up
    WIRE: Edge("1/4 in or 0.6 cm", "wire", trimmed=True, at_each_end=_TURNED_IN),  # in a rolled hem
    TRIM: Edge("1/4 in or 0.6 cm", "trim", trimmed=True, at_each_end=_TURNED_IN),  # its heading is lapped over the allowance
}


def edge_length(tier: Tier) -> float:
    """Return the length of the free edge of one layer of a tier, as cut: a strip's with what its ends take past the line."""
    return tier.made.edge + (sum(tier.past_line) if tier.made.pattern is None else 0.0)


def edges_in_all(tiers: Sequence[Tier], sleeves: int) -> float:
    """Return the length of all free edges together."""
    return sum(edge_length(tier) * tier.layers * tier.copies(sleeves) for tier in tiers)


def edges_used(style: TierStyle, tiers: Sequence[Tier]) -> list[tuple[str, list[Tier]]]:
    """Return the finishes that there are among the ``tiers``, that of the outermost layers first, each with those that have it."""
    names = dict.fromkeys([style.edge, *(tier.edge for tier in tiers)])
    found = [(name, [tier for tier in tiers if tier.edge == name]) for name in names]
    return [(name, those) for name, those in found if those]


def trim_length(edge: Edge, tiers: Sequence[Tier], sleeves: int) -> Sum:
    """Return how much trim all edges take when they are finished so: 0 where nothing is bought for them."""
    if not edge.trimmed:
        return Sum("trim of the edges", plain(0.0), (), say="shop")
    ends = 2 * edge.at_each_end * sum(tier.layers * tier.copies(sleeves) for tier in tiers)
    steps = (("+", Term(ends, "turned in at the ends")),) if ends else ()
    return Sum("trim of the edges", Term(edges_in_all(tiers, sleeves), "all free edges"), steps, say="shop")


class TrimBought(NamedTuple):
    """The trim that is bought for the edges of one finish, called ``edge``: its ``length``, how much a shop sells for that, its
    ``price`` for a yard or metre and what it costs (None where that is not known).
    """

    edge: str
    length: Sum
    buy: float
    price: Decimal | None
    cost: Decimal | None

    def sums(self, tape: Tape) -> list[Sum]:
        """Return how its length and its cost are reckoned on paper."""
        return [self.length, *([] if self.price is None else [price_of(self.length.of, self.price, self.buy, tape)])]


def trim_bought(style: TierStyle, tiers: Sequence[Tier], sleeves: int, price: Decimal | None, tape: Tape) -> TrimBought | None:
    """Return the trim that is bought, or None where none is; it is the outermost layers' at least."""
    length = trim_length(EDGES[style.edge], [tier for tier in tiers if tier.edge == style.edge], sleeves)
    if not length.result:
        return None
    buy = tape.to_sell(length.result)
    return TrimBought(style.edge, length, buy, price, cost_of(price, buy, tape))
