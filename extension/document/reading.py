"""Reads a sleeve back from her document, as it stands there now, whatever she and the editor did to it."""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.names import LABEL
from extension.document.part_names import (
    BODY_LINE,
    CUTTING_LINE,
    GRAIN_LINE,
    LEVEL_LINE,
    NESTED,
    SEAM_LAYER,
    SEAM_LINE,
    SLEEVE,
    TIER_LAYER,
    TIER_LINE,
)
from extension.document.parts import find_parts, number_of, part_of, text_of
from extension.document.paths import curve_from_path, path_data
from extension.document.record import read_record
from extension.document.scale import FARTHEST, affine_of, can_be_seen, millimetres_to_user, transform_within
from extension.drawing.lettering import printable
from geometry.affine import IDENTITY, Affine
from geometry.curves.curve import Curve
from geometry.editing.corners import AT_PLACE, distances
from geometry.editing.refinding import Broken, refind
from geometry.editing.retrimming import ON_SEAM
from geometry.editing.tier_lines import Joined, height, lines_in, numbers_for, spans, stroke_centre
from geometry.measuring.given import Given, read_given
from geometry.measuring.measurements import DEFAULTS, read_style
from geometry.measuring.toile import read_changes
from geometry.refusal import Refused
from geometry.sleeve.draft import Decided, decide, drafted_seam
from geometry.sleeve.marks import TierLine, top_edge_height
from geometry.sleeve.outline import CORNERS, Outline
from geometry.sleeve.spacing import numbers_planned

#: A sleeve's scale may be off by this share before we ask whether that was meant: 1 mm in a metre.
SCALE_ASKED = 1e-3

#: Two factors nearer than this are one: what a percentage with one decimal tells.
ONE_SCALE = 5e-4

#: Less than this share is what transforms lose when they are written down.
SCALE_NOISE = 1e-5

#: A sleeve that leans by more than this, degrees, is asked about as leaning rather than scaled.
SKEW_ASKED = 0.05

#: So many sleeves are named where there are several.
_NAMED = 6

#: What a line is called where it has lost our mark, or is hers and stands in for one of ours.
_LABELS = {
    SEAM_LINE: re.compile(r"\s*seam line\s*", re.IGNORECASE),
    TIER_LINE: re.compile(r"\s*tier line\s*(\d+)\s*", re.IGNORECASE),
    CUTTING_LINE: re.compile(r"\s*cutting line\s*", re.IGNORECASE),
    BODY_LINE: re.compile(r"\s*body line\s*", re.IGNORECASE),
    GRAIN_LINE: re.compile(r"\s*grain line\s*", re.IGNORECASE),
    LEVEL_LINE: re.compile(r"\s*(.+) level\s*", re.IGNORECASE),
}
_SHAPES = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")

#: What these hold is not drawn where it stands: a line that she made a pattern, a marker or a clip of is none.
_NOT_DRAWN = ("defs", "pattern", "marker", "symbol", "clipPath", "mask")


class Scaled(Refused):
    """The sleeve is not the size it was drafted in, and nobody has said whether that was meant."""


class Lines(NamedTuple):
    """A sleeve's own elements: those of its ``layer``, or loose ones in the document where that is gone.

    ``base`` takes loose lines' coordinates (user units of the root) to those of the layer they had.
    ``marked`` holds our elements by part, ``unmarked`` the shapes that bear no mark of ours.
    """

    svg: inkex.SvgDocumentElement
    layer: inkex.BaseElement | None
    base: inkex.Transform
    marked: dict[str, list[inkex.BaseElement]]
    unmarked: list[inkex.BaseElement]

    def all(self, part: str) -> list[inkex.BaseElement]:
        """Return the elements of a ``part``: by our mark, and by their label where that is lost."""
        marked = self.marked.get(part, [])
        if part not in _LABELS or (marked and part != TIER_LINE):
            return marked
        return marked + self._named(part)

    def copies(self, part: str) -> list[inkex.BaseElement]:
        """Return the elements that bear the name of a ``part``, but not our mark (any more), which another bears."""
        marked = self.marked.get(part, [])
        return [element for element in marked + self._named(part) if part_of(element) is None] if marked else []

    def _named(self, part: str) -> list[inkex.BaseElement]:
        return [element for element in self.unmarked if _LABELS[part].fullmatch(label_of(element))]

    def transform(self, element: inkex.BaseElement) -> inkex.Transform:
        """Return the transform from the coordinates inside ``element`` to those of the sleeve's layer."""
        if element is self.layer:
            return inkex.Transform()
        within = transform_within(element, self.svg if self.layer is None else self.layer)
        return self.base @ within

    def to_page(self) -> Affine:
        """Return the affine map from coordinates of the layer to true millimetres of the page.

        Raises :class:`Refused` where nothing of the sleeve can be seen there.
        """
        inside = -self.base if self.layer is None else transform_within(self.layer, self.svg)
        placed = affine_of(-millimetres_to_user(self.svg) @ inside)
        if not can_be_seen(placed):
            raise Refused("drawing unreadable")
        return placed


