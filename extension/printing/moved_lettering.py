"""Moves the sleeve's own lettering off the joins of the sheets, so that no word is cut: along its line, within its place."""
from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import inkex
import numpy as np
from lxml import etree

from extension.document.names import TSPAN, own
from extension.document.part_names import LEADER, LETTERING
from extension.document.parts import find_parts, mark, part_of
from extension.document.scale import affine_of, to_millimetres
from extension.drawing.lettering import text_width, wrap_tied
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, draw_text, drawn_text_box, text_box
from extension.drawing.sheet import FOLLOW, KEEP_CLEAR
from extension.printing.page_sheet import Piece, Printed
from extension.printing.printed_parts import curves_of, is_at_leader, shown_objects
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.paper.off_joins import off_joins
from geometry.paper.tiling import frame, trim_lines

#: Lettering of so many rows is what a piece is called, and may stand anywhere on it.
NAME_BLOCK = 3

#: Where it finds no room as it is: in two rows, in one or in three, then in the first of these sizes that does, millimetres.
SMALLER = (7.0, 5.0, 4.0, BODY_SIZE, SMALL_SIZE)

#: The attributes that say how and where something is lettered.
_SET = ("style", "transform", "x", "y")
_FONT_SIZE = re.compile(r"font-size:\s*([\d.]+)")


class Lettered(NamedTuple):
    """Lettering of ours: the box that it takes in true millimetres, its rows and its size there."""

    text: inkex.TextElement
    box: Box
    rows: list[str]
    size: float


def keep_off_joins(printed: Sequence[Printed], taken: Sequence[Box] = ()) -> list[Printed]:
    """Move lettering that lies on a join to where it lies on none, if there is room, and off the ends of the sheets, which
    show it again in part, nowhere over the boxes ``taken``; return the pieces as they are then.
    """
    tilings = [part.tiling for part in printed]
    joins = [line.flatten(FOLLOW) for tiling in tilings for line in trim_lines(tiling)]
    if not joins:
        return list(printed)
    ends = [frame(box).nodes for tiling in tilings for tile in tiling.tiles for box in (tile.box, tiling.page(tile))]
    sheets = [tile.box for tiling in tilings for tile in tiling.tiles]
    return [part._replace(pieces=[_off(piece, (joins, ends), taken, sheets) for piece in part.pieces]) for part in printed]


def _off(piece: Piece, cuts: Sequence[Sequence[np.ndarray]], taken: Sequence[Box], sheets: Sequence[Box]) -> Piece:
    lettered, leaders = _lettering(piece)
    boxes = [each.box for each in lettered]
    boxes += [box for box in piece.drawn.boxes if box not in boxes]
    ways = {k: list(_ways(each)) for k, each in enumerate(lettered) if not is_at_leader(each.box, leaders)}
    sizes = {k: [_size(*way, lettered[k]) for way in some] for k, some in ways.items()}
    names = {k for k in ways if len(lettered[k].rows) >= NAME_BLOCK}
    moved = off_joins([*boxes, *taken], sizes, piece.drawn.lines, cuts, KEEP_CLEAR, sheets, names)
    if not moved:
        return piece
    for k, place in moved.items():
        _letter_again(lettered[k], *ways[k][place.way], place.box)
        boxes[k] = place.box
    drawn = piece.drawn._replace(boxes=boxes)
    return piece._replace(drawn=drawn, ground=drawn.ground())


def _lettering(piece: Piece) -> tuple[list[Lettered], list[Curve]]:
    """Return the lettering of ours that stands level, and the leaders."""
    lettered, leaders = [], []
    for element in shown_objects(piece.elements):
        box = drawn_text_box(element) if part_of(element) == LETTERING else None
        if box is not None:
            placed = affine_of(to_millimetres(element))
            size = _font_size(element) * placed.factors[1]
            lettered.append(Lettered(element, placed.apply_to_box(box), [span.text for span in element], size))
        elif part_of(element) == LEADER:
            leaders += curves_of(element) or []
    return lettered, leaders


