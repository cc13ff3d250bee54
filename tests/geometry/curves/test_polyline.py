"""Points against polylines, judged by shapely."""
import numpy as np
import pytest
from shapely.geometry import LinearRing, Point, Polygon

from geometry.curves.polyline import distances, inside


@pytest.mark.parametrize("seed", range(8))
def test_inside_and_distances_are_shapelys(seed):
    """Stars of nine points by lot, hollow and round."""
    lot = np.random.default_rng(seed)
    angles, radii = np.sort(lot.uniform(0, 2 * np.pi, 9)), lot.uniform(20, 100, 9)
    ring = np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])
    ring, points = np.vstack([ring, ring[:1]]), lot.uniform(-110, 110, (300, 2))
    piece, line = Polygon(ring), LinearRing(ring)
    assert inside(ring, points).tolist() == [piece.contains(Point(point)) for point in points]
    assert np.allclose(distances(ring, points), [line.distance(Point(point)) for point in points], atol=1e-9)
