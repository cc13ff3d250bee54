"""What strips take of a cloth at least, however they are laid.

Lengths in millimetres; cloth lies as in :mod:`geometry.cloth.lay`.
"""
from __future__ import annotations

import math
from collections.abc import Sequence

from geometry.cloth.joins import Strip
from geometry.cloth.tape import Tape

_HAIR = 1e-6


def lower_bound(strips: Sequence[Strip], width: float) -> float:
    """Return the length of cloth that no plan can go below: the strips' area over the usable width.

    >>> lower_bound([Strip(tier=1, sleeve=1, layer=1, width=100.0, length=1800.0)], width=900.0)
    200.0
    """
    return sum(strip.width * strip.length for strip in strips) / width


def across_at_least(strips: Sequence[Strip], width: float, tape: Tape) -> float:
    """Return the length of cloth that strips take at least that lie across it: of those longer than half the width each takes a band."""
    alone = sum(tape.up(strip.width) for strip in strips if width / 2 < strip.length <= width)
    return max(lower_bound(strips, width), alone)


def along_at_least(strips: Sequence[Strip], width: float, tape: Tape) -> float:
    """Return the length of cloth that strips take at least that lie along it whole, side by side in so many bands as there is room for."""
    least = lower_bound(strips, width)
    up = {width: tape.up(width) for width in {strip.width for strip in strips}}
    sizes = sorted(((strip.length, up[strip.width]) for strip in strips), reverse=True)
    for wide in set(up.values()):
        bands = max(1, math.floor(width / wide + _HAIR))
        longest = [length for length, width_of_it in sizes if width_of_it >= wide]
        least = max(least, longest[0], sum(longest) / bands)
        for held in range(1, math.ceil(len(longest) / bands)):  # of so many and one, one band holds one more
            least = max(least, sum(longest[held * bands - held : held * bands + 1]))
    return least


def height_at_least(pieces: Sequence[tuple[float, float]], band: float) -> float:
    """Return how high bands of cloth are at least, all together, from which ``pieces`` (width, length), the widest first, are cut.

    With the piece that makes those up to it longer than k bands another one begins, as high as that at least.

    >>> height_at_least([(30.0, 600.0), (20.0, 600.0), (10.0, 100.0)], band=1000.0)
    50.0
    """
    height, bands, length = 0.0, 0, 0.0
    for wide, long in pieces:
        length += long
        if length > bands * (band + 2 * _HAIR):
            height, bands = height + wide, bands + 1
    return height


def joins_at_least(length: float, width: float) -> int:
    """Return how many joins a strip has at least that lies across."""
    return max(0, math.ceil(length / width - _HAIR) - 1)
