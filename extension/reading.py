"""Reads a sleeve back from her document, as it stands there now."""
from __future__ import annotations

from typing import List, NamedTuple

import inkex
import numpy as np

from extension.document import find_parts, number_of, read_record, text_of
from extension.paths import curve_from_path, path_data
from extension.scale import transform_within
from geometry.curves import Curve
from geometry.marks import TierLine
from geometry.measurements import TABLE, read_measurements
from geometry.outline import CORNERS, EDGES, Outline
from geometry.refusal import Refused


class SleeveInDocument(NamedTuple):
    """A sleeve as drawn now, in millimetres of its own layer.

    ``measured`` holds the measurements it was drafted from (millimetres) and ``typed`` the same as typed;
    ``edited`` says that the Seam line is no longer as it was last drafted or re-measured.
    """

    layer: inkex.Layer
    typed: dict
    measured: dict
    unit: str
    label: str
    seam_element: inkex.PathElement
    outline: Outline
    tiers: List[TierLine]
    edited: bool


def find_sleeve(svg: inkex.SvgDocumentElement) -> inkex.Layer:
    """Return the sleeve that is selected (or any part of it), else the only one; :class:`Refused` else."""
    sleeves = find_parts(svg, "sleeve")
    selected = [s for s in sleeves if any(s in (e, *e.iterancestors()) for e in svg.selection)]
    candidates = selected or sleeves
    if not candidates:
        raise Refused("There is no sleeve in this document yet. Draw one with Extensions > Tiered Sleeve > Draft Sleeve….")
    if len(candidates) > 1:
        raise Refused(f"There are {len(candidates)} sleeves here. Select the one that is meant (any line of it) and try again.")
    return candidates[0]


def read_sleeve(layer: inkex.Layer) -> SleeveInDocument:
    """Return what the sleeve in ``layer`` is now.  Raises :class:`Refused` with a sentence."""
    typed = read_record(layer)["typed"]
    seams = find_parts(layer, "seam line")
    if not seams:
        raise Refused("This sleeve has no Seam line any more. Undo until it is back, or draft the sleeve again.")
    seam = curve_from_path(seams[0], transform_within(seams[0], layer))[0]
    return SleeveInDocument(
        layer=layer,
        typed=typed,
        measured=read_measurements(typed, typed["unit"]),
        unit=typed["unit"],
        label=typed["label"].strip(),
        seam_element=seams[0],
        outline=outline_by_nearest_nodes(seam, stored_corners(seams[0])),
        tiers=read_tiers(layer),
        edited=path_data(seam) != text_of(seams[0], "drawn"),
    )


def stored_corners(seam: inkex.PathElement) -> np.ndarray:
    """Return the corners (6, 2) as they were last drafted or re-measured, in the order of CORNERS."""
    return np.array([[float(x) for x in pair.split(",")] for pair in (text_of(seam, "corners") or "").split()])


def outline_by_nearest_nodes(seam: Curve, corners: np.ndarray) -> Outline:
    """Cut the closed seam at the nodes nearest to the stored corners."""
    nodes = seam.nodes[:-1]
    places = [int(np.argmin(np.hypot(*(nodes - corner).T))) for corner in corners]
    ring = Curve(np.roll(seam.segments, -places[0], axis=0))
    cuts = [(place - places[0]) % len(seam) for place in places] + [len(seam)]
    return Outline({name: ring.between(a, b) for name, a, b in zip(EDGES, cuts, cuts[1:])})


def read_tiers(layer: inkex.Layer) -> List[TierLine]:
    """Return the tier lines as they stand, numbered as they are."""
    lines = []
    for element in find_parts(layer, "tier line"):
        curve = curve_from_path(element, transform_within(element, layer))[0]
        lines.append(TierLine(int(number_of(element, "number")), curve))
    return sorted(lines, key=lambda tier: tier.number)
