"""How much room lettering takes.

The font that prints differs from machine to machine (a missing one falls back silently), so widths
are upper bounds, in em, for the wide sans-serif faces that a Linux, Windows or macOS machine falls
back to; a test in the real editor holds them against what it draws.
"""
from __future__ import annotations

import unicodedata

FONT_FAMILY = "Liberation Sans, Arial, Helvetica, sans-serif"

#: Row to row, and from a row's top to its baseline, in em.
LEADING = 1.35
ASCENT = 0.95
DESCENT = 0.3

_NARROW = frozenset("iljtfrI.,;:|'!()[]/ -·°’‘")
_WIDE = frozenset("mwMW@%—…“”½¼¾⅛⅜⅝⅞")
_BOLD = 1.12


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return an upper bound for the printed width of one row, in the unit of ``size``."""
    return sum(map(_em, text)) * size * (_BOLD if bold else 1.0)


def _em(character: str) -> float:
    if character in _NARROW:
        return 0.45
    if character in _WIDE or ord(character) > 0x2E7F or unicodedata.east_asian_width(character) in "WF":
        return 1.1
    if unicodedata.combining(character):
        return 0.0
    return 0.8 if character.isupper() else 0.66


def wrap(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    """Break ``text`` into rows no wider than ``width``; a word wider than that is broken inside."""
    rows, row = [], ""
    for word in text.split():
        for piece in _pieces(word, size, width, bold):
            longer = f"{row} {piece}" if row else piece
            if row and text_width(longer, size, bold) > width:
                rows.append(row)
                row = piece
            else:
                row = longer
    return [*rows, row] if row else rows


def _pieces(word: str, size: float, width: float, bold: bool) -> list[str]:
    pieces, piece = [], ""
    for character in word:
        if piece and text_width(piece + character, size, bold) > width:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]
