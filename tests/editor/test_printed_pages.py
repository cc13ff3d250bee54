"""Print Pages in the real editor: what its PDF holds, measured as vectors, and put together again."""
from __future__ import annotations

import ctypes
import re
from typing import NamedTuple

import inkex
import numpy as np
import pypdfium2
import pytest
from pypdfium2 import raw
from shapely.geometry import LineString, MultiLineString, box
from shapely.ops import unary_union

from extension.document.parts import find_parts
from extension.document.paths import curve_from_path
from extension.document.scale import millimetres_to_user, to_millimetres
from tests.conftest import run_script
from tests.extension.test_draft_sleeve import SIZES
from tests.geometry.paper.test_tiling import prints_true
from tests.host import REPOSITORY

EFFECT = "org.tieredsleeve.print_pages"
MM = 25.4 / 72  # of one PDF point
SLEEVE_NS = "{urn:x-tiered-sleeve}"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'
LETTER = '<svg xmlns="http://www.w3.org/2000/svg" width="8.5in" height="11in" viewBox="0 0 850 1100"/>'

#: Size of sleeve, document, paper as (short, long) mm, options.  ISO 216, ANSI/ASME Y14.1; the other
#: papers and orientations are held against shapely in tests/geometry/paper/test_tiling.py.
ROWS = {
    "toddler on letter, portrait": ("toddler", A4, (215.9, 279.4), {"paper": "letter", "orientation": "portrait"}),
    "median on A4": ("median", LETTER, (210, 297), {"paper": "A4", "margin": "0", "overlap": "5 mm"}),
    "median on A4 or letter": ("median", A4, (210, 279.4), {"paper": "both"}),
    "largest on A3, landscape": ("largest", A4, (297, 420), {"paper": "A3", "orientation": "landscape"}),
}


class Print(NamedTuple):
    """What the editor made of it: its document, its PDF, and the pages (x, y, width, height) in mm."""

    root: inkex.SvgDocumentElement
    pdf: pypdfium2.PdfDocument
    pages: list
    labels: list


@pytest.fixture(scope="module")
def printed(editor, tmp_path_factory):
    """Drafts, prints in the editor, and keeps what came of it for all tests of the module."""
    kept = {}

    def run(size: str, document: str, options: dict) -> Print:
        key = (size, document, *options.items())
        if key not in kept:
            file = tmp_path_factory.mktemp("draft") / "in.svg"
            file.write_text(document, encoding="utf-8")
            measures = {"unit": "cm", **{name: str(value) for name, value in SIZES[size].items()}}
            drafted = run_script(REPOSITORY / "extension" / "draft_sleeve.py", measures, file)
            done = editor.run(EFFECT, drafted.stdout, options, export=["svg", "pdf"])
            assert not done.refused, done.messages
            kept[key] = read(done.svg, done.files["pdf"])
        return kept[key]

    return run


def read(svg_text: str, pdf) -> Print:
    root = inkex.load_svg(svg_text.encode()).getroot()
    scale = millimetres_to_user(root)
    elements = list(root.iter("{http://www.inkscape.org/namespaces/inkscape}page"))
    to_mm = np.array([1 / scale.a, 1 / scale.d, 1 / scale.a, 1 / scale.d])
    pages = [np.array([float(page.get(name)) for name in ("x", "y", "width", "height")]) * to_mm for page in elements]
    return Print(root, pypdfium2.PdfDocument(pdf), pages, [page.get("inkscape:label") for page in elements])


def points_of(path, height: float) -> np.ndarray:
    """Return a printed path as a chain of cubics (3 n + 1, 2), in mm from the page's top left corner."""
    x, y = ctypes.c_float(), ctypes.c_float()
    points = []
    for i in range(raw.FPDFPath_CountSegments(path)):
        segment = raw.FPDFPath_GetPathSegment(path, i)
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        here = np.array([x.value, y.value])
        if points and raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_LINETO:
            points += straight(points[-1], here)
        else:
            points.append(here)
        if raw.FPDFPathSegment_GetClose(segment):
            points += straight(points[-1], points[0])
    a, b, c, d, e, f = path.get_matrix().get()
    return (np.array(points) @ np.array([[a, b], [c, d]]) + (e, f - height)) * MM * (1, -1)


