"""The shape of a sleeve that she has edited by hand, carried to other sizes: its Seam line, its tier lines, checked in every size."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex

from extension.book.clients import Client
from extension.document.reading import decide_again, find_sleeve, read_sleeve
from extension.editing.checking import last_tolerance
from extension.editing.remeasuring import aswritten
from extension.wording import book as words
from extension.wording import notes
from geometry.editing.retrimming import remeasured_tiers, same_outline
from geometry.measuring.given import read_given
from geometry.sleeve.draft import Decided, Draft, draft_on, drafted_seam
from geometry.sleeve.grading import graded, graded_lines
from geometry.sleeve.layouts import lay_lines
from geometry.sleeve.marks import TierLine, notches
from geometry.sleeve.outline import Outline
from geometry.sleeve.truing import WRONG, true_up


class Shape(NamedTuple):
    """A sleeve as she has reshaped it: her Seam line and tier lines, the ``slant`` of those aslant, what it was drafted as, and how
    far the seams may differ, as she said when it was last measured.
    """

    seam: Outline
    tiers: Sequence[TierLine]
    slant: float
    decided: Decided
    tolerance: float


def shape_of_the_selected(svg: inkex.SvgDocumentElement) -> Shape:
    """Return the selected sleeve as she has reshaped it.  Raises :class:`Refused` where it can't be read."""
    sleeve = read_sleeve(find_sleeve(svg))
    tiers = remeasured_tiers(sleeve.outline, sleeve.tiers, sleeve.seat.growth.apply(sleeve.corners[:2])).lines
    return Shape(sleeve.outline, tiers, sleeve.given.slant, decide_again(sleeve.typed, sleeve.given), last_tolerance(sleeve))


def reshaped(draft: Draft, shape: Shape, client: Client) -> tuple[Draft, list[str]]:
    """Return a client's sleeve with a shape that was edited on another, in its own size, and what is to be said of it.

    Raises :class:`Refused` where the shape has no place in that size.
    """
    base, decided = shape.decided, draft.decided
    # Fitting changes of hers that this size has not are a part of the shape; those that it has too must not come twice.
    before = drafted_seam(base) if decided.changes == base.changes else base.block.seam
    hers = before if same_outline(shape.seam, aswritten(before)) else shape.seam  # as read, a line left alone is rounded
    seam = graded(hers, before, draft.seam, base.block.levels, decided.block.levels)
    slant = read_given(client.typed, client.typed["unit"]).slant
    planned = list(draft.tiers) if seam is draft.seam else planned_lines(seam, decided, slant)
    if base.plan.numbers != decided.plan.numbers:
        made, adrift, said = planned, (), [words.tiers_as_planned(client.label)]
    else:
        wanted = graded_lines(shape.tiers, planned_lines(shape.seam, base, shape.slant), planned)
        made, adrift = remeasured_tiers(seam, wanted, seam.edge("top edge").nodes[[0, -1]])
        said = []
    made = sorted(made, key=lambda tier: tier.number)
    if seam is draft.seam and made == list(draft.tiers):
        return draft, said
    carried = draft_on(decided, seam, made, notches(seam, decided.block.matches, made))
    return carried, [*said, *faults_in(carried, adrift, shape.tolerance, client)]


def planned_lines(seam: Outline, decided: Decided, slant: float) -> list[TierLine]:
    """Return where the plan puts the tier lines on a Seam line."""
    return lay_lines(seam, decided.plan, decided.settled.style.tier_layout, slant, decided.block.spread, decided.settled.top.stitched)


def faults_in(draft: Draft, adrift: Sequence[int], tolerance: float, client: Client) -> list[str]:
    """Return what Re-measure would tell her to put right in a size, a sentence each."""
    wrong = [check for check in true_up(draft, adrift, tolerance) if check.verdict == WRONG]
    told = [notes.trued(check.kind, check.subject, check.numbers, check.verdict, client.typed["unit"]) for check in wrong]
    return [words.put_right(client.label, title, measured) for title, measured, _ in told]
