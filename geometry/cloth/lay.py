"""Laying strips on cloth: where every piece is cut, and how much cloth that takes.

Cloth lies with its selvedges left and right: x runs across its width from 0, y along its length from 0.
Lengths in millimetres.
"""
from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import accumulate
from typing import Callable, NamedTuple

import numpy as np

from geometry.cloth.bounds import along_at_least, height_at_least, lower_bound
from geometry.cloth.even_bands import even_out
from geometry.cloth.joins import HAND, Joining, Strip, hides
from geometry.cloth.tape import Tape

#: A length along the cloth is sought upward from the bound in steps of this share, then to within so many
#: millimetres: a tenth of the finest length that shops sell.
_STEP, _CLOSE = 0.04, 10.0

#: So many ways to fill a band are tried.
_TRIES = 60

_HAIR = 1e-6

#: Which way strips run: across the cloth, along it, or some along it and below them the others across.
ACROSS, ALONG, BOTH = "across", "along", "both"

#: The ways to part strips into bands: every strip whole that a band holds; the strips run on from band to
#: band; all bands of one width joined to one long ribbon first.
WHOLE, RUN_ON, RIBBON = "whole", "run on", "ribbon"


class Piece(NamedTuple):
    """A rectangle on the cloth: part of ``strips[strip]``; ``width`` is across the cloth, ``height`` along it, and the strip runs
    ``across`` or along.
    """

    strip: int
    x: float
    y: float
    width: float
    height: float
    across: bool


class RibbonCut(NamedTuple):
    """A strip cut from one long ribbon: from where and to where along it, and where the ribbon's joins lie in it."""

    strip: int
    start: float
    end: float
    joins: tuple[float, ...]


class Ribbon(NamedTuple):
    """All bands of one ``width`` joined to a ribbon so long, and the running list of its cuts."""

    width: float
    bands: int
    length: float
    cuts: tuple[RibbonCut, ...]


class StripLay(NamedTuple):
    """A plan for all strips of one cloth.

    ``pieces`` stand in the order in which they follow each other along every strip; ``joins`` says for
    each strip how many joins it has, ``allowed`` how many its length allows for, ``totals`` how long it is
    cut in all its pieces, ``places`` where the joins stand (see :mod:`geometry.cloth.joins`).  ``ribbons``
    are there where strips are cut from long ribbons.
    """

    strips: tuple[Strip, ...]
    pieces: tuple[Piece, ...]
    direction: str
    way: str
    width: float
    length: float
    joins: tuple[int, ...]
    allowed: tuple[int, ...]
    totals: tuple[float, ...]
    places: tuple[tuple[float, ...], ...]
    ribbons: tuple[Ribbon, ...] = ()

    @property
    def all_joins(self) -> int:
        """How many joins are sewn in all; in a ribbon also those that end in no strip."""
        return sum(ribbon.bands - 1 for ribbon in self.ribbons) if self.ribbons else sum(self.joins)

    @property
    def piece_count(self) -> int:
        """How many pieces are cut."""
        return len(self.pieces)

    def moved_down(self, by: float) -> StripLay:
        """Return the plan for cloth of which so much is taken at its beginning."""
        return self._replace(pieces=tuple(piece._replace(y=piece.y + by) for piece in self.pieces), length=self.length + by)

    def cut(self, piece: Piece) -> float:
        """Return how long a piece is cut, along its strip."""
        return piece.width if piece.across else piece.height


class _Cut(NamedTuple):
    """Part of a strip in a band: ``along`` it from its start, in the ``band`` of that number."""

    strip: int
    band: int
    along: float
    length: float


class _Bands(NamedTuple):
    """Bands of cloth, how high each is, and what is cut from them; ``origins`` are where each begins, its own start and its
    side, where they do not simply lie one beside the other.
    """

    heights: list[float]
    cuts: list[_Cut]
    ribbons: tuple[Ribbon, ...] = ()
    origins: tuple[tuple[float, float], ...] = ()

    @property
    def height(self) -> float:
        return sum(self.heights)


