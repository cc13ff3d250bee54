"""Whose sleeve it is: the measurements from which a draft starts."""
from __future__ import annotations

from collections.abc import Mapping

import inkex

from extension.document.record import record_of
from geometry.measuring.given import read_given
from geometry.measuring.measurements import BODICE, BODY, DEFAULTS, EXAMPLE, example_in, read_style, require_a_body
from geometry.measuring.toile import read_changes
from geometry.pieces.all_pieces import pieces_of
from geometry.sleeve.draft import Decided, Draft, draft_sleeve

#: Where the measurements come from, and the words for it in the dialog; the first is the default.
STARTS = {
    "typed": "what is typed here; nothing at all: the example", "sleeve": "those of the selected sleeve, or the only one",
    "book": "those of the client of this name in the book below",
}  # fmt: skip

EXAMPLE_LABEL = "Example (invented)"

#: What belongs to the client, and comes with her from her earlier sleeve.
HERS = ("label", "unit", "wearer", *(measurement.name for measurement in (*BODY, *BODICE)), "front_share", "fitting_changes")


def whose(svg: inkex.SvgDocumentElement, typed: Mapping[str, object]) -> dict:
    """Return what was typed with the measurements that are meant.

    Those of the selected sleeve where she chose so, whatever else stands in the dialog.  Where neither a
    name nor any measurement that only a client has is typed, those of the example, named as such.  Raises
    :class:`~geometry.measuring.measurements.StillToType` where some are typed and others are not, and
    :class:`~geometry.refusal.Refused` where there is no such sleeve.
    """
    if typed["start"] == "sleeve":
        return {**typed, **_of_the_sleeve(svg)}
    if not str(typed["label"]).strip() and not any(str(typed[name]).strip() for name in EXAMPLE):
        return {**typed, **example_in(str(typed["unit"])), "label": EXAMPLE_LABEL}
    require_a_body({name: str(typed[name]) for name in EXAMPLE})
    return dict(typed)


def _of_the_sleeve(svg: inkex.SvgDocumentElement) -> dict:
    from extension.document.reading import find_sleeve  # rarely needed, and it brings all that reads edited sleeves

    layer = find_sleeve(svg)
    record = {**DEFAULTS, **record_of(layer)["typed"]}
    return {name: record[name] for name in HERS if name in record}


def working_lines(typed: Mapping[str, object], decided: Decided) -> list[str]:
    """Return the sums of a sleeve, a line each, where she wants to see them."""
    if not typed.get("show_working"):
        return []
    from extension.wording.working import written  # rarely needed
    from geometry.sleeve.working import drafting_sums

    unit = str(typed["unit"])
    return [written(each, unit) for each in drafting_sums(read_given(typed, unit), decided, unit)]


def draft_as_typed(typed: Mapping[str, str], tiers: int) -> Draft:
    """Return the sleeve for everything as typed.  Raises as :func:`read_given` and :func:`draft_sleeve`."""
    changes = read_changes(typed.get("fitting_changes", ""))
    unit = typed["unit"]
    return draft_sleeve(read_given(typed, unit), tiers, typed["spacing_snap"], unit, read_style(typed), changes, pieces_of)
