"""Print Pages as a script: which pages it lists, what it draws on them, and what it leaves alone."""
from __future__ import annotations

import datetime as dt
import itertools
import math
import re

import inkex
import numpy as np
import pytest
from lxml import etree
from shapely.geometry import LineString, box
from shapely.ops import unary_union
from svgpathtools import parse_path

from extension.document.pages import can_have_pages
from extension.document.scale import to_millimetres
from extension.drawing.lettering import text_width
from geometry.box import Box
from tests import sleeve_edits as edits
from tests.extension.test_draft_sleeve import SCRIPT as DRAFT
from tests.extension.test_draft_sleeve import SIZES, drawn, parts, refused
from tests.geometry.paper.test_tiling import prints_true
from tests.host import REPOSITORY
from tests.scale_cases import SIZED

SCRIPT = REPOSITORY / "extension" / "print_pages.py"
SVG = "{http://www.w3.org/2000/svg}"
OWN = "{urn:x-tiered-sleeve}"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
SODIPODI = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}"
EDITORS = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
EMPTY = f'<svg {EDITORS} width="210mm" height="297mm" viewBox="0 0 210 297"><sodipodi:namedview/></svg>'
HER_RECTANGLE = EMPTY.replace("</svg>", '<rect id="hers" x="10" y="10" width="40" height="30"/></svg>')

#: A page for A4, upright, in mm.
A4 = (prints_true(210), prints_true(297))


def pages(root) -> list:
    return list(root.iter(f"{INKSCAPE}page"))


def ours(root) -> list:
    return [page for page in pages(root) if page.get(f"{OWN}part")]


def labels(root) -> list:
    return [page.get(f"{INKSCAPE}label") for page in ours(root)]


def sheets_of(root) -> list:
    """The pages that show the pattern: all but the first page, where there is one."""
    return [page for page in ours(root) if page.get(f"{INKSCAPE}label") != "First page"]


def place(page) -> tuple:
    return tuple(float(page.get(name)) for name in ("x", "y", "width", "height"))


def without_the_editor(document: str) -> str:
    """The document as the editor saves it as plain SVG: nothing of the editor's own is left, our marks are."""
    root = etree.fromstring(document.encode())
    for element in root.iter():
        for name in list(element.attrib):
            if name.startswith((INKSCAPE, SODIPODI)):
                del element.attrib[name]
    root.remove(root.find(f"{SODIPODI}namedview"))
    return etree.tostring(root).decode()


@pytest.fixture
def drafted(run_effect):
    """A drafted sleeve in a document of one's own, as text."""

    def draft(document: str = EMPTY, size: str = "median", **options) -> str:
        outcome = run_effect(DRAFT, {"unit": "cm", **{name: str(value) for name, value in SIZES[size].items()}, **options}, document)
        drawn(outcome)
        return outcome.stdout

    return draft


def test_every_sheet_is_a_page_in_reading_order(run_effect_everywhere, drafted):
    root = drawn(run_effect_everywhere(SCRIPT, {"paper": "A4", "orientation": "portrait"}, drafted()))
    codes = [label for label in labels(root) if label != "First page"]  # which is the first, where there are no corners for it
    assert labels(root)[-len(codes) :] == codes and len(codes) >= 4 and "A1" in codes
    assert codes == sorted(codes) and len(set(codes)) == len(codes)
    for page in ours(root):
        assert place(page)[2:] == pytest.approx(A4, abs=1e-5)
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(set(ids)) == len(ids)


#: Papers in mm by ISO 216 and ANSI/ASME Y14.1, A4's width and letter's height for both, and how many
#: whole points (1/72 in, ISO 32000-1, 8.3.2.3) each side holds.  Legal: common practice, no source.
SIDES = {
    "A4": ((210, 297), (595, 841)),
    "A3": ((297, 420), (841, 1190)),
    "A2": ((420, 594), (1190, 1683)),
    "A1": ((594, 841), (1683, 2383)),
    "A0": ((841, 1189), (2383, 3370)),
    "letter": ((215.9, 279.4), (612, 792)),
    "legal": ((215.9, 355.6), (612, 1008)),
    "tabloid": ((279.4, 431.8), (792, 1224)),
    "both": ((210, 279.4), (595, 792)),
}


@pytest.mark.parametrize("name", SIDES)
def test_pages_are_the_whole_points_that_the_paper_holds(run_effect, drafted, name):
    paper, points = SIDES[name]
    root = drawn(run_effect(SCRIPT, {"paper": name}, drafted()))
    for page in ours(root):
        sides = np.array(sorted(place(page)[2:]))
        assert (sides < paper).all()
        assert sides * 72 / 25.4 == pytest.approx(points, abs=0.003)


@pytest.mark.parametrize("options", [
    {"paper": "one_page"}, {"paper": "one_page", "margin": "7 mm"}, {"paper": "roll"}, {"paper": "roll", "margin": "0"},
    {"paper": "custom"}, {"paper": "custom", "custom_width": "331 mm", "custom_height": "487 mm"}, {"paper": "A0", "notes": True},
])  # fmt: skip
@pytest.mark.parametrize("size", SIZES)
def test_every_page_is_a_hair_less_than_whole_points(run_effect, drafted, options, size):
    for page in ours(drawn(run_effect(SCRIPT, options, drafted(size=size)))):
        points = np.array(place(page)[2:]) * 72 / 25.4
        assert ((points - np.ceil(points) > -0.003) & (points - np.ceil(points) < 0)).all()


@pytest.mark.parametrize("name", ["px", "letter in hundredths", "picas", "none", "width only", "viewBox only"])
def test_pages_are_true_in_any_document(run_effect, drafted, name):
    attributes, across, down = SIZED[name]
    root = drawn(run_effect(SCRIPT, {"paper": "A4", "orientation": "portrait"}, drafted(f"<svg {EDITORS} {attributes}/>")))
    for page in ours(root):
        _, _, width, height = place(page)
        assert (width * across, height * down) == pytest.approx(A4, rel=1e-6)


def test_a_page_off_its_origin_is_refused_for_the_editor_would_leave_lines_out(run_effect, drafted):
    """Seen in Inkscape 1.2.2: of 586 words in the PDF of the same sleeve 570 were left.  What is advised helps."""
    attributes, _, _ = SIZED["centimetres"]
    document = drafted(f"<svg {EDITORS} {attributes}/>")
    assert "does not begin at 0, 0" in refused(run_effect(SCRIPT, {"paper": "A4"}, document))
    assert ours(drawn(run_effect(SCRIPT, {"paper": "A4"}, document.replace('viewBox="-50 -20', 'viewBox="0 0'))))


@pytest.mark.parametrize("fit", ["xMidYMid meet", "xMinYMin meet", "xMidYMid slice", "xMinYMin slice"])
def test_a_viewbox_of_other_proportions_is_refused_for_the_editor_would_make_sheets_of_a_wrong_size(run_effect, drafted, fit):
    """Seen in Inkscape 1.2.2: A4 came out 296.69 by 629.71 mm (meet) and 98.9 by 209.9 mm (slice).  What is advised helps: the
    sleeve is as large as before (SVG 2, section 8.2)."""
    document = drafted(f'<svg {EDITORS} width="800px" height="600px" viewBox="0 0 400 100" preserveAspectRatio="{fit}"/>')
    said = refused(run_effect(SCRIPT, {"paper": "A4"}, document))
    assert "other proportions than its page" in said and "“0 0 400 100”" in said
    wide, high = re.search(r"X 0, Y 0, width ([\d.]+) and height ([\d.]+):", said).groups()
    mended = document.replace('viewBox="0 0 400 100"', f'viewBox="0 0 {wide} {high}"')
    before, after = (np.ptp(cutting_line(inkex.load_svg(text.encode()).getroot()), axis=0) for text in (document, mended))
    assert after == pytest.approx(before, rel=1e-5)
    assert ours(drawn(run_effect(SCRIPT, {"paper": "A4"}, mended)))