def lines_of(svg: inkex.SvgDocumentElement, layer: inkex.BaseElement | None) -> Lines:
    """Return the elements of the sleeve in ``layer``, but not of one that she moved into it; the loose
    ones of the document where that is None.
    """
    marked: dict[str, list[inkex.BaseElement]] = {}
    unmarked: list[inkex.BaseElement] = []
    waiting = [svg if layer is None else layer]  # no call within a call: groups may be nested by the thousand
    while waiting:
        element = waiting.pop()
        part = part_of(element)
        if (part == SLEEVE and element is not layer) or _tag(element) in _NOT_DRAWN:
            continue
        if part is not None and element is not layer:
            marked.setdefault(part, []).append(element)
        elif layer is not None and _tag(element) in _SHAPES:
            unmarked.append(element)
        waiting += reversed(list(element.iterchildren("*")))
    return Lines(svg, layer, inkex.Transform(), marked, unmarked)


class Seat(NamedTuple):
    """How a sleeve's frame lies, as affine maps.

    ``motion`` is how she moved the Seam line as a whole inside the layer, ``growth`` takes the frame in
    which it was drawn to that of the sleeve now (the identity but for a scale that was meant), ``inward``
    takes coordinates of the layer to the sleeve's frame, ``placed`` takes those to millimetres of the page.
    ``is_the_layers`` says that the sleeve's frame is still that of its layer, which may stay as it lies.
    """

    motion: Affine
    growth: Affine
    inward: Affine
    placed: Affine
    is_the_layers: bool


class DrawnTier(NamedTuple):
    """A tier line as it stands in her document: its ``element``, the ``line`` it draws in the sleeve's
    frame, and whether it is ``as_drawn`` when the sleeve was last drafted or re-measured.

    ``gap`` is the widest between its pieces that was bridged (millimetres), ``unnamed`` says that only its place tells it,
    ``outlined`` that its stroke was made a path.
    """

    element: inkex.BaseElement
    line: TierLine
    as_drawn: bool
    gap: float = 0.0
    unnamed: bool = False
    outlined: bool = False


class SleeveInDocument(NamedTuple):
    """A sleeve as it is drawn now, in true millimetres of its own frame, see :class:`Seat`.

    ``given`` holds the measurements it was drafted from and ``typed`` everything as typed;
    ``edited`` says that its lines are no longer as they were last drafted or re-measured, ``seam_as_drawn``
    that the Seam line is; ``corners`` are where the corners were then.
    """

    layer: inkex.BaseElement | None
    typed: dict
    given: Given
    unit: str
    label: str
    seam_element: inkex.BaseElement
    outline: Outline
    drawn_tiers: list[DrawnTier]
    edited: bool
    seam_as_drawn: bool
    lines: Lines
    corners: np.ndarray
    seat: Seat
    known_tiers: list[int]

    @property
    def tiers(self) -> list[TierLine]:
        """The tier lines in the sleeve's frame, each with what of it runs over openings."""
        return [tier.line._replace(open=self.outline.open_length(tier.line.curve)) for tier in self.drawn_tiers]


# --- which sleeve -------------------------------------------------------------------------------------


def find_sleeve(svg: inkex.SvgDocumentElement) -> inkex.BaseElement:
    """Return the sleeve that is selected (or any part of it), else the only one; :class:`Refused` else."""
    lines = find_lines(svg)
    if lines.layer is None:
        raise Refused("sleeve ungrouped")
    return lines.layer


def _called(sleeves: Sequence[inkex.BaseElement | None]) -> str:
    """Return by which names she tells the first few sleeves apart."""
    names = Counter("one without a layer" if sleeve is None else label_of(sleeve) or "Sleeve" for sleeve in sleeves)
    told = [name if count == 1 else f"{name} ({count} of this name)" for name, count in names.items()]
    return ", ".join([*told[:_NAMED], "…"] if len(told) > _NAMED else told)


