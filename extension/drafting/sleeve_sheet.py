"""Draws a drafted sleeve: its lines in layers of their own, lettering beside them, notes and test squares."""
from __future__ import annotations

import math
from collections.abc import Mapping

import inkex
import numpy as np

from extension.drafting.making_up import making_up
from extension.drawing.lettering import LEADING
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, fill_with_stroke, text_box
from extension.drawing.sheet import Column, Sheet
from extension.wording import notes
from geometry.curves.curve import Curve
from geometry.measuring.lengths import write_exact, write_length
from geometry.measuring.measurements import TABLE
from geometry.paper.clearance import spread
from geometry.sleeve.arm import Level
from geometry.sleeve.draft import Draft
from geometry.sleeve.marks import (
    arrowheads,
    below_top_edge,
    body_level_lines,
    grain_line,
    hem_around,
    hem_girth,
    notch_ticks,
    underarm_line,
    width_of,
)
from geometry.sleeve.outline import CORNERS, Outline
from geometry.sleeve.settling import Settled

#: From the cutting line out to the lettering beside it, and from there to the notes, millimetres.
BESIDE, NOTES_GAP, NOTES_WIDTH = 12.0, 15.0, 210.0

#: Between two labels beside the sleeve, more than the clearance on both sides of a leader.
LABEL_GAP = 1.2

#: Lettering inside the sleeve tries these sizes in turn, millimetres.
NAME_SIZES = (9.0, 7.0, 5.5, 4.5, BODY_SIZE)
PIECE_SIZES = (5.0, 4.0, BODY_SIZE, SMALL_SIZE)

#: Places tried for a tier's number, from the back end of its line: below it and a little inward.
NUMBER_PLACES = np.array([(x, 1.0) for x in (6.0, 9.0, 13.0, 18.0, 24.0)])

#: Places tried for lettering inside the sleeve lie this far apart, millimetres.
PLACE_STEP = 4.0

#: Closer to the top edge than this, or to where it was planned, a line counts as there, millimetres.
ON_THE_TOP_EDGE = 0.05

TEST_SQUARES = (("10 cm test square", 100.0), ("4 in test square", 101.6))


def draw_sleeve(sheet: Sheet, draft: Draft, unit: str, label: str) -> Column:
    """Fill ``sheet`` with everything that belongs to one sleeve; lengths are lettered in ``unit``.

    Returns the column of notes, below which there is room for more.
    """
    draw_outlines(sheet, draft)
    draw_tiers(sheet, draft, unit)
    draw_levels(sheet, draft, unit)
    draw_marks(sheet, draft)
    names = sheet.add_layer("Names", "names layer")
    name_halves(sheet, names, draft.seam)
    name_piece(sheet, names, draft.seam, piece_rows(draft, unit, label))
    number_tiers(sheet, names, draft)
    return draw_notes(sheet, draft, unit, label)


def draw_outlines(sheet: Sheet, draft: Draft) -> None:
    """Draw Cutting line, Seam line and Body line, each in a layer of its own.

    The Seam line keeps what it needs to be read again after she has edited it: its corners, and how
    it was drawn.
    """
    stored = {"corners": corners_text(draft.seam), "remembered": True}
    for name, curve, attributes in (
        ("cutting", draft.cutting, {}), ("seam", draft.seam.closed(), stored), ("body", draft.block.body.closed(), {}),
    ):  # fmt: skip
        label = f"{name.capitalize()} line"
        sheet.curve(sheet.add_layer(label, f"{name} layer"), curve, name, label, f"{name} line", **attributes)


def corners_text(seam: Outline) -> str:
    """Return the corners as kept on the Seam line: six pairs x,y in millimetres, in the order of CORNERS."""
    return " ".join("{:.4f},{:.4f}".format(*seam.corner(name)) for name in CORNERS)


def draw_tiers(sheet: Sheet, draft: Draft, unit: str) -> None:
    """Draw the tier lines, and right of the sleeve each one's number, finished length and distance below the top edge."""
    layer = sheet.add_layer("Tier lines", "tier layer")
    lettering = sheet.add_layer("Tier lengths", "tier lengths layer")
    rows = []
    for tier in draft.tiers:
        stored = {"number": tier.number, "length_mm": tier.length}
        sheet.curve(layer, tier.curve, "tier", f"Tier line {tier.number}", "tier line", remembered=True, **stored)
        level = below_top_edge(draft.seam, tier.curve)
        below = "on the top edge" if abs(level) < ON_THE_TOP_EDGE else f"{write_length(level, unit)} below the top edge"
        rows.append([f"Tier {tier.number}: {write_length(tier.length, unit)} ({below})"])
    label_beside(sheet, lettering, [tier.curve.end for tier in draft.tiers], rows, draft.cutting, right=True)


