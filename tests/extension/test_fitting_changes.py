"""Fitting Changes as a command: measured by svgpathtools and shapely, carried on, taken back, and nothing lost on the way."""
from __future__ import annotations

import datetime as dt
import json
import re

import inkex
import pytest
from lxml import etree

from extension.demo import applied, drafted
from extension.draft_sleeve import DraftSleeve
from extension.fitting_changes import FittingChanges
from extension.remeasure_sleeve import RemeasureSleeve
from geometry.measuring.measurements import EXAMPLE
from geometry.measuring.toile import read_changes
from tests import sleeve_edits as edits
from tests import sleeve_measures as measures
from tests.host import REPOSITORY

SCRIPT = REPOSITORY / "extension" / "fitting_changes.py"
INCH = 25.4
CLOSE = 0.01

#: What a toile taught, as typed, invented.
TAUGHT = ["--elbow_front=3/8", "--underarm_down=1/2", "--longer_below_elbow=-1", "--top_edge_back=-1/4", "--reason=pinned at the <elbow> & cap"]


def root_of(drawing: str) -> etree._Element:
    return etree.fromstring(drawing.encode(), parser=inkex.elements.SVG_PARSER)


def changed(drawing: str, *options: str) -> str:
    return applied(FittingChanges(), list(options), drawing)


def by_hand(drawing: str, *changes) -> str:
    root = root_of(drawing)
    for change in changes:
        change(root)
    return etree.tostring(root).decode()


def kept(drawing: str) -> str:
    (sleeve,) = measures.parts(root_of(drawing), "sleeve")
    return json.loads(sleeve.get(f"{measures.OWN}record"))["typed"].get("fitting_changes", "")


def words(drawing: str) -> str:
    return " ".join("".join(text.itertext()) for text in root_of(drawing).iter(f"{measures.SVG}tspan"))


def level_width(drawing: str, level: str) -> float:
    (line,) = [e for e in measures.parts(root_of(drawing), "level line") if e.get(f"{measures.OWN}level") == level]
    return measures.length(measures.on_page(line))


def apart(one: str, other: str) -> float:
    """How far two drawings' Seam lines lie from each other, in the frame of the page."""
    return measures.line(measures.seam(root_of(one))).hausdorff_distance(measures.line(measures.seam(root_of(other))))


@pytest.fixture(scope="module")
def sleeve() -> str:
    return drafted()


@pytest.fixture(scope="module")
def fitted(sleeve) -> str:
    return changed(sleeve, *TAUGHT)


def test_all_zero_writes_nothing(run_effect, sleeve):
    outcome = run_effect(SCRIPT, {"reason": "looked at, nothing to change"}, sleeve)
    assert (outcome.returncode, outcome.stdout, outcome.stderr) == (0, "", "")


def test_the_seam_is_as_much_longer_and_wider_as_asked(sleeve, fitted):
    before, after = (measures.edge_lengths(root_of(drawing)) for drawing in (sleeve, fitted))
    assert before["top edge"] - after["top edge"] == pytest.approx(INCH / 4, abs=CLOSE)
    assert after["hem"] == pytest.approx(before["hem"], abs=CLOSE)
    down = [measures.frame(root_of(drawing)).inside(measures.corners(root_of(drawing))[k])[1] for drawing in (sleeve, fitted) for k in (2, 3)]
    assert (down[2] - down[0], down[3] - down[1]) == pytest.approx((INCH / 2, -INCH), abs=CLOSE)
    wider = changed(sleeve, "--elbow_front=3/8", "--elbow_back=3/8")
    assert level_width(wider, "elbow") - level_width(sleeve, "elbow") == pytest.approx(2 * 3 / 8 * INCH, abs=2 * CLOSE)


def test_what_was_changed_when_and_why_is_lettered_and_kept(fitted):
    today = dt.date.today().isoformat()
    assert f"1. {today}: top edge 1/4 in shorter at the back; elbow let out 3/8 in at the front;" in words(fitted)
    assert "1 in shorter below the elbow (pinned at the <elbow> & cap)." in words(fitted)
    (change,) = read_changes(kept(fitted))
    assert change.date == today
    assert change.amounts == pytest.approx({
        "elbow_front": 3 / 8 * INCH, "underarm_down": INCH / 2, "longer_below_elbow": -INCH, "top_edge_back": -INCH / 4,
    })  # fmt: skip


def test_everything_is_measured_again(fitted):
    assert applied(RemeasureSleeve(), [], fitted) == fitted  # at the tolerance that the dialog names
    root = root_of(fitted)
    seam = measures.seam(root)
    for tier in measures.parts(root, "tier line"):
        path = measures.on_page(tier)
        assert float(tier.get(f"{measures.OWN}length-mm")) == pytest.approx(measures.length(path), abs=1e-3)
        for end in (path[0].start, path[-1].end):
            assert seam.radialrange(end)[0][0] < CLOSE


def test_tier_lines_share_the_new_length_as_planned(fitted):
    root = root_of(fitted)
    inside = measures.frame(root).inside
    heights = sorted(inside((z.real, z.imag))[1] for z in (measures.on_page(tier)[0].start for tier in measures.parts(root, "tier line")))
    assert heights == pytest.approx([i * 17.75 * INCH / 6 for i in range(6)], abs=CLOSE)  # 18 3/4 in less 1 in, in six
    assert "no longer at equal distances" not in words(fitted)


