"""The job sheet: what is cut, bought and sewn, as one text for the drawing and for the page."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.cutting.end_sheet import bare_warnings, caught_steps, end_sentences, end_table
from extension.cutting.lay_sheet import Picture, lay_sentences, piece_codes, write_bought
from extension.document.paths import quick_path_data
from extension.drawing.pens import draw_data, line_style
from extension.drawing.sheet import Column, Sheet
from extension.drawing.tables import Table, draw_table
from extension.wording import job
from extension.wording.notes import CAUTIONS
from extension.wording.strip_ends import TITLE
from extension.wording.ways import WAYS
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.flat import Flat
from geometry.cloth.lay import StripLay
from geometry.cloth.strips import Tier
from geometry.cloth.tape import Tape
from geometry.cloth.work import estimate_work
from geometry.measuring.lengths import up_to_mark, write_length

#: The flat is drawn at the first of these scales (ISO 5455) at which it is no larger than this, millimetres.
_FLAT_SCALES = (2, 5, 10)
_FLAT_SIZE = (130.0, 190.0)

#: The sheet in the drawing: words on the left are this wide, the flat and the steps stand right of the tables.
_WORDS_WIDTH, _STEPS_WIDTH, _GAP = 200.0, 150.0, 14.0


#: A tier covers what lies below it.
_OPAQUE = line_style("thin").replace("fill:none", "fill:#ffffff")


class Steps(NamedTuple):
    """Numbered steps."""

    rows: Sequence[str]


class Section(NamedTuple):
    """A heading and what stands under it."""

    heading: str
    body: Sequence[str | Table | Steps]


class JobSheet(NamedTuple):
    """The text of a job sheet.  ``pages_only`` are for the page, too long for the drawing."""

    label: str
    warnings: Sequence[str]
    tables: Sequence[Section]
    steps: Sequence[Section]
    pages_only: Sequence[Section]


# --- what it says ---------------------------------------------------------------------------------


def write_job_sheet(plan: CuttingPlan, label: str, measured: Table, out_of_date: bool, bottom_up: bool) -> JobSheet:
    """Return the job sheet of a plan."""
    style, way, mark = plan.job.style, WAYS[plan.job.style.make], job.MARK_WORD[plan.job.tape.unit]
    lining = any(purchase.cloth.name == "lining" for purchase in plan.purchases)
    layers = max(tier.layers for tier in plan.tiers)
    return JobSheet(
        label=label,
        warnings=warnings(plan, out_of_date),
        tables=[
            Section("Measured", [measured]),
            Section(f"Tiers: {way.name}", [tier_table(plan), *shaping_table(plan), job.how_cut(way.cut, mark)]),
            Section(TITLE, [end_table(plan), *end_sentences(plan)]),
            Section("What to buy", [buying_table(plan), *buying_notes(plan)]),
        ],
        steps=[
            Section("Sewing order", [Steps(job.sewing_order(way.sew, bottom_up, lining, layers > 1, style.hem > 0, caught_steps(plan)))]),
            Section("Thread and time", [work_sentence(plan)]),
            Section("Care and cautions", [*job.CARE, *CAUTIONS]),
        ],
        pages_only=[
            Section(f"Strip by strip: {purchase.cloth.name}", [strip_table(purchase.lay, plan.job.tape.unit)])
            for purchase in plan.purchases
            if not plan.patterns and isinstance(purchase.lay, StripLay)
        ],
    )


def warnings(plan: CuttingPlan, out_of_date: bool) -> list[str]:
    """Return what she should know before she cuts."""
    style, unit = plan.job.style, plan.job.tape.unit
    found = [job.OUT_OF_DATE] if out_of_date else []
    for tier, below in zip(plan.tiers, [*(tier.number for tier in plan.tiers[1:]), None]):
        if tier.overlap < -1e-6:
            found.append(job.stitching_shows(tier.number, below, write_up(-tier.overlap, unit)))
    small = [t.number for t in plan.tiers[:-1] if -1e-6 <= t.overlap < style.gathering_allowance - 1e-6]
    if small:
        found.append(job.overlap_small(job.numbers(small), write_length(style.gathering_allowance, unit)))
    found += bare_warnings(plan)
    caution = WAYS[style.make].caution
    held = [tier.number for tier in plan.tiers if caution and caution.holds(tier.made)]
    if caution and held:
        found.append(caution.sentence.format(tiers=job.numbers(held)))
    return found


def write_up(millimetres: float, unit: str, with_unit: bool = True) -> str:
    """Return a length to cut: never less than is needed."""
    return write_length(up_to_mark(millimetres, unit), unit, with_unit)


def tier_table(plan: CuttingPlan) -> Table:
    """Return the table of tiers; numbers are in her unit."""
    unit = plan.job.tape.unit
    measured = ["Tier", f"Line\n({unit})", "Spacing", "Drop", "Fullness", "Cut\nwidth", "Cut\nlength"]
    counted = ["Layers", "Strips\nin all", "Pieces\neach", "Joins\neach"]
    rows = []
    for tier in plan.tiers:
        joins = plan.joins(tier)
        rows.append([
            str(tier.number),
            *(write_length(length, unit, False) for length in (tier.line, tier.spacing, tier.drop)),
            f"{tier.fullness:.3g}",
            write_up(tier.cut_width, unit, False),
            write_up(tier.cut_length(joins), unit, False),
            layer_cell(tier),
            str(tier.layers * plan.job.sleeves),
            str(joins + 1),
            str(joins),
        ])  # fmt: skip
    return Table([*measured, *counted], rows)


def layer_cell(tier: Tier) -> str:
    """Return how many layers a tier has, and of these in contrast."""
    return f"{tier.layers} ({tier.contrast_layers} contrast)" if tier.contrast_layers else str(tier.layers)


def shaping_table(plan: CuttingPlan) -> list[Table]:
    """Return the table of what only this way to make a tier has, if it has any."""
    unit, columns = plan.job.tape.unit, WAYS[plan.job.style.make].columns
    if not columns:
        return []
    rows = [[str(tier.number), *(column.cell(tier.made, unit) for column in columns)] for tier in plan.tiers]
    return [Table(["Tier", *(column.head.format(unit=unit) for column in columns)], rows)]


def buying_table(plan: CuttingPlan) -> Table:
    """Return the table of cloths: what each plan takes and how much to buy."""
    tape = plan.job.tape
    priced = any(purchase.cost is not None for purchase in plan.purchases)
    head = ["Cloth", "Usable\nwidth", "Plan\ntakes", "Shrinks", "Spare", "Buy", *(["Cost"] if priced else [])]
    rows = []
    for purchase in plan.purchases:
        cloth = purchase.cloth
        cost = ["–" if purchase.cost is None else f"{purchase.cost:.2f}"] if priced else []
        rows.append([
            cloth.name.capitalize(), write_length(purchase.lay.width, tape.unit), write_length(purchase.lay.length, tape.unit),
            f"{cloth.shrinkage * 100:.3g} %", f"{cloth.spare * 100:.3g} %", write_bought(purchase.buy, tape), *cost,
        ])  # fmt: skip
    if priced:
        rows.append(["In all", "", "", "", "", "", f"{sum(p.cost or 0 for p in plan.purchases):.2f}"])
    return Table(head, rows)


def buying_notes(plan: CuttingPlan) -> list[str]:
    """Return of every lay's sentences those on length and direction."""
    return [
        sentence
        for purchase in plan.purchases
        for sentence in lay_sentences(plan, purchase)[: 2 if isinstance(purchase.lay, StripLay) else 1]
    ]


