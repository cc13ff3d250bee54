"""A name that is new on a body that is not: what was left in the dialog is asked about, and nothing is refused."""
import re

import pytest
from lxml import etree

from tests.host import REPOSITORY

SCRIPT = REPOSITORY / "extension" / "draft_sleeve.py"
SVG = "{http://www.w3.org/2000/svg}"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

#: Two invented clients; not one number of theirs is the same.
ODILE = {
    "label": "Odile (invented)", "bust_girth": "37", "off_shoulder_girth": "42", "shoulder_width": "15 1/2", "upper_arm_girth": "12 1/2",
    "upper_arm_level": "8", "elbow_girth": "12", "elbow_level": "14", "sleeve_length": "21", "hem_girth": "9 1/2", "hand_girth": "8 3/4",
}  # fmt: skip
VERA = {
    "label": "Vera (invented)", "bust_girth": "40", "off_shoulder_girth": "44 1/2", "shoulder_width": "16", "upper_arm_girth": "13 1/4",
    "upper_arm_level": "7 1/2", "elbow_girth": "12 1/2", "elbow_level": "13 1/2", "sleeve_length": "20", "hem_girth": "10", "hand_girth": "9",
}  # fmt: skip


@pytest.fixture
def asked(run_effect):
    """Draft one sleeve after the other; return what the notes of the last one ask."""

    def asked(*sleeves):
        svg = A4
        for typed in sleeves:
            outcome = run_effect(SCRIPT, typed, svg)
            assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
            svg = outcome.stdout
        root = etree.fromstring(svg.encode())
        rows = [" ".join(" ".join(e.itertext()).split()) for e in root.iter("{http://www.w3.org/2000/svg}text")]
        return re.findall(r"((?:[A-Z][a-z-]+ [a-z ]+, )[^.]*? are just those of [^?]*: measured again\?)", " ".join(rows))

    return asked


def test_only_the_bust_was_typed_anew(asked):
    (said,) = asked(ODILE, {**ODILE, "label": "Vera (invented)", "bust_girth": "39"})
    named = said.partition(" are just those of ")[0].split(", ")
    assert named == [
        "Off-shoulder girth", "shoulder width", "upper arm girth", "upper arm level", "elbow girth", "elbow level", "sleeve length", "hem girth",
        "hand girth",
    ]  # fmt: skip
    assert said.endswith("those of Odile (invented): measured again?")


def test_what_was_typed_in_the_other_unit_is_the_same_body(asked):
    in_cm = {name: text if name == "label" else f"{eval_inches(text) * 2.54:.3f} cm" for name, text in ODILE.items()}
    assert asked(ODILE, {**in_cm, "unit": "cm", "label": "Vera (invented)"})


def eval_inches(text):
    whole, _, part = text.partition(" ")
    top, _, under = part.partition("/")
    return int(whole) + (int(top) / int(under) if part else 0)


@pytest.mark.parametrize(
    "second",
    [
        VERA,  # another body
        ODILE,  # the same client again
        {**VERA, **{name: ODILE[name] for name in list(ODILE)[1:8]}},  # seven alike
        {**ODILE, "label": ""},  # nobody's name
    ],
)
def test_nothing_is_asked(asked, second):
    assert not asked(ODILE, second)


def test_nor_of_her_own_sleeve_taken_up_again(asked):
    assert not asked(ODILE, {"start": "sleeve", "tiers": "4"})


@pytest.mark.parametrize(
    ("slip", "question"),
    [
        ({"bust_girth": "27"}, "Bust girth 27 in beside shoulder width 15 1/2 in: hardly any body is so. Measured again?"),
        ({"elbow_girth": "23 1/2"}, "Elbow girth 23 1/2 in beside upper arm girth 12 1/2 in: hardly any body is so. Measured again?"),
        (
            {"sleeve_length": "30", "wrist_girth": "6 3/4", "wrist_level": "22 1/8"},
            "Sleeve length 30 in beside wrist level 22 1/8 in: the sleeve ends far down the hand or past it. Is it meant so?",
        ),
        (
            {"cap_height": "4 1/8", "front_armhole_seam": "9"},
            "Cap height 4 1/8 in was measured, but the bodice’s armhole seams ask for",
        ),
        ({"elbow_girth": "59.7 cm"}, "Elbow girth 23 1/2 in beside upper arm girth 12 1/2 in: hardly any body is so. Measured again?"),
    ],
)
def test_a_slip_that_no_rule_contradicts_is_asked_about_in_the_notes(run, slip, question):
    root = etree.fromstring(run("draft_sleeve", A4, **{**ODILE, **slip}).encode())
    said = [" ".join("".join(row.itertext()) for row in text) for text in root.iter(f"{SVG}text")]
    assert any(text.startswith(question) for text in said)
