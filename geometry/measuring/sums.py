"""A sum as it is done on paper: what a rule takes, what it does with it, and what comes out.

Whatever is drawn or cut takes its number from the sum itself, so that what is shown and what is drawn can't differ.
"""
from __future__ import annotations

from typing import Callable, NamedTuple

#: What a sum can do, each with its sign on paper.
OPERATIONS: dict[str, Callable[[float, float], float]] = {
    "+": lambda a, b: a + b,
    "−": lambda a, b: a - b,
    "×": lambda a, b: a * b,
    "÷": lambda a, b: a / b,
}


class Term(NamedTuple):
    """One number in a sum: a length in millimetres or, where it ``is_plain``, a number; ``name`` is empty for a constant."""

    value: float
    name: str = ""
    is_plain: bool = False


class Sum(NamedTuple):
    """From the ``first`` number one step after the other, as on a calculator; ``of`` names what it is.

    ``say`` tells how what comes out is rounded: to the "nearest" mark of the tape, "up" to what suffices, to what a
    "shop" sells, or, where it is money, "not".
    """

    of: str
    first: Term
    steps: tuple[tuple[str, Term], ...]
    say: str = "nearest"

    @property
    def result(self) -> float:
        """What comes out: millimetres, but where nothing of it is a length.

        >>> Sum("spacing", Term(500.0, "length"), (("÷", Term(4, is_plain=True)),)).result
        125.0
        """
        value = self.first.value
        for sign, term in self.steps:
            value = OPERATIONS[sign](value, term.value)
        return value

    @property
    def is_money(self) -> bool:
        """Whether it is what something costs."""
        return self.say == "not"


def plain(number: float, name: str = "") -> Term:
    """Return a number that is no length."""
    return Term(number, name, is_plain=True)
