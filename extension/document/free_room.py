"""Where in her document there is room for something new."""
from __future__ import annotations

from collections.abc import Sequence

import inkex

from extension.document.extents import drawn_boxes, in_reach, length_in_user_units
from extension.document.names import INKSCAPE, NAMED_VIEW, PAGE
from extension.document.scale import millimetres_to_user, viewport
from geometry.box import Box
from geometry.paper.room import nearest_room

#: What is placed keeps this far from what is drawn, millimetres.
GAP = 20.0
#: Reports stand this far from their sleeve, so that with its notes an A3 sheet (ISO 216: 420 mm) lies between it and them:
#: sheets reach beyond what they print by less than their own length.
REPORT_GAP = 180.0


def free_room(
    svg: inkex.SvgDocumentElement, width: float, height: float, gap: float = GAP, on_page: bool = True, drawn: list[Box] | None = None
) -> inkex.Vector2d:
    """Return in user units the top left corner of free room of ``width`` x ``height`` (millimetres).

    The room is in the middle of the first page that is large enough and has nothing drawn within
    ``gap`` (millimetres) of it; else it is ``gap`` to the right of everything drawn and of every
    page, its top level with that of the first page; there too where ``on_page`` is not wanted.
    ``drawn`` saves looking for what is drawn again, see :func:`~extension.document.extents.drawn_boxes`.

    Raises :class:`~extension.document.scale.DocumentHasNoSize`; never because of what is drawn.
    """
    scale = millimetres_to_user(svg)
    wide, high, gap_x, gap_y = width * scale.a, height * scale.d, gap * scale.a, gap * scale.d
    pages = page_boxes(svg)
    drawn = drawn_boxes(svg) if drawn is None else drawn
    for page in pages if on_page else ():
        room = _in_the_middle(page, wide, high)
        if page.encloses(room) and not any(room.grown(gap_x, gap_y).overlaps(box) for box in drawn):
            return inkex.Vector2d(room.left, room.top)
    return inkex.Vector2d(max(box.right for box in pages + drawn) + gap_x, pages[0].top)


def room_in_view(svg: inkex.SvgDocumentElement, bounds: Box, shown: Box, layers: Sequence[inkex.Layer] = ()) -> inkex.Vector2d:
    """Return in user units the top left corner of free room for sheets, as near as can be to the middle of her view.

    ``bounds`` (millimetres) is what needs the room, ``shown`` the part of it that is to be seen, and its
    ``layers``, where they are drawn already, not in their own way.  A page in
    view that is large enough, with nothing drawn in the way, has it in its middle.  Pages on which something
    stands are kept clear of, and all where there are several, since those are sheets to be printed.

    Raises :class:`~extension.document.scale.DocumentHasNoSize`; never because of what is drawn.
    """
    scale = millimetres_to_user(svg)
    wide, high, gap = bounds.width * scale.a, bounds.height * scale.d, (GAP * scale.a, GAP * scale.d)
    pages, drawn, (x, y) = page_boxes(svg), drawn_boxes(svg, but=layers), middle_of_view(svg)
    for page in pages:
        room = _in_the_middle(page, wide, high)
        in_view = page.left <= x <= page.right and page.top <= y <= page.bottom
        if in_view and page.encloses(room) and not any(room.grown(*gap).overlaps(box) for box in drawn):
            return inkex.Vector2d(room.left, room.top)
    middle = (
        x + (bounds.left + bounds.right - shown.left - shown.right) / 2 * scale.a,
        y + (bounds.top + bounds.bottom - shown.top - shown.bottom) / 2 * scale.d,
    )
    kept_clear = [page for page in pages if len(pages) > 1 or any(page.overlaps(box) for box in drawn)]
    return inkex.Vector2d(*nearest_room(wide, high, middle, drawn + kept_clear, gap))


def room_beside(
    svg: inkex.SvgDocumentElement, beside: Box, width: float, height: float, drawn: list[Box], left: bool = False
) -> inkex.Vector2d:
    """Return in user units the top left corner of free room of ``width`` x ``height`` (millimetres) for a report, to
    the right of ``beside`` (user units) and near its upper right corner; or to the ``left`` for what is printed with it.
    """
    scale = millimetres_to_user(svg)
    wide, high, gap = width * scale.a, height * scale.d, (GAP * scale.a, GAP * scale.d)
    taken = [*drawn, *page_boxes(svg)]
    if left:  # as in a mirror
        beside, *taken = (Box(-box.right, box.top, -box.left, box.bottom) for box in (beside, *taken))
    least_left = beside.right + (GAP if left else REPORT_GAP) * scale.a
    x, y = nearest_room(wide, high, (least_left + wide / 2, beside.top + high / 2), taken, gap, least_left)
    return inkex.Vector2d(-x - wide if left else x, y)


def middle_of_view(svg: inkex.SvgDocumentElement) -> tuple[float, float]:
    """Return in user units of the root where the middle of the window is, or of the first page where nothing tells that makes sense."""
    x, y = view_attribute(svg, "cx"), view_attribute(svg, "cy")
    if x is not None and y is not None:
        view = viewport(svg)  # the editor counts the view in px of the page
        x, y = (x - view.shift_x) / view.scale_x, (y - view.shift_y) / view.scale_y
        if in_reach(svg).encloses(Box(x, y, x, y)):
            return x, y
    page = page_boxes(svg)[0]
    return ((page.left + page.right) / 2, (page.top + page.bottom) / 2)


def view_attribute(svg: inkex.SvgDocumentElement, name: str) -> float | None:
    """Return what the editor keeps of its view, or None."""
    view = svg.find(NAMED_VIEW)
    try:
        return None if view is None else float(view.attrib[f"{INKSCAPE}{name}"])
    except (KeyError, ValueError):
        return None


def _in_the_middle(page: Box, wide: float, high: float) -> Box:
    left, top = (page.left + page.right - wide) / 2, (page.top + page.bottom - high) / 2
    return Box(left, top, left + wide, top + high)


def page_boxes(svg: inkex.SvgDocumentElement) -> list[Box]:
    """Return the pages in user units; the viewport is one where the document names none that could be drawn on."""
    pages, reach = [], in_reach(svg)
    for page in svg.iterfind(f"{NAMED_VIEW}/{PAGE}"):
        left, top, width, height = (length_in_user_units(page.attrib.get(name)) for name in ("x", "y", "width", "height"))
        if width > 0 and height > 0 and reach.encloses(Box(left, top, left + width, top + height)):
            pages.append(Box(left, top, left + width, top + height))
    view = viewport(svg)
    left, top = (0 - view.shift_x) / view.scale_x, (0 - view.shift_y) / view.scale_y
    return pages or [Box(left, top, left + view.width / view.scale_x, top + view.height / view.scale_y)]
