"""The first page: test squares, what to mind, and a map of all sheets; or the same in blank corners of the sheets."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.drafting.sleeve_sheet import TEST_SQUARES
from extension.drawing.lettering import LEADING, wrap
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE
from extension.drawing.sheet import Column, Sheet
from extension.printing.page_sheet import Printed
from extension.printing.title_block import draw_title_block, title_block_height
from extension.wording import notes
from geometry.box import Box
from geometry.paper.blank_corners import BlankCorners
from geometry.paper.papers import POINT
from geometry.paper.tiling import Tile, frame
from geometry.refusal import Refused

#: Between its columns, the least room for its lettering and for its map.
GAP = 6.0
LEAST_LETTERING = 50.0
LEAST_MAP = 65.0
#: Lettering is no wider than this, and the map no larger, however large the paper.
WIDEST_LETTERING = 120.0
LARGEST_MAP = 280.0
#: Above each part on the map.
HEADING = 6.0
MAP_SIZES = (6.0, 4.0, SMALL_SIZE)
#: Beside the map the lettering takes this share of the width.
LETTERING_SHARE = 0.5
#: A title ends with the last word within so many letters, or it might leave no room for the map.
LONGEST_TITLE = 60

_SQUARES = [side for _, side in TEST_SQUARES]

#: What the first page takes, upright (the test squares one above the other), where there is room as wide as its lettering
#: may be, and lying (side by side).
UPRIGHT = (max(_SQUARES) + GAP + LEAST_LETTERING, sum(_SQUARES) + GAP)
WIDE = (max(_SQUARES) + GAP + WIDEST_LETTERING, sum(_SQUARES) + GAP)
LYING = (sum(_SQUARES) + GAP, max(_SQUARES) + GAP + LEAST_MAP)

#: In blank corners: from the lines to what stands there; around a test square, so that its line is in its room; how wide
#: the lettering may be, and how long the map, the best first; a sheet on the map is so wide at least, for its code.
CORNER_GAP = 4.0
AROUND_SQUARE = 0.5
CORNER_WIDTHS = (120.0, 100.0, 80.0, 60.0, 150.0, 180.0)
CORNER_MAPS = (150.0, 120.0, 90.0, 65.0, 50.0)
LEAST_ON_MAP = 8.0


class Rooms(NamedTuple):
    """Where each test square stands, the lettering, and the map: below the lettering where their rooms overlap."""

    squares: list[Box]
    lettering: Box
    map: Box

    def boxes(self) -> list[Box]:
        return [*self.squares, self.lettering, self.map]


def first_page_size(sizes: Sequence[tuple[float, float]], white: float) -> tuple[float, float]:
    """Return the first of the printable ``sizes`` (width, height), the sheet lying either way, that holds
    the test squares and the map; sides that are infinite are cut to fit.  Raises :class:`Refused`, and tells how large the paper must be,
    ``white`` at every side.
    """
    for wide, high in (*sizes, *(size[::-1] for size in sizes)):
        for least in (UPRIGHT, LYING):
            if wide >= least[0] and high >= least[1]:
                return (least[0] + GAP if np.isinf(wide) else wide, least[1] + GAP if np.isinf(high) else high)
    wide, high = (side + 2 * white + POINT for side in UPRIGHT)  # a page is up to a point less than its paper
    raise Refused("paper too small for the first page", wide=wide, high=high, white=white)


# --- room ----------------------------------------------------------------------------------------------


def rooms_within(box: Box, fields: Sequence[tuple[str, str]]) -> Rooms:
    """Return the rooms within one box, those of a title block of ``fields`` instead of the map if there are any."""
    upright = box.width >= UPRIGHT[0] - 1e-6 and box.height >= UPRIGHT[1] - 1e-6
    # The test squares' lines would lie on the edge of what prints.
    left, top, right, bottom = box.left + GAP / 4, box.top + GAP / 4, box.right, box.bottom
    squares, (x, y) = [], (left, top)
    for side in _SQUARES:
        squares.append(Box(x, y, x + side, y + side))
        x, y = (x, y + side + GAP / 2) if upright else (x + side + GAP / 2, y)
    if upright:
        x = left + max(_SQUARES) + GAP
        width = min(right - x, WIDEST_LETTERING)
        below = title_block_height(fields, right - x) + GAP if fields else LEAST_MAP
        return Rooms(squares, Box(x, top, x + width, bottom - below), Box(x, top, right, bottom))
    y, width = top + max(_SQUARES) + GAP, min((right - left) * LETTERING_SHARE, WIDEST_LETTERING)
    return Rooms(squares, Box(left, y, left + width, bottom), Box(left + width + GAP, y, right, bottom))


def rooms_on_sheets(printed: Sequence[Printed], title: str, sentences: Sequence[str], avoid: Sequence[Box]) -> tuple[Rooms, list[str]] | None:
    """Return rooms in blank corners of the sheets, one for all or several, off what is drawn and the boxes to ``avoid``, and what
    is lettered there: the sentences, and on which sheets the test squares are where these stand apart; None where there
    aren't enough corners.

    The first sheet is the one that is printed to try the scale: the squares stand there if they can, all else with them or not.
    """
    blank = BlankCorners.of([(part.tiling, part.ground()) for part in printed], CORNER_GAP, avoid)
    around = [[(side + 2 * AROUND_SQUARE, side + 2 * AROUND_SQUARE)] for side in _SQUARES]
    for there in (blank.on_first(), blank):
        together = there.for_one((UPRIGHT, LYING))
        if together is not None:
            return rooms_within(together, []), list(sentences)
        squares = there.for_all(around)
        if squares is None:
            continue
        said = [notes.squares_on(sheets_with(printed, squares)), *sentences]
        lettering = [(width, _height(_paragraphs(title, said, SMALL_SIZE), width)) for width in CORNER_WIDTHS]
        rooms = blank.without(squares).for_all([lettering, _map_sizes(printed)])
        if rooms is not None:
            return Rooms([square.grown(-AROUND_SQUARE) for square in squares], *rooms), said
    return None


def sheets_with(printed: Sequence[Printed], boxes: Sequence[Box]) -> list[str]:
    """Return the codes of the sheets that show any of the ``boxes`` whole."""
    return [tile.code for part in printed for tile in part.tiling.tiles if any(tile.box.encloses(box) for box in boxes)]


def pointer(printed: Sequence[Printed], rooms: Rooms) -> str:
    """Return what the first sheet says of where test squares and directions are; nothing of what is on it."""
    squares, directions = sheets_with(printed, rooms.squares), sheets_with(printed, [rooms.lettering])
    first = printed[0].tiling.tiles[0].code
    return notes.look_on(squares if squares != [first] else [], directions if directions != [first] else [])


def _map_sizes(printed: Sequence[Printed]) -> list[tuple[float, float]]:
    """Return how large the map may be, parts one below the other, on which a sheet's code can be read."""
    sizes = _wholes(printed)[1]
    tiles = [tile.box for part in printed for tile in part.tiling.tiles]
    least = min(min(tile.width, tile.height) for tile in tiles)
    wide, high = sizes[:, 0].max(), sizes[:, 1].sum()
    scales = [longest / max(wide, high) for longest in CORNER_MAPS]
    return [(s * wide, s * high + len(printed) * (HEADING + GAP)) for s in scales if s * least >= LEAST_ON_MAP]


