"""Lengths as a dressmaker writes them: read to millimetres, written to the eighth or the millimetre.

Inside the tool every length is a float in millimetres.  This module is the edge.
"""
from __future__ import annotations

import math
import re
import unicodedata

from geometry.refusal import Refused

#: The inch is exactly 25.4 mm (international yard and pound agreement, 1959).
INCH = 25.4

#: Millimetres in one of each unit.
MILLIMETRES_PER = {"in": INCH, "cm": 10.0, "mm": 1.0}

#: What she may write after the number, and the unit it means.
_UNIT_SPELLINGS = {
    "in": "in", "in.": "in", "inch": "in", "inches": "in",
    '"': "in", "″": "in", "”": "in", "''": "in",
    "cm": "cm", "cm.": "cm", "mm": "mm", "mm.": "mm",
}  # fmt: skip

_FRACTION_GLYPHS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_FRACTION = r"(?P<top>[0-9]+)/(?P<bottom>[0-9]+)"
_GLYPH = "(?P<glyph>[" + _FRACTION_GLYPHS + "])"
_NUMBER = r"[0-9]*[.,][0-9]+|[0-9]+"
#: "13 3/8" and "13-3/8" want a gap: "133/8" could be 13 3/8 or 133 eighths, so it is neither.
_MIXED = rf"(?:(?P<whole>[0-9]+)[ -])?{_FRACTION}"
_MIXED_GLYPH = rf"(?:(?P<whole>[0-9]+)[ -]?)?{_GLYPH}"
#: A number that stops where more is to come: "13 3", "13 3/", "13.", "13-".
#: "3/1" may become "3/16", so a fraction whose lower number is still too small counts too.
_HALF_TYPED = r"[0-9]*[.,-]|[0-9]+[ -][0-9]+|(?:[0-9]+[ -])?[0-9]+/"

#: Between two ways to write a length, each with its unit.
_EITHER = r"\s+or(?:\s+|$)"


class HalfTyped(Exception):
    """The text is the beginning of something: the hand is still on the keys, and nothing is wrong yet.

    No ``ValueError``, so that it passes everything that looks for mistakes; only the command waits for it.
    ``label`` names the measurement, where it is known.
    """

    def __init__(self, typed: str = "", label: str = "") -> None:
        self.typed, self.label = typed, label
        super().__init__(typed)


def read_length(text: str, unit: str) -> float:
    """Return in millimetres what ``text`` says; ``unit`` (in, cm, mm) holds where it names none.

    Reads ``13 3/8``, ``13⅜``, ``13-3/8``, ``13.375``, ``13,375``, ``34 cm``, ``13 3/8 in``, ``13"``, and
    ``1/2 in or 1.5 cm``, which is whichever of the two is in ``unit``: round on either tape.

    Raises :class:`HalfTyped` where more keystrokes could make a length of it, else
    :class:`~geometry.refusal.Refused`, for a negative number, ``nan`` and ``inf`` too.

    >>> read_length("13 3/8", "in") == 13.375 * 25.4
    True
    >>> read_length("34 cm", "in")
    340.0
    >>> read_length("1/2 in or 1.5 cm", "in"), read_length("1/2 in or 1.5 cm", "cm")
    (12.7, 15.0)
    """
    number, spelling = _split_unit(in_her_unit(text, unit))
    if spelling and spelling not in _UNIT_SPELLINGS:
        if number and any(known.startswith(spelling) for known in _UNIT_SPELLINGS):
            raise HalfTyped(text)
        raise Refused("not a length", typed=text)
    if not number:
        raise Refused("a unit and no number", typed=text) if spelling else Refused("nothing written")
    return _read_number(number, text) * MILLIMETRES_PER[_UNIT_SPELLINGS.get(spelling, unit)]


def split_sign(text: str) -> tuple[int, str]:
    """Return the sign of what was typed, 1 or -1, and the length behind it.

    >>> split_sign("-1/2"), split_sign("+3 cm"), split_sign(" 7")
    ((-1, '1/2'), (1, '3 cm'), (1, '7'))
    """
    tidy = text.replace("\u2212", "-").strip()
    return (-1, tidy[1:]) if tidy.startswith("-") else (1, tidy.removeprefix("+"))


