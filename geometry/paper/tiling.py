"""A drawing at true size on sheets of paper: which sheets it takes, where they lie on it, how they join.

Millimetres of the drawing, y down.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from geometry.box import Box
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.measuring.lengths import MILLIMETRES_PER
from geometry.paper.fewest import CLEAR, LEAST_CLEAR, Lean, Rows, Search, Size
from geometry.paper.ground import Ground, together
from geometry.paper.papers import LEAST_MIDDLE, Printing
from geometry.refusal import Refused

#: More sheets than this are surely a mistake (a lay of several metres on small paper).
MOST_SHEETS = 200
#: Nor is a drawing looked at over which so many would have to be spread, blank ones counted.
MOST_PLACES = 2_000

#: Sheets of two rows that have less in common than this are not joined to each other.
LEAST_JOIN = 15.0

#: How sheets may lie so that there is room on one of them, the most even first.
LEANS = (Lean(1, 0), Lean(-1, 0), Lean(0, 1), Lean(1, 1), Lean(-1, 1))

#: A margin that most printers can do, round on either tape (common practice, no source): it may save a sheet.
SMALL_MARGINS = {"in": 3 / 16 * MILLIMETRES_PER["in"], "cm": 5.0}

#: Join marks are squares on their tip, this far from the middle to a tip, at these shares of the join
#: or so much farther along.
JOIN_MARK = 4.0
JOIN_SHARES = (0.25, 0.75)
JOIN_SHIFT = tuple(sign * step / 50 for step in range(12) for sign in (1, -1))
#: It and its numbers reach so far from its middle.
JOIN_MARK_ROOM = 9.5
#: A join shorter than this has one mark, in its middle.
SHORT_JOIN = 60.0


class Tile(NamedTuple):
    """One sheet: its code ("A1": row A, column 1) and its printable part of the drawing."""

    row: int
    column: int
    code: str
    box: Box


class Join(NamedTuple):
    """Two neighbouring sheets: ``after`` is trimmed along ``line``, its left or upper end, and glued upon ``before``.

    ``line`` is two points (2, 2), from the left or the top.
    """

    before: Tile
    after: Tile
    beside: bool  # side by side, else one above the other
    line: Array


class Tiling(NamedTuple):
    """The sheets of one drawing in reading order."""

    tiles: list[Tile]
    printing: Printing

    def page(self, tile: Tile) -> Box:
        """Return the whole sheet of a tile, margins and all."""
        return tile.box.grown(self.printing.white)

    def sides(self) -> list[tuple[float, float]]:
        """Return how wide and high what the sheets print is, for each way in which any of them lies."""
        return list(dict.fromkeys((tile.box.width, tile.box.height) for tile in self.tiles))

    def middle(self, tile: Tile) -> Box:
        """Return the part of a tile that no other sheet shows, not even in its margin; where that leaves no room to
        letter, as between two rows that nearly meet behind it, what is seen of it once all are joined.
        """
        left, top, right, bottom = tile.box.grown(-1.0)  # off the end of the printing
        for other in self.tiles:
            page = self.page(other)
            if other is tile or not page.overlaps(tile.box):
                continue
            if other.row == tile.row:
                left, right = (max(left, page.right), right) if other.column < tile.column else (left, min(right, page.left))
            else:
                top, bottom = (max(top, page.bottom), bottom) if other.row < tile.row else (top, min(bottom, page.top))
        alone = Box(left, top, right, bottom)
        return alone if min(alone.width, alone.height) >= LEAST_MIDDLE else self.kept(tile)

    def kept(self, tile: Tile) -> Box:
        """Return what is seen of a sheet's printing once all are joined: all but what later sheets lie upon."""
        left, top, right, bottom = tile.box
        for other in self.tiles:
            if other.box.overlaps(tile.box):
                if other.row == tile.row and other.column > tile.column:
                    right = min(right, other.box.left)
                elif other.row > tile.row:
                    bottom = min(bottom, other.box.top)
        return Box(left, top, right, bottom)

    def trims(self, tile: Tile) -> tuple[bool, bool]:
        """Return whether a sheet is trimmed at its left, and at its top: wherever its margin would lie upon another."""
        page = self.page(tile)
        others = [other for other in self.tiles if page.overlaps(other.box)]
        left = any(other.row == tile.row and other.column < tile.column for other in others)
        return left, any(other.row < tile.row for other in others)

    def joins(self) -> Iterator[Join]:
        """Yield each pair of sheets to be glued."""
        kept = [self.kept(tile) for tile in self.tiles]
        for tile, here in zip(self.tiles, kept):
            page = self.page(tile)
            for other, there in zip(self.tiles, kept):
                if not page.overlaps(other.box):
                    continue
                line = _shared(here, there, other)
                if (other.row, other.column) == (tile.row, tile.column + 1):
                    yield Join(tile, other, True, line)
                elif other.row > tile.row and line[1, 0] - line[0, 0] >= LEAST_JOIN:
                    yield Join(tile, other, False, line)


