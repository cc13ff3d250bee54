"""Makes the sleeve in her document true again: her elements stay, what they say is brought up to date.

What the sleeve should be now is drawn by the same code that drafts it, aside; then it is carried over
element by element.  An element that is right already is not touched, so a second run changes nothing.
"""
from __future__ import annotations

import copy
from collections.abc import Container, Iterator, Sequence
from functools import partial
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.names import GROUP, HREFS, LABEL, METADATA, SVG, own
from extension.document.part_names import (
    BACK_NOTCH,
    BODY_LINE,
    CUTTING_LINE,
    FIT_LAYER,
    FRONT_NOTCH,
    GATHER_MARKS_LAYER,
    GRAIN_ARROWHEAD,
    GRAIN_LINE,
    LEADER,
    LETTERING,
    LEVEL_LINE,
    LEVEL_WIDTHS_LAYER,
    LINES,
    MARKS_LAYER,
    NAMES_LAYER,
    NOTES_LAYER,
    PLACE_NOTCH,
    SEAM_LINE,
    SLEEVE,
    TEST_SQUARE_LAYER,
    TIER_LENGTHS_LAYER,
    TIER_LINE,
    TRUING_REPORT,
)
from extension.document.parts import find_parts, mark, new_layer, number_of, part_of, text_of
from extension.document.paths import curve_from_path, path_data
from extension.document.reading import (
    SCALE_ASKED,
    DrawnTier,
    Lines,
    SleeveInDocument,
    curve_as_written,
    curves_of,
    decide_again,
    label_of,
    lines_of,
    read_lines,
    tier_number,
    unnamed_seams,
)
from extension.document.record import write_record
from extension.document.scale import affine_of, transform_within, written
from extension.drafting.fit_sheet import fit_panel
from extension.drafting.piece_sheet import PIECE_LAYERS, draw_pieces
from extension.drafting.sleeve_sheet import corners_text, draw_sleeve
from extension.drafting.start import working_lines
from extension.drawing.panels import new_panel, panel_below, settle_panel
from extension.drawing.pens import line_style
from extension.drawing.sheet import Sheet
from extension.editing.carrying_over import (
    Fresh,
    draws,
    level_of,
    place,
    restore_layers,
    say_the_same,
    set_curve,
    set_curves,
    update_lettering,
    update_lines,
)
from extension.editing.checking import stored_notches
from extension.editing.piece_keeping import edited_pieces, gather_pieces, update_pieces
from extension.editing.truing_sheet import draw_rings, draw_truing_marks, fill_report
from extension.wording import notes, pieces
from geometry.affine import IDENTITY
from geometry.curves.curve import Curve
from geometry.editing.refinding import Broken
from geometry.editing.retrimming import ON_SEAM, kept_notches, mirrored, remeasured_tiers, same_outline
from geometry.measuring.lengths import names_no_unit, read_length, write_length
from geometry.pieces.all_pieces import pieces_of
from geometry.refusal import Refused
from geometry.sleeve.draft import Draft, draft_on, drafted_seam
from geometry.sleeve.marks import TierLine, body_level_line, notches
from geometry.sleeve.outline import EDGES, Outline
from geometry.sleeve.truing import MOST_TOLERANCE, TAPE_MARK, USUAL_TOLERANCE, Check, true_up

#: A Body line nearer than this to where it was drafted was left alone, millimetres.
ALONE = 0.05

#: Layers whose contents are lettering of ours, drawn anew where they are no longer right.
LETTERED = (TIER_LENGTHS_LAYER, LEVEL_WIDTHS_LAYER, NAMES_LAYER, NOTES_LAYER, TEST_SQUARE_LAYER, FIT_LAYER, MARKS_LAYER)


class Remeasured(NamedTuple):
    """The sleeve as read, as it should be drawn now, what was found by checking at which ``tolerance``, and by which
    factors, across and down, the sleeve has been scaled on purpose since it was drafted.
    """

    sleeve: SleeveInDocument
    draft: Draft
    tiers: list[TierLine]
    checks: list[Check]
    grown: tuple[float, float]
    tolerance: float


