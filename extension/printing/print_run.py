"""Puts a sleeve on sheets: the editor's pages over the drawing, and the layer of marks that goes with them."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

import inkex
import numpy as np

from extension.document import pages
from extension.document.extents import Survey, boxes_of
from extension.document.free_room import free_room, page_boxes
from extension.document.names import LOCKED
from extension.document.part_names import BOOK_REPORT, NESTED, SHEETS, SLEEVE
from extension.document.parts import find_parts, mark, new_sleeve_layer, part_of, place_layer
from extension.document.scale import millimetres_to_user
from extension.printing.covering import boxes_in_millimetres, cover
from extension.printing.first_page import (
    LONGEST_TITLE,
    UPRIGHT,
    WIDE,
    Rooms,
    draw_first_page,
    first_page_size,
    pointer,
    rooms_on_sheets,
    rooms_within,
    short_title,
)
from extension.printing.moved_lettering import keep_off_joins, put_back
from extension.printing.page_sheet import FRAME_CLEAR, FRAME_INSET, Piece, Printed, draw_frames, mark_sheets
from extension.printing.printed_parts import Part, drawn_in, in_millimetres, is_shown, parts_of, title_of_sleeve
from extension.printing.report_pages import Setting, draw_reports, set_reports
from extension.printing.set_apart import lie_on, set_apart
from extension.wording import notes
from geometry.box import Box
from geometry.measuring.lengths import write_length, write_small
from geometry.paper.ground import together
from geometry.paper.papers import Printing
from geometry.paper.tiling import SMALL_MARGINS, lay_out_parts, leaning, one_page_with, with_margin
from geometry.refusal import Refused

#: On a single large page, the test squares and the map stand this far from the drawing.
BLOCK_GAP = 5.0

#: From the first page to whatever else there is.
PAGE_GAP = 20.0

#: Our outermost layers that tell of clients.
OUTERMOST = (SLEEVE, NESTED, BOOK_REPORT)


class About(NamedTuple):
    """What is told of a sleeve beside its lines: ``said`` first on the first page; in a title block whose it is, its
    allowances, and the date.
    """

    said: Sequence[str] = ()
    client: str = ""
    allowances: str = ""
    date: str = ""


def print_sleeve(
    svg: inkex.SvgDocumentElement, sleeve: inkex.Layer, ticked: Mapping[str, bool], printing: Printing, unit: str, about: About
) -> None:
    """Lay out the ticked parts of a sleeve on sheets, in place of those of an earlier run.

    Raises :class:`Refused`; the document is then half changed and must be thrown away.
    """
    document = prepared(svg)
    with_pages = document.with_pages
    layer = sheets_layer(svg, sleeve)
    survey = Survey(svg, but=[layer])
    parts = parts_of(sleeve, ticked, survey)
    rest = _rest(svg, sleeve, parts)
    avoid = in_millimetres(svg, [box for each in rest.hers for box in survey.boxes_of(each)] + ([] if document.page_is_free else page_boxes(svg)))
    covered, of_others = (boxes_in_millimetres(survey, elements) for elements in (rest.unticked, rest.of_others))
    setting = set_reports(svg, [part for part in parts if not part.is_pattern], printing)
    laid = _laid_out(_pieces(svg, parts), avoid, [Box.united(boxes) for boxes in (*covered, *of_others) if boxes], printing)
    if not laid.printed and setting is None:
        raise Refused("nothing to print")
    others = [box for boxes in of_others for box in boxes]
    sheets_over = [part.tiling.page(tile) for part in laid.printed for tile in part.tiling.tiles]
    if lie_on(sheets_over, others):
        parts, avoid, covered, others = set_apart(svg, layer, parts, sheets_over, survey.drawn()), [], [], []
        laid = _laid_out(_pieces(svg, parts), avoid, [], printing)
    title = title_of_sleeve(sleeve)
    to_say = ToSay(short_title(title), printing, unit, about, with_pages, alone=setting is None)
    lettered = _lettered(laid, avoid, [Box.united(boxes) for boxes in covered if boxes], others, to_say)

    survey.forget(element for part in parts if part.is_pattern for element in part.elements)  # lettering has been moved off joins
    printed, rooms = lettered.printed, lettered.rooms
    drawn = [] if rooms else survey.drawn()
    tiles = [(tile.code, part.tiling.page(tile)) for part in printed for tile in part.tiling.tiles]
    for part in printed:
        cover(layer, covered, [page for _, page in tiles], part.ground().points)
    count = len(tiles) + (len(setting.pages) if setting else 0)
    mark_sheets(layer, printed, rooms.boxes() if rooms else [], pointer(printed, rooms) if rooms else "", count, framed=not with_pages)
    sheets = list(tiles)
    on_page = document.page_is_free
    if printed and not rooms:
        first = _room_for_first_page(svg, printed, printing, on_page, drawn)
        rooms = rooms_within(first, [])
        sheets.insert(0, (notes.FIRST_PAGE, first.grown(printing.white)))
    if rooms:
        draw_first_page(layer, rooms, short_title(title), printed, lettered.said, lettered.fields)
    if setting:
        sheets += _report_sheets(svg, layer, setting, printing, title, (len(tiles), count), on_page and not printed, with_pages)
    if with_pages:
        pages.add_pages(svg, sheets)


class Prepared(NamedTuple):
    """Her document as it is before sheets come: whether it can have pages, and whether the page that it has of itself is free."""

    with_pages: bool
    page_is_free: bool


def prepared(svg: inkex.SvgDocumentElement) -> Prepared:
    """Take the sheets of an earlier run away, with all that was done for them, and list the page that the document has of
    itself if she drew on it.
    """
    put_back(svg)
    for marks in find_parts(svg, SHEETS):
        marks.getparent().remove(marks)
    pages.remove_our_pages(svg)
    with_pages, listed = pages.can_have_pages(svg), pages.has_pages(svg)
    if with_pages:
        pages.refuse_untrue(svg)
    is_hers = not listed and _draws_on_own_page(svg)
    if with_pages and is_hers:
        pages.list_own_page(svg)
    return Prepared(with_pages, page_is_free=not listed and not is_hers)


def sheets_layer(svg: inkex.SvgDocumentElement, sleeve: inkex.Layer) -> inkex.Layer:
    """Return a new layer for what is on the sheets of a sleeve."""
    layer = mark(new_sleeve_layer(svg, "Print pages", part=SHEETS), SHEETS, shows=pages.state_of(sleeve))
    layer.attrib[LOCKED] = "true"  # else the frames are in her way when she edits the pattern
    return layer


def settle(svg: inkex.SvgDocumentElement, layer: inkex.Layer, page: Box, document: Prepared, drawn: list[Box]) -> Box:
    """Move the layer so that its ``page`` lies where there is room beside what was ``drawn``, and return where it is."""
    room = free_room(svg, page.width, page.height, PAGE_GAP, document.page_is_free, drawn)
    scale = millimetres_to_user(svg)
    place_layer(layer, room, scale, (page.left, page.top))
    return page.moved(room.x / scale.a - page.left, room.y / scale.d - page.top)


def _pieces(svg: inkex.SvgDocumentElement, parts: list[Part]) -> list[Piece]:
    """Return what of the parts is pattern."""
    drawn = [(part, drawn_in(svg, part.elements)) for part in parts if part.is_pattern]
    return [Piece(part.title, part.elements, what, what.ground()) for part, what in drawn if what.curves or what.boxes]


class Laid(NamedTuple):
    """Pieces on their sheets, and the room for test squares and map on a single one."""

    printed: list[Printed]
    block: Box | None


def _laid_out(pieces: list[Piece], avoid: list[Box], covered: list[Box], printing: Printing) -> Laid:
    """Return the pieces on their sheets, which keep off the boxes to ``avoid`` and what is ``covered`` where they can."""
    if not pieces:
        return Laid([], None)
    grounds = [piece.ground for piece in pieces]
    single = one_page_with(together(grounds), (WIDE, UPRIGHT), BLOCK_GAP, printing, [*avoid, *covered], FRAME_INSET + FRAME_CLEAR)
    if single is not None:
        tiling, block = single
        return Laid([Printed(pieces, tiling)], block)
    tilings = lay_out_parts(grounds, printing, [*avoid, *covered])
    shared = [pieces] if len(tilings) == 1 else [[piece] for piece in pieces]
    return Laid([Printed(*one) for one in zip(shared, tilings)], None)


class ToSay(NamedTuple):
    """What the lettering beside the test squares is made of; ``alone`` where no report is printed with the sleeve."""

    title: str
    printing: Printing
    unit: str
    about: About
    with_pages: bool
    alone: bool


class Lettered(NamedTuple):
    """Pieces on their sheets, lettering off the joins; on these the ``rooms`` for test squares, lettering and map, or None
    where there are none; what is ``said`` there, and the ``fields`` of a title block in place of the map, if any.
    """

    printed: list[Printed]
    rooms: Rooms | None
    said: list[str]
    fields: list[tuple[str, str]]


def _lettered(laid: Laid, avoid: list[Box], covered: list[Box], others: list[Box], to_say: ToSay) -> Lettered:
    """Return the same with its lettering off the joins, and room for test squares and map where there is any, off what is to
    ``avoid`` always.

    Sheets that have no such room are laid otherwise if they have it then, but never on what is of ``others``.
    """
    printed = laid.printed
    if laid.block or not printed:
        fields = _fields(printed, to_say) if laid.block and to_say.alone else []
        return Lettered(printed, rooms_within(laid.block, fields) if laid.block else None, _said(printed, to_say) if printed else [], fields)
    said = _said(printed, to_say)
    for one in chain([printed], _laid_otherwise(printed, [*avoid, *covered], others)):
        found = rooms_on_sheets(one, to_say.title, said, avoid)
        if found is not None:
            return Lettered(keep_off_joins(one, found[0].boxes()), *found, [])
    return Lettered(keep_off_joins(printed), None, _said(printed, to_say, beside=True), [])


def _laid_otherwise(printed: Sequence[Printed], avoid: Sequence[Box], others: Sequence[Box]) -> Iterator[list[Printed]]:
    for tilings in leaning([part.ground() for part in printed], [part.tiling for part in printed], avoid):
        if not lie_on([tiling.page(tile) for tiling in tilings for tile in tiling.tiles], others):
            yield [part._replace(tiling=tiling) for part, tiling in zip(printed, tilings)]


def _report_sheets(
    svg: inkex.SvgDocumentElement,
    layer: inkex.Layer,
    setting: Setting,
    printing: Printing,
    title: str,
    numbers: tuple[int, int],
    on_page: bool,
    with_pages: bool,
) -> list[tuple[str, Box]]:
    """Draw the reports' pages side by side where there is room, and return what they are called and where they are.

    ``numbers`` are how many sheets come before them, and how many there are in all.
    """
    before, count = numbers
    wide, high = np.add(setting.size, 2 * printing.white).tolist()
    step = wide + PAGE_GAP
    room = free_room(svg, len(setting.pages) * step - PAGE_GAP, high, PAGE_GAP, on_page)
    scale = millimetres_to_user(svg)
    sheets = [Box(x, room.y / scale.d, x + wide, room.y / scale.d + high) for x in room.x / scale.a + step * np.arange(len(setting.pages))]
    inside = [sheet.grown(-printing.white) for sheet in sheets]
    draw_reports(layer, setting, inside, title, [notes.sheet_of(before + k, count) for k in range(1, len(sheets) + 1)])
    if not with_pages:
        draw_frames(layer, inside)
    return [(notes.report_page(k), sheet) for k, sheet in enumerate(sheets, start=1)]


class Rest(NamedTuple):
    """What is drawn and isn't to be printed: hers; what we drew of others; and of this sleeve what is not ticked."""

    hers: list[inkex.BaseElement]
    of_others: list[inkex.BaseElement]
    unticked: list[inkex.BaseElement]


