"""The example as README's first command draws it; svgpathtools, which knows nothing of ours, finds where its lines are."""
from __future__ import annotations

import io

import numpy as np
from lxml import etree
from svgpathtools import Document

from extension.demo import MARGIN, drafted, on_a_page_that_holds_it


def test_the_page_is_at_true_scale_and_just_holds_all_lines_also_the_bands():
    document = on_a_page_that_holds_it(drafted())
    root = etree.fromstring(document.encode())
    left, top, width, height = map(float, root.attrib["viewBox"].split())
    assert (root.attrib["width"], root.attrib["height"]) == (f"{width:g}mm", f"{height:g}mm")  # one user unit is a millimetre

    sides = np.array([path.bbox() for path in Document(io.StringIO(document)).paths() if path])
    blank = [sides[:, 0].min() - left, left + width - sides[:, 1].max(), sides[:, 2].min() - top, top + height - sides[:, 3].max()]
    # Words stand beyond the lines at the right and at the foot.
    assert min(blank) > MARGIN and max(blank) < 6 * MARGIN
