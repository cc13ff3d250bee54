"""The pieces beside the sleeve: drawn with it, measured again with it, and kept as she has edited them."""
import re

import inkex
import numpy as np
import pytest
from lxml import etree
from svgpathtools import parse_path

from tests.conftest import A4
from tests.host import REPOSITORY
from tests.sleeve_edits import OWN, part, parts

INCH = 25.4


def root_of(svg):
    return etree.fromstring(svg.encode(), parser=inkex.elements.SVG_PARSER)


def piece(root, name):
    found = parts(root, f"{name} pieces panel")
    assert len(found) == 1
    return found[0]


def outline(root, name, which="seam"):
    return part(piece(root, name), f"piece {which} line")


def width(line):
    left, right, _, _ = parse_path(line.get("d")).bbox()
    return right - left


def widen_the_top(root):
    """Widen the Seam line by a twentieth at the top edge, less and less toward the hem."""
    seam = part(root, "seam line")
    wider = lambda m: f"{float(m[1]) * (1.05 - 0.05 * float(m[2]) / 476.25):.4f} {m[2]}"  # noqa: E731
    seam.set("d", re.sub(r"(-?[\d.]+) (-?[\d.]+)", wider, seam.get("d")))


def words(element):
    return " ".join(" ".join(text.split()) for text in element.itertext() if text.strip())


def test_each_finish_brings_its_pieces(run):
    for options, names in (
        ({}, ["band"]), ({"finish": "elastic"}, []), ({"finish": "faced"}, []), ({"finish": "faced", "top_edge_raise": "1/4"}, ["facing"]),
        ({"finish": "bound", "lining": "own"}, ["lining"]), ({"lining": "own"}, ["band", "lining"]),
    ):  # fmt: skip
        root = root_of(run("draft_sleeve", **options))
        assert [name for name in ("band", "facing", "lining") if parts(root, f"{name} pieces panel")] == names


def test_a_piece_says_what_it_is(run):
    root = root_of(run("draft_sleeve", lining="own", lining_ease="1/8"))
    assert "Cut 1 on the fold" in words(piece(root, "band")) and "Finished 41 1/4 in long and 1 in wide" in words(piece(root, "band"))
    lining = words(piece(root, "lining"))
    assert "Cut 2 (1 pair) in lining" in lining and "Each half 1/8 in wider" in lining and "Hem 3/4 in shorter" in lining
    assert width(outline(root, "band")) == pytest.approx(20.625 * INCH)  # half of 41 1/4 in, by hand


def test_elastic_that_is_too_short_is_all_that_is_said_to_be_wrong_and_what_would_do_does(run):
    """Where the edge is full enough only the elastic is named: 1.15 ÷ 1.8 of the girth, rounded up by hand to 0.64."""
    said = words(root_of(run("draft_sleeve", finish="elastic", elastic_ratio="0.5")))
    assert "Draft with elastic of 0.64 of the girth or more, or an opening." in said and "a fullness of" not in said
    assert "slips over the shoulders" in words(root_of(run("draft_sleeve", finish="elastic", elastic_ratio="0.64")))
    assert "too little to slip" in words(root_of(run("draft_sleeve", finish="elastic", elastic_ratio="0.63")))


@pytest.mark.parametrize("options", [{}, {"lining_ease": "1/8"}, {"lining_hem": "caught"}, {"band_cut": "two-part"}, {"unit": "cm"}])
def test_what_a_piece_says_stands_in_it(run, options):
    """What stands below a piece is lost where the paper ends."""
    root = root_of(run("draft_sleeve", lining="own", **options))
    for name in ("band", "lining"):
        left, right, top, bottom = parse_path(outline(root, name, "cutting").get("d")).bbox()
        rows = [span for text in piece(root, name).iter("{*}text") for span in text]
        assert len(rows) > 4
        assert all(left < float(row.get("x")) < right and top < float(row.get("y")) < bottom for row in rows)


def test_the_notes_tell_how_the_top_edge_is_made(run):
    elastic = words(part(root_of(run("draft_sleeve", finish="elastic")), "notes layer"))
    # By hand: 0.9 x 41 1/4 in = 37 1/8 in, and 1 in to lap; 1.15 x 41 1/4 = 47 1/2 in; 2 x 1.5 x 7 7/8 + 25 1/2 = 49 1/8 in.
    for said in ("37 1/8 in joined", "cut 38 1/8 in", "47 1/2 in are needed", "laid flat is 49 1/8 in", "slips over the shoulders"):
        assert said in elastic
    assert "5/8 in below the fold" in elastic
    tight = words(part(root_of(run("draft_sleeve", finish="elastic", edge_fullness="1")), "notes layer"))
    assert "Draft with a fullness of 1.4 or more" in tight  # (47.44 - 25.5) / 15.75 = 1.393, by hand
    bound = words(part(root_of(run("draft_sleeve", finish="bound")), "notes layer"))
    assert "on the bias, 1 1/2 in wide" in bound and "41 1/4 in" in bound


