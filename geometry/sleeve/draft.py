"""How a sleeve is made: from what she typed to everything that is drawn, in one call.

What she typed is settled (:mod:`geometry.sleeve.settling`), on what then holds the Seam line is drafted
(:mod:`geometry.sleeve.block`), along its length the tiers are planned (:mod:`geometry.sleeve.spacing`), and on
the Seam line, as drafted or as she has edited it, the rest is drawn.
"""
from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Callable, NamedTuple

from geometry.curves.curve import Curve
from geometry.measuring.given import Given
from geometry.measuring.measurements import USUAL, Style
from geometry.measuring.toile import FittingChange, longer_by
from geometry.refusal import Refused
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.arm import Level
from geometry.sleeve.block import Block, draft_block
from geometry.sleeve.fit import DRAWN_AS_DRAFTED, FitRow, Fullness, fit_rows, fullness_at_underarm
from geometry.sleeve.hem import MOST_EASED, eased_share
from geometry.sleeve.layouts import lay_lines
from geometry.sleeve.marks import Notch, TierLine, below_top_edge, body_level_line, notches, underarm_line
from geometry.sleeve.openings import is_shaped
from geometry.sleeve.outline import Outline
from geometry.sleeve.settling import Settled, least_cap_width, settle
from geometry.sleeve.spacing import TierPlan, plan_tiers

#: A tier line this near to where it was planned stands there, millimetres.
AS_PLANNED = 0.05


#: A tier line ends on the seam at least this far above the hem's corner, millimetres.
LEAST_ABOVE_HEM_END = 1.0


class Decided(NamedTuple):
    """What is decided before anything is drawn: what holds, the block as drafted, where tiers go, and what the toile has changed."""

    settled: Settled
    block: Block
    plan: TierPlan
    changes: tuple[FittingChange, ...] = ()


class Draft(NamedTuple):
    """Everything that is drawn, in millimetres in the frame of the sleeve.

    ``seam`` is the Seam line on which all else is drawn: the block's, or what she has made of it.
    """

    decided: Decided
    seam: Outline
    cutting: Curve
    tiers: tuple[TierLine, ...]
    notches: tuple[Notch, ...]
    fit: tuple[FitRow, ...]
    fullness: Fullness | None

    @property
    def settled(self) -> Settled:
        """What holds for this sleeve."""
        return self.decided.settled

    @property
    def block(self) -> Block:
        """The block as it was drafted."""
        return self.decided.block

    @property
    def arm(self) -> tuple[Level, ...]:
        """Where the girth of the arm is known, from the top down: as drafted, and below where the hem was."""
        return (*(level for level in self.block.levels if level.name != "underarm"), *self.settled.below)

    @property
    def underarm(self) -> Curve:
        """The line from underarm point to underarm point, bent where the sleeve was spread."""
        level = next((level for level in self.block.levels if level.name == "underarm"), None)
        line = None if level is None else body_level_line(self.seam, level)
        return underarm_line(self.seam) if line is None else line

    @property
    def cap_height_from(self) -> str:
        """Where the cap height comes from: "measured", "rule", "matched" to the bodice, or "edited" since."""
        if abs(below_top_edge(self.seam, self.underarm) - self.block.cap_height) > DRAWN_AS_DRAFTED:
            return "edited"
        if self.block.matches and self.settled.style.armhole_keep == "width":
            return "matched"
        return "measured" if self.settled.cap_measured else "rule"


def draft_sleeve(
    given: Given, tiers: int, spacing_snap: str = "none", unit: str = "cm", style: Style = USUAL, changes: Sequence[FittingChange] = (),
    rest: Callable[[Draft], object] = lambda draft: None,
) -> Draft:
    """Return the sleeve for the measurements as ``given``, with so many ``tiers``, after the ``changes`` that a toile has taught.

    ``spacing_snap`` and ``unit`` are for the spacing of the style, see :func:`plan_tiers`.  Raises
    :class:`Refused` where it can't be made, with what would do instead, see :mod:`geometry.sleeve.remedies`; of that the
    ``rest`` can be made as well, what is made of a draft besides.

    >>> from geometry.measuring.given import read_given
    >>> from geometry.measuring.measurements import DEFAULTS
    >>> draft = draft_sleeve(read_given(DEFAULTS, "in"), tiers=6)
    >>> len(draft.tiers), round(draft.seam.edge("hem").length(), 1)
    (6, 266.7)
    """
    try:
        return _drafted(decide(given, tiers, spacing_snap, unit, style, changes), given.slant)
    except Refused as refusal:
        from geometry.sleeve.remedies import Asked, with_remedies  # rarely needed

        def decided(asked: Asked) -> Decided:
            return decide(asked.given, asked.tiers, spacing_snap, unit, asked.style, changes)

        asked = Asked(given, style, tiers)
        raise with_remedies(refusal, asked, decided, lambda other: rest(_drafted(decided(other), other.given.slant))) from refusal


def _drafted(decided: Decided, slant: float) -> Draft:
    seam = drafted_seam(decided)
    style, top = decided.settled.style, decided.settled.top
    tiers = lay_lines(seam, decided.plan, style.tier_layout, slant, decided.block.spread, top.stitched)
    check_within_hem(seam, tiers, decided.plan)
    return draft_on(decided, seam, tiers, notches(seam, decided.block.matches, tiers))


