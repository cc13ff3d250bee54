"""Corners alone, many thousands of lines by lot: found where only the edit knows that they are, or asked for, never guessed."""
from __future__ import annotations

from collections import Counter
from random import Random

import numpy as np

from geometry.curves.curve import Curve
from geometry.editing.refinding import Broken, refind
from tests.campaign import edits
from tests.campaign.cases import SLEEVES, drafted, line_of, parsed
from tests.campaign.line import CORNERS

#: Rounding in the document, millimetres.
CLOSE = 0.01


def try_corners(seed: int) -> tuple[str, tuple[str, ...], str]:
    """Return "right", "asked", "asked needlessly" or "wrong", what was done to the line, and what was wrong with the answer."""
    lot = Random(seed)
    name = lot.choice(list(SLEEVES))
    before = line_of(parsed(drafted(name)))
    corners, drawn = before.corners(), Curve(before.segments)
    line, done = edits.edited(before, lot)
    segments = np.roll(line.segments, -lot.randrange(len(line.segments)), axis=0)
    segments = segments[::-1, ::-1] if lot.random() < 0.3 else segments
    try:
        outline = refind([Curve(segments)], corners, drawn).outline
    except Broken as broken:
        return ("asked needlessly" if line.plain else "asked"), (name, *done), str(broken)
    if line.lost:
        return "wrong", (name, *done), f"guessed {sorted(line.lost)}"
    off = [k for k in CORNERS if np.hypot(*(outline.corner(k) - line.corner(k))) > CLOSE]
    return ("wrong" if off else "right"), (name, *done), f"took others for {off}"


def test_no_corner_is_guessed():
    answers = [try_corners(seed) for seed in range(900)]
    assert [answer for answer in answers if answer[0] == "wrong"] == []
    count = Counter(answer[0] for answer in answers)
    assert count["right"] > 600
    assert count["asked needlessly"] == 0
