"""How the tool stands in her document."""
from __future__ import annotations

import re
from pathlib import Path

import inkex
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from lxml import etree

from extension import VERSION
from extension.document.names import SLEEVE_NS
from extension.document.parts import (
    find_parts,
    mark,
    new_layer,
    new_sleeve_layer,
    number_of,
    part_of,
    text_of,
)
from extension.document.record import LostRecord, read_record, write_record
from extension.document.scale import DocumentHasNoSize, millimetres_to_user, to_millimetres
from extension.wording.refusals import sentence
from geometry.refusal import Refused
from tests.host import REPOSITORY
from tests.scale_cases import SIZED, SIZELESS

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
)


def document(inside: str = "", attributes: str = 'width="210mm" height="297mm" viewBox="0 0 210 297"'):
    return inkex.load_svg(f"<svg {NAMESPACES} {attributes}>{inside}</svg>".encode()).getroot()


# --- scale ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SIZED)
def test_scale_is_true(name):
    attributes, across, down = SIZED[name]
    scale = millimetres_to_user(document(attributes=attributes))
    assert (scale.a * across, scale.d * down) == pytest.approx((1, 1), rel=1e-12)
    assert (scale.b, scale.c, scale.e, scale.f) == (0, 0, 0, 0)


@pytest.mark.parametrize("name", SIZELESS)
def test_no_size_is_refused_in_words_that_say_what_to_do(name):
    attributes, quoted = SIZELESS[name]
    with pytest.raises(DocumentHasNoSize) as refusal:
        millimetres_to_user(document(attributes=attributes))
    assert quoted in sentence(refusal.value, "cm")
    assert "File > Document Properties" in sentence(refusal.value, "cm")


def test_millimetres_are_found_through_every_parent():
    # By hand: 1 unit is 0.5 mm; (1, 2) turns to (-2, 1) by 90°, doubles, moves by (10, 0) to (6, 2): 3 mm, 1 mm.
    svg = document(
        '<g transform="translate(10)"><g transform="scale(2)"><path id="p" transform="rotate(90)"/></g></g>',
        'width="100mm" height="100mm" viewBox="0 0 200 200" transform="scale(7)"',
    )
    point = to_millimetres(svg.getElementById("p")).apply_to_point((1, 2))
    assert tuple(point) == pytest.approx((3, 1))


def test_asking_for_a_transform_leaves_hers_as_she_wrote_it():
    svg = document('<g transform="rotate( 12.3456789 )"><path id="p" transform="scale(1.23456789)"/></g>')
    before = etree.tostring(svg)
    to_millimetres(svg.getElementById("p"))
    assert etree.tostring(svg) == before


def test_an_element_outside_a_document_has_no_true_size():
    with pytest.raises(ValueError, match="outside a document"):
        to_millimetres(inkex.PathElement())


# --- layers and marks -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", SIZED)
def test_inside_a_sleeve_one_unit_is_one_millimetre(name):
    svg = document(attributes=SIZED[name][0])
    new_layer(new_sleeve_layer(svg, "Sleeve", (12.3, -4)), "Lines", "lines")
    reread = inkex.load_svg(etree.tostring(svg)).getroot()
    inside = to_millimetres(find_parts(reread, "lines")[0])
    assert (inside.a, inside.d) == pytest.approx((1, 1), rel=1e-12)
    assert (inside.b, inside.c) == (0, 0)


def test_layers_are_layers_with_labels_and_style():
    svg = document()
    sleeve = new_sleeve_layer(svg, "Sleeve ½ “Ana”", (0, 0))
    lines = new_layer(sleeve, "Lines", "lines", stroke_width=0.5, fill="none")
    assert lines.getparent() is sleeve and sleeve.getparent() is svg
    assert lines.get("inkscape:groupmode") == sleeve.get("inkscape:groupmode") == "layer"
    assert sleeve.get("inkscape:label") == "Sleeve ½ “Ana”"
    assert dict(inkex.Style(lines.attrib["style"])) == {"stroke-width": "0.5", "fill": "none"}


def test_our_prefix_is_declared_once():
    svg = document()
    for _ in range(2):
        mark(new_layer(new_sleeve_layer(svg, "Sleeve", (0, 0)), "Lines", "lines"), "lines", level=3)
    assert etree.tostring(svg).decode().count(f'xmlns:sleeve="{SLEEVE_NS}"') == 1


