"""Corners found again after random edits, on the demo sleeve's outline.

Where they must be is known by how the edit was made; nothing is compared with earlier output.
"""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as some
from shapely.geometry import Polygon

from geometry.affine import IDENTITY, Affine
from geometry.curves.curve import Curve
from geometry.editing.refinding import AT_PLACE, Broken, refind, ring_of, turning
from geometry.sleeve.draft import draft_sleeve
from geometry.sleeve.outline import CORNERS, EDGES
from tests.bodies import DEFAULTS

SEAM = draft_sleeve(DEFAULTS, 6).block.seam
RING = SEAM.closed()
STORED = np.array([SEAM.corner(name) for name in CORNERS])
#: The node of each corner on the drafted ring.
NODES = [int(np.argmin(np.hypot(*(RING.nodes[:-1] - corner).T))) for corner in STORED]

shifts = some.tuples(some.floats(-12, 12), some.floats(-12, 12)).map(np.array)


def dragged(by: list) -> np.ndarray:
    """The segments with every node moved, its handles along."""
    segments = np.array(RING.segments)
    for i, shift in enumerate(by):
        segments[i, :2] += shift
        segments[i - 1, 2:] += shift
    return segments


def with_nodes_added(segments: np.ndarray, cuts: list) -> np.ndarray:
    """De Casteljau at each of ``cuts`` (segment, parameter)."""
    found = []
    for i, segment in enumerate(segments):
        rest, before = segment, 0.0
        for u in sorted(u for k, u in cuts if k % len(segments) == i):
            v = (u - before) / (1 - before)
            a = rest[:-1] + v * (rest[1:] - rest[:-1])
            b = a[:-1] + v * (a[1:] - a[:-1])
            c = b[0] + v * (b[1] - b[0])
            found.append(np.array([rest[0], a[0], b[0], c]))
            rest, before = np.array([c, b[1], a[2], rest[3]]), u
        found.append(rest)
    return np.array(found)


def motion_of(degrees: float, scale: float, shift: np.ndarray) -> np.ndarray:
    c, s = scale * np.cos(np.radians(degrees)), scale * np.sin(np.radians(degrees))
    return np.array([[c, -s, shift[0]], [s, c, shift[1]]])


def corners_of(outline) -> np.ndarray:
    return np.array([outline.corner(name) for name in CORNERS])


@settings(deadline=None)
@given(
    some.lists(shifts, min_size=len(RING), max_size=len(RING)),
    some.lists(some.tuples(some.integers(0, 50), some.floats(0.1, 0.9)), max_size=30, unique_by=lambda cut: (cut[0] % len(RING), round(cut[1], 2))),
    some.integers(0, 50),
    some.booleans(),
)  # fmt: skip
def test_corners_are_found_however_the_nodes_were_dragged(by, cuts, start, backwards):
    segments = dragged(by)
    expected = segments[NODES, 0]
    assume(Polygon(Curve(segments).flatten(0.05)).is_valid)
    ring = Curve(np.roll(with_nodes_added(segments, cuts), start, axis=0))
    found = refind([ring.reversed() if backwards else ring], STORED)
    if found.motion == IDENTITY:
        assert corners_of(found.outline) == pytest.approx(expected, abs=1e-6)
    else:  # dragged nearly as a whole
        assert found.motion.apply(corners_of(found.outline)) == pytest.approx(expected, abs=1e-6)


@settings(deadline=None)
@given(some.floats(-180, 180), some.floats(0.5, 2), shifts.map(lambda shift: 30 * shift), some.integers(0, 9), some.booleans())
def test_a_line_moved_turned_and_scaled_as_a_whole_comes_back(degrees, scale, shift, start, backwards):
    motion = motion_of(degrees, scale, shift)
    ring = Curve(np.roll(RING.transformed(motion).segments, start, axis=0))
    found = refind([ring.reversed() if backwards else ring], STORED)
    image = Affine.of(motion).apply(STORED)
    assert found.motion.apply(corners_of(found.outline)) == pytest.approx(image, abs=1e-6)
    if found.motion == IDENTITY:  # it hardly moved: no more than a corner may to count as where it was
        assert (np.hypot(*(image - STORED).T) <= AT_PLACE).sum() >= 3
    else:
        assert corners_of(found.outline) == pytest.approx(STORED, abs=1e-6)


