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
CLOTH: Mapping[str, str] = {
    # tier lines
    "no tier lines": "This sleeve has no tier lines any more. Undo until they are back, or draft the sleeve again.",
    "tier line adrift": (
        "Tier line {tier} does not run from one side of the sleeve to the other. Move it back between the armhole or underarm seams,"
        " or delete it, then plan again."
    ),
    "tier line touches": (
        "Tier line {tier} touches or crosses {other}, so that no tier fits between them. Move one of the two, then plan again."
    ),
    "another tier line": "tier line {tier}",
    "the hem": "the hem",
    # tiers
    "more contrast than layers": (
        "Contrast layers: tier {tier} has {layers} layers, so that {contrast} of them can’t be in contrast. Give fewer, or more layers."
    ),
    "flounce no fuller than its seam": (
        "Fullness: {fullness:g} was read for tier {tier}, but a circular flounce must be fuller at its edge than where it is sewn on"
        " ({ratio:g}). Give a greater fullness, or a smaller inner arc."
    ),
    "flounce too tight": (
        "Fullness: {fullness:g} was read for tier {tier}, but with a drop of {drop} the inner circle of the flounce would be too small"
        " to cut. What can be cut is a fullness up to {most:g}; for more, make the tier longer or gather it a little (inner arc above 1)."
    ),
    # cloth
    "net": "Net",
    "contrast": "Contrast",
    "base": "Base",
    "lining": "Lining",
    "cloth too narrow for a flounce": (
        "Net: {width} of usable width is too narrow for the flounce of tier {tier}. Choose wider net, a greater fullness (smaller"
        " circles) or a shorter drop."
    ),
    "cloth too narrow for a strip": (
        "{cloth}: {width} of usable width was read, but the strip of tier {tier} is {strip:up} wide. Choose wider cloth, more tiers or"
        " a shorter drop."
    ),
    "cloth too narrow for a sleeve": (
        "{cloth}: {width} of usable width was read, but one sleeve with its allowances is {sleeve:up} wide. Choose wider cloth."
    ),
    # the sleeve to plan for, and the files
    "scaled before planning": (
        "This sleeve is no longer the size it was drafted in: it was scaled, or the scale of the document was changed. Run Extensions >"
        " Tiered Sleeve > Re-measure After Editing… first, which asks whether that was meant."
    ),
    "job sheet folder": (
        "Job sheet folder: “{folder}” {problem}. Make the folder first, or choose another one with the button; leave it empty to plan"
        " without files. Nothing was drawn."
    ),
    "no folder": "is not a folder",
    "missing": "does not exist",
    "not writable": "can’t be written to ({reason})",
}

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
