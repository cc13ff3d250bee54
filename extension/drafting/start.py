"""Whose sleeve it is: the measurements from which a draft starts."""
from __future__ import annotations

from collections.abc import Mapping

import inkex

from extension.document.parts import find_parts
from extension.document.record import read_record
from geometry.measuring.measurements import BODICE, BODY, DEFAULTS, EXAMPLE, require_a_body

#: Where the measurements come from, and the words for it in the dialog; the first is the default.
STARTS = {"typed": "what is typed here; nothing at all: the example", "sleeve": "those of the selected sleeve, or the only one"}

EXAMPLE_LABEL = "Example (invented)"

#: What belongs to the client, and comes with her from her earlier sleeve.
_HERS = ("label", "unit", *(measurement.name for measurement in (*BODY, *BODICE)), "front_share")


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
        return {**typed, **EXAMPLE, "label": EXAMPLE_LABEL}
    require_a_body({name: str(typed[name]) for name in EXAMPLE})
    return dict(typed)


def _of_the_sleeve(svg: inkex.SvgDocumentElement) -> dict:
    from extension.document.reading import find_sleeve  # rarely needed, and it brings all that reads edited sleeves

    layer = find_sleeve(svg)
    record = {**DEFAULTS, **read_record(layer, next(iter(find_parts(layer, "seam line")), None))["typed"]}
    return {name: record[name] for name in (*_HERS, "fitting_changes") if name in record}