def with_unit(text: str, unit: str) -> str:
    """Return what was typed so that it means the same wherever it is read: naming ``unit`` where it names none.

    Raises as :func:`read_length`.

    >>> with_unit("13 3/8", "in"), with_unit("34 cm", "in"), with_unit("0", "in")
    ('13 3/8 in', '34 cm', '0')
    """
    hers = in_her_unit(text, unit)
    return hers if read_length(hers, "mm") == read_length(hers, "in") else f"{hers} {unit}"


def names_no_unit(text: str) -> bool:
    """Whether a length is written as a bare number, for which the unit of the dialog holds.

    >>> names_no_unit("36 1/2"), names_no_unit("36 in")
    (True, False)
    """
    return not _split_unit(text)[1]


def read_number(text: str) -> float:
    """Return a plain number written as any length is (``4``, ``3 1/2``, ``3,5``), but without a unit.

    Raises as :func:`read_length` does.

    >>> read_number("3 1/2")
    3.5
    """
    number, spelling = _split_unit(text)
    if spelling or not number:
        raise Refused("not a number", typed=text) if spelling else Refused("nothing written")
    return _read_number(number, text)


def in_her_unit(text: str, unit: str) -> str:
    """Return which of two ways to write a length (``1/2 in or 1.5 cm``) is in her unit; any other text as it is.

    Raises :class:`HalfTyped` where the second is still to come.
    """
    ways = re.split(_EITHER, text.strip())
    spellings = [_split_unit(way)[1] for way in ways]
    if len(ways) != 2 or spellings[0] not in _UNIT_SPELLINGS:
        return text
    if spellings[1] not in _UNIT_SPELLINGS and any(known.startswith(spellings[1]) for known in _UNIT_SPELLINGS):
        raise HalfTyped(text)
    by_inches = {_UNIT_SPELLINGS[spelling] == "in": way for spelling, way in zip(spellings, ways) if spelling in _UNIT_SPELLINGS}
    return by_inches[unit == "in"] if len(by_inches) == 2 else text


def _split_unit(text: str) -> tuple[str, str]:
    """Return the number and the unit's spelling, each tidied of stray spaces."""
    tidy = " ".join(text.replace("\u2044", "/").replace("\u2215", "/").replace("\u2212", "-").split())
    tidy = re.sub(r" ?/ ?", "/", tidy)
    match = re.fullmatch(r"([-0-9.,/ " + _FRACTION_GLYPHS + r"]*?) ?([^-0-9.,/ " + _FRACTION_GLYPHS + r"].*)?", tidy)
    if match is None:  # never: the second group takes whatever the first leaves
        return tidy, ""
    return match.group(1), (match.group(2) or "").lower()


def _read_number(number: str, text: str) -> float:
    """Return the number, which more digits than a length can have would make endless."""
    value = _read_digits(number, text)
    if not math.isfinite(value):
        raise Refused("not a length", typed=text)
    return value


def _read_digits(number: str, text: str) -> float:
    if number.startswith("-") and len(number) > 1:
        raise Refused("less than nothing", typed=text)
    if re.fullmatch(_NUMBER, number):
        return float(number.replace(",", "."))
    match = re.fullmatch(_MIXED_GLYPH, number)
    if match:
        return float(match["whole"] or 0) + unicodedata.numeric(match["glyph"])
    match = re.fullmatch(_MIXED, number)
    if match:
        return float(match["whole"] or 0) + _read_fraction(match, text)
    if re.fullmatch(_HALF_TYPED, number):
        raise HalfTyped(text)
    raise Refused("not a length", typed=text)


def _read_fraction(match: re.Match[str], text: str) -> float:
    """Return the fraction's value; one that is not below 1 is a slip (“27/8” for “2 7/8”)."""
    top, bottom = int(match["top"]), int(match["bottom"])
    if 0 < top < bottom:
        return top / bottom
    if match["bottom"] in ("1", "3", "6") and bottom <= top:  # on its way to /16, /32, /64
        raise HalfTyped(text)
    raise Refused("fraction not below 1", typed=text)


#: The finest mark of a tape that she cuts by, in millimetres: an eighth of an inch, a millimetre.
MARKS = {"in": INCH / 8, "cm": 1.0}

#: What is lost where a drawing is written and read again, and no tape shows, millimetres: lengths that differ by less are alike.
UNSEEN = 0.001