def measure_again(lines: Lines, mirror: str, tolerance: str, scaled: str) -> Remeasured:
    """Return everything that is to be drawn, and change nothing yet.

    ``mirror`` is ``none``, ``front_to_back`` or ``back_to_front``; ``tolerance`` is for the underarm
    seams, as typed; for ``scaled`` and what is raised see :func:`extension.document.reading.read_lines`.
    """
    sleeve = read_lines(lines, scaled)
    allowed = read_tolerance(tolerance, sleeve.unit)
    outline = sleeve.outline if mirror == "none" else mirrored(sleeve.outline, mirror.partition("_")[0])
    if outline is not sleeve.outline or not sleeve.seat.is_the_layers:
        outline = aswritten(outline)
    return measured_on(sleeve, outline, sleeve.tiers, allowed)


def measured_on(sleeve: SleeveInDocument, outline: Outline, wanted: Sequence[TierLine], tolerance: float) -> Remeasured:
    """Return everything that is to be drawn on ``outline`` with the ``wanted`` tier lines, in the order of the sleeve's."""
    decided = decide_again(sleeve.typed, sleeve.given)
    tiers = remeasured_tiers(outline, wanted, sleeve.seat.growth.apply(sleeve.corners[:2]))
    drawn = [
        line if line.curve is before.curve and sleeve.seat.is_the_layers else _as_written_on(outline, line)
        for line, before in zip(tiers.lines, sleeve.tiers)
    ]
    places = kept_notches(outline, notches(outline, decided.block.matches), stored_notches(sleeve.lines))
    draft = draft_on(decided, outline, sorted(drawn, key=lambda tier: tier.number), places)
    checks = true_up(draft, tiers.adrift, tolerance)
    return Remeasured(sleeve, draft, drawn, checks, grown(sleeve), tolerance)


def _as_written_on(outline: Outline, line: TierLine) -> TierLine:
    """Return a tier line as its path data will say it, measured so: over a flat leg a rounding of the line opens ten times as much."""
    curve = curve_as_written(line.curve)
    return line._replace(curve=curve, open=outline.open_length(curve))


def aswritten(outline: Outline) -> Outline:
    """Return the outline as its path data will say it, rounded, so that all else is measured on that."""
    return Outline({name: curve_as_written(outline.edge(name)) for name in EDGES})


def draw_again(svg: inkex.SvgDocumentElement, now: Remeasured) -> inkex.BaseElement:
    """Bring the document up to date and return the sleeve's layer."""
    sleeve = now.sleeve
    layer = sleeve.layer if sleeve.layer is not None else gather(svg, sleeve)
    gathered = gather_pieces(layer)
    lines = sleeve.lines if sleeve.layer is not None and not gathered else lines_of(svg, layer)
    if not sleeve.seat.is_the_layers or sleeve.layer is None:
        place(layer, sleeve.seat.placed)
    fresh = draw_aside(now, {level_of(element) for element in lines.all(LEVEL_LINE)})
    update_seam(now, lines)
    update_tiers(now, lines)
    update_body(now, lines, fresh.body)
    for part in (CUTTING_LINE, GRAIN_LINE, GRAIN_ARROWHEAD, LEVEL_LINE, FRONT_NOTCH, BACK_NOTCH, PLACE_NOTCH):
        update_lines(lines, fresh.lines.get(part, []), part)
    layers = fresh.layers()
    restore_layers(lines, layers)
    for part in LETTERED:
        may_add = sleeve.layer is None or part == MARKS_LAYER
        update_lettering(layer, lines.all(part), layers.get(part), may_add, all_anew=not sleeve.seat.is_the_layers)
    update_pieces(lines, layers)
    if sleeve.edited:  # they lie on the lines as they were, and come back with the next plan
        for ticks in lines.all(GATHER_MARKS_LAYER):
            ticks.getparent().remove(ticks)
    update_report(lines, now, remarks_on(now, lines, layers), fresh)
    return layer


