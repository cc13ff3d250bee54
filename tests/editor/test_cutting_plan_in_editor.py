"""Cutting Plan inside the real editor: planned, drawn clear of everything, lettering apart, files written."""
from __future__ import annotations

import csv
import itertools

import pytest
from lxml import etree
from shapely.geometry import box

SVG = "{http://www.w3.org/2000/svg}"
OWN = "{urn:x-tiered-sleeve}"
PAGE = '<svg xmlns="http://www.w3.org/2000/svg" {}><rect id="hers" x="10" y="10" width="60" height="60"/></svg>'
DOCUMENTS = {
    "A4 in mm": 'width="210mm" height="297mm" viewBox="0 0 210 297"',
    "letter in inches": 'width="8.5in" height="11in" viewBox="0 0 8.5 11"',
}


@pytest.fixture(params=DOCUMENTS)
def sleeve(request, editor):
    return editor.run("org.tieredsleeve.draft_sleeve", PAGE.format(DOCUMENTS[request.param]), {"tiers": 7}).svg


def part(root, name):
    (found,) = (element for element in root.iter() if element.get(f"{OWN}part") == name)
    return found


@pytest.mark.parametrize(
    "options", [{}, {"make": "flounce", "fullness": "2.2", "unit": "cm"}, {"make": "box", "net_price": "12,50", "strip_direction": "along"}]
)
def test_a_plan_in_the_editor(editor, sleeve, tmp_path, options):
    done = editor.run("org.tieredsleeve.cutting_plan", sleeve, {"job_sheet_folder": tmp_path, **options})
    assert not done.refused, done.messages
    with next(tmp_path.glob("*-cut-list.csv")).open(encoding="utf-8-sig", newline="") as file:
        assert len(list(csv.DictReader(file))) == 7
    assert next(tmp_path.glob("*-job-sheet.html")).stat().st_size > 10000

    root = etree.fromstring(done.svg.encode())
    drawn = {name: box(x, y, x + w, y + h) for name, (x, y, w, h) in editor.boxes(done.svg).items()}
    panels = [part(root, name) for name in ("lay panel", "job sheet panel")]
    others = [element for element in part(root, "sleeve") if element not in panels and element.get("id") in drawn]
    for one, other in itertools.combinations([*panels, *others, part(root, "seam line")], 2):
        if one in panels or other in panels:
            assert not drawn[one.get("id")].intersects(drawn[other.get("id")])
    assert not any(drawn["hers"].intersects(drawn[panel.get("id")]) for panel in panels)

    # As the editor letters it, no column of a table and no paragraph runs into another.
    texts = list(panels[1].iter(f"{SVG}text"))
    assert len(texts) > 20
    for one, other in itertools.combinations(texts, 2):
        overlap = drawn[one.get("id")].intersection(drawn[other.get("id")]).area
        assert overlap == 0, (one[0].text, other[0].text)


def test_without_a_folder_nothing_is_written_and_a_missing_one_is_named(editor, sleeve):
    done = editor.run("org.tieredsleeve.cutting_plan", sleeve, {"job_sheet_folder": "/no/such/folder"})
    assert done.refused and "does not exist" in done.messages
    assert "lay panel" not in done.svg
    assert "lay panel" in editor.run("org.tieredsleeve.cutting_plan", sleeve).svg
