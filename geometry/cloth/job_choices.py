"""What she chooses of a job beside its tiers and cloths: which plan, how long things take her, what she asks.

The dialog shows these tables, and a test fails where the two disagree.  What is ``KEPT`` may be left empty: then
that holds which she typed last.
"""
from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from geometry.cloth.offers import Worth
from geometry.cloth.price import Rates
from geometry.cloth.tier_choices import PRICES, TRIM_PRICES
from geometry.cloth.work import OPERATIONS, Timing
from geometry.measuring.lengths import HalfTyped
from geometry.measuring.measurements import Measurement, Number, number_in_range, read_measurements
from geometry.measuring.money import HOUR, Sum, check_one_currency, read_price
from geometry.refusal import Refused

LENGTHS = {
    length.name: length
    for length in (
        Measurement(
            "join_worth", "A join is worth", "6 in or 15 cm", 0, 2000, "nothing: only cloth counts",
            "Cloth that you would rather buy than sew one more join. Used until rate and price are known.",
        ),
    )
}  # fmt: skip

FITTING = Number(
    "fitting", "Fullness may move by %", "10", 0, 40,
    "For the plan in which strips come out as whole widths of the net: by how much the fullness of a tier may change. 0 = not at all.",
)  # fmt: skip

#: What each operation is called, in the order of :data:`geometry.cloth.work.OPERATIONS`.
_TIMED = {
    "cutting": ("Cutting a piece", "Marking and cutting one piece of a strip, of base or lining."),
    "joining": ("Joining two pieces", "Sewing one join of a strip, and pressing it."),
    "edge": ("Narrow hem of a strip", "For a yard (inches) or a metre (centimetres) of its free edge."),
    "rolled": ("Rolled hem of a strip", "For a yard or a metre of its free edge."),
    "ribbon": ("Ribbon around an edge", "For a yard or a metre of free edge."),
    "braid": ("Horsehair braid on an edge", "For a yard or a metre of free edge."),
    "wire": ("Wire in a rolled hem", "For a yard or a metre of free edge."),
    "trim": ("Gathered trim on an edge", "For a yard or a metre of free edge."),
    "rows": ("A row of gathering", "Or of basting, for a yard or a metre of strip."),
    "shaping": ("Drawing up, pleating", "For a yard or a metre of strip."),
    "setting": ("Setting a layer on", "Pinning and sewing, for a yard or a metre of tier line."),
    "seams": ("Underarm seam", "With its finish, for a yard or a metre of seam."),
    "lining": ("Putting a lining in", "For one sleeve."),
    "hem": ("Hem", "For a yard or a metre."),
    "top_edge": ("Top edge", "Casing, facing or band, for a yard or a metre."),
    "setting_in": ("Setting in", "Armhole seams, for a yard or a metre."),
    "pressing": ("Pressing", "For one sleeve."),
}

MINUTES = {
    f"{operation.name}_minutes": Number(
        f"{operation.name}_minutes", f"{_TIMED[operation.name][0]}, minutes", "", 0, 600,
        f"{_TIMED[operation.name][1]} Empty: as you typed it last; at first {operation.minutes:g}, a guess.",
    )
    for operation in OPERATIONS
}  # fmt: skip

TIMED_MINUTES = Number(
    "timed_minutes", "One tier took me, minutes", "", 0.5, 6000,
    "Timed from joined strips until all layers of one tier hang on one sleeve: everything else is set in proportion. Empty: as last time.",
)  # fmt: skip

#: How often as long as the minutes everything takes her: reckoned from the tier that she timed, never typed.
_PACE = Number("pace", "Pace of the tier that you timed", "1", 0.01, 100, "")

KEPT_SUMS = {
    each.name: each
    for each in (
        Sum(
            "hourly", "An hour of work", "",
            "Your rate: $20, 20,00 €. It also decides what a join costs. Empty: as you typed it last; at first 0, no rate.",
        ),
        Sum("rounding", "Round the price up to", "", "A multiple of this sum: 0.01, 1, 5. Empty: as you typed it last; at first 1."),
    )
}  # fmt: skip

SUMS = {
    each.name: each
    for each in (
        Sum("thread_cost", "Thread", "0", "What it costs you for this job."),
        Sum("trims_cost", "Trims", "0", "Lace, ribbon, beads: what they cost you for this job."),
        Sum("elastic_cost", "Elastic", "0", "What it costs you for this job."),
        Sum("toile_cost", "Cloth for a toile", "0", "What the cloth of a trial sleeve costs you."),
    )
}  # fmt: skip

