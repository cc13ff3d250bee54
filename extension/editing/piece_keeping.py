"""The pieces beside a sleeve when it is measured again: drawn anew from the Seam line, but for those that she has edited."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import inkex
import numpy as np

from extension.document.parts import find_parts, new_layer, part_of, text_of
from extension.document.paths import curve_from_path
from extension.document.reading import Lines, curve_of
from extension.document.scale import own_transform, transform_within, written
from extension.drafting.piece_sheet import PIECE_LAYERS, part_of_piece
from extension.editing.bringing_back import move_into
from extension.editing.carrying_over import say_the_same
from geometry.affine import IDENTITY, Affine
from geometry.curves.curve import Curve
from geometry.editing.retrimming import ON_SEAM
from geometry.pieces.all_pieces import NAMES

#: The lines of a piece that she may edit.
_OUTLINES = ("piece cutting line", "piece seam line")


def edited_pieces(lines: Lines) -> list[str]:
    """Return the names of the pieces that she has edited, in the order in which they are drawn."""
    return [PIECE_LAYERS[part] for part in PIECE_LAYERS for layer in lines.all(part) if is_edited(layer)]


def gather_pieces(sleeve: inkex.BaseElement) -> bool:
    """Put what lies loose of a piece whose layer was ungrouped into a layer again, where it lies; return whether there was any.

    Nothing moves on the page.
    """
    gathered = False
    for part, name in zip(PIECE_LAYERS, NAMES):
        loose = [element for element in sleeve.iter("*") if text_of(element, "piece") == name]
        if loose and not find_parts(sleeve, part) and any(part_of(element) in _OUTLINES for element in loose):
            layer = new_layer(sleeve, PIECE_LAYERS[part], part)
            layer.attrib["transform"] = written(_moved(loose, sleeve))
            for element in loose:
                move_into(element, layer)
            gathered = True
    return gathered


def _moved(loose: Sequence[inkex.BaseElement], sleeve: inkex.BaseElement) -> Affine:
    """Return how the outlines among loose elements lie in the ``sleeve`` beside where they were drawn in their layer.

    That is how all of it was moved, where they are still of the shape in which they were drawn; else how far it was.
    """
    for line in (element for element in loose if part_of(element) in _OUTLINES):
        then, now = curve_of(text_of(line, "drawn") or ""), curve_from_path(line, transform_within(line, sleeve))
        if then is None or len(now) != 1 or len(now[0]) != len(then):
            continue
        before, after = then.segments.reshape(-1, 2), now[0].segments.reshape(-1, 2)
        (a, b), (c, d), (e, f) = np.linalg.lstsq(np.column_stack([before, np.ones(len(before))]), after, rcond=None)[0].tolist()
        moved = Affine(a, b, c, d, e, f)
        if abs(a * d - b * c) > _FLAT and np.abs(moved.apply(before) - after).max() <= ON_SEAM:
            return moved
        return Affine.moving(*np.median(after - before, axis=0).tolist())
    return IDENTITY


#: What scales areas by less has made a piece flat.
_FLAT = 1e-6


def is_edited(layer: inkex.BaseElement) -> bool:
    """Whether an outline in the layer of a piece is no longer as it was drawn, or is gone."""
    outlines = list(_outlines(layer))
    return len(outlines) != 2 or not all(_is_as_drawn(line, layer) for line in outlines)


def _is_as_drawn(line: inkex.BaseElement, layer: inkex.BaseElement) -> bool:
    """Whether an outline lies where it was drawn, node by node, in whatever words: the editor writes path data anew as it saves."""
    then, now = curve_of(text_of(line, "drawn") or ""), curve_from_path(line, transform_within(line, layer))
    if then is None or len(now) != 1 or len(now[0]) != len(then):
        return False
    return bool(np.abs(now[0].segments - then.segments).max() <= ON_SEAM)


def edited_outline(lines: Lines, name: str) -> Curve | None:
    """Return the cutting line of a piece that she has edited, in its own millimetres; None where she has not, or it is closed no more."""
    layers = [layer for layer in lines.all(part_of_piece(name)) if is_edited(layer)]
    cuts = [line for layer in layers for line in _outlines(layer) if part_of(line) == "piece cutting line"]
    curves = [curve for line in cuts for curve in curve_from_path(line, own_transform(line))]
    return curves[0] if len(curves) == 1 and curves[0].is_closed else None


def _outlines(layer: inkex.BaseElement) -> Iterator[inkex.BaseElement]:
    return (element for element in layer.iter("*") if part_of(element) in _OUTLINES)


def update_pieces(lines: Lines, fresh: Mapping[str, inkex.BaseElement]) -> None:
    """Bring every piece that she has not edited up to date, where she keeps it; one that is no longer needed goes."""
    for part in PIECE_LAYERS:
        for old in lines.all(part):
            if is_edited(old):
                continue
            new = fresh.get(part)
            if new is None:
                old.getparent().remove(old)
                continue
            ours = [child for child in old if part_of(child) is not None]
            if say_the_same(ours, list(new)):
                continue
            for child in ours:
                old.remove(child)
            old.extend(list(new))