def decide(
    given: Given, tiers: int, spacing_snap: str = "none", unit: str = "cm", style: Style = USUAL, changes: Sequence[FittingChange] = ()
) -> Decided:
    """Return everything but what is drawn on the Seam line.  Arguments and errors as of :func:`draft_sleeve`."""
    settled = settle(given, style)
    block = draft_block(settled)
    plan = plan_tiers(settled.length + longer_by(changes), tiers, spacing_snap, unit, style.spacing, style.tier_part, settled.top.stitched)
    check_second_line(plan, settled.top_edge_raise)
    check_last_line(plan, settled.length - hem_ends(block))
    if block.spread:  # its top edge is bent: what is turned in there is cut by itself
        settled = settled._replace(folded=("hem",))
    return Decided(settled, block, plan, tuple(changes))


def drafted_seam(decided: Decided) -> Outline:
    """Return the Seam line before any edit by hand: the block's, after the changes that a toile has taught."""
    if not decided.changes:
        return decided.block.seam
    from geometry.sleeve.refitting import refitted  # rarely needed

    return refitted(decided.block.seam, decided.block.levels, decided.changes)


def stand_as_planned(seam: Outline, tiers: Sequence[TierLine], plan: TierPlan) -> bool:
    """Whether every tier line stands where the plan put it."""
    return len(tiers) == len(plan.levels) and all(
        abs(below_top_edge(seam, tier.curve) - level) < AS_PLANNED for tier, level in zip(tiers, plan.levels)
    )


def draft_on(decided: Decided, seam: Outline, tiers: Sequence[TierLine], places: Sequence[Notch]) -> Draft:
    """Return the sleeve as it is drawn on ``seam``, the drafted one or one that she has edited."""
    settled, block = decided.settled, decided.block
    rows = fit_rows(seam, block.levels, tiers, settled.top_edge_body, settled.style.wearer, settled.below)
    return Draft(
        decided=decided,
        seam=seam,
        cutting=cut_around(seam, settled),
        tiers=tuple(tiers),
        notches=tuple(places),
        fit=tuple(rows),
        fullness=fullness_at_underarm(rows, block.levels, width_from(decided), least_cap_width(settled.top_edge_drawn)),
    )


def width_from(decided: Decided) -> str:
    """Return where the width at the underarm comes from: the bust "rule", her "cap width", or the "match" with the bodice."""
    if decided.block.matches and decided.settled.style.armhole_keep == "height":
        return "match"
    return "cap width" if decided.settled.cap_width_typed else "rule"


def cut_around(seam: Outline, settled: Settled) -> Curve:
    """Return the Cutting line around ``seam``.  Raises :class:`Refused` where the allowances are too wide for it."""
    try:
        return _cut_around(seam, tuple(settled.allowances.items()), folded_on(seam, settled))
    except Refused as refusal:
        raise Refused("allowances too wide", problem=refusal.problems[0]) from refusal


@lru_cache(maxsize=16)
def _cut_around(seam: Outline, allowances: tuple[tuple[str, float], ...], folded: tuple[str, ...]) -> Curve:
    """Return the Cutting line around a seam that is asked for again: by what is drawn, by what is checked, by what is cut."""
    return cutting_line(seam, dict(allowances), folded)


def folded_on(seam: Outline, settled: Settled) -> tuple[str, ...]:
    """Return the edges along which the cloth is folded: not a hem that is scalloped, opened or too curved to be turned up,
    which is faced, nor such a top edge.
    """
    hem = seam.edge("hem")
    faced = is_shaped(hem, seam.openings("hem")) or abs(eased_share(hem, settled.hem_allowance)) > MOST_EASED
    return tuple(name for name in settled.folded if not (seam.openings(name) or (name == "hem" and faced)))


def check_second_line(plan: TierPlan, top_edge_raise: float) -> None:
    """Raise :class:`Refused` where the first line below a raised top edge would lie above its ends."""
    below = [level for level in plan.levels if level > 0]
    if below and below[0] <= top_edge_raise:
        raise Refused("second tier line above the ends", rise=top_edge_raise, second=below[0])


def hem_ends(block: Block) -> float:
    """Return at which height the hem ends at the seams, before anything was spread."""
    return float(block.spread.front.end[1] if block.spread else block.seam.corner("front hem")[1])


def check_last_line(plan: TierPlan, higher: float) -> None:
    """Raise :class:`Refused` where the last tier line would run out of a hem that lies ``higher`` at the seams."""
    least = higher + LEAST_ABOVE_HEM_END
    if len(plan.levels) > 1 and higher > 0 and plan.to_hem and plan.last_section < least:
        raise Refused("last tier line past the ends of the hem", last=plan.last_section, least=least)


def check_within_hem(seam: Outline, tiers: Sequence[TierLine], plan: TierPlan) -> None:
    """Raise :class:`Refused` where the last tier line would run out through the curved hem between its ends: no strip hangs from there."""
    if len(tiers) > 1 and tiers[-1].curve.crossings(seam.edge("hem")):
        raise Refused("last tier line through the hem", tier=tiers[-1].number, last=plan.last_section)
