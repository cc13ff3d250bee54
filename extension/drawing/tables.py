"""Tables with real columns."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex

from extension.drawing.lettering import LEADING, text_width
from extension.drawing.pens import SMALL_SIZE
from extension.drawing.sheet import Sheet
from geometry.curves.curve import Curve

#: Between two columns, millimetres.
_GUTTER = 3.0


class Table(NamedTuple):
    """``head`` names every column, a line break in a name starts its second row; all cells are text.

    The first ``words`` columns hold words and stand left, the others numbers and stand right.  On a page the row ``total``
    stands out.
    """

    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    words: int = 1
    total: int | None = None


def draw_table(sheet: Sheet, layer: inkex.Layer, table: Table, x: float, top: float, size: float = SMALL_SIZE) -> tuple[float, float]:
    """Draw a table, each column one text object; return where it ends, (right, bottom)."""
    heads = [name.split("\n") for name in table.head]
    deep = max(map(len, heads))
    body = top + size * LEADING * deep + 1.4
    right = x
    for i, (head, column) in enumerate(zip(heads, zip(*table.rows))):
        width = max(*(text_width(name, size, bold=True) for name in head), *(text_width(cell, size) for cell in column))
        anchor, at = ("start", right) if i < table.words else ("end", right + width)
        sheet.text(layer, head, at, top + size * LEADING * (deep - len(head)), size=size, bold=True, anchor=anchor)
        sheet.text(layer, column, at, body, size=size, anchor=anchor, label=f"Column {' '.join(head)}")
        right += width + _GUTTER
    right -= _GUTTER
    bottom = body + size * LEADING * len(table.rows)
    for y in (body - 0.9, bottom + 0.4):
        sheet.curve(layer, Curve.line((x, y), (right, y)), "leader", "Table line", "table line")
    return right, bottom + 1.0
