"""Corners alone, many thousands of lines by lot: found where only the edit knows that they are, or asked for, never guessed."""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from random import Random

import numpy as np

from geometry.curves.curve import Curve
from geometry.editing.refinding import Broken, refind
from tests.campaign import edits
from tests.campaign.cases import SLEEVES, drafted, line_of, parsed
from tests.campaign.line import CORNERS, Line

#: Rounding in the document, millimetres.
CLOSE = 0.01


def try_corners(seed: int, edit: Callable[[Line, Random], tuple[Line, list[str]]] = edits.edited) -> tuple[str, tuple[str, ...], str]:
    """Return "right", "asked", "asked needlessly" or "wrong", what was done to the line, and what was wrong with the answer."""
    lot = Random(seed)
    name = lot.choice(list(SLEEVES))
    before = line_of(parsed(drafted(name)))
    corners, drawn = before.corners(), Curve(before.segments)
    line, done = edit(before, lot)
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


def moved_then_cut_off(line: Line, lot: Random) -> tuple[Line, list[str]]:
    """One of its corners cut off, in two of five after an edit by hand."""
    return edits.in_turn(line, [*lot.sample(list(edits.HAND), int(lot.random() < 0.4)), edits.corner_cut_off], lot)


def test_a_corner_that_was_cut_off_is_asked_about_however_little_the_line_turns_at_one_end():
    answers = [try_corners(seed, moved_then_cut_off) for seed in range(300)]
    assert [answer for answer in answers if answer[0] == "wrong"] == []
    assert Counter(answer[0] for answer in answers)["asked"] > 280
