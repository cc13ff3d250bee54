"""The free edges of tiers in words: what each finish is called, how it is sewn, what is bought for it.

One entry for each of :data:`geometry.cloth.edges.EDGES`.  Lengths come in as text, already in her unit.
"""
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

TITLE = "Free edges to choose from"

#: Behind the name of a finish that is chosen, for the outermost layers or for those under them alone.
CHOSEN, UNDER_LAYERS = " (chosen)", " (under-layers)"


class EdgeWords(NamedTuple):
    """``name`` for a table; ``sew`` is the step of sewing, of every {whole}, {length} in all; ``bought`` is the trim, of
    {length} with its spare, {wide} wide, {deep} deep where it hangs and {turned_in} of it at each end; and ``trim`` what a table calls it.
    """

    name: str
    sew: str = ""
    bought: str = ""
    trim: str = ""


EDGE_WORDS: Mapping[str, EdgeWords] = {
    "cut": EdgeWords("Left as it is cut"),
    "hemmed": EdgeWords(
        "Narrow hem",
        "Hem the free edge of every {whole}, {length} in all: turn half the allowance under, then the other half, and stitch.",
    ),
    "rolled": EdgeWords(
        "Rolled hem",
        "Roll the free edge of every {whole}, {length} in all, with a rolled-hem foot or by hand; try it on a scrap first.",
    ),
    "ribbon": EdgeWords(
        "Bound with ribbon",
        "Fold ribbon along its middle around the free edge of every {whole}, {length} in all, and stitch it through; its ends go into the seams.",
        "Ribbon to bind the free edges, {wide} wide or as you like it: {length}.",
        "Ribbon",
    ),
    "braid": EdgeWords(
        "Horsehair braid",
        "Sew horsehair braid to the free edge of every {whole}, {length} in all, edge on edge on the right side, turn it up and catch its upper"
        " edge; do not stretch it. Its cut ends scratch: cover them with a scrap of cloth.",
        "Horsehair braid for the free edges: {length}.",
        "Horsehair braid",
    ),
    "wire": EdgeWords(
        "Wire in a rolled hem",
        "Lay fine wire into a rolled hem of every {whole}, {length} of edge in all. Bend its ends back and cover them, or they prick. Cut it with"
        " pliers, both ends held, and mind your eyes. Not on children’s wear.",
        "Fine covered wire for the free edges: {length}, its ends bent back {turned_in}.",
        "Fine wire",
    ),
    "trim": EdgeWords(
        "Bought gathered trim",
        "Lap the heading of the bought trim, gathered already, over the allowance of the free edge of every {whole}, {length} in all, and"
        " stitch it through; turn its ends under.",
        "Trim already gathered, {deep} deep below its heading: {length}, its ends turned under {turned_in}.",
        "Gathered trim",
    ),
}  # fmt: skip

#: Trim of which whole tiers are.
TIERS_TRIM = EdgeWords(
    "Bought gathered",
    bought="Trim already gathered, {deep} deep below its heading: {length} for {tiers}.",
    trim="Gathered trim, {deep} deep",
)


def trim_words(which: str) -> EdgeWords:
    """Return the words of a trim, by the finish of edges that it is bought for, or for whole tiers."""
    return EDGE_WORDS.get(which, TIERS_TRIM)


def of_which_layers(bought: str, under: bool) -> str:
    """Return what is bought for the edges of the under-layers alone, or of the outermost layers alone."""
    return f"{bought.rstrip('.')}; for the {'layers under the outermost' if under else 'outermost layers'}."


NOTE = (
    "As if every layer were finished so. More net: than if the edge were left as it is cut, at the width of the net, the plan apart; with bought"
    " trim it is less. Trim: with its spare, joins in it not counted."
    " Allowances are common practice; minutes marked * are guesses."
)
