"""A page to project and a small drawing: how large, how wide, how high, and that nothing of the pattern is missing."""
from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest
from lxml import etree
from shapely.geometry import LineString, box
from svgpathtools import parse_path

from docs.book_pictures import SIZES as SIZES_OF_ONE_ROW
from extension.drawing.lettering import text_width
from tests.extension.test_draft_sleeve import SIZES, parts
from tests.extension.test_print_pages import EMPTY, HER_RECTANGLE, ours, place
from tests.geometry.paper.test_tiling import prints_true
from tests.host import REPOSITORY
from tests.sleeve_edits import LABEL, OWN

SVG = "{http://www.w3.org/2000/svg}"
#: Lines whose length is looked for again; a document of :data:`EMPTY` counts in millimetres.
LINES = ("cutting line", "seam line", "tier line", "level line", "grain line", "piece cutting line", "piece seam line")
INCH = 25.4


@pytest.fixture
def drawn_anew(run):
    """Draft, plan and print; return the document and the layer of the sheets."""

    def draw(size: str = "median", document: str = EMPTY, planned: bool = True, **options):
        sleeve = run("draft_sleeve", document, unit="cm", **{name: str(value) for name, value in SIZES[size].items()}, label="Example (invented)")
        root = etree.fromstring(run("print_pages", run("cutting_plan", sleeve) if planned else sleeve, **options).encode())
        (layer,) = parts(root, "sheets")
        return root, layer

    return draw


def lengths(elements) -> list:
    return sorted(parse_path(element.get("d")).length(error=1e-4) for element in elements)


def holds_lengths(root, layer, scale: float) -> None:
    """Every line of the pattern that is to be seen is there again, ``scale`` times as long."""
    found = np.array(lengths(parts(layer, "redrawn line")))
    seen = [element for name in LINES for element in parts(root, name) if "display:none" not in element.get("style", "")]
    wanted = scale * np.array(lengths(seen))
    assert len(wanted) > 10
    assert max(np.abs(found - length).min() for length in wanted) < 0.01


def stroke_widths(layer) -> list:
    styles = [path.get("style") for path in layer.iter(f"{SVG}path")]
    return [float(re.search(r"stroke-width:([\d.]+)", style)[1]) for style in styles if "stroke:none" not in style]


def font_sizes(layer) -> list:
    return [float(re.search(r"font-size:([\d.]+)px", text.get("style"))[1]) for text in layer.iter(f"{SVG}text")]


def words_in(layer) -> str:
    return " ".join(row for text in layer.iter(f"{SVG}text") for row in text.itertext() if row.strip())


def lettering_lies_on_no_line(layer, panel: str) -> None:
    """Boxes by widths that are upper bounds; lines by svgpathtools; nothing lies on anything."""
    for one in parts(layer, panel):
        along = [map(parse_path(path.get("d")).point, np.linspace(0, 1, 400)) for path in one.iter(f"{SVG}path")]
        lines = [LineString([(point.real, point.imag) for point in points]) for points in along]
        boxes = []
        for text in one.iter(f"{SVG}text"):
            if text.get("transform"):
                continue
            style = text.get("style")
            size, shift = float(re.search(r"font-size:([\d.]+)px", style)[1]), 0.5 if "middle" in style else 0.0
            for span in text:
                wide, x, y = text_width(span.text, size, "bold" in style), float(span.get("x")), float(span.get("y"))
                boxes.append(box(x - shift * wide, y - 0.72 * size, x + (1 - shift) * wide, y + 0.2 * size))
        assert boxes
        for k, each in enumerate(boxes):
            assert not any(each.intersects(line) for line in lines) and not any(each.intersects(other) for other in boxes[:k])


@pytest.mark.parametrize("size", SIZES)
def test_a_projection_is_one_page_of_true_size_in_wide_lines(drawn_anew, size):
    root, layer = drawn_anew(size, paper="projector")
    (page,), (ground,) = ours(root), parts(layer, "ground")
    under = box(*np.array(parse_path(ground.get("d")).bbox())[[0, 2, 1, 3]])
    for text in parts(layer, "projection ground")[0].iter(f"{SVG}text"):
        for span in text:
            x, y = float(span.get("x")), float(span.get("y"))
            assert under.contains(box(x, y - 10, x + text_width(span.text, 10), y + 2))
    assert place(page)[2:] == pytest.approx([prints_true(np.ceil(side * 72 / INCH) * INCH / 72 + 1e-9) for side in place(page)[2:]], abs=1e-3)
    holds_lengths(root, layer, 1)
    assert min(stroke_widths(layer)) >= 1 and min(font_sizes(layer)) >= 10
    assert not parts(layer, "page test square") and not parts(layer, "trim line") and not parts(layer, "join mark")
    lettering_lies_on_no_line(layer, "projected pattern")
    words = words_in(layer)
    for tier in range(1, 7):
        assert f"Tier {tier}:" in words


