"""The whole pattern small on one sheet, for the notebook or the class: dimensioned, with a scale bar, not to be cut from."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import inkex

from extension.document import pages
from extension.document.extents import Survey
from extension.document.parts import new_layer
from extension.drawing.lettering import LEADING, wrap
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, draw_text, fill_with_stroke, text_box
from extension.drawing.sheet import Column, Sheet
from extension.printing.first_page import LONGEST_TITLE
from extension.printing.page_sheet import draw_frames
from extension.printing.print_run import prepared, settle, sheets_layer
from extension.printing.printed_parts import parts_of, title_of_sleeve
from extension.printing.redrawn import Look, Pattern, patterns_of, put_at, redraw
from extension.printing.size_key import KeyRow, draw_key, key_of, without_names
from extension.wording import notes
from geometry.box import Box
from geometry.measuring.lengths import write_length
from geometry.paper.clearance import Clearance
from geometry.paper.dimensions import BAR, BAR_HEIGHT, HEAD_WIDTH, Dimension, height_of, scale_bar, width_of
from geometry.paper.papers import Printing
from geometry.paper.scales import SCALES, scales_from
from geometry.paper.side_by_side import within
from geometry.refusal import Refused

#: Lines are as wide as at true size; lettering is all of one size, no smaller than anywhere.
SIZES = (SMALL_SIZE,)
LEAST_WIDTH = 0.25
CLEAR = 0.8
INK = "#000000"

#: Between two pieces, and around the scale bar above them, millimetres.
BETWEEN, BAR_ROOM = 6.0, 8.0
TITLE_SIZE = 5.0
#: From a dimension line to its number.
OFF_DIMENSION = 1.0


def print_small(
    svg: inkex.SvgDocumentElement,
    sleeve: inkex.Layer,
    ticked: Mapping[str, bool],
    printing: Printing,
    scale: int,
    unit: str,
    said: Sequence[str],
) -> None:
    """Draw the ticked patterns of a sleeve on one sheet, in place of the pages of an earlier run, so many times smaller
    as ``scale`` says, or as many more as they need; ``said`` is lettered below its name.

    Raises :class:`Refused`; the document is then half changed and must be thrown away.
    """
    document = prepared(svg)
    survey = Survey(svg)
    patterns = patterns_of(svg, without_names(parts_of(sleeve, ticked, survey)))
    before = survey.drawn()
    layer = sheets_layer(svg, sleeve)
    key = key_of(sleeve, unit)
    lengths = notes.SMALL_SCALE_LENGTHS if key else f"{notes.SMALL_SCALE_LENGTHS} {notes.SMALL_SCALE_ARROWS}"
    head = Head(title_of_sleeve(sleeve)[:LONGEST_TITLE], [lengths, *said])
    sides, used = _draw_patterns(layer, patterns, key, head, printing, scale, unit)
    inside = Box(0.0, 0.0, *sides)
    _draw_head(Sheet(new_layer(layer, "Name and scale", "small scale head")), inside, head, used, unit)
    if not document.with_pages:
        draw_frames(layer, [inside])
    place = settle(svg, layer, inside.grown(printing.white), document, before)
    if document.with_pages:
        pages.add_pages(svg, [(notes.small_scale_page(used), place)])


class Head(NamedTuple):
    """What stands above the pattern: whose it is, and what is ``said`` of it."""

    title: str
    said: Sequence[str]

    def paragraphs(self, scale: int) -> list[tuple[str, float, bool]]:
        """Return what is lettered, each paragraph's size, and whether it is bold."""
        last = [(words, SMALL_SIZE, False) for words in self.said]
        return [(self.title, BODY_SIZE, True), (notes.small_scale(scale), TITLE_SIZE, True), *last]

    def height(self, width: float) -> float:
        """Return how high it is, the bar below it included."""
        rows = [LEADING * size * len(wrap(words, size, width, bold)) for words, size, bold in self.paragraphs(SCALES[-1])]
        return sum(rows) + BAR_HEIGHT + BAR_ROOM


