"""Where a strip that is longer than its cloth is joined: where the join hides.

Places on a strip are measured flat from its end at the back underarm seam, the allowances at both ends
counted and what the joins take up not.  Every sleeve counts from the back, so that left and right, cut alike,
are mirror images of each other.  Lengths in millimetres.
"""
from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from geometry.cloth.tape import Tape

#: A join keeps a hand's breadth (4 in) from both ends of its line, where a seam catches the strip and may slant, and
#: from the middle, which lies on the outside of the arm (common practice, no source).
HAND = 101.6

#: A strip in pleats is joined in the inner fold of one.  Pieces are tried in at most so many ways.
_TRIES = 400

_HAIR = 1e-6


class Strip(NamedTuple):
    """One strip to be cut: which tier, sleeve and layer it is for (from 1), its width, and its length without joins.

    ``folds`` are the places at which it may be joined, or None where it may be joined anywhere; ``past`` is how far
    its ends, back and front, reach past the line to which it is sewn.
    """

    tier: int
    sleeve: int
    layer: int
    width: float
    length: float
    folds: tuple[float, ...] | None = None
    past: tuple[float, float] = (0.0, 0.0)

    @property
    def clear(self) -> tuple[float, float, float]:
        """Between the first and the last of these places joins hide, but for those within a hand of the second, the middle."""
        back, front = self.past
        return back + HAND, (back + self.length - front) / 2, self.length - front - HAND


class Joining(NamedTuple):
    """What a join takes up in all, and the ``tape`` to whose marks every piece is cut."""

    join: float
    tape: Tape

    def total(self, strip: Strip, joins: int) -> float:
        """Return the length of a strip in all its pieces with so many joins, on a mark of the tape.

        Where joins stand in folds, each takes a mark more: pieces that end at a fold are rounded up one by one.
        """
        slip = self.tape.mark if strip.folds is not None else 0.0
        return self.tape.up(strip.length + joins * (self.join + slip))

    def places(self, strip: Strip, pieces: Sequence[float]) -> list[float]:
        """Return where the joins of a strip in these pieces stand; behind the last piece there is none.

        >>> from geometry.cloth.tape import CENTIMETRES
        >>> Joining(10.0, CENTIMETRES).places(Strip(1, 1, 1, 100.0, 1490.0), (500.0, 500.0, 510.0))
        [495.0, 985.0]
        """
        found: list[float] = []
        for piece in pieces[:-1]:
            at = found[-1] + piece - self.join if found else piece - self.join / 2
            if strip.folds is not None:  # rounded up from there to a mark
                at = max((fold for fold in strip.folds if fold <= at + _HAIR), default=at)
            found.append(at)
        return found

    # --- cut from as few pieces as can be ---------------------------------------------------------

    def fewest_pieces(self, strip: Strip, band: float) -> tuple[float, ...]:
        """Return the pieces of a strip that is cut from bands of the length ``band``, in their order from the back.

        As few as can be so that every join hides; where no number of pieces does that, as few as can be.
        """
        fewest = 0
        while self.total(strip, fewest) > (fewest + 1) * band + _HAIR:
            fewest += 1
        if not fewest:
            return (self.total(strip, 0),)
        more = range(fewest, 2 * fewest + 2) if strip.folds else (fewest, fewest + 1)
        for hidden, joins in itertools.product((True, False), more):
            found = next(self._parted(strip, band, joins, hidden), None)
            if found:
                return found
        total = self.total(strip, fewest)  # bands hardly longer than a hand: one after the other
        return (*[band] * fewest, total - fewest * band)

    def _parted(self, strip: Strip, band: float, joins: int, hidden: bool) -> Iterator[tuple[float, ...]]:
        """Yield ways to part a strip: the shortest piece at the back first."""
        total = self.total(strip, joins)
        least = min(HAND, band / 2) if hidden else min(HAND, band / 4)
        for pieces in self._in_folds(strip, band, joins) if strip.folds else self._anywhere(total, band, joins, strip.clear[0]):
            every = (*pieces, total - sum(pieces))
            if not all(least - _HAIR <= piece <= band + _HAIR for piece in every):
                continue
            if not hidden or all(hides(strip, at) for at in self.places(strip, every)):
                yield every

    def _anywhere(self, total: float, band: float, joins: int, clear: float) -> Iterator[list[float]]:
        """Yield all pieces but the last: whole bands and what is left over, or the same at both ends."""
        over = total - joins * band
        short = max(over, self.tape.up(min(clear + self.join / 2, band / 2)))
        yield [short, *[band] * (joins - 1)]
        yield [self.tape.up((over + band) / 2), *[band] * (joins - 1)]

    def _in_folds(self, strip: Strip, band: float, joins: int) -> Iterator[list[float]]:
        """Yield all pieces but the last, each ending at a fold: the first short, the others long."""
        folds = strip.folds or ()
        total = self.total(strip, joins)
        tries = 0

        def onward(pieces: list[float], done: float) -> Iterator[list[float]]:
            nonlocal tries
            if len(pieces) == joins:
                yield pieces
                return
            reach = [(fold, self.tape.up(fold - done + self.join * (1.0 if pieces else 0.5))) for fold in folds if fold > done]
            for fold, piece in reach if not pieces else reach[::-1]:
                rest = total - sum(pieces) - piece
                if piece <= band + _HAIR and rest <= (joins - len(pieces)) * band + _HAIR and tries < _TRIES:
                    tries += 1
                    yield from onward([*pieces, piece], fold)

        return onward([], 0.0)

    # --- cut from what a band has left ------------------------------------------------------------

    def run_on(self, strip: Strip, cut: Sequence[float], left: float, room: float, band: float) -> float:
        """Return how much to cut next from the ``room`` that a band has left; 0 for nothing.

        ``cut`` are the pieces of the strip so far and ``left`` what is still to be cut of it.
        """
        if left <= room + _HAIR:
            return left
        least = min(HAND, band / 2)
        most = self.tape.down(min(room, left - least))
        fresh = room >= band - _HAIR
        for take in self._hiding(strip, cut, most):
            if take >= least - _HAIR:
                return take
        return most if fresh and most >= least - _HAIR else 0.0

    def _hiding(self, strip: Strip, cut: Sequence[float], most: float) -> Iterator[float]:
        """Yield the longest pieces up to ``most`` that end where a join hides."""
        before = self.places(strip, [*cut, 0.0])[-1] if cut else 0.0
        if strip.folds is not None:
            for fold in reversed(strip.folds):
                take = self.tape.up(fold - before + self.join * (1.0 if cut else 0.5))
                if fold > before and take <= most + _HAIR and hides(strip, fold):
                    yield take
            return
        at = before + most - self.join * (1.0 if cut else 0.5)
        _, middle, last = strip.clear
        if hides(strip, at):
            yield most
        elif at > last:
            yield self.tape.down(most - (at - last))
        elif abs(at - middle) < HAND:
            yield self.tape.down(most - (at - middle + HAND))


def hides(strip: Strip, at: float) -> bool:
    """Whether a join at a place of a strip hides: a hand from both ends of its line and from the middle.

    >>> strip = Strip(1, 1, 1, 100.0, 1000.0, past=(20.0, 20.0))
    >>> hides(strip, 300.0), hides(strip, 110.0), hides(strip, 480.0)
    (True, False, False)
    """
    first, middle, last = strip.clear
    return first - _HAIR <= at <= last + _HAIR and abs(at - middle) >= HAND - _HAIR
