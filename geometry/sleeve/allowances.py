"""From the Seam line to the Cutting line: a parallel of every edge, and corners as they will be pressed."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.bezier import cross, left_of, norm
from geometry.curves.crossing import SAME
from geometry.curves.curve import Curve
from geometry.curves.parallel import MITRE_LIMIT
from geometry.refusal import Refused
from geometry.sleeve.outline import Outline, mirror_image

#: A cut this near a node, as a share of a segment, is at the node: it would leave a sliver.
_AT_NODE = 1e-7


#: A parallel's end this near to where it should be is there, millimetres.
_BESIDE = 0.05

#: Two directions that differ by less than this, radians, are the same: over a hand's breadth a twentieth of a millimetre.
_ALONGSIDE = 5e-4

#: Mirror images differ by no more than this, millimetres.
SYMMETRIC = 1e-9


class _Corner(NamedTuple):
    """How two continued parallels meet: where the one ends, what lies between, where the other begins."""

    end: float
    between: list[Curve]
    start: float


def cutting_line(
    outline: Outline, allowances: Mapping[str, float], mirrored: Sequence[str] = ("hem",), accuracy: float = 0.005
) -> Curve:
    """Return the closed cutting line around ``outline``, clockwise, begun with its first edge's.

    ``allowances`` gives for every edge how far out its parallel lies (millimetres, 0 or more), to
    ``accuracy``.  The parallels are continued straight to where they cross; a corner too sharp for that
    (:data:`geometry.curves.parallel.MITRE_LIMIT` times the wider allowance) is squared off.  The allowance of a
    ``mirrored`` edge is folded back along the edge: beside it the cut is the mirror image, across the
    edge's tangent at its corner, of the cut beyond the fold, so that it lies flat on the sleeve.

    Raises ``ValueError`` for an allowance that is below 0 or no number, and
    :class:`~geometry.refusal.Refused` where allowances are so wide that an edge has no parallel there (a hollow
    one is deeper than its radius), that it vanishes between its neighbours', or that the cutting line crosses itself
    or a thin point of the outline.
    """
    edges = outline.shape.edges
    for name in edges:
        if not (np.isfinite(allowances[name]) and allowances[name] >= 0):
            raise ValueError(f"the allowance of the {name} is {allowances[name]:g} mm; it can't be less than 0")
    # Less than the accuracy is none: a parallel that near could not be told from the edge.
    widths = {name: allowances[name] if allowances[name] > accuracy else 0.0 for name in edges}
    reach = MITRE_LIMIT * max(widths.values()) + 1  # and a little, so that lines that end together still meet
    # Where front and back are mirror images, half the work does: from the middle of the first edge to that of the one across.
    halved = _is_symmetric(outline, widths)
    names = edges[: len(edges) // 2 + 1] if halved else edges
    beside = {name: _beside(outline, name, widths, reach, name in mirrored, accuracy) for name in names}
    if halved and any(abs(beside[name].point(len(beside[name]) / 2)[0]) > accuracy for name in (names[0], names[-1])):
        # A scalloped hem's parallel has lost its loops, and its middle is no longer half its count of pieces on.
        halved, names = False, edges
        beside = {name: _beside(outline, name, widths, reach, name in mirrored, accuracy) for name in names}
    pairs = zip(names, names[1:] if halved else (*names[1:], names[0]))
    corners = [_corner(outline, *pair, beside, widths, mirrored) for pair in pairs]
    starts = [len(beside[names[0]]) / 2 if halved else corners[-1].start, *(corner.start for corner in corners)]
    ends = [*(corner.end for corner in corners), len(beside[names[-1]]) / 2]
    between = [*(corner.between for corner in corners), []]
    parts: list[list[Curve]] = []
    for name, start, end, beyond in zip(names, starts, ends, between):
        if start >= end:
            raise Refused("allowances leave no edge", edge=name)
        parts.append([beside[name].between(start, end), *beyond])
    ring = Curve.chain(curve for part in parts for curve in part)
    if halved:
        ring = _with_mirror_image(ring, len(parts[0][0]))
    ring = ring.tidied(accuracy)
    if ring.self_crossings():
        raise Refused("cutting line crosses itself")
    _check_points(outline, ring)
    return ring


def _check_points(outline: Outline, ring: Curve) -> None:
    """Raise :class:`Refused` where a point within an edge, thinner than what is left of its parallel, sticks out of the cut.

    Nearest to a corner of the cut, a point is outside if it is so by the mean of the normals there (Bærentzen and Aanæs 2005,
    IEEE Transactions on Visualization and Computer Graphics 11(3)).
    """
    within = [(name, point) for name in outline.shape.edges for point in outline.edge(name).nodes[1:-1]]
    for (name, point), (t, place, _) in zip(within, ring.nearest_many(np.array([point for _, point in within]).reshape(-1, 2))):
        at = _at_node(t)
        tangents = ring.tangent(at or len(ring), incoming=True) + ring.tangent(at % len(ring))
        if (point - place) @ left_of(tangents) > SAME:
            raise Refused("point outside the cutting line", edge=name)


def _beside(outline: Outline, name: str, widths: Mapping[str, float], reach: float, folded: bool, accuracy: float) -> Curve:
    """Return the parallel of an edge, continued straight at both ends: of a ``folded`` one so far that the mirror image of
    any seam beside it ends on it.
    """
    if folded:
        reach += max(float(norm(outline.edge(edge).end - outline.edge(edge).start)) for edge in outline.shape.edges)
    seam, width = outline.edge(name), widths[name]
    try:
        line = seam.offset(width, accuracy)
    except ValueError as nothing_left:
        raise Refused("allowance beyond the curve", edge=name, depth=width) from nothing_left
    if _ends_are_beside(line, seam, width):
        return line.extended(reach, reach)
    # Hollow and as tight as its allowance, or tighter, up to a corner, it has lost its end, or its way there: what keeps the
    # allowance there is beside the edge that runs on.
    return seam.extended(reach, reach).offset(width, accuracy)


def _ends_are_beside(line: Curve, seam: Curve, width: float) -> bool:
    """Return whether a parallel of an edge begins and ends square beside where the edge does, and runs there as it does."""
    ahead, beside = (np.stack([curve.tangent(0), curve.tangent(len(curve), incoming=True)]) for curve in (seam, line))
    square = seam.point(np.array([0.0, len(seam)])) + width * left_of(ahead)
    near = norm(line.point(np.array([0.0, len(line)])) - square).max() <= _BESIDE
    return bool(near and norm(beside - ahead).max() <= _ALONGSIDE)


def _is_symmetric(outline: Outline, widths: Mapping[str, float]) -> bool:
    """Return whether front and back are mirror images across the grain line, allowances and all.

    The first edge is then its own image, and so is the one across from it.
    """
    edges = outline.shape.edges
    pairs = [(edges[i], edges[-i]) for i in range(len(edges) // 2 + 1)]
    return len(edges) % 2 == 0 and all(
        widths[one] == widths[other]
        and len(outline.edge(one)) == len(outline.edge(other))
        and np.abs(mirror_image(outline.edge(one)).segments - outline.edge(other).segments).max() <= SYMMETRIC
        for one, other in pairs
    )


def _with_mirror_image(half: Curve, top: int) -> Curve:
    """Return the ring of a half, run from the middle of the first edge to that of the one across, and its mirror
    image, begun with the first edge's, of which the half has ``top`` segments.
    """
    return Curve(np.roll(Curve.chain([half, mirror_image(half)]).segments, top, axis=0))


def _corner(outline: Outline, before: str, after: str, beside: Mapping[str, Curve], widths: Mapping[str, float], mirrored: Sequence[str]) -> _Corner:
    """Return how the continued parallels of two neighbouring edges meet."""
    seam, next_seam = outline.edge(before), outline.edge(after)
    arriving, leaving = seam.tangent(len(seam), incoming=True), next_seam.tangent(0)
    folded = None
    if after in mirrored and widths[after]:
        _check_depth(after, seam.start + widths[before] * left_of(seam.tangent(0)) - next_seam.start, leaving, widths[after])
        folded = _folded(beside[before], beside[after], next_seam.start, leaving, widths)
    elif before in mirrored and widths[before]:
        far = next_seam.end + widths[after] * left_of(next_seam.tangent(len(next_seam), incoming=True))
        _check_depth(before, far - seam.end, arriving, widths[before])
        folded = _folded(beside[after].reversed(), beside[before].reversed(), seam.end, arriving, widths)
        if folded:
            end, between, start = folded
            folded = _Corner(len(beside[before]) - start, [part.reversed() for part in reversed(between)], len(beside[after]) - end)
    return folded or _mitred(beside[before], beside[after], seam.end, arriving, leaving, widths[before], widths[after])


def _check_depth(edge: str, beside: Array, along: Array, depth: float) -> None:
    """Raise :class:`Refused` where what is folded at an ``edge`` is deeper than the cut ``beside`` it reaches, seen from the
    corner: beyond that there is nothing whose mirror image it could be.
    """
    most = abs(float(cross(along, beside)))
    if depth > most + SAME:
        raise Refused("fold deeper than the seam beside it", edge=edge, depth=depth, most=most)


def _mitred(
    before: Curve, after: Curve, corner: Array, arriving: Array, leaving: Array, a: float, b: float
) -> _Corner:
    """Meet where the parallels cross nearest the corner, or square the corner off."""
    met = [place for place in before.crossings(after) if norm(place.point - corner) <= MITRE_LIMIT * max(a, b) + SAME]
    if met:
        nearest = min(met, key=lambda place: float(norm(place.point - corner)))
        return _Corner(_at_node(nearest.t1), [], _at_node(nearest.t2))
    # Either end so far on that the line between keeps its distance.
    turn = max(0.0, float(np.arctan2(cross(arriving, leaving), arriving @ leaving)))
    tip = corner + a * left_of(arriving) + _squared_off(turn, a, b) * arriving
    next_tip = corner + b * left_of(leaving) - _squared_off(turn, b, a) * leaving
    end, start = before.nearest(tip), after.nearest(next_tip)
    return _Corner(_at_node(end.t), [Curve.line(end.point, start.point)], _at_node(start.t))


def _squared_off(turn: float, own: float, other: float) -> float:
    """Return how far beyond a corner, at which the outline turns by ``turn`` radians, the allowance ``own`` runs on.

    In a sharp corner the line that squares it off lies square to its middle, as far out as the wider allowance; where
    the edges run on smoothly and only the allowance changes there is nothing to run on.
    """
    if turn <= np.pi / 2:
        return own * float(np.tan(turn / 4))
    return (max(own, other) - own * float(np.cos(turn / 2))) / float(np.sin(turn / 2))


def _folded(side: Curve, hem: Curve, corner: Array, along: Array, widths: Mapping[str, float]) -> _Corner | None:
    """Meet a folded edge's parallel by the mirror image of the side's, which runs toward the fold.

    None where the side runs so flat to the fold that it does not reach it nearby.
    """
    far = 2 * MITRE_LIMIT * max(widths.values())
    fold = Curve.line(corner - far * along, corner + far * along)
    met = side.crossings(fold)
    if not met:
        return None
    here = min(met, key=lambda place: norm(place.point - corner))
    turned = 2 * np.outer(along, along) - np.eye(2)  # the reflection that leaves the fold where it is
    mirror = np.column_stack([turned, corner - turned @ corner])
    image = side.between(0, here.t1).transformed(mirror).reversed().extended(0, far)
    meets = image.crossings(hem)
    if not meets:
        return None
    below = meets[0]
    return _Corner(_at_node(here.t1), [image.between(0, _at_node(below.t1))], _at_node(below.t2))


def _at_node(t: float) -> float:
    return float(round(t)) if abs(t - round(t)) < _AT_NODE else t