def find_lines(svg: inkex.SvgDocumentElement) -> Lines:
    """Return where the lines of the sleeve are that is selected, else of the only one; :class:`Refused` else.

    Lines whose layer was ungrouped make a sleeve too, where there is but one such Seam line.
    """
    sleeves: list[inkex.BaseElement | None] = list(find_parts(svg, SLEEVE))
    loose = lines_of(svg, None)
    loose_seams = loose.all(SEAM_LINE)
    if loose_seams:  # grouping all that she sees takes it out of its layer, which stays, empty
        sleeves = [*(layer for layer in sleeves if _holds_a_seam(svg, layer)), None]
    chosen = list(svg.selection)
    picked = [s for s in sleeves if any(_is_in(e, s) for e in chosen)]
    candidates = picked or sleeves
    nested = find_parts(svg, NESTED)
    if nested and not picked and (not sleeves or any(layer in (e, *e.iterancestors()) for e in chosen for layer in nested)):
        raise Refused("nested sizes")
    if not candidates:
        raise Refused("no sleeve")
    if len(candidates) > 1:
        raise Refused("several sleeves", count=len(candidates), called=_called(candidates))
    if candidates[0] is not None:
        return lines_of(svg, candidates[0])
    outside = transform_within(loose_seams[0], svg)
    if not can_be_seen(affine_of(outside)):
        raise Refused("drawing unreadable")
    return loose._replace(base=-outside)


def _holds_a_seam(svg: inkex.SvgDocumentElement, layer: inkex.BaseElement | None) -> bool:
    lines = lines_of(svg, layer)
    return bool(lines.all(SEAM_LINE) or unnamed_seams(lines))


def _is_in(element: inkex.BaseElement, sleeve: inkex.BaseElement | None) -> bool:
    owners = [e for e in (element, *element.iterancestors()) if part_of(e) == SLEEVE]
    return sleeve in owners if sleeve is not None else not owners and part_of(element) is not None


# --- what it is now -----------------------------------------------------------------------------------


def read_sleeve(layer: inkex.BaseElement, scaled: str = "ask") -> SleeveInDocument:
    """Return what the sleeve in ``layer`` is now.  Raises :class:`Refused` with a sentence, see :func:`read_lines`."""
    try:
        return read_lines(lines_of(layer.getroottree().getroot(), layer), scaled)
    except Broken as broken:
        raise Refused("seam line broken", what=broken.problems[0]) from broken


def read_lines(lines: Lines, scaled: str = "ask") -> SleeveInDocument:
    """Return what the sleeve is now.

    ``scaled`` says what holds where it has another size than it was drafted in: its new size was
    ``meant``, or the scale is to be taken back (``undo``); ``ask`` raises :class:`Scaled`.  Raises
    :class:`geometry.editing.refinding.Broken` where the Seam line can't be measured and :class:`Refused` where
    it or the record is missing.
    """
    try:
        return _read(lines, scaled)
    except Refused:
        raise
    except (ValueError, ArithmeticError, np.linalg.LinAlgError) as error:  # numbers that are none, or make all flat
        raise Refused("drawing unreadable") from error