def draw_levels(sheet: Sheet, draft: Draft, unit: str) -> None:
    """Draw the levels where the body was measured, and left of the sleeve what it measures there."""
    layer = sheet.add_layer("Level lines", "level layer")
    lettering = sheet.add_layer("Level widths", "level widths layer")
    lines, rows = [], []
    for level, line in zip(draft.block.levels, body_level_lines(draft.seam, draft.block.levels)):
        if line is None:
            continue  # above the underarm, where its girth is kept instead; the notes say so
        sheet.curve(layer, line, "level", f"{level.name.capitalize()} level", "level line", level=level.name)
        lines.append(line)
        rows.append(level_rows(level, level_width(draft.seam, level, line), below_top_edge(draft.seam, line), unit))
    label_beside(sheet, lettering, [line.start for line in lines], rows, draft.cutting, right=False)


def level_width(seam: Outline, level: Level, line: Curve) -> float:
    """Return how wide the sleeve is at a level, millimetres."""
    return hem_girth(seam) if level.name == "hem" else width_of(seam, line)


def level_rows(level: Level, width: float, below: float, unit: str) -> list[str]:
    """Return the two rows that stand beside a level line, ``below`` millimetres below the top edge."""
    name = f"{level.name.capitalize()}, {write_length(below, unit)} below the top edge"
    if level.name == "underarm":
        return [name, f"sleeve {write_length(width, unit)}"]
    return [name, f"sleeve {write_length(width, unit)}, body {write_length(level.girth, unit)}"]


def label_beside(sheet: Sheet, layer: inkex.Layer, ends: list, rows: list[list[str]], cutting: Curve, right: bool) -> None:
    """Letter one label for each line end beside the sleeve, spread so that none overlap, with leaders."""
    if not ends:
        return  # she has deleted every one of these lines
    left_edge, _, right_edge, _ = cutting.bounds()
    edge, away, anchor = (right_edge, 1, "start") if right else (left_edge, -1, "end")
    size, height = _beside_size(ends, max(len(label) for label in rows))
    tops = spread([end[1] - height / 2 for end in ends], height)
    for end, label, top in zip(ends, rows, tops):
        turn = (edge + away * 3, end[1])
        stop = (edge + away * BESIDE, top + height / 2)
        sheet.polyline(layer, [end, turn, stop], "leader", f"Leader of {label[0]}", "leader")
        sheet.text(layer, label, edge + away * (BESIDE + 2), top, size=size, anchor=anchor)


def _beside_size(ends: list, rows: int) -> tuple[float, float]:
    """Return the size of labels beside the sleeve and the height each takes: large where they fit unspread."""
    tightest = min((b[1] - a[1] for a, b in zip(ends, ends[1:])), default=math.inf)
    for size in (BODY_SIZE, SMALL_SIZE):
        height = size * LEADING * rows + LABEL_GAP
        if height <= tightest:
            break
    return size, height


def draw_marks(sheet: Sheet, draft: Draft) -> None:
    """Draw the grain line with its arrowheads, and the notches."""
    grain = sheet.add_layer("Grain line", "grain layer")
    line = grain_line(draft.seam)
    sheet.curve(grain, line, "grain", "Grain line", "grain line")
    for head in arrowheads(line):
        fill_with_stroke(sheet.curve(grain, head, "grain", "Grain arrowhead", "grain arrowhead"), "grain")
    notches = sheet.add_layer("Notches", "notch layer")
    for side, distance, *_ in draft.notches:
        for tick in notch_ticks(draft.seam, side, distance, draft.settled.seam_allowance):
            sheet.curve(notches, tick, "mark", f"{side.capitalize()} notch", f"{side} notch", distance_mm=distance)