def up_to_mark(millimetres: float, unit: str) -> float:
    """Return the length at the next mark of her tape that is not below it: what is cut must suffice.

    What no tape shows is forgiven, so that a length on a mark stays there, measured on the drawing too.

    >>> up_to_mark(101.6 + 0.0004, "in") / 25.4, up_to_mark(101.6 + 0.002, "in") / 25.4
    (4.0, 4.125)
    """
    return math.ceil((millimetres - UNSEEN) / MARKS[unit]) * MARKS[unit]


def down_to_mark(millimetres: float, unit: str) -> float:
    """Return the length at the last mark of her tape that is not above it: what there is to cut from."""
    return math.floor(millimetres / MARKS[unit] + 1e-6) * MARKS[unit]


#: What binary arithmetic adds to a length or takes from it, and a limit forgives, millimetres.
HAIR = 1e-5


def within(least: float, length: float, most: float) -> bool:
    """Whether a length lies between two limits, either of them included however it is written.

    >>> 0.1 + 0.2 <= 0.3, within(0.0, 0.1 + 0.2, 0.3)
    (False, True)
    """
    return least - HAIR <= length <= most + HAIR


def eighths(inches: float) -> int:
    """Return the nearest number of eighths; a tie goes up, as a tape is read.

    A billionth of an eighth is forgiven, so that a tie spoilt by binary arithmetic is still a tie.
    """
    return math.floor(inches * 8 + 0.5 + 1e-9)


def write_length(millimetres: float, unit: str, with_unit: bool = True) -> str:
    """Return the length as she reads her tape: ``13 3/8 in``, ``34.0 cm`` (to the millimetre).

    >>> write_length(339.725, "in"), write_length(340, "cm"), write_length(-12.7, "in")
    ('13 3/8 in', '34.0 cm', '−1/2 in')
    """
    size = abs(millimetres)
    number = _write_eighths(eighths(size / INCH)) if unit == "in" else f"{math.floor(size + 0.5 + 1e-9) / 10:.1f}"
    sign = "−" if millimetres < 0 and number not in ("0", "0.0") else ""
    return f"{sign}{number} {unit}" if with_unit else f"{sign}{number}"


#: The finest mark that is read off her tape, in millimetres: a sixteenth of an inch, a millimetre.
READ = {"in": INCH / 16, "cm": 1.0}


def as_read(millimetres: float, unit: str) -> float:
    """Return a length at the nearest mark that is read off her tape, so that what is told differs by what is said; a tie goes up in size.

    >>> as_read(30.4, "cm"), as_read(-30.4, "cm")
    (30.0, -30.0)
    """
    return math.copysign(math.floor(abs(millimetres) / READ[unit] + 0.5 + 1e-9) * READ[unit], millimetres)


def write_fine(millimetres: float, unit: str) -> str:
    """Return a length that is folded to, drawn with compasses or compared, without its unit: at a mark as of :func:`as_read`.

    >>> write_fine(30.0, "in"), write_fine(30.4, "cm"), write_fine(-1.6, "in")
    ('1 3/16', '3.0', '−1/16')
    """
    if unit != "in":
        return write_length(millimetres, unit, False)
    count = round(as_read(millimetres, unit) / READ[unit])
    return ("−" if count < 0 else "") + _write_parts(abs(count), 16)


def write_small(millimetres: float, unit: str) -> str:
    """Return a difference too small for the marks of a tape: to the 64th of an inch, or the tenth of a millimetre.

    >>> write_small(3.2, "in"), write_small(3.2, "cm"), write_small(10.0, "cm"), write_small(0.1, "in")
    ('1/8 in', '3.2 mm', '10 mm', '0 in')
    """
    if unit == "in":
        return f"{_write_parts(math.floor(millimetres / INCH * 64 + 0.5), 64)} in"
    return f"{millimetres:.1f}".removesuffix(".0") + " mm"


def _write_eighths(count: int) -> str:
    return _write_parts(count, 8)


def _write_parts(count: int, parts: int) -> str:
    whole, rest = divmod(count, parts)
    if not rest:
        return str(whole)
    common = math.gcd(rest, parts)
    fraction = f"{rest // common}/{parts // common}"
    return f"{whole} {fraction}" if whole else fraction


def write_exact(millimetres: float, unit: str, places: int = 4) -> str:
    """Return the length with decimals, for where the eighth would hide something: ``2.7857 in``."""
    number = f"{millimetres / MILLIMETRES_PER[unit]:.{places}f}".rstrip("0").rstrip(".")
    return f"{number} {unit}"
