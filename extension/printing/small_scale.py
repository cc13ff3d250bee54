"""The whole pattern small on one sheet, for the notebook or the class: dimensioned, with a scale bar, not to be cut from."""
from __future__ import annotations

from collections.abc import Mapping, Sequence

import inkex

from extension.document import pages
from extension.document.extents import Survey
from extension.document.parts import new_layer
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, draw_text, fill_with_stroke, text_box
from extension.drawing.sheet import Column, Sheet
from extension.printing.first_page import LONGEST_TITLE
from extension.printing.page_sheet import draw_frames
from extension.printing.print_run import prepared, settle, sheets_layer
from extension.printing.printed_parts import parts_of, title_of
from extension.printing.redrawn import Look, Pattern, patterns_of, put_at, redraw
from extension.wording import notes
from geometry.box import Box
from geometry.measuring.lengths import write_length
from geometry.paper.dimensions import BAR, BAR_HEIGHT, HEAD_WIDTH, Dimension, height_of, scale_bar, width_of
from geometry.paper.papers import Printing
from geometry.paper.scales import scales_from
from geometry.paper.side_by_side import within
from geometry.refusal import Refused

#: Lines are as wide as at true size; lettering is all of one size, no smaller than anywhere.
SIZES = (SMALL_SIZE,)
LEAST_WIDTH = 0.25
CLEAR = 0.8
INK = "#000000"

#: Between two pieces, and what stands above them: name, scale and bar, millimetres.
BETWEEN, HEAD = 6.0, 30.0
TITLE_SIZE = 5.0
#: From a dimension line to its number.
OFF_DIMENSION = 1.0


def print_small(
    svg: inkex.SvgDocumentElement, sleeve: inkex.Layer, ticked: Mapping[str, bool], printing: Printing, scale: int, unit: str
) -> None:
    """Draw the ticked patterns of a sleeve on one sheet, in place of the pages of an earlier run, so many times smaller
    as ``scale`` says, or as many more as they need.

    Raises :class:`Refused`; the document is then half changed and must be thrown away.
    """
    document = prepared(svg)
    survey = Survey(svg)
    patterns = patterns_of(svg, parts_of(sleeve, ticked, survey))
    before = survey.drawn()
    layer = sheets_layer(svg, sleeve)
    sides, used = _draw_patterns(layer, patterns, printing, scale, unit)
    inside = Box(0.0, 0.0, *sides)
    _draw_head(Sheet(new_layer(layer, "Name and scale", "small scale head")), inside, title_of(sleeve), used, unit)
    if not document.with_pages:
        draw_frames(layer, [inside])
    place = settle(svg, layer, inside.grown(printing.white), document, before)
    if document.with_pages:
        pages.add_pages(svg, [(notes.small_scale_page(used), place)])


def _draw_patterns(
    layer: inkex.Layer, patterns: Sequence[Pattern], printing: Printing, asked: int, unit: str
) -> tuple[tuple[float, float], int]:
    """Draw the patterns on the sheet, at the largest scale from the one that is ``asked`` at which they fit; return what
    the sheet prints, and the scale.
    """
    for scale in scales_from(asked):
        panels = [_draw_pattern(layer, pattern, scale, unit) for pattern in patterns]
        sizes = [(panel.bounds.width, panel.bounds.height) for panel in panels]
        for wide, high in printing.printable():
            arranged = within(sizes, (wide, high - HEAD), BETWEEN)
            if arranged is not None:
                put_at(panels, [(x, y + HEAD) for x, y in arranged.places])
                return (wide, high), scale
        for panel in panels:
            layer.remove(panel.layer)
    raise Refused("too large at every scale", most=scales_from(asked)[-1])


def _draw_pattern(layer: inkex.Layer, pattern: Pattern, scale: int, unit: str) -> Sheet:
    """Return a panel with one pattern, drawn small and dimensioned."""
    panel = Sheet(new_layer(layer, "Small", "small pattern"), CLEAR)
    cut = pattern.cut()
    small = cut.scaled(1 / scale, 1 / scale)
    _dimension(panel, width_of(small), write_length(cut.width, unit), upright=False)
    _dimension(panel, height_of(small), write_length(cut.height, unit), upright=True)
    redraw(panel, pattern, Look(1 / scale, 1.0, LEAST_WIDTH, SIZES, INK))
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


def _draw_head(sheet: Sheet, inside: Box, title: str, scale: int, unit: str) -> None:
    """Letter whose pattern it is and that it is small, and draw the bar that shows how small."""
    column = Column(sheet, sheet.layer, inside.left, inside.top, inside.width)
    column.paragraph(title[:LONGEST_TITLE], BODY_SIZE, bold=True)
    column.paragraph(notes.small_scale(scale), TITLE_SIZE, bold=True)
    column.paragraph(notes.SMALL_SCALE_LENGTHS, SMALL_SIZE)
    for k, field in enumerate(scale_bar(inside.left, column.y + BAR_HEIGHT, unit, scale)):
        drawn = sheet.curve(sheet.layer, field, "thin", "Scale bar", "scale bar")
        if k % 2 == 0:
            fill_with_stroke(drawn, "thin")
    _, top, right, _ = field.bounds()
    sheet.text(sheet.layer, [notes.bar_length(BAR[unit][0], unit)], right + 2 * OFF_DIMENSION, top - 0.5, size=SMALL_SIZE)
