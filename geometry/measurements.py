"""What is measured on the client and chosen for the style: one table of names, ranges and words.

The dialog shows this table, the rules of :mod:`geometry.block` use it, and a test fails where the
two disagree.  Body dimensions bear the names of ISO 8559-1 where it has them.
"""
from __future__ import annotations

from typing import Mapping, NamedTuple

from geometry.lengths import (
    MILLIMETRES_PER,
    HalfTypedLength,
    UnreadableLength,
    read_length,
    write_length,
)
from geometry.refusal import Refused


class Measurement(NamedTuple):
    """One length that she types.

    ``default`` is text as typed and names its own unit, so that it means the same whichever unit
    the dialog stands on.  ``least`` and ``most`` are the range that makes sense, in millimetres;
    ``zero`` says what 0 means where it is allowed, else it is empty.
    """

    name: str
    label: str
    default: str
    least: float
    most: float
    zero: str
    how: str


BODY = (
    Measurement(
        "bust_girth", "Bust girth", "36 1/2 in", 600, 1800, "",
        "Around the fullest part of the bust, tape level, arms hanging.",
    ),
    Measurement(
        "off_shoulder_girth", "Off-shoulder girth", "41 1/4 in", 500, 2200, "",
        "Around both arms and the body where the top edge will sit, arms hanging.",
    ),
    Measurement(
        "shoulder_width", "Shoulder width", "14 3/4 in", 280, 600, "",
        "Across the back from shoulder point to shoulder point.",
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
        "sleeve_length", "Sleeve length", "18 3/4 in", 100, 900, "",
        "From the top edge down the arm to the hem.",
    ),
    Measurement(
        "hem_girth", "Hem girth", "9 in", 80, 2000, "",
        "Finished girth where the sleeve ends, before ease.",
    ),
    Measurement(
        "hand_girth", "Hand girth", "8 1/4 in", 100, 400, "the hand is not checked",
        "Around the closed hand, thumb laid in. A closed hem must pass it. 0 = not checked.",
    ),
)  # fmt: skip

STYLE = (
    Measurement(
        "ease_cap", "Ease at the underarm", "1/2 in", 0, 200, "no ease",
        "Added to each half of the sleeve at the underarm level.",
    ),
    Measurement(
        "ease_upper_arm", "Ease at the upper arm", "3/4 in", 0, 200, "no ease",
        "Added to each half of the sleeve at the upper arm level.",
    ),
    Measurement(
        "ease_elbow", "Ease at the elbow", "3/4 in", 0, 200, "no ease",
        "Added to each half of the sleeve at the elbow level.",
    ),
    Measurement(
        "ease_hem", "Ease at the hem", "3/4 in", 0, 200, "no ease",
        "Added to each half of the sleeve at the hem.",
    ),
    Measurement(
        "seam_allowance", "Seam allowance", "1/2 in", 0, 80, "no allowance",
        "Around the head, armhole and underarm seams. 0 = none.",
    ),
    Measurement(
        "hem_allowance", "Hem allowance", "1 in", 0, 150, "no allowance",
        "Below the hem, shaped to fold up flat. 0 = none.",
    ),
    Measurement(
        "body_edge_reduction", "Body edge reduction", "2 in", 0, 250, "no reduction",
        "Body edge, front and back = shoulder width less this (common practice).",
    ),
    Measurement(
        "cap_depth", "Cap depth", "0", 30, 350, "by the rule",
        "From the head down to the underarm level. 0 = by the rule, bust girth / 12 + 1 in.",
    ),
    Measurement(
        "cap_width", "Cap width", "0", 150, 1500, "by the rule",
        "Whole width at the underarm level, before ease. 0 = by the rule, twice bust girth / 6 + 1 1/2 in.",
    ),
)  # fmt: skip

TABLE = {measurement.name: measurement for measurement in BODY + STYLE}


WORD_FOR_UNIT = {"in": "inches", "cm": "centimetres"}


class Unfinished(ValueError):
    """A measurement is half typed; nothing is wrong yet."""


def read_measurements(typed: Mapping[str, str], unit: str, table: Mapping[str, Measurement] = TABLE) -> dict[str, float]:
    """Return every measurement of ``table`` in millimetres, from what was typed under its name.

    ``unit`` ("in" or "cm") holds for numbers that name none.  Raises :class:`Unfinished` where one
    is half typed and :class:`Refused`, with one paragraph for each that is wrong.
    """
    values, problems = {}, []
    for name, measurement in table.items():
        try:
            values[name] = _checked(measurement, typed[name], unit)
        except HalfTypedLength as error:
            raise Unfinished(f"{measurement.label}: {error}") from error
        except ValueError as error:
            problems.append(str(error))
    if problems:
        raise Refused("\n\n".join(problems))
    return values


def _checked(measurement: Measurement, text: str, unit: str) -> float:
    """Return the value in millimetres, or raise ``ValueError`` with a sentence for a dressmaker."""
    try:
        value = read_length(text, unit)
    except HalfTypedLength:
        raise
    except UnreadableLength as error:
        raise ValueError(f"{measurement.label}: {error}. {_sense(measurement, unit)}") from error
    if measurement.least <= value <= measurement.most or (value == 0 and measurement.zero):
        return value
    raise ValueError(_out_of_range(measurement, text, value, unit))


def _out_of_range(measurement: Measurement, text: str, value: float, unit: str) -> str:
    read = f"“{text.strip()}” was read as {write_length(value, unit)}"
    sentence = f"{measurement.label}: {read}. {_sense(measurement, unit)}"
    other = "cm" if unit == "in" else "in"
    as_other = value / MILLIMETRES_PER[unit] * MILLIMETRES_PER[other]
    if measurement.least <= as_other <= measurement.most:
        sentence += (
            f" The number looks like {WORD_FOR_UNIT[other]} ({write_length(as_other, other)} would do):"
            f" choose {WORD_FOR_UNIT[other]} as the unit, or write the unit behind the number."
        )
    return sentence


def _sense(measurement: Measurement, unit: str) -> str:
    zero = f", or 0 ({measurement.zero})" if measurement.zero and measurement.least else ""
    least, most = write_length(measurement.least, unit), write_length(measurement.most, unit)
    return f"What makes sense is {least} to {most}{zero}."
