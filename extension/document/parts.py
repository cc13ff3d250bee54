"""How the tool stands in her document: our layers and objects, found again by their marks.

Our objects carry attributes in a namespace of our own (:mod:`extension.document.names`), because the host renames
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

import math
from collections.abc import Mapping, Sequence

import inkex
from lxml import etree

from extension.document.names import GROUP, GROUPMODE, LABEL, PART, SLEEVE_NS, own
from extension.document.part_names import SLEEVE
from extension.document.scale import millimetres_to_user
from geometry.refusal import Refused

#: Compiled, since a walk in Python takes far longer.
_FIND = etree.XPath("descendant-or-self::*[@s:part = $part]", namespaces={"s": SLEEVE_NS})


def mark(element: inkex.BaseElement, part: str, **attributes: str | float) -> inkex.BaseElement:
    """Make ``element`` one of our objects and return it.

    ``part`` says what it is ("tier line", "seam line"); each further attribute is a text or a
    number, and a number is read back by :func:`number_of` to the last bit.
    """
    element.attrib[PART] = part
    for name, value in attributes.items():
        element.attrib[own(name)] = value if isinstance(value, str) else repr(float(value))
    return element


#: What is put to the style of a line for which there is no place on the sleeve, and taken from it when there is again.
_AWAY = ";display:none"


def is_away(element: inkex.BaseElement) -> bool:
    """Whether one of our lines was put away."""
    return text_of(element, "away") == "yes"


def put_away(element: inkex.BaseElement, part: str) -> None:
    """Hide one of our lines, unless it was put away before."""
    if not is_away(element):
        element.attrib["style"] = element.attrib.get("style", "") + _AWAY
        mark(element, part, away="yes")


def bring_back(element: inkex.BaseElement, part: str) -> None:
    """Show one of our lines that was put away."""
    if is_away(element):
        element.attrib["style"] = element.attrib.get("style", "").replace(_AWAY, "")
        mark(element, part, away="no")


def new_part(
    parent: inkex.BaseElement, tag: str, attributes: Mapping[str, str], part: str, **further: str | float
) -> inkex.BaseElement:
    """Append an element to ``parent``, made one of our objects as by :func:`mark`, and return it.

    Past inkex, which looks for ids and styles in all that is appended: what we draw has none that anything refers to.
    """
    return mark(etree.SubElement(parent, tag, attributes), part, **further)


def part_of(element: inkex.BaseElement) -> str | None:
    """Return which part of a sleeve ``element`` is, or None where it is not ours."""
    return element.attrib.get(PART)


def find_parts(root: inkex.BaseElement, part: str) -> list[inkex.BaseElement]:
    """Return the elements marked as ``part`` in and under ``root``, in document order."""
    return _FIND(root, part=part)


def text_of(element: inkex.BaseElement, name: str) -> str | None:
    """Return our attribute ``name``, or None where there is none."""
    return element.attrib.get(own(name))


def number_of(element: inkex.BaseElement, name: str) -> float:
    """Return our attribute ``name`` as a number.  Raises :class:`Refused` where it is missing or damaged."""
    text = text_of(element, name)
    try:
        number = float(text)
    except (TypeError, ValueError):
        number = math.nan
    if not math.isfinite(number):
        called = element.attrib.get(LABEL) or part_of(element) or "an object"
        if text is None:
            raise Refused("number lost", called=called, name=name.replace("_", " "))
        raise Refused("number unreadable", called=called, name=name.replace("_", " "), typed=text)
    return number


def new_layer(parent: inkex.BaseElement, label: str, part: str, **style: object) -> inkex.Layer:
    """Append a layer to ``parent`` and return it; ``stroke_width=…`` in style means stroke-width."""
    layer = new_part(parent, GROUP, {GROUPMODE: "layer", LABEL: label}, part)
    if style:
        layer.style = inkex.Style({name.replace("_", "-"): value for name, value in style.items()})
    return layer


def new_sleeve_layer(svg: inkex.SvgDocumentElement, label: str, origin: Sequence[float] = (0.0, 0.0), part: str = SLEEVE) -> inkex.Layer:
    """Append an outermost layer of ours: inside it one unit is one true millimetre.

    ``origin`` (x, y) in user units is where the layer's own origin comes to lie.

    Raises :class:`DocumentHasNoSize`, see :func:`viewport`.
    """
    scale = millimetres_to_user(svg)
    _declare_namespaces(svg)
    layer = new_layer(svg, label, part)
    place_layer(layer, origin, scale)
    return layer


def place_layer(layer: inkex.Layer, origin: Sequence[float], scale: inkex.Transform, corner: Sequence[float] = (0.0, 0.0)) -> None:
    """Put a layer's ``corner`` (its millimetres) at ``origin`` (user units of the root), at true scale."""
    shift = (origin[0] - scale.a * corner[0], origin[1] - scale.d * corner[1])
    # Past inkex, which would round to six digits.
    numbers = tuple(map(float, (*shift, scale.a, scale.d)))
    layer.attrib["transform"] = "translate({!r}, {!r}) scale({!r}, {!r})".format(*numbers)


def _declare_namespaces(svg: inkex.SvgDocumentElement) -> None:
    """Declare our prefix and the editor's once at the root, else lxml repeats them on every element.

    The declaration outlives the attribute that brought it.
    """
    for name in (PART, LABEL):
        if name not in svg.attrib:
            svg.attrib[name] = ""
            del svg.attrib[name]
