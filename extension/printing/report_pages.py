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
from extension.drawing.lettering import LEADING
from extension.drawing.pens import SMALL_SIZE, drawn_text_box
from extension.drawing.sheet import Sheet
from extension.printing.printed_parts import Part, in_millimetres, shown_objects
from extension.wording import notes
from geometry.affine import Affine
from geometry.box import Box
from geometry.paper.flow import Cut, shortest_cuts, spans_together
from geometry.paper.papers import Printing

#: Above what is set on a page: its title and number, millimetres.
HEAD = 8.0

#: Between two blocks on a page, millimetres.
BETWEEN = 6.0

#: So much room is left between columns, and no table of ours leaves it between its own, millimetres.
_GUTTER = 10.0

#: A column that would have to be shrunk by more makes its pages lie on their side.
_MOST_SHRUNK = 0.9

#: Under what goes on on the next sheet, for saying so, millimetres.
_GOES_ON = 1.5 * SMALL_SIZE * LEADING

#: One row of lettering cut in two is as bad as so many pieces.
_A_WORD = 50


class Row(NamedTuple):
    """What is set in one piece: a copy, where it stood and the box it took there, in true millimetres, the layer that it
    stood in, and whether it must be as large.
    """

    element: inkex.BaseElement
    placed: Affine
    box: Box
    layer: inkex.BaseElement
    of_true_size: bool

    @property
    def is_lettering(self) -> bool:
        return isinstance(self.element, inkex.TextElement)


class Block(NamedTuple):
    """What one page shows of a column: ``rows`` from ``top`` to ``bottom``, measured from ``left``, and how much it is shrunk."""

    rows: list[Row]
    left: float
    top: float
    bottom: float
    shrunk: float

    @property
    def high(self) -> float:
        return (self.bottom - self.top) * self.shrunk


class Setting(NamedTuple):
    """Reports set on pages of one size, the part that takes print: what stands on each, one block below another."""

    size: tuple[float, float]
    pages: list[list[Block]]


def set_reports(svg: inkex.SvgDocumentElement, parts: Sequence[Part], printing: Printing) -> Setting | None:
    """Return the reports on pages, upright if they are narrow enough; None where there is nothing to set.

    They are as large as they are drawn.  What is wider than the paper is set column by column, and smaller only where
    a column is wider than that.
    """
    reports = [rows for rows in (_rows_of(svg, part) for part in parts) if rows]
    if not reports:
        return None
    widest = max(Box.united(row.box for row in column).width for rows in reports for column in _columns(rows, 0.0))
    highest = max(Box.united(row.box for row in rows).height for rows in reports)
    sizes = sorted(printing.printable(), key=lambda size: (size[0] < _MOST_SHRUNK * widest, size[0] > size[1]))
    endless = np.isinf(sizes[0])
    widest_of_all = max(Box.united(row.box for row in rows).width for rows in reports)
    wide, high = printing.fitted(np.where(endless, (widest_of_all, highest + HEAD), sizes[0])).tolist()
    pages: list[list[Block]] = []
    for rows in reports:
        first = len(pages)
        for block in (block for column in _columns(rows, wide) for block in _blocks(column, wide, high - HEAD)):
            if len(pages) > first and sum(above.high + BETWEEN for above in pages[-1]) + block.high <= high - HEAD:
                pages[-1].append(block)
            else:
                pages.append([block])
    return Setting((wide, high), pages)


def _columns(rows: Sequence[Row], wide: float) -> list[list[Row]]:
    """Return the rows of a report column by column, as many columns together as are no wider than ``wide``."""
    grown = np.array([(row.box.left, row.box.right + _GUTTER) for row in rows])
    groups: list[tuple[float, float]] = []
    for left, right in spans_together(grown):
        if groups and right - _GUTTER - groups[-1][0] <= wide:
            groups[-1] = groups[-1][0], right
        else:
            groups.append((left, right))
    return [[row for row in rows if left <= row.box.left < right] for left, right in groups]


def _blocks(column: Sequence[Row], wide: float, high: float) -> Iterator[Block]:
    """Yield what the pages show of a column: no row is cut that is no longer than a page, and lettering never."""
    bounds = Box.united(row.box for row in column)
    shrunk = min(1.0, wide / bounds.width)
    high = (high - _GOES_ON) / shrunk
    spans = [(row.box.top, row.box.bottom) for row in column for _ in range(_A_WORD if row.is_lettering else 1)]
    cuts = shortest_cuts(np.array(spans + _kept_whole(column, high)), high)
    for cut in cuts:
        here = [row for row in column if _shows(row, cut) and (shrunk == 1.0 or not row.of_true_size)]
        if here:
            ends = Box.united(row.box for row in here)
            top, bottom = max(cut.top, ends.top), min(cut.bottom, ends.bottom)
            yield Block(here, bounds.left, top, bottom, shrunk)


