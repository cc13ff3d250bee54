"""Lines that the editor has put elsewhere come back: judged by svgpathtools and shapely as the edits by lot are."""
from __future__ import annotations

import copy

import numpy as np
import pytest
from lxml import etree
from svgpathtools import parse_path

from extension.cutting_plan import CuttingPlan
from extension.fitting_changes import FittingChanges
from extension.print_pages import PrintPages
from extension.remeasure_sleeve import RemeasureSleeve
from tests.campaign.cases import ALLOWANCES, drafted, line_of, parsed, run
from tests.campaign.edits import moved_out, on_page, seam_to_a_layer_of_hers, seam_to_the_root
from tests.campaign.judge import judge, parts, words_of
from tests.campaign.line import OWN

SVG = "{http://www.w3.org/2000/svg}"


def tier(root, number: int):
    return next(e for e in parts(root, "tier line") if float(e.get(f"{OWN}number")) == number)


def tiers_to_the_root(root):
    for number in (2, 5):
        moved_out(tier(root, number), root)


def cutting_line_to_the_root(root):
    moved_out(parts(root, "cutting line")[0], root)


def combined(kept, gone) -> None:
    """Path > Combine, as the editor leaves it: no marks of ours, the name of the one that is kept."""
    kept.set("d", f"{kept.get('d')} {gone.get('d')}")
    for name in [name for name in kept.attrib if name.startswith(OWN)]:
        del kept.attrib[name]
    gone.getparent().remove(gone)


def seam_into_a_tier_line(root):
    combined(tier(root, 3), parts(root, "seam line")[0])


def tier_lines_into_the_seam(root):
    seam = parts(root, "seam line")[0]
    for number in (4, 6):
        combined(seam, tier(root, number))


ASTRAY = [seam_to_the_root, seam_to_a_layer_of_hers, tiers_to_the_root, cutting_line_to_the_root, seam_into_a_tier_line, tier_lines_into_the_seam]


@pytest.mark.parametrize("name", ["default", "tiers along the armhole"])
@pytest.mark.parametrize("put_elsewhere", ASTRAY)
def test_what_was_put_elsewhere_is_brought_back_as_it_lies(put_elsewhere, name):
    root = parsed(drafted(name))
    put_elsewhere(root)
    document = etree.tostring(root).decode()
    for command, options in ((CuttingPlan, {}), (PrintPages, {"unit": "cm"}), (FittingChanges, {"hem_front": "1 cm"})):
        first = run(command, document, **options)
        assert "Run Re-measure After Editing… first" in first.said and not first.text
    answer = run(RemeasureSleeve, document)
    assert (answer.said, answer.crashed) == ("", "")
    now = etree.fromstring(answer.text.encode())
    assert [len(parts(now, part)) for part in ("sleeve", "seam line", "cutting line")] == [1, 1, 1]
    assert judge(now, line_of(parsed(drafted(name))), ALLOWANCES) == []
    for before, after in zip(sorted(parts(parsed(drafted(name)), "tier line"), key=_number), sorted(parts(now, "tier line"), key=_number)):
        lengths = [float(line.get(f"{OWN}length-mm")) for line in (before, after)]
        assert lengths[0] == pytest.approx(lengths[1], abs=0.02) and _number(before) == _number(after)
    assert "Deleted" not in " ".join(words_of(parts(now, "truing report")[0]))
    assert run(RemeasureSleeve, answer.text).text == ""
    for command, options in ((CuttingPlan, {}), (PrintPages, {"unit": "cm"})):
        assert run(command, answer.text, **options).said == ""


def _number(line) -> float:
    return float(line.get(f"{OWN}number"))


@pytest.mark.parametrize("put_elsewhere", ASTRAY)
def test_where_she_is_asked_nothing_but_rings_is_changed(put_elsewhere):
    root = parsed(drafted("default"))
    line = line_of(root)
    i = line.at["front hem"]
    line.segments[i - 1, 2:] = line.segments[i, 2:]
    line.segments = np.delete(line.segments, i, axis=0)  # the hem corner's node is gone
    parts(root, "seam line")[0].set("d", line.data())
    put_elsewhere(root)
    answer = run(RemeasureSleeve, etree.tostring(root).decode())
    assert "front hem corner" in answer.said
    now = etree.fromstring(answer.text.encode())
    for marks in parts(now, "truing marks layer"):
        marks.getparent().remove(marks)
    before = etree.fromstring(etree.tostring(root))
    assert [(e.tag, dict(e.attrib)) for e in now.iter()] == [(e.tag, dict(e.attrib)) for e in before.iter()]


def test_a_line_of_one_of_two_sleeves_goes_back_to_the_one_that_lacks_it():
    root = parsed(drafted("default"))
    (sleeve,) = parts(root, "sleeve")
    other = copy.deepcopy(sleeve)
    other.set("transform", f"translate(700, 0) {sleeve.get('transform')}")
    sleeve.addnext(other)
    moved_out(parts(root, "seam line")[0], root)
    assert "2 sleeves" in run(RemeasureSleeve, etree.tostring(root).decode()).said


def test_what_she_drew_in_a_report_stays_where_it_lies_when_that_is_drawn_anew():
    """The editor draws into the layer that was clicked last."""
    document = run(RemeasureSleeve, drafted("default")).text
    root = parsed(document)
    (report,) = parts(root, "truing report")
    hers = etree.SubElement(report, f"{SVG}path", id="drawn-by-her", d="M 0 0 L 10 10")
    moved_out(tier(root, 3), report)
    tier(root, 4).set("transform", "translate(0, 9)")
    lay = on_page(hers)
    answer = run(RemeasureSleeve, etree.tostring(root).decode())
    assert answer.said == ""
    now = etree.fromstring(answer.text.encode())
    (kept,) = (e for e in now.iter() if e.get("id") == "drawn-by-her")
    assert on_page(kept) == pytest.approx(lay)
    assert judge(now, line_of(parsed(drafted("default"))), ALLOWANCES) == [] and len(parts(now, "tier line")) == len(parts(root, "tier line"))
    assert parse_path(kept.get("d")).length() == pytest.approx(200**0.5)
    assert run(RemeasureSleeve, answer.text).text == ""


def test_a_tier_line_moved_among_the_notes_stays_one():
    root = parsed(drafted("default"))
    moved_out(tier(root, 3), parts(root, "notes layer")[0])
    line = line_of(root)
    line.move(line.at["front hem"], np.array([0.0, 3.0]))  # the notes are lettered anew
    parts(root, "seam line")[0].set("d", line.data())
    answer = run(RemeasureSleeve, etree.tostring(root).decode())
    assert answer.said == "" and judge(etree.fromstring(answer.text.encode()), line, ALLOWANCES) == []
    assert len(parts(etree.fromstring(answer.text.encode()), "tier line")) == len(parts(root, "tier line"))
