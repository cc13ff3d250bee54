"""Re-measure After Editing: every edit that people make, then every number against an independent measure.

Lengths by svgpathtools, areas and distances by shapely, see ``tests/sleeve_measures.py``; within 0.01 mm.
"""
from __future__ import annotations

import copy
import io
import re
from fractions import Fraction

import inkex
import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as some
from lxml import etree
from shapely.geometry import LineString, Point
from shapely.ops import substring

from extension.remeasure_sleeve import RemeasureSleeve
from tests import sleeve_edits as edits
from tests import sleeve_measures as measures
from tests.host import REPOSITORY
from tests.sleeve_edits import HARMLESS, OWN, RESHAPING, SVG, part, parts

DRAFT = REPOSITORY / "extension" / "draft_sleeve.py"
SCRIPT = REPOSITORY / "extension" / "remeasure_sleeve.py"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
A4 += '<rect id="hers" x="10" y="10" width="40" height="30"/></svg>'

#: Edits that can follow each other in any order: they look for nodes near their places in the layer.
TOGETHER = [
    edits.bulge_front, edits.shorten_back, edits.slant_hem, edits.lower_the_underarm, edits.raise_the_top_edge,
    edits.add_nodes, edits.reverse, edits.start_elsewhere, edits.tier_moved, edits.tier_tilted, edits.tier_bent, edits.tier_deleted,
    edits.tier_duplicated, edits.layer_moved_and_turned, edits.layer_in_a_group, edits.renamed, edits.hidden_and_locked, edits.another_unit,
]  # fmt: skip

#: Millimetres: what is drawn is rounded to four decimals, and 0.01 is the finest that could matter.
CLOSE = 0.01

#: The seam allowance of the demo sleeve, and how far along the seam its notches stand.
SEAM_ALLOWANCE = 15.0


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
    """Each notch stands over the armhole seam at its distance from the underarm point, along the seam, in the allowance."""
    total = measures.length(seam)
    for side, corner in (("front", told[2]), ("back", told[5])):
        at_corner = measures.along(seam, corner)
        for k, element in enumerate(parts(root, f"{side} notch")):
            tick = measures.on_page(element)
            assert np.sign(frame.inside((tick.start.real, tick.start.imag))[0]) == (1 if side == "front" else -1)
            assert measures.line(tick).distance(measures.line(seam)) >= SEAM_ALLOWANCE / 2 - CLOSE
            apart = abs(measures.along(seam, (tick.end.real, tick.end.imag)) - at_corner)  # the place of the seam nearest to it
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
    # Away from corners, along top edge, armholes and underarm seams, a point of the seam has the cut at its allowance,
    # unless it lies in a hollow so tight that a disc of the allowance, rolled along outside, does not touch it.
    rolled = area.buffer(SEAM_ALLOWANCE, quad_segs=90).buffer(-SEAM_ALLOWANCE, quad_segs=90).exterior
    cut_line = measures.polygon(cut).exterior
    seam = measures.seam(root)
    ring, bends = measures.points(seam, 12, 12), measures.bends(seam)
    away = np.min(np.hypot(*np.moveaxis(ring[:, None] - bends[None], -1, 0)), axis=1) > 1.5 * SEAM_ALLOWANCE
    hem = LineString([told[3], told[4]])
    plain = [p for p in ring[away] if hem.distance(Point(p)) > 60 and rolled.distance(Point(p)) < CLOSE / 2]
    found = [cut_line.distance(Point(p)) for p in plain]
    assert len(found) > 60
    assert found == pytest.approx([SEAM_ALLOWANCE] * len(found), abs=CLOSE)


