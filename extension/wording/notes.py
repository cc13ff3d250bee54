"""Sentences that she reads in the drawing.  Lengths come in as text, already in her unit."""
from __future__ import annotations

from collections.abc import Sequence
from typing import Callable, NamedTuple

from geometry.measuring.lengths import as_read, up_to_mark, write_fine, write_length, write_small
from geometry.sleeve.truing import ROUNDING

PIECE = "Sleeve"
CUT = "Cut 2 (1 pair)"
GRAIN = "Grain along the centre line"

CAUTIONS = (
    "Nylon and polyester net melt and burn fast: keep net and ruffles away from flame, stoves and cigarettes; press cool, through a cloth.",
    "Mind blades, needles, pins and hot irons; put them out of reach of children.",
    "Children’s wear: cords, ties and elastic at neck or sleeve can catch or choke. Follow the rules for children’s clothes where you sell.",
    "Local rules and qualified practice come before anything written here. Sew a trial sleeve before you cut good cloth.",
)

NEXT = "What comes next"
NEXT_AFTER_DRAFT = (
    "Drag nodes of the layer Seam line, or move tier lines; then 2 Re-measure After Editing makes every line and number true again."
    " If it is to stay as it is: 3 Cutting Plan, then 4 Print Pages."
)
NEXT_ALL_TRUE = "Nothing here has to be mended. 3 Cutting Plan says what to cut and to buy, 4 Print Pages prints it at true size."
NEXT_PUT_RIGHT = "Put right what is marked so, and run 2 Re-measure After Editing again."
NEXT_AFTER_PLAN = "Cut one layer of one tier, {trial} and hold it to its line; then cut the rest. 4 Print Pages prints the pattern at true size."

PRINT_TRUE = "Print at 100 %, no “fit to page”; measure both test squares before you cut."


def tier(number: int, length: str, below: str) -> tuple[str, str]:
    """Return what is lettered on a tier line, in two halves: how long it is, and where it lies.

    ``below`` the top edge is empty for one that lies on it.
    """
    return f"Tier {number}: {length}", f"({below} down)" if below else "(top edge)"


def level(name: str, below: str, width: str, girth: str) -> tuple[str, str]:
    """Return what is lettered on a level line, in two halves: where it is, and what is measured there.

    ``girth`` of the arm is empty where none is measured.
    """
    return f"{name.capitalize()} {below} down:", f"sleeve {width}" + (f", arm {girth}" if girth else "")


def note(kind: str, level: str, lengths: list[str]) -> str:
    """Return the sentence for one of :class:`geometry.sleeve.block.Note`."""
    return _NOTES[kind].format(*lengths, level=level, Level=level.capitalize())


def reads_the_same(kind: str, lengths: Sequence[str]) -> bool:
    """Whether what was asked and what is drawn differ by less than can be written, so that there is nothing to tell."""
    return "drawn {1}" in _NOTES[kind] and lengths[0] == lengths[1]


