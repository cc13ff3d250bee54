"""Draft Sleeve as a script: what it draws, what it refuses, and what it leaves alone."""
import json
import re
from fractions import Fraction

import pytest
from lxml import etree
from svgpathtools import parse_path

from geometry.measuring.measurements import EXAMPLE, TABLE
from tests.host import REPOSITORY

SCRIPT = REPOSITORY / "extension" / "draft_sleeve.py"
SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
OWN = "{urn:x-tiered-sleeve}"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"><rect x="10" y="10" width="40" height="30"/></svg>'

#: A toddler's, a median and the largest sleeve, in cm.
SIZES = {
    "toddler": {
        "bust_girth": 60, "off_shoulder_girth": 66, "shoulder_width": 28, "upper_arm_girth": 18, "upper_arm_level": 9, "elbow_girth": 17,
        "elbow_level": 14,
        "sleeve_length": 22, "hem_girth": 15, "hand_girth": 14, "body_edge_reduction": 3, "ease_cap": 1, "ease_upper_arm": 1,
        "ease_elbow": 1, "ease_hem": 1,
    },
    "median": {
        "bust_girth": 92, "off_shoulder_girth": 104, "shoulder_width": 37.5, "upper_arm_girth": 32, "upper_arm_level": 18,
        "elbow_girth": 28, "elbow_level": 31,
        "sleeve_length": 47.5, "hem_girth": 23, "hand_girth": 21,
    },
    "largest": {
        "bust_girth": 180, "off_shoulder_girth": 170, "shoulder_width": 50, "upper_arm_girth": 56, "upper_arm_level": 24,
        "elbow_girth": 46, "elbow_level": 36,
        "sleeve_length": 62, "hem_girth": 40, "hand_girth": 26,
    },
}  # fmt: skip


def drawn(outcome):
    assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
    return etree.fromstring(outcome.stdout.encode())


def parts(root, part):
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def refused(outcome):
    assert outcome.returncode != 0 and outcome.stdout == "" and "Traceback" not in outcome.stderr
    return outcome.stderr


def test_defaults_draw_a_whole_sleeve(run_effect_everywhere):
    root = drawn(run_effect_everywhere(SCRIPT, {}, A4))
    labels = [e.get(LABEL) for e in root.iter(f"{SVG}path")]
    for label in ("Body line", "Seam line", "Cutting line", "Grain line", "Front notch", "Back notch", *(f"Tier line {i}" for i in range(1, 7))):
        assert label in labels
    assert labels.count("Front notch") == 1 and labels.count("Back notch") == 2
    words = " ".join("".join(e.itertext()) for e in root.iter(f"{SVG}text"))
    for word in ("FRONT", "BACK", "Cut 2 (1 pair)", "Example (invented)", "10 cm test square", "4 in test square", "net melt and burn"):
        assert word in words
    (sleeve,) = parts(root, "sleeve")
    layers = sleeve.findall(f"{SVG}g")
    assert all(layer.get("{http://www.inkscape.org/namespaces/inkscape}groupmode") == "layer" for layer in layers)
    assert len({layer.get(LABEL) for layer in layers}) == len(layers) >= 8


def test_the_seam_line_is_one_closed_path_of_few_nodes(run_effect):
    (seam,) = parts(drawn(run_effect(SCRIPT, {}, A4)), "seam line")
    path = parse_path(seam.get("d"))
    assert seam.get("d").count("M") == 1 and seam.get("d").rstrip().endswith("Z") and path.isclosed()
    assert len(path) <= 16 and set(re.findall("[A-Za-z]", seam.get("d"))) <= set("MLCZ")


def test_tier_lines_and_their_numbers_are_those_of_the_seam(run_effect):
    """svgpathtools finds where each tier's level crosses the seam; the drawn line and its number must agree."""
    root = drawn(run_effect(SCRIPT, {"tiers": 7, "sleeve_length": "19 1/2", "elbow_level": "13"}, A4))
    (seam,) = parts(root, "seam line")
    outline = parse_path(seam.get("d"))
    lines = parts(root, "tier line")
    assert len(lines) == 7
    for number, line in enumerate(lines, start=1):
        drawn_line = parse_path(line.get("d"))
        level = (number - 1) * 19.5 * 25.4 / 7
        assert drawn_line.start.imag == pytest.approx(level, abs=1e-3) == drawn_line.end.imag
        length = abs(drawn_line.end - drawn_line.start)
        assert float(line.get(f"{OWN}length-mm")) == pytest.approx(length, abs=1e-3)
        if number > 1:
            level_line = parse_path(f"M -1000,{level} L 1000,{level}")
            xs = [outline.point(t).real for (t, *_), _ in outline.intersect(level_line)]
            assert length == pytest.approx(max(xs) - min(xs), abs=0.01)


