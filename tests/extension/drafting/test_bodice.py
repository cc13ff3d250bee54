"""Armholes taken from selected paths: true lengths through every transform, and which is the front."""
import json
import math

import pytest
from lxml import etree
from svgpathtools import parse_path

from tests.host import REPOSITORY
from tests.scale_cases import SIZED

SCRIPT = REPOSITORY / "extension" / "draft_sleeve.py"
OWN = "{urn:x-tiered-sleeve}"
NAMESPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
A4 = 'width="210mm" height="297mm" viewBox="0 0 210 297"'

#: A quarter of a circle as an exact arc, and its length for a radius of 1: half pi.
QUARTER = "M 0,0 A {0},{0} 0 0 0 {0},{0}"


def document(*objects, size=A4):
    return f'<svg {NAMESPACES} {size}>{"".join(objects)}</svg>'


def arc(name, length, transform="", label=""):
    """A quarter circle of this length in the units in which it stands."""
    labelled = f' inkscape:label="{label}"' if label else ""
    return f'<path id="{name}"{labelled} transform="{transform}" d="{QUARTER.format(length / (math.pi / 2))}"/>'


def typed_in(outcome):
    """What the sleeve's record says was typed."""
    (sleeve,) = [e for e in etree.fromstring(outcome.stdout.encode()).iter() if e.get(f"{OWN}part") == "sleeve"]
    return json.loads(sleeve.get(f"{OWN}record"))["typed"]


def recorded(outcome, side):
    """What the sleeve's record says of one seam, in mm where that was typed with its unit."""
    assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
    value = typed_in(outcome)[f"{side}_armhole_seam"]
    number, _, unit = value.partition(" ")
    return float(number) * {"in": 25.4, "cm": 10.0}[unit] if unit else value


def drawn_seams(outcome):
    """The sleeve's own armhole seams as drawn, front and back, by svgpathtools."""
    root = etree.fromstring(outcome.stdout.encode())
    (seam,) = [e for e in root.iter() if e.get(f"{OWN}part") == "seam line"]
    corners = [complex(*map(float, pair.split(","))) for pair in seam.get(f"{OWN}corners").split()]
    path = parse_path(seam.get("d"))
    starts = [min(range(len(path)), key=lambda i: abs(path[i].start - corner)) for corner in corners]
    front = sum(path[i].length() for i in range(starts[1], starts[2]))
    back = sum(path[i].length() for i in range(starts[5], len(path)))
    return front, back


def refused(outcome):
    assert outcome.returncode != 0 and outcome.stdout == "" and "Traceback" not in outcome.stderr
    return outcome.stderr


def test_two_scales_two_layers_turned_and_skewed(run_effect_everywhere):
    """The front lies in a doubled layer inside a turned one, the back is mirrored and stands at a fifth of its size."""
    front = f'<g transform="rotate(33) translate(5, 7)"><g transform="scale(2)">{arc("a", 150 / 2)}</g></g>'
    back = arc("b", 162 * 5, "matrix(-0.2, 0, 0, 0.2, 40, 50)")
    outcome = run_effect_everywhere(SCRIPT, {"selected_armholes": "both"}, document(front, back), select=["a", "b"])
    assert recorded(outcome, "front") == pytest.approx(150, abs=0.05)
    assert recorded(outcome, "back") == pytest.approx(162, abs=0.05)
    assert drawn_seams(outcome) == pytest.approx((150, 162), abs=0.05)


def test_unequal_scaling_bends_the_length_too(run_effect):
    """A quarter circle of radius 100 stretched to twice its width is a quarter ellipse; its length is that of
    Ramanujan's second formula (1914, from memory), good to 1e-5 here."""
    wide, high = 200.0, 100.0
    h = ((wide - high) / (wide + high)) ** 2
    quarter = math.pi * (wide + high) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h))) / 4
    stretched = f'<g transform="scale(2, 1)">{arc("a", 100 * math.pi / 2)}</g>'
    options = {"selected_armholes": "front", "off_shoulder_girth": "38 in", "armhole_keep": "height"}
    outcome = run_effect(SCRIPT, options, document(stretched), select=["a"])
    assert recorded(outcome, "front") == pytest.approx(quarter, abs=0.05)


