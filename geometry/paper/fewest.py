"""The fewest sheets over a drawing: rows of sheets, each row where it needs to be, joined where there is least to cut through.

The drawing is cut into thin slices from top to bottom.  For every stretch of slices that one row of sheets
could show, the sheets which that row takes are counted, upright or lying; the cheapest way down through all stretches is found
by dynamic programming (Bellman 1954, Bulletin of the American Mathematical Society 60(6)).  Within a row the
places of the joins are found in the same way.  At last all joins are moved by less than a slice, off lines along them.
Millimetres of the drawing, y down.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Callable, NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags
from geometry.paper.ground import STEP, Ground
from geometry.paper.join_costs import JoinCosts
from geometry.paper.papers import LEAST_MIDDLE

#: What is drawn keeps this far from where the printing ends, stroke and all; or so much where that saves a sheet.
CLEAR, LEAST_CLEAR = 1.5, 0.3

#: At last joins are tried in steps so fine, and no farther from where they were found.
FINE, FINE_REACH = 0.5, 12.0
#: So many of the best such places are looked at.
MOST_TRIED = 8

#: So many slices to a sheet, and so many places across.  The work grows with both.
SLICES, PLACES_ACROSS = 72, 160
MOST_SLICES = 280

#: Sheets of a row may overlap by so much more than asked, that a join may keep off what is drawn.
MOST_EXTRA = 60.0

#: A sheet costs more than any join, and that sheets show what isn't to be printed more than anything lettered.
SHEET, SHOWN = 1e6, 1e5

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

    def score(self) -> tuple[float, ...]:
        """What is less is better: sheets, paper, what the joins cost."""
        return self.sheets, round(sum(box.width * box.height for row in self.rows for box in row), 3), self.cost


class Search(NamedTuple):
    """What is looked at for the fewest sheets over a ground, however they are to lean: its ``points`` (k, 2) from the top down,
    slices, the ways in which sheets may lie, and what level joins cost.
    """

    ground: Ground
    points: Array
    slices: _Slices
    ways: list[_Way]
    costs: JoinCosts

    @classmethod
    def of(cls, ground: Ground, sizes: Sequence[Size], clear: float = CLEAR) -> Search:
        """``sizes`` are the ways in which sheets may lie, all of one overlap and margin; all of the ground is to lie ``clear`` of
        the ends of the printing.
        """
        points = ground.points[np.argsort(ground.points[:, 1])]
        slices = _Slices.over(points, sizes, clear)
        return cls(ground, points, slices, [_Way.of(size, slices) for size in sizes], JoinCosts.of(ground, 1))

    def fewest(self, avoid: Sequence[Box], lean: Lean = EVEN, most: float = _NEVER) -> Rows | None:
        """Return the fewest sheets that hold all of the ground.

        All lie alike, unless it saves a sheet that those of one row lie otherwise than those of another.  Among as few sheets the
        least paper is chosen, then what is joined off lines and lettering, leans as told, and shows least of the boxes to
        ``avoid``.  None where it takes more than ``most``.
        """
        ways, costs, clear = self.ways, self.costs.leaning(lean.down), self.slices.clear
        alike = len({tuple(sorted(way.size[:2])) for way in ways}) < len(ways)  # one paper, upright and lying
        plans = [_rows(some, self.slices, avoid, costs) for some in [*([way] for way in ways), *([ways] if alike else [])]]
        counts = [sum(_sheets_in(groups, size) for groups, size in zip(_needed(self.points, plan, clear), plan.sizes)) for plan in plans]
        least = min(counts)
        if least > most:
            return None
        as_few = [plan for plan, count in zip(plans, counts) if count == least]
        as_few = [plan for plan in as_few if len(set(plan.sizes)) == 1] or as_few
        return min((_laid(self, plan, avoid, costs, lean) for plan in as_few), key=Rows.score)


class _Plan(NamedTuple):
    """Where one row is joined to the next, how large the sheets of each row are, and what those joins cost."""

    cuts: list[float]
    sizes: list[Size]
    cost: float

    def bands(self) -> Iterator[tuple[Size, float, float]]:
        """Yield of each row the size of its sheets, and from where to where it is needed."""
        return zip(self.sizes, [-_NEVER, *self.cuts], [*self.cuts, _NEVER])


def _needed(points: Array, plan: _Plan, clear: float) -> list[list[tuple[float, float]]]:
    """Return what is needed across of each row, see :func:`_groups`."""
    return [_groups(points, size, low, high, clear) for size, low, high in plan.bands()]


def _laid(search: Search, plan: _Plan, avoid: Sequence[Box], costs: JoinCosts, lean: Lean) -> Rows:
    """Return the sheets of all rows, these joined a little elsewhere if that costs less."""
    ground, points, slices = search[:3]
    bounds, needed, sizes = slices.bounds, _needed(points, plan, slices.clear), plan.sizes
    sheets = [_sheets_in(groups, size) for groups, size in zip(needed, sizes)]

    def no_more(moved: list[float]) -> bool:
        bands = plan._replace(cuts=moved).bands()
        return all(_sheets_in(_groups(points, size, low, high, slices.clear), size) <= count for count, (size, low, high) in zip(sheets, bands))

    cuts = _finer(plan.cuts, [size.high for size in sizes], (bounds.top, bounds.bottom), sizes[0].overlap, slices.extra, costs, no_more)
    cost = plan.cost + float(costs.at(np.array(cuts)).sum() - costs.at(np.array(plan.cuts)).sum())
    moved = plan._replace(cuts=cuts)
    tops = _starts(cuts, bounds.top, bounds.bottom, sizes[0].high, sizes[0], _above_and_below(bounds, avoid), lean.down)
    rows = []
    for groups, top, (size, low, high) in zip(_needed(points, moved, slices.clear), tops, moved.bands()):
        if groups:  # between far parts of a drawing a row may be blank
            found, worse = _row(ground, size, (top, low, high), groups, avoid, lean.across)
            rows.append(found)
            cost += worse
    return Rows(rows, cost)


def _sheets_in(groups: Sequence[tuple[float, float]], size: Size) -> int:
    return sum(_sheets(*group, size) for group in groups)


# --- down ---------------------------------------------------------------------------------------------


class _Slices(NamedTuple):
    """Thin slices of a drawing, from the top of its ``bounds`` on, each ``thick``, and places across them, each ``cell`` wide.

    ``clear`` is how far from the ends of the printing all is; rows may overlap by ``extra`` more than asked.  ``drawn``
    (n + 1, places) says how often it is drawn at each place in all slices before; ``wide`` (n, deepest) how wide a row must show
    that is needed for the d + 1 slices from slice a on, minus infinite where nothing is drawn.
    """

    bounds: Box
    thick: float
    cell: float
    clear: float
    extra: float
    drawn: Array
    wide: Array

    @classmethod
    def over(cls, points: Array, sizes: Sequence[Size], clear: float) -> _Slices:
        """Return slices over ``points`` (k, 2) from the top down; those that a row takes fill its sheets as nearly as can be,
        these upright or lying.
        """
        bounds = Box.around(points).grown(clear)
        longest = max(size.high - size.overlap for size in sizes)
        most = max(4, min(SLICES, int(MOST_SLICES * longest / bounds.height)))
        tried: Array = longest / np.arange(most, 2 * most // 3, -1)
        wasted = sum(np.mod(size.high - size.overlap + 1e-9, tried) for size in sizes)
        thick = float(tried[np.argmin(wasted)])
        cell = max(STEP * 4, bounds.width / PLACES_ACROSS)
        n, places = math.ceil(bounds.height / thick), math.ceil(bounds.width / cell) + 1
        drawn = np.zeros((n + 1, places), dtype=np.int16)
        left, right = np.full(n, _NEVER), np.full(n, -_NEVER)
        x, y = points.T
        ended, across = np.append(x, 0.0), ((x - bounds.left) / cell).astype(int)
        for shift in (-STEP, STEP):  # a line runs on from a sample, into the next slice maybe
            k = np.clip(((y + shift - bounds.top) / thick).astype(int), 0, n - 1)
            drawn[k + 1, across] = 1
            starts = np.searchsorted(k, np.arange(n + 1))
            some = starts[1:] > starts[:-1]
            left[some] = np.minimum(left, np.minimum.reduceat(ended, starts[:-1]))[some]
            right[some] = np.maximum(right, np.maximum.reduceat(ended, starts[:-1]))[some]
        deepest = max(math.ceil(size.high / thick) for size in sizes)
        reach = np.full((2, n, deepest), -_NEVER)
        reach[0, :, 0], reach[1, :, 0] = -left, right
        for d in range(1, deepest):
            np.maximum(reach[:, :-d, d - 1], reach[:, d:, 0], out=reach[:, :-d, d])
        extra = min(_extra(size.high, size) for size in sizes)
        return cls(bounds, thick, cell, clear, extra, drawn.cumsum(axis=0, dtype=np.int16), reach.sum(axis=0) + 2 * clear)

    @property
    def edges(self) -> Array:
        """Where they begin, and where the last one ends (n + 1,)."""
        edges: Array = self.bounds.top + self.thick * np.arange(len(self.drawn), dtype=float)
        return edges


class _Way(NamedTuple):
    """One way in which the sheets of a row may lie: their size; the least slices and the most that such a row is needed for
    which ends at a join, unless it is the first; and how many sheets a row takes, see :func:`_counts`.
    """

    size: Size
    least: int
    deepest: int
    counts: Array

    @classmethod
    def of(cls, size: Size, slices: _Slices) -> _Way:
        deepest = int((size.high - size.overlap) / slices.thick + 1e-9)
        least = max(1, deepest - int(slices.extra / slices.thick))
        # The last row alone shows its overlap too.
        return cls(size, least, deepest, _counts(slices, size, (least, int(size.high / slices.thick + 1e-9))))

    def bands(self, deepest: int) -> Array:
        """Return how many sheets it takes (n, deepest) from slice a on, d + 1 slices deep, infinite where there is no such row."""
        bands = np.full((len(self.counts), deepest), _NEVER)
        bands[:, : self.deepest] = self.counts[:, : self.deepest]
        bands[1:, : self.least - 1] = _NEVER
        return bands

    def last(self, edges: Array, bottom: float) -> Array:
        """Return how many sheets the last row takes (n,) from each slice on, infinite where it does not reach the end."""
        n = len(self.counts)
        counts = self.counts[np.arange(n), np.minimum(self.counts.shape[1], n - np.arange(n)) - 1]
        last: Array = np.where(edges[:-1] >= bottom - self.size.high, counts, _NEVER)
        return last


def _rows(ways: Sequence[_Way], slices: _Slices, avoid: Sequence[Box], costs: JoinCosts) -> _Plan:
    """Return the cheapest rows, the sheets of each lying in one of the ``ways``."""
    bounds, edges = slices.bounds, slices.edges
    deepest = max(way.deepest for way in ways)
    bands = np.array([way.bands(deepest) for way in ways])
    nears = [near for near, _ in _above_and_below(bounds, avoid) if near >= bounds.bottom - ways[0].size.white]
    shown = np.array([_shown(edges[:-1] + way.size.high + way.size.white, nears) for way in ways])
    lasts = SHEET * np.array([way.last(edges, bounds.bottom) for way in ways]) + shown
    shown[:, 0] = 0.0  # an only row is moved away from them
    here = costs.at(edges)
    cuts = _cheapest(SHEET * bands.min(axis=0), (min(way.least for way in ways), deepest), here, lasts.min(axis=0))
    last = cuts[-1] if cuts else 0
    lie = [int(bands[:, start, end - start - 1].argmin()) for start, end in zip([0, *cuts], cuts)] + [int(lasts[:, last].argmin())]
    cost = float(here[cuts].sum() + shown[lie[-1], last]) if cuts else 0.0
    return _Plan([float(edges[cut]) for cut in cuts], [ways[k].size for k in lie], cost)


def _above_and_below(bounds: Box, avoid: Sequence[Box]) -> list[tuple[float, float]]:
    """Return from where to where the boxes reach down that lie above the drawing or below it."""
    return [(box.top, box.bottom) for box in avoid if box.left < bounds.right and box.right > bounds.left]


def _cheapest(bands: Array, depths: tuple[int, int], costs: Array, last: Array) -> list[int]:
    """Return the cheapest cuts, as numbers of edges; none where all in one is cheapest.

    ``bands`` (n, m) says what the band from slice a on costs that is d + 1 slices deep, and ``depths`` between which
    depths bands lie that end at a cut; the first may be shallower.  ``last`` (n,) says what the last band costs that begins at
    slice a, infinite where it can't be the last.  ``costs`` (n + 1,) are those of a cut at each edge.
    """
    n, (least, deepest) = len(bands), depths
    best, came = np.full(n, _NEVER), np.full(n, -1)
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
        best[ends], came[ends] = total[one, k] + costs[ends], starts[one, k]
    cuts = [int((best + last).argmin())]
    while cuts[-1] > 0:
        cuts.append(int(came[cuts[-1]]))
    return cuts[-2::-1]


def _counts(slices: _Slices, size: Size, depths: tuple[int, int]) -> Array:
    """Return how many sheets a row takes (n, deepest) that shows the d + 1 slices from slice a on.

    ``depths`` are the least at which rows end at a cut, and the deepest.  Of shallower ones only the first and the last are
    looked at for blank sheets.
    """
    least, deepest = depths
    wide = slices.wide[:, :deepest]
    gapless = np.maximum(1, np.ceil((wide - size.overlap) / (size.wide - size.overlap) - 1e-9))
    counts = np.where(np.isfinite(wide), gapless, 0.0)
    n = len(wide)
    first, more = np.ogrid[:n, :deepest]
    asked = (more + 1 >= least) | (first == 0) | (first + more + 1 == n)
    top, deep = np.nonzero(asked & (counts > 2))  # fewer can't be saved by leaving one out between them
    seen = slices.drawn[top + deep + 1] > slices.drawn[top]
    counts[top, deep] = np.minimum(counts[top, deep], _with_gaps(seen, size, slices.cell, slices.clear))
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
    boxes_here = ([box for box in boxes if box.bottom > low and box.top < high] for boxes in (ground.boxes, ground.movable))
    here = Ground(ground.line[lines], ground.weights[lines], *boxes_here)
    boxes, cost = [], 0.0
    for group in groups:
        lefts, worse = _cuts_across(here, size, group, shown, lean)
        boxes += [Box(x, top, x + size.wide, top + size.high) for x in lefts]
        cost += worse
    return boxes, cost


def _groups(points: Array, size: Size, low: float, high: float, clear: float) -> list[tuple[float, float]]:
    """Return what is needed across of a row from ``low`` to ``high``, from where to where: nothing, all in one, or parts with
    blank sheets left out between.  ``points`` (k, 2) are those of the ground from the top down.
    """
    first, last = np.searchsorted(points[:, 1], (low - STEP, high + STEP)).tolist()
    xs = np.sort(points[first:last, 0])
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
    # The number of sheets is known: no more bands than that, so each costs a sheet.
    bands = np.full((len(edges) - 1, slices), SHEET)
    least = max(1, slices - int(_extra(size.wide, size) / thick))
    shown, costs = _shown(edges[:-1] + size.wide + size.white, nears), JoinCosts.of(ground, 0).leaning(lean)
    here = costs.at(edges)
    found = _cheapest(bands, (least, slices), here, np.where(edges[:-1] >= high - size.wide, SHEET + shown, _NEVER))
    if len(found) != count - 1:
        return None
    cuts, last = edges[found].tolist(), found[-1]

    def show_no_more(moved: list[float]) -> bool:
        return bool(_shown(np.array([moved[-1] + size.wide + size.white]), nears)[0] <= shown[last])

    moved = _finer(cuts, [size.wide] * count, row, size.overlap, _extra(size.wide, size), costs, show_no_more)
    return moved, float(costs.at(np.array(moved)).sum() + shown[last])


def _finer(
    cuts: list[float], sides: Sequence[float], span: tuple[float, float], overlap: float, extra: float, costs: JoinCosts,
    may_be: Callable[[list[float]], bool],
) -> list[float]:  # fmt: skip
    """Return the ``cuts`` between sheets or rows of these ``sides`` moved a little to where they cost less: all together, then each
    with all after it, then each alone; never so that the sheets don't reach over the ``span``, nor where it ``may_be`` not.
    """
    best, (low, high), steps = np.array(cuts), span, np.subtract(sides, overlap)
    moves = np.arange(-FINE_REACH, FINE_REACH + FINE / 2, FINE)
    moves = moves[np.argsort(abs(moves), kind="stable")]
    n = len(cuts)
    for which in [*(np.arange(n) >= k for k in range(n)), *np.eye(n, dtype=bool)[:-1]]:
        tried = best + moves[:, None] * which
        apart = np.diff(tried, axis=1) - steps[1:-1]
        holds = (tried[:, 0] > low) & (tried[:, 0] <= low + steps[0]) & (tried[:, -1] >= high - sides[-1]) & (tried[:, -1] < high)
        holds &= ((apart <= 1e-9) & (apart >= -extra)).all(axis=1)
        total = costs.at(tried[:, which]).sum(axis=1)
        better = np.flatnonzero(holds & (total < total[0] - 1e-9))
        for k in better[np.argsort(total[better], kind="stable")][:MOST_TRIED].tolist():
            if may_be(tried[k].tolist()):
                best = tried[k]
                break
    return [float(cut) for cut in best]


# --- what sheets show, and where they begin -----------------------------------------------------------


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


