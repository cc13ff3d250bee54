"""Armholes selected in the real editor: its selection reaches the effect, in the order in which it was made."""
import pytest

from tests.extension.drafting.test_bodice import arc, document, drawn_seams, recorded

EFFECT = "org.tieredsleeve.draft_sleeve"


class Outcome:
    """What the editor drew, as the script tests have it."""

    def __init__(self, edited):
        assert not edited.messages, edited.messages
        self.returncode, self.stderr, self.stdout = 0, "", edited.svg


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
def test_the_first_selected_is_the_front(editor, order):
    lengths = {"a": 150, "b": 162}
    objects = arc("a", lengths["a"]), f'<g transform="scale(0.5) rotate(20)">{arc("b", 2 * lengths["b"])}</g>'
    outcome = Outcome(editor.run(EFFECT, document(*objects), {"selected_armholes": "both"}, select=order))
    front, back = (lengths[name] for name in order)
    assert recorded(outcome, "front") == pytest.approx(front, abs=0.05)
    assert recorded(outcome, "back") == pytest.approx(back, abs=0.05)
    assert drawn_seams(outcome) == pytest.approx((front, back), abs=0.05)


def test_labels_come_before_the_order(editor):
    objects = arc("a", 150, label="Back armhole"), arc("b", 162, label="Front armhole")
    outcome = Outcome(editor.run(EFFECT, document(*objects), {"selected_armholes": "both"}, select=("a", "b")))
    assert recorded(outcome, "front") == pytest.approx(162, abs=0.05)


def test_a_refusal_leaves_the_document_alone(editor):
    edited = editor.run(EFFECT, document(arc("a", 150)), {"selected_armholes": "both"}, select=("a",))
    assert edited.refused and "2 objects are needed" in edited.messages and "urn:x-tiered-sleeve" not in edited.svg
