"""What is drawn stands where she looks, and reports where no sheet of paper will lie."""
from __future__ import annotations

import inkex
import numpy as np
import pytest
from shapely.geometry import box
from shapely.ops import unary_union
from svgpathtools import parse_path

from extension.cutting_plan import CuttingPlan
from extension.demo import applied, drafted
from extension.document.extents import boxes_of
from extension.document.free_room import page_boxes
from extension.document.parts import find_parts
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve

EDITORS = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
A4 = f'<svg {EDITORS} width="210mm" height="297mm" viewBox="0 0 210 297"><sodipodi:namedview id="view"{{}}/></svg>'
SCREEN = f'<svg {EDITORS} width="1920" height="1080" viewBox="0 0 1920 1080"><sodipodi:namedview id="view"/></svg>'


def rooms(text: str, part: str) -> list:
    """What each part of the kind takes, as the document has it."""
    svg = inkex.load_svg(text.encode()).getroot()
    return [box(*(min(b.left for b in found), min(b.top for b in found), max(b.right for b in found), max(b.bottom for b in found)))
            for found in (boxes_of(svg, [each]) for each in find_parts(svg, part))]  # fmt: skip


@pytest.mark.parametrize(
    ("document", "middle"),
    [(A4.format(""), (105, 148.5)), (SCREEN, (960, 540)), (A4.format(' inkscape:cx="3840" inkscape:cy="96"'), (40 * 25.4, 25.4))],
)
def test_the_first_sleeve_stands_in_the_middle_of_the_view(document, middle):
    (cut,) = rooms(drafted([], document), "cutting line")
    assert (cut.centroid.x, cut.centroid.y) == pytest.approx(middle, abs=1.0)  # a stroke is wide


def test_a_second_sleeve_is_never_a_screen_away():
    """Right below, or beside, the first: little but the gap lies between."""
    first, second = rooms(drafted([], drafted([], A4.format(""))), "sleeve")
    assert 20 - 1e-3 <= first.distance(second) <= 40


@pytest.fixture(scope="module")
def reported():
    text = drafted([], A4.format(""))
    for command in (RemeasureSleeve, CuttingPlan):
        text = applied(command(), [], text)
    return text


@pytest.mark.parametrize("paper", ["both", "A4", "A3", "A2", "A1", "A0", "roll", "one_page"])
@pytest.mark.parametrize("margin", ["10 mm", "1 in"])
def test_no_report_shows_on_a_sheet(reported, paper, margin):
    """No sheet lies on one; where it can't be helped, on large paper or with a wide margin, white covers it."""
    printed = applied(PrintPages(), [f"--paper={paper}", f"--margin={margin}"], reported)
    sheets = [box(*page) for page in page_boxes(inkex.load_svg(printed.encode()).getroot())]
    svg = inkex.load_svg(printed.encode()).getroot()
    white = unary_union([box(*np.array(path.bbox())[[0, 2, 1, 3]])
                         for each in find_parts(svg, "cover") for path in parse_path(each.get("d")).continuous_subpaths()])  # fmt: skip
    for part in ("truing report", "lay panel", "job sheet panel", "notes layer", "fit layer", "test square layer"):
        for layer in find_parts(svg, part):
            if layer.getparent().get("{urn:x-tiered-sleeve}part") == "sleeve":
                showing = [box(*found).intersection(sheet) for found in boxes_of(svg, [layer]) for sheet in sheets]
                assert unary_union(showing).difference(white.buffer(0.01)).area < 1e-6, part

