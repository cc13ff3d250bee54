"""The title block of a drawing that lies on a single sheet, in the manner of ISO 7200."""
from __future__ import annotations

from collections.abc import Sequence

from extension.drawing.lettering import LEADING, text_width, wrap
from extension.drawing.pens import SMALL_SIZE
from extension.drawing.sheet import Sheet
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.paper.tiling import frame

#: No block is wider than this, millimetres (ISO 7200:2004, from memory: 180 mm, the width of A4 without its margins).
WIDEST = 180.0
#: What stands in a field keeps so far from its lines, millimetres.
INSET = 1.0


def title_block_height(fields: Sequence[tuple[str, str]], width: float) -> float:
    """Return how high a block of ``fields`` is, ``width`` millimetres wide."""
    return sum(_height(rows) for _, rows in _wrapped(fields, width))


def draw_title_block(sheet: Sheet, room: Box, fields: Sequence[tuple[str, str]]) -> None:
    """Draw the ``fields`` (what each is called, and what stands in it) one below the other from the top of the ``room``."""
    layer = sheet.add_layer("Title block", "title block")
    left, top, width = room.left, room.top, min(room.width, WIDEST)
    right, middle = left + width, left + _names_width(fields)
    for name, rows in _wrapped(fields, width):
        sheet.text(layer, [name], left + INSET, top + INSET, size=SMALL_SIZE, label=f"Field {name}")
        sheet.text(layer, rows, middle + INSET, top + INSET, size=SMALL_SIZE, label=name)
        top += _height(rows)
        sheet.curve(layer, Curve.line((left, top), (right, top)), "thin", "Field line", "title block line")
    sheet.curve(layer, Curve.line((middle, room.top), (middle, top)), "thin", "Field line", "title block line")
    sheet.curve(layer, frame(Box(left, room.top, right, top)), "mark", "Title block frame", "title block frame")


def _wrapped(fields: Sequence[tuple[str, str]], width: float) -> list[tuple[str, list[str]]]:
    room = min(width, WIDEST) - _names_width(fields) - 2 * INSET
    return [(name, wrap(value, SMALL_SIZE, room)) for name, value in fields]


def _names_width(fields: Sequence[tuple[str, str]]) -> float:
    return max(text_width(name, SMALL_SIZE) for name, _ in fields) + 2 * INSET


def _height(rows: Sequence[str]) -> float:
    return SMALL_SIZE * LEADING * len(rows) + 2 * INSET
