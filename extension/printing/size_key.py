"""The key of nested sizes that are drawn anew: which line each size has, and how wide and long it is as cut.

Their names stand at the ends of leaders, which no longer lead anywhere where all lettering finds its place again.
"""
from __future__ import annotations

from typing import NamedTuple

import inkex

from extension.document.names import LABEL
from extension.document.part_names import NESTED_CUTTING_LINE, SIZE_LAYER, SIZE_NAMES_LAYER
from extension.document.parts import find_parts, part_of
from extension.document.paths import path_data
from extension.drawing.pens import draw_data, text_box
from extension.drawing.sheet import Sheet
from extension.printing.printed_parts import Part, is_shown
from extension.printing.redrawn import Look, Stroke, strokes_of, style_of
from extension.wording import notes
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.measuring.lengths import write_length
from geometry.refusal import Refused

#: A sample of a line is so many times as long as the lettering beside it is high: no dashes of ours repeat over more.
SAMPLE = 12.0


class KeyRow(NamedTuple):
    """What a size is called, the line that it is cut along, and what is lettered beside a sample of that."""

    name: str
    line: Stroke
    words: str


def key_of(nested: inkex.BaseElement, unit: str) -> list[KeyRow]:
    """Return a row for each of nested sizes that shows; none for a sleeve.

    Raises :class:`Refused` where two have the same line.
    """
    rows: list[KeyRow] = []
    for layer in find_parts(nested, SIZE_LAYER):
        strokes = [stroke for line in find_parts(layer, NESTED_CUTTING_LINE) if is_shown(line) for stroke in strokes_of(line)]
        if strokes:
            cut = Box.united(Box(*stroke.curve.bounds()) for stroke in strokes)
            name = layer.attrib.get(LABEL) or f"Size {len(rows) + 1}"
            alike = [row.name for row in rows if row.line.dashes == strokes[0].dashes]
            if alike:
                raise Refused("nested sizes alike", one=alike[0], other=name)
            rows.append(KeyRow(name, strokes[0], notes.size_as_cut(name, write_length(cut.width, unit), write_length(cut.height, unit))))
    return rows


def without_names(parts: list[Part]) -> list[Part]:
    """Return the parts without the names of nested sizes, which the key tells."""
    return [part._replace(elements=[each for each in part.elements if part_of(each) != SIZE_NAMES_LAYER]) for part in parts]


def draw_key(sheet: Sheet, rows: list[KeyRow], look: Look) -> None:
    """Draw the key below what the sheet holds."""
    size, left, y = look.sizes[-1], sheet.bounds.left, sheet.bounds.bottom + look.sizes[-1] / 2
    for _, line, words in rows:
        high = text_box([words], 0.0, 0.0, size).height
        sample = Curve.line((left, y + high / 2), (left + SAMPLE * size, y + high / 2))
        sheet.follow(sample)
        draw_data(sheet.layer, path_data(sample), style_of(line, look), f"Line of {words}", "key line")
        sheet.text(sheet.layer, [words], left + (SAMPLE + 1) * size, y, size=size, colour=look.ink)
        y += 1.3 * high
