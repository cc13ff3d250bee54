"""Sentences of the cutting plan and the job sheet.  Lengths come in as text, already in her unit."""
from __future__ import annotations

from collections.abc import Mapping, Sequence

TITLE = "Job sheet"
LAY_TITLE = "Lay plan"
OUT_OF_DATE = (
    "The drawing is out of date: its lines were edited after they were last drafted or measured. This plan is taken from"
    " the lines as they stand now; what is lettered beside the sleeve is older. Run Re-measure After Editing…, then plan again."
)

#: To what lengths to cut are rounded up.
MARK_WORD = {"in": "the next 1/8 in", "cm": "the next millimetre"}


def numbers(values: Sequence[int]) -> str:
    """Return the numbers of tiers as read aloud: ``tiers 1 to 4 and 6``."""
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    parts = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))]
    return ("tier " if len(values) == 1 else "tiers ") + ", ".join(parts[:-1]) + (" and " if parts[1:] else "") + parts[-1]


def stitching_shows(tier: int, below: int | None, short_by: str) -> str:
    """Return that a tier ends above the next line, or above the hem where there is none."""
    if below is None:
        return f"Tier {tier} ends {short_by} above the hem: the sleeve shows below it."
    return f"Tier {tier} ends {short_by} above tier line {below}: its stitching would show. Make the drop longer."


def overlap_small(tiers: str, allowance: str) -> str:
    """Return that tiers hide the stitching, but only just."""
    return f"Overlap of {tiers}: less than the gathering allowance ({allowance}), so the stitching may show when the arm moves."


def how_cut(cut: str, mark: str) -> str:
    """Return what the numbers of the tier table mean: ``cut`` says what the cut length is."""
    return (
        f"{cut} Cut width = drop, gathering allowance and hem. Widths and lengths to cut are rounded up to {mark}, never down;"
        " pieces and joins are for one strip, and the strips of a tier are all cut to the length that allows for the most joins."
    )


def plan_sentence(cloth: str, length: str, bound: str, ratio: float, waste: float) -> str:
    """Return how much a plan takes, against the least that any could."""
    return (
        f"{cloth.capitalize()}: the plan takes {length}; no plan can take less than {bound} (area over width)."
        f" That is {ratio:.2f} times the least, {waste * 100:.0f} % waste."
    )


def direction_sentence(cloth: str, chosen: str, ways: Mapping[str, tuple[str, int]], reason: str) -> str:
    """Return which way strips are cut and what either way takes: ``ways`` are (length to buy, joins) by direction."""
    said = []
    for way, (length, joins) in ways.items():
        sew = f" and sew {joins} join{'' if joins == 1 else 's'}" if any(count for _, count in ways.values()) else ""
        said.append(f"{_WAYS[way]} buy {length}{sew}")
    where = f"here they run {_WAYS[chosen]}{', which ' if reason else ''}{reason}"
    return f"Strips of {cloth} without a grain may run either way; {where}. {'; '.join(said).capitalize()}."


CHEAPER = "is cheaper"
FEWER_JOINS = "takes the same cloth and fewer joins"
_WAYS = {"across": "across the width", "along": "along the length"}


def remnant_sentence(joins: int, shortest: str) -> str:
    """Return how many joins a lay has, and how short its shortest piece is."""
    if not joins:
        return "Every strip is cut in one piece."
    return f"{joins} joins in all; no piece is shorter than {shortest}. What is left of one band begins the next strip."


def grain_sentence(either_way: bool) -> str:
    """Return how sleeves lie on their cloth."""
    turned = "sleeves may lie either way up" if either_way else "all sleeves lie the same way up"
    return f"Grain along the selvedge; every second sleeve is mirrored; {turned}."


def sewing_order(shape: str, bottom_up: bool, lining: bool, layers: bool, hem: bool, caught: Sequence[str]) -> list[str]:
    """Return the steps from cut pieces to sewn sleeves; ``shape`` is the one that makes a strip as long as its line,
    ``caught`` are those that catch the ends of the strips, see :func:`extension.wording.strip_ends.caught`.
    """
    layered = "Lay the layers of each tier on each other and baste them along the stitching line." if layers else ""
    attach = (
        "Attach the tiers from the bottom up, so that no tier has to be held out of the way: allowance upward, stitching on the tier line."
        if bottom_up
        else "Attach the tiers from the top down, each finished tier flipped up and pinned out of the way of the next."
    )
    steps = [
        "Cut the base" + (" and lining" if lining else "") + "; mark tier lines, grain and notches on the right side of the base.",
        "Join the pieces of each strip and press the joins open or to one side, cool.",
        "Hem the strips." if hem else "",
        shape,
        layered,
        attach,
        caught[0] + (" Close the lining’s and put it in, wrong sides together." if lining else ""),
        "Turn up the hem so that no stitch catches the last tier.",
        caught[1],
        "Join the sleeve to the bodice, notch to notch, and finish the top edge.",
    ]
    return [step for step in steps if step]


def work_sentence(strip: str, line: str, stitched: str, thread: str, hours: float) -> str:
    """Return how much there is to gather and to sew, and a guess at thread and time."""
    return (
        f"{strip} of strip to take onto {line} of line; {stitched}about {thread} of thread in all, and some {_hours(hours)} of work"
        " after cutting. These are rough guesses to plan by: time one tier, then multiply."
    )


def _hours(hours: float) -> str:
    whole = max(1, round(hours))
    return f"{whole} hour{'' if whole == 1 else 's'}"


CARE = (
    "Wash and press every cloth before cutting, as it will be washed later. Net: cool hand wash, do not wring, dry flat, no dryer.",
    "Press net only cool and through a cloth; try a scrap first.",
)

FLAT = "Closed sleeve laid flat, drawn to scale. How far tiers stand out depends on the net."
FLAT_HIDDEN = "No stitching line shows."
FLAT_SHOWS = "Heavy dashed lines: stitching that would show."

REDUCED = "The next picture is wider than the page and shown smaller than its scale says."
