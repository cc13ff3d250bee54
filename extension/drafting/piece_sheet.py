"""The pieces beside the sleeve, each in a layer of its own: as sewn and as cut, with name, grain, folds and marks."""
from __future__ import annotations

from collections.abc import Sequence

import inkex
import numpy as np

from extension.document.names import own
from extension.drawing.lettering import wrap
from extension.drawing.panels import new_panel
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, fill_with_stroke
from extension.drawing.sheet import FOLLOW, Sheet
from extension.wording import pieces as words
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.curves.polyline import places_inside
from geometry.measuring.lengths import write_length
from geometry.pieces.all_pieces import NAMES
from geometry.pieces.band import edge_around
from geometry.pieces.piece import Piece
from geometry.sleeve.draft import Draft
from geometry.sleeve.marks import arrowheads

#: Between the sleeve and the pieces, and between two pieces, millimetres.
GAP = 30.0

#: Lettering tries these sizes, and places this far apart, millimetres.
_SIZES, _STEP = (5.0, 4.0, BODY_SIZE, SMALL_SIZE), 5.0


def part_of_piece(name: str) -> str:
    """Return what the layer of a piece is called in our mark."""
    return f"{name} pieces panel"


#: The layers of all pieces there may be.
PIECE_LAYERS = {part_of_piece(name): words.NAMES[name] for name in NAMES}


def draw_pieces(sheet: Sheet, pieces: Sequence[Piece], draft: Draft, unit: str, label: str) -> None:
    """Draw the pieces below the sleeve, side by side: right of it stand notes and reports, left and below sheets have room to give way."""
    left, _, _, bottom = sheet.bounds
    x, top = left, bottom + GAP
    for piece in pieces:
        panel = new_panel(sheet.layer, words.NAMES[piece.name], part_of_piece(piece.name))
        draw_piece(panel, piece, [*([label] if label else []), *rows_of(piece, draft, unit)])
        left, above, beyond, below = panel.bounds
        panel.layer.attrib["transform"] = f"translate({x - left:.4f}, {top - above:.4f})"
        sheet.hold(Box(x, top, x + beyond - left, top + below - above))
        x += beyond - left + GAP


def draw_piece(panel: Sheet, piece: Piece, rows: Sequence[str]) -> None:
    """Fill a panel with one piece; its children lie flat in it, so that each can be compared with what was drawn."""
    layer, name = panel.layer, words.NAMES[piece.name]
    panel.curve(layer, piece.cut, "cutting", f"{name}, cut", "piece cutting line", remembered=True)
    panel.curve(layer, piece.outline.closed(), "seam", f"{name}, sewn", "piece seam line", remembered=True)
    panel.curve(layer, piece.grain, "grain", f"Grain of the {piece.name}", "piece grain line")
    for head in arrowheads(piece.grain):
        fill_with_stroke(panel.curve(layer, head, "grain", "Grain arrowhead", "piece grain arrowhead"), "grain")
    for fold in piece.folds:
        panel.curve(layer, fold, "level", f"{words.FOLD} of the {piece.name}", "piece fold line")
        _letter_along(panel, layer, words.FOLD, fold)
    if piece.on_fold:
        _letter_along(panel, layer, words.ON_FOLD, piece.outline.edge(piece.on_fold))
    for tick, says in piece.ticks:
        panel.curve(layer, tick, "mark", f"Mark on the {piece.name}", "piece mark")
        if says:
            x, y = tick.start
            panel.text_where_free(layer, [says], np.array([(x + dx, y + dy) for dy in (-18.0, -22.0, 4.0) for dx in (0.0, 14.0, -14.0)]), _SIZES[2:])
    for side in ("front", "back"):
        if f"{side} armhole" in piece.outline.shape.edges:
            _letter_side(panel, layer, side, piece.outline.edge(f"{side} armhole"))
    _letter_inside(panel, layer, rows, piece)
    for child in layer:
        child.attrib[own("piece")] = piece.name  # found together again where she takes their layer away


def rows_of(piece: Piece, draft: Draft, unit: str) -> list[str]:
    """Return what is lettered on a piece."""
    settled = draft.settled

    def say(length: float) -> str:
        return write_length(length, unit)

    rows = [words.NAMES[piece.name], words.cut(piece.name, settled.style.band_cut == "two-part"), words.GRAIN]
    if piece.name == "band":
        rows.append(words.band_note(say(edge_around(draft.seam, settled)), say(settled.top.width), settled.style.band_cut == "two-part"))
    if piece.name == "lining":
        ease, shorter = (say(length) if length else "" for length in settled.lining)
        rows.append(words.lining_note(ease, shorter, say(settled.hem_allowance)))
    return rows


def _letter_inside(panel: Sheet, layer: inkex.Layer, rows: Sequence[str], piece: Piece) -> None:
    """Letter the rows within the piece, its name first; what finds no room there stands below it, where paper may end."""
    outline = piece.outline.closed().flatten(FOLLOW)  # rows that begin inside and touch no line are inside
    left, top, right, bottom = Box.around(outline)
    places = places_inside(outline, np.array([(left + right) / 2, top + 0.4 * (bottom - top)]), _STEP / 2)
    inside, below = list(rows[:-1]) if len(rows[-1]) > _LONG else list(rows), [rows[-1]] if len(rows[-1]) > _LONG else []
    name = inside.index(words.NAMES[piece.name])
    least = inside[name : name + 2]  # what it is and how many are cut
    for tried, left_out in ((inside, []), ([", ".join(inside)], []), ([", ".join(least)], [row for row in inside if row not in least])):
        box = panel.text_where_free(layer, tried, places, _SIZES)
        if box is not None:
            below = [*left_out, *below]
            places = places_inside(outline, np.array([(box.left + box.right) / 2, box.bottom + 1.0]), _STEP / 2)
            break
    else:
        below = [*inside, *below]
    x, end = piece.cut.bounds()[0], piece.cut.bounds()[3] + 3.0
    for row in below:
        if not any(panel.text_where_free(layer, wrap(row, BODY_SIZE, width), places, _SIZES[2:]) for width in _WIDTHS):
            end = panel.text(layer, [row], x, end, size=BODY_SIZE).bottom


#: A row longer than this is a sentence, and stands for itself, in rows of these widths, millimetres.
_LONG, _WIDTHS = 60, (80.0, 120.0, 300.0, 50.0)


def _letter_side(panel: Sheet, layer: inkex.Layer, side: str, armhole: Curve) -> None:
    """Letter front or back within a piece beside its armhole."""
    x, y = armhole.point(len(armhole) / 2)
    inward = -1.0 if side == "front" else 1.0
    places = [(x + inward * across, y + down) for across in (12.0, 16.0, 20.0, 26.0, 32.0, 40.0) for down in (-1.5, 1.5, -4.5, 4.5)]
    panel.text_where_free(layer, [words.SIDES[side]], np.array(places), _SIZES[2:])


def _letter_along(panel: Sheet, layer: inkex.Layer, text: str, line: Curve) -> None:
    """Letter beside the middle of a line, on whichever side there is room."""
    x, y = line.point(len(line) / 2)
    places = [(x, y + 1.0), (x, y - 6.0), (x + 40.0, y + 1.0), (x + 40.0, y - 6.0), (x + 40.0, y + 8.0), (x - 40.0, y)]
    panel.text_where_free(layer, [text], np.array(places), _SIZES[2:])