KEPT_SHARES = {
    number.name: number
    for number in (
        Number("overhead", "Overhead %", "", 0, 500, "On materials and work: rent, machines, light. Empty: as you typed it last; at first 0."),
        Number("margin", "Margin %", "", 0, 500, "On all that. The client's page does not show it. Empty: as you typed it last; at first 0."),
        Number("deposit", "Deposit %", "", 0, 100, "Of the price, asked for at once. Empty: as you typed it last; at first 50."),
    )
}  # fmt: skip

#: Every number and every sum, by option.
NUMBERS = {FITTING.name: FITTING, **MINUTES, TIMED_MINUTES.name: TIMED_MINUTES, **KEPT_SHARES}
EVERY_SUM = {**KEPT_SUMS, **SUMS}

#: What holds until she types something, by option.
FIRST = {
    **{f"{operation.name}_minutes": f"{operation.minutes:g}" for operation in OPERATIONS},
    "pace": "1", "hourly": "0", "rounding": "1", "overhead": "0", "margin": "0", "deposit": "50", "currency": "", "maker": "",
}  # fmt: skip

#: What is kept from one run to the next, and by which options something to be kept is typed.
KEPT = tuple(FIRST)
TYPED_TO_KEEP = (*(name for name in KEPT if name != "pace"), TIMED_MINUTES.name)


class Bench(NamedTuple):
    """How she works and what she asks: ``timed`` are the tier that she timed and its minutes, or None."""

    worth: Worth
    rates: Rates
    timed: tuple[int, float] | None
    fitting: float


def kept_now(typed: Mapping[str, str], kept: Mapping[str, str]) -> dict[str, str]:
    """Return the text of everything that is kept: as typed, else as ``kept`` before, else as at first."""
    return {name: typed.get(name, "").strip() or kept.get(name, "").strip() or FIRST[name] for name in KEPT}


def check_currencies(typed: Mapping[str, str], kept: Mapping[str, str]) -> None:
    """Raise :class:`Refused` where sums that are read already, and above 0, are in two currencies: they are added as they stand."""
    now = {**typed, **kept_now(typed, kept)}
    asked = {**PRICES, **TRIM_PRICES, **EVERY_SUM}
    sums = [(each.label, now[name]) for name, each in asked.items() if re.search("[1-9]", now[name])]
    check_one_currency([("Currency", now["currency"]), *sums])


def read_bench(typed: Mapping[str, str], kept: Mapping[str, str], timed_tier: int, unit: str) -> Bench:
    """Return how she works.  Raises :class:`HalfTyped` where something is half typed, else :class:`Refused`."""
    now = kept_now(typed, kept)
    minutes = {operation.name: _number(MINUTES[f"{operation.name}_minutes"], now, typed) for operation in OPERATIONS}
    timing = Timing(minutes, _number(_PACE, now, typed))
    sums = {name: _sum(each, now if name in now else typed, typed) for name, each in EVERY_SUM.items()}
    shares = {name: Decimal(str(_number(each, now, typed))) for name, each in KEPT_SHARES.items()}
    if not sums["rounding"]:
        sums["rounding"] = Decimal("0.01")
    rates = Rates(
        hourly=sums["hourly"], thread=sums["thread_cost"], trims=sums["trims_cost"], elastic=sums["elastic_cost"], toile=sums["toile_cost"],
        rounding=sums["rounding"], **shares,
    )  # fmt: skip
    took = typed["timed_minutes"].strip()
    return Bench(
        worth=Worth(read_measurements(typed, unit, LENGTHS)["join_worth"], float(rates.hourly) or None, timing),
        rates=rates,
        timed=(timed_tier, _number(TIMED_MINUTES, typed, typed)) if took else None,
        fitting=_number(FITTING, typed, typed) / 100,
    )


def _number(number: Number, texts: Mapping[str, str], typed: Mapping[str, str]) -> float:
    try:
        return number_in_range(number, texts[number.name])
    except HalfTyped as half:
        raise HalfTyped(texts[number.name], number.label) from half
    except Refused as refusal:
        raise _refused(number.name, number.label, refusal, typed) from refusal


def _sum(each: Sum, texts: Mapping[str, str], typed: Mapping[str, str]) -> Decimal:
    try:
        return read_price(texts[each.name], HOUR if each.name == "hourly" else "")
    except HalfTyped as half:
        raise HalfTyped(texts[each.name], each.label) from half
    except Refused as refusal:
        raise _refused(each.name, each.label, refusal, typed) from refusal


def _refused(name: str, label: str, refusal: Refused, typed: Mapping[str, str]) -> Refused:
    """Return what is said of a text, and whether it is one that was kept from an earlier run."""
    if typed.get(name, "").strip():
        return Refused("what was typed", label=label, problem=refusal.problems[0])
    return Refused("what was kept", label=label, problem=refusal.problems[0])
