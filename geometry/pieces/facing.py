"""The facing of a top edge that is no straight fold: a strip to the shape of the edge and of both armholes beside it."""
from __future__ import annotations

from collections.abc import Sequence

from geometry.curves.curve import Curve
from geometry.pieces.piece import Piece, armhole_ticks, cut_around, middle_tick
from geometry.refusal import Refused
from geometry.sleeve.marks import Notch
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


def facing(seam: Outline, settled: Settled, notches: Sequence[Notch]) -> Piece:
    """Return the facing, as deep as she asks; its lower edge has an allowance where a lining of its own is sewn to it.

    It is notched as the sleeve's top edge is in its middle, and as its armholes where their ``notches`` stand so high; the middle of
    the lower edge is that of the lining.
    """
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
    sewn_below = settled.style.lining == "own"
    if not sewn_below:
        allowances["lower edge"] = 0.0
    cut, allowance = cut_around(outline, allowances), settled.seam_allowance
    below = {side: bridged.edge(f"{side} armhole").length() - outline.edge(f"{side} armhole").length() for side in ("front", "back")}
    top = float(bridged.edge("top edge").nodes[:, 1].min())
    return Piece(
        name="facing",
        outline=outline,
        cut=cut,
        grain=Curve.line((0.0, top + 0.05 * settled.top.casing), (0.0, top + 0.95 * settled.top.casing)),
        ticks=(
            middle_tick(outline.edge("top edge"), allowance, cut),
            *([middle_tick(outline.edge("lower edge"), allowance, cut)] if sewn_below else []),
            *armhole_ticks(outline, notches, below, allowance, cut),
        ),
    )
