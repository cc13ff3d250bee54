"""Draft Sleeve inside the real editor: drawn, opened, printed, and its lettering legible."""
from __future__ import annotations

import ctypes
import itertools

import numpy as np
import pypdfium2
import pytest
from lxml import etree
from pypdfium2 import raw
from shapely.geometry import LineString, box
from shapely.strtree import STRtree
from svgpathtools import parse_path

from tests.extension.test_draft_sleeve import SIZES

EFFECT = "org.tieredsleeve.draft_sleeve"
OWN = "{urn:x-tiered-sleeve}"
SVG = "{http://www.w3.org/2000/svg}"

#: Documents of other units and scales; the last has user units that no single unit names.
DOCUMENTS = {
    "A4 in mm": 'width="210mm" height="297mm" viewBox="0 0 210 297"',
    "letter in inches": 'width="8.5in" height="11in" viewBox="0 0 8.5 11"',
    "pixels": 'width="800" height="600"',
    "odd scale": 'width="900mm" height="700mm" viewBox="-20 30 400 311.111"',
}
MM = 25.4 / 72  # of one PDF point


def document(attributes: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}><rect id="hers" width="1" height="1"/></svg>'


def parts(root, part):
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def corners(path) -> np.ndarray:
    """Return the points (k, 2) of a printed path in mm, strokes left out."""
    x, y = ctypes.c_float(), ctypes.c_float()
    points = []
    for i in range(raw.FPDFPath_CountSegments(path)):
        raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(path, i), x, y)
        points.append((x.value, y.value))
    a, b, c, d, e, f = path.get_matrix().get()
    return (np.array(points) @ np.array([[a, b], [c, d]]) + (e, f)) * MM


def squares_printed(pdf) -> list:
    """Return width and height in mm of the two test squares as printed: paths of equal sides about 10 cm long."""
    page = pypdfium2.PdfDocument(pdf)[0]
    sizes = []
    for path in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=15):
        width, height = np.ptp(corners(path), axis=0)
        if abs(width - height) < 0.02 and 90 < width < 110:
            sizes.append((width, height))
    return sorted(sizes)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_drafts_at_true_size_in_any_document(editor, name):
    drafted = editor.run(EFFECT, document(DOCUMENTS[name]), export=["svg"])
    assert not drafted.refused, drafted.messages
    root = etree.fromstring(drafted.svg.encode())
    assert len(parts(root, "tier line")) == 6 and len(parts(root, "sleeve")) == 1
    # The page is widened to all that is drawn, since a PDF's own bounds clip it.
    printed = editor.run(None, drafted.svg, before=["select-all:layers", "fit-canvas-to-selection"], export=["pdf"])
    ten, four = squares_printed(printed.files["pdf"])
    assert ten == pytest.approx((100, 100), abs=0.01)
    assert four == pytest.approx((4 * 25.4, 4 * 25.4), abs=0.01)


def test_other_values_from_the_dialog(editor):
    options = {"unit": "cm", "tiers": 9, "spacing_snap": "5mm", "label": "Ž & co", **{k: str(v) for k, v in SIZES["median"].items()}}
    drafted = editor.run(EFFECT, document(DOCUMENTS["A4 in mm"]), options)
    assert not drafted.refused, drafted.messages
    root = etree.fromstring(drafted.svg.encode())
    lines = [parse_path(e.get("d")) for e in parts(root, "tier line")]
    assert [round(line.start.imag) for line in lines] == [55 * i for i in range(9)]  # 475 / 9 = 52.8, to the nearest 5 mm
    assert "Ž & co" in "".join(root.itertext())


def test_a_refusal_leaves_the_document_alone(editor):
    asked = editor.run(EFFECT, document(DOCUMENTS["A4 in mm"]), {"hand_girth": "14"})
    assert "Hem girth" in asked.messages and asked.statuses != [0]
    assert not parts(etree.fromstring(asked.svg.encode()), "sleeve")


@pytest.mark.parametrize(("size", "tiers"), [("toddler", 40), ("median", 7), ("largest", 12), ("median", 40)])
def test_lettering_touches_nothing(editor, size, tiers):
    """The editor's own boxes of every text, with the font it really uses, against every line and text."""
    options = {"unit": "cm", "tiers": tiers, "label": "Wmwm ABCDEFG Žluťoučký kůň 日本", **{k: str(v) for k, v in SIZES[size].items()}}
    drafted = editor.run(EFFECT, document('width="210mm" height="297mm" viewBox="0 0 210 297"'), options)
    root = etree.fromstring(drafted.svg.encode())
    px = 96 / 25.4
    (sleeve,) = parts(root, "sleeve")
    x, y = (float(n) for n in sleeve.get("transform").partition("(")[2].partition(")")[0].replace(",", " ").split()[:2])
    boxes = editor.boxes(drafted.svg)
    texts = {}
    for text in sleeve.iter(f"{SVG}text"):
        left, top, width, height = (value / px for value in boxes[text.get("id")])
        texts["".join(text.itertext())] = box(left - x, top - y, left - x + width, top - y + height)
    assert len(texts) > 30
    lines = []
    for path in sleeve.iter(f"{SVG}path"):
        panel = path.getparent().get("transform")  # a panel is moved to its place as a whole
        shift = complex(*map(float, panel[len("translate("):-1].split(","))) if panel else 0
        points = [parse_path(path.get("d")).point(t) + shift for t in np.linspace(0, 1, 400)]
        lines.append(LineString([(p.real, p.imag) for p in points]))
    tree = STRtree(lines)
    for words, room in texts.items():
        assert room.area > 0
        assert not [lines[i] for i in tree.query(room) if lines[i].intersects(room)], words
    for (one, room), (other, beside) in itertools.combinations(texts.items(), 2):
        assert not room.intersects(beside), (one, other)
