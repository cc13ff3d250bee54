"""The facing of a top edge that is no straight fold: a strip to the shape of the edge and of both armholes beside it."""
from __future__ import annotations

from geometry.curves.curve import Curve
from geometry.pieces.piece import Piece, cut_around
from geometry.refusal import Refused
from geometry.sleeve.outline import Outline, Shape
from geometry.sleeve.settling import Settled

FACING_SHAPE = Shape(
    edges=("top edge", "front armhole", "lower edge", "back armhole"),
    corners=("back top", "front top", "front lower corner", "back lower corner"),
    front=("front armhole",),
    back=("back armhole",),
)


def line_below_top_edge(seam: Outline, depth: float) -> Curve:
    """Return the line as far as ``depth`` inside the top edge, from the back armhole to the front one.

    Raises :class:`Refused` where it would not end on both armholes, above the underarm.
    """
    bridged = seam.bridged()
    line = bridged.across(bridged.edge("top edge").offset(-depth))
    for side, end in (("front", line.end), ("back", line.start)):
        if bridged.side(side).nearest(end).t >= len(bridged.edge(f"{side} armhole")):
            raise Refused("facing below the underarm", depth=depth)
    return line


def facing(seam: Outline, settled: Settled) -> Piece:
    """Return the facing, as deep as she asks; its lower edge has an allowance where a lining of its own is sewn to it."""
    bridged = seam.bridged()
    lower = line_below_top_edge(seam, settled.top.casing)
    front, back = (bridged.side(which) for which in ("front", "back"))
    outline = Outline({
        "top edge": bridged.edge("top edge"),
        "front armhole": front.between(0, front.nearest(lower.end).t),
        "lower edge": lower.reversed(),
        "back armhole": back.between(0, back.nearest(lower.start).t).reversed(),
    }, FACING_SHAPE)  # fmt: skip
    allowances = dict.fromkeys(FACING_SHAPE.edges, settled.seam_allowance)
    if settled.style.lining != "own":
        allowances["lower edge"] = 0.0
    top = float(bridged.edge("top edge").nodes[:, 1].min())
    return Piece(
        name="facing",
        outline=outline,
        cut=cut_around(outline, allowances),
        grain=Curve.line((0.0, top + 0.05 * settled.top.casing), (0.0, top + 0.95 * settled.top.casing)),
    )
