"""Lines as they come out of a printer without colours, and as they are seen without them: told apart in the raster.

The editor's PDF is rendered at 600 dpi.  Along each line it is measured how long dashes and gaps are, and across it how
wide it is; which dashes belong to which line type is ISO 128-2:2020, table 1, from memory, in line widths: dashed 12 and 3,
dashed spaced 12 and 18, long-dashed dotted 24, 3 and a dot, dotted a dot and 3.
"""
from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
import pytest
from shapely.geometry import LineString
from shapely.ops import unary_union

from extension.demo import BLANK, drafted
from tests.editor.test_printed_pages import flattened, points_drawn, read

DPI = 600
PIXEL = 25.4 / DPI
#: Points along a line lie so far apart, and across it so far out, millimetres.
STEP, ACROSS = 0.02, 0.7
OFFSETS = np.arange(-ACROSS, ACROSS + STEP, STEP)
MIDDLE = len(OFFSETS) // 2
#: A stretch is at least so long, and ends so far from what crosses it, millimetres.
LEAST, CLEAR = 25.0, 1.5
#: No more than so many points along one line.
LONGEST = 4000

#: What each kind of line is by ISO 128-2: its width, its dashes and the gaps between, in mm.
WIDE, NARROW = 0.5, 0.25
DASHES = {
    "cutting line": (WIDE, [], []),
    "seam line": (WIDE, [12 * WIDE], [3 * WIDE]),
    "tier line": (NARROW, [], []),
    "level line": (NARROW, [NARROW], [3 * NARROW]),
    "body line": (NARROW, [24 * NARROW, NARROW], [3 * NARROW]),
    "grain line": (NARROW, [24 * NARROW, NARROW], [3 * NARROW]),
    "trim line": (NARROW, [12 * NARROW], [18 * NARROW]),
}

#: What else may cross a line.
MARKS = ("join mark", "front notch", "back notch", "place notch", "grain arrowhead")

#: Linear RGB as it is seen without the long, the middle and the short cones: Machado, Oliveira and Fernandes 2009, IEEE
#: Transactions on Visualization and Computer Graphics 15(6), table 1, severity 1.0 (from memory).
SEEN = {
    "in grey": np.tile([0.2126, 0.7152, 0.0722], (3, 1)),  # luminance, ITU-R BT.709
    "protanopia": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "deuteranopia": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "tritanopia": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}


class Seen(NamedTuple):
    """What of a line is told by eye, in mm: how wide it is, the lengths of its dashes and of its gaps."""

    width: float
    dashes: np.ndarray
    gaps: np.ndarray


@pytest.fixture(scope="module")
def samples(editor) -> dict:
    """The example on A4: for each kind of line what is printed along it, a few centimetres at a time, (along, across, RGB)."""
    done = editor.run("org.tieredsleeve.print_pages", drafted(document=BLANK), {"paper": "A4"}, export=["svg", "pdf"])
    assert not done.refused, done.messages
    drawn = read(done.svg, done.files["pdf"])
    lines = {part: [flattened(points) for points in points_drawn(drawn.root, part)] for part in (*DASHES, *MARKS)}
    alone = {part: _alone(lines, part) for part in DASHES}
    found = {part: [] for part in DASHES}
    for page, place, label in zip(drawn.pdf, drawn.pages, drawn.labels):
        if label != "First page":
            picture = page.render(scale=DPI / 72).to_numpy()[..., :3]  # one at a time: they are large
            for part in DASHES:
                for line in alone[part]:
                    found[part] += _sampled(picture, line, place)
    assert all(found.values())
    return found


def _alone(lines: dict, part: str) -> list:
    """The stretches of a kind of line that no other kind crosses or runs along: a hem's level lies on the Seam line."""
    others = unary_union([LineString(line) for other in lines if other != part for line in lines[other]]).buffer(CLEAR)
    stretches = (LineString(line).difference(others) for line in lines[part])
    return [np.array(piece.coords) for stretch in stretches for piece in getattr(stretch, "geoms", [stretch]) if piece.length > LEAST + 2 * CLEAR]