def strip_table(lay: StripLay, unit: str) -> Table:
    """Return strip by strip from which pieces it is joined, in the order in which they follow."""
    pieces: list[list[tuple[str, str]]] = [[] for _ in lay.strips]
    for code, piece in zip(piece_codes(lay), lay.pieces):
        length = piece.width if lay.direction == "across" else piece.height
        pieces[piece.strip].append((code, write_length(length, unit, False)))
    rows = []
    for strip, joins, parts in zip(lay.strips, lay.joins, pieces):
        name = parts[0][0].split("·")[0]
        joined = " + ".join(length for _, length in parts)
        width = write_up(strip.width, unit, False)
        rows.append([name, str(strip.sleeve), str(strip.layer), joined, width, str(len(parts)), str(joins)])
    return Table(["Strip", "Sleeve", "Layer", f"Pieces, in order ({unit})", "Cut width", "Cuts", "Joins"], rows, words=4)


def work_sentence(plan: CuttingPlan) -> str:
    """Return how much there is to sew, and the guess at thread and time."""
    work = estimate_work(plan)
    strip, line, thread = (write_run(length, plan.job.tape) for length in (plan.taken_length, plan.line_length, work.thread))
    stitched = WAYS[plan.job.style.make].thread.format(rows=plan.tiers[0].made.rows)
    return job.work_sentence(strip, line, stitched, thread, work.hours)