def to_and_fro(root, edge) -> float:
    """By how many degrees an edge turns beyond its turning all one way, whichever way the seam is drawn."""
    seam, lengths, told = measures.seam(root), measures.edge_lengths(root), measures.corners(root)
    number = list(lengths).index(edge)
    ring = LineString(np.vstack([measures.points(seam, 200)] * 2))
    ends = told[number], told[(number + 1) % len(told)]
    begins = [measures.along(seam, end) for end in ends]
    runs = [substring(ring, begin + 0.01, begin + lengths[edge] - 0.01) for begin in begins]
    run = min(runs, key=lambda run: sum(run.distance(Point(end)) for end in ends))
    steps = np.diff(np.array(run.coords), axis=0)
    ahead = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = np.degrees(np.diff(ahead))
    return np.abs(turns).sum() - abs(turns.sum())


def check_report(root):
    words = ["".join(e.itertext()) for e in part(root, "truing report").iter(f"{SVG}tspan")]
    text = " ".join(words)
    lengths = measures.edge_lengths(root)
    said = re.search(r"front ([\d.]+) cm, back ([\d.]+) cm: they differ by (just over |no more than |)([\d.]+) mm", text)
    front, back = lengths["front underarm"], lengths["back underarm"]
    assert [float(said[1]), float(said[2])] == pytest.approx([front / 10, back / 10], abs=0.05 + CLOSE)
    if said[3]:
        assert (said[3] == "just over ") == (abs(front - back) > float(said[4]))
    else:  # what is told differs by what is said
        assert float(said[4]) == pytest.approx(abs(float(said[1]) - float(said[2])) * 10)
    hem = re.search(r"closed hem ([\d.]+) cm", text)
    along, across = lengths["hem"] / 10, np.hypot(*np.subtract(*measures.corners(root)[3:5])) / 10
    # A hem that waves is longer than what it goes around, so it is told straight across.
    assert float(hem[1]) == pytest.approx(across if to_and_fro(root, "hem") > 60 else along, abs=0.05 + CLOSE)
    around = re.search(r"both top edges and both body edges make ([\d.]+) cm", text)
    body_edge = 14.75 * 25.4 - 50  # shoulder width of the demo sleeve less 5 cm
    assert float(around[1]) == pytest.approx((lengths["top edge"] + body_edge) / 5, abs=0.05 + CLOSE)


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


def test_it_runs_alone_in_both_pythons(drafted, run_effect_everywhere):
    outcome = run_effect_everywhere(SCRIPT, {}, edited(drafted, edits.bulge_front))
    assert (outcome.returncode, outcome.stderr) == (0, "")
    assert_true(etree.fromstring(outcome.stdout.encode()))


# --- what each edit must come to ----------------------------------------------------------------------


LEAVING_TIERS = [e for e in HARMLESS if e.__name__ not in ("tier_moved", "tier_tilted", "tier_bent", "tier_bent_backwards")]


@pytest.mark.parametrize("edit", LEAVING_TIERS, ids=lambda edit: edit.__name__)
def test_the_seam_is_the_same_wherever_it_lies(edit, drafted, again):
    before = measures.edge_lengths(etree.fromstring(again(edited(drafted, edits.bulge_front)).text.encode()))
    after = measures.edge_lengths(again(edited(drafted, edits.bulge_front, edit)).root)
    assert after == pytest.approx(before, abs=CLOSE)


def test_a_dragged_corner_is_found_where_she_put_it(drafted, again):
    root = again(edited(drafted, edits.slant_hem)).root
    frame = measures.frame(root)
    inside = [frame.inside(corner) for corner in measures.corners(root)]
    half, low = hem_corner(drafted)
    assert inside[3] == pytest.approx([half + 6, low + 9], abs=CLOSE)
    assert inside[4] == pytest.approx([-half - 3, low - 12], abs=CLOSE)


def hem_corner(drafted):
    """Where the front hem corner was drafted, as svgpathtools reads it: lower than the hem's middle, since the sleeve tapers."""
    root = etree.fromstring(drafted.encode())
    half, low = measures.frame(root).inside(measures.corners(root)[3])
    assert low > 476.25
    return half, low