def _shared(before: Box, after: Box, tile: Tile) -> Array:
    """Return the line along which what is kept of ``after``, which ``tile`` begins, meets what is kept of ``before``."""
    if after.left >= before.right - 1e-9:
        return np.array([(after.left, max(before.top, after.top)), (after.left, min(before.bottom, after.bottom))])
    return np.array([(max(before.left, after.left), tile.box.top), (min(before.right, after.right), tile.box.top)])


# --- the sheets -----------------------------------------------------------------------------------


def lay_out(ground: Ground, printing: Printing, avoid: Sequence[Box] = (), first_row: int = 0) -> Tiling:
    """Return the fewest sheets that hold all of the ``ground``.

    Each orientation is tried, one for each row where that saves a sheet, and to go nearer to the end of the printing
    where that saves one.  Among as few sheets what keeps farther from that end is chosen, then the least paper, then what is
    joined off lines and lettering and shows least of the boxes to ``avoid``.  Sheets on which nothing is drawn are left out.  Rows are
    lettered from ``first_row`` on (0 is A).

    Raises :class:`Refused` where nothing is drawn and where :data:`MOST_SHEETS` do not suffice.
    """
    return _tiling(_best(ground, printing, avoid), printing, first_row)


def _tiling(found: Rows, printing: Printing, first_row: int) -> Tiling:
    places = [(first_row + row, column, box) for row, boxes in enumerate(found.rows) for column, box in enumerate(boxes)]
    return Tiling([Tile(row, column, code(row, column), box) for row, column, box in places], printing)


def with_margin(ground: Ground, printing: Printing, margin: float) -> int:
    """Return how many sheets it takes with another margin, millimetres."""
    return _best(ground, printing._replace(margin=margin), (), (CLEAR,)).sheets


def _best(ground: Ground, printing: Printing, avoid: Sequence[Box], clears: Sequence[float] = (CLEAR, LEAST_CLEAR)) -> Rows:
    """Return the best rows of sheets, see :func:`lay_out`."""
    if not ground:
        raise Refused("nothing to print")
    drawing = ground.bounds()
    avoid = [box.grown(LEAST_CLEAR) for box in avoid]
    sizes = []
    for printable in printing.printable():
        wide, high = _sides(printing, printable, drawing.grown(CLEAR))
        if np.prod(np.ceil(np.divide((drawing.width, drawing.height), (wide - printing.overlap, high - printing.overlap)))) <= MOST_PLACES:
            sizes.append(Size(wide, high, printing.overlap, printing.white))  # else hopeless, and slow to try
    best = Search.of(ground, sizes, clears[0]).fewest(avoid) if sizes else None
    for clear in clears[1:]:  # going nearer has to save a sheet
        best = best and (Search.of(ground, sizes, clear).fewest(avoid, most=best.sheets - 1) or best)
    if best is None or best.sheets > MOST_SHEETS:
        raise Refused("too many sheets", most=MOST_SHEETS)
    return best


