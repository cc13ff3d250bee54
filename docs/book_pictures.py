"""Drawings for docs/fitting-changes.md and docs/client-book.md, made by the tool from the invented example."""
from __future__ import annotations

import tempfile
from pathlib import Path

from lxml import etree

from docs.fit_pictures import side_by_side
from extension.client_book import ClientBook
from extension.demo import applied, drafted, on_a_page_that_holds_it
from extension.fitting_changes import FittingChanges

_PART = "{urn:x-tiered-sleeve}part"

#: Five sizes of the invented example.
SIZES = """# unit: in
label,base,sizes,bust_girth,off_shoulder_girth,shoulder_width,upper_arm_girth,upper_arm_level,elbow_girth,elbow_level,sleeve_length,hem_girth,hand_girth
12,,,36 1/2,41 1/4,14 3/4,12 7/8,7 1/4,11 1/4,12 1/2,18 3/4,9,8 1/4
Sizes,12,8; 10; 12; 14; 16,2,1 1/2,1/4,1/2,1/8,3/8,1/4,1/4,1/4,1/8
"""

#: What was pinned on an invented toile.
PINNED = [
    "--elbow_front=3/8", "--upper_arm_front=1/4", "--underarm_down=1/2", "--longer_below_elbow=-1", "--top_edge_back=-1/4",
    "--reason=tight in front, hem too long",
]  # fmt: skip


def before_and_after_fitting() -> str:
    """The example before and after what its toile taught."""
    before = drafted()
    return side_by_side([before, applied(FittingChanges(), PINNED, before)], ("Before", "After the fitting changes"))


def nested() -> str:
    """Five sizes from a row of steps, with what was moved on the middle one: a fuller elbow."""
    with tempfile.TemporaryDirectory() as workshop:
        book = Path(workshop, "sizes.csv")
        book.write_text(SIZES, encoding="utf-8")
        hers = applied(FittingChanges(), ["--elbow_front=1/2", "--elbow_back=1/2"], drafted(["--label=12"]))
        drawing = etree.fromstring(applied(ClientBook(), [f"--book={book}", "--action=draft", "--arrange=nested", "--carry=true"], hers).encode())
    (sheet,) = (layer for layer in drawing if layer.get(_PART) == "nested sizes")
    page = etree.Element(drawing.tag, {"width": "850mm", "height": "600mm", "viewBox": "0 0 850 600"}, nsmap=drawing.nsmap)
    page.append(sheet)
    return on_a_page_that_holds_it(etree.tostring(page, encoding="unicode"))
