"""How large is what she drew, in user units of the document's root.

Measured generously rather than exactly: too large a box costs her some empty space, too small a one her
drawing.  So text is as wide as in a wide bold font, strokes have the longest mitres, clipping is
overlooked, and hidden layers count.
"""
from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

import inkex
from inkex.units import convert_unit

from extension.document.names import HREFS, SVG
from extension.document.numbers import NUMBER, numbers_in
from extension.document.scale import FARTHEST, affine_of, millimetres_to_user, own_transform, viewport
from extension.drawing.lettering import text_width
from geometry.box import Box


def drawn_boxes(svg: inkex.SvgDocumentElement, but: Sequence[inkex.BaseElement] = ()) -> list[Box]:
    """Return where something is drawn, one box for each object, each no smaller than the object; all ``but`` what is in these elements.

    What reaches farther than any drawing does, or nowhere, as numbers in a damaged file say, is overlooked.
    """
    return Survey(svg, but).drawn()


def in_reach(svg: inkex.SvgDocumentElement) -> Box:
    """Return the box, in user units, outside which nothing can be drawn."""
    scale = millimetres_to_user(svg)
    return Box(-FARTHEST * scale.a, -FARTHEST * scale.d, FARTHEST * scale.a, FARTHEST * scale.d)


def boxes_of(svg: inkex.SvgDocumentElement, elements: Iterable[inkex.BaseElement]) -> list[Box]:
    """Return what :func:`drawn_boxes` does, for some elements of the document only."""
    survey = Survey(svg)
    return [box for element in elements for box in survey.boxes_of(element)]


# --- one walk ---------------------------------------------------------------------------------------

