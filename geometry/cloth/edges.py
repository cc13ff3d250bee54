"""How the free edge of a tier is finished: what is added for it, what is sewn along it, and how much of that is bought.

Allowances are common practice, no source.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from geometry.cloth.buying import cost_of, price_of, with_spare
from geometry.cloth.making import TRIM, TierStyle
from geometry.cloth.strips import Tier
from geometry.cloth.tape import Tape
from geometry.measuring.sums import Sum, Term, plain

#: The edges by the names under which she chooses one.
CUT, HEMMED, ROLLED, RIBBON, BRAID, WIRE = "cut", "hemmed", "rolled", "ribbon", "braid", "wire"

#: The end of a wire is bent back so far and covered, so that it can't prick, and that of a trim turned under, millimetres.
TURNED_IN = 12.7

#: Ribbon that is folded around an edge is so wide, as text.
RIBBON_WIDTH = "1/2 in or 1 cm"


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
    WIRE: Edge("1/4 in or 0.6 cm", "wire", trimmed=True, at_each_end=TURNED_IN),  # in a rolled hem
    TRIM: Edge("1/4 in or 0.6 cm", "trim", trimmed=True, at_each_end=TURNED_IN),  # its heading is lapped over the allowance
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


def trim_length(edge: Edge, tiers: Sequence[Tier], sleeves: int, spare: float) -> Sum:
    """Return how much trim all edges take when they are finished so, with the share ``spare``: 0 where nothing is bought for them."""
    if not edge.trimmed:
        return Sum(edge.operation, plain(0.0), (), say="shop")
    ends = 2 * edge.at_each_end * sum(tier.layers * tier.copies(sleeves) for tier in tiers)
    steps = (("+", Term(ends, "turned in at the ends")),) if ends else ()
    return Sum(f"{edge.operation} of the edges", Term(edges_in_all(tiers, sleeves), "all free edges"), (*steps, *with_spare(spare)), say="shop")


class TrimBought(NamedTuple):
    """The trim that is bought for the edges of one finish, called ``edge``: its ``length``, how much a shop sells for that, its
    ``price`` for a yard or metre and what it costs (None where that is not known).  It hangs so ``deep`` below its heading, where
    it hangs; whole ``tiers`` may be of it, whose numbers these are.
    """

    edge: str
    length: Sum
    buy: float
    price: Decimal | None
    cost: Decimal | None
    deep: float = 0.0
    tiers: tuple[int, ...] = ()

    def sums(self, tape: Tape) -> list[Sum]:
        """Return how its length and its cost are reckoned on paper."""
        return [self.length, *([] if self.price is None else [price_of(self.length.of, self.price, self.buy, tape)])]


class TrimTerms(NamedTuple):
    """What a yard or metre of trim costs, None where that is not known: of that of the outermost layers' free edges, and of that
    of the layers under them where it is another; and of that of which whole ``tiers`` are.  Of each a ``spare`` share is bought.
    """

    outermost: Decimal | None = None
    under: Decimal | None = None
    tiers: Decimal | None = None
    spare: float = 0.0


def trims_bought(style: TierStyle, tiers: Sequence[Tier], sleeves: int, terms: TrimTerms, tape: Tape) -> tuple[TrimBought, ...]:
    """Return the trims that are bought for free edges, one for each finish that takes any, that of the outermost layers first."""
    found = []
    for name, those in edges_used(style, tiers):
        length = trim_length(EDGES[name], those, sleeves, terms.spare)
        if length.result:
            buy, price = tape.to_sell(length.result), terms.outermost if name == style.edge else terms.under
            found.append(TrimBought(name, length, buy, price, cost_of(price, buy, tape), style.trim_depth if name == TRIM else 0.0))
    return tuple(found)


#: What trim is called of which whole tiers are.
TIERS = "tiers"


def trims_of_tiers(tiers: Sequence[Tier], sleeves: int, terms: TrimTerms, tape: Tape) -> tuple[TrimBought, ...]:
    """Return the trim of which whole ``tiers`` are, one for each depth in which it is bought, to a mark of the tape."""
    by_depth: dict[float, list[Tier]] = {}
    for tier in tiers:
        by_depth.setdefault(tape.mark * round(tier.drop / tape.mark), []).append(tier)
    found = []
    for deep, those in by_depth.items():
        numbers = tuple(dict.fromkeys(tier.number for tier in those))
        length = length_of_tiers(those, sleeves, terms.spare)
        buy, price = tape.to_sell(length.result), terms.tiers
        found.append(TrimBought(TIERS, length, buy, price, cost_of(price, buy, tape), deep, numbers))
    return tuple(found)


def trim_of(tier: Tier) -> float:
    """Return how much trim one layer of a bought tier takes: its line, and what both ends take past it."""
    return tier.line + sum(tier.past_line)


def length_of_tiers(tiers: Sequence[Tier], sleeves: int, spare: float) -> Sum:
    """Return how much trim ``tiers`` of it take: their lines, and what their ends take past those, in every layer of every sleeve, with
    the share ``spare``.
    """
    strips = [(tier, tier.layers * sleeves) for tier in tiers]
    ends = sum(number * sum(tier.past_line) for tier, number in strips)
    lines = sum(number * tier.line for tier, number in strips)
    called = f"trim of tier{'s' if len(tiers) > 1 else ''} {', '.join(str(tier.number) for tier in tiers)}"
    return Sum(called, Term(lines, "all lines"), (("+", Term(ends, "what the ends take past them")), *with_spare(spare)), say="shop")
