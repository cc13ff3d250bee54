"""From the Seam line to the Cutting line: a true parallel of every edge, and the corners as they are pressed."""
from __future__ import annotations

from typing import Mapping, Sequence

import numpy as np

from geometry.curves import Curve, join_at_corners
from geometry.outline import EDGES, Outline


def cutting_line(
    outline: Outline, allowances: Mapping[str, float], mirrored: Sequence[str] = ("hem",), accuracy: float = 0.005
) -> Curve:
    """Return the closed cutting line around ``outline``, clockwise on screen.

    ``allowances`` says for every edge how far out its parallel lies (millimetres, 0 or more).  Corners
    are mitred; beside a ``mirrored`` edge, whose allowance folds back along it, the cut is the mirror
    image of the neighbouring sides, so that the folded allowance lies flat on them.
    """
    sides = {name: outline.edge(name).offset(allowances[name], accuracy) for name in EDGES}
    for name in mirrored:
        if allowances[name] > accuracy:
            index = EDGES.index(name)
            before, after = EDGES[index - 1], EDGES[(index + 1) % len(EDGES)]
            edge, depth = outline.edge(name), allowances[name]
            sides[before] = _mirrored_on(sides[before], edge.start, edge.tangent(0), depth)
            mirror_back = _mirrored_on(sides[after].reversed(), edge.end, -edge.tangent(len(edge), incoming=True), depth)
            sides[after] = mirror_back.reversed()
    reach = max(*allowances.values(), accuracy)
    # Begun in the middle of the head, so that all six corners lie inside the chain.
    head_start, head_end = sides["head"].split(len(sides["head"]) / 2)
    ring = join_at_corners([head_end, *(sides[name] for name in EDGES[1:]), head_start], reach, accuracy)
    return _from_corner(ring).without_loops(10 * reach)


def _mirrored_on(side: Curve, corner_point: np.ndarray, fold: np.ndarray, depth: float) -> Curve:
    """Return the parallel of a side, run toward a fold, cut at the fold and continued by its mirror image.

    The fold is the line through ``corner_point`` along ``fold``; the image reaches ``depth`` beyond it.
    """
    normal = np.array([-fold[1], fold[0]])
    far = 10 * (depth + 1) + np.hypot(*(side.end - corner_point))
    line = Curve.line(corner_point - far * fold, corner_point + far * fold)
    long = side.extended(0, far)
    met = long.crossings(line)
    if not met:
        return side
    above = long.between(0, max(c.t1 for c in met))
    reflect = np.eye(2) - 2 * np.outer(normal, normal)
    image = above.transformed(np.column_stack([reflect, corner_point - reflect @ corner_point])).reversed()
    # Only what the allowance covers, and a little more for the corner to trim.
    beyond = Curve.line(corner_point - far * fold - depth * normal, corner_point + far * fold - depth * normal)
    if (image.end - corner_point) @ normal > 0:
        beyond = beyond.transformed(np.column_stack([np.eye(2), 2 * depth * normal]))
    cut = image.crossings(beyond)
    image = image.between(0, min(c.t1 for c in cut)) if cut and min(c.t1 for c in cut) > 0 else image
    return Curve.chain([above, image], gap=1e-3)


def _from_corner(ring: Curve) -> Curve:
    """Return the ring begun at its last corner, so that the middle of the head is no node of its own."""
    start, end = ring.segments[:1], ring.segments[-1:]
    whole_head = Curve.line(end[0, 0], start[0, 3]).segments if _is_line(start) and _is_line(end) else np.concatenate([end, start])
    return Curve(np.concatenate([whole_head, ring.segments[1:-1]]))


def _is_line(segment: np.ndarray) -> bool:
    return bool(Curve(segment).is_straight(1e-6)[0])