def test_taken_back_the_line_is_where_it_was(sleeve, fitted):
    back = changed(fitted, "--take_back=last")
    assert kept(back) == "" and "Fitting changes" not in words(back)
    assert apart(sleeve, back) < CLOSE
    opposite = changed(fitted, *(option.replace("=-", "=+") if "=-" in option else option.replace("=", "=-") for option in TAUGHT[:-1]))
    assert apart(sleeve, opposite) < CLOSE
    assert len(read_changes(kept(opposite))) == 2


def test_one_of_several_is_taken_back(sleeve, fitted):
    second = changed(fitted, "--hem_front=1/2", "--hem_back=1/2")
    alone = changed(second, "--take_back=1")
    assert apart(alone, changed(sleeve, "--hem_front=1/2", "--hem_back=1/2")) < CLOSE
    assert [list(change.amounts) for change in read_changes(kept(alone))] == [["hem_front", "hem_back"]]


def test_her_edits_by_hand_are_kept(sleeve):
    bulged = applied(RemeasureSleeve(), [], by_hand(sleeve, edits.bulge_front))
    let_out = changed(bulged, "--elbow_front=3/8", "--longer_below_elbow=-1")
    assert apart(bulged, let_out) > 5
    assert apart(bulged, changed(let_out, "--take_back=1")) < CLOSE
    not_measured = changed(by_hand(sleeve, edits.bulge_front), "--elbow_front=3/8", "--longer_below_elbow=-1")
    assert apart(let_out, not_measured) < CLOSE


def test_the_next_draft_of_the_same_client_has_them(fitted):
    again = applied(DraftSleeve(), ["--start=sleeve", "--replace=true"], fitted)
    assert kept(again) == kept(fitted)
    assert apart(fitted, again) < CLOSE
    assert "1 in shorter below the elbow" in words(again)
    assert applied(RemeasureSleeve(), [], again).count("truing report") == 1


def test_a_sleeve_moved_and_turned_is_changed_where_it_lies(sleeve):
    turned = by_hand(sleeve, edits.layer_moved_and_turned)
    now = changed(turned, "--hem_front=1/2", "--hem_back=1/2")
    hems = [measures.edge_lengths(root_of(drawing))["hem"] for drawing in (turned, now)]  # along its arc
    assert hems[1] - hems[0] == pytest.approx(INCH, abs=CLOSE)


def test_what_is_left_over_in_the_dialog_is_asked_about(run_effect, fitted):
    """The dialog keeps its numbers: beside a change that is taken back, for the next change, and for the next client."""
    typed = dict(option.removeprefix("--").split("=", 1) for option in TAUGHT)
    said = run_effect(SCRIPT, {**typed, "take_back": "last"}, fitted).stderr
    assert "stands beside changes" in said and "Elbow, front 3/8 in" in said
    said = run_effect(SCRIPT, {**typed, "elbow_front": "0", "hem_front": "1/4"}, fitted).stderr
    assert "Underarm down 1/2 in" in said and "Hem, front" not in said and "Example (invented)" in said
    two = applied(DraftSleeve(), ["--label=Bea (invented)", *(f"--{name}={text}" for name, text in EXAMPLE.items())], fitted)
    root = root_of(two)
    measures.parts(root, "sleeve")[1].set("id", "second")
    outcome = run_effect(SCRIPT, typed, etree.tostring(root).decode(), ["second"])
    assert outcome.stdout == "" and "made last on Example (invented)" in outcome.stderr
    meant = run_effect(SCRIPT, {**typed, "again": "true"}, fitted)
    assert meant.stderr == "" and len(read_changes(kept(meant.stdout))) == 2
    assert apart(meant.stdout, changed(fitted, *TAUGHT, "--again=true")) == 0.0


def test_an_armhole_that_grew_is_told_where_the_bodices_is_not_known(sleeve, fitted):
    """The seams' lengths by svgpathtools; with the bodice's lengths typed the report compares with those instead."""
    grown = measures.edge_lengths(root_of(fitted))["front armhole"] - measures.edge_lengths(root_of(sleeve))["front armhole"]
    assert grown > INCH / 4
    assert "Make the bodice’s armhole as much longer" in words(fitted)
    assert "as drafted; the bodice’s" not in words(changed(sleeve, "--hem_front=1/8", "--hem_back=1/8"))
    matched = drafted(["--front_armhole_seam=6", "--back_armhole_seam=6"])
    assert "as drafted; the bodice’s" not in words(changed(matched, "--underarm_down=1/4"))


def test_the_seams_may_differ_as_much_as_re_measure_allows(fitted):
    assert "(1/32 in is allowed)" in words(fitted)


def test_limits_that_are_printed_work_when_typed_back(run_effect, sleeve):
    said = run_effect(SCRIPT, {"longer_below_elbow": "-5"}, sleeve).stderr
    for limit in re.search(r"by −([\d /]+) in to ([\d /]+) in", said).groups():
        assert run_effect(SCRIPT, {"longer_below_elbow": limit}, sleeve).stderr == ""
    shorter = re.search(r"by −([\d /]+) in", said)[1]
    assert run_effect(SCRIPT, {"longer_below_elbow": f"-{shorter}"}, sleeve).stderr == ""


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"elbow_front": "x"}, "Elbow, front: “x” is not a length"), ({"elbow_front": "9"}, "up to 3 7/8 in either way"),
        ({"wrist_back": "1/2"}, "Give it at the underarm or the hem"), ({"take_back": "1"}, "0 fitting changes"),
        ({"longer_below_elbow": "-5"}, "In one change it can go from half to twice of that: by −"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_said_and_nothing_is_drawn(run_effect, sleeve, options, said):
    outcome = run_effect(SCRIPT, options, sleeve)
    assert said in outcome.stderr
    assert outcome.stdout == ""
