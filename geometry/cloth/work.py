"""How long the work takes, operation by operation, and how much thread: guesses to plan by until she times her own.

Amounts are pieces, or lengths of what is cut or sewn, counted as cloth is priced: in yards or metres.  Minutes
are hers to change.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from geometry.cloth.gathers import GATHERING_ROWS

#: How much thread, top and bobbin together, each length of lockstitch takes (common practice, no source).
THREAD = 2.8

_PIECE, _LENGTH = "piece", "length"


class Operation(NamedTuple):
    """One thing that is done: for each ``per`` ("piece", or "length": a yard or metre) it takes so many ``minutes`` (a guess
    of ours, no source)."""

    name: str
    per: str
    minutes: float


#: In the order in which they are done.
OPERATIONS = (
    Operation("cutting", _PIECE, 1.0),
    Operation("joining", _PIECE, 3.0),
    Operation("edge", _LENGTH, 2.0),
    Operation("rolled", _LENGTH, 1.5),
    Operation("ribbon", _LENGTH, 3.0),
    Operation("braid", _LENGTH, 4.0),
    Operation("wire", _LENGTH, 5.0),
    Operation("trim", _LENGTH, 3.0),
    Operation("rows", _LENGTH, 0.7),
    Operation("shaping", _LENGTH, 1.5),
    Operation("setting", _LENGTH, 4.0),
    Operation("seams", _LENGTH, 6.0),
    Operation("lining", _PIECE, 20.0),
    Operation("hem", _LENGTH, 12.0),
    Operation("top_edge", _LENGTH, 12.0),
    Operation("setting_in", _LENGTH, 15.0),
    Operation("pressing", _PIECE, 12.0),
)

GUESSED = {operation.name: operation.minutes for operation in OPERATIONS}

#: What is done to one tier from its joined strips until it hangs: what she times when she times one.
OF_A_TIER = ("edge", "rolled", "ribbon", "braid", "wire", "trim", "rows", "shaping", "setting")

#: Beside the joins, what takes thread along its whole length.
_SEWN = ("edge", "rolled", "ribbon", "braid", "wire", "trim", "rows", "setting", "seams", "hem", "top_edge", "setting_in")


class Timing(NamedTuple):
    """Her ``minutes`` for each of :data:`OPERATIONS`, and how often as long as these everything takes her (``pace``)."""

    minutes: Mapping[str, float] = GUESSED
    pace: float = 1.0

    def taken(self, amounts: Mapping[str, float]) -> dict[str, float]:
        """Return the minutes of every operation of which there is an amount.

        >>> Timing(pace=0.5).taken({"joining": 4.0, "edge": 0.0})
        {'joining': 6.0}
        """
        return {name: amount * self.minutes[name] * self.pace for name, amount in amounts.items() if amount}

    def all_taken(self, amounts: Mapping[str, float]) -> float:
        """Return the minutes of all operations together."""
        return sum(self.taken(amounts).values())

    def paced(self, amounts: Mapping[str, float], took: float) -> Timing:
        """Return the timing by which these ``amounts`` take as long as they ``took`` her, in minutes; all else in proportion.

        >>> Timing().paced({"setting": 10.0}, took=60.0).pace
        1.5
        """
        guessed = sum(amounts[name] * self.minutes[name] for name in OF_A_TIER if name in amounts)
        return self._replace(pace=took / guessed) if guessed else self


class Seams(NamedTuple):
    """What is sewn on every sleeve beside its tiers, millimetres: underarm seam, hem, its share of the whole top edge, both
    armhole seams, and what of its own edge is drawn up on :data:`~geometry.cloth.gathers.GATHERING_ROWS` of stitches first.
    """

    underarm: float
    hem: float
    top_edge: float
    armholes: float
    drawn_up: float = 0.0


class TierWork(NamedTuple):
    """What is sewn for one tier in all its layers, millimetres: strip ``taken`` onto the ``line``, ``rows`` stitched, and so much
    ``edge`` finished by an operation called ``edging`` (empty: none).
    """

    joins: int
    taken: float
    line: float
    rows: float
    edge: float
    edging: str

    def amounts(self, per: float) -> dict[str, float]:
        """Return the amounts, lengths in units of ``per`` millimetres."""
        found = {"joining": float(self.joins), "rows": self.rows / per, "shaping": self.taken / per, "setting": self.line / per}
        return {**found, self.edging: self.edge / per} if self.edging else found


def job_amounts(pieces: int, tiers: Sequence[TierWork], seams: Seams, sleeves: int, lined: bool, per: float) -> dict[str, float]:
    """Return how much there is of every operation: so many ``pieces`` cut, all ``tiers``, and the seams of every sleeve.

    Lengths are counted in units of ``per`` millimetres.
    """
    amounts = {operation.name: 0.0 for operation in OPERATIONS}
    amounts["cutting"] = float(pieces)
    for tier in tiers:
        for name, amount in tier.amounts(per).items():
            amounts[name] += amount
    amounts["seams"] = seams.underarm * sleeves * (2 if lined else 1) / per
    amounts["lining"] = float(sleeves) if lined else 0.0
    for name, amount in drawing_up(seams, sleeves, per).items():
        amounts[name] += amount
    amounts["hem"] = seams.hem * sleeves / per
    amounts["top_edge"] = seams.top_edge * sleeves / per
    amounts["setting_in"] = seams.armholes * sleeves / per
    amounts["pressing"] = float(sleeves)
    return amounts


def drawing_up(seams: Seams, sleeves: int, per: float) -> dict[str, float]:
    """Return what it takes to draw up the top edge of so many sleeves, in lengths of ``per``."""
    drawn = seams.drawn_up * sleeves / per
    return {"rows": GATHERING_ROWS * drawn, "shaping": drawn}


def thread_length(amounts: Mapping[str, float], joined: float) -> float:
    """Return the thread for these amounts and for a length ``joined``, in the unit of the amounts."""
    return THREAD * (joined + sum(amounts[name] for name in _SEWN))
