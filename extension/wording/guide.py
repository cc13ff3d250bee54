"""Sentences of the command that opens the guide."""
from __future__ import annotations

from pathlib import Path


def no_guide(folder: Path) -> str:
    """Return that it was not installed."""
    return f"The guide is not in {folder}: it comes with the zip file and with the installer. Install Tiered Sleeve anew."


def open_it_yourself(page: Path) -> str:
    """Return where it is, where nothing here can show it."""
    return f"Nothing here could open the guide. Open this file in your browser: {page}"
