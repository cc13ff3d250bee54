"""Documents as damaged files hold them: one clear sentence or the thing overlooked, never a traceback, never a sleeve out of reach.

What the editor makes of a broken attribute is SVG 2: a transform in error is none (8.5), a path is drawn up to the error (9.5.4).
"""
from __future__ import annotations

import re
from random import Random

import numpy as np
import pytest
from lxml import etree
from shapely.geometry import LineString, box

from extension.cutting_plan import CuttingPlan
from extension.draft_sleeve import DraftSleeve
from extension.drafting.start import EXAMPLE_LABEL
from extension.drawing.lettering import printable, wrap
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve
from geometry.measuring.measurements import EXAMPLE
from tests.campaign.cases import Answer, drafted, parsed, run
from tests.campaign.judge import along, parts, path_of, within
from tests.campaign.line import OWN
from tests.host import REPOSITORY

SVG = "{http://www.w3.org/2000/svg}"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
SODIPODI = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}"
SPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    ' xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
ENDLESS = "9" * 400
TYPED = {"unit": "cm", "label": EXAMPLE_LABEL, **EXAMPLE}
COMMANDS = {
    "Draft": (DraftSleeve, TYPED), "Draft, replacing": (DraftSleeve, {**TYPED, "replace": "true"}), "Re-measure": (RemeasureSleeve, {}),
    "taking back": (RemeasureSleeve, {"scaled": "undo"}), "meant": (RemeasureSleeve, {"scaled": "meant"}),
    "Cutting Plan": (CuttingPlan, {}), "Print Pages": (PrintPages, {"unit": "cm"}),
}  # fmt: skip


def document(inside: str, size: str = 'width="210mm" height="297mm" viewBox="0 0 210 297"') -> str:
    return f"<svg {SPACES} {size}>{inside}</svg>"


def read(text: str) -> etree._Element:
    return etree.fromstring(text.encode(), parser=etree.XMLParser(huge_tree=True))


def no_traceback_and_within_reach(answer: Answer, before: str) -> None:
    """Nothing that is new in the document lies farther away than a hundred metres, or nowhere."""
    assert answer.crashed == ""
    for element in read(answer.text or "<svg/>").iter("*"):
        for name in ("transform", "d", "x", "y", "width", "height"):
            text = element.attrib.get(name, "")
            if text not in before:
                assert not re.search(r"\b(nan|inf)\b", text), (element.tag, name, text)
                assert all(abs(float(n)) <= 1e6 for n in re.findall(r"[-+]?\d+\.?\d*(?:e[-+]?\d+)?", text)), (element.tag, name, text)


BESIDE = {
    "a page that is nowhere": '<sodipodi:namedview><inkscape:page x="nan" y="1e400" width="210" height="297"/></sodipodi:namedview>',
    "a page without end": '<sodipodi:namedview><inkscape:page x="0" y="0" width="1e400" height="inf"/></sodipodi:namedview>',
    "a page far away": '<sodipodi:namedview><inkscape:page x="1e15" y="0" width="210" height="297"/></sodipodi:namedview>',
    "a page of 400 digits": f'<sodipodi:namedview><inkscape:page x="{ENDLESS}" width="{ENDLESS}" height="9"/></sodipodi:namedview>',
    "a view that is nowhere": '<sodipodi:namedview inkscape:cx="nan" inkscape:cy="1e400" inkscape:zoom="0"/>',
    "an object far away": '<rect x="1e15" y="5" width="10" height="10"/>',
    "an object of 400 digits": f'<rect x="0" y="0" width="{ENDLESS}" height="297"/><path d="M 0 0 L {ENDLESS} 0"/>',
    "a line without end": '<path d="M 1e300 1e300 L 1e300 0"/>',
    "squeezed flat": '<g transform="scale(0)"><rect width="210" height="297"/><text x="0" y="0">abc</text></g>',
    "transforms in error": '<g transform="scale()"><rect width="5" height="5"/></g><g transform="matrix(1e400 0 0 1 0 0)"><rect width="5"/></g>',
    "1,900 groups": "<g>" * 1900 + '<rect width="5" height="5"/>' + "</g>" * 1900,
}


@pytest.mark.parametrize("name", BESIDE)
def test_what_can_not_be_drawn_is_overlooked(name):
    svg = document(BESIDE[name])
    answer = run(DraftSleeve, svg, **TYPED)
    assert answer.said == ""
    no_traceback_and_within_reach(answer, svg)
    assert len(parts(read(answer.text), "sleeve")) == 1


