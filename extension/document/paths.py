"""The editor's path data to and from curves."""
from __future__ import annotations

import re
from collections.abc import Iterator

import inkex
import numpy as np

from extension.document.numbers import numbers_in
from geometry.curves.arcs import arc_segments
from geometry.curves.curve import Curve

#: Path data of moves, lines and cubics only, as ours and most is; such is read without inkex, for speed.
_PLAIN = r"\s*[Mm][-+.,\d\seEMmLlCcZz]*"
_COMMAND = r"([MmLlCcZz])([^MmLlCcZz]*)"
_COUNTS = {"M": 2, "L": 2, "C": 6}


def curve_from_path(element: inkex.ShapeElement, transform: inkex.Transform | None = None) -> list[Curve]:
    """Return one curve for each subpath of a path (or rectangle, ellipse …).

    Coordinates are the element's own, or taken through ``transform``.  Every command becomes cubics: exactly,
    but for arcs (see :mod:`geometry.curves.arcs`); the handles of a straight piece lie at its thirds.  A subpath that
    Z closes ends where it begins.  Pieces of no length, subpaths that are only a point and those with numbers that are
    none, of which the editor draws nothing, are left out.
    """
    data = element.attrib.get("d", "")
    plain = _plain_subpaths(data) if re.fullmatch(_PLAIN, data) else None
    outward = np.array(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) if transform is None else transform.matrix)
    with np.errstate(invalid="ignore", over="ignore"):  # of numbers that are none
        subpaths = _subpaths(element.path.to_absolute()) if plain is None else plain
        long = [pieces[np.ptp(pieces, axis=1).any(axis=1)] for pieces in subpaths]
        drawn = [pieces @ outward[:, :2].T + outward[:, 2] for pieces in long if len(pieces)]
    return [Curve(pieces) for pieces in drawn if np.isfinite(pieces).all()]


def path_data(curve: Curve, decimals: int = 4) -> str:
    """Return ``curve`` as path data: C, L where a piece is straight, Z where it ends as it begins.

    Coordinates are rounded to ``decimals``; what is straight or closed to that rounding counts as such.
    """
    grain = 0.5 * 10.0**-decimals
    segments = curve.segments
    closed = bool(np.abs(curve.end - curve.start).max() <= 2 * grain)
    if closed:  # to the very digits, or Z would add a speck of a line
        segments = segments.copy()
        segments[-1, 3] = curve.start
    straight = curve.is_straight(grain)
    words = ["M", _numbers(curve.start, decimals)]
    for index, segment in enumerate(segments):
        if not straight[index]:
            words += ["C", _numbers(segment[1:], decimals)]
        elif not (closed and index == len(segments) - 1):  # Z draws the last straight piece itself
            words += ["L", _numbers(segment[3:], decimals)]
    return " ".join(words + ["Z"] * closed)


def quick_path_data(curve: Curve) -> str:
    """Return a closed ``curve`` as path data of C alone, to the thousandth: for what is looked at rather than
    edited, where there is much of it (a tenth of the time of :func:`path_data`).
    """
    points = curve.segments.tolist()
    (begin_x, begin_y), *_ = points[0]
    words = [f"M {begin_x:.3f} {begin_y:.3f}"]
    words += [f"C {ax:.3f} {ay:.3f} {bx:.3f} {by:.3f} {cx:.3f} {cy:.3f}" for _, (ax, ay), (bx, by), (cx, cy) in points]
    return " ".join([*words, "Z"])


def _plain_subpaths(data: str) -> list[np.ndarray] | None:
    """Return what :func:`_subpaths` yields, for moves, lines and cubics; None for what is not well formed."""
    subpaths: list[list] = [[]]
    x = y = begin_x = begin_y = 0.0
    for letter, arguments in re.findall(_COMMAND, data):
        numbers = numbers_in(arguments)
        kind, relative = letter.upper(), letter.islower()
        if kind == "Z":
            subpaths[-1].append(_thirds(x, y, begin_x, begin_y))
            subpaths.append([])
            x, y = begin_x, begin_y
            continue
        count = _COUNTS[kind]
        if not numbers or len(numbers) % count:
            return None
        for i in range(0, len(numbers), count):
            a = numbers[i : i + count]
            if relative:
                a = [value + (y if k % 2 else x) for k, value in enumerate(a)]
            if kind == "C":
                subpaths[-1].append(((x, y), (a[0], a[1]), (a[2], a[3]), (a[4], a[5])))
            elif kind == "M" and not i:
                subpaths.append([])
                begin_x, begin_y = a
            else:  # further pairs of a move are lines
                subpaths[-1].append(_thirds(x, y, *a))
            x, y = a[-2:]
    return [np.array(pieces) for pieces in subpaths if pieces]


def _thirds(x: float, y: float, to_x: float, to_y: float) -> tuple:
    """A straight piece as one cubic, as :func:`_straight` has it."""
    return tuple((x + share * (to_x - x), y + share * (to_y - y)) for share in (0.0, 1 / 3, 2 / 3, 1.0))


def _subpaths(path: inkex.Path) -> Iterator[np.ndarray]:
    """Yield the segments, (n, 4, 2), of each subpath of an absolute path (SVG 2, section 9.3).

    Not by way of inkex's own cubics: up to 1.4.1 they mirror a handle for S and T where there is none to
    mirror, lose a line that follows Z, and miss the ends of an arc whose radii are too small.
    """
    pieces: list[np.ndarray] = []
    begin = here = np.zeros(2)
    handle = kind = None  # the last handle, and whether a cubic (C) or a quadratic (Q) had it
    for command in path:
        letter, args = command.letter, np.array(command.args, dtype=float)
        if letter == "M":
            yield _joined(pieces)
            pieces = []
            begin = here = args
            handle = kind = None
        elif letter == "Z":
            yield _joined([*pieces, _straight(here, begin)])
            pieces = []
            here = begin
            handle = kind = None
        elif letter in "CS":
            mirrored = 2 * here - handle if kind == "C" else here
            points = np.reshape(args, (-1, 2)) if letter == "C" else np.vstack([mirrored, np.reshape(args, (-1, 2))])
            pieces.append(np.vstack([here, points])[None])
            handle, kind, here = points[1], "C", points[2]
        elif letter in "QT":
            mirrored = 2 * here - handle if kind == "Q" else here
            handle, kind = (args[:2] if letter == "Q" else mirrored), "Q"
            pieces.append(np.array([[here, (here + 2 * handle) / 3, (args[-2:] + 2 * handle) / 3, args[-2:]]]))
            here = args[-2:]
        else:
            if letter == "A":
                pieces.append(arc_segments(here, args[:2], args[2], bool(args[3]), bool(args[4]), args[5:]))
                there = args[5:]
            else:
                there = {"L": args, "H": np.append(args, here[1]), "V": np.append(here[0], args)}[letter]
                pieces.append(_straight(here, there))
            here, handle, kind = there, None, None
    yield _joined(pieces)


def _joined(pieces: list[np.ndarray]) -> np.ndarray:
    return np.concatenate([np.empty((0, 4, 2)), *pieces])


def _straight(here: np.ndarray, there: np.ndarray) -> np.ndarray:
    """A straight piece as one cubic, (1, 4, 2), that runs along it at an even pace."""
    return (here + np.linspace(0, 1, 4)[:, None] * (there - here))[None]


def _numbers(points: np.ndarray, decimals: int) -> str:
    return " ".join([_number(value, decimals) for value in points.ravel().tolist()])


def _number(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