_NOTES = {
    "passed over": (
        "{Level} level passed over: a seam through it would wander in and out or turn sharply, so it is drawn straight on there."
        " Asked for with its ease {0}, drawn {1}."
    ),
    "narrowed slowly": (
        "{Level} level: the seam narrows to it no faster than 45° from the grain and a turn of 25°. Asked for with its ease {0}, drawn {1}."
    ),
    "rounded off": (
        "{Level} level: the seam turns there and is rounded off, outside of where it would turn. Asked for with its ease {0}, drawn {1}."
    ),
    "flare at the seams": (
        "Flare: of {0} at the hem, {1} would hang straight down from the {level}, and each side seam adds {2}; nothing is spread in."
    ),
    "flare spread": (
        "Flare: of {0} at the hem, {1} would hang straight down from the {level}, and each side seam adds {2}. The other {3} are spread in"
        " from the hem, as if it were slashed to the top edge in 8 places and each opened by {4}; armholes, seams and the length of the top edge"
        " stay as they were. Cut the net for a tier to the length of its line, which is curved now."
    ),
    "widened": "Underarm: by the rule, with its ease, it would be {0} wide; the {level} with its ease asks for more, so it is drawn {1} wide.",
    "widened for the arm there": (
        "Underarm: by the rule, with its ease, it would be {0} wide; the arm there with the ease asked for at the underarm asks for more, so it"
        " is drawn {1} wide."
    ),
    "cap width widened": (
        "Underarm: by the cap width, with its ease, it would be {0} wide; the {level} with its ease asks for more, so it is drawn {1} wide."
    ),
    "cap width widened for the arm there": (
        "Underarm: by the cap width, with its ease, it would be {0} wide; the arm there with the ease asked for at the underarm asks for more,"
        " so it is drawn {1} wide."
    ),
    "above underarm": (
        "{Level} level lies {0} below the top edge, above the underarm at {1}: its girth is kept at the underarm instead."
    ),
    "hem widened": "The hem was asked at {0}, but the arm measures {1} there, so it is drawn for {1}.",
    "matched, height kept": (
        "Armhole seam matched to the bodice: the cap height is kept at {0}, and the width at the underarm is solved as {1}."
    ),
    "matched, width kept": (
        "Armhole seam matched to the bodice: the width at the underarm is kept at {0}, and the cap height is solved as {1}."
    ),
}


def matched(side: str, sleeve: str, bodice: str, ease: str, wrong: str, longer: bool) -> str:
    """Return how the armhole seam of one side meets the bodice's, with the ``ease`` asked for (empty: none); ``wrong`` is
    by how much it is ``longer`` or shorter than that, empty where it is right.
    """
    if wrong:
        asked = f"bodice and the {ease} of ease" if ease else "bodice, and no ease was"
        how = f"the sleeve is {wrong} {'longer' if longer else 'shorter'} than the {asked} asked for: put the seam right first"
    else:
        how = f"set in {ease} between notch and top edge" if ease else "sew them edge to edge"
    return f"{side.capitalize()} armhole seam: sleeve {sleeve}, bodice {bodice}; {how}."


def fitting_change(number: int, date: str, amounts: Sequence[tuple[str, str, bool]], reason: str) -> str:
    """Return what was changed after a toile: ``amounts`` are name, length without its sign, and whether it is positive."""
    said = "; ".join(_changed(*amount) for amount in amounts)
    return f"{number}. {date}: {said}{f' ({reason})' if reason else ''}."


def _changed(name: str, length: str, positive: bool) -> str:
    if name in _LENGTH_CHANGES:
        return _LENGTH_CHANGES[name][0 if positive else 1].format(length)
    level, _, side = name.replace("_", " ").rpartition(" ")
    if level == "top edge":
        return f"top edge {length} {'longer' if positive else 'shorter'} at the {side}"
    return f"{level} {'let out' if positive else 'taken in'} {length} at the {side}"


_LENGTH_CHANGES = {
    "underarm_down": ("underarm lowered {}", "underarm raised {}"),
    "longer_above_elbow": ("{} longer above the elbow", "{} shorter above the elbow"),
    "longer_below_elbow": ("{} longer below the elbow", "{} shorter below the elbow"),
}


def hem_turned_up(differ: str, longer: bool) -> str:
    """Return how a curved hem is turned up, whose allowance is by so much longer or shorter than the sleeve it comes to lie on."""
    how = "ease it in with a gathering thread" if longer else "clip it where it pulls"
    return f"The hem is curved: turned up, its edge is {differ} {'longer' if longer else 'shorter'} than the sleeve there; {how}."


def hem_faced(allowance: str) -> str:
    """Return how a hem that is scalloped, pointed, opened or strongly curved is finished."""
    return (
        "The hem is shaped or strongly curved: it can't be folded up. Face it, with a piece cut to its shape;"
        f" {allowance} stands beyond the seam line all along it."
    )


