"""The fewest sheets over a drawing: rows of sheets, each row where it needs to be, joined where there is least to cut through.

The drawing is cut into thin slices from top to bottom.  For every stretch of slices that one row of sheets
could show, the sheets which that row takes are counted; the cheapest way down through all stretches is found
by dynamic programming (Bellman 1954, Bulletin of the American Mathematical Society 60(6)).  Within a row the
places of the joins are found in the same way.  Millimetres of the drawing, y down.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags
from geometry.paper.ground import STEP, Ground
from geometry.paper.papers import LEAST_MIDDLE

#: What is drawn keeps this far from where the printing ends, stroke and all; or so much where that saves a sheet.
CLEAR, LEAST_CLEAR = 1.5, 0.3

#: Joins lie so far from lines along them, where there is a choice.
OFF_LINES = 6.0

#: So many slices to a sheet, and so many places across.  The work grows with both.
SLICES, PLACES_ACROSS = 72, 160
MOST_SLICES = 280

#: Sheets of a row may overlap by so much more than asked, that a join may keep off what is drawn.
MOST_EXTRA = 60.0

#: A sheet costs more than any join; what is lettered, for each millimetre of its height squared, as much as so many
#: millimetres of line along the join, so that names are cut last; and that sheets show what isn't to be printed more than
#: anything lettered.
SHEET, LETTERED, SHOWN = 1e6, 6.0, 1e5

#: Where all that is blank is to lie at one side, a join costs so much line for each millimetre that it lies nearer to the other.
LEANING = 1.0

_NEVER = np.inf


class Lean(NamedTuple):
    """At which side of the sheets all lies that is blank: 1 right or at the bottom, -1 left or at the top; 0 at both alike."""

    across: int
    down: int


EVEN = Lean(0, 0)


class Size(NamedTuple):
    """What one sheet shows, ``wide`` and ``high``, how much of it the next one shows again, and its white margin."""

    wide: float
    high: float
    overlap: float
    white: float


class Rows(NamedTuple):
    """Sheets found: the printable part of each, row by row from the left, and what their joins cost."""

    rows: list[list[Box]]
    cost: float

    @property
    def sheets(self) -> int:
        """How many sheets."""
        return sum(map(len, self.rows))


def fewest(
    ground: Ground, size: Size, avoid: Sequence[Box], clear: float = CLEAR, lean: Lean = EVEN, most: float = _NEVER
) -> Rows | None:
    """Return the fewest sheets of one size that hold all of the ground, ``clear`` of the ends of the printing.

    Among as few sheets those whose joins lie off lines and lettering, which ``lean`` as told, and show least of the boxes to
    ``avoid``.  None where it takes more than ``most``.
    """
    bounds = ground.bounds().grown(clear)
    cuts, cost = _rows(ground, size, bounds, clear, avoid, lean.down)
    needed = [_groups(ground, size, low, high, clear) for low, high in zip([-_NEVER, *cuts], [*cuts, _NEVER])]
    if sum(_sheets(*group, size) for groups in needed for group in groups) > most:
        return None
    tops = _starts(cuts, bounds.top, bounds.bottom, size.high, size, _above_and_below(bounds, avoid), lean.down)
    rows = []
    for groups, top, low, high in zip(needed, tops, [-_NEVER, *cuts], [*cuts, _NEVER]):
        if groups:  # between far parts of a drawing a row may be blank
            found, worse = _row(ground, size, (top, low, high), groups, avoid, lean.across)
            rows.append(found)
            cost += worse
    return Rows(rows, cost)


# --- down ---------------------------------------------------------------------------------------------


def _rows(ground: Ground, size: Size, bounds: Box, clear: float, avoid: Sequence[Box], lean: int) -> tuple[list[float], float]:
    """Return where one row is joined to the next, and what that costs."""
    step = size.high - size.overlap
    if bounds.height <= size.high:
        return [], 0.0
    slices = max(4, min(SLICES, int(MOST_SLICES * step / bounds.height)))
    thick = step / slices
    least = max(1, slices - int(_extra(size.high, size) / thick))
    # The last row alone shows its overlap too.
    counts = _counts(ground, size, bounds, clear, thick, (least, slices + math.ceil(size.overlap / thick)))
    edges: Array = bounds.top + thick * np.arange(len(counts) + 1, dtype=float)
    costs = _cut_costs(ground, edges, 1, lean)
    ends: Array = edges + size.high + size.white
    costs_of_last = _shown(ends, [near for near, _ in _above_and_below(bounds, avoid) if near >= bounds.bottom - size.white])
    return _cheapest(SHEET * counts, (least, slices), costs, costs_of_last, edges[:-1] >= bounds.bottom - size.high, edges)


def _above_and_below(bounds: Box, avoid: Sequence[Box]) -> list[tuple[float, float]]:
    """Return from where to where the boxes reach down that lie above the drawing or below it."""
    return [(box.top, box.bottom) for box in avoid if box.left < bounds.right and box.right > bounds.left]


def _cheapest(
    bands: Array, depths: tuple[int, int], costs: Array, costs_of_last: Array, may_be_last: Flags, edges: Array
) -> tuple[list[float], float]:
    """Return the cheapest cuts, among ``edges`` (n + 1,), and what those cuts cost beside the sheets.

    ``bands`` (n, m) says what the band from slice a on costs that is d + 1 slices deep, and ``depths`` between which
    depths bands lie that end at a cut; the first may be shallower, the last deeper.  A band that begins at slice a may
    be the last one where ``may_be_last`` (n,) says so.  ``costs`` (n + 1,) are those of a cut at each edge,
    ``costs_of_last`` further ones where it is the last cut.
    """
    n, (least, deepest) = len(bands), depths
    best, came = np.full(n, _NEVER), np.full(n, -1)
    beside = np.zeros(n)
    best[0] = 0.0
    deep = np.arange(deepest, least - 1, -1)
    for low in range(1, n, least):  # bands that end at a cut reach at least so far back, so that so many are found together
        ends = np.arange(low, min(low + least, n))
        # Each begins at the top, however shallow it is, or at a cut.
        depth = np.column_stack([ends, np.broadcast_to(deep, (len(ends), len(deep)))])
        starts = np.maximum(ends[:, None] - depth, 0)
        may_be = (depth <= np.minimum(ends, deepest)[:, None]) & ((starts > 0) | (depth == ends[:, None]))
        total = np.where(may_be, best[starts] + bands[starts, np.minimum(depth, deepest) - 1], _NEVER)
        one, k = np.arange(len(ends)), total.argmin(axis=1)
        found, start = total[one, k], starts[one, k]
        reached = np.isfinite(found)
        best[ends], came[ends] = np.where(reached, found + costs[ends], _NEVER), np.where(reached, start, -1)
        beside[ends] = np.where(reached, beside[start] + costs[ends], 0.0)
    whole = np.where(may_be_last, best + costs_of_last[:n] + bands[np.arange(n), np.minimum(bands.shape[1], n - np.arange(n)) - 1], _NEVER)
    whole[0] = _NEVER
    b = int(whole.argmin())
    cost = float(beside[b] + costs_of_last[b])
    cuts = []
    while b > 0:
        cuts.append(float(edges[b]))
        b = int(came[b])
    return cuts[::-1], cost


def _counts(ground: Ground, size: Size, bounds: Box, clear: float, thick: float, depths: tuple[int, int]) -> Array:
    """Return how many sheets a row takes (n, deepest) that shows the d + 1 slices from slice a on.

    ``depths`` are the least at which rows end at a cut, and the deepest.  Of shallower ones only the first and the last are
    looked at for blank sheets.
    """
    least, deepest = depths
    n = math.ceil(bounds.height / thick)
    cell = max(STEP * 4, bounds.width / PLACES_ACROSS)
    places = math.ceil(bounds.width / cell) + 1
    drawn = np.zeros((n, places), dtype=bool)
    low, high = np.full(n, _NEVER), np.full(n, -_NEVER)
    x, y = ground.points.T
    across = ((x - bounds.left) / cell).astype(int)
    for shift in (-STEP, STEP):  # a line runs on from a sample, into the next slice maybe
        k = np.clip(((y + shift - bounds.top) / thick).astype(int), 0, n - 1)
        drawn[k, across] = True
        np.minimum.at(low, k, x)
        np.maximum.at(high, k, x)
    extents = np.full((2, n, deepest), -_NEVER)
    extents[0, :, 0], extents[1, :, 0] = -low, high
    for d in range(1, deepest):
        extents[0, :-d, d] = np.maximum(extents[0, :-d, d - 1], -low[d:])
        extents[1, :-d, d] = np.maximum(extents[1, :-d, d - 1], high[d:])
    wide = extents[0] + extents[1] + 2 * clear
    gapless = np.maximum(1, np.ceil((wide - size.overlap) / (size.wide - size.overlap) - 1e-9))
    counts = np.where(np.isfinite(wide), gapless, 0.0)
    first, more = np.ogrid[:n, :deepest]
    asked = (more + 1 >= least) | (first == 0) | (first + more + 1 == n)
    top, deep = np.nonzero(asked & (counts > 2))  # fewer can't be saved by leaving one out between them
    summed = np.zeros((n + 1, places), dtype=np.int16)
    np.cumsum(drawn, axis=0, out=summed[1:])
    counts[top, deep] = np.minimum(counts[top, deep], _with_gaps(summed[top + deep + 1] > summed[top], size, cell, clear))
    return counts


def _with_gaps(seen: Flags, size: Size, cell: float, clear: float) -> Array:
    """Return how many sheets each row (k,) takes of which ``seen`` (k, places) is drawn on, blank ones left out."""
    wide, step = int((size.wide - 2 * clear) / cell) - 1, int((size.wide - size.overlap) / cell)
    gap = int(2 * size.white / cell) + 1
    count, places = seen.shape
    # The first place drawn on from each place on; past the last of them: none.
    ahead = np.full((count, places + 1), places, dtype=np.int16)
    ahead[:, :-1] = np.minimum.accumulate(np.where(seen, np.arange(places, dtype=np.int16), np.int16(places))[:, ::-1], axis=1)[:, ::-1]
    row, first, counts = np.arange(count), ahead[:, 0].astype(int), np.zeros(count)
    start = np.full(count, -10_000)
    while (has := first < places).any():
        start = np.where(first - (start + wide) > gap, first, start + step)
        counts += has
        first = ahead[row, np.minimum(start + wide, places)].astype(int)
    return counts


# --- across -------------------------------------------------------------------------------------------


def _row(
    ground: Ground, size: Size, band: tuple[float, float, float], groups: Sequence[tuple[float, float]], avoid: Sequence[Box], lean: int
) -> tuple[list[Box], float]:
    """Return the sheets of a row and what their joins cost.  ``band`` is its top, and from where to where it is needed."""
    top, low, high = band
    shown = [box[::2] for box in avoid if box.top < top + size.high + size.white and box.bottom > top - size.white]
    lines = np.flatnonzero((ground.line[:, 1] >= low) & (ground.line[:, 1] <= high))
    here = Ground(ground.line[lines], ground.weights[lines], [box for box in ground.boxes if box.bottom > low and box.top < high])
    boxes, cost = [], 0.0
    for group in groups:
        lefts, worse = _cuts_across(here, size, group, shown, lean)
        boxes += [Box(x, top, x + size.wide, top + size.high) for x in lefts]
        cost += worse
    return boxes, cost


def _groups(ground: Ground, size: Size, low: float, high: float, clear: float) -> list[tuple[float, float]]:
    """Return what is needed across of a row from ``low`` to ``high``, from where to where: nothing, all in one, or parts with
    blank sheets left out between.
    """
    xs = np.sort(ground.points[(ground.points[:, 1] >= low - STEP) & (ground.points[:, 1] <= high + STEP), 0])
    if not len(xs):
        return []
    whole = [(float(xs[0]) - clear, float(xs[-1]) + clear)]
    step = size.wide - size.overlap
    groups: list[tuple[float, float]] = []
    start, sheets = float(xs[0]) - clear, 0
    while True:
        sheets += 1
        reach = start + sheets * step + size.overlap - clear
        beyond = int(np.searchsorted(xs, reach, side="right"))
        if beyond == len(xs):
            groups.append((start, float(xs[-1]) + clear))
            break
        if xs[beyond] - clear > reach + clear + 2 * size.white:
            groups.append((start, float(xs[beyond - 1]) + clear))
            start, sheets = float(xs[beyond]) - clear, 0
    return groups if sum(_sheets(*group, size) for group in groups) < _sheets(*whole[0], size) else whole


def _sheets(low: float, high: float, size: Size) -> int:
    return max(1, math.ceil((high - low - size.overlap) / (size.wide - size.overlap) - 1e-9))


def _cuts_across(
    ground: Ground, size: Size, row: tuple[float, float], shown: Sequence[tuple[float, float]], lean: int
) -> tuple[list[float], float]:
    """Return where the sheets begin that hold a ``row`` from low to high, and what their joins cost."""
    low, high = row
    count = _sheets(low, high, size)
    step = size.wide - size.overlap
    if count == 1:
        return _starts([], low, high, size.wide, size, shown, lean), 0.0
    nears = [near for near, _ in shown if near >= high - size.white]
    farthest = min(nears, default=_NEVER) - size.white - size.wide  # where the last sheet may begin and show none of them
    found = None
    if high - size.wide <= farthest < high:
        found = _cuts_at(ground, size, row, count, nears, farthest, lean)
    cuts, cost = found or _cuts_at(ground, size, row, count, nears, low, lean) or ([low + k * step for k in range(1, count)], 0.0)
    return _starts(cuts, low, high, size.wide, size, shown, lean), cost


def _cuts_at(
    ground: Ground, size: Size, row: tuple[float, float], count: int, nears: Sequence[float], one: float, lean: int
) -> tuple[list[float], float] | None:
    """Return where a row is best cut into ``count`` sheets, among places evenly spaced of which ``one`` is given, and what
    that costs; None where it can't be at those.
    """
    (low, high), slices = row, SLICES // 2
    thick = (size.wide - size.overlap) / slices
    first = one - math.ceil((one - low) / thick - 1e-9) * thick
    edges: Array = first + thick * np.arange(math.ceil((high - first) / thick) + 1, dtype=float)
    ends: Array = edges + size.wide + size.white
    # The number of sheets is known: no more bands than that, so each costs a sheet.
    bands = np.full((len(edges) - 1, slices + math.ceil(size.overlap / thick)), SHEET)
    least = max(1, slices - int(_extra(size.wide, size) / thick))
    cuts, cost = _cheapest(bands, (least, slices), _cut_costs(ground, edges, 0, lean), _shown(ends, nears), edges[:-1] >= high - size.wide, edges)
    return (cuts, cost) if len(cuts) == count - 1 else None


# --- what joins cost -----------------------------------------------------------------------------------


def _cut_costs(ground: Ground, edges: Array, axis: int, lean: int) -> Array:
    """Return what a join at each of ``edges`` (n,) costs that runs level (``axis`` 1) or upright (0).

    The length of line within :data:`OFF_LINES` of it, so that lines across it count little and lines along it much;
    and what is lettered on it; and how far it lies from where it leans to.
    """
    order = np.argsort(ground.line[:, axis])
    at, summed = ground.line[order, axis], np.append(0.0, np.cumsum(ground.weights[order]))
    costs: Array = summed[np.searchsorted(at, edges + OFF_LINES)] - summed[np.searchsorted(at, edges - OFF_LINES)]
    for box in ground.boxes:
        costs = costs + LETTERED * box.height**2 * ((edges > box[axis] - 1.0) & (edges < box[axis + 2] + 1.0))
    leant: Array = costs - lean * LEANING * (edges - edges[0 if lean < 0 else -1])
    return leant


def _shown(ends: Array, sides: Sequence[float]) -> Array:
    """Return what it costs that sheets end at each of ``ends`` (n,), past the near ``sides`` of what isn't to be shown."""
    shown = np.count_nonzero(ends[:, None] > np.array(sides) + 1e-6, axis=1)
    costs: Array = SHOWN * shown.astype(float)
    return costs


def _extra(side: float, size: Size) -> float:
    """How much more than asked sheets may overlap along this side, so that enough of the one between two stays its own."""
    own = 2 * (side - size.overlap) - side - 2 * size.white - LEAST_MIDDLE
    return max(0.0, min(MOST_EXTRA, own / 2))


def _starts(
    cuts: Sequence[float], low: float, high: float, side: float, size: Size, shown: Sequence[tuple[float, float]], lean: int
) -> list[float]:
    """Return where each sheet begins: all but the first at the join before it, the first so that it lies even, or leans.

    It shows no more than need be of the boxes (near, far) that end before ``low``, nor, if it is the only one, of
    those that begin past ``high``.
    """
    earliest, latest = (cuts[0] - side + size.overlap if cuts else high - side), low
    # In the margin nothing of theirs may lie either, but from what is needed they are no farther than they are.
    after = max((far + size.white for _, far in shown if far <= low + size.white), default=earliest)
    before = min((near - size.white - side for near, _ in shown if near >= high - size.white), default=latest)
    even = (earliest + latest + lean * (latest - earliest)) / 2
    if not cuts:
        even = min(even, before)
    return [min(max(even, after, earliest), latest), *cuts]