def cutting_line(root) -> np.ndarray:
    """Points along the cutting line, in true millimetres of the document."""
    (element,) = parts(root, "cutting line")
    return drawn_curve(element)


def drawn_curve(element) -> np.ndarray:
    """Points along a path, in true millimetres of the document."""
    path = parse_path(element.get("d"))
    points = [segment.point(t) for segment in path for t in np.linspace(0, 1, 60)]
    (a, c, e), (b, d, f) = to_millimetres(element).matrix
    return np.array([(a * p.real + c * p.imag + e, b * p.real + d * p.imag + f) for p in points])


@pytest.mark.parametrize("size", SIZES)
def test_the_cutting_line_is_where_the_sheets_print(run_effect, drafted, size):
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": "letter", "margin": "1/2 in"}, drafted(size=size)).stdout.encode()).getroot()
    windows = [box(x, y, x + w, y + h).buffer(-12.7, join_style="mitre") for x, y, w, h in map(place, sheets_of(root))]
    outline = LineString(cutting_line(root))
    for window in windows:
        outline = outline.difference(window.buffer(1e-4))
    assert outline.is_empty


def test_the_first_page_has_test_squares_and_a_map(run_effect, drafted):
    root = drawn(run_effect(SCRIPT, {"paper": "letter"}, drafted()))
    squares = [parse_path(square.get("d")).bbox() for square in parts(root, "page test square")]
    sides = sorted((right - left, bottom - top) for left, right, top, bottom in squares)
    assert sides == [pytest.approx((100, 100)), pytest.approx((101.6, 101.6))]
    prints = [(left + 9.5, left + width - 9.5, top + 9.5, top + height - 9.5) for left, top, width, height in map(place, ours(root))]
    for x0, x1, y0, y1 in squares:
        assert sum(left < x0 and x1 < right and top < y0 and y1 < bottom for left, right, top, bottom in prints) == 1
    assert len(parts(root, "map frame")) == len(sheets_of(root))
    assert parts(root, "map edge")
    words = " ".join(" ".join(row for row in text.itertext() if row.strip()) for text in parts(root, "first page layer")[0].iter(f"{SVG}text"))
    assert "Print at 100 %" in words and "no “fit to page”" in words
    on_map = ["".join(text.itertext()) for text in parts(root, "map layer")[0].iter(f"{SVG}text")]
    assert set(labels(root)) - {"First page"} <= set(on_map)


@pytest.mark.parametrize(("size", "paper"), [("largest", "letter"), ("median", "A4"), ("toddler", "A3")])
def test_the_first_page_says_how_many_sheets_lie_each_way(run_effect, drafted, size, paper):
    """And what to choose in the printer's dialog where they lie both ways; a page is as its sheet lies."""
    root = drawn(run_effect(SCRIPT, {"paper": paper}, drafted(size=size)))
    words = " ".join(" ".join(row for row in text.itertext() if row.strip()) for text in parts(root, "first page layer")[0].iter(f"{SVG}text"))
    landscape = sum(width > height for _, _, width, height in map(place, sheets_of(root)))
    portrait = len(sheets_of(root)) - landscape
    lie = f"{portrait} portrait and {landscape} landscape" if portrait and landscape else "portrait" if portrait else "landscape"
    assert re.search(rf"{portrait + landscape} sheets of [^,]+, {lie}[.,]", words)
    assert ("auto rotate" in words) == bool(portrait and landscape) == (size != "toddler")


@pytest.mark.parametrize(
    ("options", "join", "saving"),
    [
        ({"unit": "in", "paper": "A4", "margin": "0.6"}, "3/8 in or more", "3/16 in"),
        ({"unit": "in", "paper": "A4", "margin": "0.6", "overlap": "1 cm"}, "25/64 in or more", "3/16 in"),
        ({"unit": "cm", "paper": "A4", "margin": "1.5"}, "10 mm or more", "5 mm"),
    ],
)
def test_the_first_page_speaks_in_her_unit(run_effect, drafted, options, join, saving):
    """On an inch page nothing is said in millimetres, and 3/16 in, typed back, takes as few sheets as promised."""
    root = drawn(run_effect(SCRIPT, options, drafted()))
    words = " ".join(" ".join(row for row in text.itertext() if row.strip()) for text in parts(root, "first page layer")[0].iter(f"{SVG}text"))
    assert join in words and (options["unit"] == "cm" or not re.search(r"\d ?mm\b", words))
    promised = re.search(rf"With a margin of {saving}, if your printer can do that, it would be (\d+)", words)
    assert promised
    smaller = drawn(run_effect(SCRIPT, {**options, "margin": saving}, drafted()))
    assert len(sheets_of(smaller)) == int(promised[1]) < len(sheets_of(root))


@pytest.mark.parametrize(
    "options",
    [
        {"paper": "A4", "orientation": "landscape"},
        {"paper": "letter", "margin": "1"},
        {"paper": "both", "orientation": "landscape", "margin": "1/2", "notes": True},
        {"paper": "A0", "notes": True},
        {"paper": "roll", "notes": True},
        {"paper": "custom", "custom_width": "8", "custom_height": "10", "notes": True},
        {"paper": "one_page"},
    ],
)
@pytest.mark.parametrize("plain", [False, True], ids=["pages", "frames only"])
def test_the_first_page_keeps_inside_its_margins(run_effect, drafted, options, plain):
    """Lines exactly, lettering by its widths, which are upper bounds; nothing lies on anything else."""
    label = "A client with a name that goes on and on, as some do, and then some more, until it is very long indeed"
    document = drafted(label=label)
    root = drawn(run_effect(SCRIPT, {"unit": "in", **options}, without_the_editor(document) if plain else document))
    first = [layer for name in ("first page layer", "map layer", "title block") for layer in parts(root, name)]
    margin = {"1": 25.4, "1/2": 12.7}.get(options.get("margin"), 25.4 * 3 / 8)
    if plain:
        rooms = [box(-1e6, -1e6, 1e6, 1e6)]  # there is no page to say where the first page is
    else:  # which may be corners of several
        rooms = [box(*Box(x, y, x + width, y + height).grown(-margin)).buffer(1e-3) for x, y, width, height in map(place, ours(root))]
    squares, texts = [], []
    for layer in first:
        for path in layer.findall(f"{SVG}path"):
            left, right, top, bottom = parse_path(path.get("d")).bbox()
            assert any(room.contains(box(left, top, right, bottom)) for room in rooms)
            if path.get(f"{OWN}part") == "page test square":
                squares.append(box(left, top, right, bottom))
        for text in layer.findall(f"{SVG}text"):
            style = text.get("style")
            size = float(re.search(r"font-size:([\d.]+)px", style)[1])
            spans = [(float(span.get("x")), float(span.get("y")), text_width(span.text, size, "bold" in style)) for span in text]
            shift = 0.5 if "middle" in style else 0.0
            rows = [box(x - shift * wide, y - 0.75 * size, x + (1 - shift) * wide, y + 0.2 * size) for x, y, wide in spans]
            texts.append(unary_union(rows))
            assert any(room.contains(texts[-1]) for room in rooms), "".join(text.itertext())
    assert len(squares) == 2 and not squares[0].intersects(squares[1])
    drawn_below = parts(root, "map frame") or parts(root, "title block frame")
    frames = [box(*np.array(parse_path(path.get("d")).bbox())[[0, 2, 1, 3]]) for path in drawn_below]
    assert min(frame.area for frame in frames) > 4
    map_room = unary_union(frames).envelope
    assert not any(map_room.intersects(square) for square in squares)
    for text, other in itertools.combinations(texts, 2):
        assert not text.intersects(other)


