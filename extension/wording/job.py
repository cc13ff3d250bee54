"""Sentences of the cutting plan and the job sheet.  Lengths come in as text, already in her unit."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

TITLE = "Job sheet"
LAY_TITLE = "Lay plan"
OUT_OF_DATE = (
    "The drawing is out of date: its lines were edited after they were last drafted or measured. This plan is taken from"
    " the lines as they stand now; what is lettered beside the sleeve is older. Run Re-measure After Editing…, then plan again."
)

#: What cloth is priced by.
LONG_UNIT = {"in": "yd", "cm": "m"}

#: To what lengths to cut are rounded up.
MARK_WORD = {"in": "the next 1/8 in", "cm": "the next millimetre"}


def numbers(values: Sequence[int]) -> str:
    """Return the numbers of tiers as read aloud: ``tiers 1 to 4 and 6``."""
    return ("tier " if len(values) == 1 else "tiers ") + run(values)


def run(values: Sequence[int]) -> str:
    """Return rising numbers as read aloud.

    >>> run([1, 2, 3, 4, 6]), run([1, 2])
    ('1 to 4 and 6', '1 and 2')
    """
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    parts = [part for each in runs for part in ([f"{each[0]} to {each[-1]}"] if len(each) > 2 else map(str, each))]
    return ", ".join(parts[:-1]) + (" and " if parts[1:] else "") + parts[-1]


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
        " joins are for one strip, and the strips of a tier are all cut to one length, which allows for the most joins."
    )


def one_master(tiers: Sequence[str], inner: str, outer: str) -> str:
    """Return that flounces are sectors of one ring, of these radii as cut."""
    return (
        f"Flounces of {'; '.join(tiers)}: all from one ring, {inner} to {outer} in radius as cut. One master serves them, drawn once: the largest"
        " piece, on which the ends of the others are marked."
    )


LAYERS_COUNTED = "Layers that differ have a row each: layer 1 is the innermost, next to the sleeve, and the highest number the outermost."
LAYERS_BY_ONE_TEMPLATE = (
    "The templates “Strip ends” are as long as the widest layer needs. Cut the ends of a narrower one by the same template: lay it on the"
    " stitching line and stop where the strip does."
)

# --- the plans side by side -----------------------------------------------------------------------

PLANS = {
    "best": "Least cost",
    "least_cloth": "Least cloth",
    "fewest_joins": "Fewest joins",
    "one_ribbon": "One long ribbon",
    "fitted": "Fullness that fits",
}


def plan_name(names: Sequence[str], drawn: bool) -> str:
    """Return what a plan is called that can be chosen under these names."""
    called = [PLANS[name] for name in names]
    return ", ".join([called[0], *(name.lower() for name in called[1:])]) + (" (drawn)" if drawn else "")


def how_chosen(priced: bool, join_worth: str) -> str:
    """Return how plans are compared."""
    how = (
        "Cost: cloth, and the time of cutting and joining at your rate."
        if priced
        else f"Cost: each join counts as {join_worth} of cloth; with a rate for an hour and the price of the cloth it is money."
    )
    return f"{how} What a band of cloth holds is cut whole, but for the least cloth and the ribbon."


def fitted_sentence(changes: Sequence[tuple[str, str, str]]) -> str:
    """Return what fullness that fits the cloth does to tiers: ``changes`` are (tiers, from, to)."""
    said = "; ".join(f"{tiers} from {before} to {after}" for tiers, before, after in changes)
    return f"Fullness that fits moves {said}: strips then take whole widths of the net."


RIBBON = (
    "One long ribbon: join all bands of one width end to end, then mark and cut the strips one after the other from its beginning."
    " Where a join would fall near an end or the middle of a strip, a little is cut away before it. Left and right may be joined in different places."
)


def ribbon_sentence(bands: int, length: str) -> str:
    """Return how a ribbon is joined."""
    return (
        f"Join {bands} bands to a ribbon; {length} of it are used. Distances are measured from its beginning; it is joined already, so its"
        " strips are cut without a seam for joins."
    )


def first_up(text: str) -> str:
    """Return a text with a capital at its beginning, all else as it is: colours are written as she writes them."""
    return text[:1].upper() + text[1:]


def plan_sentence(cloth: str, length: str, bound: str, ratio: float, waste: float) -> str:
    """Return how much a plan takes, against the least that any could."""
    return (
        f"{first_up(cloth)}: the plan takes {length}; no plan can take less than {bound} (area over width)."
        f" That is {ratio:.2f} times the least, {waste * 100:.0f} % waste."
    )


def beside_sentence(cloth: str, length: str, takes: str, width: str, left: str) -> str:
    """Return how much sleeves take of their cloth, and what width is left beside them; ``left`` is empty where hardly any is."""
    beside = f"; {left} of width is left beside it" if left else ""
    return f"{cloth.capitalize()}: the plan takes {length}, {takes} wide of {width}{beside}."


def laid_beside_sentence(counts: Sequence[tuple[str, int]], longer: str) -> str:
    """Return what lies beside the sleeves: pieces by name, and how many; ``longer`` is how much cloth more a band takes, or empty."""
    each = [f"the {name}" if number == 1 else f"{number} pieces of {name}" for name, number in counts]
    said = f"Beside the sleeves {'lies' if len(each) == 1 and counts[0][1] == 1 else 'lie'} {' and '.join(each)}."
    if not longer:
        return said
    return f"{said} Along the grain the band takes {longer} of cloth below them; the page Plan lets it lie across."


def direction_sentence(cloth: str, chosen: str, ways: Mapping[str, tuple[str, int]], reason: str) -> str:
    """Return which way strips are cut and what every way takes: ``ways`` are (length to buy, joins) by direction."""
    said = []
    for way, (length, joins) in ways.items():
        sew = f" and sew {joins} join{'' if joins == 1 else 's'}" if any(count for _, count in ways.values()) else ""
        said.append(f"{_WAYS[way]} buy {length}{sew}")
    where = f"here they run {_HERE[chosen]}{', which ' if reason else ''}{reason}"
    return f"Strips of {cloth} without a grain may run either way; {where}. {'; '.join(said).capitalize()}."


CHEAPER = "takes less cloth"
FEWER_JOINS = "takes fewer joins"
_WAYS = {"across": "across the width", "along": "along the length", "both": "both ways"}
_HERE = {**_WAYS, "both": "along the length and, below those, across the width"}


def remnant_sentence(joins: int, shortest: str, pleats: bool) -> str:
    """Return how many joins a lay has, how short its shortest piece is, and where joins stand."""
    if not joins:
        return "Every strip is cut in one piece."
    where = "in the inner fold of a pleat" if pleats else "a hand from both ends of the line and from its middle"
    return (
        f"{joins} join{'' if joins == 1 else 's'} in all; no piece is shorter than {shortest}. Joins stand {where}; every strip is counted"
        " from its end at the back underarm seam, so that left and right are mirrored."
    )


#: What stands for a join's place where the lay is one of a ribbon.
NOT_HIDDEN = "Some joins fall within a hand of an end or the middle, since the cloth leaves no other place."


def among_sentence(wide: str, long: str) -> str:
    """Return where sleeves lie on the cloth of the tiers."""
    return f"The sleeves lie in its left corner, {wide} wide and {long} long; all else is laid into what is left beside and below them."


#: What stands where a cloth is bought with another, and what is said of it.
SLEEVES_WITH_TIERS = "Base: cut from the cloth of the tiers, on the lay of that."
LINING_WITH_BASE = "Lining: cut from the base cloth, on the lay of that."


def bought_with(cloth: str) -> str:
    """Return with which cloth it is bought."""
    return f"with the {cloth}"


def takes_sentence(cloth: str, length: str, width: str) -> str:
    """Return how much a plan takes whose waste is no waste."""
    return f"{cloth.capitalize()}: the plan takes {length} of cloth {width} wide."


def border_sentence(left: str, both: bool) -> str:
    """Return how strips lie on a border, and what width is ``left`` beside them."""
    where = "both selvedges, their free edges on the borders" if both else "the left selvedge, their free edges on the border"
    return f"Strips lie one behind the other along {where}; {left} of width is left beside them, for other uses."


def one_way_sentence(direction: str) -> str:
    """Return how strips lie on cloth that has a nap or a direction."""
    nap = "down the strips" if direction == "across" else "along the strips"
    return f"All strips lie the same way up and run {_WAYS[direction]}; the nap runs {nap}. Mark the top of every piece."


#: How pattern pieces lie on such cloth.
PIECES_ONE_WAY = "All pieces lie the same way up. Mark the top of every piece."


HEMS_ON_BORDER = (
    "Hems lie on the border along the left selvedge, so the grain of the sleeves runs across the cloth; every second sleeve is mirrored. A hem"
    " that is turned up takes the edge of the border inside: where it is to show whole, draft the sleeve with a hem allowance of 0."
)


def grain_sentence(either_way: bool, repeat: str) -> str:
    """Return how sleeves lie on their cloth; ``repeat`` is that of its stripes, if it has any."""
    turned = "sleeves may lie either way up" if either_way and not repeat else "all sleeves lie the same way up"
    stripes = f"; they lie whole repeats of {repeat} apart, so that stripes meet at the seams" if repeat else ""
    return f"Grain along the selvedge; every second sleeve is mirrored; {turned}{stripes}."


# --- work and price -------------------------------------------------------------------------------

OPERATIONS = {
    "cutting": "Cutting pieces",
    "joining": "Joining strips",
    "edge": "Narrow hems of tiers",
    "rolled": "Rolled hems of tiers",
    "ribbon": "Ribbon on edges",
    "braid": "Braid on edges",
    "wire": "Wire in hems of tiers",
    "trim": "Gathered trim on edges",
    "rows": "Rows along the strips",
    "shaping": "Drawing up, pleating",
    "setting": "Setting layers on",
    "seams": "Underarm seams",
    "lining": "Putting linings in",
    "hem": "Hems",
    "top_edge": "Top edges",
    "setting_in": "Setting in",
    "pressing": "Pressing",
}

GUESSES = "Minutes marked * are guesses, to plan by: time your own and type them on the page Hours. They are kept."


def paced(pace: float) -> str:
    """Return that everything is set in proportion to a tier that she timed."""
    return f"By the tier that you timed, everything takes {pace:.2f} times the minutes in the table."


def duration(minutes: float) -> str:
    """Return so many minutes in words.

    >>> duration(47.0), duration(135.2)
    ('47 min', '2 h 15 min')
    """
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def work_sentence(strip: str, line: str, stitched: str, thread: str, time: str) -> str:
    """Return how much there is to gather and to sew, and a guess at thread and time; an empty ``strip`` is none."""
    taken = f"{strip} of strip to take onto {line} of line; {stitched}" if strip else ""
    return first_up(f"{taken}about {thread} of thread and {time} of work in all, a guess to plan by.")


MATERIALS = {
    "net": "Net", "contrast": "Contrast", "base": "Base", "lining": "Lining", "thread": "Thread", "trims": "Trims", "elastic": "Elastic",
    "toile": "Cloth for a toile",
}  # fmt: skip


def material(name: str) -> str:
    """Return what a material is called in a quote; a cloth may have a colour behind its name."""
    return MATERIALS.get(name) or first_up(name)


def of_tier(number: int, name: str, layers: Sequence[int], cloth: str) -> str:
    """Return how a row of a table is called: a tier or another line, which of its layers if not all, and the cloth if it is told.

    >>> of_tier(3, "", [], ""), of_tier(7, "bodice front", [], "contrast"), of_tier(3, "", [1, 2], "net, blush")
    ('3', '7 bodice front, contrast', '3, layers 1 and 2, net, blush')
    """
    which = f"layer{'s' if len(layers) > 1 else ''} {run(layers)}" if layers else ""
    return ", ".join(filter(None, [f"{number} {name}".strip(), which, cloth]))


def in_all_colours(cloth: str, length: str) -> str:
    """Return how much of a cloth is bought in all its colours."""
    return f"{first_up(cloth)} in all colours: {length}."


QUOTE_TITLE = "Quote"


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def dated(day: date) -> str:
    """Return when the quote was made, with the month in letters: which number is the month is read two ways.

    >>> dated(date(2026, 2, 3))
    '3 February 2026.'
    """
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}."


def valid_until(until: str) -> str:
    """Return until when the quote holds, as she wrote it."""
    return f"Valid until {until}."


#: What a tier is cut from that is bought already gathered, in a table.
BOUGHT = "bought trim"


def what_is_made(
    sleeves: int, tiers: int, way: str, layers: Sequence[int], contrast: bool, others: Sequence[str] = (), bought: str = ""
) -> str:
    """Return what the client gets; ``others`` are lines of the dress that are ruffled as well, ``bought`` the tiers that are bought
    already gathered.

    >>> what_is_made(2, 6, "gathered strips", [3], True)
    '2 off-shoulder sleeves with 6 tiers of gathered strips, in 3 layers, some of them in contrast.'
    """
    gathered = f" {first_up(bought)}: of trim that is bought gathered." if bought else ""
    many = f"{layers[0]}" if len(layers) == 1 else f"{layers[0]} to {layers[-1]}"
    laid = f", in {many} layer{'' if layers == [1] else 's'}"
    return (
        f"{sleeves} off-shoulder sleeve{'' if sleeves == 1 else 's'} with {tiers} tier{'' if tiers == 1 else 's'} of {way}{laid}"
        f"{', some of them in contrast' if contrast else ''}.{gathered}{' Ruffled as well: ' + ', '.join(others) + '.' if others else ''}"
    )


def no_price(names: Sequence[str]) -> str:
    """Return for her what is not in the quote, since it has no price.

    >>> no_price(["base", "thread"])
    'Not in it, since it has no price: base, thread. The client’s page names cloth, trim and elastic that are not in it.'
    """
    return f"Not in it, since it has no price: {_named(names)}. The client’s page names cloth, trim and elastic that are not in it."


def not_in_the_price(names: Sequence[str]) -> str:
    """Return for the client what the price does not hold.

    >>> not_in_the_price(["net, ivory", "Ribbon"])
    'Not in this price: net, ivory; ribbon.'
    """
    return f"Not in this price: {_named(names)}."


def _named(materials: Sequence[str]) -> str:
    """Return names within a sentence; a cloth may have a colour behind its name."""
    between = "; " if any("," in name for name in materials) else ", "
    return between.join(name[:1].lower() + name[1:] for name in materials)


CARE = (
    "Wash and press every cloth before cutting, as it will be washed later. Net: cool hand wash, do not wring, dry flat, no dryer.",
    "Press net only cool and through a cloth; try a scrap first.",
)

FLAT = "Folded flat on a figure, true in proportion. How far tiers stand out depends on the net."
FLAT_CONTRAST = "Grey: contrast."
FLAT_SHORTER = "Shorter layers are hidden by the outermost."
FLAT_FRONT, FLAT_BACK = "front", "back"
FLAT_HIDDEN = "No stitching line shows."
FLAT_SHOWS = "Heavy dashed lines: stitching that would show."

REDUCED = "The next picture is wider than the page and shown smaller than its scale says."


def runs_on(pieces: int) -> str:
    """Return that so many pieces are drawn on two pages, since they are longer than one or lie in each other's way."""
    return f"{pieces} piece{'s go' if pieces > 1 else ' goes'} on in the next picture; each is cut whole."
