"""Strips laid both ways: the long ones along the cloth, side by side, and below them the others across it.

So a strip or two that find no room beside the others, or that fit the width whole, need no second row as long as the first.
Lengths in millimetres; cloth lies as in :mod:`geometry.cloth.lay`.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geometry.cloth.joins import Strip
from geometry.cloth.lay import ACROSS, ALONG, BOTH, WHOLE, StripLay, lay_whole, lower_bound
from geometry.cloth.tape import Tape

#: Where a lay takes no more than so many times the least that could do, no other is looked for.
_GOOD = 1.03

#: So many of these plans are enough to choose from.
_MOST = 4

_HAIR = 1e-6

#: Strips that are cut alike: they lie one way.
_Group = list[Strip]


def lay_both_ways(strips: Sequence[Strip], width: float, join: float, tape: Tape, known: Sequence[StripLay]) -> list[StripLay]:
    """Return plans that cut strips whole, some along and some across, each shorter than every other that has no more joins, those
    ``known`` that cut strips whole among them.

    Strips of one tier that are cut to one length all lie the same way.
    """
    whole = [plan for plan in known if plan.way == WHOLE]
    if min(plan.length for plan in whole) <= _GOOD * lower_bound(strips, width):
        return []
    tried = sorted(_parted(strips, width, join, tape), key=lambda each: (each[2].all_joins, each[0]))
    found: list[StripLay] = []
    for length, along, below in tried:
        no_worse = [plan.length for plan in (*whole, *found) if plan.all_joins <= below.all_joins]
        if len(found) < _MOST and length < min(no_worse, default=math.inf) - _HAIR:
            plan = _one_below_the_other(lay_whole(along, width, join, tape, ALONG), below)
            if plan.length < min(no_worse, default=math.inf) - _HAIR:
                found.append(plan)
    return found


def _parted(strips: Sequence[Strip], width: float, join: float, tape: Tape) -> Iterator[tuple[float, _Group, StripLay]]:
    """Yield ways to part strips: about how long the plan is, which lie along, and how the others lie across."""
    groups: dict[tuple[int, float], _Group] = {}
    for strip in strips:
        groups.setdefault((strip.tier, strip.length), []).append(strip)
    by_length = sorted(groups, key=lambda group: group[1])
    count = len(by_length)
    spans = {(0, k) for k in range(1, count)} | {(k, count) for k in range(1, count)} | {(k, k + 1) for k in range(count)}
    for low, high in sorted(spans):
        across = [strip for group in by_length[low:high] for strip in groups[group]]
        along = [strip for group in (*by_length[:low], *by_length[high:]) for strip in groups[group]]
        if along and max(strip.width for strip in along) <= tape.down(width):
            below = lay_whole(across, width, join, tape, ACROSS)
            yield below.length + _at_least(along, width, tape), along, below


def _at_least(strips: Sequence[Strip], width: float, tape: Tape) -> float:
    """Return the length of cloth that strips take at least that lie along it, side by side."""
    longest = max(strip.length for strip in strips)
    classes = {tape.up(strip.width) for strip in strips}
    rows = (
        sum(strip.length for strip in strips if tape.up(strip.width) >= wide) / max(1, math.floor(width / wide + _HAIR)) for wide in classes
    )
    return max(longest, lower_bound(strips, width), *rows)


def _one_below_the_other(upper: StripLay, lower: StripLay) -> StripLay:
    """Return both plans as one."""
    first, lower = len(upper.strips), lower.moved_down(upper.length)
    return StripLay(
        strips=upper.strips + lower.strips,
        pieces=upper.pieces + tuple(piece._replace(strip=piece.strip + first) for piece in lower.pieces),
        direction=BOTH,
        way=WHOLE,
        width=upper.width,
        length=lower.length,
        joins=upper.joins + lower.joins,
        allowed=upper.allowed + lower.allowed,
        totals=upper.totals + lower.totals,
        places=upper.places + lower.places,
    )
