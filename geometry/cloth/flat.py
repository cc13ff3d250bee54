"""A technical flat: how the tiered sleeve looks, front and back, true in proportion to its numbers.

Each view shows one half of a neutral figure: bodice, arm, and the sleeve on it folded flat at its outer fold
and its underarm seam, so that it is as wide as the half of its pattern, front or back.  x runs outward from the
centre line of the bodice, y down from its top edge, millimetres of the finished sleeve.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from geometry.affine import Affine
from geometry.box import Box
from geometry.cloth.strips import Tier
from geometry.curves.arrays import Array
from geometry.curves.bezier import boxes
from geometry.curves.curve import Curve
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import Outline
from geometry.sleeve.spread import Spread

#: How far the free edge of a tier stands out on each side, for each millimetre of drop: none at 1 : 1,
#: half of this at 2 : 1.  A convention of the drawing; how net stands out depends on the net.
_FLARE = 0.4

#: Layers below the outermost are drawn so much longer each, so that they are seen, millimetres.
_PEEP = 4.0

#: The arm hangs at this angle to the body, radians.
_HANGS = math.radians(9)

#: How wide one wave of a gathered free edge is drawn, and how deep for its width.
_WAVE, _DEEP = 21.0, 0.34

#: How wide one ripple of a flounce is drawn, how much of that comes forward, and how deep what comes forward and what falls back is.
_RIPPLE, _FORWARD, _FRONT_DEEP, _BACK_DEEP = 46.0, 0.66, 0.24, 0.30

#: Outlines are followed to within this.
_FOLLOW = 0.2

#: The four points of a cubic.
_Cubic = tuple[tuple[float, float], ...]

_THIRDS = np.array([0.0, 1 / 3, 2 / 3, 1.0])


class Figure(NamedTuple):
    """What the flat needs of the body: half of the bodice's top edge, its bust girth, the height of its underarm."""

    half_edge: float
    bust_girth: float
    underarm: float


class LayerShape(NamedTuple):
    """One layer of a tier: its closed outline, and whether it is cut from the contrast."""

    outline: Curve
    contrast: bool


class TierShape(NamedTuple):
    """One tier of a view: its layers, the lowest first; its folds, each a cubic (k, 4, 2) from its free edge or its stitching;
    its stitching line, and whether that shows.
    """

    number: int
    layers: tuple[LayerShape, ...]
    folds: Array
    stitching: Curve
    shows: bool


class View(NamedTuple):
    """The sleeve from one ``side``, "front" or "back": bodice and arm behind it, its closed silhouette, and the
    tiers from the lowest to the highest: each covers those before it.
    """

    side: str
    bodice: tuple[Curve, ...]
    arm: tuple[Curve, ...]
    centre: Curve
    silhouette: Curve
    tiers: tuple[TierShape, ...]

    def transformed(self, matrix: Array) -> View:
        """Return the view taken through an affine ``matrix`` (2, 3)."""
        turn = Affine.of(matrix)
        return View(
            self.side,
            tuple(curve.transformed(matrix) for curve in self.bodice),
            tuple(curve.transformed(matrix) for curve in self.arm),
            self.centre.transformed(matrix),
            self.silhouette.transformed(matrix),
            tuple(
                TierShape(
                    tier.number, tuple(LayerShape(layer.outline.transformed(matrix), layer.contrast) for layer in tier.layers),
                    turn.apply(tier.folds), tier.stitching.transformed(matrix), tier.shows,
                )
                for tier in self.tiers
            ),
        )  # fmt: skip

    def bounds(self) -> Box:
        """Return the box around all of it."""
        every = [*self.bodice, *self.arm, self.centre, self.silhouette, *(layer.outline for tier in self.tiers for layer in tier.layers)]
        return Box.around(boxes(np.concatenate([curve.segments for curve in every])).reshape(-1, 2))


def technical_flat(
    outline: Outline, lines: Sequence[TierLine], tiers: Sequence[Tier], make: str, figure: Figure, spread: Spread | None = None
) -> tuple[View, View]:
    """Return front and back view of a sleeve with these tier lines and tiers, made in the way ``make``; it hangs as it was before a
    ``spread`` turned its sides up, as much wider as that has made it.
    """
    front, back = (_view(which, outline, lines, tiers, make, figure, spread) for which in ("front", "back"))
    return front, back


