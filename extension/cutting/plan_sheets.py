"""Puts a cutting plan into her document: lay plans, job sheet and true pattern pieces, and the files if she wants them."""
from __future__ import annotations

from collections.abc import Sequence

import inkex
import numpy as np

from extension.cutting.end_sheet import called, end_panels
from extension.cutting.gather_ticks import draw_gather_ticks
from extension.cutting.job_sheet import Terms, draw_job_sheet, working_section, write_job_sheet
from extension.cutting.lay_sheet import draw_lays
from extension.cutting.sewing_steps import Making
from extension.document.reading import SleeveInDocument
from extension.drawing.panels import drop_panel, new_panel, settle_panels
from extension.drawing.pens import BODY_SIZE, SMALL_SIZE
from extension.drawing.sheet import FOLLOW, Sheet
from extension.drawing.tables import Table
from extension.editing.door import put_right_first
from extension.wording.ways import WAYS, PieceWords
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.flat import Figure, technical_flat
from geometry.cloth.making import Pattern
from geometry.cloth.masters import masters_of
from geometry.cloth.strips import Tier
from geometry.curves.curve import Curve
from geometry.curves.polyline import places_inside
from geometry.measuring.lengths import write_length
from geometry.measuring.measurements import TABLE
from geometry.measuring.sums import Sum
from geometry.sleeve.settling import Settled

#: Measurements stand this many to a row.
_TO_A_ROW = 3

#: Between true pattern pieces, and how wide a row of them may grow, millimetres.
_PIECE_GAP, _ROW = 15.0, 900.0

#: Places tried for the name of a piece lie this far apart, millimetres.
PLACE_STEP = 5.0


def draw_plan(
    sleeve: SleeveInDocument, making: Making, folder: str, terms: Terms, working: Sequence[Sum] = ()
) -> None:
    """Draw the panels of a plan beside its sleeve, in place of those of an earlier plan, and write its files.

    Arguments and errors as of :func:`fill_panels`.
    """
    plan = making.plan
    reports = fill_panels(sleeve, making, folder, terms, working)
    printed = [*pattern_panels(sleeve, plan), *end_panels(sleeve.layer, plan, sleeve.label)]
    draw_gather_ticks(sleeve, plan)
    settle_panels([*reports, *printed], left=printed)


def fill_panels(
    sleeve: SleeveInDocument, making: Making, folder: str, terms: Terms, working: Sequence[Sum] = (), lettered: bool = True
) -> list[Sheet]:
    """Return lay plan and job sheet of a plan, filled and not yet settled; the files are written from them.

    Not ``lettered``, the job sheet holds the flat alone, for files, which take their words from elsewhere.  ``working`` holds its
    sums where she wants to see them.
    Raises :class:`Refused` where ``folder`` is named and can't be written to.
    """
    plan, settled = making.plan, making.settled
    sheet = write_job_sheet(making, sleeve.label, measured_table(settled, plan.job.tape.unit), sleeve.edited, terms)
    sheet = sheet._replace(warnings=[*put_right_first(sleeve), *sheet.warnings])
    if working:
        sheet = sheet._replace(steps=[*sheet.steps, working_section(working, plan.job.tape.unit)])
    lays = new_panel(sleeve.layer, "Lay plan", "lay panel")
    pictures = draw_lays(lays, plan, sheet.warnings, sleeve.label)
    jobs = new_panel(sleeve.layer, "Job sheet", "job sheet panel")
    figure, spread = Figure(settled.front.edge / 2, settled.bust_girth, settled.cap.y), making.decided.block.spread
    views = technical_flat(sleeve.outline, plan.lines, tiers_seen(plan), plan.job.style.make, figure, spread)
    words = sheet if lettered else sheet._replace(warnings=[], tables=[], steps=[])
    flat, for_client = draw_job_sheet(jobs, words, views, shorter=hides_layers(plan))
    if folder.strip():
        from extension.cutting.job_files import Pictures, write_job_files  # not every plan is kept in files

        write_job_files(folder.strip(), sheet, plan, terms, Pictures([flat, *pictures], for_client), working)
    return [lays, jobs]


def tiers_seen(plan: CuttingPlan) -> list[Tier]:
    """Return the tiers as the flat shows them: shorter layers are hidden by the outermost."""
    if not hides_layers(plan):
        return plan.tiers
    return [tier._replace(layers=1, contrast_layers=min(1, tier.contrast_layers)) for tier in plan.tiers]


