"""Draws what truing has found: a report beside the sleeve, and numbers on the drawing at what failed."""
from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from extension.document.part_names import MARKS_LAYER, TRUING_MARK
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE
from extension.drawing.sheet import Column, Sheet
from extension.wording import notes
from geometry.curves.curve import Curve
from geometry.sleeve.truing import GOOD, WRONG, Check

#: The rings around what failed, millimetres, and how near two of them are one; those that ask are each to be deleted alone.
RING_RADIUS, ONE_RING, ONE_ASKING_RING = 4.0, 4.0, 0.01

#: A quarter of a circle as a cubic: the handle is this share of the radius (error 0.03 %).
QUARTER_HANDLE = 4 / 3 * math.tan(math.pi / 8)

#: The report's width, and how far its text is set in from its numbers.
WIDTH, INDENT, VERDICT_AT = 172.0, 9.0, 150.0


def draw_truing_marks(sheet: Sheet, checks: Sequence[Check]) -> None:
    """Ring every place where a check failed, with the numbers of the checks beside the ring."""
    found = [(place, str(number)) for number, check in enumerate(checks, start=1) if check.verdict != GOOD for place in check.places]
    draw_rings(sheet, found)


def draw_rings(sheet: Sheet, found: Iterable[tuple[np.ndarray, str]], asks: bool = False) -> None:
    """Ring each of the places and letter the words beside; places that nearly coincide share a ring.

    Rings that ask are known by it again: she answers by deleting some.
    """
    one_ring = ONE_ASKING_RING if asks else ONE_RING
    rings: list[tuple[np.ndarray, list[str]]] = []
    for place, word in found:
        shared = next((words for middle, words in rings if np.hypot(*(middle - place)) < one_ring), None)
        if shared is None:
            rings.append((place, [word]))
        elif word not in shared:
            shared.append(word)
    if not rings:
        return
    layer = sheet.add_layer("Truing marks", MARKS_LAYER)
    for middle, words in rings:
        text = ", ".join(words)
        asking = {"asks": "corner"} if asks else {}
        sheet.curve(layer, circle(middle, RING_RADIUS), "trouble", f"Look here ({text})", TRUING_MARK, **asking)
    for middle, words in rings:
        sheet.text_where_free(layer, [", ".join(words)], around(middle), (5.0, BODY_SIZE, SMALL_SIZE), bold=True)


def circle(middle: np.ndarray, radius: float) -> Curve:
    """Return a circle as four cubics."""
    start, side = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]]), []
    for a, b in zip(start, np.roll(start, -1, axis=0)):
        side.append([a, a + QUARTER_HANDLE * b, b + QUARTER_HANDLE * a, b])
    return Curve(middle + radius * np.array(side))


def around(middle: np.ndarray) -> np.ndarray:
    """Return places for a small text around a ring, the nearest first."""
    turns = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    reach = np.array([RING_RADIUS + 4.0, RING_RADIUS + 8.0, RING_RADIUS + 14.0, RING_RADIUS + 22.0])
    offsets = (reach[:, None, None] * np.stack([np.cos(turns), np.sin(turns)], axis=1)).reshape(-1, 2)
    return middle + offsets - (0.0, 2.5)


def fill_report(sheet: Sheet, checks: Sequence[Check], unit: str, remarks: Sequence[str], label: str) -> None:
    """Letter the report onto an empty sheet: whose sleeve it is on, and what was found."""
    column = Column(sheet, sheet.layer, 0.0, 0.0, WIDTH)
    column.title("Truing report", label)
    column.paragraph(notes.REPORT_INTRO)
    for remark in remarks:
        column.paragraph(remark)
    column.gap(2)
    for number, check in enumerate(checks, start=1):
        title, measured, advice = notes.trued(check.kind, check.subject, check.numbers, check.verdict, unit)
        good = check.verdict == GOOD
        column.row((str(number), title, notes.VERDICTS[check.verdict]), (0.0, INDENT, VERDICT_AT), bold=not good)
        inner = Column(sheet, sheet.layer, INDENT, column.y, WIDTH - INDENT)
        inner.paragraph(measured)
        if advice:
            inner.paragraph(advice)
        column.y = inner.y + 1.2
    column.gap(2)
    column.paragraph(notes.NEXT, bold=True)
    column.paragraph(notes.NEXT_PUT_RIGHT if any(check.verdict == WRONG for check in checks) else notes.NEXT_ALL_TRUE)
