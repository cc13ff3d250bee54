"""A sentence that stands small on the canvas while something is half typed, and goes with the next run."""
from __future__ import annotations

import inkex

from extension.document.free_room import page_boxes
from extension.document.names import INKSCAPE, NAMED_VIEW
from extension.document.parts import find_parts, new_sleeve_layer, place_layer
from extension.document.scale import millimetres_to_user
from extension.drawing.lettering import wrap
from extension.drawing.pens import draw_text

PART = "waiting layer"

#: How large it is lettered on the screen, in px there, and how long its rows are, in em.
_ON_SCREEN, _ROW = 14.0, 34.0

#: Millimetres of a px, and how far a window without a word on it zooms out.
_PX, _USUAL_ZOOM = 25.4 / 96, 0.5


def draw_waiting(svg: inkex.SvgDocumentElement, sentence: str) -> None:
    """Letter a sentence in the middle of the view, else of the page.

    Raises :class:`~extension.document.scale.DocumentHasNoSize`.
    """
    layer = new_sleeve_layer(svg, "Nothing drawn yet", part=PART)
    size = _ON_SCREEN * _PX / (_attribute(svg, "zoom") or _USUAL_ZOOM)
    rows = wrap(sentence, size, _ROW * size)
    draw_text(layer, rows, 0.0, 0.0, size=size, anchor="middle", colour="#a01010")
    place_layer(layer, middle_of_view(svg), millimetres_to_user(svg))


def remove_waiting(svg: inkex.SvgDocumentElement) -> None:
    """Remove what an earlier run left."""
    for layer in find_parts(svg, PART):
        layer.getparent().remove(layer)


def middle_of_view(svg: inkex.SvgDocumentElement) -> tuple[float, float]:
    """Return in user units of the root where the middle of the window is, or of the first page where nothing tells."""
    x, y = _attribute(svg, "cx"), _attribute(svg, "cy")
    if x is None or y is None:
        page = page_boxes(svg)[0]
        return ((page.left + page.right) / 2, (page.top + page.bottom) / 2)
    scale = millimetres_to_user(svg)
    return (x * _PX * scale.a, y * _PX * scale.d)


def _attribute(svg: inkex.SvgDocumentElement, name: str) -> float | None:
    """Return what the editor keeps of its view, or None."""
    view = svg.find(NAMED_VIEW)
    try:
        return None if view is None else float(view.attrib[f"{INKSCAPE}{name}"])
    except (KeyError, ValueError):
        return None