def notch(side: str, from_underarm: str, from_top_edge: str, from_top_edge_on_bodice: str | None) -> str:
    """Return where one notch stands on the sleeve and on the bodice."""
    ticks = "single" if side == "front" else "double"
    bodice = f" on the sleeve and {from_top_edge_on_bodice} on the bodice" if from_top_edge_on_bodice else " on the sleeve"
    return (
        f"{side.capitalize()} notch ({ticks}): {from_underarm} from the underarm point along both seams;"
        f" from the top edge {from_top_edge}{bodice}."
    )


def without_notches(tiers: Sequence[int]) -> str:
    """Return which tier lines have no notches at their ends, and how those are marked."""
    lines = f"line {tiers[0]} has" if len(tiers) == 1 else f"lines {', '.join(map(str, tiers[:-1]))} and {tiers[-1]} have"
    return (
        f"Tier {lines} no notches at the ends: they would stand so close to others that they could not be told apart."
        " Mark those ends by the distance lettered on the line."
    )


FIT_TITLE = "Fit: body and sleeve around the arm"


def fit_limit(place: str, least: str, most: str, least_percent: float, most_percent: float) -> str:
    """Return which ease counts as good at a place, and why."""
    share = f"{_percent(least_percent)} to {_percent(most_percent)} %"
    return f"{place.capitalize()}: good from {least} to {most} of ease and from {share}; {_WHY[place]}."


def _percent(share: float) -> str:
    return f"{share:g}".replace("-", "−")


#: Why an ease counts as good, by the places of :func:`geometry.sleeve.fit.limits_for`.
_WHY = {
    "top edge": "about what shoulders and arm ask for, by twice the shoulder width and the upper arm girth",
    "underarm": "the arm must rise and reach in woven cloth; more is fullness",
    "upper arm": "the arm must bend and reach in woven cloth; more is fullness",
    "elbow": "measured bent, so less will do; more is fullness",
    "lower arm": "the sleeve must turn and slide up; more is fullness",
    "hem": "finished girth as asked; more is fullness",
}


def left_over(labels: Sequence[str], name: str) -> str:
    """Return what to say of measurements that are the same as those of a sleeve of another ``name``."""
    first, *others = labels
    return f"{', '.join([first, *(label.lower() for label in others)])} are just those of {name}: measured again?"


def sleeve_called(client: str) -> str:
    """Return what the sleeve of a client is called; her name may be empty."""
    return f"Sleeve – {client}" if client else "Sleeve"


def doubted(label: str, length: str, other: str, other_length: str) -> str:
    """Return what to ask of two measurements that hardly belong to one body."""
    return f"{label} {length} beside {other.lower()} {other_length}: hardly any body is so. Measured again?"


def ends_past_the_hand(length: str, wrist: str) -> str:
    """Return what to ask of a sleeve that is much longer than the arm."""
    return f"Sleeve length {length} beside wrist level {wrist}: the sleeve ends far down the hand or past it. Is it meant so?"


def solved_far_off(measured: str, solved: str) -> str:
    """Return what to ask where the bodice's armhole asks for another cap height than was measured."""
    return f"Cap height {measured} was measured, but the bodice’s armhole seams ask for {solved}, which is drawn. Measure all of them again?"


def preset(ease: str, wearer: str) -> str:
    """Return which preset of ease was chosen."""
    return f"Ease on each half by the preset “{ease}” for {'a child' if wearer == 'child' else 'an adult'} (common practice, no source)."


def fit_basis(wearer: str) -> str:
    """Return how the chart is to be read, and for whom its limits hold."""
    return (
        "Dark bar: body; hollow bar: sleeve, finished. Open: above the underarm the sleeve is no tube yet."
        f" Limits for {'a child' if wearer == 'child' else 'an adult'}, in woven cloth, from the close preset of ease to the loose one:"
        " common practice, no source. Between the levels measured the arm is taken to taper evenly, above the upper arm to be as full as there."
    )


