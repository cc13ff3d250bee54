"""The outline of a sleeve: six named edges that meet at six named corners."""
from __future__ import annotations

from typing import Mapping

import numpy as np

from geometry.curves import Curve

#: The edges in order, clockwise on screen from the back end of the head.
EDGES = ("head", "front armhole", "front underarm", "hem", "back underarm", "back armhole")

#: The corner at which each edge of :data:`EDGES` begins.
CORNERS = ("back head", "front head", "front underarm point", "front hem", "back hem", "back underarm point")

#: Edges may part by this much at a corner, millimetres; they are then joined.
_JOIN = 1e-3


class Outline:
    """A closed line of named edges.  Raises ``ValueError`` where edges are missing or do not meet."""

    __slots__ = ("_edges", "_sides")

    def __init__(self, edges: Mapping[str, Curve]):
        if set(edges) != set(EDGES):
            raise ValueError(f"an outline has the edges {', '.join(EDGES)}")
        ring = Curve.chain([*(edges[name] for name in EDGES)], gap=_JOIN)
        if np.hypot(*(ring.end - ring.start)) > _JOIN:
            raise ValueError("the edges of an outline end where they begin")
        segments = np.array(ring.segments)
        segments[-1, 3] = segments[0, 0]
        counts = np.cumsum([len(edges[name]) for name in EDGES])[:-1]
        self._edges = {name: Curve(part) for name, part in zip(EDGES, np.split(segments, counts))}
        self._sides = {
            "front": Curve.chain([self._edges["front armhole"], self._edges["front underarm"]]),
            "back": Curve.chain([self._edges["back underarm"], self._edges["back armhole"]]).reversed(),
        }

    def edge(self, name: str) -> Curve:
        """Return an edge, run clockwise on screen."""
        return self._edges[name]

    def corner(self, name: str) -> np.ndarray:
        """Return the point (2,) where the corner ``name`` of :data:`CORNERS` lies."""
        return self._edges[EDGES[CORNERS.index(name)]].start

    def corner_angle(self, name: str) -> float:
        """Return the angle inside the outline at a corner, in degrees."""
        index = CORNERS.index(name)
        arriving, leaving = self._edges[EDGES[index - 1]], self._edges[EDGES[index]]
        back = -arriving.tangent(len(arriving), incoming=True)
        ahead = leaving.tangent(0)
        turned = np.degrees(np.arctan2(ahead[0] * back[1] - ahead[1] * back[0], ahead @ back))
        return float(turned % 360)

    def closed(self) -> Curve:
        """Return the whole outline as one closed curve."""
        return Curve.chain([self._edges[name] for name in EDGES])

    def transformed(self, matrix: np.ndarray) -> Outline:
        """Return the outline taken through an affine ``matrix`` (2, 3)."""
        return Outline({name: edge.transformed(matrix) for name, edge in self._edges.items()})

    def side(self, which: str) -> Curve:
        """Return the ``which`` ("front" or "back") armhole and underarm seam as one curve, from the head down."""
        return self._sides[which]

    def across(self, line: Curve) -> Curve:
        """Return ``line`` from the back side to the front side: trimmed there, or extended straight.

        The line may be bent.  Where it crosses a side more than once the stretch nearest the line's
        middle is kept.  Raises ``ValueError`` where it misses a side.
        """
        if line.start[0] > line.end[0]:
            line = line.reversed()
        reach = 4 * float(max(np.abs(side.nodes).max() for side in self._sides.values()))
        if len(line) == 1 and line.is_straight(1e-9)[0]:
            ahead = reach * line.tangent(0)
            middle_point = (line.start + line.end) / 2
            long, middle = Curve.line(middle_point - ahead, middle_point + ahead), 0.5
        else:
            long = line.extended(reach, reach)
            middle = long.at_length(reach + line.length() / 2)
        back = [c.t1 for c in long.crossings(self._sides["back"])]
        front = [c.t1 for c in long.crossings(self._sides["front"])]
        pairs = [(b, f) for b in back for f in front if b < f]
        if not pairs:
            raise ValueError("the line does not run from one side of the sleeve to the other")
        # Nearest the middle: the last back crossing before it and the first front crossing after it.
        start, end = min(pairs, key=lambda pair: (not pair[0] <= middle <= pair[1], pair[1] - pair[0]))
        trimmed = long.between(start, end)
        return trimmed

    def width_at(self, y: float) -> float:
        """Return the width at the height ``y``; ``ValueError`` above the head or below the hem."""
        return self.across(Curve.line((-1.0, y), (1.0, y))).length()