def _ways(lettered: Lettered) -> Iterator[tuple[list[str], float]]:
    """Yield the rows and sizes in which something may be lettered: as it is, then in two rows, in one, in three, then smaller."""
    if affine_of(to_millimetres(lettered.text)).linear[1, 0] != 0:  # turned
        yield lettered.rows, lettered.size
        return
    rows, row = [lettered.rows], " ".join(lettered.rows)
    if len(lettered.rows) < NAME_BLOCK and row.split():
        widest = max(text_width(word, lettered.size) for word in row.split())  # no word is broken
        two, three = (wrap_tied(row, lettered.size, max(share * text_width(row, lettered.size), widest)) for share in (0.6, 0.4))
        rows += [two, three] if len(lettered.rows) == 1 else [[row], three]
    for size in (lettered.size, *(size for size in SMALLER if size < lettered.size - 0.1)):
        for each in rows:
            yield each, size


def _size(rows: Sequence[str], size: float, lettered: Lettered) -> tuple[float, float]:
    room = text_box(rows, 0.0, 0.0, size, bold=_is_bold(lettered.text))
    return room.width, room.height


def _letter_again(lettered: Lettered, rows: Sequence[str], size: float, box: Box) -> None:
    """Letter the same where ``box`` is, true millimetres; moved as it is where its rows and size stay."""
    text, stood = lettered.text, _state(lettered.text)
    if (rows, size) == (lettered.rows, lettered.size):
        _move(text, box.left - lettered.box.left, box.top - lettered.box.top)
    else:
        inward = affine_of(to_millimetres(text.getparent())).inverse()
        left, top, _, _ = inward.apply_to_box(box)
        *looks, new_rows = _state(draw_text(inkex.Layer(), rows, left, top, size=size * inward.factors[1], bold=_is_bold(text)))
        _set(text, looks, new_rows)
    mark(text, LETTERING, stood=json.dumps([stood, _state(text)], ensure_ascii=False))


def put_back(svg: inkex.SvgDocumentElement) -> None:
    """Put lettering that was moved off the joins of an earlier run back to where it stood, unless she has set it anew since.

    So the same again finds the same sheets, and what was lettered small for small paper is as large as it can be on other.
    """
    for text in find_parts(svg, LETTERING):
        written = text.attrib.pop(own("stood"), "null")
        try:
            stood, moved = json.loads(written)
            *looks, rows = stood
        except (TypeError, ValueError):  # it stands where it stood, or that can't be read any more
            continue
        if _state(text) == moved:
            _set(text, looks, rows)


def _state(text: inkex.TextElement) -> list:
    """Return how and where something is lettered, and its rows."""
    return [*(text.attrib.get(name, "") for name in _SET), [[span.attrib.get("x"), span.attrib.get("y"), span.text] for span in text]]


def _set(text: inkex.TextElement, looks: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """Letter something as its state says."""
    for name, look in zip(_SET, looks):
        text.attrib[name] = look
        if not look:
            del text.attrib[name]
    for span in text[len(rows) :]:
        text.remove(span)
    spans = [*text, *(etree.SubElement(text, TSPAN) for _ in range(len(text), len(rows)))]
    for span, (x, y, row) in zip(spans, rows):
        span.attrib["x"], span.attrib["y"], span.text = x, y, row


def _move(text: inkex.TextElement, across: float, down: float) -> None:
    dx, dy = np.linalg.solve(affine_of(to_millimetres(text)).linear, (across, down)).tolist()
    for each in (text, *text):
        each.attrib["x"] = f"{float(each.attrib['x']) + dx:.3f}"
        each.attrib["y"] = f"{float(each.attrib['y']) + dy:.3f}"


def _font_size(text: inkex.TextElement) -> float:
    return float(_FONT_SIZE.search(text.attrib["style"])[1])


def _is_bold(text: inkex.TextElement) -> bool:
    return "font-weight:bold" in text.attrib["style"]
