"""What a cutting plan takes from a sleeve in her document: its tier lines and its cutting line, as they are now."""
from __future__ import annotations

import math
from collections.abc import Mapping

import inkex
import numpy as np

from extension.document.paths import curve_from_path
from extension.document.reading import Scaled, SleeveInDocument
from extension.editing.door import cutting_line_as_drawn, sleeve_to_plan
from extension.editing.piece_keeping import edited_outline
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers, remeasured_tiers
from geometry.pieces.all_pieces import pieces_on
from geometry.pieces.piece import Piece
from geometry.refusal import Refused
from geometry.sleeve.draft import Decided, cut_around
from geometry.sleeve.marks import notches, top_edge_height
from geometry.sleeve.settling import Settled


def sleeve_now(svg: inkex.SvgDocumentElement) -> SleeveInDocument:
    """Return the sleeve that is meant.  Raises :class:`Refused` where none is, or where it was scaled."""
    try:
        return sleeve_to_plan(svg)
    except Scaled as scaled:
        raise Refused("scaled before planning") from scaled


def tiers_now(sleeve: SleeveInDocument) -> Tiers:
    """Return the tier lines, made true on the Seam line, and which of them do not run from seam to seam."""
    return remeasured_tiers(sleeve.outline, sleeve.tiers, sleeve.seat.growth.apply(sleeve.corners[:2]))


def tiers_end(sleeve: SleeveInDocument, decided: Decided) -> float:
    """Return the height at which the tiers end: no height at all where they go down to the hem."""
    plan = decided.plan
    return math.inf if plan.to_hem else top_edge_height(sleeve.outline) + plan.end


def cutting_line_now(sleeve: SleeveInDocument, settled: Settled) -> Curve:
    """Return the cutting line as drawn while the drawing is up to date, else anew around the edited Seam line."""
    drawn = None if sleeve.edited or not cutting_line_as_drawn(sleeve, settled) else _drawn_cutting_line(sleeve)
    return cut_around(sleeve.outline, settled) if drawn is None else drawn


def pieces_now(sleeve: SleeveInDocument, decided: Decided) -> dict[str, Piece]:
    """Return the pieces beside the sleeve, by name, measured on its Seam line as it is."""
    found = notches(sleeve.outline, decided.block.matches, sleeve.tiers)
    return {piece.name: piece for piece in pieces_on(sleeve.outline, decided.settled, found, decided.block.spread)}


def cut_now(sleeve: SleeveInDocument, pieces: Mapping[str, Piece]) -> dict[str, Curve]:
    """Return the cutting lines of the pieces by their names, as she has edited them if she has."""
    return {name: edited_outline(sleeve.lines, name) or piece.cut for name, piece in pieces.items()}


def _drawn_cutting_line(sleeve: SleeveInDocument) -> Curve | None:
    """Return the one closed Cutting line that is drawn around the Seam line, or None."""
    elements = sleeve.lines.all("cutting line")
    curves = [curve for element in elements for curve in curve_from_path(element, sleeve.lines.transform(element))]
    if len(curves) != 1 or not curves[0].is_closed:
        return None
    seam, cut = np.array(sleeve.outline.closed().bounds()), np.array(curves[0].bounds())
    encloses = (cut[:2] <= seam[:2] + _ON_IT).all() and (cut[2:] >= seam[2:] - _ON_IT).all()
    return curves[0] if encloses else None


#: A cutting line without an allowance lies on the Seam line, but for rounding in the file, millimetres.
_ON_IT = 1e-3
