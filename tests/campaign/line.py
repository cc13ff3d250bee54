"""The Seam line under her hand: its nodes, with what only she knows, which of them are the corners.

None of the project's geometry: plain arrays of cubics, lengths by svgpathtools.  Millimetres of the sleeve's
layer: the front at x > 0, y down.
"""
from __future__ import annotations

import copy
from collections.abc import Iterable

import numpy as np
from svgpathtools import CubicBezier
from svgpathtools import Line as Straight
from svgpathtools import Path as SvgPath

OWN = "{urn:x-tiered-sleeve}"
CORNERS = ("back top", "front top", "front underarm point", "front hem", "back hem", "back underarm point")
EDGES = ("top edge", "front armhole", "front underarm", "hem", "back underarm", "back armhole")


class Opening:
    """A dart or a vent that she drew into an edge: its edge, where its legs begin, meet and end."""

    def __init__(self, edge: str, start: np.ndarray, tip: np.ndarray, end: np.ndarray):
        self.edge, self.start, self.tip, self.end = edge, start, tip, end

    @property
    def legs(self) -> float:
        return float(np.hypot(*(self.tip - self.start)) + np.hypot(*(self.end - self.tip)))

    @property
    def mouth(self) -> float:
        return float(np.hypot(*(self.end - self.start)))


class Line:
    """The closed line: ``segments`` (n, 4, 2) clockwise, ``at[corner]`` the segment that begins at a corner.

    ``lost`` are corners that are no longer to be seen, ``openings`` the darts and vents; ``shaped`` says that
    the hem is scalloped or pointed, ``plain`` that no more was done than moving nodes and handles.  ``drafted`` are
    the segments as they were.
    """

    def __init__(self, segments: np.ndarray, corners: np.ndarray):
        self.segments = np.array(segments, dtype=float)
        self.at = {name: int(np.argmin(np.hypot(*(self.segments[:, 0] - place).T))) for name, place in zip(CORNERS, corners)}
        self.segments = np.roll(self.segments, -self.at[CORNERS[0]], axis=0)
        first = self.at[CORNERS[0]]
        self.at = {name: (i - first) % len(self.segments) for name, i in self.at.items()}
        self.drafted = self.segments.copy()
        self.lost: set[str] = set()
        self.openings: list[Opening] = []
        self.shaped = False
        self.plain = True
        self.moved: set[str] = set()

    def copy(self) -> Line:
        return copy.deepcopy(self)

    # --- looking ------------------------------------------------------------------------------------

    def corner(self, name: str) -> np.ndarray:
        return self.segments[self.at[name], 0]

    def corners(self) -> np.ndarray:
        return np.array([self.corner(name) for name in CORNERS])

    def turn(self, i: int) -> float:
        """By how many degrees the line turns where segment ``i`` begins, seen from 2 mm before to 2 mm after."""
        before, after = points_on(self.segments[i - 1], 400), points_on(self.segments[i], 400)
        here = self.segments[i, 0]
        a = before[np.argmin(np.abs(np.hypot(*(before - here).T) - 2))]
        b = after[np.argmin(np.abs(np.hypot(*(after - here).T) - 2))]
        return float(np.degrees(np.angle(complex(*(b - here)) / complex(*(here - a)))))

    def turn_at_corner(self, name: str) -> float:
        """By how many degrees the line turns in a corner itself, clockwise positive."""
        i = self.at[name]
        arriving = next(d for d in self.segments[i - 1, 3] - self.segments[i - 1, 2::-1] if np.hypot(*d) > 1e-6)
        leaving = next(d for d in self.segments[i, 1:] - self.segments[i, 0] if np.hypot(*d) > 1e-6)
        return float(np.degrees(np.angle(complex(*leaving) / complex(*arriving))))

    def span(self, edge: str) -> tuple[int, int]:
        """The first segment of an edge, and the one after its last."""
        k = EDGES.index(edge)
        return self.at[CORNERS[k]], self.at[CORNERS[k + 1]] if k < 5 else len(self.segments)

    def edge(self, edge: str) -> np.ndarray:
        first, last = self.span(edge)
        return self.segments[first:last]

    def length(self, edge: str) -> float:
        """Along the edge, legs of darts and vents left out: as it is sewn."""
        whole = svg_path(self.edge(edge)).length(error=1e-7)
        return whole - sum(opening.legs for opening in self.openings if opening.edge == edge)

    def hem_around(self) -> float:
        """The closed hem: straight across where it is scalloped, pointed or wavy, else along it, without what is open."""
        if self.shaped:
            open_hem = sum(opening.mouth for opening in self.openings if opening.edge == "hem")
            return float(np.hypot(*(self.corner("front hem") - self.corner("back hem")))) - open_hem
        return self.length("hem")

    def hem_to_and_fro(self) -> float:
        """By how many degrees the hem turns to and fro more than it turns in all, openings closed by straight lines."""
        tips, points = [opening.tip for opening in self.openings], []
        for segment in self.edge("hem"):
            if not any(np.hypot(*(segment[k] - tip)) < 1e-9 for tip in tips for k in (0, 3)):
                points += [*points_on(segment, 200)]
        points.append(self.corner("back hem"))
        ahead = np.diff(points, axis=0) @ [1, 1j]
        ahead = ahead[np.abs(ahead) > 1e-9]
        turns = np.degrees(np.angle(ahead[1:] / ahead[:-1]))
        return float(np.abs(turns).sum() - abs(turns.sum()))

    def bridged(self) -> np.ndarray:
        """Points around the outline with the mouths of darts and vents, and a scalloped or pointed hem, closed by straight
        lines, densely along curves.
        """
        tips = [opening.tip for opening in self.openings]
        nodes = []
        hem = range(*self.span("hem")) if self.shaped else range(0)
        for k, segment in enumerate(self.segments):
            if k in hem:
                nodes.append(self.corner("front hem")[None] if k == hem[0] else np.empty((0, 2)))
            elif any(np.hypot(*(segment[3] - tip)) < 1e-9 for tip in tips):
                nodes.append(segment[:1])
            elif any(np.hypot(*(segment[0] - tip)) < 1e-9 for tip in tips):
                continue
            else:
                nodes.append(points_on(segment, 60)[:-1])
        return np.concatenate(nodes)

    def crosses_itself(self) -> bool:
        from shapely.geometry import Polygon

        ring = np.concatenate([points_on(segment, 24)[:-1] for segment in self.segments])
        polygon = Polygon(ring)
        return not polygon.is_valid or polygon.area < 1000

    # --- changing -----------------------------------------------------------------------------------

    def replace(self, first: int, last: int, new: Iterable[np.ndarray]) -> None:
        """Put ``new`` segments in place of those from ``first`` to before ``last``, which hold no corner inside."""
        new = np.array(list(new), dtype=float).reshape(-1, 4, 2)
        grown = len(new) - (last - first)
        self.segments = np.concatenate([self.segments[:first], new, self.segments[last:]])
        self.at = {name: i + grown if i >= last and i > first else i for name, i in self.at.items()}

    def split(self, edge: str, share: float) -> int:
        """Add a node at a share of an edge's length; return the segment that begins there."""
        first, last = self.span(edge)
        lengths = [svg_path([segment]).length(error=1e-5) for segment in self.segments[first:last]]
        wanted = share * sum(lengths)
        for i, length in enumerate(lengths):
            if wanted < length - 1e-9:
                u = svg_path([self.segments[first + i]])[0].ilength(wanted) if wanted > 1e-9 else 0.0
                break
            wanted -= length
        else:
            return last
        if u <= 1e-9:
            return first + i
        self.replace(first + i, first + i + 1, halves(self.segments[first + i], u))
        return first + i + 1

    def move(self, i: int, by: np.ndarray) -> None:
        """Move the node at which segment ``i`` begins, with its handles."""
        self.segments[i, :2] += by
        self.segments[i - 1, 2:] += by

    def data(self) -> str:
        words = ["M {:.6f} {:.6f}".format(*self.segments[0, 0])]
        words += ["C " + " ".join(f"{x:.6f}" for x in segment[1:].ravel()) for segment in self.segments]
        return " ".join(words) + " Z"


