"""A drawing at true size on sheets of paper: which sheets it takes, where they lie on it, how they join.

Millimetres of the drawing, y down.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array, Flags, Indices
from geometry.curves.curve import Curve
from geometry.measuring.lengths import MILLIMETRES_PER
from geometry.refusal import Refused

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

_IN = MILLIMETRES_PER["in"]


class Paper(NamedTuple):
    """A size of paper, upright: ``width`` and ``height`` in millimetres, infinite where it is cut to what is on it."""

    name: str
    width: float
    height: float


#: A4 to A0: ISO 216:2007, trimmed sizes.  Letter and tabloid: ANSI/ASME Y14.1, sizes A and B.
#: Legal: common practice, no source.  "both" is the width of A4 and the height of letter, so that it
#: prints on either.
PAPERS = {
    "both": Paper("A4 or Letter", 210, 11 * _IN),
    "A4": Paper("A4", 210, 297),
    "A3": Paper("A3", 297, 420),
    "A2": Paper("A2", 420, 594),
    "A1": Paper("A1", 594, 841),
    "A0": Paper("A0", 841, 1189),
    "letter": Paper("Letter", 8.5 * _IN, 11 * _IN),
    "legal": Paper("Legal", 8.5 * _IN, 14 * _IN),
    "tabloid": Paper("Tabloid", 11 * _IN, 17 * _IN),
    "one_page": Paper("paper cut to the drawing", math.inf, math.inf),
}

ORIENTATIONS = ("better", "portrait", "landscape")

#: No page of a PDF is longer: 14 400 units of 1/72 in (ISO 32000-1:2008, annex C.2), less a little.
LONGEST_PAGE = 5000.0

#: PDF measures in points of 1/72 in (ISO 32000-1:2008, 8.3.2.3).
POINT = _IN / 72

#: A page is so little less than a whole number of points: Inkscape 1.4 rounds it up to whole points and
#: stretches what is on it by as much.  Whole to the last digit would not do, since the editor keeps
#: lengths in single precision, which is good to 0.001 points on the longest page, and rounds 2383.0001 up.
LESS = 0.002 * POINT

#: Inkscape 1.2 cuts a page's content off at the whole point below, right and at the bottom; so wide a margin it always has.
CUT_OFF = 0.4

#: More sheets than this are surely a mistake (a lay of several metres on small paper).
MOST_SHEETS = 200
#: Nor is a drawing looked at over which so many would have to be spread, blank ones counted.
MOST_PLACES = 10_000

#: The middle of a sheet, clear of the neighbours' overlaps and margins, is at least this wide and high,
#: so that there is room for its own lettering.
LEAST_MIDDLE = 25.0

#: What is drawn is held by rectangles of this size, millimetres, to see which sheets it needs.
CELL = 4.0
#: Lines keep this far from the frame of a sheet, stroke and all, unless they run across it.
CLEAR_OF_FRAME = 1.5

#: So many places of the sheets are tried along one sheet, each way.
PLACES = 12

#: Join marks are squares on their tip, this far from the middle to a tip, at these shares of the join
#: or so much farther along.
JOIN_MARK = 4.0
JOIN_SHARES = (0.25, 0.75)
JOIN_SHIFT = tuple(sign * step / 50 for step in range(13) for sign in (1, -1))


class Printing(NamedTuple):
    """How she prints: ``margin`` is what the printer leaves white at every side, ``overlap`` what is glued."""

    paper: Paper
    orientation: str
    margin: float
    overlap: float

    @property
    def white(self) -> float:
        """The margin as it is: no less than what the editor cuts off."""
        return max(self.margin, CUT_OFF)

    def fitted(self, length: np.ndarray) -> np.ndarray:
        """Return the least printable widths or heights, of pages that print true, which hold these."""
        return whole_points(np.add(length, 2 * self.white), up=True) - 2 * self.white

    def printable(self) -> list[tuple[float, float]]:
        """Return the width and height that take print, for each orientation that is allowed.

        Raises :class:`Refused` where the margins and overlaps leave no middle.
        """
        sides = [float(side) - 2 * self.white for side in whole_points(self.paper[1:])]
        if min(sides) - 2 * (self.overlap + self.white) < LEAST_MIDDLE:
            raise Refused("paper too small")
        wide, high = sides
        upright, lying = (wide, high), (high, wide)
        if wide == high or self.orientation == "portrait":
            return [upright]
        return [lying] if self.orientation == "landscape" else [upright, lying]


def whole_points(length: ArrayLike, up: bool = False) -> Array:
    """Return the sides of pages that print true: the longest no longer than ``length``, or the shortest no shorter.

    Millimetres, any shape; infinite ones stay, and a point is the least.  A side that prints true already
    is returned as it is.
    """
    points = np.add(length, LESS) / POINT
    whole: Array = np.maximum(1.0, np.ceil(points - 1e-6) if up else np.floor(points + 1e-6))
    return whole * POINT - LESS


class Tile(NamedTuple):
    """One sheet: its code ("A1": row A, column 1) and its printable part of the drawing."""

    row: int
    column: int
    code: str
    box: Box


class Join(NamedTuple):
    """Two neighbouring sheets: ``after`` is trimmed at its frame and glued upon the overlap of ``before``."""

    before: Tile
    after: Tile
    beside: bool  # side by side, else one above the other


class Tiling(NamedTuple):
    """The sheets of one drawing in reading order."""

    tiles: list[Tile]
    printing: Printing

    def page(self, tile: Tile) -> Box:
        """Return the whole sheet of a tile, margins and all."""
        return tile.box.grown(self.printing.white)

    def middle(self, tile: Tile) -> Box:
        """Return the part of a tile that no other sheet shows, not even in its margin."""
        left, top, right, bottom = tile.box.grown(-1.0)  # off its own frame
        for other in self.tiles:
            page = self.page(other)
            if other is tile or not _seen([tile.box], [page], 0.0):
                continue
            if other.column != tile.column:
                left, right = (max(left, page[2]), right) if other.column < tile.column else (left, min(right, page[0]))
            if other.row != tile.row:
                top, bottom = (max(top, page[3]), bottom) if other.row < tile.row else (top, min(bottom, page[1]))
        return Box(left, top, right, bottom)

    def joins(self) -> Iterator[Join]:
        """Yield each pair of sheets to be glued."""
        at = {(tile.row, tile.column): tile for tile in self.tiles}
        for tile in self.tiles:
            for row, column, beside in ((tile.row, tile.column + 1, True), (tile.row + 1, tile.column, False)):
                if (row, column) in at:
                    yield Join(tile, at[row, column], beside)


# --- what is drawn --------------------------------------------------------------------------------


def holding_points(lines: Iterable[np.ndarray], boxes: Iterable[Box]) -> np.ndarray:
    """Return points (k, 2) such that sheets that hold them all hold every line and box.

    ``lines`` are polylines (n, 2).  The points are the corners of the cells of a grid in which anything
    is drawn, drawn in to where the drawing ends.  A cell is smaller than a sheet, so a sheet that shows
    any of it shows a corner.  Returns (0, 2) where nothing is drawn.
    """
    step = CELL / 4
    reach = step / 2 + CLEAR_OF_FRAME  # a line between two samples stays within half a step of one of them
    corners, extents = [np.empty((0, 2))], []
    for line in lines:
        samples = _resampled(np.asarray(line, dtype=float), step)
        corners += [samples + (x, y) for x in (-reach, reach) for y in (-reach, reach)]
        extents.append(Box.around(samples).grown(CLEAR_OF_FRAME))
    for box in boxes:
        xs, ys = (np.append(np.arange(low, high, CELL), high) for low, high in (box[::2], box[1::2]))
        corners.append(np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2))
        extents.append(box)
    if not extents:
        return np.empty((0, 2))
    cells = _distinct(np.floor(np.concatenate(corners) / CELL).astype(int))
    points = _distinct(np.concatenate([cells + (x, y) for x in (0, 1) for y in (0, 1)])) * CELL
    bounds = Box.united(extents)
    return np.clip(points, bounds[:2], bounds[2:])


def _distinct(pairs: np.ndarray) -> np.ndarray:
    """The distinct rows of whole numbers (k, 2).  Not by np.unique, which is slow along an axis."""
    low = pairs.min(axis=0)
    high = int(pairs[:, 1].max()) - int(low[1]) + 1
    keys = np.sort((pairs[:, 0] - low[0]) * high + pairs[:, 1] - low[1])
    distinct: Indices = np.stack(np.divmod(keys[np.diff(keys, prepend=-1) > 0], high), axis=1) + low
    return distinct


def _resampled(line: np.ndarray, step: float) -> np.ndarray:
    """Points along a polyline, its own and more, none farther than ``step`` from the next."""
    counts = np.maximum(1, np.ceil(np.hypot(*np.diff(line, axis=0).T) / step)).astype(int)
    index = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[index]
    return np.vstack([line[index] + share[:, None] * (line[index + 1] - line[index]), line[-1:]])


# --- the sheets -----------------------------------------------------------------------------------


def lay_out(points: np.ndarray, printing: Printing, avoid: Sequence[Box] = (), first_row: int = 0) -> Tiling:
    """Return the fewest sheets that hold all ``points`` (k, 2), from :func:`holding_points`.

    Places of the grid of sheets all along one sheet and each orientation are tried.  Among as few sheets
    the least paper is chosen, then the fewest rows and columns, then what shows least of the boxes to
    ``avoid``, then what lies most even about the drawing.  Sheets on which nothing is drawn are left out.
    Rows are lettered from ``first_row`` on (0 is A).

    Raises :class:`Refused` where nothing is drawn and where :data:`MOST_SHEETS` do not suffice.
    """
    if not len(points):
        raise Refused("nothing to print")
    best = None
    low, high = points.min(axis=0), points.max(axis=0)
    for printable in printing.printable():
        size, step = _sizes(printing, printable, high - low)
        if np.prod(np.ceil((high - low) / step)) > MOST_PLACES:
            continue  # hopeless, and slow to try
        axes = [
            [_Axis(points[:, k], size[k], step[k], place) for place in _places(low[k], high[k], size[k], step[k])] for k in (0, 1)
        ]
        for x in axes[0]:
            for y in axes[1]:
                cells = _needed(x, y)
                score: tuple[float, ...] = (len(cells), float(len(cells) * np.prod(size)))
                if best is None or score <= best[0][:2]:
                    boxes = [_box(x.side(i), y.side(j)) for i, j in cells]
                    whole = np.array(Box.united(boxes))
                    uneven = abs(whole[:2] + whole[2:] - low - high).sum()
                    seen = _seen(boxes, avoid, 0.0) + _seen(boxes, avoid, printing.white)  # in the margin is not so bad
                    score += (np.prod(np.ptp(cells, axis=0) + 1), seen, uneven)
                    if best is None or score < best[0]:
                        best = (score, cells, boxes)
    if best is None or best[0][0] > MOST_SHEETS:
        raise Refused("too many sheets", most=MOST_SHEETS)
    _, cells, boxes = best
    tiles = []
    for (column, row), box in zip((cells - cells.min(axis=0)).tolist(), boxes):
        tiles.append(Tile(first_row + row, column, code(first_row + row, column), box))
    return Tiling(sorted(tiles), printing)


def lay_out_parts(parts: Sequence[np.ndarray], printing: Printing, avoid: Sequence[Box] = ()) -> list[Tiling]:
    """Return sheets for several sets of points (k, 2): a tiling for each, or a single one for all together.

    One for all where that takes no more sheets, and where the sheets of one part would show another's
    frames.  Raises :class:`Refused`, see :func:`lay_out`.
    """
    together = lay_out(np.concatenate(parts), printing, avoid)
    if len(parts) == 1:
        return [together]
    rooms = [Box.around(points) for points in parts]
    tilings, row = [], 0
    for i, points in enumerate(parts):
        tilings.append(lay_out(points, printing, [*avoid, *rooms[:i], *rooms[i + 1 :]], row))
        row = tilings[-1].tiles[-1].row + 1
    fewer = sum(len(tiling.tiles) for tiling in tilings) < len(together.tiles)
    return tilings if fewer and not _clash(tilings) else [together]


def _clash(tilings: Sequence[Tiling]) -> bool:
    """Whether a sheet of one tiling shows the frame of another's."""
    boxes = [[tile.box for tile in tiling.tiles] for tiling in tilings]
    margin = tilings[0].printing.white
    return any(_seen(boxes[i], boxes[j], margin) for i in range(len(boxes)) for j in range(i))


