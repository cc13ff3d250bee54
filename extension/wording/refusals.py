"""What the tool says where it can't do what was asked: every sentence, once, in her unit.

A sentence tells which measurement, what was read, what makes sense, and what to do.  In a template

* ``{length}`` writes a float as a length in her unit, to the nearest mark of her tape;
* ``{length:up}`` and ``{length:down}`` write it to the next mark that is not below or not above it, so that
  a limit holds when it is typed back as printed;
* ``{length:exact}`` writes it with decimals, ``{number:g}`` (any format of Python's) writes a plain number;
* ``{case}`` writes a part that is a :class:`~geometry.refusal.Problem` by its own template.
"""
from __future__ import annotations

from collections.abc import Mapping
from string import Formatter
from typing import Any

from geometry.measuring.lengths import down_to_mark, up_to_mark, write_exact, write_length
from geometry.refusal import Problem, Refused

#: What belongs to measuring: lengths, tables of ranges, values for each tier.
MEASURING: Mapping[str, str] = {}

#: What belongs to the sleeve: block, armholes, tier lines, finish.
SLEEVE: Mapping[str, str] = {}

#: What belongs to her edits.
EDITING: Mapping[str, str] = {}

#: What belongs to strips, cloth and lay.
CLOTH: Mapping[str, str] = {}

#: What belongs to pages and paper.
PAPER: Mapping[str, str] = {}

#: What belongs to her document: which sleeve, its record, its size, the selection, files.
DOCUMENT: Mapping[str, str] = {}

TEMPLATES: Mapping[str, str] = {**MEASURING, **SLEEVE, **EDITING, **CLOTH, **PAPER, **DOCUMENT}


def sentence(refusal: Refused, unit: str) -> str:
    """Return what to show to her: a paragraph for each problem, lengths in ``unit`` ("in" or "cm")."""
    return "\n\n".join(_written(problem, unit) for problem in refusal.problems)


def _written(problem: Problem, unit: str) -> str:
    template = TEMPLATES.get(problem.rule)
    if template is None:
        return problem.rule  # until every refusal has moved here
    return _Writer(unit).vformat(template, (), problem.facts)


class _Writer(Formatter):
    """Fills in a template as the head of this module says."""

    def __init__(self, unit: str) -> None:
        self.unit = unit

    def format_field(self, value: Any, spec: str) -> str:
        if isinstance(value, Problem):
            return _written(value, self.unit)
        if not isinstance(value, float):
            return super().format_field(value, spec)
        if spec == "up":
            return write_length(up_to_mark(value, self.unit), self.unit)
        if spec == "down":
            return write_length(down_to_mark(value, self.unit), self.unit)
        if spec == "exact":
            return write_exact(value, self.unit)
        return super().format_field(value, spec) if spec else write_length(value, self.unit)