def lay_strips(strips: Sequence[Strip], width: float, join: float, tape: Tape, only_across: bool = False) -> list[StripLay]:
    """Return plans for the same strips, one for each way to part them and each direction.

    Every piece is cut to a mark of her ``tape``, widths and lengths rounded up.  ``join`` is what each
    join takes up.  Across, a plan cuts bands from selvedge to selvedge and joins strips from them; along, it
    cuts bands down the cloth.  The strips of one tier and layer are cut alike for left and right, but not from
    one long ribbon; where folds decide on the joins there is no ribbon.  ``only_across`` asks for the one plan that
    cuts strips whole across the width.

    ``width`` is the usable width; every strip is at most that wide.  The best plan is for the caller
    to choose.

    >>> from geometry.cloth.tape import CENTIMETRES
    >>> strips = [Strip(tier=1, sleeve=sleeve, layer=1, width=100.0, length=1200.0) for sleeve in (1, 2)]
    >>> plans = lay_strips(strips, width=900.0, join=10.0, tape=CENTIMETRES)
    >>> [(plan.way, plan.length, plan.all_joins) for plan in plans if plan.direction == "across"]
    [('whole', 300.0, 2), ('run on', 400.0, 2), ('ribbon', 300.0, 2)]
    """
    ordered = _widest_first(strips, tape)
    job = _Job(ordered, Joining(join, tape))
    if only_across:
        return [job.finish(job.part(WHOLE, tape.down(width)), ACROSS, WHOLE, width)]
    ways = [WHOLE, RUN_ON] if any(strip.folds is not None for strip in strips) else [WHOLE, RUN_ON, RIBBON]
    plans = [job.finish(job.part(way, tape.down(width)), ACROSS, way, width) for way in ways]
    for way in ways:
        narrowest = {WHOLE: job.widths[0], RUN_ON: len(job.lanes[0]) * job.widths[0], RIBBON: sum(set(job.widths))}[way]
        if narrowest > width + _HAIR:  # no room for left beside right, or for the ribbons beside each other
            continue
        if way == WHOLE:
            plans.append(job.along(width))
            continue
        bands = _shortest_bands(lambda band, way=way: job.part(way, band), max(2 * HAND, lower_bound(strips, width)), width, tape)  # type: ignore[misc]
        plans.append(job.finish(bands, ALONG, way, width))
    return plans


def lay_whole_across(strips: Sequence[Strip], width: float, join: float, tape: Tape) -> StripLay:
    """Return the one plan of :func:`lay_strips` that cuts strips whole across the cloth."""
    return lay_strips(strips, width, join, tape, only_across=True)[0]


def whole_across_takes(strips: Sequence[Strip], width: float, join: float, tape: Tape) -> tuple[float, int]:
    """Return how long the plan of :func:`lay_whole_across` is and how many joins it has, which is known before it is laid."""
    bands = _Job(_widest_first(strips, tape), Joining(join, tape)).whole(tape.down(width))
    return bands.height, len(bands.cuts) - len(strips)


def lay_whole_along(strips: Sequence[Strip], width: float, join: float, tape: Tape, most: float) -> StripLay | None:
    """Return the one plan of :func:`lay_strips` that cuts strips whole along the cloth, or None where that takes more than ``most``.

    Some strip may be no wider than the cloth.
    """
    job = _Job(_widest_first(strips, tape), Joining(join, tape))
    return job.along(width) if job.whole(tape.down(most), width).height <= width + _HAIR else None


def _widest_first(strips: Sequence[Strip], tape: Tape) -> list[Strip]:
    up = {width: tape.up(width) for width in {strip.width for strip in strips}}
    return sorted(strips, key=lambda strip: (-up[strip.width], strip.tier, strip.layer, strip.sleeve))


def lay_on_border(strips: Sequence[Strip], width: float, borders: int, tape: Tape) -> StripLay:
    """Return the plan in which every strip is cut whole along a border, its free edge on it, one behind the other.

    With one of ``borders`` that is along the left selvedge; with two also along the right one, unless two strips side by
    side are wider than the cloth.
    """
    ordered = sorted(strips, key=lambda strip: (strip.tier, strip.layer, strip.sleeve))
    both = borders == 2 and 2 * max(tape.up(strip.width) for strip in strips) <= width + _HAIR
    joining = Joining(0.0, tape)
    reached = [0.0, 0.0]
    pieces = []
    for i, strip in enumerate(ordered):
        wide, long = tape.up(strip.width), joining.total(strip, 0)
        right = int(both and reached[1] < reached[0] - _HAIR)
        pieces.append(Piece(i, (width - wide) * right, reached[right], wide, long, across=False))
        reached[right] += long
    none = (0,) * len(ordered)
    totals = tuple(piece.height for piece in pieces)
    return StripLay(tuple(ordered), tuple(pieces), ALONG, WHOLE, width, max(reached), none, none, totals, ((),) * len(ordered))


