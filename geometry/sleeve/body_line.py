"""The Body line: what was measured, without ease, inside the Seam line everywhere but where that was spread.

Between the levels it runs straight, as the arm is taken to; above the upper arm, where the arm is taken to be as full as
there, it is the Seam line less the ease, which grows evenly from the underarm down.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from geometry.curves.arrays import Array, Flags
from geometry.curves.curve import Curve
from geometry.curves.polyline import distances, inside
from geometry.sleeve.arm import Level, girth_at
from geometry.sleeve.armhole import LEAST_RUN
from geometry.sleeve.outline import Outline, mirror_image
from geometry.sleeve.underarm import t_at

#: The Body line is drawn where it lies so far from the Seam line or more, millimetres: nearer, a wide line and a narrow one
#: (0.5 and 0.25 mm) have less white between them than a line's width, and print as one.
LEAST_APART = 0.7
#: Shorter stretches would show no dash of the Body line, millimetres.
LEAST_STRETCH = 3.0
#: The Seam line is followed to within this, millimetres, and each piece of the Body line looked at in so many places;
#: where it comes near is halved so often.
FOLLOW, STEPS, HALVINGS = 0.01, 24, 20


def body_outline(top_edge: Curve, armholes: Mapping[str, Curve], seams: Mapping[str, Curve], hem: Curve, levels: Sequence[Level]) -> Outline:
    """Return the Body line inside a Seam line.

    ``armholes`` and ``seams`` are those of the Seam line by side, "front" and "back", run down and drawn at x > 0, before
    anything was spread; ``hem`` is the part of its hem that goes around the arm, from front to back.  ``levels`` begin with
    the underarm and end with the hem.
    """
    apart = float(seams["front"].start[0] - seams["back"].start[0]) / 2
    asides = {"front": apart, "back": -apart}
    half = min(_half_at_underarm(levels), *(float(seams[side].start[0]) - aside for side, aside in asides.items()))
    ends = {"front": hem.start, "back": hem.end * (-1, 1)}
    sides = {}
    for side, aside in asides.items():
        out = max(half + aside, min(float(armholes[side].start[0]) + LEAST_RUN, float(seams[side].start[0])))
        sides[side] = _narrowed(armholes[side], out), _body_seam(seams[side], out, levels, aside, ends[side])
    return Outline({
        "top edge": top_edge,
        "front armhole": sides["front"][0],
        "front underarm": sides["front"][1],
        "hem": hem,
        "back underarm": mirror_image(sides["back"][1]),
        "back armhole": mirror_image(sides["back"][0]),
    })


def apart_from(body: Curve, seam: Curve) -> list[Curve]:
    """Return the stretches of a Body line that lie within a Seam line and :data:`LEAST_APART` or more from it, both closed.

    Nearer, the two lines would print as one; outside, which the sides of a widely spread sleeve leave behind as they turn up,
    it would be a line beside the piece.  Stretches shorter than :data:`LEAST_STRETCH` are left out; there may be none.
    """
    other = seam.flatten(FOLLOW)
    t = np.linspace(0.0, len(body), STEPS * len(body) + 1)
    apart = _is_told_apart(body, other, t)
    changes = np.flatnonzero(apart[1:] != apart[:-1])
    ends = _where(body, other, np.where(apart[changes], t[changes], t[changes + 1]), np.where(apart[changes], t[changes + 1], t[changes]))
    places = [*([0.0] if apart[0] else []), *ends.tolist(), *([float(len(body))] if apart[-1] else [])]
    stretches = [body.between(low, high) for low, high in zip(places[::2], places[1::2]) if high > low]
    return [stretch for stretch in stretches if stretch.length() >= LEAST_STRETCH]


def _is_told_apart(body: Curve, other: Array, t: Array) -> Flags:
    """Return at which ``t`` (k) a Body line lies within a Seam line, a closed polyline (n, 2), and far enough from it."""
    points = body.point(t)
    told: Flags = inside(other, points) & (distances(other, points) >= LEAST_APART)
    return told


def _where(body: Curve, other: Array, far: Array, near: Array) -> Array:
    """Return where between ``far`` and ``near`` places (k) on the Body line the least distance is reached, on the far side, by halving."""
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        apart = _is_told_apart(body, other, middle)
        far, near = np.where(apart, middle, far), np.where(apart, near, middle)
    return far


def _half_at_underarm(levels: Sequence[Level]) -> float:
    cap, *arm = levels
    return max(cap.girth, girth_at(arm, cap.y) or 0.0) / 2


def hem_between(hem: Curve, girth: float, apart: float) -> Curve:
    """Return the part of a hem that goes around ``girth``, half of it and ``apart`` before the grain line."""
    (met, *_) = hem.crossings(Curve.line((0.0, -1e4), (0.0, 1e4)))
    grain, whole = hem.length_to(met.t1), hem.length()
    start, end = max(grain - girth / 2 - apart, 0.0), min(grain + girth / 2 - apart, whole)
    return hem.between(hem.at_length(start), hem.at_length(end))


def _narrowed(armhole: Curve, out: float) -> Curve:
    """Return an armhole drawn in towards the end of its top edge, so that the underarm point lies so far ``out``."""
    (start, _), (end, _) = armhole.start, armhole.end
    share = (out - start) / (end - start)
    return armhole.transformed(np.array([[share, 0.0, start * (1 - share)], [0.0, 1.0, 0.0]]))


def _body_seam(seam: Curve, out: float, levels: Sequence[Level], aside: float, end: np.ndarray) -> Curve:
    """Return the body's side below the underarm, from ``out`` to the ``end`` at its hem."""
    (x, y), arm = seam.start, [level for level in levels[1:-1] if level.y > levels[0].y]
    places = [(level.girth / 2 + aside, level.y) for level in arm]
    if not arm or arm[0].name != "upper arm":
        return Curve.polyline([(out, y), *places, end])
    t = t_at(seam, arm[0].y)
    at_arm = float(seam.point(t)[0]) - places[0][0]
    grows = (at_arm - (x - out)) / (arm[0].y - y)
    less_ease = seam.between(0, t).transformed(np.array([[1.0, -grows, out - x + grows * y], [0.0, 1.0, 0.0]]))
    return Curve.chain([less_ease, Curve.polyline([less_ease.end, *places[1:], end])])
