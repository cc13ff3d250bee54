"""Drawings for docs/fit.md, made by the tool from the invented example: sleeves side by side, and a fit chart."""
from __future__ import annotations

from collections.abc import Sequence

from lxml import etree

from extension.demo import drafted
from extension.wording.pieces import NAMES as PIECES

_SVG = "http://www.w3.org/2000/svg"
_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
_PART = "{urn:x-tiered-sleeve}part"

#: What a picture of the pattern itself leaves out.
BESIDE = ("Notes", "Test squares", "Fit", "Tier lines", "Tier lengths", "Level lines", "Level widths", "Names", *PIECES.values())

#: From one sleeve to the next, and a sleeve's room above and below its head, millimetres.
APART, ABOVE, BELOW = 520.0, 50.0, 520.0

#: An invented bodice whose armholes are selected: its pieces from the top edge down, front and back.
BODICE = f"""<svg xmlns="{_SVG}" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="900mm" height="560mm" viewBox="0 0 900 560">
<g id="bodice" transform="scale(2) translate(40, 35)" style="fill:none;stroke:#000000;stroke-width:0.25">
<path d="M 80,0 H 0 V 130 H 128 V 52"/>
<path id="front" inkscape:label="Front armhole" d="M 80,0 C 86,27 102,46 128,52" style="stroke-width:0.8"/>
<path d="M 230,0 H 150 V 130 H 281 V 56"/>
<path id="back" inkscape:label="Back armhole" d="M 230,0 C 240,22 258,47 281,56" style="stroke-width:0.8"/>
<g style="fill:#000000;stroke:none;font-size:9px;font-family:Liberation Sans, Arial, sans-serif">
<text x="20" y="70">Bodice front</text><text x="170" y="70">Bodice back</text></g></g></svg>"""
MATCHED = ["--id=front", "--id=back", "--selected_armholes=both"]


def matched() -> str:
    """The bodice, and its sleeve with the height kept and with the width kept."""
    titles = ("Cap height kept", "Width kept")
    sleeves = [drafted([*MATCHED, f"--armhole_keep={keep}"], BODICE) for keep in ("height", "width")]
    bodice = etree.fromstring(BODICE.encode())[0]
    return side_by_side(sleeves, titles, first=900.0, extra=[bodice])


def shapes() -> str:
    """The underarm seam fitted, straight and flared, with the three finishes of the top edge."""
    options = (["--shape=fitted", "--finish=elastic"], ["--shape=straight", "--top_edge_raise=1/2 in"], ["--shape=flared", "--flare_width=17 in"])
    titles = ("Fitted; casing at the top edge", "Straight; raised top edge", "Flared; band")
    return side_by_side([drafted(each) for each in options], titles)


def fit_chart() -> str:
    """The chart of a flared sleeve."""
    (layer,) = _parts(drafted(["--shape=flared", "--flare_width=17 in"]), "fit layer")
    layer.attrib.pop("transform")
    bottom = max(float(span.get("y")) for span in layer.iter(f"{{{_SVG}}}tspan"))
    return _page([layer], (-5, -4, 190, bottom + 10))


def side_by_side(
    drawings: Sequence[str], titles: Sequence[str], first: float = 260.0, extra: Sequence = (), a_row: int = 0, below: float = BELOW
) -> str:
    """The sleeves of ``drawings`` over their titles, ``a_row`` of them beside each other (0: all); ``below`` is the room of each."""
    shown, a_row = list(extra), a_row or len(titles)
    for i, (drawing, title) in enumerate(zip(drawings, titles)):
        (sleeve,) = _parts(drawing, "sleeve")
        for layer in list(sleeve):
            if layer.get(_LABEL) in BESIDE or layer.tag.endswith("metadata"):
                sleeve.remove(layer)
        x, y = first + i % a_row * APART, ABOVE + i // a_row * (below + ABOVE)
        sleeve.set("transform", f"translate({x}, {y})")
        name = etree.Element(f"{{{_SVG}}}text", {"x": f"{x}", "y": f"{y + below}", "style": _TITLE})
        name.text = title
        shown += [sleeve, name]
    rows = -(-len(titles) // a_row)
    return _page(shown, (0, 0, first + a_row * APART - APART / 2 + 90, rows * (ABOVE + below) + 20))


def _parts(drawing: str, part: str) -> list:
    return [element for element in etree.fromstring(drawing.encode()).iter() if element.get(_PART) == part]


_TITLE = "font-family:Liberation Sans, Arial, sans-serif;font-size:18px;text-anchor:middle"


def _page(elements: Sequence, box: tuple) -> str:
    left, top, width, height = box
    page = etree.Element(
        f"{{{_SVG}}}svg", {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"{left} {top} {width} {height}"}, nsmap={None: _SVG}
    )
    page.extend(elements)
    return etree.tostring(page, encoding="unicode")
