"""The outline of a pattern piece: named edges that meet at named corners; those of the sleeve are :data:`SLEEVE`."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import are_straight, cross, evaluate, norm, straight
from geometry.curves.curve import STRAIGHT, Crossing, Curve
from geometry.sleeve.openings import Opening, bridged, openings_of, over_openings


class Shape(NamedTuple):
    """What a kind of piece calls its edges and corners.

    ``edges`` run clockwise on screen, each from the corner of the same place in ``corners``.  ``front`` are
    the edges of the front side, which run down, ``back`` those of the back side, which run up; lines are
    drawn across from one to the other.
    """

    edges: tuple[str, ...]
    corners: tuple[str, ...]
    front: tuple[str, ...]
    back: tuple[str, ...]


#: The sleeve, from the back end of its top edge.
SLEEVE = Shape(
    edges=("top edge", "front armhole", "front underarm", "hem", "back underarm", "back armhole"),
    corners=("back top", "front top", "front underarm point", "front hem", "back hem", "back underarm point"),
    front=("front armhole", "front underarm"),
    back=("back underarm", "back armhole"),
)
EDGES, CORNERS = SLEEVE.edges, SLEEVE.corners

#: Edges may part by this much at a corner, millimetres, and are then joined: no cut is made that fine.
JOIN = 1e-3

#: A line that passes a corner this closely, millimetres, ends at it: a tier line on the top edge or the hem
#: that rounding, or a hand in the editor, left beside it.
AT_CORNER = 0.05

#: Where a line meets a side: t on the line, and the point (2,).
_Place = tuple[float, Array]

#: Halvings that leave of a parameter no more than its last digit.
_HALVINGS = 52


_ACROSS_GRAIN = np.array([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


def mirror_image(curve: Curve) -> Curve:
    """Return the mirror image across the grain line of an edge or of part of an outline, run so that the
    outside stays on the same hand.
    """
    return curve.transformed(_ACROSS_GRAIN).reversed()


class Outline:
    """A closed line of named edges, clockwise on screen, of the sleeve or of another ``shape``; immutable.

    Raises ``ValueError`` where edges are missing, do not meet end to end (within :data:`JOIN`, and are
    then joined), or run the other way round.
    """

    __slots__ = ("_bridged", "_edges", "_openings", "_ring", "_sides", "shape")

    def __init__(self, edges: Mapping[str, Curve], shape: Shape = SLEEVE) -> None:
        if set(edges) != set(shape.edges):
            raise ValueError(f"this outline has the edges {', '.join(shape.edges)}")
        self.shape = shape
        ring = [edges[name] for name in shape.edges]
        for index, (before, after) in enumerate(zip([ring[-1], *ring], ring)):
            if norm(after.start - before.end) > JOIN:
                raise ValueError(f"the edges of the outline do not meet at the {shape.corners[index]}")
        self._openings: dict[str, list[Opening]] = {}
        self._bridged: Outline | None = None
        self._ring = Curve.chain(ring, gap=JOIN)
        if self._ring.signed_area() <= 0:
            raise ValueError("the edges of an outline run clockwise")
        counts = np.cumsum([len(edge) for edge in ring])[:-1]
        self._edges = {name: Curve(part) for name, part in zip(shape.edges, np.split(self._ring.segments, counts))}
        self._sides = {
            "front": Curve.chain([self._edges[name] for name in shape.front]),
            "back": Curve.chain([self._edges[name] for name in shape.back]).reversed(),
        }

    def edge(self, name: str) -> Curve:
        """Return an edge, run clockwise on screen."""
        return self._edges[name]

    def corner(self, name: str) -> Array:
        """Return the point (2,) of a corner."""
        return self._edges[self.shape.edges[self.shape.corners.index(name)]].start

    def corner_angle(self, name: str) -> float:
        """Return the angle inside the outline at a corner, in degrees from 0 to 360."""
        index = self.shape.corners.index(name)
        arriving, leaving = self._edges[self.shape.edges[index - 1]], self._edges[self.shape.edges[index]]
        before, after = arriving.tangent(len(arriving), incoming=True), leaving.tangent(0)
        return float(180 - np.degrees(np.arctan2(cross(before, after), before @ after)))

    def closed(self) -> Curve:
        """Return the whole outline as one closed curve, from where its first edge begins."""
        return self._ring

    def transformed(self, matrix: Array) -> Outline:
        """Return the outline taken through an affine ``matrix`` (2, 3) that does not mirror it."""
        return Outline({name: edge.transformed(matrix) for name, edge in self._edges.items()}, self.shape)

    def openings(self, name: str) -> list[Opening]:
        """Return the darts and vents that are drawn into an edge, see :mod:`geometry.sleeve.openings`."""
        if name not in self._openings:
            self._openings[name] = openings_of(self._edges[name])
        return self._openings[name]

    def bridged(self) -> Outline:
        """Return the outline with a straight line over the mouth of every dart and vent: itself where there is none."""
        if not any(self.openings(name) for name in self.shape.edges):
            return self
        if self._bridged is None:
            edges = {name: bridged(edge, self.openings(name)) for name, edge in self._edges.items()}
            self._bridged = Outline(edges, self.shape)
            self._bridged._openings = {name: [] for name in self.shape.edges}
        return self._bridged

    def sewn_length(self, name: str) -> float:
        """Return the length of an edge when its darts are sewn and its vents closed, millimetres."""
        return self._edges[name].length() - sum(sum(opening.legs) for opening in self.openings(name))

    def open_length(self, line: Curve) -> float:
        """Return how much of a ``line`` across runs over openings from leg to leg, where there is no cloth, millimetres."""
        every = [opening for name in self.shape.edges for opening in self.openings(name)]
        return over_openings(line, every)

    def side(self, which: str) -> Curve:
        """Return the "front" or "back" side as one curve, from the top down: of a sleeve its armhole and underarm seam."""
        return self._sides[which]

    def across(self, line: Curve) -> Curve:
        """Return ``line``, which may be bent, from the back side to the front side: trimmed there, or
        extended straight to there.  As :meth:`across_many` says.
        """
        return self.across_many([line])[0]

    def across_many(self, lines: Sequence[Curve]) -> list[Curve]:
        """Return each of ``lines`` from the back side to the front side; many together take less time.

        The stretch that is kept runs from one side to the other and meets neither between; of several
        the longest.  A line along the top edge or the hem, or that passes a corner within
        :data:`AT_CORNER`, runs from corner to corner.  ``ValueError`` for a line that misses a side.
        """
        if self.bridged() is not self:
            return self.bridged().across_many(lines)
        level = self._level_stretches(lines)
        rest = iter(self._stretches([line for line, found in zip(lines, level) if found is None]))
        return [next(rest) if found is None else found for found in level]

    def _level_stretches(self, lines: Sequence[Curve]) -> list[Curve | None]:
        """Return for each straight and level line that plainly meets each side once its stretch between, else None."""
        heights = np.array([_level_of(line) for line in lines])
        x = {which: _x_at(side, heights) for which, side in self._sides.items()}
        return [Curve.line((b, y), (f, y)) if b < f else None for y, b, f in zip(heights, x["back"], x["front"])]

    def _stretches(self, lines: Sequence[Curve]) -> list[Curve]:
        if not lines:
            return []
        nodes = self._ring.nodes
        long = []
        for line in lines:
            both = np.concatenate([nodes, line.nodes])
            reach = float(norm(both.max(axis=0) - both.min(axis=0)))
            long.append(line.extended(reach, reach))
        met = {which: side.crossings_many(long) for which, side in self._sides.items()}
        return [
            _side_to_side(line, {which: _places(line, side, met[which][k]) for which, side in self._sides.items()})
            for k, line in enumerate(long)
        ]

    def width_at(self, y: float) -> float:
        """Return the distance between the outermost places of the outline at the height ``y``.

        ``ValueError`` above the outline or below it.
        """
        _, top, _, bottom = self._ring.bounds()
        if not top - AT_CORNER <= y <= bottom + AT_CORNER:
            raise ValueError(f"the outline has no width at {y:g} mm: it reaches from {top:g} to {bottom:g} mm")
        return self.widths_at([y])[0]

    def widths_at(self, heights: Sequence[float]) -> list[float]:
        """Return :meth:`width_at` each of ``heights``, found together in a fraction of the time; 0 where it has none."""
        if self.bridged() is not self:
            wide = self.bridged().widths_at(heights)
            reach = self._ring.bounds()
            return [w and w - self.open_length(Curve.line((reach[0] - 1, y), (reach[2] + 1, y))) for w, y in zip(wide, heights)]
        left, top, right, bottom = self._ring.bounds()
        levels = [min(max(y, top), bottom) if top - AT_CORNER <= y <= bottom + AT_CORNER else y for y in heights]
        met = self._ring.crossings_many([Curve.line((left - 1, y), (right + 1, y)) for y in levels])
        return [float(np.ptp([place.point[0] for place in places])) if places else 0.0 for places in met]


def _level_of(line: Curve) -> float:
    """Return the height of a level line, NaN for any other."""
    heights = line.segments[..., 1]
    return float(heights[0, 0]) if (heights == heights[0, 0]).all() else np.nan


def _x_at(side: Curve, heights: Array) -> Array:
    """Return where a side that goes down all the way passes each of ``heights``; NaN where it does not, for
    a side that turns up anywhere, and within :data:`AT_CORNER` of its ends.
    """
    y = side.segments[..., 1]
    found = np.full(len(heights), np.nan)
    if (np.diff(y, axis=1) < 0).any():  # then a height may be passed more than once
        return found
    plain = np.flatnonzero((heights > y[0, 0] + AT_CORNER) & (heights < y[-1, 3] - AT_CORNER))
    pieces = side.segments[np.searchsorted(y[:, 0], heights[plain], side="right") - 1]
    place = _rising_to(pieces[..., 1], heights[plain])
    found[plain] = evaluate(pieces, place)[:, 0]
    return found


def _rising_to(y: Array, heights: Array) -> Array:
    """Return where cubics that never fall, of Bernstein coefficients ``y`` (n, 4), reach ``heights`` (n,).

    Newton's method, halving wherever it would leave the bracket.
    """
    low, high = np.zeros(len(y)), np.ones(len(y))
    rise = 3 * np.diff(y, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (heights - y[:, 0]) / (y[:, 3] - y[:, 0])
        for _ in range(_HALVINGS):
            left = 1 - place
            over = left**3 * y[:, 0] + 3 * left * left * place * y[:, 1] + 3 * left * place * place * y[:, 2] + place**3 * y[:, 3] - heights
            slope = left * left * rise[:, 0] + 2 * left * place * rise[:, 1] + place * place * rise[:, 2]
            low, high = np.where(over < 0, place, low), np.where(over < 0, high, place)
            step = place - over / slope
            step = np.where((step >= low) & (step <= high), step, (low + high) / 2)
            settled = np.abs(step - place).max(initial=0.0) < 1e-14
            place = step
            if settled:
                break
    return place


def _places(line: Curve, side: Curve, met: Sequence[Crossing]) -> list[_Place]:
    """Return where a line meets a side, as (t on the line, point); if nowhere, an end it passes closely."""
    places = [(place.t2, place.point) for place in met]
    if not places:
        passed = [(line.nearest(end), end) for end in (side.start, side.end)]
        places = [(place.t, end) for place, end in passed if place.distance <= AT_CORNER]
    return places


def _side_to_side(line: Curve, places: Mapping[str, list[_Place]]) -> Curve:
    """Cut the longest stretch of ``line`` that runs from one side to the other and meets none between.

    It ends on the sides to the last digit, and starts at the back.
    """
    found = sorted(((t, which, point) for which in places for t, point in places[which]), key=lambda place: place[0])
    stretches = []
    for (t0, one, start), (t1, other, end) in zip(found, found[1:]):
        if one != other and t1 > t0:
            piece = np.array(line.between(t0, t1).segments)
            lines = are_straight(piece, STRAIGHT)
            piece[0, :2] += start - piece[0, 0]
            piece[-1, 2:] += end - piece[-1, 3]
            piece[lines] = straight(piece[lines, 0], piece[lines, 3])
            stretches.append(Curve(piece if one == "back" else piece[::-1, ::-1]))
    if not stretches:
        raise ValueError("the line does not run from one side of the sleeve to the other")
    return max(stretches, key=Curve.length)
