"""Circular flounces: sectors of a ring whose inner arc is sewn to the line and whose outer arc falls in waves."""
from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from geometry.affine import Affine
from geometry.cloth.making import Pattern, ToMake
from geometry.curves.arcs import arc_segments
from geometry.curves.curve import Curve
from geometry.refusal import Refused

#: The smallest circle that can be cut, and clipped so that it spreads onto a line, radius in millimetres.
LEAST_RADIUS = 8.0

#: A flounce is cut as at most this many sectors.
MOST_SECTORS = 24


class TooTight(ValueError):
    """The inner circle would be too small to cut; ``most_fullness`` says what could be had."""

    def __init__(self, most_fullness: float) -> None:
        super().__init__("the inner circle of the flounce is too small to cut")
        self.most_fullness = most_fullness


class Flounce(NamedTuple):
    """``sectors`` equal sectors of a ring, each of ``angle`` radians, millimetres.

    ``inner`` and ``outer`` are the radii of the seam line and of the finished edge; ``inward`` (to be
    sewn to the line), ``outward`` (the hem) and ``ends`` (on each straight end) are the allowances.
    The inner arc is staystitched in one row before it is sewn on.
    """

    inner: float
    outer: float
    angle: float
    sectors: int
    inward: float
    outward: float
    ends: float
    rows: int = 1
    folds: None = None

    @property
    def inner_length(self) -> float:
        """The seam line of all sectors together."""
        return self.inner * self.angle * self.sectors

    @property
    def outer_length(self) -> float:
        """The finished edge of all sectors together."""
        return self.outer * self.angle * self.sectors

    @property
    def taken(self) -> float:
        """What is taken onto the line: the inner arc."""
        return self.inner_length

    @property
    def edge(self) -> float:
        """The free edge: the outer arc."""
        return self.outer_length

    @property
    def cut_radii(self) -> tuple[float, float]:
        """The radii of the cut edges."""
        return self.inner - self.inward, self.outer + self.outward

    @property
    def pattern(self) -> Pattern:
        """One sector, named in the middle of the ring."""
        return _pattern(self)

    def seam_piece(self) -> Curve:
        """Return the outline of one sector as sewn: symmetrical, the centre at (0, 0), opening upward."""
        return _sector(self.inner, self.outer, self.angle, 0.0)

    def cut_piece(self) -> Curve:
        """Return the outline of one sector as cut, laid as :meth:`seam_piece`."""
        inner, outer = self.cut_radii
        return _sector(inner, outer, self.angle, self.ends)

    def cut_on(self, angle: float, lower: bool) -> Curve:
        """Return where a sector ends that is cut from a wider one of this ``angle``, their left ends even: its right end, and
        its outer edge before that where it is ``lower`` than the wider one.
        """
        inner, outer = self.cut_radii
        over, right, _, _ = _edges(inner, outer, self.angle, self.ends)
        turned = Affine.turning((self.angle - angle) / 2).matrix
        return Curve.chain([over, right] if lower else [right]).transformed(turned)


@lru_cache(maxsize=256)
def _pattern(flounce: Flounce) -> Pattern:
    """Return the pattern of a flounce, which every table and every lay asks for."""
    return Pattern(flounce.seam_piece(), flounce.cut_piece(), flounce.sectors, (0.0, -sum(flounce.cut_radii) / 2), flounce.ends)


