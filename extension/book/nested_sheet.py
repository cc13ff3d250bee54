"""Several sizes on one grain line and one top edge, told apart by their lines in black and white, and the table of their steps."""
from __future__ import annotations

from collections.abc import Sequence

import inkex
import numpy as np

from extension.book.clients import Client
from extension.book.sizes import are_sizes
from extension.document.part_names import NESTED, SIZE_LAYER, SIZE_NAMES_LAYER
from extension.document.parts import mark, new_layer, new_sleeve_layer
from extension.drafting.line_labels import number_line
from extension.drafting.sleeve_sheet import allowance_row, is_on_the_top_edge, name_halves, name_piece
from extension.drawing.lettering import LEADING
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE, fill_with_stroke
from extension.drawing.sheet import Column, Sheet
from extension.drawing.tables import Table, draw_table
from extension.wording import book as words
from extension.wording.notes import CAUTIONS, CUT, NEXT, PIECE, PRINT_TRUE
from geometry.curves.curve import Curve
from geometry.measuring.lengths import as_read, write_fine
from geometry.paper.clearance import spread
from geometry.sleeve.draft import Draft
from geometry.sleeve.marks import TierLine, arrowheads, below_top_edge, grain_line, hem_around, hem_girth, notch_ticks, underarm_line

#: A client with her sleeve.
Drafted = tuple[Client, Draft]

#: Dashes and gaps by which neighbouring sizes differ, in millimetres, drawn in black (made up on the model of ISO 128-2:
#: continuous, dashed, dotted, with one, two and three dots); after these they begin again.
PATTERNS = ("none", "6,2", "1,1.5", "9,2,1,2", "3,2", "9,2,1,2,1,2", "12,3", "6,2,1,2,1,2,1,2", "2,3", "14,2,3,2")

#: Those of a Cutting line beside a Seam line, which is dashed and just as wide: whole, or with dots, so that nobody cuts on the other.
BESIDE_PATTERNS = tuple(pattern for pattern in PATTERNS if pattern == "none" or pattern.startswith("1,") or ",1," in pattern)

#: Colour and width in millimetres of what is cut, sewn, and marked across: grey steps back behind black on any printer.
_CUT, _SEWN, _ACROSS = ("#000000", 0.5), ("#707070", 0.25), ("#707070", 0.18)

#: From the widest size out to the names of the sizes, and from there to the legend, millimetres.
_BESIDE, _GAP, _LEGEND_WIDTH, _SAMPLE = 14.0, 14.0, 210.0, 30.0


def nested_sheet(svg: inkex.SvgDocumentElement, drafted: Sequence[Drafted]) -> Sheet:
    """Return a layer of the document that holds all sizes, each in a layer of its own, with a legend and tables; not yet placed."""
    sheet = Sheet(mark(new_sleeve_layer(svg, words.NESTED, part=NESTED), NESTED, unit=drafted[0][0].typed["unit"]))
    for k, (client, draft) in enumerate(drafted):
        draw_size(sheet, client.label, draft, PATTERNS[k % len(PATTERNS)])
    common = new_layer(sheet.layer, "Grain line", "grain layer")
    longest = max((draft for _, draft in drafted), key=lambda draft: draft.settled.length)
    line = grain_line(longest.seam)
    sheet.curve(common, line, "grain", "Grain line", "grain line")
    for head in arrowheads(line):
        fill_with_stroke(sheet.curve(common, head, "grain", "Grain arrowhead", "grain arrowhead"), "grain")
    letter_inside(sheet, drafted)
    name_sizes(sheet, drafted)
    draw_legend(sheet, drafted)
    return sheet


