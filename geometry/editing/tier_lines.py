"""Which tier lines the pieces of her paths are, after the editor has broken or combined them, and which numbers they bear."""
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np

from geometry.curves.curve import Curve
from geometry.editing.refinding import JOINT, Broken
from geometry.sleeve.outline import Outline

#: A gap in a tier line up to this, millimetres, is bridged straight and said: a node taken out too many, not two lines
#: (common practice, no source).
BRIDGED = 20.0

#: Pieces of one line lie beside each other, whole lines above each other: over more than this share of the shorter.
ABOVE = 0.5

#: What is shorter than this share of the longest line in its path is no line of its own.
STRAY = 1 / 3

#: A closed line no wider than this, millimetres, is the outline of a stroke, made a path: no pen is broader (common practice, no source).
BROADEST = 3.0

#: A stroke's outline turns by more than this, degrees, at the corners of its ends.
END_TURNS = 60.0

#: A line without a name that spans less than this share of the sleeve's width is none of ours.
SPANS = 2 / 3


class Joined(NamedTuple):
    """A line whose pieces were joined, and the widest ``gap`` between them that was bridged, millimetres (0: none)."""

    curve: Curve
    gap: float = 0.0


class _Joint(NamedTuple):
    """Two ends that may belong together, best first: how far ``apart`` they are (0 within :data:`JOINT`), by how much
    the line would ``turn`` there, which lines they end, and whether each is to be turned round.
    """

    apart: float
    turn: float
    first: int
    second: int
    flips: tuple[bool, bool]


def lines_in(pieces: Sequence[Curve], number: int = 0) -> list[Joined]:
    """Return the lines that the subpaths of one path make, from the top down.

    Pieces that run on from one another are one line.  Raises :class:`Broken` for a piece that is neither that nor
    a line of its own; ``number`` is that of the path, for the sentence.
    """
    lines = [Joined(piece) for piece in pieces]
    while len(lines) > 1:
        joint = min(_joints(lines), default=None)
        if joint is None:
            break
        made = _join(lines[joint.first], lines[joint.second], joint)
        lines = [line for k, line in enumerate(lines) if k not in (joint.first, joint.second)] + [made]
    lengths = [line.curve.length(1e-3) for line in lines]
    longest = lines[int(np.argmax(lengths))]
    lines = [line for line, length in zip(lines, lengths) if line is longest or length > JOINT]  # specks are seen by nobody
    for line in lines:
        if line is not longest:
            _check_whole(line.curve, longest.curve, number)
    return sorted(lines, key=lambda line: height(line.curve))


def stroke_centre(outline: Curve) -> Curve | None:
    """Return the line down the middle of a closed, thin ``outline`` of a stroke with square ends, from end to end; None of any other.

    It is the parallel of one long side at half the stroke's width, which area and girth tell.

    >>> stroke_centre(Curve.chain([Curve.line(a, b) for a, b in (((0, 0), (90, 0)), ((90, 0), (90, 1)), ((90, 1), (0, 1)), ((0, 1), (0, 0)))])).nodes
    array([[ 0. ,  0.5],
           [90. ,  0.5]])
    """
    if len(outline) < 4 or not outline.is_closed:
        return None
    length, area = outline.length(1e-3), outline.signed_area()
    # Of a stroke w wide and l long the girth is 2 l + 2 w and the area l w.
    width = length / 4 - float(np.sqrt(max(length**2 / 16 - abs(area), 0.0)))
    if not 0 < width <= BROADEST:
        return None
    t = np.arange(len(outline))
    arriving, leaving = outline.tangent(np.where(t > 0, t, len(outline)), incoming=True), outline.tangent(t)
    ends = np.flatnonzero((arriving * leaving).sum(axis=1) < np.cos(np.radians(END_TURNS)))
    if len(ends) != 4:
        return None
    turned = Curve(np.roll(outline.segments, -int(ends[0]), axis=0))
    cuts = [*(ends - ends[0]).tolist(), len(outline)]
    side = max((turned.between(a, b) for a, b in zip(cuts, cuts[1:])), key=lambda one: one.length(1e-3))
    return side.offset(float(np.copysign(width / 2, -area)))