def straight(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.array([a, a + (b - a) / 3, b - (b - a) / 3, b], dtype=float)


def halves(segment: np.ndarray, u: float) -> list[np.ndarray]:
    a = segment[:-1] + u * (segment[1:] - segment[:-1])
    b = a[:-1] + u * (a[1:] - a[:-1])
    c = b[0] + u * (b[1] - b[0])
    return [np.array([segment[0], a[0], b[0], c]), np.array([c, b[1], a[2], segment[3]])]


def points_on(segment: np.ndarray, count: int) -> np.ndarray:
    u = np.linspace(0, 1, count + 1)[:, None]
    v = 1 - u
    return v**3 * segment[0] + 3 * v * v * u * segment[1] + 3 * v * u * u * segment[2] + u**3 * segment[3]


def svg_path(segments: Iterable[np.ndarray]) -> SvgPath:
    return SvgPath(*(_segment(s) for s in segments))


def _segment(s: np.ndarray):
    chord = s[3] - s[0]
    away = np.abs((s[1:3] - s[0]) @ np.array([-chord[1], chord[0]])).max() if chord.any() else 1.0
    if away < 1e-9 * max(1.0, np.hypot(*chord)) and np.allclose(s, straight(s[0], s[3]), atol=1e-9):
        return Straight(complex(*s[0]), complex(*s[3]))
    return CubicBezier(*(complex(*p) for p in s))
