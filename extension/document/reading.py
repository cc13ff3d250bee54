"""Reads a sleeve back from her document, as it stands there now, whatever she and the editor did to it."""
from __future__ import annotations

import re
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.parts import find_parts, number_of, part_of, read_record, text_of
from extension.document.paths import curve_from_path
from extension.document.scale import millimetres_to_user, transform_within
from extension.drawing.lettering import printable
from extension.wording import notes
from geometry.curves.curve import Curve
from geometry.editing.refinding import IDENTITY, Broken, compose, inverse, refind, rigid_part
from geometry.editing.retrimming import ON_SEAM
from geometry.measuring.given import Given, read_given
from geometry.measuring.measurements import DEFAULTS, read_style
from geometry.refusal import Refused
from geometry.sleeve.draft import Decided, decide
from geometry.sleeve.marks import TierLine
from geometry.sleeve.outline import CORNERS, Outline

#: A sleeve's scale may be off by this share before we ask whether that was meant: 1 mm in a metre.
SCALE_ASKED = 1e-3

#: Less than this share is what transforms lose when they are written down.
SCALE_NOISE = 1e-5

#: What a line is called where it has lost our mark, or is hers and stands in for one of ours.
_LABELS = {
    "seam line": re.compile(r"\s*seam line\s*", re.IGNORECASE),
    "tier line": re.compile(r"\s*tier line\s*(\d+)\s*", re.IGNORECASE),
    "cutting line": re.compile(r"\s*cutting line\s*", re.IGNORECASE),
    "body line": re.compile(r"\s*body line\s*", re.IGNORECASE),
    "grain line": re.compile(r"\s*grain line\s*", re.IGNORECASE),
    "level line": re.compile(r"\s*(.+) level\s*", re.IGNORECASE),
}
_SHAPES = ("path", "line", "polyline", "polygon", "rect", "circle", "ellipse")


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
        if part not in _LABELS or (marked and part != "tier line"):
            return marked
        return marked + [element for element in self.unmarked if _LABELS[part].fullmatch(label_of(element))]

    def transform(self, element: inkex.BaseElement) -> inkex.Transform:
        """Return the transform from the coordinates inside ``element`` to those of the sleeve's layer."""
        if element is self.layer:
            return inkex.Transform()
        within = transform_within(element, self.svg if self.layer is None else self.layer)
        return self.base @ within

    def to_page(self) -> np.ndarray:
        """Return the affine map (2, 3) from coordinates of the layer to true millimetres of the page."""
        inside = -self.base if self.layer is None else transform_within(self.layer, self.svg)
        return np.array((-millimetres_to_user(self.svg) @ inside).matrix, dtype=float)


def lines_of(svg: inkex.SvgDocumentElement, layer: inkex.BaseElement | None) -> Lines:
    """Return the elements of the sleeve in ``layer``, but not of one that she moved into it; the loose
    ones of the document where that is None.
    """
    marked: dict[str, list[inkex.BaseElement]] = {}
    unmarked: list[inkex.BaseElement] = []

    def look(parent: inkex.BaseElement) -> None:
        for element in parent.iterchildren("*"):
            part = part_of(element)
            if part == "sleeve":
                continue
            if part is not None:
                marked.setdefault(part, []).append(element)
            elif layer is not None and _tag(element) in _SHAPES:
                unmarked.append(element)
            look(element)

    look(svg if layer is None else layer)
    return Lines(svg, layer, inkex.Transform(), marked, unmarked)


class Seat(NamedTuple):
    """How a sleeve's frame lies, as affine maps (2, 3).

    ``motion`` is how she moved the Seam line as a whole inside the layer, ``growth`` takes the frame in
    which it was drawn to that of the sleeve now (the identity but for a scale that was meant), ``inward``
    takes coordinates of the layer to the sleeve's frame, ``placed`` takes those to millimetres of the page.
    """

    motion: np.ndarray
    growth: np.ndarray
    inward: np.ndarray
    placed: np.ndarray

    @property
    def is_the_layers(self) -> bool:
        """Whether the sleeve's frame is still that of its layer."""
        return self.inward is IDENTITY


