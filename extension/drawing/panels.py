"""Reports drawn beside a sleeve: each a layer of its own inside the sleeve's, drawn anew at each run."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex

from extension.document.extents import boxes_of, drawn_boxes
from extension.document.free_room import middle_of_view, room_beside
from extension.document.names import GROUP
from extension.document.part_names import LINES
from extension.document.parts import find_parts, mark, new_layer, part_of, text_of
from extension.document.scale import affine_of, own_transform, transform_within, written
from extension.drawing.sheet import Column, Sheet
from geometry.box import Box

#: Wider and higher than any panel, millimetres.
_ENDLESS = 1e6


def new_panel(sleeve: inkex.Layer, label: str, part: str) -> Sheet:
    """Return an empty sheet in ``sleeve``, to be filled around its own origin and then settled."""
    return Sheet(new_layer(sleeve, label, part))


def settle_panel(panel: Sheet, beside: Sheet | None = None) -> None:
    """Settle a single panel, see :func:`settle_panels`."""
    settle_panels([panel], beside)


def settle_panels(panels: Sequence[Sheet], beside: Sheet | None = None, left: Sequence[Sheet] = ()) -> None:
    """Put each filled panel of one sleeve where the last one of its part was, which it replaces, or into free room.

    That is right of the sleeve, or left of it for those of ``left``, what is printed with it: so sheets of paper keep
    off the reports.
    One that has grown goes into free room too, where it would cover what it did not lie on before.
    Panels are drawn in the millimetres of the sleeve, so that they move and go with it.  ``beside`` is a
    sheet that holds all else of the sleeve, if there is one: it saves looking at every part of that.
    """
    sleeve = panels[0].layer.getparent()
    svg, to_root = sleeve.root, transform_within(sleeve, sleeve.root)
    earlier = [[old for old in find_parts(sleeve, part_of(panel.layer)) if old is not panel.layer] for panel in panels]
    for old in (old for olds in earlier for old in olds):
        _take_out_hers(old, sleeve)
    for layer in [panel.layer for panel in panels] + [old for olds in earlier for old in olds]:
        layer.getparent().remove(layer)
    lasts = [olds[0] if olds else None for olds in earlier]
    taken = [None if last is None else _box(last, panel, to_root) for panel, last in zip(panels, lasts)]
    seen: _Seen | None = None  # what else there is: looked at only where it matters
    for i, (panel, last) in enumerate(zip(panels, lasts)):
        bounds = panel.bounds
        layer = mark(panel.layer, part_of(panel.layer), width_mm=bounds.width, height_mm=bounds.height)
        if last is not None:
            layer.attrib["transform"] = last.attrib.get("transform", "")
        if last is None or _has_grown(layer, last):
            seen = seen or _seen(sleeve, beside)
            others = seen.drawn + [box for k, box in enumerate(taken) if k != i and box is not None]
            if last is None or _covers(_room_of(panel, to_root), taken[i], others):
                room = room_beside(svg, seen.itself, bounds.width, bounds.height, others, panel in left)
                x, y = (-to_root).apply_to_point(room)
                layer.attrib["transform"] = f"translate({x - bounds.left:.4f}, {y - bounds.top:.4f})"
        taken[i] = _room_of(panel, to_root)
    for panel in panels:
        sleeve.append(panel.layer)


def _take_out_hers(panel: inkex.Layer, sleeve: inkex.Layer) -> None:
    """Put what she drew in a panel, or moved there, beside it in the sleeve, where it lay: the panel will be drawn anew."""
    to_sleeve = transform_within(panel, sleeve)
    for child in list(panel.iterchildren("*")):
        if part_of(child) in (None, *LINES):
            child.attrib["transform"] = written(affine_of(to_sleeve @ own_transform(child)))
            sleeve.append(child)


class _Seen(NamedTuple):
    """Where something is ``drawn``, and the box of the sleeve ``itself`` without its panels, in user units of the root."""

    drawn: list[Box]
    itself: Box


def _seen(sleeve: inkex.Layer, beside: Sheet | None) -> _Seen:
    """Look at all that is drawn, once; all of the sleeve is one box where a sheet holds it."""
    svg = sleeve.root
    drawn = drawn_boxes(svg, but=[sleeve])
    if beside is not None:
        itself = _room_of(beside, transform_within(sleeve, svg))
        return _Seen([*drawn, itself], itself)
    panels = [child for child in sleeve if child.tag != GROUP or text_of(child, "width_mm")]
    own = boxes_of(svg, (child for child in sleeve if child not in panels))
    itself = Box.united(own) if own else Box(*middle_of_view(svg), *middle_of_view(svg))
    return _Seen([*drawn, *own, *boxes_of(svg, panels)], itself)


def _has_grown(layer: inkex.Layer, last: inkex.Layer) -> bool:
    return any(_side(layer, side) > _side(last, side) for side in ("width_mm", "height_mm"))


def _side(layer: inkex.Layer, name: str) -> float:
    """How wide or high a panel was when it was drawn; without end where that is lost, so that it stays where it is."""
    try:
        return float(text_of(layer, name) or _ENDLESS)
    except ValueError:
        return _ENDLESS


def _room_of(panel: Sheet, to_root: inkex.Transform) -> Box:
    """Return where a panel lies, in user units of the root."""
    return affine_of(to_root @ own_transform(panel.layer)).apply_to_box(panel.bounds)


def _box(last: inkex.Layer, panel: Sheet, to_root: inkex.Transform) -> Box:
    """Return where the last panel lay."""
    left, top, _, _ = panel.bounds
    bounds = Box(left, top, left + _side(last, "width_mm"), top + _side(last, "height_mm"))
    return affine_of(to_root @ own_transform(last)).apply_to_box(bounds)


def _covers(room: Box, before: Box, drawn: Sequence[Box]) -> bool:
    """Whether a panel in ``room`` covers anything that it did not when it was ``before``."""
    return any(room.overlaps(box) and not before.overlaps(box) for box in drawn)


def panel_below(column: Column, panel: Sheet) -> None:
    """Put a filled panel below the last row of a column of its sleeve's own sheet."""
    left, top, right, bottom = panel.bounds
    place = f"translate({column.x - left:.4f}, {column.y - top:.4f})"
    panel.layer.attrib["transform"] = place
    mark(panel.layer, part_of(panel.layer), placed=place)  # so that it is told from one that she has moved
    column.sheet.hold(Box(column.x, column.y, column.x + right - left, column.y + bottom - top))


def drop_panel(sleeve: inkex.Layer, part: str) -> None:
    """Remove the panels of ``part``, where what they showed is no more."""
    for panel in find_parts(sleeve, part):
        panel.getparent().remove(panel)