def _rest(svg: inkex.SvgDocumentElement, sleeve: inkex.Layer, parts: list[Part]) -> Rest:
    patterns = {element for part in parts if part.is_pattern for element in part.elements}
    outside = [child for child in svg if _shows(child) and sleeve is not child and sleeve not in child.iterdescendants()]
    of_others = [layer for part in OUTERMOST for layer in find_parts(svg, part) if layer is not sleeve and _shows(layer)]
    return Rest(
        [child for child in outside if child not in of_others and part_of(child) != SHEETS],
        of_others,
        [child for child in sleeve if _shows(child) and child not in patterns],
    )


def _draws_on_own_page(svg: inkex.SvgDocumentElement) -> bool:
    """Whether she has anything but sleeves and sizes on the page that the document has of itself."""
    hers = [child for child in svg if _shows(child) and not find_parts(child, "sleeve") and not find_parts(child, NESTED)]
    [own] = page_boxes(svg)
    return any(own.overlaps(box) for box in boxes_of(svg, hers))


def _shows(element: inkex.BaseElement) -> bool:
    return isinstance(element.tag, str) and is_shown(element)


def _room_for_first_page(
    svg: inkex.SvgDocumentElement, printed: list[Printed], printing: Printing, on_page: bool, drawn: list[Box]
) -> Box:
    """Return the printable part of a first page, beside the sheets and what was ``drawn``, or on the document's empty page."""
    left, top, right, bottom = printed[0].tiling.tiles[0].box
    lies = right - left > bottom - top
    least = first_page_size(sorted(printing.printable(), key=lambda size: (size[0] > size[1]) != lies), printing.white)
    wide, high = printing.fitted(least).tolist()
    white = printing.white
    scale = millimetres_to_user(svg)
    sheets = [part.tiling.page(tile).scaled(scale.a, scale.d) for part in printed for tile in part.tiling.tiles]
    room = free_room(svg, wide + 2 * white, high + 2 * white, PAGE_GAP, on_page, drawn + sheets)
    x, y = room.x / scale.a + white, room.y / scale.d + white
    return Box(x, y, x + wide, y + high)