@pytest.mark.parametrize("size", SIZES)
def test_each_sheet_says_what_it_is_and_what_comes_beside(run_effect, drafted, size):
    """Sheets of a row that follow each other and overlap name each other; whoever is named names back, the other way round."""
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted(label="Example", size=size)))
    at = {page.get(f"{INKSCAPE}label"): place(page) for page in ours(root) if page.get(f"{INKSCAPE}label") != "First page"}
    (layer,) = parts(root, "page code layer")
    arrows = set()
    for text in layer.iter(f"{SVG}text"):
        label, words = text.get(f"{INKSCAPE}label"), "".join(text.itertext())
        if ": to " in label:
            here, there = label.split(": to ")
            assert words in (f"{there} →", f"← {there}", f"↑ {there}", f"↓ {there}")
            arrows.add((here, words.replace(there, "").strip(), there))
            x, y, wide, high = at[here]
            assert x < float(text.get("x")) < x + wide and y < float(text.get("y")) < y + high
    back = {"→": "←", "←": "→", "↑": "↓", "↓": "↑"}
    assert arrows == {(there, back[arrow], here) for here, arrow, there in arrows}
    rows = {top: sorted(code for code in at if at[code][1] == top) for _, top, *_ in at.values()}
    for codes in rows.values():
        assert all((one, "→", next_one) in arrows for one, next_one in zip(codes, codes[1:]))
    assert len({code for code, *_ in arrows}) == len(at)
    words = [" ".join(text.itertext()) for text in layer.iter(f"{SVG}text")]
    assert set(at) <= set(words) and sum(bool(re.search(r", sheet \d+ of \d+", word)) for word in words) == len(at)


def test_only_partners_bear_the_same_number(run_effect, drafted):
    """Each join mark has its own number, on both sides of the line that is cut and within 10 mm of the mark."""
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted(size="largest")))
    marks = parts(root, "join mark")
    numbers = {str(int(float(mark.get(f"{OWN}number")))): parse_path(mark.get("d")).bbox() for mark in marks}
    assert len(numbers) == len(marks) > 10
    texts = parts(root, "join mark layer")[0].findall(f"{SVG}text")
    assert len(texts) == 2 * len(marks)
    for number, (left, right, top, bottom) in numbers.items():
        mine = [text for text in texts if "".join(text.itertext()) == number]
        x, y = (left + right) / 2, (top + bottom) / 2
        first, second = ((float(text.get("x")), float(text.get("y")) - 1.2) for text in mine)  # the middle of its row
        assert all(abs(a - x) < 10 and abs(b - y) < 12 for a, b in (first, second))
        assert (first[0] < x < second[0]) or (first[1] < y < second[1])


@pytest.mark.parametrize("paper", ["A4", "letter", "A3"])
@pytest.mark.parametrize("size", SIZES)
def test_no_join_runs_along_a_line(run_effect, drafted, size, paper):
    """Level joins keep 6 mm from tier and level lines and from the ends of the outline, by shapely and svgpathtools; the grain,
    which is upright, and edges that a join crosses are left aside.
    """
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": paper, "pieces": False}, drafted(size=size)).stdout.encode()).getroot()
    flat = [LineString(line) for part in ("tier line", "level line") for line in on_page(root, part)]
    [outline] = on_page(root, "cutting line")
    ends = [outline[:, 1].min(), outline[:, 1].max()]
    joins = [LineString(line) for line in on_page(root, "trim line") if np.ptp(line[:, 1]) < 1e-6]
    assert joins or len(ours(root)) <= 4
    for join in joins:
        assert all(join.distance(line) >= 6 - 0.01 for line in flat)
        assert all(abs(join.coords[0][1] - end) >= 6 - 0.01 for end in ends)


def lettered_in(root, part: str) -> list:
    """What each text in a part says, as one row, and the boxes of its rows in true millimetres, by upper bounds of their widths."""
    found = []
    for text in (text for layer in parts(root, part) for text in layer.iter(f"{SVG}text")):
        style, rows = text.get("style"), []
        size = float(re.search(r"font-size:([\d.]+)px", style)[1])
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[re.search(r"text-anchor:(\w+)", style)[1]]
        (a, c, e), (b, d, f) = to_millimetres(text).matrix
        for span in [span for span in text if span.text]:
            width, x, y = text_width(span.text, size, "bold" in style), float(span.get("x")), float(span.get("y"))
            corners = np.array([(x - share * width, y - 0.75 * size), (x + (1 - share) * width, y + 0.2 * size)])
            (x0, x1), (y0, y1) = corners @ (a, c) + e, corners @ (b, d) + f
            rows.append(box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)))
        found.append((" ".join(span.text for span in text), unary_union(rows)))
    return found


PATTERN_LETTERING = ("names layer", "tier lengths layer", "level widths layer", "band pieces panel")


@pytest.mark.parametrize("paper", ["A4", "letter", "A3"])
@pytest.mark.parametrize(
    ("size", "options"), [*((size, {}) for size in SIZES), ("median", {"shape": "flared", "flare_width": "204"}), ("largest", {"tiers": "12"})]
)
def test_no_word_on_the_pattern_is_cut_at_a_join(run_effect, drafted, size, options, paper):
    """And it all still says what it said, off the lines of the sleeve and off each other, by shapely."""
    before = drafted(size=size, label="Example (invented)", **options)
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": paper}, before).stdout.encode()).getroot()
    was = inkex.load_svg(before.encode()).getroot()
    trims = unary_union([LineString(line) for line in on_page(root, "trim line")])
    lines = unary_union([LineString(line) for part in ("tier line", "level line", "cutting line") for line in on_page(root, part)])
    for part in PATTERN_LETTERING:
        now, then = lettered_in(root, part), lettered_in(was, part)
        assert [words for words, _ in now] == [words for words, _ in then] != []
        for words, rows in now:
            assert not rows.intersects(trims), words
            assert not rows.intersects(lines), words
    everything = [rows for part in PATTERN_LETTERING for _, rows in lettered_in(root, part)]
    assert not any(one.intersects(other) for one, other in itertools.combinations(everything, 2))


def on_page(root, part: str) -> list[np.ndarray]:
    """Points along the lines of a part, in true millimetres of the document."""
    found = []
    for element in parts(root, part):
        path, ((a, c, e), (b, d, f)) = parse_path(element.get("d")), to_millimetres(element).matrix
        points = [path.point(t) for t in np.linspace(0, 1, 120)]
        found.append(np.array([(a * p.real + c * p.imag + e, b * p.real + d * p.imag + f) for p in points]))
    return found


