"""The one door through which the other commands take a sleeve: they ask what Re-measure asks, and say what it would.

An edited sleeve that fails is refused until it has been measured again; one that fails as it was left then is worked
with, since it may be meant so, and what fails is said on what is made of it.
"""
from __future__ import annotations

import re

import inkex

from extension.document.part_names import CUTTING_LINE, SEAM_LINE, TIER_LINE
from extension.document.parts import part_of
from extension.document.paths import curve_from_path
from extension.document.reading import SleeveInDocument, decide_again, find_sleeve, label_of, read_sleeve, written_alike
from extension.editing.bringing_back import ask_for_the_astray
from extension.editing.checking import checks_of
from extension.editing.piece_keeping import gather_pieces
from extension.wording import notes
from geometry.refusal import Refused
from geometry.sleeve.draft import cut_around
from geometry.sleeve.settling import Settled
from geometry.sleeve.truing import WRONG, Check

#: A Cutting line this near to where it belongs is as drawn, millimetres.
CUT_AS_DRAWN = 0.05


#: A clip or a mask, as an attribute or within a style.
_CLIPPED = r"(?:^|;)\s*(?:clip-path|mask)\s*:\s*url"


#: What is told before a plan is made; tier lines that miss or cross are told by the plan itself, edges that run on are for the eye.
SAID = ("top edge", "underarm seams", "armhole", "level", "hand", "last tier")


def sleeve_to_plan(svg: inkex.SvgDocumentElement) -> SleeveInDocument:
    """Return the sleeve that is meant, edited or not.  Raises :class:`Refused`, also for an edited one that must be put right first."""
    ask_for_the_astray(svg)
    sleeve = _read(svg)
    for tier in sleeve.drawn_tiers:
        if tier.gap:
            raise Refused("tier line to be joined", number=tier.line.number, gap=tier.gap)
    wrong = faults_of(sleeve) if sleeve.edited else []
    if wrong:
        raise Refused("put right first", what="; ".join(" – ".join(_told(check, sleeve.unit)) for check in wrong))
    return sleeve


def _read(svg: inkex.SvgDocumentElement) -> SleeveInDocument:
    """Return the sleeve that is meant, its pieces gathered where their layers were ungrouped."""
    layer = find_sleeve(svg)
    gather_pieces(layer)
    return read_sleeve(layer)


def sleeve_to_print(svg: inkex.SvgDocumentElement) -> SleeveInDocument:
    """Return the sleeve that is meant, as its lines say it.  Raises :class:`Refused` where they are no longer true."""
    ask_for_the_astray(svg)
    sleeve = _read(svg)
    if sleeve.edited:
        raise Refused("not re-measured", what="its lines were moved or deleted")
    if not cutting_line_as_drawn(sleeve, decide_again(sleeve.typed, sleeve.given).settled):
        raise Refused("not re-measured", what="its Cutting line was changed")
    clipped = clipped_lines(sleeve)
    if clipped:
        raise Refused("lines clipped", lines=", ".join(clipped))
    return sleeve


def clipped_lines(sleeve: SleeveInDocument) -> list[str]:
    """Return the names of the lines of the pattern that a clip or a mask on them, or on what they are in, would leave out on paper."""
    lines = [element for part in (SEAM_LINE, CUTTING_LINE, TIER_LINE) for element in sleeve.lines.all(part)]
    return [label_of(line) or part_of(line) or line.get_id() for line in lines if any(map(_is_clipped, (line, *line.iterancestors())))]


def _is_clipped(element: inkex.BaseElement) -> bool:
    said = f"clip-path:{element.attrib.get('clip-path', 'none')};mask:{element.attrib.get('mask', 'none')};{element.attrib.get('style', '')}"
    return bool(re.search(_CLIPPED, said))


def put_right_first(sleeve: SleeveInDocument) -> list[str]:
    """Return the line that says what of a sleeve should be put right before it is cut; none where all is well."""
    wrong = faults_of(sleeve)
    return [notes.put_right_first([_told(check, sleeve.unit)[0] for check in wrong])] if wrong else []


def faults_of(sleeve: SleeveInDocument) -> list[Check]:
    """Return what Re-measure would tell her to put right in seams, ease and hem, at the tolerance that she used last."""
    return [check for check in checks_of(sleeve) if check.verdict == WRONG and check.kind in SAID]


def cutting_line_as_drawn(sleeve: SleeveInDocument, settled: Settled) -> bool:
    """Whether the Cutting line, where she has kept it, lies where it belongs."""
    elements = sleeve.lines.all(CUTTING_LINE)
    if not elements:
        return True
    curves = [curve for element in elements for curve in curve_from_path(element, sleeve.lines.transform(element))]
    true = cut_around(sleeve.outline, settled)
    # A needless node on a straight piece comes or goes by a hair of the Seam line as it was written.
    return len(curves) == 1 and (written_alike(curves[0], true, CUT_AS_DRAWN) or curves[0].runs_along(true, CUT_AS_DRAWN))


def _told(check: Check, unit: str) -> tuple[str, str]:
    """Return what was checked, as in the middle of a sentence, and what was measured."""
    title, measured, _ = notes.trued(check.kind, check.subject, check.numbers, check.verdict, unit)
    return f"{title[0].lower()}{title[1:]}", measured