class Aside(Sheet):
    """A sheet outside the document on which the sleeve is drawn as it should be now.

    Its lettering is drawn; its lines are only kept, in ``lines``, to be carried over.
    """

    def __init__(self) -> None:
        super().__init__(inkex.Layer())
        self.lines: dict[str, list[Fresh]] = {}
        self.body: list[Curve] = []

    def curve(self, layer: inkex.Layer, curve: Curve, kind: str, label: str, part: str, **attributes: object) -> inkex.PathElement:
        if part not in LINES:
            return super().curve(layer, curve, kind, label, part, **attributes)
        self.follow(curve)
        self.lines.setdefault(part, []).append(Fresh(curve, label, attributes))
        return inkex.PathElement()

    def curves(self, layer: inkex.Layer, curves: Sequence[Curve], kind: str, label: str, part: str) -> inkex.PathElement:
        """Keep the stretches of the Body line."""
        for curve in curves:
            self.follow(curve)
        self.body = list(curves)
        return inkex.PathElement()

    def put_away(self, element: inkex.BaseElement, part: str) -> None:
        """Keep the last line of a part as one that is carried over and put away."""
        last = self.lines[part].pop()
        self.lines[part].append(last._replace(attributes={**last.attributes, "away": "yes"}))

    def layers(self) -> dict[str, inkex.BaseElement]:
        """The nested layers by part."""
        return {part_of(layer): layer for layer in self.layer}


def draw_aside(now: Remeasured, levels: set) -> Aside:
    """Return the sheet on which the sleeve is drawn as it should be now.

    Of the levels only those are drawn whose line she has kept.
    """
    aside = Aside()
    decided, unit = now.draft.decided, now.sleeve.unit
    block = decided.block._replace(levels=tuple(level for level in decided.block.levels if level.name in levels))
    if not _as_drafted(now.draft.seam, drafted_seam(decided)):
        block = block._replace(notes=())  # what was decided for the line as drafted no longer holds
    shown = now.draft._replace(decided=decided._replace(block=block))
    notes = draw_sleeve(aside, shown, unit, now.sleeve.label, working_lines(now.sleeve.typed, decided))
    panel_below(notes, fit_panel(aside.layer, shown, unit))
    draw_pieces(aside, pieces_of(now.draft), now.draft, unit, now.sleeve.label)
    draw_truing_marks(aside, now.checks)
    return aside


def _as_drafted(seam: Outline, drafted: Outline) -> bool:
    """Whether a Seam line is still the drafted one, wherever on a straight piece its handles lie."""
    return same_outline(seam, drafted, ALONE) or same_outline(aswritten(seam), aswritten(drafted), ALONE)


# --- the frame ----------------------------------------------------------------------------------------


def gather(svg: inkex.SvgDocumentElement, sleeve: SleeveInDocument) -> inkex.BaseElement:
    """Return a new layer that holds again what the ungrouped one held, in its order."""
    layer = new_layer(svg, notes.sleeve_called(sleeve.label), SLEEVE)
    for element in list(loose_parts(svg)):
        within = affine_of(sleeve.lines.base @ transform_within(element, svg))
        layer.append(element)
        if np.abs(np.subtract(within, IDENTITY)).max() > 1e-9:
            element.attrib["transform"] = written(within)
        else:
            element.attrib.pop("transform", None)
    for element in list(layer):
        if part_of(element) in (LEADER, LETTERING):
            layer.remove(element)  # of layers that were ungrouped as well; those are lettered anew
    write_record(layer, {"typed": sleeve.typed})
    for left in find_parts(svg, SLEEVE):
        if all(element.tag in (GROUP, METADATA) for element in left.iter("*")):  # what it held was grouped away
            left.getparent().remove(left)
    return layer


def loose_parts(svg: inkex.SvgDocumentElement) -> Iterator[inkex.BaseElement]:
    """Yield the outermost of our elements that are in no sleeve."""
    for element in svg.iter("*"):
        if part_of(element) not in (None, SLEEVE) and not any(part_of(e) is not None for e in element.iterancestors()):
            yield element


# --- lines, in place ----------------------------------------------------------------------------------