def test_the_record_draws_it_again(run_effect):
    typed = {"unit": "cm", "bust_girth": "92,5", "label": "Élodie 日本 <&>\u2028"}
    first = drawn(run_effect(SCRIPT, typed, A4))
    record = json.loads(parts(first, "sleeve")[0].get(f"{OWN}record"))
    assert record["version"] and set(TABLE) <= set(record["typed"])
    assert record["typed"]["bust_girth"] == "92,5"
    again = drawn(run_effect(SCRIPT, record["typed"], A4))
    assert [e.get("d") for e in again.iter(f"{SVG}path")] == [e.get("d") for e in first.iter(f"{SVG}path")]


def test_a_second_run_draws_beside_and_replace_replaces(run_effect):
    once = run_effect(SCRIPT, {}, A4).stdout
    twice = run_effect(SCRIPT, {"tiers": 3}, once).stdout
    assert len(parts(etree.fromstring(twice.encode()), "sleeve")) == 2
    assert "2 sleeves" in refused(run_effect(SCRIPT, {"replace": True}, twice))
    replaced = etree.fromstring(run_effect(SCRIPT, {"replace": True, "tiers": 3}, once).stdout.encode())
    assert len(parts(replaced, "sleeve")) == 1 and len(parts(replaced, "tier line")) == 3
    assert len(parts(drawn(run_effect(SCRIPT, {"replace": True}, A4)), "sleeve")) == 1  # nothing there to replace


def test_a_sleeve_of_another_name_is_replaced_only_where_she_says_so_too(run_effect):
    once = run_effect(SCRIPT, {"label": "Ada (invented)"}, A4).stdout
    said = refused(run_effect(SCRIPT, {"label": "Bea (invented)", "replace": True}, once))
    assert "Ada (invented)" in said and "Bea (invented)" in said
    replaced = drawn(run_effect(SCRIPT, {"label": "Bea (invented)", "replace": True, "replace_other": True}, once))
    assert [each.get(LABEL) for each in parts(replaced, "sleeve")] == ["Sleeve – Bea (invented)"]


UNTYPED = {"label": "", **dict.fromkeys(EXAMPLE, "")}


def test_nothing_typed_draws_the_example_and_says_so(run_effect):
    (sleeve,) = parts(drawn(run_effect(SCRIPT, UNTYPED, A4)), "sleeve")
    assert sleeve.get(LABEL) == "Sleeve – Example (invented)"
    assert json.loads(sleeve.get(f"{OWN}record"))["typed"]["bust_girth"] == EXAMPLE["bust_girth"]


def test_the_example_in_centimetres_is_a_body_in_centimetres(run_effect):
    """By hand, inches times 2.54 to the nearest half: 36 1/2 is 92.71, 12 1/2 is 31.75, 8 1/4 is 20.955."""
    (sleeve,) = parts(drawn(run_effect(SCRIPT, {**UNTYPED, "unit": "cm"}, A4)), "sleeve")
    typed = json.loads(sleeve.get(f"{OWN}record"))["typed"]
    assert {name: typed[name] for name in EXAMPLE} == {
        "bust_girth": "92.5 cm", "off_shoulder_girth": "105.0 cm", "shoulder_width": "37.5 cm", "upper_arm_girth": "32.5 cm",
        "upper_arm_level": "18.5 cm", "elbow_girth": "28.5 cm", "elbow_level": "32.0 cm", "sleeve_length": "47.5 cm",
        "hem_girth": "23.0 cm", "hand_girth": "21.0 cm",
    }  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLE)
def test_an_emptied_field_is_named_and_never_filled_in(run_effect, name):
    assert TABLE[name].label in refused(run_effect(SCRIPT, {name: " "}, A4))
    only = refused(run_effect(SCRIPT, {**UNTYPED, name: EXAMPLE[name]}, A4))
    assert [other for other in EXAMPLE if TABLE[other].label in only] == [other for other in EXAMPLE if other != name]


def test_a_name_alone_draws_nobody(run_effect):
    said = refused(run_effect(SCRIPT, {**UNTYPED, "label": "Ada (invented)"}, A4))
    assert all(TABLE[name].label in said for name in EXAMPLE)


def test_the_dialog_holds_no_body(run_effect):
    inx = etree.parse(str(SCRIPT.with_suffix(".inx")))
    texts = {param.get("name"): param.text for param in inx.iter("{*}param")}
    assert all(not texts[name] for name in (*EXAMPLE, "label"))


