"""Draws a drafted sleeve: its lines in layers of their own, lettering beside them, notes and test squares."""
from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import inkex
import numpy as np

from extension.document.part_names import BODY_LINE, TIER_LAYER
from extension.drafting.fit_sheet import fullness_sentence
from extension.drafting.line_labels import Label, letter_lines, number_line
from extension.drafting.making_up import making_up
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, fill_with_stroke, text_box
from extension.drawing.sheet import FOLLOW, Column, Sheet
from extension.wording import notes, pieces
from geometry.curves.curve import Curve
from geometry.measuring.lengths import down_to_mark, up_to_mark, write_exact, write_length
from geometry.measuring.measurements import TABLE
from geometry.paper.along_lines import boxes_inside, inside, reaches
from geometry.sleeve.arm import Level, nearest_girth
from geometry.sleeve.body_line import apart_from
from geometry.sleeve.doubts import doubted, ends_past_the_hand, solved_far_off
from geometry.sleeve.draft import Draft, folded_on, stand_as_planned
from geometry.sleeve.marks import (
    TierLine,
    arrowheads,
    below_top_edge,
    body_level_lines,
    grain_line,
    height_at_grain,
    hem_around,
    hem_girth,
    is_the_hem_itself,
    level_width,
    notch_ticks,
    place_notches,
    place_ticks,
)
from geometry.sleeve.outline import CORNERS, Outline
from geometry.sleeve.rules import CAP_HEIGHT_MORE
from geometry.sleeve.settling import Settled

#: From the sleeve and its lettering to the notes, and how wide those are, millimetres.
NOTES_GAP, NOTES_WIDTH = 15.0, 210.0

#: Lettering inside the sleeve tries these sizes in turn, millimetres.
NAME_SIZES = (9.0, 7.0, 5.5, 4.5, BODY_SIZE, SMALL_SIZE)
PIECE_SIZES = (5.0, 4.0, BODY_SIZE, SMALL_SIZE)

#: Places tried for lettering inside the sleeve lie this far apart down, millimetres, and across at these shares of a half.
PLACE_STEP = 4.0
NAME_SHARES = np.array([0.5, 0.62, 0.4])

#: Closer to the top edge than this a line counts as there, millimetres.
ON_THE_TOP_EDGE = 0.05

TEST_SQUARES = (("10 cm test square", 100.0), ("4 in test square", 101.6))


def draw_sleeve(sheet: Sheet, draft: Draft, unit: str, label: str, working: Sequence[str] = (), same_as: str = "") -> Column:
    """Fill ``sheet`` with everything that belongs to one sleeve; lengths are lettered in ``unit``, ``working`` holds sums for the notes,
    ``same_as`` says whose measurements these are too.

    Returns the column of notes, below which there is room for more.
    """
    draw_outlines(sheet, draft)
    draw_tiers(sheet, draft)
    levels = draw_levels(sheet, draft)
    without = draw_marks(sheet, draft)
    names = sheet.add_layer("Names", "names layer")
    for tier in draft.tiers:
        number_line(sheet, names, tier.number, tier.curve, _sides(draft, tier))
    letter_tiers(sheet, draft, unit)
    letter_fold(sheet, names, draft, unit)
    letter_levels(sheet, draft, levels, unit)
    name_halves(sheet, names, draft.seam)
    name_piece(sheet, names, draft.seam, piece_rows(draft, unit, label))
    return draw_notes(sheet, draft, unit, label, without, working, same_as)


def draw_outlines(sheet: Sheet, draft: Draft) -> None:
    """Draw Cutting line, Seam line and Body line, each in a layer of its own.

    The Seam line keeps what it needs to be read again after she has edited it: its corners, and how
    it was drawn.
    """
    stored = {"corners": corners_text(draft.seam), "remembered": True}
    for name, curve, attributes in (("cutting", draft.cutting, {}), ("seam", draft.seam.closed(), stored)):
        label = f"{name.capitalize()} line"
        sheet.curve(sheet.add_layer(label, f"{name} layer"), curve, name, label, f"{name} line", **attributes)
    layer = sheet.add_layer("Body line", "body layer")
    sheet.curves(layer, apart_from(draft.block.body.closed(), draft.seam.closed()), "body", "Body line", BODY_LINE)