def _read(lines: Lines, scaled: str) -> SleeveInDocument:
    seams = lines.all(SEAM_LINE) or unnamed_seams(lines)
    if not seams:
        raise Refused("seam line gone")
    record = read_record(seams[0] if lines.layer is None else lines.layer, seams[0])
    typed = {**DEFAULTS, **record["typed"]}  # an earlier version did not ask everything yet
    given = read_given(typed, typed["unit"])
    corners, drawn = stored_corners(seams[0]), text_of(seams[0], "drawn")
    if corners is None and lines.layer is not None:  # Break Apart takes our marks off the line; the layer has a copy
        corners, drawn = stored_corners(lines.layer), text_of(lines.layer, "drawn")
    before = curve_of(drawn or "")
    if corners is None:
        drafted = drafted_seam(decide_again(typed, given))
        corners, before = corners_of(drafted), drafted.closed()
    pieces = [curve for seam in seams for curve in curve_from_path(seam, lines.transform(seam))]
    if not pieces:
        raise Refused("seam line without nodes")
    if any(np.abs(piece.segments).max() > FARTHEST for piece in pieces):
        raise Refused("drawing unreadable")
    refound = refind(pieces, corners, before, rings_of(lines))
    turned_over = text_of(seams[0], "turned_over") == "meant"
    seat = take_seat(lines.to_page(), refound.motion, corners.mean(axis=0), scaled, turned_over)
    outline = refound.outline if seat.growth == IDENTITY else refound.outline.transformed(seat.growth.matrix)
    known, kept = numbers_before(seams[0], typed)
    planned = heights_planned(typed, given, outline)
    tiers = read_tiers(lines, seat, known, planned)
    missing = sorted(set(kept) - {tier.line.number for tier in tiers})
    tiers = _by_number([*tiers, *unnamed_tiers(lines, seat, outline, missing, planned)])
    seam_as_drawn = seat.is_the_layers and is_as_drawn(seams[0], outline.closed(), lines)
    return SleeveInDocument(
        layer=lines.layer,
        typed=typed,
        given=given,
        unit=typed["unit"],
        label=printable(typed["label"]),
        seam_element=seams[0],
        outline=outline,
        drawn_tiers=tiers,
        edited=not (seam_as_drawn and all(tier.as_drawn for tier in tiers) and [tier.line.number for tier in tiers] == kept),
        seam_as_drawn=seam_as_drawn,
        lines=lines,
        corners=corners,
        seat=seat,
        known_tiers=known,
    )


def unit_of(lines: Lines) -> str:
    """Return the unit of a sleeve, also where nothing but its record can be read; "cm" where that can't either."""
    seam = next(iter(lines.all(SEAM_LINE)), None)
    keeper = seam if lines.layer is None else lines.layer
    try:
        return "in" if keeper is not None and read_record(keeper, seam)["typed"]["unit"] == "in" else "cm"
    except (Refused, KeyError, TypeError):
        return "cm"


def unnamed_seams(lines: Lines) -> list[inkex.BaseElement]:
    """Return what is the Seam line though nothing says so, as after Break Apart: the shapes without a mark in its layer.

    Where she has drawn others there, those that have nodes of it where they were.
    """
    found = _unnamed_in(lines, SEAM_LAYER)
    if len(found) < 2 or lines.layer is None:
        return found
    return [element for element in found if any(of_the_seam(lines, c) for c in curve_from_path(element, lines.transform(element)))] or found


def of_the_seam(lines: Lines, curve: Curve) -> bool:
    """Whether a curve (millimetres of the layer) has nodes of the Seam line where they were; :class:`Refused` without a record."""
    before = None if lines.layer is None else curve_of(text_of(lines.layer, "drawn") or "")
    if before is None:
        typed = {**DEFAULTS, **read_record(lines.layer)["typed"]}
        before = drafted_seam(decide_again(typed, read_given(typed, typed["unit"]))).closed()
    return int((distances(before.nodes, curve.nodes).min(axis=1) <= AT_PLACE).sum()) >= 2


def _unnamed_in(lines: Lines, layer: str) -> list[inkex.BaseElement]:
    """Return the shapes in one of our layers that bear neither a mark nor a name."""
    return [
        element
        for element in lines.unmarked
        if not label_of(element) and any(part_of(parent) == layer for parent in element.iterancestors())
    ]


def numbers_before(seam: inkex.BaseElement, typed: dict) -> tuple[list[int], list[int]]:
    """Return the numbers of all tier lines that there have been, and of those there were when last drafted or re-measured."""
    drafted = numbers_planned(int(typed["tiers"]), typed["tier_part"], typed["unit"])
    try:
        known, kept = ([int(n) for n in (text_of(seam, name) or "").split()] for name in ("tiers_known", "tiers_kept"))
    except ValueError:
        return drafted, drafted
    return known or drafted, kept if text_of(seam, "tiers_kept") is not None else drafted


def decide_again(typed: dict, given: Given) -> Decided:
    """Return what the record decides, before any edit by hand."""
    return _decided(tuple(typed.items()), given)


@lru_cache(maxsize=4)  # a command asks for it, and so do the checks before it
def _decided(record: tuple[tuple[str, str], ...], given: Given) -> Decided:
    typed = dict(record)
    changes = read_changes(typed.get("fitting_changes", ""))
    return decide(given, int(typed["tiers"]), typed["spacing_snap"], typed["unit"], read_style(typed), changes)


