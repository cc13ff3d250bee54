"""Our boxes hold all that the real editor says is drawn."""
from __future__ import annotations

import inkex
import pytest

from extension.document.extents import drawn_boxes

# One user unit is one px, so that the editor's answers need no conversion.
HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" width="1000" height="1000">'
)

DRAWN = {
    "plain text": '<text id="it" x="40" y="50" style="font-size:20px">Seam allowance ½ in, WWWW ÅÇ gjq</text>',
    "wide text": '<text id="it" x="40" y="50" style="font-size:20px;font-weight:bold;letter-spacing:4px">WMWMWM@@</text>',
    "middle": '<text id="it" x="400" y="50" style="font-size:30px;text-anchor:middle">Notes WWW</text>',
    "turned text": '<text id="it" transform="rotate(40 300 300)" x="300" y="300" style="font-size:30px">Grain line</text>',
    "upright text": '<text id="it" x="300" y="300" style="font-size:30px;writing-mode:tb-rl">Grain line</text>',
    "Chinese": '<text id="it" x="40" y="50" style="font-size:20px">袖子袖子袖子</text>',
    "lines": (
        '<text id="it" style="font-size:20px"><tspan sodipodi:role="line" x="40" y="50">One</tspan>'
        '<tspan sodipodi:role="line" x="40" y="75" style="font-size:40px">and two</tspan></text>'
    ),
    "wrapped": '<text id="it" x="40" y="50" style="font-size:20px;inline-size:90">Some words that go on and on</text>',
    "in a shape": (
        '<defs><rect id="s" x="20" y="30" width="90" height="300"/></defs>'
        '<text id="it" style="font-size:20px;shape-inside:url(#s)">Some words that go on and on</text>'
    ),
    "on a path": (
        '<defs><path id="p" d="M 50 300 C 100 100 300 100 400 300"/></defs>'
        '<text id="it" style="font-size:30px"><textPath xlink:href="#p">Along the armhole</textPath></text>'
    ),
    "mitres": '<path id="it" d="M 200 200 L 300 230 L 200 260" style="fill:none;stroke:#000;stroke-width:30"/>',
    "square caps": '<path id="it" d="M 200 200 L 300 230" style="stroke:#000;stroke-width:90;stroke-linecap:square"/>',
    "scaled stroke": '<g transform="scale(4 1) rotate(30)"><path id="it" d="M 20 20 H 90" stroke="#000" stroke-width="9"/></g>',
    "stylesheet": '<style>path { stroke: red; stroke-width: 60px }</style><path id="it" d="M 200 200 h 90 v 40"/>',
    "curves": '<path id="it" d="m 99 99 q 50 90 100 0 t 80 0 a 50 20 30 1 1 9 9 z" transform="skewX(20)"/>',
    "clone": '<rect id="r" width="40" height="30"/><use id="it" xlink:href="#r" x="50" y="9" transform="rotate(9)"/>',
    "symbol": '<symbol id="s"><rect x="9" width="40" height="30"/></symbol><use id="it" xlink:href="#s" x="50" y="9"/>',
    "symbol with a viewBox": (
        '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol>'
        '<use id="it" xlink:href="#s" x="50" y="9" width="300" height="300"/>'
    ),
    "symbol with a viewBox and no size": (
        '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use id="it" xlink:href="#s" x="50"/>'
    ),
    "nested drawing": '<svg id="it" x="50" y="60" width="300" height="200" viewBox="0 0 30 20"><rect width="30" height="20"/></svg>',
    "blur": (
        '<filter id="f"><feGaussianBlur stdDeviation="5"/></filter>'
        '<rect id="it" x="200" y="200" width="90" height="90" style="filter:url(#f)"/>'
    ),
    "arrowhead": (
        '<marker id="m" orient="auto" style="overflow:visible"><path d="M 8 0 L -3 4 V -4 Z"/></marker>'
        '<path id="it" d="M 99 99 H 300" style="stroke:#000;stroke-width:6;marker-end:url(#m);marker-start:url(#m)"/>'
    ),
    "hidden": '<g style="display:none"><rect id="it" x="9" y="9" width="90" height="30"/></g>',
}


@pytest.mark.parametrize("name", DRAWN)
def test_no_box_is_smaller_than_the_editors(editor, name):
    svg_text = f"{HEAD}{DRAWN[name]}</svg>"
    left, top, width, height = editor.boxes(svg_text)["it"]
    assert width > 0 and height > 0
    boxes = drawn_boxes(inkex.load_svg(svg_text.encode()).getroot())
    within = 0.01  # px; the editor prints six digits
    assert min(box.left for box in boxes) <= left + within
    assert min(box.top for box in boxes) <= top + within
    assert max(box.right for box in boxes) >= left + width - within
    assert max(box.bottom for box in boxes) >= top + height - within
    # Generous, but not so that an empty page looks full: five times as large, or a hand's breadth more.
    assert max(box.right for box in boxes) - min(box.left for box in boxes) <= max(5 * width, width + 400)
    assert max(box.bottom for box in boxes) - min(box.top for box in boxes) <= max(5 * height, height + 400)
