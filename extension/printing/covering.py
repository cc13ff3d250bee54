"""Covers on paper what of ours is not ticked: white, in our own layer, so that nothing of hers is moved or hidden."""
from __future__ import annotations

from collections.abc import Iterable, Sequence

import inkex

from extension.document.extents import Survey
from extension.drawing.pens import draw_data
from extension.drawing.sheet import Sheet
from extension.printing.printed_parts import in_millimetres
from geometry.box import Box
from geometry.curves.arrays import Array

#: A cover reaches so far beyond what it covers, strokes and all, millimetres.
BEYOND = 0.5

WHITE = "fill:#ffffff;stroke:none"


def cover(layer: inkex.Layer, unticked: Sequence[Sequence[Box]], pages: Iterable[Box], printed: Array) -> None:
    """Cover what shows of the boxes of each ``unticked`` part on ``pages``, nowhere over the points (n, 2) that are ``printed``."""
    # Pages are covered past their edge, or a hair of what is covered would show there.
    covering = [[box.grown(BEYOND) for box in boxes] for boxes in unticked]
    found = [box for page in pages for boxes in covering for box in _on_page(boxes, page.grown(BEYOND), printed)]
    if found:
        covers = Sheet(layer).add_layer("Covered, not ticked", "cover layer")
        data = " ".join(f"M {left:.3f} {top:.3f} H {right:.3f} V {bottom:.3f} H {left:.3f} Z" for left, top, right, bottom in found)
        draw_data(covers, data, WHITE, "Covers", "cover")


def _on_page(boxes: Sequence[Box], page: Box, printed: Array) -> list[Box]:
    """Return rectangles over what shows on a page of the boxes: one over all, else one over each, none over what is printed."""
    here = [_common(box, page) for box in boxes if box.overlaps(page)]
    if not here:
        return []
    whole = Box.united(here)
    return [whole] if not whole.holds_any(printed) else [box for box in here if not box.holds_any(printed)]


def _common(one: Box, other: Box) -> Box:
    return Box(max(one.left, other.left), max(one.top, other.top), min(one.right, other.right), min(one.bottom, other.bottom))


def boxes_in_millimetres(survey: Survey, elements: Iterable[inkex.BaseElement]) -> list[list[Box]]:
    """Return for each element what it takes, in true millimetres of the document."""
    return [in_millimetres(survey.svg, survey.boxes_of(element)) for element in elements]
