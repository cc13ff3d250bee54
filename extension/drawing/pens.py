"""Lines and lettering in her document, in the millimetres of the sleeve's own layer."""
from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import inkex
from lxml import etree

from extension.document.names import LABEL, PATH, TEXT, TSPAN
from extension.document.part_names import LETTERING
from extension.document.parts import new_part
from extension.document.paths import path_data
from extension.drawing.lettering import ASCENT, DESCENT, FONT_FAMILY, LEADING, text_width
from geometry.box import Box
from geometry.curves.curve import Curve

# Attributes go past inkex's own setter, which parses every style again: half the time of a draft.


class LineType(NamedTuple):
    """A line of ISO 128-2: width in millimetres, dashes and gaps in line widths, and a colour."""

    width: float
    dashes: tuple
    colour: str


#: Which line type each kind of line has (ISO 128-2:2020, from memory: wide to narrow lines 2:1, dash lengths in line
#: widths d; 02 dashed 12 d, 3 d; 03 dashed spaced 12 d, 18 d; 04 long-dashed dotted 24 d, 3 d, dot, 3 d;
#: 05 long-dashed double-dotted; 07 dotted).  All but what is in trouble are black: width and dashes tell them apart,
#: in grey and to whoever sees no colours.  A dot is as long as wide, so that it prints.
_WIDE, _NARROW, _DOT = 0.5, 0.25, 1
_BLACK = "#000000"
LINE_TYPES = {
    "cutting": LineType(_WIDE, (), _BLACK),
    "seam": LineType(_WIDE, (12, 3), _BLACK),
    "body": LineType(_NARROW, (24, 3, _DOT, 3, _DOT, 3), _BLACK),
    "grain": LineType(_NARROW, (24, 3, _DOT, 3), _BLACK),
    "tier": LineType(_NARROW, (), _BLACK),
    "level": LineType(_NARROW, (_DOT, 3), _BLACK),
    "leader": LineType(_NARROW, (), _BLACK),
    "thin": LineType(_NARROW, (), _BLACK),
    "mark": LineType(_WIDE, (), _BLACK),
    "trouble": LineType(_WIDE, (), "#a01010"),
    "frame": LineType(_NARROW, (), _BLACK),
    "trim": LineType(_NARROW, (12, 18), _BLACK),
}

BODY_SIZE = 3.4  # mm, nearly 10 pt
SMALL_SIZE = 2.7  # mm, 7.6 pt: nothing is lettered smaller


def line_style(kind: str) -> str:
    """Return the CSS of a line type."""
    line = LINE_TYPES[kind]
    dashes = ",".join(f"{length * line.width:.4g}" for length in line.dashes) or "none"
    return (
        f"fill:none;stroke:{line.colour};stroke-width:{line.width};stroke-dasharray:{dashes};"
        "stroke-linejoin:round;stroke-linecap:butt"
    )


def draw_curve(
    layer: inkex.Layer, curve: Curve, kind: str, label: str, part: str, remembered: bool = False, **attributes: object
) -> inkex.PathElement:
    """Draw ``curve`` as one editable path with a line type, a label, and our own mark.

    One that is ``remembered`` keeps how it was drawn, so that it can be told later whether she has edited it.
    """
    data = path_data(curve)
    drawn = {"drawn": data} if remembered else {}
    return new_part(layer, PATH, {"style": line_style(kind), "d": data, LABEL: label}, part, **attributes, **drawn)


def draw_data(layer: inkex.Layer, data: str, style: str, label: str, part: str) -> inkex.PathElement:
    """Draw path data as it is: many shapes as one object, where they are looked at rather than edited."""
    return new_part(layer, PATH, {"style": style, "d": data, LABEL: label}, part)


def fill_with_stroke(path: inkex.PathElement, kind: str) -> None:
    """Fill a closed path with the colour of its line, as for arrowheads."""
    path.attrib["style"] = f"fill:{LINE_TYPES[kind].colour};stroke:none"


def text_box(rows: Sequence[str], x: float, top: float, size: float, anchor: str = "start", bold: bool = False) -> Box:
    """Return the room that the rows take at most."""
    width = max(text_width(row, size, bold) for row in rows)
    left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return Box(left, top, left + width, top + size * (LEADING * (len(rows) - 1) + ASCENT + DESCENT))


def drawn_text_box(text: inkex.TextElement) -> Box | None:
    """Return the :func:`text_box` of what :func:`draw_text` drew, or None where it was retyped or set anew since."""
    look = dict(pair.split(":", 1) for pair in text.attrib.get("style", "").replace(" ", "").split(";") if ":" in pair)
    try:
        size, x, base = float(look["font-size"][:-2]), float(text.attrib["x"]), float(text.attrib["y"])
        as_drawn = all(
            abs(float(span.attrib["x"]) - x) < size and abs(float(span.attrib["y"]) - base - size * LEADING * row) < size
            for row, span in enumerate(text)
        )
        rows = [span.text for span in text]
        if not as_drawn or not rows or not look["font-size"].endswith("px"):
            return None
        return text_box(rows, x, base - size * ASCENT, size, look["text-anchor"], look.get("font-weight") == "bold")
    except (KeyError, TypeError, ValueError):
        return None


def draw_text(
    layer: inkex.Layer,
    rows: Sequence[str],
    x: float,
    top: float,
    size: float = BODY_SIZE,
    anchor: str = "start",
    bold: bool = False,
    label: str = "",
    colour: str = "#000000",
) -> inkex.TextElement:
    """Draw rows of lettering as one text object; ``top`` is where the first row's room begins."""
    bolder = ";font-weight:bold" if bold else ""
    look = {
        "style": f"font-family:{FONT_FAMILY};font-size:{size:g}px;text-anchor:{anchor};fill:{colour};stroke:none{bolder}",
        LABEL: label or rows[0],
        "x": f"{x:.3f}",
        "y": f"{top + size * ASCENT:.3f}",
    }
    text = new_part(layer, TEXT, look, LETTERING)
    for i, row in enumerate(rows):
        span = etree.SubElement(text, TSPAN, x=f"{x:.3f}", y=f"{top + size * (ASCENT + LEADING * i):.3f}")
        span.text = row
    return text
