"""Measurements that may have been left in the dialog from the client before."""
from __future__ import annotations

from collections.abc import Mapping

import inkex

from extension.document.parts import find_parts
from extension.document.record import typed_for
from extension.wording import notes
from geometry.measuring.lengths import HalfTyped, read_length
from geometry.measuring.measurements import BODY
from geometry.refusal import Refused

#: So many measurements of the body alike, and she is asked (our own choice: of any two bodies some are alike, and nothing is refused).
_ALIKE = 8

#: Two lengths this near to each other are one, typed in one unit or the other, millimetres.
_SAME = 0.05


def left_over(svg: inkex.SvgDocumentElement, typed: Mapping[str, object]) -> str:
    """Return what to say where most of the body that was ``typed`` is that of a sleeve of another name in the drawing, or nothing."""
    label = str(typed["label"]).strip()
    if typed.get("start") != "typed" or not label:
        return ""
    body = _body(typed)
    for layer in find_parts(svg, "sleeve"):
        other = typed_for(layer)
        name = str(other.get("label", "")).strip()
        theirs = _body(other) if name and name != label else {}
        alike = [row.label for row in BODY if row.name in body and abs(body[row.name] - theirs.get(row.name, -1.0)) <= _SAME]
        if len(alike) >= _ALIKE:
            return notes.left_over(alike, name)
    return ""


def _body(typed: Mapping[str, object]) -> dict[str, float]:
    """Return the measurements of the body in millimetres, without those that were left out."""
    found = {}
    for row in BODY:
        try:
            found[row.name] = read_length(str(typed.get(row.name, "0")), str(typed.get("unit", "in")))
        except (Refused, HalfTyped):
            continue
    return {name: length for name, length in found.items() if length}
