"""Re-measure After Editing inside the real editor, after the editor's own edits."""
from __future__ import annotations

import inkex
import pytest
from lxml import etree

from tests import sleeve_edits as edits
from tests import sleeve_measures as measures
from tests.extension.test_remeasure import A4, CLOSE, assert_true, geometry_of
from tests.sleeve_edits import OWN, part, parts

DRAFT, AGAIN = "org.tieredsleeve.draft_sleeve", "org.tieredsleeve.remeasure_sleeve"


@pytest.fixture(scope="module")
def drafted(editor) -> str:
    """A sleeve drafted in the editor, its front let out by hand, its lines with ids to select them by."""
    root = etree.fromstring(editor.run(DRAFT, A4, {"unit": "cm"}).svg.encode(), parser=inkex.elements.SVG_PARSER)
    edits.bulge_front(root)
    for name in ("sleeve", "seam line", "seam layer", "cutting line"):
        part(root, name).set("id", name.replace(" ", "-"))
    for element in parts(root, "tier line"):
        element.set("id", "tier-{:.0f}".format(float(element.get(f"{OWN}number"))))
    return etree.tostring(root).decode()


@pytest.fixture(scope="module")
def straight(editor, drafted) -> dict:
    """The seam lengths of that sleeve, before the editor touches it."""
    return measures.edge_lengths(root_of(editor.run(AGAIN, drafted)))


def root_of(edited):
    assert edited.messages == ""
    return etree.fromstring(edited.svg.encode())


#: The editor's own actions, and how far they may move the seam itself, millimetres.
ACTIONS = {
    "moved": (["select-by-id:seam-line", "transform-translate:30,-12"], CLOSE),
    "turned": (["select-by-id:seam-line", "transform-rotate:17"], CLOSE),
    "its layer moved and turned": (["select-by-id:sleeve", "transform-translate:30,-12", "transform-rotate:-40"], CLOSE),
    "all moved and turned, one by one": (["select-all", "transform-translate:8,9", "transform-rotate:5"], CLOSE),
    "turned by 90°": (["select-by-id:sleeve", "object-rotate-90-cw"], CLOSE),
    "grouped": (["select-by-id:seam-line,tier-3", "selection-group"], CLOSE),
    "grouped and ungrouped": (["select-by-id:seam-line", "selection-group", "transform-translate:3,4", "selection-ungroup"], CLOSE),
    "its layer ungrouped": (["select-by-id:sleeve", "selection-ungroup"], CLOSE),
    "nodes added": (["select-by-id:seam-line", "org.inkscape.filter.add-nodes.noprefs"], CLOSE),
    "curves made of short straight pieces": (["select-by-id:seam-line", "org.ekips.filter.flatten.noprefs"], 2.0),
    "simplified": (["select-by-id:seam-line", "path-simplify"], 6.0),
}


@pytest.mark.parametrize("name", ACTIONS)
def test_the_editors_own_edits_are_survived(name, editor, drafted, straight):
    actions, moved = ACTIONS[name]
    root = root_of(editor.run(AGAIN, drafted, before=actions))
    assert_true(root)
    assert measures.edge_lengths(root) == pytest.approx(straight, abs=moved)
    again = root_of(editor.run(AGAIN, etree.tostring(root).decode()))
    assert geometry_of(again) == geometry_of(root)


def test_corners_simplified_away_are_asked_about(editor, drafted):
    twice = ["select-by-id:seam-line", "path-simplify", "path-simplify"]
    hers = root_of(editor.run(None, drafted, before=twice))
    asked = editor.run(AGAIN, drafted, before=twice)
    assert "has lost the front hem and back underarm point corners" in asked.messages
    drawn = etree.fromstring(asked.files["svg"].read_bytes())
    assert [seam.get("d") for seam in parts(drawn, "seam line")] == [seam.get("d") for seam in parts(hers, "seam line")]


def test_a_scale_is_asked_about(editor, drafted, straight):
    scaled = ["select-by-id:sleeve", "transform-scale:40"]
    asked = editor.run(AGAIN, drafted, before=scaled)
    assert "Was that meant?" in asked.messages
    root = root_of(editor.run(AGAIN, drafted, {"scaled": "undo"}, before=scaled))
    assert measures.edge_lengths(root) == pytest.approx(straight, abs=CLOSE)


def test_undo_is_one_step(editor, drafted):
    moved = ["select-by-id:seam-line", "transform-translate:30,-12"]
    hers = root_of(editor.run(None, drafted, before=moved))
    again = etree.fromstring(editor.press(AGAIN, drafted, [], before=moved).encode())
    assert parts(again, "truing report") and geometry_of(again) != geometry_of(hers)
    undone = etree.fromstring(editor.press(AGAIN, drafted, ["ctrl+z"], before=moved).encode())
    assert not parts(undone, "truing report") and geometry_of(undone) == geometry_of(hers)


def test_plain_svg_is_measured_and_gets_its_names_back(editor, drafted):
    plain = editor.run(None, drafted, export=["plain-svg"]).files["plain-svg"].read_text(encoding="utf-8")
    assert "inkscape:label" not in plain
    root = root_of(editor.run(AGAIN, plain))
    assert_true(root)
    assert part(root, "tier layer").get(edits.LABEL) == "Tier lines"


def test_a_broken_seam_is_marked_and_a_box_says_so(editor, drafted):
    root = etree.fromstring(drafted.encode(), parser=inkex.elements.SVG_PARSER)
    edits.drag(root, (133.35, 476.25), (-300, 0))
    answer = editor.run(AGAIN, etree.tostring(root).decode())
    assert "crosses or touches itself" in answer.messages
    assert parts(etree.fromstring(answer.svg.encode()), "truing mark")
