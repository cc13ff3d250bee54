"""A sheet in the making: a layer that fills with lines and lettering that keep clear of each other."""
from __future__ import annotations

from collections.abc import Sequence

import inkex
import numpy as np

from extension.document.parts import mark, new_layer, put_away
from extension.document.paths import path_data
from extension.drawing.lettering import LEADING, wrap
from extension.drawing.pens import BODY_SIZE, draw_curve, draw_data, draw_text, line_style, text_box
from geometry.box import Box
from geometry.curves.curve import Curve
from geometry.paper.clearance import Clearance

#: Lettering keeps this far from lines and other lettering, millimetres.
KEEP_CLEAR = 0.8

#: Curves are followed to within this when lettering keeps clear of them: well inside the margin.
FOLLOW = 0.2


class Sheet:
    """One outermost layer, its nested layers, and what room they take (millimetres of the layer)."""

    def __init__(self, layer: inkex.Layer, clearance: Clearance | None = None) -> None:
        """``clearance`` says how far lettering keeps from the middle of lines and from other lettering, and holds those there are."""
        self.layer = layer
        self.clearance = Clearance(KEEP_CLEAR) if clearance is None else clearance
        self._points: list[np.ndarray] = []

    def add_layer(self, label: str, part: str) -> inkex.Layer:
        """Return a new layer nested in the sheet's."""
        return new_layer(self.layer, label, part)

    def curve(self, layer: inkex.Layer, curve: Curve, kind: str, label: str, part: str, **attributes: object) -> inkex.PathElement:
        """Draw a curve and keep lettering clear of it."""
        self.follow(curve)
        return draw_curve(layer, curve, kind, label, part, **attributes)

    def curves(self, layer: inkex.Layer, curves: Sequence[Curve], kind: str, label: str, part: str) -> inkex.PathElement:
        """Draw several stretches as one path that keeps how it was drawn, and keep lettering clear of them."""
        for curve in curves:
            self.follow(curve)
        data = " ".join(map(path_data, curves))
        return mark(draw_data(layer, data, line_style(kind), label, part), part, drawn=data)

    def put_away(self, element: inkex.BaseElement, part: str) -> None:
        """Hide a line that was just drawn, where another one shows the same."""
        put_away(element, part)

    def follow(self, curve: Curve) -> None:
        """Keep lettering clear of a curve, drawn or not."""
        points = curve.flatten(FOLLOW)
        self.clearance.add_line(points)
        self._points.append(points)

    def polyline(self, layer: inkex.Layer, points: Sequence[Sequence[float]], kind: str, label: str, part: str) -> inkex.PathElement:
        """Draw straight lines that no one edits, and keep lettering clear of them."""
        points = np.array(points, dtype=float)
        self.clearance.add_line(points)
        self._points.append(points)
        data = "M " + " L ".join(f"{x:.4f} {y:.4f}" for x, y in points.tolist())
        return draw_data(layer, data, line_style(kind), label, part)

    def text(self, layer: inkex.Layer, rows: Sequence[str], x: float, top: float, **look: object) -> Box:
        """Draw rows of lettering here, and return the box they take."""
        box = text_box(rows, x, top, look.get("size", BODY_SIZE), look.get("anchor", "start"), look.get("bold", False))
        self.hold(box)
        draw_text(layer, rows, x, top, **look)
        return box

    def text_where_free(
        self, layer: inkex.Layer, rows: Sequence[str], places: np.ndarray, sizes: Sequence[float], **look: object
    ) -> Box | None:
        """Letter the rows centred on the first of ``places`` (k, 2: centre x, top) that is free, in the
        first of ``sizes``, which fall, that has one; return the box, or None where there is no room at all.
        """

        def boxes(size: float, at: np.ndarray) -> np.ndarray:
            return np.tile(at, 2) + text_box(rows, 0.0, 0.0, size, "middle", look.get("bold", False))

        for size in sizes:
            free = self.clearance.first_free(boxes(size, places))
            if free is not None:
                return self.text(layer, rows, *places[free], size=size, anchor="middle", **look)
            if size == sizes[0]:  # where another size has room the smallest has too, so only there need be looked
                places = places[self.clearance.are_free(boxes(sizes[-1], places))]
        return None

    def hold(self, box: Box) -> None:
        """Count a box as drawn on, and keep lettering clear of it."""
        self.clearance.add_box(box)
        self._points.append(np.reshape(box, (2, 2)))

    @property
    def bounds(self) -> Box:
        """The box of all that was drawn so far."""
        return Box.around(np.concatenate(self._points))


class Column:
    """Rows of lettering one below the other, from a place on a sheet downward."""

    def __init__(self, sheet: Sheet, layer: inkex.Layer, x: float, top: float, width: float) -> None:
        self.sheet, self.layer, self.x, self.y, self.width = sheet, layer, x, top, width

    def title(self, text: str, label: str = "") -> None:
        """Add the title of a panel and, where it has a ``label``, whose it is."""
        self.paragraph(text, 6.0, bold=True)
        if label:
            self.paragraph(label, 5.0, bold=True)

    def paragraph(self, text: str, size: float = BODY_SIZE, **look: object) -> None:
        """Add a paragraph, broken into rows that fit the width."""
        rows = wrap(text, size, self.width, look.get("bold", False))
        if rows:
            self.sheet.text(self.layer, rows, self.x, self.y, size=size, **look)
            self.y += size * LEADING * len(rows)

    def row(self, cells: Sequence[str], offsets: Sequence[float], size: float = BODY_SIZE, **look: object) -> None:
        """Add one row of a table; ``offsets`` say where each column begins, from the left edge."""
        for text, offset in zip(cells, offsets):
            if text:
                self.sheet.text(self.layer, [text], self.x + offset, self.y, size=size, **look)
        self.y += size * LEADING

    def gap(self, height: float) -> None:
        """Leave room."""
        self.y += height