def test_a_fold_is_lettered_as_one(run):
    assert "Fold" in words(part(root_of(run("draft_sleeve", finish="elastic")), "names layer"))
    assert "Fold" not in words(part(root_of(run("draft_sleeve")), "names layer"))


def test_pieces_follow_the_edited_seam_line(run):
    root = root_of(run("draft_sleeve", lining="own"))
    widen_the_top(root)
    again = root_of(run("remeasure_sleeve", etree.tostring(root).decode()))
    assert width(outline(again, "lining")) == pytest.approx(width(part(again, "seam line")), abs=1e-3)
    assert width(outline(again, "lining")) > width(outline(root, "lining")) + 5
    top = 2 * 0.05 * 7.875  # both top edges are longer by so much, and half of it lies in half the band
    assert width(outline(again, "band")) == pytest.approx((20.625 + top / 2) * INCH, abs=0.01)


def test_her_own_edits_of_a_piece_are_kept_and_said(run):
    root = root_of(run("draft_sleeve", lining="own"))
    hers = outline(root, "lining", "cutting")
    hers.set("d", hers.get("d").replace("M ", "M 1", 1))
    piece(root, "band").set("transform", "translate(700, 100)")
    widen_the_top(root)
    again = root_of(run("remeasure_sleeve", etree.tostring(root).decode()))
    assert etree.tostring(piece(again, "lining")) == etree.tostring(piece(root, "lining"))
    report = words(part(again, "truing report"))
    assert "Lining: you have edited this piece, so it is kept" in report and "Band: you" not in report
    assert piece(again, "band").get("transform") == "translate(700, 100)"  # where she put it
    assert width(outline(again, "band")) > width(outline(root, "band"))


def ungroup(root, name, by="translate(40, -25)"):
    """Take the layer of a piece away as the editor does, each child taking its transform, and move what was in it."""
    panel = piece(root, name)
    for child in list(panel):
        child.set("transform", f"{by} {panel.get('transform')} {child.get('transform') or ''}")
        panel.addprevious(child)
    panel.getparent().remove(panel)
    return root


def on_page(root, name, which="cutting"):
    """Every point of an outline's path data where it lies in the sleeve's layer, by inkex's own transforms."""
    line = outline(root, name, which)
    inside = inkex.Transform(piece(root, name).get("transform")) @ inkex.Transform(line.get("transform"))
    return [tuple(inside.apply_to_point((z.real, z.imag))) for segment in parse_path(line.get("d")) for z in (segment.start, segment.end)]


@pytest.mark.parametrize("by", ["translate(40, -25)", "rotate(30) translate(5, 5)"])
def test_a_piece_that_was_ungrouped_is_the_same_piece(run, by):
    """It lies where she moved it, follows the edited Seam line, and is taken away when its finish asks for it no more."""
    svg = run("draft_sleeve", lining="own")
    before = root_of(svg)
    panel = piece(before, "band")
    panel.set("transform", f"{by} {panel.get('transform')}")
    loose = etree.tostring(ungroup(root_of(svg), "band", by)).decode()
    again = root_of(run("remeasure_sleeve", loose))
    assert np.allclose(on_page(again, "band"), on_page(before, "band"), atol=1e-3)
    assert "you have edited this piece" not in words(part(again, "truing report"))
    root = root_of(loose)
    widen_the_top(root)
    wider = root_of(run("remeasure_sleeve", etree.tostring(root).decode()))
    assert width(outline(wider, "band")) == pytest.approx((20.625 + 0.05 * 7.875) * INCH, abs=0.01)
    assert len(piece(wider, "band")) == len(piece(before, "band"))  # no lettering twice


