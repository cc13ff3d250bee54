"""Fullness that fits the cloth: moved a little, so that strips come out as whole widths."""
from __future__ import annotations

from collections.abc import Sequence

from geometry.cloth.strips import Tier
from geometry.cloth.tape import Tape

#: A strip is at most so many widths of cloth, and a width at most so many strips.
_MOST_WIDTHS = 40


def fitted_fullness(tiers: Sequence[Tier], width: float, share: float, least: float, most: float, tape: Tape) -> tuple[float, ...]:
    """Return for each tier the fullness nearest to its own with which its strip takes whole widths of cloth.

    ``width`` is the usable width; no fullness moves by more than its ``share``, nor below ``least`` or above
    ``most``.  A tier for which none of these will do keeps its own.

    A strip may be as many whole widths as it likes, joined, or one of several that make a width.
    """
    return tuple(_fitted(tier, width, share, least, most, tape) for tier in tiers)


def _fitted(tier: Tier, width: float, share: float, least: float, most: float, tape: Tape) -> float:
    lengths = [widths * width - (widths - 1) * tier.join_allowance for widths in range(1, _MOST_WIDTHS + 1)]
    lengths += [tape.down(width / strips) for strips in range(2, _MOST_WIDTHS + 1)]
    wanted = tier.fullness
    could = [(length - sum(tier.past_line) - tier.gathered_in) / tier.line for length in lengths]
    near = [each for each in could if abs(each / wanted - 1) <= share + 1e-9 and least <= each <= most]
    return min(near, key=lambda each: abs(each - wanted), default=wanted)