def corners_text(seam: Outline) -> str:
    """Return the corners as kept on the Seam line: six pairs x,y in millimetres, in the order of CORNERS."""
    return " ".join("{:.4f},{:.4f}".format(*seam.corner(name)) for name in CORNERS)


def draw_tiers(sheet: Sheet, draft: Draft) -> None:
    """Draw the tier lines."""
    layer = sheet.add_layer("Tier lines", TIER_LAYER)
    for tier in draft.tiers:
        stored = {"number": tier.number, "length_mm": tier.length}
        sheet.curve(layer, tier.curve, "tier", f"Tier line {tier.number}", "tier line", remembered=True, **stored)


def letter_tiers(sheet: Sheet, draft: Draft, unit: str) -> None:
    """Letter on each tier line its number, finished length and distance below the top edge."""
    layer = sheet.add_layer("Tier lengths", "tier lengths layer")
    labels = []
    for tier in draft.tiers:
        below = "" if is_on_the_top_edge(draft, tier) else write_length(below_top_edge(draft.seam, tier.curve), unit)
        length, where = notes.tier(tier.number, write_length(tier.length, unit), below)
        labels.append(Label(tier.curve, [[f"{length} {where}"], [length, where]], _sides(draft, tier)))
    letter_lines(sheet, layer, labels, draft.cutting, right=True)


def is_on_the_top_edge(draft: Draft, tier: TierLine) -> bool:
    """Whether a tier line is the top edge itself."""
    return abs(below_top_edge(draft.seam, tier.curve)) < ON_THE_TOP_EDGE


def _sides(draft: Draft, tier: TierLine) -> tuple[bool, ...]:
    """Return on which sides of a tier line to letter, under it or not, the best first: above the top edge there is no sleeve."""
    return (True,) if is_on_the_top_edge(draft, tier) else (True, False)


def letter_fold(sheet: Sheet, layer: inkex.Layer, draft: Draft, unit: str) -> None:
    """Letter the top edge as a fold where a casing or a facing is cut in one with the sleeve."""
    if "top edge" in folded_on(draft.seam, draft.settled):
        fold = pieces.fold(write_length(draft.settled.top.casing, unit), draft.settled.top.stitched > 0)
        letter_lines(sheet, layer, [Label(draft.seam.edge("top edge"), [[fold], [pieces.FOLD]], (False, True))], draft.cutting, right=False)


def draw_levels(sheet: Sheet, draft: Draft) -> list[tuple[Level, Curve]]:
    """Draw the levels where the body was measured, and return those that are drawn."""
    layer = sheet.add_layer("Level lines", "level layer")
    # One above the underarm has no line: its girth is kept there instead, and the notes say so.
    drawn = [(level, line) for level, line in zip(draft.block.levels, body_level_lines(draft.seam, draft.block.levels)) if line is not None]
    for level, line in drawn:
        element = sheet.curve(layer, line, "level", f"{level.name.capitalize()} level", "level line", level=level.name)
        if is_the_hem_itself(draft.seam, level):  # its dots would fill the gaps of the Seam line's dashes
            sheet.put_away(element, "level line")
    return drawn


def letter_levels(sheet: Sheet, draft: Draft, levels: Sequence[tuple[Level, Curve]], unit: str) -> None:
    """Letter on each level line how far down it is, and what sleeve and arm measure there."""
    layer = sheet.add_layer("Level widths", "level widths layer")
    labels = []
    for level, line in levels:
        arm = nearest_girth(draft.arm, height_at_grain(line)) if level.name == "hem" else level.girth
        girth = "" if level.name == "underarm" else write_length(arm, unit)
        below, width = below_top_edge(draft.seam, line), level_width(draft.seam, level, line)
        how = notes.CAP_HEIGHT_BY[draft.cap_height_from] if level.name == "underarm" else ""
        where, measured = notes.level(level.name, write_length(below, unit) + how, write_length(width, unit), girth)
        labels.append(Label(line, [[f"{where} {measured}"], [where, measured]], (False,) if level.name == "hem" else (False, True)))
    letter_lines(sheet, layer, labels, draft.cutting, right=False)


