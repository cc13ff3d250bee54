"""Ticks on the tier lines in the drawing, by which gathers are spread: drawn with each plan, in place of those of an earlier one."""
from __future__ import annotations

import inkex

from extension.document.part_names import GATHER_MARKS_LAYER, LEVEL_WIDTHS_LAYER, NAMES_LAYER, TIER_LENGTHS_LAYER
from extension.document.parts import new_layer
from extension.document.reading import SleeveInDocument
from extension.document.scale import affine_of, transform_within
from extension.drawing.panels import drop_panel
from extension.drawing.pens import draw_data, drawn_text_box, line_style
from extension.wording.strip_ends import TICKS, ticks_of
from geometry.box import Box
from geometry.cloth.cutting import CuttingPlan
from geometry.cloth.even_gathers import gather_marks, line_ticks


def draw_gather_ticks(sleeve: SleeveInDocument, plan: CuttingPlan) -> None:
    """Draw the eighths on the line of every tier that is gathered, one object for each tier."""
    drop_panel(sleeve.layer, GATHER_MARKS_LAYER)
    gathered = [line for line, tier in zip(plan.lines, plan.tiers) if gather_marks(tier) is not None]
    if not gathered:
        return
    layer, to_layer = new_layer(sleeve.layer, TICKS, GATHER_MARKS_LAYER), sleeve.seat.inward.inverse()
    rows = lettering(sleeve)
    for line in gathered:
        ticks = to_layer.apply(line_ticks(line.curve, rows).reshape(-1, 2)).reshape(-1, 4).tolist()
        data = " ".join("M {:.4f} {:.4f} L {:.4f} {:.4f}".format(*tick) for tick in ticks)
        draw_data(layer, data, line_style("thin"), ticks_of(line.number), "gather mark")


def lettering(sleeve: SleeveInDocument) -> list[Box]:
    """Return where the sleeve is lettered inside, in its own frame."""
    found = []
    for part in (TIER_LENGTHS_LAYER, LEVEL_WIDTHS_LAYER, NAMES_LAYER):
        for text in (text for layer in sleeve.lines.all(part) for text in layer.iter() if isinstance(text, inkex.TextElement)):
            box = drawn_text_box(text)
            if box is not None:
                within = affine_of(transform_within(text, sleeve.layer))
                found.append((sleeve.seat.inward @ within).apply_to_box(box))
    return found
