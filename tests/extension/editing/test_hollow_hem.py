"""A hem of hollow scallops is faced: the Cutting line lies the whole allowance outside it, judged by shapely."""
from __future__ import annotations

import io

import inkex
import numpy as np
import pytest
from lxml import etree
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import parse_path

from extension.remeasure_sleeve import RemeasureSleeve
from tests import sleeve_measures as measures
from tests.conftest import run_script
from tests.host import REPOSITORY
from tests.sleeve_edits import cubics, part, write

A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

#: The hem allowance drafted here, and the seam allowance of the demo sleeve, within whose reach the corners are, millimetres.
HEM, SEAM = 25.0, 15.0


@pytest.fixture(scope="module")
def drafted(tmp_path_factory) -> str:
    document = tmp_path_factory.mktemp("drafted") / "document.svg"
    document.write_text(A4, encoding="utf-8")
    outcome = run_script(REPOSITORY / "extension" / "draft_sleeve.py", {"unit": "cm", "hem_allowance": "2.5"}, document)
    assert outcome.stderr == ""
    return outcome.stdout


def scallop(a, b, down):
    return [(a, a + down, b + down, b)]


def pointed(a, b, down):
    tip = (a + b) / 2 + down
    return [(p, p + (q - p) / 3, q - (q - p) / 3, q) for p, q in ((a, tip), (tip, b))]


def hem_level(root):
    """The line of the hem's level, and whether it is to be seen."""
    (element,) = [e for e in root.iter() if e.get("{urn:x-tiered-sleeve}part") == "level line" and e.get("{urn:x-tiered-sleeve}level") == "hem"]
    return LineString(measures.points(parse_path(element.get("d")))), "display:none" not in element.get("style")


def test_no_level_line_that_is_seen_runs_along_the_seam(drafted):
    """Dots in the gaps of the Seam line's dashes would make one grey line of both; by shapely, within a line's width of it."""
    root = etree.fromstring(drafted.encode())
    along = LineString(measures.points(parse_path(part(root, "seam line").get("d")))).buffer(0.5)
    for element in (e for e in root.iter() if e.get("{urn:x-tiered-sleeve}part") == "level line"):
        line = LineString(measures.points(parse_path(element.get("d"))))
        assert ("display:none" in element.get("style")) == along.covers(line)
    assert not hem_level(root)[1]


@pytest.mark.parametrize(
    ("shape", "count", "down"),
    [(scallop, 4, -25.0), (scallop, 5, -19.0), (scallop, 7, -13.0), (scallop, 7, -18.0), (pointed, 7, 26.0), (pointed, 7, -26.0)],
)
def test_the_whole_allowance_lies_outside_a_hollow_hem(shape, count, down, drafted, tmp_path, capsys):
    root = etree.fromstring(drafted.encode(), parser=inkex.elements.SVG_PARSER)
    seam = part(root, "seam line")
    corners = np.array([[float(x) for x in pair.split(",")] for pair in seam.get("{urn:x-tiered-sleeve}corners").split()])
    s = cubics(seam)
    first, last = (int(np.argmin(np.hypot(*(s[:, 0] - corner).T))) for corner in corners[3:5])
    nodes = np.linspace(corners[3], corners[4], count + 1)
    shaped = np.concatenate([shape(a, b, np.array([0.0, down])) for a, b in zip(nodes, nodes[1:])])
    write(seam, np.concatenate([s[:first], shaped, s[last:]]))
    document, out = tmp_path / "document.svg", io.BytesIO()
    document.write_text(etree.tostring(root).decode(), encoding="utf-8")
    RemeasureSleeve().run([str(document)], output=out)
    assert capsys.readouterr().err == ""
    done = etree.fromstring(out.getvalue())
    cut = Polygon(measures.points(parse_path(part(done, "cutting line").get("d"))))
    data = [f"M {a[0]} {a[1]} C {b[0]} {b[1]} {c[0]} {c[1]} {d[0]} {d[1]}" for a, b, c, d in shaped]
    hem = LineString([(z.real, z.imag) for piece in data for z in map(parse_path(piece).point, np.linspace(0, 1, 100))])
    assert cut.is_valid and cut.contains(hem)
    within = [hem.interpolate(share, normalized=True) for share in np.linspace(0, 1, 400)]
    inner = [place for place in within if min(place.distance(Point(corner)) for corner in corners[3:5]) > HEM + SEAM]
    level, seen = hem_level(done)
    assert seen and level.hausdorff_distance(LineString(corners[3:5])) < 0.01  # straight across, where the hem is no longer so
    assert inner and min(cut.exterior.distance(place) for place in inner) >= HEM - 0.05
