"""Sentences about what is kept in her settings from one use to the next."""
from __future__ import annotations


def not_kept(reason: str) -> str:
    """Return that what was typed could not be written into her settings."""
    return f"What you typed holds for this run but could not be kept in your settings ({reason})."


def margin_as_before(margin: str) -> str:
    """Return which margin holds where none was typed; ``margin`` is as it was typed."""
    return f"Margin: {margin}, as you typed it last."