def _wholes(printed: Sequence[Printed]) -> tuple[np.ndarray, np.ndarray]:
    """Return the box (k, 4) of all sheets of each part, and its size (k, 2)."""
    wholes = np.array([Box.united([tile.box for tile in part.tiling.tiles]) for part in printed])
    return wholes, wholes[:, 2:] - wholes[:, :2]


# --- drawing -------------------------------------------------------------------------------------------


def short_title(title: str) -> str:
    """Return a title, or as many of its words as are not too long."""
    return title if len(title) <= LONGEST_TITLE else f"{title[: LONGEST_TITLE + 1].rpartition(' ')[0] or title[:LONGEST_TITLE]} …"


def draw_first_page(
    layer: inkex.Layer, rooms: Rooms, title: str, printed: Sequence[Printed], sentences: Sequence[str], fields: Sequence[tuple[str, str]]
) -> None:
    """Draw test squares, what to mind and the map of all sheets into their ``rooms``; a title block of ``fields`` instead of
    a map of one sheet.
    """
    sheet = Sheet(layer)
    first = sheet.add_layer("First page", "first page layer")
    for (name, side), square in zip(TEST_SQUARES, rooms.squares):
        sheet.curve(first, frame(square), "mark", name, "page test square", side_mm=side)
        sheet.text(first, [name], square.left + side / 2, square.top + side / 2 - BODY_SIZE, anchor="middle", bold=True)
    lettered = _letter(sheet, first, rooms.lettering, title, sentences)
    room = rooms.map._replace(top=lettered + GAP) if rooms.map.overlaps(rooms.lettering) else rooms.map
    if fields:
        draw_title_block(sheet, room, fields)
    else:
        _draw_map(sheet, sheet.add_layer("Map of the sheets", "map layer"), room, printed)