def name_halves(sheet: Sheet, layer: inkex.Layer, seam: Outline) -> None:
    """Letter FRONT and BACK in their halves, or beside the armhole where the tier lines leave no room."""
    left, top, right, _ = seam.closed().bounds()
    for word, edge, side in (("FRONT", right, 1), ("BACK", left, -1)):
        inside = places_inside(seam, side)
        above = np.array([(edge - side * 8.0, y) for y in np.arange(seam.corner("front underarm point")[1] - 20, top - 60, -4)])
        if sheet.text_where_free(layer, [word], inside, NAME_SIZES[:-1], bold=True) is None:
            sheet.text_where_free(layer, [word], above, NAME_SIZES[1:2], bold=True)


def name_piece(sheet: Sheet, layer: inkex.Layer, seam: Outline, rows: list[str]) -> None:
    """Letter the piece's name inside the front half: as a block, else row by row between the lines.

    What finds no room is left to the notes beside the sleeve, which say it all again.
    """
    places = places_inside(seam, 1)
    if sheet.text_where_free(layer, rows, places, PIECE_SIZES[:-1]) is None:
        downward = places[np.argsort(places[:, 1], kind="stable")]
        for row in rows:
            box = sheet.text_where_free(layer, [row], downward, PIECE_SIZES[1:])
            if box is not None:
                downward = downward[downward[:, 1] > box[1]]


def number_tiers(sheet: Sheet, layer: inkex.Layer, draft: Draft) -> None:
    """Letter each tier's number below the back end of its line, where it stays when the piece is cut out.

    Lines too close together keep their numbers beside the sleeve only.
    """
    waiting = list(draft.tiers)
    for size in (BODY_SIZE, SMALL_SIZE):
        boxes = [text_box([str(tier.number)], *place, size, "middle") for tier in waiting for place in tier.curve.start + NUMBER_PLACES]
        # No number is in another's way: a line lies between them.
        free = sheet.clearance.are_free(np.reshape(boxes, (-1, 4))).reshape(-1, len(NUMBER_PLACES))
        for tier, places in zip(waiting, free):
            if places.any():
                sheet.text(layer, [str(tier.number)], *(tier.curve.start + NUMBER_PLACES[places.argmax()]), size=size, anchor="middle")
        waiting = [tier for tier, places in zip(waiting, free) if not places.any()]


def places_inside(seam: Outline, side: int) -> np.ndarray:
    """Return places (centre x, top) in one half of the sleeve, the most central height first."""
    _, top, _, bottom = seam.closed().bounds()
    heights = np.arange(top + 2, bottom - 4, PLACE_STEP / 2)
    heights = heights[np.argsort(abs(heights - (top + 0.42 * (bottom - top))), kind="stable")]
    reach = max(abs(seam.corner("front hem")[0]), abs(seam.corner("front top")[0]))
    across = side * reach * np.array([0.5, 0.62, 0.4])
    return np.stack(np.broadcast_arrays(across, heights[:, None]), axis=-1).reshape(-1, 2)


def piece_rows(draft: Draft, unit: str, label: str) -> list[str]:
    """Return what is lettered on the piece, its length as it is now."""
    settled, length = draft.settled, below_top_edge(draft.seam, hem_around(draft.seam))
    return [
        *([label] if label else []),
        notes.PIECE,
        notes.CUT,
        f"Bust {write_length(settled.bust_girth, unit)}, length {write_length(length, unit)}",
        allowance_row(settled, unit),
    ]


def allowance_row(settled: Settled, unit: str) -> str:
    """Return how far out the piece is cut."""
    return f"Seam allowance {write_length(settled.seam_allowance, unit)}, hem {write_length(settled.hem_allowance, unit)}"


def draw_notes(sheet: Sheet, draft: Draft, unit: str, label: str) -> Column:
    """Letter the notes right of everything, and draw the test squares below them; return their column."""
    _, top, right, _ = sheet.bounds
    layer = sheet.add_layer("Notes", "notes layer")
    column = Column(sheet, layer, right + NOTES_GAP, top, NOTES_WIDTH)
    column.paragraph("Off-shoulder tiered sleeve", 6.0, bold=True)
    if label:
        column.paragraph(label, 5.0, bold=True)
    column.gap(2)
    for text in (f"{notes.CUT} in base cloth. {notes.GRAIN}.", f"{allowance_row(draft.settled, unit)}."):
        column.paragraph(text)
    heading(column, "Measured")
    write_measurements(column, draft.settled.lettered, unit)
    heading(column, "On the finished seam line")
    write_table(column, drafted_lengths(draft), unit)
    heading(column, "Tiers")
    column.paragraph(tier_sentence(draft, unit))
    heading(column, "Sewing together")
    for sentence in making_up(draft, unit):
        column.paragraph(sentence)
    if draft.block.notes:
        heading(column, "Decided while drafting")
        for note in draft.block.notes:
            column.paragraph(notes.note(note.kind, note.level, [write_length(x, unit) for x in note.lengths]))
    heading(column, "Take care")
    for caution in notes.CAUTIONS:
        column.paragraph(caution)
    column.gap(4)
    draw_test_squares(sheet, column)
    return column


