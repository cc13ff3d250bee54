"""The lining as a piece of its own: from where the finish of the top edge ends down to its own hem, a little wider if she asks."""
from __future__ import annotations

import math

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.pieces.facing import line_below_top_edge
from geometry.pieces.piece import Piece, armhole_ticks, cut_around, middle_tick
from geometry.refusal import Refused
from geometry.sleeve.marks import Notch, grain_line, height_at_grain, hem_around, level_lines, top_edge_height
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.spread import Spread
from geometry.sleeve.top_edge import BOUND, ELASTIC, FACED

#: The grain line meets the hem within this, millimetres.
_FAR = 1e4

#: How a hem's handles are turned as it is stretched is asked so far along them, as a share.
_STEP = 1e-4


def lining(seam: Outline, settled: Settled, notches: tuple[Notch, ...], spread: Spread | None = None) -> Piece:
    """Return the lining of a sleeve, ``spread`` or not.  Raises :class:`Refused` where nothing would be left of it."""
    outline = eased(lined_part(seam, settled), settled.lining.ease, spread)
    allowance, caught = settled.seam_allowance, not settled.lining.shorter
    hem = allowance if caught else settled.hem_allowance
    top = 0.0 if settled.top.finish == BOUND else allowance
    allowances = {**dict.fromkeys(outline.shape.edges, allowance), "top edge": top, "hem": hem}
    cut = cut_around(outline, allowances, () if caught else ("hem",))
    return Piece(
        name="lining",
        outline=outline,
        cut=cut,
        grain=grain_line(outline),
        ticks=(
            middle_tick(outline.edge("top edge"), top, cut),
            *armhole_ticks(outline, notches, {"front": 0.0, "back": 0.0}, allowance, cut),
        ),
    )


def lined_part(seam: Outline, settled: Settled) -> Outline:
    """Return what of the sleeve is lined: below a casing's stitching or a facing, down to the lining's hem."""
    bridged, top = seam.bridged(), settled.top
    if top.finish == ELASTIC:
        upper = level_lines(bridged, [top_edge_height(seam) + top.stitched])[0]
    elif top.finish == FACED:
        upper = line_below_top_edge(seam, top.casing)
    else:
        upper = bridged.edge("top edge")
    lower = _raised_hem(seam, settled.lining.shorter)
    sides = {}
    for which, above, below in (("front", upper.end, lower.end), ("back", upper.start, lower.start)):
        side, corner = bridged.side(which), len(bridged.edge(f"{which} armhole"))
        start, end = side.nearest(above).t, side.nearest(below).t
        if not start < corner < end or height_at_grain(lower) <= height_at_grain(upper):
            raise Refused("lining too short", shorter=settled.lining.shorter)
        sides[which] = side.between(start, corner), side.between(corner, end)
    return Outline({
        "top edge": upper, "front armhole": sides["front"][0], "front underarm": sides["front"][1], "hem": lower.reversed(),
        "back underarm": sides["back"][1].reversed(), "back armhole": sides["back"][0].reversed(),
    })  # fmt: skip


#: Shorter than this, ten times what rounding in the file does, is no segment, millimetres.
_HAIR = 1e-3


def _raised_hem(seam: Outline, by: float) -> Curve:
    """Return the hem, nearer to the top edge by so much all along, from back to front."""
    hem = hem_around(seam).reversed()
    # Square to the sides it ends on them already, but for rounding in the file: no segment too short to see is kept.
    return hem if not by else seam.across(hem.offset(by)).tidied(_HAIR)


def eased(outline: Outline, ease: float, spread: Spread | None = None) -> Outline:
    """Return the outline, each half wider by ``ease`` from the underarm down; its top edge stays as it is.

    The armholes lean out to the moved underarm points, the underarm seams are moved as they are: across the sleeve, which
    beside a ``spread`` is along its level lines, as far as those have turned up with its sides.
    """
    if not ease:
        return outline
    edges = {name: outline.edge(name) for name in outline.shape.edges}
    turned = spread.angle if spread else 0.0
    for side, way in (("front", 1.0), ("back", -1.0)):
        across, down = np.array([way * math.cos(turned), -math.sin(turned)]), np.array([way * math.sin(turned), math.cos(turned)])
        top, corner = outline.corner(f"{side} top"), outline.corner(f"{side} underarm point")
        edges[f"{side} armhole"] = edges[f"{side} armhole"].transformed(_leaning(ease / float((corner - top) @ down) * across, top, down))
        edges[f"{side} underarm"] = edges[f"{side} underarm"].transformed(np.column_stack([np.eye(2), ease * across]))
    between = edges["front underarm"].end, edges["back underarm"].start
    edges["hem"] = _fanned(edges["hem"], *between, spread) if spread else _between(edges["hem"], *between)
    return Outline(edges)


def _leaning(by: Array, above: Array, down: Array) -> Array:
    """Return the matrix that moves each point ``by`` so much for each millimetre that it lies ``down`` from ``above``."""
    lean = np.outer(by, down)
    return np.column_stack([np.eye(2) + lean, -lean @ above])


def _between(hem: Curve, start: Array, end: Array) -> Curve:
    """Return the hem stretched across to between its moved ends."""
    across = (end[0] - start[0]) / (hem.end[0] - hem.start[0])
    return hem.transformed(np.array([[across, 0.0, start[0] - across * hem.start[0]], [0.0, 1.0, 0.0]]))


def _fanned(hem: Curve, start: Array, end: Array, spread: Spread) -> Curve:
    """Return the hem of a spread lining stretched around the centres of its bent top edge, to between its moved ends.

    Each half is wider in proportion to the angle from the grain line, and farther out by its square, so that it runs on there.
    """
    (met, *_) = hem.crossings(Curve.line((0.0, -_FAR), (0.0, _FAR)))
    halves = (hem.between(0, met.t1), start, spread.front), (hem.between(met.t1, len(hem)).reversed(), end, spread.back)
    front, back = (_half_fanned(half, moved, float(side.start[0]) / spread.angle) for half, moved, side in halves)
    return Curve.chain([front, back.reversed()])


def _half_fanned(half: Curve, moved: Array, radius: float) -> Curve:
    """Return half of a hem, run from its end at the seam to the grain line, with that end ``moved``."""

    def polar(points: Array) -> tuple[Array, Array]:
        return np.arctan2(points[..., 0], points[..., 1] + radius), np.hypot(points[..., 0], points[..., 1] + radius)

    (end, far), (moved_end, moved_far) = polar(half.start), polar(moved)

    def stretched(points: Array) -> Array:
        angle, distance = polar(points)
        share = angle / end
        distance = distance + (moved_far - far) * share**2
        return np.stack([distance * np.sin(share * moved_end), distance * np.cos(share * moved_end) - radius], axis=-1)

    on = half.segments[:, [0, 0, 3, 3]]
    nodes, handles = stretched(on), half.segments - on
    return Curve(nodes + (stretched(on + _STEP * handles) - stretched(on - _STEP * handles)) / (2 * _STEP))