def heights(root):
    frame = measures.frame(root)
    found = {}
    for element in parts(root, "tier line"):
        path = measures.on_page(element)
        found[int(float(element.get(f"{OWN}number")))] = [frame.inside((z.real, z.imag))[1] for z in (path.start, path.end)]
    return found


def test_lines_she_moved_stay_where_she_put_them(drafted, again):
    before, after = heights(etree.fromstring(drafted.encode())), heights(again(edited(drafted, edits.tier_moved)).root)
    assert after[4] == pytest.approx([y + 13 for y in before[4]], abs=CLOSE)
    del before[4], after[4]
    assert all(after[n] == pytest.approx(before[n], abs=CLOSE) for n in before)


def test_a_tilted_line_keeps_its_slope(drafted, again):
    path = measures.on_page(edits.tier(again(edited(drafted, edits.tier_tilted)).root, 5))
    across, down = (path.end - path.start).real, (path.end - path.start).imag
    assert down / across == pytest.approx((309 - 330) / (150 + 140), abs=1e-6)


@pytest.mark.parametrize("edit", [edits.tier_bent, edits.tier_bent_backwards])
def test_a_bent_line_is_measured_along_the_curve(edit, drafted, again):
    element = edits.tier(again(edited(drafted, edit)).root, 3)
    path = measures.on_page(element)
    assert measures.length(path) > abs(path.end - path.start) + 5
    assert float(element.get(f"{OWN}length-mm")) == pytest.approx(measures.length(path), abs=CLOSE)
    assert (path.start.real > path.end.real) == (edit is edits.tier_bent_backwards)


def test_a_deleted_line_stays_deleted_and_numbers_are_kept(drafted, again):
    root = again(edited(drafted, edits.tier_deleted)).root
    assert sorted(heights(root)) == [1, 3, 4, 5, 6]
    assert "Tier 2:" not in " ".join(root.itertext())


def test_a_duplicate_is_numbered_by_height(drafted, again):
    root = again(edited(drafted, edits.tier_duplicated)).root
    found = heights(root)
    assert sorted(found) == [1, 2, 3, 4, 5, 6, 7]
    assert [found[n] for n in sorted(found)] == sorted(found.values())
    assert found[4] == pytest.approx([158.75 + 41] * 2, abs=CLOSE)
    assert [e.get("{http://www.inkscape.org/namespaces/inkscape}label") for e in parts(root, "tier line")].count("Tier line 7") == 1


def test_her_colours_names_and_ids_stay(drafted, again):
    root = again(edited(drafted, edits.recoloured, edits.renamed, edits.bulge_front)).root
    line = edits.tier(root, 3)
    assert line.get("style") == "fill:none;stroke:#00ff00;stroke-width:2"
    assert line.get(edits.LABEL).startswith("mine") and line.get("id").startswith("x")


def test_the_first_line_goes_with_the_top_edge(drafted, again):
    for edit in (edits.raise_the_top_edge, edits.bend_the_top_edge):
        root = again(edited(drafted, edit)).root
        top = measures.edge_lengths(root)["top edge"]
        assert measures.length(measures.on_page(edits.tier(root, 1))) == pytest.approx(top, abs=CLOSE)


def test_hidden_layers_are_brought_along_and_stay_hidden(drafted, again):
    root = again(edited(drafted, edits.hidden_and_locked, edits.bulge_front)).root
    assert part(root, "tier layer").get("style") == "display:none"
    assert part(root, "tier layer").get("{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive") == "true"


def test_names_lost_to_plain_svg_come_back(drafted, again):
    root = again(edited(drafted, edits.names_lost)).root
    for name, label in (("tier layer", "Tier lines"), ("seam line", "Seam line"), ("cutting line", "Cutting line")):
        assert part(root, name).get(edits.LABEL) == label
    assert edits.tier(root, 4).get(edits.LABEL) == "Tier line 4"
    assert part(root, "sleeve").get("{http://www.inkscape.org/namespaces/inkscape}groupmode") == "layer"