class SleeveInDocument(NamedTuple):
    """A sleeve as it is drawn now, in true millimetres of its own frame, see :class:`Seat`.

    ``given`` holds the measurements it was drafted from and ``typed`` everything as typed;
    ``edited`` says that its lines are no longer as they were last drafted or re-measured; ``seam_as_drawn``
    and ``tiers_as_drawn`` say which are.  ``corners`` are where the corners were then; ``tier_elements`` and
    ``tiers_as_drawn`` go with ``tiers``, one to one.
    """

    layer: inkex.BaseElement | None
    typed: dict
    given: Given
    unit: str
    label: str
    seam_element: inkex.BaseElement
    outline: Outline
    tiers: list[TierLine]
    edited: bool
    tier_elements: list[inkex.BaseElement]
    seam_as_drawn: bool
    tiers_as_drawn: list[bool]
    lines: Lines
    corners: np.ndarray
    seat: Seat


# --- which sleeve -------------------------------------------------------------------------------------


def find_sleeve(svg: inkex.SvgDocumentElement) -> inkex.BaseElement:
    """Return the sleeve that is selected (or any part of it), else the only one; :class:`Refused` else."""
    lines = find_lines(svg)
    if lines.layer is None:
        raise Refused(
            "The layer of this sleeve was ungrouped. Run Extensions > Tiered Sleeve > Re-measure After Editing… first:"
            " it gathers the lines into a layer again."
        )
    return lines.layer


def find_lines(svg: inkex.SvgDocumentElement) -> Lines:
    """Return where the lines of the sleeve are that is selected, else of the only one; :class:`Refused` else.

    Lines whose layer was ungrouped make a sleeve too, where there is but one such Seam line.
    """
    sleeves: list[inkex.BaseElement | None] = list(find_parts(svg, "sleeve"))
    loose = lines_of(svg, None)
    loose_seams = loose.all("seam line")
    if loose_seams:
        sleeves.append(None)
    chosen = list(svg.selection)
    picked = [s for s in sleeves if any(_is_in(e, s) for e in chosen)]
    candidates = picked or sleeves
    if not candidates:
        raise Refused("There is no sleeve in this document yet. Draw one with Extensions > Tiered Sleeve > Draft Sleeve….")
    if len(candidates) > 1:
        raise Refused(f"There are {len(candidates)} sleeves here. Select the one that is meant (any line of it) and try again.")
    if candidates[0] is not None:
        return lines_of(svg, candidates[0])
    return loose._replace(base=-transform_within(loose_seams[0], svg))


def _is_in(element: inkex.BaseElement, sleeve: inkex.BaseElement | None) -> bool:
    owners = [e for e in (element, *element.iterancestors()) if part_of(e) == "sleeve"]
    return sleeve in owners if sleeve is not None else not owners and part_of(element) is not None


# --- what it is now -----------------------------------------------------------------------------------


def read_sleeve(layer: inkex.BaseElement, scaled: str = "ask") -> SleeveInDocument:
    """Return what the sleeve in ``layer`` is now.  Raises :class:`Refused` with a sentence, see :func:`read_lines`."""
    try:
        return read_lines(lines_of(layer.getroottree().getroot(), layer), scaled)
    except Broken as broken:
        raise Refused(f"{broken} {notes.SEE_WHERE}") from broken


def read_lines(lines: Lines, scaled: str = "ask") -> SleeveInDocument:
    """Return what the sleeve is now.

    ``scaled`` says what holds where it has another size than it was drafted in: its new size was
    ``meant``, or the scale is to be taken back (``undo``); ``ask`` raises :class:`Scaled`.  Raises
    :class:`geometry.editing.refinding.Broken` where the Seam line can't be measured and :class:`Refused` where
    it or the record is missing.
    """
    seams = lines.all("seam line")
    if not seams:
        raise Refused("This sleeve has no Seam line any more. Undo until it is back, or draft the sleeve again.")
    record = read_record(seams[0] if lines.layer is None else lines.layer, seams[0])
    typed = {**DEFAULTS, **record["typed"]}  # an earlier version did not ask everything yet
    given = read_given(typed, typed["unit"])
    corners = stored_corners(seams[0])
    if corners is None:
        corners = corners_of(decide_again(typed, given).block.seam)
    pieces = [curve for seam in seams for curve in curve_from_path(seam, lines.transform(seam))]
    if not pieces:
        raise Refused("The Seam line of this sleeve has no nodes any more. Undo until it is back, or draft the sleeve again.")
    refound = refind(pieces, corners)
    seat = take_seat(lines.to_page(), refound.motion, corners.mean(axis=0), scaled)
    outline = refound.outline if seat.growth is IDENTITY else refound.outline.transformed(seat.growth)
    elements, tiers, tiers_as_drawn = read_tiers(lines, seat)
    seam_as_drawn = seat.is_the_layers and is_as_drawn(seams[0], outline.closed(), lines)
    return SleeveInDocument(
        layer=lines.layer,
        typed=typed,
        given=given,
        unit=typed["unit"],
        label=printable(typed["label"]),
        seam_element=seams[0],
        outline=outline,
        tiers=tiers,
        edited=not (seam_as_drawn and all(tiers_as_drawn)),
        tier_elements=elements,
        seam_as_drawn=seam_as_drawn,
        tiers_as_drawn=tiers_as_drawn,
        lines=lines,
        corners=corners,
        seat=seat,
    )


