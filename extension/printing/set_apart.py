"""Sets a pattern apart, where its sheets would lie over what is another's: a white cover hides that on paper, but its words
would stay in the PDF.
"""
from __future__ import annotations

import copy
from collections.abc import Iterable, Sequence

import inkex

from extension.document.free_room import free_room
from extension.document.names import LABEL, OURS
from extension.document.part_names import LEADER, LETTERING
from extension.document.parts import mark, new_layer, part_of
from extension.document.scale import affine_of, millimetres_to_user, to_millimetres, written
from extension.printing.printed_parts import Part
from geometry.affine import Affine
from geometry.box import Box

#: The marks that a copy keeps: lettering is moved off joins, unless it stands at a leader.
_KEPT = (LETTERING, LEADER)


def lie_on(pages: Iterable[Box], boxes: Sequence[Box]) -> bool:
    """Whether any of the pages lies on any of the boxes."""
    return any(page.overlaps(box) for page in pages for box in boxes)


def set_apart(
    svg: inkex.SvgDocumentElement, layer: inkex.Layer, parts: Iterable[Part], pages: Sequence[Box], drawn: list[Box]
) -> list[Part]:
    """Return the patterns among the parts as copies in the ``layer``, as they lie to each other, where none of ``pages`` like
    those over them comes near anything ``drawn``.  Boxes of pages in true millimetres, of what is drawn in user units.
    """
    apart = new_layer(layer, "Pattern set apart", "pattern set apart")
    longest = max(max(page.width, page.height) for page in pages)
    room = Box.united(pages).grown(longest)  # a sheet that holds any of it ends within that
    scale = millimetres_to_user(svg)
    x, y = free_room(svg, room.width, room.height, on_page=False, drawn=drawn)
    moved = Affine.moving(x / scale.a - room.left, y / scale.d - room.top)
    return [
        part._replace(elements=[_copied(element, apart, moved) for element in part.elements]) for part in parts if part.is_pattern
    ]


def _copied(element: inkex.BaseElement, layer: inkex.Layer, moved: Affine) -> inkex.BaseElement:
    """Return a copy in the layer that is no part of the sleeve, with no mark or name by which it could be taken for one."""
    own = copy.deepcopy(element)
    for each in own.iter():
        kept = part_of(each)
        for name in [name for name in each.attrib if name in ("id", LABEL) or name.startswith(OURS)]:
            del each.attrib[name]
        if kept in _KEPT:
            mark(each, kept)
    own.attrib["transform"] = written(moved @ affine_of(to_millimetres(element)))
    layer.append(own)
    return own