def draw_marks(sheet: Sheet, draft: Draft) -> set[str]:
    """Draw the grain line with its arrowheads, and the notches; return the names of places that would have one and have none."""
    grain = sheet.add_layer("Grain line", "grain layer")
    line = grain_line(draft.seam)
    sheet.curve(grain, line, "grain", "Grain line", "grain line")
    for head in arrowheads(line):
        fill_with_stroke(sheet.curve(grain, head, "grain", "Grain arrowhead", "grain arrowhead"), "grain")
    notches = sheet.add_layer("Notches", "notch layer")
    drawn = []
    for side, distance, *_ in draft.notches:
        for tick in notch_ticks(draft.seam, side, distance, draft.settled.seam_allowance, draft.cutting):
            drawn.append(tick)
            sheet.curve(notches, tick, "mark", f"{side.capitalize()} notch", f"{side} notch", distance_mm=distance)
    places = place_notches(draft.seam, draft.tiers, draft.block.levels)
    told_apart = place_ticks(draft.seam, places, draft.settled.allowances, draft.cutting, drawn)
    for notch, tick in told_apart:
        sheet.curve(notches, tick, "mark", f"Notch, {notch.name}", "place notch", place=notch.name)
    return {place.line for place in places} - {notch.line for notch, _ in told_apart}


def tiers_without_notches(draft: Draft, without: Collection[str]) -> list[str]:
    """Return how the ends of tier lines are marked whose notches would stand too close to others."""
    tiers = [tier.number for tier in draft.tiers if f"tier {tier.number}" in without]
    return [notes.without_notches(tiers)] if tiers else []


def name_halves(sheet: Sheet, layer: inkex.Layer, seam: Outline) -> None:
    """Letter FRONT and BACK inside their halves: clear of all lines where there is room, else over the tier lines."""
    outline = seam.closed().flatten(FOLLOW)
    for word, side in (("FRONT", 1), ("BACK", -1)):
        places = places_inside(seam, side)
        if sheet.text_where_free(layer, [word], places, NAME_SIZES, bold=True) is None:
            boxes = np.tile(places, 2) + text_box([word], 0.0, 0.0, SMALL_SIZE, "middle", bold=True)
            within = np.flatnonzero(boxes_inside(outline, boxes))
            if len(within):
                sheet.text(layer, [word], *places[within[0]], size=SMALL_SIZE, anchor="middle", bold=True)


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


def places_inside(seam: Outline, side: int) -> np.ndarray:
    """Return places (centre x, top) in one half of the sleeve, the most central height first."""
    line = seam.closed().flatten(FOLLOW)
    (_, top), (_, bottom) = line.min(axis=0), line.max(axis=0)
    heights = np.arange(top + 2, bottom - 4, PLACE_STEP / 2)
    heights = heights[np.argsort(abs(heights - (top + 0.42 * (bottom - top))), kind="stable")]
    reach = reaches(line, heights, side)
    heights, reach = heights[reach > 0], reach[reach > 0]
    across = side * reach[:, None] * NAME_SHARES
    places = np.stack(np.broadcast_arrays(across, heights[:, None]), axis=-1).reshape(-1, 2)
    return places[inside(line, places) & inside(line, places + (0.0, SMALL_SIZE))]  # the hem is bent


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


def draw_notes(
    sheet: Sheet, draft: Draft, unit: str, label: str, without: Collection[str], working: Sequence[str] = (), same_as: str = ""
) -> Column:
    """Letter the notes right of everything, and draw the test squares below them; return their column."""
    _, top, right, _ = sheet.bounds
    layer = sheet.add_layer("Notes", "notes layer")
    column = Column(sheet, layer, right + NOTES_GAP, top, NOTES_WIDTH)
    column.title("Off-shoulder tiered sleeve", label)
    column.gap(2)
    for text in (f"{notes.CUT} in base cloth. {notes.GRAIN}.", f"{allowance_row(draft.settled, unit)}."):
        column.paragraph(text)
    heading(column, "Measured")
    write_measured(column, draft.settled, unit)
    for text in [*([same_as] if same_as else []), *questions(draft, unit)]:
        column.paragraph(text, bold=True)
    heading(column, "On the finished seam line")
    write_drafted(column, draft, unit)
    heading(column, "Tiers")
    column.paragraph(tier_sentence(draft, unit))
    heading(column, "Sewing together")
    for sentence in (*making_up(draft, unit), *tiers_without_notches(draft, without)):
        column.paragraph(sentence)
    if draft.decided.changes:
        heading(column, "Fitting changes")
        for number, change in enumerate(draft.decided.changes, start=1):
            said = [(name, write_length(abs(amount), unit), amount > 0) for name, amount in change.amounts.items()]
            column.paragraph(notes.fitting_change(number, change.date, said, change.reason))
    decided = decisions(draft, unit)
    if decided:
        heading(column, "Decided while drafting")
        for sentence in decided:
            column.paragraph(sentence)
    if working:
        from extension.wording import working as sums  # rarely needed

        heading(column, sums.HEADING)
        for line in (sums.about(unit), *working):
            column.paragraph(line)
    heading(column, notes.NEXT)
    column.paragraph(notes.NEXT_AFTER_DRAFT)
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


