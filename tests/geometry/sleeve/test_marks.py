"""Tier lines, grain and notches on the outline, against svgpathtools and scipy."""
import numpy as np
import pytest
from scipy.integrate import quad
from svgpathtools import CubicBezier, Line, Path

from geometry.curves.curve import Curve
from geometry.sleeve.marks import DOUBLE_NOTCH_GAP, arrowheads, grain_line, notch_ticks, tier_lines
from tests.bodies import DEFAULTS, block_of
from tests.geometry.shapes import level_line

SEAM = block_of(DEFAULTS).seam


def as_path(curve: Curve) -> Path:
    return Path(*(CubicBezier(*(complex(*point) for point in segment)) for segment in curve.segments))


@pytest.mark.parametrize("y", [1.0, 50.0, 102.0, 130.0, 300.0, 470.0])
def test_level_lines_reach_from_seam_to_seam(y):
    line = level_line(SEAM, y)
    across = Path(Line(complex(-1000, y), complex(1000, y)))
    xs = sorted(as_path(SEAM.closed()).point(t1).real for (t1, *_), _ in as_path(SEAM.closed()).intersect(across))
    assert line.start == pytest.approx((xs[0], y), abs=1e-4) and line.end == pytest.approx((xs[-1], y), abs=1e-4)


def test_the_first_tier_line_is_the_top_edge():
    first = tier_lines(SEAM, (0.0, 80.0))[0]
    assert (first.number, first.length) == (1, pytest.approx(SEAM.edge("top edge").length()))


@pytest.mark.parametrize("side", ["front", "back"])
def test_notches_stand_square_to_the_seam_at_their_distance(side):
    armhole = SEAM.edge(f"{side} armhole")
    ticks = notch_ticks(SEAM, side, 63.5, 12.7)
    assert len(ticks) == {"front": 1, "back": 2}[side]  # front single, back double: common practice, no source
    for number, tick in enumerate(ticks):
        (crossing,) = tick.crossings(armhole)
        t = crossing.t2

        def speed(u: float) -> float:
            return float(np.hypot(*armhole.derivative(u)))

        # scipy's adaptive quadrature is the independent measure of the distance from the underarm point.
        low, high = (t, len(armhole)) if side == "front" else (0, t)
        assert quad(speed, low, high)[0] == pytest.approx(63.5 + number * DOUBLE_NOTCH_GAP, abs=1e-4)
        assert abs(tick.tangent(0) @ armhole.tangent(t)) < 1e-6
        outer = max(np.abs(tick.nodes[:, 0]))
        assert outer > abs(crossing.point[0])  # it points out of the sleeve


def test_the_grain_line_is_straight_down_the_middle():
    line = grain_line(SEAM)
    assert np.allclose(line.nodes[:, 0], 0) and 0 < line.start[1] < line.end[1] < DEFAULTS.sleeve_length
    heads = arrowheads(line)
    assert all(head.is_closed for head in heads)
    assert [tuple(head.start) for head in heads] == [tuple(line.start), tuple(line.end)]
