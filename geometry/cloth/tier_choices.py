"""What she chooses for a cutting plan: one table of names, ranges and words, and how it is read.

The dialog shows these tables, and a test fails where the two disagree.  Defaults are common practice, no source.
"""
from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Callable, NamedTuple, TypedDict, TypeVar

from geometry.cloth.buying import INNER, Cloth, Cloths
from geometry.cloth.edges import EDGES, TrimTerms
from geometry.cloth.making import TierStyle
from geometry.cloth.other_lines import Others, read_other_lines
from geometry.measuring.graduation import listed, one_value, per_tier
from geometry.measuring.lengths import HalfTyped, read_length, within
from geometry.measuring.measurements import Measurement, Number, number_in_range, read_measurements
from geometry.measuring.money import METRE, YARD, Sum, read_price
from geometry.refusal import Refused
from geometry.sleeve.spacing import MOST_TIERS

_Taken = TypeVar("_Taken")

#: Written instead of a length: let the rule decide.
BY_RULE = "auto"

#: Written instead of numbers: every tier.
ALL = "all"

#: How layers of a tier are gathered or pleated.
ONE_BY_ONE, TOGETHER = "one_by_one", "together"

#: From which cloth the base is cut: which of these ways are from that of the tiers, and in which the lining is cut with it.
BASE_CLOTHS = ("own", "own_with_lining", "net", "net_with_lining")
FROM_TIERS, WITH_LINING = ("net", "net_with_lining"), ("own_with_lining", "net_with_lining")

#: How under-layers are finished: as the outermost, or otherwise.
AS_OUTERMOST = "as_outermost"
UNDER_EDGES = (AS_OUTERMOST, *EDGES)

#: Cloth narrower than this is ribbon, and wider is not woven, millimetres.
_NARROWEST, _WIDEST = 100.0, 5000.0


def _width(name: str, zero: str, how: str) -> Measurement:
    return Measurement(f"{name}_width", f"{name.capitalize()}: usable width", "54 in or 140 cm", _NARROWEST, _WIDEST, zero, how)


_ALLOWANCES = (
    Measurement(
        "gathering_allowance", "Gathering allowance", "1/2 in or 1.5 cm", 0, 60, "none",
        "Above the stitching line of every strip, for the rows of gathering stitches.",
    ),
    Measurement(
        "join_allowance", "Each join takes up", "1/2 in or 1 cm", 0, 60, "pieces are butted",
        "What a join between two pieces of a strip takes up in all: both allowances together.",
    ),
    Measurement(
        "past_hem", "Last tier past the hem", "1/4 in or 0.5 cm", 0, 300, "level with it",
        "How far the last tier hangs below the hem.",
    ),
    Measurement(
        "pleat_spacing", "Pleat spacing", "1 in or 2.5 cm", 3, 150, "",
        "For pleats: how much of the line each one covers. It is adjusted so that a whole number fits.",
    ),
)  # fmt: skip

_WIDTHS = (
    _width("net", "", "Between the selvedges of the net, without them."),
    _width("contrast", "", "Of the net or cloth for the layers in contrast."),
    _width("inner", "", "Of the cloth for the innermost layers, where they have one of their own."),
    _width("base", "no base", "Of the cloth for the sleeve itself. 0 = not planned."),
    _width("lining", "no lining", "Of the lining. 0 = no lining."),
)

_REPEATS = tuple(
    Measurement(
        f"{name}_repeat", f"{name.capitalize()}: stripes repeat every", "0", 3, 1000, "no stripes",
        "From a stripe across the cloth to the next one alike: sleeves then lie whole repeats apart, so that stripes meet at the seams.",
    )
    for name in ("base", "lining")
)  # fmt: skip

_TRIM = (
    Measurement(
        "trim_depth", "Bought trim hangs below it", "1 in or 2.5 cm", 5, 300, "",
        "For trim that is bought already gathered: how deep it hangs below the edge. The strip is cut so much narrower.",
    ),
)  # fmt: skip

