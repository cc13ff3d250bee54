"""What is higher than a page on several: rows of a report, bands of a lay, none of them cut where that can be."""
from __future__ import annotations

from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array


class Cut(NamedTuple):
    """What one page shows, from ``top`` to ``bottom``, and how many spans ``run_on`` past its bottom."""

    top: float
    bottom: float
    run_on: int


def shortest_cuts(spans: Array, height: float) -> list[Cut]:
    """Return from where to where pages no higher than ``height`` show all of ``spans`` (k, 2: top, bottom).

    A span is cut only where it, or those that reach past each other's ends with it, is higher than a page: then in
    the lower half of a page, where the fewest are cut, as low as that can be.

    >>> import numpy as np
    >>> shortest_cuts(np.array([(0.0, 2.0), (2.0, 9.0)]), 5.0)
    [Cut(top=0.0, bottom=5.0, run_on=1), Cut(top=5.0, bottom=9.0, run_on=0)]
    """
    runs, end = spans_together(spans), float(spans.max())
    top = float(spans.min())
    pages: list[Cut] = []
    while end - top > height:
        at = _best_cut(spans, runs, top, height)
        pages.append(Cut(top, at, _run_on(spans, at)))
        top = at
    return [*pages, Cut(top, end, 0)]


def _best_cut(spans: Array, runs: list[tuple[float, float]], top: float, height: float) -> float:
    """Return where a page that begins at ``top`` ends: between two runs, unless that would leave half of it empty for one
    that has to be cut all the same.
    """
    most = top + height
    gaps = [(above[1], below[0], below[1] - below[0] <= height) for above, below in zip(runs, runs[1:])]
    between = [min(end, most) for start, end, fits in gaps if start <= most and end > top and (fits or end >= top + height / 2)]
    if between:
        return max(between)
    ends = np.unique(spans)
    places = [*ends[(ends >= top + height / 2) & (ends <= most)].tolist(), most]
    return float(min(places, key=lambda place: (_run_on(spans, place), -place)))


def _run_on(spans: Array, at: float) -> int:
    return int(np.count_nonzero((spans[:, 0] < at) & (spans[:, 1] > at)))


def spans_together(spans: Array) -> list[tuple[float, float]]:
    """Return where ``spans`` (k, 2: from, to) begin and end, in order, those that overlap as one.

    >>> import numpy as np
    >>> spans_together(np.array([(4.0, 6.0), (0.0, 2.0), (3.0, 5.0)]))
    [(0.0, 2.0), (3.0, 6.0)]
    """
    runs: list[tuple[float, float]] = []
    for top, bottom in sorted(map(tuple, spans.tolist())):
        if runs and top < runs[-1][1]:
            runs[-1] = runs[-1][0], max(runs[-1][1], bottom)
        else:
            runs.append((top, bottom))
    return runs
