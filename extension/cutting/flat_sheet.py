"""The technical flat drawn: front and back of the sleeve on a figure, in black and white (line widths in the proportion 2 : 1, ISO 128-2)."""
from __future__ import annotations

from collections.abc import Sequence

import inkex
import numpy as np

from extension.cutting.lay_sheet import Picture
from extension.document.parts import mark
from extension.document.paths import quick_path_data
from extension.drawing.lettering import LEADING
from extension.drawing.pens import LINE_TYPES, draw_data, line_style
from extension.drawing.sheet import Column, Sheet
from extension.wording import job
from geometry.box import Box
from geometry.cloth.flat import TierShape, View
from geometry.curves.arrays import Array

#: The flat is drawn at the first of these scales (ISO 5455) at which both views side by side are no larger than this, millimetres.
SCALES = (2, 5, 10, 20)
SIZE = (176.0, 190.0)

#: Between the two views, millimetres on paper.
_GAP = 8.0

#: Height of the heading's letters, millimetres; it stands on its first line, so its top is as much above.
_HEADING = 4.2

#: Height of the letters that name the views: 2.5 mm in capitals (ISO 3098-1, from memory) where a quote shows the flat 110 mm high.
_NAME_SIZE = 6.0

_PAPER, _CONTRAST = "#ffffff", "#d2d2d2"

#: Stitching: dashed, and black as all of the flat is.
_STITCHING = line_style("seam").replace(LINE_TYPES["seam"].colour, "#000000")


def _filled(kind: str, colour: str) -> str:
    """The style of a closed line that covers what lies below it."""
    return line_style(kind).replace("fill:none", f"fill:{colour}")


def draw_flat(panel: Sheet, column: Column, views: Sequence[View], shorter: bool = False) -> tuple[Picture, Picture]:
    """Draw the technical flat at the end of a column, and move the column past it; return it with the words above it and without.

    ``shorter`` says that there are layers which the outermost hides.
    """
    boxes = [view.bounds() for view in views]
    wide, high = sum(box.width for box in boxes), max(box.bottom for box in boxes) - min(box.top for box in boxes)
    scale = next((s for s in SCALES if wide / s + _GAP <= SIZE[0] and high / s <= SIZE[1]), SCALES[-1])
    layer = panel.add_layer("Technical flat", "flat layer")
    words = Column(panel, layer, column.x, column.y, column.width)
    words.gap(3)
    heading_top = words.y - _HEADING
    words.paragraph(f"Technical flat, scale 1:{scale}", _HEADING, bold=True)
    words.paragraph(flat_words(views, shorter))
    words.gap(3)
    drawn = mark(inkex.Layer.new("Views"), "flat views")
    layer.append(drawn)
    front, back = boxes
    top = words.y - min(front.top, back.top) / scale
    # The back stands left, so that both sleeves point outward.
    middle = column.x + back.right / scale + _GAP / 2
    for view, sign in zip(views, (1, -1)):
        across = middle + sign * _GAP / 2 - sign * (min(box.left for box in boxes) / scale)
        draw_view(drawn, view.transformed(np.array([[sign / scale, 0, across], [0, 1 / scale, top]])))
    end = words.y + high / scale
    for name, x in ((job.FLAT_BACK, middle - _GAP / 2 - back.right / scale / 2), (job.FLAT_FRONT, middle + _GAP / 2 + front.right / scale / 2)):
        panel.text(drawn, [name], x, end, size=_NAME_SIZE, anchor="middle")
    around = Box(column.x, words.y, column.x + wide / scale + _GAP, end)
    panel.hold(around)
    column.y = end + _NAME_SIZE * LEADING + 2
    title = f"Technical flat, scale 1:{scale}"
    whole = Picture(title, layer, (column.x, heading_top, max(around.right, column.x + column.width), column.y))
    return whole, Picture(title, drawn, (around.left, around.top, around.right, end + _NAME_SIZE * LEADING))


def flat_words(views: Sequence[View], shorter: bool) -> str:
    """Return what stands above the flat."""
    tiers = [tier for view in views for tier in view.tiers]
    contrast = any(layer.contrast for tier in tiers for layer in tier.layers)
    shows = any(tier.shows for tier in tiers)
    noted = [*([job.FLAT_CONTRAST] if contrast else []), *([job.FLAT_SHORTER] if shorter else [])]
    return " ".join([job.FLAT, *noted, job.FLAT_SHOWS if shows else job.FLAT_HIDDEN])


def draw_view(layer: inkex.Layer, view: View) -> None:
    """Draw one view: the figure, the sleeve, its tiers from the lowest to the highest."""
    for curve in view.arm:
        draw_data(layer, _cubics(curve.segments), line_style("thin"), f"Figure, {view.side}", "flat")
    draw_data(layer, _cubics(view.centre.segments), line_style("grain"), f"Centre {view.side}", "flat")
    for curve in view.bodice:
        draw_data(layer, _cubics(curve.segments), line_style("mark"), f"Bodice, {view.side}", "flat")
    draw_data(layer, quick_path_data(view.silhouette), _filled("mark", _PAPER), f"Sleeve, {view.side}", "flat")
    for tier in view.tiers:
        draw_tier(layer, tier, view.side)
    for tier in view.tiers:
        if tier.shows:
            draw_data(layer, _cubics(tier.stitching.segments), _STITCHING, f"Stitching of tier {tier.number} shows", "flat")


def draw_tier(layer: inkex.Layer, tier: TierShape, side: str) -> None:
    """Draw the layers of a tier, each over the one below, and its folds."""
    for number, each in zip(range(len(tier.layers), 0, -1), tier.layers):
        outermost = number == 1
        colour = _CONTRAST if each.contrast else _PAPER
        style = _filled("mark" if outermost else "thin", colour)
        draw_data(layer, quick_path_data(each.outline), style, f"Tier {tier.number}, {side}, layer {number}", "flat")
    if len(tier.folds):
        draw_data(layer, _cubics(tier.folds), line_style("thin"), f"Folds of tier {tier.number}, {side}", "flat")


def _cubics(folds: Array) -> str:
    """Return many cubics (k, 4, 2) as the data of one path."""
    return " ".join("M {:.2f} {:.2f} C {:.2f} {:.2f} {:.2f} {:.2f} {:.2f} {:.2f}".format(*fold) for fold in folds.reshape(-1, 8).tolist())