def _view(
    which: str, outline: Outline, lines: Sequence[TierLine], tiers: Sequence[Tier], make: str, figure: Figure, spread: Spread | None
) -> View:
    side = _hanging_side(outline.side(which).flatten(_FOLLOW), spread)
    levels = np.array(sorted(set(side[:, 1].tolist())))  # np.unique would load numpy.ma for this
    levels = levels[(levels >= side[0, 1]) & (levels <= side[-1, 1])]
    half = np.abs(np.interp(levels, side[:, 1], side[:, 0])) / 2
    right = np.stack([half, levels], axis=1)
    ring = np.concatenate([right, (right * (-1, 1))[::-1], right[:1]])
    hang = _hanging(figure, float(half[0]))
    shapes = []
    above_end = math.inf  # how far down the tier above reaches
    for line, tier in zip(lines, tiers):
        level, width = _on_side(line, which, spread)
        shows = above_end < level
        shape = _shape(tier, width / 2, _wider(tier, which) / 2, level, "gathered" if tier.is_bought else make, shows)
        shapes.append(shape)
        above_end = level + tier.drop
    arm = _arm(figure, float(levels[-1]), float(half[-1]))
    view = View(which, (), tuple(arm), Curve.line((0, 0), (0, 1)), Curve.polyline(ring), tuple(shapes[::-1]))
    view = view.transformed(hang.matrix)
    bodice, centre, body = _body(figure)
    return view._replace(bodice=tuple(bodice), arm=(*body, *view.arm), centre=centre)


def _hanging(figure: Figure, half_top: float) -> Affine:
    """Return the map from a sleeve that hangs straight down about x = 0 to one on the arm, its inner top corner on the bodice's."""
    sine, cosine = math.sin(-_HANGS), math.cos(-_HANGS)
    turn = Affine(cosine, sine, -sine, cosine, 0.0, 0.0)
    x, y = turn.apply([(-half_top, 0.0)])[0].tolist()
    return Affine.moving(figure.half_edge - x, -y) @ turn


def _hanging_side(side: Array, spread: Spread | None) -> Array:
    """Return points (k, 2) of a side of the sleeve as far from the grain line as the cloth is wide there, at the heights at which they hang."""
    if spread is None:
        return side
    flat = spread.unrolled(side)
    return np.stack([np.abs(flat[:, 0]) + spread.spread_by(flat), flat[:, 1]], axis=1)


def _on_side(line: TierLine, which: str, spread: Spread | None) -> tuple[float, float]:
    """Return the height at which a line hangs where it meets the front or the back side, and how much of it lies there."""
    points = line.curve.flatten(_FOLLOW)
    points = points if points[0, 0] <= points[-1, 0] else points[::-1]
    end = points[-1:] if which == "front" else points[:1]
    x, steps = points[:, 0], np.hypot(*np.diff(points, axis=0).T)
    before, after = (np.maximum(part if which == "front" else -part, 0.0) for part in (x[:-1], x[1:]))
    there = (before + after) / np.maximum(np.abs(x[:-1]) + np.abs(x[1:]), 1e-9)  # how much of each step lies on that side
    level = (spread.unrolled(end) if spread else end)[0, 1]
    return float(level), line.length * float((there * steps).sum() / max(steps.sum(), 1e-9))


# --- one tier -------------------------------------------------------------------------------------


def _wider(tier: Tier, which: str) -> float:
    """Return by how much the free edge is wider than the line on one side: where the end is cut along a seam that runs out from under it."""
    if tier.made.pattern is not None:  # ends of flounces are straight
        return 0.0
    end = tier.ends[1 if which == "front" else 0]
    return end.reach if end.follows else tier.gathered_in / 2


def _shape(tier: Tier, half: float, wider: float, level: float, make: str, shows: bool) -> TierShape:
    """Return a tier that hangs from a line of the half width ``half`` at ``level``, about x = 0; its edge is ``wider`` than that before it flares."""
    reach = half + wider + _FLARE * tier.drop * (1 - 1 / tier.fullness)
    stitched = Curve(_between((-half, level), (half, level)))
    layers = []
    for under in range(tier.layers - 1, -1, -1):
        edge = level + tier.drop + _PEEP * under
        hem = _hem(tier, make, reach * (1 + 0.012 * under), edge, phase=under)
        sides = _side(half, level, hem[0, 0]), _side(-half, level, hem[-1, 3])[::-1, ::-1]
        outline = np.concatenate([stitched.segments, sides[0], hem, sides[1]])
        layers.append(LayerShape(Curve(outline), under < tier.contrast_layers))
    folds = np.array(list(_folds(tier, make, half, level, hem)), dtype=float).reshape(-1, 4, 2)  # on the outermost, the last of them
    return TierShape(tier.number, tuple(layers), folds, stitched, shows)


def _side(x: float, level: float, end: Array) -> Array:
    """Return how a tier falls at its side: out from its stitching, then down."""
    across, drop = end[0] - x, end[1] - level
    return np.array([[(x, level), (x + 0.7 * across, level + 0.12 * drop), (end[0], level + 0.5 * drop), tuple(end)]])