def _check_whole(line: Curve, longest: Curve, number: int) -> None:
    """Raise :class:`Broken` for what is no line of its own beside the ``longest``, nor a piece of it that could be joined."""
    if not _beside(line, longest) and line.length(1e-3) > STRAY * longest.length(1e-3):
        return
    ends = [(float(np.hypot(*(a - b))), a, b) for a in (line.start, line.end) for b in (longest.start, longest.end)]
    gap, *places = min(ends, key=lambda end: end[0])
    if _beside(line, longest):
        raise Broken("tier line in pieces", places, number=number, gap=gap, most=BRIDGED)
    raise Broken("stray piece of a tier line", [line.point(len(line) / 2)], number=number, length=line.length(1e-3))


def _joints(lines: Sequence[Joined]) -> Iterable[_Joint]:
    for (i, one), (j, other) in combinations(enumerate(line.curve for line in lines), 2):
        if not _beside(one, other):
            continue
        for flips in ((False, False), (False, True), (True, False), (True, True)):
            before, after = _turned(one, flips[0]), _turned(other, flips[1])
            apart = float(np.hypot(*(after.start - before.end)))
            if apart <= BRIDGED:
                turn = float(-before.tangent(len(before), incoming=True) @ after.tangent(0))
                yield _Joint(apart if apart > JOINT else 0.0, turn, i, j, flips)


def _join(one: Joined, other: Joined, joint: _Joint) -> Joined:
    before, after = _turned(one.curve, joint.flips[0]), _turned(other.curve, joint.flips[1])
    bridge = [Curve.line(before.end, after.start)] if joint.apart else []
    return Joined(Curve.chain([before, *bridge, after], gap=JOINT), max(one.gap, other.gap, joint.apart))


def _turned(curve: Curve, flip: bool) -> Curve:
    return curve.reversed() if flip else curve


def _beside(one: Curve, other: Curve) -> bool:
    """Whether two pieces lie beside each other, seen along the sleeve, rather than one above the other."""
    (left, _, right, _), (left2, _, right2, _) = one.bounds(), other.bounds()
    return min(right, right2) - max(left, left2) <= ABOVE * min(right - left, right2 - left2) + JOINT


def height(line: Curve) -> float:
    """Return the height (y) by which lines are ordered from the top: the mean of those of the nodes."""
    return float(line.nodes[:, 1].mean())


def spans(outline: Outline, line: Curve) -> bool:
    """Whether a line reaches over so much of the sleeve's width there, on both sides of the grain line, that it can be a tier line."""
    left, _, right, _ = line.bounds()
    wide = outline.widths_at([height(line)])[0]
    return left < 0 < right and right - left > SPANS * wide > 0


def numbers_for(heights: Sequence[float], own: Sequence[int], missing: Iterable[int], planned: Mapping[int, float]) -> list[int]:
    """Return the numbers of lines that lie at ``heights``, from the top down, after combining took them away.

    All of their ``own`` that are left are given out again; of the ``missing`` those whose ``planned`` heights are
    nearest.  Where there are too few, the last of their own, or 1, is given again, and all are to be numbered anew.
    """
    wanted, free = len(heights) - len(own), sorted(set(missing) - set(own))
    order = np.argsort(heights, kind="stable")
    if wanted >= len(free):
        pool = sorted([*own, *free])
        numbers = pool + [pool[-1] if pool else 1] * (wanted - len(free))
    else:
        ordered: list[float] = np.asarray(heights, dtype=float)[order].tolist()

        def astray(chosen: Sequence[int]) -> float:
            return sum((abs(at - planned.get(number, at)) for at, number in zip(ordered, chosen)), 0.0)

        numbers = min((sorted([*own, *more]) for more in combinations(free, wanted)), key=astray)
    given = [0] * len(heights)
    for place, number in zip(order.tolist(), numbers):
        given[place] = number
    return given