@settings(deadline=None)
@given(some.lists(some.integers(1, len(RING) - 1), min_size=1, max_size=5, unique=True), some.randoms(use_true_random=False))
def test_pieces_in_any_order_and_direction_make_the_ring(cuts, chance):
    ends = [0, *sorted(cuts), len(RING)]
    pieces = [RING.between(a, b) for a, b in zip(ends, ends[1:])]
    pieces = [piece.reversed() if chance.random() < 0.5 else piece for piece in pieces]
    chance.shuffle(pieces)
    ring = ring_of(pieces)
    assert ring.is_closed and abs(ring.signed_area()) == pytest.approx(Polygon(RING.flatten(1e-4)).area, rel=1e-5)
    assert corners_of(refind(pieces, STORED).outline) == pytest.approx(STORED, abs=1e-9)


def test_edges_come_in_order_and_keep_their_lengths():
    outline = refind([RING], STORED).outline
    for name in EDGES:
        assert outline.edge(name).length() == pytest.approx(SEAM.edge(name).length(), abs=1e-9)


def test_a_circle_turns_evenly():
    """Chords of an arc of radius r that subtend s each meet at the angle s / r."""
    k, r = 4 / 3 * np.tan(np.pi / 8), 50.0
    at = r * np.array([[1, 0], [0, 1], [-1, 0], [0, -1]])
    side = np.roll(at, -1, axis=0)
    circle = Curve(np.stack([at, at + k * side, side + k * at, side], axis=1))
    assert turning(circle) == pytest.approx(np.degrees(2.0 / r), rel=0.02)


def test_a_square_turns_by_right_angles():
    assert turning(Curve.polyline([(0, 0), (9, 0), (9, 9), (0, 9), (0, 0)])) == pytest.approx(90)


@pytest.mark.parametrize("apart", [0.6, 25.0])
def test_a_gap_is_named_with_both_its_ends(apart):
    segments = np.array(RING.segments)
    segments[-1, 3] = segments[0, 0] + (0, apart)
    with pytest.raises(Broken) as broken:
        refind([Curve(segments)], STORED)
    assert broken.value.problems == (("seam line open", {"gap": pytest.approx(apart)}),)
    assert sorted(map(tuple, broken.value.places)) == sorted([tuple(segments[0, 0]), tuple(segments[-1, 3])])


@pytest.mark.parametrize("index", range(6))
def test_a_deleted_corner_is_named(index):
    """The corner's node deleted as the editor does it: the outer handles of its neighbours stay."""
    segments, i = np.array(RING.segments), NODES[index]
    segments = np.roll(segments, -i, axis=0)
    last, first = segments[-1], segments[0]
    joined = np.array([last[0], last[0] + 1.5 * (last[1] - last[0]), first[3] + 1.5 * (first[2] - first[3]), first[3]])
    ring = Curve(np.concatenate([[joined], segments[1:-1]]))
    assert not ring.self_crossings(), "it is the corner that is at issue"
    with pytest.raises(Broken) as broken:
        refind([ring], STORED)
    assert broken.value.problems == (("corner lost", {"corner": CORNERS[index]}),)
    assert broken.value.places[0] == pytest.approx(STORED[index])


def test_too_few_nodes_name_what_is_missing():
    with pytest.raises(Broken, match="corners lost"):
        refind([Curve.polyline([STORED[0], STORED[1], STORED[3], STORED[4], STORED[0]])], STORED)


def test_a_crossing_is_placed():
    """A figure of eight made of the sleeve's own corners: its diagonals cross in the middle."""
    a, b, c, d = (-100, 0), (100, 0), (-100, 400), (100, 400)
    with pytest.raises(Broken, match="seam line crosses itself once") as broken:
        refind([Curve.polyline([a, b, c, d, a])], STORED)
    assert broken.value.places[0] == pytest.approx((0, 200))


def test_a_corner_dragged_past_its_neighbour_is_asked_about_and_found_by_the_ring_that_stays():
    """By hand, of straight lines: the front underarm point goes inside, so that the node below it, which was in the seam, is the tip now."""
    point, hem = STORED[2], STORED[3]
    below = point + (hem - point) * 0.05
    dragged_to = below + (-16.0, -4.0)
    before = Curve.polyline([*STORED[:3], below, *STORED[3:], STORED[0]])
    edited = Curve.polyline([*STORED[:2], dragged_to, below, *STORED[3:], STORED[0]])
    with pytest.raises(Broken, match="corner in doubt, none turns") as asked:
        refind([edited], STORED, before)
    assert asked.value.places == pytest.approx(np.array([dragged_to, below]))
    for place in asked.value.places:
        found = refind([edited], STORED, before, place[None]).outline
        assert found.corner("front underarm point") == pytest.approx(place)