def _hem(tier: Tier, make: str, reach: float, edge: float, phase: int) -> Array:
    """Return the free edge from the right to the left, (n, 4, 2)."""
    if make == "gathered":
        return _waves(reach, edge, tier.drop, phase)
    if make == "flounce":
        return _ripples(reach, edge, tier.drop, phase)
    count = _pleats_seen(tier)
    across = np.linspace(reach, -reach, count + 1)
    rise = min(0.05 * tier.drop, 0.35 * 2 * reach / count)
    parts = []
    for right, left in zip(across[:-1], across[1:]):
        if make == "knife":  # each lies over the next: a step at every fold
            corners = [(right, edge - rise), (left, edge), (left, edge - rise)]
        else:  # faces to the free edge, what is folded under a little shorter
            inset = 0.12 * (right - left)
            corners = [(right, edge - rise), (right - inset, edge - rise), (right - inset, edge), (left + inset, edge),
                       (left + inset, edge - rise), (left, edge - rise)]  # fmt: skip
        parts += [_between(a, b) for a, b in zip(corners, corners[1:])]
    return np.concatenate(parts)


def _ripples(reach: float, edge: float, drop: float, phase: int) -> Array:
    """Return the edge of a flounce, which comes forward and falls back by turns, and comes forward at both ends."""
    forward = max(2, round(2 * reach / _RIPPLE))
    steps = 1 + 0.2 * np.sin(2.1 * np.arange(2 * forward - 1) + 1.3 * phase)
    steps *= np.where(np.arange(len(steps)) % 2, 1 - _FORWARD, _FORWARD)
    across = reach - 2 * reach * np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    wide = np.abs(np.diff(across))
    deep = np.where(np.arange(len(wide)) % 2, -np.minimum(_BACK_DEEP * wide, 0.1 * drop), np.minimum(_FRONT_DEEP * wide, 0.14 * drop))
    ripple = np.empty((len(wide), 4, 2))
    ripple[:, :, 0] = across[:-1, None] - wide[:, None] * np.array([0.0, 0.25, 0.75, 1.0])
    ripple[:, :, 1] = edge - 0.05 * drop + deep[:, None] * np.array([0.0, 4 / 3, 4 / 3, 0.0])  # a cubic's middle is at 3/4 of its controls
    return ripple


def _waves(reach: float, edge: float, drop: float, phase: int) -> Array:
    """Return soft waves, no two alike, that begin and end at the height of the edge."""
    count = max(3, round(2 * reach / _WAVE))
    steps = 1 + 0.28 * np.sin(2.1 * np.arange(count) + 1.3 * phase)
    across = reach - 2 * reach * np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()
    depth = np.minimum(_DEEP * np.abs(np.diff(across)), 0.3 * drop)
    wave = np.empty((count, 4, 2))
    along = np.array([0.0, 0.22, 0.78, 1.0])
    wave[:, :, 0] = across[:-1, None] + np.diff(across)[:, None] * along
    wave[:, :, 1] = edge - depth[:, None] * 0.75 + depth[:, None] * np.array([0.0, 1.0, 1.0, 0.0])
    meets = (wave[1:, 0, 1] + wave[:-1, 3, 1]) / 2
    wave[1:, 0, 1], wave[:-1, 3, 1] = meets, meets
    return wave


def _folds(tier: Tier, make: str, half: float, level: float, hem: Array) -> Iterator[_Cubic]:
    """Yield folds."""
    reach = float(hem[0, 0, 0])
    if make == "gathered":
        yield from _gathers(tier, half, level, hem)
    elif make == "flounce":
        yield from _cones(tier, half / reach, level, hem)
    else:
        count = _pleats_seen(tier)
        shares = np.linspace(1, -1, count + 1)[1:-1]
        if make == "box":
            inset = 0.24 / count
            shares = np.sort(np.concatenate([shares - inset, shares + inset]))
        for share in shares.tolist():
            yield _fall((share * half, level), (share * reach, level + tier.drop * 0.985))


def _gathers(tier: Tier, half: float, level: float, hem: Array) -> Iterator[_Cubic]:
    """Yield folds that rise from the valleys of the free edge, and others that fall from the stitching, short and long by turns."""
    reach = float(hem[0, 0, 0])
    valleys = hem[1:, 0]
    for i, (x, y) in enumerate(valleys.tolist()):
        share = (0.62, 0.4, 0.86, 0.5)[i % 4]
        top = x * (half / reach) * share + x * (1 - share)
        yield _fall((top, y - share * (y - level)), (x, y))
    starts = np.linspace(-half, half, 2 * len(valleys) + 3)[1:-1]
    for i, x in enumerate(starts.tolist()):
        long = tier.drop * (0.16, 0.3, 0.1, 0.24)[i % 4]
        yield _fall((x, level), (x * (1 + (reach / half - 1) * long / tier.drop), level + long))


