"""A sum written out as on paper, one line each: ``Cap height: bust girth 36 1/2 ÷ 12 + 1 = 4 1/24, say 4 in (exact 4.0417)``."""
from __future__ import annotations

from fractions import Fraction

from geometry.cloth.tape import TAPES
from geometry.measuring.lengths import up_to_mark, write_length
from geometry.measuring.sums import Sum, Term

HEADING = "The working"
_ABOUT = (
    "Every sum as it is done on paper, in the order of work. Lengths in {unit}; “say” is the nearest mark of the tape, for what is cut the"
    " next one up. Where a number takes more than four decimals the sum goes on with all of them."
)



def about(unit: str) -> str:
    """Return what the lines mean."""
    return _ABOUT.format(unit={"in": "inches", "cm": "centimetres"}[unit])


#: A unit of hers in millimetres, exact.
_PER = {"in": Fraction(127, 5), "cm": Fraction(10)}

#: What comes out is written as a fraction where no finer part of an inch is needed, and what it is on the tape beside it; all
#: else where it is on a tape, else with four decimals.
_FINEST, _ON_A_TAPE = 96, 16

#: What binary arithmetic may have done to a number.
_HAIR = Fraction(1, 10**9)


def written(total: Sum, unit: str) -> str:
    """Return the line of a sum in her unit."""
    text, value, chain = _term(total.first, unit), _number(total.first, unit), ""
    for sign, term in total.steps:
        if sign in "×÷" and any(before in "+−" for before in chain):
            text, chain = f"({text})", ""
        text = f"{text} {sign} {_term(term, unit)}"
        value, chain = _taken(sign, value, _number(term, unit)), chain + sign
    text = f"{text} =" if total.steps else total.first.name
    return f"{total.of[0].upper()}{total.of[1:]}: {text} {_came_to(total, value, unit)}"


def _taken(sign: str, one: Fraction, other: Fraction) -> Fraction:
    return {"+": one + other, "−": one - other, "×": one * other}[sign] if sign != "÷" else one / other


def _came_to(total: Sum, value: Fraction, unit: str) -> str:
    if total.say == "not":
        return _decimals(value, 2)
    exact = _as_written(value, unit)
    if total.say == "shop":
        return f"{_as_written(value, unit, on_a_tape=True)}, in a shop {write_length(TAPES[unit].to_sell(total.result), unit)}"
    tape = write_length(up_to_mark(total.result, unit) if total.say == "up" else total.result, unit)
    if exact == tape.removesuffix(f" {unit}"):
        return tape
    return f"{exact}, say {tape} (exact {_decimals(value, 4)})" if "/" in exact else f"{exact}, say {tape}"


def _term(term: Term, unit: str) -> str:
    number = _as_written(_number(term, unit), unit if not term.is_plain else "", on_a_tape=True)
    return f"{term.name} {number}".strip()


def _number(term: Term, unit: str) -> Fraction:
    """Return a term without what binary arithmetic has done to it, where it is a fraction such as she writes."""
    value = Fraction(term.value) if term.is_plain else Fraction(term.value) / _PER[unit]
    near = value.limit_denominator(_FINEST if unit == "in" and not term.is_plain else 10_000)
    return near if abs(near - value) <= _HAIR * max(1, abs(value)) else value


def _as_written(value: Fraction, unit: str, on_a_tape: bool = False) -> str:
    """Return a number as written: mixed fractions in inches, where they need be so only such as are ``on_a_tape``, decimals else."""
    if unit != "in" or value.denominator > _FINEST or (on_a_tape and _ON_A_TAPE % value.denominator):
        return _decimals(value, 4)
    sign, (whole, rest) = "−" if value < 0 else "", divmod(abs(value.numerator), value.denominator)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}/{value.denominator}" if whole else f"{sign}{rest}/{value.denominator}"


def _decimals(value: Fraction, places: int) -> str:
    text = f"{float(value):.{places}f}"
    text = text.rstrip("0").rstrip(".") if places > 2 else text
    return text.replace("-", "−")