def _sides(printing: Printing, printable: tuple[float, float], drawing: Box) -> list[float]:
    """Return the sides of what one sheet shows: cut to the drawing where the paper has no end."""
    fitted = printing.fitted(np.maximum((drawing.width, drawing.height), 2 * LEAST_MIDDLE)).tolist()
    longest = printing.longest
    return [min(need, longest) if np.isinf(side) else min(side, longest) for side, need in zip(printable, fitted)]


def lay_out_parts(parts: Sequence[Ground], printing: Printing, avoid: Sequence[Box] = ()) -> list[Tiling]:
    """Return sheets for several grounds: a tiling for each, or a single one for all together.

    One for all where that takes no more sheets, and where the sheets of one part would show another's
    ends.  Raises :class:`Refused`, see :func:`lay_out`.
    """
    shared = lay_out(together(parts), printing, avoid)
    if len(parts) == 1:
        return [shared]
    rooms = [part.bounds() for part in parts]
    tilings, row, taken = [], 0, 0
    for i, part in enumerate(parts):
        if taken + len(parts) - i >= len(shared.tiles):  # each of those to come takes a sheet at least
            return [shared]
        tilings.append(lay_out(part, printing, [*avoid, *rooms[:i], *rooms[i + 1 :]], row))
        row, taken = tilings[-1].tiles[-1].row + 1, taken + len(tilings[-1].tiles)
    return tilings if taken < len(shared.tiles) and not _clash(tilings) else [shared]


def leaning(parts: Sequence[Ground], tilings: Sequence[Tiling], avoid: Sequence[Box] = ()) -> Iterator[list[Tiling]]:
    """Yield as many sheets over the same parts as the ``tilings`` have, laid otherwise: all that is blank lies at one side of
    them, where it may be room enough for something.
    """
    grounds = list(parts) if len(tilings) > 1 else [together(parts)]
    rooms = [ground.bounds() for ground in grounds]
    searches = [_searches(ground, tiling) for ground, tiling in zip(grounds, tilings)]
    for lean in LEANS:
        leant = [_leant(one, some, lean, [*avoid, *rooms[:i], *rooms[i + 1 :]]) for i, (one, some) in enumerate(zip(tilings, searches))]
        if not _clash(leant):
            yield leant


def _searches(ground: Ground, tiling: Tiling) -> list[Search]:
    """Return where sheets as those of a tiling are looked for: clear of the end of the printing first."""
    sizes = [Size(*sides, tiling.printing.overlap, tiling.printing.white) for sides in tiling.sides()]
    return [Search.of(ground, sizes, clear) for clear in (CLEAR, LEAST_CLEAR)]


def _leant(tiling: Tiling, searches: list[Search], lean: Lean, avoid: Sequence[Box]) -> Tiling:
    """Return a tiling that leans; of the ``searches`` those are taken away that find none of so few sheets."""
    avoid = [box.grown(LEAST_CLEAR) for box in avoid]
    while searches:
        found = searches[0].fewest(avoid, lean, len(tiling.tiles))
        if found is not None:
            return _tiling(found, tiling.printing, tiling.tiles[0].row)
        del searches[0]
    return tiling


def _clash(tilings: Sequence[Tiling]) -> bool:
    """Whether a sheet of one tiling shows what is printed on another's."""
    return any(
        one.page(tile).overlaps(other_tile.box)
        for i, one in enumerate(tilings)
        for other in tilings[:i]
        for tile in one.tiles
        for other_tile in other.tiles
    )


