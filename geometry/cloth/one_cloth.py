"""Sleeves and strips from one cloth: the sleeves lie in the left corner at its beginning, strips beside and below them.

Lengths in millimetres; cloth lies as in :mod:`geometry.cloth.lay`.
"""
from __future__ import annotations

from collections.abc import Sequence

from geometry.cloth.beside import Beside
from geometry.cloth.buying import ON_BORDER, Cloth, Corner, Purchase
from geometry.cloth.joins import Strip
from geometry.cloth.lay import StripLay, lay_beside, lay_strips
from geometry.cloth.nesting import APART, OutlineLay, lay_hems_on_border, lay_outlines
from geometry.cloth.tape import Tape
from geometry.curves.curve import Curve


def corners(piece: Curve, count: int, width: float, cloth: Cloth, tape: Tape, beside: Sequence[Beside] = ()) -> list[Corner]:
    """Return the corners that ``count`` sleeves and what is cut ``beside`` them may take of a cloth: side by side, by twos, and one
    below the other, which leaves more width beside them.  Raises ``ValueError`` where one is wider than the cloth.
    """
    found: list[Corner] = []
    left, _, right, _ = piece.bounds()
    narrower = () if cloth.use == ON_BORDER else (min(abreast * (right - left + APART), width) for abreast in (2, 1))
    for room in (width, *narrower):
        sleeves = lay_sleeves(cloth, piece, count, room, beside)
        reached = max(box.right for box in sleeves.boxes(piece))
        wide = min(tape.up(reached + APART), width)
        if all(wide != corner.wide for corner in found):
            found.append(Corner(sleeves._replace(width=width), wide, tape.up(sleeves.length + APART), _area(piece, sleeves)))
    return found


def lay_sleeves(cloth: Cloth, piece: Curve, count: int, width: float, beside: Sequence[Beside]) -> OutlineLay:
    """Return ``count`` sleeves as they lie on so much width of a cloth, and what is cut ``beside`` them.  Raises ``ValueError`` where
    one does not find room across it.
    """
    if cloth.use == ON_BORDER:
        return lay_hems_on_border(piece, count, width, cloth.repeat, beside)
    return lay_outlines(piece, count, width, cloth.use == "either_way" and not cloth.one_way, cloth.repeat, beside)


def width_taken(cloth: Cloth, piece: Curve) -> float:
    """Return how much width of a cloth one sleeve takes."""
    left, top, right, bottom = piece.bounds()
    return bottom - top if cloth.use == ON_BORDER else right - left


def _area(piece: Curve, sleeves: OutlineLay) -> float:
    return len(sleeves.placements) * abs(piece.signed_area()) + sleeves.beside_area


def strips_with(corner: Corner, strips: Sequence[Strip], width: float, join: float, tape: Tape, only_across: bool) -> list[StripLay]:
    """Return the plans for strips on cloth whose ``corner`` is taken, or those alone that cut them whole across the width."""
    if only_across:
        return [plan.moved_down(corner.long) for plan in lay_strips(strips, width, join, tape, only_across)]
    return lay_beside(strips, width, join, tape, (corner.wide, corner.long))


def sleeves_bought_with(bought: Sequence[Purchase], base: Cloth) -> Purchase:
    """Return what is told of sleeves that lie on the cloth of one of the purchases: nothing is bought for them."""
    cloth, among = next((each.cloth, each.among) for each in bought if each.among is not None)
    return Purchase(base, among.sleeves, (), among.area / among.sleeves.width, 0.0, None, bought_with=cloth.name)


def lining_bought_with(base: Purchase, lining: Cloth) -> Purchase:
    """Return what is told of a lining whose pieces lie beside the sleeves on the cloth of the ``base``: nothing is bought for it."""
    pieces = [each for each in getattr(base.lay, "others", ()) if each.name == "lining"]
    area = sum(abs(each.outline.signed_area()) for each in pieces)
    lay = OutlineLay((), base.lay.width, base.lay.length)
    return Purchase(lining, lay, (), area / base.lay.width, 0.0, None, bought_with=base.bought_with or base.cloth.name)
