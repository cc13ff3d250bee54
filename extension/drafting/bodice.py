"""Reads the armhole seams of her bodice from the selection, in true millimetres through all transforms."""
from __future__ import annotations

import re

import inkex

from extension.document.parts import part_of
from extension.document.paths import curve_from_path
from extension.document.scale import to_millimetres
from geometry.measuring.measurements import TABLE
from geometry.refusal import Problem, Refused

#: What may be taken from the selection, and the words for it in the dialog; the first is the default.
SELECTED = {
    "no": "no, use the lengths above",
    "both": "front and back: by their labels, else front first",
    "front": "the front armhole",
    "back": "the back armhole",
}

_HOW = Problem("how to select armholes", {})


def selected_seams(svg: inkex.SvgDocumentElement, which: str) -> dict[str, float]:
    """Return the lengths in millimetres of the selected armhole seams: "front", "back" or both.

    ``which`` is one of :data:`SELECTED`.  Of two objects the labels say which is the front; where
    neither says, the one selected first is.  Sleeves of ours in the selection are overlooked.  Raises
    :class:`Refused` where the selection is something else.
    """
    if which == "no":
        return {}
    chosen = [element for element in svg.selection if not _is_ours(element)]
    wanted = ["front", "back"] if which == "both" else [which]
    if len(chosen) != len(wanted):
        raise Refused("armholes selected", found=_count(len(chosen)), wanted=_count(len(wanted)), how=_HOW)
    if which == "both":
        wanted = _sides_of(chosen)
    return {side: _seam_length(side, element) for side, element in zip(wanted, chosen)}


def _count(number: int) -> Problem:
    if number > 1:
        return Problem("several selected", {"count": number})
    return Problem("one selected" if number else "nothing selected", {})


def _is_ours(element: inkex.BaseElement) -> bool:
    return any(part_of(e) is not None for e in (element, *element.iterancestors()))


def _name(element: inkex.BaseElement) -> str:
    return element.get("inkscape:label") or element.get("id") or "an object"


def _sides_of(chosen: list[inkex.BaseElement]) -> list[str]:
    """Return which of two objects is the front and which the back."""
    said = [_side_said_by(element) for element in chosen]
    if said[0] and said[0] == said[1]:
        raise Refused("both say one side", one=_name(chosen[0]), other=_name(chosen[1]), side=said[0])
    other = {"front": "back", "back": "front"}
    first = said[0] or other.get(said[1], "front")
    return [first, other[first]]


def _side_said_by(element: inkex.BaseElement) -> str:
    words = re.findall(r"[a-z]+", _name(element).lower())
    said = [side for side in ("front", "back") if side in words]
    return said[0] if len(said) == 1 else ""


def _seam_length(side: str, element: inkex.BaseElement) -> float:
    if not isinstance(element, inkex.ShapeElement) or isinstance(element, (inkex.Group, inkex.TextElement, inkex.Use, inkex.Image)):
        raise Refused("armhole no path", name=_name(element), how=_HOW)
    curves = curve_from_path(element, to_millimetres(element))
    if len(curves) != 1:
        raise Refused("armhole in pieces", name=_name(element), pieces=len(curves), how=_HOW)
    if curves[0].is_closed:
        raise Refused("armhole closed", name=_name(element), how=_HOW)
    length = curves[0].length()
    seam = TABLE[f"{side}_armhole_seam"]
    if not seam.least <= length <= seam.most:
        sense = Problem("range", {"least": float(seam.least), "most": float(seam.most)})
        raise Refused("armhole out of range", label=seam.label, name=_name(element), length=length, sense=sense)
    return length
