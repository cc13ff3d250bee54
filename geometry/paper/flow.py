"""Rows of a report on pages, none of them cut."""
from __future__ import annotations

from geometry.curves.arrays import Array


def page_cuts(spans: Array, height: float) -> list[tuple[float, float]]:
    """Return from where to where each page shows a report, so that none of ``spans`` (k, 2: top, bottom) is cut.

    Each page holds as much as fits into ``height``; only rows that reach past each other's ends for longer than
    that make a page that is higher.

    >>> import numpy as np
    >>> page_cuts(np.array([(0.0, 2.0), (3.0, 5.0), (4.0, 6.0)]), 5.0)
    [(0.0, 2.0), (3.0, 6.0)]
    """
    pages: list[tuple[float, float]] = []
    for top, bottom in _runs(spans):
        if pages and bottom - pages[-1][0] <= height:
            pages[-1] = pages[-1][0], bottom
        else:
            pages.append((top, bottom))
    return pages


def _runs(spans: Array) -> list[tuple[float, float]]:
    """Return the spans from the top, those that overlap as one."""
    runs: list[tuple[float, float]] = []
    for top, bottom in sorted(map(tuple, spans.tolist())):
        if runs and top < runs[-1][1]:
            runs[-1] = runs[-1][0], max(runs[-1][1], bottom)
        else:
            runs.append((top, bottom))
    return runs
