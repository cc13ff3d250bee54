"""A technical flat: how the tiered sleeve looks laid flat, to scale from its real numbers.

The sleeve is shown closed and folded, so that it is half as wide as its pattern, centred on x = 0, y down
from the top edge, millimetres of the finished sleeve.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.cloth.strips import Tier
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import Outline

#: How far the free edge of a tier stands out on each side, for each millimetre of drop: none at 1 : 1,
#: half of this at 2 : 1.  A convention of the drawing; how net stands out depends on the net.
_FLARE = 0.35

#: The free edge is drawn in waves about this long, and the folds begin this far above it.
_WAVE = 22.0
_FOLD_SHARE = 0.55
_WAVE_DEPTH = 0.16

#: Outlines are followed to within this.
_FOLLOW = 0.2

#: Where the handles of a straight line stand on it.
_THIRDS = np.array([0.0, 1 / 3, 2 / 3, 1.0])


class TierShape(NamedTuple):
    """One tier of the flat: its closed outline, its folds (k, 2, 2: from the edge up), its stitching line,
    and whether that shows.
    """

    number: int
    outline: Curve
    folds: Array
    stitching: Curve
    shows: bool


class Flat(NamedTuple):
    """The closed silhouette, and the tiers from the lowest to the highest: each covers those before it."""

    silhouette: Curve
    tiers: list[TierShape]


def technical_flat(outline: Outline, lines: Sequence[TierLine], tiers: Sequence[Tier]) -> Flat:
    """Return the flat of a sleeve with these tier lines and tiers."""
    sides = [outline.side(which).flatten(_FOLLOW) for which in ("back", "front")]
    top, bottom = max(side[0, 1] for side in sides), min(side[-1, 1] for side in sides)
    levels = np.unique(np.concatenate([side[:, 1] for side in sides]))
    levels = levels[(levels >= top) & (levels <= bottom)]
    half = _half_width(sides, levels)
    right = np.stack([half, levels], axis=1)
    ring = np.concatenate([right, (right * (-1, 1))[::-1], right[:1]])
    shapes = []
    above_end = math.inf  # how far down the tier above reaches
    for line, tier in zip(lines, tiers):
        level = float(line.curve.nodes[:, 1].mean())
        shows = above_end < level
        shapes.append(_shape(tier, tier.line / 4, level, shows))
        above_end = level + tier.drop
    return Flat(Curve.polyline(ring), shapes[::-1])


def _half_width(sides: Sequence[Array], levels: Array) -> Array:
    """Return a quarter of the pattern's width at each level: half of the folded sleeve."""
    back, front = (np.interp(levels, side[:, 1], side[:, 0]) for side in sides)
    return np.maximum(front - back, 0) / 4


def _shape(tier: Tier, half: float, level: float, shows: bool) -> TierShape:
    """Return a tier that hangs from a line of the half width ``half`` at ``level``."""
    reach = half + _FLARE * tier.drop * (1 - 1 / tier.fullness)
    edge = level + tier.drop
    waves = max(3, round(2 * reach / _WAVE))
    across = np.linspace(reach, -reach, waves + 1)
    depth = _WAVE_DEPTH * min(tier.drop, _WAVE)
    wave = np.empty((waves, 4, 2))
    wave[:, :, 0] = across[:-1, None] + np.diff(across)[:, None] * _THIRDS
    wave[:, :, 1] = edge - depth * np.array([0, 1, 1, 0])
    corners = np.array([[(-half, level), (half, level)], [(half, level), (reach, edge)], [(-reach, edge), (-half, level)]])
    sides = corners[:, :1] + _THIRDS[None, :, None] * (corners[:, 1:] - corners[:, :1])
    outline = Curve(np.concatenate([sides[:2], wave, sides[2:]]))
    marks = across[1:-1]
    narrowed = marks * (half + (reach - half) * (1 - _FOLD_SHARE)) / reach
    folds = np.empty((len(marks), 2, 2))
    folds[:, :, 0] = np.stack([marks, narrowed], axis=1)
    folds[:, :, 1] = edge, edge - _FOLD_SHARE * tier.drop
    return TierShape(tier.number, outline, folds, Curve.line((-half, level), (half, level)), shows)