_LAYERS = (
    Measurement(
        "layer_step", "Each under-layer shorter by", "0", 0, 200, "all as long",
        "By how much each layer is shorter than the one over it. 0 = all as long as the outermost.",
    ),
)  # fmt: skip

LENGTHS = {length.name: length for length in _ALLOWANCES + _TRIM + _LAYERS + _WIDTHS + _REPEATS}


class Text(NamedTuple):
    """What she writes in words, or as a list, and how it is asked for."""

    name: str
    label: str
    default: str
    how: str


TEXTS = {
    text.name: text
    for text in (
        Text(
            "colours", "Colours of the layers", "",
            "Their names, from the outermost inward: ivory; blush. The last holds for all layers below it. Each colour is planned and"
            " bought by itself.",
        ),
        Text(
            "other_lines", "Other lines to ruffle", "",
            "Lines of the dress beside the sleeve, by name and length: bodice front 13 in; bodice back 13 in. Each is ruffled once, in the layers"
            " of tier 1.",
        ),
        Text(
            "bought_tiers", "Tiers bought ready gathered", "",
            "Numbers of tiers that are bought as trim, already gathered, instead of cut: 6, or 1; 6, or all. In as many layers as the page Tiers"
            " says; bought by length, as deep as the tier hangs.",
        ),
        Text("other_fullness", "Their fullness", BY_RULE, "Length of strip for each length of those lines. auto = as tier 1."),
    )
}  # fmt: skip

#: Lengths that may be left to the rule, or to the sleeve.
BY_RULE_LENGTHS = {
    length.name: length
    for length in (
        Measurement(
            "overlap", "Overlap", BY_RULE, 0, 500, "level with the next line",
            "How far a tier hangs over the next line, to hide its stitching. auto = a third of the spacing, at least the gathering allowance.",
        ),
        Measurement(
            "drop", "Drop", BY_RULE, 5, 900, "",
            "From a line to the free edge: one length, one for each tier (3 in; 3 1/4 in …) or 3 in to 5 in. auto = spacing and overlap.",
        ),
        Measurement(
            "other_drop", "Their drop", BY_RULE, 5, 900, "",
            "From one of those lines to the free edge. auto = as tier 1.",
        ),
        Measurement(
            "strip_hem", "Allowance for that edge", BY_RULE, 0, 80, "none",
            "Added below the free edge: auto = none for a cut or bound edge, 1/2 in or 1.2 cm for a narrow hem, else 1/4 in or 0.6 cm.",
        ),
        Measurement(
            "end_allowance", "Allowance at both ends", BY_RULE, 0, 80, "none",
            "At each end of a strip, square to the seam that catches it. auto = the seam allowance of the sleeve.",
        ),
    )
}  # fmt: skip

_PER_CLOTH = (
    ("shrinkage", "shrinks by %", 0, 30, "In the wash, both ways; wash before you cut. 0 = not at all."),
    ("spare", "spare %", 0, 100, "To buy beyond the plan, for flaws and slips."),
)
_DEFAULTS = {
    "net": ("0", "5"),
    "contrast": ("0", "5"),
    "inner": ("0", "5"),
    "base": ("3", "5"),
    "lining": ("3", "5"),
}

#: Prices of every cloth.
PRICES = {
    f"{cloth}_price": Sum(
        f"{cloth}_price", f"{cloth.capitalize()}: price", "0", "For a yard (inches) or a metre (centimetres): 4.50, $4.50 or 4,50 €. 0 = not known."
    )
    for cloth in Cloths._fields
}

_FOR_A_LENGTH = "For a yard (inches) or a metre (centimetres). 0 = not known."

#: What trim costs: of the free edges, of those of under-layers where it is another, of whole tiers.
TRIM_PRICES = {
    each.name: each
    for each in (
        Sum("trim_price", "Ribbon, braid, wire or trim: price", "0", _FOR_A_LENGTH),
        Sum("under_trim_price", "Under-layers: price of its trim", "0", _FOR_A_LENGTH),
        Sum("bought_price", "Tiers bought: price", "0", _FOR_A_LENGTH),
    )
}

