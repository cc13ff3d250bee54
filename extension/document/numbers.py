"""How a number is written in SVG (SVG 2, section 9.3.9, with the leading sign of CSS)."""
from __future__ import annotations

import re

NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"


def numbers_in(text: str) -> list[float]:
    """Return every number in a text, in order.

    >>> numbers_in("M1-2.5,3e1")
    [1.0, -2.5, 30.0]
    """
    return [float(number) for number in re.findall(NUMBER, text)]