def one_page_with(
    points: np.ndarray, block: tuple[float, float], gap: float, printing: Printing, avoid: Sequence[Box] = ()
) -> tuple[Tiling, Box] | None:
    """Return a single sheet that holds all ``points`` and, ``gap`` from them, a block; and the block's place.

    ``block`` is its width and height.  None where there is no such sheet.  The block touches none of the boxes to ``avoid``.
    """
    best = None
    left, top, right, bottom = drawing = Box.around(points)
    wide, high = block
    places = ((left, bottom + gap), (left - gap - wide, top), (left, top - gap - high), (right + gap, top))
    for printable in printing.printable():
        limit = np.minimum(printable, _longest(printing))
        for x, y in places:
            place = Box(x, y, x + wide, y + high)
            both = Box.united([drawing, place])
            size = np.subtract(both[2:], both[:2])
            if (size > limit + 1e-9).any() or _seen([place], avoid, 0.0):
                continue
            spare = (np.where(np.isinf(printable), printing.fitted(size), limit) - size) / 2
            box = Box(*np.subtract(both[:2], spare).tolist(), *np.add(both[2:], spare).tolist())
            score = (_seen([box], avoid, printing.white), np.prod(size))
            if best is None or score < best[0]:
                best = (score, box, place)
    if best is None:
        return None
    return Tiling([Tile(0, 0, code(0, 0), Box(*map(float, best[1])))], printing), best[2]


