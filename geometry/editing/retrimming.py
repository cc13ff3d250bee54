"""Making the lines of a sleeve true again on an outline that she has edited."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.curves.curve import Curve
from geometry.refusal import Refused
from geometry.sleeve.marks import Notch, TierLine, height_at_grain
from geometry.sleeve.outline import EDGES, Outline, mirror_image

#: An end of a line this near the seam is on it, millimetres: ten times what rounding in the file does,
#: so that what was trimmed once stays as it is.
ON_SEAM = 1e-3

#: A tier line whose ends were this near the ends of the top edge lay on it, millimetres.
ON_TOP_EDGE = 0.05


class Tiers(NamedTuple):
    """Tier lines made true: each ``lines[i]`` comes from the ``i``-th that was given, and ``adrift`` holds
    the numbers of those that no longer run from seam to seam and were left as they are.
    """

    lines: list[TierLine]
    adrift: tuple[int, ...]


def remeasured_tiers(outline: Outline, tiers: Sequence[TierLine], old_top_edge: Array) -> Tiers:
    """Return the tier lines trimmed or extended to the edited outline.

    A line that lay on the top edge, whose ends were ``old_top_edge`` (2, 2), goes with it; every other stays
    where it is.  Numbers are kept, unless two lines share one: then all are numbered by height.
    """
    with_top_edge = [_with_the_top_edge(outline, tier.curve, old_top_edge) for tier in tiers]
    trimmed = iter(trimmed_all(outline, [tier.curve for tier, top in zip(tiers, with_top_edge) if top is None]))
    found = [next(trimmed) if top is None else top for top in with_top_edge]
    adrift = [i for i, curve in enumerate(found) if curve is None]
    curves = [tier.curve if curve is None else curve for tier, curve in zip(tiers, found)]
    numbers = [tier.number for tier in tiers]
    if len(set(numbers)) < len(numbers):
        heights = [height_at_grain(curve) for curve in curves]
        for rank, i in enumerate(np.argsort(heights, kind="stable"), start=1):
            numbers[i] = rank
    lines = [TierLine(number, curve, outline.open_length(curve)) for number, curve in zip(numbers, curves)]
    return Tiers(lines, tuple(numbers[i] for i in adrift))


def trimmed_all(outline: Outline, lines: Sequence[Curve]) -> list[Curve | None]:
    """Return each of ``lines`` trimmed or extended to both sides of the sleeve, in its own direction.

    The very line where it ends on the seam already, and None where it misses a side.
    """
    within = [_may_reach(outline, line) for line in lines]
    if not all(within):
        reached = iter(trimmed_all(outline, [line for line, may in zip(lines, within) if may]))
        return [next(reached) if may else None for may in within]
    if not lines:
        return []
    try:
        across = outline.across_many(lines)
    except ValueError:  # one of them misses: found by halving, for many together take less time than each
        if len(lines) == 1:
            return [None]
        half = len(lines) // 2
        return trimmed_all(outline, lines[:half]) + trimmed_all(outline, lines[half:])
    return [_kept(line, long) for line, long in zip(lines, across)]


def _may_reach(outline: Outline, line: Curve) -> bool:
    """Whether a line lies at the height of both sides; of a level one that is soon told, of others it is assumed."""
    heights = line.segments[..., 1]
    if heights.min() != heights.max():
        return True
    sides = [outline.side(which).nodes[:, 1] for which in ("front", "back")]
    return all(side.min() - ON_TOP_EDGE <= heights.flat[0] <= side.max() + ON_TOP_EDGE for side in sides)


def _kept(line: Curve, across: Curve) -> Curve:
    """Return ``across`` in the direction of ``line``, or that line where their ends are the same."""
    if line.start[0] > line.end[0]:
        across = across.reversed()
    return line if _same_ends(across, line.nodes[[0, -1]], ON_SEAM) else across


def _with_the_top_edge(outline: Outline, line: Curve, old_top_edge: Array) -> Curve | None:
    """Return the top edge as it is now for a line that lay on it, in the line's direction; else None."""
    top = outline.bridged().edge("top edge")
    for old, new in ((old_top_edge, top), (old_top_edge[::-1], top.reversed())):
        if _same_ends(line, old, ON_TOP_EDGE):
            return line if _same_curve(line, new, ON_SEAM) else new
    return None


def _same_ends(line: Curve, ends: Array, within: float) -> bool:
    return bool(np.hypot(*(line.nodes[[0, -1]] - ends).T).max() <= within)


def _same_curve(one: Curve, other: Curve, within: float) -> bool:
    return len(one) == len(other) and bool(np.abs(one.segments - other.segments).max() <= within)


def same_outline(one: Outline, other: Outline, within: float = ON_SEAM) -> bool:
    """Whether two outlines have the same edges, node by node, to within so many millimetres."""
    return all(_same_curve(one.edge(name), other.edge(name), within) for name in EDGES)


def mirrored(outline: Outline, kept: str) -> Outline:
    """Return the outline with the ``kept`` half ("front" or "back") and its mirror image across the grain line.

    The very ``outline`` where its halves are mirror images already.  Raises :class:`Refused` where the
    top or the hem does not cross the grain line.
    """
    halves = {name: _half(outline, name, kept) for name in ("top edge", "hem")}
    image = {name: mirror_image(half) for name, half in halves.items()}
    edges = {}
    for name in ("top edge", "hem"):
        # The top edge runs from back to front, the hem from front to back.
        kept_first = (name == "top edge") == (kept == "back")
        parts = (halves[name], image[name]) if kept_first else (image[name], halves[name])
        edges[name] = Curve.chain(parts).tidied(ON_SEAM)
    other = "back" if kept == "front" else "front"
    for part in ("armhole", "underarm"):
        edges[f"{kept} {part}"] = outline.edge(f"{kept} {part}")
        edges[f"{other} {part}"] = mirror_image(outline.edge(f"{kept} {part}"))
    made = Outline(edges)
    return outline if same_outline(made, outline) else made


def _half(outline: Outline, name: str, kept: str) -> Curve:
    """Return the part of the top edge or hem on the ``kept`` side, from or to where it meets the grain line."""
    edge = outline.edge(name)
    _, top, _, bottom = edge.bounds()
    met = edge.crossings(Curve.line((0, top - 1), (0, bottom + 1)))
    if not met:
        raise Refused("edge off the grain line", edge=name)
    starts_kept = (name == "top edge") == (kept == "back")
    cut = met[0].t1 if starts_kept else met[-1].t1
    half = np.array((edge.between(0, cut) if starts_kept else edge.between(cut, len(edge))).segments)
    half[-1 if starts_kept else 0, 3 if starts_kept else 0, 0] = 0.0  # on the grain line to the last digit
    return Curve(half)


def kept_notches(outline: Outline, usual: Sequence[Notch], kept: Mapping[str, float]) -> tuple[Notch, ...]:
    """Return the notches of the edited outline: at the distances along the seam from the underarm point
    that were ``kept`` (side: millimetres), on sleeve and bodice alike, else the ``usual`` ones.
    """
    return tuple(_moved_notch(notch, outline, kept.get(notch.side, notch.from_underarm)) for notch in usual)


def _moved_notch(notch: Notch, outline: Outline, from_underarm: float) -> Notch:
    bodice = None if notch.from_top_edge_on_bodice is None else notch.from_top_edge_on_bodice + notch.from_underarm - from_underarm
    return Notch(notch.side, from_underarm, outline.sewn_length(f"{notch.side} armhole") - from_underarm, bodice)
