"""A sentence that stands small on the canvas while something is half typed, and goes with the next run."""
from __future__ import annotations

import inkex

from extension.document.free_room import middle_of_view, view_attribute
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
    size = _ON_SCREEN * _PX / (view_attribute(svg, "zoom") or _USUAL_ZOOM)
    rows = wrap(sentence, size, _ROW * size)
    draw_text(layer, rows, 0.0, 0.0, size=size, anchor="middle", colour="#a01010")
    place_layer(layer, middle_of_view(svg), millimetres_to_user(svg))


def remove_waiting(svg: inkex.SvgDocumentElement) -> None:
    """Remove what an earlier run left."""
    for layer in find_parts(svg, PART):
        layer.getparent().remove(layer)