def stored_corners(seam: inkex.BaseElement) -> np.ndarray | None:
    """Return the corners (6, 2) as they were last drafted or re-measured, in the order of CORNERS, or
    None where they are lost.
    """
    try:
        corners = np.array([[float(x) for x in pair.split(",")] for pair in (text_of(seam, "corners") or "").split()])
    except ValueError:
        return None
    return corners if corners.shape == (len(CORNERS), 2) and np.isfinite(corners).all() else None


def corners_of(outline: Outline) -> np.ndarray:
    """Return the corners (6, 2) of an outline, in the order of CORNERS."""
    return np.array([outline.corner(name) for name in CORNERS])


def rings_of(lines: Lines) -> np.ndarray:
    """Return where (k, 2) rings still stand that asked which node is a corner, in coordinates of the layer."""
    asked = [mark for mark in lines.all("truing mark") if text_of(mark, "asks")]
    curves = [curve for mark in asked for curve in curve_from_path(mark, lines.transform(mark))]
    return np.array([(np.array(curve.bounds())[:2] + curve.bounds()[2:]) / 2 for curve in curves]).reshape(-1, 2)


def take_seat(to_page: Affine, motion: Affine, about: np.ndarray, scaled: str, turned_over: bool = False) -> Seat:
    """Return the frame of a sleeve whose layer's coordinates go ``to_page``.

    Where its size has changed the frame is turned back to true millimetres around the point ``about``.
    Raises :class:`Scaled` where the size has changed and ``scaled`` is ``ask``.
    """
    drawn_to_page = to_page if motion == IDENTITY else to_page @ motion
    off = drawn_to_page.distortion
    if off > SCALE_ASKED and scaled == "ask":
        across, down = drawn_to_page.factors
        (ax, bx), (ay, by) = drawn_to_page.linear
        lean = abs(90 - float(np.degrees(np.arccos(np.clip((ax * bx + ay * by) / (across * down), -1, 1)))))
        if lean > SKEW_ASKED:
            raise Scaled("sleeve skewed", lean=float(lean), across=across, down=down)
        if abs(across - down) < ONE_SCALE:
            raise Scaled("sleeve scaled", across=across)
        raise Scaled("sleeve scaled unevenly", across=across, down=down)
    if drawn_to_page.mirrors and not turned_over and scaled == "ask":
        raise Scaled("sleeve turned over")
    placed = drawn_to_page.rigid_part(about)
    if placed.mirrors and scaled == "undo":
        flip = Affine(-1.0, 0.0, 0.0, 1.0, 2 * float(about[0]), 0.0)
        placed = placed @ flip
        return Seat(motion, IDENTITY, motion.inverse(), placed, is_the_layers=False)
    take_back = off > SCALE_ASKED and scaled == "undo"
    growth = IDENTITY if off <= SCALE_NOISE or take_back else placed.inverse() @ drawn_to_page
    if motion == IDENTITY:
        # Where a scale is taken back the lines stay, but the layer's transform is to be set.
        return Seat(motion, growth, growth, placed, is_the_layers=growth == IDENTITY and not take_back)
    return Seat(motion, growth, growth @ motion.inverse(), placed, is_the_layers=False)


def is_as_drawn(element: inkex.BaseElement, curve: Curve, lines: Lines) -> bool:
    """Whether ``element``, which draws ``curve``, is as it was last drawn, node by node."""
    drawn = text_of(element, "drawn")
    if not drawn:
        return False
    if drawn == element.attrib.get("d") and not lines.transform(element):
        return True
    then = curve_of(drawn)
    return then is not None and written_alike(then, curve, ON_SEAM)


def curve_of(data: str) -> Curve | None:
    """Return the first curve of path data, or None where there is none."""
    return next(iter(curves_of(data)), None)


def curves_of(data: str) -> list[Curve]:
    """Return the curves of path data."""
    path = inkex.PathElement()
    path.set("d", data)
    return curve_from_path(path)


def curve_as_written(curve: Curve) -> Curve:
    """Return a curve as its path data will say it."""
    return curve_of(path_data(curve)) or curve


def written_alike(one: Curve, other: Curve, within: float) -> bool:
    """Whether two curves are the same, node by node, to within so many millimetres, as their path data would say them.

    A straight piece is written as a line, wherever on it its handles lie, as where she has made a node beside it smooth.
    """
    here, there = curve_as_written(one), curve_as_written(other)
    return len(here) == len(there) and bool(np.abs(here.segments - there.segments).max() <= within)