def decisions(draft: Draft, unit: str) -> list[str]:
    """Return what the draft decided that she should know."""
    told = [(note.kind, note.level, [write_length(length, unit) for length in note.lengths]) for note in draft.block.notes]
    return [notes.note(kind, level, lengths) for kind, level, lengths in told if not notes.reads_the_same(kind, lengths)]


def write_measured(column: Column, settled: Settled, unit: str) -> None:
    """Letter what she measured and chose."""
    write_measurements(column, settled.lettered, unit)
    if settled.style.ease != "typed":
        column.paragraph(notes.preset(settled.style.ease, settled.style.wearer))


def questions(draft: Draft, unit: str) -> list[str]:
    """Return what to ask of measurements that hardly belong to one body, or to one sleeve."""
    settled, measured, solved = draft.settled, draft.settled.lettered, draft.decided.block.cap_height
    said = [
        notes.doubted(TABLE[name].label, write_length(measured[name], unit), TABLE[other].label, write_length(measured[other], unit))
        for name, other in doubted(measured)
    ]
    if ends_past_the_hand(measured):
        said.append(notes.ends_past_the_hand(*(write_length(measured[name], unit) for name in ("sleeve_length", "wrist_level"))))
    if settled.cap_measured and solved_far_off(settled.cap.y, solved):
        said.append(notes.solved_far_off(write_length(settled.cap.y, unit), write_length(solved, unit)))
    return said


def write_drafted(column: Column, draft: Draft, unit: str) -> None:
    """Letter the lengths that were drafted, where the cap height comes from, and whether the match leaves more than loose."""
    write_table(column, drafted_lengths(draft), unit)
    column.paragraph(f"Cap height {notes.CAP_HEIGHT_FROM[draft.cap_height_from].format(more=write_exact(CAP_HEIGHT_MORE, unit))}.")
    if draft.fullness and draft.fullness.cause == "match":
        column.paragraph(fullness_sentence(draft.fullness, unit), bold=True)


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
    underarm = draft.underarm
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
    if not stand_as_planned(draft.seam, draft.tiers, plan):
        return notes.moved_tiers(count)
    first, end = plan.levels[0], below_top_edge(draft.seam, hem_around(draft.seam)) if plan.to_hem else plan.end
    start = notes.tier_lines(count, write_length(first, unit) if first else "", "" if plan.to_hem else write_length(end, unit))
    start += notes.LAYOUTS[draft.settled.style.tier_layout]
    if count == 1:
        return start.rstrip()
    last_section = end - plan.levels[-1]
    if plan.graduated:
        last = plan.levels[-1] - plan.levels[-2]
        return start + notes.graduated_spacing(*(write_length(x, unit) for x in (plan.spacing, last, last_section)))
    if not plan.snapped:
        on_a_mark = up_to_mark(plan.spacing, unit) == down_to_mark(plan.spacing, unit)
        return start + notes.exact_spacing("" if on_a_mark else write_exact(plan.spacing, unit), write_length(plan.spacing, unit))
    difference = last_section - plan.spacing
    return start + notes.snapped_spacing(
        write_exact(plan.exact_spacing, unit),
        write_length(plan.spacing, unit),
        write_length(plan.levels[-1], unit),
        write_length(last_section, unit),
        write_length(abs(difference), unit),
        difference > 0,
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
