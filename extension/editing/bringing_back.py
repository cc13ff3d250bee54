"""Brings back what a sleeve has lost to another place: lines moved out of its layer, a Seam line combined with others.

The editor does both without a word: Layer > Move Selection to Layer Above, Path > Combine.  Nothing changes its place on the page.
"""
from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import NamedTuple

import inkex

from extension.document.names import LABEL, OURS
from extension.document.part_names import LEADER, LETTERING, LINES, SEAM_LAYER, SEAM_LINE, SLEEVE, TIER_LAYER, TIER_LINE
from extension.document.parts import find_parts, part_of
from extension.document.paths import curve_from_path, path_data
from extension.document.reading import Lines, label_of, lines_of, of_the_seam, tier_number, unnamed_seams
from extension.document.scale import affine_of, can_be_seen, transform_within, written
from extension.drawing.pens import line_style
from geometry.curves.curve import Curve
from geometry.refusal import Refused

#: In which layer of a sleeve a line is drawn; the others lie in the sleeve's own for once.
_HOME = {SEAM_LINE: SEAM_LAYER, TIER_LINE: TIER_LAYER}


class Astray(NamedTuple):
    """A line that lies outside its ``sleeve``, or a Seam line that is one ``curve`` of a path with others."""

    element: inkex.BaseElement
    sleeve: inkex.BaseElement
    curve: Curve | None = None


def astray(svg: inkex.SvgDocumentElement) -> list[Astray]:
    """Return the lines that are to be brought back, each to the one sleeve that lacks it."""
    sleeves = [lines_of(svg, layer) for layer in find_parts(svg, SLEEVE)]
    found = [Astray(element, lines.layer, curve) for lines in sleeves for element, curve in _combined(lines)]
    loose = list(_loose(svg))
    if any(part_of(element) in (LETTERING, LEADER) and not any(map(part_of, element.iterancestors())) for element in loose):
        return found  # a layer that was ungrouped, or of which all was grouped: it is gathered as a whole
    for element in loose:
        lacking = [lines.layer for lines in sleeves if part_of(element) in LINES and _lacks(lines, element)]
        if len(lacking) == 1:
            found.append(Astray(element, lacking[0]))
    return found


def ask_for_the_astray(svg: inkex.SvgDocumentElement) -> None:
    """Raise :class:`Refused` where lines are to be brought back first."""
    found = astray(svg)
    if found:
        names = [SEAM_LINE.capitalize() if one.curve else label_of(one.element) or part_of(one.element).capitalize() for one in found]
        raise Refused("lines astray", lines=", ".join(names))


def bring_back(svg: inkex.SvgDocumentElement) -> bool:
    """Put every line that is :func:`astray` back into its sleeve, where it lies; return whether there was one."""
    found = astray(svg)
    for one in found:
        if one.curve is None:
            move_into(one.element, _home(one.sleeve, part_of(one.element)))
            continue
        move_into(_taken_apart(one.element, one.curve), _home(one.sleeve, SEAM_LINE))
        if not label_of(one.element):  # what is left of it are tier lines
            move_into(one.element, _home(one.sleeve, TIER_LINE))
    return bool(found)


def _home(sleeve: inkex.BaseElement, part: str) -> inkex.BaseElement:
    return next(iter(find_parts(sleeve, _HOME.get(part, ""))), sleeve)


def _loose(svg: inkex.SvgDocumentElement) -> Iterator[inkex.BaseElement]:
    """Yield our elements that are in no sleeve."""
    for elements in lines_of(svg, None).marked.values():
        yield from elements


def _lacks(lines: Lines, element: inkex.BaseElement) -> bool:
    """Whether a sleeve has no such line of its own, and the line could be seen in it."""
    part = part_of(element)
    if not can_be_seen(affine_of(transform_within(lines.layer, lines.svg))):
        return False
    if part == TIER_LINE:
        return tier_number(element) not in [tier_number(tier) for tier in lines.all(TIER_LINE)]
    if part == SEAM_LINE:
        return not (lines.all(SEAM_LINE) or unnamed_seams(lines))
    return not lines.all(part)


def _combined(lines: Lines) -> Iterator[tuple[inkex.BaseElement, Curve]]:
    """Yield the path that holds the Seam line beside open lines, and the Seam line in the path's own coordinates."""
    if unnamed_seams(lines) or (lines.marked.get(SEAM_LINE) and not any(_pieces(seam)[1:] for seam in lines.marked[SEAM_LINE])):
        return
    for element in [*lines.marked.get(SEAM_LINE, []), *lines.unmarked]:
        pieces = _pieces(element)
        closed = [piece for piece in pieces if piece.is_closed]
        if len(closed) == 1 < len(pieces) and of_the_seam(lines, closed[0].transformed(lines.transform(element).matrix)):
            yield element, closed[0]


def _pieces(element: inkex.BaseElement) -> list[Curve]:
    return curve_from_path(element)


def _taken_apart(path: inkex.BaseElement, seam: Curve) -> inkex.BaseElement:
    """Return the Seam line as a path of its own beside that from which it is taken."""
    others = [piece for piece in _pieces(path) if not piece.is_closed]
    own = copy.deepcopy(path)
    for name in [name for name in own.attrib if name.startswith(OURS) or name == "id"]:
        del own.attrib[name]
    own.attrib.update({LABEL: SEAM_LINE.capitalize(), "d": path_data(seam, 6), "style": line_style("seam")})
    path.attrib["d"] = " ".join(path_data(piece, 6) for piece in others)
    if part_of(path) == SEAM_LINE or label_of(path) == SEAM_LINE.capitalize():
        for name in [name for name in path.attrib if name.startswith(OURS) or name == LABEL]:
            del path.attrib[name]
    path.addnext(own)
    return own


def move_into(element: inkex.BaseElement, home: inkex.BaseElement) -> None:
    """Move an element into another without moving it on the page."""
    svg = home.getroottree().getroot()
    within = affine_of(-transform_within(home, svg) @ transform_within(element, svg))
    home.append(element)
    element.attrib["transform"] = written(within)
