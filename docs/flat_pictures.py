"""Nine flats side by side: every way to make a tier, layers and contrast, and sleeves of several lengths and shapes."""
from __future__ import annotations

import inkex
import numpy as np

from extension.cutting.flat_sheet import draw_view
from extension.drawing.pens import draw_text
from geometry.cloth.cutting import Job, plan_cutting
from geometry.cloth.flat import Figure, technical_flat
from geometry.cloth.offers import BEST, Worth
from geometry.cloth.tape import INCHES
from geometry.cloth.tier_choices import BY_RULE_LENGTHS, LENGTHS, NUMBERS, PRICES, TEXTS, read_cloths, read_tier_style
from geometry.editing.retrimming import Tiers
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS, EXAMPLE, read_style
from geometry.sleeve.draft import draft_sleeve

#: What each is called, what is typed in Draft Sleeve, its tiers, and what in Cutting Plan.  The client is invented.
STYLES = (
    ("gathered, 3 layers", {}, 6, {}),
    ("contrast outermost", {}, 6, {"contrast_layers": "1"}),
    ("growing drops", {"spacing": "growing 1.2"}, 5, {"fullness": "4 to 2.5", "layers": "2"}),
    ("knife pleats", {}, 5, {"make": "knife", "fullness": "3", "layers": "1"}),
    ("box pleats", {}, 5, {"make": "box", "fullness": "3", "layers": "1"}),
    ("circular flounces", {}, 5, {"make": "flounce", "fullness": "2", "layers": "1"}),
    ("elbow length", {"length_style": "elbow"}, 4, {"contrast_layers": "2"}),
    ("flared", {"shape": "flared", "flare_width": "22 in", "hand_girth": "0"}, 6, {"layers": "2"}),
    ("stitching shows", {}, 4, {"drop": "3 in", "layers": "1"}),
)

#: Reduced so many times, and each in a box so wide and high, millimetres.
_SCALE, _WIDE, _HIGH = 10, 96.0, 108.0

_PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}"/>'


def flats() -> str:
    """Return a document with all of :data:`STYLES`."""
    svg = inkex.load_svg(_PAGE.format(3 * _WIDE, 3 * _HIGH)).getroot()
    layer = inkex.Layer.new("Flats")
    svg.append(layer)
    for number, (name, drafted, tiers, planned) in enumerate(STYLES):
        middle, top = (number % 3 + 0.5) * _WIDE, number // 3 * _HIGH
        views = flat_of(drafted, tiers, planned)
        above = min(view.bounds().top for view in views) / _SCALE
        for view, sign in zip(views, (1, -1)):
            draw_view(layer, view.transformed(np.array([[sign / _SCALE, 0, middle + 3 * sign], [0, 1 / _SCALE, top + 3 - above]])))
        draw_text(layer, [name], middle, top + _HIGH - 7, anchor="middle")
    return svg.tostring().decode()


def flat_of(drafted: dict, tiers: int, planned: dict) -> tuple:
    """Return the flat of one style."""
    typed = {**DEFAULTS, **EXAMPLE, **drafted}
    draft = draft_sleeve(read_given(typed, "in"), tiers, style=read_style(typed))
    settled = draft.settled
    defaults = {each.name: each.default for table in (LENGTHS, BY_RULE_LENGTHS, NUMBERS, PRICES, TEXTS) for each in table.values()}
    chosen = {
        **defaults, "make": "gathered", "strip_direction": "cheaper", "net_way": "any_way", "base_cloth": "own",
        "base_way": "either_way", "lining_way": "either_way", "end_shape": "shaped",
        "layers_sewn": "one_by_one", "strip_edge": "cut", "under_edge": "as_outermost",
        **planned,
    }  # fmt: skip
    worth = Worth(INCHES.mark * 48)
    job = Job(read_tier_style(chosen, tiers, settled.seam_allowance, "in"), read_cloths(chosen, "in"), 2, BEST, INCHES, worth)
    plan = plan_cutting(draft.seam, Tiers(list(draft.tiers), ()), draft.cutting, job)
    figure = Figure(settled.front.edge / 2, settled.bust_girth, settled.cap.y)
    return technical_flat(draft.seam, plan.lines, plan.tiers, chosen["make"], figure)
