"""Pieces shared out among bands that lie side by side, so that the longest band is as short as may be.

That is the makespan of identical machines; pieces are swapped between the longest band and another as long as both then are
shorter than it was (Finn and Horowitz, BIT 19, 1979, from memory).  Lengths in millimetres.
"""
from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

#: Two pieces at a time are swapped only out of bands that hold no more than this.
_FEW = 8

#: So many swaps at most are made.
_SWAPS = 120

_HAIR = 1e-6


class _Part(NamedTuple):
    """Some pieces of a band, how long they are together, and how wide the widest of them is."""

    pieces: tuple[int, ...]
    length: float
    width: float


def even_out(bands: Sequence[Sequence[int]], heights: Sequence[float], lengths: Sequence[float], widths: Sequence[float]) -> list[list[int]]:
    """Return the ``bands``, of these heights, with their pieces (numbers in ``lengths`` and ``widths``) shared out more evenly.

    The longest is never longer than before, and no piece wider than its band.

    >>> even_out([[0, 1], [2, 3]], [5.0, 5.0], [6.0, 5.0, 2.0, 1.0], [5.0] * 4)
    [[1, 2], [3, 0]]
    """
    found = [list(band) for band in bands]
    loads = [sum(lengths[piece] for piece in band) for band in found]
    for _ in range(_SWAPS):
        longest = max(range(len(found)), key=loads.__getitem__)
        swaps = (
            (*swap, other)
            for other in range(len(found)) if other != longest
            for swap in [_best_swap(found, loads, heights, lengths, widths, longest, other)] if swap is not None
        )  # fmt: skip
        best = min(swaps, key=lambda swap: swap[0], default=None)
        if best is None:
            break
        _, away, back, other = best
        found[longest] = [piece for piece in found[longest] if piece not in away] + list(back)
        found[other] = [piece for piece in found[other] if piece not in back] + list(away)
        for band in (longest, other):
            loads[band] = sum(lengths[piece] for piece in found[band])
    return found


def _best_swap(
    bands: Sequence[Sequence[int]],
    loads: Sequence[float],
    heights: Sequence[float],
    lengths: Sequence[float],
    widths: Sequence[float],
    longest: int,
    other: int,
) -> tuple[float, tuple[int, ...], tuple[int, ...]] | None:
    """Return how long the longer of two bands is after the best swap, what goes away from the ``longest`` and what comes back."""
    away = [part for part in _parts(bands[longest], lengths, widths) if part.pieces and part.width <= heights[other] + _HAIR]
    back = [part for part in _parts(bands[other], lengths, widths) if part.width <= heights[longest] + _HAIR]
    if not away:
        return None
    moved = np.subtract.outer([part.length for part in away], [part.length for part in back])
    after = np.maximum(loads[longest] - moved, loads[other] + moved)
    i, k = np.unravel_index(int(after.argmin()), after.shape)
    if after[i, k] > loads[longest] - _HAIR:
        return None
    return float(after[i, k]), away[i].pieces, back[k].pieces


def _parts(band: Sequence[int], lengths: Sequence[float], widths: Sequence[float]) -> Iterator[_Part]:
    """Yield nothing, every piece and, of few, every two pieces of a band; of those that are alike one."""
    seen = set()
    for count in (0, 1, 2) if len(band) <= _FEW else (0, 1):
        for pieces in itertools.combinations(band, count):
            part = _Part(pieces, sum(lengths[piece] for piece in pieces), max((widths[piece] for piece in pieces), default=0.0))
            if part[1:] not in seen:
                seen.add(part[1:])
                yield part
