"""The record of a sleeve: what it was drafted from, kept in her drawing so that it can be read back."""
from __future__ import annotations

import json

import inkex
from lxml import etree

from extension import VERSION
from extension.document.names import LABEL, METADATA, RECORD
from extension.document.part_names import SEAM_LINE
from extension.document.parts import find_parts
from geometry.refusal import Refused

#: What options, and what may be chosen in them, were called in version 0.1.0.
_EARLIER_NAMES = {"head_raise": "top_edge_raise", "cap_depth": "cap_height", "pitches": "spacing", "pitch_snap": "spacing_snap"}
_EARLIER_VALUES = {"armhole_keep": {"depth": "height"}}


class LostRecord(Refused):
    """A sleeve's record is missing or damaged."""


def write_record(layer: inkex.BaseElement, record: dict) -> None:
    """Keep ``record`` (texts, numbers, lists and dicts of them) and our version in a sleeve's layer.

    An attribute, since Inkscape 1.4 complains of any element that it does not know.  A copy goes onto
    the Seam line, which outlives the layer when she ungroups it.  A record already there is replaced.
    It is JSON in ASCII, so that every character survives, those that XML cannot hold too.  Raises
    ValueError for NaN and infinity.
    """
    text = json.dumps({**record, "version": VERSION}, allow_nan=False)
    earlier = _record_element(layer)
    if earlier is not None:
        earlier.getparent().remove(earlier)
    for keeper in (layer, *find_parts(layer, SEAM_LINE)):
        keeper.attrib[RECORD] = text


def record_of(sleeve: inkex.BaseElement) -> dict:
    """Return the record that a sleeve's layer keeps, or else its Seam line.  Raises :class:`LostRecord`."""
    return read_record(sleeve, next(iter(find_parts(sleeve, SEAM_LINE)), None))


def typed_for(sleeve: inkex.BaseElement) -> dict:
    """Return what was typed for a sleeve other than the one that is meant, which may be damaged: then nothing."""
    try:
        typed = record_of(sleeve).get("typed")
    except LostRecord:
        return {}
    return typed if isinstance(typed, dict) else {}


def read_record(layer: inkex.BaseElement, seam: inkex.BaseElement | None = None) -> dict:
    """Return what :func:`write_record` kept, and ``version``; the copy on ``seam`` where the layer has lost it.

    Raises :class:`LostRecord` where there is no record or it cannot be read.
    """
    earlier = _record_element(layer)
    text = layer.attrib.get(RECORD) if earlier is None else earlier.text or ""
    if text is None and seam is not None:
        text = seam.attrib.get(RECORD)
    called = layer.attrib.get(LABEL) or "This sleeve"
    if text is None:
        raise LostRecord("no record", called=called)
    try:
        record = json.loads(text)
    except ValueError:
        record = None
    if not isinstance(record, dict):
        raise LostRecord("record damaged", called=called)
    return _in_words_of_today(record)


def _in_words_of_today(record: dict) -> dict:
    """Return a record with the names that its options have now, whatever an earlier version called them."""
    typed = record.get("typed")
    if not isinstance(typed, dict):
        return record
    renamed = {_EARLIER_NAMES.get(name, name): value for name, value in typed.items()}
    for name, values in _EARLIER_VALUES.items():
        if renamed.get(name) in values:
            renamed[name] = values[renamed[name]]
    if renamed.get("finish") == "elastic":
        renamed.setdefault("edge_fullness", "1")  # before it was asked, the top edge was as long as the body's
    return {**record, "typed": renamed}


def _record_element(layer: inkex.BaseElement) -> etree._Element | None:
    """The element in the layer's metadata that holds its record where an earlier version wrote it last."""
    return layer.find(f"{METADATA}/{RECORD}")
