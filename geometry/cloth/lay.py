"""Laying strips and sleeves on cloth: where every piece is cut, and how much cloth that takes.

Cloth lies with its selvedges left and right: x runs across its width from 0, y along its length from 0.
Lengths in millimetres.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Callable, NamedTuple

import numpy as np

from geometry.affine import Affine
from geometry.cloth.tape import Tape
from geometry.curves.arrays import Array

#: No strip is pieced from anything shorter (4 in: a join every hand's breadth shows and costs more than it
#: saves), unless a band itself is hardly longer: then from no less than half of it.
SHORTEST_PIECE = 101.6

#: Sleeves are laid this far apart, so that the shears find a way.
APART = 5.0

#: A length along the cloth is sought upward from the bound in steps of this share, then to within so many
#: millimetres: a tenth of the finest length that shops sell.
_STEP, _CLOSE = 0.04, 10.0

_HAIR = 1e-6


class Strip(NamedTuple):
    """One strip to be cut: which tier, sleeve and layer it is for (from 1), its width, and its length without joins."""

    tier: int
    sleeve: int
    layer: int
    width: float
    length: float


class Piece(NamedTuple):
    """A rectangle on the cloth: part of ``strips[strip]``; ``width`` is across the cloth, ``height`` along it."""

    strip: int
    x: float
    y: float
    width: float
    height: float


class StripLay(NamedTuple):
    """A plan for all strips of one cloth.

    ``pieces`` stand in the order in which they follow each other along every strip; ``joins`` says for
    each strip how many joins it has, ``allowed`` how many its length allows for.
    """

    strips: tuple[Strip, ...]
    pieces: tuple[Piece, ...]
    direction: str
    width: float
    length: float
    joins: tuple[int, ...]
    allowed: tuple[int, ...]

    @property
    def all_joins(self) -> int:
        return sum(self.joins)


class OutlineLay(NamedTuple):
    """A plan for sleeves: ``placements`` are the maps that lay the outline on the cloth."""

    placements: tuple[Affine, ...]
    width: float
    length: float


class _Cut(NamedTuple):
    """Part of a strip in a band: ``along`` it from its start, in the ``band`` of that number."""

    strip: int
    band: int
    along: float
    length: float


class _Bands(NamedTuple):
    heights: list[float]
    cuts: list[_Cut]

    @property
    def height(self) -> float:
        return sum(self.heights)


# --- strips ---------------------------------------------------------------------------------------


def lower_bound(strips: Sequence[Strip], width: float) -> float:
    """Return the length of cloth that no plan can go below: the strips' area over the usable width.

    >>> lower_bound([Strip(tier=1, sleeve=1, layer=1, width=100.0, length=1800.0)], width=900.0)
    200.0
    """
    return sum(strip.width * strip.length for strip in strips) / width


def lay_strips(strips: Sequence[Strip], width: float, join: float, tape: Tape, joinable: bool = True) -> list[StripLay]:
    """Return plans for the same strips, several for strips across the cloth and several along it.

    Every piece is cut to a mark of her ``tape``, widths and lengths rounded up.  ``join`` is what each
    join takes up.  Across, a plan cuts bands from selvedge to selvedge and joins strips from them; along, it
    cuts bands down the cloth.  Either way the strips run on from band to band ("ribbon": least cloth), or
    are cut whole as far as a band is long (fewest joins).  Not ``joinable`` pieces are only ever cut whole.

    ``width`` is the usable width; every strip is at most that wide, and where it is not joinable at most
    that long.  The best plan is for the caller to choose.

    >>> from geometry.cloth.tape import CENTIMETRES
    >>> strips = [Strip(tier=1, sleeve=sleeve, layer=1, width=100.0, length=1200.0) for sleeve in (1, 2)]
    >>> plans = lay_strips(strips, width=900.0, join=10.0, tape=CENTIMETRES)
    >>> [(plan.direction, plan.length, plan.all_joins) for plan in plans if plan.length == 300.0 or not plan.all_joins]
    [('across', 300.0, 2), ('across', 300.0, 2), ('along', 1200.0, 0)]
    """
    ordered = sorted(strips, key=lambda strip: (-tape.up(strip.width), strip.tier, strip.layer, strip.sleeve))
    job = _Job(ordered, join, tape)
    packers = [job.whole, job.ribbon] if joinable else [job.whole]
    longest = max(job.total(i, 0) for i in range(len(ordered)))
    plans = [job.finish(packer(width), "across", width) for packer in packers if joinable or longest <= width + _HAIR]
    for packer in packers:
        least = longest if packer == job.whole else 2 * SHORTEST_PIECE
        bands = _shortest_bands(packer, max(least, lower_bound(strips, width)), width, tape.mark)
        plans.append(job.finish(bands, "along", width))
    return plans


class _Job:
    """Strips, widest first, and the two ways to part them into bands."""

    def __init__(self, strips: list[Strip], join: float, tape: Tape) -> None:
        self.strips, self.join, self.tape = strips, join, tape
        self.allowed: dict[int, int] = {}
        self._totals: dict[tuple[float, int], float] = {}
        widths = {width: tape.up(width) for width in {strip.width for strip in strips}}
        self.widths = [widths[strip.width] for strip in strips]

    def total(self, i: int, joins: int) -> float:
        """The length of strip ``i`` in all its pieces, with this many joins, on a mark."""
        asked = self.strips[i].length, joins
        if asked not in self._totals:
            self._totals[asked] = self.tape.up(asked[0] + joins * self.join)
        return self._totals[asked]

    def ribbon(self, band: float) -> _Bands:
        """Cut the strips one after the other from bands of the length ``band``, running on from band to band.

        All strips of a tier are cut to one length, which allows for the joins of the one that has most;
        since an allowance moves all later cuts, this goes on until none has more joins than its tier allows.
        """
        self.allowed = {}
        while True:
            bands = self._run_on(band)
            short = False
            for i, joins in enumerate(_joins(bands.cuts, len(self.strips))):
                tier = self.strips[i].tier
                if joins > self.allowed.get(tier, 0):
                    self.allowed[tier], short = joins, True
            if not short:
                return bands

    def _run_on(self, band: float) -> _Bands:
        heights: list[float] = []
        cuts: list[_Cut] = []
        used, allowed = band, self.allowed
        for i, strip in enumerate(self.strips):
            left = self.total(i, allowed.get(strip.tier, 0))
            while left > _HAIR:
                take = _piece(left, band - used, band)
                if not take:
                    heights.append(self.widths[i])
                    used = 0.0
                    take = _piece(left, band, band)
                cuts.append(_Cut(i, len(heights) - 1, used, take))
                used += take
                left -= take
        return _Bands(heights, cuts)

    def whole(self, band: float) -> _Bands:
        """Cut each strip from as few bands of the length ``band`` as can be; what is left over of one band
        serves the next strips that it is long enough for, longest first.
        """
        self.allowed = {}
        heights: list[float] = []
        used: list[float] = []
        ends = []
        cuts: list[_Cut] = []
        for i, strip in enumerate(self.strips):
            joins = max(0, math.ceil((strip.length - band) / max(_HAIR, band - self.join) - _HAIR))
            while self.total(i, joins) > (joins + 1) * band + _HAIR:  # the rounding to a mark may tip it over
                joins += 1
            self.allowed[strip.tier] = max(joins, self.allowed.get(strip.tier, 0))
            left = self.total(i, self.allowed[strip.tier])
            while left > band + _HAIR:
                take = _piece(left, band, band)
                heights.append(self.widths[i])
                used.append(take)
                cuts.append(_Cut(i, len(heights) - 1, 0.0, take))
                left -= take
            ends.append((-self.widths[i], -left, i))
        least = min(-left for _, left, _ in ends) - _HAIR
        roomy = [k for k, full in enumerate(used) if band - full >= least]  # no other band takes anything any more
        for _, left, i in sorted(ends):
            high, long = self.widths[i] - _HAIR, -left - _HAIR
            place = next((k for k in roomy if band - used[k] >= long and heights[k] >= high), None)
            if place is None:
                place = len(used)
                heights.append(self.widths[i])
                used.append(0.0)
                roomy.append(place)
            cuts.append(_Cut(i, place, used[place], -left))
            used[place] -= left
            if band - used[place] < least:
                roomy.remove(place)
        return _Bands(heights, cuts)

    def finish(self, bands: _Bands, direction: str, width: float) -> StripLay:
        """Lay the bands side by side on the cloth."""
        starts = np.concatenate([[0.0], np.cumsum(bands.heights)]).tolist()
        cuts = sorted(bands.cuts, key=lambda cut: cut.strip)
        if direction == "across":
            pieces = [Piece(c.strip, c.along, starts[c.band], c.length, self.widths[c.strip]) for c in cuts]
        else:
            pieces = [Piece(c.strip, starts[c.band], c.along, self.widths[c.strip], c.length) for c in cuts]
        return StripLay(
            strips=tuple(self.strips),
            pieces=tuple(pieces),
            direction=direction,
            width=width,
            length=max(piece.y + piece.height for piece in pieces),
            joins=tuple(_joins(cuts, len(self.strips))),
            allowed=tuple(self.allowed.get(strip.tier, 0) for strip in self.strips),
        )


def _piece(left: float, room: float, band: float) -> float:
    """Return how much of ``left`` to cut from the ``room`` in a band, so that no piece is too short; 0 for nothing."""
    if left <= room + _HAIR:
        return left
    shortest = min(SHORTEST_PIECE, band / 2)
    take = min(room, left - shortest)
    return take if take >= shortest - _HAIR else 0.0


def _joins(cuts: Sequence[_Cut], count: int) -> list[int]:
    counts = np.bincount([cut.strip for cut in cuts], minlength=count)
    return [int(count) - 1 for count in counts]


def _shortest_bands(packer: Callable[[float], _Bands], least: float, width: float, step: float) -> _Bands:
    """Return the bands for about the shortest length of band whose bands lie side by side in ``width``."""
    low, high = least, least
    bands = packer(high)
    while bands.height > width + _HAIR:
        low, high = high, high * (1 + _STEP)
        bands = packer(high)
    best = high
    while high - low > _CLOSE + 2 * step:
        middle = math.ceil((low + high) / 2 / step) * step
        bands = packer(middle)
        if bands.height <= width + _HAIR:
            best = high = middle
        else:
            low = middle
    return packer(best)


# --- sleeves --------------------------------------------------------------------------------------


def lay_outlines(outline: Array, count: int, width: float, either_way: bool) -> OutlineLay:
    """Lay ``count`` sleeves, every second one mirrored, with their grain along the cloth.

    ``outline`` (k, 2) is the cutting line as a closed polygon, its grain along y.  Where the cloth may be
    used ``either_way`` up, sleeves are turned end for end where that saves cloth.
    Raises ``ValueError`` where one sleeve is wider than the cloth.
    """
    outline = np.asarray(outline, dtype=float)
    if np.ptp(outline[:, 0]) > width + _HAIR:
        raise ValueError("the sleeve is wider than the cloth")
    tries = [(False, False), (True, False), (False, True), (True, True)] if either_way else [(False, False)]
    lays = [_rows(outline, count, width, turned, flipped) for turned, flipped in tries]
    return min(lays, key=lambda lay: lay.length)


def _rows(outline: Array, count: int, width: float, turn_in_row: bool, turn_rows: bool) -> OutlineLay:
    """Lay sleeves row by row, each as far left as it goes, then each row as far up as it goes."""
    rows: list[list[_Placed]] = [[]]
    for i in range(count):
        turned = turn_in_row and len(rows[-1]) % 2 == 1
        sleeve = _stand(outline, i % 2 == 1, turned != (turn_rows and len(rows) % 2 == 0))
        right = max((_clear(other.polygon, sleeve.polygon, 1) for other in rows[-1]), default=0.0)
        if right + sleeve.polygon[:, 0].max() > width + _HAIR:
            rows.append([])
            right = 0.0
            sleeve = _stand(outline, i % 2 == 1, turn_rows and len(rows) % 2 == 0)
        rows[-1].append(sleeve.moved(right, 0.0))
    placed: list[_Placed] = []
    for number, row in enumerate(rows):
        # A turned row fits closer under the one above when it lies against the other selvedge.
        right = width - max(sleeve.polygon[:, 0].max() for sleeve in row) if turn_rows and number % 2 == 1 else 0.0
        across = [sleeve.moved(right, 0.0) for sleeve in row]
        down = max((_clear(other.polygon, sleeve.polygon, 0) for other in placed for sleeve in across), default=0.0)
        placed += [sleeve.moved(0.0, down) for sleeve in across]
    length = max(float(sleeve.polygon[:, 1].max()) for sleeve in placed)
    return OutlineLay(tuple(sleeve.placement for sleeve in placed), width, length)


class _Placed(NamedTuple):
    placement: Affine
    polygon: Array

    def moved(self, right: float, down: float) -> _Placed:
        return _Placed(Affine.moving(right, down) @ self.placement, self.polygon + np.array([right, down]))


def _stand(outline: Array, mirrored: bool, turned: bool) -> _Placed:
    """Return a sleeve whose box begins at (0, 0)."""
    x, y = (-1.0 if mirrored != turned else 1.0), (-1.0 if turned else 1.0)
    polygon = outline * (x, y)
    shift = -polygon.min(axis=0)
    return _Placed(Affine(x, 0.0, 0.0, y, *shift.tolist()), polygon + shift)


def _clear(fixed: Array, moving: Array, level: int) -> float:
    """Return how far ``moving`` must shift (right where ``level`` is 1, down where it is 0) to clear ``fixed``.

    Both are closed polygons (k, 2).  ``level`` is the axis along which they overlap or not.  The distance is
    exact: between two corners' levels the gap is the greatest of straight lines, so it is greatest at a corner.
    """
    levels = np.concatenate([fixed[:, level], moving[:, level]])
    _, far = _extents(fixed, levels, level)
    near, _ = _extents(moving, levels, level)
    both = np.isfinite(far) & np.isfinite(near)
    return float((far - near)[both].max()) + APART if both.any() else 0.0


def _extents(polygon: Array, levels: Array, level: int) -> tuple[Array, Array]:
    """Return for each of ``levels`` the least and greatest other coordinate of the polygon there (inf, -inf for none)."""
    start, end = polygon, np.roll(polygon, -1, axis=0)
    a, b = start[:, level], end[:, level]
    inside = (levels[:, None] >= np.minimum(a, b)) & (levels[:, None] <= np.maximum(a, b))
    rise = np.where(a == b, 1.0, b - a)
    share = np.clip((levels[:, None] - a) / rise, 0, 1)
    other, step = start[:, 1 - level], end[:, 1 - level] - start[:, 1 - level]
    at = other + share * step
    # A level edge runs the whole way at its level: its far end is another edge's corner.
    return np.where(inside, at, np.inf).min(axis=1), np.where(inside, at, -np.inf).max(axis=1)
