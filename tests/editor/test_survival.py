"""What the real editor leaves of our marks and record, as the docstring of extension.document.parts says."""
from __future__ import annotations

import inkex
import pytest

from extension.document.parts import (
    find_parts,
    mark,
    new_layer,
    new_sleeve_layer,
    number_of,
)
from extension.document.record import read_record, write_record
from extension.document.scale import to_millimetres

RECORD = {"unit": "in", "bust_girth": "38 ½", "label": "Zoë 袖 \u0001 <&>"}
SPACING = 0.1 + 0.2


def load(svg_text: str):
    return inkex.load_svg(svg_text.encode()).getroot()


@pytest.fixture
def drawn() -> str:
    svg = load('<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 300 300"/>')
    sleeve = new_sleeve_layer(svg, "Sleeve", (7, 9))
    write_record(sleeve, RECORD)
    lines = new_layer(sleeve, "Lines", "lines")
    lines.set("id", "lines")
    sleeve.set("id", "sleeve")
    path = mark(inkex.PathElement.new("M 0 0 C 9 0 20 9 20 20", id="line"), "tier line", spacing=SPACING)
    lines.append(path)
    return svg.tostring().decode()


def is_whole(svg, lines: int = 1, sleeves: int = 1) -> bool:
    found = find_parts(svg, "tier line")
    assert [number_of(line, "spacing") for line in found] == [SPACING] * lines
    for sleeve in find_parts(svg, "sleeve"):
        record = read_record(sleeve)
        del record["version"]
        assert record == RECORD
    return len(find_parts(svg, "sleeve")) == sleeves


@pytest.mark.parametrize("kind", ["svg", "plain-svg"])
def test_saving_keeps_everything(editor, drawn, kind):
    svg = load(editor.run(None, drawn, export=[kind]).files[kind].read_text(encoding="utf-8"))
    assert is_whole(svg)
    scale = to_millimetres(find_parts(svg, "tier line")[0])
    assert (scale.a, scale.d) == pytest.approx((1, 1), rel=1e-9)
    assert find_parts(svg, "sleeve")[0].get("inkscape:groupmode") == ("layer" if kind == "svg" else None)


@pytest.mark.parametrize(
    ("actions", "lines", "sleeves"),
    [
        (["select-by-id:line", "duplicate"], 2, 1),
        (["select-by-id:line", "selection-group"], 1, 1),
        (["select-by-id:line", "selection-group", "selection-ungroup"], 1, 1),
        (["select-by-id:line", "path-simplify"], 1, 1),
        (["select-by-id:line", "transform-translate:10,20", "transform-rotate:30"], 1, 1),
        (["select-by-id:line", "selection-stack-up"], 1, 1),
        (["select-by-id:sleeve", "duplicate"], 2, 2),
        (["select-by-id:sleeve", "transform-translate:10,20"], 1, 1),
        (["select-by-id:sleeve", "selection-ungroup"], 1, 0),
    ],
)  # fmt: skip
def test_her_work_keeps_what_it_should(editor, drawn, actions, lines, sleeves):
    assert is_whole(load(editor.run(None, drawn, before=actions).svg), lines, sleeves)


def test_no_editor_complains_of_what_we_keep(editor, drawn):
    assert "unknown" not in editor.run(None, drawn).log


def test_a_clone_is_no_second_line(editor, drawn):
    assert is_whole(load(editor.run(None, drawn, before=["select-by-id:line", "clone"]).svg))
