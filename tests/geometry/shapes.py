"""Curves and outlines for the geometry tests, and how the reference libraries see them."""
from __future__ import annotations

import numpy as np
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import LineString, Polygon

from geometry.curves.curve import Curve
from geometry.sleeve.outline import Outline

MIRROR = np.array([[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])

coordinates = st.floats(-200, 200, allow_nan=False).map(lambda x: round(x, 3))
points = st.tuples(coordinates, coordinates)


@st.composite
def chains(draw, most: int = 3) -> Curve:
    """Any chain of cubics: cusps, loops, retracted handles and doubled points included."""
    count = draw(st.integers(1, most))
    return chain_through(draw(st.lists(points, min_size=3 * count + 1, max_size=3 * count + 1)))


def chain_through(control_points) -> Curve:
    p = np.asarray(control_points, dtype=float)
    return Curve(np.stack([p[k : k + 4] for k in range(0, len(p) - 1, 3)]))


def random_chain(rng: np.random.Generator, count: int) -> Curve:
    return chain_through(rng.uniform(0, 100, (3 * count + 1, 2)))


def smooth_ring(rng: np.random.Generator, count: int) -> Curve:
    """A closed smooth curve round the origin, clockwise on screen."""
    angles = 2 * np.pi * np.arange(count) / count
    nodes = rng.uniform(45, 60, count)[:, None] * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    handles = (np.roll(nodes, -1, axis=0) - np.roll(nodes, 1, axis=0)) / 6
    after = np.roll(nodes, -1, axis=0)
    return Curve(np.stack([nodes, nodes + handles, after - np.roll(handles, -1, axis=0), after], axis=1))


def arc(curve: Curve) -> float:
    """The length of a curve by scipy."""
    return sum(quad(lambda u, k=k: float(np.hypot(*curve.derivative(k + u))), 0, 1, limit=200)[0] for k in range(len(curve)))


def as_line(curve: Curve, accuracy: float = 1e-5) -> LineString:
    return LineString(curve.flatten(accuracy))


def as_polygon(curve: Curve, accuracy: float = 1e-5) -> Polygon:
    return Polygon(curve.flatten(accuracy))


def turned(angle: float, by: tuple = (0.0, 0.0)) -> np.ndarray:
    """The matrix (2, 3) of a turn about the origin, then a move."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s, by[0]], [s, c, by[1]]])


def sleeve(hem: float = 115.0, hem_drop: float = 0.0, top_edge_rise: float = 0.0, underarm: float = 205.0) -> Outline:
    """A sleeve 500 mm long with a hollow armhole and a bent underarm seam, its halves alike."""
    armhole = Curve.cubic((110, 0), (130, 60), (165, 100), (underarm, 110))
    seam = Curve([
        [(underarm, 110), (underarm - 7, 135), (172, 150), (160, 190)],
        [(160, 190), (148, 230), (146, 290), (140, 330)],
        [(140, 330), (134, 370), (hem, 450), (hem, 500)],
    ])  # fmt: skip
    back_armhole, back_seam = (curve.transformed(MIRROR).reversed() for curve in (armhole, seam))
    return Outline({
        "top edge": Curve.cubic((-110, 0), (-40, -top_edge_rise), (40, -top_edge_rise), (110, 0)) if top_edge_rise
        else Curve.line((-110, 0), (110, 0)),
        "front armhole": armhole, "front underarm": seam,
        "hem": Curve.cubic((hem, 500), (40, 500 + hem_drop), (-40, 500 + hem_drop), (-hem, 500)) if hem_drop else Curve.line((hem, 500), (-hem, 500)),
        "back underarm": back_seam, "back armhole": back_armhole,
    })  # fmt: skip


def level_line(outline: Outline, y: float) -> Curve:
    """Return the horizontal at ``y`` from side seam to side seam."""
    return outline.across(Curve.line((-1.0, y), (1.0, y)))
