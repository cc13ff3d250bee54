"""The Body line after an edit: drawn as far as it can be told from the Seam line as it is now; hers where she changed it."""
from __future__ import annotations

import numpy as np
from lxml import etree
from shapely.geometry import LineString
from svgpathtools import parse_path

from tests import sleeve_edits as edits
from tests.sleeve_edits import part

OUT = 12.0


def drawn(root, name) -> list:
    return [
        LineString([(p.real, p.imag) for p in map(stretch.point, np.linspace(0, 1, 800))])
        for stretch in parse_path(part(root, name).get("d")).continuous_subpaths()
    ]


def let_out(root) -> None:
    """The front underarm point, the farthest node, moved out."""
    nodes = edits.cubics(part(root, "seam line"))[:, 0]
    edits.drag(root, nodes[nodes[:, 0].argmax()], (OUT, 0.0))


def test_more_of_it_shows_where_the_seam_was_moved_out(run):
    """An ease of nothing leaves no Body line to be told; the underarm point moved out by hand leaves one behind."""
    svg = run("draft_sleeve", ease_cap="0", ease_upper_arm="0", ease_elbow="0", ease_hem="0")
    root = etree.fromstring(svg.encode())
    assert part(root, "body line").get("d") == ""
    let_out(root)
    after = etree.fromstring(run("remeasure_sleeve", etree.tostring(root).decode()).encode())
    [seam] = drawn(after, "seam line")
    lines = drawn(after, "body line")
    assert lines and all(line.distance(seam) > 0.65 for line in lines) and max(line.hausdorff_distance(seam) for line in lines) > OUT / 2
    again = run("remeasure_sleeve", etree.tostring(after).decode())
    assert again == "" or part(etree.fromstring(again.encode()), "body line").get("d") == part(after, "body line").get("d")


def test_it_stays_as_she_drew_it(run):
    root = etree.fromstring(run("draft_sleeve").encode())
    line = part(root, "body line")
    line.set("d", "M 0,50 L 40,60")
    let_out(root)
    after = etree.fromstring(run("remeasure_sleeve", etree.tostring(root).decode()).encode())
    assert part(after, "body line").get("d") == "M 0,50 L 40,60"


def test_moved_together_with_the_seam_line_it_is_told_anew_at_once(run):
    """All lines moved one by one, and the sleeve changed in the same run: the run after it has nothing left to put right."""
    root = etree.fromstring(run("draft_sleeve").encode())
    edits.everything_moved_one_by_one(root)
    moved = etree.tostring(root).decode()
    let_out_after = etree.fromstring(run("fitting_changes", moved, top_edge_front="1", top_edge_back="1").encode())
    again = run("remeasure_sleeve", etree.tostring(let_out_after).decode())
    assert again == "" or part(etree.fromstring(again.encode()), "body line").get("d") == part(let_out_after, "body line").get("d")
