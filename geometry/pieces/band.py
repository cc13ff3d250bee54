"""The band along the whole top edge, and the binding that may take its place: both as long as the edge on the body."""
from __future__ import annotations

from geometry.curves.curve import Curve
from geometry.pieces.piece import Piece, cut_around, middle_of, ring, tick_at
from geometry.sleeve.outline import Outline, Shape
from geometry.sleeve.settling import Settled

#: A band, laid with the centre front on the fold.
BAND_SHAPE = Shape(
    edges=("upper edge", "centre back", "lower edge", "centre front"),
    corners=("front upper corner", "back upper corner", "back lower corner", "front lower corner"),
    front=("centre back",),
    back=("centre front",),
)

#: The grain arrow stops this share of the length inside either end.
_INSET = 0.3


def edge_taken(seam: Outline, settled: Settled) -> float:
    """Return how much of the band one sleeve takes: its top edge, drawn up where it has fullness."""
    return seam.sewn_length("top edge") / settled.top.fullness


def edge_around(seam: Outline, settled: Settled) -> float:
    """Return the length of the whole top edge: both sleeves, and front and back of the bodice."""
    return 2 * edge_taken(seam, settled) + settled.front.edge + settled.back.edge


def band(seam: Outline, settled: Settled) -> Piece:
    """Return half the band, the centre front on the fold of the cloth; its ticks stand where the armhole seams and the middle of
    the sleeve's top edge meet it.

    A folded band is twice as high, and folded along its middle; of a two-part one this is each part.
    """
    two_part = settled.style.band_cut == "two-part"
    height = settled.top.width * (1 if two_part else 2)
    length = edge_around(seam, settled) / 2
    edges = ring((0.0, 0.0), (length, 0.0), (length, height), (0.0, height))
    outline = Outline(dict(zip(BAND_SHAPE.edges, edges)), BAND_SHAPE)
    allowance = settled.seam_allowance
    allowances = {**dict.fromkeys(BAND_SHAPE.edges, allowance), "centre front": 0.0}
    front, taken = settled.front.edge / 2, edge_taken(seam, settled)
    top = seam.bridged().edge("top edge")
    before = top.between(middle_of(top), len(top)).length() / top.length()  # of the sleeve's edge, in front of its middle notch
    places = (("front armhole", front), ("middle of the sleeve", front + before * taken), ("back armhole", front + taken))
    upper, lower = outline.edge("upper edge"), outline.edge("lower edge")
    cut = cut_around(outline, allowances)
    ticks = [tick_at(lower, length - at, allowance, cut, says) for says, at in places]
    if not two_part:  # both long edges are sewn to the seam
        ticks += [tick_at(upper, at, allowance, cut) for _, at in places]
    middle = height / (2 if two_part else 4)
    return Piece(
        name="band",
        outline=outline,
        cut=cut,
        grain=Curve.line((_INSET * length, middle), ((1 - _INSET) * length, middle)),
        on_fold="centre front",
        folds=() if two_part else (Curve.line((0.0, height / 2), (length, height / 2)),),
        ticks=tuple(ticks),
    )
