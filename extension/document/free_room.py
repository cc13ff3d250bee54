"""Where in her document there is room for something new."""
from __future__ import annotations

import inkex

from extension.document.extents import drawn_boxes, in_reach, length_in_user_units
from extension.document.names import NAMED_VIEW, PAGE
from extension.document.scale import millimetres_to_user, viewport
from geometry.box import Box


def free_room(
    svg: inkex.SvgDocumentElement, width: float, height: float, gap: float = 20.0, on_page: bool = True, drawn: list[Box] | None = None
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
        left = (page.left + page.right - wide) / 2
        top = (page.top + page.bottom - high) / 2
        room = Box(left, top, left + wide, top + high)
        fits = room.left >= page.left and room.top >= page.top
        if fits and not any(room.grown(gap_x, gap_y).overlaps(box) for box in drawn):
            return inkex.Vector2d(left, top)
    return inkex.Vector2d(max(box.right for box in pages + drawn) + gap_x, pages[0].top)


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
