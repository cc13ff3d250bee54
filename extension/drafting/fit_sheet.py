"""The fit chart: body and sleeve at every level and tier line as bars, numbers and a word, beside the sleeve."""
from __future__ import annotations

from collections.abc import Sequence
from typing import Callable

import inkex

from extension.drawing.lettering import LEADING, text_width
from extension.drawing.panels import new_panel
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, draw_data, fill_with_stroke, line_style
from extension.drawing.sheet import Column, Sheet
from extension.wording import notes
from geometry.measuring.lengths import up_to_mark, write_length
from geometry.sleeve.draft import Draft
from geometry.sleeve.fit import FitRow, Fullness

#: Whole width of the chart, and of its longest bar, millimetres.
WIDTH, LONGEST_BAR = 205.0, 62.0

#: From one column of the chart to the next, and from row to row, millimetres.
COLUMN_GAP, SPACING = 4.0, BODY_SIZE * LEADING

#: The sleeve's bar is hollow and this high, the body's dark bar lies in it, millimetres: told apart by
#: shape and darkness alone, so that grey print shows them too.
SLEEVE_BAR, BODY_BAR = 3.2, 1.5


def fit_panel(sleeve: inkex.Layer, draft: Draft, unit: str) -> Sheet:
    """Return the chart as a panel in a sleeve's layer, not yet settled; see :mod:`extension.drawing.panels`."""
    panel = new_panel(sleeve, "Fit", "fit layer")
    draw_fit_chart(panel, draft, unit)
    return panel


def draw_fit_chart(panel: Sheet, draft: Draft, unit: str) -> None:
    """Fill ``panel`` with the chart of a draft, from its origin right and down; lengths are in ``unit``."""

    def say(length: float) -> str:
        return write_length(length, unit)

    layer, rows = panel.layer, draft.fit
    column = Column(panel, layer, 0.0, 0.0, WIDTH)
    column.paragraph(notes.FIT_TITLE, 4.2, bold=True)
    column.gap(1.5)
    x = _column(panel, column.y, 0.0, "place", [row.name.capitalize() for row in rows])
    draw_bars(panel, rows, x, column.y + SPACING)
    x += LONGEST_BAR + COLUMN_GAP
    for title, cells in table(rows, say):
        x = _column(panel, column.y, x, title, cells)
    column.gap(SPACING * (len(rows) + 1) + 2.0)
    if draft.fullness:
        column.paragraph(fullness_sentence(draft.fullness, unit))
        column.gap(1.0)
    for limit in dict.fromkeys(row.limit for row in rows if row.closed):
        column.paragraph(notes.fit_limit(limit.place, say(limit.least), say(limit.most), limit.least_percent, limit.most_percent), SMALL_SIZE)
    column.paragraph(notes.fit_basis(draft.settled.style.wearer), SMALL_SIZE)


def fullness_sentence(full: Fullness, unit: str) -> str:
    """Return why the sleeve is full at the underarm; the cap width is one that gives the ease when it is typed so."""
    cap_width = write_length(up_to_mark(full.cap_width, unit), unit) if full.cap_width else ""
    return notes.fullness(full.cause, write_length(full.ease, unit), full.percent, write_length(full.asked, unit), cap_width)


def table(rows: Sequence[FitRow], say: Callable[[float], str]) -> list[tuple[str, list[str]]]:
    """Return the columns right of the bars: title and cells."""
    return [
        ("body", [say(row.body) for row in rows]),
        ("sleeve", [say(row.pattern) for row in rows]),
        ("ease", [say(row.ease) for row in rows]),
        ("%", [f"{round(row.percent)}".replace("-", "−") for row in rows]),
        ("verdict", [row.verdict for row in rows]),
    ]


def draw_bars(panel: Sheet, rows: Sequence[FitRow], left: float, top: float) -> None:
    """Draw for each row a hollow bar for the sleeve and a dark one in it for the body."""
    scale = LONGEST_BAR / max(max(row.body, row.pattern) for row in rows)
    for i, row in enumerate(rows):
        middle = top + (i + 0.5) * SPACING
        name = row.name.capitalize()
        body = draw_data(panel.layer, bar(left, middle, scale * row.body, BODY_BAR), line_style("body"), f"{name}: body", "fit bar")
        fill_with_stroke(body, "body")
        draw_data(panel.layer, bar(left, middle, scale * row.pattern, SLEEVE_BAR), line_style("mark"), f"{name}: sleeve", "fit bar")
    panel.hold((left, top, left + LONGEST_BAR, top + len(rows) * SPACING))


def bar(left: float, middle: float, width: float, height: float) -> str:
    """Return the path data of a bar."""
    right, top, bottom = left + width, middle - height / 2, middle + height / 2
    return f"M {left:.3f} {top:.3f} L {right:.3f} {top:.3f} L {right:.3f} {bottom:.3f} L {left:.3f} {bottom:.3f} Z"


def _column(panel: Sheet, top: float, left: float, title: str, cells: Sequence[str]) -> float:
    """Letter one column under its title, and return where the next one begins."""
    rows = [title, *cells]
    panel.text(panel.layer, rows, left, top, label=f"Fit: {title}")
    return left + max(text_width(row, BODY_SIZE) for row in rows) + COLUMN_GAP