def decide_again(typed: dict, given: Given) -> Decided:
    """Return what the record decides, before any edit."""
    return decide(given, int(typed["tiers"]), typed["spacing_snap"], typed["unit"], read_style(typed))


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


def take_seat(to_page: np.ndarray, motion: np.ndarray, about: np.ndarray, scaled: str) -> Seat:
    """Return the frame of a sleeve whose layer's coordinates go ``to_page``.

    Where its size has changed the frame is turned back to true millimetres around the point ``about``.
    Raises :class:`Scaled` where the size has changed and ``scaled`` is ``ask``.
    """
    drawn_to_page = to_page if motion is IDENTITY else compose(to_page, motion)
    off = float(np.abs(np.linalg.svd(drawn_to_page[:, :2], compute_uv=False) - 1).max())
    if off > SCALE_ASKED and scaled == "ask":
        across, down = np.hypot(*drawn_to_page[:, :2])
        raise Scaled(notes.scaled(across, down))
    placed = rigid_part(drawn_to_page, about)
    take_back = off > SCALE_ASKED and scaled == "undo"
    growth = IDENTITY if off <= SCALE_NOISE or take_back else compose(inverse(placed), drawn_to_page)
    if growth is IDENTITY and motion is IDENTITY:
        # Nothing to bring along, but a scale that is taken back leaves the layer's transform to be set.
        return Seat(motion, growth, IDENTITY.copy() if take_back else IDENTITY, placed)
    inward = growth if motion is IDENTITY else compose(growth, inverse(motion))
    return Seat(motion, growth, inward, placed)


def is_as_drawn(element: inkex.BaseElement, curve: Curve, lines: Lines) -> bool:
    """Whether ``element``, which draws ``curve``, is as it was last drawn, node by node."""
    drawn = text_of(element, "drawn")
    if not drawn:
        return False
    if drawn == element.attrib.get("d") and not lines.transform(element):
        return True
    then = curve_of(drawn)
    return then is not None and len(then) == len(curve) and bool(np.abs(then.segments - curve.segments).max() <= ON_SEAM)


def curve_of(data: str) -> Curve | None:
    """Return the first curve of path data, or None where there is none."""
    path = inkex.PathElement()
    path.set("d", data)
    return next(iter(curve_from_path(path)), None)


def read_tiers(lines: Lines, seat: Seat) -> tuple[list[inkex.BaseElement], list[TierLine], list[bool]]:
    """Return the elements of the tier lines, the lines in the sleeve's frame, and which are as last drawn.

    They come by number, and by height where numbers are equal.  A line that she left alone while she
    moved the Seam line as a whole goes with it.
    """
    found = []
    for element in lines.all("tier line"):
        curves = curve_from_path(element, lines.transform(element))
        if not curves:
            continue  # all its nodes are deleted, and so is the line
        curve = max(curves, key=lambda c: c.length(1e-3)) if len(curves) > 1 else curves[0]
        as_drawn = is_as_drawn(element, curve, lines)
        if not seat.is_the_layers:
            curve = curve.transformed(seat.growth if as_drawn else seat.inward)
        found.append((tier_number(element), float(curve.nodes[:, 1].mean()), element, curve, as_drawn))
    found.sort(key=lambda row: row[:2])
    return [row[2] for row in found], [TierLine(row[0], row[3]) for row in found], [row[4] for row in found]


def tier_number(element: inkex.BaseElement) -> int:
    """Return the number that a tier line bears: our own, else the one in its label."""
    if part_of(element) == "tier line":
        return int(number_of(element, "number"))
    return int(_LABELS["tier line"].fullmatch(label_of(element))[1])


def label_of(element: inkex.BaseElement) -> str:
    return element.get("inkscape:label") or ""


def _tag(element: inkex.BaseElement) -> str:
    return str(element.tag).rpartition("}")[2]