def test_lettering_is_legible_and_off_the_lines(run_effect, drafted):
    """At least 7 pt, and on no line of the pattern (widths are upper bounds, see ``extension.drawing.lettering``)."""
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": "A4"}, drafted()).stdout.encode()).getroot()
    outline = LineString(cutting_line(root))
    (marks,) = parts(root, "sheets")
    texts = list(marks.iter(f"{SVG}text"))
    assert len(texts) > 30
    for text in texts:
        style = text.get("style")
        size = float(re.search(r"font-size:([\d.]+)px", style)[1])
        assert size * 72 / 25.4 >= 7
        for span in text:
            width = text_width(span.text, size, "bold" in style)
            left = float(span.get("x")) - (width / 2 if "middle" in style else 0)
            base = float(span.get("y"))
            assert not outline.intersects(box(left, base - 0.75 * size, left + width, base))


def test_a_label_of_130_letters_crosses_no_line_and_is_cut_within_no_word(run_effect, drafted):
    label = "Invented sample for the long evening gown of ivory net, second fitting, left and right alike, ordered for the spring wedding of two"
    assert len(label) >= 130
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": "A4"}, drafted(label=label)).stdout.encode()).getroot()
    layers = [group for name in ("cutting layer", "seam layer", "body layer", "tier layer") for group in parts(root, name)]
    of_pattern = [path for group in layers for path in group.iter(f"{SVG}path")]
    lines = []
    for element in of_pattern:
        points = [segment.point(t) for segment in parse_path(element.get("d")) for t in np.linspace(0, 1, 60)]
        (a, c, e), (b, d, f) = to_millimetres(element).matrix
        lines.append(LineString([(a * p.real + c * p.imag + e, b * p.real + d * p.imag + f) for p in points]))
    drawn_lines = unary_union(lines)
    (marks,) = parts(root, "sheets")
    names = [text for text in marks.iter(f"{SVG}text") if (text.get(f"{INKSCAPE}label") or "").startswith("Name on ")]
    assert len(names) > 6
    for text in names:
        size = float(re.search(r"font-size:([\d.]+)px", text.get("style"))[1])
        assert " ".join(span.text for span in text).startswith(f"Sleeve – {label}, ")
        for span in [span for span in text if span.text]:
            width, x, y = text_width(span.text, size), float(span.get("x")), float(span.get("y"))
            assert not drawn_lines.intersects(box(x - width / 2, y - 0.75 * size, x + width / 2, y))
    (title,) = (text for text in marks.iter(f"{SVG}text") if "".join(text.itertext()).startswith("Sleeve") and "…" in "".join(text.itertext()))
    words = " ".join(span.text for span in title).removeprefix("Sleeve – ").removesuffix(" …")
    assert f"{label} ".startswith(f"{words} ") and len(words) > 40


def test_again_replaces_ours_and_nothing_else(run_effect, drafted):
    once = run_effect(SCRIPT, {"paper": "A4"}, drafted(HER_RECTANGLE))
    drawn(once)
    again = drawn(run_effect(SCRIPT, {"paper": "A3"}, once.stdout))
    assert len(parts(again, "sheets")) == 1
    assert all(sorted(place(page)[2:]) == pytest.approx(list(map(prints_true, (297, 420))), abs=1e-5) for page in ours(again))
    third = drawn(run_effect(SCRIPT, {"paper": "A4"}, etree.tostring(again).decode()))
    assert [place(page) for page in pages(third)] == [place(page) for page in pages(drawn(once))]


def test_the_same_again_changes_nothing(run_effect, drafted):
    """An effect that changes nothing answers nothing."""
    once = run_effect(SCRIPT, {"paper": "A4"}, drafted())
    drawn(once)
    again = run_effect(SCRIPT, {"paper": "A4"}, once.stdout)
    assert (again.returncode, again.stdout, again.stderr) == (0, "", "")


def positions(root) -> list:
    """What is lettered on the pattern, and where."""
    return [(span.text, span.get("x"), span.get("y"), text.get("style")) for text in parts(root, "sleeve")[0].iter(f"{SVG}text") for span in text]


@pytest.mark.parametrize("options", [{"size": "toddler", "tiers": "9"}, {"size": "largest", "tiers": "5", "shape": "flared", "flare_width": "190"}])
def test_other_paper_first_makes_no_difference(run_effect, drafted, options):
    """Lettering moved off the joins of other paper goes back first; were it not, A4 would find other sheets, or smaller lettering."""
    document = drafted(**options)
    once = drawn(run_effect(SCRIPT, {"paper": "A4"}, document))
    assert positions(once) != positions(etree.fromstring(document.encode()))
    twice = run_effect(SCRIPT, {"paper": "A4"}, run_effect(SCRIPT, {"paper": "letter"}, document).stdout)
    assert etree.tostring(drawn(twice), method="c14n") == etree.tostring(once, method="c14n")
    assert run_effect(SCRIPT, {"paper": "A4"}, twice.stdout).stdout == ""
    large = drawn(run_effect(SCRIPT, {"paper": "one_page"}, twice.stdout))
    assert positions(large) == positions(etree.fromstring(document.encode()))


def test_lettering_that_she_has_set_herself_stays_hers(run_effect, drafted):
    once = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted(size="toddler", tiers="9")))
    moved = [text for text in once.iter(f"{SVG}text") if text.get(f"{OWN}stood")]
    assert len(moved) >= 2
    hers = moved[0]
    hers.set("x", f"{float(hers.get('x')) + 3:.3f}")
    for span in hers:
        span.set("x", hers.get("x"))
        span.text = "By her (invented)"
    moved[1].set(f"{OWN}stood", "[[1], 2")
    stand = [(text.get("x"), text[0].get("x")) for text in moved[:2]]
    large = drawn(run_effect(SCRIPT, {"paper": "one_page"}, etree.tostring(once).decode()))
    texts = {text[0].text: (text.get("x"), text[0].get("x")) for text in parts(large, "sleeve")[0].iter(f"{SVG}text")}
    assert [texts["By her (invented)"], texts[moved[1][0].text]] == stand
    assert not any(text.get(f"{OWN}stood") for text in large.iter(f"{SVG}text"))


def test_her_pages_and_drawing_stay(run_effect, drafted):
    hers = '<inkscape:page x="400" y="-30" width="100" height="120" id="mine" inkscape:label="Mine"/>'
    before = drafted(HER_RECTANGLE.replace("<sodipodi:namedview/>", f"<sodipodi:namedview>{hers}</sodipodi:namedview>"))
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, before))
    assert pages(root)[0].get("id") == "mine" and place(pages(root)[0]) == (400, -30, 100, 120)
    assert len(pages(root)) == len(ours(root)) + 1
    was = etree.fromstring(before.encode())
    for document in (was, root):  # ours, which may lie on a join
        for text in list(parts(document, "sleeve")[0].iter(f"{SVG}text")):
            text.getparent().remove(text)
    for one, other in ((parts(was, "sleeve")[0], parts(root, "sleeve")[0]), (was.find(f"{SVG}rect"), root.find(f"{SVG}rect"))):
        assert etree.tostring(one, method="c14n") == etree.tostring(other, method="c14n")


def test_the_page_she_draws_on_is_still_a_page(run_effect, drafted):
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted(HER_RECTANGLE)))
    assert place(pages(root)[0]) == pytest.approx((0, 0, *A4), abs=1e-3) and not pages(root)[0].get(f"{OWN}part")
    again = drawn(run_effect(SCRIPT, {"paper": "A0"}, etree.tostring(root).decode()))
    assert len(pages(again)) == 2 and not pages(again)[0].get(f"{OWN}part")


def test_an_empty_page_is_not_printed(run_effect, drafted):
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted()))
    assert pages(root) == ours(root)


