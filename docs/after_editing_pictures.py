"""Drawings for docs/after-editing.md, made by the tool from the invented example: a sleeve as drafted, after
editing by hand and after re-measuring, and the report."""
from __future__ import annotations

from collections.abc import Sequence
from typing import Callable

import inkex
from lxml import etree

from extension.demo import applied, drafted
from extension.remeasure_sleeve import RemeasureSleeve
from tests.sleeve_edits import bulge_front, parts, shorten_back, tier_bent, tier_deleted, tier_moved, tier_tilted

_SVG = "http://www.w3.org/2000/svg"

#: What the picture of the sleeves leaves out, so that their lines are seen.
LEFT_OUT = ("notes layer", "test square layer", "fit layer", "body layer", "truing report")

#: From one sleeve to the next, and a sleeve's room beside and above its origin, millimetres.
APART, BESIDE, ABOVE = 600.0, 300.0, 60.0

TITLES = ("Drafted", "Edited by hand", "Re-measured")
TITLE_STYLE = "font-family:Liberation Sans, Arial, sans-serif;font-size:20px;text-anchor:middle"


def before_and_after() -> str:
    """The three sleeves side by side."""
    before = drafted()
    edited = _edited(before)
    shown = []
    for i, (drawing, title) in enumerate(zip((before, edited, applied(RemeasureSleeve(), [], edited)), TITLES)):
        (sleeve,) = parts(etree.fromstring(drawing.encode()), "sleeve")
        x = BESIDE + i * APART
        sleeve.set("transform", f"translate({x}, {ABOVE})")
        for layer in [layer for part in LEFT_OUT for layer in parts(sleeve, part)]:
            sleeve.remove(layer)
        words = etree.Element(f"{{{_SVG}}}text", x=f"{x}", y="28", style=TITLE_STYLE)
        words.text = title
        shown += [words, sleeve]
    return _page(shown, BESIDE + 2 * APART + 330, 580)


def truing_report() -> str:
    """The report on that sleeve."""
    (report,) = parts(etree.fromstring(applied(RemeasureSleeve(), [], _edited(drafted())).encode()), "truing report")
    report.set("transform", "translate(4, 3)")
    bottom = max(float(span.get("y")) for span in report.iter(f"{{{_SVG}}}tspan"))
    return _page([report], 180, bottom + 8)


def _edited(drawing: str) -> str:
    """Return the sleeve after an evening of second thoughts."""
    edits: Sequence[Callable] = (bulge_front, shorten_back, tier_deleted, tier_moved, tier_tilted, tier_bent)
    root = etree.fromstring(drawing.encode(), parser=inkex.elements.SVG_PARSER)
    for edit in edits:
        edit(root)
    return etree.tostring(root).decode()


def _page(elements: Sequence, width: float, height: float) -> str:
    page = etree.Element(f"{{{_SVG}}}svg", nsmap={None: _SVG}, width=f"{width}mm", height=f"{height}mm", viewBox=f"0 0 {width} {height}")
    page.extend(elements)
    return etree.tostring(page).decode()
