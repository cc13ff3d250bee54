"""The technical flat: true in proportion, by shapely, whichever way the tiers are made."""
import itertools

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from geometry.cloth.flat import Figure, technical_flat
from geometry.cloth.ways import WAYS
from tests.geometry.cloth.test_cutting import OUTLINE, plan

FIGURE = Figure(half_edge=160.0, bust_girth=920.0, underarm=100.0)


def views_of(planned):
    return technical_flat(OUTLINE, planned.lines, planned.tiers, planned.job.style.make, FIGURE)


def far_from(line, curve):
    """How far each point of a curve lies from the straight line through another's ends, on the side of the hem."""
    a, b = line.start, line.end
    along = (b - a) / np.hypot(*(b - a))
    points = curve.flatten(0.05) - a
    return along[0] * points[:, 1] - along[1] * points[:, 0]


@pytest.mark.parametrize("make", WAYS)
def test_the_flat_is_true_in_proportion(make):
    planned = plan(make=make, fullness="2.5", layers="2", contrast_layers="1")
    views = views_of(planned)
    assert [view.side for view in views] == ["front", "back"]
    # Folded flat, front and back together are as large as the pattern.
    folded = sum(Polygon(view.silhouette.flatten(0.05)).area for view in views)
    assert folded == pytest.approx(Polygon(OUTLINE.closed().flatten(0.05)).area)
    for view in views:
        assert [tier.number for tier in view.tiers] == [4, 3, 2, 1]  # the lowest first: each covers those before it
    for tier in planned.tiers:
        front, back = (next(shape for shape in view.tiers if shape.number == tier.number) for view in views)
        assert front.stitching.length() + back.stitching.length() == pytest.approx(tier.line)
        for shape in (front, back):
            assert [layer.contrast for layer in shape.layers] == [False, True]  # the outermost comes last
            falls = far_from(shape.stitching, shape.layers[-1].outline)
            assert falls.min() > -1e-6 and tier.drop * 0.97 < falls.max() < tier.drop * 1.08
            under = far_from(shape.stitching, shape.layers[0].outline)
            assert under.max() > falls.max()  # what lies below is seen
            assert all(Polygon(layer.outline.flatten(0.05)).is_valid for layer in shape.layers)
            inside = Polygon(shape.layers[-1].outline.flatten(0.05)).buffer(1.0)
            assert all(inside.covers(Polygon(fold).convex_hull.centroid) for fold in shape.folds)


def test_bare_stitching_shows():
    views = views_of(plan(drop="150 mm; 100 mm; 150 mm; 130 mm"))
    # Tier 2 drops 100 mm where the next line lies 125 mm below its own.
    for view in views:
        assert [tier.number for tier in view.tiers if tier.shows] == [3]


def test_the_fuller_the_wider():
    wide, narrow = (views_of(plan(fullness=fullness, layers="1"))[0] for fullness in ("4", "1.5"))
    for full, scant in zip(wide.tiers, narrow.tiers):
        assert np.ptp(full.layers[0].outline.nodes[:, 0]) > np.ptp(scant.layers[0].outline.nodes[:, 0])


def test_pleats_are_drawn_as_many_as_are_seen():
    planned = plan(make="knife", fullness="3", layers="1", pleat_spacing="1 in")
    for view, tier in itertools.product(views_of(planned), planned.tiers):
        shape = next(each for each in view.tiers if each.number == tier.number)
        assert len(shape.folds) == pytest.approx(tier.made.number / 2 - 1, abs=0.5)  # half of them, and none at the side


def test_an_edge_that_follows_the_armhole_is_as_wide_as_the_sleeve_where_it_hangs():
    """By hand: where tier 1 hangs the outline runs out by 100 mm on either side, so that half of the folded sleeve is 50 mm wider."""
    for planned in (plan(fullness="1", layers="1"), plan(fullness="1", layers="1", end_shape="gathered_in")):
        for view in views_of(planned):
            first, second = (next(each for each in view.tiers if each.number == number) for number in (1, 2))
            widths = []
            for shape in (first, second):
                line = shape.stitching.end - shape.stitching.start
                across = shape.layers[-1].outline.flatten(0.05) @ line / np.hypot(*line)
                widths.append(np.ptp(across) - np.hypot(*line))
            assert widths == pytest.approx([100.0, 0.0], abs=0.5)


@pytest.mark.parametrize("layers", ["1", "3"])
def test_a_flounce_comes_forward_at_both_ends_and_runs_smoothly_round(layers):
    for view, number in itertools.product(views_of(plan(make="flounce", fullness="2", layers=layers)), (1, 2, 3, 4)):
        shape = next(each for each in view.tiers if each.number == number)
        assert all(Polygon(layer.outline.flatten(0.05)).is_valid for layer in shape.layers)
        ends = shape.folds[:, 3]
        edge = Polygon(shape.layers[-1].outline.flatten(0.02)).exterior
        assert len(ends) >= 2 and all(edge.distance(Point(end)) < 0.1 for end in ends.tolist())  # every cone ends at the edge
