"""Sentences about the ends of strips: which seam takes them, and how they are cut.  Lengths come in as text."""
from __future__ import annotations

from collections.abc import Sequence

TITLE = "Ends of the strips"
TEMPLATES = "Strip ends"

_SEAMS = ("armhole", "underarm seam")


def sewn_into(armhole: str, underarm: str) -> str:
    """Return which seams take an end, and how much of each; an empty length is none.

    >>> sewn_into("5 in", ""), sewn_into("2 in", "1 in")
    ('armhole 5 in', 'armhole 2 in, underarm seam 1 in')
    """
    return ", ".join(f"{seam} {length}" for seam, length in zip(_SEAMS, (armhole, underarm)) if length) or "hangs free"


#: How the end of a flounce is cut, for a cell of a table.
STRAIGHT = "straight"


def how_cut(follows: bool) -> str:
    """Return how the end of a strip is cut, for a cell of a table."""
    return "along the seam" if follows else "square"


SHAPED = (
    "Ends that are cut along the seam: cut the strip to its whole length, then cut both ends by the templates “Strip ends”;"
    " turn a template over for the other sleeve. Allowances are square to the seam, and longer along the stitching line where it slants."
)
GATHERED_IN = (
    "Ends on the armhole are left square: the strip is cut for the width of the sleeve where its free edge hangs, and all of it is"
    " gathered onto the line."
)


TICKS = "Gather marks"


def ticks_of(tier: int) -> str:
    """Return what the ticks on a tier line are called."""
    return f"Eighths of tier line {tier}"


GATHERS_TITLE = "Marks for even gathers"
GATHER_MARKS = (
    "The ticks on the tier lines are the eighths, the longer ones the quarters. Mark the strip, its joins sewn, from the end as"
    " cut: the first mark is where the gathers begin, the last where they end. Pin mark to mark, then draw up. Where front and back are"
    " to be unlike, say so on the page Strips."
)


PLEATS_TITLE = "Marks for the pleats"
PLEAT_MARKS = (
    "Distances ({unit}) from the end of the strip at the back as cut, its joins sewn: fold the strip at the first place of each pair and bring the"
    " fold to the second. Measured from the end every one, so that no error adds up."
)


def pleats(which: str, marks: Sequence[Sequence[str]]) -> str:
    """Return the running list of a tier's pleats: pairs of where to fold and to where the fold is brought."""
    return f"{which[:1].upper()}{which[1:]}: {'; '.join(f'{fold} to {to}' for fold, to in marks)}."


def uncovered(tiers: str, out: str) -> str:
    """Return that base cloth shows beside a tier whose ends are straight."""
    return (
        f"Beside {tiers} the base runs out up to {out} uncovered: the ends are straight, the armhole slants away under them."
        " Move the line below the underarm, or make the tier of strips, whose ends are cut along the seam."
    )


def caught(length: str, ends: str) -> str:
    """Return how the underarm seam, of this length, is closed over the ends of these tiers; empty where it catches none."""
    return f"Close the underarm seam, {length}{', catching the ends of ' + ends if ends else ''}."


def template(tiers: str, end: str) -> list[str]:
    """Return what is lettered under a template: which ``end`` ("back", "front" or "both") of which strips."""
    which = "both ends" if end == "both" else f"{end} end"
    return [f"{tiers.capitalize()}, {which}", "Lay the thin line on the stitching line;", "turn it over for the other sleeve."]
