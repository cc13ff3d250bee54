"""A whole sleeve from measurements: block, cutting line, tier lines, marks and fit, in one call."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from geometry.curves.curve import Curve
from geometry.measuring.lengths import INCH, write_length
from geometry.measuring.measurements import Style
from geometry.refusal import Refused
from geometry.sleeve.allowances import cutting_line
from geometry.sleeve.block import Block, draft_block
from geometry.sleeve.fit import fit_rows
from geometry.sleeve.marks import Notch, TierLine, notches, tier_lines
from geometry.sleeve.outline import Outline
from geometry.sleeve.spacing import TierPlan, plan_tiers

#: What is turned in at the top edge where nothing else is asked: 1/2 in elastic, room to thread it, and
#: the turn (common practice, no source).
RULE_CASING = INCH


class Draft(NamedTuple):
    """Everything that is drawn, in millimetres in the frame of the sleeve.

    ``measured`` are the measurements with what the style decides filled in.  ``allowances`` tells for
    every edge how far out it is cut, and ``folded`` which of them are folded along the seam line.
    """

    block: Block
    cutting: Curve
    plan: TierPlan
    tiers: list
    notch_distances: dict
    notches: tuple
    measured: Mapping[str, float]
    style: Style
    allowances: Mapping[str, float]
    folded: tuple
    fit: tuple
    elastic: float


class Decided(NamedTuple):
    """What the measurements and the style decide before anything is drawn on an outline; see :class:`Draft`."""

    block: Block
    plan: TierPlan
    measured: Mapping[str, float]
    style: Style
    allowances: Mapping[str, float]
    folded: tuple
    elastic: float


def draft_sleeve(m: Mapping[str, float], tiers: int, spacing_snap: str = "none", unit: str = "cm", style: Style = Style()) -> Draft:
    """Return the sleeve for measurements ``m`` (millimetres, named as in ``measurements.TABLE``).

    Raises :class:`geometry.refusal.Refused` with a sentence in ``unit``.
    """
    decided = decide(m, tiers, spacing_snap, unit, style)
    seam = decided.block.seam
    return draft_on(decided, seam, tier_lines(seam, decided.plan.levels), notches(seam, decided.block.matches))


def decide(m: Mapping[str, float], tiers: int, spacing_snap: str, unit: str, style: Style) -> Decided:
    """Return everything but what is drawn on the Seam line.  Arguments and errors as of :func:`draft_sleeve`."""
    block = draft_block(m, unit, style)
    m = {**m, "sleeve_length": block.length, "hem_girth": m["hem_girth"] or block.levels[-1].girth}
    folded = folded_edges(m, style)
    plan = plan_tiers(block.length, tiers, spacing_snap, unit, style.spacing)
    check_second_line(plan, m["top_edge_raise"], unit)
    return Decided(
        block=block,
        plan=plan,
        measured=m,
        style=style,
        allowances=edge_allowances(m, folded),
        folded=folded,
        elastic=style.elastic_ratio * m["off_shoulder_girth"] if style.finish == "elastic" else 0.0,
    )


def check_second_line(plan: TierPlan, top_edge_raise: float, unit: str) -> None:
    """Raise :class:`Refused` where the second tier line would lie above the ends of a raised top edge."""
    if len(plan.levels) > 1 and plan.levels[1] <= top_edge_raise:
        raise Refused(
            f"Raise of the top edge: {write_length(top_edge_raise, unit)} was read, but the second tier line lies only"
            f" {write_length(plan.levels[1], unit)} below the middle of the top edge, above its ends. Raise the top edge less, or choose fewer tiers."
        )


def draft_on(decided: Decided, seam: Outline, tiers: Sequence[TierLine], places: Sequence[Notch]) -> Draft:
    """Return the sleeve as it is drawn on ``seam``, the drafted one or one that she has edited."""
    return Draft(
        **{**decided._asdict(), "block": decided.block._replace(seam=seam)},
        cutting=cut_around(seam, decided),
        tiers=list(tiers),
        notch_distances={notch.side: notch.from_underarm for notch in places},
        notches=tuple(places),
        fit=tuple(fit_rows(seam, decided.block.levels, tiers, decided.block.top_edge_width)),
    )


def cut_around(seam: Outline, decided: Decided) -> Curve:
    """Return the Cutting line around ``seam``.  Raises :class:`Refused` where the allowances are too wide for it."""
    try:
        return cutting_line(seam, decided.allowances, decided.folded)
    except ValueError as error:
        raise Refused(
            f"Seam allowance and hem allowance: {error}. The underarm seam turns too sharply for them;"
            " levels farther apart, or more alike in girth, will do too."
        ) from error


def folded_edges(m: Mapping[str, float], style: Style) -> tuple:
    """Return the edges along which the cloth is folded: the hem, and the top edge for a casing or a facing in one.

    Raises :class:`Refused` for a casing on a raised top edge, which would not lie flat.
    """
    if style.finish == "elastic" and m["top_edge_raise"]:
        raise Refused(
            "Raise of the top edge: a casing is folded at the top edge and lies flat only on a straight one."
            " Give 0 as the raise, or choose a band or a facing."
        )
    return ("hem", "top edge") if style.finish != "band" and not m["top_edge_raise"] else ("hem",)


def edge_allowances(m: Mapping[str, float], folded: tuple = ("hem",)) -> dict[str, float]:
    """Return the allowance of every edge of the outline, in millimetres."""
    seam = dict.fromkeys(("top edge", "front armhole", "front underarm", "back underarm", "back armhole"), m["seam_allowance"])
    top = {"top edge": m["casing_allowance"] or RULE_CASING} if "top edge" in folded else {}
    return {**seam, **top, "hem": m["hem_allowance"]}
