"""The ways to make a tier, in words: how each is called, cut and sewn, and what its tables tell.

One entry for each of :data:`geometry.cloth.ways.WAYS`.
"""
from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Callable, NamedTuple

from geometry.measuring.lengths import write_fine


class Shown(NamedTuple):
    """A column of a way's own table: its ``head``, with {unit} where numbers are in hers, and how a cell is written."""

    head: str
    cell: Callable[[Any, str], str]


class Caution(NamedTuple):
    """What she should know before she cuts where it ``holds`` for some tiers; {tiers} are those."""

    holds: Callable[[Any], bool]
    sentence: str


class PieceWords(NamedTuple):
    """Words of a way that is cut as pattern pieces: the ``whole`` that hangs from a line, the ``piece`` that it is cut as,
    and how pieces are ``laid`` on the cloth.
    """

    whole: str
    piece: str
    laid: str

    def under_master(self, cuts: Sequence[tuple[str, int, int, int, bool, bool]]) -> list[str]:
        """Return what stands on a pattern piece, which is a master where several are cut from it: of each what it is of, how many
        pieces make a whole, in how many layers, how often it is made, whether all of the piece is cut, and whether it hangs from
        a line of the dress, which is no sleeve's.
        """
        if len(cuts) == 1:
            ((which, *rest, _, single),) = cuts
            return [f"{self.whole.capitalize()} of {which}", f"Cut {self._count(*rest, single, True)}"]
        in_all = sum(pieces * layers * copies for _, pieces, layers, copies, _, _ in cuts)
        rows = [f"{self.whole.capitalize()} master: cut {in_all} from it, left ends even"]
        return rows + [
            f"{which}{'' if all_of_it else ', to its mark'}: {self._count(pieces, layers, copies, single, pieces > 1)}"
            for which, pieces, layers, copies, all_of_it, single in cuts
        ]

    def _count(self, pieces: int, layers: int, copies: int, single: bool, to_each: bool) -> str:
        each = [*([f"{pieces} to a {self.whole}"] if to_each else []), f"{layers} layer{'s' if layers > 1 else ''}"]
        each += [] if single else [f"{copies} sleeve{'s' if copies > 1 else ''}"]
        return f"{pieces * layers * copies} ({', '.join(each)})"


class Way(NamedTuple):
    """All that is said about one way to make a tier.

    ``cut`` says what the cut length is, ``sew`` is the step of sewing that makes a strip as long as its line, ``trial`` the same of one,
    and ``thread`` (with {rows}) goes before the guess at thread.
    """

    name: str
    cut: str
    sew: str
    trial: str
    thread: str = ""
    columns: Sequence[Shown] = ()
    caution: Caution | None = None
    pieces: PieceWords | None = None


_STRIP = "Cut length = line × fullness, what both ends take past the line, and a seam for every join."

_GATHERED = Way(
    name="gathered strips",
    cut=_STRIP,
    sew=(
        "Sew two rows of gathering stitches along the top of every strip, one just above and one just below the"
        " stitching line; draw up to the length of its line, mark to mark, and spread the gathers evenly between them."
    ),
    trial="gather it",
    thread="with {rows} rows of gathering ",
)

_PLEAT_COLUMNS = (
    Shown("Pleats", lambda pleats, _: str(pleats.number)),
    Shown("Spacing on\nthe line ({unit})", lambda pleats, unit: write_fine(pleats.spacing, unit)),
    Shown("Depth of\na fold", lambda pleats, unit: write_fine(pleats.depth, unit)),
    Shown("Strip for\neach pleat", lambda pleats, unit: write_fine(pleats.flat, unit)),
)

_PLEATS_OVERLAP = Caution(
    lambda pleats: pleats.overlapping,
    "Pleats of {tiers}: each fold reaches under its neighbour. Sew a trial; soft net takes it, firm net needs less fullness.",
)

_KNIFE = Way(
    name="knife pleats",
    cut=f"{_STRIP} Each pleat is folded under once.",
    sew="Mark the pleats from one end of every strip, fold them all one way, baste along the top and press lightly.",
    trial="pleat it",
    columns=_PLEAT_COLUMNS,
    caution=_PLEATS_OVERLAP,
)

_BOX = Way(
    name="box pleats",
    cut=f"{_STRIP} Each pleat is folded under on both sides.",
    sew="Mark the pleats from one end of every strip, fold both sides of each under, baste along the top and press lightly.",
    trial="pleat it",
    columns=_PLEAT_COLUMNS,
    caution=_PLEATS_OVERLAP,
)

_FLOUNCE = Way(
    name="circular flounces",
    cut=(
        "Cut as sectors of a ring: the inner arc is sewn to the line, the outer arc is the free edge. Lengths are"
        " along the inner arc."
    ),
    sew="Staystitch the inner arc of every flounce on its stitching line and clip up to it, so that it spreads onto the line.",
    trial="clip and spread it",
    columns=(
        Shown("Sectors\neach", lambda flounce, _: str(flounce.sectors)),
        Shown("Angle of\neach", lambda flounce, _: f"{math.degrees(flounce.angle):.1f}°"),
        Shown("Seam\nradius ({unit})", lambda flounce, unit: write_fine(flounce.inner, unit)),
        Shown("Edge\nradius", lambda flounce, unit: write_fine(flounce.outer, unit)),
        Shown("Cut inner\nradius", lambda flounce, unit: write_fine(flounce.cut_radii[0], unit)),
        Shown("Cut outer\nradius", lambda flounce, unit: write_fine(flounce.cut_radii[1], unit)),
    ),
    pieces=PieceWords("flounce", "sector", "Sectors lie in each other’s hollows, turned as saves cloth; net has no grain."),
)

#: By the name under which she chooses one.  A way's columns and caution read what that same way made.
WAYS: Mapping[str, Way] = {"gathered": _GATHERED, "knife": _KNIFE, "box": _BOX, "flounce": _FLOUNCE}
