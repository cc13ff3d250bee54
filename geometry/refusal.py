"""The one way in which the tool says no to what it was given: a value, not a sentence.

A refusal names the rule that is broken and carries what a sentence about it would tell, lengths in
millimetres.  The sentence is made where her unit is known, by :mod:`extension.wording.refusals`.
"""
from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple, Union


class Problem(NamedTuple):
    """One thing that can't be: the ``rule`` that says so, and by name what there is to tell.

    A float is a length in millimetres, an int a number of things, a text a name or what was typed; a
    Problem is a part of the sentence that depends on the case.

    >>> Problem("too few tiers", {"asked": 0, "least": 1}).facts["least"]
    1
    """

    rule: str
    facts: Mapping[str, Fact]


Fact = Union[float, int, str, Problem]


class Refused(ValueError):
    """What was asked can't be done, for one reason or for several.

    >>> Refused("hem too narrow", girth=80.0).problems
    (Problem(rule='hem too narrow', facts={'girth': 80.0}),)
    """

    def __init__(self, rule: str, **facts: Fact) -> None:
        self.problems: tuple[Problem, ...] = (Problem(rule, facts),)
        super().__init__(rule)

    def __str__(self) -> str:
        return "; ".join(f"{rule} {dict(facts)}" if facts else rule for rule, facts in self.problems)

    def followed_by(self, more: Iterable[Problem]) -> Refused:
        """Return a refusal that tells the problems of this one, and then ``more``."""
        whole = Refused(self.problems[0].rule)
        whole.problems = (*self.problems, *more)
        return whole

    @classmethod
    def together(cls, refusals: Iterable[Refused]) -> Refused:
        """Return one refusal that tells all of ``refusals`` (one or more), in their order."""
        problems = tuple(problem for refusal in refusals for problem in refusal.problems)
        whole = cls(problems[0].rule)
        whole.problems = problems
        return whole