@pytest.mark.parametrize(("colours", "ground", "ink"), [("dark_on_light", "#ffffff", "#000000"), ("light_on_dark", "#000000", "#ffffff")])
@pytest.mark.parametrize(("grid", "side", "large"), [("in", INCH, 5), ("cm", 10, 10)])
def test_a_projection_has_a_ground_and_a_grid(drawn_anew, colours, ground, ink, grid, side, large):
    """The ground covers the page; the grid's lines lie an inch or a centimetre apart, all over it, and pattern lines differ from both."""
    root, layer = drawn_anew(planned=False, paper="projector", colours=colours, grid=grid)
    (page,), (under,) = ours(root), parts(layer, "ground")
    left, right, top, bottom = parse_path(under.get("d")).bbox()
    assert (right - left, bottom - top) == pytest.approx(place(page)[2:], abs=1e-3) and f"fill:{ground}" in under.get("style")
    lines = [np.array(parse_path(line.get("d")).bbox()) for line in parts(layer, "grid line")]
    for low, other in ((0, 2), (2, 0)):
        across = sorted(line[low] for line in lines if line[low] == line[low + 1])
        assert np.diff(across) == pytest.approx(side) and (len(across) - 1) % large == 0
        whole = max(line[other + 1] - line[other] for line in lines if line[low] == line[low + 1])
        assert whole == pytest.approx(max(line[other] for line in lines) - min(line[other] for line in lines))
    inks = {re.search(r"stroke:(#\w+)", line.get("style"))[1] for line in parts(layer, "redrawn line") if "stroke:none" not in line.get("style")}
    greys = {re.search(r"stroke:(#\w+)", line.get("style"))[1] for line in parts(layer, "grid line")}
    assert inks == {ink} and ink not in greys and ground not in greys and len(greys) == 2


def test_a_projection_without_a_grid(drawn_anew):
    _, layer = drawn_anew(planned=False, paper="projector", grid="none")
    assert parts(layer, "redrawn line") and not parts(layer, "grid line")


#: ISO 216 and ANSI/ASME Y14.1.
SHEETS = {"small_A4": (210, 297), "small_letter": (215.9, 279.4)}


@pytest.mark.parametrize("scale", ["4", "5"])
@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize("size", SIZES)
def test_all_of_a_pattern_is_small_on_one_sheet(drawn_anew, size, paper, scale):
    root, layer = drawn_anew(size, paper=paper, scale=scale, unit="in")
    (page,) = ours(root)
    assert sorted(place(page)[2:]) == pytest.approx([prints_true(side) for side in SHEETS[paper]], abs=1e-4)
    words = words_in(layer)
    drawn = int(re.search(r"Scale 1:(\d+), do not cut from this", words)[1])
    assert drawn == int(scale) or (drawn > int(scale) and size == "largest")
    holds_lengths(root, layer, 1 / drawn)
    bar = [parse_path(field.get("d")).bbox() for field in parts(layer, "scale bar")]
    assert max(right for _, right, *_ in bar) - min(left for left, *_ in bar) == pytest.approx(10 * INCH / drawn, abs=1e-3)
    assert "10 in" in words and min(font_sizes(layer)) * 72 / INCH >= 7
    lettering_lies_on_no_line(layer, "small pattern")
    for tier in range(1, 7):
        assert f"Tier {tier}:" in words


@pytest.mark.parametrize(("unit", "side"), [("in", INCH), ("cm", 10.0)])
def test_dimensions_say_what_the_pieces_measure(drawn_anew, unit, side):
    """Width and height of every piece as it is cut, by svgpathtools, to the eighth of an inch or the millimetre."""
    root, layer = drawn_anew(planned=False, paper="small_A4", unit=unit)
    said = [read(text.findtext(f"{SVG}tspan")) * side for text in layer.iter(f"{SVG}text") if text.get(LABEL) == "Dimension"]
    left, right, top, bottom = parse_path(parts(root, "cutting line")[0].get("d")).bbox()
    assert len(said) == 2 * len(parts(layer, "small pattern"))
    for measured in (right - left, bottom - top):
        assert min(abs(one - measured) for one in said) <= {"in": INCH / 16, "cm": 0.5}[unit] + 1e-6


def read(text: str) -> float:
    """17 1/2 in, 44.5 cm."""
    return sum(np.divide(*map(float, [*part.split("/"), "1"][:2])) for part in text.split()[:-1])


