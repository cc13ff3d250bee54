"""A sleeve's drawing measured by others' tools: svgpathtools for paths and transforms, shapely for areas.

Nothing here comes from the project but the names of its marks.  Everything is in true millimetres.
"""
from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np
from shapely.geometry import LineString, Polygon
from svgpathtools import Path, parse_path
from svgpathtools.parser import parse_transform
from svgpathtools.path import transform as transform_path

OWN = "{urn:x-tiered-sleeve}"
SVG = "{http://www.w3.org/2000/svg}"
MM = {"mm": 1.0, "in": 25.4, "cm": 10.0, "px": 25.4 / 96, "": 25.4 / 96}
CORNERS = ("back top", "front top", "front underarm point", "front hem", "back hem", "back underarm point")


def parts(root, part):
    return [e for e in root.iter() if e.get(f"{OWN}part") == part]


def matrix_of(element) -> np.ndarray:
    """3 x 3: from the coordinates inside ``element`` to millimetres of the page (uniform viewBox)."""
    total = np.eye(3)
    for e in [element, *element.iterancestors()]:
        if e.tag == f"{SVG}svg":
            width, unit = re.fullmatch(r"([\d.]+)(\w*)", e.get("width")).groups()
            box = [float(x) for x in e.get("viewBox").split()]
            scale = float(width) * MM[unit] / box[2]
            return np.diag([scale, scale, 1]) @ total
        total = parse_transform(e.get("transform") or "") @ total
    raise AssertionError("the element is not in a document")


def on_page(element) -> Path:
    """The element's path in millimetres of the page."""
    return transform_path(parse_path(element.get("d")), matrix_of(element))


def points(path: Path, each: int = 200, on_lines: int = 1) -> np.ndarray:
    """Points along a path, ``each`` to a curved segment and ``on_lines`` to a straight one."""
    found = []
    for segment in path:
        count = on_lines if type(segment).__name__ == "Line" else each
        found += [segment.point(t) for t in np.linspace(0, 1, count, endpoint=False)]
    found.append(path[-1].end)
    return np.array([(z.real, z.imag) for z in found])


def bends(path: Path) -> np.ndarray:
    """The nodes of a closed path at which it turns by more than two degrees: there a parallel at 12.7 mm is
    mitred by up to 0.002 mm and more."""
    found, solid = [], [segment for segment in path if segment.start != segment.end]
    for before, after in zip([solid[-1], *solid[:-1]], solid):
        turn = np.angle(after.unit_tangent(0) / before.unit_tangent(1), deg=True)
        if abs(turn) > 2:
            found.append((after.start.real, after.start.imag))
    return np.array(found)


def length(path: Path) -> float:
    return path.length(error=1e-7)


class Frame(NamedTuple):
    """The sleeve's frame on the page: its origin, the way across to the front, the way down to the hem."""

    origin: np.ndarray
    across: np.ndarray
    down: np.ndarray

    def inside(self, point) -> np.ndarray:
        off = np.asarray(point) - self.origin
        return np.array([off @ self.across, off @ self.down])


def frame(root) -> Frame:
    (sleeve,) = parts(root, "sleeve")
    m = matrix_of(sleeve)
    assert np.allclose(m[:2, :2] @ m[:2, :2].T, np.eye(2), atol=2e-5), "one unit of a sleeve is one true millimetre"
    return Frame(m[:2, 2], m[:2, 0], m[:2, 1])


def seam(root) -> Path:
    """The closed Seam line on the page, of however many pieces it is drawn."""
    pieces = []
    for element in parts(root, "seam line"):
        pieces += on_page(element).continuous_subpaths()
    chain = pieces.pop(0)
    while pieces:
        k, flip = min(
            ((k, flip) for k in range(len(pieces)) for flip in (False, True)),
            key=lambda c: abs((pieces[c[0]].end if c[1] else pieces[c[0]].start) - chain[-1].end),
        )
        piece = pieces.pop(k)
        chain = Path(*chain, *(piece.reversed() if flip else piece))
    return chain


def corners(root) -> np.ndarray:
    """Where the sleeve says its corners are, on the page."""
    element = parts(root, "seam line")[0]
    (sleeve,) = parts(root, "sleeve")
    told = np.array([[*map(float, pair.split(","))] for pair in element.get(f"{OWN}corners").split()])
    m = matrix_of(sleeve)
    return told @ m[:2, :2].T + m[:2, 2]


def along(path: Path, corner) -> float:
    """How far along ``path`` the point nearest to ``corner`` lies, millimetres."""
    z = complex(*corner)
    ends = np.cumsum([0.0] + [segment.length(error=1e-8) for segment in path])
    best = min(((abs(segment.point(t) - z), k, t) for k, segment in enumerate(path) for t in _near(segment, z)), key=lambda c: c[0])
    _, k, t = best
    return ends[k] + (path[k].length(0, t, error=1e-8) if t > 0 else 0.0)


def _near(segment, z):
    grid = np.linspace(0, 1, 101)
    t = grid[np.argmin(np.abs(np.array([segment.point(u) for u in grid]) - z))]
    low, high = max(t - 0.01, 0), min(t + 0.01, 1)
    for _ in range(80):
        a, b = low + (high - low) * 0.382, low + (high - low) * 0.618
        if abs(segment.point(a) - z) < abs(segment.point(b) - z):
            high = b
        else:
            low = a
    return (low, high, 0.0, 1.0)


def edge_lengths(root) -> dict:
    """The lengths of the six edges, measured along the closed Seam line between the told corners."""
    path = seam(root)
    total = length(path)
    told = corners(root)
    at = [along(path, corner) for corner in told]
    names = ("top edge", "front armhole", "front underarm", "hem", "back underarm", "back armhole")
    forward = sum((b - a) % total for a, b in zip(at, at[1:] + at[:1]))
    backward = sum((a - b) % total for a, b in zip(at, at[1:] + at[:1]))
    assert min(forward, backward) <= total * 1.000001, "the corners lie in order along the seam"
    sign = 1 if forward <= backward else -1
    return {name: (sign * (b - a)) % total for name, a, b in zip(names, at, at[1:] + at[:1])}


def polygon(path: Path) -> Polygon:
    return Polygon(points(path))


def line(path: Path) -> LineString:
    return LineString(points(path))