def update_seam(now: Remeasured, lines: Lines) -> None:
    """Redraw the Seam line where it was mirrored or its frame has changed, and note how it is now."""
    sleeve, outline = now.sleeve, now.draft.seam
    seams = lines.all(SEAM_LINE) or unnamed_seams(lines)
    element, changed = seams[0], outline is not sleeve.outline
    if changed:
        if len(seams) > 1 or not draws(element, outline.closed(), lines):
            set_curve(element, outline.closed(), lines)
        for other in seams[1:]:
            other.getparent().remove(other)
    else:
        for other in seams[1:]:  # in pieces, some of which the editor has taken our mark off
            mark(other, SEAM_LINE)
    if LABEL not in element.attrib:
        element.attrib[LABEL] = "Seam line"
    mark(element, SEAM_LINE, grown="{:.6g} {:.6g}".format(*now.grown), tolerance_mm=now.tolerance, **tiers_noted(now))
    if sleeve.seat.placed.mirrors:
        mark(element, SEAM_LINE, turned_over="meant")
    elif text_of(element, "turned_over") is not None:
        mark(element, SEAM_LINE, turned_over="no")
    if changed or not sleeve.seam_as_drawn:
        noted = {"corners": corners_text(outline), "drawn": path_data(outline.closed())}
        mark(element, SEAM_LINE, **noted)
        if lines.layer is not None:
            mark(lines.layer, "sleeve", **noted)
    record = None if lines.layer is None else text_of(lines.layer, "record")
    if record is not None and text_of(element, "record") is None:
        mark(element, SEAM_LINE, record=record)


def tiers_noted(now: Remeasured) -> dict[str, str]:
    """Return the numbers of the tier lines there have been and there are; numbered anew, there have been no others."""
    numbers = sorted(tier.number for tier in now.tiers)
    before = sorted(tier.line.number for tier in now.sleeve.drawn_tiers)
    known = sorted({*now.sleeve.known_tiers, *numbers}) if numbers == before else numbers
    return {"tiers_known": " ".join(map(str, known)), "tiers_kept": " ".join(map(str, numbers))}


def update_tiers(now: Remeasured, lines: Lines) -> None:
    """Bring every tier line to the seam, with its number, length and label."""
    drawn: set[inkex.BaseElement] = set()
    for was, tier in zip(now.sleeve.drawn_tiers, now.tiers):
        element = path = was.element
        if path in drawn:  # combined with another into one path: it becomes one of its own again
            element = copy.deepcopy(path)
            element.attrib.pop("id", None)
            path.addnext(element)
        drawn.add(element)
        label = label_of(element)
        if not label or label.startswith("Tier line"):
            element.attrib[LABEL] = f"Tier line {tier.number}"
        mark(element, TIER_LINE, number=tier.number)
        if abs(_stored_length(element) - tier.length) > ON_SEAM:
            mark(element, TIER_LINE, length_mm=tier.length)
        if tier.curve is not was.line.curve or not (was.as_drawn and now.sleeve.seat.is_the_layers):
            if tier.curve is not was.line.curve or not draws(element, tier.curve, lines):
                set_curve(element, tier.curve, lines)
            mark(element, TIER_LINE, drawn=path_data(tier.curve), length_mm=tier.length)
        if was.outlined:  # its stroke's colour has become its fill
            element.attrib["style"] = line_style("tier")
        note_how_found(element, was)


def note_how_found(element: inkex.BaseElement, was: DrawnTier) -> None:
    """Note what the report is to say of a tier line until it is edited again: a gap that was bridged, a name that was lost."""
    for name, noted in (("bridged_mm", was.gap or None), ("found_by", "place" if was.unnamed else None)):
        if noted is not None:
            mark(element, TIER_LINE, **{name: noted})
        elif not was.as_drawn:
            element.attrib.pop(own(name), None)


def how_found(lines: Lines, unit: str) -> list[str]:
    """Return what the report says of tier lines that were broken, or had lost their names."""
    tiers = sorted(find_parts(lines.layer, TIER_LINE), key=tier_number)  # with those that were combined and are their own again
    by_place = [tier_number(element) for element in tiers if text_of(element, "found_by") == "place"]
    bridged = [(tier_number(element), number_of(element, "bridged_mm")) for element in tiers if text_of(element, "bridged_mm")]
    return [*([notes.found_by_place(by_place)] if by_place else []), *(notes.gap_bridged(*found, unit) for found in bridged)]