def hides_layers(plan: CuttingPlan) -> bool:
    """Whether there are layers that are shorter than those over them."""
    return bool(plan.job.style.layer_step) and any(tier.layers > 1 for tier in plan.tiers)


def pattern_panels(sleeve: SleeveInDocument, plan: CuttingPlan) -> list[Sheet]:
    """Return the panel of pattern pieces, if any are cut; drop those of ways that an earlier plan made tiers."""
    panels = []
    for name, way in WAYS.items():
        if way.pieces is None:
            continue
        part = f"{way.pieces.whole} panel"
        if name == plan.job.style.make and plan.patterns:
            panels.append(new_panel(sleeve.layer, f"{way.pieces.whole.capitalize()} pieces", part))
            draw_patterns(panels[-1], plan, way.pieces)
        else:
            drop_panel(sleeve.layer, part)
    return panels


def measured_table(settled: Settled, unit: str) -> Table:
    """Return what was measured on the client, several measurements to a row."""
    cells = [(TABLE[name].label, write_length(value, unit)) for name, value in settled.lettered.items()]
    cells += [("", "")] * (-len(cells) % _TO_A_ROW)
    per_column = len(cells) // _TO_A_ROW
    rows = [[text for k in range(_TO_A_ROW) for text in cells[k * per_column + i]] for i in range(per_column)]
    return Table(["Measurement", "Length"] * _TO_A_ROW, rows, words=2 * _TO_A_ROW)


def places_on(pattern: Pattern, move: np.ndarray) -> np.ndarray:
    """Return places (centre x, top) inside a pattern piece, as it is moved, for its name; the nearest to its middle first."""
    return places_inside(pattern.sewn.transformed(move).flatten(FOLLOW), move[:, :2] @ pattern.middle + move[:, 2], PLACE_STEP)


def draw_patterns(panel: Sheet, plan: CuttingPlan, words: PieceWords) -> None:
    """Draw the pattern pieces of the tiers at true size, as sewn and as cut; those cut from one master once, with their marks."""
    whole, sleeves = words.whole, plan.job.sleeves
    layer = panel.add_layer(f"{whole.capitalize()} {words.piece}s", f"{whole} layer")
    x = top = deepest = 0.0
    for pattern, cuts in masters_of(plan.patterns):
        left, above, right, below = pattern.cut.bounds()
        if x and x + right - left > _ROW:
            x, top = 0.0, deepest + _PIECE_GAP
        move = np.array([[1.0, 0.0, x - left], [0.0, 1.0, top - above]])
        name = f"{whole.capitalize()} of {', '.join(called(cut.tier) for cut in cuts)}"
        panel.curve(layer, pattern.cut.transformed(move), "cutting", f"{name}, cut", f"{whole} cutting line")
        panel.curve(layer, pattern.sewn.transformed(move), "seam", f"{name}, sewn", f"{whole} seam line")
        for cut in cuts:
            if cut.mark is not None:
                _draw_mark(panel, layer, cut.mark.transformed(move), called(cut.tier), f"{whole} mark line")
        each = [(called(cut.tier), cut.pattern.pieces, cut.tier.layers, cut.tier.copies(sleeves), cut.mark is None) for cut in cuts]
        rows = words.under_master([(*one, bool(cut.tier.name)) for one, cut in zip(each, cuts)])
        places = places_on(pattern, move)
        box = panel.text_where_free(layer, rows, places, (BODY_SIZE, SMALL_SIZE))
        if box is None:  # a piece too small to be lettered
            box = panel.text(layer, rows, x + (right - left) / 2, top + below - above + 2.0, size=BODY_SIZE, anchor="middle")
        deepest = max(deepest, top + below - above, box[3])
        x = max(x + right - left, box[2]) + _PIECE_GAP


def _draw_mark(panel: Sheet, layer: inkex.Layer, mark: Curve, which: str, part: str) -> None:
    """Draw where a smaller piece ends on its master, lettered with whose it is."""
    panel.curve(layer, mark, "thin", f"End of {which}", part)
    start, along = mark.segments[-1, 0], mark.end - mark.segments[-1, 0]
    aside = np.array([-along[1], along[0]]) / np.hypot(*along)  # toward the smaller piece
    places = [start + share * along + far * aside - (0.0, SMALL_SIZE / 2) for far in _BESIDE_MARK for share in _ALONG_MARK]
    panel.text_where_free(layer, [which], np.array(places), (SMALL_SIZE,))


#: The name beside a mark on a master is tried so far aside, millimetres, and at these shares of the mark.
_BESIDE_MARK, _ALONG_MARK = range(4, 30, 2), (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.15, 0.85)
