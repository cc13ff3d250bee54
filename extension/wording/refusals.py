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
EDITING: Mapping[str, str] = {
    "seam line crosses itself once": "The Seam line crosses or touches itself in 1 place. Pull it apart there.",
    "seam line crosses itself": "The Seam line crosses or touches itself in {count} places. Pull it apart there.",
    "several closed seam lines": "There are {count} closed Seam lines in this sleeve. Delete all but the one that counts.",
    "stray pieces of a seam line": "Beside the closed Seam line there are stray pieces of one. Delete or join them.",
    "seam line open": "The Seam line does not close: there is a gap of {gap:.1f} mm."
    " Join the two end nodes there (node tool, Join selected nodes).",
    "corner in doubt": "Two nodes could be the {corner} corner of the Seam line."
    " Make one of them smooth, or move the one that is meant to where the corner was.",
    "corner lost": "The Seam line has lost the {corner} corner: there is no node that turns where it was."
    " Add a corner node there, or undo until it is back.",
    "corners lost": "The Seam line has lost the {corners} corners: there is no node that turns where they were."
    " Add a corner node there, or undo until they are back.",
    "list goes on": "{before}, {next}",
    "list ends": "{before} and {last}",
    "edge off the grain line": "The {edge} no longer crosses the grain line, so one half can't be mirrored onto the other. Move it back first.",
    "seam line marked": "{what} The drawing is now marked where it is; nothing else was changed.",
    "seam line broken": "{what} Re-measure After Editing… marks where it is.",
    "truing tolerance unreadable": "Truing tolerance: {why}. What makes sense is 0 to {most:g} mm; 1 mm is usual.",
    "truing tolerance out of range": "Truing tolerance: “{typed}” was read. What makes sense is 0 to {most:g} mm; 1 mm is usual.",
}

#: What belongs to strips, cloth and lay.
CLOTH: Mapping[str, str] = {}

#: What belongs to pages and paper.
PAPER: Mapping[str, str] = {}

_WHERE_TO_SET_IT = "set its width and height in File > Document Properties, then try again"
_WHICH_ARMHOLES = (
    "Select the armhole seam of the front, then that of the back, each a path of one piece from the top edge to the underarm point."
)
_WAS_IT_MEANT = (
    ": it was scaled, or the scale of the document was changed."
    " Was that meant? It changes the size of the person whom the sleeve fits. Choose in Re-measure After Editing…,"
    " under “If the sleeve was scaled”:\n\n"
    "• “It was meant” keeps the new size, with allowances and notches at their true size. The body measurements stay as"
    " typed, and the report says how the sleeve fits them now.\n"
    "• “Take the scale back” gives the sleeve its drafted size again, with all your edits."
)

#: What belongs to her document: which sleeve, its record, its size, the selection, files.
DOCUMENT: Mapping[str, str] = {
    "document without size": f"This document has no size: {_WHERE_TO_SET_IT}.",
    "document size unreadable": f"This document's {{side}} reads “{{typed}}”, which is no size: {_WHERE_TO_SET_IT}.",
    "no sleeve": "There is no sleeve in this document yet. Draw one with Extensions > Tiered Sleeve > Draft Sleeve….",
    "several sleeves": "There are {count} sleeves here. Select the one that is meant (any line of it) and try again.",
    "sleeve ungrouped": "The layer of this sleeve was ungrouped. Run Extensions > Tiered Sleeve > Re-measure After Editing… first:"
    " it gathers the lines into a layer again.",
    "seam line gone": "This sleeve has no Seam line any more. Undo until it is back, or draft the sleeve again.",
    "seam line without nodes": "The Seam line of this sleeve has no nodes any more. Undo until it is back, or draft the sleeve again.",
    "no record": "“{called}” has no record of its measurements: draw the sleeve again.",
    "record damaged": "The record of measurements in “{called}” is damaged: draw the sleeve again.",
    "number lost": "“{called}” has lost what it needs to know ({name}): draw the sleeve again.",
    "number unreadable": "“{called}” says “{typed}”, which is no number, ({name}): draw the sleeve again.",
    "sleeve scaled": f"This sleeve measures {{across:.1%}} of what was drafted{_WAS_IT_MEANT}",
    "sleeve scaled unevenly": f"This sleeve measures {{across:.1%}} in width and {{down:.1%}} in length of what was drafted{_WAS_IT_MEANT}",
    "armholes selected": f"Armhole from the selection: {{selected}} selected, but {{needed}} needed. {_WHICH_ARMHOLES}",
    "no object": "nothing is",
    "one object": "one object is",
    "objects": "{count} objects are",
    "armholes both say": "Armhole from the selection: “{one}” and “{other}” both say {side}. Label one of them front and the other back.",
    "armhole no path": f"Armhole from the selection: “{{called}}” is no path. {_WHICH_ARMHOLES} Ungroup a group; unlink a clone.",
    "armhole not one piece": f"Armhole from the selection: “{{called}}” is a {{state}}. {_WHICH_ARMHOLES}"
    " Break a whole bodice apart at its corners first.",
    "closed line": "closed line",
    "path of pieces": "path of {count} pieces",
    "armhole length": "{label}: “{called}” measures {cm:.1f} cm ({inches:.2f} in) at true size. What makes sense is {least:.0f} to {most:.0f} cm."
    " Check that the bodice is drawn at true size.",
}

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