def test_it_lies_beside_hers_and_goes_with_the_next_run(run, drawn_anew):
    root, layer = drawn_anew(document=HER_RECTANGLE, planned=False, paper="small_A4")
    assert parts(layer, "redrawn line")
    x, y, wide, high = place(ours(root)[0])
    assert not box(x, y, x + wide, y + high).intersects(box(10, 10, 50, 40))
    again = etree.fromstring(run("print_pages", etree.tostring(root).decode(), paper="projector").encode())
    assert [page.get(LABEL) for page in ours(again)] == ["Projection"] and len(parts(again, "sheets")) == 1
    assert not parts(again, "small pattern")


@pytest.mark.parametrize("paper", ["projector", *SHEETS])
def test_nothing_to_draw_is_refused(run, run_effect, paper):
    done = run_effect(REPOSITORY / "extension" / "print_pages.py", {"paper": paper, "sleeve": False, "pieces": False}, run("draft_sleeve", EMPTY))
    assert done.returncode and not done.stdout and "nothing to print" in done.stderr


# --- nested sizes --------------------------------------------------------------------------------------


@pytest.fixture
def nested(run, tmp_path):
    """Several nested sizes by their names, from one row of steps."""

    def draft(names: str) -> str:
        book = tmp_path / "sizes.csv"
        book.write_text(SIZES_OF_ONE_ROW.replace("8; 10; 12; 14; 16", names), encoding="utf-8")
        return run("client_book", EMPTY, book=book, action="draft", arrange="nested", clients="Sizes")

    return draft


@pytest.mark.parametrize(("paper", "scale", "wider"), [("projector", 1, 4), ("small_A4", 1 / 4, 1), ("small_letter", 1 / 4, 1)])
def test_nested_sizes_are_drawn_whole_and_a_key_tells_them_apart(run, nested, paper, scale, wider):
    """By svgpathtools: every line, and in the key each size's own dashes beside its name and how wide and long it is."""
    root = etree.fromstring(run("print_pages", nested("8; 10; 12; 14; 16"), paper=paper).encode())
    (layer,) = parts(root, "sheets")
    sizes = parts(root, "size layer")
    cut = [parts(size, "nested cutting line")[0] for size in sizes]
    found = np.array(lengths(parts(layer, "redrawn line")))
    wanted = scale * np.array(lengths(cut + parts(root, "nested seam line") + parts(root, "nested tier line")))
    assert len(wanted) >= 5 * 7
    assert max(np.abs(found - length).min() for length in wanted) < 0.01
    keys = parts(layer, "key line")
    assert [dashes(line) for line in keys] == [pytest.approx(wider * np.array(dashes(line))) for line in cut]
    said = words_in(layer)
    for name, line in zip(("8", "10", "12", "14", "16"), cut):
        left, right, top, bottom = parse_path(line.get("d")).bbox()
        read = re.search(rf"Size {name}: ([\d /]+) in wide, ([\d /]+) in long as cut", said)
        assert [inches(text) for text in read.groups()] == pytest.approx([(right - left) / INCH, (bottom - top) / INCH], abs=1 / 16)
    lettering_lies_on_no_line(layer, "projected pattern" if paper == "projector" else "small pattern")


def dashes(path) -> list:
    return [float(number) for number in re.search(r"stroke-dasharray:([\d.,]*)", path.get("style"))[1].split(",") if number]


def inches(text: str) -> float:
    return float(sum(Fraction(each) for each in text.split()))


@pytest.mark.parametrize("paper", ["projector", "small_A4"])
def test_two_sizes_of_the_same_line_are_named(run, run_effect, nested, paper):
    """With the layer of one of them hidden, as the words say, it is printed."""
    drawing = nested("8; 9; 10; 11; 12; 13; 14; 15; 16; 17; 18")
    done = run_effect(REPOSITORY / "extension" / "print_pages.py", {"paper": paper}, drawing)
    assert done.returncode and not done.stdout and "Size 8 and Size 18 are drawn with the same line" in done.stderr
    root = etree.fromstring(drawing.encode())
    parts(root, "size layer")[-1].set("style", "display:none")
    assert parts(etree.fromstring(run("print_pages", etree.tostring(root).decode(), paper=paper).encode()), "sheets")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("options", [{"paper": "small_A4", "scale": "4"}, {"paper": "projector"}], ids=["small", "to project"])
def test_every_tier_line_has_its_number_and_each_half_its_name(drawn_anew, size, options):
    """Else one counts wrongly between level lines, or takes one sleeve of the pair for the other."""
    root, layer = drawn_anew(size, planned=False, **options)
    wanted = {f"{float(line.get(f'{OWN}number')):g}" for line in parts(root, "tier line")}
    assert len(wanted) >= 3
    texts = {" ".join(text.itertext()): text for text in layer.iter(f"{SVG}text")}
    assert {*wanted, "FRONT", "BACK"} <= {*texts}
    # On the sleeve the front is at the right.
    assert float(texts["BACK"][0].get("x")) < float(texts["FRONT"][0].get("x"))