def test_a_sleeve_is_started_from_the_one_that_is_selected(run_effect):
    hers = {"label": "Ada (invented)", "unit": "cm", "bust_girth": "97", "upper_arm_girth": "33.3"}
    once = run_effect(SCRIPT, hers, A4).stdout
    last_client = {"start": "sleeve", "label": "Bea (invented)", "bust_girth": "140", "elbow_girth": "", "tiers": 3, "seam_allowance": "2 cm"}
    sleeves = parts(drawn(run_effect(SCRIPT, last_client, once)), "sleeve")
    first, second = (json.loads(sleeve.get(f"{OWN}record"))["typed"] for sleeve in sleeves)
    assert {name for name in first if first[name] != second[name]} == {"tiers", "seam_allowance"}
    assert "no sleeve" in refused(run_effect(SCRIPT, {"start": "sleeve"}, A4))


def test_no_command_has_a_live_preview():
    """A box that a preview opens stands behind the dialog, which then takes no key and no click."""
    for dialog in SCRIPT.parent.glob("*.inx"):
        (effect,) = etree.parse(str(dialog)).iter("{*}effect")
        assert effect.get("needs-live-preview") == "false", dialog.name


@pytest.mark.parametrize(("unit", "typed"), [("in", "2"), ("in", "3"), ("in", "17"), ("in", "200"), ("cm", "6"), ("cm", "19"), ("cm", "0")])
def test_digits_that_are_no_bust_are_refused(run_effect, unit, typed):
    assert "Bust girth" in refused(run_effect(SCRIPT, {"unit": unit, "bust_girth": typed}, A4))


def test_all_but_seam_and_tier_lines_is_locked(run_effect):
    (sleeve,) = parts(drawn(run_effect(SCRIPT, {}, A4)), "sleeve")
    locked = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}insensitive"
    assert [layer.get(LABEL) for layer in sleeve.findall(f"{SVG}g") if layer.get(locked) != "true"] == ["Seam line", "Tier lines"]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("tiers", [1, 7, 40])
def test_every_size_draws(run_effect, size, tiers):
    root = drawn(run_effect(SCRIPT, {"unit": "cm", "tiers": tiers, **SIZES[size]}, A4))
    assert len(parts(root, "tier line")) == tiers
    words = ["".join(e.itertext()) for e in root.iter(f"{SVG}text")]
    assert "FRONT" in words and "BACK" in words


@pytest.mark.parametrize("text", ["13 3/", "13.", "36 1", "36 1/", "36-"])
def test_half_typed_numbers_are_named(run_effect, text):
    assert f"Bust girth: “{text}” looks like the beginning of a number" in refused(run_effect(SCRIPT, {"bust_girth": text}, A4))


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"bust_girth": "nan"}, ["Bust girth", "“nan”"]),
        ({"bust_girth": "inf"}, ["Bust girth", "“inf”"]),
        ({"hem_girth": "-3"}, ["Hem girth", "“-3”", "less than nothing"]),
        ({"bust_girth": "92"}, ["Bust girth", "“92”", "92 in", "looks like centimetres"]),
        ({"unit": "cm", "bust_girth": "36"}, ["Bust girth", "“36”", "36.0 cm", "looks like inches"]),
        ({"off_shoulder_girth": "25"}, ["Off-shoulder girth", "25 in", "a bust of 36 1/2 in"]),
        ({"elbow_level": "20"}, ["Elbow level", "20 in", "hem"]),
        ({"upper_arm_level": "13"}, ["Elbow level", "upper arm level", "13 in"]),
        ({"hand_girth": "12"}, ["Hem girth", "hand", "12 in"]),
        ({"tiers": "0"}, ["Tiers", "1 to 40"]),
        ({"tiers": "6.5"}, ["Tiers", "“6.5”", "whole number"]),
        ({"tiers": "40", "spacing_snap": "1/2in", "sleeve_length": "18"}, ["Spacing", "hem"]),
        ({"bust_girth": "abc", "hem_girth": "xyz"}, ["Bust girth", "Hem girth"]),
    ],
)
def test_refusals_are_in_her_words_and_draw_nothing(run_effect, options, words):
    message = refused(run_effect(SCRIPT, options, A4))
    for word in words:
        assert word in message


@pytest.mark.parametrize("size", ['width="0" height="0"', "", 'width="abc" height="297mm"'])
def test_a_document_without_a_size_is_refused(run_effect, size):
    assert "Document Properties" in refused(run_effect(SCRIPT, {}, f'<svg xmlns="http://www.w3.org/2000/svg" {size}/>'))


def test_what_she_drew_is_left_as_it_was(run_effect):
    before = A4.replace("<rect", '<!-- hers --><g id="mine" transform="rotate(12.3456789)"><text x="1" y="2">Ž</text></g><rect')
    after = run_effect(SCRIPT, {}, before).stdout
    hers, kept = (list(etree.fromstring(text.encode()).iterchildren("*")) for text in (before, after))
    assert len(kept) == len(hers) + 1
    for element, same in zip(hers, kept):
        # Canonical XML 2.0 (W3C 2013) leaves out declarations that the element does not use.
        assert etree.canonicalize(etree.tostring(same).decode()) == etree.canonicalize(etree.tostring(element).decode())