def fullness(cause: str, ease: str, percent: float, asked: str, cap_width: str) -> str:
    """Return why the sleeve is full at the underarm, and which cap width would give the ease that was asked for."""
    there = f"Full at the underarm, with {ease} of ease ({percent:.0f} %)"
    if cap_width:
        return f"{there}, where {asked} was asked for: {_FULL_BY[cause]} makes it so. A cap width of {cap_width} would give what was asked for."
    return f"{there}: {_FULL_BY[cause]} makes it so."


_FULL_BY = {
    "rule": "the rule by which its width is taken from the bust",
    "cap width": "the cap width that was typed",
    "match": "the width that was solved for the bodice’s armhole seams, more than the loose preset leaves,",
    "ease": "the ease that was asked for",
}

#: Where the cap height comes from, by :attr:`geometry.sleeve.draft.Draft.cap_height_from`; ``more`` is what the rule adds.
CAP_HEIGHT_FROM = {
    "measured": "as measured",
    "rule": "by the rule, bust girth / 12 + {more}; measure it for a better fit",
    "matched": "solved for the bodice’s armhole seams",
    "edited": "as edited",
}

#: The same in the drawing, behind how far down the underarm lies.
CAP_HEIGHT_BY = {"measured": " (measured)", "rule": " (by the rule)", "matched": " (matched)", "edited": ""}


def tier_lines(count: int, first: str, end: str) -> str:
    """Return how many tier lines there are and on what part of the sleeve: ``first`` on the top edge and ``end`` at the hem are empty."""
    where = f"the first {first} below the top edge" if first else "the first on the top edge"
    until = f"; the last tier ends {end} below the top edge, the sleeve below it is plain" if end else ""
    return f"{count} tier line{'s' if count > 1 else ''}, {where}{until}. "


#: How lines lie that are not level, by the values of the choice.
LAYOUTS = {
    "level": "",
    "following": (
        "They follow the armhole: below the top edge all end at the underarm point or below it, evenly apart along the underarm seam."
        " Trace every line; mark its middle and both ends. "
    ),
    "aslant": (
        "They run aslant, the front end lower: front and back ends do not meet where the underarm seam is closed. Mirror the other sleeve. "
    ),
}


def snapped_spacing(exact: str, drawn: str, last_level: str, last_section: str, difference: str, longer: bool) -> str:
    """Return what rounding the spacing to a mark of the tape does at the hem."""
    return (
        f"Spacing {drawn}, snapped to the tape from {exact} exactly. The last line stands {last_level} below the top edge,"
        f" {last_section} above the hem: the last section is {difference} {'longer' if longer else 'shorter'} than the others."
    )


def graduated_spacing(first: str, last: str, last_section: str) -> str:
    """Return how far apart lines stand that are not equally far apart."""
    return (
        f"Spacing from {first} at the top edge to {last}, the last section {last_section}. Mark every line from the top edge by the"
        " distance lettered on it."
    )


def exact_spacing(exact: str, nearest: str) -> str:
    """Return how the lines were shared out, and the trap in adding up a rounded spacing; ``exact`` is empty where a tape has that mark."""
    if not exact:
        return f"Spacing {nearest}. Mark every line from the top edge by the distance lettered on it."
    return (
        f"Spacing {exact} exactly (about {nearest}). Mark every line from the top edge by the distance lettered on it,"
        " not by stepping the spacing: rounding would add up."
    )


def moved_tiers(count: int) -> str:
    """Return how to mark tier lines that she has put where she wants them."""
    if not count:
        return "No tier lines."
    return (
        f"{count} tier line{'s' if count > 1 else ''}, no longer at equal distances."
        " Mark every line from the top edge by the distance lettered on it, along the grain line."
    )


# --- the truing report ----------------------------------------------------------------------------

VERDICTS = {"good": "good", "look": "look here", "wrong": "put right"}

REPORT_INTRO = (
    "Measured on the finished seam line as it is drawn now. The numbers in rings on the drawing show where to look."
)