def test_what_is_hidden_takes_no_sheets(run_effect, drafted):
    document = drafted()
    root = etree.fromstring(document.encode())
    for part in ("notes layer", "test square layer", "fit layer"):
        parts(root, part)[0].set("style", "display:none")
    options = {"paper": "A4", "orientation": "portrait", "notes": True}
    fewer = labels(drawn(run_effect(SCRIPT, options, etree.tostring(root).decode())))
    assert len(fewer) < len(labels(drawn(run_effect(SCRIPT, options, document))))
    parts(root, "sleeve")[0].set("style", "display:none")
    assert "nothing to print" in refused(run_effect(SCRIPT, options, etree.tostring(root).decode()))


def test_hidden_lines_of_the_pattern_are_named_on_the_first_page(run_effect, drafted):
    """Seen by eye: a hidden Cutting line leaves sheets on which the Seam line is the outermost line."""
    root = etree.fromstring(drafted().encode())

    def said():
        printed = drawn(run_effect(SCRIPT, {"paper": "A4"}, etree.tostring(root).decode()))
        text = " ".join(" ".join(words.split()) for e in parts(printed, "first page layer") for words in e.itertext() if words.strip())
        return re.findall(r"Hidden on the drawing, and so on no sheet: ([^.]*)\.", text)

    assert said() == []
    parts(root, "cutting layer")[0].set("style", "display:none")
    assert said() == ["Cutting line"]
    (third,) = (line for line in parts(root, "tier line") if float(line.get(f"{OWN}number")) == 3)
    third.set("style", f"{third.get('style')};display:none")
    assert said() == ["Cutting line, Tier line 3"]
    parts(root, "tier layer")[0].set("style", "visibility:hidden")
    assert said() == ["Cutting line, Tier lines"]


def test_ticked_reports_get_pages_of_their_own(run_effect, drafted):
    """Reports are found by what they are called, wherever they stand; here two stand-ins."""
    root = etree.fromstring(drafted().encode())
    (sleeve,) = parts(root, "sleeve")
    for part, x in (("lay", 2000), ("job sheet", 4000)):
        layer = etree.SubElement(sleeve, f"{SVG}g", {f"{OWN}part": part, f"{INKSCAPE}label": part.capitalize()})
        etree.SubElement(layer, f"{SVG}path", {"d": f"M {x} 0 H {x + 150} V 100 H {x} Z", "style": "fill:none;stroke:#000"})
    document = etree.tostring(root).decode()
    plain = drawn(run_effect(SCRIPT, {"paper": "A4"}, document))
    root = drawn(run_effect(SCRIPT, {"paper": "A4", "lay": True, "job_sheet": True}, document))
    assert labels(root) == [*labels(plain), "Report 1", "Report 2"]
    only = drawn(run_effect(SCRIPT, {"paper": "A4", "sleeve": False, "pieces": False, "lay": True}, document))
    assert labels(only) == ["Report 1"]
    for done, page in ((only, ours(only)[0]), (root, ours(root)[-1])):
        (layer,) = parts(done, "report copies")
        left, top, width, height = place(page)
        copied = [inkex.Transform(path.get("transform")) for path in layer.findall(f"{SVG}path")]
        corners = [(copied[-1].apply_to_point((x, y)) for x in (4000 if done is root else 2000,) for y in (0,))]
        [(corner,)] = [tuple(each) for each in corners]
        assert left + 10 <= corner.x < left + width - 160 and top + 10 <= corner.y < top + height - 110


def report_rows(root) -> list:
    """Each row lettered on the reports' pages: what it says and its box in mm of the document, by upper bounds of widths."""
    (layer,) = parts(root, "report copies")
    rows = []
    for text in layer.iter(f"{SVG}text"):
        style, placed = text.get("style"), inkex.Transform(text.get("transform"))
        size = float(re.search(r"font-size:([\d.]+)px", style)[1])
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[re.search(r"text-anchor:(\w+)", style)[1]]
        for span in [span for span in text if span.text]:
            width, x, y = text_width(span.text, size, "bold" in style), float(span.get("x")), float(span.get("y"))
            corners = ((x - share * width, y - 0.75 * size), (x + (1 - share) * width, y + 0.2 * size))
            (x0, y0), (x1, y1) = map(placed.apply_to_point, corners)
            rows.append((span.text, box(x0, y0, x1, y1)))
    return rows


@pytest.mark.parametrize("options", [
    {"paper": "A4"}, {"paper": "letter", "margin": "1"}, {"paper": "A3", "orientation": "landscape"}, {"paper": "roll"}, {"paper": "one_page"},
    {"paper": "custom", "custom_width": "8", "custom_height": "10"},
])  # fmt: skip
def test_no_row_of_a_report_is_cut_and_none_is_lost(run_effect, drafted, options):
    root = drawn(run_effect(SCRIPT, {"unit": "in", "margin": "10 mm", **options, "sleeve": False, "notes": True}, drafted()))
    margin = 25.4 if options.get("margin") == "1" else 10
    pages_of_reports = [box(x + margin, y + margin, x + w - margin, y + h - margin) for x, y, w, h in map(place, ours(root))]
    rows = report_rows(root)
    for words, room in rows:
        assert sum(page.buffer(0.01).contains(room) for page in pages_of_reports) == 1, words
    for i, (words, room) in enumerate(rows):
        assert not any(room.intersects(other) for _, other in rows[:i]), words
    require_said(rows, root, ("notes layer", "fit layer"))


def require_said(rows, root, told_by) -> None:
    """All that is lettered in parts of a sleeve stands in the rows."""
    said = [words for words, _ in rows]
    (sleeve,) = parts(root, "sleeve")
    for words in [span.text for part in told_by for layer in parts(sleeve, part) for span in layer.iter(f"{SVG}tspan") if span.text]:
        said.remove(words)


@pytest.mark.parametrize("paper", ["A4", "letter", "A3"])
def test_columns_and_long_lays_go_on_from_page_to_page_at_their_size(run_effect, drafted, paper):
    """A job sheet of two columns and a lay longer than the paper keep letters one reads on a table; the lay's parts hold all of it (shapely)."""
    planned = run_effect(SCRIPT.parent / "cutting_plan.py", {}, drafted()).stdout
    root = drawn(run_effect(SCRIPT, {"paper": paper, "margin": "10 mm", "sleeve": False, "pieces": False, "lay": True, "job_sheet": True}, planned))
    pages_of_reports = [box(x, y, x + w, y + h).buffer(-9.99) for x, y, w, h in map(place, ours(root))]
    rows = report_rows(root)
    for words, room in rows:
        assert sum(page.contains(room) for page in pages_of_reports) == 1, (words, room.bounds, [page.bounds for page in pages_of_reports])
    require_said(rows, root, ("lay panel", "job sheet panel"))
    (layer,) = parts(root, "report copies")
    sizes = [
        math.hypot(inkex.Transform(text.get("transform")).a, inkex.Transform(text.get("transform")).b)
        * float(re.search(r"font-size:([\d.]+)px", text.get("style"))[1])
        for text in layer.iter(f"{SVG}text")
    ]
    assert min(sizes) > 0.95 * 7 * 25.4 / 72  # 7 points; a table may be a little wider than the paper
    shown = {}
    for group in layer.iter(f"{SVG}g"):
        clip = re.fullmatch(r"url\(#(.+)\)", group.get("clip-path") or "none")
        for path in group.findall(f"{SVG}path") if clip else ():
            (rectangle,) = next(each for each in layer.iter(f"{SVG}clipPath") if each.get("id") == clip[1])
            x, y, w, h = (float(rectangle.get(name)) for name in ("x", "y", "width", "height"))
            back = -inkex.Transform(path.get("transform"))
            corners = [back.apply_to_point(corner) for corner in ((x - 1, y), (x + w + 1, y + h))]
            shown.setdefault(path.get("d"), []).append(box(*corners[0], *corners[1]))
    assert shown
    for data, windows in shown.items():
        line = LineString([(point.x, point.y) for point in inkex.Path(data).end_points])
        assert unary_union(windows).buffer(1e-3).covers(line)