@pytest.mark.parametrize("size", ["px", "twice px", "points", "centimetres", "letter in hundredths", "none before slice"])
def test_every_kind_of_document(run_effect, size):
    """A straight line across and one down, each 150 mm long by what the document says of its units."""
    attributes, across, down = SIZED[size]
    a, b = f'<path id="a" d="M 0,0 h {150 / across}"/>', f'<path id="b" d="M 0,0 v {150 / down}"/>'
    outcome = run_effect(SCRIPT, {"selected_armholes": "both"}, document(a, b, size=attributes), select=["a", "b"])
    assert recorded(outcome, "front") == pytest.approx(150, abs=1e-3)
    assert recorded(outcome, "back") == pytest.approx(150, abs=1e-3)


@pytest.mark.parametrize(
    ("labels", "order", "front"),
    [
        (("", ""), ("a", "b"), 150), (("", ""), ("b", "a"), 160), (("Front armhole", "Back armhole"), ("b", "a"), 150),
        (("back", ""), ("a", "b"), 160), (("", "FRONT (pinned)"), ("a", "b"), 160), (("backing", "fronts"), ("b", "a"), 160),
    ],
)  # fmt: skip
def test_labels_tell_front_from_back_else_the_order(run_effect, labels, order, front):
    objects = (arc("a", 150, label=labels[0]), arc("b", 160, label=labels[1]))
    outcome = run_effect(SCRIPT, {"selected_armholes": "both"}, document(*objects), select=order)
    assert recorded(outcome, "front") == pytest.approx(front, abs=0.05)
    assert recorded(outcome, "back") == pytest.approx(310 - front, abs=0.05)


def test_one_side_alone(run_effect):
    outcome = run_effect(SCRIPT, {"selected_armholes": "back"}, document(arc("a", 155)), select=["a"])
    assert recorded(outcome, "back") == pytest.approx(155, abs=0.05)
    assert recorded(outcome, "front") == "0"


def test_a_selected_sleeve_is_no_bodice(run_effect):
    first = run_effect(SCRIPT, {}, document(arc("a", 150))).stdout
    seam = next(e for e in etree.fromstring(first.encode()).iter() if e.get(f"{OWN}part") == "seam line")
    marked = first.replace(f'{seam.get("d")}"', f'{seam.get("d")}" id="seam"', 1)
    outcome = run_effect(SCRIPT, {"selected_armholes": "front", "replace": True}, marked, select=["seam", "a"])
    assert recorded(outcome, "front") == pytest.approx(150, abs=0.05)


def test_the_record_draws_it_again_without_the_bodice(run_effect):
    outcome = run_effect(SCRIPT, {"selected_armholes": "both"}, document(arc("a", 150), arc("b", 160)), select=["a", "b"])
    again = run_effect(SCRIPT, typed_in(outcome), document())
    assert drawn_seams(again) == pytest.approx(drawn_seams(outcome), abs=1e-3)


@pytest.mark.parametrize(
    ("objects", "which", "select", "words"),
    [
        ([], "both", [], ["nothing is selected", "2 objects are needed"]),
        ([arc("a", 150)], "both", ["a"], ["one object is selected"]),
        ([arc("a", 150), arc("b", 150)], "front", ["a", "b"], ["2 objects are selected", "one object is needed"]),
        ([arc("a", 150, label="Front 1"), arc("b", 150, label="Front 2")], "both", ["a", "b"], ["“Front 1”", "“Front 2”", "both say front"]),
        (['<text id="a">front</text>'], "front", ["a"], ["“a”", "no path"]),
        ([f'<g id="a">{arc("b", 150)}</g>'], "front", ["a"], ["no path", "Ungroup"]),
        ([arc("b", 150), '<use id="a" href="#b"/>'], "front", ["a"], ["no path", "unlink a clone"]),
        (['<rect id="a" width="50" height="50"/>'], "front", ["a"], ["closed line", "apart at its corners"]),
        (['<path id="a" d="M 0,0 h 90 M 0,9 h 90"/>'], "front", ["a"], ["path of 2 pieces"]),
        (['<path id="a" d="M 0,0"/>'], "front", ["a"], ["path of 0 pieces"]),
        ([arc("a", 15)], "front", ["a"], ["Front armhole seam", "1.5 cm", "true size"]),
        ([arc("a", 60)], "front", ["a"], ["Armhole seam", "too short"]),
    ],
)
def test_what_can_not_be_measured_is_said(run_effect, objects, which, select, words):
    message = refused(run_effect(SCRIPT, {"selected_armholes": which}, document(*objects), select=select))
    for word in words:
        assert word in message
