"""Which parts of a sleeve are printed, and where on the drawing they are."""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.extents import Survey, boxes_of
from extension.document.names import LABEL
from extension.document.part_names import CUTTING_LINE, LEADER, NESTED, SEAM_LINE, SIZE_LAYER, SLEEVE, TIER_LINE
from extension.document.parts import find_parts, part_of
from extension.document.paths import curve_from_path
from extension.document.reading import Lines, label_of
from extension.document.record import typed_for
from extension.document.scale import FARTHEST, affine_of, millimetres_to_user, to_millimetres
from extension.drawing.lettering import printable
from extension.drawing.pens import drawn_text_box
from extension.wording.notes import sleeve_called
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.paper.ground import Ground, ground_of

#: Curves are followed to within this, millimetres.
FOLLOW = 0.1

#: The layers that are the pattern itself, with the lettering on it.
PATTERN = frozenset(
    f"{name} layer"
    for name in (
        "cutting", "seam", "body", "tier", "tier lengths", "level", "level widths", "grain", "notch", "names", "size", "size names", "gather marks",
    )
)  # fmt: skip

#: Those that hold the outlines: what reaches into these stands on the pattern.
OUTLINES = ("cutting layer", "seam layer", SIZE_LAYER)

#: Which tick a report beside the sleeve goes with, by a word in what it is called; others go with the notes.
TICK_OF_WORD = {
    "strip": "pieces", "strips": "pieces", "piece": "pieces", "pieces": "pieces", "flounce": "pieces", "flounces": "pieces",
    "lay": "lay", "job": "job_sheet",
}  # fmt: skip
TICKS = ("sleeve", "pieces", "lay", "job_sheet", "notes")

