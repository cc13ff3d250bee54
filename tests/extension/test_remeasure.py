"""Re-measure After Editing: every edit that people make, then every number against an independent measure.

Lengths by svgpathtools, areas and distances by shapely, see ``tests/sleeve_measures.py``; within 0.01 mm.
"""
from __future__ import annotations

import copy
import io
import re

import inkex
import numpy as np
import pytest
from lxml import etree

from extension.remeasure_sleeve import RemeasureSleeve
from tests import sleeve_edits as edits
from tests import sleeve_measures as measures
from tests.host import REPOSITORY
from tests.sleeve_edits import HARMLESS, OWN, RESHAPING, SVG, part, parts
from tests.sleeve_measures import LineString, Point

DRAFT = REPOSITORY / "extension" / "draft_sleeve.py"
SCRIPT = REPOSITORY / "extension" / "remeasure_sleeve.py"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"><rect id="hers" x="10" y="10" width="40" height="30"/></svg>'

#: Millimetres: what is drawn is rounded to four decimals, and 0.01 is the finest that could matter.
CLOSE = 0.01

#: The seam allowance of the demo sleeve, and how far along the seam its notches stand.
SEAM_ALLOWANCE = 12.7


@pytest.fixture(scope="module")
def drafted(tmp_path_factory) -> str:
    from tests.conftest import run_script

    document = tmp_path_factory.mktemp("drafted") / "document.svg"
    document.write_text(A4, encoding="utf-8")
    outcome = run_script(DRAFT, {"unit": "cm"}, document)
    assert outcome.stderr == ""
    return outcome.stdout


def edited(svg_text: str, *changes) -> str:
    root = etree.fromstring(svg_text.encode(), parser=inkex.elements.SVG_PARSER)
    for change in changes:
        change(root)
    return etree.tostring(root).decode()


class Answer:
    """What a run gave: the new document (None where nothing changed), and what a box would say."""

    def __init__(self, svg_text: str, said: str):
        self.text, self.said = svg_text, said
        self.root = etree.fromstring(svg_text.encode()) if svg_text else None


def remeasure(svg_text: str, tmp_path, capsys, **options) -> Answer:
    document, out = tmp_path / "document.svg", io.BytesIO()
    document.write_text(svg_text, encoding="utf-8")
    try:
        RemeasureSleeve().run([*(f"--{name}={value}" for name, value in options.items()), str(document)], output=out)
    except SystemExit as stop:
        assert stop.code, "only a refusal ends the script"
    return Answer(out.getvalue().decode(), capsys.readouterr().err)


@pytest.fixture
def again(tmp_path, capsys):
    """Run the command on a document, see :func:`remeasure`."""
    return lambda svg_text, **options: remeasure(svg_text, tmp_path, capsys, **options)


# --- everything that must be true of a re-measured sleeve -------------------------------------------------


def assert_true(root):
    frame, seam = measures.frame(root), measures.seam(root)
    outline, area = measures.line(seam), measures.polygon(seam)
    assert area.is_valid
    told = measures.corners(root)
    for corner in told:
        assert outline.distance(Point(corner)) <= CLOSE
    check_tiers(root, outline, area)
    check_levels(root, outline)
    check_grain(root, frame, outline)
    check_notches(root, frame, seam, told)
    check_cutting(root, area, told)
    check_report(root)


def check_tiers(root, outline, area):
    letters = " ".join("".join(e.itertext()) for layer in parts(root, "tier lengths layer") for e in layer.iter(f"{SVG}tspan"))
    for element in parts(root, "tier line"):
        path = measures.on_page(element)
        for end in (path.start, path.end):
            assert outline.distance(Point(end.real, end.imag)) <= CLOSE
        length = measures.length(path)
        assert float(element.get(f"{OWN}length-mm")) == pytest.approx(length, abs=CLOSE)
        assert measures.line(path).difference(area.buffer(CLOSE)).length <= CLOSE
        number = int(float(element.get(f"{OWN}number")))
        lettered = re.search(rf"Tier {number}: ([\d.]+) cm", letters)
        assert float(lettered[1]) * 10 == pytest.approx(length, abs=0.5 + CLOSE)


def check_levels(root, outline):
    for element in parts(root, "level line"):
        path = measures.on_page(element)
        for end in (path.start, path.end):
            assert outline.distance(Point(end.real, end.imag)) <= CLOSE