def test_what_she_deleted_stays_deleted_and_is_named(drafted, again):
    def delete(root):
        for name in ("cutting line", "back notch", "grain line"):
            for element in parts(root, name):
                element.getparent().remove(element)

    root = again(edited(drafted, delete, edits.bulge_front)).root
    assert not parts(root, "cutting line") and not parts(root, "back notch")
    report = " ".join("".join(e.itertext()) for e in part(root, "truing report").iter(f"{SVG}tspan"))
    assert "Deleted, and left so: Cutting line, Grain line, Back notch" in report


def test_what_else_she_drew_is_left_alone(drafted, again):
    def draw(root):
        etree.SubElement(part(root, "tier layer"), f"{SVG}path", id="mine", d="M 1 1 L 2 2")
        etree.SubElement(part(root, "notes layer"), f"{SVG}text", id="note").text = "my note"

    root = again(edited(drafted, draw, edits.slant_hem)).root
    found = {e.get("id"): e for e in root.iter()}
    assert found["mine"].get("d") == "M 1 1 L 2 2" and found["note"].text == "my note" and found["hers"].get("width") == "40"


def test_a_line_she_drew_and_named_counts(drafted, again):
    def draw(root):
        line = etree.SubElement(part(root, "tier layer"), f"{SVG}line", x1="-20", y1="430", x2="30", y2="428")
        line.set(edits.LABEL, "Tier line 7")

    root = again(edited(drafted, draw)).root
    assert_true(root)
    line = edits.tier(root, 7)
    assert line.tag == f"{SVG}path" and line.get("x1") is None
    assert "Tier 7:" in " ".join("".join(e.itertext()) for e in part(root, "tier lengths layer"))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(some.lists(some.sampled_from(TOGETHER), min_size=2, max_size=5, unique=True))
def test_edits_together_leave_true_numbers(drafted, tmp_path_factory, capsys, chosen):
    folder = tmp_path_factory.mktemp("together")
    first = remeasure(edited(drafted, *chosen), folder, capsys)
    assume("Two nodes could be" not in first.said)  # a doubt is an answer too
    assert first.said == ""
    assert_true(first.root)
    assert remeasure(first.text, folder, capsys).text == ""


# --- mirrored -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kept", "sign"), [("front_to_back", 1), ("back_to_front", -1)])
def test_one_half_is_mirrored_onto_the_other(kept, sign, drafted, again):
    def both(root):
        edits.bulge_front(root)
        edits.slant_hem(root)

    root = again(edited(drafted, both), mirror=kept).root
    assert_true(root)
    frame = measures.frame(root)
    ring = np.array([frame.inside(p) for p in measures.points(measures.seam(root))])
    outline = LineString(np.vstack([ring, ring[:1]]))
    assert max(outline.distance(Point(-x, y)) for x, y in ring) <= CLOSE
    half, low = hem_corner(drafted)
    wanted = (half + 6, low + 9) if sign > 0 else (-half - 3, low - 12)
    assert outline.distance(Point(wanted)) <= CLOSE
    assert again(etree.tostring(root).decode(), mirror=kept).text == ""


# --- scaled -------------------------------------------------------------------------------------------


def layer_scaled(root, across=1.05, down=1.05):
    layer = part(root, "sleeve")
    layer.set("transform", f"{layer.get('transform', '')} scale({across}, {down})")


def layer_stretched(root):
    layer_scaled(root, 1.0, 0.9)


def seam_scaled(root):
    edits.seam_moved_in_its_data(root, np.array([[1.05, 0, 11], [0, 1.05, -20]]))


def document_rescaled(root):
    """Another viewBox typed into the file: everything in it measures 105 %."""
    root.set("viewBox", f"0 0 200 {297 / 1.05}")
    root.set("width", "210mm")


SCALES = [(layer_scaled, 1.05, 1.05, "105.0%"), (layer_stretched, 1.0, 0.9, "100.0% in width and 90.0% in length"),
          (seam_scaled, 1.05, 1.05, "105.0%"), (document_rescaled, 1.05, 1.05, "105.0%")]  # fmt: skip


