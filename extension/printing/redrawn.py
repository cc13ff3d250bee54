"""The pattern drawn anew, for what is not cut from as it stands: at another scale, with other lines and larger lettering.

Copies would not do: lines and lettering keep their size while the drawing changes its own, so that all lettering has to
find its place again.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import inkex
import numpy as np

from extension.document.extents import boxes_of
from extension.document.part_names import LEADER
from extension.document.parts import part_of
from extension.document.paths import path_data
from extension.document.scale import FARTHEST, affine_of, to_millimetres
from extension.drawing.lettering import printable, wrap_tied
from extension.drawing.pens import draw_data, drawn_text_box, text_box
from extension.drawing.sheet import Sheet
from extension.printing.printed_parts import SHAPES, Part, curves_of, in_millimetres, shown_objects
from geometry.box import Box
from geometry.curves.arrays import Array, Flags
from geometry.curves.curve import Curve
from geometry.paper.relettering import boxes_near, in_sight
from geometry.refusal import Refused

#: What lettering is broken into where it finds no room as it was: rows so many times shorter.
_SHORTER = (0.6, 0.4, 0.28)

#: Rows below a narrow piece are so many times as long as high.
_LEAST_ROW = 14

#: Curves are followed to within this where lettering keeps off them, millimetres of the new drawing.
_FOLLOW = 0.2

#: Where a style tells no width, that of a narrow line.
_NARROW = 0.25

_TEXT = f"{{{inkex.NSS['svg']}}}text"


class Stroke(NamedTuple):
    """A line as it is drawn, in true millimetres; one that is ``filled`` has no width."""

    curve: Curve
    width: float
    dashes: tuple[float, ...]
    filled: bool


class Words(NamedTuple):
    """Lettering as it is drawn: its rows, and the box they take in true millimetres."""

    rows: list[str]
    box: Box
    bold: bool


class Pattern(NamedTuple):
    """What is drawn of one piece."""

    strokes: list[Stroke]
    words: list[Words]

    def pieces(self) -> Iterator[Pattern]:
        """Yield what belongs to each group of closed lines that lie in or over each other; nothing where no line is closed."""
        groups = _groups([Box(*stroke.curve.bounds()) for stroke in self.strokes if stroke.curve.is_closed and not stroke.filled])
        if not groups:
            return
        strokes: list[list[Stroke]] = [[] for _ in groups]
        words: list[list[Words]] = [[] for _ in groups]
        for stroke in self.strokes:
            strokes[_nearest(groups, Box(*stroke.curve.bounds()))].append(stroke)
        for each in self.words:
            words[_nearest(groups, each.box)].append(each)
        yield from map(Pattern, strokes, words)

    def cut(self) -> Box:
        """Return the box of what is cut out: of the closed lines."""
        return Box.united(Box(*stroke.curve.bounds()) for stroke in self.strokes if stroke.curve.is_closed and not stroke.filled)


def _groups(boxes: Sequence[Box]) -> list[Box]:
    """Return the boxes, those that overlap united."""
    groups: list[Box] = []
    for box in boxes:
        group = box
        while any(group.overlaps(other) for other in groups):
            apart = [other for other in groups if not group.overlaps(other)]
            group = Box.united([group, *(other for other in groups if other not in apart)])
            groups = apart
        groups.append(group)
    return groups


def _nearest(groups: Sequence[Box], box: Box) -> int:
    """Return which group a box is in, or nearest to."""
    ways = [np.maximum(0.0, np.maximum(np.subtract(group[:2], box[2:]), np.subtract(box[:2], group[2:]))) for group in groups]
    return int(np.argmin([np.hypot(*way) for way in ways]))


class Look(NamedTuple):
    """How a pattern is drawn anew: ``scale`` times as large, lines ``wider`` times as wide and dashes as long, none
    narrower than ``least`` millimetres, lettered in the first of ``sizes`` that finds room, all in one colour.
    """

    scale: float
    wider: float
    least: float
    sizes: Sequence[float]
    ink: str


def patterns_of(svg: inkex.SvgDocumentElement, parts: Iterable[Part]) -> list[Pattern]:
    """Return what shows of those parts that are patterns, piece by piece.  Raises :class:`Refused` where that is nothing."""
    patterns = [piece for part in parts if part.is_pattern for piece in read_pattern(svg, part.elements).pieces()]
    if not patterns:
        raise Refused("nothing to print")
    return patterns


def read_pattern(svg: inkex.SvgDocumentElement, elements: Iterable[inkex.BaseElement]) -> Pattern:
    """Return what shows of the elements.  Pictures and clones are left out: their lines are not in the document."""
    strokes: list[Stroke] = []
    words: list[Words] = []
    for element in shown_objects(elements):
        if element.tag == _TEXT:
            words += _words_of(svg, element)
        elif element.tag in SHAPES and part_of(element) != LEADER:  # lettering that moves would leave its leader
            strokes += strokes_of(element)
    return Pattern(strokes, words)


def put_at(panels: Sequence[Sheet], places: Sequence[tuple[float, float]]) -> None:
    """Put the left top corner of what each filled panel holds at its place."""
    for panel, (x, y) in zip(panels, places):
        left, top, _, _ = panel.bounds
        panel.layer.attrib["transform"] = f"translate({x - left:.4f}, {y - top:.4f})"


def redraw(sheet: Sheet, pattern: Pattern, look: Look) -> None:
    """Draw a pattern into a sheet, its own place times the scale, lettering as near as can be to where it stood.

    Tiers' numbers come first, since they have no place but at their lines, then names.  What stood beside it, or finds no
    room in it, stands below it.
    """
    lines = [stroke.curve.transformed(look.scale * np.eye(2, 3)) for stroke in pattern.strokes]
    for line, stroke in zip(lines, pattern.strokes):
        sheet.follow(line)
        draw_data(sheet.layer, path_data(line), style_of(stroke, look), "Line", "redrawn line")
    flat = [line.flatten(_FOLLOW) for line in lines]
    segments = np.concatenate([np.empty((0, 4)), *(np.hstack([points[:-1], points[1:]]) for points in flat)])
    outside = [words for words in pattern.words if not pattern.cut().overlaps(words.box)]
    inside = sorted((words for words in pattern.words if words not in outside), key=lambda words: (not _is_number(words), not words.bold))
    level = np.abs(segments[:, 2] - segments[:, 0]) >= np.abs(segments[:, 3] - segments[:, 1])
    homeless = [words for words in inside if not _letter_near(sheet, words, look, segments[_holding(words, level)])]
    _letter_below(sheet, [words for words in homeless if not _is_number(words)] + outside, look)


def _holding(words: Words, level: Flags) -> Flags:
    """Return which segments, some of them ``level``, words may not leave: a number stays at its line, a name on its half, FRONT or BACK."""
    if _is_number(words):
        return level
    return np.logical_not(level) if words.bold else np.ones_like(level)


def _is_number(words: Words) -> bool:
    """Whether it is a tier's number only, which that tier's length repeats."""
    return len(words.rows) == 1 and words.rows[0].isdigit()


# --- reading ---------------------------------------------------------------------------------------------


def _words_of(svg: inkex.SvgDocumentElement, text: inkex.TextElement) -> Iterator[Words]:
    rows = [printable("".join(span.itertext())) for span in text] or [printable("".join(text.itertext()))]
    rows = [row for row in rows if row]
    box = drawn_text_box(text)
    boxes = [affine_of(to_millimetres(text)).apply_to_box(box)] if box else in_millimetres(svg, boxes_of(svg, [text]))
    if rows and boxes:
        yield Words(rows, Box.united(boxes), "font-weight:bold" in text.attrib.get("style", "").replace(" ", ""))


def strokes_of(element: inkex.ShapeElement) -> Iterator[Stroke]:
    """Yield the curves of a shape as they are drawn; none where it can't be read."""
    style = dict(pair.split(":", 1) for pair in element.attrib.get("style", "").replace(" ", "").split(";") if ":" in pair)
    across, down = affine_of(to_millimetres(element)).factors
    size = float(np.sqrt(abs(across * down)))
    dashes = tuple(size * _number(each, 0.0) for each in style.get("stroke-dasharray", "none").split(",") if each != "none")
    filled = style.get("stroke") == "none" and style.get("fill") != "none"
    for curve in curves_of(element) or []:
        if np.abs(curve.segments).max() <= FARTHEST:
            yield Stroke(curve, size * _number(style.get("stroke-width", ""), _NARROW / size), dashes, filled)