def check_grain(root, frame, outline):
    path = measures.on_page(part(root, "grain line"))
    ends = [frame.inside((z.real, z.imag)) for z in (path.start, path.end)]
    assert [x for x, _ in ends] == pytest.approx([0, 0], abs=CLOSE)
    crossing = outline.intersection(LineString([frame.origin - 900 * frame.down, frame.origin + 900 * frame.down]))
    heights = sorted(frame.inside((p.x, p.y))[1] for p in crossing.geoms)
    assert [y for _, y in ends] == pytest.approx([heights[0] + 4, heights[-1] - 4], abs=CLOSE)


def check_notches(root, frame, seam, told):
    """Each notch crosses the armhole seam at its distance from the underarm point, along the seam."""
    total = measures.length(seam)
    for side, corner in (("front", told[2]), ("back", told[5])):
        at_corner = measures.along(seam, corner)
        for k, element in enumerate(parts(root, f"{side} notch")):
            tick = measures.on_page(element)
            assert np.sign(frame.inside((tick.start.real, tick.start.imag))[0]) == (1 if side == "front" else -1)
            met = measures.line(tick).intersection(measures.line(seam))
            apart = abs(measures.along(seam, (met.x, met.y)) - at_corner)
            wanted = float(element.get(f"{OWN}distance-mm")) + 6.35 * k
            assert min(apart, total - apart) == pytest.approx(wanted, abs=CLOSE)


def check_cutting(root, area, told):
    """The cutting line lies its allowance outside the seam: nowhere nearer, and as far away where it is plain."""
    cut = measures.on_page(part(root, "cutting line"))
    assert measures.polygon(cut).is_valid
    assert measures.polygon(cut).buffer(1e-6).contains(area)
    seam_line = area.exterior
    distances = np.array([seam_line.distance(Point(p)) for p in measures.points(cut, 20)])
    assert distances.min() >= SEAM_ALLOWANCE - CLOSE
    # Away from corners, along head, armholes and underarm seams, a point of the seam has the cut at its allowance.
    cut_line = measures.polygon(cut).exterior
    seam = measures.seam(root)
    ring, bends = measures.points(seam, 12, 12), measures.bends(seam)
    away = np.min(np.hypot(*np.moveaxis(ring[:, None] - bends[None], -1, 0)), axis=1) > 1.5 * SEAM_ALLOWANCE
    hem = LineString([told[3], told[4]])
    plain = [p for p in ring[away] if hem.distance(Point(p)) > 60]
    found = [cut_line.distance(Point(p)) for p in plain]
    assert len(found) > 10
    assert found == pytest.approx([SEAM_ALLOWANCE] * len(found), abs=CLOSE)


def check_report(root):
    words = ["".join(e.itertext()) for e in part(root, "truing report").iter(f"{SVG}tspan")]
    text = " ".join(words)
    lengths = measures.edge_lengths(root)
    said = re.search(r"front ([\d.]+) cm, back ([\d.]+) cm: they differ by ([\d.]+) mm", text)
    front, back = lengths["front underarm"], lengths["back underarm"]
    assert [float(said[1]), float(said[2])] == pytest.approx([front / 10, back / 10], abs=0.05 + CLOSE)
    assert float(said[3]) == pytest.approx(abs(front - back), abs=0.05 + CLOSE)
    hem = re.search(r"closed hem ([\d.]+) cm", text)
    assert float(hem[1]) == pytest.approx(lengths["hem"] / 10, abs=0.05 + CLOSE)
    head = re.search(r"both heads and both body edges make ([\d.]+) cm", text)
    body_edge = (14.75 - 2) * 25.4  # shoulder width of the demo sleeve less 2 in
    assert float(head[1]) == pytest.approx((lengths["head"] + body_edge) / 5, abs=0.05 + CLOSE)


def geometry_of(root) -> list:
    names = ("d", "transform", "x", "y", "points")
    return [(e.tag, {n: e.get(n) for n in names if e.get(n) is not None}) for e in root.iter() if isinstance(e.tag, str)]


# --- the round trip -----------------------------------------------------------------------------------


@pytest.mark.parametrize("edit", HARMLESS + RESHAPING, ids=lambda edit: edit.__name__)
def test_every_number_is_true_after(edit, drafted, again):
    first = again(edited(drafted, edit))
    assert first.said == ""
    assert_true(first.root)
    second = again(first.text)
    assert second.said == ""
    assert second.root is None or geometry_of(second.root) == geometry_of(first.root)
    assert second.text == ""
