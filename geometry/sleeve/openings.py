"""Darts and vents drawn into an edge, and hems that are scalloped or pointed: what is measured where cloth is missing.

Two legs of equal length from the edge to one point, or to a short top, are an opening.  Sewn together (a dart) or
met edge to edge (a vent) they take in the mouth, and the edge is as long as what is left of it.
"""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import cross, norm
from geometry.curves.curve import Curve

#: An edge turns by as many degrees at a node that counts: less is a seam that was drawn by hand.
TURN = 20.0

#: The legs of one opening differ by no more than this, millimetres, or this share of the longer (common practice, no source:
#: what is eased away in sewing a dart).
LEGS_DIFFER, LEGS_SHARE = 3.0, 0.05

#: Beyond its mouth an edge runs on within so many degrees, and its legs meet at no more than so many: else it is a shape.
RUNS_ON, WIDEST = 50.0, 95.0

#: Legs that meet at no more than so many degrees are no teeth of a zigzag, whose sides would run on at more than
#: :data:`RUNS_ON`: beside a corner that was moved far, on one side of such an opening the edge may turn off by up to so many.
NARROW, TURNS_OFF = 65.0, 90.0

#: A hem that turns to and fro by this many degrees more than it turns in all is wavy.
TO_AND_FRO = 60.0

#: A line across that comes this near the mouth of an opening, millimetres, lies along it: what rounding in files does.
LEG_BEFORE = 0.05

#: Wherever it turns is seen at so many places on every piece of a hem.
_LOOKS = 9


class Opening(NamedTuple):
    """An opening in an edge: between which parameters its legs run, where they meet, and the two legs' lengths, millimetres."""

    start: float
    end: float
    tip: Array
    mouth: Array
    legs: tuple[float, float]

    @property
    def intake(self) -> float:
        """How far apart the legs begin, millimetres: what sewing them together takes in."""
        return float(norm(self.mouth[1] - self.mouth[0]))


def node_turns(edge: Curve) -> Array:
    """Return by how many degrees (n - 1) an edge turns at each node between its ends, to the right on screen positive."""
    inner = np.arange(1, len(edge))
    if not len(inner):
        return np.empty(0)
    arriving = np.array([edge.tangent(float(i), incoming=True) for i in inner])
    leaving = np.array([edge.tangent(float(i)) for i in inner])
    turns: Array = np.degrees(np.arctan2(cross(arriving, leaving), (arriving * leaving).sum(axis=1)))
    return turns


def openings_of(edge: Curve) -> list[Opening]:
    """Return the darts and vents of an edge, run clockwise on screen, in its direction."""
    return _found(edge)[0]


def strange_corners(edge: Curve) -> list[Array]:
    """Return the sharp nodes of an edge that belong to no opening."""
    openings, sharp = _found(edge)
    return [edge.point(float(i)) for i in sharp if not any(o.start <= i <= o.end for o in openings)]


def _found(edge: Curve) -> tuple[list[Opening], list[int]]:
    turns = node_turns(edge)
    sharp = [int(i) + 1 for i in np.flatnonzero(np.abs(turns) >= TURN)]
    found: list[Opening] = []
    for place in range(len(sharp)):
        for tops in (1, 2):
            nodes = sharp[place : place + tops + 2]
            if len(nodes) == tops + 2 and not (found and found[-1].end > nodes[0]):
                opening = _opening(edge, turns, nodes)
                if opening is not None:
                    found.append(opening)
    # Where one begins as another ends they make a zigzag.
    shared = {o.end for o in found} & {o.start for o in found}
    return [o for o in found if o.start not in shared and o.end not in shared], sharp


def _opening(edge: Curve, turns: Array, nodes: Sequence[int]) -> Opening | None:
    """Return the opening that runs through sharp ``nodes``: out, in at one top or two, out again; None where it is none."""
    first, *tops, last = nodes
    if turns[first - 1] < TURN or turns[last - 1] < TURN or any(turns[top - 1] > -TURN for top in tops):
        return None
    legs = edge.between(first, tops[0]).length(), edge.between(tops[-1], last).length()
    if abs(legs[0] - legs[1]) > max(LEGS_DIFFER, LEGS_SHARE * max(legs)):
        return None
    a, b = edge.point(float(first)), edge.point(float(last))
    tip = (edge.point(float(tops[0])) + edge.point(float(tops[-1]))) / 2
    intake, across = float(norm(b - a)), b - a
    if intake <= 0 or float(norm(edge.point(float(tops[-1])) - edge.point(float(tops[0])))) > intake + LEGS_DIFFER:
        return None
    arriving, leaving = edge.tangent(float(first), incoming=True), edge.tangent(float(last))
    at_tip = np.degrees(np.arctan2(abs(cross(a - tip, b - tip)), (a - tip) @ (b - tip)))
    turning_less, turning_more = sorted((_between(arriving, across), _between(across, leaving)))
    if at_tip > WIDEST or turning_less > RUNS_ON or turning_more > (TURNS_OFF if at_tip <= NARROW else RUNS_ON):
        return None
    return Opening(float(first), float(last), tip, np.array([a, b]), legs)


def _between(one: Array, other: Array) -> float:
    return float(np.degrees(abs(np.arctan2(cross(one, other), one @ other))))


def bridged(edge: Curve, openings: Sequence[Opening]) -> Curve:
    """Return the edge with a straight line over the mouth of every opening."""
    if not openings:
        return edge
    pieces, at = [], 0.0
    for opening in openings:
        pieces += [edge.between(at, opening.start), Curve.line(*opening.mouth)]
        at = opening.end
    return Curve.chain([*pieces, edge.between(at, len(edge))])


def is_shaped(edge: Curve, openings: Sequence[Opening]) -> bool:
    """Whether a hem is scalloped, pointed or wavy: such a one is longer than what it goes around."""
    plain = bridged(edge, openings)
    if (np.abs(node_turns(plain)) >= TURN).any():
        return True
    t = np.linspace(0, len(plain), _LOOKS * len(plain) + 1)
    ahead = plain.tangent(t[:-1])
    turns = np.degrees(np.arctan2(cross(ahead[:-1], ahead[1:]), (ahead[:-1] * ahead[1:]).sum(axis=1)))
    return bool(np.abs(turns).sum() - abs(turns.sum()) > TO_AND_FRO)


def over_openings(line: Curve, openings: Sequence[Opening]) -> float:
    """Return how much of a ``line`` across the sleeve, millimetres, runs over openings, from leg to leg."""
    return sum(_over(line, opening) for opening in openings)


def _over(line: Curve, opening: Opening) -> float:
    # A line may lie along the mouth, rounded, so the legs begin a little before it.
    legs = [Curve.line(end + LEG_BEFORE * (end - opening.tip) / norm(end - opening.tip), opening.tip) for end in opening.mouth]
    met = [line.crossings(leg) for leg in legs]
    if all(met):
        t = sorted((met[0][0].t1, met[1][0].t1))
        return line.between(t[0], t[1]).length() if t[1] > t[0] else 0.0
    return 0.0

