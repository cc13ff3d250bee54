"""Draws what a sheet of paper needs beside the pattern: trim lines, frames, join marks and codes."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.drawing.lettering import LEADING, text_width, wrap
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, draw_curve
from extension.drawing.sheet import KEEP_CLEAR, Sheet
from extension.printing.printed_parts import Drawn
from extension.wording import notes
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.paper.clearance import Clearance
from geometry.paper.ground import Ground, together
from geometry.paper.tiling import JOIN_MARK, Join, Tile, Tiling, frame, join_mark, join_marks, trim_lines

#: Lettering on a sheet tries these sizes in turn, millimetres.
CODE_SIZES = (10.0, 7.0, 5.0, SMALL_SIZE)
NEIGHBOUR_SIZES = (5.0, 4.0, SMALL_SIZE)
NAME_SIZES = (BODY_SIZE, SMALL_SIZE)
POINTER_SIZES = (7.0, 5.0, *NAME_SIZES)
MARK_SIZE = BODY_SIZE

#: The frame of a single sheet lies so far inside what prints, and so far from any piece at least, millimetres.
FRAME_INSET, FRAME_CLEAR = 1.0, 5.0

#: Places tried for lettering on a sheet lie this far apart, millimetres.
PLACE_STEP = 6.0

#: The middle of a sheet that is so wide and high has room for all of its own lettering.
ROOMY = 80.0

#: What a sheet is called is broken into rows of these shares of its width in turn, until they find room.
NAME_WIDTHS = (0.8, 0.5, 0.35, 0.25)


class Piece(NamedTuple):
    """Something to print: what it is called, its elements, what is drawn of it, and that as sheets see it."""

    title: str
    elements: list[inkex.BaseElement]
    drawn: Drawn
    ground: Ground


class Printed(NamedTuple):
    """Pieces on their sheets."""

    pieces: list[Piece]
    tiling: Tiling

    def title(self, box: Box | None = None) -> str:
        """Return what the pieces are called, or those of them that show in ``box``."""
        return ", ".join(piece.title for piece in self.pieces if box is None or box.holds_any(piece.ground.points))

    def ground(self) -> Ground:
        return together([piece.ground for piece in self.pieces])

    def lines(self) -> list[np.ndarray]:
        return [line for piece in self.pieces for line in piece.drawn.lines]

    def boxes(self) -> list[Box]:
        return [box for piece in self.pieces for box in piece.drawn.boxes]


# --- on every sheet -------------------------------------------------------------------------------


def mark_sheets(layer: inkex.Layer, printed: Sequence[Printed], blocks: Sequence[Box], pointer: str, count: int, framed: bool) -> None:
    """Draw trim lines, join marks, codes and names for all sheets, the first of ``count``; lettering keeps off ``blocks``.
    The first sheet bears the ``pointer`` to those, if any.

    Frames too, ``framed``, where no page of the document says where a sheet ends, and around a single sheet.
    """
    sheet = Sheet(layer)
    trims, joins, codes = (sheet.add_layer(*names) for names in (
        ("Trim lines", "trim line layer"), ("Join marks", "join mark layer"), ("Page codes", "page code layer"),
    ))  # fmt: skip
    number = joined = 0
    for part in printed:
        lines = trim_lines(part.tiling)
        for line in lines:
            sheet.curve(trims, line, "trim", "Trim line", "trim line")
        if framed:
            lines += draw_frames(trims, [tile.box for tile in part.tiling.tiles])
        elif len(part.tiling.tiles) == 1:
            lines += draw_frames(trims, _frame_clear_of(part, blocks))
        taken = [*part.boxes(), *blocks]
        ground = part.ground()
        all_joins = list(part.tiling.joins())
        marked: list[tuple[float, float]] = []
        for join in all_joins:
            for place in join_marks(join, ground, marked):
                marked.append(place)
                joined += 1
                mark, numbers = _mark_join(sheet, joins, join, place, joined)
                lines.append(mark)
                taken += numbers
        clearance = Clearance(KEEP_CLEAR)
        for line in (*part.lines(), *(curve.flatten(1.0) for curve in lines)):
            clearance.add_line(line)
        for box in taken:
            clearance.add_box(box)
        for tile in part.tiling.tiles:
            number += 1
            one = Sheet(layer, clearance.near(part.tiling.page(tile)))
            middle = part.tiling.middle(tile)
            # Nothing is lettered over the end of the printing, nor, where there is room, where another sheet would show half of it.
            one.clearance.add_line(frame(middle if min(middle.width, middle.height) >= ROOMY else tile.box).nodes)
            if pointer and number == 1:
                _letter_pointer(one, codes, pointer, middle)
            _letter(one, codes, part, tile, all_joins, notes.sheet_of(number, count))


def _frame_clear_of(part: Printed, blocks: Sequence[Box]) -> list[Box]:
    """Return the frame of a single sheet; none where it would run through a block, or so near to a piece that it might be cut along."""
    inner = part.tiling.tiles[0].box.grown(-FRAME_INSET)
    return [inner] if all(map(inner.encloses, [part.ground().bounds().grown(FRAME_CLEAR), *blocks])) else []


def draw_frames(layer: inkex.Layer, boxes: Sequence[Box]) -> list[Curve]:
    """Draw the ends of the printing, where no page shows them, and return the lines."""
    frames = [frame(box) for box in boxes]
    for outline in frames:
        draw_curve(layer, outline, "frame", "Frame", "frame")
    return frames


def _mark_join(sheet: Sheet, layer: inkex.Layer, join: Join, place: tuple[float, float], number: int) -> tuple[Curve, list[Box]]:
    """Draw a join mark, its number on both sides of the trim line; return its outline and the numbers' boxes."""
    mark, (x, y) = join_mark(place), place
    sheet.curve(layer, mark, "frame", f"Join mark {number}", "join mark", number=number)
    high, off = MARK_SIZE * LEADING, JOIN_MARK + 0.5
    if join.beside:
        sides = ((x - 1.0, y - off - high, "end"), (x + 1.0, y - off - high, "start"))
    else:
        sides = ((x + off, y - high, "start"), (x + off, y + 0.5, "start"))
    look = {"size": MARK_SIZE, "label": f"Join {number}"}
    return mark, [sheet.text(layer, [str(number)], at_x, top, anchor=anchor, **look) for at_x, top, anchor in sides]