def straight(start: np.ndarray, end: np.ndarray) -> list:
    return [start + (end - start) / 3, end - (end - start) / 3, end]


def paths_on(page) -> list[np.ndarray]:
    height = page.get_size()[1]
    return [points_of(path, height) for path in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=15)]


def points_drawn(root, part: str) -> list[np.ndarray]:
    """The points of our paths of a part, handles and all, in mm of the document."""
    curves = (curve for element in find_parts(root, part) for curve in curve_from_path(element, to_millimetres(element)))
    return [np.concatenate([curve.segments[:1, 0], curve.segments[:, 1:].reshape(-1, 2)]) for curve in curves]


def cutting_lines(done: Print) -> list:
    """The printed cutting line in mm of the document, and its page's place, for each page that shows any of it.

    It is the printed path on which every node of the drawn one lies.
    """
    ends = points_drawn(done.root, "cutting line")[0][::3]
    found = []
    for page, place in zip(done.pdf, done.pages):
        for points in paths_on(page):
            moved = points + place[:2]
            if len(moved) > 10 and all(np.hypot(*(moved - end).T).min() < 1 for end in ends):
                found.append((moved, place))
    assert len(found) > 1
    return found


@pytest.mark.parametrize("row", ROWS)
def test_one_pdf_page_of_true_size_for_every_sheet(printed, row):
    size, document, sides, options = ROWS[row]
    done = printed(size, document, options)
    # The squares take a page of their own, unless there is a blank corner for them.
    assert done.labels[0] in ("First page", "A1") and len(done.pdf) == len(done.pages) > 2
    for page, (_, _, width, height) in zip(done.pdf, done.pages):
        assert np.array(page.get_size()) * MM == pytest.approx((width, height), abs=0.001)
        assert sorted((width, height)) == pytest.approx(list(map(prints_true, sides)), abs=0.001)
        if options.get("orientation"):
            assert (width > height) == (options["orientation"] == "landscape")


@pytest.mark.parametrize("row", ROWS)
def test_positions_are_true_to_a_hundredth_of_a_millimetre(printed, row):
    """Nodes of the cutting line and places of the test squares: printed against drawn, over the whole length."""
    size, document, _, options = ROWS[row]
    done = printed(size, document, options)
    [drawn] = points_drawn(done.root, "cutting line")
    ends = drawn[::3]
    for found, _ in cutting_lines(done):
        nearest = np.array([found[np.hypot(*(found - end).T).argmin()] for end in ends])
        assert np.hypot(*(nearest - ends).T).max() < 0.01
        spans = np.hypot(*(nearest[:, None] - nearest[None]).T) - np.hypot(*(ends[:, None] - ends[None]).T)
        assert abs(spans).max() < 0.01
    if size != "toddler":
        assert np.ptp(ends, axis=0).max() > 500
    squares = points_drawn(done.root, "page test square")
    on_first = [points + at[:2] for page, at in zip(done.pdf, done.pages) for points in paths_on(page)]
    assert sorted(round(np.ptp(square[:, 0]), 3) for square in squares) == [100.0, 101.6]
    for square in squares:
        bounds = np.array([square.min(axis=0), square.max(axis=0)])
        assert any(np.abs(np.array([p.min(axis=0), p.max(axis=0)]) - bounds).max() < 0.01 for p in on_first)


@pytest.mark.parametrize("row", ROWS)
def test_the_sheets_put_together_are_the_whole_outline(printed, row):
    """Each page's own cutting line, cut off where its printer stops, laid where its frame says."""
    size, document, _, options = ROWS[row]
    done = printed(size, document, options)
    margin = 25.4 * 3 / 8 if options.get("margin") is None else 0.4
    sheets = [page for label, page in zip(done.labels, done.pages) if label != "First page"]
    prints = [box(x + margin, y + margin, x + width - margin, y + height - margin) for x, y, width, height in sheets]
    pieces = []
    for line, (x, y, width, height) in cutting_lines(done):
        pieces.append(LineString(flattened(line)).intersection(box(x + margin, y + margin, x + width - margin, y + height - margin)))
    [drawn] = points_drawn(done.root, "cutting line")
    whole = LineString(flattened(drawn))
    together = unary_union(pieces)
    assert whole.difference(together.buffer(0.01)).length < 0.02
    assert together.difference(whole.buffer(0.01)).length < 0.02
    # Not only the outline: nothing of the pattern lies where no sheet prints.
    for part in ("seam line", "body line", "tier line", "grain line", "front notch", "back notch", "leader"):
        lines = MultiLineString([flattened(points) for points in points_drawn(done.root, part)])
        assert lines.difference(unary_union(prints)).length < 1e-6