class _Zone(NamedTuple):
    """Part of the cloth: bands of the length ``band`` that begin at ``start``, from ``side`` on, together as high as the ``room``."""

    band: float
    room: float
    start: float
    side: float


def lay_beside(strips: Sequence[Strip], width: float, join: float, tape: Tape, taken: tuple[float, float]) -> list[StripLay]:
    """Return plans for strips on cloth of which the left corner at its beginning is ``taken``, so wide and so long: those of
    :func:`lay_strips` below that, and those that cut strips whole, across or along, also from what is left beside it.

    ``taken`` is on marks of the ``tape``.

    >>> from geometry.cloth.tape import CENTIMETRES
    >>> strips = [Strip(tier=1, sleeve=sleeve, layer=1, width=100.0, length=400.0) for sleeve in (1, 2)]
    >>> plans = lay_beside(strips, 900.0, 10.0, CENTIMETRES, (500.0, 250.0))
    >>> min(plan.length for plan in plans)
    250.0
    """
    wide, long = taken
    below = [plan.moved_down(long) for plan in lay_strips(strips, width, join, tape)]
    ordered = _widest_first(strips, tape)
    job = _Job(ordered, Joining(join, tape))
    beside = tape.down(width - wide)
    across = job.beside(tape.down(width), [_Zone(beside, long, wide, 0.0), _Zone(tape.down(width), math.inf, 0.0, long)])
    found = [job.finish(across, ACROSS, WHOLE, width)] if across else []
    # Down the cloth: the shortest bands, in steps, that hold all strips between them.
    length = tape.up(max(*(job.total(i, 0) for i in range(len(ordered))), lower_bound(strips, width) + wide * long / width))
    longest = min((plan.length for plan in below if plan.direction == ALONG and plan.way == WHOLE), default=max(plan.length for plan in below))
    while length < longest:
        along = job.beside(length, [_Zone(length, beside, 0.0, wide), _Zone(length - long, tape.down(wide), long, 0.0)])
        if along:
            found.append(job.finish(along, ALONG, WHOLE, width))
            break
        length = tape.up(length * (1 + _STEP / 4))
    return [plan._replace(length=max(plan.length, long)) for plan in found] + below


