"""Marks by which gathers are spread evenly, on either half of the line by itself: eighths of a tier line, and where they lie on its strip."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.cloth.strips import Tier
from geometry.curves.arrays import Array
from geometry.curves.bezier import left_of, norm
from geometry.curves.curve import Curve

#: A line is marked in so many parts: every second mark is a quarter.
PARTS = 8


class GatherMarks(NamedTuple):
    """Marks of one tier, millimetres: ``on_line`` from one to the next along the line; ``first`` from the back end of the strip as
    cut to where its gathers begin, and from there on from one mark to the next ``on_back`` as far as the middle and ``on_front``
    beyond it, the strip's joins sewn.
    """

    number: int
    on_line: float
    first: float
    on_back: float
    on_front: float

    def running(self, every: int = 1) -> list[float]:
        """Return how far every mark, or ``every`` so many-th, lies from the strip's end: from the first where gathers begin to the last."""
        half = PARTS // 2
        return [self.first + min(k, half) * self.on_back + max(0, k - half) * self.on_front for k in range(0, PARTS + 1, every)]


#: How far a tick reaches from its line at a quarter and at an eighth, and at least where lettering leaves no room, millimetres.
QUARTER_TICK, EIGHTH_TICK, LEAST_TICK = 5.0, 2.5, 0.8


def line_ticks(line: Curve, lettering: Sequence[Box] = ()) -> Array:
    """Return the ticks at the eighths of a tier line, its ends left out, (7, 2, 2): where each begins on it and where it ends.

    They are square to the line and longer at the quarters; they stand up from it, or down where ``lettering`` is in the way,
    and are short where it is on both sides.
    """
    feet = _even_places(line)
    squares = left_of(line.tangent(feet))
    ticks = np.empty((PARTS - 1, 2, 2))
    for k, (tick, point, square) in enumerate(zip(ticks, line.point(feet), squares), start=1):
        up = square if square[1] < 0 else -square
        long = EIGHTH_TICK if k % 2 else QUARTER_TICK
        could = [point + reach for reach in (up * long, -up * long, up * LEAST_TICK)]
        tick[:] = point, next((end for end in could[:-1] if _is_clear(point, end, lettering)), could[-1])
    return ticks


def _even_places(line: Curve) -> Array:
    """Return where (7,) a line is parted in eighths of its length, to within a hundredth of a millimetre: it is followed by chords."""
    places = np.linspace(0.0, len(line), _CHORDS * len(line) + 1)
    run = np.concatenate([[0.0], np.cumsum(norm(np.diff(line.point(places), axis=0)))])
    even: Array = np.interp(run[-1] * np.arange(1, PARTS) / PARTS, run, places)
    return even


#: So many chords follow a segment of a line.
_CHORDS = 256


def _is_clear(start: Array, end: Array, lettering: Sequence[Box]) -> bool:
    (left, right), (top, bottom) = np.sort([start, end], axis=0).T.tolist()
    room = Box(left, top, right, bottom).grown(_CLEAR)
    return not any(room.overlaps(box) for box in lettering)


#: A tick keeps so far off lettering, millimetres.
_CLEAR = 0.5


def gather_marks(tier: Tier, front_share: float = 0.5) -> GatherMarks | None:
    """Return the marks of a strip that is drawn up, its ``front_share`` onto the front half of the line, which is that of a sleeve; None
    for what is folded or clipped onto its line.
    """
    if tier.made.pattern is not None or tier.made.folds is not None:
        return None
    half, front_share = PARTS / 2, 0.5 if tier.name else front_share
    return GatherMarks(
        tier.number, tier.line / PARTS, tier.past_line[0], tier.made.taken * (1 - front_share) / half, tier.made.taken * front_share / half
    )
