"""Which pieces belong to a sleeve beside the sleeve itself."""
from __future__ import annotations

from geometry.pieces.band import band
from geometry.pieces.facing import facing
from geometry.pieces.lining import lining
from geometry.pieces.piece import Piece
from geometry.sleeve.draft import Draft, folded_on
from geometry.sleeve.marks import Notch
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled
from geometry.sleeve.spread import Spread
from geometry.sleeve.top_edge import BAND, FACED

#: Every piece there may be, by name, in the order in which they are drawn.
NAMES = ("band", "facing", "lining")


def pieces_of(draft: Draft) -> list[Piece]:
    """Return the pieces for the finish and the lining that were chosen, measured on the Seam line as it is.

    Raises :class:`~geometry.refusal.Refused` where one can't be drawn.
    """
    return pieces_on(draft.seam, draft.settled, draft.notches, draft.block.spread)


def pieces_on(seam: Outline, settled: Settled, notches: tuple[Notch, ...], spread: Spread | None) -> list[Piece]:
    """Return the pieces for a Seam line, ``spread`` or not, and what holds for it.  Errors as of :func:`pieces_of`."""
    found = []
    if settled.top.finish == BAND:
        found.append(band(seam, settled))
    if settled.top.finish == FACED and "top edge" not in folded_on(seam, settled):
        found.append(facing(seam, settled, notches))
    if settled.style.lining == "own":
        found.append(lining(seam, settled, notches, spread))
    return found