@pytest.mark.parametrize(
    ("size", "said"),
    [
        ('width="210mm" height="297mm" viewBox="0 0 1e-320 1e-320"', "“0 0 1e-320 1e-320”"),
        ('width="210mm" height="297mm" viewBox="1e15 1e15 210 297"', "“1e15 1e15 210 297”"),
        ('width="1e15mm" height="1e15mm" viewBox="0 0 210 297"', "so small or so large"),
        (f'width="{ENDLESS}mm" height="297mm"', "9999…”, which is no size"),
    ],
)
def test_a_document_in_which_nothing_can_be_drawn_is_refused(size, said):
    answer = run(DraftSleeve, document("", size), **TYPED)
    assert (answer.crashed, answer.text) == ("", "")
    assert said in answer.said and len(answer.said) < 400


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("", "can’t be read as a drawing"),
        (" \n", "can’t be read as a drawing"),
        ("hello", "can’t be read as a drawing"),
        ("<html><body/></html>", "can’t be read as a drawing"),
        ("\x89PNG\r\n\x1a\n" + "\0" * 200, "can’t be read as a drawing"),
        (document("<g>" * 10)[:-9], "can’t be read to its end"),
    ],
)
@pytest.mark.parametrize("script", ["draft_sleeve", "remeasure_sleeve", "cutting_plan", "print_pages"])
def test_a_file_that_is_no_drawing_is_said_to_be_none(data, said, script, run_effect):
    outcome = run_effect(REPOSITORY / "extension" / f"{script}.py", {}, data)
    assert outcome.returncode != 0 and outcome.stdout == ""
    assert said in outcome.stderr and "Traceback" not in outcome.stderr


def test_five_thousand_groups_are_drawn_beside_or_refused(run_effect_everywhere):
    """Newer readers (libxml2 2.12) give up below 2,048 elements, so that saving would lose what is deeper: that is refused."""
    deep = document("<g>" * 5000 + '<rect id="hers" width="5" height="5"/>' + "</g>" * 5000)
    outcome = run_effect_everywhere(REPOSITORY / "extension" / "draft_sleeve.py", {"unit": "cm"}, deep)
    if outcome.returncode:
        assert "nested too deep" in outcome.stderr and outcome.stdout == ""
    else:
        assert outcome.stderr == "" and 'id="hers"' in outcome.stdout and f"{OWN[1:-1]}" in outcome.stdout


def test_names_from_nowhere_are_no_reason_to_refuse(run_effect):
    """A prefix without a namespace is in many files from elsewhere, and nothing is lost by it."""
    outcome = run_effect(REPOSITORY / "extension" / "draft_sleeve.py", {"unit": "cm"}, document('<rect foo:bar="1" width="5" height="5"/>'))
    assert (outcome.returncode, outcome.stderr) == (0, "")


# --- a sleeve that is out of reach or damaged ------------------------------------------------------------


@pytest.mark.parametrize("transform", ["scale(0)", "scale(1 0)", "scale(1e-30)", "matrix(1e400 0 0 1 0 0)", "translate(1e15)"])
@pytest.mark.parametrize("command", COMMANDS)
def test_a_sleeve_that_can_not_be_seen_is_refused_or_drawn_anew(transform, command):
    root = parsed(drafted("default"))
    (layer,) = parts(root, "sleeve")
    group = etree.SubElement(root, f"{SVG}g")
    group.attrib["transform"] = transform
    group.append(layer)
    before = etree.tostring(root).decode()
    effect, options = COMMANDS[command]
    answer = run(effect, before, **options)
    no_traceback_and_within_reach(answer, before)
    if command == "Draft, replacing":
        now = read(answer.text)
        assert [layer.getparent().tag for layer in parts(now, "sleeve")] == [now.tag]
    elif command != "Draft":
        assert "out of reach" in answer.said and answer.text == ""


#: What damaged files hold.
BAD = [
    "nan", "inf", "1e400", "-1e15", "1e15", ENDLESS, "", "abc", "0", "-1", "scale(0)", "scale(nan)", "scale()", "matrix(1e400 0 0 1 0 0)",
    "translate(1e15)", "skewX(90)", "M 0 0 L 1e15 0", "M nan nan L 1 1", "M 0 0 L 1e400 5", "M 5 5", "M 0 0 A 5 5 0 0 1 1e300 1e300", "{}",
    '{"typed":{}}', '{"typed":{"unit":"km"}}', '{"typed":null}', "\u202e\u200d", "x" * 130, "1 2 3 4 5 6", "1,2 3,4 5,6 7,8 9,10 11,12",
]  # fmt: skip


