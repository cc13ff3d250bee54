"""Drawings for docs/cutting-plan.md, made by the tool from the invented example: lay plan, job sheet, flounces."""
from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from extension.cutting_plan import CuttingPlan
from extension.demo import applied, drafted

_SVG = "http://www.w3.org/2000/svg"
_OWN = "{urn:x-tiered-sleeve}"
_EDGE = 6.0  # mm of white around a panel


def lay_plan() -> str:
    """The lay plans of the example with seven tiers."""
    return _panel("lay panel", [])


def job_sheet() -> str:
    """The job sheet of the same sleeve, one tier of which is too short for the next line."""
    return _panel("job sheet panel", ["--drop=4 in; 4 in; 2 1/2 in; 4 in; 4 in; 4 in; 3 1/4 in", "--fullness=4 to 3", "--net_price=4.50"])


def flounces() -> str:
    """The pattern pieces of circular flounces that grow toward the hem."""
    return _panel("flounce panel", ["--make=flounce", "--fullness=2.4 to 2", "--drop=3 1/2 in to 6 in"])


def _panel(part: str, options: Sequence[str]) -> str:
    """Plan the example with seven tiers, and return a document that shows one panel alone."""
    root = etree.fromstring(applied(CuttingPlan(), options, drafted(["--tiers=7"])).encode())
    (panel,) = (element for element in root.iter(f"{{{_SVG}}}g") if element.get(f"{_OWN}part") == part)
    width, height = (float(panel.get(f"{_OWN}{side}-mm")) + 2 * _EDGE for side in ("width", "height"))
    panel.set("transform", f"translate({_EDGE}, {_EDGE})")
    page = etree.Element(f"{{{_SVG}}}svg", {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"0 0 {width} {height}"}, nsmap=root.nsmap)
    page.append(panel)
    return etree.tostring(page, encoding="unicode")
