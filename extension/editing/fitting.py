"""The Fitting Changes on a sleeve in her document: which are made, which are taken back, and what is drawn then."""
from __future__ import annotations

from collections.abc import Sequence

from extension.document.reading import SleeveInDocument, decide_again
from extension.editing.checking import last_tolerance
from extension.editing.remeasuring import Remeasured, aswritten, measured_on
from geometry.measuring.toile import FittingChange, write_changes
from geometry.refusal import Refused
from geometry.sleeve.draft import Decided, stand_as_planned
from geometry.sleeve.marks import TierLine, below_top_edge, hem_around
from geometry.sleeve.outline import Outline
from geometry.sleeve.refitting import refitted, taken_back


def fitted(sleeve: SleeveInDocument, made: Sequence[FittingChange], number: int | None, change: FittingChange) -> Remeasured:
    """Return the sleeve as it is to be drawn: of the changes ``made`` the one of this ``number`` is taken back, and a new one made.

    Raises :class:`Refused` where the sleeve can't be changed so.
    """
    before = decide_again(sleeve.typed, sleeve.given)
    levels, kept, outline = before.block.levels, list(made), sleeve.outline
    if number is not None:
        outline = taken_back(outline, levels, made, number)
        del kept[number]
    if change.written:
        outline = refitted(outline, levels, [change], kept)
        kept.append(change)
    changed = sleeve._replace(typed={**sleeve.typed, "fitting_changes": write_changes(kept)})
    after = decide_again(changed.typed, changed.given)
    outline = aswritten(outline)
    return measured_on(changed, outline, tiers_shared_out(sleeve, outline, before, after), last_tolerance(sleeve))


def tiers_shared_out(sleeve: SleeveInDocument, outline: Outline, before: Decided, after: Decided) -> list[TierLine]:
    """Return the tier lines on a sleeve that was made longer or shorter: where the plan puts them now if they stood as
    planned, else each as far down as its share of the length was.
    """
    lengths = [below_top_edge(seam, hem_around(seam)) for seam in (sleeve.outline, outline)]
    heights = [below_top_edge(sleeve.outline, tier.curve) for tier in sleeve.tiers]
    planned = stand_as_planned(sleeve.outline, sleeve.tiers, before.plan)
    wanted = after.plan.levels if planned else [height * lengths[1] / lengths[0] for height in heights]
    return [_lowered(tier, now - height) for tier, height, now in zip(sleeve.tiers, heights, wanted)]


def _lowered(tier: TierLine, by: float) -> TierLine:
    return tier._replace(curve=tier.curve.transformed(_down(by))) if abs(by) > 1e-9 else tier


def _down(by: float) -> list[list[float]]:
    return [[1.0, 0.0, 0.0], [0.0, 1.0, by]]


def which_change(typed: str, count: int) -> int | None:
    """Return which of ``count`` changes is to be taken back, from 0; None for "0".  Raises :class:`Refused`."""
    text = typed.strip().lower()
    if text in ("", "0"):
        return None
    number = count if text == "last" else int(text) if text.isdecimal() else 0
    if not 1 <= number <= count:
        raise Refused("no such change", typed=typed.strip(), count=count)
    return number - 1