def test_an_edited_piece_that_was_ungrouped_is_kept_as_she_has_it(run):
    root = ungroup(root_of(run("draft_sleeve", lining="own")), "band")
    (cut,) = (line for line in parts(root, "piece cutting line") if line.get(f"{OWN}piece") == "band")
    cut.set("d", parse_path(cut.get("d")).scaled(1.2, 1.0, origin=0j).d() + " Z")
    loose = etree.tostring(root).decode()
    again = root_of(run("remeasure_sleeve", loose))
    assert "Band: you have edited this piece, so it is kept" in words(part(again, "truing report"))
    assert width(outline(again, "band", "cutting")) == pytest.approx(1.2 * 21.125 * INCH, abs=0.01)
    planned = root_of(run("cutting_plan", loose))
    assert width(outline(planned, "band", "cutting")) == pytest.approx(1.2 * 21.125 * INCH, abs=0.01)


def test_the_pages_show_a_piece_that_was_ungrouped(run):
    """It is a part of its own on the sheets, as if it had never been ungrouped."""
    svg = run("draft_sleeve", lining="own")
    loose = etree.tostring(ungroup(root_of(svg), "lining")).decode()
    for drawn in (svg, loose):
        pages = words(root_of(run("print_pages", drawn)))
        assert "Lining" in pages


def test_measured_again_without_an_edit_nothing_changes(run):
    svg = run("draft_sleeve", lining="own", finish="faced", top_edge_raise="1/4")
    again = root_of(run("remeasure_sleeve", svg))
    for name in ("facing", "lining"):
        assert etree.tostring(piece(again, name)) == etree.tostring(piece(root_of(svg), name))


def test_a_piece_that_can_not_be_is_refused_and_nothing_drawn(run_effect):
    outcome = run_effect(REPOSITORY / "extension" / "draft_sleeve.py", {"finish": "elastic", "elastic_width": "2"}, A4)
    assert outcome.stderr == "" and outcome.returncode == 0  # the casing goes with the elastic
    outcome = run_effect(
        REPOSITORY / "extension" / "draft_sleeve.py", {"finish": "elastic", "elastic_width": "2", "casing_allowance": "1"}, A4
    )
    assert "too little for an elastic 2 in wide, which needs 2 1/2 in" in outcome.stderr and outcome.stdout == ""


def test_an_earlier_sleeve_with_elastic_stays_as_long_at_the_top(run):
    root = root_of(run("draft_sleeve", finish="elastic", edge_fullness="1"))
    for holder in root.iter():
        record = holder.get(f"{OWN}record")
        if record:
            holder.set(f"{OWN}record", record.replace('"edge_fullness": "1", ', ""))
    report = words(part(root_of(run("remeasure_sleeve", etree.tostring(root).decode())), "truing report"))
    assert "put right" not in report


def test_path_data_in_other_words_is_no_edit(run):
    """As the editor writes a rectangle anew when it saves (from what Inkscape 1.2.2 wrote): relative moves, h and v."""
    root = root_of(run("draft_sleeve"))
    for which in ("seam", "cutting"):
        line = outline(root, "band", which)
        (left, right, top, bottom) = parse_path(line.get("d")).bbox()
        line.set("d", f"m {left},{top} H {right} V {bottom} H {left} Z")
    report = words(part(root_of(run("remeasure_sleeve", etree.tostring(root).decode())), "truing report"))
    assert "you have edited this piece" not in report


@pytest.mark.parametrize(("name", "options"), [("band", {}), ("facing", {"finish": "faced", "top_edge_raise": "1/4 in"})])
def test_the_notes_tell_where_the_piece_lies(run, name, options):
    root = root_of(run("draft_sleeve", **options))
    assert "drawn below the sleeve" in words(part(root, "notes layer"))
    down = float(re.fullmatch(r"translate\((-?[\d.]+), (-?[\d.]+)\)", piece(root, name).get("transform"))[2])
    top = parse_path(outline(root, name, "cutting").get("d")).bbox()[2] + down
    assert top > parse_path(part(root, "cutting line").get("d")).bbox()[3]


def test_a_piece_that_she_deleted_is_named_and_what_the_plan_does_with_it(run):
    root = root_of(run("draft_sleeve", lining="own", tiers="5"))
    assert "Not drawn" not in run("remeasure_sleeve", etree.tostring(root).decode())
    lining = piece(root, "lining")
    lining.getparent().remove(lining)
    deleted = root_of(run("remeasure_sleeve", etree.tostring(root).decode()))
    assert "Not drawn beside the sleeve: Lining." in words(part(deleted, "truing report")) and not parts(deleted, "lining pieces panel")
    assert "Lining:" in words(part(root_of(run("cutting_plan", etree.tostring(deleted).decode())), "lay panel"))  # as it says