@pytest.mark.parametrize(("edit", "across", "down", "told"), SCALES, ids=lambda value: getattr(value, "__name__", None))
def test_a_scale_is_asked_about_then_kept_or_taken_back(edit, across, down, told, drafted, again):
    scaled = edited(drafted, edits.bulge_front, edit)
    asked = again(scaled)
    assert asked.text == "" and told in asked.said and "“it was meant”" in asked.said and "“take the scale back”" in asked.said

    straight = measures.edge_lengths(again(edited(drafted, edits.bulge_front)).root)
    undone = again(scaled, scaled="undo")
    assert_true(undone.root)
    assert measures.edge_lengths(undone.root) == pytest.approx(straight, abs=CLOSE)
    assert again(undone.text).text == ""

    meant = again(scaled, scaled="meant")
    assert_true(meant.root)
    lengths = measures.edge_lengths(meant.root)
    assert lengths["top edge"] == pytest.approx(straight["top edge"] * across, abs=CLOSE)
    frame = measures.frame(meant.root)
    inside = np.array([frame.inside(corner) for corner in measures.corners(meant.root)])
    assert np.ptp(inside[:, 1]) == pytest.approx(hem_corner(drafted)[1] * down, abs=CLOSE)
    report = " ".join("".join(e.itertext()) for e in part(meant.root, "truing report").iter(f"{SVG}tspan"))
    assert f"Scaled to {told}" in report
    assert again(meant.text).text == ""


@pytest.mark.parametrize("name", ["10 cm test square", "4 in test square"])
def test_test_squares_stay_true_when_a_scale_was_meant(name, drafted, again):
    root = again(edited(drafted, layer_scaled), scaled="meant").root
    square = next(e for e in parts(root, "test square") if e.get(edits.LABEL) == name)
    side = abs(measures.on_page(square)[0].end - measures.on_page(square)[0].start)
    assert side == pytest.approx({"10 cm test square": 100, "4 in test square": 101.6}[name], abs=CLOSE)


def test_a_scale_too_small_to_ask_about_is_measured_as_it_is(drafted, again):
    root = again(edited(drafted, lambda root: layer_scaled(root, 1.0005, 1.0005))).root
    assert_true(root)
    assert measures.edge_lengths(root)["top edge"] == pytest.approx(199.225 * 1.0005, abs=CLOSE)


# --- when it can't be measured --------------------------------------------------------------------------


def gap(root):
    seam = part(root, "seam line")
    segments = edits.cubics(seam)
    segments[4, 0] += (0, 7)
    edits.write(seam, np.roll(segments, -4, axis=0), close=False)


def crossing(root):
    edits.drag(root, (133.35, 476.25), (-300, 0))


def lost_corner(root):
    """The front underarm point deleted: the seam runs on smoothly there."""
    seam = part(root, "seam line")
    s = edits.cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (205.3167, 102.6583)).T)))
    joined = np.array([s[i - 1][0], s[i - 1][1], s[i][2], s[i][3]])
    edits.write(seam, np.concatenate([s[: i - 1], [joined], s[i + 1 :]]))


def doubtful_corner(root):
    """The front hem corner cut off: two corners where one was."""
    seam = part(root, "seam line")
    s = edits.cubics(seam)
    i = int(np.argmin(np.hypot(*(s[:, 0] - (133.35, 476.25)).T)))
    a, b = np.array([133.35, 451.0]), np.array([108.35, 476.25])
    s[i - 1, 3], s[i - 1, 2] = a, a - (0, 5)
    cut = np.array([a, a + (b - a) / 3, b - (b - a) / 3, b])
    s[i, 0], s[i, 1] = b, b - (20, 0)
    edits.write(seam, np.concatenate([s[:i], [cut], s[i:]]))


def two_seams(root):
    seam = part(root, "seam line")
    other = copy.deepcopy(seam)
    other.set("transform", "translate(5 5)")
    seam.getparent().append(other)


