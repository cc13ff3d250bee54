"""The editor's path data to and from curves."""
from __future__ import annotations

import re
from typing import List, Optional

import inkex
import numpy as np

from geometry.curves import Curve

_TRAILING_ZEROS = re.compile(r"\.?0+$")


def curve_from_path(element: inkex.ShapeElement, transform: Optional[inkex.Transform] = None) -> List[Curve]:
    """Return one curve for each subpath of a path (or rectangle, ellipse …), as Curve of shape (n, 4, 2).

    Coordinates are the element's own, or taken through ``transform``.  Every command becomes cubics;
    straight lines have their handles at thirds and arcs are approximated by inkex (each piece spans at
    most a third of a turn).  A subpath that Z closes ends where it begins.  Pieces of no length and
    subpaths that are only a point are left out.

    Not by way of inkex's superpath: in 1.4.1 it mirrors the wrong handle for T, and in 1.2 it forgets
    where a command after Z begins.
    """
    subpaths: List[list] = []
    start_anew = True
    for command in element.path.to_absolute().proxy_iterator():
        if command.letter == "M":
            start_anew = True
            continue
        if start_anew:
            subpaths.append([])
            start_anew = False
        here = command.previous_end_point
        if command.letter in "LHVZ":
            there = command.first_point if command.letter == "Z" else command.end_point
            subpaths[-1].append(_straight(here, there))
        else:
            for piece in command.to_curves():
                x2, y2, x3, y3, x4, y4 = piece.args
                subpaths[-1].append([(here[0], here[1]), (x2, y2), (x3, y3), (x4, y4)])
                here = (x4, y4)
        start_anew = command.letter == "Z"

    curves = []
    for pieces in subpaths:
        segments = np.array(pieces, dtype=float)
        segments = segments[np.ptp(segments, axis=1).any(axis=1)]
        if len(segments):
            curves.append(Curve(segments if transform is None else _through(transform, segments)))
    return curves


def path_data(curve: Curve, decimals: int = 4) -> str:
    """Return ``curve`` as path data: C, L where a piece is straight, Z where it ends as it begins.

    Coordinates are rounded to ``decimals``; what is straight or closed to that rounding counts as such.
    """
    grain = 0.5 * 10.0**-decimals
    segments = np.asarray(curve.segments, dtype=float)
    closed = bool(np.abs(segments[-1, 3] - segments[0, 0]).max() <= 2 * grain)
    straight = _are_straight(segments, grain)
    words = ["M", _numbers(segments[:1, 0], decimals)]
    for index, segment in enumerate(segments):
        if not straight[index]:
            words += ["C", _numbers(segment[1:], decimals)]
        elif not (closed and index == len(segments) - 1):  # Z draws the last straight piece itself
            words += ["L", _numbers(segment[3:], decimals)]
    return " ".join(words + ["Z"] * closed)


def _straight(here, there) -> list:
    """A straight piece as a cubic that runs along it at an even pace."""
    ends = np.array([here, there], dtype=float)
    return [tuple(ends[0] + (ends[1] - ends[0]) * share) for share in (0, 1 / 3, 2 / 3)] + [tuple(ends[1])]


def _through(transform: inkex.Transform, segments: np.ndarray) -> np.ndarray:
    matrix = np.array([[transform.a, transform.c], [transform.b, transform.d]])
    return segments @ matrix.T + (transform.e, transform.f)


def _are_straight(segments: np.ndarray, tolerance: float) -> np.ndarray:
    """Which cubics run straight from end to end without overshooting."""
    chord = segments[:, 3] - segments[:, 0]
    length = np.hypot(chord[:, 0], chord[:, 1])
    along = chord / np.where(length > 0, length, 1.0)[:, None]
    handles = segments[:, 1:3] - segments[:, :1]
    ahead = np.einsum("nij,nj->ni", handles, along)
    aside = np.abs(handles[..., 0] * along[:, None, 1] - handles[..., 1] * along[:, None, 0])
    inside = (aside <= tolerance) & (ahead >= -tolerance) & (ahead <= length[:, None] + tolerance)
    return inside.all(axis=1) & (length > 0)


def _numbers(points: np.ndarray, decimals: int) -> str:
    return " ".join(_number(value, decimals) for value in np.ravel(points))


def _number(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = _TRAILING_ZEROS.sub("", text)
    return "0" if text == "-0" else text
