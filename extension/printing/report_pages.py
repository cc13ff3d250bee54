"""Sets reports on pages of their own: copies, whole, no row of lettering cut, no code upon it."""
from __future__ import annotations

import copy
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.extents import boxes_of
from extension.document.names import OURS
from extension.document.part_names import LETTERING, TEST_SQUARE_LAYER
from extension.document.parts import mark, part_of
from extension.document.scale import affine_of, to_millimetres, written
from extension.drawing.pens import SMALL_SIZE, drawn_text_box
from extension.drawing.sheet import Sheet
from extension.printing.printed_parts import Part, in_millimetres, shown_objects
from geometry.affine import Affine
from geometry.box import Box
from geometry.paper.flow import page_cuts
from geometry.paper.papers import Printing

#: Above what is set on a page: its title and number, millimetres.
HEAD = 8.0

#: Between two reports, millimetres.
BETWEEN = 6.0


class Row(NamedTuple):
    """What is set in one piece: a copy, where it stood and the box it took there, in true millimetres, and whether it
    must be as large.
    """

    element: inkex.BaseElement
    placed: Affine
    box: Box
    of_true_size: bool


class Page(NamedTuple):
    """What is set on one page, the corner from which that is measured, and how much it is shrunk."""

    rows: list[Row]
    corner: tuple[float, float]
    shrunk: float


class Setting(NamedTuple):
    """Reports set on pages of one size, the part that takes print."""

    size: tuple[float, float]
    pages: list[Page]


def set_reports(svg: inkex.SvgDocumentElement, parts: Sequence[Part], printing: Printing) -> Setting | None:
    """Return the reports on pages, upright if they are narrow enough; None where there is nothing to set.

    They are as large as they are drawn, smaller only where they are wider than the paper either way.
    """
    reports = [rows for rows in (_rows_of(svg, part) for part in parts) if rows]
    if not reports:
        return None
    bounds = [Box.united(row.box for row in rows) for rows in reports]
    widest = max(box.width for box in bounds)
    sizes = sorted(printing.printable(), key=lambda size: (size[0] < widest, size[0] > size[1]))
    wide, high = printing.fitted(np.where(np.isinf(sizes[0]), (widest, max(box.height for box in bounds) + HEAD), sizes[0])).tolist()
    pages = [page for rows, box in zip(reports, bounds) for page in _pages(rows, box, wide, high - HEAD)]
    return Setting((wide, high), pages)


def _pages(rows: list[Row], bounds: Box, wide: float, high: float) -> Iterator[Page]:
    """Yield the pages of one report."""
    shrunk = min(1.0, wide / bounds.width)
    spans = np.array([(row.box.top, row.box.bottom) for row in rows])
    for top, bottom in page_cuts(spans, high / shrunk):
        k = min(shrunk, high / (bottom - top))
        here = [row for row in rows if top <= row.box.top and row.box.bottom <= bottom and (k == 1.0 or not row.of_true_size)]
        yield Page(here, (bounds.left, top), k)


def draw_reports(layer: inkex.Layer, setting: Setting, boxes: Sequence[Box], title: str, numbers: Sequence[str]) -> None:
    """Draw each page of a setting into the printable part of its sheet; ``numbers`` say which sheet it is."""
    sheet = Sheet(layer)
    drawn = sheet.add_layer("Reports", "report copies")
    for page, box, number in zip(setting.pages, boxes, numbers):
        sheet.text(drawn, [f"{title}, {number}"], box.left, box.top, size=SMALL_SIZE, label=f"Head of {number}")
        (x, y), k = page.corner, page.shrunk
        moved = Affine(k, 0.0, 0.0, k, box.left - k * x, box.top + HEAD - k * y)
        for row in page.rows:
            row.element.attrib["transform"] = written(moved @ row.placed)
            drawn.append(row.element)


# --- rows ----------------------------------------------------------------------------------------------


def _rows_of(svg: inkex.SvgDocumentElement, part: Part) -> list[Row]:
    """Return what a report is made of, lettering row by row."""
    rows = []
    for element in shown_objects(part.elements):
        placed = affine_of(to_millimetres(element))
        true = part_of(element.getparent()) == TEST_SQUARE_LAYER
        box = drawn_text_box(element) if part_of(element) == LETTERING else None
        if box is None:
            boxes = in_millimetres(svg, boxes_of(svg, [element]))
            rows += [Row(_copy(element), placed, Box.united(boxes), true)] if boxes else []
        else:
            rows += [Row(one, placed, placed.apply_to_box(drawn_text_box(one) or box), true) for one in _by_rows(element)]
    return rows


def _by_rows(text: inkex.TextElement) -> Iterator[inkex.TextElement]:
    """Yield lettering of ours as one text for each of its rows."""
    for k in range(len(text)):
        one = _copy(text)
        span = one[k]
        for other in [each for each in one if each is not span]:
            one.remove(other)
        one.attrib["y"] = span.attrib["y"]
        yield mark(one, LETTERING)


def _copy(element: inkex.BaseElement) -> inkex.BaseElement:
    """Return a copy that bears neither an id nor a mark of ours: it is no part of the sleeve."""
    own = copy.deepcopy(element)
    for each in own.iter():
        for name in [name for name in each.attrib if name == "id" or name.startswith(OURS)]:
            del each.attrib[name]
    return own
