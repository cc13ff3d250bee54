"""True scale: what one user unit of her document measures on paper, as the editor has it."""
from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import NamedTuple

import inkex
import numpy as np

from geometry.affine import Affine
from geometry.measuring.lengths import INCH
from geometry.refusal import Refused

#: CSS: 96 px are one inch (CSS Values and Units Module Level 3, section 6.2).
_PX_PER_MM = 96 / INCH
#: The units the editor reads in width and height, in px.
_PX_PER = {"": 1.0, "px": 1.0, "pt": 96 / 72, "pc": 16.0, "in": 96.0, "cm": 10 * _PX_PER_MM, "mm": _PX_PER_MM}
#: What the editor takes for 100 % where there is no viewBox (CSS's size for a replaced element), px.
_DEFAULT_SIZE = (300.0, 150.0)
_SIZE = r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(%|[a-z]*)\s*"
_ALIGNMENT = r"x(Min|Mid|Max)Y(Min|Mid|Max)(?: +(meet|slice))?"
_SHARE_BEFORE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}

#: No drawing reaches this far from the corner of its page, millimetres: a hundred metres.
FARTHEST = 1e5
#: Nothing is drawn smaller than this, or larger than its reciprocal: px in a user unit, or millimetres in one of a layer.
_SMALLEST_UNIT = 1e-6


class DocumentHasNoSize(Refused):
    """Nothing in the document says how large it is, so no true scale can be found."""


class Viewport(NamedTuple):
    """The page that width, height and viewBox make: its size in px, and where user units fall on it; the viewBox's own ``wide`` and ``high``.

    A point (x, y) in user units lies at (scale_x x + shift_x, scale_y y + shift_y) px of the page.
    """

    width: float
    height: float
    scale_x: float
    scale_y: float
    shift_x: float
    shift_y: float
    wide: float
    high: float

    @property
    def filling(self) -> tuple[float, float]:
        """How wide and high the viewBox would be at the same scale if it filled the page."""
        return self.width / self.scale_x, self.height / self.scale_y


def viewport(svg: inkex.SvgDocumentElement) -> Viewport:
    """Return the document's viewport as Inkscape 1.2 reads it, which is SVG 2, section 8.2, nearly.

    It differs where the standard leaves room or the editor is stricter: without a viewBox one user
    unit is one px, and a preserveAspectRatio that is not written just so counts as xMidYMid meet.
    A transform of the ``svg`` element itself is not applied.

    Raises :class:`DocumentHasNoSize` for a document with neither width, height nor viewBox, and for
    a width or height that the editor could only guess at (zero, negative, no number, or in a unit
    it does not read), or that with the viewBox makes units or places that nothing can be drawn in.
    """
    return _viewport(*(svg.attrib.get(name) for name in ("viewBox", "width", "height", "preserveAspectRatio")))


@lru_cache(maxsize=8)  # it is asked for at every element
def _viewport(viewbox: str | None, wide: str | None, high: str | None, alignment: str | None) -> Viewport:
    box = _viewbox(viewbox or "")
    if box is None and wide is None and high is None:
        raise DocumentHasNoSize("document without size")
    whole = box[2:] if box else _DEFAULT_SIZE
    width, height = _size("width", wide, whole[0]), _size("height", high, whole[1])
    if box is None:
        return Viewport(width, height, 1.0, 1.0, 0.0, 0.0, width, height)

    scale_x, scale_y = width / box[2], height / box[3]
    before_x = before_y = 0.0
    fit = alignment or ""
    if fit.split(" ")[0] != "none":
        how = re.fullmatch(_ALIGNMENT, fit) or re.fullmatch(_ALIGNMENT, "xMidYMid meet")
        scale_x = scale_y = (max if how[3] == "slice" else min)(scale_x, scale_y)
        before_x = (width - box[2] * scale_x) * _SHARE_BEFORE[how[1]]
        before_y = (height - box[3] * scale_y) * _SHARE_BEFORE[how[2]]
    view = Viewport(width, height, scale_x, scale_y, before_x - box[0] * scale_x, before_y - box[1] * scale_y, *box[2:])
    units = all(_SMALLEST_UNIT < scale < 1 / _SMALLEST_UNIT for scale in (scale_x, scale_y))
    if not units or max(abs(view.shift_x), abs(view.shift_y)) > FARTHEST * _PX_PER_MM:
        raise DocumentHasNoSize("document scale unusable", typed=viewbox)
    return view