class _Said(NamedTuple):
    """Writes lengths in her unit, as she reads them off her tape."""

    unit: str

    def __call__(self, length: float) -> str:
        return f"{write_fine(length, self.unit)} {self.unit}"

    def less(self, length: float, *others: float) -> float:
        """Return what is left of a length without the others, each as it is written, so that they differ by what is said."""
        return as_read(length, self.unit) - sum(as_read(other, self.unit) for other in others)

    def up(self, length: float) -> str:
        """To the next mark of her tape that is enough: what is advised must suffice when it is done as written."""
        return write_length(up_to_mark(length, self.unit), self.unit)

    def small(self, length: float) -> str:
        return write_small(length, self.unit)

    def apart(self, allowed: float, length: float, *others: float) -> str:
        """Return by how much a length differs from the others together, and on which side of what is ``allowed``, even between two marks."""
        told, true = abs(self.less(length, *others)), abs(length - sum(others))
        if (told <= allowed + ROUNDING) == (true <= allowed + ROUNDING):
            return self.small(told)
        return f"{'just over' if true > told else 'no more than'} {self.small(allowed)}"


def trued(kind: str, subject: str, numbers: tuple, verdict: str, unit: str) -> tuple:
    """Return title, what was measured and what to do about it (empty where all is well) for one
    :class:`geometry.sleeve.truing.Check`, lengths in her ``unit``.
    """
    title, measured, advice = _TRUED[kind](subject, numbers, _Said(unit))
    return title, measured, "" if verdict == "good" else advice


def _top_edge(_: str, numbers: tuple, say: _Said) -> tuple:
    around, girth = numbers
    short = around < girth
    return (
        "Top edge against the off-shoulder girth",
        f"both top edges and both body edges make {say(around)}, the girth is {say(girth)}",
        (f"It is {say(abs(say.less(girth, around)))} too {'short to go around: lengthen' if short else 'long and would slip: shorten'}"
        " the top edge, half on each sleeve, or take it from the body edges."),
    )


def _underarm_seams(_: str, numbers: tuple, say: _Said) -> tuple:
    front, back, tolerance = numbers
    return (
        "Underarm seams, sewn to each other",
        f"front {say(front)}, back {say(back)}: they differ by {say.apart(tolerance, front, back)} ({say.small(tolerance)} is allowed)",
        (f"The {'front' if front > back else 'back'} is longer. Move its hem corner or underarm point, or mirror one half"
        " onto the other."),
    )


def _edge(subject: str, numbers: tuple, _: Callable[[float], str]) -> tuple:
    front, back = numbers
    edge = "armhole edge" if subject == "underarm" else "hem"
    shape = "a peak" if front + back < 180 else "a dip"
    return (
        f"{edge.capitalize()} where the underarm seam closes",
        f"front {front:.1f}°, back {back:.1f}°: together {front + back:.1f}° (180° ± 5° runs on smoothly)",
        f"The {edge} will have {shape} there. Turn the handles at the two corners.",
    )


def _level(subject: str, numbers: tuple, say: _Said) -> tuple:
    width, girth, asked = numbers
    ease = say.less(width, girth)
    what = "asked for before ease" if subject == "underarm" else "body"
    measured = f"sleeve {say(width)}, {what} {say(girth)}: "
    if width < girth:
        measured += f"negative ease, {say(-ease)} too narrow ({say(asked)} of ease was asked for)"
    else:
        measured += f"{say(ease)} of ease left ({say(asked)} was asked for)"
    return f"{subject.capitalize()} level", measured, f"Widen the seam at this level by {say.up((asked - width + girth) / 2)} on each side."


def _off_the_sleeve(subject: str, numbers: tuple, say: _Said) -> tuple:
    return (
        f"{subject.capitalize()} level",
        f"measured {say(numbers[0])} down, which is below the hem now",
        "The sleeve ends above this level, so it is not checked there.",
    )


def _hand(_: str, numbers: tuple, say: _Said) -> tuple:
    around, hand = numbers
    return (
        "Hem over the hand",
        f"closed hem {say(around)}, hand {say(hand)}",
        f"The hand can't pass. Widen the hem by {say.up(hand - around)}, or leave an opening.",
    )


