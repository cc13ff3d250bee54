"""Which nodes of an edited Seam line are its six corners.

A sharp node where a corner was is that corner, and a node that stayed in its place tells where the stretches
between begin and end.  What is left is told by the order around the line: in a stretch that has lost as many
corners as it has sharp nodes to spare, they are those.  Where that leaves a choice, nothing is chosen: she is asked.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array

#: A turn of this many degrees is a corner: drafted corners turn by 30 and more, and a smooth seam as
#: tight as a thumb (25 mm) turns by less than 10 within its neighbourhood.
SHARP = 20.0

#: A node this near, millimetres, is at a stored place: what rounding in files does.
AT_PLACE = 0.02

#: Simplifying a path moves its corners by up to about this, millimetres.
LOOSE = 2.0

#: A ring this near a node is its, millimetres.
RINGED = 1.0

#: A node this share of an edge's length along it from the corner where the edge began is rather one of the
#: edge's own than that corner, moved: she is asked.
ALONG = 0.3

#: In weighing nodes where none has stayed in its place, one that turns not at all counts as this much farther
#: away, millimetres, one that turns by so many degrees no more, and a corner that is lost as so far away.
NO_TURN, FULL_TURN, LOST = 300.0, 45.0, 400.0


class Before(NamedTuple):
    """The nodes (n, 2) of a closed line as it was, clockwise on screen, and which of them the corners are."""

    nodes: Array
    corners: tuple[int, ...]


class Doubt(NamedTuple):
    """Corners of which it can't be told which of ``nodes`` they are; where there are as many, whether they are at all.

    ``turning`` says that enough of the nodes turn as corners do; else she has smoothed or deleted some.
    """

    corners: tuple[int, ...]
    nodes: tuple[int, ...]
    turning: bool = True


class Choice(NamedTuple):
    """For each corner its node, all in the order in which the line runs; those that are ``lost``; and what must be asked."""

    nodes: tuple[int | None, ...]
    lost: tuple[int, ...]
    doubts: tuple[Doubt, ...]


def choose_corners(nodes: Array, turns: Array, before: Before, rings: Array) -> Choice:
    """Return which of ``nodes`` (n, 2), clockwise on screen, the corners are.

    ``turns`` (n) are the degrees by which the line turns at each, clockwise positive; ``rings`` (k, 2) are where
    rings from an earlier question still stand.
    """
    return _Search(nodes, turns, before, rings).choice()


class _Search:
    """The nodes as they are and were, while the corners are sought."""

    def __init__(self, nodes: Array, turns: Array, before: Before, rings: Array) -> None:
        self.nodes, self.turns, self.before = nodes, turns, before
        self.corner_of = {place: corner for corner, place in enumerate(before.corners)}
        apart = distances(before.nodes, nodes)
        self.apart = apart
        to_rings = distances(rings, nodes)
        self.ringed = np.isin(np.arange(len(nodes)), to_rings.argmin(axis=1)[to_rings.min(axis=1) <= RINGED])
        self.chosen: dict[int, int] = {}
        self.lost: list[int] = []
        self.doubts: list[Doubt] = []

    def choice(self) -> Choice:
        stayed = _in_order_around(list(self._in_place()), len(self.nodes), self.corner_of)
        if not any(place in self.corner_of for place in stayed) and len(stayed) < 3:
            self._all_anew()
        else:
            if not self._any_smooth(stayed):
                self._add_loose(stayed)
            self._add_smoothed(stayed)
            self._stretches(stayed)
        chosen = tuple(self.chosen.get(corner) for corner in range(len(self.before.corners)))
        return Choice(chosen, tuple(sorted(self.lost)), tuple(self.doubts))

    # --- what stayed in its place -----------------------------------------------------------------

    def _in_place(self) -> Iterator[tuple[int, int]]:
        """Yield (node before, node now) of what is where it was; a corner only if it is still sharp."""
        for place, row in enumerate(self.apart):
            near = np.flatnonzero(row <= AT_PLACE)
            if not len(near):
                continue
            node = int(near[np.argmax(self.turns[near])])
            if place not in self.corner_of or self.turns[node] >= SHARP:
                yield place, node

    def _any_smooth(self, stayed: dict[int, int]) -> bool:
        """Whether a node within an edge is where it was, or there were none to tell by."""
        smooth = [place for place in range(len(self.before.nodes)) if place not in self.corner_of]
        return any(place in stayed for place in smooth)

    def _knows_smooth(self) -> bool:
        """Whether it is known where nodes within edges were."""
        return len(self.before.nodes) > len(self.before.corners)

    def _add_loose(self, stayed: dict[int, int]) -> None:
        """Where the whole line was drawn anew, as by simplifying, a corner is the one sharp node near its place."""
        pairs = list(stayed.items())
        for place, corner in self.corner_of.items():
            near = np.flatnonzero((self.apart[place] <= LOOSE) & (self.turns >= SHARP))
            if corner is not None and place not in stayed and len(near) == 1:
                pairs.append((place, int(near[0])))
        if len({place for place, _ in pairs} & set(self.corner_of)) == len(self.corner_of):
            stayed.update(_in_order_around(sorted(pairs), len(self.nodes), self.corner_of))

    def _add_smoothed(self, stayed: dict[int, int]) -> None:
        """A corner made smooth, or turned in, is still its node, unless a sharp node to spare is in the stretches beside it."""
        smooth = []
        for place in self.before.corners:
            near = np.flatnonzero(self.apart[place] <= AT_PLACE)
            if place not in stayed and len(near):
                smooth.append((place, int(near[0])))
        tried = _in_order_around(sorted([*stayed.items(), *smooth]), len(self.nodes), self.corner_of)
        beside = [(a, b, len(self._missing(a, b)) == len(self._spare(c, d))) for a, b, c, d in self._between(tried)]
        even_beside = {place: all(even for a, b, even in beside if place in (a, b)) for place, _ in smooth}
        stayed.update({place: node for place, node in smooth if place in tried and even_beside[place]})

    # --- the stretches between ---------------------------------------------------------------------

    def _between(self, stayed: dict[int, int]) -> list[tuple[int, int, int, int]]:
        """Return the stretches between what stayed: from node to node before, from node to node now."""
        places = sorted(stayed)
        return [(a, b, stayed[a], stayed[b]) for a, b in zip(places, [*places[1:], places[0]])]

    def _missing(self, a: int, b: int) -> list[int]:
        """Return the corners that lay between two nodes before, in order."""
        return [self.corner_of[place] for place in _after(a, b, len(self.before.nodes)) if place in self.corner_of]

    def _spare(self, a: int, b: int) -> list[int]:
        """Return the nodes between two that turn out as corners do, in order."""
        return [node for node in _after(a, b, len(self.nodes)) if self.turns[node] >= SHARP]

    def _stretches(self, stayed: dict[int, int]) -> None:
        self.chosen = {self.corner_of[place]: node for place, node in stayed.items() if place in self.corner_of}
        stretches = self._between(stayed)
        lacking = [self._missing(a, b) for a, b, _, _ in stretches]
        for k, (missing, (a, b, c, d)) in enumerate(zip(lacking, stretches)):
            if missing:
                # An end of two such stretches is a corner of neither: it could not be told of which.
                ends = [(a, c)] * (not lacking[k - 1]) + [(b, d)] * (not lacking[(k + 1) % len(lacking)])
                bent = [node for place, node in ends if place not in self.corner_of and self.turns[node] >= SHARP]
                self._settle(missing, _after(c, d, len(self.nodes)), self._dragged(missing, a, b, c, d), bent)

    def _dragged(self, missing: list[int], a: int, b: int, c: int, d: int) -> list[int]:
        """Return the nodes that the corners became where the stretch has as many nodes as before: they were only moved."""
        then, now = _after(a, b, len(self.before.nodes)), _after(c, d, len(self.nodes))
        if len(then) != len(now):
            return []
        return [now[then.index(self.before.corners[corner])] for corner in missing]

    def _settle(self, missing: list[int], stretch: list[int], dragged: list[int], bent: list[int]) -> None:
        """Choose in one stretch, or find that a corner is lost or that it can't be told.

        ``bent`` are nodes of the edges at its ends that turn as corners do: past such a one she dragged the corner, or it
        is one now.
        """
        places = [self.before.corners[corner] for corner in missing]
        smoothed = [node for node in stretch if self.turns[node] < SHARP and (self.apart[places, node] <= AT_PLACE).any()]
        could = [node for node in stretch if self.turns[node] >= SHARP or node in smoothed]
        with_bent = sorted({*stretch, *bent}, key=lambda node: (node - stretch[0] + 1) % len(self.nodes)) if stretch else []
        kept = [node for node in with_bent if self.ringed[node]]
        if len(kept) == len(missing):
            self.chosen.update(zip(missing, kept))
        elif dragged and dragged == [node for node in stretch if self.turns[node] >= SHARP] and self._plausible(missing, dragged):
            self.chosen.update(zip(missing, dragged))
        elif len(could) < len(missing) < len(stretch) and self._knows_smooth():  # new and moved nodes: they may still be corners
            self.doubts.append(Doubt(tuple(missing), tuple(stretch), turning=False))
        elif len(could) < len(missing) < len(with_bent) and dragged:
            self.doubts.append(Doubt(tuple(missing), tuple(with_bent), turning=False))
        elif len(could) < len(missing):
            self.lost += missing
        elif len(could) == len(missing) and not smoothed and self._plausible(missing, could):
            self.chosen.update(zip(missing, could))
        else:
            self.doubts.append(Doubt(tuple(missing), tuple(could)))

    def _plausible(self, corners: Sequence[int], nodes: Sequence[int]) -> bool:
        """Whether the nodes may be those corners, moved: none far along an edge, none nearer another of them."""
        places = self.before.nodes[[self.before.corners[corner] for corner in corners]]
        apart = distances(places, self.nodes[list(nodes)])
        if (np.argmin(apart, axis=0) != np.arange(len(corners))).any():
            return False
        return all(self._along(corner, node) <= ALONG for corner, node in zip(corners, nodes))

    def _along(self, corner: int, node: int) -> float:
        """Return how far along an edge beside it a corner would have been moved, as a share of the edge."""
        here = self.before.nodes[self.before.corners[corner]]
        shares = []
        for step in (-1, 1):
            other = self.before.nodes[self.before.corners[(corner + step) % len(self.before.corners)]]
            along = other - here
            shares.append(float((self.nodes[node] - here) @ along / max(along @ along, 1e-12)))
        return max(shares)

    # --- where nothing stayed ------------------------------------------------------------------------

    def _all_anew(self) -> None:
        """Choose where hardly a node is where it was: all sharp nodes are the corners, or each is near its place, or ask."""
        places = list(self.before.corners)
        out = np.flatnonzero(self.turns >= SHARP)
        cost = self.apart[places] + NO_TURN * (1 - np.clip(self.turns / FULL_TURN, 0, 1))
        if len(out) < len(places):
            found = least_in_order(self.apart[places][:, out]) if len(out) else [None] * len(places)
            self.lost = [corner for corner, node in enumerate(found) if node is None] or list(range(len(places)))
            return
        found = [int(out[node]) if node is not None else None for node in least_in_order(cost[:, out])]
        if all(node is not None and self.apart[place, node] <= LOOSE for place, node in zip(places, found)) or len(out) == len(places):
            self.chosen = {corner: node for corner, node in enumerate(found) if node is not None}
            self.lost = [corner for corner, node in enumerate(found) if node is None]
            return
        near = [place for place, node in zip(places, found) if node is None or self.apart[place, node] > LOOSE]
        kept = [int(node) for node in out if self.ringed[node]]
        if len(kept) == len(places):
            start = int(np.argmin([sum(self.apart[p, n] for p, n in zip(places, np.roll(kept, -k))) for k in range(len(kept))]))
            self.chosen = dict(enumerate(int(n) for n in np.roll(kept, -start)))
            return
        if near:
            self.doubts.append(Doubt(tuple(range(len(places))), tuple(int(node) for node in out)))


def _after(a: int, b: int, count: int) -> list[int]:
    """Return the indices strictly between two, going around."""
    return [(a + step) % count for step in range(1, (b - a - 1) % count + 1)]


def _in_order_around(pairs: Sequence[tuple[int, int]], count: int, corners: dict[int, int]) -> dict[int, int]:
    """Return of pairs (place before, node now), by place, the most that follow each other around both lines.

    A corner counts for more than any number of others.
    """
    if not pairs:
        return {}
    first = pairs[0][1]
    if all(a < b for a, b in zip([(n - first) % count for _, n in pairs], [(n - first) % count for _, n in pairs[1:]])):
        return dict(pairs)
    starts = [i for i, (place, _) in enumerate(pairs) if place in corners] or range(min(len(pairs), 6))
    best: tuple[int, dict[int, int]] = (-1, {})
    for start in starts:
        turned = [*pairs[start:], *pairs[:start]]
        at = [(node - turned[0][1]) % count for _, node in turned]
        worth = [1000 if place in corners else 1 for place, _ in turned]
        whole, back = list(worth), [-1] * len(turned)
        for j in range(1, len(turned)):
            whole[j] = -1 if at[j] == 0 else worth[j]
            for i in range(j):
                if at[i] < at[j] and whole[i] + worth[j] > whole[j] and (i == 0 or back[i] >= 0):
                    whole[j], back[j] = whole[i] + worth[j], i
        end = int(np.argmax(whole))
        if whole[end] > best[0]:
            chain, j = [], end
            while j >= 0:
                chain.append(turned[j])
                j = back[j]
            best = (whole[end], dict(chain))
    return best[1]


def least_in_order(cost: Array) -> list[int | None]:
    """Return for each row of ``cost`` (k, n) a column, ascending around the ring, or None at the cost
    :data:`LOST`, of least total cost.
    """
    k, n = cost.shape
    turned = cost[:, (np.arange(n)[:, None] + np.arange(n)) % n]  # (row, start, node counted from the start)
    # best[r, s, j]: the first r rows have theirs among the first j nodes from the start s.
    best = np.zeros((k + 1, n, n + 1))
    for row in range(k):
        take = np.column_stack([np.full(n, np.inf), best[row, :, :-1] + turned[row]])
        best[row + 1] = np.minimum.accumulate(np.minimum(take, best[row] + LOST), axis=1)
    start, j = int(np.argmin(best[k, :, n])), n
    chosen: list[int | None] = []
    for row in range(k, 0, -1):
        while j and best[row, start, j] == best[row, start, j - 1]:
            j -= 1
        if best[row, start, j] == best[row - 1, start, j] + LOST:
            chosen.append(None)
        else:
            j -= 1
            chosen.append((start + j) % n)
    return chosen[::-1]


def distances(one: Array, other: Array) -> Array:
    """Return the distance of every point of ``one`` (k, 2) from every one of ``other`` (n, 2): (k, n)."""
    apart: Array = np.hypot(*np.moveaxis(one.reshape(-1, 1, 2) - other.reshape(1, -1, 2), -1, 0))
    return apart