def write_run(millimetres: float, tape: Tape) -> str:
    """Return a long length roughly: ``61 yd``, ``56 m``."""
    return f"{millimetres / tape.priced_by:.0f} {'yd' if tape.unit == 'in' else 'm'}"


# --- in the drawing -------------------------------------------------------------------------------


def draw_job_sheet(panel: Sheet, sheet: JobSheet, flat: Flat) -> Picture:
    """Fill ``panel`` with the job sheet; return the picture of the flat."""
    layer = panel.add_layer("Text", "job sheet text layer")
    column = Column(panel, layer, 0.0, 0.0, _WORDS_WIDTH)
    column.paragraph(job.TITLE, 6.0, bold=True)
    if sheet.label:
        column.paragraph(sheet.label, 5.0, bold=True)
    for warning in sheet.warnings:
        column.gap(1)
        column.paragraph(warning, bold=True)
    top, right = column.y, _WORDS_WIDTH
    for section in sheet.tables:
        right = max(right, draw_section(panel, layer, column, section))
    beside = Column(panel, layer, right + _GAP, top, _STEPS_WIDTH)
    picture = draw_flat(panel, beside, flat)
    for section in sheet.steps:
        draw_section(panel, layer, beside, section)
    return picture


def draw_section(panel: Sheet, layer: inkex.Layer, column: Column, section: Section) -> float:
    """Draw one section at the end of a column; return how far right it reaches."""
    column.gap(3)
    column.paragraph(section.heading, 4.2, bold=True)
    column.gap(0.8)
    right = column.x
    for part in section.body:
        if isinstance(part, Table):
            end, column.y = draw_table(panel, layer, part, column.x, column.y)
            right = max(right, end)
            column.gap(1.5)
        elif isinstance(part, Steps):
            for number, row in enumerate(part.rows, start=1):
                column.paragraph(f"{number}. {row}")
        else:
            column.paragraph(part)
    return right


def draw_flat(panel: Sheet, column: Column, flat: Flat) -> Picture:
    """Draw the technical flat at the end of a column, and move the column past it."""
    left, top, right, bottom = _flat_bounds(flat)
    scale = next((s for s in _FLAT_SCALES if (right - left) / s <= _FLAT_SIZE[0] and (bottom - top) / s <= _FLAT_SIZE[1]), _FLAT_SCALES[-1])
    layer = panel.add_layer("Technical flat", "flat layer")
    words = Column(panel, layer, column.x, column.y, column.width)
    words.gap(3)
    words.paragraph(f"Technical flat, scale 1:{scale}", 4.2, bold=True)
    shows = any(tier.shows for tier in flat.tiers)
    words.paragraph(f"{job.FLAT} {job.FLAT_SHOWS if shows else job.FLAT_HIDDEN}")
    words.gap(3)
    shift = (column.x + 4 - left / scale, words.y - top / scale)
    matrix = np.array([[1 / scale, 0, shift[0]], [0, 1 / scale, shift[1]]])
    panel.curve(layer, flat.silhouette.transformed(matrix), "thin", "Silhouette", "flat")
    panel.hold((left / scale + shift[0], top / scale + shift[1], right / scale + shift[0], bottom / scale + shift[1]))
    for tier in flat.tiers:
        draw_data(layer, quick_path_data(tier.outline.transformed(matrix)), _OPAQUE, f"Tier {tier.number}", "flat")
        folds = tier.folds.reshape(-1, 4) / scale + (*shift, *shift)
        data = " ".join("M {:.3f} {:.3f} L {:.3f} {:.3f}".format(*fold) for fold in folds.tolist())
        draw_data(layer, data, line_style("leader"), f"Folds of tier {tier.number}", "flat")
    for tier in flat.tiers:
        if tier.shows:
            panel.curve(layer, tier.stitching.transformed(matrix), "seam", f"Stitching of tier {tier.number} shows", "flat")
    end = words.y + (bottom - top) / scale
    picture = Picture(f"Technical flat, scale 1:{scale}", layer, (column.x, column.y, column.x + column.width, end + 2))
    column.y = end + 3
    return picture


def _flat_bounds(flat: Flat) -> tuple[float, float, float, float]:
    boxes = np.array([curve.bounds() for curve in (flat.silhouette, *(tier.outline for tier in flat.tiers))])
    return (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