NUMBERS = {
    number.name: number
    for number in (
        Number(
            "fullness", "Fullness", "4", 1, 12,
            "Length of strip for each length of line: 4 for all, one for each tier (4; 4; 3.5 …) or 4 to 2.5.",
        ),
        Number("layers", "Layers", "3", 1, 12, "Strips on each line: 3, or one number for each tier, or 3 to 1.", whole=True),
        Number(
            "contrast_layers", "of these, in contrast", "0", 0, 12,
            "The outermost layers, cut from the contrast: one number, or one for each tier.", whole=True,
        ),
        Number(
            "inner_layers", "The innermost, from the inner cloth", "0", 0, 12,
            "How many layers, the innermost, are cut from a cloth of their own: one number, or one for each tier.", whole=True,
        ),
        Number(
            "under_fullness", "Under-layers: fullness, %", "100", 10, 400,
            "Of the outermost layer’s: 80 for all under-layers, or one for each from the second inward (90; 80). 100 = all alike.",
        ),
        Number(
            "front_share", "Gathers on the front half, %", "50", 20, 80,
            "How much of every strip is gathered onto the front half of its line; the marks say where. 50 = evenly.",
        ),
        Number(
            "flounce_ratio", "Inner arc of a flounce", "1", 1, 4,
            "For circular flounces: inner arc for each length of line. 1 = sewn on flat, more = gathered a little.",
        ),
        Number("trim_spare", "Trim: spare %", "5", 0, 100, "Ribbon, braid, wire or trim to buy beyond the plan, for ends and slips."),
        *(
            Number(f"{cloth}_{name}", f"{cloth.capitalize()}: {label}", default, least, most, how)
            for cloth in Cloths._fields
            for (name, label, least, most, how), default in zip(_PER_CLOTH, _DEFAULTS[cloth])
        ),
    )
}  # fmt: skip


def read_tier_style(typed: Mapping[str, str], tiers: int, seam_allowance: float, unit: str) -> TierStyle:
    """Return how the ``tiers`` are made; numbers without a unit are in ``unit``, lengths come in millimetres.

    Raises :class:`HalfTyped` where something is half typed, else :class:`Refused`.
    """
    lengths = read_measurements(typed, unit, LENGTHS)

    def for_tiers(label: str, text: str, read: Callable[[str], float]) -> tuple[float, ...]:
        return per_tier(label, text, tiers, read)

    def each(name: str) -> tuple[float, ...]:
        number = NUMBERS[name]
        return for_tiers(number.label, typed[name], _number_reader(number))

    def each_whole(name: str) -> tuple[int, ...]:
        return tuple(int(value + 0.5) for value in each(name))

    under_edge = "" if typed["under_edge"] in (AS_OUTERMOST, typed["strip_edge"]) else typed["under_edge"]
    ends = _by_rule("end_allowance", typed, unit, one_value)
    hem = _by_rule("strip_hem", typed, unit, one_value)
    return TierStyle(
        make=typed["make"],
        fullness=each("fullness"),
        layers=each_whole("layers"),
        contrast_layers=each_whole("contrast_layers"),
        inner_layers=each_whole("inner_layers"),
        bought=_bought_tiers(typed["bought_tiers"]),
        drops=_by_rule("drop", typed, unit, for_tiers),
        overlap=_by_rule("overlap", typed, unit, one_value),
        past_hem=lengths["past_hem"],
        gathering_allowance=lengths["gathering_allowance"],
        hem=_hem_of_strips(typed["strip_edge"], hem, unit),
        trim_depth=lengths["trim_depth"],
        under_edge=under_edge,
        under_hem=allowance_by_rule(under_edge, unit) if under_edge else 0.0,
        end_allowance=seam_allowance if ends is None else ends,
        join_allowance=lengths["join_allowance"],
        pleat_spacing=lengths["pleat_spacing"],
        flounce_ratio=_one_number("flounce_ratio", typed),
        end_shape=typed["end_shape"],
        together=typed["layers_sewn"] == TOGETHER,
        edge=typed["strip_edge"],
        layer_step=lengths["layer_step"],
        front_share=_one_number("front_share", typed) / 100,
        upright=typed["net_way"] == "one_way",
        **_under_layers(typed, max(each_whole("layers"))),
    )