def _stored_length(element: inkex.BaseElement) -> float:
    try:
        return float(text_of(element, "length_mm") or "nan")
    except ValueError:
        return -1.0


def update_body(now: Remeasured, lines: Lines, body: Sequence[Curve]) -> None:
    """Draw the Body line as far as it can be told from the Seam line as that is now, ``body``, where she left it alone.

    Where it was moved together with the Seam line it is brought along.
    """
    seat = now.sleeve.seat
    for element in lines.all(BODY_LINE):
        there, drawn = curve_from_path(element, lines.transform(element)), text_of(element, "drawn")
        then = curves_of(drawn) if drawn is not None else [now.draft.block.body.closed()]
        brought = there if seat.is_the_layers else [curve.transformed(seat.inward.matrix) for curve in there]
        stays, moved_along = _alike(there, then), _alike(brought, then)
        if drawn is not None and (stays or moved_along):
            if not _alike(there, body):
                set_curves(element, body, lines)
                mark(element, BODY_LINE, drawn=element.attrib["d"])
        elif not stays and not seat.is_the_layers:
            set_curves(element, brought, lines)


def _alike(some: Sequence[Curve], others: Sequence[Curve]) -> bool:
    """Whether curves are the same but for what the editor rounds away."""
    return len(some) == len(others) and all(
        len(one) == len(other) and np.abs(one.segments - other.segments).max() <= ALONE for one, other in zip(some, others)
    )


# --- the report ---------------------------------------------------------------------------------------


def update_report(lines: Lines, now: Remeasured, remarks: Sequence[str], aside: Aside) -> None:
    """Letter the report beside the sleeve, unless it says so already."""
    sheet = new_panel(lines.layer, "Truing report", TRUING_REPORT)
    fill_report(sheet, now.checks, now.sleeve.unit, remarks, now.sleeve.label)
    old = lines.all(TRUING_REPORT)
    if old and say_the_same(list(old[0]), list(sheet.layer)):
        lines.layer.remove(sheet.layer)
    else:
        settle_panel(sheet, None if holds_more(lines, sheet, aside) else aside)


def holds_more(lines: Lines, sheet: Sheet, aside: Aside) -> bool:
    """Whether the sleeve's layer holds more than was drawn aside: what she drew, or other panels."""
    known = {*aside.layers(), MARKS_LAYER, part_of(sheet.layer)}
    return bool(lines.unmarked) or any(
        part_of(child) not in known for child in lines.layer.iterchildren("*") if child.tag != METADATA
    )


def remarks_on(now: Remeasured, lines: Lines, layers: Container[str]) -> list[str]:
    """Return what the report should say beside its checks: what was deleted, of all ``layers`` there may be, and a scale that was meant."""
    once = (CUTTING_LINE, BODY_LINE, GRAIN_LINE, FRONT_NOTCH, BACK_NOTCH)
    names = [part.capitalize() for part in once if not lines.all(part)]
    kept = {level_of(element) for element in lines.all(LEVEL_LINE)}
    noted = tiers_noted(now)
    names += [f"Tier line {n}" for n in noted["tiers_known"].split() if n not in noted["tiers_kept"].split()]
    drawn = (level for level in now.draft.block.levels if body_level_line(now.draft.seam, level) is not None)
    names += [f"{level.name.capitalize()} level" for level in drawn if level.name not in kept]
    all_gone = not kept and not any(map(lines.all, once))
    remarks = [notes.left_behind(names) if all_gone else notes.gone(names)] if names else []
    undrawn = [name for part, name in PIECE_LAYERS.items() if part in layers and not lines.all(part)]
    remarks += [pieces.not_drawn(undrawn)] if undrawn and not all_gone else []
    remarks += how_found(lines, now.sleeve.unit)
    cloned, copies = cloned_lines(now, lines), copied_lines(lines)
    remarks += [notes.cloned(cloned)] if cloned else []
    remarks += [notes.set_aside(copies)] if copies else []
    by_hand = edited_pieces(lines)
    remarks += [pieces.kept(by_hand)] if by_hand else []
    across, down = now.grown
    if max(abs(across - 1), abs(down - 1)) > SCALE_ASKED:
        return [*remarks, notes.grown(across, down)]
    return [*remarks, *armholes_changed(now)]


