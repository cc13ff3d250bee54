"""Path data to and from curves, against svgpathtools' reading of the same path data."""
from __future__ import annotations

import inkex
import numpy as np
import pytest
import svgpathtools
from hypothesis import assume, given
from hypothesis import strategies as some

from extension.document.paths import curve_from_path, path_data, quick_path_data
from geometry.curves.arcs import arc_segments
from geometry.curves.curve import Curve

#: Every command of SVG 2, section 9.3, absolute and relative, with the smooth ones after their own kind,
#: after another kind and after each other.
PATHS = {
    "lines": "M 1 2 L 5 6 H 9 V -3 l 1 1 h 2 v 4",
    "closed": "m 1 1 l 5 0 l 0 5 z",
    "closed twice": "m 1 1 l 5 0 l 0 5 z m 10 10 l 5 0 l 0 5 z",
    "closed onto its beginning": "M 0 0 L 5 0 L 5 5 L 0 0 Z",
    "goes on after closing": "M 1 1 L 5 1 L 5 5 Z L -3 -4 C -5 -5 -6 -7 -8 -8",
    "cubics": "M 0 0 C 1 2 3 4 5 4 S 8 0 9 9 c 1 1 2 2 3 0 s 1 2 3 4",
    "smooth after a line": "M 0 0 L 3 3 S 8 0 9 9 L 3 1 T 8 8",
    "quadratics": "M 0 0 Q 5 5 10 0 T 20 0 T 30 5 q 1 3 4 1 t 5 5 t 3 -2",
    "smooth cubic after quadratic": "M 0 0 Q 5 5 10 0 S 15 9 20 0 T 30 1",
    "points repeated": "M 0 0 L 0 0 L 5 0 C 5 0 5 0 5 0 L 9 9",
    "only moves": "M 1 1 M 2 2 L 3 3 M 9 9",
}

ARCS = {
    "quarter": "M 10 0 A 10 10 0 0 1 0 10",
    "large, turned, relative": "M 10 5 a 30 12 33 1 0 40 9 a 5 5 0 0 1 5 5",
    "radius too small": "M 0 0 A 1 2 0 0 1 20 0",
    "the other way": "M 0 0 A 30 20 70 0 0 20 5",
    "negative radius": "M 0 0 A -30 20 0 1 0 20 5",
}


def element(data: str) -> inkex.PathElement:
    path = inkex.PathElement()
    path.set("d", data)
    return path


def traced(curve: Curve, count: int = 33) -> np.ndarray:
    """Points on every piece at even parameters, by the Bernstein polynomials, shape (n, count, 2)."""
    t = np.linspace(0, 1, count)
    basis = np.stack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
    return np.einsum("kt,nkd->ntd", basis, curve.segments)


def reference(data: str) -> list:
    """The pieces that have any length in each continuous subpath, as svgpathtools reads them."""
    pieces = [piece for piece in svgpathtools.parse_path(data) if piece.length() > 0]
    subpaths = list(svgpathtools.Path(*pieces).continuous_subpaths())
    return [piece for path in subpaths for piece in path]


def as_array(points) -> np.ndarray:
    return np.stack([np.real(points), np.imag(points)], axis=-1)


@pytest.mark.parametrize("name", PATHS)
def test_every_command_is_the_same_curve(name):
    curves = curve_from_path(element(PATHS[name]))
    found = np.concatenate([traced(curve) for curve in curves])
    t = np.linspace(0, 1, 33)
    expected = [as_array([piece.point(s) for s in t]) for piece in reference(PATHS[name])]
    assert found == pytest.approx(np.array(expected), abs=1e-9)


@pytest.mark.parametrize("name", ARCS)
def test_arcs_lie_on_the_ellipse(name):
    [curve] = curve_from_path(element(ARCS[name]))
    outline = as_array(
        np.concatenate([[arc.point(s) for s in np.linspace(0, 1, 4001)] for arc in svgpathtools.parse_path(ARCS[name])])
    )
    points = traced(curve).reshape(-1, 2)
    distance = np.hypot(*(points[:, None] - outline[None]).transpose(2, 0, 1)).min(axis=1)
    # Goldapp 1991 (from memory): a cubic strays from a circular arc of angle a by 2/27 sin^6(a/4) / cos^2(a/4)
    # of the radius; half a step of the outline is added.
    eighth = np.pi / 4
    strays = 2 / 27 * np.sin(eighth / 4) ** 6 / np.cos(eighth / 4) ** 2
    reach = max(abs(arc.radius) for arc in svgpathtools.parse_path(ARCS[name]))
    step = np.hypot(*np.diff(outline, axis=0).T).max()
    assert distance.max() <= strays * reach + step / 2
    ends = svgpathtools.parse_path(ARCS[name])
    assert as_array([ends.start, ends.end]) == pytest.approx(curve.segments[[0, -1], [0, 3]], abs=1e-9)


