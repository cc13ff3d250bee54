"""The fit chart and what the notes say of armholes and top edge, as drawn."""
import re

import inkex
import numpy as np
import pytest
from lxml import etree
from svgpathtools import parse_path

from extension.document.parts import new_sleeve_layer
from extension.drafting.fit_sheet import fit_panel
from extension.drafting.making_up import making_up
from geometry.measuring.measurements import NUMBERS, TABLE
from geometry.sleeve.draft import draft_sleeve
from tests.bodies import DEFAULTS
from tests.host import REPOSITORY

SCRIPT = REPOSITORY / "extension" / "draft_sleeve.py"
SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
OWN = "{urn:x-tiered-sleeve}"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'


def drawn(outcome):
    assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
    return etree.fromstring(outcome.stdout.encode())


def chart_of(root):
    (layer,) = [e for e in root.iter(f"{SVG}g") if e.get(f"{OWN}part") == "fit layer"]
    return layer


def columns(layer):
    """The chart's cells by the title of their column."""
    texts = [[span.text for span in text] for text in layer.iter(f"{SVG}text") if text.get(LABEL).startswith("Fit: ")]
    return {title: cells for title, *cells in texts if cells}


def words(root):
    return " ".join("".join(e.itertext()) + " " for e in root.iter(f"{SVG}text") for e in e)


def test_the_chart_says_in_numbers_what_it_shows_in_bars(run_effect):
    root = drawn(run_effect(SCRIPT, {"unit": "cm"}, A4))
    layer = chart_of(root)
    assert layer.get(LABEL) == "Fit" and layer.getparent().get(f"{OWN}part") == "sleeve"
    cells = columns(layer)
    names = cells["place"]
    bars = {}
    for path in layer.iter(f"{SVG}path"):
        left, right, _, _ = parse_path(path.get("d")).bbox()
        bars[path.get(LABEL)] = right - left
    scale = float(cells["sleeve"][0].split()[0]) / bars[f"{names[0]}: sleeve"]
    for i, name in enumerate(names):
        body, sleeve, ease = (float(cells[column][i].split()[0].replace("−", "-")) for column in ("body", "sleeve", "ease"))
        assert bars[f"{name}: body"] * scale == pytest.approx(body, abs=0.1)
        assert bars[f"{name}: sleeve"] * scale == pytest.approx(sleeve, abs=0.1)
        assert ease == pytest.approx(sleeve - body, abs=0.11)  # each is rounded to the millimetre by itself
        assert float(cells["%"][i].replace("−", "-")) == pytest.approx(100 * ease / body, abs=0.9)
    assert names == ["Top edge, tier 1", "Tier 2", "Underarm", "Tier 3", "Upper arm", "Tier 4", "Elbow, tier 5", "Tier 6", "Hem"]
    assert set(cells["verdict"]) == {"good", "open"}


def test_bars_differ_in_grey_and_without_colour(run_effect):
    """The body is filled and the sleeve is hollow, so that print without colour shows which is which."""
    layer = chart_of(drawn(run_effect(SCRIPT, {}, A4)))
    for path in layer.iter(f"{SVG}path"):
        style = dict(part.split(":") for part in path.get("style").split(";"))
        red, green, blue = re.findall("..", (style["fill"] if "body" in path.get(LABEL) else style["stroke"])[1:])
        assert red == green == blue
        assert (style["fill"] == "none") == path.get(LABEL).endswith("sleeve")


def test_notes_say_how_the_seams_meet(run_effect):
    options = {"unit": "cm", "front_armhole_seam": "15", "back_armhole_seam": "16", "armhole_ease": "0.6"}
    said = words(drawn(run_effect(SCRIPT, options, A4)))
    for sentence in ("Front armhole seam: sleeve 15.3 cm, bodice 15.0 cm; set in 0.3 cm", "Back armhole seam: sleeve 16.3 cm, bodice 16.0 cm"):
        assert sentence in said
    assert "on the bodice" in said and "the width at the underarm is kept" in said
    plain = words(drawn(run_effect(SCRIPT, {}, A4)))
    assert "on the bodice" not in plain and "Top edge on the fold" not in plain and "Front notch (single)" in plain


def test_notes_on_an_edited_sleeve_say_what_is_missing():
    """Shrunk to 98 % across and down, a seam of 150 mm is 147 mm long."""
    draft = draft_sleeve(DEFAULTS._replace(front_armhole_seam=150.0), 3)
    smaller = draft.seam.transformed(np.array([[0.98, 0, 0], [0, 0.98, 0]]))
    said = making_up(draft._replace(seam=smaller), "cm")
    assert any("sleeve 14.7 cm, bodice 15.0 cm; the sleeve is 0.3 cm shorter than the bodice, and no ease was asked for" in one for one in said)