def _how_many(printed: list[Printed], printing: Printing, beside: bool = False) -> str:
    """Say how many sheets there are, ``beside`` a first page or not."""
    tiles = [tile for part in printed for tile in part.tiling.tiles]
    landscape = sum(tile.box.width > tile.box.height for tile in tiles)
    if len(tiles) == 1 and not beside:
        return notes.only_sheet(printing.paper.name)
    return notes.sheets(len(tiles) - landscape, landscape, printing.paper.name, beside)


def _said(printed: list[Printed], to_say: ToSay, beside: bool = False) -> list[str]:
    """What the first page says besides “print at 100 %”; it stands on one of the sheets, or ``beside`` them on its own."""
    printing, unit, count = to_say.printing, to_say.unit, sum(len(part.tiling.tiles) for part in printed)
    said = [_how_many(printed, printing, beside), *to_say.about.said, *([] if to_say.with_pages else [notes.NO_PAGES])]
    if any(True for part in printed for _ in part.tiling.joins()):
        said.append(notes.gluing(write_small(printing.overlap, unit) if printing.overlap else ""))
    smaller = SMALL_MARGINS[unit]
    saving = _with_margin(printed, printing, smaller) if count > 1 and smaller < printing.margin else count
    if saving < count:
        said.append(notes.smaller_margin(write_small(smaller, unit), saving))
    return [*said, notes.WHAT_PRINTS, notes.HOW_TO_SAVE]


def _fields(printed: list[Printed], to_say: ToSay) -> list[tuple[str, str]]:
    """Return what stands in the title block of a single sheet."""
    [part], (_, printing, unit, about, *_) = printed, to_say
    page = part.tiling.page(part.tiling.tiles[0])
    size = notes.sheet_size(printing.paper.name, *(write_length(side, unit) for side in (page.width, page.height)))
    return notes.title_block(part.title()[:LONGEST_TITLE], about.client[:LONGEST_TITLE], unit, about.date, about.allowances, size)


def _with_margin(printed: list[Printed], printing: Printing, margin: float) -> int:
    """Return how many sheets another margin takes in all."""
    return sum(with_margin(part.ground(), printing, margin) for part in printed)