def test_one_large_page(run_effect, drafted):
    root = drawn(run_effect(SCRIPT, {"paper": "one_page", "margin": "20 mm"}, drafted()))
    [page] = ours(root)
    left, top, width, height = place(page)
    squares = [parse_path(square.get("d")).bbox() for square in parts(root, "page test square")]
    points = cutting_line(inkex.load_svg(etree.tostring(root)).getroot())
    for xs, ys in [((x0, x1), (y0, y1)) for x0, x1, y0, y1 in squares] + [(points[:, 0], points[:, 1])]:
        assert left + 20 < min(xs) and max(xs) < left + width - 20
        assert top + 20 < min(ys) and max(ys) < top + height - 20


@pytest.mark.parametrize(("size", "paper"), [
    ("median", "A3"), ("largest", "A4"), ("largest", "A3"), ("toddler", "A3"), ("median", "letter"), ("median", "both"), ("largest", "both"),
])  # fmt: skip
def test_no_sheet_is_spent_on_test_squares_where_there_are_blank_corners(run_effect, drafted, size, paper):
    """They, the lettering and the map lie each whole on one sheet, on nothing that is drawn, and are found by what is lettered."""
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": paper, "margin": "10 mm", "pieces": False}, drafted(size=size)).stdout.encode()).getroot()
    assert "First page" not in labels(root)
    sheets = {page.get("inkscape:label"): box(*Box(x, y, x + w, y + h).grown(-10)) for page in ours(root) for x, y, w, h in [place(page)]}
    lines = [LineString(line) for part in ("cutting line", "tier line", "level line") for line in on_page(root, part)]
    trims = [LineString(line) for line in on_page(root, "trim line")]
    squares = {line.get("inkscape:label"): parse_path(line.get("d")).bbox() for line in parts(root, "page test square")}
    rooms = [box(x0, y0, x1, y1) for x0, x1, y0, y1 in squares.values()]
    words = lettered_in(root, "first page layer")
    frames = [box(x0, y0, x1, y1) for x0, x1, y0, y1 in (parse_path(line.get("d")).bbox() for line in parts(root, "map frame"))]
    map_room = unary_union(frames)
    text = unary_union([rows for said, rows in words if said not in squares])
    for one in (*rooms, map_room, text):
        assert sum(sheet.contains(one) for sheet in sheets.values()) == 1
        assert not any(one.intersects(line) for line in (*lines, *trims))
    for one, other in itertools.combinations((*rooms, map_room, text), 2):
        assert not one.intersects(other)
    told = re.search(r"test squares are on ([\w ]+)\.", " ".join(said for said, _ in words))
    on = [name for name, sheet in sheets.items() if any(sheet.contains(room) for room in rooms)]
    assert sum(sheets[on[0]].contains(one) for one in (*rooms, map_room, text)) == 4 if told is None else told[1].split(" and ") == on
    # The first sheet says where to look, large enough to be seen at arm's length, for what isn't on it.
    first, directed = next(iter(sheets)), [name for name, sheet in sheets.items() if sheet.contains(text)]
    pointers = [(said, rows) for said, rows in lettered_in(root, "page code layer") if "est squares" in said or "irections" in said]
    assert len(pointers) == ([first] != on or [first] != directed)
    for said, rows in pointers:
        assert sheets[first].contains(rows) and rows.bounds[3] - rows.bounds[1] >= 5
        assert ("Test squares" in said) == (on != [first]) and ("irections" in said) == (directed != [first])
        assert {*re.findall(r"[A-Z]+\d+", said)} == {*(on if on != [first] else []), *(directed if directed != [first] else [])}


@pytest.mark.parametrize("paper", ["one_page", "roll", "A0"])
def test_a_single_sheet_has_a_title_block(run_effect, drafted, paper):
    """What ISO 7200:2004 asks for (title, owner, date of issue; from memory), and what is cut by: scale, unit, allowances, sheet."""
    options = {"label": "Client (invented)", "seam_allowance": "1.5", "hem_allowance": "3"}
    root = drawn(run_effect(SCRIPT, {"paper": paper, "unit": "cm"}, drafted(**options)))
    (block,), (page,) = parts(root, "title block"), ours(root)
    fields = {text.get(f"{INKSCAPE}label"): " ".join(text.itertext()) for text in block.iter(f"{SVG}text")}
    assert fields["Client or style"] == "Client (invented)" and fields["Scale"] == "1:1" and fields["Unit"] == "centimetres"
    assert fields["Date"] == dt.date.today().isoformat() and fields["Drawn with"] == "Tiered Sleeve"
    assert fields["Allowances"] == "Seam allowance 1.5 cm, hem 3.0 cm"
    assert all(f"{side / 10:.1f} cm" in fields["Sheet"] for side in place(page)[2:])
    left, right, top, bottom = parse_path(parts(root, "title block frame")[0].get("d")).bbox()
    assert right - left <= 180
    outline = LineString(cutting_line(inkex.load_svg(etree.tostring(root)).getroot()))
    assert outline.distance(box(left, top, right, bottom)) > 5
    assert not parts(root, "map frame")


@pytest.mark.parametrize("paper", ["A0", "A1", "one_page", "roll"])
def test_a_single_sheet_has_a_frame_clear_of_the_pieces(run_effect, drafted, paper):
    """By shapely: inside what prints, and 5 mm or more from all that is cut (our own choice)."""
    root = inkex.load_svg(run_effect(SCRIPT, {"paper": paper, "margin": "1 cm"}, drafted()).stdout.encode()).getroot()
    [(x, y, w, h)] = map(place, ours(root))
    [frame] = map(drawn_curve, parts(root, "frame"))
    assert box(x, y, x + w, y + h).buffer(-10, join_style="mitre").contains(LineString(frame))
    pieces = [LineString(drawn_curve(line)) for part in ("cutting line", "piece cutting line") for line in parts(root, part)]
    assert len(pieces) >= 2 and min(LineString(frame).distance(piece) for piece in pieces) >= 5


def test_a_roll_and_paper_of_her_own(run_effect, drafted):
    document = drafted(size="largest")
    root = drawn(run_effect(SCRIPT, {"paper": "roll", "roll_width": "36 in", "orientation": "portrait"}, document))
    assert {round(place(page)[2], 4) for page in ours(root)} == {round(prints_true(914.4), 4)}
    root = drawn(run_effect(SCRIPT, {"paper": "custom", "unit": "cm", "custom_width": "50", "custom_height": "40"}, document))
    assert all(sorted(place(page)[2:]) == pytest.approx(list(map(prints_true, (400, 500))), abs=1e-5) for page in ours(root))


def test_a_plain_svg_gets_frames_only(run_effect, drafted):
    root = etree.fromstring(without_the_editor(drafted()).encode())
    for paper in ("A4", "A3"):
        root = drawn(run_effect(SCRIPT, {"paper": paper}, etree.tostring(root).decode()))
        assert not pages(root) and len(parts(root, "frame")) >= 3
        words = " ".join(" ".join(text.itertext()) for text in root.iter(f"{SVG}text"))
        assert "can hold no pages" in words