def draw_size(sheet: Sheet, label: str, draft: Draft, pattern: str) -> None:
    """Draw one size: cutting line, seam line, tier lines and notches, all in one pattern."""
    layer = new_layer(sheet.layer, f"Size {label}", SIZE_LAYER)
    lines = [("Cutting line", draft.cutting, _CUT), ("Seam line", draft.seam.closed(), _SEWN)]
    lines += [(f"Tier line {tier.number}", tier.curve, _ACROSS) for tier in lines_below_the_top_edge(draft)]
    for name, curve, pen in lines:
        _in_pattern(sheet.curve(layer, curve, "thin", f"{name}, {label}", f"nested {name.lower().rstrip('0123456789 ')}"), pen, pattern)
    for notch in draft.notches:
        for tick in notch_ticks(draft.seam, notch.side, notch.from_underarm, draft.settled.seam_allowance, draft.cutting):
            sheet.curve(layer, tick, "thin", f"{notch.side.capitalize()} notch, {label}", "nested notch")


def lines_below_the_top_edge(draft: Draft) -> list[TierLine]:
    """Return the tier lines that are not the top edge itself."""
    return [tier for tier in draft.tiers if not is_on_the_top_edge(draft, tier)]


def _in_pattern(path: inkex.PathElement, pen: tuple[str, float], pattern: str) -> None:
    colour, width = pen
    path.attrib["style"] = f"fill:none;stroke:{colour};stroke-width:{width};stroke-dasharray:{pattern};stroke-linejoin:round"


def letter_inside(sheet: Sheet, drafted: Sequence[Drafted]) -> None:
    """Letter what is cut in every size alike inside the narrowest: the tiers' numbers, FRONT and BACK, and the piece's name."""
    layer = sheet.add_layer("Names", "names layer")
    client, narrowest = min(drafted, key=lambda each: underarm_line(each[1].seam).length())
    below = lines_below_the_top_edge(narrowest)
    # The others' lines lie below the narrowest's, since the shortest is narrowest as a rule; so above it there is room.
    for tier in below:
        number_line(sheet, layer, tier.number, tier.curve, under=(False, True))
    for tier in narrowest.tiers:
        if is_on_the_top_edge(narrowest, tier):
            number_line(sheet, layer, tier.number, tier.curve)
    name_halves(sheet, layer, narrowest.seam)
    allowances = {allowance_row(draft.settled, client.typed["unit"]) for _, draft in drafted}
    name_piece(sheet, layer, narrowest.seam, [words.NESTED, PIECE, CUT, *(allowances if len(allowances) == 1 else ())])


def name_sizes(sheet: Sheet, drafted: Sequence[Drafted]) -> None:
    """Letter each size's name right of the sleeve, with leaders to its front underarm point and to its front hem corner."""
    layer = new_layer(sheet.layer, "Names of the sizes", SIZE_NAMES_LAYER)
    edge = max(draft.cutting.bounds()[2] for _, draft in drafted) + _BESIDE
    size = BODY_SIZE if len(drafted) <= 20 else SMALL_SIZE
    height = size * LEADING + 0.6
    for corner in ("front underarm point", "front hem"):
        down = sorted(drafted, key=lambda each: tuple(each[1].seam.corner(corner)[::-1]))
        ends = [(_cut_beside(draft, corner), client.label) for client, draft in down]
        tops = spread([float(point[1]) - height / 2 for point, _ in ends], height)
        for (point, label), top in zip(ends, tops):
            sheet.polyline(layer, [point, (edge - 2, top + height / 2)], "leader", f"Leader of {label}", "leader")
            sheet.text(layer, [label], edge, top, size=size)


def _cut_beside(draft: Draft, corner: str) -> np.ndarray:
    """Return the node of the cutting line that stands out beyond a front corner of the seam line."""
    down = draft.settled.hem_allowance if corner.endswith("hem") else 0.0
    beyond = draft.seam.corner(corner) + (2 * draft.settled.seam_allowance, down)
    nodes: np.ndarray = draft.cutting.nodes
    return nodes[np.hypot(*(nodes - beyond).T).argmin()]