BROKEN = [
    (gap, "does not close", "7 mm"),
    (crossing, "crosses or touches itself", ""),
    (lost_corner, "lost the front underarm point corner", ""),
    (doubtful_corner, "could be the front hem corner", ""),
    (two_seams, "2 closed Seam lines", ""),
]


@pytest.mark.parametrize(("edit", "said", "also"), BROKEN, ids=lambda value: getattr(value, "__name__", None))
def test_what_cannot_be_measured_is_said_and_marked_and_nothing_else_changed(edit, said, also, drafted, again):
    broken = edited(drafted, edit)
    answer = again(broken)
    assert said in answer.said and also in answer.said and "Traceback" not in answer.said
    marks = part(answer.root, "truing marks layer")
    seam = [measures.line(measures.on_page(e)) for e in parts(answer.root, "seam line")]
    for ring in parts(marks, "truing mark"):
        middle = measures.polygon(measures.on_page(ring)).centroid
        near = 60 if edit is lost_corner else 0.1
        assert min(line.distance(middle) for line in seam) <= near
    assert parts(marks, "truing mark")
    marks.getparent().remove(marks)
    assert geometry_of(answer.root) == geometry_of(etree.fromstring(broken.encode()))


def test_marks_go_when_all_is_well_again(drafted, again):
    broken = again(edited(drafted, crossing))
    mended = again(edited(broken.text, lambda root: edits.drag(root, (-166.65, 476.25), (300, 0))))
    assert mended.said == "" and not parts(mended.root, "truing marks layer")


def test_open_ends_half_a_millimetre_apart_are_joined(drafted, again):
    def nearly(root):
        seam = part(root, "seam line")
        segments = edits.cubics(seam)
        segments[4, 0] += (0.3, 0.3)
        edits.write(seam, np.roll(segments, -4, axis=0), close=False)

    assert again(edited(drafted, nearly)).said == ""


def test_a_line_off_the_sleeve_is_left_and_reported(drafted, again):
    root = again(edited(drafted, lambda root: edits.tier(root, 6).set("transform", "translate(0 200)"))).root
    assert heights(root)[6] == pytest.approx([396.875 + 200] * 2, abs=CLOSE)
    report = " ".join("".join(e.itertext()) for e in part(root, "truing report").iter(f"{SVG}tspan"))
    assert "does not run from one side seam to the other" in report
    assert len(parts(root, "truing mark")) >= 1


@pytest.mark.parametrize("name", ["tier line", "level line"])
def test_every_line_of_a_kind_may_be_deleted(name, drafted, again):
    def without(root):
        for element in parts(root, name):
            element.getparent().remove(element)

    answer = again(edited(drafted, edits.bulge_front, without))
    assert answer.said == "" and not parts(answer.root, name)
    lettering = part(answer.root, {"tier line": "tier lengths layer", "level line": "level widths layer"}[name])
    assert not list(lettering.iter(f"{SVG}text")), "nothing is left to be lettered"
    assert len(parts(answer.root, "seam line")) == 1
    assert again(answer.text).text == ""


# --- which sleeve ---------------------------------------------------------------------------------------


def test_a_sleeve_copied_without_its_locked_layers_is_told_what_stayed_behind(drafted, again):
    """What the editor copies of a sleeve, as a hand did: Select All in All Layers passes over what is locked."""

    def copied(root):
        for layer in list(part(root, "sleeve")):
            if layer.get("{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive") == "true":
                layer.getparent().remove(layer)

    report = " ".join("".join(e.itertext()) for e in part(again(edited(drafted, copied)).root, "truing report").iter(f"{SVG}tspan"))
    assert "Not in this document: Cutting line, Body line, Grain line, Front notch, Back notch, Underarm level" in report
    assert "locked layers stayed behind" in report and "Deleted, and left so" not in report


