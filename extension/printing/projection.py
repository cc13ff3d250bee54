"""One large page to project on the cloth: wide lines and large lettering, over a grid by which the projector is set."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import inkex

from extension.document import pages
from extension.document.extents import Survey
from extension.document.parts import new_layer
from extension.document.paths import path_data
from extension.drawing.lettering import wrap
from extension.drawing.pens import draw_data, text_box
from extension.drawing.sheet import Sheet
from extension.printing.first_page import LONGEST_TITLE
from extension.printing.print_run import prepared, settle, sheets_layer
from extension.printing.printed_parts import parts_of, title_of_sleeve
from extension.printing.redrawn import Look, Pattern, patterns_of, put_at, redraw
from extension.printing.size_key import KeyRow, draw_key, key_of, without_names
from extension.wording import notes
from geometry.box import Box
from geometry.paper.clearance import Clearance
from geometry.paper.papers import CUT_OFF, LONGEST_PAGE, whole_points
from geometry.paper.scales import grid_around, grid_lines
from geometry.paper.side_by_side import on_least_sheet
from geometry.refusal import Refused

#: Lines are four times as wide as on paper, 1 and 2 mm, and lettering 10 mm or larger (common practice, no source).
WIDER, LEAST_WIDTH = 4.0, 1.0
SIZES = (15.0, 12.0, 10.0)
#: Lettering keeps so far from the middle of a line, millimetres.
CLEAR = 2.2

#: Between two pieces, and around all of them, where the grid is numbered, millimetres.
BETWEEN, EDGE = 30.0, 40.0
#: From a line of the grid to its number.
NUMBER_GAP = 1.5


class Colours(NamedTuple):
    """What a projection is drawn in: the ground, the pattern, fine and strong lines of the grid."""

    ground: str
    ink: str
    fine: str
    strong: str


#: Grids are greys that the pattern stands out from.
COLOURS = {
    "dark_on_light": Colours("#ffffff", "#000000", "#dcdcdc", "#9a9a9a"),
    "light_on_dark": Colours("#000000", "#ffffff", "#3a3a3a", "#7a7a7a"),
}


def print_projection(
    svg: inkex.SvgDocumentElement, sleeve: inkex.Layer, ticked: Mapping[str, bool], colours: str, grid: str, unit: str, said: Sequence[str]
) -> None:
    """Draw the ticked patterns of a sleeve on one page of true size, in place of the pages of an earlier run.

    ``grid`` is the unit of its squares, or "none"; ``said`` is lettered with its name.  Raises :class:`Refused`; the document
    is then half changed and must be thrown away.
    """
    document = prepared(svg)
    survey = Survey(svg)
    patterns = patterns_of(svg, without_names(parts_of(sleeve, ticked, survey)))
    before = survey.drawn()
    chosen = COLOURS[colours]
    layer = sheets_layer(svg, sleeve)
    ground = Sheet(new_layer(layer, "Ground and grid", "projection ground"))
    drawn = _draw_patterns(layer, patterns, key_of(sleeve, unit), chosen)
    words = wrap(" ".join([notes.projected(title_of_sleeve(sleeve)[:LONGEST_TITLE], grid), *said]), SIZES[-1], drawn.width)
    drawn = drawn._replace(bottom=drawn.bottom + max(0.0, text_box(words, 0.0, 0.0, SIZES[-1]).height + 2 * NUMBER_GAP - EDGE))
    inside = drawn.grown(EDGE) if grid == "none" else grid_around(drawn, grid, EDGE)
    page = _page_around(inside)
    if max(page.width, page.height) > LONGEST_PAGE:
        raise Refused("projection too large", wide=page.width, high=page.height, most=LONGEST_PAGE)
    _draw_ground(ground, page, chosen)
    if grid != "none":
        _draw_grid(ground, inside, chosen, grid)
    _letter_name(ground, inside, words, chosen.ink)
    place = settle(svg, layer, page, document, before)
    if document.with_pages:
        pages.add_pages(svg, [(notes.PROJECTION, place)])


def _draw_patterns(layer: inkex.Layer, patterns: list[Pattern], key: list[KeyRow], colours: Colours) -> Box:
    """Draw the patterns side by side, the key of sizes below, and return what they take."""
    look = Look(1.0, WIDER, LEAST_WIDTH, SIZES, colours.ink)
    panels = []
    for pattern in patterns:
        panels.append(Sheet(new_layer(layer, "Projected", "projected pattern"), Clearance(CLEAR)))
        redraw(panels[-1], pattern, look)
        draw_key(panels[-1], key, look)
    sizes = [(panel.bounds.width, panel.bounds.height) for panel in panels]
    arranged = on_least_sheet(sizes, BETWEEN, LONGEST_PAGE - 4 * EDGE)
    put_at(panels, arranged.places)
    return Box(0.0, 0.0, arranged.wide, arranged.high)


def _page_around(inside: Box) -> Box:
    """Return the page, of whole points, on which the lines along the edges of a box show whole."""
    left, top, right, bottom = inside.grown(CUT_OFF + LEAST_WIDTH)
    wide, high = whole_points([right - left, bottom - top], up=True).tolist()
    return Box(left, top, left + wide, top + high)


def _draw_ground(sheet: Sheet, page: Box, colours: Colours) -> None:
    left, top, right, bottom = page
    data = f"M {left:.4f} {top:.4f} H {right:.4f} V {bottom:.4f} H {left:.4f} Z"
    draw_data(sheet.layer, data, f"fill:{colours.ground};stroke:none", "Ground", "ground")


def _letter_name(sheet: Sheet, inside: Box, rows: Sequence[str], ink: str) -> None:
    """Letter whose pattern it is along the bottom, clear of the grid's numbers at the left."""
    size = SIZES[-1]
    room = text_box(rows, 0.0, 0.0, size)
    sheet.text(sheet.layer, rows, inside.left + EDGE, inside.bottom - room.height - NUMBER_GAP, size=size, colour=ink)


def _draw_grid(sheet: Sheet, inside: Box, colours: Colours, unit: str) -> None:
    """Draw a grid, the strong lines numbered along the top and the left."""
    size = SIZES[-1]
    for line in grid_lines(inside, unit):
        colour = colours.strong if line.strong else colours.fine
        style = f"fill:none;stroke:{colour};stroke-width:{LEAST_WIDTH:g}"
        draw_data(sheet.layer, path_data(line.line), style, f"Grid {line.number}", "grid line")
        x, y = line.line.start.tolist()
        if line.strong and line.number and x < inside.right:  # right of the last one the page ends
            top = y + NUMBER_GAP if line.upright else y - text_box(["0"], 0.0, 0.0, size).height
            sheet.text(sheet.layer, [str(line.number)], x + NUMBER_GAP, top, size=size, colour=colours.strong)
