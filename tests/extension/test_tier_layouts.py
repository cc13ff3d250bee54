"""Tier lines that are not level, or not all over the sleeve: drafted, measured again and planned as scripts."""
import csv
import io

import pytest
from lxml import etree
from svgpathtools import parse_path

from tests.conftest import A4
from tests.host import REPOSITORY
from tests.sleeve_edits import LABEL, OWN, part, parts

INCH = 25.4


def lines(svg):
    return {int(float(line.get(f"{OWN}number"))): parse_path(line.get("d")) for line in parts(etree.fromstring(svg.encode()), "tier line")}


def words(svg, name):
    return " ".join(text for text in part(etree.fromstring(svg.encode()), name).itertext() if text.strip())


def planned(run, svg, folder, **options):
    run("cutting_plan", svg, job_sheet_folder=folder, **options)
    return {int(row["tier"]): row for row in csv.DictReader(io.StringIO(next(folder.glob("*-cut-list.csv")).read_text("utf-8-sig")))}


@pytest.mark.parametrize(
    "options",
    [
        {"tier_layout": "following"}, {"tier_layout": "aslant", "slant": "1 in"}, {"tier_part": "lines 2 to 4"}, {"tier_part": "from 5 in"},
        {"tier_part": "from 5 in to 12 in", "tier_layout": "aslant"}, {"tier_layout": "following", "front_share": "46", "tiers": 9},
    ],
)  # fmt: skip
def test_what_is_drafted_is_as_it_was_when_measured_again(run, options):
    svg = run("draft_sleeve", **options)
    again = run("remeasure_sleeve", svg)
    assert {number: path.d() for number, path in lines(again).items()} == {number: path.d() for number, path in lines(svg).items()}
    report = words(again, "truing report")
    assert "deleted" not in report and "put right" not in report
    assert words(again, "notes layer") == words(svg, "notes layer")


def test_the_last_tier_of_a_part_covers_its_own_section_only(run, tmp_path):
    svg = run("draft_sleeve", tier_part="lines 2 to 4", tiers=6)
    rows = planned(run, svg, tmp_path)
    assert sorted(rows) == sorted(lines(svg)) == [2, 3, 4]
    section = 18.75 * INCH / 6  # by hand, the example's length shared by six
    assert [float(rows[n]["spacing_mm"]) for n in rows] == pytest.approx([section] * 3, abs=0.002)
    assert "the first 3 1/8 in below the top edge; the last tier ends 12 1/2 in" in words(svg, "notes layer")


def test_a_strip_that_hangs_above_a_sagging_line_reaches_it_at_the_seam(run, tmp_path):
    svg = run("draft_sleeve", tier_layout="following", tiers=7)
    first, second = (lines(svg)[n] for n in (1, 2))
    rows = planned(run, svg, tmp_path)
    # From the top edge straight down to the end of line 2, at the underarm point: by svgpathtools.
    assert float(rows[1]["spacing_mm"]) == pytest.approx(second.end.imag - first.start.imag, abs=0.01)
    assert [rows[n]["front_end"] for n in (1, 2, 3)] == ["along the seam", "square", "square"]


def test_aslant_front_and_back_ends_differ(run, tmp_path):
    rows = planned(run, run("draft_sleeve", tier_layout="aslant", slant="2 in"), tmp_path)
    assert rows[2]["back_end"] == "along the seam"
    assert float(rows[2]["back_end_past_line_mm"]) > float(rows[2]["front_end_past_line_mm"]) + 10


def test_where_a_line_can_not_run_so_nothing_is_drawn(run_effect):
    outcome = run_effect(REPOSITORY / "extension" / "draft_sleeve.py", {"tier_layout": "aslant", "slant": "9 in"}, A4)
    assert "is the most, or an end would meet" in outcome.stderr and "Front end lower by: 9 in" in outcome.stderr
    assert outcome.stdout == ""


def test_lines_bear_their_numbers(run):
    root = etree.fromstring(run("draft_sleeve", tier_part="lines 2 to 3").encode())
    assert [line.get(LABEL) for line in parts(root, "tier line")] == ["Tier line 2", "Tier line 3"]
