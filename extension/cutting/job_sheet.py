"""The job sheet: what is cut, bought and sewn, as one text for the drawing and for the page."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.cutting.lay_sheet import Picture, lay_sentences, piece_codes, write_bought
from extension.document.paths import quick_path_data
from extension.drawing.pens import draw_data, line_style
from extension.drawing.sheet import Column, Sheet
from extension.drawing.tables import Table, draw_table
from extension.wording import job
from extension.wording.notes import CAUTIONS
from geometry.cloth.cutting import PRICED_BY, CuttingPlan
from geometry.cloth.flat import Flat
from geometry.cloth.lay import StripLay
from geometry.cloth.pleats import Pleats
from geometry.cloth.strips import Tier, TierStyle
from geometry.cloth.work import GATHERING_ROWS, estimate_work
from geometry.measuring.lengths import INCH, up_to_mark, write_length

MARK_WORD = {"in": "the next 1/8 in", "cm": "the next millimetre"}

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


def write_job_sheet(
    plan: CuttingPlan, style: TierStyle, label: str, measured: Table, unit: str, out_of_date: bool, bottom_up: bool
) -> JobSheet:
    """Return the job sheet of a plan."""
    lining = any(purchase.cloth.name == "lining" for purchase in plan.purchases)
    layers = max(tier.layers for tier in plan.tiers)
    return JobSheet(
        label=label,
        warnings=warnings(plan, style, unit, out_of_date),
        tables=[
            Section("Measured", [measured]),
            Section(f"Tiers: {job.MAKES[style.make]}", [
                tier_table(plan, unit), *shaping_table(plan, unit), job.how_cut(style.make, MARK_WORD[unit]),
            ]),
            Section("What to buy", [buying_table(plan, unit), *buying_notes(plan, unit)]),
        ],
        steps=[
            Section("Sewing order", [Steps(job.sewing_order(style.make, bottom_up, lining, layers > 1, style.hem > 0))]),
            Section("Thread and time", [work_sentence(plan, style, unit)]),
            Section("Care and cautions", [*job.CARE, *CAUTIONS]),
        ],
        pages_only=[] if plan.has_flounces else [
            Section(f"Strip by strip: {purchase.cloth.name}", [strip_table(purchase.lay, unit)])
            for purchase in plan.purchases
            if isinstance(purchase.lay, StripLay)
        ],
    )  # fmt: skip


def warnings(plan: CuttingPlan, style: TierStyle, unit: str, out_of_date: bool) -> list[str]:
    """Return what she should know before she cuts."""
    found = [job.OUT_OF_DATE] if out_of_date else []
    for tier, below in zip(plan.tiers, [*(tier.number for tier in plan.tiers[1:]), None]):
        if tier.overlap < -1e-6:
            found.append(job.stitching_shows(tier.number, below, write_up(-tier.overlap, unit)))
    small = [t.number for t in plan.tiers[:-1] if -1e-6 <= t.overlap < style.gathering_allowance - 1e-6]
    if small:
        found.append(job.overlap_small(numbers(small), write_length(style.gathering_allowance, unit)))
    tight = [tier.number for tier in plan.tiers if isinstance(tier.shaping, Pleats) and tier.shaping.overlapping]
    if tight:
        found.append(job.pleats_overlap(numbers(tight)))
    return found


def numbers(values: Sequence[int]) -> str:
    """Return the numbers of tiers as read aloud: ``tiers 1 to 4 and 6``."""
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    parts = [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
    return ("tier " if len(values) == 1 else "tiers ") + ", ".join(parts[:-1]) + (" and " if parts[1:] else "") + parts[-1]


def write_up(millimetres: float, unit: str, with_unit: bool = True) -> str:
    """Return a length to cut: never less than is needed."""
    return write_length(up_to_mark(millimetres, unit), unit, with_unit)


def tier_table(plan: CuttingPlan, unit: str) -> Table:
    """Return the table of tiers; numbers are in ``unit``."""
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
            str(tier.layers * plan.sleeves),
            str(joins + 1),
            str(joins),
        ])  # fmt: skip
    return Table([*measured, *counted], rows)


def layer_cell(tier: Tier) -> str:
    return f"{tier.layers} ({tier.contrast_layers} contrast)" if tier.contrast_layers else str(tier.layers)


def shaping_table(plan: CuttingPlan, unit: str) -> list[Table]:
    """Return the table of pleats or flounces, if there are any."""
    shaped = [tier for tier in plan.tiers if tier.shaping is not None]
    if not shaped:
        return []
    if isinstance(shaped[0].shaping, Pleats):
        rows = [
            [str(t.number), str(t.shaping.count), *(decimals(x, unit) for x in (t.shaping.spacing, t.shaping.depth, t.shaping.flat))]
            for t in shaped
        ]
        return [Table(["Tier", "Pleats", f"Spacing on\nthe line ({unit})", "Depth of\na fold", "Strip for\neach pleat"], rows)]
    rows = []
    for tier in shaped:
        flounce = tier.shaping
        radii = (decimals(x, unit) for x in (flounce.inner, flounce.outer, *flounce.cut_radii))
        rows.append([str(tier.number), str(flounce.sectors), f"{np.degrees(flounce.angle):.1f}°", *radii])
    head = ["Sectors\neach", "Angle of\neach", f"Seam\nradius ({unit})", "Edge\nradius", "Cut inner\nradius", "Cut outer\nradius"]
    return [Table(["Tier", *head], rows)]


def decimals(millimetres: float, unit: str) -> str:
    """Return a length that is divided by folding or drawn with compasses, finer than the marks of a tape."""
    return f"{millimetres / INCH:.3f}" if unit == "in" else f"{millimetres / 10:.2f}"


def buying_table(plan: CuttingPlan, unit: str) -> Table:
    priced = any(purchase.cost is not None for purchase in plan.purchases)
    head = ["Cloth", "Usable\nwidth", "Plan\ntakes", "Shrinks", "Spare", "Buy", *(["Cost"] if priced else [])]
    rows = []
    for purchase in plan.purchases:
        cloth = purchase.cloth
        cost = ["–" if purchase.cost is None else f"{purchase.cost:.2f}"] if priced else []
        rows.append([
            cloth.name.capitalize(), write_length(purchase.lay.width, unit), write_length(purchase.lay.length, unit),
            f"{cloth.shrinkage * 100:.3g} %", f"{cloth.spare * 100:.3g} %", write_bought(purchase.buy, unit), *cost,
        ])  # fmt: skip
    if priced:
        rows.append(["In all", "", "", "", "", "", f"{sum(p.cost or 0 for p in plan.purchases):.2f}"])
    return Table(head, rows)


def buying_notes(plan: CuttingPlan, unit: str) -> list[str]:
    """Return of every lay's sentences those on length and direction."""
    return [
        sentence
        for purchase in plan.purchases
        for sentence in lay_sentences(plan, purchase, unit)[: 2 if isinstance(purchase.lay, StripLay) else 1]
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


def work_sentence(plan: CuttingPlan, style: TierStyle, unit: str) -> str:
    work = estimate_work(plan, style.make)
    strip, line, thread = (write_run(length, unit) for length in (plan.gathered_length, plan.line_length, work.thread))
    if style.make == "gathered":
        return job.work_sentence(strip, line, GATHERING_ROWS, thread, work.hours)
    return job.work_sentence_ungathered(strip, line, thread, work.hours)


def write_run(millimetres: float, unit: str) -> str:
    """Return a long length roughly: ``61 yd``, ``56 m``."""
    return f"{millimetres / PRICED_BY[unit]:.0f} {'yd' if unit == 'in' else 'm'}"


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
