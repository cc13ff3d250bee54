"""Her edit in other sizes, by shapely's distances and an interpolation of its own (numpy.interp along the drafted lines)."""
from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Point

from geometry.sleeve.draft import decide, drafted_seam
from geometry.sleeve.grading import graded
from geometry.sleeve.outline import EDGES, Outline
from geometry.sleeve.refitting import moved_seam
from tests.bodies import DEFAULTS

INCH = 25.4


def sized(steps: float):
    """A size of the invented example, so many steps up or down: bust 2 in, arm 1/2 in and so on (invented)."""
    given = DEFAULTS._replace(
        bust_girth=DEFAULTS.bust_girth + 2 * INCH * steps,
        off_shoulder_girth=DEFAULTS.off_shoulder_girth + 1.5 * INCH * steps,
        upper_arm_girth=DEFAULTS.upper_arm_girth + 0.5 * INCH * steps,
        elbow_girth=DEFAULTS.elbow_girth + 0.375 * INCH * steps,
        elbow_level=DEFAULTS.elbow_level + 0.25 * INCH * steps,
        sleeve_length=DEFAULTS.sleeve_length + 0.5 * INCH * steps,
        hem_girth=DEFAULTS.hem_girth + 0.25 * INCH * steps,
    )
    decided = decide(given, 6)
    return drafted_seam(decided), decided.block.levels


BASE, LEVELS = sized(0)
#: Let out by 7 mm at both elbows and at the back of the hem, as a hand would: the change is not one of the grade's.
HERS = moved_seam(BASE, LEVELS, {"elbow_front": 7.0, "elbow_back": 7.0, "hem_back": 5.0})
STEPS = [-2, -1, 1, 2, 3]


def fine(curve) -> LineString:
    return LineString(curve.point(np.linspace(0, len(curve), 800 * len(curve) + 1)))


def run_on(line: LineString, by: float) -> LineString:
    """A line that runs straight on from both its ends."""
    points = np.array(line.coords)
    ends = [end - by * (inner - end) / np.hypot(*(inner - end)) for end, inner in ((points[0], points[1]), (points[-1], points[-2]))]
    return LineString([ends[0], *points, ends[1]])


def x_at(seam: Outline, side: str, y: float) -> float:
    met = fine(seam.side(side)).intersection(LineString([(-900, y), (900, y)]))
    return met.x


def test_a_grade_of_nothing_is_the_base_to_the_last_digit():
    again, levels = sized(0)
    assert graded(HERS, BASE, again, LEVELS, levels) is HERS


@pytest.mark.parametrize("steps", STEPS)
def test_where_nothing_was_edited_it_is_the_drafted_size(steps):
    size, levels = sized(steps)
    assert graded(BASE, BASE, size, LEVELS, levels) is size
    hardly = moved_seam(BASE, LEVELS, {"hem_front": 1e-7})
    assert fine(graded(hardly, BASE, size, LEVELS, levels).closed()).hausdorff_distance(fine(size.closed())) < 0.01


@pytest.mark.parametrize("steps", STEPS)
def test_her_elbow_appears_in_every_size(steps):
    size, levels = sized(steps)
    made = graded(HERS, BASE, size, LEVELS, levels)
    elbow = next(level.y for level in levels if level.name == "elbow")
    assert x_at(made, "front", elbow) - x_at(size, "front", elbow) == pytest.approx(7.0, abs=0.15)
    assert x_at(size, "back", elbow) - x_at(made, "back", elbow) == pytest.approx(7.0, abs=0.4)  # her hem widens it there too
    at_hem = BASE.corner("back hem")[0] - HERS.corner("back hem")[0]  # a little more than the 5 mm that her hem is longer by, along its arc
    assert at_hem == pytest.approx(5.0, abs=0.05)
    assert size.corner("back hem")[0] - made.corner("back hem")[0] == pytest.approx(at_hem, abs=1e-6)
    assert made.corner("front hem") == pytest.approx(size.corner("front hem"), abs=1e-6)


@pytest.mark.parametrize("steps", STEPS)
@pytest.mark.parametrize("name", ["top edge", "front armhole", "hem", "back armhole"])
def test_each_place_goes_by_the_difference_of_the_drafted_lines(steps, name):
    size, levels = sized(steps)
    made = fine(graded(HERS, BASE, size, LEVELS, levels).edge(name))
    drafted, other, hers = (fine(outline.edge(name)) for outline in (BASE, size, HERS))
    shares = np.linspace(0, 1, 2001)
    there = np.array([other.interpolate(share, normalized=True).coords[0] for share in shares])
    here = np.array([drafted.interpolate(share, normalized=True).coords[0] for share in shares])
    longer = run_on(drafted, 50.0)
    first, last = (longer.project(Point(hers.coords[end])) for end in (0, -1))  # the ends of hers belong to the ends of the drafted one
    for share in np.linspace(0, 1, 23):
        place = hers.interpolate(share, normalized=True)
        nearest = (longer.project(place) - first) / (last - first)
        gone = [np.interp(nearest, shares, there[:, k] - here[:, k]) for k in (0, 1)]
        assert made.distance(Point(place.x + gone[0], place.y + gone[1])) < 0.02


@pytest.mark.parametrize("steps", STEPS)
def test_seams_match_in_every_size(steps):
    size, levels = sized(steps)
    even = moved_seam(BASE, LEVELS, {"elbow_front": 7.0, "elbow_back": 7.0, "upper_arm_front": -3.0, "upper_arm_back": -3.0})
    made = graded(even, BASE, size, LEVELS, levels)
    for part in ("underarm", "armhole"):
        assert made.edge(f"front {part}").length() == pytest.approx(made.edge(f"back {part}").length(), abs=0.01)
    for corner in ("underarm point", "hem"):
        assert made.corner_angle(f"front {corner}") + made.corner_angle(f"back {corner}") == pytest.approx(180, abs=1.0)


@pytest.mark.parametrize("steps", STEPS)
def test_no_corner_is_made(steps):
    size, levels = sized(steps)
    made = graded(HERS, BASE, size, LEVELS, levels)
    for name in EDGES:
        edge = made.edge(name)
        inside = np.arange(1, len(edge))
        if len(inside):
            turn = np.degrees(np.arccos(np.clip((edge.tangent(inside) * edge.tangent(inside, incoming=True)).sum(axis=1), -1, 1)))
            assert turn.max() < 0.5, name
    assert made.closed().self_crossings() == []
