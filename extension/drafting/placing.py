"""Where a sleeve comes to stand in her document, and which earlier one it takes the place of."""
from __future__ import annotations

from collections.abc import Mapping, Sequence

import inkex

from extension.document.free_room import GAP, room_in_view
from extension.document.names import GROUP, LOCKED
from extension.document.part_names import SEAM_LAYER, TIER_LAYER
from extension.document.parts import find_parts, new_sleeve_layer, part_of, place_layer
from extension.document.record import record_of, write_record
from extension.document.scale import affine_of, can_be_seen, millimetres_to_user, own_transform, transform_within, written
from extension.drafting.fit_sheet import fit_panel
from extension.drafting.left_over import left_over
from extension.drafting.piece_sheet import draw_pieces
from extension.drafting.sleeve_sheet import draw_sleeve
from extension.drafting.start import working_lines
from extension.drawing.lettering import printable
from extension.drawing.panels import panel_below
from extension.drawing.sheet import Sheet
from extension.wording.notes import sleeve_called
from geometry.box import Box
from geometry.measuring.measurements import DEFAULTS
from geometry.pieces.all_pieces import pieces_of
from geometry.refusal import Refused
from geometry.sleeve.draft import Draft

#: So many sleeves of a book stand in a row, so that a run of sizes lies in one and all of a large book can be seen.
IN_A_ROW = 6


def place_sleeve(svg: inkex.SvgDocumentElement, draft: Draft, typed: Mapping[str, object], replace: bool, replace_other: bool = False) -> None:
    """Draw the draft in a new sleeve layer, in view and beside everything drawn, at true size.

    An earlier sleeve is taken away where she wants to ``replace`` it, one of another name only where she says so
    too (``replace_other``).  Raises :class:`Refused` before anything is drawn where the document has no size, or
    where it can't be told which sleeve to replace.
    """
    label = printable(typed["label"])
    old = earlier_sleeve(svg) if replace and find_parts(svg, "sleeve") else None
    if old is not None and not replace_other:
        refuse_another_name(old, label)
    sheet = sleeve_drawn(svg, draft, typed)
    if old is not None and can_be_seen(affine_of(-millimetres_to_user(svg) @ transform_within(old, svg))):
        take_the_place_of(old, sheet.layer)
        return
    if old is not None:  # where it was nothing can be seen
        old.getparent().remove(old)
    move_into_view(sheet, Box(*draft.cutting.bounds()))


def sleeve_drawn(svg: inkex.SvgDocumentElement, draft: Draft, typed: Mapping[str, object]) -> Sheet:
    """Return a new layer that holds the draft and all that belongs to it; not yet placed."""
    label, pieces = printable(typed["label"]), pieces_of(draft)
    same_as = printable(left_over(svg, typed))
    sheet = Sheet(new_sleeve_layer(svg, sleeve_called(label)))
    unit = str(typed["unit"])
    notes = draw_sleeve(sheet, draft, unit, label, working_lines(typed, draft.decided), same_as)
    panel_below(notes, fit_panel(sheet.layer, draft, unit))
    draw_pieces(sheet, pieces, draft, unit, label)
    kept = ("unit", "label", *DEFAULTS, "tiers", "spacing_snap", "fitting_changes", "show_working")
    write_record(sheet.layer, {"typed": {name: typed[name] for name in kept if name in typed and typed[name] is not False}})
    lock_all_but((SEAM_LAYER, TIER_LAYER), sheet.layer)
    return sheet


def earlier_sleeve(svg: inkex.SvgDocumentElement) -> inkex.Layer:
    """Return the sleeve to be replaced: the selected one, or the only one."""
    from extension.document.reading import find_sleeve  # rarely needed, and it brings all that reads edited sleeves

    return find_sleeve(svg)


def lock_all_but(parts: tuple[str, ...], sleeve: inkex.Layer) -> None:
    """Lock the layers of a sleeve but for those of ``parts``, so that a click and the node tool catch what she edits."""
    for layer in sleeve.iterchildren(GROUP):
        if part_of(layer) not in parts:
            layer.attrib[LOCKED] = "true"


def refuse_another_name(old: inkex.Layer, label: str) -> None:
    """Raise :class:`Refused` where the earlier sleeve is another client's."""
    record = record_of(old)
    before = printable(record.get("typed", {}).get("label", ""))
    if before != label:
        raise Refused("replaces another name", old=before or "no name", new=label or "no name")


def take_the_place_of(old: inkex.Layer, new: inkex.Layer) -> None:
    """Put the new sleeve's origin where the old one's was, at true size whatever had become of the old."""
    svg = old.root
    origin = transform_within(old, svg).apply_to_point((0.0, 0.0))
    place_layer(new, origin, millimetres_to_user(svg))
    parent = old.getparent()
    if parent is not svg:
        new.attrib["transform"] = written(affine_of(-transform_within(parent, svg) @ own_transform(new)))
    parent.replace(old, new)


def move_into_view(sheet: Sheet, shown: Box | None = None) -> None:
    """Move a sheet's layer to where nothing else stands, with what is to be ``shown`` (else all) nearest to the middle of her view."""
    move_rows_into_view([sheet], shown)


def move_rows_into_view(sheets: Sequence[Sheet], shown: Box | None = None) -> None:
    """Move the layers of ``sheets`` to where nothing else stands: in their order from the left, at most :data:`IN_A_ROW` to a row, their
    tops level.  What is to be ``shown`` of the first (else all) comes nearest to the middle of her view.
    """
    svg, first = sheets[0].layer.root, sheets[0].bounds
    corners, below = [], first.top
    for k in range(0, len(sheets), IN_A_ROW):
        row = [sheet.bounds for sheet in sheets[k : k + IN_A_ROW]]
        corners += [(first.left + sum(each.width + GAP for each in row[:i]), below) for i in range(len(row))]
        below += max(each.height for each in row) + GAP
    whole = Box.united([Box(x, y, x + sheet.bounds.width, y + sheet.bounds.height) for sheet, (x, y) in zip(sheets, corners)])
    room = room_in_view(svg, whole, shown or whole, [sheet.layer for sheet in sheets])
    scale = millimetres_to_user(svg)
    for sheet, (x, y) in zip(sheets, corners):
        at = (room.x + (x - whole.left) * scale.a, room.y + (y - whole.top) * scale.d)
        place_layer(sheet.layer, at, scale, (sheet.bounds.left, sheet.bounds.top))