def damaged(seed: int) -> tuple[str, list]:
    """A drafted sleeve in which an attribute or two of ours, or a number in one, says something else."""
    lot = Random(seed)
    root, done = parsed(drafted(lot.choice(["default", "raised", "one tier", "matched"]))), []
    every = [e for e in root.iter("*") if f"{OWN}part" in e.attrib]
    for _ in range(lot.choice([1, 2])):
        part = lot.choice([*sorted({e.attrib[f"{OWN}part"] for e in every}), "seam line", "tier line", "sleeve"])
        element = lot.choice([e for e in every if e.attrib[f"{OWN}part"] == part])
        name = lot.choice(sorted({*element.attrib, "transform", "d", "style"} - {f"{OWN}part", "id"}))
        value, numbers = lot.choice(BAD), list(re.finditer(r"[-+]?\d+\.?\d*", element.attrib.get(name, "")))
        if numbers and lot.random() < 0.3:
            place = lot.choice(numbers)
            value = element.attrib[name][: place.start()] + lot.choice(BAD[:10]) + element.attrib[name][place.end() :]
        element.attrib[name] = value
        done.append((part, name, value[:60]))
    return etree.tostring(root).decode(), done


@pytest.mark.parametrize("batch", range(4))
def test_a_damaged_sleeve_is_refused_or_measured_within_reach(batch):
    for seed in range(10 * batch, 10 * batch + 10):
        before, done = damaged(seed)
        for name, (command, options) in COMMANDS.items():
            answer = run(command, before, **options)
            try:
                no_traceback_and_within_reach(answer, before)
            except AssertionError as error:
                raise AssertionError((seed, done, name)) from error


# --- labels ----------------------------------------------------------------------------------------------

PERSIAN, FAMILY = "می\u200cخواهم", "👩\u200d👩\u200d👧"


def words(document: str) -> list[str]:
    return ["".join(e.itertext()) for e in read(document).iter(f"{SVG}text")]


@pytest.mark.parametrize("label", [PERSIAN, FAMILY])
def test_joiners_stay_in_a_label(label):
    assert printable(f" {label}\x07") == label
    assert any(label in row for row in words(run(DraftSleeve, document(""), **{**TYPED, "label": label}).text))


@pytest.mark.parametrize("cluster", [PERSIAN[:4], FAMILY, "e\u0301"])
def test_a_row_never_ends_inside_a_letter_that_is_joined(cluster):
    rows = wrap(cluster * 200, 3.5, 40.0)
    assert len(rows) > 3 and "".join(rows) == cluster * 200
    assert not any(row[-1] in "\u200c\u200d" or row[0] in "\u200c\u200d\u0301" for row in rows)


def text_areas(element, layer) -> list:
    """For each row a box that every sans-serif face overfills: 0.25 em a letter, 0.7 em high (from memory)."""
    size = float(re.search(r"font-size:\s*([\d.]+)", element.get("style") or element.getparent().get("style"))[1])
    rows = list(element.iter(f"{SVG}tspan")) or [element]
    to_layer, boxes = within(element, layer), []
    for row in rows:
        x, y = float(row.get("x") or element.get("x")), float(row.get("y") or element.get("y"))
        wide = 0.25 * size * len("".join(row.itertext()))
        anchor = re.search(r"text-anchor:\s*(\w+)", element.get("style") or "")
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor[1] if anchor else "start"]
        corners = np.array([(left, y, 1), (left + wide, y - 0.7 * size, 1)]) @ to_layer.T
        boxes.append(box(*corners[0, :2], *corners[1, :2]))
    return boxes


@pytest.mark.parametrize("label", ["W" * 130, "Anna " * 26, FAMILY * 26])
def test_a_long_label_crosses_no_line(label):
    root = read(run(DraftSleeve, document(""), **{**TYPED, "label": label}).text)
    (layer,) = parts(root, "sleeve")
    lines = [
        LineString(along(path_of(e, layer), 60))
        for part in ("cutting line", "seam line", "body line", "tier line", "level line", "grain line")
        for e in parts(root, part)
    ]
    rows = [e for e in parts(root, "lettering") if label.split()[0][:20] in "".join(e.itertext())]
    assert rows
    for row in rows:
        assert not any(line.intersects(area) for line in lines for area in text_areas(row, layer)), "".join(row.itertext())[:60]


@pytest.mark.parametrize(("spacing", "tiers"), [("7,5", "6"), ("7,5", "2"), ("7,5 cm", "4"), ("7,5 to 9", "4")])
def test_a_decimal_comma_is_read_in_spacing(spacing, tiers):
    point = run(DraftSleeve, document(""), **{**TYPED, "tiers": tiers, "spacing": spacing.replace(",", ".")})
    comma = run(DraftSleeve, document(""), **{**TYPED, "tiers": tiers, "spacing": spacing})
    assert comma.said == "" and [e for e in words(comma.text) if "Tier" in e] == [e for e in words(point.text) if "Tier" in e]


@pytest.mark.parametrize("name", ["bust_girth", "spacing", "tiers", "front_share", "elbow_level"])
def test_400_digits_are_refused_in_few_words(name):
    answer = run(DraftSleeve, document(""), **{**TYPED, name: ENDLESS})
    assert (answer.crashed, answer.text) == ("", "") and 0 < len(answer.said) < 400
