"""Pieces shared out among bands that lie side by side, so that the longest band is as short as may be.

That is the makespan of identical machines; pieces are swapped between the longest band and another as long as both then are
shorter than it was (Finn and Horowitz, BIT 19, 1979, from memory).  Lengths in millimetres.
"""
from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array

#: Two pieces at a time are swapped only out of bands that hold no more than this.
_FEW = 8

#: So many swaps at most are made.
_SWAPS = 120

_HAIR = 1e-6


class _Parts(NamedTuple):
    """Parts of a band, the first of them nothing: the ``pieces`` of each, how long they are together, and how wide the widest is."""

    pieces: list[tuple[int, ...]]
    lengths: Array
    widths: Array


def even_out(bands: Sequence[Sequence[int]], heights: Sequence[float], lengths: Sequence[float], widths: Sequence[float]) -> list[list[int]]:
    """Return the ``bands``, of these heights, with their pieces (numbers in ``lengths`` and ``widths``) shared out more evenly.

    The longest is never longer than before, and no piece wider than its band.

    >>> even_out([[0, 1], [2, 3]], [5.0, 5.0], [6.0, 5.0, 2.0, 1.0], [5.0] * 4)
    [[1, 2], [3, 0]]
    """
    found = [list(band) for band in bands]
    if len(found) < 2:
        return found
    loads = np.array([sum(lengths[piece] for piece in band) for band in found])
    parts, high = [_parts(band, lengths, widths) for band in found], np.array(heights)
    for _ in range(_SWAPS):
        longest = int(loads.argmax())
        swap = _best_swap(parts, loads, high, longest)
        if swap is None:
            break
        away, back, other = swap
        found[longest] = [piece for piece in found[longest] if piece not in away] + list(back)
        found[other] = [piece for piece in found[other] if piece not in back] + list(away)
        for band in (longest, other):
            loads[band] = sum(lengths[piece] for piece in found[band])
            parts[band] = _parts(found[band], lengths, widths)
    return found


def _best_swap(parts: Sequence[_Parts], loads: Array, heights: Array, longest: int) -> tuple[tuple[int, ...], tuple[int, ...], int] | None:
    """Return what goes away from the ``longest`` band and what comes back from which other, so that the longer of both is as
    short as may be; None where no swap makes it shorter.
    """
    others = [band for band in range(len(parts)) if band != longest]
    counts = [len(parts[band].pieces) for band in others]
    owner = np.repeat(others, counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    back, back_widths = (np.concatenate([parts[band][field] for band in others]) for field in (1, 2))
    away, away_widths = parts[longest].lengths[1:, None], parts[longest].widths[1:, None]
    moved = away - back
    after = np.maximum(loads[longest] - moved, loads[owner] + moved)
    fits = (away_widths <= heights[owner] + _HAIR) & (back_widths <= heights[longest] + _HAIR)
    after = np.where(fits, after, np.inf)
    least = after.min(initial=np.inf)
    if least > loads[longest] - _HAIR:
        return None
    rows, columns = np.nonzero(after == least)
    best = np.lexsort((columns, rows, owner[columns]))[0]  # of equals the first
    i, k = int(rows[best]), int(columns[best])
    other = int(owner[k])
    return parts[longest].pieces[i + 1], parts[other].pieces[k - int(first[k])], other


def _parts(band: Sequence[int], lengths: Sequence[float], widths: Sequence[float]) -> _Parts:
    """Return nothing, every piece and, of few, every two pieces of a band; of those that are alike one."""
    seen: dict[tuple[float, float], tuple[int, ...]] = {}
    for count in (0, 1, 2) if len(band) <= _FEW else (0, 1):
        for pieces in itertools.combinations(band, count):
            seen.setdefault((sum(lengths[piece] for piece in pieces), max((widths[piece] for piece in pieces), default=0.0)), pieces)
    sizes = np.array(list(seen), dtype=float)
    return _Parts(list(seen.values()), sizes[:, 0], sizes[:, 1])