def draw_legend(sheet: Sheet, drafted: Sequence[Drafted]) -> None:
    """Letter right of everything what line each size has, how large each is, and by how much each differs from the one before."""
    _, top, right, _ = sheet.bounds
    layer = new_layer(sheet.layer, "Legend", "legend layer")
    column = Column(sheet, layer, right + _GAP, top, _LEGEND_WIDTH)
    column.title(words.NESTED)
    column.gap(1.0)
    for text in (words.NESTED_NOTE, PRINT_TRUE):
        column.paragraph(text)
    column.gap(2.0)
    draw_lines_and_tables(sheet, layer, column, drafted, PATTERNS)
    column.gap(3.0)
    for caution in CAUTIONS:
        column.paragraph(caution, SMALL_SIZE)
    column.gap(1.0)
    column.paragraph(NEXT, bold=True)
    column.paragraph(words.NEXT_AFTER_NESTED)


def draw_lines_and_tables(
    sheet: Sheet, layer: inkex.Layer, column: Column, drafted: Sequence[Drafted], patterns: Sequence[str] = BESIDE_PATTERNS
) -> None:
    """Draw which of the ``patterns`` each size has, the table of the sizes and, where they are a run, that of their steps."""
    size = BODY_SIZE if len(drafted) <= 20 else SMALL_SIZE
    for k, (client, _) in enumerate(drafted):
        y = column.y + size * LEADING / 2
        line = Curve.line((column.x, y), (column.x + _SAMPLE, y))
        _in_pattern(sheet.curve(layer, line, "thin", f"Line of {client.label}", "legend line"), _CUT, patterns[k % len(patterns)])
        column.row((client.label,), (_SAMPLE + 4,), size=size)
    column.gap(3.0)
    _, column.y = draw_table(sheet, layer, size_table(drafted), column.x, column.y)
    if are_sizes([client for client, _ in drafted]):
        column.gap(4.0)
        _, column.y = draw_table(sheet, layer, step_table(drafted), column.x, column.y)


def give_pattern(cutting_line: inkex.BaseElement, number: int) -> None:
    """Draw the Cutting line of a sleeve of its own with the dashes of its size, counted from 0: the first keeps its whole line."""
    style = cutting_line.attrib["style"]
    cutting_line.attrib["style"] = style.replace("stroke-dasharray:none", f"stroke-dasharray:{BESIDE_PATTERNS[number % len(BESIDE_PATTERNS)]}")


# --- tables ------------------------------------------------------------------------------------------


def lengths_of(draft: Draft) -> dict[str, float]:
    """Return what the sizes are compared by, millimetres."""
    seam = draft.seam
    return {
        "Bust\ngirth": draft.settled.bust_girth,
        "Top\nedge": seam.sewn_length("top edge"),
        "Cap\nheight": below_top_edge(seam, underarm_line(seam)),
        "Under-\narm": underarm_line(seam).length(),
        "Closed\nhem": hem_girth(seam),
        "Length": below_top_edge(seam, hem_around(seam)),
        "Front\narmhole": seam.sewn_length("front armhole"),
        "Back\narmhole": seam.sewn_length("back armhole"),
        "Front\nunderarm": seam.sewn_length("front underarm"),
        "Back\nunderarm": seam.sewn_length("back underarm"),
    }


def size_table(drafted: Sequence[Drafted]) -> Table:
    """Return a row for each size."""
    unit = drafted[0][0].typed["unit"]
    all_lengths = [lengths_of(draft) for _, draft in drafted]
    rows = [[client.label, *(write_fine(x, unit) for x in lengths.values())] for (client, _), lengths in zip(drafted, all_lengths)]
    return Table([f"Size\n({unit})", *all_lengths[0]], rows)


def step_table(drafted: Sequence[Drafted]) -> Table:
    """Return by how much each size is larger than the one before it: what a grader gets who subtracts in the table of sizes."""
    unit = drafted[0][0].typed["unit"]
    all_lengths = [lengths_of(draft) for _, draft in drafted]
    rows = [
        [f"{one.label} to {other.label}", *(write_fine(as_read(after[name], unit) - as_read(before[name], unit), unit) for name in before)]
        for (one, _), (other, _), before, after in zip(drafted, drafted[1:], all_lengths, all_lengths[1:])
    ]
    return Table([f"Steps\n({unit})", *all_lengths[0]], rows)