def armholes_changed(now: Remeasured) -> list[str]:
    """Return which armhole seam is longer or shorter than drafted where no length of the bodice's is known to compare it with."""
    settled, say, said = now.draft.settled, partial(write_length, unit=now.sleeve.unit), []
    for side in (settled.front, settled.back):
        edge = f"{side.name} armhole"
        drafted, length = (seam.sewn_length(edge) for seam in (now.draft.decided.block.seam, now.draft.seam))
        if not side.armhole_seam and abs(length - drafted) > TAPE_MARK:
            said.append(notes.armhole_changed(edge, say(length), say(drafted), length > drafted))
    return said


def cloned_lines(now: Remeasured, lines: Lines) -> list[str]:
    """Return the names of the lines of which there are clones, which have no nodes of their own and so are no lines."""
    tiers = sorted(((tier.number, path) for (path, *_), tier in zip(now.sleeve.drawn_tiers, now.tiers)), key=lambda one: one[0])
    named = [(part.capitalize(), path) for part in (SEAM_LINE, CUTTING_LINE) for path in lines.all(part)]
    named += [(f"Tier line {number}", path) for number, path in tiers]
    uses = [] if lines.layer is None else lines.layer.iter(f"{SVG}use")
    cloned = {use.attrib.get(name) for use in uses for name in HREFS}
    return [name for name, path in named if "id" in path.attrib and f"#{path.get_id()}" in cloned]


def copied_lines(lines: Lines) -> list[str]:
    """Return the names of the lines of which a sleeve has one and she has made copies, see :func:`update_lines`."""
    return [part.capitalize() for part in (CUTTING_LINE, GRAIN_LINE) if lines.copies(part)]


def grown(sleeve: SleeveInDocument) -> tuple[float, float]:
    """Return by which factors, across and down, the sleeve was scaled on purpose, in this run and before."""
    try:
        before = [float(number) for number in (text_of(sleeve.seam_element, "grown") or "1 1").split()]
    except ValueError:
        before = [1.0, 1.0]
    across, down = np.multiply(sleeve.seat.growth.factors, before)
    return float(across), float(down)


# --- when it can't be measured --------------------------------------------------------------------------


def mark_trouble(lines: Lines, broken: Broken) -> None:
    """Ring on the drawing where the Seam line can't be measured, and change nothing else."""
    aside = Aside()
    draw_rings(aside, [(place, notes.HERE) for place in broken.places], asks=broken.asks)
    marks = aside.layers()[MARKS_LAYER]
    if lines.layer is None:
        marks.attrib["transform"] = written(affine_of(-lines.base))
    update_lettering(lines.svg if lines.layer is None else lines.layer, lines.all(MARKS_LAYER), marks, may_add=True, all_anew=True)


def read_tolerance(text: str, unit: str) -> float:
    """Return the truing tolerance in millimetres, of two that are named (``1/32 in or 1 mm``) the one in ``unit``.

    A bare number is refused: so small a length is as likely meant in millimetres as in centimetres or inches.
    Raises as :func:`geometry.measuring.measurements.read_measurements`.
    """
    usual = USUAL_TOLERANCE[unit]
    try:
        tolerance = read_length(text, unit)
    except Refused as refusal:
        raise Refused("tolerance unreadable", problem=refusal.problems[0], most=MOST_TOLERANCE, usual=usual) from refusal
    if tolerance and names_no_unit(text):
        raise Refused("tolerance without a unit", typed=text.strip(), usual=usual)
    if not tolerance <= MOST_TOLERANCE:
        raise Refused("tolerance out of range", typed=text.strip(), most=MOST_TOLERANCE, usual=usual)
    return tolerance