def _letter(sheet: Sheet, layer: inkex.Layer, part: Printed, tile: Tile, joins: Sequence[Join], place_in_all: str) -> None:
    """Letter a sheet's code, what is on it, and at each join which sheet comes there."""
    middle = part.tiling.middle(tile)
    left, _, right, _ = middle
    places = _grid(middle)
    _letter_free(sheet, layer, [tile.code], places, CODE_SIZES, f"Page {tile.code}", bold=True)
    _letter_name(sheet, layer, f"{part.title(tile.box)}, {place_in_all}", right - left, places, f"Name on {tile.code}")
    for arrow, other, beside, (at_x, at_y) in _neighbours(joins, tile, middle):
        words = f"{other.code} →" if arrow == "→" else f"{arrow} {other.code}"
        away = abs(places[:, 0] - at_x) * (3 if beside else 1) + abs(places[:, 1] - at_y) * (1 if beside else 3)
        near = places[np.argsort(away, kind="stable")]
        _letter_free(sheet, layer, [words], near, NEIGHBOUR_SIZES, f"{tile.code}: to {other.code}")


def _letter_pointer(sheet: Sheet, layer: inkex.Layer, words: str, middle: Box) -> None:
    """Letter as large as finds room where to look for test squares and directions."""
    places = _grid(middle)
    for size in POINTER_SIZES:
        for share in NAME_WIDTHS:
            rows = wrap(words, size, share * middle.width, bold=True)
            if sheet.text_where_free(layer, rows, places, (size,), label="Pointer", bold=True) is not None:
                return
    sheet.text(layer, rows, *places[0], size=size, anchor="middle", label="Pointer", bold=True)


def _letter_name(sheet: Sheet, layer: inkex.Layer, name: str, width: float, places: np.ndarray, label: str) -> None:
    """Letter what a sheet is called in as few rows as find room between the lines, no word of it broken but one that is wider than all."""
    widest = max(text_width(word, SMALL_SIZE) for word in name.split())
    for share in NAME_WIDTHS:
        rows = wrap(name, SMALL_SIZE, max(share, min(widest / width, NAME_WIDTHS[0])) * width)
        if sheet.text_where_free(layer, rows, places, NAME_SIZES, label=label) is not None:
            return
    _letter_free(sheet, layer, rows, places, NAME_SIZES, label)


def _neighbours(joins: Sequence[Join], tile: Tile, middle: Box) -> list:
    """(arrow, neighbour, whether beside, the place nearest to it inside the middle) for each join of a tile."""
    left, top, right, bottom = middle
    found = []
    for join in joins:
        if join.before is not tile and join.after is not tile:
            continue
        x, y = np.clip(join.line.mean(axis=0), middle[:2], middle[2:]).tolist()
        if join.before is tile:
            found.append(("→", join.after, True, (right, y)) if join.beside else ("↓", join.after, False, (x, bottom)))
        elif join.after is tile:
            found.append(("←", join.before, True, (left, y)) if join.beside else ("↑", join.before, False, (x, top)))
    return found


def _grid(box: Box) -> np.ndarray:
    """Places (k, 2) all over a rectangle, row by row from its top left corner."""
    left, top, right, bottom = box
    xs, ys = np.arange(left + PLACE_STEP, right - PLACE_STEP, PLACE_STEP), np.arange(top, bottom - PLACE_STEP, PLACE_STEP)
    places = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    return places if len(places) else np.array([((left + right) / 2, top)])


def _letter_free(
    sheet: Sheet, layer: inkex.Layer, rows: list[str], places: np.ndarray, sizes: Sequence[float], label: str, **look: object
) -> None:
    """Letter rows where they touch nothing; on a sheet that is full, in its middle all the same."""
    if sheet.text_where_free(layer, rows, places, sizes, label=label, **look) is None:
        middle = places[np.hypot(*(places - places.mean(axis=0)).T).argmin()]
        sheet.text(layer, rows, *middle, size=min(sizes), anchor="middle", label=label, **look)
