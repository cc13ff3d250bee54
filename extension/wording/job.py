"""Sentences of the cutting plan and the job sheet.  Lengths come in as text, already in her unit."""
from __future__ import annotations

from collections.abc import Mapping

TITLE = "Job sheet"
LAY_TITLE = "Lay plan"
OUT_OF_DATE = (
    "The drawing is out of date: its lines were edited after they were last drafted or measured. This plan is taken from"
    " the lines as they stand now; what is lettered beside the sleeve is older. Run Re-measure After Editing…, then plan again."
)
SCALED = (
    "This sleeve is no longer the size it was drafted in: it was scaled, or the scale of the document was changed. Run Extensions >"
    " Tiered Sleeve > Re-measure After Editing… first, which asks whether that was meant."
)
MAKES = {
    "gathered": "gathered strips",
    "knife": "knife pleats",
    "box": "box pleats",
    "flounce": "circular flounces",
}


def stitching_shows(tier: int, below: int | None, short_by: str) -> str:
    """Return that a tier ends above the next line, or above the hem where there is none."""
    if below is None:
        return f"Tier {tier} ends {short_by} above the hem: the sleeve shows below it."
    return f"Tier {tier} ends {short_by} above tier line {below}: its stitching would show. Make the drop longer."


def overlap_small(tiers: str, allowance: str) -> str:
    return f"Overlap of {tiers}: less than the gathering allowance ({allowance}), so the stitching may show when the arm moves."


def pleats_overlap(tiers: str) -> str:
    return f"Pleats of {tiers}: each fold reaches under its neighbour. Sew a trial; soft net takes it, firm net needs less fullness."


def how_cut(make: str, mark: str) -> str:
    """Return what the numbers of the tier table mean."""
    strip = "Cut length = line × fullness, an allowance at both ends and one for every join."
    shape = {
        "gathered": strip,
        "knife": f"{strip} Each pleat is folded under once.",
        "box": f"{strip} Each pleat is folded under on both sides.",
        "flounce": "Cut as sectors of a ring: the inner arc is sewn to the line, the outer arc is the free edge. Lengths are"
        " along the inner arc.",
    }[make]
    return (
        f"{shape} Cut width = drop, gathering allowance and hem. Widths and lengths to cut are rounded up to {mark}, never down;"
        " pieces and joins are for one strip, and the strips of a tier are all cut to the length that allows for the most joins."
    )


def plan_sentence(cloth: str, length: str, bound: str, ratio: float, waste: float) -> str:
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
    if not joins:
        return "Every strip is cut in one piece."
    return f"{joins} joins in all; no piece is shorter than {shortest}. What is left of one band begins the next strip."


SECTORS = "Each sector is laid in the rectangle around it; nest them closer by hand where you can."


def grain_sentence(either_way: bool) -> str:
    turned = "sleeves may lie either way up" if either_way else "all sleeves lie the same way up"
    return f"Grain along the selvedge; every second sleeve is mirrored; {turned}."


def sewing_order(make: str, bottom_up: bool, lining: bool, layers: bool, hem: bool) -> list[str]:
    """Return the steps from cut pieces to sewn sleeves."""
    gather = {
        "gathered": "Sew two rows of gathering stitches along the top of every strip, one just above and one just below the"
        " stitching line; draw up to the length of its line, mark quarters and spread evenly.",
        "knife": "Mark the pleats from one end of every strip, fold them all one way, baste along the top and press lightly.",
        "box": "Mark the pleats from one end of every strip, fold both sides of each under, baste along the top and press lightly.",
        "flounce": "Staystitch the inner arc of every flounce on its stitching line and clip up to it, so that it spreads onto the line.",
    }[make]
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
        gather,
        layered,
        attach,
        "Close the underarm seam, catching the ends of every strip."
        + (" Close the lining’s and put it in, wrong sides together." if lining else ""),
        "Turn up the hem so that no stitch catches the last tier.",
        "Join the sleeve to the bodice, notch to notch, and finish the top edge.",
    ]
    return [step for step in steps if step]


def work_sentence(strip: str, line: str, rows: int, thread: str, hours: float) -> str:
    """Return how much there is to gather and to sew, and a guess at thread and time."""
    return (
        f"{strip} of strip to take onto {line} of line; with {rows} rows of gathering about {thread} of thread in all, and some"
        f" {_hours(hours)} of work after cutting. These are rough guesses to plan by: time one tier, then multiply."
    )


def work_sentence_ungathered(strip: str, line: str, thread: str, hours: float) -> str:
    return (
        f"{strip} of strip to take onto {line} of line; about {thread} of thread in all, and some {_hours(hours)} of work after"
        " cutting. These are rough guesses to plan by: time one tier, then multiply."
    )


def flounce_rows(tier: int, sectors: int, layers: int, sleeves: int) -> list[str]:
    """Return what stands under the pattern piece of a flounce."""
    each = f"{sectors} to a flounce, {layers} layer{'s' if layers > 1 else ''}, {sleeves} sleeve{'s' if sleeves > 1 else ''}"
    return [f"Flounce of tier {tier}", f"Cut {sectors * layers * sleeves} ({each})"]


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

BAD_FOLDER = (
    "Job sheet folder: “{folder}” {problem}. Make the folder first, or choose another one with the button; leave it empty"
    " to plan without files. Nothing was drawn."
)
