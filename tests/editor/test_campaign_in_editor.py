"""Path > Combine and Path > Break Apart by the editor's own actions: its marks go, the lines are found again all the same."""
from __future__ import annotations

import inkex
import pytest
from lxml import etree

from tests.campaign.cases import ALLOWANCES, drafted, line_of, parsed
from tests.campaign.judge import judge, parts
from tests.campaign.line import OWN

AGAIN = "org.tieredsleeve.remeasure_sleeve"


@pytest.mark.parametrize(
    "actions",
    [
        ["select-by-id:tier-3,tier-5", "path-combine"],
        ["select-by-id:seam-line", "path-break-apart"],
    ],
)  # fmt: skip
def test_lines_without_marks_are_found_by_what_they_are(editor, actions):
    root = parsed(drafted("default"))
    truth = line_of(root)
    parts(root, "seam line")[0].set("id", "seam-line")
    for element in parts(root, "tier line"):
        element.set("id", "tier-{:.0f}".format(float(element.get(f"{OWN}number"))))
    answer = editor.run(AGAIN, etree.tostring(root).decode(), before=actions)
    assert answer.messages == ""
    now = etree.fromstring(answer.svg.encode(), parser=inkex.elements.SVG_PARSER)
    assert judge(now, truth, ALLOWANCES) == []
    assert sorted(float(e.get(f"{OWN}number")) for e in parts(now, "tier line")) == [1, 2, 3, 4, 5, 6]
    again = editor.run(AGAIN, answer.svg)
    before, after = ([e.get("d") for e in etree.fromstring(text.encode()).iter() if e.get("d")] for text in (answer.svg, again.svg))
    assert before == after
