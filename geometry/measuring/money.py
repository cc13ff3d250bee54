"""Money as a dressmaker writes it, read to exact decimals: ``4.50``, ``$4.50``, ``4,50 €``, ``1,200.00``."""
from __future__ import annotations

import re
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import NamedTuple

from geometry.measuring.lengths import HalfTyped
from geometry.refusal import Refused

#: A sign or a name of a currency may stand before the number, after it, or not at all; a name may be shortened with a point,
#: as in kr. 12, which is not the point before cents, as in $.50.  A dash may stand for no cents: 12.–
_DASHES = "-", "\u2012", "\u2013", "\u2014", "\u2015"
_LETTER, _SIGNS = r"[^\W\d_]", r"[^\d.,+\u2212\-\u2012-\u2015]*"
_SUM = (
    rf"{_SIGNS}(?:(?<={_LETTER}|/)\.\s+)?(?P<number>\d[\d.,'\u2019 \u00a0\u202f]*|(?<!{_LETTER}|/)[.,]\d+)"
    rf"(?:(?<=[.,])[\-\u2012-\u2015]+)?\s*{_SIGNS}(?:(?<={_LETTER})\.)?"
)

CENT = Decimal("0.01")


class Sum(NamedTuple):
    """A sum of money that she types, in whatever currency."""

    name: str
    label: str
    default: str
    how: str


def read_money(text: str) -> Decimal:
    """Return the sum that was typed.

    A point or comma before one or two last digits parts off the cents; before three it would be either, so it
    is refused, unless another kind of mark or the same one again shows which it is.  Raises
    :class:`~geometry.measuring.lengths.HalfTyped` where it ends in a mark, else :class:`Refused`.

    >>> read_money("$4.50"), read_money("4,50 €"), read_money("1.200,00"), read_money("kr. 12"), read_money("12.-")
    (Decimal('4.50'), Decimal('4.50'), Decimal('1200.00'), Decimal('12'), Decimal('12.00'))
    """
    tidy = " ".join(text.split())
    if not tidy:
        raise Refused("nothing written")
    found = re.fullmatch(_SUM, tidy)
    if found is None or any(sign.isnumeric() and not sign.isdecimal() for sign in tidy):  # 4½ is no 4
        raise Refused("not a sum of money", typed=text)
    number = re.sub(r"['\u2019 \u00a0\u202f]", "", found["number"])
    if number[-1] in ".," and tidy[found.end("number") :].startswith(_DASHES):
        number += "00"
    if number[-1] in ".,":
        raise HalfTyped(text)
    marks = [character for character in number if character in ".,"]
    if len(set(marks)) == 2 or len(marks) == 1:
        whole, mark, cents = number.rpartition(marks[-1])
        if len(marks) == 1 and len(cents) == 3 and whole not in ("", "0"):
            raise Refused("a thousand or a decimal", typed=text, thousand=whole + cents, decimal=f"{whole}{mark}{cents[:2]}")
        if number.count(mark) == 1:
            return Decimal(f"{re.sub('[.,]', '', whole) or '0'}.{cents}")
    if any(len(group) != 3 for group in re.split("[.,]", number)[1:]):
        raise Refused("not a sum of money", typed=text)
    return Decimal(re.sub("[.,]", "", number))


def to_cents(amount: Decimal) -> Decimal:
    """Return the sum to the cent, half a cent up.

    >>> to_cents(Decimal("2.345"))
    Decimal('2.35')
    """
    return amount.quantize(CENT, ROUND_HALF_UP)


def up_to(amount: Decimal, step: Decimal) -> Decimal:
    """Return the sum rounded up to a multiple of ``step``.

    >>> up_to(Decimal("212.10"), Decimal("5"))
    Decimal('215.00')
    """
    return to_cents((amount / step).to_integral_value(ROUND_CEILING) * step)