def _draw_patterns(
    layer: inkex.Layer, patterns: Sequence[Pattern], key: list[KeyRow], head: Head, printing: Printing, asked: int, unit: str
) -> tuple[tuple[float, float], int]:
    """Draw the patterns on the sheet, at the largest scale from the one that is ``asked`` at which they fit; return what
    the sheet prints, and the scale.
    """
    for scale in scales_from(asked):
        panels = [_draw_pattern(layer, pattern, key, scale, unit) for pattern in patterns]
        sizes = [(panel.bounds.width, panel.bounds.height) for panel in panels]
        for wide, high in printing.printable():
            top = head.height(wide)
            arranged = within(sizes, (wide, high - top), BETWEEN)
            if arranged is not None:
                put_at(panels, [(x, y + top) for x, y in arranged.places])
                return (wide, high), scale
        for panel in panels:
            layer.remove(panel.layer)
    raise Refused("too large at every scale", most=scales_from(asked)[-1])


def _draw_pattern(layer: inkex.Layer, pattern: Pattern, key: list[KeyRow], scale: int, unit: str) -> Sheet:
    """Return a panel with one pattern, drawn small and dimensioned, of nested sizes by their key."""
    panel = Sheet(new_layer(layer, "Small", "small pattern"), Clearance(CLEAR))
    cut, look = pattern.cut(), Look(1 / scale, 1.0, LEAST_WIDTH, SIZES, INK)
    small = cut.scaled(1 / scale, 1 / scale)
    if not key:
        _dimension(panel, width_of(small), write_length(cut.width, unit), upright=False)
        _dimension(panel, height_of(small), write_length(cut.height, unit), upright=True)
    redraw(panel, pattern, look)
    draw_key(panel, key, look)
    return panel


def _dimension(panel: Sheet, dimension: Dimension, length: str, upright: bool) -> None:
    """Draw a dimension, its number above the line or, where the line is too short for it, past its end.

    Above a line that is upright is left of it.
    """
    for curve in (dimension.line, *dimension.projections):
        panel.curve(panel.layer, curve, "thin", "Dimension line", "dimension line")
    for head in dimension.heads:
        fill_with_stroke(panel.curve(panel.layer, head, "thin", "Arrowhead", "dimension arrowhead"), "thin")
    (x, y), end = dimension.line.point(0.5).tolist(), dimension.line.end.tolist()
    room = text_box([length], 0.0, 0.0, SMALL_SIZE)
    wide, high = room.width, room.height + HEAD_WIDTH / 2  # clear of the arrowheads
    look = {"size": SMALL_SIZE, "label": "Dimension"}
    if dimension.line.length() < wide + 2 * OFF_DIMENSION:
        at_x, at_y = (x, y) if upright else end
        panel.text(panel.layer, [length], at_x + OFF_DIMENSION, at_y - high / 2, **look)
    elif not upright:
        panel.text(panel.layer, [length], x, y - high, anchor="middle", **look)
    else:
        text = draw_text(panel.layer, [length], x, y - high, anchor="middle", **look)
        text.attrib["transform"] = f"rotate(-90, {x:.3f}, {y:.3f})"
        panel.hold(Box(x - high, y - wide / 2, x, y + wide / 2))


def _draw_head(sheet: Sheet, inside: Box, head: Head, scale: int, unit: str) -> None:
    """Letter whose pattern it is and that it is small, and draw the bar that shows how small."""
    column = Column(sheet, sheet.layer, inside.left, inside.top, inside.width)
    for words, size, bold in head.paragraphs(scale):
        column.paragraph(words, size, bold=bold)
    for k, field in enumerate(scale_bar(inside.left, column.y + BAR_HEIGHT, unit, scale)):
        drawn = sheet.curve(sheet.layer, field, "thin", "Scale bar", "scale bar")
        if k % 2 == 0:
            fill_with_stroke(drawn, "thin")
    _, top, right, _ = field.bounds()
    sheet.text(sheet.layer, [notes.bar_length(BAR[unit][0], unit)], right + 2 * OFF_DIMENSION, top - 0.5, size=SMALL_SIZE)