def _adrift(subject: str, _: tuple, __: _Said) -> tuple:
    return (
        f"Tier line {subject}",
        "does not run from one side seam to the other",
        "It was left as it is. Move it onto the sleeve, or delete it.",
    )


def _crossing(subject: str, numbers: tuple, say: _Said) -> tuple:
    return (
        f"Tier lines {subject}",
        f"cross, or stand only {say(max(numbers[0], 0.0))} apart",
        "Move one of them away, or delete it if it was duplicated by mistake.",
    )


def _last_tier(subject: str, numbers: tuple, say: _Said) -> tuple:
    section, widest = numbers
    where = f"its line stands {say(section)} above the hem" if section > 0 else "its line stands on or below the hem"
    others = f", the others at most {say(widest)} apart" if widest else ""
    bare = "There is no sleeve left under it: move it up." if section <= 0 else (
        f"A tier as deep as the others leaves {say(say.less(section, widest))} of the sleeve bare: cut the last one deeper, or move the lines."
    )  # fmt: skip
    return f"Last tier ({subject}) covers the sleeve", where + others, bare


def _armhole(subject: str, numbers: tuple, say: _Said) -> tuple:
    sleeve, bodice, ease, tolerance = numbers
    wanted = f"bodice {say(bodice)}" + (f" and {say(ease)} of ease" if ease else ", no ease asked")
    off = sleeve - bodice - ease
    return (
        f"{subject.capitalize()} armhole seam against the bodice’s",
        f"sleeve {say(sleeve)}, {wanted}: off by {say.apart(tolerance, sleeve, bodice, ease)} ({say.small(tolerance)} is allowed)",
        f"The sleeve’s seam is too {'long' if off > 0 else 'short'}. Move the underarm point or the end of the top edge, or draft the sleeve again.",
    )


def _opening(subject: str, numbers: tuple, say: _Said) -> tuple:
    intake, one, other = numbers
    what = "Vent or dart" if subject == "hem" else "Dart"
    return (
        f"{what} in the {subject}",
        f"takes in {say(intake)}, legs {say(one)} and {say(other)}; the {subject} is measured with it closed, lines across it straight on",
        "",
    )


def _strange_corners(subject: str, _: tuple, __: _Said) -> tuple:
    return (
        f"Corners in the {subject}",
        "the seam turns sharply there, and it is no dart with two legs of equal length",
        "It is measured along the seam, corners and all. Make the legs equally long, or smooth the seam.",
    )


def _over_an_opening(subject: str, numbers: tuple, say: _Said) -> tuple:
    return (
        f"Tier line {subject}",
        f"{say(numbers[0])} of it lie over an opening in the hem or the top edge, where there is no cloth",
        "That much is left out of its length. Where the opening stays open, part the tier there.",
    )


def _notch(subject: str, numbers: tuple, say: _Said) -> tuple:
    distance, length = numbers
    return (
        f"{subject.capitalize()} notch",
        f"belongs {say(distance)} from the underarm point, but the armhole seam is only {say(length)} long",
        "Lengthen the seam, or delete the notch and mark it by hand.",
    )


_TRUED = {
    "top edge": _top_edge, "underarm seams": _underarm_seams, "edge": _edge, "level": _level, "off the sleeve": _off_the_sleeve,
    "hand": _hand, "adrift": _adrift, "crossing": _crossing, "last tier": _last_tier, "notch": _notch,
    "armhole": _armhole, "opening": _opening, "strange corners": _strange_corners, "over an opening": _over_an_opening,
}  # fmt: skip


def found_by_place(numbers: Sequence[int]) -> str:
    """Return that tier lines without a name were found by where they lie."""
    lines = ", ".join(f"Tier line {number}" for number in numbers)
    return f"Without a mark or a name, and found by where they lie: {lines}. If a number is wrong, undo, name the lines so, and run again."