@given(some.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back_to_the_last_bit(number):
    path = mark(inkex.PathElement(), "tier line", finished_length=np.float64(number))
    reread = etree.fromstring(etree.tostring(path), parser=inkex.elements.SVG_PARSER)
    assert number_of(reread, "finished_length") == number


def test_parts_are_found_by_our_own_mark():
    svg = document('<path id="hers"/>')
    sleeve = new_sleeve_layer(svg, "Sleeve", (0, 0))
    first, second = (mark(inkex.PathElement(), "tier line", number=n, kind="ruffle") for n in (1, 2))
    sleeve.append(first)
    sleeve.append(second)
    assert find_parts(svg, "tier line") == [first, second]
    assert find_parts(sleeve, "sleeve") == [sleeve]
    assert part_of(svg.getElementById("hers")) is None
    assert text_of(first, "kind") == "ruffle" and text_of(first, "colour") is None


@pytest.mark.parametrize("damage", [None, "", "3,5", "nan", "inf"])
def test_a_lost_number_is_refused_by_name(damage):
    path = mark(inkex.PathElement(), "tier line")
    path.set("inkscape:label", "Tier line 3")
    if damage is not None:
        path.attrib[f"{{{SLEEVE_NS}}}finished-length"] = damage
    with pytest.raises(Refused) as refusal:
        number_of(path, "finished_length")
    assert re.search("“Tier line 3”.*finished length", sentence(refusal.value, "cm"))


# --- the record -----------------------------------------------------------------------------------

texts = some.text(some.characters())
values = some.recursive(
    some.none() | some.booleans() | some.floats(allow_nan=False, allow_infinity=False) | texts,
    lambda inner: some.lists(inner) | some.dictionaries(texts, inner),
    max_leaves=8,
)


@given(some.dictionaries(texts.filter(lambda name: name != "version"), values))
def test_a_record_comes_back_whatever_its_letters(record):
    svg = document()
    write_record(new_sleeve_layer(svg, "Sleeve", (0, 0)), {"old": 1})
    write_record(find_parts(svg, "sleeve")[0], record)
    reread = inkex.load_svg(etree.tostring(svg)).getroot()
    assert read_record(find_parts(reread, "sleeve")[0]) == {**record, "version": VERSION}


def test_a_record_is_the_layers_own():
    svg = document()
    outer, inner = (new_sleeve_layer(svg, label, (0, 0)) for label in ("Outer", "Inner"))
    write_record(inner, {"label": "inner"})
    outer.append(inner)
    with pytest.raises(LostRecord) as refusal:
        read_record(outer)
    assert re.search("“Outer” has no record", sentence(refusal.value, "cm"))


def test_a_record_of_an_earlier_version_is_read_and_replaced():
    """It stood in an element of its own, of which Inkscape 1.4 says that it does not know it."""
    layer = new_sleeve_layer(document(), "Sleeve", (0, 0))
    metadata = etree.SubElement(layer, "{http://www.w3.org/2000/svg}metadata")
    element = etree.SubElement(metadata, f"{{{SLEEVE_NS}}}record")
    element.text = '{"unit": "cm", "version": "0.1.0"}'
    assert read_record(layer) == {"unit": "cm", "version": "0.1.0"}
    write_record(layer, {"unit": "in"})
    assert read_record(layer) == {"unit": "in", "version": VERSION}
    assert not list(layer.iter(f"{{{SLEEVE_NS}}}record"))


@pytest.mark.parametrize("damage", ["", "{", "[1, 2]", "null"])
def test_a_damaged_record_is_refused(damage):
    svg = document()
    layer = new_sleeve_layer(svg, "Sleeve of Ana", (0, 0))
    write_record(layer, {"unit": "in"})
    layer.attrib[f"{{{SLEEVE_NS}}}record"] = damage
    with pytest.raises(LostRecord) as refusal:
        read_record(layer)
    assert re.search("“Sleeve of Ana” is damaged: draw the sleeve again", sentence(refusal.value, "cm"))


def test_a_record_holds_no_number_that_is_none():
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_record(new_sleeve_layer(document(), "Sleeve", (0, 0)), {"hem_girth": float("nan")})


def test_the_version_is_that_of_the_project():
    project = Path(REPOSITORY, "pyproject.toml").read_text(encoding="utf-8")
    assert re.search(r'^version = "(.+)"$', project, re.MULTILINE)[1] == VERSION