def test_notes_on_ease_that_is_no_longer_there():
    """6 mm of ease were asked for, 3 on each side; moved by hand the sleeve's front seam is as long as the bodice's."""
    draft = draft_sleeve(DEFAULTS._replace(front_armhole_seam=150.0, armhole_ease=6.0), 3)
    assert any("sleeve 15.3 cm, bodice 15.0 cm; set in 0.3 cm" in one for one in making_up(draft, "cm"))
    smaller = draft.seam.transformed(np.array([[150 / 153, 0, 0], [0, 150 / 153, 0]]))
    said = making_up(draft._replace(seam=smaller), "cm")
    assert any("sleeve 15.0 cm, bodice 15.0 cm; the sleeve is 0.3 cm shorter than the bodice and the 0.3 cm of ease asked for" in one for one in said)


def test_a_solved_width_that_leaves_more_than_the_loose_preset_is_said_before_she_cuts(run_effect):
    options = {"unit": "cm", "front_armhole_seam": "19", "back_armhole_seam": "19", "armhole_keep": "height"}
    root = drawn(run_effect(SCRIPT, options, A4))
    said = " ".join(words(root).split())
    assert said.count("the width that was solved for the bodice’s armhole seams") == 2  # in the notes and below the chart
    assert "full" in columns(chart_of(root))["verdict"]
    kept = words(drawn(run_effect(SCRIPT, {**options, "armhole_keep": "width"}, A4)))
    assert "the width that was solved" not in kept


def test_the_cap_height_says_where_it_comes_from(run_effect):
    by_rule, measured = (words(drawn(run_effect(SCRIPT, options, A4))) for options in ({}, {"cap_height": "4 1/2"}))
    assert "Cap height by the rule" in by_rule and "(by the rule)" in by_rule
    assert "Cap height as measured" in measured and "(measured)" in measured


def test_notes_give_the_length_of_the_elastic(run_effect):
    # Worked by hand: 0.9 x 100 cm, and 1 in to lap.
    said = words(drawn(run_effect(SCRIPT, {"unit": "cm", "finish": "elastic", "off_shoulder_girth": "100"}, A4)))
    assert "Top edge on the fold" in said and "90.0 cm joined" in said and "cut 92.5 cm" in said and "a casing of 2.5 cm" in said
    faced = words(drawn(run_effect(SCRIPT, {"finish": "faced"}, A4)))
    assert "Top edge on the fold: a facing of 1 in" in faced
    raised = words(drawn(run_effect(SCRIPT, {"finish": "faced", "top_edge_raise": "1/2"}, A4)))
    assert "its facing is a piece of its own" in raised and "on the fold" not in raised


def test_the_length_of_a_style_is_what_is_lettered(run_effect):
    said = words(drawn(run_effect(SCRIPT, {"length_style": "elbow", "hem_girth": "0"}, A4)))
    assert "length 12 1/2 in" in said and "18 3/4 in" not in said


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"front_share": "39"}, "Share of the front, percent: “39” was read. What makes sense is 40 to 60."),
        ({"elastic_ratio": "nan"}, "Elastic, cut length to girth: “nan” was read. What makes sense is 0.5 to 1."),
        ({"elastic_ratio": "0.9 in"}, "Elastic, cut length to girth: “0.9 in” was read."),
        ({"front_armhole_seam": "15"}, (
            "Front armhole seam: “15” was read as 15 in. What makes sense is 2 3/8 in to 13 3/4 in, or 0 (not matched)."
            " The number looks like cent"
        )),
        ({"unit": "cm", "front_armhole_seam": "5 7/8"}, "The number looks like inches"),
        ({"finish": "elastic", "top_edge_raise": "1/2"}, "a casing is folded at the top edge"),
        ({"front_body_edge": "21", "back_body_edge": "21"}, "the two body edges alone take 42 in, which leaves nothing"),
    ],
)
def test_refusals(run_effect, options, message):
    outcome = run_effect(SCRIPT, options, A4)
    assert outcome.returncode != 0 and outcome.stdout == "" and message in outcome.stderr


@pytest.mark.parametrize(("name", "text"), [("front_share", "4 1/"), ("elastic_ratio", "0."), ("front_armhole_seam", "5 3/")])
def test_half_typed_is_named(run_effect, name, text):
    outcome = run_effect(SCRIPT, {name: text}, A4)
    label = {**TABLE, **{number.name: number for number in NUMBERS}}[name].label
    assert outcome.returncode != 0 and outcome.stdout == "" and f"{label}: “{text}”" in outcome.stderr


def test_nothing_is_never_less_than_nothing():
    """A fifth of a millimetre too little is no ease and no percent, without a sign."""
    svg = inkex.load_svg(A4.encode()).getroot()
    draft = draft_sleeve(DEFAULTS, 3)
    draft = draft._replace(fit=tuple(row._replace(pattern=row.body - 0.2) for row in draft.fit))
    panel = fit_panel(new_sleeve_layer(svg, "Sleeve"), draft, "cm")
    cells = columns(panel.layer)
    assert set(cells["%"]) == {"0"} and set(cells["ease"]) == {"0.0 cm"}
