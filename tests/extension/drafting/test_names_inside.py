"""Names, FRONT and BACK stand inside the piece, by shapely: on every shape, with many tiers, and on flounces."""
from __future__ import annotations

import pytest
from lxml import etree
from shapely.geometry import Polygon, box
from svgpathtools import parse_path

from extension.demo import drafted
from extension.drawing.pens import BODY_SIZE
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS, EXAMPLE, read_style
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve
from tests.clients import CLIENTS
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


#: What each client wears in turn: the width of a flared hem in inches, None for none.
WORN = {"to the elbow": None, "long": None, "30 in": 30, "60 in": 60, "90 in": 90, "full circle": 200}

#: A glyph is at most so wide, as a share of its size (from memory: DejaVu Sans, the widest of the usual faces, and its bold capitals).
WIDE, WIDE_BOLD = 0.65, 0.8


def rows_of(text) -> list:
    """Every row of a lettering: its words, and a box at least as wide as they are."""
    style = dict(pair.split(":") for pair in text.get("style").split(";"))
    size, wide = float(style["font-size"][:-2]), WIDE_BOLD if style.get("font-weight") == "bold" else WIDE
    rows = []
    for span in text.iter(f"{SVG}tspan"):
        words = (span.text or "").strip()
        x, y = float(span.get("x") or text.get("x")), float(span.get("y") or text.get("y"))
        left = x - len(words) * size * wide * {"start": 0, "middle": 0.5, "end": 1}[style["text-anchor"]]
        if words:
            rows.append((words, box(left, y - 0.7 * size, left + len(words) * size * wide, y)))
    return rows


def options_for(client, worn: str) -> list[str]:
    """What she types; of a flare wider than a full circle, the full circle."""
    known = {"hem_girth": "9"} if client.typed.get("hem_girth") == "0" else {}
    typed = {**client.typed, **known, "length_style": "as measured", "shape": "fitted"}
    if worn == "to the elbow":
        typed.update(length_style="elbow", hem_girth="0")
    if WORN[worn]:
        typed.update(shape="flared", flare_width=str(WORN[worn]), hand_girth="0")
        try:
            draft_sleeve(read_given({**DEFAULTS, **EXAMPLE, **typed}, "in"), 6, style=read_style({**DEFAULTS, **typed}))
        except Refused as refusal:
            assert refusal.problems[0].rule == "flare beyond the circle"
            typed["flare_width"] = f"{refusal.problems[0].facts['most'] - 1:.1f} mm"
    return [f"--{name}={text}" for name, text in typed.items()]


@pytest.mark.parametrize("worn", WORN)
@pytest.mark.parametrize("client", CLIENTS, ids=[client.name for client in CLIENTS])
def test_all_that_names_the_piece_stands_inside_it(client, worn):
    """For eight clients, up to a full circle: names, FRONT and BACK, and the numbers of the tiers, as wide as they are."""
    root = etree.fromstring(drafted(options_for(client, worn)).encode())
    (seam,) = [e for e in root.iter(f"{SVG}path") if e.get(f"{OWN}part") == "seam line"]
    (layer,) = [e for e in root.iter(f"{SVG}g") if e.get(f"{OWN}part") == "names layer"]
    outline, rows = outline_of(seam), [row for text in layer.iter(f"{SVG}text") for row in rows_of(text)]
    assert {"FRONT", "BACK", "1", "6", "Cut 2 (1 pair)"} <= {words for words, _ in rows}
    assert [words for words, place in rows if not outline.covers(place)] == []


@pytest.mark.parametrize("client", CLIENTS, ids=[client.name for client in CLIENTS])
def test_a_flounce_is_named_inside_its_piece(run_effect, client):
    sleeve = drafted(client.options())
    root = drawn(run_effect(PLAN, {"make": "flounce", "fullness": "2"}, sleeve))
    (layer,) = [e for e in root.iter(f"{SVG}g") if e.get(f"{OWN}part") == "flounce layer"]
    pieces = [outline_of(e) for e in layer.iter(f"{SVG}path") if e.get(f"{OWN}part") == "flounce seam line"]
    every = list(layer.iter(f"{SVG}text"))
    texts = [text for text in every if any("lounce" in words for words, _ in rows_of(text))]
    assert len(pieces) == len(texts) and len(every) - len(texts) == len([e for e in layer.iter() if e.get(f"{OWN}part") == "flounce mark line"])
    told = " ".join(words for text in texts for words, _ in rows_of(text))
    assert all(f"tier {number}" in told for number in range(1, 7))  # those that share a master are told on it
    for piece, text in zip(pieces, texts):
        x, y = place_of(text)
        assert piece.covers(box(x - 8, y - BODY_SIZE / 2, x + 8, y))
        assert [words for words, place in rows_of(text) if not piece.covers(place)] == []