def test_an_editor_older_than_pages_gets_frames_only(monkeypatch):
    """The editor's module knows pages since 1.2; whoever has an older one is told so on the first page."""
    svg = inkex.load_svg(EMPTY.encode()).getroot()
    assert can_have_pages(svg)
    monkeypatch.delattr(inkex, "Page")
    assert not can_have_pages(svg)


def test_a_document_without_a_view_gets_one(run_effect, drafted):
    root = drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted('<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm"/>')))
    assert len(root.findall(f"{SODIPODI}namedview")) == 1 and len(ours(root)) > 3


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"margin": "wide"}, "Margin: “wide”"),
        ({"margin": "3 in"}, "Margin: “3 in”"),
        ({"overlap": "-1"}, "Overlap: “-1”"),
        ({"paper": "roll", "roll_width": "2"}, "Width of the roll"),
        ({"paper": "custom", "custom_width": "170 mm", "custom_height": "220 mm"}, "first page"),
        ({"paper": "custom", "custom_width": "160 mm", "custom_height": "211 mm", "margin": "25 mm", "overlap": "20 mm"}, "too small"),
        ({"sleeve": False, "pieces": False}, "nothing to print"),
    ],
)
def test_what_can_not_be_is_named(run_effect, drafted, options, says):
    message = refused(run_effect(SCRIPT, options, drafted()))
    assert says in message


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_the_least_paper_that_is_told_does_when_typed_back(run_effect, drafted, unit):
    """Of the table with no margin, and with her margin; what is told of one side holds for the other too."""
    document = drafted()

    def typed(width: str, height: str, margin: str):
        return run_effect(SCRIPT, {"paper": "custom", "unit": unit, "custom_width": width, "custom_height": height, "margin": margin}, document)

    said = refused(typed("100 mm", "100 mm", "0"))
    least = re.findall(r"What makes sense is (\S.*?) to", said)
    assert len(least) == 2 and ours(drawn(typed(*least, "0")))
    said = refused(typed(*least, "1 cm"))
    wide, high = re.search(r"must measure (\S.*?) by (\S.*?)\. Take", said).groups()
    assert ours(drawn(typed(wide, high, "1 cm")))


def test_no_sleeve_no_pages(run_effect):
    assert "no sleeve" in refused(run_effect(SCRIPT, {}, EMPTY))


def test_half_typed_lengths_are_said_in_a_box_and_nothing_is_drawn(run_effect, drafted):
    once = run_effect(SCRIPT, {"paper": "A4"}, drafted())
    waiting = run_effect(SCRIPT, {"margin": "3/"}, once.stdout)
    assert "“3/” looks like the beginning of a number" in refused(waiting)
    drawn(run_effect(SCRIPT, {"paper": "A3", "roll_width": "3/"}, once.stdout))


@pytest.mark.parametrize("paper", ["A4", "A3", "A2"])
@pytest.mark.parametrize("size", SIZES)
def test_what_is_lettered_on_a_sheet_lies_inside_its_printing(run_effect, drafted, size, paper):
    """Codes, names and arrows, by upper bounds of their widths; also where test squares take much of a sheet."""
    root = drawn(run_effect(SCRIPT, {"paper": paper, "margin": "10 mm"}, drafted(size=size)))
    printable = [box(x + 10, y + 10, x + w - 10, y + h - 10) for x, y, w, h in map(place, ours(root))]
    for text in parts(root, "page code layer")[0].iter(f"{SVG}text"):
        size_of = float(re.search(r"font-size:([\d.]+)px", text.get("style"))[1])
        for span in text:
            width = text_width(span.text, size_of, "bold" in text.get("style"))
            left, base = float(span.get("x")) - width / 2, float(span.get("y"))
            room = box(left, base - 0.75 * size_of, left + width, base)
            assert any(page.buffer(0.01).contains(room) for page in printable), span.text


def test_what_she_wrote_on_the_pattern_is_printed_and_beside_it_only_with_the_notes(run_effect, drafted):
    """Beside the pattern her note would else take sheets of its own."""
    root = etree.fromstring(drafted().encode())
    [sleeve], runs = parts(root, "sleeve"), []
    for said, at, notes in ((None, 0, False), ("take in here", 200, False), ("ask her", 900, False), (None, 0, True)):
        if said:
            etree.SubElement(sleeve, f"{SVG}text", x=str(at), y=str(at), style="font-size:5px").text = said
        runs.append(drawn(run_effect(SCRIPT, {"paper": "A4", "notes": notes}, etree.tostring(root).decode())))
    assert len({len(sheets_of(one)) for one in runs[:3]}) == 1
    words = [" ".join(" ".join(text.itertext()) for text in parts(one, "sheets")[0].iter(f"{SVG}text")) for one in runs]
    assert ["ask her" in each for each in words] == [False, False, False, True]


# --- pages that are no longer true ----------------------------------------------------------------------

REMEASURE = REPOSITORY / "extension" / "remeasure_sleeve.py"


def test_pages_of_another_client_are_taken_away(run_effect, drafted):
    once = run_effect(SCRIPT, {"paper": "A4"}, drafted(HER_RECTANGLE, label="Ada (invented)")).stdout
    assert ours(etree.fromstring(once.encode()))
    replaced = {"unit": "cm", "label": "Bea (invented)", "replace": True, "replace_other": True}
    root = drawn(run_effect(DRAFT, {**replaced, **{name: str(value) for name, value in SIZES["median"].items()}}, once))
    assert not ours(root) and not parts(root, "sheets") and len(pages(root)) == 1  # the one she draws on
    # Only the notes, which ask whether the same measurements were taken again, still name her.
    named = [" ".join(text.itertext()) for text in root.iter(f"{SVG}text") if "Ada" in "".join(text.itertext())]
    assert len(named) == etree.tostring(root).decode().count("Ada") == 1 and "are just those of Ada (invented): measured again?" in named[0]


def test_pages_of_another_outline_are_taken_away_and_of_the_same_one_kept(run_effect, drafted):
    once = run_effect(SCRIPT, {"paper": "A4"}, drafted()).stdout
    root = etree.fromstring(once.encode())
    assert run_effect(REMEASURE, {}, once).stdout == "" or ours(drawn(run_effect(REMEASURE, {}, once)))
    edits.bulge_front(root)
    after = drawn(run_effect(REMEASURE, {}, etree.tostring(root).decode()))
    assert not ours(after) and not parts(after, "sheets")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Sleeve – Ada (invented)", "Sleeve – Ada (invented), sheet 1 of 1"),
        ("Ada (invented), wide", "Ada (invented), wide, sheet 1 of 1"),
        ("Sleeve – Bea", "Sleeve – Ada (invented) (Sleeve – Bea), sheet 1 of 1"),
    ],
)
def test_a_sheet_names_the_client_that_the_pattern_is_lettered_with_whatever_the_layer_is_called(run_effect, drafted, name, said):
    root = etree.fromstring(drafted(label="Ada (invented)").encode())
    parts(root, "sleeve")[0].set(f"{INKSCAPE}label", name)
    options = {"paper": "one_page", "pieces": False}
    (marks,) = parts(drawn(run_effect(SCRIPT, options, etree.tostring(root).decode())), "sheets")
    assert said in [" ".join(span.text for span in text) for text in marks.iter(f"{SVG}text")]