_CONTAINERS = {"g", "a", "switch", "flowRegion"}
_SHAPES = {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"}
#: The properties that bear on how large something is.
_LOOKS = (
    "stroke", "stroke-width", "stroke-linejoin", "stroke-miterlimit", "marker-start", "marker-mid",
    "marker-end", "font-size", "letter-spacing", "word-spacing", "text-anchor", "direction",
    "writing-mode", "filter", "shape-inside", "inline-size",
)  # fmt: skip
#: A mitre may reach this many half strokes from the line (the initial value of stroke-miterlimit).
_MITRE_LIMIT = 4.0
#: Arrowheads are drawn within about this many stroke widths of the line's end.
_MARKER_REACH = 10.0
#: A filter (a blur, a shadow) may paint beyond the object: so large a share of its size.
_FILTER_REACH = 0.5
#: Accents and tails stay within these of the base line, in em.
_EM_ABOVE, _EM_BELOW = 1.4, 0.6
_EM_PER_LINE = 1.5
_MEDIUM_TEXT = 16.0  # user units: what CSS's initial font-size comes to
#: Text's share of its width before the point it is anchored to, and after.
_ANCHORED = {"start": (0.0, 1.0), "middle": (0.5, 0.5), "end": (1.0, 0.0)}
#: Anything but the commands whose numbers are all absolute points (e and E are exponents).
_NOT_SIMPLE = r"[^MLCQZzeE\d\s,.+-]"
_SIZES = r"[\d.]+(?:px|pt|pc|mm|cm|in|em|ex|%)"


class Survey:
    """A look at a document that does not change meanwhile: what is asked for again, and the original of clones, is measured once."""

    def __init__(self, svg: inkex.SvgDocumentElement, but: Sequence[inkex.BaseElement] = ()) -> None:
        view = viewport(svg)
        self.svg, self.but = svg, but
        #: What a picture or symbol of no stated size may fill.
        self.page_size = max(view.width / view.scale_x, view.height / view.scale_y)
        self.at_most = _stylesheet_at_most(svg)
        self.reach = in_reach(svg)
        self.originals: dict[str, Box | None] = {}
        #: What was measured: the element, within which transform and looks, and its boxes.
        self.known: dict[inkex.BaseElement, tuple[inkex.Transform, dict, list[Box]]] = {}

    def drawn(self) -> list[Box]:
        """Return what :func:`drawn_boxes` does."""
        return list(self.inside(self.svg, inkex.Transform(), {}))

    def boxes_of(self, element: inkex.BaseElement) -> list[Box]:
        """Return what :func:`boxes_of` does, for one element."""
        outer, looks = inkex.Transform(), {}
        for parent in reversed([parent for parent in element.iterancestors() if parent is not self.svg]):
            outer, looks = outer @ own_transform(parent), self.looks(parent, looks)
        boxes = list(self.of(element, outer, looks))
        self.known[element] = outer, looks, boxes
        return boxes

    def forget(self, elements: Iterable[inkex.BaseElement]) -> None:
        """Measure these anew when they are asked for again: something in them has been moved."""
        for element in elements:
            self.known.pop(element, None)

    def inside(self, parent: inkex.BaseElement, outer: inkex.Transform, looks: dict) -> Iterator[Box]:
        """Boxes of the children of ``parent``, taken through ``outer``."""
        for child in parent:
            if child not in self.but:
                yield from self.of(child, outer, looks)

    def of(self, element: inkex.BaseElement, outer: inkex.Transform, looks: dict) -> Iterator[Box]:
        """Boxes of an element: several for a container, none for what isn't drawn or can't be read."""
        if not isinstance(element.tag, str) or not element.tag.startswith(SVG):
            return
        kind = element.tag[len(SVG) :]
        if kind == "g" and element in self.known:
            within, looked, boxes = self.known[element]
            if within.matrix == outer.matrix and looked == looks:
                yield from boxes
                return
        try:
            transform = outer @ own_transform(element) if "transform" in element.attrib else outer
            looks = self.looks(element, looks)
            if kind in _CONTAINERS or kind == "flowRoot":
                boxes = self.inside(element, transform, looks)
            elif kind == "use":
                boxes = self.clone(element, transform, looks)
            else:
                boxes = [affine_of(transform).apply_to_box(box) for box in self.plain(element, kind, looks)]
            yield from filter(self.reach.encloses, boxes)
        except Exception:  # noqa: BLE001 - whatever is wrong with it, it's her drawing and no reason to stop
            return

    def plain(self, element: inkex.BaseElement, kind: str, looks: dict) -> Iterator[Box]:
        """Boxes of an object without children, in the coordinates inside it."""
        if kind in _SHAPES:
            bounds = _box_of_handles(element.attrib.get("d", "")) or _box_of_shape(element)
            if bounds is not None:
                yield _grown_by_paint(bounds, looks)
        elif kind == "text":
            yield from self.text(element, looks)
        elif kind in ("image", "foreignObject", "svg"):
            left, top = length_in_user_units(element.attrib.get("x")), length_in_user_units(element.attrib.get("y"))
            sides = (element.attrib.get("width"), element.attrib.get("height"))
            width, height = (length_in_user_units(side) or self.page_size for side in sides)
            yield _grown_by_paint(Box(left, top, left + width, top + height), looks)

    def clone(self, element: inkex.BaseElement, transform: inkex.Transform, looks: dict) -> Iterator[Box]:
        """The box of a clone, also of a symbol."""
        box = self.original(element, looks)
        if box is not None:
            shift = inkex.Transform(translate=(length_in_user_units(element.attrib.get("x")), length_in_user_units(element.attrib.get("y"))))
            yield affine_of(transform @ shift).apply_to_box(box)

    def original(self, element: inkex.BaseElement, looks: dict) -> Box | None:
        """The box of what ``element`` refers to, in the coordinates around that."""
        href = next((element.attrib[name] for name in HREFS if name in element.attrib), "")
        key = href.strip().lstrip("#")
        if key not in self.originals:
            self.originals[key] = None  # stands while we measure: a clone of itself shows nothing
            target = self.svg.getElementById(key)
            if target is not None:
                boxes = list(self.symbol_or_object(target, element, looks))
                self.originals[key] = Box.united(boxes) if boxes else None
        return self.originals[key]

    def symbol_or_object(self, target: inkex.BaseElement, clone: inkex.BaseElement, looks: dict) -> Iterator[Box]:
        if target.tag != f"{SVG}symbol":
            yield from self.of(target, inkex.Transform(), looks)
            return
        yield from self.inside(target, own_transform(target), looks)
        numbers = numbers_in(target.attrib.get("viewBox", ""))
        if len(numbers) == 4:
            width, height = (length_in_user_units(clone.attrib.get(name)) or self.page_size for name in ("width", "height"))
            yield Box(0.0, 0.0, width, height)

    def text(self, element: inkex.BaseElement, looks: dict) -> Iterator[Box]:
        """Boxes of text, one for each run that says where it begins."""
        size = max(self.font_sizes(element, looks))
        guides = [self.svg.getElementById(name) for name in _guides_of(element, looks)]
        guides = [guide for guide in guides if guide is not None]
        for guide in guides:
            # Text takes over the guide's shape, wherever in the tree that is, but not its parents.
            for box in self.of(guide, inkex.Transform(), {}):
                yield box.grown(2 * size, 2 * size)
        if not guides:
            for box in _text_boxes(element, size, looks):
                yield _grown_by_paint(box, looks)

    def font_sizes(self, element: inkex.BaseElement, looks: dict) -> Iterator[float]:
        yield _font_size(looks)
        for part in element.iterdescendants(f"{SVG}tspan", f"{SVG}textPath"):
            yield _font_size(self.looks(part, looks))

    def looks(self, element: inkex.BaseElement, inherited: dict) -> dict:
        """What ``element`` looks like, as far as it bears on size: attributes, then style, as CSS has it."""
        looks = {name: value for name, value in inherited.items() if name != "filter"}
        for name in _LOOKS:
            if name in element.attrib:
                looks[name] = element.attrib[name]
        for name, value in self.at_most.items():
            if name == "stroke" or length_in_user_units(value) > length_in_user_units(looks.get(name)):
                looks[name] = value
        for name, value in _declared(element.attrib.get("style", "")):
            if name == "font":  # the shorthand
                looks["font-size"] = next(re.finditer(_SIZES, value), [inherited.get("font-size", "")])[0]
            else:
                looks[name] = value
        own = looks.get("font-size")
        if own is not None and own is not inherited.get("font-size") and not _is_absolute(own):
            looks["font-size"] = str(_font_size(inherited) * _relative_size(own))
        return looks


@lru_cache(maxsize=1024)  # most objects share a few styles
def _declared(style: str) -> tuple[tuple[str, str], ...]:
    """The declarations of a style that bear on size."""
    pairs = (tuple(map(str.strip, declaration.partition(":")[::2])) for declaration in style.split(";"))
    return tuple((name, value) for name, value in pairs if name in _LOOKS or name == "font")


def _stylesheet_at_most(svg: inkex.SvgDocumentElement) -> dict:
    """The widest stroke and largest letters that the document's stylesheets name, for whatever object.

    inkex could work out which rule is whose, but rewrites her style attributes in doing so.
    """
    sheets = " ".join(sheet.text or "" for sheet in svg.iter(f"{SVG}style"))
    at_most = {}
    for name in ("stroke-width", "font-size"):
        values = re.findall(rf"\b{name}\s*:\s*([^;}}]+)", sheets)
        if values:
            at_most[name] = max(values, key=length_in_user_units)
    if re.search(r"\bstroke\s*:", sheets):
        at_most["stroke"] = "black"
    return at_most


def _box_of_handles(data: str) -> Box | None:
    """A box of all points in path data where that is simple, as in all that we draw, else None; much quicker."""
    if re.search(_NOT_SIMPLE, data):
        return None
    numbers = numbers_in(data)
    xs, ys = numbers[::2], numbers[1::2]
    return Box(min(xs), min(ys), max(xs), max(ys)) if ys and len(xs) == len(ys) else None


def _box_of_shape(element: inkex.ShapeElement) -> Box | None:
    bounds = element.path.bounding_box()
    return bounds and Box(bounds.left, bounds.top, bounds.right, bounds.bottom)


def _guides_of(text: inkex.BaseElement, looks: dict) -> list[str]:
    """The ids of the shapes that text flows into or runs along."""
    paths = text.iter(f"{SVG}textPath")
    hrefs = [path.attrib[name] for path in paths for name in HREFS if name in path.attrib]
    return [href[1:] for href in hrefs] + re.findall(r"#([^\"')]+)", looks.get("shape-inside", ""))


def _text_boxes(text: inkex.BaseElement, size: float, looks: dict) -> Iterator[Box]:
    """Boxes of text, one for each run that says where it begins and one for lines the editor breaks."""
    spacing = abs(length_in_user_units(looks.get("letter-spacing"))) + abs(length_in_user_units(looks.get("word-spacing")))
    before, after = _ANCHORED.get(looks.get("text-anchor", "start"), (1.0, 1.0))
    if looks.get("direction") == "rtl":
        before, after = after, before
    vertical = looks.get("writing-mode", "").startswith(("tb", "vertical"))

    runs = list(_text_runs(text, size, spacing))
    inline_size = length_in_user_units(looks.get("inline-size"))
    if inline_size:
        lines = math.ceil(sum(long for _, _, long in runs) / inline_size) + 1
    else:
        lines = sum(span.get("sodipodi:role") == "line" for span in text.iter(f"{SVG}tspan"))
    if lines:
        # The editor sets such lines below the first one, wherever each says it is.
        xs, ys = (_lengths(text.attrib.get(name)) or [0.0] for name in ("x", "y"))
        depth = lines * size * _EM_PER_LINE
        long = inline_size or max(long for _, _, long in runs)
        block = ([*xs, xs[0] - depth], ys, long) if vertical else (xs, [*ys, ys[0] + depth], long)
        runs = [block] if inline_size else [*runs, block]

    ahead = _EM_BELOW * size
    for xs, ys, long in runs:
        left, top, right, bottom = min(xs), min(ys), max(xs), max(ys)
        if vertical:
            yield Box(left - size, top - before * long - ahead, right + size, bottom + after * long + ahead)
        else:
            yield Box(left - before * long - ahead, top - _EM_ABOVE * size, right + after * long + ahead, bottom + ahead)


def _text_runs(element: inkex.BaseElement, size: float, spacing: float) -> Iterator[tuple]:
    """Each run of letters from one given place to the next: its xs, its ys, how long it is at most."""
    xs, ys, long = [0.0], [0.0], 0.0
    for part in element.iter("*"):
        attributes = part.attrib
        places = [_lengths(attributes.get(name)) for name in ("x", "y")]
        if any(places):
            if long:
                yield xs, ys, long
            xs, ys, long = places[0] or xs, places[1] or ys, 0.0
        if "dx" in attributes or "dy" in attributes:
            shifts = [sum(map(abs, _lengths(attributes.get(name)))) for name in ("dx", "dy")]
            xs, ys = xs + [x + shifts[0] for x in xs if shifts[0]], ys + [y + s for y in ys for s in (-shifts[1], shifts[1]) if s]
        for words in (part.text, part.tail):
            letters = " ".join(words.split()) + " " if words else ""
            long += text_width(letters, size, bold=True) + len(letters) * spacing
    yield xs, ys, long


def _grown_by_paint(box: Box, looks: dict) -> Box:
    """The box with its stroke, markers and filter."""
    reach = 0.0
    if looks.get("stroke", "none") != "none":
        width = abs(length_in_user_units(looks.get("stroke-width", "1")))
        mitred = looks.get("stroke-linejoin", "miter").startswith("miter")
        limit = max(1.5, length_in_user_units(looks.get("stroke-miterlimit")) or _MITRE_LIMIT) if mitred else 1.5
        reach = width / 2 * limit
        if any(looks.get(f"marker-{end}", "none") != "none" for end in ("start", "mid", "end")):
            reach += width * _MARKER_REACH
    share = _FILTER_REACH if looks.get("filter", "none") != "none" else 0.0
    return box.grown(reach + share * box.width, reach + share * box.height)


def _font_size(looks: dict) -> float:
    return abs(length_in_user_units(looks.get("font-size"))) or _MEDIUM_TEXT


def _is_absolute(size: str) -> bool:
    return length_in_user_units(size) != 0.0


def _relative_size(size: str) -> float:
    """``150%``, ``1.5em`` and ``2ex`` as a factor; named sizes (``larger``, ``x-large``) at their most."""
    number = re.match(NUMBER, size.strip())
    if not number:
        return 2.0
    return float(number[0]) * (0.01 if size.strip().endswith("%") else 1.0)


@lru_cache(maxsize=1024)
def length_in_user_units(text: str | None) -> float:
    """A length in user units; 0 for none, and for what depends on something else."""
    return convert_unit(text.strip(), "px") if text else 0.0


def _lengths(text: str | None) -> list[float]:
    return [length_in_user_units(word) for word in text.replace(",", " ").split()] if text else []
