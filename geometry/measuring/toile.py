"""What the toile taught: by how much the sleeve is let out, taken in, lengthened or shortened, when and why.

Kept as one text, so that it goes with the measurements wherever those are kept:

    2026-11-26: elbow_front 3/8 in; longer_below_elbow -1 in (pinned tight) | 2026-12-01: …
"""
from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from geometry.measuring.lengths import HalfTyped, read_length, split_sign, with_unit, within
from geometry.refusal import Refused

#: The most that one change lets out or takes in, and the most by which it lengthens, millimetres (common practice, no source:
#: what asks for more asks for other measurements).
MOST_WIDER, MOST_LONGER = 100.0, 200.0

#: The levels at which front and back are let out or taken in, from the top down.
FITTED_LEVELS = ("top edge", "underarm", "upper arm", "elbow", "wrist", "hem")


class Amount(NamedTuple):
    """One thing that a change may do: positive lets out, lengthens or lowers; ``most`` either way, millimetres."""

    name: str
    label: str
    default: str
    most: float
    how: str


def _wider(level: str, side: str) -> Amount:
    what = f"The {side} end of the top edge goes outward" if level == "top edge" else f"The {side} is let out at the {level}"
    return Amount(f"{level.replace(' ', '_')}_{side}", f"{level.capitalize()}, {side}", "0", MOST_WIDER, f"{what} by so much; −1/4 takes in.")


AMOUNTS = {
    amount.name: amount
    for amount in (
        *(_wider(level, side) for level in FITTED_LEVELS for side in ("front", "back")),
        Amount("underarm_down", "Underarm down", "0", MOST_WIDER, "Lowers both underarm points; −1/2 raises them."),
        Amount("longer_above_elbow", "Longer above the elbow", "0", MOST_LONGER, "Between underarm and elbow, or hem; −1 shortens."),
        Amount("longer_below_elbow", "Longer below the elbow", "0", MOST_LONGER, "Between elbow and hem: −1 brings the hem 1 up."),
    )
}  # fmt: skip


class FittingChange(NamedTuple):
    """One change: its ``date`` (ISO 8601), what was ``written`` for which amounts, and the ``reason``, which may be empty."""

    date: str
    written: tuple[tuple[str, str], ...]
    reason: str

    @property
    def amounts(self) -> dict[str, float]:
        """By how much, in millimetres by the names of :data:`AMOUNTS`."""
        return {name: read_amount(AMOUNTS[name], text, "mm") for name, text in self.written}


def read_change(typed: Mapping[str, str], unit: str, date: str, reason: str) -> FittingChange:
    """Return the change that was ``typed`` under the names of :data:`AMOUNTS`; without those that are 0.

    ``unit`` (in or cm) holds for numbers that name none.  Raises :class:`Refused`, one for all that is wrong, or ``HalfTyped``.

    >>> read_change({"elbow_front": "3/8", "hem_back": "0"}, "in", "2026-11-26", "tight").written
    (('elbow_front', '3/8 in'),)
    """
    written, refusals = [], []
    for name, text in typed.items():
        try:
            if read_amount(AMOUNTS[name], text, unit):
                written.append((name, _signed(text, unit)))
        except Refused as refusal:
            refusals.append(refusal)
    if refusals:
        raise Refused.together(refusals)
    return FittingChange(date, tuple(written), " ".join(reason.replace("|", "/").split()))


def read_amount(amount: Amount, text: str, unit: str) -> float:
    """Return the amount in millimetres, with its sign.  Raises as :func:`read_change`.

    >>> read_amount(AMOUNTS["hem_front"], "-1/2", "in")
    -12.7
    """
    sign, size = split_sign(text)
    try:
        value = read_length(size, unit)
    except HalfTyped as half:
        raise HalfTyped(text, amount.label) from half
    except Refused as refusal:
        raise Refused("what was typed", label=amount.label, problem=refusal.problems[0]) from refusal
    if not within(0.0, value, amount.most):
        raise Refused("change out of range", label=amount.label, typed=text.strip(), most=amount.most)
    return sign * value


def _signed(text: str, unit: str) -> str:
    sign, size = split_sign(text)
    return f"{'-' if sign < 0 else ''}{with_unit(' '.join(size.split()), unit)}"


def write_changes(changes: Sequence[FittingChange]) -> str:
    """Return the text by which changes are kept, see :func:`read_changes`; empty for none."""
    return " | ".join(
        f"{change.date}: {'; '.join(f'{name} {text}' for name, text in change.written)}" + (f" ({change.reason})" if change.reason else "")
        for change in changes
    )


_KEPT = r"(\d{4}-\d\d-\d\d): ([^()|]+?)(?: \((.*)\))?"


def read_changes(text: str) -> tuple[FittingChange, ...]:
    """Return the changes that are kept in a text, the earliest first.  Raises :class:`Refused` where it can't be read.

    >>> read_changes("2026-11-26: elbow_front 3/8 in (tight) | 2026-12-01: hem_back -1 cm")[1].amounts
    {'hem_back': -10.0}
    """
    return tuple(_read_kept(part.strip()) for part in text.split("|")) if text.strip() else ()


def _read_kept(text: str) -> FittingChange:
    match = re.fullmatch(_KEPT, text)
    pairs = [tuple(" ".join(part.split()).split(" ", 1)) for part in match[2].split(";")] if match else []
    if not match or not all(len(pair) == 2 and pair[0] in AMOUNTS for pair in pairs):
        raise Refused("change unreadable", typed=text)
    change = FittingChange(match[1], tuple((name, amount) for name, amount in pairs), match[3] or "")
    try:
        change.amounts  # noqa: B018  read once, so that what can't be read says so here
    except HalfTyped as half:
        raise Refused("change unreadable", typed=text) from half
    return change


def opposite(amounts: Mapping[str, float]) -> dict[str, float]:
    """Return what takes a change back."""
    return {name: -amount for name, amount in amounts.items()}


def longer_by(changes: Sequence[FittingChange]) -> float:
    """Return how much longer than measured the sleeve has been made, millimetres."""
    return sum(change.amounts.get(name, 0.0) for change in changes for name in ("longer_above_elbow", "longer_below_elbow"))
