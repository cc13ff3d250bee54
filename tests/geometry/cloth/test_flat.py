"""The technical flat: true in proportion, by shapely, whichever way the tiers are made."""
import itertools
import math

import numpy as np
import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Point, Polygon
from svgpathtools import CubicBezier, Path

from geometry.cloth.flat import Figure, technical_flat
from geometry.cloth.strips import measure_lines, plan_strips, spacings
from geometry.cloth.tier_choices import read_tier_style
from geometry.cloth.ways import WAYS
from geometry.editing.retrimming import Tiers
from geometry.measuring.given import read_given
from geometry.measuring.measurements import DEFAULTS, USUAL
from geometry.refusal import Refused
from geometry.sleeve.draft import draft_sleeve
from tests.geometry.cloth.test_cutting import OUTLINE, TYPED, plan

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


FLARED = {
    **DEFAULTS, "bust_girth": "37", "off_shoulder_girth": "42", "shoulder_width": "15 1/2", "upper_arm_girth": "12 1/2", "upper_arm_level": "8",
    "elbow_girth": "12", "elbow_level": "14", "sleeve_length": "21",
}  # fmt: skip


def by_another(curve):
    """How long a curve is, by svgpathtools."""
    return Path(*(CubicBezier(*(complex(*point) for point in segment)) for segment in curve.segments)).length()


@pytest.mark.parametrize("leaves", ["underarm", "elbow"])
@pytest.mark.parametrize(("length_style", "long"), [("elbow", 14), ("as measured", 21)])
def test_a_flared_sleeve_hangs_as_wide_as_its_lines_are_long_by_height_along_the_grain(length_style, long, leaves):
    """Seven tiers evenly apart: line k hangs (k - 1)/7 of the length down, by hand, and front and back are as wide there as it is long."""
    style, beyond = USUAL._replace(shape="flared", length_style=length_style, flare_from=leaves), 0
    for wide in range(20, 105, 5):
        try:
            draft = draft_sleeve(read_given({**FLARED, "flare_width": str(wide)}, "in"), 7, style=style)
        except Refused as refusal:
            assert refusal.problems[0].rule == "flare beyond the circle"
            beyond = wide
            break
        spread, lines = draft.block.spread, measure_lines(Tiers(list(draft.tiers), ()))
        apart = long * 25.4 / 7
        between = spacings(draft.seam, lines, spread=spread)
        assert between == pytest.approx([apart] * 7, abs=0.4)  # a line's bend between grain and side keeps to it so closely
        tiers = plan_strips(lines, between, read_tier_style(TYPED, 7, 12.7, "in"), 1500.0)
        views = technical_flat(draft.seam, lines, tiers, "gathered", FIGURE, spread)
        folded = [polygon_about_the_grain(view) for view in views]
        for k, line in enumerate(lines):
            stitched = [next(shape.stitching for shape in view.tiers if shape.number == line.number).length() for view in views]
            assert sum(stitched) == pytest.approx(by_another(line.curve), rel=1e-5)
            across = LineString([(-2000, k * apart + 0.02), (2000, k * apart + 0.02)])
            hangs = sum(polygon.intersection(across).length for polygon in folded)
            assert hangs == pytest.approx(by_another(line.curve), rel=0.005)
    assert beyond == (80 if length_style == "elbow" else 0)


def polygon_about_the_grain(view):
    """The silhouette turned back to hang straight down from its top, by shapely."""
    ring = Polygon(view.silhouette.flatten(0.05))
    assert ring.is_valid
    top = min(view.tiers, key=lambda tier: tier.number).stitching
    (x, y), (u, v) = top.start, top.end
    straight = rotate(ring, -math.degrees(math.atan2(v - y, u - x)), origin=(x, y))
    return translate(straight, 0, -y)
