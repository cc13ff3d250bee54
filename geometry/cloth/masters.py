"""Flounces that are cut from one ring share a master: the largest of their pieces, on which is marked where the others end."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from geometry.cloth.flounce import Flounce
from geometry.cloth.making import Pattern
from geometry.cloth.strips import Tier
from geometry.curves.curve import Curve

#: Radii that differ by less, millimetres, are those of one ring: less than shears can follow.
_ALIKE = 0.1


class Cut(NamedTuple):
    """What is cut from a master for a tier, or for those of its layers that are cut alike: the whole of it, or as far as a ``mark``."""

    tier: Tier
    pattern: Pattern
    mark: Curve | None

    @property
    def pieces(self) -> int:
        """How many pieces are cut for one sleeve, or for the one line of the dress that it hangs from."""
        return self.pattern.pieces * self.tier.layers


class Master(NamedTuple):
    """A ``pattern`` and what is cut from it, from the top tier down."""

    pattern: Pattern
    cuts: tuple[Cut, ...]


def masters_of(patterns: Sequence[tuple[Tier, Pattern]]) -> list[Master]:
    """Return the masters from which all pattern pieces are cut, in the order of their first tiers.

    Flounces of one inner radius share one where one of them covers the others.
    """
    largest: list[tuple[Tier, Pattern]] = []
    cuts: list[list[int]] = []
    for i in sorted(range(len(patterns)), key=lambda i: _size(patterns[i][0])):
        tier = patterns[i][0]
        mine = next((k for k, (whole, _) in enumerate(largest) if _covers(whole, tier)), len(largest))
        if mine == len(largest):
            largest.append(patterns[i])
            cuts.append([])
        cuts[mine].append(i)
    found = [
        Master(pattern, tuple(Cut(*patterns[i], _mark(whole, patterns[i][0])) for i in sorted(members)))
        for (whole, pattern), members in zip(largest, cuts)
    ]
    first = {id(tier): i for i, (tier, _) in enumerate(patterns)}
    return sorted(found, key=lambda master: first[id(master.cuts[0].tier)])


def _size(tier: Tier) -> tuple[float, float]:
    made = tier.made
    return (-made.angle, -made.outer) if isinstance(made, Flounce) else (0.0, 0.0)


def _covers(whole: Tier, part: Tier) -> bool:
    """Whether the piece of one tier can be cut from that of another."""
    one, other = whole.made, part.made
    if not isinstance(one, Flounce) or not isinstance(other, Flounce):
        return False
    same = max(abs(one.inner - other.inner), abs(one.inward - other.inward), abs(one.outward - other.outward), abs(one.ends - other.ends))
    return same < _ALIKE and other.outer < one.outer + _ALIKE and other.angle * other.outer < one.angle * other.outer + _ALIKE


def _mark(whole: Tier, part: Tier) -> Curve | None:
    """Return where a piece ends on the master, or None where it is all of it."""
    one, other = whole.made, part.made
    if not isinstance(one, Flounce) or not isinstance(other, Flounce) or whole is part:
        return None
    narrower, lower = (one.angle - other.angle) * one.outer >= _ALIKE, one.outer - other.outer >= _ALIKE
    return other.cut_on(one.angle, lower) if narrower or lower else None
