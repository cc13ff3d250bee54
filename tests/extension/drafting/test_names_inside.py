"""Names, FRONT and BACK stand inside the piece, by shapely: on every shape, with many tiers, and on flounces."""
from __future__ import annotations

import pytest
from lxml import etree
from shapely.geometry import Polygon, box
from svgpathtools import parse_path

from extension.drawing.pens import BODY_SIZE
from tests.host import REPOSITORY

DRAFT, PLAN = (REPOSITORY / "extension" / name for name in ("draft_sleeve.py", "cutting_plan.py"))
SVG, OWN = "{http://www.w3.org/2000/svg}", "{urn:x-tiered-sleeve}"
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

SHAPES = {
    "plain": {},
    "wide flare": {"shape": "flared", "flare_width": "20 in", "hand_girth": "0"},
    "many tiers": {"tiers": 40},
    "a child's": {
        "unit": "cm", "bust_girth": 56, "off_shoulder_girth": 66, "shoulder_width": 25, "upper_arm_girth": 17, "upper_arm_level": 9,
        "elbow_girth": 16, "elbow_level": 14, "sleeve_length": 22, "hem_girth": 15, "hand_girth": 14, "body_edge_reduction": 3, "tiers": 12,
    },
}  # fmt: skip


def drawn(outcome):
    assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
    return etree.fromstring(outcome.stdout.encode())


def outline_of(element) -> Polygon:
    path = parse_path(element.get("d"))
    return Polygon([(p.real, p.imag) for segment in path for p in (segment.point(i / 30) for i in range(30))])


def place_of(text) -> tuple:
    """The middle of a lettering, at its first row's height."""
    span = next(text.iter(f"{SVG}tspan"))
    return float(span.get("x") or text.get("x")), float(span.get("y") or text.get("y"))


@pytest.mark.parametrize("name", SHAPES)
def test_front_and_back_stand_inside_their_half(run_effect, name):
    root = drawn(run_effect(DRAFT, SHAPES[name], A4))
    (seam,) = [e for e in root.iter(f"{SVG}path") if e.get(f"{OWN}part") == "seam line"]
    outline = outline_of(seam)
    (layer,) = [e for e in root.iter(f"{SVG}g") if e.get(f"{OWN}part") == "names layer"]
    seen = set()
    for text in layer.iter(f"{SVG}text"):
        words = "".join(text.itertext()).strip()
        x, y = place_of(text)
        half = 4.0 if words in ("FRONT", "BACK") else 0.5
        assert outline.covers(box(x - half, y - 1.5, x + half, y)), words
        if words in ("FRONT", "BACK"):
            seen.add(words)
            assert (x > 0) == (words == "FRONT")
    assert seen == {"FRONT", "BACK"}


def test_a_flounce_is_named_inside_its_piece(run_effect):
    sleeve = run_effect(DRAFT, {}, A4).stdout
    root = drawn(run_effect(PLAN, {"make": "flounce", "fullness": "2"}, sleeve))
    (layer,) = [e for e in root.iter(f"{SVG}g") if e.get(f"{OWN}part") == "flounce layer"]
    pieces = [outline_of(e) for e in layer.iter(f"{SVG}path") if e.get(f"{OWN}part") == "flounce seam line"]
    texts = list(layer.iter(f"{SVG}text"))
    assert len(pieces) == len(texts) == 6
    for piece, text in zip(pieces, texts):
        x, y = place_of(text)
        assert piece.covers(box(x - 8, y - BODY_SIZE / 2, x + 8, y))