def _paragraphs(title: str, sentences: Sequence[str], size: float) -> list[tuple[str, float, bool]]:
    """Return what is lettered, each paragraph's size, and whether it is bold."""
    return [(title, 1.5 * size, True), (notes.PRINT_TRUE, 1.2 * size, True), *((words, size, False) for words in sentences)]


def _height(paragraphs: Sequence[tuple[str, float, bool]], width: float) -> float:
    """Return how high paragraphs are in a column."""
    return LEADING * sum(em * len(wrap(words, em, width, bold)) for words, em, bold in paragraphs) + len(paragraphs)


def _letter(sheet: Sheet, layer: inkex.Layer, room: Box, title: str, sentences: Sequence[str]) -> float:
    """Letter the sentences in a column, small if they would not fit else, and return where it ends."""
    for size in (BODY_SIZE, SMALL_SIZE):
        paragraphs = _paragraphs(title, sentences, size)
        if room.top + _height(paragraphs, room.width) <= room.bottom + 1e-6:
            break
    column = Column(sheet, layer, room.left, room.top, room.width)
    for words, em, bold in paragraphs:
        column.paragraph(words, em, bold=bold)
        column.gap(1)
    return column.y


def _draw_map(sheet: Sheet, layer: inkex.Layer, room: Box, printed: Sequence[Printed]) -> None:
    """Draw all sheets small, with the edges of the pieces and the sheets' codes; parts below or beside each other."""
    wholes, sizes = _wholes(printed)
    count, room_size = len(printed), np.minimum(np.subtract(room[2:], room[:2]), LARGEST_MAP)
    below = np.min((room_size - (0, count * (HEADING + GAP))) / (sizes[:, 0].max(), sizes[:, 1].sum()))
    beside = np.min((room_size - ((count - 1) * GAP, HEADING)) / (sizes[:, 0].sum(), sizes[:, 1].max()))
    scale = max(below, beside)
    x, y = room[:2]
    for part, whole, (wide, high) in zip(printed, wholes, scale * sizes):
        title = wrap(part.title(), SMALL_SIZE, wide if beside > below else room_size[0], bold=True)
        sheet.text(layer, title[:1], x, y, size=SMALL_SIZE, bold=True)
        shrink = np.array([(scale, 0.0, x - scale * whole[0]), (0.0, scale, y + HEADING - scale * whole[1])])
        for tile in part.tiling.tiles:
            sheet.curve(layer, frame(tile.box).transformed(shrink), "frame", f"{tile.code} on the map", "map frame")
        for outline in (outline for piece in part.pieces for outline in piece.drawn.outlines()):
            sheet.curve(layer, outline.transformed(shrink), "frame", "Edge on the map", "map edge")
        for tile in part.tiling.tiles:
            _letter_on_map(sheet, layer, tile, shrink)
        x, y = (x + wide + GAP, y) if beside > below else (x, y + HEADING + high + GAP)


def _letter_on_map(sheet: Sheet, layer: inkex.Layer, tile: Tile, shrink: np.ndarray) -> None:
    """Letter a sheet's code on the map, as near its middle as is free; not at all where it would be lost in lines."""
    left, top, right, bottom = (shrink[:, :2] @ np.reshape(tile.box, (2, 2)).T + shrink[:, 2:]).T.ravel()
    middle = np.array([(left + right) / 2, (top + bottom) / 2 - 3])
    offsets = np.stack(np.meshgrid(np.linspace(-0.35, 0.35, 9), np.linspace(-0.35, 0.35, 9)), axis=-1).reshape(-1, 2)
    offsets = offsets[np.argsort(np.hypot(*offsets.T), kind="stable")] * (right - left, bottom - top)
    sheet.text_where_free(layer, [tile.code], middle + offsets, MAP_SIZES, bold=True, label=f"{tile.code} on the map")
