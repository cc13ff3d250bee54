"""Ease as she asks for it: a length on each half of the sleeve, or a share of the girth."""
from __future__ import annotations

import re
from typing import NamedTuple, Union

from geometry.measuring.lengths import HalfTyped, read_number
from geometry.measuring.measurements import Measurement, length_in_range, sense_of, unreadable
from geometry.measuring.sums import Sum, Term, plain
from geometry.refusal import Refused


class Share(NamedTuple):
    """An ease in percent: of a girth for the whole sleeve, and so of half the girth for each half."""

    percent: float


#: Millimetres on each half of the sleeve, or a share of the girth.
Ease = Union[float, Share]

_PERCENT = r"(?P<number>.*?)\s*(?:%|per ?cent)\s*"
_HALF_WRITTEN = r"(?P<number>.*?)\s*p(?:e(?:r(?: ?c(?:en?)?)?)?)?\s*"


def on_half(ease: Ease, girth: float) -> float:
    """Return in millimetres what an ease adds to each half of a sleeve around this ``girth``.

    >>> on_half(12.7, 300.0), on_half(Share(15.0), 300.0)
    (12.7, 22.5)
    """
    return share_of_girth("", ease.percent, girth).result if isinstance(ease, Share) else ease


def share_of_girth(level: str, percent: float, girth: float) -> Sum:
    """Return what an ease in percent of the girth adds to each half of the sleeve.

    >>> share_of_girth("elbow", 15.0, 300.0).result
    22.5
    """
    return Sum(f"ease at the {level}, each half", plain(percent, "percent"), (("÷", plain(100)), ("×", Term(girth, "girth")), ("÷", plain(2))))


def read_ease(measurement: Measurement, text: str, unit: str) -> Ease:
    """Return the ease that was typed for a row of the table: ``1/2``, ``2 cm``, ``15 %``, ``12,5 percent``.

    Raises :class:`Refused`, and ``HalfTyped``.

    >>> from geometry.measuring.measurements import TABLE
    >>> read_ease(TABLE["ease_hem"], "15%", "in"), read_ease(TABLE["ease_hem"], "1", "in")
    (Share(percent=15.0), 25.4)
    """
    written = re.fullmatch(_PERCENT, text, re.IGNORECASE)
    if written is None:
        _refuse_half_a_word(measurement, text)
        return length_in_range(measurement, text, unit)
    try:
        percent = read_number(written["number"])
    except HalfTyped as half:
        raise HalfTyped(text, measurement.label) from half
    except Refused as refusal:
        raise unreadable(measurement, refusal) from refusal
    if percent > measurement.most_percent:
        raise Refused("percent out of range", label=measurement.label, typed=text.strip(), sense=sense_of(measurement))
    return Share(percent)


def _refuse_half_a_word(measurement: Measurement, text: str) -> None:
    """Raise ``HalfTyped`` where the text is an ease in percent, the word half written."""
    begun = re.fullmatch(_HALF_WRITTEN, text.strip(), re.IGNORECASE)
    if begun and begun["number"]:
        raise HalfTyped(text, measurement.label)
