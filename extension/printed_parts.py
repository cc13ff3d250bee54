"""Which parts of a sleeve are printed, and where on the drawing they are."""
from __future__ import annotations

import re
from typing import Iterable, Iterator, List, Mapping, NamedTuple

import inkex
import numpy as np

from extension.document import part_of
from extension.free_room import boxes_of
from extension.paths import curve_from_path
from extension.scale import millimetres_to_user, to_millimetres
from geometry.curves import Curve
from geometry.sheets import Box, holding_points

#: Curves are followed to within this, millimetres.
FOLLOW = 0.1

#: What of the drawing is not the pattern with the lettering on it and beside it.
NOTES = ("notes layer", "test square layer")

#: Which tick a report beside the sleeve goes with, by a word in what it is called; others go with the notes.
TICK_OF_WORD = {
    "strip": "pieces", "strips": "pieces", "piece": "pieces", "pieces": "pieces", "flounce": "pieces", "flounces": "pieces",
    "lay": "lay", "job": "job_sheet",
}  # fmt: skip
TICKS = ("sleeve", "pieces", "lay", "job_sheet", "notes")

_SVG = f"{{{inkex.NSS['svg']}}}"
_SHAPES = frozenset(f"{_SVG}{name}" for name in ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon"))
_UNSEEN = re.compile(r"\b(display\s*:\s*none|visibility\s*:\s*hidden)\b")


class Part(NamedTuple):
    """Something that is printed on sheets of its own: what it is called, and its elements."""

    title: str
    elements: List[inkex.BaseElement]


class Drawn(NamedTuple):
    """What is drawn and not hidden, in true millimetres of the document."""

    curves: List[Curve]
    boxes: List[Box]

    def lines(self) -> List[np.ndarray]:
        return [curve.flatten(FOLLOW) for curve in self.curves]

    def points(self) -> np.ndarray:
        return holding_points(self.lines(), self.boxes)

    def outlines(self) -> List[Curve]:
        """Return the closed curves that lie in no other one: the edges of the pieces."""
        closed = [curve for curve in self.curves if curve.is_closed]
        bounds = np.array([curve.bounds() for curve in closed]).reshape(-1, 4)
        inside = (bounds[:, None, :2] >= bounds[None, :, :2]).all(axis=2) & (bounds[:, None, 2:] <= bounds[None, :, 2:]).all(axis=2)
        inside &= (bounds[:, None] != bounds[None]).any(axis=2)
        return [curve for curve, hidden in zip(closed, inside.any(axis=1)) if not hidden]


def parts_of(sleeve: inkex.Layer, ticked: Mapping[str, bool]) -> List[Part]:
    """Return what of the sleeve is ticked: the pattern, the notes, and each report as a part of its own."""
    by_tick = {tick: [] for tick in TICKS}
    for child in sleeve:
        tick = _tick_of(child)
        if tick in ("sleeve", "notes") and by_tick[tick] and _belongs(child, tick):
            by_tick[tick][0].elements.append(child)
        elif tick:
            called = sleeve if tick == "sleeve" else child
            by_tick[tick].append(Part(called.get("inkscape:label") or "Sleeve", [child]))
    return [part for tick in TICKS if ticked[tick] for part in by_tick[tick]]


def _tick_of(child: inkex.BaseElement) -> str:
    """The layers of the drawing are called “… layer”, reports are not; what she put in herself is the sleeve's."""
    if not isinstance(child.tag, str) or child.tag == f"{_SVG}metadata":
        return ""
    part = part_of(child) or ""
    for word in part.split():
        if word in TICK_OF_WORD:
            return TICK_OF_WORD[word]
    is_report = child.tag == f"{_SVG}g" and part and not part.endswith(" layer")
    return "notes" if is_report or part in NOTES else "sleeve"


def _belongs(child: inkex.BaseElement, tick: str) -> bool:
    """Whether it is printed with the others of its tick: the test squares stand among the notes."""
    return tick == "sleeve" or part_of(child) == "test square layer"


def drawn_in(svg: inkex.SvgDocumentElement, elements: Iterable[inkex.BaseElement]) -> Drawn:
    """Return what is drawn in the elements and not hidden."""
    curves, others = [], []
    for element in _seen(elements):
        read = _curves(element) if element.tag in _SHAPES else None
        if read is None:
            others.append(element)
        else:
            curves += read
    return Drawn(curves, in_millimetres(svg, boxes_of(svg, others)))


def in_millimetres(svg: inkex.SvgDocumentElement, boxes: Iterable[Box]) -> List[Box]:
    """Return boxes in user units of the root as true millimetres."""
    scale = millimetres_to_user(svg)
    return [(left / scale.a, top / scale.d, right / scale.a, bottom / scale.d) for left, top, right, bottom in boxes]


def _curves(element: inkex.ShapeElement):
    try:
        return curve_from_path(element, to_millimetres(element))
    except Exception:  # noqa: BLE001 - whatever is wrong with it, it's her drawing: a box around it will do
        return None


def _seen(elements: Iterable[inkex.BaseElement]) -> Iterator[inkex.BaseElement]:
    """The objects that show, down to those without children; groups only as far as what is in them."""
    for element in elements:
        if not isinstance(element.tag, str) or not is_shown(element):
            continue
        if element.tag in (f"{_SVG}g", f"{_SVG}a", f"{_SVG}switch"):
            yield from _seen(element)
        else:
            yield element


def is_shown(element: inkex.BaseElement) -> bool:
    """Whether neither the element nor anything it is in is hidden."""
    return not any(
        _UNSEEN.search(e.attrib.get("style", "")) or e.attrib.get("display") == "none" for e in (element, *element.iterancestors())
    )
