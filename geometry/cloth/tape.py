"""Her tape and her shop: to which mark she cuts, and by what length cloth is sold and priced."""
from __future__ import annotations

import math
from decimal import Decimal
from typing import NamedTuple

from geometry.measuring.lengths import INCH, MARKS, UNSEEN, down_to_mark, up_to_mark


class Tape(NamedTuple):
    """A tape in one ``unit`` ("in" or "cm"), and by what length, in millimetres, cloth is sold and priced where it is used.

    >>> INCHES.up(100.0) / 25.4, CENTIMETRES.up(100.2), INCHES.to_sell(1000.0) / 914.4
    (4.0, 101.0, 1.125)
    """

    unit: str
    sold_by: float
    priced_by: float

    @property
    def mark(self) -> float:
        """From one mark that she cuts by to the next, millimetres."""
        return MARKS[self.unit]

    def up(self, length: float) -> float:
        """Return the length at the next mark that is not below it: what is cut must suffice."""
        return up_to_mark(length, self.unit)

    def down(self, length: float) -> float:
        """Return the length at the last mark that is not above it: what there is to cut from."""
        return down_to_mark(length, self.unit)

    def priced(self, length: float) -> Decimal:
        """Return a length that is sold in the unit by which it is priced, exactly: ``Decimal("1.125")`` yards."""
        return round(length / self.sold_by) * Decimal(str(round(self.sold_by / self.priced_by, 6)))

    def to_sell(self, length: float) -> float:
        """Return the shortest length that shops sell and that is not below this one, by more than a tape shows."""
        return math.ceil((length - UNSEEN) / self.sold_by) * self.sold_by


#: An eighth of a yard (of 36 in) and a yard; ten centimetres and a metre.
INCHES = Tape("in", 36 * INCH / 8, 36 * INCH)
CENTIMETRES = Tape("cm", 100.0, 1000.0)

#: The tapes by their unit.
TAPES = {tape.unit: tape for tape in (INCHES, CENTIMETRES)}