def _sampled(picture: np.ndarray, line: np.ndarray, place: np.ndarray) -> list:
    """What is printed along and across a line, where enough of it is on the page."""
    left, top, width, height = place
    along = np.append(0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T)))
    places = np.arange(CLEAR, along[-1] - CLEAR, STEP)
    points = np.stack([np.interp(places, along, line[:, axis] - start) for axis, start in ((0, left), (1, top))], axis=1)
    points = points[((points > 6) & (points < (width - 6, height - 6))).all(axis=1)][:LONGEST]
    if len(points) * STEP < LEAST:
        return []
    normal = np.gradient(points, axis=0)[:, ::-1] * (1, -1)
    normal /= np.hypot(*normal.T)[:, None]
    at = points[:, None] + OFFSETS[:, None] * normal[:, None]
    x, y = np.moveaxis(at / PIXEL, -1, 0).astype(int)
    return [picture[y, x]]


def looked_at(samples: list, eye: str) -> Seen:
    """Measure a kind of line as an eye sees it."""
    widths, dashes, gaps = [], [], []
    for sampled in samples:
        dark = _dark(sampled, eye)
        inked = dark[:, MIDDLE - 3 : MIDDLE + 4].any(axis=1)
        widths += [_across(row, MIDDLE) * STEP for row in dark[inked][:: int(0.2 / STEP)]]
        runs = [(ink, sum(1 for _ in run) * STEP) for ink, run in itertools.groupby(inked)][1:-1]
        dashes += [length for ink, length in runs if ink]
        gaps += [length for ink, length in runs if not ink]
    return Seen(float(np.median(widths)), np.array(dashes), np.array(gaps))


def _dark(colours: np.ndarray, eye: str) -> np.ndarray:
    """Whether colours (…, RGB), as the eye sees them, are less than half as bright as the paper."""
    values = colours / 255
    linear = np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)  # IEC 61966-2-1
    return linear @ SEEN[eye].T @ SEEN["in grey"][0] < 0.5


def _across(row: np.ndarray, middle: int) -> int:
    """How many samples of ink lie together around the middle."""
    around = np.flatnonzero(row[middle - 3 : middle + 4]) + middle - 3
    low = high = int(around[len(around) // 2])
    while low > 0 and row[low - 1]:
        low -= 1
    while high < len(row) - 1 and row[high + 1]:
        high += 1
    return high - low + 1


def near(measured: np.ndarray, wanted: list) -> bool:
    """Whether nearly all of the lengths are one of those wanted, to a pixel and a half, and each of those is found."""
    off = np.abs(measured[:, None] - np.array(wanted)) < 1.5 * PIXEL + STEP  # a join mark or a notch may hide a few
    return bool(off.any(axis=1).mean() > 0.9 and off.any(axis=0).all())


@pytest.mark.parametrize("eye", SEEN)
@pytest.mark.parametrize("part", DASHES)
def test_a_line_is_as_wide_and_dashed_as_its_type(samples, part, eye):
    width, dashes, gaps = DASHES[part]
    seen = looked_at(samples[part], eye)
    assert seen.width == pytest.approx(width, abs=1.5 * PIXEL)
    if dashes:
        assert near(seen.dashes, dashes) and near(seen.gaps, gaps), (np.round(np.sort(seen.dashes), 2), np.round(np.sort(seen.gaps), 2))
        assert np.percentile(seen.dashes, 5) > NARROW - 1.5 * PIXEL - STEP  # dots print whole; a crossing may cut one off
    else:
        assert seen.gaps.size == 0


@pytest.mark.parametrize("eye", SEEN)
def test_any_two_kinds_are_told_apart(samples, eye):
    """One is twice as wide, or has dashes or gaps of another length, or another number of dots between two long dashes."""
    seen = {part: looked_at(samples[part], eye) for part in DASHES}
    for one, other in itertools.combinations(seen, 2):
        assert _differ(seen[one], seen[other]), (one, other)


def _differ(one: Seen, other: Seen) -> bool:
    if max(one.width, other.width) > 1.6 * min(one.width, other.width) or bool(one.gaps.size) != bool(other.gaps.size):
        return True
    if not one.gaps.size:
        return False
    longest = [np.percentile(each.dashes, 90) for each in (one, other)]
    gaps = [np.median(each.gaps) for each in (one, other)]
    dots = [(each.dashes < 0.5).mean() for each in (one, other)]
    return max(longest) > 1.6 * min(longest) or max(gaps) > 1.6 * min(gaps) or abs(dots[0] - dots[1]) > 0.1
