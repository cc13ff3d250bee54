"""How the tool stands in her document: our layers and objects, and the record of a sleeve.

One door to the rest that has to do with it too: true scale, free room, path data.

Our objects carry attributes in a namespace of our own (:data:`SLEEVE_NS`), because the host renames
ids and she renames labels.  Tried in Inkscape 1.2.2 and 1.4:

==========================================  ====================================================
saved as Inkscape SVG or as plain SVG       attributes, and so the record, survive; plain
                                            SVG drops labels and makes a plain group of each layer
duplicated, grouped, moved, simplified      the object keeps its attributes; a duplicated layer
                                            keeps its record, so the copy is a sleeve of its own
ungrouped                                   what was inside keeps its attributes; those of the
                                            group itself, and so its record, are gone
rectangle or text turned into a path        gone
==========================================  ====================================================
"""
from __future__ import annotations

import json
import math

import inkex
from lxml import etree

from extension import VERSION
from extension.document.free_room import free_room
from extension.document.paths import curve_from_path, path_data
from extension.document.scale import DocumentHasNoSize, millimetres_to_user, to_millimetres
from geometry.refusal import Refused

__all__ = [
    "SLEEVE_NS",
    "DocumentHasNoSize",
    "LostRecord",
    "curve_from_path",
    "find_parts",
    "free_room",
    "mark",
    "millimetres_to_user",
    "new_layer",
    "new_sleeve_layer",
    "number_of",
    "part_of",
    "path_data",
    "read_record",
    "text_of",
    "to_millimetres",
    "write_record",
]

#: The namespace of our attributes and elements.
SLEEVE_NS = "urn:x-tiered-sleeve"
_PREFIX = "sleeve"
_PART = f"{{{SLEEVE_NS}}}part"
_RECORD = f"{{{SLEEVE_NS}}}record"
_GROUPMODE, _LABEL = (f"{{{inkex.NSS['inkscape']}}}{name}" for name in ("groupmode", "label"))
etree.register_namespace(_PREFIX, SLEEVE_NS)
#: Compiled, since a walk in Python takes far longer.
_FIND = etree.XPath("descendant-or-self::*[@s:part = $part]", namespaces={"s": SLEEVE_NS})
etree.register_namespace("inkscape", inkex.NSS["inkscape"])


#: What options, and what may be chosen in them, were called in version 0.1.0.
_EARLIER_NAMES = {"head_raise": "top_edge_raise", "cap_depth": "cap_height", "pitches": "spacing", "pitch_snap": "spacing_snap"}
_EARLIER_VALUES = {"armhole_keep": {"depth": "height"}}


class LostRecord(Refused):
    """A sleeve's record is missing or damaged."""


# --- our layers and objects -----------------------------------------------------------------------


def mark(element: inkex.BaseElement, part: str, **attributes) -> inkex.BaseElement:
    """Make ``element`` one of our objects and return it.

    ``part`` says what it is ("tier line", "seam line"); each further attribute is a text or a
    number, and a number is read back by :func:`number_of` to the last bit.
    """
    element.attrib[_PART] = part
    for name, value in attributes.items():
        element.attrib[_own(name)] = value if isinstance(value, str) else repr(float(value))
    return element


def part_of(element: inkex.BaseElement) -> str | None:
    """Return which part of a sleeve ``element`` is, or None where it is not ours."""
    return element.attrib.get(_PART)


def find_parts(root: inkex.BaseElement, part: str) -> list[inkex.BaseElement]:
    """Return the elements marked as ``part`` in and under ``root``, in document order."""
    return _FIND(root, part=part)


def text_of(element: inkex.BaseElement, name: str) -> str | None:
    """Return our attribute ``name``, or None where there is none."""
    return element.attrib.get(_own(name))


def number_of(element: inkex.BaseElement, name: str) -> float:
    """Return our attribute ``name`` as a number.  Raises :class:`Refused` where it is missing or damaged."""
    text = text_of(element, name)
    try:
        number = float(text)
    except (TypeError, ValueError):
        number = math.nan
    if not math.isfinite(number):
        called = element.get("inkscape:label") or part_of(element) or "an object"
        if text is None:
            raise Refused("number lost", called=called, name=name.replace("_", " "))
        raise Refused("number unreadable", called=called, name=name.replace("_", " "), typed=text)
    return number


def new_layer(parent: inkex.BaseElement, label: str, part: str, **style) -> inkex.Layer:
    """Append a layer to ``parent`` and return it; ``stroke_width=…`` in style means stroke-width."""
    layer = inkex.Layer()
    layer.attrib[_GROUPMODE], layer.attrib[_LABEL] = "layer", label
    if style:
        layer.style = inkex.Style({name.replace("_", "-"): value for name, value in style.items()})
    parent.append(layer)
    return mark(layer, part)


def new_sleeve_layer(svg: inkex.SvgDocumentElement, label: str, origin=(0.0, 0.0), part: str = "sleeve") -> inkex.Layer:
    """Append an outermost layer of ours: inside it one unit is one true millimetre.

    ``origin`` (x, y) in user units is where the layer's own origin comes to lie.

    Raises :class:`DocumentHasNoSize`, see :func:`viewport`.
    """
    scale = millimetres_to_user(svg)
    _declare_namespaces(svg)
    layer = new_layer(svg, label, part)
    place_layer(layer, origin, scale)
    return layer


def place_layer(layer: inkex.Layer, origin, scale: inkex.Transform, corner=(0.0, 0.0)) -> None:
    """Put a layer's ``corner`` (its millimetres) at ``origin`` (user units of the root), at true scale."""
    shift = (origin[0] - scale.a * corner[0], origin[1] - scale.d * corner[1])
    # Past inkex, which would round to six digits.
    numbers = tuple(map(float, (*shift, scale.a, scale.d)))
    layer.attrib["transform"] = "translate({!r}, {!r}) scale({!r}, {!r})".format(*numbers)


def _own(name: str) -> str:
    return f"{{{SLEEVE_NS}}}{name.replace('_', '-')}"


def _declare_namespaces(svg: inkex.SvgDocumentElement) -> None:
    """Declare our prefix and the editor's once at the root, else lxml repeats them on every element.

    The declaration outlives the attribute that brought it.
    """
    for name in (_PART, _LABEL):
        if name not in svg.attrib:
            svg.attrib[name] = ""
            del svg.attrib[name]


# --- the record -----------------------------------------------------------------------------------


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
    for keeper in (layer, *find_parts(layer, "seam line")):
        keeper.attrib[_RECORD] = text


def read_record(layer: inkex.BaseElement, seam: inkex.BaseElement | None = None) -> dict:
    """Return what :func:`write_record` kept, and ``version``; the copy on ``seam`` where the layer has lost it.

    Raises :class:`LostRecord` where there is no record or it cannot be read.
    """
    earlier = _record_element(layer)
    text = layer.attrib.get(_RECORD) if earlier is None else earlier.text or ""
    if text is None and seam is not None:
        text = seam.attrib.get(_RECORD)
    called = layer.get("inkscape:label") or "This sleeve"
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
    return {**record, "typed": renamed}


def _record_element(layer: inkex.BaseElement) -> etree._Element | None:
    """The element in the layer's metadata that holds its record where an earlier version wrote it last."""
    return layer.find(f"{{{inkex.NSS['svg']}}}metadata/{_RECORD}")
