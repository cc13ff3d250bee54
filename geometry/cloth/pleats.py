"""Pleats: a whole number of them along a line, all alike."""
from __future__ import annotations

from typing import NamedTuple

from geometry.cloth.making import ToMake

#: How many layers of a fold's depth one pleat takes up beside its face: a knife pleat is folded under
#: once (there and back), a box pleat once on each side.
FOLDS = {"knife": 2, "box": 4}


class Pleats(NamedTuple):
    """So many (``number``) pleats of one ``kind`` ("knife" or "box"), millimetres.

    ``spacing`` is what one pleat covers of the finished line, ``depth`` how far each fold reaches under it.
    They are basted in one row before the strip is sewn on.
    """

    kind: str
    number: int
    spacing: float
    depth: float
    rows: int = 1
    pattern: None = None

    @property
    def flat(self) -> float:
        """The length of strip that one pleat takes up."""
        return self.spacing + FOLDS[self.kind] * self.depth

    @property
    def taken(self) -> float:
        """The length of strip that all pleats take up."""
        return self.number * self.flat

    @property
    def edge(self) -> float:
        """The free edge is as long as what is taken onto the line."""
        return self.taken

    @property
    def folds(self) -> tuple[float, ...]:
        """The inner folds, where a join hides: of a knife pleat behind its face, of a box pleat on both sides.

        >>> Pleats("knife", number=2, spacing=25.0, depth=10.0).folds
        (35.0, 80.0)
        >>> Pleats("box", number=1, spacing=25.0, depth=10.0).folds
        (10.0, 55.0)
        """
        inner = (self.spacing + self.depth,) if self.kind == "knife" else (self.depth, self.spacing + 3 * self.depth)
        return tuple(number * self.flat + place for number in range(self.number) for place in inner)

    @property
    def marks(self) -> tuple[tuple[float, float], ...]:
        """Where the strip is folded, and to where each fold is brought, along the length that all pleats take up.

        A knife pleat's face ends in a fold that is brought forward; a box pleat's face has one at either end.

        >>> Pleats("knife", number=2, spacing=25.0, depth=10.0).marks
        ((25.0, 45.0), (70.0, 90.0))
        >>> Pleats("box", number=1, spacing=25.0, depth=10.0).marks
        ((20.0, 0.0), (45.0, 65.0))
        """
        face, flat = self.spacing, self.flat
        one = ((face, flat),) if self.kind == "knife" else ((2 * self.depth, 0.0), (2 * self.depth + face, flat))
        return tuple((number * flat + fold, number * flat + to) for number in range(self.number) for fold, to in one)

    @property
    def overlapping(self) -> bool:
        """Whether a fold reaches under its neighbour: three layers everywhere are not enough."""
        return self.depth > self.spacing * 2 / FOLDS[self.kind] * (1 + 1e-9)


def solve_pleats(kind: str, line: float, fullness: float, spacing: float) -> Pleats:
    """Return the pleats that take a strip of ``line`` times ``fullness`` onto the ``line``.

    Their number is the whole one whose spacing comes nearest to ``spacing``; the depth follows from the
    fullness.  Raises ``ValueError`` for a line or spacing that is not positive, or fullness below 1.

    >>> pleats = solve_pleats("knife", line=300.0, fullness=3.0, spacing=26.0)
    >>> pleats.number, pleats.spacing, pleats.depth, pleats.flat
    (12, 25.0, 25.0, 75.0)
    """
    if not (line > 0 and spacing > 0 and fullness >= 1):
        raise ValueError("pleats need a line and a spacing above 0 and a fullness of at least 1")
    few = max(1, int(line / spacing))
    number = min((few, few + 1), key=lambda n: abs(line / n - spacing))
    spacing = line / number
    return Pleats(kind, number, spacing, (fullness - 1) * spacing / FOLDS[kind])


def knife_pleats(tier: ToMake) -> Pleats:
    """Return the knife pleats of a tier."""
    return solve_pleats("knife", tier.line, tier.fullness + tier.gathered_in / tier.line, tier.style.pleat_spacing)


def box_pleats(tier: ToMake) -> Pleats:
    """Return the box pleats of a tier."""
    return solve_pleats("box", tier.line, tier.fullness + tier.gathered_in / tier.line, tier.style.pleat_spacing)
