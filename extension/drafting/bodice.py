"""Reads the armhole seams of her bodice from the selection, in true millimetres through all transforms."""
from __future__ import annotations

import re

import inkex

from extension.document.parts import part_of
from extension.document.paths import curve_from_path
from extension.document.scale import to_millimetres
from geometry.measuring.lengths import INCH
from geometry.measuring.measurements import TABLE
from geometry.refusal import Problem, Refused

CENTIMETRE = 10.0

#: What may be taken from the selection, and the words for it in the dialog; the first is the default.
SELECTED = {
    "no": "no, use the lengths above",
    "both": "front and back: by their labels, else front first",
    "front": "the front armhole",
    "back": "the back armhole",
}


def selected_seams(svg: inkex.SvgDocumentElement, which: str) -> dict[str, float]:
    """Return the lengths in millimetres of the selected armhole seams: "front", "back" or both.

    ``which`` is one of :data:`SELECTED`.  Of two objects the labels say which is the front; where
    neither says, the one selected first is.  Sleeves of ours in the selection are overlooked.  Raises
    :class:`Refused` with a sentence where the selection is something else.
    """
    if which == "no":
        return {}
    chosen = [element for element in svg.selection if not _is_ours(element)]
    wanted = ["front", "back"] if which == "both" else [which]
    if len(chosen) != len(wanted):
        raise Refused("armholes selected", selected=_count(len(chosen)), needed=_count(len(wanted)))
    if which == "both":
        wanted = _sides_of(chosen)
    return {side: _seam_length(side, element) for side, element in zip(wanted, chosen)}


def _count(number: int) -> Problem:
    return Problem({0: "no object", 1: "one object"}.get(number, "objects"), {"count": number})


def _is_ours(element: inkex.BaseElement) -> bool:
    return any(part_of(e) is not None for e in (element, *element.iterancestors()))


def _name(element: inkex.BaseElement) -> str:
    return element.get("inkscape:label") or element.get("id") or "an object"


def _sides_of(chosen: list[inkex.BaseElement]) -> list[str]:
    """Return which of two objects is the front and which the back."""
    said = [_side_said_by(element) for element in chosen]
    if said[0] and said[0] == said[1]:
        raise Refused("armholes both say", one=_name(chosen[0]), other=_name(chosen[1]), side=said[0])
    other = {"front": "back", "back": "front"}
    first = said[0] or other.get(said[1], "front")
    return [first, other[first]]


def _side_said_by(element: inkex.BaseElement) -> str:
    words = re.findall(r"[a-z]+", _name(element).lower())
    said = [side for side in ("front", "back") if side in words]
    return said[0] if len(said) == 1 else ""


def _seam_length(side: str, element: inkex.BaseElement) -> float:
    if not isinstance(element, inkex.ShapeElement) or isinstance(element, (inkex.Group, inkex.TextElement, inkex.Use, inkex.Image)):
        raise Refused("armhole no path", called=_name(element))
    curves = curve_from_path(element, to_millimetres(element))
    if len(curves) != 1 or curves[0].is_closed:
        state = Problem("closed line" if len(curves) == 1 else "path of pieces", {"count": len(curves)})
        raise Refused("armhole not one piece", called=_name(element), state=state)
    length = curves[0].length()
    seam = TABLE[f"{side}_armhole_seam"]
    if not seam.least <= length <= seam.most:
        raise Refused(
            "armhole length",
            label=seam.label,
            called=_name(element),
            cm=length / CENTIMETRE,
            inches=length / INCH,
            least=seam.least / CENTIMETRE,
            most=seam.most / CENTIMETRE,
        )
    return length
