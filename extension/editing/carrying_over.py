"""Carries lines and lettering that were drawn aside over to the elements that she has in her document.

Hers keep their ids, colours, names and places in the stack; one that is right already is not touched.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.names import GROUPMODE, INKSCAPE, LABEL, OURS, PATH
from extension.document.numbers import NUMBER, numbers_in
from extension.document.part_names import LEVEL_LINE, LINES, PLACE_NOTCH
from extension.document.parts import bring_back, mark, part_of, put_away, text_of
from extension.document.paths import curve_from_path, path_data
from extension.document.reading import Lines, label_of, written_alike
from extension.document.scale import affine_of, can_be_seen, millimetres_to_user, transform_within, written
from geometry.affine import Affine
from geometry.curves.curve import Curve
from geometry.editing.retrimming import ON_SEAM

#: Lettering is in its place already where it is within this, millimetres: less than a line is wide.
SAME_PLACE = 0.05

#: What says the shape of an object that is no path.
_SHAPES_OWN = ("x", "y", "width", "height", "rx", "ry", "r", "cx", "cy", "x1", "y1", "x2", "y2", "points")


class Fresh(NamedTuple):
    """A line as it should be: its curve, its label, and the attributes of its mark."""

    curve: Curve
    label: str
    attributes: dict


# --- lines ---------------------------------------------------------------------------------------------


def update_lines(lines: Lines, fresh: Sequence[Fresh], part: str) -> None:
    """Bring every element of a part to where it should be; what she deleted stays deleted, and a copy of a line of which
    there is one is hers from now on.
    """
    together = list(pairs(_ours_first(lines, fresh, part), fresh))
    left = [element for element in lines.all(part) if element not in [one for one, _ in together]]
    if part in _NAMED_BY:
        for element in left:  # level lines where there is no sleeve any more, and notches of places that are gone
            put_away(element, part)
    elif fresh:
        _set_aside(left, fresh[0].label)
    for element, new in together:
        (put_away if new.attributes.get("away") == "yes" else bring_back)(element, part)
        if not draws(element, new.curve, lines):
            set_curve(element, new.curve, lines)
        mark(element, part, **new.attributes)
        if LABEL not in element.attrib:
            element.attrib[LABEL] = new.label


def _ours_first(lines: Lines, fresh: Sequence[Fresh], part: str) -> list[inkex.BaseElement]:
    """Return the elements of a part, where there are more than lines those first that draw one already."""
    elements = lines.all(part)
    if part in _NAMED_BY or len(elements) <= len(fresh):
        return elements
    return sorted(elements, key=lambda element: not any(draws(element, new.curve, lines) for new in fresh))


def _set_aside(elements: Sequence[inkex.BaseElement], label: str) -> None:
    """Take our marks off lines that are copies of ours; a name tells what they are."""
    for element in elements:
        if not label_of(element):
            element.attrib[LABEL] = label
        for name in [name for name in element.attrib if name.startswith(OURS)]:
            del element.attrib[name]


#: Parts of which each line has a name of its own, and what says it.
_NAMED_BY = {LEVEL_LINE: "level", PLACE_NOTCH: "place"}


def pairs(old: Sequence[inkex.BaseElement], new: Sequence[Fresh]) -> Iterator[tuple]:
    """Yield (element, line) that belong together: by name where they have one, else in order."""
    name = next((name for name in _NAMED_BY.values() if new and name in new[0].attributes), None)
    if name is None:
        yield from zip(old, new)
        return
    by_name = {line.attributes[name]: line for line in new}
    named = level_of if name == "level" else lambda element: text_of(element, name)
    yield from ((element, by_name[named(element)]) for element in old if named(element) in by_name)


def level_of(element: inkex.BaseElement) -> str:
    """Return the level that a level line belongs to: our own mark, else what its label says."""
    return text_of(element, "level") or label_of(element).rpartition(" ")[0].lower()


def draws(element: inkex.BaseElement, curve: Curve, lines: Lines) -> bool:
    """Whether ``element`` draws ``curve`` (millimetres of the layer) already."""
    there = curve_from_path(element, lines.transform(element))
    return len(there) == 1 and written_alike(there[0], curve, ON_SEAM)


def set_curve(element: inkex.BaseElement, curve: Curve, lines: Lines) -> None:
    """Let ``element`` draw ``curve`` (millimetres of the layer), unless what it is in lets nothing be seen."""
    set_curves(element, [curve], lines)


def set_curves(element: inkex.BaseElement, curves: Sequence[Curve], lines: Lines) -> None:
    """Let ``element`` draw several curves, see :func:`set_curve`."""
    element.attrib.pop("transform", None)
    outside = lines.transform(element)
    if not can_be_seen(affine_of(outside)):
        return
    if element.tag != PATH:  # a rectangle or a line, say, that she drew and named
        element.tag = PATH
        for name in _SHAPES_OWN:
            element.attrib.pop(name, None)
    # A path of the editor's own effects would be worked out anew from what it once was.
    for leftover in ("path-effect", "original-d"):
        element.attrib.pop(f"{INKSCAPE}{leftover}", None)
    inward = np.array((-outside).matrix)
    element.attrib["d"] = " ".join(path_data(curve.transformed(inward)) for curve in curves)


# --- lettering ----------------------------------------------------------------------------------------


def update_lettering(
    layer: inkex.BaseElement, old: Sequence[inkex.BaseElement], new: inkex.BaseElement | None, may_add: bool, all_anew: bool
) -> None:
    """Letter one of our layers anew where it says something else; what she added to it stays.

    ``old`` is the layer in the document, if any, ``new`` the one drawn aside, if there is something to say.
    """
    if not old:
        if new is not None and may_add:
            layer.append(new)
        return
    ours = [child for child in old[0] if part_of(child) not in (None, *LINES)]  # lines that she has moved there stay
    if new is None:
        for child in ours:
            old[0].remove(child)
        if not len(old[0]):
            old[0].getparent().remove(old[0])
        return
    follow(old[0], new)
    if not all_anew and say_the_same(ours, list(new)):
        return
    for child in ours:
        old[0].remove(child)
    old[0].extend(list(new))


def follow(old: inkex.BaseElement, new: inkex.BaseElement) -> None:
    """Put a panel that stands below the notes where it belongs, since they may have grown, unless she has moved it."""
    place, before = text_of(new, "placed"), text_of(old, "placed")
    if place is None or before not in (None, old.attrib.get("transform")):
        return
    if before is None or np.abs(_read(place) - _read(before)).max() > SAME_PLACE:  # a tie of its last digit is no other place
        old.attrib["transform"] = place
        mark(old, part_of(old), placed=place)


def say_the_same(some: Sequence[inkex.BaseElement], others: Sequence[inkex.BaseElement]) -> bool:
    """Whether lines and lettering of ours say the same in the same places, whatever their colours."""
    return len(some) == len(others) and all(_says_the_same(one, other) for one, other in zip(some, others))


def _says_the_same(one: inkex.BaseElement, other: inkex.BaseElement) -> bool:
    if _words(one) != _words(other):
        return False
    mine, hers = _numbers(one), _numbers(other)
    if mine == hers:
        return True
    here, there = _read(mine), _read(hers)
    return here.shape == there.shape and bool(np.allclose(here, there, rtol=0, atol=SAME_PLACE))


def _words(element: inkex.BaseElement) -> tuple:
    texts = tuple(text.strip() for text in element.itertext() if text.strip())
    return part_of(element), re.sub(NUMBER, "", element.attrib.get("d", "")), texts


def _numbers(element: inkex.BaseElement) -> str:
    return " ".join(element.attrib.get(name, "0") for name in ("x", "y", "d"))


def _read(numbers: str) -> np.ndarray:
    return np.array(numbers_in(numbers))


# --- layers --------------------------------------------------------------------------------------------


def restore_layers(lines: Lines, fresh: Mapping[str, inkex.BaseElement]) -> None:
    """Make layers of ours layers again, with their names, where a plain SVG has made groups of them."""
    for element, name in [
        (lines.layer, "Sleeve"),
        *((element, new.attrib[LABEL]) for part, new in fresh.items() for element in lines.all(part)),
    ]:
        for attribute, value in ((GROUPMODE, "layer"), (LABEL, name)):
            if attribute not in element.attrib:
                element.attrib[attribute] = value


def place(layer: inkex.BaseElement, placed: Affine) -> None:
    """Let millimetres of the layer lie on the page as ``placed`` says."""
    svg = layer.getroottree().getroot()
    parent = layer.getparent()
    outside = inkex.Transform() if parent is svg else transform_within(parent, svg)
    to_parent = -outside @ millimetres_to_user(svg)
    layer.attrib["transform"] = written(affine_of(to_parent) @ placed)
