"""The editor's pages: ours come and go, hers stay."""
from __future__ import annotations

from collections.abc import Iterable

import inkex
from lxml import etree

from extension.document import part_names
from extension.document.free_room import page_boxes
from extension.document.names import INKSCAPE, LABEL, NAMED_VIEW, PAGE, SODIPODI
from extension.document.parts import find_parts, mark, text_of
from extension.document.paths import curve_from_path
from extension.document.scale import millimetres_to_user, to_millimetres, viewport
from geometry.box import Box
from geometry.paper.papers import LESS, whole_points
from geometry.refusal import Refused

#: Less than this nothing that a page shows lies outside its margin, px.
MOST_SHIFT = 1.0
#: By so small a share a viewBox may be too narrow or too low for its page: less than 0.05 mm of A3.
MOST_MISFIT = 1e-4

#: Lines this near to where they were are where they were, millimetres.
SAME_PLACE = 0.05


def can_have_pages(svg: inkex.SvgDocumentElement) -> bool:
    """Whether the document can hold pages: the editor knows them since 1.2, a plain SVG has no place for them.

    The editor's own module tells how old it is, since no document says which editor has it open.  A
    document that the editor has open always holds something of the editor's.
    """
    return hasattr(inkex, "Page") and any(
        name.startswith((INKSCAPE, SODIPODI)) for element in svg.iter("*") for name in (element.tag, *element.attrib)
    )


def refuse_untrue(svg: inkex.SvgDocumentElement) -> None:
    """Raise :class:`Refused` where the editor's pages would be untrue (seen in 1.2.2).

    Where the viewBox has other proportions than the page they are of another size than asked for.  Where user units count from
    elsewhere than the page's corner the PDF lacks what lies outside of the pages moved by as much.
    """
    view = viewport(svg)
    wide, high = view.filling
    if max(abs(wide / view.wide - 1), abs(high / view.high - 1)) > MOST_MISFIT:
        raise Refused("page of other proportions", viewbox=svg.attrib.get("viewBox", ""), wide=f"{wide:.6g}", high=f"{high:.6g}")
    if max(abs(view.shift_x), abs(view.shift_y)) > MOST_SHIFT:
        raise Refused("page off its origin", viewbox=svg.attrib.get("viewBox", ""))


def remove_our_pages(svg: inkex.SvgDocumentElement) -> None:
    """Take away the pages of an earlier run."""
    for page in find_parts(svg, part_names.PAGE):
        page.getparent().remove(page)


#: The lines by which it is told whether pages still show what is drawn.
_STATE = (part_names.CUTTING_LINE, part_names.NESTED_CUTTING_LINE, part_names.TIER_LINE)


def state_of(sleeve: inkex.BaseElement) -> str:
    """Return what pages of a sleeve show: whose it is, and where its lines lie, as text."""
    numbers: list[float] = []
    for element in (each for part in _STATE for each in find_parts(sleeve, part)):
        try:
            numbers += [number for curve in curve_from_path(element, to_millimetres(element)) for number in (*curve.bounds(), curve.length())]
        except Refused:  # what can't be read was not printed either
            numbers.append(0.0)
    return "|".join([sleeve.attrib.get(LABEL, ""), " ".join(f"{number:.2f}" for number in numbers)])


def remove_stale(svg: inkex.SvgDocumentElement) -> None:
    """Take our pages and marks away where no sleeve is as they show it: of another name, moved, or of another outline."""
    for sheets in find_parts(svg, part_names.SHEETS):
        shown = text_of(sheets, "shows")
        if shown is not None and not any(
            _same(shown, state_of(drawn)) for part in part_names.PRINTABLE for drawn in find_parts(svg, part)
        ):
            sheets.getparent().remove(sheets)
            remove_our_pages(svg)


def _same(one: str, other: str) -> bool:
    """Whether two states are the same but for what the editor rounds away."""
    (name, numbers), (other_name, other_numbers) = (state.rpartition("|")[::2] for state in (one, other))
    lengths, others = ([float(number) for number in text.split()] for text in (numbers, other_numbers))
    return name == other_name and len(lengths) == len(others) and all(abs(a - b) <= SAME_PLACE for a, b in zip(lengths, others))


def has_pages(svg: inkex.SvgDocumentElement) -> bool:
    """Whether the document lists any page."""
    return next(svg.iter(PAGE), None) is not None


def list_own_page(svg: inkex.SvgDocumentElement) -> None:
    """List the page that the document has of itself, which it ceases to be once another is listed; so that it prints true.

    It begins a hair to the right: the editor makes a page at the document's very corner as large as the document.
    """
    [(left, top, right, bottom)] = page_boxes(svg)
    scale = millimetres_to_user(svg)
    wide, high = whole_points([(right - left) / scale.a, (bottom - top) / scale.d]) * (scale.a, scale.d)
    left += LESS * scale.a
    _add(svg, left, top, left + wide, top + high)


def add_pages(svg: inkex.SvgDocumentElement, pages: Iterable[tuple[str, Box]]) -> None:
    """Add pages of ours, in order: what each is called, and where it lies in true millimetres of the document."""
    scale = millimetres_to_user(svg)
    for label, (left, top, right, bottom) in pages:
        page = _add(svg, left * scale.a, top * scale.d, right * scale.a, bottom * scale.d)
        page.attrib[LABEL] = label
        mark(page, part_names.PAGE)


def _add(svg: inkex.SvgDocumentElement, left: float, top: float, right: float, bottom: float) -> etree._Element:
    """Not by inkex's own ``new_page``, which does one thing in 1.2 and another in 1.4."""
    view = svg.find(NAMED_VIEW)
    if view is None:
        view = inkex.NamedView()
        svg.insert(0, view)
    page = etree.SubElement(view, PAGE)
    sides = {"x": left, "y": top, "width": right - left, "height": bottom - top}
    page.attrib.update({name: f"{value:.10g}" for name, value in sides.items()})
    return page
