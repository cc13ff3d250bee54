"""Money as a dressmaker writes it, read to exact decimals: ``4.50``, ``$4.50``, ``4,50 €``, ``1,200.00``."""
from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import NamedTuple

from geometry.measuring.lengths import INCH, HalfTyped
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

#: For what a price may be, besides the job: an hour, or a length of so many millimetres; and how each is written.
HOUR, YARD, METRE = "hour", "yard", "metre"
_LENGTHS = {YARD: 36 * INCH, METRE: 1000.0, "foot": 12 * INCH, "inch": INCH, "centimetre": 10.0}
_WRITTEN = {
    HOUR: ("h", "hr", "hrs", "hour", "hours"), YARD: ("yd", "yds", "yard", "yards"), METRE: ("m", "metre", "meter", "metres", "meters"),
    "foot": ("ft", "foot", "feet"), "inch": ("inch", "inches"), "centimetre": ("cm", "centimetre", "centimeter"),
}  # fmt: skip
_PER = {spelling: per for per, spellings in _WRITTEN.items() for spelling in spellings}
_FOR_EACH = re.compile(r"(?:/|\b(?:per|an?|the|for)\b)\s*(?:(?:an?|one|the)\s+)?(?P<per>[^\W\d_]+)|\b(?P<bare>each|[^\W\d_]+)\b", re.IGNORECASE)

#: Which currencies of ISO 4217 a sign or a name may mean (from memory); any other means itself alone.
_MAY_MEAN = {
    "$": "usd cad aud nzd sgd hkd mxn", "us$": "usd", "c$": "cad", "a$": "aud", "nz$": "nzd", "dollar": "usd cad aud nzd sgd hkd",
    "€": "eur", "euro": "eur", "£": "gbp", "pound": "gbp", "fr": "chf", "sfr": "chf", "franken": "chf", "franc": "chf", "zł": "pln",
    "kr": "sek nok dkk isk", "kč": "czk", "¥": "jpy cny", "₹": "inr", "rs": "inr pkr lkr npr",
}  # fmt: skip


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


def read_price(text: str, per: str) -> Decimal:
    """Return the sum that was typed as a price ``per`` yard, metre or hour, or for the job (empty), which it may say or not.

    Raises as :func:`read_money`, and where it says that it is for anything else.

    >>> read_price("$6.40 a yard", "yard"), read_price("6.40 €/m", "metre"), read_price("30", "hour")
    (Decimal('6.40'), Decimal('6.40'), Decimal('30'))
    """
    amount, said = read_money(text), _said_per(text)
    if said in ("", per):
        return amount
    if said in _LENGTHS and per in _LENGTHS:
        same = to_cents(amount * Decimal(str(_LENGTHS[per])) / Decimal(str(_LENGTHS[said])))
        raise Refused("priced by another length", typed=text, said=said, per=per, same=str(same), amount=str(amount))
    raise Refused("priced by something else", typed=text, per=per or "job", amount=str(amount))


def _said_per(text: str) -> str:
    """Return for what a price says that it is, empty where it does not say."""
    for found in _FOR_EACH.finditer(text):
        word = (found["per"] or found["bare"]).lower()
        if found["per"] or word in _PER or word == "each":
            return _PER.get(word, word)
    return ""


def check_one_currency(sums: Iterable[tuple[str, str]]) -> None:
    """Raise :class:`Refused` where two of these (what it is called, text as typed) can't be in one currency."""
    common: set[str] = set()
    first = ("", "")
    for label, text in sums:
        meant = _currencies(text)
        if meant and common and not meant & common:
            raise Refused("two currencies", label=label, typed=text, other=first[0], other_typed=first[1])
        if meant and not common:
            first = (label, text)
        common = (meant & common) or meant or common


def _currencies(text: str) -> set[str]:
    """Return what the sign or name of a currency in a text may mean, nothing where there is none.

    >>> sorted(_currencies("4.50 € a yard")), _currencies("12"), _currencies("Fr. 3") == _currencies("CHF")
    (['eur'], set(), True)
    """
    signs = _FOR_EACH.sub(lambda found: "" if _said_per(found[0]) else found[0], text.lower())
    names = re.findall(r"[^\W\d_]*\$|[^\W\d_]+|[^\w\s.,/()'\u2019+\u2212\-\u2012-\u2015]", signs)
    known = [_MAY_MEAN[name] for name in (name.removesuffix("s") if name != "rs" else name for name in names) if name in _MAY_MEAN]
    return set(" ".join(known).split() or names)


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