def one_page_with(
    ground: Ground, blocks: Sequence[tuple[float, float]], gap: float, printing: Printing, avoid: Sequence[Box] = (), clear: float = CLEAR
) -> tuple[Tiling, Box] | None:
    """Return a single sheet that holds all of the ground and a block; and the block's place.

    ``blocks`` are the widths and heights that will do; of those that take as little paper the first is chosen.  It stands where
    the paper is least: in a corner of the drawing that is blank for ``gap`` around, or that far beside it.  Where paper is cut to
    the drawing this keeps ``clear`` from the end of the printing, or as much as the longest page leaves.  None where there is no such sheet.
    """
    best = None
    left, top, right, bottom = drawing = ground.bounds().grown(CLEAR)
    places = []
    for wide, high in blocks:
        across, down = (left, right - wide, left - gap - wide, right + gap), (top, bottom - high, top - gap - high, bottom + gap)
        places += [Box(x, y, x + wide, y + high) for x in across for y in down]
    places = [place for place in places if not place.grown(gap).holds_any(ground.points)]
    for printable in printing.printable():
        limit = np.minimum(printable, printing.longest)
        for place in places:
            both = Box.united([drawing, place])
            size = np.subtract(both[2:], both[:2])
            if (size > limit + 1e-9).any():
                continue
            held = np.minimum(size + 2 * (clear - CLEAR), limit)
            spare = (np.where(np.isinf(printable), printing.fitted(held), limit) - size) / 2
            box = Box(*np.subtract(both[:2], spare).tolist(), *np.add(both[2:], spare).tolist())
            shown = sum(other.overlaps(place) for other in avoid), sum(box.grown(printing.white).overlaps(other) for other in avoid)
            score = (round(box.width * box.height), *shown)
            if best is None or score < best[0]:
                best = (score, box, place)
    if best is None:
        return None
    return Tiling([Tile(0, 0, code(0, 0), best[1])], printing), best[2]


def code(row: int, column: int) -> str:
    """Return what a sheet is called: A1, A2, … Z1, AA1; rows and columns count from 0."""
    letters = ""
    row += 1
    while row:
        row, letter = divmod(row - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{column + 1}"


# --- joining --------------------------------------------------------------------------------------


def trim_lines(tiling: Tiling) -> list[Curve]:
    """Return the lines along which sheets are trimmed, one for each side of what is kept of a sheet."""
    lines = []
    for tile in tiling.tiles:
        left, top, right, bottom = tiling.kept(tile)
        at_left, at_top = tiling.trims(tile)
        if at_left:
            lines.append(Curve.line((left, top), (left, bottom)))
        if at_top:
            lines.append(Curve.line((left, top), (right, top)))
    return lines


def join_marks(join: Join, ground: Ground, others: Sequence[tuple[float, float]] = ()) -> list[tuple[float, float]]:
    """Return where marks stand on the line along which ``join.after`` is trimmed: off the marks of ``others``, where least is
    drawn, near the shares.
    """
    start, end = join.line
    shares = JOIN_SHARES if np.hypot(*(end - start)) >= SHORT_JOIN else (0.5,)
    marks = []
    near = ground.points[Box.around(join.line).grown(JOIN_MARK_ROOM).holding(ground.points)]
    for share in shares:
        places = start + np.array([share + shift for shift in JOIN_SHIFT])[:, None] * (end - start)
        drawn = (abs(near[None] - places[:, None]) < JOIN_MARK_ROOM).all(axis=2).sum(axis=1)
        over = (abs(np.reshape(others, (1, -1, 2)) - places[:, None]) < 2 * JOIN_MARK_ROOM).all(axis=2).sum(axis=1)
        x, y = places[np.lexsort((drawn, over))[0]].tolist()
        marks.append((x, y))
    return marks


def join_mark(place: tuple[float, float]) -> Curve:
    """Return a square on its tip."""
    corners = np.array([(0, -1), (1, 0), (0, 1), (-1, 0), (0, -1)])
    return Curve.polyline(JOIN_MARK * corners + place)


def frame(box: Box) -> Curve:
    """Return the outline of a rectangle."""
    left, top, right, bottom = box
    return Curve.polyline([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
