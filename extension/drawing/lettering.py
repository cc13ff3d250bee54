"""How much room lettering takes.

The font that prints differs from machine to machine (a missing one falls back silently), so widths
are upper bounds, in em, for the wide sans-serif faces that a Linux, Windows or macOS machine falls
back to; a test in the real editor holds them against what it draws.
"""
from __future__ import annotations

import re
import unicodedata
from functools import cache

FONT_FAMILY = "Liberation Sans, Arial, Helvetica, sans-serif"

#: Row to row, and from a row's top to its baseline, in em.
LEADING = 1.35
ASCENT = 0.95
DESCENT = 0.3

_NARROW = frozenset("iljtfrI.,;:|'!()[]/ -·°’‘")
_WIDE = frozenset("mwMW@%—…“”½¼¾⅛⅜⅝⅞←→↑↓")
_BOLD = 1.12


#: A space within a length or a tier's name, and what stands for it while rows are broken.
_INSIDE_LENGTH, _TIED = re.compile(r"(?<=\d) (?=\d+/\d|in\b|cm\b|mm\b)|(?<=Tier) (?=\d)"), "\ue000"

#: Not printed themselves, but Persian and Hindi words and the parts of an emoji are joined, or kept apart, by them (Unicode 15, 23.2).
JOINERS = frozenset("\u200c\u200d")


def printable(text: object) -> str:
    """Return what was typed as one row of lettering: no control characters, which XML can't hold; joiners stay."""
    return "".join(c if c.isprintable() or c in JOINERS else " " for c in str(text)).strip()


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return an upper bound for the printed width of one row, in the unit of ``size``."""
    return sum(map(_em, text)) * size * (_BOLD if bold else 1.0)


@cache
def _em(character: str) -> float:
    if character in _NARROW:
        return 0.45
    if character in _WIDE or ord(character) > 0x2E7F or unicodedata.east_asian_width(character) in "WF":
        return 1.1
    if unicodedata.combining(character) or character in JOINERS:
        return 0.0
    return 0.8 if character.isupper() else 0.66


def wrap(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    """Break ``text`` into rows no wider than ``width``; a word wider than that is broken inside."""
    rows, room = [], 0.0
    space = text_width(" ", size, bold)
    for word in text.split():
        for piece in _pieces(word, size, width, bold):
            wide = text_width(piece, size, bold)
            if rows and space + wide <= room:
                rows[-1] += " " + piece
                room -= space + wide
            else:
                rows.append(piece)
                room = width - wide
    return rows


def wrap_tied(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    """Break a text into rows as :func:`wrap` does, but no length between its number, its fraction and its unit."""
    return [row.replace(_TIED, " ") for row in wrap(_INSIDE_LENGTH.sub(_TIED, text), size, width, bold)]


def _pieces(word: str, size: float, width: float, bold: bool) -> list[str]:
    if text_width(word, size, bold) <= width:
        return [word]
    pieces = [""]
    for character in word:
        if pieces[-1] and not _goes_with(pieces[-1][-1], character) and text_width(pieces[-1] + character, size, bold) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def _goes_with(before: str, character: str) -> bool:
    """Whether a row can't end between two characters: one is a joiner, or the second an accent or a mark on the first."""
    return before in JOINERS or character in JOINERS or unicodedata.category(character) in ("Mn", "Me", "Mc")
