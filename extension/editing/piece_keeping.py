"""The pieces beside a sleeve when it is measured again: drawn anew from the Seam line, but for those that she has edited."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.parts import part_of, text_of
from extension.document.paths import curve_from_path
from extension.document.reading import Lines, curve_of, label_of
from extension.document.scale import own_transform, transform_within
from extension.drafting.piece_sheet import PIECE_LAYERS, part_of_piece
from extension.editing.carrying_over import say_the_same
from extension.wording import pieces as words
from geometry.curves.curve import Curve
from geometry.editing.retrimming import ON_SEAM
from geometry.pieces.piece import Piece
from geometry.sleeve.truing import TAPE_MARK


def edited_pieces(lines: Lines) -> list[str]:
    """Return the names of the pieces that she has edited, in the order in which they are drawn."""
    return [PIECE_LAYERS[part] for part in PIECE_LAYERS for layer in lines.all(part) if is_edited(layer)]


class Loose(NamedTuple):
    """A piece whose lines lie loose: its name, how far around its sewn line is (0 where there is no whole one), and how far around
    the Seam line asks for (0 where it asks for no such piece), millimetres.
    """

    name: str
    around: float
    asked: float

    @property
    def fits(self) -> bool:
        """Whether the loose line is still as the Seam line asks."""
        return bool(self.asked) and abs(self.around - self.asked) <= TAPE_MARK / 2


def loose_pieces(lines: Lines, pieces: Sequence[Piece]) -> list[Loose]:
    """Return what lies loose of pieces whose layers were ungrouped, measured beside the ``pieces`` as they would be drawn now."""
    asked = {words.NAMES[piece.name]: piece.outline.closed().length() for piece in pieces}
    return [Loose(name, _around(lines, name), asked.get(name, 0.0)) for name in ungrouped_pieces(lines)]


def _around(lines: Lines, name: str) -> float:
    """Return how far around the loose sewn line of a piece is, or 0 where there is not one that is closed."""
    sewn = [line for line in lines.all("piece seam line") if label_of(line).partition(",")[0] == name]
    curves = [curve for line in sewn for curve in curve_from_path(line, lines.transform(line))]
    return curves[0].length() if len(curves) == 1 and curves[0].is_closed else 0.0


def ungrouped_pieces(lines: Lines) -> list[str]:
    """Return the names of the pieces whose outlines lie loose, out of the layer of any piece, as far as their labels tell."""
    above = {line: list(line.iterancestors()) for line in lines.all("piece cutting line")}
    # What was drawn anew in the layer of its piece has nothing above it any more.
    loose = [line for line, parents in above.items() if parents and not any(part_of(parent) in PIECE_LAYERS for parent in parents)]
    return sorted({label_of(line).partition(",")[0] or words.A_PIECE for line in loose})


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
    return (element for element in layer.iter("*") if part_of(element) in ("piece cutting line", "piece seam line"))


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