def _cones(tier: Tier, narrower: float, level: float, hem: Array) -> Iterator[_Cubic]:
    """Yield the sides of the cones in which a flounce comes forward: they begin close together near the stitching, and end where
    its edge falls back.
    """
    for i, part in enumerate(hem[::2]):
        middle = float(part[0, 0] + part[3, 0]) / 2
        for k, (x, y) in enumerate((part[0].tolist(), part[3].tolist())):
            if abs(x) < abs(float(hem[0, 0, 0])) - 1e-6:  # that is the tier's own side
                high = (0.06, 0.34, 0.2, 0.12, 0.28)[(2 * i + k) % 5]
                yield _fall(((middle + 0.3 * (x - middle)) * narrower, level + high * tier.drop), (x, y))


def _fall(start: tuple[float, float], end: tuple[float, float]) -> _Cubic:
    """Return a fold that leaves its beginning straight down and bends to its end."""
    (x, y), (u, v) = start, end
    return (x, y), (x, y + 0.35 * (v - y)), (u - 0.3 * (u - x), v - 0.35 * (v - y)), (u, v)


def _pleats_seen(tier: Tier) -> int:
    """Return how many pleats one view shows: half of those of the line."""
    return max(2, round(getattr(tier.made, "number", 8) / 2))


# --- the figure -----------------------------------------------------------------------------------


def _body(figure: Figure) -> tuple[list[Curve], Curve, list[Curve]]:
    """Return the half bodice, its centre line, and neck and shoulder above it: a figure of ours, of nobody in particular."""
    edge, bust, deep = figure.half_edge, figure.bust_girth, figure.underarm
    side, waist, length = bust * 0.2, bust * 0.165, deep + bust * 0.36
    bodice = [
        Curve.line((0, 0), (edge, 0)),
        Curve.cubic((edge, 0), (edge + 0.1 * deep, 0.55 * deep), (side - 0.25 * deep, deep), (side, deep)),
        Curve.cubic((side, deep), (side - 0.02 * bust, deep + 0.12 * bust), (waist, length - 0.12 * bust), (waist, length)),
        Curve.cubic((waist, length), (0.6 * waist, length + 0.012 * bust), (0.3 * waist, length + 0.012 * bust), (0, length + 0.012 * bust)),
    ]
    neck, rise = 0.06 * bust, 0.16 * bust
    shoulder = [
        Curve.cubic((neck, -rise - 0.12 * bust), (neck, -rise), (neck + 0.03 * bust, -rise + 0.02 * bust), (neck + 0.07 * bust, -rise + 0.04 * bust)),
        Curve.cubic(
            (neck + 0.07 * bust, -rise + 0.04 * bust), (neck + 0.13 * bust, -rise + 0.07 * bust), (edge + 0.06 * bust, -rise * 0.6),
            (edge + 0.08 * bust, 0),
        ),
    ]  # fmt: skip
    return bodice, Curve.line((0, -0.03 * bust), (0, length + 0.04 * bust)), shoulder


def _arm(figure: Figure, hem: float, half_hem: float) -> list[Curve]:
    """Return the lower arm and the hand below a hem, before they are hung: as wide as an arm is in a sleeve of that width."""
    wide, long = min(0.62 * half_hem, 0.038 * figure.bust_girth), 0.2 * figure.bust_girth
    wrist = max(hem + 0.35 * long, 0.55 * figure.bust_girth)  # below a short sleeve the arm goes on
    reach = wrist + 0.65 * long
    thumb = wrist + 0.52 * long
    return [
        Curve.chain([
            Curve.cubic((-wide, hem - 20), (-wide, hem), (-0.8 * wide, wrist - 10), (-0.75 * wide, wrist)),
            Curve.cubic((-0.75 * wide, wrist), (-1.2 * wide, wrist + 0.25 * long), (-1.15 * wide, wrist + 0.45 * long), (-0.9 * wide, thumb)),
            Curve.cubic((-0.9 * wide, thumb), (-0.75 * wide, wrist + 0.56 * long), (-0.55 * wide, reach), (-0.1 * wide, reach)),
            Curve.cubic((-0.1 * wide, reach), (0.45 * wide, reach), (1.0 * wide, wrist + 0.25 * long), (0.75 * wide, wrist)),
            Curve.cubic((0.75 * wide, wrist), (0.8 * wide, wrist - 10), (wide, hem), (wide, hem - 20)),
        ])
    ]  # fmt: skip


def _between(a: tuple[float, float], b: tuple[float, float]) -> Array:
    """Return a straight segment (1, 4, 2)."""
    start, end = np.array(a, dtype=float), np.array(b, dtype=float)
    segment: Array = (start + _THIRDS[:, None] * (end - start))[None]
    return segment
