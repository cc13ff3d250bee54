"""Strips laid both ways: the long ones along the cloth, side by side, and below them the others across it.

So a strip or two that find no room beside the others, or that fit the width whole, need no second row as long as the first.
Lengths in millimetres; cloth lies as in :mod:`geometry.cloth.lay`.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from geometry.cloth.bounds import across_at_least, along_at_least, joins_at_least, lower_bound
from geometry.cloth.joins import Strip
from geometry.cloth.lay import BOTH, WHOLE, StripLay, lay_whole_across, lay_whole_along, whole_across_takes
from geometry.cloth.tape import Tape

#: Where a lay takes no more than so many times the least that could do, no other is looked for.
_GOOD = 1.03

#: A plan that is not shorter than others by this share is not worth the turning round of cloth.
_SHORTER = 0.015

#: So many of these plans are enough to choose from.
_MOST = 4

#: Strips that are cut alike: they lie one way.
_Group = list[Strip]


def lay_both_ways(strips: Sequence[Strip], width: float, join: float, tape: Tape, known: Sequence[StripLay]) -> list[StripLay]:
    """Return plans that cut strips whole, some along and some across, each clearly shorter than every other that has no more joins,
    those ``known`` that cut strips whole among them.

    Strips of one tier that are cut to one length all lie the same way.
    """
    whole = [plan for plan in known if plan.way == WHOLE]
    if min(plan.length for plan in whole) <= _GOOD * lower_bound(strips, width):
        return []
    found: list[StripLay] = []

    def known_with(joins: int) -> float:
        return min((plan.length for plan in (*whole, *found) if plan.all_joins <= joins), default=math.inf) * (1 - _SHORTER)

    tried = []
    for along, across in _parted(strips):
        least, joins = along_at_least(along, width, tape), sum(joins_at_least(strip.length, width) for strip in across)
        if least + across_at_least(across, width, tape) < known_with(joins):
            below, joins = whole_across_takes(across, width, join, tape)
            tried.append((joins, least + below, along, across, below))
    for joins, length, along, across, below in sorted(tried, key=lambda each: each[:2]):
        if len(found) < _MOST and length < known_with(joins):
            beside = lay_whole_along(along, width, join, tape, known_with(joins) / (1 - _SHORTER) - below)
            if beside and beside.length + below < known_with(joins):
                found.append(_one_below_the_other(beside, lay_whole_across(across, width, join, tape)))
    return found


def _parted(strips: Sequence[Strip]) -> Iterator[tuple[_Group, _Group]]:
    """Yield ways to part strips into those that lie along and those across: the shortest of them across, the longest, or those of one length."""
    groups: dict[tuple[int, float], _Group] = {}
    for strip in strips:
        groups.setdefault((strip.tier, strip.length), []).append(strip)
    by_length = sorted(groups, key=lambda group: group[1])
    count = len(by_length)
    spans = {(0, k) for k in range(1, count)} | {(k, count) for k in range(1, count)} | {(k, k + 1) for k in range(count)}
    for low, high in sorted(spans):
        across = [strip for group in by_length[low:high] for strip in groups[group]]
        along = [strip for group in (*by_length[:low], *by_length[high:]) for strip in groups[group]]
        if along:
            yield along, across


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