def gap_bridged(number: int, gap: float, unit: str) -> str:
    """Return that a tier line had lain in pieces."""
    return f"Tier line {number} lay in pieces, {write_length(gap, unit)} apart, and was joined straight over the gap. Undo brings the pieces back."


def cloned(names: Sequence[str]) -> str:
    """Return that clones of lines of the pattern are none."""
    lines = ", ".join(names)
    return (
        f"There are clones of {lines}: a clone is no line of its own, nothing is measured on it and nothing cut for it."
        " Edit > Clone > Unlink Clone makes a tier line's clone one; delete any other."
    )


def set_aside(names: Sequence[str]) -> str:
    """Return that copies of lines of which a sleeve has one are no longer ours."""
    lines = ", ".join(names)
    return f"There is more than one {lines}: one is kept true, the others stay as you left them and are printed too. Delete or rename them."


def put_right_first(faults: Sequence[str]) -> str:
    """Return what Re-measure would fault in a sleeve, for the sheets that are made of it."""
    return f"Put right first: {'; '.join(faults)}. Re-measure After Editing… says how, and rings show where."


def hidden_on_paper(names: Sequence[str]) -> str:
    """Return which lines of the pattern are on no sheet, since she has hidden them."""
    return f"Hidden on the drawing, and so on no sheet: {', '.join(names)}. To have them printed show them (Layer > Layers and Objects…)."


def gone(names: list[str]) -> str:
    """Return what she deleted, which stays deleted."""
    return f"Deleted, and left so: {', '.join(names)}. Undo brings a line back."


def left_behind(names: Sequence[str]) -> str:
    """Return that nothing of what stands in locked layers is in this document, which is how the editor copies."""
    return (
        f"Not in this document: {', '.join(names)}. If you copied the sleeve from another drawing, its locked layers stayed behind: unlock them there"
        " (the locks in Layer > Layers and Objects…), copy again, and delete this one. If you deleted these lines, Undo brings them back."
    )


def armhole_changed(edge: str, length: str, drafted: str, longer: bool) -> str:
    """Return that a seam no longer fits the bodice it was drafted for, whose length nobody has told."""
    return (
        f"The {edge} seam is {length}, and {drafted} as drafted; the bodice’s was not typed in Draft Sleeve. Make the bodice’s armhole as much"
        f" {'longer' if longer else 'shorter'}, or move the underarm point back."
    )


def grown(across: float, down: float) -> str:
    """Return that a scale was meant."""
    size = f"{across:.1%}" if abs(across - down) < 5e-4 else f"{across:.1%} in width and {down:.1%} in length"
    return f"Scaled to {size} since it was drafted, and meant so. The body measurements are those typed then."


#: Beside a ring where the Seam line can't be measured.
HERE = "here"

WHAT_PRINTS = "Hidden layers are not printed. Whatever else stands on a sheet is."

HOW_TO_SAVE = "To get all pages as one PDF: File > Save a Copy…, and choose PDF. (Export makes a picture of one page.)"

NO_PAGES = (
    "This document can hold no pages: they need Inkscape 1.2 or newer, and a document that is open there or was saved as"
    " Inkscape SVG. Only the frames of the sheets are drawn."
)


def sheets(portrait: int, landscape: int, paper: str, besides: bool) -> str:
    """Return how much paper is printed on, how many sheets each way, ``besides`` a first page or not."""
    count = portrait + landscape
    lie = f"{portrait} portrait and {landscape} landscape" if portrait and landscape else "portrait" if portrait else "landscape"
    said = f"{count} sheet{'s' if count > 1 else ''} of {paper}, {lie}{', besides this one' if besides else ''}."
    return f"{said} {EITHER_WAY}" if portrait and landscape else said


EITHER_WAY = "Have the printer turn each page by itself (“auto”, “automatic” or “auto rotate” in its dialog), and check that none was made smaller."


def only_sheet(paper: str) -> str:
    """Return the same where the first page is all there is."""
    return f"All on this sheet ({paper})."


def squares_on(codes: Sequence[str]) -> str:
    """Return on which sheets the test squares are."""
    return f"The test squares are on {' and '.join(codes)}."