def heading(column: Column, text: str) -> None:
    """Begin a part of the notes."""
    column.gap(2.5)
    column.paragraph(text, 4.2, bold=True)
    column.gap(0.5)


def write_measurements(column: Column, lettered: Mapping[str, float], unit: str) -> None:
    """Letter the measurements, two to a row."""
    cells = [(TABLE[name].label, write_length(value, unit)) for name, value in lettered.items()]
    for first, second in zip(cells[::2], [*cells[1::2], ("", "")]):
        column.row((*first, *second), (0.0, 48.0, 105.0, 153.0))


def write_table(column: Column, rows: list[tuple[str, float]], unit: str) -> None:
    """Letter names and lengths."""
    for name, length in rows:
        column.row((name, write_length(length, unit)), (0.0, 70.0))


def drafted_lengths(draft: Draft) -> list[tuple[str, float]]:
    """Return the lengths that the bodice and the hand must fit."""
    seam, settled = draft.seam, draft.settled
    underarm = underarm_line(seam)
    return [
        ("Front body edge", settled.front.edge),
        ("Back body edge", settled.back.edge),
        ("Top edge, one sleeve", seam.sewn_length("top edge")),
        ("Cap height", below_top_edge(seam, underarm)),
        ("Width at the underarm", underarm.length()),
        ("Front armhole seam", seam.sewn_length("front armhole")),
        ("Back armhole seam", seam.sewn_length("back armhole")),
        ("Front underarm seam", seam.sewn_length("front underarm")),
        ("Back underarm seam", seam.sewn_length("back underarm")),
        ("Closed hem", hem_girth(seam)),
    ]


def tier_sentence(draft: Draft, unit: str) -> str:
    """Return how the tier lines stand, and how to mark them."""
    plan = draft.decided.plan
    count = len(draft.tiers)
    if not stand_as_planned(draft):
        return notes.moved_tiers(count)
    start = f"{count} tier line{'s' if count > 1 else ''}, the first on the top edge. "
    if count == 1:
        return start.rstrip()
    last_section = below_top_edge(draft.seam, hem_around(draft.seam)) - plan.levels[-1]
    if plan.graduated:
        last = plan.levels[-1] - plan.levels[-2]
        return start + notes.graduated_spacing(*(write_length(x, unit) for x in (plan.spacing, last, last_section)))
    if not plan.snapped:
        return start + notes.exact_spacing(write_exact(plan.spacing, unit), write_length(plan.spacing, unit))
    difference = last_section - plan.spacing
    return start + notes.snapped_spacing(
        write_exact(plan.exact_spacing, unit),
        write_length(plan.spacing, unit),
        write_length(plan.levels[-1], unit),
        write_length(last_section, unit),
        write_length(abs(difference), unit),
        difference > 0,
    )


def stand_as_planned(draft: Draft) -> bool:
    """Whether every tier line still stands where the plan put it."""
    seam, levels = draft.seam, draft.decided.plan.levels
    return len(draft.tiers) == len(levels) and all(
        abs(below_top_edge(seam, tier.curve) - level) < ON_THE_TOP_EDGE for tier, level in zip(draft.tiers, levels)
    )


def draw_test_squares(sheet: Sheet, column: Column) -> None:
    """Draw a 10 cm and a 4 in square side by side, to be measured on paper before cutting."""
    layer = sheet.add_layer("Test squares", "test square layer")
    column.paragraph(notes.PRINT_TRUE, bold=True)
    column.gap(2)
    x = column.x
    for name, side in TEST_SQUARES:
        corners = np.array([(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]) * side + (x, column.y)
        sheet.curve(layer, Curve.polyline(corners), "mark", name, "test square", side_mm=side)
        sheet.text(layer, [name], x + side / 2, column.y + side / 2 - 3, size=BODY_SIZE, anchor="middle")
        x += side + 6
    column.gap(max(side for _, side in TEST_SQUARES) + 6)
