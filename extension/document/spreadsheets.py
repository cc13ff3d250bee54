"""Texts that a spreadsheet will not take for a formula."""
from __future__ import annotations

#: A spreadsheet takes a cell that begins with one of these for a formula (OWASP, "CSV Injection"); an
#: apostrophe before it makes it text.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def harmless(text: str) -> str:
    """Return the text so that no spreadsheet takes it for a formula.

    >>> harmless("=1+1"), as_meant(harmless("=1+1"))
    ("'=1+1", '=1+1')
    """
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def as_meant(text: str) -> str:
    """Return a text that was made :func:`harmless` as it was."""
    return text[1:] if text.startswith("'") and text[1:].startswith(_FORMULA_STARTS) else text
