"""Other lines of the dress that are ruffled like the sleeve, so that the net for all of it is planned at once."""
from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from geometry.cloth.making import TierStyle
from geometry.cloth.strips import Hung, Tier, layers_from
from geometry.curves.curve import Curve
from geometry.measuring.lengths import HalfTyped, read_length, within
from geometry.pieces.strip_ends import square_ends
from geometry.refusal import Refused

#: A name, then a length, which begins with the first figure.
_NAMED_LENGTH = r"(?P<name>[^\d.,½⅓⅔¼¾⅛⅜⅝⅞]*?)\s*[:=]?\s*(?P<length>[\d.,½⅓⅔¼¾⅛⅜⅝⅞].*)?"

#: What such a line may be long, millimetres: a hand's breadth less than nothing is none, and no hem of a gown is longer.
SHORTEST, LONGEST = 10.0, 30000.0

#: How long such a line might be, millimetres: an example.
_EXAMPLE = 330.0

#: So many there may be.
MOST_LINES = 20


class OtherLine(NamedTuple):
    """A line of the dress, by the ``name`` that she gave it, so long, millimetres."""

    name: str
    length: float


class Others(NamedTuple):
    """All other lines, and how far what hangs from them drops and how full it is: None as the first tier of the sleeve."""

    lines: tuple[OtherLine, ...] = ()
    drop: float | None = None
    fullness: float | None = None


def read_other_lines(text: str, unit: str) -> tuple[OtherLine, ...]:
    """Return the lines that are written as ``bodice front 13 in; bodice back 13 in``; none where nothing is.

    Raises :class:`HalfTyped` where a length is half written, else :class:`Refused`.

    >>> read_other_lines("bodice front 13 in; back: 33 cm", "in")
    (OtherLine(name='bodice front', length=330.2), OtherLine(name='back', length=330.0))
    """
    parts = [part.strip() for part in re.split(r"[;\n]", text)]
    if parts and not parts[-1]:
        parts.pop()
    if len(parts) > MOST_LINES:
        raise Refused("too many other lines", lines=len(parts), most=MOST_LINES)
    return tuple(_line(part, unit) for part in parts)


def _line(text: str, unit: str) -> OtherLine:
    found = re.fullmatch(_NAMED_LENGTH, text)
    assert found is not None
    if not found["length"]:
        raise Refused("other line without a length", typed=text, example=_EXAMPLE)
    if not found["name"].strip():
        raise Refused("other line without a name", typed=text)
    try:
        length = read_length(found["length"], unit)
    except HalfTyped as half:
        raise HalfTyped(text, "Other lines to ruffle") from half
    except Refused as refusal:
        raise Refused("other line", name=found["name"], problem=refusal.problems[0]) from refusal
    if not within(SHORTEST, length, LONGEST):
        raise Refused("other line out of range", name=found["name"], typed=found["length"], read=length, least=SHORTEST, most=LONGEST)
    return OtherLine(" ".join(found["name"].split()), length)


def hung_on(others: Others, after: int) -> list[Hung]:
    """Return the lines as what hangs from them asks for them, numbered on ``after`` the sleeve's."""
    return [
        Hung(after + i, line.length, lambda drop: square_ends(Curve.line((0, 0), (1, 0)), drop), line.name)
        for i, line in enumerate(others.lines, start=1)
    ]  # fmt: skip


def ruffles(others: Others, hung: Sequence[Hung], first: Tier, style: TierStyle, widest: float) -> list[Tier]:
    """Return what hangs from the other lines, in as many layers as the ``first`` tier of the sleeve; it is cut even where that is bought.

    ``hung`` are those lines, ``widest`` is the usable width of the cloth that pattern pieces must fit.  Raises
    :class:`Refused` where one can't be made.
    """
    if not hung:
        return []
    drop = first.drop if others.drop is None else others.drop
    fullness = first.fullness if others.fullness is None else others.fullness
    layers, contrast, inner = layers_from(style._replace(bought=()), 0, first.number)
    return [line.tier(drop, drop, fullness, layers, contrast, style, widest)._replace(inner_layers=inner) for line in hung]
