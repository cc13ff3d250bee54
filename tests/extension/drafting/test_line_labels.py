"""Lettering on the lines, against shapely: inside the sleeve, on no line, large enough to read on the table."""
import re

import pytest
from lxml import etree
from shapely.geometry import LineString, Polygon, box

from extension.demo import drafted
from extension.drawing.lettering import text_width
from tests import sleeve_measures as measures
from tests.clients import CLIENTS
from tests.extension.test_draft_sleeve import A4, SCRIPT, SIZES, SVG, drawn, parts

LINES = ("seam line", "body line", "cutting line", "tier line", "level line", "grain line", "front notch", "back notch")


def rooms_of(text) -> list:
    """What each row takes, its capitals' height (widths are upper bounds)."""
    style = text.get("style")
    size = float(re.search(r"font-size:([\d.]+)px", style)[1])
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[re.search(r"text-anchor:(\w+)", style)[1]]
    rooms = []
    for span in text:
        width, x, y = text_width(span.text, size, "bold" in style), float(span.get("x")), float(span.get("y"))
        rooms.append(box(x - share * width, y - 0.75 * size, x + (1 - share) * width, y + 0.2 * size))
    return rooms


def size_of(text) -> float:
    return float(re.search(r"font-size:([\d.]+)px", text.get("style"))[1])


def texts(root, *layers) -> list:
    return [text for layer in layers for each in parts(root, layer) for text in each.iter(f"{SVG}text")]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("tiers", [1, 6, 40])
def test_lettering_lies_inside_on_no_line(run_effect, size, tiers):
    """Read in the sleeve's own millimetres; what stands beside the sleeve stands outside its cutting line."""
    root = drawn(run_effect(SCRIPT, {"unit": "cm", "tiers": tiers, **SIZES[size]}, A4))
    lines = [
        LineString(measures.points(stretch))
        for part in LINES for e in parts(root, part) for stretch in measures.parse_path(e.get("d")).continuous_subpaths()
    ]  # fmt: skip
    seam = Polygon(measures.points(measures.seam(root))).buffer(0)
    moved = measures.frame(root).origin
    cutting = Polygon(measures.points(measures.parse_path(parts(root, "cutting line")[0].get("d"))))
    lettered = texts(root, "tier lengths layer", "level widths layer", "names layer")
    assert len([text for text in lettered if text.get("style")]) >= tiers
    rooms = [room for text in lettered for room in rooms_of(text)]
    inside = Polygon([(x - moved[0], y - moved[1]) for x, y in seam.exterior.coords])
    for room in rooms:
        assert not any(room.intersects(line) for line in lines)
        assert inside.contains(room) or not cutting.intersects(room)
    for i, room in enumerate(rooms):
        assert not any(room.intersects(other) for other in rooms[:i])
    assert len(texts(root, "tier lengths layer")) == tiers


@pytest.mark.parametrize("size", ["median", "largest"])
def test_nothing_stands_beside_a_sleeve_of_six_tiers(run_effect, size):
    """Tier lengths and numbers at 5 mm or more; each level says what sleeve and arm measure."""
    root = drawn(run_effect(SCRIPT, {"unit": "cm", "tiers": 6, **SIZES[size]}, A4))
    assert parts(root, "leader") == []
    tiers = texts(root, "tier lengths layer")
    assert len(tiers) == 6 and min(map(size_of, tiers)) >= 5
    numbers = [text for text in texts(root, "names layer") if "".join(text.itertext()).isdigit()]
    assert ["".join(text.itertext()) for text in numbers] == list("123456") and min(map(size_of, numbers)) >= 5
    assert min(map(size_of, texts(root, "level widths layer"))) >= 4


def test_a_label_says_which_line_it_is_on(run_effect):
    """It lies nearer to its own line than to any other tier line."""
    root = drawn(run_effect(SCRIPT, {"unit": "cm", "tiers": 9, **SIZES["median"]}, A4))
    lines = {int(float(e.get(f"{measures.OWN}number"))): measures.line(measures.parse_path(e.get("d"))) for e in parts(root, "tier line")}
    for text in texts(root, "tier lengths layer"):
        number = int(re.match(r"Tier (\d+):", "".join(text.itertext()))[1])
        [room] = rooms_of(text)
        assert min(lines, key=lambda n: lines[n].distance(room)) == number
        assert lines[number].distance(room) < 3


@pytest.mark.parametrize("client", CLIENTS, ids=lambda client: client.name)
@pytest.mark.parametrize("tiers", [5, 6, 9])
def test_a_number_is_large_and_at_its_own_line(client, tiers):
    """5 mm at least, as letters on a table are read at arm's length (common practice, no source); no tier line is nearer than its own."""
    root = etree.fromstring(drafted([*client.options(), f"--tiers={tiers}"]).encode())
    lines = {int(float(e.get(f"{measures.OWN}number"))): measures.line(measures.parse_path(e.get("d"))) for e in parts(root, "tier line")}
    numbers = [text for text in texts(root, "names layer") if re.fullmatch(r"\d+", "".join(text.itertext()))]
    assert sorted(int("".join(text.itertext())) for text in numbers) == list(range(1, tiers + 1))
    for text in numbers:
        [room] = rooms_of(text)
        nearest = min(lines, key=lambda number, room=room: lines[number].distance(room))
        assert size_of(text) >= 5 and nearest == int("".join(text.itertext())) and lines[nearest].distance(room) < 3


def test_lines_are_told_apart_in_black(run_effect):
    """All are black, wide or narrow as 2 : 1 (ISO 128-2), no two kinds alike, and no dot shorter than a quarter of a millimetre."""
    root = drawn(run_effect(SCRIPT, {"unit": "cm", **SIZES["median"]}, A4))
    looks = {}
    for part in ("cutting line", "seam line", "body line", "tier line", "level line", "grain line"):
        style = dict(pair.split(":") for pair in parts(root, part)[0].get("style").split(";"))
        assert style["stroke"] == "#000000" and float(style["stroke-width"]) in (0.5, 0.25)
        dashes = style["stroke-dasharray"]
        assert dashes == "none" or min(map(float, dashes.split(","))) >= 0.25
        looks[part] = style["stroke-width"], dashes
    assert len(set(looks.values())) == len(looks)
