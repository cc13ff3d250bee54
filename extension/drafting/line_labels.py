"""Letters the lines across the sleeve: on the lines, inside, where it is cut out with them; beside it what finds no room."""
from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

import inkex
import numpy as np

from extension.drawing.lettering import LEADING
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, text_box
from extension.drawing.sheet import FOLLOW, KEEP_CLEAR, Sheet
from geometry.curves.curve import Curve
from geometry.paper.along_lines import boxes_along
from geometry.paper.clearance import spread

#: Lettering on a line tries these sizes in turn, millimetres: the first are read at arm's length on the table.
SIZES = (5.0, 4.0, BODY_SIZE, SMALL_SIZE)
NUMBER_SIZES, SMALL_NUMBERS = (7.0, 5.0), (BODY_SIZE, SMALL_SIZE)

#: From the line to its lettering, millimetres: a hair more than lettering keeps from any line.
GAP = KEEP_CLEAR + 0.1

#: From the cutting line out to the lettering beside it, millimetres.
BESIDE = 12.0

#: Between two labels beside the sleeve, more than the clearance on both sides of a leader.
LABEL_GAP = 1.2


class Label(NamedTuple):
    """What is lettered on a line: the ways to break it into rows, the best first, and the sides of the line
    to try in turn, ``under`` it or not.
    """

    line: Curve
    rows: Sequence[Sequence[str]]
    under: Sequence[bool]


def letter_lines(sheet: Sheet, layer: inkex.Layer, labels: Sequence[Label], cutting: Curve, right: bool) -> None:
    """Letter each line on itself, as near its front end as there is room, if ``right``, else its back end.

    What finds no room stands beside the sleeve on that side.
    """
    lacking = [label for label in labels if not _letter_inside(sheet, layer, label, SIZES, right)]
    _letter_beside(sheet, layer, lacking, cutting, right)


def number_line(sheet: Sheet, layer: inkex.Layer, number: int, line: Curve, under: Sequence[bool] = (True,)) -> None:
    """Letter a line's number at its back end; lines too close together have it in their label only.

    ``under`` it or not are the sides to try in turn: where something lies so close on one that a number would be too small to be
    read on the table, it stands on the next.
    """
    for sizes, side in product((NUMBER_SIZES, SMALL_NUMBERS), under):
        if _letter_inside(sheet, layer, Label(line, [[str(number)]], [side]), sizes, right=False):
            return


def _letter_inside(sheet: Sheet, layer: inkex.Layer, label: Label, sizes: Sequence[float], right: bool) -> bool:
    """Letter a line as large as there is room along it, and return whether there is any."""
    line = label.line.flatten(FOLLOW)
    for size in sizes:
        for rows in label.rows:
            room = text_box(rows, 0.0, 0.0, size)
            places = np.concatenate([boxes_along(line, (room.width, room.height), GAP, under, right) for under in label.under])
            free = sheet.clearance.first_free(places)
            if free is not None:
                left, top, end, _ = places[free].tolist()
                sheet.text(layer, rows, end if right else left, top, size=size, anchor="end" if right else "start")
                return True
    return False


def _letter_beside(sheet: Sheet, layer: inkex.Layer, labels: Sequence[Label], cutting: Curve, right: bool) -> None:
    """Letter one label for each line's end beside the sleeve, spread so that none overlap, with leaders."""
    if not labels:
        return
    left_edge, _, right_edge, _ = cutting.bounds()
    edge, away, anchor = (right_edge, 1, "start") if right else (left_edge, -1, "end")
    ends = [label.line.end if right else label.line.start for label in labels]
    size, height = _beside_size(ends, max(len(label.rows[0]) for label in labels))
    tops = spread([end[1] - height / 2 for end in ends], height)
    for end, label, top in zip(ends, labels, tops):
        turn = (edge + away * 3, end[1])
        stop = (edge + away * BESIDE, top + height / 2)
        sheet.polyline(layer, [end, turn, stop], "leader", f"Leader of {label.rows[0][0]}", "leader")
        sheet.text(layer, label.rows[0], edge + away * (BESIDE + 2), top, size=size, anchor=anchor)


def _beside_size(ends: Sequence[np.ndarray], rows: int) -> tuple[float, float]:
    """Return the size of labels beside the sleeve and the height each takes: large where they fit unspread."""
    tightest = min((b[1] - a[1] for a, b in zip(ends, ends[1:])), default=math.inf)
    for size in (BODY_SIZE, SMALL_SIZE):
        height = size * LEADING * rows + LABEL_GAP
        if height <= tightest:
            break
    return size, height