class _UnderLayers(TypedDict):
    under_fullness: tuple[float, ...]
    colours: tuple[str, ...]


def _under_layers(typed: Mapping[str, str], layers: int) -> _UnderLayers:
    """Return what is said of layers one by one; ``layers`` is how many a tier has at most."""
    number, text = NUMBERS["under_fullness"], TEXTS["colours"]
    shares = listed(number.label, typed["under_fullness"], _number_reader(number))
    colours = tuple(colour.strip() for colour in re.split("[;,]", typed["colours"]) if colour.strip())
    for label, count, most in ((number.label, len(shares), max(1, layers - 1)), (text.label, len(colours), layers)):
        if count > most:
            raise Refused("more values than layers", label=label, values=count, most=most)
    return {"under_fullness": tuple(share / 100 for share in shares), "colours": colours}


def _bought_tiers(text: str) -> tuple[int, ...] | None:
    """Return the numbers of the tiers that are bought already gathered, None for all.  Raises :class:`HalfTyped` or :class:`Refused`."""
    label, text = TEXTS["bought_tiers"].label, text.strip().lower()
    if text == ALL:
        return None
    if text and ALL.startswith(text):
        raise HalfTyped(text)
    number = Number("", label, "", 1, MOST_TIERS, "", whole=True)
    return tuple(sorted({int(each) for each in listed(label, text, _number_reader(number))})) if text else ()


def read_others(typed: Mapping[str, str], unit: str) -> Others:
    """Return the other lines of the dress that are ruffled.  Raises as :func:`read_tier_style`."""
    text, fullness = typed["other_fullness"].strip().lower(), TEXTS["other_fullness"]
    if text not in ("", BY_RULE) and BY_RULE.startswith(text):
        raise HalfTyped(text)
    return Others(
        lines=read_other_lines(typed["other_lines"], unit),
        drop=_by_rule("other_drop", typed, unit, one_value),
        fullness=None if text in ("", BY_RULE) else one_value(fullness.label, text, _number_reader(NUMBERS["fullness"])),
    )


def allowance_by_rule(edge: str, unit: str) -> float:
    """Return the allowance that a finish of :data:`~geometry.cloth.edges.EDGES` takes by its rule, millimetres."""
    return read_length(EDGES[edge].hem, unit) if EDGES[edge].hem else 0.0


def _hem_of_strips(name: str, hem: float | None, unit: str) -> float:
    """Return the allowance of an edge: by its rule where ``hem`` is None, else hers, if the edge can be made with it."""
    by_rule = allowance_by_rule(name, unit)
    if hem is None:
        return by_rule
    if by_rule and not hem:
        raise Refused("edge without its allowance", by_rule=by_rule)
    if hem and not by_rule:
        raise Refused("allowance of a raw edge", hem=hem)
    return hem