@given(*[some.floats(-100, 100)] * 4, *[some.floats(0.5, 200)] * 2, some.floats(-400, 400), some.booleans(), some.booleans())
def test_arcs_run_along_the_same_side_as_svgpathtools(x, y, to_x, to_y, wide, high, turned, large, sweep):
    start, end = complex(x, y), complex(to_x, to_y)
    assume(abs(end - start) > 1)
    arc = svgpathtools.Arc(start, complex(wide, high), turned, large, sweep, end)
    # Close to half a turn either answer is right within rounding.
    assume(abs(abs(arc.delta) - 180) > 1e-3 or arc.radius != complex(wide, high))
    points = traced(Curve(arc_segments((x, y), (wide, high), turned, large, sweep, (to_x, to_y)))).reshape(-1, 2)
    middle = arc.point(0.5)
    assert np.hypot(*(points - (middle.real, middle.imag)).T).min() < 0.05 * max(abs(arc.radius), 1)


@pytest.mark.parametrize(
    ("data", "count"), [("M 1 1 L 2 2 M 5 5 L 6 6 L 7 8", 2), ("m 1 1 h 5 v 5 z l 3 -3", 2), ("", 0), ("M 3 3", 0), ("M 1 1 Z", 0)]
)
def test_one_curve_for_each_subpath(data, count):
    assert len(curve_from_path(element(data))) == count


def test_a_transform_is_applied():
    [curve] = curve_from_path(element("M 1 2 L 4 2"), inkex.Transform("translate(10, 20) rotate(90) scale(2)"))
    assert curve.segments[0, [0, 3]] == pytest.approx(np.array([(6, 22), (6, 28)]))


def test_shapes_are_paths_too():
    [curve] = curve_from_path(inkex.Rectangle.new(1, 2, 10, 5))
    assert curve.segments[:, 0] == pytest.approx(np.array([(1, 2), (11, 2), (11, 7), (1, 7)]))
    assert curve.segments[-1, 3] == pytest.approx(curve.segments[0, 0])


def test_reading_leaves_the_path_as_it_was():
    path = element("M0,0 1.123456789,1z")
    path.attrib["transform"] = "scale(1.123456789)"
    before = dict(path.attrib)
    curve_from_path(path)
    assert dict(path.attrib) == before


@pytest.mark.parametrize(
    ("data", "written"),
    [
        ("M 0 0 h 5 v 5 z", "M 0 0 L 5 0 L 5 5 Z"),
        ("M 0 0 L 5 0 L 5 5 L 0 0 z", "M 0 0 L 5 0 L 5 5 Z"),
        ("M 0 0 L 5 0 C 6 1 3 5 0 0 z", "M 0 0 L 5 0 C 6 1 3 5 0 0 Z"),
        ("M -0.00001 100 L 20.50004 1e-9", "M 0 100 L 20.5 0"),
        ("M 0 0 C 1 1 2 2 3 3", "M 0 0 L 3 3"),
        ("M 0 0 A 0 5 0 0 1 5 5 L 9 9", "M 0 0 L 5 5 L 9 9"),  # SVG 2, section 9.5.1: no radius, a line
        ("M 0 0 C -1 -1 2 2 3 3", "M 0 0 C -1 -1 2 2 3 3"),
        ("M 0 0 C 1 1.001 2 2 3 3", "M 0 0 C 1 1.001 2 2 3 3"),
    ],
)
def test_path_data_is_as_short_as_a_person_would_write_it(data, written):
    [curve] = curve_from_path(element(data))
    assert path_data(curve) == written


def test_rounding_is_as_asked():
    assert path_data(Curve(np.array([[(0, 0), (1.26, 2), (3, 4), (1000, 7)]])), decimals=1) == "M 0 0 C 1.3 2 3 4 1000 7"
    assert path_data(Curve(np.array([[(0, 0), (1.6, 2), (3, 4), (1000, 70)]])), decimals=0) == "M 0 0 C 2 2 3 4 1000 70"


@given(some.lists(some.tuples(*[some.floats(-1000, 1000)] * 6), min_size=1, max_size=6))
def test_what_is_written_is_read_back(triples):
    ends = np.array([(0.0, 0.0)] + [triple[4:] for triple in triples])
    segments = np.array([[a, t[:2], t[2:4], b] for a, t, b in zip(ends, triples, ends[1:])])
    assume(np.hypot(*np.diff(ends, axis=0).T).min() > 1e-3)
    written = path_data(Curve(segments))
    pieces = [np.array([(p.real, p.imag) for p in piece.bpoints()]) for piece in svgpathtools.parse_path(written)]
    # A straight piece may come back as a line of two points, and Z may have stood for the last one.
    expected = [segment if len(piece) == 4 else segment[[0, 3]] for piece, segment in zip(pieces, segments)]
    assert len(pieces) == len(segments)
    assert all(np.allclose(piece, segment, atol=2e-4) for piece, segment in zip(pieces, expected))


def test_the_quick_way_draws_the_same_closed_curve():
    curve = Curve.chain([Curve.cubic((0, 0), (10, 30.0004), (20, -30), (30, 0)), Curve.polyline([(30, 0), (15, 40.1234), (0, 0)])])
    drawn = svgpathtools.parse_path(quick_path_data(curve))
    assert drawn.isclosed()
    assert drawn.length() == pytest.approx(curve.length(), abs=0.01)
    assert drawn.bbox() == pytest.approx([curve.bounds()[i] for i in (0, 2, 1, 3)], abs=0.001)