def test_several_sleeves_want_one_selected(drafted, run_effect):
    def second(root):
        other = copy.deepcopy(part(root, "sleeve"))
        other.set("transform", "translate(2000 0)")
        root.append(other)
        for k, element in enumerate(root.iter()):
            element.set("id", f"e{k}")

    two = edited(drafted, second)
    refused = run_effect(SCRIPT, {}, two)
    assert refused.stdout == "" and "There are 2 sleeves here: Sleeve" in refused.stderr
    assert "(2 of this name). Select the one that is meant" in refused.stderr
    root = etree.fromstring(two.encode())
    chosen = parts(root, "tier line")[-1].get("id")
    done = etree.fromstring(run_effect(SCRIPT, {}, two, select=[chosen]).stdout.encode())
    (report,) = parts(done, "truing report")
    assert report.getparent() is parts(done, "sleeve")[1]


@pytest.mark.parametrize("svg", [A4])
def test_no_sleeve_is_said_plainly(svg, again):
    assert "There is no sleeve in this document yet" in again(svg).said


def test_a_lost_seam_or_record_says_what_to_do(drafted, again):
    def no_seam(root):
        seam = part(root, "seam line")
        seam.getparent().remove(seam)

    def no_record(root):
        for keeper in ("sleeve", "seam line"):
            part(root, keeper).attrib.pop(f"{OWN}record")

    assert "no Seam line any more" in again(edited(drafted, no_seam)).said
    assert "has no record of its measurements" in again(edited(drafted, no_record)).said


def test_corners_lost_are_found_from_the_record(drafted, again):
    def forget(root):
        for name in ("corners", "drawn"):
            part(root, "seam line").attrib.pop(f"{OWN}{name}")

    assert_true(again(edited(drafted, edits.slant_hem, forget)).root)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("5 in", "0 to 2.0 cm; 1 mm is usual"), ("abc", "“abc”"), ("-1", "less than nothing"), ("1", "without a unit"),
        ("1/16", "as in 1 mm"),
    ],
)  # fmt: skip
def test_a_tolerance_that_makes_no_sense_is_refused(typed, said, drafted, again):
    answer = again(drafted, truing_tolerance=typed)
    assert answer.text == "" and "Truing tolerance" in answer.said and said in answer.said


def test_a_tolerance_is_refused_in_the_unit_of_the_sleeve(again, run_effect):
    inches = run_effect(DRAFT, {"unit": "in"}, A4).stdout
    answer = again(inches, truing_tolerance="5 in")
    assert "What makes sense is 0 to 3/4 in; 1/32 in is usual." in answer.said
    for typed in ("3/4 in", "1/32 in", "0"):
        assert again(inches, truing_tolerance=typed).said == ""
    assert "a gap of 9/32 in." in again(edited(inches, gap)).said  # 7 mm is 17.6 of 64


def test_the_tolerance_is_hers(drafted, again):
    shorter = edited(drafted, edits.shorten_back)
    assert "put right" in "".join(part(again(shorter).root, "truing report").itertext())
    assert "put right" not in "".join(part(again(shorter, truing_tolerance="12 mm").root, "truing report").itertext())


def test_an_inch_sleeve_hears_nothing_of_millimetres(run_effect):
    """Fractions of an inch on the whole drawing and in its report, as they stand on her tape."""
    root = etree.fromstring(run_effect(SCRIPT, {}, edited(run_effect(DRAFT, {"unit": "in"}, A4).stdout, edits.bulge_front)).stdout.encode())
    text = " ".join("".join(e.itertext()) for e in root.iter(f"{SVG}text"))
    said = re.search(r"front ([\d /]+) in, back ([\d /]+) in: they differ by ([\d /]+) in \(1/32 in is allowed\)", text)
    front, back, apart = (sum(map(Fraction, number.split())) for number in said.groups())
    assert apart == abs(front - back) and 16 % front.denominator == 16 % back.denominator == 0  # on her tape, and subtracts
    assert not re.search(r"\d mm\b", text), re.findall(r".{30}\d mm\b", text)