def read_tiers(lines: Lines, seat: Seat, known: Sequence[int] = (), planned: Mapping[int, float] = MappingProxyType({})) -> list[DrawnTier]:
    """Return the tier lines as they are drawn.

    They come by number, and by height where numbers are equal.  A line that she left alone while she
    moved the Seam line as a whole goes with it.  Lines that were combined into one path are each one of their own; from
    the top down they have the numbers of their paths and those that are missing of the ``known``, see
    :func:`geometry.editing.tier_lines.numbers_for`.  Raises :class:`geometry.editing.refinding.Broken` for a stray piece.
    """
    whole, combined, own = [], [], []
    for element in lines.all(TIER_LINE):
        number = tier_number(element)
        drawn = _drawn_in(element, number, lines, seat)
        if len(drawn) == 1:
            whole += drawn
        elif drawn:
            combined += drawn
            own.append(number)
    missing = set(known) - {tier.line.number for tier in whole}
    return _by_number([*whole, *_numbered(combined, own, missing, planned)])


def unnamed_tiers(lines: Lines, seat: Seat, outline: Outline, missing: Sequence[int], planned: Mapping[int, float]) -> list[DrawnTier]:
    """Return the tier lines that nothing but their place tells, as after Combine and Break Apart: lines without a mark or a name
    in the layer of the tier lines that span the sleeve.

    They get the numbers that are ``missing``; where there are none, there are no such lines.  Raises
    :class:`geometry.editing.refinding.Broken` where there are more lines than numbers.
    """
    if not missing:
        return []
    found = []
    for element in _unnamed_in(lines, TIER_LAYER):
        with suppress(Broken):  # of a path with strays beside a line it is not sure enough that it is one
            found += [tier._replace(unnamed=True) for tier in _drawn_in(element, 0, lines, seat) if spans(outline, tier.line.curve)]
    if len(found) > len(missing):
        places = seat.inward.inverse().apply(np.array([tier.line.curve.point(len(tier.line.curve) / 2) for tier in found]))
        raise Broken("tier lines without a name", places, count=len(found), missing=len(missing))
    return _numbered(found, (), missing, planned)


def _drawn_in(element: inkex.BaseElement, number: int, lines: Lines, seat: Seat) -> list[DrawnTier]:
    """Return the tier lines that one path draws, all with its ``number``; none where all its nodes are deleted, and so is the line."""
    curves = curve_from_path(element, lines.transform(element))
    centre = stroke_centre(curves[0]) if len(curves) == 1 else None
    several = [Joined(centre)] if centre is not None else lines_in(curves, number) if curves else []
    as_drawn = len(several) == 1 and is_as_drawn(element, several[0].curve, lines)
    seated = None if seat.is_the_layers else (seat.growth if as_drawn else seat.inward).matrix
    return [
        DrawnTier(element, TierLine(number, curve if seated is None else curve.transformed(seated)), as_drawn, gap, outlined=centre is not None)
        for curve, gap in several
    ]


def _numbered(tiers: Sequence[DrawnTier], own: Sequence[int], missing: Iterable[int], planned: Mapping[int, float]) -> list[DrawnTier]:
    numbers = numbers_for([height(tier.line.curve) for tier in tiers], own, missing, planned)
    return [tier._replace(line=tier.line._replace(number=number)) for tier, number in zip(tiers, numbers)]


def _by_number(tiers: Iterable[DrawnTier]) -> list[DrawnTier]:
    return sorted(tiers, key=lambda tier: (tier.line.number, height(tier.line.curve)))


def heights_planned(typed: dict, given: Given, outline: Outline) -> dict[int, float]:
    """Return at which height on an ``outline`` each tier line would stand as drafted, by number."""
    plan, top = decide_again(typed, given).plan, top_edge_height(outline)
    return {number: top + level for number, level in zip(plan.numbers, plan.levels)}


def tier_number(element: inkex.BaseElement) -> int:
    """Return the number that a tier line bears: our own, else the one in its label."""
    if part_of(element) == TIER_LINE:
        return int(number_of(element, "number"))
    return int(_LABELS[TIER_LINE].fullmatch(label_of(element))[1])


def label_of(element: inkex.BaseElement) -> str:
    """Return the name that an element bears, empty where it has none."""
    return element.attrib.get(LABEL) or ""


def _tag(element: inkex.BaseElement) -> str:
    return str(element.tag).rpartition("}")[2]