def read_cloths(typed: Mapping[str, str], unit: str) -> Cloths:
    """Return every cloth.  Raises as :func:`read_tier_style`."""
    widths = read_measurements(typed, unit, {width.name: width for width in _WIDTHS})
    repeats = read_measurements(typed, unit, {repeat.name: repeat for repeat in _REPEATS})

    one_way = typed["net_way"] == "one_way"

    def cloth(name: str, use: str, of_tiers: bool = False) -> Cloth:
        return Cloth(
            name=name,
            width=widths[f"{name}_width"],
            shrinkage=_one_number(f"{name}_shrinkage", typed) / 100,
            spare=_one_number(f"{name}_spare", typed) / 100,
            price=_price(PRICES[f"{name}_price"], typed, unit),
            use="across" if of_tiers and one_way and typed[use] == "cheaper" else typed[use],  # the nap runs down the strips
            repeat=repeats.get(f"{name}_repeat", 0.0),
            one_way=of_tiers and one_way,
        )

    net, base = cloth("net", "strip_direction", of_tiers=True), cloth("base", "base_way")
    with_net = typed["base_cloth"] in FROM_TIERS and base.width > 0
    lining = cloth("lining", "lining_way")
    base = net._replace(name="base", use=base.use, repeat=base.repeat, with_tiers=True) if with_net else base
    if typed["base_cloth"] in WITH_LINING and base.width > 0 and lining.width > 0:
        lining = base._replace(name="lining", with_tiers=False, with_base=True)
    return Cloths(
        net=net,
        contrast=cloth("contrast", "strip_direction", of_tiers=True),
        inner=cloth("inner", "strip_direction", of_tiers=True)._replace(name=INNER),
        base=base,
        lining=lining,
    )


def read_trim_terms(typed: Mapping[str, str], unit: str) -> TrimTerms:
    """Return what a yard or metre of trim costs, and how much spare is bought.  Raises as :func:`read_tier_style`."""
    outermost, under, tiers = (_price(price, typed, unit) for price in TRIM_PRICES.values())
    return TrimTerms(outermost, under, tiers, _one_number("trim_spare", typed) / 100)


def _price(price: Sum, typed: Mapping[str, str], unit: str) -> Decimal | None:
    """Return what a yard or metre costs, or None where it is not known."""
    try:
        return read_price(typed[price.name], YARD if unit == "in" else METRE) or None
    except HalfTyped as half:
        raise HalfTyped(typed[price.name], price.label) from half
    except Refused as refusal:
        raise Refused("what was typed", label=price.label, problem=refusal.problems[0]) from refusal


def _one_number(name: str, typed: Mapping[str, str]) -> float:
    number = NUMBERS[name]
    return one_value(number.label, typed[name], _number_reader(number))


def _by_rule(
    name: str, typed: Mapping[str, str], unit: str, take: Callable[[str, str, Callable[[str], float]], _Taken]
) -> _Taken | None:
    """Return what ``take`` (label, text, reader of one length) makes of a length, or None where the rule decides."""
    text, length = typed[name].strip(), BY_RULE_LENGTHS[name]
    if text.lower() in ("", BY_RULE):
        return None
    if BY_RULE.startswith(text.lower()):
        raise HalfTyped(text)
    return take(length.label, text, _length_reader(length, unit))


def _length_reader(length: Measurement, unit: str) -> Callable[[str], float]:
    """Return a reader that raises :class:`Refused` where a length makes no sense."""

    def read(text: str) -> float:
        try:
            value = read_length(text, unit)
        except Refused as refusal:
            raise Refused("length or by rule", problem=refusal.problems[0], by_rule=BY_RULE) from refusal
        if not within(length.least, value, length.most):
            least, most = float(length.least), float(length.most)
            raise Refused("length out of range, or by rule", typed=text, read=value, least=least, most=most, by_rule=BY_RULE)
        return value

    return read


def _number_reader(number: Number) -> Callable[[str], float]:
    """Return a reader that raises :class:`Refused` where a value makes no sense."""

    def read(text: str) -> float:
        try:
            return number_in_range(number, re.sub(_TO_ONE, "", text) if number.name == "fullness" else text)
        except Refused as refusal:
            if number.name not in _SAY_MORE:
                raise
            raise Refused(f"{number.name} out of range", problem=refusal.problems[0]) from refusal

    return read


#: A fullness may be written as a proportion: 4 : 1.
_TO_ONE = r"\s*:\s*1\s*$"

#: Where the range alone does not say what to do.
_SAY_MORE = ("fullness", "layers")