class _Job:
    """Strips, widest first, and the ways to part them into bands."""

    def __init__(self, strips: list[Strip], joining: Joining) -> None:
        self.strips, self.joining = strips, joining
        self.allowed: dict[tuple[int, float], int] = {}  # by tier and length: layers of one may differ
        up = {width: joining.tape.up(width) for width in {strip.width for strip in strips}}
        self.widths = [up[strip.width] for strip in strips]
        self.lanes = self._lanes()
        self._totals: dict[tuple[float, int], float] = {}

    def part(self, way: str, band: float) -> _Bands:
        """Part the strips into bands of the length ``band``."""
        self.allowed = {}
        return {WHOLE: self.whole, RUN_ON: self.run_on, RIBBON: self.ribbon}[way](band)

    def total(self, i: int, joins: int) -> float:
        """The length of strip ``i`` in all its pieces, with this many joins, on a mark."""
        asked = self.strips[i].length, joins
        if asked not in self._totals:
            self._totals[asked] = self.joining.total(self.strips[i], joins)
        return self._totals[asked]

    # --- strips whole -----------------------------------------------------------------------------

    def whole(self, band: float, enough: float | None = None) -> _Bands:
        """Cut each strip from as few bands as can be; what is left of one serves the next pieces, longest first.

        Bands that are together no higher than ``enough`` are good; where none can be, higher ones will do.
        """
        pieces = self._pieces(band)
        first, least = _first_fit(pieces, band), height_at_least([(-wide, -long) for wide, long, _, _ in pieces], band)
        if first.height <= least or (enough is not None and not least <= enough + _HAIR < first.height):
            return first
        return min(first, _best_filled(pieces, band), key=lambda bands: bands.height)

    def along(self, width: float) -> StripLay:
        """Lay each strip whole along the cloth, as short as may be."""
        tape, least = self.joining.tape, along_at_least(self.strips, width, self.joining.tape)
        self.allowed = {}
        bands = _shortest_bands(lambda band: self.whole(band, width), least, width, tape)
        return self.finish(self.evened(bands), ALONG, WHOLE, width)

    def beside(self, band: float, zones: Sequence[_Zone]) -> _Bands | None:
        """Cut each strip whole from bands of these ``zones``, one zone filled after the other; None where they don't hold all.

        No piece is longer than ``band``.
        """
        self.allowed = {}
        rest = self._pieces(band)
        heights: list[float] = []
        origins: list[tuple[float, float]] = []
        cuts: list[tuple[int, _Cut]] = []
        for zone in zones:
            high, found, rest = _filled(rest, zone.band, zone.room)
            cuts += [(order, cut._replace(band=cut.band + len(heights))) for order, cut in found]
            starts = np.concatenate([[0.0], np.cumsum(high)[:-1]]).tolist() if high else []
            origins += [(zone.start, zone.side + at) for at in starts]
            heights += high
        return None if rest else _Bands(heights, _in_order(cuts), (), tuple(origins))

    def _pieces(self, band: float) -> list[tuple[float, float, int, int]]:
        """Return the pieces (-width, -length, strip, order) of strips cut from bands so long, as few as can be, the widest first."""
        parts: dict[tuple[int, float], tuple[float, ...]] = {}
        pieces = []
        for i, strip in enumerate(self.strips):
            alike = _alike(strip)
            if alike not in parts:
                parts[alike] = self.joining.fewest_pieces(strip, band)
            self.allowed[alike] = len(parts[alike]) - 1
            pieces += [(-self.widths[i], -length, i, order) for order, length in enumerate(parts[alike])]
        return sorted(pieces)

    def evened(self, bands: _Bands) -> _Bands:
        """Return bands of whole strips, their pieces shared out so that the longest band is as short as may be."""
        held: list[list[int]] = [[] for _ in bands.heights]
        for number, cut in enumerate(bands.cuts):
            held[cut.band].append(number)
        lengths, widths = [cut.length for cut in bands.cuts], [self.widths[cut.strip] for cut in bands.cuts]
        cuts = []
        for band, pieces in enumerate(even_out(held, bands.heights, lengths, widths)):
            ends = np.cumsum([lengths[number] for number in pieces]).tolist()
            cuts += [bands.cuts[number]._replace(band=band, along=end - lengths[number]) for number, end in zip(pieces, ends)]
        return _Bands(bands.heights, sorted(cuts))

    # --- strips run on from band to band ----------------------------------------------------------

    def run_on(self, band: float) -> _Bands:
        """Cut the strips one after the other from bands, running on from band to band.

        Left and right are cut in two equal lanes.  All strips of a tier are cut to one length, which allows
        for the joins of the one that has most; since an allowance moves all later cuts, this goes on until
        none has more joins than its tier allows.
        """
        while True:
            bands = self._run_on(self.lanes, band)
            short = False
            for strip, joins in zip(self.strips, _joins(bands.cuts, len(self.strips))):
                if joins > self.allowed.get(_alike(strip), 0):
                    self.allowed[_alike(strip)], short = joins, True
            if not short:
                return self._trimmed(bands)

    def _trimmed(self, bands: _Bands) -> _Bands:
        """Return the bands with what their tier allows for joins that none of its strips has cut off the last piece of each, where
        that stays a hand long.
        """
        joins = _joins(bands.cuts, len(self.strips))
        last = {cut.strip: number for number, cut in enumerate(bands.cuts)}
        cuts = list(bands.cuts)
        for alike, allowed in list(self.allowed.items()):
            mine = [i for i, strip in enumerate(self.strips) if _alike(strip) == alike]
            most = max(joins[i] for i in mine)
            less = self.total(mine[0], allowed) - self.total(mine[0], most)
            if most < allowed and all(cuts[last[i]].length - less >= HAND - _HAIR for i in mine):
                self.allowed[alike] = most
                for i in mine:
                    cuts[last[i]] = cuts[last[i]]._replace(length=cuts[last[i]].length - less)
        return bands._replace(cuts=cuts)

    def _lanes(self) -> list[tuple[int, ...]]:
        """Return the strips that are cut alike, left and right of one tier and layer; each alone where some have no twin."""
        twins: dict[tuple[int, int, int], list[int]] = {}
        for i, strip in enumerate(self.strips):
            twins.setdefault((strip.tier, strip.layer, (strip.sleeve - 1) // 2), []).append(i)
        lanes = [tuple(each) for each in twins.values()]
        return lanes if all(len(lane) == 2 for lane in lanes) else [(i,) for i in range(len(self.strips))]

    def _run_on(self, lanes: list[tuple[int, ...]], band: float) -> _Bands:
        heights: list[float] = []
        cuts: list[_Cut] = []
        used = band
        for lane in lanes:
            strip = self.strips[lane[0]]
            cut: list[float] = []
            left = self.total(lane[0], self.allowed.get(_alike(strip), 0))
            while left > _HAIR:
                take = self.joining.run_on(strip, cut, left, band - used, band)
                if not take:
                    heights += [self.widths[lane[0]]] * len(lane)
                    used = 0.0
                    take = self.joining.run_on(strip, cut, left, band, band)
                cuts += [_Cut(i, len(heights) - len(lane) + number, used, take) for number, i in enumerate(lane)]
                cut.append(take)
                used += take
                left -= take
        return _Bands(heights, cuts)

    # --- one long ribbon --------------------------------------------------------------------------

    def ribbon(self, band: float) -> _Bands:
        """Join all bands of one width to a ribbon, and cut the strips off it one after the other."""
        heights: list[float] = []
        cuts: list[_Cut] = []
        ribbons = []
        for width in dict.fromkeys(self.widths):
            chosen = [i for i, wide in enumerate(self.widths) if wide == width]
            ribbon = self._ribbon(chosen, width, band)
            cuts += [part for cut in ribbon.cuts for part in _Joints(band, self.joining).parts(cut, len(heights))]
            heights += [width] * ribbon.bands
            ribbons.append(ribbon)
        return _Bands(heights, cuts, tuple(ribbons))

    def _ribbon(self, chosen: Sequence[int], width: float, band: float) -> Ribbon:
        joints = _Joints(band, self.joining)
        at = 0.0
        cuts = []
        for i in chosen:
            length = self.total(i, 0)
            start = joints.start(self.strips[i], length, at)
            at = start + length
            cuts.append(RibbonCut(i, start, at, tuple(joints.within(start, length))))
        return Ribbon(width, joints.bands(at), at, tuple(cuts))

    def finish(self, bands: _Bands, direction: str, way: str, width: float) -> StripLay:
        """Lay the bands side by side on the cloth."""
        origins = bands.origins or [(0.0, side) for side in np.concatenate([[0.0], np.cumsum(bands.heights)]).tolist()]
        cuts = sorted(bands.cuts, key=lambda cut: cut.strip)
        pieces = []
        for cut in cuts:
            start, side = origins[cut.band]
            at, wide = start + cut.along, self.widths[cut.strip]
            if direction == ACROSS:
                pieces.append(Piece(cut.strip, at, side, cut.length, wide, across=True))
            else:
                pieces.append(Piece(cut.strip, side, at, wide, cut.length, across=False))
        joins, allowed = _joins(cuts, len(self.strips)), [self.allowed.get(_alike(strip), 0) for strip in self.strips]
        if bands.ribbons:
            of_ribbon = {cut.strip: cut.joins for ribbon in bands.ribbons for cut in ribbon.cuts}
            places = [of_ribbon[i] for i in range(len(self.strips))]
        else:
            places = self._places(cuts)
        return StripLay(
            strips=tuple(self.strips),
            pieces=tuple(pieces),
            direction=direction,
            way=way,
            width=width,
            length=max(piece.y + piece.height for piece in pieces),
            joins=tuple(joins),
            allowed=tuple(allowed),
            totals=tuple(self.total(i, count) for i, count in enumerate(allowed)),
            places=tuple(places),
            ribbons=bands.ribbons,
        )

    def _places(self, cuts: Sequence[_Cut]) -> list[tuple[float, ...]]:
        pieces: list[list[float]] = [[] for _ in self.strips]
        for cut in cuts:
            pieces[cut.strip].append(cut.length)
        return [tuple(self.joining.places(strip, each)) for strip, each in zip(self.strips, pieces)]


def _alike(strip: Strip) -> tuple[int, float]:
    """Return by what strips are told apart that are cut to one length."""
    return strip.tier, strip.length


class _Joints:
    """The joins of a ribbon of bands: the i-th stands where band i begins on band i - 1, and is ``join`` wide."""

    def __init__(self, band: float, joining: Joining) -> None:
        self.band, self.join, self.tape = band, joining.join, joining.tape
        self.pitch = band - joining.join

    def bands(self, end: float) -> int:
        """Return how many bands a ribbon takes that is so long."""
        return max(1, math.ceil((end - self.join / 2) / self.pitch - _HAIR))

    def within(self, start: float, length: float, beside: float = 0.0) -> list[float]:
        """Return where the joins stand in a strip that begins at ``start``, or ``beside`` its ends."""
        first = math.floor((start - beside - self.join / 2) / self.pitch + _HAIR) + 1
        last = math.ceil((start + length + beside - self.join / 2) / self.pitch - _HAIR) - 1
        return [i * self.pitch + self.join / 2 - start for i in range(max(first, 1), last + 1)]

    def start(self, strip: Strip, length: float, at: float) -> float:
        """Return where the next strip, cut to ``length``, begins, at or soon after ``at``: what lies between is thrown away so that joins hide."""
        half, (_, middle, last) = self.join / 2, strip.clear
        shifts = {0.0}
        for place in self.within(at, length + self.pitch, beside=half):
            shifts |= {place + half, place - middle + HAND, place - last}
        for shift in sorted(self.tape.up(shift) for shift in shifts if shift >= 0):
            if all(hides(strip, place) for place in self.within(at + shift, length, beside=half)):
                return at + shift
        return at

    def parts(self, strip: RibbonCut, first: int) -> list[_Cut]:
        """Return what a strip takes of every band, where the ribbon begins with the band ``first``."""
        band = math.floor((strip.start - self.join / 2) / self.pitch + _HAIR) if strip.start > self.join / 2 else 0
        parts = []
        for number in range(len(strip.joins) + 1):
            begins = (band + number) * self.pitch
            low = strip.start if number == 0 else begins
            high = strip.end if number == len(strip.joins) else begins + self.band
            parts.append(_Cut(strip.strip, first + band + number, low - begins, high - low))
        return parts


def _first_fit(pieces: Sequence[tuple[float, float, int, int]], band: float) -> _Bands:
    """Put pieces (-width, -length, strip, order), widest and longest first, each into the first band with room for it."""
    heights: list[float] = []
    used: list[float] = []
    cuts = []
    least = min(-length for _, length, _, _ in pieces) - _HAIR
    roomy: list[int] = []  # no other band takes anything any more
    for wide, long, i, order in pieces:
        high, length = -wide - _HAIR, -long
        place = next((k for k in roomy if band - used[k] >= length - _HAIR and heights[k] >= high), None)
        if place is None:
            place = len(used)
            heights.append(-wide)
            used.append(0.0)
            roomy.append(place)
        cuts.append((order, _Cut(i, place, used[place], length)))
        used[place] += length
        if band - used[place] < least:
            roomy.remove(place)
    return _Bands(heights, _in_order(cuts))


def _best_filled(pieces: Sequence[tuple[float, float, int, int]], band: float) -> _Bands:
    """Put pieces as :func:`_first_fit` takes them into bands, see :func:`_filled`."""
    heights, cuts, _ = _filled(pieces, band, math.inf)
    return _Bands(heights, _in_order(cuts))


def _in_order(cuts: Sequence[tuple[int, _Cut]]) -> list[_Cut]:
    """Return cuts in the order in which they follow each other along every strip."""
    return [cut for _, cut in sorted(cuts, key=lambda each: (each[1].strip, each[0]))]


def _filled(
    pieces: Sequence[tuple[float, float, int, int]], band: float, room: float
) -> tuple[list[float], list[tuple[int, _Cut]], list[tuple[float, float, int, int]]]:
    """Put pieces into bands one after the other, each filled as well as it can be, until the bands are as high as the ``room``.

    A band begins with the widest and longest piece that is left and goes in; of all that could stand behind it that of the
    greatest area is taken ("minimum bin slack": Gupta and Ho, Production Planning & Control 10, 1999).  Returned are the
    heights of the bands, the cuts with their order in the strip, and the pieces that are left.
    """
    kinds: dict[tuple[float, float], list[tuple[int, int]]] = {}
    for wide, long, i, order in pieces:
        kinds.setdefault((-wide, -long), []).append((i, order))
    sizes = list(kinds)
    left = [len(kinds[size]) for size in sizes]
    heights: list[float] = []
    cuts: list[tuple[int, _Cut]] = []
    first, open_room = 0, room + _HAIR
    while True:
        # What did not go in before goes in no more.
        first = next((k for k in range(first, len(sizes)) if left[k] and sizes[k][0] <= open_room and sizes[k][1] <= band + _HAIR), len(sizes))
        if first == len(sizes):
            break
        left[first] -= 1
        taken = [first, *_fill(sizes, left, first, band - sizes[first][1])]
        left[first] += 1
        often = Counter(taken)
        alike = min(left[kind] // count for kind, count in often.items())
        for _ in range(max(1, min(alike, int(open_room / sizes[first][0])) if room < math.inf else alike)):
            at = 0.0
            for kind in taken:
                left[kind] -= 1
                i, order = kinds[sizes[kind]].pop()
                cuts.append((order, _Cut(i, len(heights), at, sizes[kind][1])))
                at += sizes[kind][1]
            heights.append(sizes[first][0])
        open_room = room - sum(heights) + _HAIR
    rest = sorted((-wide, -long, i, order) for (wide, long), found in kinds.items() for i, order in found)
    return heights, cuts, rest


def _fill(sizes: Sequence[tuple[float, float]], left: Sequence[int], first: int, room: float) -> list[int]:
    """Return kinds of pieces, from ``first`` on, that together cover most of the ``room``: as good as so many tries find."""
    usable = [kind for kind in range(first, len(sizes)) if left[kind] and sizes[kind][1] <= room + _HAIR]
    shortest = list(accumulate((sizes[kind][1] for kind in reversed(usable)), min))[::-1]
    best: list[int] = []
    best_area, tries = 0.0, 0
    chosen: list[int] = []

    def onward(at: int, room: float, area: float) -> None:
        nonlocal best, best_area, tries
        if area > best_area + _HAIR:
            best, best_area = list(chosen), area
        while at < len(usable) and shortest[at] <= room + _HAIR < sizes[usable[at]][1]:
            at += 1
        tries += 1
        if at == len(usable) or shortest[at] > room + _HAIR or tries > _TRIES:
            return
        kind = usable[at]
        wide, long = sizes[kind]
        if area + room * wide <= best_area + _HAIR:  # those that follow are no wider
            return
        for count in range(min(left[kind], int((room + _HAIR) / long)), -1, -1):
            chosen.extend([kind] * count)
            onward(at + 1, room - count * long, area + count * wide * long)
            del chosen[len(chosen) - count :]

    onward(0, room, 0.0)
    return best


def _joins(cuts: Sequence[_Cut], count: int) -> list[int]:
    counts = np.bincount([cut.strip for cut in cuts], minlength=count)
    return [int(count) - 1 for count in counts]


def _shortest_bands(packer: Callable[[float], _Bands], least: float, width: float, tape: Tape) -> _Bands:
    """Return the bands for about the shortest length of band, on a mark, whose bands lie side by side in ``width``."""
    low = high = tape.up(least)
    bands = packer(high)
    while bands.height > width + _HAIR:
        low, high = high, tape.up(high * (1 + _STEP))
        bands = packer(high)
    tried = best = high
    while high - low > _CLOSE + 2 * tape.mark:
        tried = tape.up((low + high) / 2)
        bands = packer(tried)
        if bands.height <= width + _HAIR:
            best = high = tried
        else:
            low = tried
    return bands if tried == best else packer(best)