_SVG = f"{{{inkex.NSS['svg']}}}"
SHAPES = frozenset(f"{_SVG}{name}" for name in ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon"))
_UNSEEN = r"\b(display\s*:\s*none|visibility\s*:\s*hidden)\b"


#: Lettering whose leader ends so near belongs to it and stays, millimetres.
AT_A_LEADER = 4.0


class Part(NamedTuple):
    """Something to print: what it is called, its elements, and whether it is a pattern, of true size, or a report."""

    title: str
    elements: list[inkex.BaseElement]
    is_pattern: bool


class Drawn(NamedTuple):
    """What is drawn and not hidden, in true millimetres of the document: curves, the same as polylines (n, 2), and boxes;
    ``fixed`` are those of the boxes that stay where they are: all but lettering of ours that stands at no leader.
    """

    curves: list[Curve]
    lines: list[np.ndarray]
    boxes: list[Box]
    fixed: list[Box]

    def ground(self) -> Ground:
        fixed = set(self.fixed)
        movable = [box for box in self.boxes if box not in fixed]
        return ground_of(self.lines, self.boxes)._replace(boxes=self.fixed, movable=movable)

    def outlines(self) -> list[Curve]:
        """Return the closed curves that lie in no other one: the edges of the pieces."""
        closed = [curve for curve in self.curves if curve.is_closed]
        bounds = np.array([curve.bounds() for curve in closed]).reshape(-1, 4)
        inside = (bounds[:, None, :2] >= bounds[None, :, :2]).all(axis=2) & (bounds[:, None, 2:] <= bounds[None, :, 2:]).all(axis=2)
        inside &= (bounds[:, None] != bounds[None]).any(axis=2)
        return [curve for curve, hidden in zip(closed, inside.any(axis=1)) if not hidden]


def nested_sizes(svg: inkex.SvgDocumentElement) -> inkex.Layer | None:
    """Return the nested sizes that are to be printed: those that are selected, or the only ones where there is no sleeve; else None."""
    found, chosen = find_parts(svg, NESTED), list(svg.selection)
    selected = [layer for layer in found if any(layer is element or layer in element.iterancestors() for element in chosen)]
    if selected:
        return selected[0]
    return found[0] if len(found) == 1 and not find_parts(svg, SLEEVE) else None


def parts_of(sleeve: inkex.Layer, ticked: Mapping[str, bool], survey: Survey) -> list[Part]:
    """Return what of the sleeve is ticked: the pattern, and the notes and each report as parts of their own.

    Whatever else stands on the pattern, such as marks of another command or what she put in herself,
    is printed with it; what she put beside it goes with the notes.
    """
    children = [child for child in sleeve if isinstance(child.tag, str) and child.tag != f"{_SVG}metadata"]
    loose = [child for child in children if child.tag != f"{_SVG}g"]
    pattern = [child for child in children if part_of(child) in PATTERN or (child in loose and part_of(child))] or loose
    parts = {tick: [] for tick in TICKS}
    title = title_of_sleeve(sleeve)
    whose = "".join(title.partition(" – ")[1:])  # a sheet that lies about alone says whose it is
    parts["sleeve"].append(Part(title, pattern, is_pattern=True))
    room = _room(survey, [child for child in pattern if part_of(child) in OUTLINES] or pattern)
    for child in children:
        if child in pattern:
            continue
        if room and any(room.overlaps(box) for box in survey.boxes_of(child)):
            pattern.append(child)
        elif part_of(child) == "test square layer" and parts["notes"]:
            parts["notes"][0].elements.append(child)  # they stand among the notes
        else:
            tick = _tick_of(child)
            parts[tick].append(Part(f"{title_of(child)}{whose}", [child], is_pattern=tick == "pieces"))
    return [part for tick in TICKS if ticked[tick] for part in parts[tick]]


def _room(survey: Survey, elements: list[inkex.BaseElement]) -> Box | None:
    """The rectangle, in user units, that the elements take."""
    boxes = [box for element in elements for box in survey.boxes_of(element)]
    return Box.united(boxes) if boxes else None


def _tick_of(report: inkex.BaseElement) -> str:
    words = (part_of(report) or "").split()
    return next((TICK_OF_WORD[word] for word in words if word in TICK_OF_WORD), "notes")


def title_of(layer: inkex.BaseElement) -> str:
    """Return what a layer is called."""
    return (layer.get("inkscape:label") or "").strip() or "Sleeve"


def title_of_sleeve(layer: inkex.BaseElement) -> str:
    """Return what a sleeve, or nested sizes, are called on paper: the client as typed, as on the pattern itself, whatever
    the layer is called since; a name of the layer's own that leaves her out follows in brackets.
    """
    own, client = (layer.attrib.get(LABEL) or "").strip(), printable(typed_for(layer).get("label", ""))
    if own and client not in own:
        return f"{sleeve_called(client)} ({own})"
    return own or sleeve_called(client)


def drawn_in(svg: inkex.SvgDocumentElement, elements: Iterable[inkex.BaseElement]) -> Drawn:
    """Return what is drawn in the elements and not hidden, where anything can be drawn."""
    curves, boxes, leaders, others = [], [], [], []
    for element in shown_objects(elements):
        read = curves_of(element) if element.tag in SHAPES else None
        lettered = drawn_text_box(element) if part_of(element) == "lettering" else None
        if read is not None:
            near = [curve for curve in read if np.abs(curve.segments).max() <= FARTHEST]
            curves += near
            leaders += near if part_of(element) == LEADER else []
        elif lettered is not None:
            boxes.append(affine_of(to_millimetres(element)).apply_to_box(lettered))
        else:
            others.append(element)
    of_others = in_millimetres(svg, boxes_of(svg, others))
    fixed = [box for box in boxes if is_at_leader(box, leaders)] + of_others
    return Drawn(curves, [curve.flatten(FOLLOW) for curve in curves], boxes + of_others, fixed)


def is_at_leader(box: Box, leaders: Iterable[Curve]) -> bool:
    """Whether one of the leaders ends at lettering in this box, which then belongs to it."""
    ends = np.array([end for leader in leaders for end in (leader.start, leader.end)]).reshape(-1, 2)
    return box.grown(AT_A_LEADER).holds_any(ends)


def in_millimetres(svg: inkex.SvgDocumentElement, boxes: Iterable[Box]) -> list[Box]:
    """Return boxes in user units of the root as true millimetres."""
    scale = millimetres_to_user(svg)
    return [Box(left / scale.a, top / scale.d, right / scale.a, bottom / scale.d) for left, top, right, bottom in boxes]


def curves_of(element: inkex.ShapeElement) -> list[Curve] | None:
    """Return the curves of a shape in true millimetres, or None where it can't be read."""
    try:
        return curve_from_path(element, to_millimetres(element))
    except Exception:  # noqa: BLE001 - whatever is wrong with it, it's her drawing: a box around it will do
        return None


def shown_objects(elements: Iterable[inkex.BaseElement]) -> Iterator[inkex.BaseElement]:
    """The objects that show, down to those without children; groups only as far as what is in them."""
    waiting = [element for element in [*elements][::-1] if isinstance(element.tag, str) and is_shown(element)]
    while waiting:  # no call within a call: groups may be nested by the thousand
        element = waiting.pop()
        if element.tag in (f"{_SVG}g", f"{_SVG}a", f"{_SVG}switch"):
            waiting += [child for child in reversed(element) if isinstance(child.tag, str) and not _hides(child)]
        else:
            yield element


def hidden_lines(lines: Lines) -> list[str]:
    """Return the names of the lines of the pattern that are hidden, and so on no sheet, a layer's own where all in it are."""
    found = {part: lines.all(part) for part in (SEAM_LINE, CUTTING_LINE, TIER_LINE)}
    hidden = {part: [line for line in elements if not is_shown(line)] for part, elements in found.items()}
    if len(hidden[TIER_LINE]) == len(found[TIER_LINE]) > 1:
        hidden[TIER_LINE], all_tiers = [], ["Tier lines"]
    else:
        all_tiers = []
    return [label_of(line) or (part_of(line) or "").capitalize() for elements in hidden.values() for line in elements] + all_tiers


def is_shown(element: inkex.BaseElement) -> bool:
    """Whether neither the element nor anything it is in is hidden."""
    return not any(map(_hides, (element, *element.iterancestors())))


def _hides(element: inkex.BaseElement) -> bool:
    return bool(re.search(_UNSEEN, element.attrib.get("style", ""))) or element.attrib.get("display") == "none"