def flattened(points: np.ndarray) -> np.ndarray:
    """A chain of cubics (3 n + 1, 2) as a fine polyline, evaluated by Bernstein's polynomials."""
    segments = np.stack([points[k : len(points) - 3 + k : 3] for k in range(4)], axis=1)
    t = np.linspace(0, 1, 400)[:, None]
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3])
    return (weights @ segments).reshape(-1, 2)


@pytest.mark.parametrize("row", ROWS)
def test_no_lettering_is_under_seven_points(printed, row):
    size, document, _, options = ROWS[row]
    done = printed(size, document, options)
    sizes, words = [], []
    for page in done.pdf:
        for text in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT], max_depth=15):
            value = ctypes.c_float()
            raw.FPDFTextObj_GetFontSize(text, value)
            a, b, c, d, _, _ = text.get_matrix().get()
            sizes.append(value.value * np.sqrt(abs(a * d - b * c)))
        words.append(page.get_textpage().get_text_bounded())
    assert len(sizes) > 30 and min(sizes) >= 7
    assert any("Print at 100 %" in " ".join(text.split()) for text in words)
    for label, text in zip(done.labels, words):
        assert label in text.split() or label == "First page"


def test_trim_lines_print_whole_without_a_margin(printed):
    """The editor cuts a page off at whole points; the printing keeps inside that.  Two fifths of a line of spaced dashes are dash."""
    size, document, _, options = ROWS["median on A4"]
    done = printed(size, document, options)
    scale, seen = 8, 0
    for page, (left, top, width, height) in zip(done.pdf, done.pages):
        dark = page.render(scale=scale, grayscale=True).to_numpy().squeeze() < 200
        for line in points_drawn(done.root, "trim line"):
            (x0, y0), (x1, y1) = (line[[0, -1]] - (left, top)) * scale / MM
            if min(x0, y0) < 0 or x1 > width * scale / MM or y1 > height * scale / MM:
                continue
            across = dark[int(y0) : int(y1) + 1, max(int(x0) - 2, 0) : int(x1) + 3]
            share = across.any(axis=0 if y0 == y1 else 1).mean()
            assert share > 0.3
            seen += 1
    assert seen >= 4


def test_the_documents_own_page_prints_true(printed):
    """It becomes one of many, which 1.4 rounds up to whole points, and what is on it with it."""
    hers = '<path d="M 20 20 H 120 V 120 H 20 Z" style="fill:none;stroke:#000"/>'
    done = printed("toddler", A4.replace("/>", f">{hers}</svg>"), {"paper": "A4"})
    assert done.labels[0] is None and done.labels[1] in ("First page", "A1")
    assert np.array(done.pdf[0].get_size()) * MM == pytest.approx((prints_true(210), prints_true(297)), abs=0.001)
    [square] = [points for points in paths_on(done.pdf[0]) if np.ptp(points, axis=0) == pytest.approx((100, 100), abs=0.5)]
    assert np.ptp(square, axis=0) == pytest.approx((100, 100), abs=0.002)


def test_running_again_in_a_saved_document(editor, printed):
    """The editor's save keeps our marks, so that a second run finds the first one's pages; hers stay."""
    size, document, _, options = ROWS["toddler on letter, portrait"]
    done = printed(size, document, options)
    text = done.root.tostring().decode()
    hers = '<inkscape:page x="-300" y="0" width="50" height="60" id="mine"/>'
    text = re.sub(r"(<sodipodi:namedview[^>]*>)", lambda found: found[0] + hers, text)
    again = editor.run(EFFECT, text, {"paper": "one_page"}, export=["svg", "pdf"])
    assert not again.refused, again.messages
    after = read(again.svg, again.files["pdf"])
    assert after.labels == [None, "A1"] and after.pages[0] == pytest.approx((-300, 0, 50, 60))
    assert len(after.pdf) == 2
    assert len(find_parts(after.root, "sheets")) == 1 and len(find_parts(after.root, "page")) == 1