@pytest.mark.parametrize("scaled", [1.0, 0.97])
def test_a_sleeve_as_drafted_is_not_called_edited(run_effect, drafted, scaled):
    """A toddler's whose Cutting line has a node on a straight piece when it is drafted, and none when it is read from the drawing."""
    measured = {
        "bust_girth": 62.3, "off_shoulder_girth": 71.4, "shoulder_width": 26.4, "upper_arm_girth": 17.1, "upper_arm_level": 9.7,
        "elbow_girth": 17.3, "elbow_level": 14.0, "sleeve_length": 21.3, "hem_girth": 15.3, "hand_girth": 15.4, "body_edge_reduction": 3.0,
        "ease_cap": 1.0, "ease_upper_arm": 1.1, "ease_elbow": 1.1, "ease_hem": 1.0,
    }  # fmt: skip
    svg = drafted(unit="cm", tiers=4, **{name: f"{value * scaled:.2f}" if "girth" in name else value for name, value in measured.items()})
    assert ours(drawn(run_effect(SCRIPT, {"paper": "A4"}, svg)))


# --- a document of several clients ----------------------------------------------------------------------


@pytest.fixture
def two_clients(drafted):
    """A document of two clients, one sleeve below the other, and the ids of their layers; prints one of them."""
    root = etree.fromstring(drafted(drafted(label="Ada (invented)"), label="Bea (invented)").encode())
    layers = parts(root, "sleeve")
    for layer, name in zip(layers, ("ada", "bea")):
        layer.set("id", name)
    assert len(layers) == 2
    return etree.tostring(root).decode()


@pytest.mark.parametrize("paper", ["A4", "A0", "roll", "one_page", "projector", "small_A4"])
@pytest.mark.parametrize("whose", ["ada", "bea"])
def test_no_words_of_another_client_lie_under_a_page(run_effect, two_clients, paper, whose):
    """They would stay in the PDF, whatever covers them on paper; her document is as it was."""
    printed = run_effect(SCRIPT, {"paper": paper, "notes": True}, two_clients, select=[whose])
    root = inkex.load_svg(printed.stdout.encode()).getroot()
    windows = [box(x, y, x + w, y + h) for x, y, w, h in map(place, ours(root))]
    (other,) = (layer for layer in parts(root, "sleeve") if layer.get("id") != whose)
    found = [layer for layer in other if layer.get(f"{OWN}part")]
    rows = [rows for layer in found for _, rows in lettered_in(other, layer.get(f"{OWN}part"))]
    assert len(rows) > 30
    assert not any(window.intersects(row) for window in windows for row in rows)
    before, after = etree.fromstring(two_clients.encode()), etree.fromstring(printed.stdout.encode())
    same_lines = [[path.get("d") for layer in parts(each, "sleeve") for path in layer.iter(f"{SVG}path")] for each in (before, after)]
    assert same_lines[0] == same_lines[1]


def test_a_pattern_set_apart_is_printed_whole_and_the_same_again_changes_nothing(run_effect, two_clients):
    once = run_effect(SCRIPT, {"paper": "A0"}, two_clients, select=["ada"]).stdout
    root = inkex.load_svg(once.encode()).getroot()
    [(x, y, w, h)] = map(place, ours(root))
    sheet = box(x, y, x + w, y + h)
    ada, _ = parts(root, "sleeve")
    outline = drawn_curve(*parts(ada, "cutting line"))
    copies = [LineString(drawn_curve(path)) for layer in parts(root, "pattern set apart") for path in layer.iter(f"{SVG}path")]
    assert not sheet.intersects(LineString(outline))
    assert all(sheet.contains(copy) for copy in copies)
    by = np.array(max(copies, key=lambda copy: box(*copy.bounds).area).coords) - outline
    assert np.ptp(by, axis=0) == pytest.approx((0, 0), abs=1e-6)  # moved, nothing else
    assert run_effect(SCRIPT, {"paper": "A0"}, once, select=["ada"]).stdout == ""


@pytest.mark.parametrize("options", [{"paper": "letter", "orientation": "landscape", "margin": "1/4"}, {"paper": "A4", "margin": "1"}])
def test_the_test_squares_lie_inside_what_prints(run_effect, drafted, options):
    """Strokes and all; the margins are hers."""
    root = drawn(run_effect(SCRIPT, {"unit": "in", **options}, drafted(size="largest")))
    margin = {"1/4": 6.35, "1": 25.4}[options["margin"]]
    for square in parts(root, "page test square"):
        x0, x1, y0, y1 = parse_path(square.get("d")).bbox()
        inward = [min(x0 - left, y0 - top, left + width - x1, top + height - y1) for left, top, width, height in map(place, ours(root))]
        assert max(inward) > margin + 0.25


def first_page_words(root):
    return " ".join(" ".join(row for row in text.itertext() if row.strip()) for text in parts(root, "first page layer")[0].iter(f"{SVG}text"))


def test_the_margin_of_her_printer_is_kept(run_effect, drafted, tmp_path):
    """Typed once, it holds from then on, and the first page says so; it stands in her settings as she would type it."""
    first = drawn(run_effect(SCRIPT, {"paper": "A4", "margin": "15 mm", "unit": "in"}, drafted()))
    kept = (tmp_path / "profile" / "tiered-sleeve-settings.ini").read_text("utf-8")
    assert "[printing]" in kept and "margin = 15 mm" in kept
    again = drawn(run_effect(SCRIPT, {"paper": "A4", "unit": "in"}, drafted()))
    assert "Margin: 15 mm, as you typed it last." in first_page_words(again) and "as you typed" not in first_page_words(first)
    assert frames_of(first) == frames_of(again)
    usual = drawn(run_effect(SCRIPT, {"paper": "A4", "margin": "1 cm", "unit": "in"}, drafted()))
    assert frames_of(usual) != frames_of(again)


def frames_of(root):
    return [frame.get("d") for frame in parts(root, "map frame")]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"[printing]\nmargin = a lot\n", "stands in your settings"), (b"[printing]\nmargin = 5 in\n", "stands in your settings"),
        (b"[printing]\nmargin =\n", None), (b"[printing]\n", None), (b"", None),
    ],
)  # fmt: skip
def test_a_kept_margin_that_makes_no_sense_is_named_and_an_empty_one_is_none(run_effect, drafted, tmp_path, content, says):
    (tmp_path / "profile").mkdir()
    (tmp_path / "profile" / "tiered-sleeve-settings.ini").write_bytes(content)
    outcome = run_effect(SCRIPT, {"paper": "A4"}, drafted())
    if says is None:
        assert outcome.stderr == "" and parts(drawn(outcome), "first page layer")
    else:
        assert outcome.stdout == "" and "Margin" in outcome.stderr and says in outcome.stderr and "Traceback" not in outcome.stderr
    assert drawn(run_effect(SCRIPT, {"paper": "A4", "margin": "1 cm"}, drafted())) is not None


def test_settings_that_cannot_be_read_or_written_are_said_on_the_first_page(run_effect, drafted, tmp_path):
    settings = tmp_path / "profile" / "tiered-sleeve-settings.ini"
    settings.parent.mkdir()
    settings.write_bytes(b"\xff\xfe no settings")
    assert "could not be read" in first_page_words(drawn(run_effect(SCRIPT, {"paper": "A4"}, drafted())))
    settings.unlink()
    settings.mkdir()  # a folder where the file should be
    assert "could not be kept" in first_page_words(drawn(run_effect(SCRIPT, {"paper": "A4", "margin": "1 cm"}, drafted())))