def solve_flounce(
    line: float,
    drop: float,
    fullness: float,
    ratio: float,
    inward: float,
    outward: float,
    ends: float,
    widest: float = math.inf,
    most_angle: float = 2 * math.pi,
    upright: bool = False,
) -> Flounce:
    """Return the flounce for a ``line``, in as few sectors as can be cut from cloth ``widest`` wide, none wider than ``most_angle``.
    On cloth with a nap it lies ``upright``, its outer arc up.

    The inner arc is ``line`` times ``ratio`` (1 = sewn on flat, more = gathered a little), the finished edge
    ``line`` times ``fullness``, so that the radii are in the proportion of the two, ``drop`` apart:
    inner = drop / (fullness / ratio - 1).

    Raises :class:`TooTight` where the inner circle is too small, and ``ValueError`` where the fullness is
    not above the ratio or no number of sectors fits the cloth.

    >>> flounce = solve_flounce(line=300.0, drop=90.0, fullness=2.0, ratio=1.0, inward=10.0, outward=0.0, ends=10.0)
    >>> flounce.inner, flounce.outer, flounce.sectors, round(flounce.outer_length)
    (90.0, 180.0, 1, 600)
    """
    if not fullness > ratio >= 1:
        raise ValueError("a circular flounce is fuller at its edge than where it is sewn on")
    inner = drop / (fullness / ratio - 1)
    least = max(LEAST_RADIUS, ends)  # an end's allowance, parallel to the end, has to meet the inner arc
    if inner - inward < least:
        raise TooTight(ratio * (1 + drop / (inward + least)))
    for sectors in range(1, MOST_SECTORS + 1):
        angle = line * ratio / inner / sectors
        flounce = Flounce(inner, inner + drop, angle, sectors, inward, outward, ends)
        if angle + 2 * _end_angle(ends, inner - inward) >= 2 * math.pi or (angle > most_angle and sectors < MOST_SECTORS):
            continue
        left, top, right, bottom = flounce.cut_piece().bounds()
        if (right - left if upright else min(right - left, bottom - top)) <= widest:
            return flounce
    raise ValueError("the flounce is wider than the cloth")


def circular_flounce(tier: ToMake) -> Flounce:
    """Return the circular flounce of a tier, or raise :class:`Refused` where none can be cut."""
    style = tier.style
    if tier.fullness <= style.flounce_ratio:
        raise Refused("flounce no fuller than its seam", tier=tier.number, fullness=tier.fullness, ratio=style.flounce_ratio)
    try:
        return solve_flounce(
            tier.line, tier.drop, tier.fullness, style.flounce_ratio,
            style.gathering_allowance, style.hem, max(style.end_allowance, style.join_allowance / 2), tier.widest, tier.angle, style.upright,
        )  # fmt: skip
    except TooTight as error:
        most = int(error.most_fullness * 10) / 10  # down to a tenth, so that it holds when it is typed back
        raise Refused("flounce too tight", tier=tier.number, fullness=tier.fullness, drop=tier.drop, most=most) from error
    except ValueError as error:
        raise Refused("cloth too narrow for a flounce", tier=tier.number, width=tier.widest) from error


def _end_angle(allowance: float, radius: float) -> float:
    """Return the angle by which an end's allowance, parallel to the end, widens an arc of this radius."""
    return math.asin(allowance / radius)


def _sector(inner: float, outer: float, angle: float, ends: float) -> Curve:
    """Return the closed outline between two arcs about (0, 0), its middle straight up the page (y < 0)."""
    return Curve.chain(_edges(inner, outer, angle, ends))


def _edges(inner: float, outer: float, angle: float, ends: float) -> list[Curve]:
    """Return the edges of that outline: the outer arc from the left to the right, the right end, the inner arc, the left end."""

    def at(radius: float, side: int) -> tuple[float, float]:
        turned = side * (angle / 2 + _end_angle(ends, radius))
        return radius * math.sin(turned), -radius * math.cos(turned)

    def arc(radius: float, start: int) -> Curve:
        large = angle + 2 * _end_angle(ends, radius) > math.pi
        return Curve(arc_segments(at(radius, start), (radius, radius), 0.0, large, start < 0, at(radius, -start)))

    over, under = arc(outer, -1), arc(inner, 1)
    down, up = (Curve.line(list(one.end), list(other.start)) for one, other in ((over, under), (under, over)))
    return [over, down, under, up]
