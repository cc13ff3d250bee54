"""From tier lines to strips: what is cut for each tier.  Lengths in millimetres.

cut width = drop (less what of it is bought trim) + gathering allowance + hem;
cut length = length taken onto the line (line length × fullness) + what both ends reach out + a seam for every join.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import Callable, NamedTuple

import numpy as np

from geometry.cloth.gathers import Bought
from geometry.cloth.making import Made, TierStyle, ToMake
from geometry.cloth.ways import WAYS
from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.editing.retrimming import Tiers
from geometry.measuring.sums import Sum, Term, plain
from geometry.pieces.strip_ends import GATHERED_IN, Ends, StripEnd, square_ends, squared
from geometry.refusal import Problem, Refused
from geometry.sleeve.marks import TierLine, height_at_grain, hem_around, level_lines
from geometry.sleeve.outline import Outline
from geometry.sleeve.spread import Spread

#: A tier hangs over the stitching of the next by the spacing divided by this (common practice, no source),
#: and by no less than the gathering allowance, which has to be hidden too.
OVERLAP_PART = 3

#: What hangs from a line is no shorter than this, millimetres: else it is hardly there.
SHORTEST = 10.0

#: Lines and hem are followed to within this where their distance is taken.
_FOLLOW = 0.02


class Blank(NamedTuple):
    """The rectangle of cloth that a piece is cut from, and the ``area`` that ends in it.

    So many ``pieces`` make one layer.  A strip is one piece and may be joined (``joinable``) from shorter ones,
    at its ``folds`` where it has any.
    """

    width: float
    length: float
    area: float
    pieces: int
    joinable: bool
    folds: tuple[float, ...] | None = None


class Tier(NamedTuple):
    """One tier as it is to be cut.

    ``spacing`` is the greatest distance from its line down to the next line, or to the hem; ``ends`` say where
    and how the back and the front end are sewn in, and ``past_line`` how far each is cut past the end of the line,
    its allowance included; ``gathered_in`` is what square ends add to be gathered in; ``made`` holds gathers, pleats or flounce.

    Layers that are cut alike are one of these: they are the ones from ``first_layer`` on, counted from the innermost, and
    so many layers lie ``over`` them.  Their free ``edge`` is one of :data:`geometry.cloth.edges.EDGES`, with the allowance ``hem``,
    and of the drop so much is bought ``trim``.  Of all layers on the line so many ``inner_layers``, the innermost, are cut from the
    inner cloth.  What hangs from a line of the dress that is not the sleeve's has a ``name``, and is
    made once.
    """

    number: int
    line: float
    spacing: float
    drop: float
    fullness: float
    layers: int
    contrast_layers: int
    cut_width: float
    ends: Ends
    past_line: tuple[float, float]
    gathered_in: float
    join_allowance: float
    made: Made
    first_layer: int = 1
    over: int = 0
    name: str = ""
    edge: str = "cut"
    hem: float = 0.0
    trim: float = 0.0
    inner_layers: int = 0

    @property
    def is_bought(self) -> bool:
        """Whether it is bought already gathered, so that nothing is cut for it."""
        return isinstance(self.made, Bought)

    @property
    def cloth_drop(self) -> float:
        """How far what is cut hangs down: all of the drop but bought trim."""
        return self.drop - self.trim

    @property
    def called(self) -> int | str:
        """The number of a tier, or the name of another line."""
        return self.name or self.number

    @property
    def all_layers(self) -> int:
        """How many layers hang from the line in all."""
        return self.first_layer - 1 + self.layers + self.over

    def copies(self, sleeves: int) -> int:
        """Return how often it is made for so many sleeves."""
        return 1 if self.name else sleeves

    def cut_length(self, joins: int) -> float:
        """Return the length of strip to cut, in all its pieces together, when it has this many joins."""
        return strip_length(self, joins).result

    @property
    def overlap(self) -> float:
        """How far the tier hangs past the next line or the hem; negative where that shows."""
        return self.drop - self.spacing

    @property
    def uncovered(self) -> float:
        """How far the sleeve runs out beside the tier: where its ends are straight though the seam slants outward."""
        return 0.0 if self.made.pattern is None else max(end.reach for end in self.ends)

    @property
    def blank(self) -> Blank:
        """What every layer is cut from."""
        pattern = self.made.pattern
        if pattern is None:
            length = self.cut_length(0)
            folds = None if self.made.folds is None else tuple(self.past_line[0] + fold for fold in self.made.folds)
            return Blank(self.cut_width, length, self.cut_width * length, pieces=1, joinable=True, folds=folds)
        width, length = pattern.size
        return Blank(width, length, pattern.area, pattern.pieces, joinable=False)


def measure_lines(tiers: Tiers) -> list[TierLine]:
    """Return re-measured tier lines from the top down.

    Raises :class:`Refused` where there are none, or one misses a side.
    """
    if not tiers.lines:
        raise Refused("no tier lines")
    if tiers.adrift:
        raise Refused("tier line adrift", tier=tiers.adrift[0])
    return sorted(tiers.lines, key=lambda line: height_at_grain(line.curve))


def spacings(outline: Outline, lines: Sequence[TierLine], end: float = math.inf, spread: Spread | None = None) -> list[float]:
    """Return for each line the greatest distance straight down to the next, from the last to the hem; beside its own ends
    too, where the next one reaches further out.  Straight down is along the grain before a ``spread`` turned it.

    ``end`` is the height at which the tiers end where that is above the hem and below the last line.  Raises
    :class:`Refused` where two lines touch or cross, or one lies on or below the hem.
    """
    found = []
    followed = [_across(line.curve, spread) for line in lines]
    followed.append(_bottom(outline, float(followed[-1][:, 1].max()), end, spread))
    others = [*(Problem("another tier line", {"tier": line.number}) for line in lines[1:]), Problem("the hem", {})]
    for upper, other, above, below in zip(lines, others, followed, followed[1:]):
        least, greatest = _gaps(above, below)
        if least <= _FOLLOW:
            raise Refused("tier line touches", tier=upper.number, other=other)
        found.append(greatest)
    return found


def _bottom(outline: Outline, last: float, end: float, spread: Spread | None) -> Array:
    """Return points that follow the line down to which the ``last`` tier, whose line reaches down to there, covers the sleeve."""
    hem = _across(hem_around(outline), spread)
    ends_above = last + _FOLLOW < end < float(hem[:, 1].min()) - _FOLLOW
    return _across(level_lines(outline, [end], spread)[0], spread) if ends_above else hem


def _across(line: Curve, spread: Spread | None) -> Array:
    """Return points (k, 2) that follow a line from left to right, where it lay before a ``spread``."""
    points = line.nodes if line.is_straight(_FOLLOW).all() else line.flatten(_FOLLOW)
    points = spread.unrolled(points) if spread else points
    return points[np.argsort(points[:, 0], kind="stable")]


def _gaps(above: Array, below: Array) -> tuple[float, float]:
    """Return the least distance straight down from one line to another where both run, and the greatest wherever the lower one does.

    Beside the upper one a strip hangs as from its end.
    """
    left, right = max(above[0, 0], below[0, 0]), min(above[-1, 0], below[-1, 0])
    places = np.concatenate([above[:, 0], below[:, 0], [left, right]])
    places = places[(places >= below[0, 0]) & (places <= below[-1, 0])]
    apart = np.interp(places, *below.T) - np.interp(places, *above.T)
    return float(apart[(places >= left) & (places <= right)].min()), float(apart.max())


def usual_overlap(spacing: float, gathering_allowance: float) -> float:
    """Return the overlap by the rule.

    >>> usual_overlap(90.0, 12.7), usual_overlap(30.0, 12.7)
    (30.0, 12.7)
    """
    return max(overlap_by_spacing(spacing).result, gathering_allowance)


def overlap_by_spacing(spacing: float) -> Sum:
    """Return by how much a tier hangs over the stitching of the next, before the gathering allowance is seen to."""
    return Sum("overlap", Term(spacing, "spacing"), (("÷", plain(OVERLAP_PART)),))


def tier_drop(number: int | str, spacing: float, overlap: float, last: bool = False) -> Sum:
    """Return how far a tier hangs down, the ``last`` from its line to where the hem is farthest from that.

    >>> tier_drop(1, 90.0, 30.0).result
    120.0
    """
    return Sum(f"drop of tier {number}", Term(spacing, "to the hem where it is farthest" if last else "spacing"), (("+", Term(overlap, "overlap")),))


def strip_width(number: int | str, drop: float, gathering_allowance: float, hem: float, trim: float = 0.0) -> Sum:
    """Return how wide the strip of a tier is cut, of whose drop so much is bought ``trim``.

    >>> strip_width(1, 120.0, 12.0, 6.0).result, strip_width(1, 120.0, 12.0, 6.0, trim=25.0).result
    (138.0, 113.0)
    """
    added = ("+", Term(gathering_allowance, "gathering allowance")), ("+", Term(hem, "hem"))
    bought = (("−", Term(trim, "bought trim")),) if trim else ()
    return Sum(f"cut width of tier {number}", Term(drop, "drop"), (*bought, *added), say="up")


def strip_length(tier: Tier, joins: int) -> Sum:
    """Return how long the strip of a tier is cut, when it has so many joins."""
    ends = tuple(("+", Term(past, f"{side} end")) for side, past in zip(("back", "front"), tier.past_line))
    joined = (("+", Term(joins * tier.join_allowance, f"for {joins} join{'s' if joins > 1 else ''}")),) if joins else ()
    return Sum(f"cut length of tier {tier.called}", Term(tier.made.taken, "taken onto the line"), (*ends, *joined), say="up")


def plan_strips(
    lines: Sequence[TierLine],
    between: Sequence[float],
    style: TierStyle,
    widest: float,
    ends_of: Callable[[Curve, float], Ends] = square_ends,
) -> list[Tier]:
    """Return every tier as it is to be cut.

    ``lines`` are the tier lines and ``between`` the spacings, from the top; ``widest`` is the usable width of
    the cloth that pattern pieces must fit; ``ends_of`` tells of a line and a drop how the ends are sewn in.
    Raises :class:`Refused` where a tier can't be made so.
    """
    tiers = []
    for i, (line, spacing, drop) in enumerate(zip(lines, between, drops_of(style, between))):
        layers, contrast, inner = layers_from(style, i, line.number)
        hung = Hung(line.number, line.length, partial(ends_of, line.curve))
        tiers.append(hung.tier(spacing, drop, style.fullness[i], layers, contrast, style, widest)._replace(inner_layers=inner))
    return tiers


def layers_from(style: TierStyle, i: int, number: int) -> tuple[int, int, int]:
    """Return how many layers a tier has, by its place ``i`` from the top, and how many of them are cut from the contrast and from
    the inner cloth.  Raises :class:`Refused` where there are not so many.
    """
    layers, contrast, inner = style.layers[i], style.contrast_layers[i], style.inner_layers[i] if style.inner_layers else 0
    if style.buys(number):
        return layers, 0, 0
    if contrast > layers:
        raise Refused("more contrast than layers", tier=number, layers=layers, contrast=contrast)
    if contrast + inner > layers:
        raise Refused("more cloths than layers", tier=number, layers=layers, contrast=contrast, inner=inner)
    return layers, contrast, inner


class Hung(NamedTuple):
    """A line from which something hangs: its number and its length, how the ends of what hangs so far down are sewn in, and its
    name where it is none of the sleeve's.
    """

    number: int
    length: float
    ends_at: Callable[[float], Ends]
    name: str = ""

    def tier(
        self, spacing: float, drop: float, fullness: float, layers: int, contrast: int, style: TierStyle, widest: float
    ) -> Tier:
        """Return what hangs from it, so many ``layers`` alike.  Arguments and errors as of :func:`plan_strips`."""
        hung = partial(Tier, number=self.number, line=self.length, spacing=spacing, drop=drop, fullness=fullness, layers=layers)
        if style.buys(self.number) and not self.name:
            return self._bought(hung, drop, style)
        cloth, called = drop - style.trim, self.name or self.number
        ends = self.ends_at(cloth)
        gathered_in = sum(end.reach for end in ends) if style.end_shape == GATHERED_IN else 0.0
        made = WAYS[style.make](ToMake(called, self.length, cloth, fullness, style, widest, gathered_in))
        if gathered_in and made.pattern is None:
            ends = squared(ends[0]), squared(ends[1])
        return hung(
            contrast_layers=contrast,
            cut_width=strip_width(called, drop, style.gathering_allowance, style.hem, style.trim).result,
            ends=ends,
            gathered_in=0.0 if made.pattern else gathered_in,
            past_line=(past_line(ends[0], style), past_line(ends[1], style)) if made.pattern is None else (made.pattern.ends,) * 2,
            join_allowance=style.join_allowance if made.pattern is None else 2 * made.pattern.ends,
            made=made,
            name=self.name,
            edge=style.edge,
            hem=style.hem,
            trim=style.trim,
        )

    def _bought(self, hung: Callable[..., Tier], drop: float, style: TierStyle) -> Tier:
        """Return the tier as trim that is bought already gathered, as deep as it hangs; its ends run out as far as the seams do."""
        back, front = ends = self.ends_at(drop)
        return hung(
            contrast_layers=0,
            cut_width=drop,
            ends=ends,
            gathered_in=0.0,
            past_line=(back.takes_up(style.end_allowance, 0.0, 0.0), front.takes_up(style.end_allowance, 0.0, 0.0)),
            join_allowance=0.0,
            made=Bought(),
        )


def remade(tier: Tier, style: TierStyle, widest: float, fullness: float, angle: float = 2 * math.pi) -> Tier:
    """Return a tier made anew with another fullness or angle; all else is as it was.  Arguments and errors as of :func:`plan_strips`."""
    style = style._replace(edge=tier.edge, hem=tier.hem)
    made = WAYS[style.make](ToMake(tier.called, tier.line, tier.cloth_drop, fullness, style, widest, tier.gathered_in, angle))
    return tier._replace(fullness=fullness, made=made)


def past_line(end: StripEnd, style: TierStyle) -> float:
    """Return how far a strip is cut past the end of its line."""
    return end.takes_up(style.end_allowance, style.gathering_allowance, style.hem)


def drops_of(style: TierStyle, between: Sequence[float]) -> list[float]:
    """Return how far every tier hangs down, by the spacings from the top."""
    return [_drop(style, i, spacing, last=i == len(between) - 1) for i, spacing in enumerate(between)]


def check_trim(style: TierStyle, drops: Sequence[tuple[int | str, float]]) -> None:
    """Raise :class:`Refused` where bought trim would leave hardly any cloth above it; ``drops`` are those of all that hangs, by name."""
    called, drop = min(drops, key=lambda each: each[1], default=("", math.inf))
    if style.trim and drop - style.trim < SHORTEST:
        raise Refused("trim deeper than its tier", tier=called, drop=drop, trim=style.trim, most=drop - SHORTEST)


def _drop(style: TierStyle, i: int, spacing: float, last: bool) -> float:
    if style.drops is not None:
        return style.drops[i]
    return tier_drop(i + 1, spacing, overlap_of(style, spacing, last)).result


def overlap_of(style: TierStyle, spacing: float, last: bool) -> float:
    """Return how far a tier that is given no drop of its own hangs past the next line, the ``last`` one past the hem."""
    if last:
        return style.past_hem
    return usual_overlap(spacing, style.gathering_allowance) if style.overlap is None else style.overlap
