"""What it costs to join sheets at a place: the line that runs along the join, and the lettering that it cuts."""
from __future__ import annotations

from typing import NamedTuple

import numpy as np

from geometry.curves.arrays import Array
from geometry.paper.ground import Ground

#: Joins lie so far from lines along them, where there is a choice, or as many of these as can be.
OFF_LINES = (6.0, 4.0, 2.0)

#: What is lettered costs, for each millimetre of its height squared, as much as so many millimetres of line along the join, so
#: that names are cut last; lettering that can be moved, as much as so many millimetres.
LETTERED, MOVABLE = 6.0, 3.0

#: Where all that is blank is to lie at one side, a join costs so much line for each millimetre that it lies nearer to the other.
LEANING = 1.0


class _Summed(NamedTuple):
    """Amounts along an axis: ``places`` (n,) in order, and what there is before each of them and in all (n + 1,)."""

    places: Array
    before: Array

    @classmethod
    def of(cls, places: Array, amounts: Array) -> _Summed:
        order = np.argsort(places)
        return cls(places[order], np.append(0.0, np.cumsum(amounts[order])))

    def until(self, places: Array) -> Array:
        """Return what there is before each of ``places`` (any shape)."""
        until: Array = self.before[np.searchsorted(self.places, places)]
        return until


class JoinCosts(NamedTuple):
    """What joins cost that run level (``axis`` 1) or upright (0), see :meth:`at`: how much line there is along that axis, where
    lettering begins and ends there and what it costs to cut it, and what they cost for each millimetre from which end on.
    """

    line: _Summed
    begun: _Summed
    ended: _Summed
    lean: float
    end: float

    @classmethod
    def of(cls, ground: Ground, axis: int) -> JoinCosts:
        line = _Summed.of(ground.line[:, axis], ground.weights)
        boxes = np.reshape([*ground.boxes, *ground.movable], (-1, 4))
        worth = np.array([LETTERED * box.height**2 for box in ground.boxes] + [MOVABLE] * len(ground.movable))
        begun, ended = _Summed.of(boxes[:, axis] - 1.0, worth), _Summed.of(boxes[:, axis + 2] + 1.0, worth)
        return cls(line, begun, ended, 0.0, 0.0)

    def leaning(self, lean: int) -> JoinCosts:
        """Return the same, but that joins cost more the farther they lie from where they are to lean to."""
        end = float(self.line.places[0 if lean < 0 else -1]) if len(self.line.places) else 0.0
        return self._replace(lean=lean * LEANING, end=end)

    def at(self, places: Array) -> Array:
        """Return what a join at each of ``places`` (any shape) costs.

        The length of line within :data:`OFF_LINES` of it, so that lines across it count little and lines along it much, the
        nearer the more; and what is lettered on it; and how far it lies from where it leans to.
        """
        near = [self.line.until(places + off) - self.line.until(places - off) for off in OFF_LINES]
        costs: Array = sum(near) / len(near) + self.begun.until(places) - self.ended.until(places) - self.lean * (places - self.end)
        return costs
