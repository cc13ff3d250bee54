"""Reports drawn beside a sleeve: each a layer of its own inside the sleeve's, drawn anew at each run."""
from __future__ import annotations

import inkex

from extension.document import find_parts, new_layer, part_of
from extension.free_room import free_room
from extension.scale import transform_within
from extension.sheet import Column, Sheet


def new_panel(sleeve: inkex.Layer, label: str, part: str) -> Sheet:
    """Return an empty sheet in ``sleeve``, to be filled around its own origin and then settled."""
    return Sheet(new_layer(sleeve, label, part))


def settle_panel(panel: Sheet) -> None:
    """Put a filled panel where the last one of its part was, which it replaces, or into free room.

    It is drawn in the millimetres of the sleeve, so that it moves and goes with the sleeve.
    """
    sleeve, layer = panel.layer.getparent(), panel.layer
    sleeve.remove(layer)
    earlier = find_parts(sleeve, part_of(layer))
    if earlier:
        layer.attrib["transform"] = earlier[0].attrib["transform"]
        earlier[0].getparent().replace(earlier[0], layer)
        for other in earlier[1:]:
            other.getparent().remove(other)
        return
    left, top, right, bottom = panel.bounds
    room = free_room(sleeve.root, right - left, bottom - top)
    x, y = (-transform_within(sleeve, sleeve.root)).apply_to_point(room)
    layer.attrib["transform"] = f"translate({x - left:.4f}, {y - top:.4f})"
    sleeve.append(layer)


def panel_below(column: Column, panel: Sheet) -> None:
    """Put a filled panel below the last row of a column of its sleeve's own sheet."""
    left, top, right, bottom = panel.bounds
    panel.layer.attrib["transform"] = f"translate({column.x - left:.4f}, {column.y - top:.4f})"
    column.sheet.hold((column.x, column.y, column.x + right - left, column.y + bottom - top))