def code(row: int, column: int) -> str:
    """Return what a sheet is called: A1, A2, … Z1, AA1; rows and columns count from 0."""
    letters = ""
    row += 1
    while row:
        row, letter = divmod(row - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{column + 1}"


def _sizes(printing: Printing, printable: tuple[float, float], drawing: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """How much of the drawing one sheet shows, and how far it is from one sheet to the next; each (2,)."""
    size = np.minimum(printable, _longest(printing))
    drawing = printing.fitted(np.maximum(drawing, 2 * LEAST_MIDDLE))
    cut_to_it = np.isinf(printable) & (drawing <= size)
    return np.where(cut_to_it, drawing, size), np.where(cut_to_it, drawing, size - printing.overlap)


def _longest(printing: Printing) -> float:
    """What the longest page shows."""
    return float(whole_points(LONGEST_PAGE)) - 2 * printing.white


class _Axis:
    """The columns (or rows) of sheets that begin at ``start``, and in which of them each point lies."""

    def __init__(self, values: np.ndarray, size: float, step: float, start: float) -> None:
        self.size, self.step, self.start = size, step, start
        # One column is put before the first, so that there is always one before.
        self.index = np.floor((values - start) / step).astype(int) + 1
        into = values - start - (self.index - 1) * step
        #: Whether the column before shows the point too, in its overlap.
        self.shared = into <= size - step + 1e-9
        self.count = int(self.index.max()) + 1

    def side(self, index: int) -> tuple[float, float]:
        low = self.start + (int(index) - 1) * self.step
        return float(low), float(low + self.size)


def _box(across: tuple[float, float], down: tuple[float, float]) -> Box:
    return Box(across[0], down[0], across[1], down[1])


def _places(low: float, high: float, size: float, step: float) -> np.ndarray:
    """Where the first sheet may begin: so that the drawing lies even, else anywhere along one sheet."""
    spare = math.ceil(max(0.0, (high - low - size) / step) - 1e-9) * step + size - (high - low)
    even = low - max(spare, 0.0) * np.array([0.5, 0.0, 0.25, 0.75, 1.0])
    return even if high - low <= size else np.concatenate([even, low - step * np.arange(PLACES) / PLACES])


def _needed(x: _Axis, y: _Axis) -> np.ndarray:
    """The sheets (n, 2: column, row) that must be printed for every point to be on one."""
    cell = x.index * y.count + y.index
    needed = np.zeros(x.count * y.count, dtype=bool)
    needed[cell[~(x.shared | y.shared)]] = True
    # A point in an overlap is on up to four sheets.
    both = x.shared & y.shared
    on = ((np.ones(len(cell), dtype=bool), 0), (x.shared, y.count), (y.shared, 1), (both, y.count + 1))
    held = needed[cell]
    for shared, back in on[1:]:
        held |= shared & needed[cell - back]
    while not held.all():
        lacking = ~held
        choices = np.concatenate([(cell - back)[lacking & shared] for shared, back in on])
        chosen = np.bincount(choices).argmax()
        needed[chosen] = True
        for shared, back in on:
            held |= shared & (cell - back == chosen)
    return np.stack(np.divmod(np.flatnonzero(needed), y.count), axis=1)


def _seen(boxes: Sequence[Box], avoid: Sequence[Box], margin: float) -> int:
    """How many of the boxes to avoid show on sheets with these printable parts."""
    if not len(avoid):
        return 0
    a, b = np.array(avoid)[:, None], np.array(boxes)[None]
    meet: Flags = np.all(a[..., :2] < b[..., 2:] + margin, axis=2) & np.all(a[..., 2:] > b[..., :2] - margin, axis=2)
    return int(meet.any(axis=1).sum())


def join_marks(join: Join, avoid: Sequence[Box] = ()) -> list[Curve]:
    """Return squares on their tip, centred on the line along which ``join.after`` is trimmed.

    They stand off the boxes to ``avoid`` (lettering) where there is room within :data:`JOIN_SHIFT`.
    """
    left, top, right, bottom = join.after.box
    marks = []
    for share in JOIN_SHARES:
        along = np.array([share + shift for shift in JOIN_SHIFT])[:, None]
        places = (left, top) + along * ((0, bottom - top) if join.beside else (right - left, 0))
        x, y = next((place for place in places if not _seen([Box(*place, *place)], avoid, JOIN_MARK)), places[0])
        corners = np.array([(0, -1), (1, 0), (0, 1), (-1, 0), (0, -1)])
        marks.append(Curve.polyline(JOIN_MARK * corners + (x, y)))
    return marks


def frame(box: Box) -> Curve:
    """Return the outline of a rectangle."""
    left, top, right, bottom = box
    return Curve.polyline([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