@pytest.mark.parametrize("label", ["", "  ", "a\x07\x0bb\tc\nd", "\U0001f9f5 مرحبا e\u0301", "x" * 3000])
def test_a_label_of_any_characters(run_effect, label):
    root = drawn(run_effect(SCRIPT, {"label": label}, A4))
    assert json.loads(parts(root, "sleeve")[0].get(f"{OWN}record"))["typed"]["label"] == label


def test_a_replaced_sleeve_stands_at_true_size_where_the_old_one_was(run_effect):
    """Even in a group that she has turned and scaled: the test squares are measured through all transforms by inkex."""
    import inkex

    first = etree.fromstring(run_effect(SCRIPT, {}, A4).stdout.encode())
    (sleeve,) = parts(first, "sleeve")
    group = etree.SubElement(first, f"{SVG}g", transform="rotate(30) scale(1.7 1.7)")
    group.append(sleeve)
    second = run_effect(SCRIPT, {"replace": True}, etree.tostring(first).decode()).stdout
    root = etree.fromstring(second.encode())
    (square,) = (e for e in root.iter() if e.get(f"{OWN}part") == "test square" and e.get(LABEL) == "10 cm test square")
    assert square.getparent().getparent().getparent().get("transform") == group.get("transform")
    chain = inkex.Transform()
    for element in (square, *square.iterancestors()):
        chain = inkex.Transform(element.get("transform")) @ chain
    (x0, y0), (x1, y1) = (chain.apply_to_point(point) for point in ((0, 0), (100, 0)))
    assert abs(complex(x1 - x0, y1 - y0)) == pytest.approx(100, abs=1e-6)


@pytest.mark.parametrize(("tiers", "unit", "length"), [(4, "in", "18"), (7, "in", "19 1/2"), (5, "cm", "45"), (7, "cm", "45"), (8, "cm", "45")])
def test_a_spacing_is_told_once_where_a_tape_has_its_mark(run_effect, tiers, unit, length):
    """Else with its decimals and the nearest mark; which it is, by fractions."""
    typed = {"unit": unit, "tiers": tiers, "sleeve_length": length}
    said = " ".join(" ".join("".join(text.itertext()) for text in drawn(run_effect(SCRIPT, typed, A4)).iter(f"{SVG}text")).split())
    whole, _, part = length.partition(" ")
    spacing = (Fraction(whole) + Fraction(part or 0)) / tiers
    marks = spacing * (8 if unit == "in" else 10)
    assert ("exactly (about" in said) == (marks.denominator != 1)
    told = re.search(r"Spacing ([\d./ ]+) (?:in|cm)( exactly)?", said)
    value = sum(Fraction(each) for each in told[1].split())
    assert value == spacing if not told[2] else abs(value - spacing) < Fraction(1, 10**4)


@pytest.mark.parametrize("tiers", [4, 12, 25, 40])
@pytest.mark.parametrize("size", SIZES)
def test_notches_are_told_apart_and_what_has_none_is_said(run_effect, size, tiers):
    """No two begin within 8 mm of each other on the cut edge but the back one's own two, a quarter of an inch apart; both ends of a
    line are notched or neither; measured by svgpathtools.
    """
    root = drawn(run_effect(SCRIPT, {"unit": "cm", "tiers": tiers, **SIZES[size]}, A4))
    places = {e.get(f"{OWN}place"): parse_path(e.get("d")).start for e in parts(root, "place notch")}
    single, double = ([parse_path(e.get("d")).start for e in parts(root, f"{side} notch")] for side in ("front", "back"))
    every = [*places.values(), *single, double[0]]
    assert min(abs(a - b) for i, a in enumerate(every) for b in every[:i]) > 8
    assert min(abs(double[1] - b) for b in [*places.values(), *single]) > 8
    notched = {name.rpartition(" ")[0] for name in places} - {"top edge", "elbow"}
    assert {f"{line} {side}" for line in notched for side in ("front", "back")} <= set(places)
    notes = " ".join("".join(text.itertext()) for layer in parts(root, "notes layer") for text in layer.iter(f"{SVG}tspan"))
    said = re.search(r"Tier lines? ([\d, and]+) ha(?:s|ve) no notches", notes)
    left_out = {f"tier {number}" for number in re.findall(r"\d+", said[1])} if said else set()
    assert notched | left_out == {f"tier {number}" for number in range(2, tiers + 1)} and not notched & left_out
    assert bool(left_out) if (size, tiers) == ("toddler", 40) else not left_out or tiers > 12