def millimetres_to_user(svg: inkex.SvgDocumentElement) -> inkex.Transform:
    """Return the scale from true millimetres to user units at the document's root.

    Raises :class:`DocumentHasNoSize`, see :func:`viewport`.
    """
    view = viewport(svg)
    return inkex.Transform(scale=(_PX_PER_MM / view.scale_x, _PX_PER_MM / view.scale_y))


def to_millimetres(element: inkex.BaseElement) -> inkex.Transform:
    """Return the transform from the coordinates inside ``element`` to true millimetres.

    That is from what a path's ``d`` says to the page, through the element's own transform and those
    of all its parents; millimetres count from the origin of the root's user units.

    Raises :class:`DocumentHasNoSize`, see :func:`viewport`.
    """
    root = element.getroottree().getroot()
    if element is root:
        raise ValueError("an element outside a document has no true size")
    return -millimetres_to_user(root) @ transform_within(element, root)


def transform_within(element: inkex.BaseElement, container: inkex.BaseElement) -> inkex.Transform:
    """Return the transform from the coordinates inside ``element`` to those inside ``container``.

    Through the element's own transform and those of its parents, but not the container's own.
    Raises ValueError where the element is not in the container.
    """
    chain = own_transform(element)
    for parent in element.iterancestors():
        if parent is container:
            return chain
        chain = own_transform(parent) @ chain
    raise ValueError("the element is not in the container")


def can_be_seen(placed: Affine) -> bool:
    """Whether what a map puts onto the page, in millimetres, is there to be seen: neither flat, nor endless, nor far away."""
    numbers = np.array(placed)
    if not np.isfinite(numbers).all() or np.abs(numbers[4:]).max() > FARTHEST:
        return False
    most, least = np.linalg.svd(placed.linear, compute_uv=False).tolist()
    return least > _SMALLEST_UNIT and most < 1 / _SMALLEST_UNIT


def own_transform(element: inkex.BaseElement) -> inkex.Transform:
    """Return what the element's transform attribute says; nothing where it can't be read, as in the editor.

    Not ``element.transform``: asking for that already rewrites the attribute, rounded to six digits.
    """
    try:
        return inkex.Transform(element.attrib.get("transform"))
    except (TypeError, ValueError, AttributeError):
        return inkex.Transform()


def affine_of(transform: inkex.Transform) -> Affine:
    """Return an SVG transform as an affine map."""
    return Affine.of(transform.matrix)


def written(affine: Affine) -> str:
    """Return a map as an SVG transform, to the last bit; inkex would round to six digits.

    >>> written(Affine(1.0, 0.0, 0.0, 1.0, 1 / 3, 2.0))
    'matrix(1.0 0.0 0.0 1.0 0.3333333333333333 2.0)'
    """
    return f"matrix({' '.join(map(repr, affine))})"


def _viewbox(text: str) -> list[float] | None:
    """Return x, y, width and height, or None where the editor would overlook the viewBox."""
    try:
        box = [float(number) for number in re.split(r"[\s,]+", text.strip())[:4]]
    except ValueError:
        return None
    usable = len(box) == 4 and all(map(math.isfinite, box)) and box[2] > 0 and box[3] > 0
    return box if usable else None


def _size(name: str, text: str | None, whole: float) -> float:
    """Return the width or height in px; ``whole`` is what 100 % is, and what a missing one is."""
    if text is None:
        return whole
    read = re.fullmatch(_SIZE, text)
    px_per_unit = {**_PX_PER, "%": whole / 100}.get(read[2]) if read else None
    size = float(read[1]) * px_per_unit if px_per_unit else 0.0
    if not 0 < size < math.inf:
        raise DocumentHasNoSize("document size unreadable", side=name, typed=text)
    return size