@pytest.mark.parametrize("paper", ["A0", "one_page"])
def test_no_word_of_another_client_is_in_the_pdf(editor, tmp_path, paper):
    """What can be searched and copied out of the PDF, covered or not, read by PDFium."""
    file = tmp_path / "in.svg"
    file.write_text(A4, encoding="utf-8")
    measures = {"unit": "cm", **{name: str(value) for name, value in SIZES["median"].items()}}
    for name in ("Ada", "Bea"):
        file.write_text(run_script(REPOSITORY / "extension" / "draft_sleeve.py", {**measures, "label": name}, file).stdout, encoding="utf-8")
    root = inkex.load_svg(file.read_bytes()).getroot()
    for layer, name in zip(find_parts(root, "sleeve"), ("ada", "bea")):
        layer.set("id", name)
    done = editor.run(EFFECT, root.tostring().decode(), {"paper": paper}, select=["ada"], export=["svg", "pdf"])
    assert not done.refused, done.messages
    words = " ".join(page.get_textpage().get_text_bounded() for page in read(done.svg, done.files["pdf"]).pdf)
    assert "Ada" in words and "Bea" not in words


def corners(points: np.ndarray) -> np.ndarray:
    """How far nodes and handles reach: left, top, right, bottom."""
    return np.concatenate([points.min(axis=0), points.max(axis=0)])


@pytest.mark.parametrize("colours", ["dark_on_light", "light_on_dark"])
def test_a_projection_prints_true_and_stands_out(printed, colours):
    """One page; its grid an inch wide to 0.01 mm over the page, the sleeve's edge where it is drawn, and nothing narrower than 1 mm."""
    done = printed("median", A4, {"paper": "projector", "colours": colours})
    [page], [(left, top, width, height)] = done.pdf, done.pages
    assert np.array(page.get_size()) * MM == pytest.approx((width, height), abs=0.001)
    lines = paths_on(page)
    upright = np.array(sorted(points[0, 0] for points in lines if np.ptp(points[:, 0]) < 1e-6 and np.ptp(points[:, 1]) > height - 5))
    assert len(upright) > 20 and upright - upright[0] == pytest.approx(25.4 * np.arange(len(upright)), abs=0.01)
    longest = max(points_drawn(done.root, "redrawn line"), key=len)
    assert min(np.abs(corners(points + (left, top)) - corners(longest)).max() for points in lines) < 0.01
    widths = []
    for path in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=15):
        value, (a, b, c, d, _, _) = ctypes.c_float(), path.get_matrix().get()
        raw.FPDFPageObj_GetStrokeWidth(path, value)
        mode, stroked = ctypes.c_int(), ctypes.c_int()
        raw.FPDFPath_GetDrawMode(path, mode, stroked)
        if stroked.value:
            widths.append(value.value * np.sqrt(abs(a * d - b * c)) * MM)
    assert min(widths) > 0.999
    dark = page.render(scale=0.5, grayscale=True).to_numpy().squeeze() < 128
    assert (dark.mean() > 0.8) == (colours == "light_on_dark")


def test_a_small_drawing_is_so_many_times_smaller_on_paper(printed):
    """Its longest line, out of the PDF, against the sleeve's cutting line: how far their nodes and handles reach."""
    done = printed("median", A4, {"paper": "small_A4"})
    [page], [(_, _, width, height)] = done.pdf, done.pages
    assert sorted((width, height)) == pytest.approx([prints_true(210), prints_true(297)], abs=0.001)
    [cut] = points_drawn(done.root, "cutting line")
    assert min(np.abs(np.ptp(points, axis=0) - np.ptp(cut, axis=0) / 4).max() for points in paths_on(page)) < 0.01
    assert "Scale 1:4, do not cut from this" in " ".join(page.get_textpage().get_text_bounded().split())
