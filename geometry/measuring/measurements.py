"""What is measured on the client and chosen for the style: one table of names, ranges and words.

The dialog shows this table, the rules of :mod:`geometry.sleeve.rules` use it, and a test fails where the
two disagree.  Body dimensions bear the names of ISO 8559-1 where it has them.

Ranges of the body reach from a child of 2 to the largest adults.  Their lower ends are the 5th percentiles at 2 to
3 1/2 years, rounded outward: R. G. Snyder et al. (1977), Anthropometry of infants, children, and youths to age 18
for product safety design, UM-HSRI-77-17 (chest girth 47 cm, upper arm girth 14 cm, shoulders 22 cm across the arms;
from memory).  Their upper ends lie well beyond the 95th percentiles of women in C. D. Fryar et al. (2012), Anthropometric
reference data for children and adults: United States, 2007-2010, Vital and Health Statistics 11(252) (upper arm
girth 43 cm, waist girth 125 cm; from memory).
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Callable, NamedTuple, TypeVar

from geometry.measuring.lengths import MARKS, MILLIMETRES_PER, HalfTyped, names_no_unit, read_length, read_number, within, write_length
from geometry.refusal import Fact, Problem, Refused


class Measurement(NamedTuple):
    """One length that she types.

    ``default`` is text as typed and names its own unit, two where it is to be round in either
    (``1/2 in or 1.5 cm``): the one in the unit that the dialog stands on holds.  ``least`` and ``most`` are the
    range that makes sense, in millimetres; ``zero`` says what 0 means where it is allowed, else it is empty.
    ``most_percent`` is the most that may be typed in percent of the girth instead, see
    :mod:`geometry.measuring.ease`; 0 where it is a length only.  Where ``of_any`` holds, ``most`` is that of any sleeve, and the
    others decide how much this one takes.
    """

    name: str
    label: str
    default: str
    least: float
    most: float
    zero: str
    how: str
    most_percent: int = 0
    of_any: bool = False


#: The most ease that may be asked for in percent of a girth: twice the girth.
MOST_PERCENT = 100

BODY = (
    Measurement(
        "bust_girth", "Bust girth", "36 1/2 in", 450, 1800, "",
        "Around the fullest part of the bust, tape level, arms hanging.",
    ),
    Measurement(
        "off_shoulder_girth", "Off-shoulder girth", "41 1/4 in", 450, 2200, "",
        "Around both arms and the body where the top edge will sit, arms hanging.",
    ),
    Measurement(
        "shoulder_width", "Shoulder width", "14 3/4 in", 200, 600, "",
        "Across the back from shoulder point to shoulder point.",
    ),
    Measurement(
        "cap_height", "Cap height", "0", 30, 350, "by the rule",
        "From where the top edge will sit straight down to where the bodice’s underarm lies. 0 = by the rule, bust girth / 12 + 1 in or 2.54 cm.",
    ),
    Measurement(
        "upper_arm_girth", "Upper arm girth", "12 7/8 in", 120, 700, "",
        "Around the fullest part of the upper arm, arm hanging.",
    ),
    Measurement(
        "upper_arm_level", "Upper arm level", "7 1/4 in", 10, 600, "",
        "From the top edge of the sleeve straight down to that fullest part.",
    ),
    Measurement(
        "elbow_girth", "Elbow girth", "11 1/4 in", 120, 600, "the elbow is left out",
        "Around the elbow, arm bent at a right angle. 0 = leave the elbow out (a short sleeve).",
    ),
    Measurement(
        "elbow_level", "Elbow level", "12 1/2 in", 20, 800, "the elbow is left out",
        "From the top edge of the sleeve down to the elbow. 0 = leave the elbow out.",
    ),
    Measurement(
        "sleeve_length", "Sleeve length", "18 3/4 in", 50, 900, "",
        "From the top edge down the arm to the hem.",
    ),
    Measurement(
        "hem_girth", "Hem girth", "9 in", 80, 2000, "taken from the arm as measured",
        "Finished girth where the sleeve ends, before ease. 0 = as the arm is there, between the girths given.",
    ),
    Measurement(
        "hand_girth", "Hand girth", "8 1/4 in", 100, 400, "the hand is not checked",
        "Around the closed hand, thumb laid in. A closed hem must pass it. 0 = not checked.",
    ),
    Measurement(
        "wrist_girth", "Wrist girth", "0", 80, 350, "the wrist is left out",
        "Around the wrist over the bone. 0 = leave the wrist out.",
    ),
    Measurement(
        "wrist_level", "Wrist level", "0", 60, 900, "the wrist is left out",
        "From the top edge of the sleeve down to the wrist. 0 = leave the wrist out.",
    ),
)  # fmt: skip

BODICE = (
    Measurement(
        "front_armhole_seam", "Front armhole seam", "0", 60, 350, "not matched",
        "Along the seam of the bodice front, from the top edge to the underarm point. 0 = not matched.",
    ),
    Measurement(
        "back_armhole_seam", "Back armhole seam", "0", 60, 350, "not matched",
        "Along the seam of the bodice back, from the top edge to the underarm point. 0 = not matched.",
    ),
    Measurement(
        "armhole_ease", "Ease to set in", "0", 0, 60, "no ease",
        "How much longer the sleeve's armhole seam is than the bodice's, half in front and half in back.",
    ),
    Measurement(
        "front_body_edge", "Front body edge", "0", 60, 900, "by the shoulder rule",
        "Top edge of the bodice front, from armhole to armhole. 0 = by the rule, shoulder width less the reduction.",
    ),
    Measurement(
        "back_body_edge", "Back body edge", "0", 60, 900, "by the shoulder rule",
        "Top edge of the bodice back, from armhole to armhole. 0 = by the rule, shoulder width less the reduction.",
    ),
    Measurement(
        "front_scoop", "Front scoop", "0", 0, 30, "as deep as the back",
        "How much deeper the front armhole is hollowed out than the back one.", of_any=True,
    ),
)  # fmt: skip

SHAPE = (
    Measurement(
        "flare_width", "Hem width of a flared sleeve", "0", 100, 6000, "not flared",
        "Whole finished width of the hem where the shape is flared.", of_any=True,
    ),
    Measurement(
        "top_edge_raise", "Raise of the top edge", "0", 0, 25.4, "a straight top edge",
        "How far the ends of the top edge lie below its middle, from which everything is measured. 0 = a straight top edge.", of_any=True,
    ),
    Measurement(
        "casing_allowance", "Casing or facing depth", "0", 10, 80, "by the rule, 1 in or 2.54 cm",
        "What is turned in at the top edge for the elastic or as a facing. 0 = by the rule, 1 in or 2.54 cm.",
    ),
    Measurement(
        "elastic_width", "Width of the elastic", "0", 3, 60, "by the rule, 1/2 in or 1.27 cm",
        "Of the elastic in the casing. 0 = by the rule, 1/2 in or 1.27 cm.",
    ),
    Measurement(
        "band_width", "Band or binding, finished width", "0", 5, 120, "by the rule",
        "0 = by the rule: a band 1 in or 2.54 cm, a binding 3/8 in or 0.95 cm.",
    ),
    Measurement(
        "lining_ease", "Lining: ease on each half", "0", 0, 40, "as wide as the sleeve",
        "For a lining of its own: added to each half at the underarm and below.",
    ),
    Measurement(
        "lining_shorter", "Lining: hem shorter by", "0", 3, 150, "by the rule, 3/4 in or 1.9 cm",
        "For a lining whose hem hangs free. 0 = by the rule, 3/4 in or 1.9 cm.",
    ),
    Measurement(
        "slant", "Front end lower by", "0", 5, 300, "by the rule, one spacing",
        "For tier lines aslant: how much lower the front end of each lies than its back end. 0 = one spacing: a spiral.", of_any=True,
    ),
)  # fmt: skip

STYLE = (
    Measurement(
        "ease_cap", "Ease at the underarm", "1/2 in or 1.5 cm", 0, 200, "no ease",
        "Added to each half of the sleeve at the underarm level, or in percent of the girth there (15 %).", MOST_PERCENT,
    ),
    Measurement(
        "ease_upper_arm", "Ease at the upper arm", "3/4 in or 2 cm", 0, 200, "no ease",
        "Added to each half of the sleeve at the upper arm level, or in percent of the girth there (15 %).", MOST_PERCENT,
    ),
    Measurement(
        "ease_elbow", "Ease at the elbow", "3/4 in or 2 cm", 0, 200, "no ease",
        "Added to each half of the sleeve at the elbow level, or in percent of the girth there (15 %).", MOST_PERCENT,
    ),
    Measurement(
        "ease_hem", "Ease at the hem", "3/4 in or 2 cm", 0, 200, "no ease",
        "Added to each half of the sleeve at the hem, or in percent of the girth there (15 %).", MOST_PERCENT,
    ),
    Measurement(
        "seam_allowance", "Seam allowance", "1/2 in or 1.5 cm", 0, 80, "no allowance",
        "Around the top edge, armhole and underarm seams. 0 = none.",
    ),
    Measurement(
        "hem_allowance", "Hem allowance", "1 in or 3 cm", 0, 150, "no allowance",
        "Below the hem, shaped to fold up flat. 0 = none.",
    ),
    Measurement(
        "body_edge_reduction", "Body edge reduction", "2 in or 5 cm", 0, 250, "no reduction",
        "Body edge, front and back = shoulder width less this (common practice).",
    ),
    Measurement(
        "cap_width", "Cap width", "0", 120, 1500, "by the rule",
        "Whole width at the underarm level, before ease. 0 = by the rule, twice bust girth / 6 + 1 1/2 in or 3.81 cm.",
    ),
)  # fmt: skip

TABLE = {measurement.name: measurement for measurement in BODY + BODICE + STYLE + SHAPE}


class Choice(NamedTuple):
    """One thing that she chooses: the values of an option, each with its words; the first is the default."""

    name: str
    label: str
    words: Mapping[str, str]
    how: str


CHOICES = (
    Choice(
        "wearer", "Sleeve for", {"adult": "an adult", "child": "a child"},
        "Which presets of ease, and which limits of the fit chart, hold. A child’s arm is thinner, and needs a larger share of ease.",
    ),
    Choice(
        "ease", "Ease",
        {"typed": "as typed below", "close": "close", "easy": "easy", "loose": "loose"},
        "A preset (common practice, no source) stands at every level for what is typed below: percent of the girth, more for a child.",
    ),
    Choice(
        "tier_layout", "Tier lines run",
        {"level": "level", "following": "following the armhole", "aslant": "aslant, the front end lower"},
        "Following the armhole, lines above the underarm sag so that both ends lie at the underarm point or below it.",
    ),
    Choice(
        "armhole_keep", "To match the armhole seam, keep",
        {"width": "the width at the underarm", "height": "the cap height"},
        "The other one is solved for, so that the seams of sleeve and bodice are equally long.",
    ),
    Choice(
        "length_style", "Length",
        {
            "as measured": "as measured (sleeve length)", "short": "short: halfway from underarm to elbow", "elbow": "to the elbow",
            "three-quarter": "three-quarter: halfway from elbow to wrist", "full": "full: to the wrist",
        },
        "Where the hem is. All but “as measured” follow the levels of the arm and leave the sleeve length unused.",
    ),
    Choice(
        "shape", "Underarm seam below the elbow",
        {"fitted": "fitted, to the hem girth", "straight": "straight down from the elbow", "flared": "flared, to the hem width below"},
        "In each the hem is an arc square to the seam, so that the closed hem has no corner.",
    ),
    Choice(
        "flare_from", "A flared seam leaves from",
        {"elbow": "the elbow", "underarm": "the underarm"},
        "Where the seam of a flared sleeve begins to run straight to the hem; without an elbow level it is the underarm.",
    ),
    Choice(
        "finish", "Finish of the top edge",
        {"band": "band", "elastic": "casing with elastic", "faced": "faced", "bound": "bound"},
        "A casing, and a facing on a straight top edge, are cut in one with the sleeve and folded at the top edge.",
    ),
    Choice(
        "band_cut", "The band is", {"folded": "folded along its upper edge", "two-part": "two-part, outer and inner band"},
        "A folded band is cut twice as wide; the two parts of the other are sewn together along the upper edge.",
    ),
    Choice(
        "lining", "Lining",
        {"sleeve": "by the sleeve’s own pattern", "own": "a piece of its own", "none": "none"},
        "A piece of its own ends where the finish of the top edge needs it, and takes the ease and the hem below.",
    ),
    Choice(
        "lining_hem", "Lining: its hem", {"shorter": "hangs free, shorter", "caught": "caught in the hem of the sleeve"},
        "For a lining of its own. Caught, it is as long as the sleeve and sewn to the edge of the turned-up hem.",
    ),
)  # fmt: skip


class Number(NamedTuple):
    """One number without a unit that she types, with the range that makes sense."""

    name: str
    label: str
    default: str
    least: float
    most: float
    how: str
    whole: bool = False


NUMBERS = (
    Number(
        "front_share", "Share of the front, percent", "50", 40, 60,
        "How much of top edge and underarm width lies before the grain line. Below the underarm both seams stay alike.",
    ),
    Number(
        "elastic_ratio", "Elastic, cut length to girth", "0.9", 0.5, 1,
        "Cut length of the elastic as a share of the off-shoulder girth (0.9: common practice, no source).",
    ),
    Number(
        "edge_fullness", "Fullness of the top edge", "0", 0, 3,
        "Length of the sleeve’s top edge for each length on the body, spread into the piece. 0 = by the rule: 1.5 with elastic, else 1.",
    ),
)  # fmt: skip


#: Every option of the tables and what it is where she leaves it alone, as typed.
DEFAULTS = {
    **{measurement.name: measurement.default for measurement in TABLE.values()},
    **{number.name: number.default for number in NUMBERS},
    **{choice.name: next(iter(choice.words)) for choice in CHOICES},
    "spacing": "equal",
    "tier_part": "all",
}


#: The body of an invented client, as typed: what only a client has, and no dialog may fill in for her.
EXAMPLE = {measurement.name: measurement.default for measurement in BODY if measurement.default != "0"}


def example_in(unit: str) -> dict[str, str]:
    """Return the body of the invented client as typed by somebody who works in ``unit``: in centimetres each to the half.

    >>> example_in("in")["bust_girth"], example_in("cm")["bust_girth"]
    ('36 1/2 in', '92.5 cm')
    """
    if unit == "in":
        return dict(EXAMPLE)
    halves = {name: round(read_length(text, "in") / 5) for name, text in EXAMPLE.items()}
    return {name: write_length(5.0 * count, "cm") for name, count in halves.items()}


class StillToType(HalfTyped):
    """Measurements without which nothing can be drafted, by their ``labels``; some are typed, these are not."""

    def __init__(self, labels: tuple[str, ...]) -> None:
        self.labels = labels
        super().__init__()


def require_a_body(typed: Mapping[str, str]) -> None:
    """Raise :class:`StillToType` where a measurement that only a client has is not typed.

    >>> require_a_body(EXAMPLE)
    >>> require_a_body({**EXAMPLE, "hem_girth": " "})
    Traceback (most recent call last):
    ...
    geometry.measuring.measurements.StillToType
    """
    missing = tuple(TABLE[name].label for name in EXAMPLE if not typed[name].strip())
    if missing:
        raise StillToType(missing)


class Style(NamedTuple):
    """What is chosen, and the plain numbers: fields named as in :data:`CHOICES` and :data:`NUMBERS`.

    ``spacing`` and ``tier_part`` are as typed, see :func:`geometry.sleeve.spacing.plan_tiers`.
    """

    wearer: str = DEFAULTS["wearer"]
    ease: str = DEFAULTS["ease"]
    armhole_keep: str = DEFAULTS["armhole_keep"]
    length_style: str = DEFAULTS["length_style"]
    shape: str = DEFAULTS["shape"]
    flare_from: str = DEFAULTS["flare_from"]
    finish: str = DEFAULTS["finish"]
    band_cut: str = DEFAULTS["band_cut"]
    lining: str = DEFAULTS["lining"]
    lining_hem: str = DEFAULTS["lining_hem"]
    front_share: float = float(DEFAULTS["front_share"])
    elastic_ratio: float = float(DEFAULTS["elastic_ratio"])
    edge_fullness: float = float(DEFAULTS["edge_fullness"])
    spacing: str = DEFAULTS["spacing"]
    tier_layout: str = DEFAULTS["tier_layout"]
    tier_part: str = DEFAULTS["tier_part"]


#: The style where she leaves everything alone.
USUAL = Style()


_Read = TypeVar("_Read")


def read_measurements(typed: Mapping[str, str], unit: str, table: Mapping[str, Measurement] = TABLE) -> dict[str, float]:
    """Return every measurement of ``table`` in millimetres, from what was typed under its name.

    ``unit`` ("in" or "cm") holds for numbers that name none.  Raises
    :class:`~geometry.measuring.lengths.HalfTyped` where one is half typed and :class:`Refused`, with a
    problem for each that is wrong.

    >>> read_measurements({"hem_girth": "9 1/2", "hand_girth": "21 cm"}, "in", {name: TABLE[name] for name in ("hem_girth", "hand_girth")})
    {'hem_girth': 241.29999999999998, 'hand_girth': 210.0}
    """
    return read_rows(table, lambda measurement: length_in_range(measurement, typed[measurement.name], unit))


def read_rows(table: Mapping[str, Measurement], read: Callable[[Measurement], _Read]) -> dict[str, _Read]:
    """Return what ``read`` makes of each row, by name.  Raises one :class:`Refused` for all that it raises."""
    values, refusals = {}, []
    for name, measurement in table.items():
        try:
            values[name] = read(measurement)
        except Refused as refusal:
            refusals.append(refusal)
    if refusals:
        raise Refused.together(refusals)
    return values


def read_style(typed: Mapping[str, str]) -> Style:
    """Return the style from what was typed and chosen.  Raises as :func:`read_measurements`.

    >>> read_style({**DEFAULTS, "length_style": "elbow"})._replace(length_style="as measured") == USUAL
    True
    """
    numbers = {number.name: _number(number, typed[number.name]) for number in NUMBERS}
    return Style(
        wearer=typed["wearer"],
        ease=typed["ease"],
        armhole_keep=typed["armhole_keep"],
        length_style=typed["length_style"],
        shape=typed["shape"],
        flare_from=typed["flare_from"],
        finish=typed["finish"],
        band_cut=typed["band_cut"],
        lining=typed["lining"],
        lining_hem=typed["lining_hem"],
        front_share=numbers["front_share"],
        elastic_ratio=numbers["elastic_ratio"],
        edge_fullness=numbers["edge_fullness"],
        spacing=typed["spacing"],
        tier_layout=typed["tier_layout"],
        tier_part=typed["tier_part"],
    )


def _number(number: Number, text: str) -> float:
    try:
        return number_in_range(number, text)
    except HalfTyped as half:
        raise HalfTyped(text, number.label) from half
    except Refused as refusal:
        raise Refused("what was typed", label=number.label, problem=refusal.problems[0]) from refusal


def number_in_range(number: Number, text: str) -> float:
    """Return the number that was typed.  Raises :class:`Refused`, or ``HalfTyped``.

    >>> number_in_range(NUMBERS[0], "45")
    45.0
    """
    try:
        value = read_number(text)
    except Refused:
        value = math.nan
    if not number.least <= value <= number.most or (number.whole and value != int(value)):
        rule = "whole number out of range" if number.whole else "number out of range"
        raise Refused(rule, typed=text, least=float(number.least), most=float(number.most))
    return value


def read_count(label: str, text: str, least: int, most: int) -> int:
    """Return the whole number that was typed, or raise :class:`Refused`."""
    try:
        count = int(text)
    except ValueError:
        count = least - 1
    if not least <= count <= most:
        raise Refused("count out of range", label=label, typed=text, least=least, most=most)
    return count


def length_in_range(measurement: Measurement, text: str, unit: str) -> float:
    """Return in millimetres the length that was typed.  Raises :class:`Refused`, or ``HalfTyped``."""
    try:
        value = read_length(text, unit)
    except HalfTyped as half:
        raise HalfTyped(text, measurement.label) from half
    except Refused as refusal:
        raise unreadable(measurement, refusal) from refusal
    if within(measurement.least, value, measurement.most) or (value == 0 and measurement.zero):
        return value
    facts: dict[str, Fact] = {"label": measurement.label, "typed": text.strip(), "read": value, "sense": sense_of(measurement)}
    if _in_the_other_unit(measurement, text, value, unit):
        raise Refused("measurement looks like cm" if unit == "in" else "measurement looks like in", **facts)
    hardly = min(abs(value - measurement.least), abs(value - measurement.most)) < MARKS[unit]
    raise Refused("measurement hardly out of range" if hardly else "measurement out of range", **facts)


#: A length that misses its range by less than this share is too large or too small, and not in the other unit.
_NEAR = 0.05


def _in_the_other_unit(measurement: Measurement, text: str, value: float, unit: str) -> bool:
    """Whether a number out of range was probably meant in the other unit: it names none, would do there, and misses
    its range by much.  A fraction is inches.
    """
    other = "cm" if unit == "in" else "in"
    would_do = within(measurement.least, value / MILLIMETRES_PER[unit] * MILLIMETRES_PER[other], measurement.most)
    nearly = within((1 - _NEAR) * measurement.least, value, (1 + _NEAR) * measurement.most)
    likely = unit == "cm" if "/" in text else not nearly
    return names_no_unit(text) and would_do and likely


def unreadable(measurement: Measurement, refusal: Refused) -> Refused:
    """Return the refusal of a text that ``refusal`` could make nothing of."""
    return Refused("measurement unreadable", label=measurement.label, problem=refusal.problems[0], sense=sense_of(measurement))


def sense_of(measurement: Measurement) -> Problem:
    """Return what makes sense for a measurement."""
    facts: dict[str, Fact] = {"least": float(measurement.least), "most": float(measurement.most)}
    if measurement.most_percent:
        return Problem("range or percent", {**facts, "percent": measurement.most_percent})
    rule = "range of any sleeve" if measurement.of_any else "range"
    if measurement.zero and measurement.least:
        return Problem(f"{rule} or 0", {**facts, "zero": measurement.zero})
    return Problem(rule, facts)