def look_on(squares: Sequence[str], directions: Sequence[str]) -> str:
    """Return where to look for test squares and directions, by the sheets that they are on; of either nothing where there are none."""
    if list(squares) == list(directions):
        return f"Test squares and directions: sheet {squares[0]}" if squares else ""
    where = (("Test squares", squares), ("Directions", directions))
    return ". ".join(f"{what}: sheet{'s' if len(on) > 1 else ''} {' and '.join(on)}" for what, on in where if on)


def gluing(overlap: str) -> str:
    """Return how the sheets are joined; ``overlap`` is empty where there is none."""
    where = f"glue it over what the neighbour prints beyond that line, {overlap} or more" if overlap else "join it to the neighbour edge to edge"
    return (
        "Join each row of sheets, then row to row. Where an arrow points left or up, cut the sheet along the spaced dashes on that side and"
        f" {where}: dashes on dashes, and every square on its tip whole, with the same number on both sides."
    )


def smaller_margin(margin: str, count: int) -> str:
    """Return how many sheets another margin would take."""
    return f"With a margin of {margin}, if your printer can do that, it would be {count}."


FIRST_PAGE = "First page"

PROJECTION = "Projection"

_UNIT_NAMES = {"in": "inches and eighths", "cm": "centimetres"}


def sheet_size(paper: str, width: str, height: str) -> str:
    """Return how large a single sheet is."""
    return f"{width} by {height} ({paper})"


def title_block(pieces: str, client: str, unit: str, date: str, allowances: str, size: str) -> list[tuple[str, str]]:
    """Return the fields of a title block, those that are empty left out."""
    fields = [
        ("Name", pieces), ("Client or style", client), ("Scale", "1:1"), ("Unit", _UNIT_NAMES[unit]), ("Date", date),
        ("Allowances", allowances), ("Sheet", size), ("Drawn with", "Tiered Sleeve"),
    ]  # fmt: skip
    return [(name, value) for name, value in fields if value]


def projected(title: str, grid: str) -> str:
    """Return what is lettered on a projection; ``grid`` is the unit of its squares, or none."""
    squares = {"in": ", squares of 1 in and 5 in", "cm": ", squares of 1 cm and 10 cm"}.get(grid, "")
    return f"{title}: true size{squares}. Cut along the middle of the line."


def small_scale_page(scale: int) -> str:
    """Return what a page is called that shows all of a pattern small."""
    return f"Scale 1 to {scale}"


def small_scale(scale: int) -> str:
    """Return what must stand on a pattern that is drawn small."""
    return f"Scale 1:{scale}, do not cut from this"


def size_as_cut(name: str, width: str, height: str) -> str:
    """Return how large one of nested sizes is; ``name`` is what its layer is called."""
    return f"{name}: {width} wide, {height} long as cut"


SMALL_SCALE_LENGTHS = "All lengths are those of the pattern at true size."
SMALL_SCALE_ARROWS = "Arrows measure each piece as it is cut, allowances and all; what is lettered on a line is its finished length."


def bar_length(count: int, unit: str) -> str:
    """Return what is lettered at the end of a scale bar."""
    return f"{count} {unit}"


def report_page(number: int) -> str:
    """Return what a page is called that reports are set on."""
    return f"Report {number}"


#: Under what is longer than a sheet, where it is cut.
GOES_ON = "Goes on on the next sheet, or from the one before."


def sheet_of(number: int, count: int) -> str:
    """Return which of all sheets this is."""
    return f"sheet {number} of {count}"


def half_typed(label: str, typed: str) -> str:
    """Return that what was typed stops midway."""
    return f"Nothing was drawn: {label + ': ' if label else ''}“{typed}” looks like the beginning of a number: write it to its end."


def still_to_type(labels: Sequence[str]) -> str:
    """Return which measurements are missing."""
    return f"Nothing was drawn. Still to be typed: {', '.join(labels)}. What you don’t need is 0 where the field’s hint says so."