def _kept_whole(column: Sequence[Row], high: float) -> list[tuple[float, float]]:
    """Return from where to where a column should not be cut: a layer that is no higher than a page, a heading and what follows it."""
    layers: dict[inkex.BaseElement, list[Box]] = {}
    for row in column:
        layers.setdefault(row.layer, []).append(row.box)
    whole = [Box.united(boxes) for boxes in layers.values()]
    ordered = sorted(column, key=lambda row: row.box.top)
    headed = [Box.united([row.box, below.box]) for row, below in zip(ordered, ordered[1:]) if "font-weight:bold" in row.element.get("style", "")]
    return [(box.top, box.bottom) for box in [*whole, *headed] if box.height <= high]


def _shows(row: Row, cut: Cut) -> bool:
    """Return whether a row stands between the ends of a page, in part at least; lettering stands where its middle is."""
    if row.is_lettering:
        return cut.top <= (row.box.top + row.box.bottom) / 2 < cut.bottom
    return row.box.top < cut.bottom and row.box.bottom > cut.top


def draw_reports(layer: inkex.Layer, setting: Setting, boxes: Sequence[Box], title: str, numbers: Sequence[str]) -> None:
    """Draw each page of a setting into the printable part of its sheet; ``numbers`` say which sheet it is."""
    sheet = Sheet(layer)
    drawn = sheet.add_layer("Reports", "report copies")
    for page, box, number in zip(setting.pages, boxes, numbers):
        sheet.text(drawn, [f"{title}, {number}"], box.left, box.top, size=SMALL_SIZE, label=f"Head of {number}")
        y = box.top + HEAD
        for block in page:
            _draw_block(sheet, drawn, block, box, y)
            y += block.high + BETWEEN


def _draw_block(sheet: Sheet, layer: inkex.Layer, block: Block, inside: Box, y: float) -> None:
    """Draw a block ``inside`` a page, from ``y`` down; what is longer than the page ends with it."""
    k = block.shrunk
    moved = Affine(k, 0.0, 0.0, k, inside.left - k * block.left, y - k * block.top)
    longer = [row for row in block.rows if not row.is_lettering and (row.box.top < block.top or row.box.bottom > block.bottom)]
    ends = _ends(layer, Box(inside.left, y, inside.right, y + block.high)) if longer else None
    for row in block.rows:
        one = copy.deepcopy(row.element)  # what is longer than a page stands on two
        one.attrib["transform"] = written(moved @ row.placed)
        (ends if ends is not None and row in longer else layer).append(one)
    if longer:
        sheet.text(layer, [notes.GOES_ON], inside.left, y + block.high + SMALL_SIZE * LEADING / 4, size=SMALL_SIZE, label="Goes on")


def _ends(layer: inkex.Layer, box: Box) -> inkex.Group:
    """Return a new group whose contents are seen only within a box."""
    clip = inkex.ClipPath()
    clip.set("id", layer.root.get_unique_id("page-end"))
    layer.append(clip)
    clip.append(inkex.Rectangle.new(box.left, box.top, box.width, box.height))
    group = inkex.Group()
    group.set("clip-path", f"url(#{clip.get('id')})")
    layer.append(group)
    return group


# --- rows ----------------------------------------------------------------------------------------------


def _rows_of(svg: inkex.SvgDocumentElement, part: Part) -> list[Row]:
    """Return what a report is made of, lettering row by row."""
    rows = []
    for element in shown_objects(part.elements):
        placed = affine_of(to_millimetres(element))
        layer = element.getparent()
        true = part_of(layer) == TEST_SQUARE_LAYER
        lettered = [(one, drawn_text_box(one)) for one in _by_rows(element)]
        if lettered and all(box for _, box in lettered):
            rows += [Row(one, placed, placed.apply_to_box(box), layer, true) for one, box in lettered if box]
        else:
            boxes = in_millimetres(svg, boxes_of(svg, [element]))
            rows += [Row(_copy(element), placed, Box.united(boxes), layer, true)] if boxes else []
    return rows


def _by_rows(element: inkex.BaseElement) -> Iterator[inkex.TextElement]:
    """Yield lettering as one text for each row that has a place of its own; nothing where there is any other."""
    if not isinstance(element, inkex.TextElement) or not all({"x", "y"} <= set(span.attrib) for span in element):
        return
    for k in range(len(element)):
        if not element[k].text:  # an empty cell of a table
            continue
        one = _copy(element)
        span = one[k]
        for other in [each for each in one if each is not span]:
            one.remove(other)
        one.attrib.update({"x": span.attrib["x"], "y": span.attrib["y"]})
        yield mark(one, LETTERING)


def _copy(element: inkex.BaseElement) -> inkex.BaseElement:
    """Return a copy that bears neither an id nor a mark of ours: it is no part of the sleeve."""
    own = copy.deepcopy(element)
    for each in own.iter():
        for name in [name for name in each.attrib if name == "id" or name.startswith(OURS)]:
            del each.attrib[name]
    return own
