"""Drawings for docs/fit.md: all pieces of three sleeves of the invented example, made by the tool."""
from __future__ import annotations

import inkex
from lxml import etree

from extension.cutting_plan import CuttingPlan
from extension.demo import applied, drafted
from extension.document.extents import boxes_of
from extension.drafting.piece_sheet import PIECE_LAYERS
from geometry.box import Box

_PART = "{urn:x-tiered-sleeve}part"
_SVG = "http://www.w3.org/2000/svg"

#: The pattern of the sleeve, its pieces and its templates; all else is left out of the picture.
_SHOWN = (
    "cutting layer", "seam layer", "tier layer", "tier lengths layer", "grain layer", "notch layer", "names layer", "strip ends panel",
    *PIECE_LAYERS,
)  # fmt: skip
_EDGE = 8.0  # mm of white around everything


def band_and_lining() -> str:
    """A sleeve with a band and a lining of its own, its tiers following the armhole."""
    return _all_pieces(["--finish=band", "--lining=own", "--lining_ease=1/8 in", "--tier_layout=following"])


def casing_and_lining() -> str:
    """A sleeve with elastic in a casing, its lining caught in the hem, its tiers aslant."""
    return _all_pieces(["--finish=elastic", "--lining=own", "--lining_hem=caught", "--tier_layout=aslant", "--slant=1 1/2 in"])


def facing_and_lining() -> str:
    """A sleeve with a raised, faced top edge and a lining sewn to the facing, its tiers from the upper arm down."""
    return _all_pieces(["--finish=faced", "--top_edge_raise=1/2 in", "--lining=own", "--tier_part=from 2 in", "--tiers=5"])


def _all_pieces(options: list[str]) -> str:
    """Return a page with the pattern of the sleeve and all its pieces, as the tool places them."""
    svg = inkex.load_svg(applied(CuttingPlan(), [], drafted(options)).encode()).getroot()
    (sleeve,) = (element for element in svg.iter() if element.get(_PART) == "sleeve")
    for layer in list(sleeve):
        if layer.get(_PART) not in _SHOWN:
            sleeve.remove(layer)
    box = Box.united(boxes_of(svg, [sleeve])).grown(_EDGE, _EDGE)
    page = etree.Element(f"{{{_SVG}}}svg", {
        "width": f"{box.width}mm", "height": f"{box.height}mm", "viewBox": f"{box.left} {box.top} {box.width} {box.height}",
    }, nsmap=svg.nsmap)  # fmt: skip
    page.append(sleeve)
    return etree.tostring(page, encoding="unicode")
