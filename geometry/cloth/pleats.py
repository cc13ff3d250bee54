"""Pleats: a whole number of them along a line, all alike."""
from __future__ import annotations

from typing import NamedTuple

#: How many layers of a fold's depth one pleat takes up beside its face: a knife pleat is folded under
#: once (there and back), a box pleat once on each side.
FOLDS = {"knife": 2, "box": 4}


class Pleats(NamedTuple):
    """``count`` pleats of one ``kind`` ("knife" or "box"), millimetres.

    ``spacing`` is what one pleat covers of the finished line, ``depth`` how far each fold reaches under it.
    """

    kind: str
    count: int
    spacing: float
    depth: float

    @property
    def flat(self) -> float:
        """The length of strip that one pleat takes up."""
        return self.spacing + FOLDS[self.kind] * self.depth

    @property
    def overlapping(self) -> bool:
        """Whether a fold reaches under its neighbour: three layers everywhere are not enough."""
        return self.depth > self.spacing * 2 / FOLDS[self.kind] * (1 + 1e-9)


def solve_pleats(kind: str, line: float, fullness: float, spacing: float) -> Pleats:
    """Return the pleats that take a strip of ``line`` times ``fullness`` onto the ``line``.

    Their number is the whole one whose spacing comes nearest to ``spacing``; the depth follows from the
    fullness.  Raises ``ValueError`` for a line or spacing that is not positive, or fullness below 1.
    """
    if not (line > 0 and spacing > 0 and fullness >= 1):
        raise ValueError("pleats need a line and a spacing above 0 and a fullness of at least 1")
    few = max(1, int(line / spacing))
    count = min((few, few + 1), key=lambda n: abs(line / n - spacing))
    spacing = line / count
    return Pleats(kind, count, spacing, (fullness - 1) * spacing / FOLDS[kind])