def _number(text: str, otherwise: float) -> float:
    try:
        return float(text)
    except ValueError:
        return otherwise


# --- drawing ---------------------------------------------------------------------------------------------


def style_of(stroke: Stroke, look: Look) -> str:
    """Return the style of a line that is drawn anew."""
    if stroke.filled:
        return f"fill:{look.ink};stroke:none"
    width = max(stroke.width * look.wider, look.least)
    dashes = ",".join(f"{max(length * look.wider, width):.4g}" for length in stroke.dashes) or "none"
    return f"fill:none;stroke:{look.ink};stroke-width:{width:.4g};stroke-dasharray:{dashes};stroke-linejoin:round;stroke-linecap:butt"


def _letter_near(sheet: Sheet, words: Words, look: Look, segments: Array) -> bool:
    """Letter words as near as can be to where they stood, with no line between, and return whether there was room."""
    stood = Box(*(look.scale * np.array(words.box)).tolist())
    start = np.array([(stood.left + stood.right) / 2, (stood.top + stood.bottom) / 2])
    for size in look.sizes:
        for rows in _ways(words, size):
            room = text_box(rows, 0.0, 0.0, size, bold=words.bold)
            places = boxes_near(stood, (room.width, room.height), size)
            places = places[sheet.clearance.are_free(places)]
            seen = np.flatnonzero(in_sight(start, (places[:, :2] + places[:, 2:]) / 2, segments)) if len(places) else []
            if len(seen):
                left, top = places[seen[0], :2].tolist()
                sheet.text(sheet.layer, rows, left, top, size=size, bold=words.bold, colour=look.ink)
                return True
    return False


def _ways(words: Words, size: float) -> Iterator[list[str]]:
    """Yield the rows as they are, then broken into shorter ones."""
    yield words.rows
    whole = " ".join(words.rows)
    width = text_box([whole], 0.0, 0.0, size, bold=words.bold).width
    if " " in whole:
        yield from (wrap_tied(whole, size, share * width, words.bold) for share in _SHORTER)


def _sentence(rows: Sequence[str]) -> str:
    """Return rows as one: a new thing after a comma, what runs on from the row before without."""
    whole = rows[0]
    for row in rows[1:]:
        runs_on = whole[-1] in ",;:." or row[0] == "(" or row[0].islower()
        whole += f"{'' if runs_on else ','} {row}"
    return whole.rstrip(".")


def _letter_below(sheet: Sheet, words: Sequence[Words], look: Look) -> None:
    """Letter in rows below the piece, as small as it may be."""
    if words:
        size, bounds = look.sizes[-1], sheet.bounds
        rows = wrap_tied("; ".join(_sentence(each.rows) for each in words) + ".", size, max(bounds.width, _LEAST_ROW * size))
        sheet.text(sheet.layer, rows, bounds.left, bounds.bottom + size / 2, size=size, colour=look.ink)
