"""What the job costs and what to ask for it, to the cent: every row is rounded, and sums are sums of rounded rows."""
from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from geometry.measuring.money import to_cents, up_to
from geometry.measuring.sums import Sum, Term, plain

_HUNDRED = Decimal(100)


class Rates(NamedTuple):
    """What she asks: an ``hourly`` rate (0 where there is none), her costs beside the cloth, shares in percent.

    The price is rounded up to a multiple of ``rounding``.
    """

    hourly: Decimal
    thread: Decimal
    trims: Decimal
    elastic: Decimal
    toile: Decimal
    overhead: Decimal
    margin: Decimal
    deposit: Decimal
    rounding: Decimal


class Quote(NamedTuple):
    """What the job costs her and what she asks for it.

    ``materials`` are rows of a name and a sum, ``left_out`` what is bought and has no price yet.  ``price`` is what the client pays: materials, work,
    overhead and margin, rounded up by ``rounded``; of it ``deposit`` at once and ``balance`` later.
    """

    materials: tuple[tuple[str, Decimal], ...]
    hours: Decimal
    work: Decimal
    overhead: Decimal
    margin: Decimal
    rounded: Decimal
    price: Decimal
    deposit: Decimal
    balance: Decimal
    left_out: tuple[str, ...] = ()

    @property
    def materials_in_all(self) -> Decimal:
        """What all materials cost."""
        return sum((cost for _, cost in self.materials), Decimal("0.00"))

    @property
    def making(self) -> Decimal:
        """What the client pays beside the materials: no more is told of it."""
        return self.price - self.materials_in_all


def quote(cloths: Sequence[tuple[str, Decimal | None]], minutes: float, rates: Rates, elastic: bool = False) -> Quote:
    """Return the quote for ``cloths`` (a name and what it costs, None where that is not known) and so many minutes of work.

    ``elastic`` says that the job takes some.  Overhead is a share of materials and work, margin one of all that.

    >>> rates = Rates(*map(Decimal, ("20", "3", "0", "4.5", "0", "10", "20", "50", "1")))
    >>> asked = quote([("net", Decimal("21.38"))], 360.0, rates)
    >>> asked.materials_in_all, asked.work, asked.overhead, asked.margin, asked.price, asked.deposit
    (Decimal('28.88'), Decimal('120.00'), Decimal('14.89'), Decimal('32.75'), Decimal('197.00'), Decimal('98.50'))
    """
    others = (("thread", rates.thread), ("trims", rates.trims), ("elastic", rates.elastic), ("toile", rates.toile))
    materials = tuple((name, to_cents(cost)) for name, cost in (*cloths, *others) if cost)
    left_out = (*(name for name, cost in cloths if cost is None), *(["elastic"] if elastic and not rates.elastic else []))
    whole = Decimal(round(minutes))
    hours, work = whole / 60, to_cents(whole * rates.hourly / 60)  # a third of an hour is no decimal: divided last
    costs = sum((cost for _, cost in materials), work)
    overhead = to_cents(costs * rates.overhead / _HUNDRED)
    margin = to_cents((costs + overhead) * rates.margin / _HUNDRED)
    exact = costs + overhead + margin
    price = up_to(exact, rates.rounding)
    deposit = to_cents(price * rates.deposit / _HUNDRED)
    return Quote(materials, hours, work, overhead, margin, price - exact, price, deposit, price - deposit, left_out)


def quote_sums(asked: Quote, rates: Rates) -> list[Sum]:
    """Return the quote as it is reckoned on paper, a line each, to the cent."""
    materials, work, overhead, margin = (float(part) for part in (asked.materials_in_all, asked.work, asked.overhead, asked.margin))
    costs = plain(materials, "materials"), ("+", plain(work, "work"))

    def share(of: str, first: Term, added: tuple[tuple[str, Term], ...], percent: Decimal) -> Sum:
        return Sum(of, first, (*added, ("×", plain(float(percent), "percent")), ("÷", plain(100))), say="not")

    return [
        Sum("work", plain(float(asked.hours), "hours"), (("×", plain(float(rates.hourly), "for an hour")),), say="not"),
        share("overhead", costs[0], (costs[1],), rates.overhead),
        share("margin", costs[0], (costs[1], ("+", plain(overhead, "overhead"))), rates.margin),
        Sum("price", costs[0], (
            costs[1], ("+", plain(overhead, "overhead")), ("+", plain(margin, "margin")), ("+", plain(float(asked.rounded), "rounded up by")),
        ), say="not"),
        share("deposit", plain(float(asked.price), "price"), (), rates.deposit),
    ]  # fmt: skip
