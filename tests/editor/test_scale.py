"""True scale, measured in what the real editor prints."""
from __future__ import annotations

import inkex
import pypdfium2
import pytest

from extension.document.parts import new_sleeve_layer
from extension.document.scale import millimetres_to_user, viewport
from tests.scale_cases import SIZED

SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" {}/>'

#: The editor rounds what it writes into a PDF to whole thousandths of a point and less in the matrix.
PRINTED = 2e-3


def printed_path(pdf) -> tuple:
    """Return left, top, right and bottom in mm, from the page's top left corner, of the one path in a PDF."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[0]
    height = page.get_size()[1]
    [path] = page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_PATH], max_depth=9)
    left, bottom, right, top = path.get_bounds()
    mm = 25.4 / 72
    return left * mm, (height - top) * mm, right * mm, (height - bottom) * mm


@pytest.mark.parametrize("name", SIZED)
def test_a_true_rectangle_is_so_in_print(editor, name):
    attributes, across, down = SIZED[name]
    svg = inkex.load_svg(SVG.format(attributes).encode()).getroot()
    view = viewport(svg)
    # Wherever the viewBox is: draw where the page is.
    middle = (view.width / 2 - view.shift_x) / view.scale_x, (view.height / 2 - view.shift_y) / view.scale_y
    layer = new_sleeve_layer(svg, "Square", middle)
    layer.append(inkex.PathElement.new("M -4 -6 H 4 V 6 H -4 Z", style="fill:#000"))

    left, top, right, bottom = printed_path(editor.convert(svg.tostring().decode(), "pdf"))

    assert right - left == pytest.approx(8, rel=PRINTED)
    assert bottom - top == pytest.approx(12, rel=PRINTED)
    scale = millimetres_to_user(svg)
    assert (scale.a * across, scale.d * down) == pytest.approx((1, 1), rel=1e-12)
